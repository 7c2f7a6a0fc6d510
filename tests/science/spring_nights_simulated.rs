//! The learnt climate and the cold alarm over simulated springs: real NOAA weather, a synthetic frame of known lift,
//! forecasts of known error, fixed seeds.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop on the first surprise")]

use crate::cold_alarms::{FRAME, reads, standing};
use crate::dice::Dice;
use chrono::Datelike;
use thumbpot::advice::{Climates, Cover};
use thumbpot::journal::{Forecast, State};
use thumbpot::quantity::{Celsius, Date, Share};
use thumbpot::science::cold_risk::{Advice, Costs, Shelter, Sky, Work, leaf_allowance, tonight};
use thumbpot::science::day_range::DayRange;
use thumbpot::science::hardening::{HardeningRule, harden, working_floor};
use thumbpot::science::heat::sun_from_swing;
use thumbpot::science::lift::{Belief, Lift};
use thumbpot::science::place_climate::{Heat, PlaceLow};
use thumbpot::science::spread::Spread;
use thumbpot::trade::{Provenance, Setting, Structure, Trade};

const FORECAST_SD: f64 = 1.5;
/// How far a frame's lift varies from night to night. Common practice, no source.
const SCATTER: f64 = 0.9;

/// What the program believes of a cold frame before any reading: its lift, and what a mat adds.
fn book() -> (Belief, Belief) {
    let from = Date::from_ymd_opt(2012, 3, 1).unwrap();
    let climates = Climates::learn(&standing(&[], FRAME, from), &Trade::built_in().unwrap(), from);
    climates.places()[&FRAME].nights().book
}

/// The lifts that are published of cold frames at night, lowest and highest of all rows: 2.8 to 5.6 (University of Missouri
/// Extension G6965, "usually no more than"; 3.3 to 5.6 by one logger in New York State).
fn published() -> (f64, f64) {
    let trade = Trade::built_in().unwrap();
    let rows = trade.microclimate(Structure::ColdFrame, Setting::Night).map(|row| &row.figure);
    let rows: Vec<_> = rows.filter(|figure| figure.source.provenance == Provenance::Published).collect();
    let low = rows.iter().map(|figure| figure.low.0).fold(f64::INFINITY, f64::min);
    (low, rows.iter().map(|figure| figure.high.0).fold(low, f64::max))
}

/// The lifts of frames, anywhere in what is published.
fn published_lifts() -> impl Fn(&mut Dice) -> f64 {
    let (low, high) = published();
    move |dice| low + (high - low) * dice.share()
}

fn springs() -> Vec<Vec<(Date, DayRange)>> {
    let mut springs = Vec::new();
    for location in ["Seattle", "NewYork"] {
        let days = crate::noaa_series::days(location);
        for year in 2012..=2015 {
            let spring = days.iter().filter(|(date, _)| date.year() == year && (3..=5).contains(&date.month()));
            springs.push(spring.copied().collect());
        }
    }
    springs
}

/// A frame whose grower reads a thermometer in it and one outside every morning, notes the forecast every evening and lays
/// a mat on nights forecast under 2 C.
struct Read {
    state: State,
    /// How far its nights truly stand over those outside, and what the mat adds.
    lift: f64,
    mat: f64,
    covered: bool,
}

impl Read {
    fn new(from: Date, lift: f64, mat: f64) -> Self {
        Self { state: standing(&[], FRAME, from), lift, mat, covered: false }
    }

    /// The morning's readings; the low that they are.
    fn morning(&mut self, (today, outside): (Date, DayRange), dice: &mut Dice) -> Celsius {
        let mat = if self.covered { self.mat } else { 0.0 };
        let low = outside.low().0 + self.lift + mat + dice.normal(0.0, SCATTER);
        reads(&mut self.state, today, crate::cold_alarms::OUTSIDE, outside);
        reads(&mut self.state, today, FRAME, DayRange::new(Celsius(low), Celsius(outside.high().0.max(low))).unwrap());
        Celsius(low)
    }

    fn evening(&mut self, today: Date, forecast_low: f64) {
        let (low, high) = (Celsius(forecast_low), Celsius(forecast_low + 8.7));
        self.state.forecasts.insert(today.succ_opt().unwrap(), Forecast { noted: today, low, high });
        self.covered = forecast_low < 2.0;
        self.state.covers.push((today, FRAME, self.covered));
    }
}

/// Where the true low of each night fell in what the program said of it the evening before, 0 to 1: so many times eight
/// springs, each in a frame of its own, of so many of its evenings.
fn ranks(lift: impl Fn(&mut Dice) -> f64, times: usize, evenings: std::ops::Range<usize>) -> Vec<f64> {
    let (trade, mut dice, mut ranks) = (Trade::built_in().unwrap(), Dice(2024), Vec::new());
    let mat = book().1;
    for spring in std::iter::repeat_n(springs(), times).flatten() {
        let (lift, mat) = (lift(&mut dice), dice.normal(mat.mean, mat.sd));
        let mut frame = Read::new(spring[0].0, lift, mat);
        frame.morning(spring[0], &mut dice);
        for (evening, days) in spring.windows(2).enumerate().take(evenings.end) {
            let today = days[0].0;
            frame.evening(today, days[1].1.low().0 - dice.normal(0.0, FORECAST_SD));
            let climates = Climates::learn(&frame.state, &trade, today);
            let cover = if frame.covered { Cover::On } else { Cover::Off };
            let said = climates.night(FRAME, days[1].0, cover).unwrap();
            let rank = said.low.below(frame.morning(days[1], &mut dice));
            ranks.extend(evenings.contains(&evening).then_some(rank));
        }
    }
    ranks
}

/// Chi-square of shares in twenty equal bins.
fn chi_square(ranks: &[f64]) -> f64 {
    let mut bins = [0_u32; 20];
    for rank in ranks {
        bins[((rank * 20.0) as usize).min(19)] += 1;
    }
    let expected = ranks.len() as f64 / 20.0;
    bins.iter().map(|count| (f64::from(*count) - expected).powi(2) / expected).sum()
}

/// The evenings in which a belief that is off for its frame may show.
const FIRST: usize = 4;

/// Chi-square with 19 degrees of freedom is above 36.191 once in a hundred (printed table). Of frames as they are believed
/// to be every night is as it was said; of those that are published, which are warmer, from the fifth on, and before that
/// they are taken for colder. So their belief stays where it is: it is off to the side that warns, and for four nights.
#[test]
fn ranks_of_the_true_low_are_uniform() {
    let (lift, _) = book();
    let all = chi_square(&ranks(|dice| dice.normal(lift.mean, lift.sd), 10, 0..usize::MAX));
    let later = chi_square(&ranks(published_lifts(), 10, FIRST..usize::MAX));
    let first = ranks(published_lifts(), 50, 0..FIRST);
    // Without sun a frame sits near the temperature outside (a garden page, single site, in the same table): up to what is
    // usual at least.
    let cold = ranks(|dice| dice.share() * (lift.mean - lift.sd), 50, 0..FIRST);
    let under = |ranks: &[f64]| ranks.iter().filter(|rank| **rank < 0.1).count() as f64 / ranks.len() as f64;
    let (under_published, under_cold) = (under(&first), under(&cold));
    let first = chi_square(&first);
    println!(
        "chi-square of ranks (limit 36.2): frames as believed {all:.1}; as published {later:.1} from evening {}, {first:.1} \
         before it. Then colder than one night in ten is to be: {:.0} % as published, {:.0} % in frames of hardly any lift",
        FIRST + 1,
        100.0 * under_published,
        100.0 * under_cold
    );
    assert!(all < 36.191, "{all}");
    assert!(later < 36.191, "{later}");
    assert!(first > 36.191, "a belief that is off must show: {first}");
    assert!(under_published < 0.1, "what is warmer than believed is taken for colder: {under_published}");
    assert!(under_cold < 0.2, "a night colder than was said is the one that harms: {under_cold}");
}

/// Common practice, no source: a fortnight's readings tell a grower how warm the frame runs.
#[test]
fn the_lift_is_learnt_within_a_few_weeks() {
    let (trade, lifts, mut dice) = (Trade::built_in().unwrap(), published_lifts(), Dice(7));
    let spring = springs().remove(0);
    let mut nights: Vec<usize> = (0..40)
        .map(|_| {
            let truth = lifts(&mut dice);
            let mut frame = Read::new(spring[0].0, truth, 0.0);
            let mut last_off = 0;
            for (night, day) in (1..).zip(&spring) {
                frame.morning(*day, &mut dice);
                let learnt = Climates::learn(&frame.state, &trade, day.0).places()[&FRAME].night_lift().mean;
                if (learnt - truth).abs() > 0.5 {
                    last_off = night;
                }
            }
            assert!(last_off < spring.len(), "after a whole spring");
            last_off + 1
        })
        .collect();
    nights.sort_unstable();
    println!(
        "nights until the learnt lift stays within 0.5 C: median {}, 9 in 10 {}, worst {}",
        nights[20], nights[36], nights[39]
    );
    assert!(nights[20] <= 7 && nights[36] <= 14 && nights[39] <= 21);
}

/// A kind of plant in the simulated frame, from the first of a month to the end of May.
struct Kind {
    name: &'static str,
    rule: HardeningRule,
    soft_floor: f64,
    hard_floor: f64,
    from_month: u32,
    state: f64,
    costs: Costs,
}

/// Working limits, common practice: brassicas and alliums -4 hardened, lettuce -2, tomato 7 to 9 (a death point of 0
/// is no working limit).
fn kinds() -> [Kind; 3] {
    [
        Kind {
            name: "hardy",
            rule: HardeningRule::HARDY,
            soft_floor: 0.0,
            hard_floor: -4.0,
            from_month: 3,
            state: 0.0,
            costs: Costs::hardy(Work::Carry),
        },
        Kind {
            name: "half hardy",
            rule: HardeningRule::HALF_HARDY,
            soft_floor: 0.0,
            hard_floor: -2.0,
            from_month: 4,
            state: 0.0,
            costs: Costs::half_hardy(Work::Carry),
        },
        Kind {
            name: "tender",
            rule: HardeningRule::TENDER,
            soft_floor: 9.0,
            hard_floor: 7.0,
            from_month: 5,
            state: 0.0,
            costs: Costs::tender(Work::Carry),
        },
    ]
}

#[derive(Clone, Copy, Default)]
struct Tally {
    nights: u32,
    harmful: u32,
    warned: u32,
    false_alarms: u32,
}

impl Tally {
    fn note(&mut self, alarm: bool, harmful: bool) {
        self.nights += 1;
        self.harmful += u32::from(harmful);
        self.warned += u32::from(alarm && harmful);
        self.false_alarms += u32::from(alarm && !harmful);
    }

    fn plus(self, other: Self) -> Self {
        Self {
            nights: self.nights + other.nights,
            harmful: self.harmful + other.harmful,
            warned: self.warned + other.warned,
            false_alarms: self.false_alarms + other.false_alarms,
        }
    }

    fn alarms(self) -> u32 {
        self.warned + self.false_alarms
    }

    fn words(self) -> String {
        let share = 100.0 * f64::from(self.warned) / f64::from(self.harmful.max(1));
        let weekly = 7.0 * f64::from(self.false_alarms) / f64::from(self.nights);
        format!(
            "{} of {} harmful nights warned ({share:.1} %), {weekly:.2} false alarms a week",
            self.warned, self.harmful
        )
    }
}

fn sky(day: DayRange) -> Sky {
    match sun_from_swing(day.spread()) {
        sun if sun > 0.75 => Sky::Clear,
        sun if sun < 0.35 => Sky::Overcast,
        _ => Sky::Broken,
    }
}

/// The frame's day, propped open so as not to pass 24 C where the weather allows.
fn frame_day(outside: DayRange, low: f64) -> DayRange {
    let shut = outside.high().0 + 1.5 + 12.0 * sun_from_swing(outside.spread());
    DayRange::new(Celsius(low), Celsius(shut.min(outside.high().0.max(24.0)).max(low))).unwrap()
}

/// What the alarm does not know: how warm the frame runs, and how far forecasts are really off.
#[derive(Clone, Copy)]
struct Frame {
    base: f64,
    forecast_sd: f64,
}

/// One spring of one frame: our alarm and the rule of thumb, for each kind.
fn one_spring(dice: &mut Dice, spring: &[(Date, DayRange)], kinds: &mut [Kind], frame: Frame) -> Vec<(Tally, Tally)> {
    let Frame { base, forecast_sd } = frame;
    let (usual, mat) = book();
    let mut lift = Lift::new(usual, mat, 1.0).unwrap();
    let mut tallies = vec![(Tally::default(), Tally::default()); kinds.len()];
    for (date, day) in spring {
        let forecast = Celsius(day.low().0 - dice.normal(0.0, forecast_sd));
        // One evening in four the sky is not known.
        let seen = if dice.share() < 0.25 { Sky::Broken } else { sky(*day) };
        let low = day.low().0 + base + dice.normal(0.0, SCATTER);
        let leaf = low - leaf_allowance(sky(*day), Shelter::Covered);
        let error = Spread::normal(0.0, FORECAST_SD);
        let at_leaf = Celsius(forecast.0 - leaf_allowance(seen, Shelter::Covered));
        let predicted = PlaceLow::new(at_leaf, &error, &lift.predict(0.0).unwrap(), Heat::Unheated);
        for (kind, (ours, thumb)) in kinds.iter_mut().zip(&mut tallies) {
            if date.month() < kind.from_month {
                continue;
            }
            let floor = working_floor(Celsius(kind.soft_floor), Celsius(kind.hard_floor), Share(kind.state));
            let night = tonight(&predicted, floor, kind.costs);
            let alarm = night.advice == Advice::Act;
            ours.note(alarm, leaf < floor.0);
            thumb.note(forecast.0 < 3.0, leaf < floor.0);
            let out = Share(if alarm { 0.4 } else { 1.0 });
            kind.state = harden(Share(kind.state), frame_day(*day, low), out, &kind.rule).0;
        }
        lift.observe(Celsius(low), day.low(), 0.0).unwrap();
    }
    tallies
}

/// Against the rule "bring in when the forecast is under 3 C": no fewer harmful nights warned, fewer false alarms.
#[test]
fn the_alarm_is_better_than_the_rule_of_thumb() {
    let mut dice = Dice(31);
    let lifts = published_lifts();
    let mut totals = [(Tally::default(), Tally::default()); 3];
    for _ in 0..10 {
        for spring in springs() {
            let frame = Frame { base: lifts(&mut dice), forecast_sd: FORECAST_SD };
            let tallies = one_spring(&mut dice, &spring, &mut kinds(), frame);
            for (total, tally) in totals.iter_mut().zip(tallies) {
                *total = (total.0.plus(tally.0), total.1.plus(tally.1));
            }
        }
    }
    for (kind, (ours, thumb)) in kinds().iter().zip(totals) {
        println!("{}: ours {}; under 3 C {}", kind.name, ours.words(), thumb.words());
    }
    let (ours, thumb) =
        totals.into_iter().fold(Default::default(), |(a, b): (Tally, Tally), (c, d)| (a.plus(c), b.plus(d)));
    println!("all: ours {}; under 3 C {}", ours.words(), thumb.words());
    assert!(ours.warned >= thumb.warned, "no fewer harmful nights warned");
    assert!(ours.false_alarms < thumb.false_alarms, "fewer false alarms");
    assert!(f64::from(ours.warned) > 0.8 * f64::from(ours.harmful), "most harmful nights warned");
}

/// Nights, alarms and alarms of the rule of thumb for hardened hardy crops over Aprils in frames that run as published
/// (2.8 to 5.6 above outside, University of Missouri Extension G6965) and were read in March too.
fn aprils(forecast_sd: f64) -> [u32; 3] {
    let mut dice = Dice(5);
    let mut counts = [0; 3];
    for base in [2.8, 3.5, 5.6].repeat(10) {
        for mut spring in springs() {
            spring.retain(|(date, _)| date.month() < 5);
            let [hardy, ..] = kinds();
            let hardened = Kind { from_month: 4, state: 1.0, ..hardy };
            let frame = Frame { base, forecast_sd };
            let (ours, thumb) = one_spring(&mut dice, &spring, &mut [hardened], frame)[0];
            for (count, more) in counts.iter_mut().zip([ours.nights, ours.alarms(), thumb.alarms()]) {
                *count += more;
            }
        }
    }
    counts
}

/// Common practice, no source: hardy peas, alliums and brassicas, once hardened, stand in a frame through April.
#[test]
fn an_ordinary_april_gives_no_alarm_for_hardened_hardy_crops() {
    let [nights, alarms, thumb] = aprils(0.0);
    println!(
        "hardened hardy crops in a frame, forecasts right: {alarms} alarms in {nights} April nights; under 3 C {thumb}"
    );
    assert_eq!((nights, alarms), (7200, 0));
    let [nights, alarms, thumb] = aprils(FORECAST_SD);
    println!("forecasts 1.5 C off: {alarms} alarms in {nights} April nights; under 3 C {thumb}");
    assert!(alarms * 100 <= nights / 30, "at most one April in a hundred: {alarms}");
}
