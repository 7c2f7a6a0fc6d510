//! One look at a state: each live sowing put together from its parts, judged, and given its word.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::advice::part::{self, after, before, days_between, may_come};
use crate::journal::{Batch, Beginning, Light, Part, PlaceKind, Source, State, Treatment};
use crate::quantity::{BatchId, Celsius, ContainerClass, CropName, Date, Name, Share, SownUnit};
use crate::science::outlook::Prior;
use crate::trade::{Crop, Trade};

use super::again::{SownSince, Wanting};
use super::belief::{Before, Belief, Group, Model};
use super::curve::Expected;
use super::expect::{ALIKE, Book, timing};
use super::explain::Stands;
use super::hold::Held;
use super::look::Look;
use super::prior::{self, Seed};
use super::record::{Kept, PastSowing, Record};
use super::run::Run;
use super::verdict::{self, Signs, Verdict, word};
use super::warmth::{Climate, Known};
use super::{Count, Grounds, Outlook, WantedOf, explain};

/// Days ahead that are foreseen.
pub(super) const AHEAD: u32 = 60;
/// Days back that are looked at: what was sown longer ago has had all the time there is.
const BACK: u32 = 400;
/// Root tips show on damp paper in this share of the days to a shoot in compost, give or take a quarter. Common
/// practice, no source.
pub(super) const ON_PAPER: f64 = 0.6;
const PAPER_DOUBT: f64 = 0.25;
/// Tenths at either end that the interval for the final number leaves out.
const TENTH: f64 = 0.1;
/// More parts with histories of their own than this, or more seeds, are taken as one: nobody counts them apart.
const MOST_APART: usize = 6;
const MOST_SEEDS_APART: u32 = 2000;

pub(super) struct View<'a> {
    pub(super) state: &'a State,
    pub(super) trade: &'a Trade,
    record: &'a Record,
    pub(super) on: Date,
    pub(super) climate: Climate,
    books: BTreeMap<CropName, Arc<Book>>,
    /// How often a sowing fails altogether here.
    fails: f64,
}

/// A sowing as it is looked at.
pub(super) struct Sowing<'a> {
    pub(super) id: BatchId,
    pub(super) batch: &'a Batch,
    pub(super) unit: SownUnit,
    treatment: Treatment,
    crop: Option<&'a Crop>,
    pub(super) name: CropName,
    pub(super) up: u32,
    /// Of those up, what has died since.
    pub(super) lost: u32,
    pub(super) sown: u32,
    pub(super) wanted: u32,
    wanted_of: WantedOf,
    pub(super) open: Vec<&'a Part>,
    /// Why it stands still.
    pub(super) held: Option<Held>,
    /// The place to move it to before it is given up, where it stood barely warm enough.
    pub(super) warmer: Option<(Name, Celsius)>,
    /// What was sown in its stead.
    since: Option<SownSince>,
}

impl<'a> View<'a> {
    /// Looks back to a day, but no further than [`BACK`] days.
    pub(super) fn of(state: &'a State, trade: &'a Trade, record: &'a Record, begun: Date, on: Date) -> Self {
        let back = before(on, BACK);
        let climate = Climate::of(state, trade, begun.max(back).min(on), after(on, AHEAD));
        Self { state, trade, record, on, climate, books: BTreeMap::new(), fails: record.fails() }
    }

    /// The outlook for a sowing in whose stead so much was sown.
    pub(super) fn outlook(&mut self, id: BatchId, batch: &'a Batch, since: Option<SownSince>) -> Option<Outlook> {
        let Beginning::Sown { unit, treatment, .. } = batch.beginning else { return None };
        let tally = self.state.tally(batch);
        let crop = part::crop(self.state, self.trade, batch);
        let (name, _) = part::named(self.state, batch);
        let lot = self.state.lots.get(&batch.lot);
        let lately = self.record.of_lot(&name, batch.lot, id);
        let seed = Seed::of(crop, lot, unit, batch.begun, lately, self.fails);
        let open: Vec<&Part> = may_come(self.state, batch).map(|(_, part)| part).collect();
        let (wanted, wanted_of) = (wanted(self.state, batch, unit, &seed), wanted_of(self.state, batch, unit));
        let (up, sown, lost, held) = (tally.up(), tally.sown, tally.lost, None);
        let mut sowing = Sowing {
            id,
            batch,
            unit,
            treatment,
            crop,
            name,
            up,
            lost,
            sown,
            wanted,
            wanted_of,
            open,
            held,
            warmer: None,
            since,
        };
        if tally.not_up == 0 || sowing.open.is_empty() {
            let verdict = if tally.not_up == 0 { Verdict::AllUp } else { Verdict::Over };
            return Some(self.over(verdict, &sowing));
        }
        let book = self.book(&sowing);
        sowing.held = self.held(&sowing, &book);
        sowing.warmer = if up == 0 { self.warmer(&sowing, &book) } else { None };
        let groups = self.groups(&sowing, &book);
        let grounds = self.grounds(&sowing, &groups, book, seed)?;
        if grounds.belief.model == Model::Relearnt
            && sowing.up > 0
            && sowing.held.as_ref().is_some_and(Held::is_foreseen)
        {
            // The seedlings show that it does not stand still.
            sowing.held = None;
        }
        let sowing = sowing;
        Some(self.told(&sowing, &groups, grounds))
    }

    fn book(&mut self, sowing: &Sowing<'_>) -> Arc<Book> {
        let book = self.books.entry(sowing.name.clone()).or_insert_with(|| Arc::new(Book::of(sowing.crop)));
        Arc::clone(book)
    }

    fn grounds(&self, sowing: &Sowing<'_>, groups: &[Group], book: Arc<Book>, seed: Seed) -> Option<Grounds> {
        let kept = self.record.time_of(&book, &sowing.name, sowing.batch.lot, sowing.id);
        let days: Vec<_> =
            groups.first()?.run.days.iter().take(days_between(groups[0].run.from, self.on) as usize).collect();
        let known = |known| u32::try_from(days.iter().filter(|day| day.known == known).count()).unwrap_or(u32::MAX);
        let span = days.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), day| {
            (low.min(day.day.min()), high.max(day.day.max()))
        });
        let counts = sowing.open.iter().filter_map(|part| part.counts.last());
        Some(Grounds {
            belief: self.believe(sowing, groups, &kept, &seed, None)?,
            days: u32::try_from(days.len()).unwrap_or(u32::MAX),
            read: known(Known::Read),
            foretold: known(Known::Forecast),
            between: (!days.is_empty()).then_some(span),
            last_count: counts.map(|count| count.on).max(),
            treatment: sowing.treatment,
            wanted_of: sowing.wanted_of,
            by_book: None,
            book,
            kept,
            seed,
        })
    }

    fn groups(&self, sowing: &Sowing<'_>, book: &Book) -> Vec<Group> {
        let mut groups = self.groups_of(&sowing.open, book);
        let seeds = groups.iter().map(|group| group.sown).fold(0, u32::saturating_add);
        if groups.len() > MOST_APART || (groups.len() > 1 && seeds > MOST_SEEDS_APART) {
            groups = Group::merged(groups).into_iter().collect();
        }
        groups
    }

    pub(super) fn groups_of(&self, parts: &[&Part], book: &Book) -> Vec<Group> {
        let mut groups: Vec<Group> = Vec::new();
        for part in parts {
            let to = after(self.on, AHEAD);
            Group::put(&mut groups, part, Run::of(self.state, &self.climate, book, part, to));
        }
        groups
    }

    /// What is believed of all its parts; with `today`, after one more count today that found nothing new.
    pub(super) fn believe(
        &self,
        sowing: &Sowing<'_>,
        groups: &[Group],
        kept: &Kept,
        seed: &Seed,
        today: Option<Date>,
    ) -> Option<Belief> {
        let prior = self.prior(&sowing.open, kept, seed);
        // Where one part has shoots the packet is not dead, though another tray may be.
        let dead = if sowing.up > 0 { seed.dead.min(self.fails * prior::OF_LIVE_LOT) } else { seed.dead };
        let before = Before { prior, dead };
        let each = groups.iter().filter_map(|group| {
            let mut curve = group.curve.clone();
            curve.extend(today.map(|on| (on, group.curve.last().map_or(0, |(_, up)| *up))));
            Belief::of(group.sown, &curve, &group.run, before, self.on)
        });
        each.reduce(Belief::and)
    }

    /// What is believed of some parts before they are counted.
    pub(super) fn prior(&self, parts: &[&Part], kept: &Kept, seed: &Seed) -> Prior {
        let on_paper = self.is_on_paper(parts);
        let (factor, doubt) = if on_paper { (ON_PAPER, PAPER_DOUBT) } else { (1.0, 0.0) };
        Prior {
            viability: seed.viability,
            timing: timing(kept.timing.median() * factor, kept.timing.spread()),
            median_doubt: kept.median_doubt.hypot(doubt),
            spread_doubt: kept.spread_doubt,
            alike: ALIKE,
        }
    }

    /// Whether any of them lies on damp paper.
    pub(super) fn is_on_paper(&self, parts: &[&Part]) -> bool {
        parts.iter().any(|part| {
            let container = self.state.containers.get(&part.container);
            container.is_some_and(|it| it.vessel.class == ContainerClass::Paper)
        })
    }

    pub(super) fn signs(&self, sowing: &Sowing<'_>, belief: &Belief, since_count: Option<u32>) -> Signs {
        let further = &belief.further;
        let missing = |of: u32| of.saturating_sub(sowing.up);
        let something = (f64::from(sowing.wanted) * verdict::COMES_TO_SOMETHING).ceil().max(1.0) as u32;
        let stragglers = (f64::from(sowing.sown) * verdict::STRAGGLERS) as u32;
        Signs {
            up: sowing.up,
            wanted: sowing.wanted,
            of_something: further.at_least(missing(something)),
            of_any: further.at_least(1),
            of_wanted: further.at_least(missing(sowing.wanted)),
            of_more: further.at_least(stragglers + 1),
            odds_a_day: belief.soon.odds_a_day(),
            none_yet: belief.none_yet,
            share_up: belief.share_up,
            fairly_up: belief.fairly_up,
            no_more_than_few: belief.sown.saturating_sub(belief.up) <= stragglers,
            still: belief.still,
            nearly_up: belief.nearly_up,
            stood: belief.stood,
            stood_by_now: belief.stood_by_now,
            late: belief.late,
            new_since: belief.new_since,
            since_count,
            share_now: belief.share_now,
            hold: sowing.held.as_ref().map(|held| held.hold),
            cool: sowing.warmer.is_some(),
            unread: false,
        }
    }

    fn told(&self, sowing: &Sowing<'_>, groups: &[Group], grounds: Grounds) -> Outlook {
        let since_count = grounds.last_count.map(|last| days_between(last, self.on));
        let signs = self.signs(sowing, &grounds.belief, since_count);
        let (signs, read_first) = self.read_first(sowing, groups, &grounds, signs);
        let verdict = word(&signs);
        let count = self.count(sowing, groups, &grounds, &signs, verdict);
        let look = self.look(sowing, &grounds.belief, verdict, count);
        // Of those that were pricked out of none is asked for.
        let is_let_be = verdict == Verdict::NotCountedLately && look == Look::No;
        let verdict = if is_let_be { Verdict::Emerging } else { verdict };
        // Only of these is it said.
        let by_book = matches!(verdict, Verdict::Slow | Verdict::Failed)
            .then(|| self.by_book(sowing, groups, &grounds, since_count))
            .flatten()
            .filter(|by_book| *by_book != verdict);
        let grounds = Grounds { by_book, ..grounds };
        let belief = &grounds.belief;
        // Of old seed, or of a packet that failed before, it is said from the first day that little is expected.
        let is_open = matches!(verdict, Verdict::Waiting | Verdict::Emerging | Verdict::NotCountedLately);
        let is_little = is_open && signs.of_wanted < verdict::THIN_BELOW;
        let is_doubtful = verdict == Verdict::Slow && signs.of_wanted < verdict::LIKELY;
        let again = (is_little || is_doubtful || matches!(verdict, Verdict::Failed | Verdict::Thin))
            .then(|| self.again(sowing, verdict).sow_again());
        let is_counted = sowing.unit != SownUnit::Pinch;
        let (low, high) = (belief.further.quantile(TENTH), belief.further.quantile(1.0 - TENTH));
        let of_word =
            explain::of_word(verdict, sowing, self.stands(sowing), &grounds, (again.as_ref(), read_first), self.on);
        Outlook {
            verdict,
            action: of_word.action(&look, verdict),
            by_word: of_word.asks,
            look,
            held: sowing.held.clone().filter(|_| matches!(verdict, Verdict::Held(_))),
            move_to: match verdict {
                Verdict::Held(_) => sowing.held.as_ref().and_then(|held| held.better.clone()),
                Verdict::Slow => sowing.warmer.clone(),
                _ => None,
            },
            model: belief.model,
            expected: is_counted.then(|| self.expected(sowing, groups, &grounds)).flatten(),
            expected_final: is_counted.then(|| (sowing.up.saturating_add(low), sowing.up.saturating_add(high))),
            chance_of_more: Some(Share(belief.further.at_least(1))),
            wanted: sowing.wanted,
            chance_of_wanted: Some(Share(signs.of_wanted)),
            ninety_by: belief.ninety_by.filter(|by| *by >= self.on && verdict.is_waited_for()),
            count,
            again,
            grounds: Some(Arc::new(grounds)),
        }
    }

    /// What all its sown parts should show, those too of which no more is looked for.
    fn expected(&self, sowing: &Sowing<'_>, groups: &[Group], grounds: &Grounds) -> Option<Expected> {
        let parts: Vec<&Part> = sown_parts(self.state, sowing.batch);
        let prior = self.prior(&parts, &grounds.kept, &grounds.seed);
        let of = |(sown, run): (u32, &Run)| Expected { sown, prior, run_by_now: run.by(self.on) };
        if parts.len() == sowing.open.len() {
            return Group::whole(groups).map(of);
        }
        Group::whole(&self.groups_of(&parts, &grounds.book)).map(of)
    }

    /// What is said of a sowing of which no more are looked for.
    fn over(&self, verdict: Verdict, sowing: &Sowing<'_>) -> Outlook {
        let action = match verdict {
            Verdict::AllUp => explain::all_up(self.stands(sowing), sowing),
            _ => "nothing more is looked for".to_owned(),
        };
        Outlook {
            verdict,
            action,
            by_word: String::new(),
            look: Look::No,
            held: None,
            move_to: None,
            model: Model::Holds,
            expected: None,
            expected_final: (sowing.unit != SownUnit::Pinch).then_some((sowing.up, sowing.up)),
            chance_of_more: None,
            wanted: sowing.wanted,
            chance_of_wanted: None,
            ninety_by: None,
            count: Count::Idle,
            again: None,
            grounds: None,
        }
    }

    /// Whether any of its sown parts is still in the warm, and there in the dark, or chilled.
    fn stands(&self, sowing: &Sowing<'_>) -> Stands {
        let parts = self.state.parts_of(sowing.batch).map(|(_, part)| part).filter(|part| part.is_sown());
        let places = parts.filter(|part| part.is_live()).filter_map(|part| {
            let place = self.state.whereabouts(part.container)?;
            self.state.places.get(&place)
        });
        let (warm, elsewhere): (Vec<_>, Vec<_>) = places.partition(|place| place.kind.draws_shoots());
        if warm.is_empty() && elsewhere.iter().any(|place| place.kind == PlaceKind::Fridge) {
            return Stands::Chilled;
        }
        if self.is_on_paper(&sowing.open) {
            return Stands::OnPaper;
        }
        match (warm.is_empty(), warm.iter().any(|place| place.light != Light::Full)) {
            (true, _) => Stands::Elsewhere,
            (false, true) => Stands::InTheDarkWarm,
            (false, false) => Stands::InTheLitWarm,
        }
    }

    fn again<'b>(&'b self, sowing: &'b Sowing<'b>, verdict: Verdict) -> Wanting<'b> {
        let lot = self.state.lots.get(&sowing.batch.lot);
        // Until it had its time a sowing says nothing of its lot.
        let told = lot.is_some() && matches!(verdict, Verdict::Failed | Verdict::Thin);
        let this = told.then(|| past(self.state, sowing.id, sowing.batch)).flatten();
        Wanting {
            state: self.state,
            record: self.record,
            fails: self.fails,
            crop: sowing.crop,
            name: &sowing.name,
            lot: sowing.batch.lot,
            unit: sowing.unit,
            batch: sowing.id,
            this,
            wanted: sowing.wanted,
            there: sowing.up.saturating_sub(sowing.lost),
            last_frost: self.trade.last_frost(),
            since: sowing.since,
            on: self.on,
        }
    }
}

/// The parts of a batch that were sown.
pub(super) fn sown_parts<'a>(state: &'a State, batch: &'a Batch) -> Vec<&'a Part> {
    state.parts_of(batch).map(|(_, part)| part).filter(|part| part.is_sown()).collect()
}

/// A sowing that stands, as it speaks of its lot once it had its time.
pub(super) fn past(state: &State, id: BatchId, batch: &Batch) -> Option<PastSowing> {
    let counts = state.parts_of(batch).filter(|(_, part)| part.is_sown()).filter_map(|(_, part)| part.counts.last());
    let known_on = counts.map(|count| count.on).max()?;
    Some(PastSowing { stands: true, known_on, ..PastSowing::so_far(state, id, batch)? })
}

/// One unit up in each cell where more were sown, else a fair share of what such seed gives; at least one.
fn wanted(state: &State, batch: &Batch, unit: SownUnit, seed: &Seed) -> u32 {
    let of_part = |part: &Part| {
        let units = f64::from(part.sown());
        match part.source {
            Source::Sown { per_cell: Some(per_cell), .. } if per_cell > 1 => {
                (units / f64::from(per_cell)) * verdict::WANTED_SHARE
            }
            _ if unit == SownUnit::Pinch => units * seed.counted_on * verdict::WANTED_SHARE / 2.0,
            _ => units * seed.counted_on * verdict::WANTED_SHARE,
        }
    };
    let sum: f64 = state.parts_of(batch).filter(|(_, part)| part.is_sown()).map(|(_, part)| of_part(part)).sum();
    sum.ceil().max(1.0) as u32
}

fn wanted_of(state: &State, batch: &Batch, unit: SownUnit) -> WantedOf {
    let several = |part: &Part| matches!(part.source, Source::Sown { per_cell: Some(2..), .. });
    match unit {
        _ if state.parts_of(batch).any(|(_, part)| several(part)) => WantedOf::Cells,
        SownUnit::Pinch => WantedOf::Pinch,
        _ => WantedOf::Seeds,
    }
}
