//! Sowing again: how many, from which lot, and until when it still makes the planting-out window.

use std::collections::BTreeMap;

use chrono::{Datelike, Days};

use crate::advice::part;
use crate::advice::why::Why;
use crate::journal::{Batch, Beginning, Lot, State};
use crate::quantity::{BatchId, BatchLabel, CropName, Date, LotId, Name, Share, SownUnit};
use crate::science::sowing::{Belief, Need, how_many};
use crate::trade::{Crop, LastFrost};

use super::explain::packet;
use super::prior::Seed;
use super::record::{PastSowing, Record};

/// The chance of enough plants that a number sown should give. Design of the trade: nine times in ten.
const SURE: f64 = 0.9;
/// Seed that gives what is wanted less often than this, however much of it is worth sowing, is poor. Common practice, no
/// source.
pub(super) const DOUBTFUL: f64 = 0.75;
/// Seedlings that live to planting out. Common practice, no source.
const LIVES: f64 = 0.9;
/// No more than so many seeds for each plant wanted: seed as poor as that is not worth the compost.
const MOST_SEEDS_A_PLANT: u32 = 8;
/// Planted so many weeks past the usual a crop still gives most of its season. Common practice, no source.
const LATE_WEEKS: f64 = 2.0;

/// Raised for so many weeks before it is planted after the frosts, a crop takes the whole season. Common practice, no
/// source.
const RAISED_LONG_WEEKS: f64 = 5.0;

/// Of like seed the same variety goes before another: it is worth so much of the share that comes up. Common practice, no source.
const SAME_VARIETY: f64 = 0.05;
/// What falls short of the number asked for by less than this is not asked for: no tray has just so many cells. Common
/// practice, no source.
const NEARLY: f64 = 0.9;
/// Other packets that "why" names at most.
const MOST_TOLD: usize = 3;
/// From this month on what is too late for its year was sown for the next. Common practice, no source.
const NEXT_SEASON: u32 = 8;

/// What sowing again takes.
#[derive(Clone, Debug, PartialEq)]
pub struct SowAgain {
    /// Plants wanted of the sowing in all, and those of it that came up and have not died.
    pub wanted: u32,
    /// See `wanted`.
    pub there: u32,
    /// Plants still wanted, 1 at least.
    pub plants: u32,
    /// Sown units that give them, nine times in ten when they can.
    pub seeds: u32,
    /// The chance that so many do.
    pub chance: Share,
    /// The share of such seed that comes up, by all that is known of it.
    pub comes: Share,
    /// Seeds of a fresh packet that give the plants still wanted as surely; `None` when no number does.
    pub fresh: Option<u32>,
    /// The lot to sow from; `None` when no lot of the crop is known.
    pub lot: Option<LotId>,
    /// Its variety.
    pub variety: Option<Name>,
    /// The year on it.
    pub packed: Option<i32>,
    /// Units left in that lot; `None` when it was never said how many there were.
    pub left: Option<u32>,
    /// The last day on which a sowing still makes the planting-out window; `None` for crops sown in place or without
    /// dates.
    pub by: Option<Date>,
    /// What was sown of the crop in its stead, since it was known how this sowing stands.
    pub since: Option<SownSince>,
    /// How it was come by.
    pub(in crate::advice) why: Why,
}

impl SowAgain {
    /// The packet to sow from, its variety and year; `None` where fresh seed is to be bought.
    #[must_use]
    pub fn from(&self) -> Option<(&Name, Option<i32>)> {
        self.variety.as_ref().filter(|_| self.chance.0 >= DOUBTFUL).map(|variety| (variety, self.packed))
    }

    /// How many to sow of that packet, or of fresh seed, beside what was sown in its stead.
    #[must_use]
    pub fn number(&self) -> Option<u32> {
        self.in_all().map(|number| number.saturating_sub(self.units_since()))
    }

    /// Whether so much was sown in its stead that no more is asked for.
    #[must_use]
    pub fn is_sown(&self) -> bool {
        let number = f64::from(self.in_all().unwrap_or(self.plants));
        f64::from(self.units_since()) >= NEARLY * number
    }

    fn in_all(&self) -> Option<u32> {
        self.from().map_or(self.fresh, |_| Some(self.seeds))
    }

    fn units_since(&self) -> u32 {
        self.since.map_or(0, |since| since.units)
    }
}

/// A sowing in another's stead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SownSince {
    /// The batch that was sown last.
    pub last: BatchLabel,
    /// The day of that.
    pub on: Date,
    /// Units sown since that stand in for this one; each unit stands in for one sowing only.
    pub units: u32,
}

/// A batch that is to be sown again.
pub(super) struct Wanting<'a> {
    pub(super) state: &'a State,
    pub(super) record: &'a Record,
    /// How often a sowing fails altogether here.
    pub(super) fails: f64,
    pub(super) crop: Option<&'a Crop>,
    pub(super) name: &'a CropName,
    pub(super) lot: LotId,
    pub(super) unit: SownUnit,
    pub(super) batch: BatchId,
    /// This sowing as it stands, where that tells of its lot.
    pub(super) this: Option<PastSowing>,
    /// Plants wanted in all, and there.
    pub(super) wanted: u32,
    pub(super) there: u32,
    pub(super) last_frost: &'a LastFrost,
    /// What was sown in its stead.
    pub(super) since: Option<SownSince>,
    pub(super) on: Date,
}

impl Wanting<'_> {
    pub(super) fn sow_again(&self) -> SowAgain {
        let plants = self.wanted.saturating_sub(self.there).max(1);
        let lots = self.best_first(plants);
        let best = lots.first();
        let seed = best.map_or_else(|| self.seed(None, self.lot), |lot| lot.seed.clone());
        let (seeds, chance) = match enough(plants, &seed) {
            Need::Seeds { number, chance } => (number, chance),
            Need::BeyondCap { cap, chance } => (cap, chance),
        };
        let fresh = Seed::of(self.crop, None, self.unit, self.on, std::iter::empty(), self.fails);
        let fresh = match enough(plants, &fresh) {
            Need::Seeds { number, .. } => Some(number),
            Need::BeyondCap { .. } => None,
        };
        let again = SowAgain {
            wanted: self.wanted,
            there: self.there,
            plants,
            seeds,
            chance: Share(chance * (1.0 - seed.dead)),
            comes: seed.comes(),
            fresh,
            variety: best.map(|lot| lot.variety.clone()),
            packed: best.and_then(|lot| lot.packed),
            left: best.and_then(|lot| lot.left),
            lot: best.map(|lot| lot.id),
            by: self.crop.and_then(|crop| last_day(crop, self.last_frost, self.sown_on())),
            since: self.since,
            why: Why::default(),
        };
        SowAgain { why: self.why(&again, &lots), ..again }
    }

    fn sown_on(&self) -> Date {
        self.state.batches.get(&self.batch).map_or(self.on, |batch| batch.begun)
    }

    /// What is wanted still, of which packet and why that one, how many, and until when.
    fn why(&self, again: &SowAgain, lots: &[Choice]) -> Why {
        let there = format!("{}, {} of the {} wanted being there", again.plants, again.there, again.wanted);
        let mut why = Why::default().given("plants to raise", there);
        let (chosen, others) = lots.split_first().map_or((None, lots), |(best, others)| (Some(best), others));
        let from = match (chosen, again.from()) {
            (Some(lot), Some(_)) => format!("{}: {}", lot.told(), preferred(lot, others, again.plants)),
            (Some(lot), None) => {
                format!("fresh seed: {}, and gives enough less than three times in four", lot.told())
            }
            (None, _) => "fresh seed: no packet of it with seed left is noted".to_owned(),
        };
        why = why.given("sow again from", from);
        why = others.iter().take(MOST_TOLD).fold(why, |why, lot| why.given("rather than", lot.told()));
        let nine_in_ten = format!("enough with a chance of {} if the tray does not fail altogether", Share(SURE));
        let seeds = match (again.from(), again.fresh) {
            (Some(_), _) => format!("{}, the fewest that are {nine_in_ten}, {} in all", again.seeds, again.chance),
            (None, Some(fresh)) => format!("{fresh} of a fresh packet, the fewest that are {nine_in_ten}"),
            (None, None) => format!("no number of fresh seed is {nine_in_ten}"),
        };
        why = why.given("seeds to sow again", seeds).given("of the seedlings live to planting out", Share(LIVES));
        why.and(&self.crop.map_or_else(Why::default, |crop| last_day_why(crop, self.last_frost, again.by))).published(
            "the number to sow: the binomial tail mixed over a beta belief, Skellam 1948, J R Stat Soc B 10:257",
        )
    }

    /// Its lots by what they are worth, but before all others the first that will do. How many it takes is reckoned of no more
    /// of them than that asks for: it is most of the work.
    fn best_first(&self, plants: u32) -> Vec<Choice> {
        let mut lots = self.lots();
        // Of equals the newest.
        lots.reverse();
        lots.sort_by(|a, b| b.worth.total_cmp(&a.worth));
        if let Some(at) = lots.iter().position(|lot| lot.will_do(plants)) {
            lots[..=at].rotate_right(1);
        }
        lots
    }

    /// The lots of the crop that are not known to be empty, each with what its seed is worth.
    fn lots(&self) -> Vec<Choice> {
        let mut lots: Vec<(LotId, &Lot, u32)> =
            self.record.lots_of(self.name).map(|(id, of)| (id, &of.lot, of.sown)).collect();
        let of_state = self.state.lots.iter().filter(|(_, lot)| lot.crop == *self.name);
        for (id, lot) in of_state {
            if lots.iter().all(|(known, ..)| known != id) {
                let batches = self.state.batches.values().filter(|batch| batch.lot == *id);
                let sown = batches.map(|batch| self.state.tally(batch).sown).fold(0, u32::saturating_add);
                lots.push((*id, lot, sown));
            }
        }
        let variety = self.state.lots.get(&self.lot).map(|lot| &lot.variety);
        lots.into_iter()
            .map(|(id, lot, sown)| {
                let left = lot.seeds.map(|seeds| seeds.saturating_sub(sown));
                let seed = self.seed(Some(lot), id);
                let lives = seed.comes().0;
                let same = if Some(&lot.variety) == variety { SAME_VARIETY } else { 0.0 };
                let (variety, packed) = (lot.variety.clone(), lot.packed);
                Choice { id, variety, packed, left, seed, worth: lives + same }
            })
            .filter(|lot| lot.left != Some(0))
            .collect()
    }

    fn seed(&self, lot: Option<&Lot>, id: LotId) -> Seed {
        let this = self.this.iter().filter(|this| this.lot == id);
        let others = self.record.of_lot(self.name, id, self.batch);
        Seed::of(self.crop, lot, self.unit, self.on, others.chain(this), self.fails)
    }
}

/// What was sown in the stead of each sowing that is to be sown again: of its crop, from the day on which nothing new was
/// found in it any more. A sowing stands in first for those of its variety and then for others, each seed for one only; what
/// none of them asks for is told with the first.
pub(super) fn in_stead(state: &State, wanting: &BTreeMap<BatchId, &SowAgain>) -> BTreeMap<BatchId, SownSince> {
    let mut open: Vec<Open> = wanting.iter().filter_map(|(id, again)| Open::of(state, *id, again)).collect();
    open.sort_by_key(|open| (open.quiet, open.batch));
    let mut sown: Vec<(&BatchId, &Batch)> = state.batches.iter().collect();
    sown.retain(|(_, batch)| matches!(batch.beginning, Beginning::Sown { .. }));
    sown.sort_by_key(|(id, batch)| (batch.begun, **id));
    let mut stead: BTreeMap<BatchId, SownSince> = BTreeMap::new();
    for (id, batch) in sown {
        let (crop, variety) = part::named(state, batch);
        let (same, other): (Vec<_>, Vec<_>) = open
            .iter_mut()
            .filter(|open| open.crop == crop && open.batch != *id && open.quiet <= batch.begun)
            .partition(|open| open.variety == variety);
        let mut left = state.tally(batch).sown;
        let mut first = None;
        for open in same.into_iter().chain(other) {
            first = first.or(Some(open.batch));
            let units = open.asks.min(left);
            open.asks -= units;
            left -= units;
            if units > 0 {
                stand_in(&mut stead, open.batch, batch, units);
            }
        }
        if let Some(first) = first {
            stand_in(&mut stead, first, batch, left);
        }
    }
    stead
}

fn stand_in(stead: &mut BTreeMap<BatchId, SownSince>, of: BatchId, batch: &Batch, units: u32) {
    let before = stead.get(&of).map_or(0, |since| since.units);
    if units > 0 {
        let units = before.saturating_add(units);
        stead.insert(of, SownSince { last: batch.label, on: batch.begun, units });
    }
}

/// A sowing that is to be sown again, and what it still asks for.
struct Open {
    batch: BatchId,
    crop: CropName,
    variety: Option<Name>,
    /// The day on which its last shoot was found.
    quiet: Date,
    asks: u32,
}

impl Open {
    /// `None` where it was never counted.
    fn of(state: &State, id: BatchId, again: &SowAgain) -> Option<Self> {
        let batch = state.batches.get(&id)?;
        let quiet = state.parts_of(batch).filter_map(|(_, part)| {
            let up = part.counts.last()?.up;
            part.counts.iter().find(|count| count.up == up).map(|count| count.on)
        });
        let (crop, variety) = part::named(state, batch);
        let asks = again.in_all().unwrap_or(again.plants);
        Some(Self { batch: id, crop, variety, quiet: quiet.max()?, asks })
    }
}

/// The fewest seeds that are enough, if they are not a failure altogether.
fn enough(plants: u32, seed: &Seed) -> Need {
    let cap = plants.saturating_mul(MOST_SEEDS_A_PLANT).clamp(1, 1000);
    how_many(plants, Belief::Uncertain(seed.viability), Belief::Known(LIVES), SURE, cap)
}

struct Choice {
    id: LotId,
    variety: Name,
    packed: Option<i32>,
    left: Option<u32>,
    seed: Seed,
    worth: f64,
}

impl Choice {
    /// Whether enough is left of it, as far as that is known, to give the plants wanted as surely as is asked.
    fn will_do(&self, plants: u32) -> bool {
        match enough(plants, &self.seed) {
            Need::Seeds { number, chance } => {
                self.left.is_none_or(|left| left >= number) && chance * (1.0 - self.seed.dead) >= DOUBTFUL
            }
            Need::BeyondCap { .. } => false,
        }
    }

    /// `Copper Lantern 2025, 40 left, about 80 in 100 come up`.
    fn told(&self) -> String {
        let left = self.left.map_or_else(|| "never counted".to_owned(), |left| format!("{left} left"));
        let comes = 100.0 * self.seed.comes().0;
        format!("{}, {left}, about {comes:.0} in 100 come up", packet(&self.variety, self.packed))
    }
}

/// Why a packet was taken before the others.
fn preferred(lot: &Choice, others: &[Choice], plants: u32) -> String {
    let same = format!("the same variety being worth {:.0} in 100", 100.0 * SAME_VARIETY);
    match (lot.will_do(plants), others.iter().any(|other| other.will_do(plants))) {
        _ if others.is_empty() => "the only packet of it with seed left".to_owned(),
        (true, false) => "the only packet likely to give enough".to_owned(),
        (true, true) => format!("of the packets likely to give enough the best, {same}"),
        (false, _) => format!("no packet is likely to give enough alone, and this is the best, {same}"),
    }
}

/// The last day to sow: the latest that the crop is usually planted out less the fewest weeks it is raised.
///
/// Only where a late sowing costs the crop: where the tables name the months of planting out, and for what is raised long
/// and planted after the frosts. The tables' weeks before the last frost say when hardy crops may first go out, not when
/// it is too late: lettuce, peas, beans and beet are sown on into summer. It is that of the year of a sowing; what was sown
/// from August on and too late for it was sown for the next.
fn last_day(crop: &Crop, last_frost: &LastFrost, sown: Date) -> Option<Date> {
    let by = last_day_of(crop, last_frost, sown)?;
    let is_for_next = by < sown && sown.month() >= NEXT_SEASON;
    if is_for_next { last_day_of(crop, last_frost, moved(sown, 52.0)?) } else { Some(by) }
}

/// The last day to sow in the year of a day.
fn last_day_of(crop: &Crop, last_frost: &LastFrost, on: Date) -> Option<Date> {
    let weeks = crop.weeks_to_plant_out()?.low;
    if let Some(months) = crop.plant_out_months() {
        let month = on.with_day(1)?.with_month(months.high.clamp(1, 12))?;
        return moved(month.checked_add_days(Days::new(27))?, -weeks);
    }
    let after_frost = crop.plant_out_from_last_frost_weeks()?.high;
    let takes_the_season = after_frost >= 0.0 && weeks >= RAISED_LONG_WEEKS;
    takes_the_season.then_some(())?;
    moved(last_frost.of_year(on.year())?, after_frost + LATE_WEEKS - weeks)
}

/// What the last day to sow is reckoned from, as [`last_day`] does.
fn last_day_why(crop: &Crop, last_frost: &LastFrost, by: Option<Date>) -> Why {
    let (Some(by), Some(weeks)) = (by, crop.weeks_to_plant_out()) else {
        return Why::default().given("last day to sow again", "none is known of this crop");
    };
    let raised = format!("less the {} weeks it is raised at least", weeks.low);
    let why = Why::default().source(weeks.source.clone());
    if let Some(months) = crop.plant_out_months() {
        let month = u8::try_from(months.high).ok().and_then(|month| chrono::Month::try_from(month).ok());
        let latest = month.map_or("the latest month", |month| month.name());
        let told = format!("{by}: planted out by the end of {latest}, {raised}");
        return why.given("last day to sow again", told).source(months.source.clone());
    }
    let Some(after) = crop.plant_out_from_last_frost_weeks() else { return why };
    let frost = last_frost.of_year(by.year()).map_or_else(String::new, |frost| format!(", {frost}"));
    let told = format!(
        "{by}: planted out by {} weeks after the last frost{frost}, {LATE_WEEKS} weeks late still giving most of a season, {raised}",
        after.high
    );
    why.given("last day to sow again", told).source(after.source.clone()).source(last_frost.source().clone())
}

/// A day so many weeks off; weeks are at most a year or so by the tables.
fn moved(day: Date, weeks: f64) -> Option<Date> {
    let days = Days::new((weeks.abs() * 7.0).round() as u64);
    if weeks < 0.0 { day.checked_sub_days(days) } else { day.checked_add_days(days) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::{CropKey, Trade};

    #[test]
    fn the_last_day_follows_the_frost() {
        let trade = Trade::built_in().unwrap();
        let tomato = trade.crop(&CropKey::new("tomato")).unwrap();
        let weeks = tomato.weeks_to_plant_out().unwrap().low;
        let after = tomato.plant_out_from_last_frost_weeks().unwrap().high;
        let day = |text: &str| text.parse::<Date>().unwrap();
        let own = trade.clone().with_site("last_frost = '20 may'", "settings.toml").unwrap();
        let by = last_day(tomato, own.last_frost(), day("2026-04-01")).unwrap();
        let days = (after + LATE_WEEKS - weeks) * 7.0;
        assert_eq!((by - day("2026-05-20")).num_days(), days.round() as i64);
        let unknown = last_day(tomato, trade.last_frost(), day("2026-04-01")).unwrap();
        assert_eq!((by - unknown).num_days(), 10);
        // Sown on into summer: the tables' weeks before the frost are no last day.
        for name in ["lettuce", "pea", "french bean", "beetroot", "parsley", "courgette"] {
            let crop = trade.crop(&CropKey::new(name)).unwrap();
            assert_eq!(last_day(crop, trade.last_frost(), day("2026-04-01")), None, "{name}");
        }
        // Too late in spring it is over for the year, and what was sown in autumn was sown for the next.
        assert_eq!(last_day(tomato, own.last_frost(), day("2026-06-20")), Some(by));
        let next = last_day(tomato, own.last_frost(), day("2025-11-20")).unwrap();
        assert_eq!(next, by);
        let at_the_end = trade.clone().with_site("last_frost = '31 dec'", "settings.toml").unwrap();
        // At the end of the calendar nothing runs over: three weeks after the frost and two more are the five it is raised.
        assert_eq!(last_day(tomato, at_the_end.last_frost(), Date::MAX), Some(Date::MAX));
    }
}
