//! An outlook in words: what to do, and why.

use chrono::Datelike;

use crate::advice::why::Why;
use crate::quantity::{Celsius, Date, Share};

use super::again::SowAgain;
use super::expect::Pace;
use super::verdict::{FAILED_BELOW, Hold, LIVE_TRAY_IN_DAYS, SLOW_CROP_IN_DAYS, Verdict};
use super::view::Sowing;
use super::{Grounds, Model, Outlook};

/// Seed that gives what is wanted less often than this, however much of it is worth sowing, is poor. Common practice, no
/// source.
const DOUBTFUL: f64 = 0.75;

/// What to do about a word.
pub(super) fn action(
    verdict: Verdict,
    sowing: &Sowing<'_>,
    grounds: &Grounds,
    again: Option<&SowAgain>,
    on: Date,
) -> String {
    let belief = &grounds.belief;
    let crop = &sowing.name;
    let line = |at: Option<Celsius>| at.map_or_else(|| "better".to_owned(), |at| at.to_string());
    match verdict {
        Verdict::Waiting => match belief.first_by.filter(|by| *by > on) {
            Some(by) => format!("wait: the first should show about {}", day(by, on)),
            None => "wait: it is within its time".to_owned(),
        },
        Verdict::Emerging => match belief.ninety_by.filter(|by| *by > on) {
            Some(by) => format!("shoots into light; most of what comes should be up by {}", day(by, on)),
            None => "shoots into light; count again in two days".to_owned(),
        },
        Verdict::Slow => {
            let more = Share(belief.further.at_least(1));
            let spare = again.and_then(|again| again.by).filter(|by| *by >= on);
            let wait = format!("keep it: {more} that more come");
            spare.map_or(wait.clone(), |by| format!("{wait}; to be safe sow again by {}", day(by, on)))
        }
        Verdict::AllUp => "all that come are up: its warm place is free".to_owned(),
        Verdict::Thin | Verdict::Failed => again.map_or_else(|| "sow again".to_owned(), |again| sow(again, on)),
        Verdict::Held(Hold::TooCold) => {
            let waits_for = line(grounds.book.coldest.as_ref().map(|line| line.low));
            format!("too cold here: {crop} waits for {waits_for}; move it into the warm, the seed is not to blame")
        }
        Verdict::Held(Hold::TooHot) => {
            let stops_at = line(grounds.book.hottest.as_ref().map(|line| line.high));
            format!("too hot here: {crop} stops at {stops_at}; move it into the cool, the seed is not to blame")
        }
        Verdict::Held(Hold::Chilling) => "chilling on purpose: into the warm when its weeks are done".to_owned(),
        Verdict::NotCountedLately => "count it: more have likely come".to_owned(),
        Verdict::Over => "nothing more is looked for".to_owned(),
    }
}

/// What sowing again takes, in words.
fn sow(again: &SowAgain, on: Date) -> String {
    let mut words = format!("sow {} more for {}", again.seeds, again.plants);
    if let Some(variety) = &again.variety {
        words += &format!(", of {variety}");
    }
    match again.left {
        Some(left) if left < again.seeds => words += &format!(" (only {left} left)"),
        Some(left) => words += &format!(" ({left} left)"),
        None => {}
    }
    match again.by {
        Some(by) if by < on => words += &format!("; the last good day was {}", day(by, on)),
        Some(by) => words += &format!(", by {}", day(by, on)),
        None => {}
    }
    if again.chance.0 < DOUBTFUL {
        words += &format!("; {} sure at best: fresh seed is better", again.chance);
    }
    words
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

impl Outlook {
    /// Adds to a "why" what the outlook rests on.
    pub(in crate::advice) fn explain(&self, mut why: Why) -> Why {
        let Some(grounds) = &self.grounds else { return why };
        let (book, kept, belief) = (&grounds.book, &grounds.kept, &grounds.belief);
        why = why.given("the book", &book.basis);
        why =
            why.given("median from the book", format!("{} of it, {} own sowings", Share(kept.from_book), kept.batches));
        if kept.kin > 0 {
            let pace = format!("{:.2} of the book's time, by {} of their sowings", kept.pace, kept.kin);
            why = why.given("your other crops take", pace);
        }
        let median = kept.timing.median();
        why = why.given("time run at the last count", format!("{:.0} % of the median", 100.0 * belief.run_out));
        if grounds.last_count.is_some() {
            let late = format!("{:.2} of the {median:.0} expected", belief.late);
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
            why = why.given("chance of one more", more).given("wanted", self.wanted).given("chance of it", reached);
        }
        if self.model == Model::Relearnt {
            let wrong = "seedlings are up when by these temperatures none can be, so the temperatures or the figures are \
                         wrong; its time is learnt anew from the seedlings";
            why = why.given("the model", wrong);
        }
        let days = match book.pace {
            Pace::Usual => LIVE_TRAY_IN_DAYS,
            Pace::Slow => SLOW_CROP_IN_DAYS,
        };
        let failed = format!(
            "without a shoot it is called failed when no number of days ahead is worth waiting, a live tray binned being \
             as dear as {days} days of waiting for a dead one; with some up, when the chance that it comes to anything is \
             under {}",
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
