//! An outlook in words: what to do, and why.

use chrono::Datelike;

use crate::advice::why::Why;
use crate::journal::Treatment;
use crate::quantity::{Celsius, Date, Name, Share, SownUnit};

use super::again::{DOUBTFUL, SowAgain};
use super::look::Look;
use super::otherwise::ReadFirst;
use super::prior::{ENOUGH_SOWN, Ground, Seed};
use super::record::Kept;
use super::verdict::{
    ABSURD, FAILED_BELOW, FAIRLY_UP, Hold, LATE, LIVE_TRAY_IN_DAYS, SILENT_BELOW, Verdict, WANTED_SHARE,
};
use super::view::Sowing;
use super::{Grounds, Model, Outlook, WantedOf};

/// Whether a sowing is in the warm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stands {
    InTheDarkWarm,
    InTheLitWarm,
    Chilled,
    /// On damp paper, wherever that is.
    OnPaper,
    Elsewhere,
}

impl Stands {
    /// Where shoots go from there.
    const fn shoots_go(self) -> Option<&'static str> {
        match self {
            Self::InTheDarkWarm => Some("shoots into light"),
            Self::Chilled => Some("shoots out of the cold, into light"),
            Self::OnPaper => Some("into compost with those that show a root"),
            Self::InTheLitWarm | Self::Elsewhere => None,
        }
    }
}

/// Own sowings that take so many times the book's days are why a tray is kept. Common practice, no source.
const SLOWER: f64 = 1.1;

/// What there is to do about a word.
pub(super) struct OfWord {
    /// To leave it, where that is all.
    leave: Option<String>,
    /// Where shoots go at once, whatever else is asked.
    shoots: Option<&'static str>,
    /// What it asks; empty where that is nothing.
    pub(super) asks: String,
}

impl OfWord {
    const fn asks(asks: String) -> Self {
        Self { leave: None, shoots: None, asks }
    }

    /// All that is to be done: what is asked beside stands in the place of leaving it, and before the rest. Past all hope only
    /// what was found out before is said beside it.
    pub(super) fn action(&self, look: &Look, verdict: Verdict) -> String {
        let is_known = matches!(verdict, Verdict::Failed | Verdict::Thin);
        let asks = Some(self.asks.clone()).filter(|asks| !asks.is_empty() && (!look.is_left() || is_known));
        let first = look.told().or_else(|| self.leave.clone());
        let shoots = self.shoots.filter(|_| *look != Look::No && !look.is_left()).map(str::to_owned);
        first.into_iter().chain(shoots).chain(asks).collect::<Vec<_>>().join("; ")
    }
}

/// What to do about a word.
pub(super) fn of_word(
    verdict: Verdict,
    sowing: &Sowing<'_>,
    stands: Stands,
    grounds: &Grounds,
    (again, read_first): (Option<&SowAgain>, Option<ReadFirst>),
    on: Date,
) -> OfWord {
    let belief = &grounds.belief;
    let action = match verdict {
        Verdict::Waiting | Verdict::NotCountedLately if sowing.up == 0 => {
            match (belief.first_by.filter(|by| *by > on), belief.ninety_by) {
                (Some(by), _) => format!("leave it, the first should show about {}", day(by, on)),
                (None, Some(by)) if by <= on => {
                    "leave it, to be counted once more before it is given up: its time is nearly over".to_owned()
                }
                // What is not foreseen is far off.
                (None, _) => "leave it, it is within its time".to_owned(),
            }
        }
        Verdict::Waiting | Verdict::NotCountedLately | Verdict::Emerging => {
            let now = stands.shoots_go().unwrap_or("leave it");
            let then = match belief.ninety_by {
                Some(by) if by > on => format!("{now}, most of what comes should be up by {}", day(by, on)),
                Some(_) => format!("{now}, a few more may follow"),
                None => format!("{now}, more are to follow"),
            };
            let by_book = belief.late * grounds.kept.timing.median() / grounds.book.timing.median();
            let is_late = sowing.up < sowing.wanted && by_book >= LATE;
            if is_late { format!("{then}; late by the book, but not for your sowings") } else { then }
        }
        Verdict::Slow => {
            let come = whether_any(belief.further.at_least(1), sowing.up);
            let wait = match (&sowing.warmer, read_first) {
                (_, Some(read_first)) => format!("{}; keep it, {come}", read_first.told()),
                (Some((place, mean)), None) => format!(
                    "barely warm enough here: move it into the warm before it is given up, {place} has about {:.0} C; {come}",
                    mean.0
                ),
                (None, None)
                    if sowing.up == 0 && grounds.kept.timing.median() > SLOWER * grounds.book.timing.median() =>
                {
                    let by_book = if grounds.by_book == Some(Verdict::Failed) { "failed" } else { "late" };
                    format!("keep it, {by_book} by the book but your sowings run late; {come}")
                }
                (None, None) if grounds.by_book == Some(Verdict::Failed) => {
                    format!("keep it, failed by the book but not by your other sowings; {come}")
                }
                (None, None) => format!("keep it, {come}"),
            };
            let spare = again.filter(|again| !again.is_sown());
            match spare.and_then(|again| Some((again, again.by.filter(|by| *by >= on)?))) {
                Some((again, by)) => format!("{wait}; to be safe {} by {}", sow_what(again), day(by, on)),
                None => wait,
            }
        }
        Verdict::AllUp => all_up(stands, sowing),
        Verdict::Thin | Verdict::Failed => {
            let sow = again.map_or_else(|| "sow again".to_owned(), |again| sow(again, on));
            match grounds.by_book {
                Some(other) if verdict == Verdict::Failed => {
                    format!("{sow}; {other} by the book, your other sowings took less")
                }
                _ => sow,
            }
        }
        Verdict::Held(hold) => held(hold, sowing, grounds, on),
        Verdict::Over => "nothing more is looked for".to_owned(),
    };
    let is_open = matches!(verdict, Verdict::Waiting | Verdict::Emerging | Verdict::NotCountedLately);
    let shoots = stands.shoots_go().filter(|_| sowing.up > 0);
    let is_poor_and_slow = verdict == Verdict::Slow && grounds.seed.is_poor();
    if let (true, Some(again)) = (is_open || is_poor_and_slow, again.filter(|again| !again.is_sown())) {
        let little = format!("{}: {}", little(&grounds.seed), sow_what(again));
        return if is_open {
            OfWord { leave: Some(action), shoots, asks: little }
        } else {
            OfWord::asks(format!("{action}; {little}"))
        };
    }
    let doubt = thermometer(sowing, grounds).map_or_else(String::new, |doubt| format!("; {doubt}"));
    if is_open {
        OfWord { leave: Some(format!("{action}{doubt}")), shoots, asks: String::new() }
    } else {
        OfWord::asks(format!("{action}{doubt}"))
    }
}

/// That seedlings and warmth do not agree.
fn thermometer(sowing: &Sowing<'_>, grounds: &Grounds) -> Option<String> {
    let belief = &grounds.belief;
    if sowing.up == 0 {
        return None;
    }
    if belief.model == Model::Relearnt {
        return Some("they came up where by its warmth none could: look at the thermometer".to_owned());
    }
    let [soon, late] = ABSURD;
    let soonest = (belief.soonest < soon).then_some(belief.soonest);
    let times = soonest.or_else(|| (belief.late > late && !grounds.seed.is_poor()).then_some(belief.late))?;
    Some(format!("they came up in {times:.1} times the days that its warmth gives: look at the thermometer"))
}

/// What to do once all that come are up.
pub(super) fn all_up(stands: Stands, sowing: &Sowing<'_>) -> String {
    let then = match stands {
        Stands::InTheDarkWarm | Stands::InTheLitWarm => "nothing more to wait for, its warm place is free",
        Stands::OnPaper => "nothing more to wait for, into compost with them",
        Stands::Chilled => "nothing more to wait for, out of the cold and into light with them",
        Stands::Elsewhere => "nothing more to wait for",
    };
    // Few of many would pass for a failure.
    if sowing.up.saturating_mul(2) >= sowing.sown || sowing.unit == SownUnit::Pinch {
        return then.to_owned();
    }
    format!("{then}: {} are up, where {} were looked for of such seed", sowing.up, sowing.wanted)
}

/// What chance there is that any come, of a sowing of which so many are up.
#[must_use]
pub fn to_come(chance: Share, up: u32) -> String {
    match (up, chance.0) {
        (0, ..0.01) => "almost certainly none will come".to_owned(),
        (0, ..0.1) => "it is very unlikely that any come".to_owned(),
        (0, ..0.33) => "it is unlikely that any come".to_owned(),
        (0, _) => more_to_come(chance).replacen("more", "some", 1),
        _ => more_to_come(chance).to_owned(),
    }
}

/// That it is worth keeping: "unlikely" beside that would sound like a contradiction, so small chances are said as such.
fn whether_any(chance: f64, up: u32) -> String {
    let what = if up > 0 { "more" } else { "any" };
    if chance < 0.33 {
        format!("there is one chance in {:.0} that {what} come", 1.0 / chance.max(0.01))
    } else {
        to_come(Share(chance), up)
    }
}

/// How little is expected of seed, and why: `little is expected, 2 in 100: 6 years old, where 1 is usual`.
fn little(seed: &Seed) -> String {
    let told = seed.grounds.iter().filter_map(|ground| match *ground {
        Ground::Age { age, usual } => Some(format!("{age} years old, where seed keeps {usual}")),
        Ground::Before { up, sown } => Some(format!("{up} of {sown} came up in other trays")),
        _ => None,
    });
    let told = told.collect::<Vec<_>>().join(", ");
    let why = if told.is_empty() { told } else { format!(" ({told})") };
    format!("little is expected, about {:.0} in 100 of such seed come up{why}", 100.0 * seed.comes().0)
}

/// Where it stands still, and where it would not.
fn held(hold: Hold, sowing: &Sowing<'_>, grounds: &Grounds, on: Date) -> String {
    let crop = &sowing.name;
    let line = |at: Option<Celsius>| at.map_or_else(|| "better".to_owned(), |at| at.to_string());
    let (here, to) = match hold {
        Hold::TooCold => {
            let waits_for = line(grounds.book.coldest);
            (format!("too cold here: {crop} waits for {waits_for}"), "into the warm")
        }
        Hold::TooHot => {
            let stops_at = line(grounds.book.hottest);
            (format!("too hot here: {crop} stops at {stops_at}"), "into the cool")
        }
        Hold::Chilling => {
            let since = sowing.held.as_ref().map_or(on, |held| held.since);
            return format!(
                "chilling on purpose since {}: into the warm when the weeks on its packet are done",
                day(since, on)
            );
        }
    };
    let (mean, better) = sowing.held.as_ref().map(|held| (held.mean, held.better.as_ref())).unzip();
    let about = mean.map_or_else(String::new, |mean| format!(" and has about {:.0}", mean.0));
    let to = match better.flatten() {
        Some((place, mean)) => format!("{to}, {place} has about {:.0} C", mean.0),
        None => format!("{to}, though no place of yours would do now"),
    };
    format!("{here}{about}; move it {to}; the seed is not to blame")
}

/// What chance there is that more come, in words: the scale and its bounds are those of Mastrandrea and others 2010, the
/// guidance of the Intergovernmental Panel on Climate Change on how to speak of what is uncertain.
const fn more_to_come(chance: Share) -> &'static str {
    match chance.0 {
        0.99.. => "more will almost certainly come",
        0.9.. => "more will very likely come",
        0.66.. => "more will likely come",
        0.33.. => "more may come or not",
        0.1.. => "more are unlikely to come",
        0.01.. => "more are very unlikely to come",
        _ => "more will almost certainly not come",
    }
}

/// What sowing again takes, in words, and what the number follows from.
fn sow(again: &SowAgain, on: Date) -> String {
    let since = again.since.as_ref().map(|since| {
        let on = since.on.format("%-d %b").to_string().to_lowercase();
        format!("{} sown again since, {} on {on}", since.units, since.last.short())
    });
    if let Some(since) = since.as_ref().filter(|_| again.is_sown()) {
        return since.clone();
    }
    let by = match again.by {
        Some(by) if by < on => format!("; the last good day was {}", day(by, on)),
        Some(by) => format!(", by {}", day(by, on)),
        None => String::new(),
    };
    let since = since.map_or_else(String::new, |since| format!(", {since}"));
    let has = match again.wanted {
        1 => format!("the one wanted is not there{since}"),
        wanted => format!("{} of the {wanted} wanted are there{since}", again.there),
    };
    let follows = match &again.variety {
        None => "no seed of it is left".to_owned(),
        Some(variety) => {
            let only = if again.chance.0 < DOUBTFUL { "only " } else { "" };
            format!("{only}about {:.0} in 100 of {} come up", 100.0 * again.comes.0, packet(variety, again.packed))
        }
    };
    format!("{}{by}; {has}, and {follows}", sow_what(again))
}

/// How many, and of what: `sow 24 more of Same (60 left)`.
fn sow_what(again: &SowAgain) -> String {
    let more = again.number();
    let Some((variety, packed)) = again.from() else {
        return more.map_or_else(|| "buy fresh seed".to_owned(), |fresh| format!("buy fresh seed and sow {fresh}"));
    };
    let more = more.unwrap_or(again.seeds);
    let left = match again.left {
        Some(left) if left < more => format!(" (only {left} left, so buy as well)"),
        Some(left) => format!(" ({left} left)"),
        None => String::new(),
    };
    format!("sow {more} more of {}{left}", packet(variety, packed))
}

/// One packet of a variety: `Copper Lantern 2025`.
pub(super) fn packet(variety: &Name, packed: Option<i32>) -> String {
    packed.map_or_else(|| variety.to_string(), |year| format!("{variety} {year}"))
}

/// A day as it is spoken of: `Thursday` within the week to come, else `30 jun`, with its year where that is another.
fn day(day: Date, on: Date) -> String {
    let ahead = day.signed_duration_since(on).num_days();
    let form = match ahead {
        0 => return "today".to_owned(),
        1..7 => return day.format("%A").to_string(),
        _ if day.year() == on.year() => "%-d %b",
        _ => "%-d %b %Y",
    };
    day.format(form).to_string().to_lowercase()
}

/// How much of the time to expect came from where: `40 % the book's, 25 % that of 22 sowings of your other crops, 35 % that
/// of 3 of this crop`.
fn learnt_from(kept: &Kept) -> String {
    let mut said = vec![format!("{} the book's", Share(kept.from_book))];
    let many = |number: usize| if number == 1 { "1 sowing".to_owned() } else { format!("{number} sowings") };
    if kept.kin > 0 {
        said.push(format!("{} that of {} of your other crops", Share(kept.from_kin), many(kept.kin)));
    }
    if kept.batches > 0 {
        let own = 1.0 - kept.from_book - kept.from_kin;
        said.push(format!("{} that of {} of this crop", Share(own), many(kept.batches)));
    }
    said.join(", ")
}

impl Grounds {
    /// What is wanted of a sowing as a share of what was sown: nobody says it, so it is taken from that.
    fn wanted_from(&self) -> String {
        let (share, gives) = (Share(WANTED_SHARE), Share(self.seed.counted_on));
        match self.wanted_of {
            WantedOf::Cells => format!("{share} of the cells sown, one plant in each"),
            WantedOf::Seeds => format!("{share} of what seed like it is counted on to give, {gives} of those sown"),
            WantedOf::Pinch => {
                format!("half of {share} of what seed like it is counted on to give, {gives}: a pinch is a guess")
            }
        }
    }
}

impl Outlook {
    /// What is to be said of it on the day it is sown: that it stands too cold or too hot, that little is expected of its seed,
    /// or that its packet failed before; `None` where there is nothing to say.
    #[must_use]
    pub fn at_sowing(&self) -> Option<String> {
        if let Verdict::Held(Hold::TooCold | Hold::TooHot) = self.verdict {
            return Some(self.action.clone());
        }
        let seed = &self.grounds.as_ref()?.seed;
        if let (Verdict::Waiting, Some(again)) = (self.verdict, &self.again) {
            return Some(format!("{}: {}", little(seed), sow_what(again)));
        }
        seed.grounds.iter().find_map(|ground| match *ground {
            Ground::Before { up, sown } if up == 0.0 && sown >= f64::from(ENOUGH_SOWN) => Some(format!(
                "none of {sown} of this packet came up in other trays: the chance that it fails again is about {}",
                Share(seed.dead)
            )),
            _ => None,
        })
    }

    /// Adds to a "why" what the outlook rests on.
    pub(in crate::advice) fn explain(&self, mut why: Why) -> Why {
        let Some(grounds) = &self.grounds else { return why };
        let (book, kept, belief) = (&grounds.book, &grounds.kept, &grounds.belief);
        why = why.given("the book", &book.basis);
        why = why.given("the time to expect is", learnt_from(kept));
        if kept.kin > 0 {
            why = why.given("your other crops take", format!("{:.2} of the book's time", kept.pace));
        }
        if grounds.treatment != Treatment::None {
            let unreckoned = format!("{}: what that does to its days is not reckoned", grounds.treatment);
            why = why.given("what was done to the seed", unreckoned);
        }
        if grounds.last_count.is_some() {
            why = why.given("time run at the last count", format!("{:.0} % of the median", 100.0 * belief.run_out));
            let late = format!("{:.2} times what was expected", belief.late);
            why = why.given("median that the counts leave", late);
        }
        if let Some((low, high)) = grounds.between {
            let assumed = grounds.days.saturating_sub(grounds.read + grounds.foretold);
            let days = format!(
                "{low:.0} to {high:.0} C over {} days: {} read, {} from forecasts, {assumed} assumed",
                grounds.days, grounds.read, grounds.foretold
            );
            why = why.given("compost", days);
        }
        for (what, value) in grounds.seed.grounds.iter().map(|ground| ground.told()) {
            why = why.given(what, value);
        }
        let viability = grounds.seed.viability.mean();
        why = why.given("share of the seed expected to come", Share(viability));
        why = why.given("chance of a total failure, before any count", Share(grounds.seed.dead));
        if let (Some(more), Some(reached)) = (self.chance_of_more, self.chance_of_wanted) {
            why = why.given("chance of one more", more).given("wanted", self.wanted);
            why = why.given("wanted follows from", grounds.wanted_from());
            why = why.given("chance of what is wanted", reached);
        }
        if let Some(again) = &self.again {
            why = why.and(&again.why);
        }
        if self.model == Model::Relearnt {
            let wrong = "seedlings are up when by these temperatures none can be, so the temperatures or the figures are \
                         wrong; its time is learnt anew from the seedlings";
            why = why.given("the model", wrong);
        }
        let failed = format!(
            "without a shoot it is called failed once nine in ten that live would show one, {} of a packet as late as one \
             in five would be up, the chance that one comes is under {}, and no number of days ahead is worth waiting, a live tray binned being as dear as \
             {LIVE_TRAY_IN_DAYS} days of waiting for a dead one; with some up, from the middle of its time on when the \
             chance that it comes to anything is under {}",
            Share(FAIRLY_UP),
            Share(SILENT_BELOW),
            Share(FAILED_BELOW)
        );
        why = why
            .practice(&failed)
            .published("log-logistic emergence in thermal time: Ritz, Pipper & Streibig 2013, Eur J Agron 45:1")
            .published(
                "Bayes' rule, binomial with beta prior: Gelman et al. 2013, Bayesian Data Analysis, section 2.4",
            );
        book.sources.iter().cloned().fold(why, Why::source)
    }
}
