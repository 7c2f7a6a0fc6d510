//! What has come up of each sowing, and what can be said of it.

use crate::journal::{self, Batch, Beginning, State};
use crate::quantity::{BatchId, BatchLabel, CropName, Date, Name, Share, SownUnit};
use crate::science::interval::{Confidence, Tally, wilson};

use super::outlook::{Outlook, Outlooks, Verdict};
use super::part::{self, PartAt, days_between};
use super::why::Why;

/// The share of sown units that came up, and how far the true one may lie from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Up of sown.
    pub rate: Share,
    /// Lower limit of the 95 % score interval.
    pub low: Share,
    /// Upper limit.
    pub high: Share,
}

/// One sown batch.
#[derive(Clone, Debug, PartialEq)]
pub struct Germination {
    /// The batch.
    pub batch: BatchId,
    /// Its number.
    pub label: BatchLabel,
    /// Its crop.
    pub crop: CropName,
    /// Its variety; `None` only when its lot is missing from the state.
    pub variety: Option<Name>,
    /// What was sown and is counted.
    pub unit: SownUnit,
    /// Units sown; an estimate for a pinch.
    pub sown: u32,
    /// Units up ever.
    pub up: u32,
    /// Plants alive now.
    pub standing: u32,
    /// Plants beyond one for each unit sown.
    pub gained: u32,
    /// Units not up.
    pub not_up: u32,
    /// The rate; `None` for a pinch, whose number is a guess, and until it is counted.
    pub rate: Option<Rate>,
    /// The day it was sown.
    pub sown_on: Date,
    /// Days since.
    pub days: u32,
    /// The day of the latest count of what was sown.
    pub counted_on: Option<Date>,
    /// Days since.
    pub days_since_count: Option<u32>,
    /// Its live parts and where they stand.
    pub parts: Vec<PartAt>,
    /// What is still to be expected, in a word and in figures; `None` once no part is live.
    pub outlook: Option<Outlook>,
    /// How the rate and the outlook were come by.
    pub why: Why,
}

impl Germination {
    /// Whether what was sown was ever counted; what left it shows as well.
    #[must_use]
    pub const fn is_counted(&self) -> bool {
        self.counted_on.is_some() || self.up > 0
    }

    /// Seedlings up: units, and of a pinch all of them, since its number was only guessed at.
    #[must_use]
    pub const fn seedlings(&self) -> u32 {
        match self.unit {
            SownUnit::Pinch => self.up.saturating_add(self.gained),
            _ => self.up,
        }
    }

    /// Whether more are looked for, so that what has come up is not what will.
    #[must_use]
    pub fn is_coming(&self) -> bool {
        let open = self.outlook.as_ref().filter(|outlook| outlook.chance_of_more.is_some());
        let may_come = |outlook: &Outlook| outlook.expected_final.is_none_or(|(_, high)| high > self.up);
        open.is_some_and(|outlook| !matches!(outlook.verdict, Verdict::AllUp) && may_come(outlook))
    }

    /// The share that is likely to come up, between which and which: in the end, eight times in ten. `None` once no more
    /// are looked for, since what is up is up, and where there is no rate.
    #[must_use]
    pub fn likely(&self) -> Option<(Share, Share)> {
        self.rate?;
        let (low, high) = self.outlook.as_ref().filter(|_| self.is_coming())?.expected_final?;
        let share = |up: u32| Share(f64::from(up) / f64::from(self.sown.max(1)));
        Some((share(low), share(high)))
    }

    /// Whether nothing of it comes or stands any more, so that only its carrier or an empty pot keeps it here.
    #[must_use]
    pub fn is_past(&self) -> bool {
        match self.verdict() {
            Verdict::Over => true,
            Verdict::AllUp => self.standing == 0,
            _ => false,
        }
    }

    /// The word for it: `over` once no part is live.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        self.outlook.as_ref().map_or(Verdict::Over, |outlook| outlook.verdict)
    }
}

/// Every live sown batch, in order of its number; what is past comes last.
#[must_use]
pub fn germination(state: &State, outlooks: &Outlooks, on: Date) -> Vec<Germination> {
    let live = state.batches.iter().filter(|(_, batch)| state.is_live(batch));
    let mut rows: Vec<_> = live.filter_map(|(id, _)| germination_of(state, outlooks, *id, on)).collect();
    rows.sort_by_key(|row| (row.is_past(), row.label, row.batch));
    rows
}

/// One batch, live or not; `None` for one bought in or not in the state.
#[must_use]
pub fn germination_of(state: &State, outlooks: &Outlooks, id: BatchId, on: Date) -> Option<Germination> {
    let batch = state.batches.get(&id)?;
    let Beginning::Sown { unit, .. } = batch.beginning else { return None };
    let tally = state.tally(batch);
    let (crop_name, variety) = part::named(state, batch);
    let sown_parts = state.parts_of(batch).filter(|(_, part)| part.is_sown());
    let counted_on = sown_parts.filter_map(|(_, part)| part.counts.last()).map(|count| count.on).max();
    let rate = if unit == SownUnit::Pinch || counted_on.is_none() { None } else { rate_of(&tally) };
    let outlook = outlooks.of(id).cloned();
    let parts = state.parts_of(batch).filter(|(_, part)| part.is_live());
    Some(Germination {
        batch: id,
        label: batch.label,
        crop: crop_name,
        variety,
        unit,
        sown: tally.sown,
        up: tally.up(),
        standing: tally.standing,
        gained: tally.gained,
        not_up: tally.not_up,
        rate,
        sown_on: batch.begun,
        days: days_between(batch.begun, on),
        counted_on,
        days_since_count: counted_on.map(|counted| days_between(counted, on)),
        parts: parts.filter_map(|(id, _)| PartAt::of(state, id)).collect(),
        why: why(batch, &tally, unit, rate, counted_on, outlook.as_ref()),
        outlook,
    })
}

fn rate_of(tally: &journal::Tally) -> Option<Rate> {
    let counted = Tally::new(tally.up(), tally.sown).ok()?;
    let interval = wilson(counted, Confidence::NINETY_FIVE);
    Some(Rate { rate: Share(counted.rate()), low: Share(interval.low), high: Share(interval.high) })
}

fn why(
    batch: &Batch,
    tally: &journal::Tally,
    unit: SownUnit,
    rate: Option<Rate>,
    counted_on: Option<Date>,
    outlook: Option<&Outlook>,
) -> Why {
    let (to_come, changes) = match outlook.map(|outlook| outlook.verdict) {
        None | Some(Verdict::Over) => {
            ("it is over, and nothing more is looked for", "a correction of what was counted")
        }
        Some(_) => (
            "what is still to come = the seed's chance of being alive, and of being late, after what the counts have shown",
            "a count, a reading of the compost, a warmer or colder place",
        ),
    };
    let rule = format!("rate = units up / units sown, with the score interval around it; {to_come}");
    let mut why = Why::new(rule).seen("sown", format!("{} ({unit})", tally.sown), batch.begun).changes(changes);
    why = match counted_on {
        Some(on) => why.seen("up", tally.up(), on),
        None => why.given("up", "never counted"),
    };
    why = why.doubt(match rate {
        Some(Rate { low, high, .. }) => format!(
            "nineteen times in twenty the true rate of such seed, counted at this stage, lies between {low} and {high}"
        ),
        None if unit == SownUnit::Pinch => "a pinch is a guess, so there is no rate".to_owned(),
        None if counted_on.is_none() => "it was never counted, so there is no rate yet".to_owned(),
        None => "there is nothing to divide".to_owned(),
    });
    let wilson = "Wilson 1927, Journal of the American Statistical Association 22:209; method 3 of Newcombe 1998, \
                  Statistics in Medicine 17:857";
    let why = why.published(wilson);
    outlook.map_or(why.clone(), |outlook| outlook.explain(why))
}
