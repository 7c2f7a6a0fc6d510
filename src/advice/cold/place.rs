//! One place: its lows and highs of the last weeks and the nights ahead, what was learnt of it, and what stands there.

use crate::journal::{PlaceKind, State};
use crate::quantity::{BatchLabel, Celsius, CropName, Date, Name, PlaceId, Share};
use crate::science::lift::Belief;
use crate::trade::Trade;

use super::Eve;
use super::frosts::LastFrosts;
use super::groups::{Group, groups};
use crate::advice::climate::{Climate, Climates, Cover, Learnt, covered};
use crate::advice::part::{PartAt, after};
use crate::advice::why::Why;

/// Days shown before the one asked about, and nights after it.
const DAYS_BACK: u64 = 27;
const NIGHTS_AHEAD: u32 = 10;

/// What is known of one past day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaceDay {
    /// The day.
    pub day: Date,
    /// Its low, of the night before.
    pub low: Option<Celsius>,
    /// Its high.
    pub high: Option<Celsius>,
    /// Whose figures they are.
    pub known: Known,
}

/// Where a day's figures come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Known {
    /// What is known of it was read there.
    Read,
    /// The low was read there, the high worked out.
    LowRead,
    /// The high was read there, the low worked out.
    HighRead,
    /// It was worked out from the weather outside and what was learnt of the place.
    WorkedOut,
}

impl Known {
    /// In a few words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::LowRead => "low read, high worked out",
            Self::HighRead => "high read, low worked out",
            Self::WorkedOut => "worked out",
        }
    }
}

/// One night to come, covered or not as the place is now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaceNight {
    /// The day its low belongs to.
    pub morning: Date,
    /// The low as likely undercut as not.
    pub low: Celsius,
    /// The low undercut on one such night in ten.
    pub low_cold: Celsius,
    /// The day's high: left shut, where it is under glass; else as forecast.
    pub high: Option<Celsius>,
}

/// One figure of a place's climate, by the book and as it was learnt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LearntLift {
    /// What it is.
    pub what: LiftOf,
    /// What was believed before any reading.
    pub book: Belief,
    /// What is believed now.
    pub now: Belief,
    /// Readings that tell of it.
    pub readings: u32,
    /// The share of what is believed now that still comes from the book.
    share_from_book: f64,
}

/// What a lift is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LiftOf {
    /// Nights without a cover, over the weather outside; in a house over what is usual for its kind.
    Night,
    /// What a cover adds to a night.
    Cover,
    /// Dull days over the weather outside, shut.
    DullDay,
    /// What full sun adds to a day, shut.
    Sun,
}

impl LiftOf {
    /// In a word or two.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Night => "nights",
            Self::Cover => "a cover adds",
            Self::DullDay => "dull days",
            Self::Sun => "full sun adds",
        }
    }
}

impl LearntLift {
    /// The share of what is believed now that still comes from the book, 0 to 1.
    #[must_use]
    pub fn from_book(&self) -> Share {
        Share(self.share_from_book)
    }

    /// `nights +3.1 C, give or take 0.9: 21 read, 12 % still by the book (+2.5 C)`.
    #[must_use]
    pub fn words(&self) -> String {
        format!("{} {}", self.what.words(), self.learnt())
    }

    /// The same without what it is of.
    fn learnt(&self) -> String {
        let (mean, sd, book) = (self.now.mean, self.now.sd, self.book.mean);
        if self.readings == 0 {
            return format!("{mean:+.1} C, give or take {sd:.1}: all by the book, nothing read yet that tells");
        }
        let (readings, from_book) = (self.readings, self.from_book());
        format!("{mean:+.1} C, give or take {sd:.1}: {readings} read, {from_book} still by the book ({book:+.1} C)")
    }
}

/// A batch in the place.
#[derive(Clone, Debug, PartialEq)]
pub struct StandsThere {
    /// Its number.
    pub label: BatchLabel,
    /// Its crop.
    pub crop: CropName,
    /// Its parts there.
    pub parts: Vec<PartAt>,
    /// Its working floor at its present hardening; `None` for a crop of which no limit is known.
    pub floor: Option<Celsius>,
    /// How hardened its softest part is.
    pub hardened: Share,
}

/// All there is to say of one place.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceView {
    /// The place.
    pub place: PlaceId,
    /// Its name.
    pub name: Name,
    /// Its kind.
    pub kind: PlaceKind,
    /// Covered now.
    pub cover: Cover,
    /// True for the open place whose readings stand for the weather outside.
    pub is_outside: bool,
    /// The last weeks, oldest first, to the day asked about.
    pub days: Vec<PlaceDay>,
    /// The nights ahead that are forecast, tonight first.
    pub nights: Vec<PlaceNight>,
    /// The last frosts of the springs read there, for the place whose readings stand for the weather outside and where
    /// earlier years were looked up.
    pub frosts: Option<LastFrosts>,
    /// What was learnt, nights first.
    pub lifts: Vec<LearntLift>,
    /// What stands there, the tenderest first.
    pub standing: Vec<StandsThere>,
    /// How it was come by.
    pub why: Why,
}

impl PlaceView {
    /// The floor of the tenderest thing there.
    #[must_use]
    pub fn floor(&self) -> Option<Celsius> {
        self.standing.first().and_then(|row| row.floor)
    }
}

/// Every place, in the order they were named.
#[must_use]
pub fn place_views(state: &State, trade: &Trade, on: Date) -> Vec<PlaceView> {
    let climates = Climates::learn(state, trade, on);
    let groups = groups(state, trade, &climates);
    let eve = Eve { state, trade, climates: &climates, on, hour: None };
    climates.places().iter().map(|(id, climate)| view(&eve, &groups, *id, climate)).collect()
}

fn view(eve: &Eve<'_>, groups: &[Group], place: PlaceId, climate: &Climate) -> PlaceView {
    let mut standing: Vec<StandsThere> = groups
        .iter()
        .filter(|group| group.place == place)
        .map(|group| StandsThere {
            label: group.label,
            crop: group.crop.clone(),
            parts: group.parts.clone(),
            floor: group.floor.map(|floor| floor.now),
            hardened: group.hardened,
        })
        .collect();
    let floor = |row: &StandsThere| row.floor.map_or(f64::NEG_INFINITY, |floor| floor.0);
    standing.sort_by(|a, b| floor(b).total_cmp(&floor(a)).then(a.label.cmp(&b.label)));
    let first = eve.on.checked_sub_days(chrono::Days::new(DAYS_BACK)).unwrap_or(eve.on);
    let nights = (1..=NIGHTS_AHEAD).filter_map(|ahead| {
        let morning = after(eve.on, ahead);
        let night = eve.climates.night(place, morning, climate.cover)?;
        let shut = eve.climates.shut_day(place, morning, climate.air).map(|shut| shut.high);
        let outside = eve.climates.forecast(morning).map(|forecast| forecast.high);
        let high = shut.or(outside.filter(|_| !climate.kind.is_indoors()));
        Some(PlaceNight { morning, low: night.low.quantile(0.5), low_cold: night.low.quantile(0.1), high })
    });
    let lifts = lifts(climate);
    PlaceView {
        place,
        name: climate.name.clone(),
        kind: climate.kind,
        cover: climate.cover,
        is_outside: climate.is_outside,
        days: first.iter_days().take_while(|day| *day <= eve.on).map(|day| past(eve, place, day)).collect(),
        nights: nights.collect(),
        frosts: None,
        why: why(climate, &lifts),
        lifts,
        standing,
    }
}

fn past(eve: &Eve<'_>, place: PlaceId, day: Date) -> PlaceDay {
    let read = eve.climates.read(place, day);
    if let (Some(low), Some(high)) = (read.low, read.high) {
        return PlaceDay { day, low: Some(low), high: Some(high), known: Known::Read };
    }
    let night_before = day.pred_opt().unwrap_or(day);
    let cover = if covered(eve.state, place, night_before) { Cover::On } else { Cover::Off };
    let worked = eve.climates.past_day(place, day, cover);
    let low = read.low.or(worked.map(|range| range.low()));
    let high = read.high.or(worked.map(|range| range.high()));
    let known = match (read.low, read.high, worked) {
        (Some(_), None, None) | (None, Some(_), None) => Known::Read,
        (Some(_), ..) => Known::LowRead,
        (None, Some(_), _) => Known::HighRead,
        (None, None, _) => Known::WorkedOut,
    };
    PlaceDay { day, low, high, known }
}

fn lifts(climate: &Climate) -> Vec<LearntLift> {
    let pair = |learnt: Learnt, base: LiftOf, effect: LiftOf| {
        let lift =
            |what, book, now, readings, share_from_book| LearntLift { what, book, now, readings, share_from_book };
        let Learnt { book, now, readings, from_book } = learnt;
        [lift(base, book.0, now.0, readings.0, from_book.0), lift(effect, book.1, now.1, readings.1, from_book.1)]
    };
    let mut lifts: Vec<LearntLift> = Vec::new();
    let nights = pair(climate.nights(), LiftOf::Night, LiftOf::Cover);
    // Open ground is the weather outside itself: only a cover makes a difference to it.
    lifts.extend(nights.into_iter().filter(|lift| match lift.what {
        LiftOf::Night => !climate.is_outside,
        _ => climate.can_be_covered(),
    }));
    lifts.extend(climate.days().into_iter().flat_map(|days| pair(days, LiftOf::DullDay, LiftOf::Sun)));
    lifts
}

fn why(climate: &Climate, lifts: &[LearntLift]) -> Why {
    let rule = if climate.kind.is_indoors() {
        "the air of a house hardly follows the weather: what is usual for its kind, moved toward its readings"
    } else if climate.is_outside {
        "its readings stand for the weather outside"
    } else {
        "low (or high) of the place less that outside, on the same night (or day): what is usual for its kind, moved \
         toward its own readings as these come in"
    };
    let why = lifts.iter().fold(Why::new(rule), |why, lift| why.given(lift.what.words(), lift.learnt()));
    let why = climate.sources.iter().fold(why, |why, source| why.source(source.clone()));
    why.published("Gelman and others, Bayesian Data Analysis, 3rd edition, chapter 14 (the normal linear model)")
        .practice("days are learnt only when dull or so hot that the lights were plainly shut")
        .doubt("an edge is colder than the middle, and a screen is not a leaf")
        .changes("more readings of lowest and highest, here and outside")
}
