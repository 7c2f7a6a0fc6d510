//! One word for a sowing, each a function of what its counts leave to be believed, with the thresholds written down.
//!
//! Binning a live tray loses the start it has on a new sowing, the seed and the work; waiting for a dead one costs the
//! bench and the season, day by day. A tray that shows nothing is waited for as long as there is any number of days
//! ahead in which what it may still show outweighs waiting them in vain: the rule of optimal stopping under that loss.

use std::fmt;

/// What binning a live tray costs, in days of waiting for a dead one: the three weeks or so that it is ahead of a new
/// sowing; so it is nearly three times as dear as a week's wait. Common practice, no source.
pub(super) const LIVE_TRAY_IN_DAYS: f64 = 20.0;
/// Whatever waiting would cost, a tray without a shoot is not called failed while the chance that one comes is not less
/// than this: a slow crop's hope is spread over more days, none of which is worth much by itself, and is hope for all that.
pub(super) const SILENT_BELOW: f64 = 0.1;
/// The days ahead are in question for a tray without a shoot only once it is likelier dead than not.
pub(super) const LIKELIER_DEAD: f64 = 0.5;
/// With some up it is called failed when the chance that it still comes to something is less than this: its
/// few may stand meanwhile, and "thin" asks for seed as well.
pub(super) const FAILED_BELOW: f64 = 0.05;
/// A sowing comes to something with this share of what is wanted of it: fewer are not worth the bench.
pub(super) const COMES_TO_SOMETHING: f64 = 0.2;
/// What is wanted of a sowing without cells: this share of what such seed gives.
pub(super) const WANTED_SHARE: f64 = 0.6;
/// None up is slow when seed that lives shows none by then less often than this; nothing is called failed before.
pub(super) const SLOW_BELOW: f64 = 0.1;
/// Nothing is called failed or thin before so much of what lives would be up in a late packet, however many were sown: seeds of
/// one tray are late together. Common practice, no source.
pub(super) const FAIRLY_UP: f64 = 0.4;
/// A packet is late when its median is so many standard deviations of the doubt in it past the one expected: one in five is
/// later still.
pub(super) const LATE_PACKET: f64 = 0.8;
/// With some up nothing is called failed or thin before this share of what lives should be up: old seed of which little was
/// expected is no failure on its first day.
pub(super) const HAD_ITS_TIME: f64 = 0.5;
/// Without a shoot it is to be looked at once this share of what lives should be up by today. Common practice, no source.
pub(super) const NEARLY_OVER: f64 = 0.9;
/// Seedlings that run to less than this share of their time, or to more than so many times it, are likelier a wrong
/// thermometer than early or late: three times as far off as the book is usually. Common practice, no source.
pub(super) const ABSURD: [f64; 2] = [0.4, 2.5];
/// Some up, but fewer than wanted, is slow when its median runs so many times as long as it should.
pub(super) const LATE: f64 = 1.25;
/// With too few up it is slow, too, when the counts found none new for so many days. Common practice, no source.
pub(super) const STANDS_STILL: u32 = 10;
/// A sowing is thin when the chance of what is wanted is less than this: nine times in ten more must be sown, and seed
/// is cheap.
pub(super) const THIN_BELOW: f64 = 0.1;
/// A slow sowing is sown again to be safe unless what is wanted is likely to come: the bound of "likely" in Mastrandrea and others
/// 2010.
pub(super) const LIKELY: f64 = 0.66;
/// All that come are up when by the last count the chance of more than a few stragglers is less than this: no place in the warm
/// is worth holding for them.
pub(super) const STRAGGLERS_BELOW: f64 = 0.1;
/// With so much of what lives up even if it runs late, one count is enough; before, nothing is all up or thin until the counts found
/// none new for so long that this share of the stragglers would have shown: two flat days may be two cold nights, and the
/// last seeds are the furthest apart.
pub(super) const NEARLY_ALL: f64 = 0.97;
pub(super) const STOOD: f64 = 0.8;
/// That none came within so many days says nothing of the rest: a cold night or a dry top holds them all up. Common practice,
/// no source.
pub(super) const PAUSE: u32 = 2;
/// What came up within fewer days than this has not stood still, whatever the clock says. Common practice, no source.
pub(super) const COLD_SPELL: u32 = 5;
/// Stood still for so long that this share of them would have shown, it is over, whatever was believed.
pub(super) const STOOD_OUT: f64 = 0.97;
/// A few: this share of what was sown.
pub(super) const STRAGGLERS: f64 = 0.05;
/// A count is wanting when it is likelier than not that it would find another seedling, ...
pub(super) const NEWS_FROM: f64 = 0.5;
/// ... and the last is so many days old: nobody counts every evening.
pub(super) const DAYS_BETWEEN_COUNTS: u32 = 2;
/// A count is asked for on what it could say when it says so oftener than this.
pub(super) const COULD_BE: f64 = 0.1;
/// Once enough are up no word hangs on the rest, and a week is soon enough. Common practice, no source.
const DAYS_ONCE_ENOUGH: u32 = 7;

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

impl Verdict {
    /// Whether more may come of it, with time alone.
    pub(super) fn is_waited_for(self) -> bool {
        matches!(self, Self::Waiting | Self::Emerging | Self::Slow | Self::NotCountedLately)
    }
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
    /// The chance that one more comes up at all.
    pub(super) of_any: f64,
    /// The chance of what is wanted.
    pub(super) of_wanted: f64,
    /// The chance of more than a few stragglers after the last count.
    pub(super) of_more: f64,
    /// Odds that waiting brings the first seedling over the days it takes, at their best; see [`Soon::odds_a_day`].
    pub(super) odds_a_day: f64,
    /// The chance that seed of which some lives shows none by the last count.
    pub(super) none_yet: f64,
    /// The share of what lives that should be up by the last count, by the time that the counts leave.
    pub(super) share_up: f64,
    /// The share of what lives that would be up by then in a late packet.
    pub(super) fairly_up: f64,
    /// Whether no more than a few stragglers are left of all that were sown.
    pub(super) no_more_than_few: bool,
    /// Days for which the counts found none new.
    pub(super) still: u32,
    /// The share of what lives that should be up by the last count, were it late by the book or by the counts, whichever is later.
    pub(super) nearly_up: f64,
    /// Of what was to come after the last new one the share that should have shown by the last count, and by today if it
    /// found none.
    pub(super) stood: f64,
    pub(super) stood_by_now: f64,
    /// How many times as long as it should its median runs.
    pub(super) late: f64,
    /// The chance that one has come since the last count.
    pub(super) new_since: f64,
    /// Days since the last count; `None` when it was never counted.
    pub(super) since_count: Option<u32>,
    /// The share of what lives that should be up by today.
    pub(super) share_now: f64,
    pub(super) hold: Option<Hold>,
    /// Whether it stood barely warm enough and could be moved to warmth.
    pub(super) cool: bool,
    /// Whether nobody read its compost, and it would be no failure were that as cool as it may be.
    pub(super) unread: bool,
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
    // What was said by the last count stands until the next one, however long that is.
    let (is_settled, is_over) = (is_settled(signs), signs.stood >= STOOD_OUT);
    if enough && (signs.of_more < STRAGGLERS_BELOW && is_settled || is_over) {
        return Verdict::AllUp;
    }
    let is_little = signs.of_wanted < THIN_BELOW && had_its_time(signs) && is_settled;
    if !enough && signs.up > 0 && (is_little || is_over) {
        return Verdict::Thin;
    }
    if wants_a_count(signs) && signs.of_more >= STRAGGLERS_BELOW {
        return Verdict::NotCountedLately;
    }
    if signs.up == 0 {
        // Of poor seed no count is likely to find any, and for all that somebody has to look.
        let unseen = signs.since_count.is_none_or(|since| since >= DAYS_BETWEEN_COUNTS);
        return match signs {
            _ if signs.none_yet < SLOW_BELOW => Verdict::Slow,
            _ if unseen && signs.share_now >= NEARLY_OVER => Verdict::NotCountedLately,
            _ => Verdict::Waiting,
        };
    }
    let is_slow = signs.late >= LATE || signs.still >= STANDS_STILL;
    if !enough && is_slow { Verdict::Slow } else { Verdict::Emerging }
}

/// Whether it is likelier than not that a count would find more, and time for one.
pub(super) fn wants_a_count(signs: &Signs) -> bool {
    let days = if signs.up >= signs.wanted { DAYS_ONCE_ENOUGH } else { DAYS_BETWEEN_COUNTS };
    signs.since_count.is_none_or(|since| since >= days) && signs.new_since >= NEWS_FROM
}

/// Whether a sowing that is called thin is to be looked at once more: until it stood still for as long as any could take, once a
/// week and on the day that a count would show it, and after that while more may have come.
pub(super) fn thin_wants_a_count(signs: &Signs) -> bool {
    let is_over = |stood: f64| stood >= STOOD_OUT;
    let is_sure = is_over(signs.stood) && signs.new_since < COULD_BE;
    let would_settle = !is_over(signs.stood) && is_over(signs.stood_by_now);
    !is_sure && (would_settle || signs.since_count.is_none_or(|since| since >= DAYS_ONCE_ENOUGH))
}

/// What would be given up but for warmth that nobody read is looked at all the same, once a week: some may have come.
pub(super) fn unread_wants_a_count(signs: &Signs) -> bool {
    signs.unread && signs.since_count.is_none_or(|since| since >= DAYS_ONCE_ENOUGH)
}

/// Whether half of what lives should be up, by the counts and by the clock of a late packet.
fn had_its_time(signs: &Signs) -> bool {
    signs.share_up >= HAD_ITS_TIME && signs.fairly_up >= FAIRLY_UP
}

/// Whether one flat count more would say little else: nearly all of a late packet would be up, or no shoot showed while most
/// stragglers would have.
fn is_settled(signs: &Signs) -> bool {
    signs.no_more_than_few || signs.nearly_up >= NEARLY_ALL || signs.stood >= STOOD
}

/// Nothing is up, or too little, when seed of its kind could fairly be. What stands still, or stood barely warm enough, is moved first: its time in such a place is
/// no time or little, and only what had enough before and leaves no hope is called dead there.
fn is_failed(signs: &Signs) -> bool {
    let hopeless = signs.of_something < FAILED_BELOW;
    let is_excused = signs.cool || signs.hold.is_some();
    if signs.up > 0 {
        return hopeless && had_its_time(signs) && is_settled(signs);
    }
    if signs.unread || signs.fairly_up < FAIRLY_UP {
        return false;
    }
    signs.none_yet < SLOW_BELOW && waits_in_vain(signs) && (hopeless || !is_excused)
}

fn waits_in_vain(signs: &Signs) -> bool {
    signs.odds_a_day * LIVE_TRAY_IN_DAYS < 1.0 && signs.of_any < SILENT_BELOW
}

/// The chance that one more shows within so many days after the last count, for a few numbers of days ahead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Soon([f64; DAYS_AHEAD.len()]);

/// Far enough apart that a best one between them is hardly better.
const DAYS_AHEAD: [u32; 10] = [1, 2, 3, 5, 7, 10, 14, 21, 28, 42];

impl Soon {
    pub(super) fn of(chance_within: impl Fn(u32) -> f64) -> Self {
        Self(DAYS_AHEAD.map(chance_within))
    }

    /// Of this sowing or another that does not hang on it.
    pub(super) fn and(self, other: Self) -> Self {
        let mut both = self;
        both.0.iter_mut().zip(other.0).for_each(|(chance, other)| *chance = 1.0 - (1.0 - *chance) * (1.0 - other));
        both
    }

    /// The odds that one shows within some days over that number of days, for the number at which they are best. Waiting
    /// pays while this is above one over the days that a live tray is worth: `worth * chance > days * (1 - chance)`.
    pub(super) fn odds_a_day(self) -> f64 {
        let odds = |(days, chance): (u32, f64)| chance / (1.0 - chance).max(f64::MIN_POSITIVE) / f64::from(days);
        DAYS_AHEAD.into_iter().zip(self.0).map(odds).fold(0.0, f64::max)
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
        of_any: 1.0,
        of_wanted: 0.8,
        of_more: 1.0,
        odds_a_day: 1.0,
        none_yet: 0.0,
        share_up: 0.7,
        fairly_up: 0.7,
        no_more_than_few: false,
        still: 0,
        nearly_up: 0.7,
        stood: 0.9,
        stood_by_now: 0.9,
        late: 1.0,
        new_since: 0.0,
        since_count: Some(0),
        share_now: 0.7,
        hold: None,
        cool: false,
        unread: false,
    };
    const NONE: Signs = Signs { up: 0, none_yet: 0.4, ..RUNNING };
    /// None up, late, and nothing worth waiting for.
    const GONE: Signs = Signs { none_yet: 0.0, odds_a_day: 0.0, of_something: 0.0, of_any: 0.0, ..NONE };

    #[test]
    fn each_word_begins_at_its_threshold() {
        let on_either_side = |at: &dyn Fn(f64) -> Signs, threshold: f64, below: Verdict, above: Verdict| {
            assert_eq!(word(&at(threshold - 1e-6)), below);
            assert_eq!(word(&at(threshold + 1e-6)), above);
        };
        let odds = |a_day| Signs { odds_a_day: a_day, ..GONE };
        on_either_side(&odds, 1.0 / LIVE_TRAY_IN_DAYS, Verdict::Failed, Verdict::Slow);
        on_either_side(&|of_any| Signs { of_any, ..GONE }, SILENT_BELOW, Verdict::Failed, Verdict::Slow);
        on_either_side(&|fairly_up| Signs { fairly_up, ..GONE }, FAIRLY_UP, Verdict::Slow, Verdict::Failed);
        assert_eq!(word(&Signs { unread: true, ..GONE }), Verdict::Slow, "the compost is read first");
        // Before its time nothing is slow, however little is worth waiting for.
        on_either_side(&|none_yet| Signs { none_yet, ..GONE }, SLOW_BELOW, Verdict::Failed, Verdict::Waiting);
        for since_count in [None, Some(DAYS_BETWEEN_COUNTS)] {
            let unseen = |share_now| Signs { share_now, since_count, ..NONE };
            on_either_side(&unseen, NEARLY_OVER, Verdict::Waiting, Verdict::NotCountedLately);
        }
        assert_eq!(word(&Signs { share_now: 1.0, ..NONE }), Verdict::Waiting, "looked at today");
        let few = |chance| Signs { up: 1, of_something: chance, of_wanted: 0.0, ..RUNNING };
        on_either_side(&few, FAILED_BELOW, Verdict::Failed, Verdict::Thin);
        // Before half of what lives should be up little is no failure, whatever is expected.
        for chance in [0.0, 0.5] {
            let early = |share_up| Signs { share_up, ..few(chance) };
            on_either_side(&early, HAD_ITS_TIME, Verdict::Emerging, word(&few(chance)));
            let late = |fairly_up| Signs { fairly_up, ..few(chance) };
            on_either_side(&late, FAIRLY_UP, Verdict::Emerging, word(&few(chance)));
        }
        on_either_side(&|none_yet| Signs { none_yet, ..NONE }, SLOW_BELOW, Verdict::Slow, Verdict::Waiting);
        on_either_side(&|of_wanted| Signs { of_wanted, ..RUNNING }, THIN_BELOW, Verdict::Thin, Verdict::Emerging);
        on_either_side(&|late| Signs { late, ..RUNNING }, LATE, Verdict::Emerging, Verdict::Slow);
        let still = |days| word(&Signs { still: days, ..RUNNING });
        assert_eq!([STANDS_STILL - 1, STANDS_STILL].map(still), [Verdict::Emerging, Verdict::Slow]);
        let done = |of_more| Signs { up: 20, of_more, ..RUNNING };
        on_either_side(&done, STRAGGLERS_BELOW, Verdict::AllUp, Verdict::Emerging);
        // One flat count ends nothing before its time, a long stillness all.
        let little = Signs { of_wanted: 0.0, ..RUNNING };
        for (settled, ends) in [(done(0.0), Verdict::AllUp), (little, Verdict::Thin)] {
            on_either_side(&|stood| Signs { stood, ..settled }, STOOD, Verdict::Emerging, ends);
            let moving = Signs { stood: 0.0, ..settled };
            on_either_side(&|nearly_up| Signs { nearly_up, ..moving }, NEARLY_ALL, Verdict::Emerging, ends);
            assert_eq!(word(&Signs { no_more_than_few: true, ..moving }), ends);
            let hoped_for = Signs { of_more: 1.0, of_wanted: 0.8, ..settled };
            on_either_side(&|stood| Signs { stood, ..hoped_for }, STOOD_OUT, Verdict::Emerging, ends);
        }
        let unseen = |new_since| Signs { new_since, since_count: Some(2), ..RUNNING };
        on_either_side(&unseen, NEWS_FROM, Verdict::Emerging, Verdict::NotCountedLately);
        assert_eq!(word(&Signs { new_since: 1.0, since_count: Some(1), ..RUNNING }), Verdict::Emerging);
        // Enough are up: a week is soon enough.
        let enough = |days| Signs { up: 20, new_since: 1.0, since_count: Some(days), ..RUNNING };
        assert_eq!([6, 7].map(|days| word(&enough(days))), [Verdict::Emerging, Verdict::NotCountedLately]);
    }

    /// The clock alone takes back no word: what was said by the last count stands until the next.
    #[test]
    fn no_word_is_taken_back_without_a_count() {
        let enough = Signs { up: 20, of_more: 0.05, ..RUNNING };
        let thin = Signs { of_wanted: 0.05, of_more: 0.4, ..RUNNING };
        for days in 0..30 {
            let later = |signs: Signs| word(&Signs { since_count: Some(days), new_since: 0.9, ..signs });
            assert_eq!((later(enough), later(thin)), (Verdict::AllUp, Verdict::Thin), "after {days} days");
        }
    }

    #[test]
    fn thin_is_looked_at_again_until_it_stood_still_for_good() {
        let thin = |days, stood| Signs { of_wanted: 0.05, since_count: Some(days), stood, ..RUNNING };
        assert_eq!([6, 7].map(|days| thin_wants_a_count(&thin(days, STOOD))), [false, true]);
        let for_good = [STOOD_OUT - 1e-6, STOOD_OUT];
        assert_eq!(for_good.map(|stood| thin_wants_a_count(&thin(30, stood))), [true, false]);
        assert!(thin_wants_a_count(&Signs { new_since: 0.2, ..thin(30, 1.0) }));
        // On the day that one more would show it, it is not waited for the week.
        let by_now = |stood_by_now| Signs { stood_by_now, ..thin(3, STOOD) };
        assert_eq!(for_good.map(|stood| thin_wants_a_count(&by_now(stood))), [false, true]);
    }

    /// Worked by hand: even odds within a week beat one in ten tomorrow, 1/7 against 1/9 a day.
    #[test]
    fn the_best_number_of_days_counts() {
        let soon = Soon::of(|days| if days < 7 { 0.1 } else { 0.5 });
        assert!((soon.odds_a_day() - 1.0 / 7.0).abs() < 1e-12);
        let both = soon.and(Soon::of(|_| 0.5));
        assert!((both.odds_a_day() - 0.55 / 0.45).abs() < 1e-12);
        assert_eq!(Soon::of(|_| 0.0).odds_a_day(), 0.0);
        assert!(Soon::of(|_| 1.0).odds_a_day() > 1e9);
    }

    #[test]
    fn where_it_stands_comes_before_blame() {
        let cold = Signs { hold: Some(Hold::TooCold), ..NONE };
        assert_eq!(word(&cold), Verdict::Held(Hold::TooCold));
        let in_vain = Signs { hold: cold.hold, of_something: 0.1, ..GONE };
        assert_eq!(
            word(&in_vain),
            Verdict::Held(Hold::TooCold),
            "nothing is waited for there, and the seed not blamed"
        );
        assert_eq!(word(&Signs { of_something: 0.01, ..in_vain }), Verdict::Failed, "it had its time before");
        // Barely warm enough is moved before it is given up, unless nothing can be hoped for.
        let cool = Signs { cool: true, of_something: 0.1, ..GONE };
        assert_eq!(word(&cool), Verdict::Slow);
        assert_eq!(word(&Signs { cool: false, ..cool }), Verdict::Failed);
        assert_eq!(word(&Signs { of_something: 0.01, ..cool }), Verdict::Failed);
        // What was never looked at is not called dead.
        assert_eq!(word(&Signs { odds_a_day: 0.0, since_count: None, ..NONE }), Verdict::Waiting);
        assert_eq!(word(&Signs { up: 20, ..cold }), Verdict::Emerging, "enough are up: they may stand in the cool");
        let chilled = Signs { hold: Some(Hold::Chilling), odds_a_day: 0.0, ..NONE };
        assert_eq!(word(&chilled), Verdict::Held(Hold::Chilling));
    }
}
