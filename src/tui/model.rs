//! What the screen knows: the last look at the journal, where the grower is in it, and what lies open on top.

use std::collections::{BTreeMap, BTreeSet};

use crate::advice::{BatchView, BenchPlan, Curve, Due, Germination, InHand, InHandRow, PlaceView, Verdict, Why};
use crate::desk::{Board, Dispute, HistoryRow, Standing};
use crate::quantity::{ActId, BatchId, Date, PartId, PlaceId};

use super::draft::{Draft, HalfForm};
use super::form::Form;
use super::keys::Keys;
use super::line::Line;
use super::message::{Dated, Effect, MayGo, Sight};
use super::plan::{Lifted, Proposal};
use super::round::Round;
use super::rows::{RowKey, Section};
use super::settings::ScreenSettings;
use super::theme::Light;
use super::tray::Tray;

/// Acts read when the journal is opened; more are read when the end is reached.
pub const ACTS_AT_FIRST: u32 = 200;

/// A whole screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Page {
    /// Home: what is due, what comes up, what moves on, where there is room.
    Morning,
    /// One batch.
    Batch(BatchId),
    /// Before dusk: what comes in, is covered, goes out or stays.
    Tonight,
    /// What stands on each bench.
    Benches,
    /// The climate of one place, and what stands there.
    Place(PlaceId),
    /// One bench drawn large, to act on.
    Plan,
    /// Trays and pots in hand.
    InHand,
    /// Every act.
    Journal,
    /// The cells of a part, to be ticked; what is ticked is in [`Model::tray`].
    Cells(PartId),
    /// A place walked container by container.
    Round(PlaceId),
    /// What such a round has logged.
    Rounded(PlaceId),
}

/// Whether a remark says that all is well.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// Something was done.
    Done,
    /// Something could not be done.
    Trouble,
}

/// What is said to the grower, lines below one another; it stands until the next key that does something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// What it says.
    pub line: String,
    /// Whether all is well.
    pub tone: Tone,
    /// What takes back what was done.
    pub way_back: Option<WayBack>,
}

/// The key that takes back what was done last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WayBack {
    /// This act is undone.
    Undo(ActId),
    /// What was undone is brought back.
    Redo,
}

/// A question with one key for yes.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// What is asked.
    pub line: String,
    /// What yes does.
    pub yes: Yes,
}

/// What yes does.
#[derive(Clone, Debug, PartialEq)]
pub enum Yes {
    /// Log this.
    Perform(Box<Dated>),
    /// Go on with what was left half-entered.
    TakeUp(Box<Draft>),
    /// Undo this act with those that depend on it.
    UndoWithLater(ActId),
    /// Leave a tray, and keep none of its ticks.
    LeaveCells,
    /// Undo all that the round logged.
    UndoRound,
}

/// What one key of a menu does.
#[derive(Clone, Debug)]
pub enum Choose {
    /// Open this menu.
    Menu(Menu),
    /// Open this form.
    Form(Box<Form>),
    /// Walk this place.
    Round(PlaceId),
    /// Tick this tray.
    Cells(PartId),
    /// Ask the weather service.
    Fetch,
}

/// Things to choose from by one key each.
#[derive(Clone, Debug)]
pub struct Menu {
    /// What is chosen.
    pub title: String,
    /// Key, words and what it does.
    pub items: Vec<(char, String, Choose)>,
    /// The first that is shown where not all fit; past the last page drawing stops at that.
    pub first: usize,
}

impl Menu {
    /// A menu from its beginning.
    #[must_use]
    pub fn new(title: &str, items: Vec<(char, String, Choose)>) -> Self {
        Self { title: title.to_owned(), items, first: 0 }
    }
}

/// The actions of a page, narrowed by words.
#[derive(Clone, Debug, Default)]
pub struct Palette {
    /// The one that Enter does, among those that have the words.
    pub at: usize,
    /// What they are narrowed by.
    pub words: tui_input::Input,
    /// True while letters go to the words.
    pub finding: bool,
}

/// What lies open on top of a page.
#[derive(Clone, Debug)]
pub enum Overlay {
    /// A form being filled in.
    Form(Box<Form>),
    /// A line being typed.
    Line(Box<Line>),
    /// Things to choose from.
    Menu(Menu),
    /// A question.
    Question(Question),
    /// How something was come by.
    Why {
        /// Of what.
        title: String,
        /// The answer.
        why: Box<Why>,
        /// Lines scrolled away.
        scroll: u16,
    },
    /// A report.
    Text {
        /// What was asked.
        title: String,
        /// Its lines.
        lines: Vec<String>,
        /// Lines scrolled away.
        scroll: u16,
    },
    /// The keys of the page and what they do, to be read, found and done.
    Help(Palette),
}

/// Where the grower is on a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cursor {
    /// The part of the page.
    pub section: Section,
    /// The row in it, from zero.
    pub index: usize,
}

/// Everything the screen knows.
#[derive(Clone, Debug)]
pub struct Model {
    /// The last look at the journal.
    pub board: Board,
    /// The batch that is open, with its acts.
    pub batch: Option<(BatchView, Vec<HistoryRow>)>,
    /// Its course beside what was expected.
    pub curve: Option<Curve>,
    /// The plans of the benches, when they are open.
    pub plans: Vec<BenchPlan>,
    /// The trays and pots in hand, when they are open.
    pub in_hand: Option<InHand>,
    /// Where a container may go, once that was asked.
    pub may_go: Option<MayGo>,
    /// The place that is open.
    pub place: Option<PlaceView>,
    /// The tray that is being ticked.
    pub tray: Option<Tray>,
    /// The container lifted off the plan.
    pub lifted: Option<Lifted>,
    /// The repacking that is proposed on the plan.
    pub proposal: Option<Proposal>,
    /// The latest acts, as many as were read.
    pub acts: Vec<HistoryRow>,
    /// How many acts to read.
    pub acts_wanted: u32,
    /// The pages, home first; never empty.
    pub pages: Vec<(Page, Cursor)>,
    /// What lies on top of the page, the topmost last.
    pub overlays: Vec<Overlay>,
    /// Parts marked to be moved together.
    pub marked: BTreeSet<PartId>,
    /// A batch number being typed.
    pub typed: String,
    /// True behind a number that is no batch's: keys that act are not taken until Enter, Escape or another number, for they
    /// were likelier meant for a form that is closed.
    pub astray: bool,
    /// What the acts are filtered by; `Some` while it is typed or in force.
    pub filter: Option<tui_input::Input>,
    /// True while letters go to the filter.
    pub filtering: bool,
    /// The rounds walked since the program was opened, by place.
    pub rounds: BTreeMap<PlaceId, Round>,
    /// A form that is taken up, while the seed box is looked through for it.
    pub taking_up: Option<HalfForm>,
    /// The batch that seed is being chosen to sow again for.
    pub sowing_for: Option<BatchId>,
    /// What was left half-entered and is neither taken up nor dropped: it is kept for the next time.
    pub set_aside: Option<Draft>,
    /// Lines typed and logged, the newest last.
    pub lines: Vec<String>,
    /// True when today's work is shown in full after days away.
    pub in_full: bool,
    /// One line to the grower.
    pub notice: Option<Notice>,
    /// The day that entries are dated by: today, or the demonstration's own day.
    pub today: Date,
    /// The day shown.
    pub on: Date,
    /// The latest asking.
    pub generation: u64,
    /// The keys in force.
    pub keys: Keys,
    /// How bright it is where the screen stands.
    pub light: Light,
}

impl Model {
    /// A model that shows the morning of a look.
    #[must_use]
    pub fn new(board: Board, today: Date) -> Self {
        let on = board.on;
        let mut model = Self {
            batch: None,
            curve: None,
            plans: Vec::new(),
            place: None,
            may_go: None,
            tray: None,
            in_hand: None,
            lifted: None,
            proposal: None,
            acts: Vec::new(),
            acts_wanted: 0,
            pages: vec![(Page::Morning, Cursor { section: Section::Today, index: 0 })],
            overlays: Vec::new(),
            marked: BTreeSet::new(),
            typed: String::new(),
            astray: false,
            filter: None,
            filtering: false,
            rounds: BTreeMap::new(),
            taking_up: None,
            sowing_for: None,
            set_aside: None,
            lines: Vec::new(),
            in_full: false,
            notice: None,
            today: if board.standing == Standing::Demonstration { on } else { today },
            on,
            generation: 0,
            keys: Keys::default(),
            light: Light::Ordinary,
            board,
        };
        model.settle();
        model
    }

    /// The same with the grower's own keys and light.
    #[must_use]
    pub fn with(mut self, settings: &ScreenSettings) -> Self {
        (self.keys, self.light) = (settings.keys.clone(), settings.light);
        self
    }

    /// The page shown.
    #[must_use]
    pub fn page(&self) -> Page {
        self.pages.last().map_or(Page::Morning, |(page, _)| *page)
    }

    /// Where the grower is on it.
    #[must_use]
    pub fn cursor(&self) -> Cursor {
        self.pages.last().map_or(Cursor { section: Section::Today, index: 0 }, |(_, cursor)| *cursor)
    }

    /// Moves the cursor.
    pub fn set_cursor(&mut self, to: Cursor) {
        if let Some((_, cursor)) = self.pages.last_mut() {
            *cursor = to;
        }
    }

    /// Today's work, in short or in full.
    #[must_use]
    pub fn due(&self) -> &[Due] {
        if self.in_full { &self.board.due_in_full } else { &self.board.due }
    }

    /// The sowings of which more may come, those to be looked at first; then those that are settled.
    #[must_use]
    pub fn coming_up(&self) -> Vec<&Germination> {
        let mut rows: Vec<&Germination> = self.board.germination.iter().filter(|row| !row.is_past()).collect();
        let rank = |verdict| match verdict {
            Verdict::Failed | Verdict::Thin => 0,
            Verdict::NotCountedLately => 1,
            Verdict::Slow | Verdict::Held(_) => 2,
            Verdict::Emerging => 3,
            Verdict::Waiting => 4,
            Verdict::AllUp | Verdict::Over => 5,
        };
        rows.sort_by_key(|row| (rank(row.verdict()), std::cmp::Reverse(row.label)));
        rows
    }

    /// The acts that the filter lets through: those that contradict one another first, then the newest.
    #[must_use]
    pub fn acts_shown(&self) -> Vec<&HistoryRow> {
        let words = self.filter.as_ref().map(|input| input.value().to_lowercase()).unwrap_or_default();
        let has = |row: &HistoryRow, word: &str| {
            row.verb.contains(word)
                || row.on.to_string().contains(word)
                || row.said.iter().chain(&row.plants).any(|line| line.to_lowercase().contains(word))
        };
        let mut rows: Vec<&HistoryRow> = Vec::new();
        for row in self.board.disputes.iter().flat_map(Dispute::rows) {
            if rows.iter().all(|known| known.act != row.act) {
                rows.push(row);
            }
        }
        rows.extend(self.acts.iter().filter(|row| self.dispute_of(row.act).is_none()));
        rows.into_iter().filter(|row| words.split_whitespace().all(|word| has(row, word))).collect()
    }

    /// What an act contradicts, when it does.
    #[must_use]
    pub fn dispute_of(&self, act: ActId) -> Option<&Dispute> {
        self.board.disputes.iter().find(|dispute| dispute.acts().any(|one| one == act))
    }

    /// The kind of container under the cursor, where they are shown.
    #[must_use]
    pub fn kind_here(&self) -> Option<&InHandRow> {
        self.in_hand.as_ref().filter(|_| self.page() == Page::InHand)?.rows.get(self.cursor().index)
    }

    /// Says something to the grower.
    pub fn say(&mut self, tone: Tone, line: impl Into<String>) {
        self.notice = Some(Notice { line: line.into(), tone, way_back: None });
    }

    /// Says something that came by itself: below what stands there, which may be a caution nobody has read yet.
    pub fn say_too(&mut self, tone: Tone, line: impl Into<String>) {
        let before = self.notice.take().map_or_else(String::new, |notice| notice.line + "\n");
        self.say(tone, before + &line.into());
    }

    /// Asks for a new look at the journal; older askings are void.
    pub fn look(&mut self) -> Effect {
        let batch = self.pages.iter().rev().find_map(|(page, _)| match page {
            Page::Batch(batch) => Some(*batch),
            _ => None,
        });
        let acts = match (self.page(), self.round()) {
            (Page::Journal, _) => self.acts_wanted.max(ACTS_AT_FIRST),
            // What the round logged, and what was taken back of it.
            (_, Some(round)) => u32::try_from(round.logged.len()).unwrap_or(u32::MAX).saturating_mul(3),
            _ => 0,
        };
        Effect::Look { on: self.on, batch, acts, page: self.page(), generation: self.asked() }
    }

    /// The number of a new asking.
    pub fn asked(&mut self) -> u64 {
        self.generation = self.generation.wrapping_add(1);
        self.generation
    }

    /// Takes a new look in, and keeps the cursor on what it was on.
    pub fn see(&mut self, sight: Sight) {
        let before = self.row_key();
        let open = self.batch.as_ref().map(|(batch, _)| batch.id);
        self.board = sight.board;
        self.batch = sight.batch;
        self.curve = sight.curve;
        self.plans = sight.plans;
        self.place = sight.place;
        self.in_hand = sight.in_hand;
        self.may_go = None;
        // What was asked of the last look may not be so any more.
        (self.lifted, self.proposal) = (None, None);
        self.acts = sight.acts;
        if let Some(tray) = &mut self.tray {
            tray.look_again(&self.board.state);
        }
        let parts = &self.board.state.parts;
        self.marked.retain(|id| parts.get(id).is_some_and(crate::journal::Part::is_live));
        for round in self.rounds.values_mut() {
            round.stops.retain(|id| parts.contains_key(id));
            for row in &self.acts {
                round.rule(row.act, row.undone);
            }
        }
        if let Some(key) = before {
            self.find(key);
        }
        self.settle();
        let opened = self.batch.as_ref().filter(|(batch, _)| Some(batch.id) != open);
        let living = opened.and_then(|(batch, _)| batch.parts.iter().position(|part| part.cleared.is_none()));
        if let (Page::Batch(_), Some(index)) = (self.page(), living) {
            self.set_cursor(Cursor { section: Section::Parts, index });
        }
    }

    fn find(&mut self, key: RowKey) {
        let section = self.cursor().section;
        let found = (0..self.len(section)).find(|index| self.key_at(section, *index) == Some(key));
        if let Some(index) = found {
            self.set_cursor(Cursor { section, index });
        }
    }

    /// Puts the cursor on a row that is there.
    pub fn settle(&mut self) {
        let cursor = self.cursor();
        let sections = self.sections();
        let section = if sections.contains(&cursor.section) && self.len(cursor.section) > 0 {
            cursor.section
        } else {
            sections.iter().copied().find(|section| self.len(*section) > 0).unwrap_or(sections[0])
        };
        let index = if section == cursor.section { cursor.index } else { 0 };
        self.set_cursor(Cursor { section, index: index.min(self.len(section).saturating_sub(1)) });
    }
}
