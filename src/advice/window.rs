//! The rules that set the earliest, best and latest day of a move.

use chrono::{Datelike, Days};

use crate::journal::Part;
use crate::quantity::{Date, Millilitres};
use crate::trade::{Crop, Figure, Hardiness, LastFrost};

use super::part::{after, days_between};
use super::why::Why;

/// A leaf takes at least so many days more. Common practice, no source.
const DAYS_TO_A_LEAF: u32 = 3;
/// Roots at the holes turn in so many days. Common practice, no source.
const DAYS_AFTER_ROOTS: u32 = 7;
/// A chitted seed is set into compost within so many days. Common practice, no source.
const DAYS_ON_PAPER: u32 = 3;
/// From this month on plants are not set out before spring. Common practice, no source.
const WINTER_COMES: u32 = 10;
/// The months of sowing of which that is said. Common practice, no source.
const LATE_SOWINGS: u32 = 8;
const WINTER_NEAR: u32 = 11;

/// When a move is well made. The three days are in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    /// Not before this day.
    pub earliest: Date,
    /// Best on this day.
    pub best: Date,
    /// Not after this day.
    pub latest: Date,
}

impl Window {
    fn days_from(day: Date, low: u32, high: u32) -> Self {
        let low = low.min(high);
        Self { earliest: after(day, low), best: after(day, low + (high - low) / 2), latest: after(day, high) }
    }

    /// Starts on another day and is as long as before.
    fn starting(self, earliest: Date) -> Self {
        let span = days_between(self.earliest, self.latest);
        Self::days_from(earliest, 0, span)
    }

    /// Is no shorter than so many days, and best halfway: a move has to fit into a week.
    pub(super) fn lasting(self, days: u32) -> Self {
        if days_between(self.earliest, self.latest) >= days { self } else { Self::days_from(self.earliest, 0, days) }
    }

    /// Ends no later than a day, and by so much earlier begins no later than it.
    fn ending_by(self, day: Date) -> Self {
        let latest = self.latest.min(day);
        let earliest = self.earliest.min(latest);
        Self { earliest, best: self.best.clamp(earliest, latest), latest }
    }
}

/// Damp paper: at once.
pub(super) fn off_paper(emerged: Date, why: Why) -> (Window, Why) {
    let why = why
        .seen("first seen up", "on damp paper", emerged)
        .practice("chitted seed goes into compost within three days, while the root is short")
        .changes("nothing: it is soonest done");
    (Window::days_from(emerged, 0, DAYS_ON_PAPER), why)
}

/// Days after emergence, held between the last day noted with too few leaves and the first noted with enough.
pub(super) fn by_leaves(crop: &Crop, days: &Figure<u32>, part: &Part, emerged: Date, why: Why) -> (Window, Why) {
    let mut window = Window::days_from(emerged, days.low, days.high);
    let mut why =
        why.figure("days from emergence", days).changes("leaves noted: enough brings it forward, too few puts it off");
    let Some(wanted) = crop.prick_out_leaves() else { return (window, why) };
    why = why.figure("true leaves wanted", &wanted);
    let noted = || part.stages.iter().filter_map(|(on, growth)| growth.leaves.map(|leaves| (*on, leaves)));
    let enough = noted().find(|(_, leaves)| *leaves >= wanted.low);
    let before_enough = |(on, _): &(Date, u32)| enough.is_none_or(|(day, _)| *on < day);
    let short = noted().rev().filter(before_enough).find(|(_, leaves)| *leaves < wanted.low);
    let mut start = window.earliest;
    if let Some((on, leaves)) = short {
        start = start.max(after(on, DAYS_TO_A_LEAF));
        why = why.seen("too few leaves", leaves, on).practice("a leaf takes three days or more");
    }
    if let Some((on, leaves)) = enough {
        start = start.min(on);
        why = why.seen("enough leaves", leaves, on);
    }
    window = window.starting(start);
    (window, why)
}

/// Days after emergence.
pub(super) fn by_days(days: &Figure<u32>, emerged: Date, why: Why) -> (Window, Why) {
    let why = why.figure("days from emergence", days).changes("roots noted at the holes bring it to that day");
    (Window::days_from(emerged, days.low, days.high), why)
}

/// Weeks after sowing, and for crops that the last frost does not govern not before their months.
pub(super) fn by_weeks(crop: &Crop, weeks: &Figure<f64>, sown: Date, why: Why) -> (Window, Why) {
    // The tables end at 60 weeks, so this is exact.
    let days = |weeks: f64| (weeks * 7.0).round() as u32;
    let mut window = Window::days_from(sown, days(weeks.low), days(weeks.high));
    let mut why = why
        .figure("weeks from sowing", weeks)
        .changes("the weather: frost, cold soil or plants not hardened put it off");
    if let Some(months) = crop.plant_out_months() {
        let first = Date::from_ymd_opt(spring_of(window.earliest), months.low.clamp(1, 12), 1);
        if let Some(first) = first.filter(|first| *first > window.earliest) {
            window = window.starting(first);
        }
        why = why.figure("months of planting out", &months);
    }
    (window, why)
}

/// Not before the last frost and the weeks after it that the crop wants; tender and half-hardy crops of which none are
/// written not before the frost itself. Also that frost, where it puts planting out off.
pub(super) fn after_frost(window: Window, crop: &Crop, frost: &LastFrost, why: Why) -> (Window, Option<Date>, Why) {
    let Some((first, last)) = first_after_frost(crop, frost, spring_of(window.earliest)) else {
        return (window, None, why);
    };
    let mut why = why.seen("last frost", "about", last).source(frost.source().clone());
    if let Some(weeks) = crop.plant_out_from_last_frost_weeks() {
        why = why.figure("weeks from the last frost", &weeks);
    }
    if first <= window.earliest { (window, None, why) } else { (window.starting(first), Some(last), why) }
}

/// The year whose spring a move is of: what could only be planted into the winter waits for the spring after it.
fn spring_of(day: Date) -> i32 {
    day.year() + i32::from(day.month() >= WINTER_COMES)
}

/// True when what was sown from August to November is not planted out before the next year: nothing is known here of what
/// stands the winter where.
pub(super) fn waits_for_spring(sown: Date, window: &Window) -> bool {
    (LATE_SOWINGS..=WINTER_NEAR).contains(&sown.month()) && window.earliest.year() > sown.year()
}

/// Not late while the weeks after the last frost that the crop wants still run.
pub(super) fn while_weeks_run(window: Window, crop: &Crop, frost: &LastFrost) -> Window {
    let weeks = crop.plant_out_from_last_frost_weeks();
    let end = weeks.zip(frost.of_year(window.earliest.year())).map(|(weeks, last)| shifted(last, weeks.high));
    Window { latest: end.map_or(window.latest, |end| window.latest.max(end)), ..window }
}

/// So many weeks after a day, or before it.
fn shifted(day: Date, weeks: f64) -> Date {
    // The tables end at 20 weeks, so this is exact.
    let days = Days::new((weeks.abs() * 7.0).round() as u64);
    let moved = if weeks < 0.0 { day.checked_sub_days(days) } else { day.checked_add_days(days) };
    moved.unwrap_or(day)
}

fn waits_for_frost(crop: &Crop) -> bool {
    crop.hardiness().is_some_and(|class| matches!(class.value, Hardiness::Tender | Hardiness::HalfHardy))
}

/// The first day of a year on which a crop is planted out by the last frost, and that frost; `None` for crops that do not
/// wait for it.
pub(super) fn first_after_frost(crop: &Crop, frost: &LastFrost, year: i32) -> Option<(Date, Date)> {
    let weeks = crop.plant_out_from_last_frost_weeks();
    if weeks.is_none() && !waits_for_frost(crop) {
        return None;
    }
    let last = frost.of_year(year)?;
    let Some(weeks) = weeks else { return Some((last, last)) };
    Some((shifted(last, weeks.low), last))
}

/// Roots at the holes: ready from the day they were noted, and not to be left past a week.
pub(super) fn with_roots(window: Window, part: &Part, why: Why) -> (Window, Why) {
    let Some(on) = part.stages.iter().find(|(_, growth)| growth.roots).map(|(on, _)| *on) else {
        return (window, why);
    };
    let why = why.seen("roots at the holes", "noted", on).practice("roots at the holes want a larger pot in a week");
    let mut window = window.ending_by(after(on, DAYS_AFTER_ROOTS));
    window.earliest = window.earliest.min(on);
    window.best = window.best.clamp(window.earliest, on.max(window.earliest));
    (window, why)
}

/// What the cell holds: the weeks a source gives for it, and less time in one smaller than is usual.
pub(super) fn with_cell(
    window: Window,
    crop: &Crop,
    cells: Option<u32>,
    volume: Option<Millilitres>,
    sown: Option<Date>,
    why: Why,
) -> (Window, Why) {
    let (mut window, mut why) = (window, why);
    if let (Some(cells), Some(sown)) = (cells, sown)
        && let Some(weeks) = crop.cell_weeks(Some(cells))
    {
        let day = after(sown, (weeks.weeks.1 * 7.0).round() as u32);
        if day < window.latest {
            window = window.ending_by(day.max(window.earliest));
        }
        why = why
            .given("weeks from sowing in such a cell", format!("{} to {}", weeks.weeks.0, weeks.weeks.1))
            .source(weeks.source.clone());
    }
    if let (Some(volume), Some(usual)) = (volume, crop.cell_volume())
        && volume < usual.low
    {
        // Time between the earliest and the latest day in proportion to the volume.
        let span = u64::from(days_between(window.earliest, window.latest));
        let kept = span * u64::from(volume.0) / u64::from(usual.low.0.max(1));
        window = window.ending_by(after(window.earliest, u32::try_from(kept).unwrap_or(0)));
        why = why
            .given("volume of the cell or pot", volume)
            .figure("usual volume", &usual)
            .practice("a cell smaller than usual leaves less time, in proportion, between the earliest and latest day");
    }
    (window, why)
}
