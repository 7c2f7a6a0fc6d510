//! The names there are, for completing what is typed.

use std::collections::BTreeMap;

use crate::advice::{self, Area};
use crate::grammar::{Vocabulary, Word};
use crate::journal::{Batch, State};
use crate::quantity::{BatchId, ContainerClass, Date};

use super::error::DeskError;
use super::{Desk, SeedLeft};

impl Desk {
    /// Everything that can be named on a day, what is likeliest first.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn vocabulary(&self, on: Date) -> Result<Vocabulary, DeskError> {
        let state = self.state(on)?;
        let (batches, parts) = self.batches_and_parts(&state)?;
        let word =
            |text: &dyn ToString, beside: &dyn ToString| Word { text: text.to_string(), beside: beside.to_string() };
        let seed = self.seed_box(&state)?;
        let crops = self.trade().crops().map(|crop| crop.key().to_string());
        let containers = super::board::containers(&state, self.trade());
        Ok(Vocabulary {
            batches,
            parts,
            spots: self.spots_to_name(&state, on),
            places: state.places.values().map(|place| word(&place.name, &place.kind)).collect(),
            carriers: carriers(&state),
            containers: containers.iter().map(|(name, _)| word(name, &"")).collect(),
            crops: crops_by_use(&seed, crops),
            varieties: seed.iter().map(of_packet).collect(),
        })
    }

    /// Open batches by number, newest first, and their parts; a batch of one part stands for it.
    fn batches_and_parts(&self, state: &State) -> Result<(Vec<Word>, Vec<Word>), DeskError> {
        let open: Vec<(&BatchId, &Batch)> = state.batches.iter().filter(|(_, batch)| state.is_live(batch)).collect();
        let mut worn: BTreeMap<u32, usize> = BTreeMap::new();
        for (_, batch) in &open {
            *worn.entry(batch.label.number).or_default() += 1;
        }
        let (mut batches, mut parts) = (Vec::new(), Vec::new());
        for (_, batch) in open.into_iter().rev() {
            let number = match worn.get(&batch.label.number) {
                Some(1) => batch.label.short(),
                _ => batch.label.to_string(),
            };
            let lot = state.lots.get(&batch.lot);
            let plant = lot.map_or_else(String::new, |lot| format!("{} {}", lot.crop, lot.variety));
            let live: Vec<_> = state.parts_of(batch).filter(|(_, part)| part.is_live()).map(|(_, part)| part).collect();
            for part in &live {
                let text = if live.len() == 1 { number.clone() } else { format!("{number}{}", part.letter) };
                let said = match part.standing() {
                    0 if part.is_sown() => format!("{} sown", part.sown()),
                    standing => format!("{standing} standing"),
                };
                parts.push(Word { text, beside: format!("{plant}, {said}, {}", state.standing_at(part.container)) });
            }
            batches.push(Word { text: number, beside: plant });
        }
        Ok((batches, parts))
    }

    /// Benches with what is free on each, and places that have none.
    fn spots_to_name(&self, state: &State, on: Date) -> Vec<Word> {
        let free = |area: Area| format!("{} free", area.free);
        let benches = advice::space(state, self.trade(), on).benches;
        let mut spots: Vec<Word> = benches
            .iter()
            .map(|bench| Word { text: format!("{}/{}", bench.place_name, bench.name), beside: free(bench.area) })
            .collect();
        let bare = state.places.iter().filter(|(id, _)| !state.benches.values().any(|bench| bench.place == **id));
        spots.extend(bare.map(|(_, place)| Word { text: place.name.to_string(), beside: place.kind.to_string() }));
        spots
    }
}

fn carriers(state: &State) -> Vec<Word> {
    let held = state.containers.values().filter(|held| held.vessel.class == ContainerClass::Carrier);
    held.filter_map(|held| Some(Word { text: held.called.as_ref()?.to_string(), beside: "carrier".to_owned() }))
        .collect()
}

/// Crops there is seed of, used last first, then those of the tables.
fn crops_by_use(seed: &[SeedLeft], tables: impl Iterator<Item = String>) -> Vec<Word> {
    let mut crops: Vec<Word> = Vec::new();
    for crop in seed.iter().map(|seed| seed.lot.crop.to_string()).chain(tables) {
        if !crops.iter().any(|known| known.text == crop) {
            crops.push(Word { text: crop, beside: String::new() });
        }
    }
    crops
}

fn of_packet(seed: &SeedLeft) -> (String, Word) {
    let packed = seed.lot.packed.map(|year| year.to_string());
    let left = seed.left.map(|left| format!("{left} left"));
    let beside = packed.into_iter().chain(left).collect::<Vec<_>>().join(", ");
    (seed.lot.crop.to_string(), Word { text: seed.lot.variety.to_string(), beside })
}
