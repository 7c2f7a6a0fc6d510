//! Which seed is meant, and which containers plants go into.

use crate::grammar::{ContainerWords, LotWords, RoomWords, SeedWords};
use crate::journal::{NewLot, Room, Seed, SeedOrigin, Vessel};
use crate::quantity::{CropName, Name, SownUnit};
use crate::store::LotRecord;

use super::error::DeskError;
use super::lookup::find_vessel;
use super::resolve::Resolver;
use super::slips::Packet;

/// The seed that words mean.
pub(super) struct Found {
    pub(super) seed: Seed,
    /// Whether the crop's sown unit is a cluster.
    pub(super) cluster: bool,
    /// What is left of it, where the packet was counted.
    pub(super) packet: Option<Packet>,
}

impl Resolver<'_> {
    pub(super) fn new_lot(&self, words: &LotWords) -> Result<NewLot, DeskError> {
        self.check_year(words.packed)?;
        Ok(NewLot {
            crop: self.crop(&words.crop)?.0,
            variety: words.variety.clone(),
            packed: words.packed,
            stated: words.stated,
            seeds: words.seeds,
            origin: words.origin,
        })
    }

    /// The crop's name in the tables, and whether its sown unit is a cluster.
    pub(super) fn crop(&self, words: &CropName) -> Result<(CropName, bool), DeskError> {
        if words.is_unknown() {
            return Ok((CropName::unknown(), false));
        }
        let crop = self.trade.find_crop(words.as_str())?;
        let name = CropName::new(crop.key().as_str()).map_err(|error| DeskError::Unknown {
            what: "crop",
            name: crop.key().to_string(),
            hint: error.to_string(),
        })?;
        Ok((name, crop.unit() == SownUnit::Cluster))
    }

    /// The lot that words mean: one of that crop, variety and year with seed left; else a new one.
    pub(super) fn seed(&mut self, words: &SeedWords) -> Result<Found, DeskError> {
        let (crop, cluster) = self.crop(&words.crop)?;
        self.check_year(words.packed)?;
        let new = |variety: Name| {
            let (crop, packed, origin) = (crop.clone(), words.packed, SeedOrigin::Packet);
            let seed = Seed::New(NewLot { crop, variety, packed, stated: None, seeds: None, origin });
            Ok(Found { seed, cluster, packet: None })
        };
        if crop.is_unknown() {
            let no_label = Name::new("no label").map_err(|_| DeskError::Nothing("a variety is needed"))?;
            return new(words.variety.clone().unwrap_or(no_label));
        }
        let mut lots = self.books.lots(Some(&crop))?;
        lots.retain(|record| words.packed.is_none() || words.packed == record.lot.packed);
        // Newest seed first; of one year what was noted last.
        lots.sort_by_key(|record| std::cmp::Reverse(record.lot.packed));
        let Some(variety) = &words.variety else {
            let only = self.only_packet(&crop, &lots)?;
            return self.of_packet(only, cluster);
        };
        let mut known: Vec<&str> = lots.iter().map(|record| record.lot.variety.as_str()).collect();
        known.sort_unstable();
        known.dedup();
        if let Some(name) = closest_variety(&known, variety.as_str()) {
            // A packet with seed left before an empty one.
            let fitting: Vec<_> = lots.iter().filter(|record| record.lot.variety.as_str() == name).collect();
            for record in &fitting {
                if self.is_left(record)? {
                    return self.of_packet(record, cluster);
                }
            }
            if let Some(record) = fitting.first() {
                self.notices.push(format!("by the log no seed of {crop} {name} was left"));
                return self.of_packet(record, cluster);
            }
        }
        if let Some(name) = known.iter().find(|name| is_near(name, variety.as_str())) {
            return Err(DeskError::Unknown {
                what: "seed of",
                name: format!("{crop} {variety}"),
                hint: format!("did you mean {name}? if it is another variety, note it first: `lot add`"),
            });
        }
        self.notices
            .push(format!("{crop} {variety} noted as new seed; `lot add` keeps year, germination and number too"));
        new(variety.clone())
    }

    /// The packet that is meant where no variety is named: the only one of the crop with seed left.
    fn only_packet<'a>(&mut self, crop: &CropName, lots: &'a [LotRecord]) -> Result<&'a LotRecord, DeskError> {
        let mut left = Vec::new();
        for record in lots {
            if self.is_left(record)? {
                left.push(record);
            }
        }
        match left.as_slice() {
            [only] => {
                let packed = only.lot.packed.map_or_else(String::new, |year| format!(" of {year}"));
                self.notices.push(format!("{crop} {}{packed}: the only packet of it with seed left", only.lot.variety));
                Ok(only)
            }
            [] => Err(DeskError::Unnamed { crop: crop.to_string() }),
            several => {
                let mut names: Vec<&str> = several.iter().map(|record| record.lot.variety.as_str()).collect();
                names.dedup();
                Err(DeskError::Ambiguous {
                    name: crop.to_string(),
                    list: names.join(" or "),
                    hint: "write the variety too, or --packed YEAR",
                })
            }
        }
    }

    fn is_left(&self, record: &LotRecord) -> Result<bool, DeskError> {
        Ok(match record.lot.seeds {
            Some(seeds) => seeds > self.books.sown_from(record.id)?,
            None => true,
        })
    }

    fn of_packet(&self, record: &LotRecord, cluster: bool) -> Result<Found, DeskError> {
        let name = format!("{} {}", record.lot.crop, record.lot.variety);
        let packet = match record.lot.seeds {
            Some(seeds) => Some(Packet { name, seeds, sown: self.books.sown_from(record.id)? }),
            None => None,
        };
        Ok(Found { seed: Seed::Lot(record.id), cluster, packet })
    }

    /// The container words mean, and how many of it; `pots` is the size of a set when none was typed.
    pub(super) fn vessel(&self, words: &ContainerWords, pots: u32) -> Result<(Vessel, u32), DeskError> {
        find_vessel(self.latest, self.trade, words, pots)
    }

    pub(super) fn room(&mut self, words: &RoomWords, pots: u32) -> Result<Room, DeskError> {
        Ok(match words {
            RoomWords::New { container, at } => {
                let (vessel, count) = self.vessel(container, pots)?;
                let stand = self.stand(at)?;
                self.check_goes(&vessel, count, stand)?;
                Room::New { vessel, count, stand, spot: None }
            }
            RoomWords::Shared(part) => Room::Shared(self.container_of(part)?),
        })
    }
}

/// True when a typed variety is one slip of the finger away from a known one, or from the beginning of it. Names that
/// differ in a digit are different names.
fn is_near(known: &str, typed: &str) -> bool {
    let (known, typed) = (known.to_lowercase(), typed.to_lowercase());
    let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
    let length = typed.chars().count();
    let beginnings = (length..=length + 1).map(|length| known.chars().take(length).collect::<String>());
    length > 3
        && digits(&known) == digits(&typed)
        && beginnings.chain([known.clone()]).any(|name| strsim::osa_distance(&name, &typed) <= 1)
}

/// The variety a grower means among those known: the same but for case, or the only one that begins so.
fn closest_variety<'a>(known: &[&'a str], typed: &str) -> Option<&'a str> {
    let typed = typed.to_lowercase();
    if let Some(same) = known.iter().find(|name| name.to_lowercase() == typed) {
        return Some(same);
    }
    let mut beginning =
        known.iter().filter(|name| typed.chars().count() >= 3 && name.to_lowercase().starts_with(&typed));
    match (beginning.next(), beginning.next()) {
        (Some(only), None) => Some(only),
        _ => None,
    }
}
