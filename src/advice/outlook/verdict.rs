//! One word for a sowing, each a function of what its counts leave to be believed, with the thresholds written down.
//!
//! Binning a live tray loses the season's plants; waiting a week for a dead one costs a week of bench. The thresholds
//! weigh the one [`LIVE_TRAY_IN_WEEKS`] times as dear as the other.

use std::fmt;

use super::expect::Pace;

/// What binning a live tray costs, in weeks of waiting for a dead one: the five weeks or so that it is ahead of a new
/// sowing, the seed and the work again, and now and then the season. Common practice, no source.
pub(super) const LIVE_TRAY_IN_WEEKS: f64 = 12.0;
/// A sowing is called failed when the chance that it still comes to something is less than a week's wait is worth.
pub(super) const FAILED_BELOW: f64 = 1.0 / LIVE_TRAY_IN_WEEKS;
/// Slow and ragged crops fool one oftener, and a week more is nothing to them: twice as sure.
pub(super) const SLOW_CROP_FAILED_BELOW: f64 = FAILED_BELOW / 2.0;
/// And not before so many times the median they should have kept.
pub(super) const SLOW_CROP_WAITS: f64 = 1.2;
/// A sowing comes to something with this share of what is wanted of it: fewer are not worth the bench.
pub(super) const COMES_TO_SOMETHING: f64 = 0.2;
/// What is wanted of a sowing without cells: this share of what such seed gives.
pub(super) const WANTED_SHARE: f64 = 0.6;
/// None up is slow when seed that lives shows none by then less often than this.
pub(super) const SLOW_BELOW: f64 = 0.1;
/// Some up, but fewer than wanted, is slow when its median runs so many times as long as it should.
pub(super) const LATE: f64 = 1.25;
/// A sowing is thin when the chance of what is wanted is less than this: nine times in ten more must be sown, and seed
/// is cheap.
pub(super) const THIN_BELOW: f64 = 0.1;
/// All that come are up when the chance of more than a few stragglers is less than this: no place in the warm is worth
/// holding for them.
pub(super) const STRAGGLERS_BELOW: f64 = 0.1;
/// A few: this share of what was sown.
pub(super) const STRAGGLERS: f64 = 0.05;
/// A count is wanting when it is likelier than not that it would find another seedling, ...
pub(super) const NEWS_FROM: f64 = 0.5;
/// ... and the last is so many days old: nobody counts every evening.
pub(super) const DAYS_BETWEEN_COUNTS: u32 = 2;

/// Why a sowing stands still.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hold {
    /// The compost does not reach the temperature the crop waits for.
    TooCold,
    /// The compost does not come down to the temperature it germinates at.
    TooHot,
    /// It stands in the cold on purpose.
    Chilling,
}

/// What can honestly be said of a sowing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// None are up, and none need be yet.
    Waiting,
    /// Some are up, and more are coming.
    Emerging,
    /// Later than it should be, and likely enough still to come.
    Slow,
    /// All that come are up, and they are enough.
    AllUp,
    /// Fewer than wanted are up, and the rest are unlikely to come.
    Thin,
    /// It will not come to anything.
    Failed,
    /// It stands still, and the seed is not to blame.
    Held(Hold),
    /// Seedlings may have shown since it was last looked at.
    NotCountedLately,
    /// It was emptied or moved on with units not up: no more are looked for.
    Over,
}

impl fmt::Display for Verdict {
    /// Writes the word: `waiting`, `held: too cold`, `not counted lately`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Waiting => "waiting",
            Self::Emerging => "emerging",
            Self::Slow => "slow",
            Self::AllUp => "all up",
            Self::Thin => "thin",
            Self::Failed => "failed",
            Self::Held(Hold::TooCold) => "held: too cold",
            Self::Held(Hold::TooHot) => "held: too hot",
            Self::Held(Hold::Chilling) => "held: chilling",
            Self::NotCountedLately => "not counted lately",
            Self::Over => "over",
        })
    }
}

/// What the word depends on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Signs {
    pub(super) up: u32,
    pub(super) wanted: u32,
    /// The chance that it still comes to something.
    pub(super) of_something: f64,
    /// The chance of what is wanted.
    pub(super) of_wanted: f64,
    /// The chance of more than a few stragglers.
    pub(super) of_more: f64,
    /// The chance that seed of which some lives shows none by the last count.
    pub(super) none_yet: f64,
    /// How many times as long as it should its median runs.
    pub(super) late: f64,
    /// Time run at the last count, in medians.
    pub(super) run_out: f64,
    /// The chance that one has come since the last count.
    pub(super) new_since: f64,
    /// Days since the last count; `None` when it was never counted.
    pub(super) since_count: Option<u32>,
    pub(super) pace: Pace,
    pub(super) hold: Option<Hold>,
}

/// The word for a sowing of which more may come.
pub(super) fn word(signs: &Signs) -> Verdict {
    if signs.hold == Some(Hold::Chilling) {
        return Verdict::Held(Hold::Chilling);
    }
    let enough = signs.up >= signs.wanted;
    if !enough && signs.since_count.is_some() && is_failed(signs) {
        return Verdict::Failed;
    }
    if let (Some(hold), false) = (signs.hold, enough) {
        return Verdict::Held(hold);
    }
    let is_old = signs.since_count.is_none_or(|days| days >= DAYS_BETWEEN_COUNTS);
    if is_old && signs.new_since >= NEWS_FROM && signs.of_more >= STRAGGLERS_BELOW {
        return Verdict::NotCountedLately;
    }
    if signs.up == 0 {
        return if signs.none_yet < SLOW_BELOW { Verdict::Slow } else { Verdict::Waiting };
    }
    match (enough, signs.of_wanted < THIN_BELOW) {
        (true, _) if signs.of_more < STRAGGLERS_BELOW => Verdict::AllUp,
        (false, true) => Verdict::Thin,
        (false, false) if signs.late >= LATE => Verdict::Slow,
        _ => Verdict::Emerging,
    }
}

fn is_failed(signs: &Signs) -> bool {
    match signs.pace {
        Pace::Usual => signs.of_something < FAILED_BELOW,
        Pace::Slow => signs.of_something < SLOW_CROP_FAILED_BELOW && signs.run_out >= SLOW_CROP_WAITS,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Twenty wanted, ten up, running as it should, counted today.
    const RUNNING: Signs = Signs {
        up: 10,
        wanted: 20,
        of_something: 1.0,
        of_wanted: 0.8,
        of_more: 1.0,
        none_yet: 0.0,
        late: 1.0,
        run_out: 1.0,
        new_since: 0.0,
        since_count: Some(0),
        pace: Pace::Usual,
        hold: None,
    };
    const NONE: Signs = Signs { up: 0, none_yet: 0.4, ..RUNNING };

    #[test]
    fn each_word_begins_at_its_threshold() {
        let on_either_side = |at: &dyn Fn(f64) -> Signs, threshold: f64, below: Verdict, above: Verdict| {
            assert_eq!(word(&at(threshold - 1e-6)), below);
            assert_eq!(word(&at(threshold + 1e-6)), above);
        };
        let something = |chance| Signs { of_something: chance, ..NONE };
        on_either_side(&something, FAILED_BELOW, Verdict::Failed, Verdict::Waiting);
        let slow_crop = |chance| Signs { of_something: chance, pace: Pace::Slow, run_out: 2.5, ..NONE };
        on_either_side(&slow_crop, SLOW_CROP_FAILED_BELOW, Verdict::Failed, Verdict::Waiting);
        let slow_crop = |run_out| Signs { of_something: 0.0, pace: Pace::Slow, run_out, ..NONE };
        on_either_side(&slow_crop, SLOW_CROP_WAITS, Verdict::Waiting, Verdict::Failed);
        on_either_side(&|none_yet| Signs { none_yet, ..NONE }, SLOW_BELOW, Verdict::Slow, Verdict::Waiting);
        on_either_side(&|of_wanted| Signs { of_wanted, ..RUNNING }, THIN_BELOW, Verdict::Thin, Verdict::Emerging);
        on_either_side(&|late| Signs { late, ..RUNNING }, LATE, Verdict::Emerging, Verdict::Slow);
        let done = |of_more| Signs { up: 20, of_more, ..RUNNING };
        on_either_side(&done, STRAGGLERS_BELOW, Verdict::AllUp, Verdict::Emerging);
        let unseen = |new_since| Signs { new_since, since_count: Some(2), ..RUNNING };
        on_either_side(&unseen, NEWS_FROM, Verdict::Emerging, Verdict::NotCountedLately);
        assert_eq!(word(&Signs { new_since: 1.0, since_count: Some(1), ..RUNNING }), Verdict::Emerging);
    }

    #[test]
    fn where_it_stands_comes_before_blame_but_not_before_the_dead() {
        let cold = Signs { hold: Some(Hold::TooCold), ..NONE };
        assert_eq!(word(&cold), Verdict::Held(Hold::TooCold));
        assert_eq!(word(&Signs { of_something: 0.0, ..cold }), Verdict::Failed);
        // What was never looked at is not called dead.
        assert_eq!(word(&Signs { of_something: 0.0, since_count: None, ..NONE }), Verdict::Waiting);
        assert_eq!(word(&Signs { up: 20, ..cold }), Verdict::Emerging, "enough are up: they may stand in the cool");
        let chilled = Signs { hold: Some(Hold::Chilling), of_something: 0.0, ..NONE };
        assert_eq!(word(&chilled), Verdict::Held(Hold::Chilling));
    }
}
