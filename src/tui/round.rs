//! The round: a place walked container by container, one stop a part.
//!
//! What was done is kept while the program is open; after that the log still tells which stops were counted today.

use std::collections::BTreeSet;

use crate::advice::{Verdict, standing_order};
use crate::journal::{Part, State};
use crate::quantity::{ActId, Date, PartId, PlaceId};

use super::form;
use super::model::{Choose, Menu, Model, Page};

/// The title of the list of places.
pub const TITLE: &str = "a round of";

/// The round of one place on one day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Round {
    /// The place.
    pub place: PlaceId,
    /// The day: tomorrow's round is another.
    pub on: Date,
    /// The parts to stop at, in the order they stood when the round began or was taken up again.
    pub stops: Vec<PartId>,
    /// Those counted or skipped on it.
    pub seen: BTreeSet<PartId>,
    /// What is being typed at the stop.
    pub entry: Entry,
    /// True once the number was refused: the next digit replaces it.
    pub refused: bool,
    /// What it logged, first first.
    pub logged: Vec<Logged>,
}

/// What is being typed at a stop.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Entry {
    /// Nothing: letters do things.
    #[default]
    Nothing,
    /// A count: digits, a sign or letter of the count.
    Count(String),
    /// How many true leaves: one digit.
    Leaves,
}

/// An act of the round.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Logged {
    /// The act.
    pub act: ActId,
    /// The part at whose stop it was logged.
    pub part: PartId,
    /// What happened.
    pub said: String,
    /// True while it is taken back.
    pub undone: bool,
}

/// What a bare number says at a stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tells {
    /// What has come up: of a sowing nothing has left, so that it is also what stands.
    Up,
    /// What stands now.
    Standing,
}

impl Tells {
    /// Of a part: what is in front of the grower is what stands; only while nothing has left is it also what came up.
    #[must_use]
    pub fn of(part: &Part) -> Self {
        if part.is_sown() && part.left() == 0 { Self::Up } else { Self::Standing }
    }

    /// In a word.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Up => "up",
            Self::Standing => "standing",
        }
    }

    /// What was typed, in the words of the command line.
    #[must_use]
    pub fn words(self, typed: &str) -> Vec<String> {
        match self {
            Self::Up => form::up_words(typed),
            Self::Standing => form::stood_words(typed),
        }
    }
}

impl Round {
    /// A round that nothing was done on yet.
    #[must_use]
    pub const fn new(place: PlaceId, on: Date) -> Self {
        Self {
            place,
            on,
            stops: Vec::new(),
            seen: BTreeSet::new(),
            entry: Entry::Nothing,
            refused: false,
            logged: Vec::new(),
        }
    }

    /// The acts in force, newest first.
    #[must_use]
    pub fn in_force(&self) -> Vec<ActId> {
        self.logged.iter().rev().filter(|one| !one.undone).map(|one| one.act).collect()
    }

    /// Notes whether an act of it is taken back: what was, is to be seen again. The part it was about, if it is one of it.
    pub(super) fn rule(&mut self, act: ActId, undone: bool) -> Option<PartId> {
        let one = self.logged.iter_mut().find(|one| one.act == act)?;
        if undone && !one.undone {
            self.seen.remove(&one.part);
        }
        one.undone = undone;
        Some(one.part)
    }

    /// True when a stop needs no more: counted or skipped on this round, or counted or filled on its day by the log.
    #[must_use]
    pub fn is_done(&self, state: &State, part: PartId) -> bool {
        let by_log = |part: &Part| part.filled == self.on || part.counts.iter().any(|count| count.on == self.on);
        self.seen.contains(&part) || state.parts.get(&part).is_some_and(by_log)
    }

    /// How many of the stops that need no more were only passed by: neither counted or filled on the day, nor anything
    /// logged there.
    #[must_use]
    pub fn passed(&self, state: &State) -> usize {
        let by_log = |part: &Part| part.filled == self.on || part.counts.iter().any(|count| count.on == self.on);
        let logged = |id: &PartId| self.logged.iter().any(|one| one.part == *id && !one.undone);
        let passed = |id: &&PartId| !state.parts.get(id).is_some_and(by_log) && !logged(id);
        self.stops.iter().filter(|id| self.seen.contains(id)).filter(passed).count()
    }

    /// `5 done, 2 passed by`.
    #[must_use]
    pub fn progress(&self, state: &State) -> String {
        let passed = self.passed(state);
        let done = format!("{} done", self.done(state).saturating_sub(passed));
        if passed == 0 { done } else { format!("{done}, {passed} passed by") }
    }

    /// How many stops need no more.
    #[must_use]
    pub fn done(&self, state: &State) -> usize {
        self.stops.iter().filter(|part| self.is_done(state, **part)).count()
    }

    /// The first stop at or behind one that is still to be seen, and else the first before it.
    #[must_use]
    pub fn open_from(&self, state: &State, from: usize) -> Option<usize> {
        let open = |at: &usize| self.stops.get(*at).is_some_and(|part| !self.is_done(state, *part));
        (from..self.stops.len()).find(open).or_else(|| (0..from).find(open))
    }
}

impl Model {
    /// The round that is open, at a stop or at its end.
    #[must_use]
    pub fn round(&self) -> Option<&Round> {
        match self.page() {
            Page::Round(place) | Page::Rounded(place) => self.rounds.get(&place),
            _ => None,
        }
    }

    pub(super) fn round_mut(&mut self) -> Option<&mut Round> {
        match self.page() {
            Page::Round(place) | Page::Rounded(place) => self.rounds.get_mut(&place),
            _ => None,
        }
    }

    /// The stop of the round that is being walked, also while another page lies over it.
    #[must_use]
    pub fn walking(&self) -> Option<(PlaceId, PartId)> {
        self.pages.iter().rev().find_map(|(page, cursor)| match page {
            Page::Round(place) => Some((*place, *self.rounds.get(place)?.stops.get(cursor.index)?)),
            _ => None,
        })
    }

    /// The part the round stops at, while the stop is what is shown.
    #[must_use]
    pub fn stop(&self) -> Option<PartId> {
        self.walking().filter(|(place, _)| self.page() == Page::Round(*place)).map(|(_, part)| part)
    }

    /// The round of a place as it would be walked now, with what was done of it today.
    #[must_use]
    pub fn round_of(&self, place: PlaceId) -> Round {
        let kept = self.rounds.get(&place).filter(|round| round.on == self.on).cloned();
        let stops = standing_order(&self.board.state, place);
        Round { stops, entry: Entry::Nothing, refused: false, ..kept.unwrap_or_else(|| Round::new(place, self.on)) }
    }

    /// The places in which something stands, each with one key.
    #[must_use]
    pub fn rounds_menu(&self) -> Menu {
        let state = &self.board.state;
        let mut places: Vec<_> = state.places.iter().collect();
        places.sort_by_key(|(id, place)| (&place.name, **id));
        let rounds = places.into_iter().map(|(id, place)| (place, self.round_of(*id)));
        let rounds = rounds.filter(|(_, round)| !round.stops.is_empty());
        let items = ('1'..='9').chain('a'..='z').zip(rounds).map(|(key, (place, round))| {
            let (all, done) = (round.stops.len(), round.done(state));
            let held: BTreeSet<_> = round.stops.iter().filter_map(|id| Some(state.parts.get(id)?.container)).collect();
            let containers =
                if held.len() == 1 { "1 container".to_owned() } else { format!("{} containers", held.len()) };
            let kept = match done {
                0 => containers,
                // What was counted or filled without a round was not walked.
                done if self.rounds.get(&round.place).is_none_or(|walked| walked.on != self.on) => {
                    format!("{containers}, {done} of {all} counted or filled today")
                }
                done if done == all && round.passed(state) == 0 => format!("all {all} done"),
                done if done == all => format!("all {all} seen: {}", round.progress(state)),
                done => match round.passed(state) {
                    0 => format!("resume, {done} of {all} done"),
                    passed => format!("resume, {} of {all} done, {passed} passed by", done - passed),
                },
            };
            (key, format!("{}: {kept}", place.name), Choose::Round(round.place))
        });
        Menu::new(TITLE, items.collect())
    }

    /// What can be said of a part's sowing, while it is one.
    #[must_use]
    pub fn sowing_of(&self, part: &Part) -> Option<&crate::advice::Germination> {
        let row = self.board.germination.iter().find(|row| row.batch == part.batch)?;
        (part.is_sown() && row.verdict() != Verdict::Over).then_some(row)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::{Cause, Count, Departure, Gone, Source};
    use crate::quantity::{BatchId, ContainerId, EntryId, PartLetter};

    fn day(text: &str) -> Date {
        text.parse().unwrap()
    }

    fn part(source: Source, filled: &str) -> Part {
        Part {
            batch: BatchId(EntryId(1)),
            letter: PartLetter(0),
            container: ContainerId(EntryId(2)),
            filled: day(filled),
            source,
            up: 0,
            gained: 0,
            short: 0,
            moved_on: 0,
            ticked: None,
            emptied: Vec::new(),
            gone: Vec::new(),
            counts: Vec::new(),
            stages: Vec::new(),
            cleared: None,
            cleared_by: None,
        }
    }

    const SOWN: Source = Source::Sown { units: 24, per_cell: None };

    #[test]
    fn a_bare_number_is_what_is_up_only_while_nothing_has_left() {
        let mut tray = part(SOWN, "2026-03-01");
        tray.up = 20;
        assert_eq!(Tells::of(&tray).words("21"), ["21"]);
        tray.gone.push(Gone { on: tray.filled, plants: 1, how: Departure::Lost { cause: Cause::Mice, remark: None } });
        assert_eq!(Tells::of(&tray).words("21"), ["--standing=21"]);
        assert_eq!(Tells::of(&tray).words("-6"), ["--gaps=6"]);
        tray.gone.clear();
        tray.moved_on = 12;
        assert_eq!(Tells::of(&tray), Tells::Standing);
        assert_eq!(Tells::of(&part(Source::Received { plants: 6 }, "2026-03-01")), Tells::Standing);
    }

    #[test]
    fn a_stop_is_done_when_it_was_passed_or_the_log_has_it_of_that_day() {
        let mut state = State::default();
        let ids: Vec<PartId> = (1..=4).map(|id| PartId(EntryId(id))).collect();
        let place = PlaceId(EntryId(9));
        for id in &ids {
            state.parts.insert(*id, part(SOWN, "2026-03-01"));
        }
        let mut round = Round { stops: ids.clone(), ..Round::new(place, day("2026-03-20")) };
        assert_eq!((round.done(&state), round.open_from(&state, 0)), (0, Some(0)));
        round.seen.insert(ids[0]);
        let counted = |on| Count { on: day(on), up: 3, standing: 3 };
        state.parts.get_mut(&ids[1]).unwrap().counts = vec![counted("2026-03-19")];
        state.parts.get_mut(&ids[2]).unwrap().counts = vec![counted("2026-03-20")];
        assert_eq!(
            (round.done(&state), round.open_from(&state, 0)),
            (2, Some(1)),
            "yesterday's count is no look today"
        );
        state.parts.get_mut(&ids[1]).unwrap().filled = day("2026-03-20");
        assert_eq!((round.done(&state), round.open_from(&state, 1)), (3, Some(3)));
        round.seen.insert(ids[3]);
        assert_eq!(round.open_from(&state, 3), None);
        let act = ActId(uuid::Uuid::from_u128(5));
        round.logged.push(Logged { act, part: ids[3], said: String::new(), undone: false });
        assert_eq!(round.rule(act, true), Some(ids[3]));
        assert_eq!(
            (round.open_from(&state, 1), round.in_force()),
            (Some(3), vec![]),
            "taken back, it is to be seen again"
        );
        // Behind the last the search begins again at the first.
        state.parts.get_mut(&ids[1]).unwrap().filled = day("2026-03-01");
        round.seen.insert(ids[3]);
        assert_eq!(round.open_from(&state, 4), Some(1));
    }
}
