//! What is believed of a sowing before it is counted: how much of its seed is alive, and how likely it is that none is.

use crate::journal::{Lot, SeedOrigin};
use crate::quantity::{Date, Share, SownUnit};
use crate::science::beta::Beta;
use crate::trade::Crop;

use super::record::PastSowing;
use super::verdict::WANTED_SHARE;

// All figures here are common practice, no source, unless one is named.

/// A tray brings up less than the laboratory found, for depth, drought and rot: this share of it.
const IN_A_TRAY: f64 = 0.92;
/// What seed for sale gives over the least the law allows: half of the way from there to all of it.
const OVER_LEGAL: f64 = 0.5;
/// Without a figure of any kind.
const UNKNOWN: f64 = 0.75;
/// Seeds that each ground is worth: a packet's own figure, the law's, none.
const STATED_WEIGHS: f64 = 10.0;
const LEGAL_WEIGHS: f64 = 7.0;
const UNKNOWN_WEIGHS: f64 = 4.0;
const PINCH_WEIGHS: f64 = 2.0;
/// Seed saved at home was not tested.
const HOME_SAVED_WEIGHS: f64 = 0.6;
/// Years seed keeps when no table says.
const UNKNOWN_YEARS: f64 = 4.0;
/// Half of the seed is dead at this many times the years it keeps, and fresh seed loses little before.
const HALF_DEAD: f64 = 1.6;
const STEEPNESS: i32 = 4;
/// The same lot's earlier trays speak for this many seeds at most, since no two trays are alike.
const RECORD_WEIGHS: f64 = 30.0;
/// A fresh packet, or its tray, fails altogether one time in twelve: dead seed, rot, mice, a dried-out week. The grower's
/// own sowings correct it, as much as so many of them weigh.
const FAILS: f64 = 0.08;
const FAILS_WEIGHS: f64 = 12.0;
/// A tray fails half as often when its lot has come up before, or beside it.
pub(super) const OF_LIVE_LOT: f64 = 0.5;
/// Of fewer seeds than this none may come by chance.
pub(super) const ENOUGH_SOWN: u32 = 5;
/// Seed known to be poor is sown so many times as thickly, at most.
const SOWN_THICKLY: f64 = 2.0;
/// A sowing fails so often, or oftener, when the lot's trays before it failed altogether.
const AFTER_A_FAILURE: f64 = 0.4;
/// A pinch without a shoot speaks for half as many seeds as it was guessed at, and no more than so many.
const PINCH_SPEAKS: u32 = 20;
/// Seed of which nothing is left alive by age fails no oftener than this, since some packets keep for ever.
const OLD_FAILS: f64 = 0.5;

/// The seeds that a sowing speaks for: those counted out, of a pinch without a shoot what is safe to say, and none where it had
/// not its time to show one.
pub(super) fn speaks_for(past: &PastSowing) -> u32 {
    match past.up {
        0 if !past.had_its_time => 0,
        0 if past.sown == 0 => (past.pinch / 2).min(PINCH_SPEAKS),
        _ => past.sown,
    }
}

/// How often a sowing fails altogether here, after so many that failed of all that are over.
pub(super) fn fails(failed: usize, all: usize) -> f64 {
    (FAILS * FAILS_WEIGHS + failed as f64) / (FAILS_WEIGHS + all as f64)
}

/// What is believed of a sowing's seed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Seed {
    /// The share alive, if it is not a failure altogether.
    pub(super) viability: Beta,
    /// The chance that it is.
    pub(super) dead: f64,
    /// The share that a grower who sows it counts on: what sound seed with its figures gives, and what the lot was known to give
    /// on that day where that is less. Seed that turns out dead was not sown for nothing.
    pub(super) counted_on: f64,
    /// What it rests on, for "why".
    pub(super) grounds: Vec<Ground>,
}

/// One thing that a belief in seed rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Ground {
    /// Germination stated on the packet.
    Stated(Share),
    /// Least germination the law allows.
    Legal(Share),
    /// Saved at home, and so not tested.
    HomeSaved,
    /// Years since it was packed, where so many are usual.
    Age { age: f64, usual: f64 },
    /// Up of sown in other trays of the lot that had their time.
    Before { up: f64, sown: f64 },
    /// Up in other trays of the lot of which no rate is known: more may come there, or they were sown by the pinch.
    Shoots { up: u32 },
    /// Other trays without a shoot, of a lot that has some in others.
    Silent { trays: usize },
}

impl Ground {
    /// What it is, and its value in words.
    pub(super) fn told(self) -> (&'static str, String) {
        match self {
            Self::Stated(share) => ("stated germination", share.to_string()),
            Self::Legal(share) => ("least germination the law allows", share.to_string()),
            Self::HomeSaved => ("saved at home", "not tested".to_owned()),
            Self::Age { age, usual } => ("age in years", format!("{age}, where {usual} are usual")),
            Self::Before { up, sown } => ("this lot in other trays", format!("{up} of {sown} up")),
            Self::Shoots { up } => ("shoots of this lot in other trays, their rate not known yet", up.to_string()),
            Self::Silent { trays } => ("other trays of this lot without a shoot", trays.to_string()),
        }
    }
}

impl Seed {
    /// The share of it that comes up, by all that is known of it.
    pub(super) fn comes(&self) -> Share {
        Share((1.0 - self.dead) * self.viability.mean())
    }

    /// Whether it gives less than is wanted of it even where it does not fail.
    pub(super) fn is_poor(&self) -> bool {
        self.viability.mean() < WANTED_SHARE * self.counted_on
    }

    /// The belief in a lot sown on a day, `lately` being its other sowings, over or with shoots, and `fails` how often a
    /// sowing does altogether.
    pub(super) fn of<'a>(
        crop: Option<&Crop>,
        lot: Option<&Lot>,
        unit: SownUnit,
        sown_on: Date,
        lately: impl Iterator<Item = &'a PastSowing>,
        fails: f64,
    ) -> Self {
        let mut grounds = Vec::new();
        let legal = crop.and_then(Crop::legal_germination);
        let (tested, mut weight) = if let Some(stated) = lot.and_then(|lot| lot.stated) {
            grounds.push(Ground::Stated(stated));
            (stated.0, STATED_WEIGHS)
        } else if let Some(legal) = &legal {
            grounds.push(Ground::Legal(legal.low));
            (legal.low.0 + (1.0 - legal.low.0) * OVER_LEGAL, LEGAL_WEIGHS)
        } else {
            (UNKNOWN, UNKNOWN_WEIGHS)
        };
        if lot.is_some_and(|lot| lot.origin == SeedOrigin::HomeSaved) {
            weight *= HOME_SAVED_WEIGHS;
            grounds.push(Ground::HomeSaved);
        }
        if unit == SownUnit::Pinch {
            weight = PINCH_WEIGHS;
        }
        let kept = kept(crop, lot, sown_on, &mut grounds);
        let sound = tested * IN_A_TRAY;
        let mean = (sound * kept).clamp(0.02, 0.98);
        weight *= 0.5 + 0.5 * kept;
        let mut dead = fails + (OLD_FAILS.max(fails) - fails) * (1.0 - kept);
        // What failed and still stands says nothing of seed that was sown beside it, and waits for the same warmth.
        let speaks = |past: &&PastSowing| past.up > 0 || !past.stands || past.known_on <= sown_on;
        let lately: Vec<&PastSowing> = lately.filter(speaks).collect();
        let told = Told::of(&lately);
        told.ground(&mut grounds);
        if told.lives > 0 {
            dead = told.fails(fails);
        } else if told.sown > 0.0 {
            // An earlier tray without a shoot makes a dead packet likely, though it may have been the tray; but of a seed or
            // two none may come of a good one.
            let by_chance = none_of(told.sown, beta(mean * weight, weight));
            dead = dead.max(AFTER_A_FAILURE * dead / (dead + (1.0 - dead) * by_chance));
        }
        let viability_by = |told: &Told| {
            let scale = (RECORD_WEIGHS / told.sown.max(1.0)).min(1.0);
            beta(mean * weight + told.up * scale, weight + told.sown * scale)
        };
        let viability = viability_by(&told);
        // Trays sown together do not excuse one another: only what was known by then made the grower count on less.
        let by_then: Vec<&PastSowing> = lately.into_iter().filter(|past| past.known_on <= sown_on).collect();
        let known = Told::of(&by_then);
        let counted_on =
            if known.up > 0.0 { viability_by(&known).mean().min(sound).max(sound / SOWN_THICKLY) } else { sound };
        Self { viability, dead, counted_on, grounds }
    }
}

/// What other trays of a lot tell of it.
#[derive(Default)]
struct Told {
    /// Up and sown in those that tell its rate.
    up: f64,
    sown: f64,
    /// Trays with shoots, and up in those that do not tell a rate.
    lives: usize,
    shoots: u32,
    /// Trays without a shoot, where others have some: it was the tray and not the packet, so they tell no rate.
    silent: usize,
}

impl Told {
    fn of(lately: &[&PastSowing]) -> Self {
        let mut told = Self { lives: lately.iter().filter(|past| past.up > 0).count(), ..Self::default() };
        for &past in lately {
            let seeds = speaks_for(past);
            if told.lives > 0 && past.up == 0 && seeds >= ENOUGH_SOWN {
                told.silent += 1;
            } else if seeds > 0 {
                told.up += f64::from(past.up.min(seeds));
                told.sown += f64::from(seeds);
            } else {
                told.shoots = told.shoots.saturating_add(past.up);
            }
        }
        told
    }

    /// How often a tray of a packet that lives fails altogether, where one does so often: corrected by its own trays as that
    /// is by all.
    fn fails(&self, fails: f64) -> f64 {
        let trays = FAILS_WEIGHS + (self.lives + self.silent) as f64;
        (fails * OF_LIVE_LOT * FAILS_WEIGHS + self.silent as f64) / trays
    }

    fn ground(&self, grounds: &mut Vec<Ground>) {
        if self.sown > 0.0 {
            grounds.push(Ground::Before { up: self.up, sown: self.sown });
        }
        if self.shoots > 0 {
            grounds.push(Ground::Shoots { up: self.shoots });
        }
        if self.silent > 0 {
            grounds.push(Ground::Silent { trays: self.silent });
        }
    }
}

/// The chance that none of so many seeds comes, of seed that is no failure altogether.
///
/// Source: the beta-binomial at nought, Gelman et al. 2013, Bayesian Data Analysis, section 2.4, as a product.
fn none_of(sown: f64, seed: Beta) -> f64 {
    // A thousand are as good as any number.
    let seeds = sown.min(1000.0) as u32;
    (0..seeds).map(f64::from).map(|before| (seed.b() + before) / (seed.a() + seed.b() + before)).product()
}

/// The belief worth `weight` seeds of which `alive` were alive, kept within what can be computed.
#[expect(clippy::expect_used, reason = "both shapes are held within 0.05 and a thousand")]
fn beta(alive: f64, weight: f64) -> Beta {
    let shape = |value: f64| if value.is_nan() { 1.0 } else { value.clamp(0.05, 1000.0) };
    Beta::new(shape(alive), shape(weight - alive)).expect("both shapes are in range")
}

/// Whether seed was older on a day than such seed keeps.
pub(super) fn is_past_its_years(crop: Option<&Crop>, lot: &Lot, sown_on: Date) -> bool {
    age(lot, sown_on).is_some_and(|age| age > years(crop))
}

/// The years since a lot was packed. A packet stamped for a season was harvested the summer before, so its first season
/// counts as no age.
fn age(lot: &Lot, sown_on: Date) -> Option<f64> {
    lot.packed.map(|packed| f64::from(chrono::Datelike::year(&sown_on).saturating_sub(packed).clamp(0, 100)))
}

fn years(crop: Option<&Crop>) -> f64 {
    crop.and_then(Crop::longevity_years).map_or(UNKNOWN_YEARS, |years| years.low.max(0.5))
}

/// The share of fresh seed's life that is left by age: 1 when the year is not known.
fn kept(crop: Option<&Crop>, lot: Option<&Lot>, sown_on: Date, grounds: &mut Vec<Ground>) -> f64 {
    let Some(age) = lot.and_then(|lot| age(lot, sown_on)) else { return 1.0 };
    let years = years(crop);
    if age > 0.0 {
        grounds.push(Ground::Age { age, usual: years });
    }
    1.0 / (1.0 + (age / (HALF_DEAD * years)).powi(STEEPNESS))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::Treatment;
    use crate::quantity::{BatchId, CropName, EntryId, LotId, Name};
    use crate::trade::{CropKey, Trade};

    fn seed(crop: &str, packed: Option<i32>, stated: Option<f64>, lately: &[(u32, u32)]) -> Seed {
        let trade = Trade::built_in().unwrap();
        let lot = Lot {
            crop: CropName::new(crop).unwrap(),
            variety: Name::new("First").unwrap(),
            packed,
            stated: stated.map(Share),
            seeds: None,
            origin: SeedOrigin::Packet,
        };
        let past: Vec<PastSowing> = lately
            .iter()
            .map(|&(up, sown)| PastSowing {
                batch: BatchId(EntryId(9)),
                crop: lot.crop.clone(),
                variety: lot.variety.clone(),
                lot: LotId(EntryId(1)),
                sown_on: "2026-03-01".parse().unwrap(),
                treatment: Treatment::None,
                on_paper: false,
                sown,
                pinch: 0,
                up,
                stands: false,
                known_on: "2026-03-14".parse().unwrap(),
                had_its_time: true,
            })
            .collect();
        let crop = trade.crop(&CropKey::new(crop)).cloned();
        Seed::of(crop.as_ref(), Some(&lot), SownUnit::Seed, "2026-03-15".parse().unwrap(), past.iter(), FAILS)
    }

    #[test]
    fn each_ground_moves_the_belief_its_own_way() {
        let mean = |seed: &Seed| seed.viability.mean();
        let fresh = seed("tomato", Some(2026), Some(0.9), &[]);
        assert!((mean(&fresh) - 0.9 * IN_A_TRAY).abs() < 1e-9);
        assert!(mean(&seed("tomato", Some(2026), Some(0.6), &[])) < mean(&fresh));
        // 7 CFR 201.31: 75 in a hundred of tomato, and so less than a packet that states 90.
        let legal = seed("tomato", None, None, &[]);
        assert!(mean(&legal) < mean(&fresh) && mean(&legal) > 0.75 * IN_A_TRAY);
        // Tomato keeps four years (Iowa State University Extension 1999): at twelve it is mostly dead, and doubtful.
        let old = seed("tomato", Some(2014), Some(0.9), &[]);
        assert!(mean(&old) < 0.3 && old.dead > 3.0 * fresh.dead);
        assert!(old.viability.a() + old.viability.b() < fresh.viability.a() + fresh.viability.b());
        // Its own trays speak louder than the packet, and a lot that has come up is not dead.
        let poor = seed("tomato", Some(2026), Some(0.9), &[(30, 100)]);
        assert!(mean(&poor) < 0.5 && poor.dead < fresh.dead);
        let none = seed("tomato", Some(2026), Some(0.9), &[(0, 40)]);
        assert!(none.dead > 4.0 * fresh.dead);
        // One seed of which nothing came may have been the one in four.
        let one = seed("tomato", Some(2026), Some(0.9), &[(0, 1)]);
        assert!(one.dead < 2.0 * fresh.dead && mean(&one) > 0.9 * mean(&fresh), "{} {}", one.dead, mean(&one));
        let unknown = seed("no such crop", None, None, &[]);
        assert!((mean(&unknown) - UNKNOWN * IN_A_TRAY).abs() < 1e-9);
    }

    /// Source: the beta-binomial mean, Gelman et al. 2013, 2.8, with one failure in twelve and a half seen beforehand.
    #[test]
    fn own_failures_are_learnt_from() {
        assert!((fails(0, 0) - FAILS).abs() < 1e-12);
        assert!((fails(5, 20) - 5.96 / 32.0).abs() < 1e-12);
        assert!(fails(0, 40) < FAILS / 4.0);
    }

    #[test]
    fn absurd_grounds_stay_in_range() {
        for (packed, stated) in [(Some(i32::MIN), Some(0.0)), (Some(i32::MAX), Some(1.0)), (Some(1500), None)] {
            let seed = seed("parsnip", packed, stated, &[(0, 0), (u32::MAX, u32::MAX)]);
            assert!((0.0..=1.0).contains(&seed.viability.mean()) && (0.0..=1.0).contains(&seed.dead));
        }
    }
}
