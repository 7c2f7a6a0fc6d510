//! What reaches the screen's model, and what the model asks for.

use crate::advice::{BatchView, BenchPlan, Curve, InHand, MovePreview, PlaceView, Reach, Repacking, RoomFor};
use crate::desk::{Board, Done, Fetched, HistoryRow, Meant, SeedLeft};
use crate::grammar::{Later, Report, Request, SpotRef, Step, Vocabulary};
use crate::quantity::{ActId, BatchId, ContainerId, Date, Name, PlaceId};

use super::model::Page;
use super::rows::Subject;

/// A key, as far as the screen knows keys.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Key {
    /// A letter, digit or sign.
    Char(char),
    /// Any of the ten digits; stands in the action table only.
    Digit,
    /// Enter.
    Enter,
    /// Escape.
    Esc,
    /// Backspace.
    Backspace,
    /// Arrow up.
    Up,
    /// Arrow down.
    Down,
    /// Arrow left.
    Left,
    /// Arrow right.
    Right,
    /// Tab.
    Tab,
    /// Shift and Tab.
    BackTab,
    /// A screenful up.
    PageUp,
    /// A screenful down.
    PageDown,
}

/// What the mouse did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Press {
    /// It went down.
    Down,
    /// It was drawn along, held down.
    Drawn,
}

/// One look at the journal: all that the open screens need of it.
#[derive(Clone, Debug)]
pub struct Sight {
    /// The day as a whole.
    pub board: Board,
    /// The batch that is open, with its acts, latest first.
    pub batch: Option<(BatchView, Vec<HistoryRow>)>,
    /// The course of that batch beside what was expected; `None` for plants bought in.
    pub curve: Option<Curve>,
    /// The plan of every bench, when the benches are open.
    pub plans: Vec<BenchPlan>,
    /// The place that is open.
    pub place: Option<PlaceView>,
    /// The trays and pots in hand, when they are open.
    pub in_hand: Option<InHand>,
    /// The latest acts, latest first, when the journal is open.
    pub acts: Vec<HistoryRow>,
}

/// Where a container may go without moving any other.
#[derive(Clone, Debug)]
pub struct MayGo {
    /// The container.
    pub container: ContainerId,
    /// The ground it takes and the spots, bench by bench; empty when it was never measured.
    pub benches: Vec<Reach>,
}

/// Why something could not be done, in words for the grower.
#[derive(Clone, Debug, PartialEq)]
pub struct Trouble {
    /// One sentence, and what to do instead.
    pub line: String,
    /// The act whose undo later ones depend on, when that is the trouble.
    pub depended_on: Option<ActId>,
    /// What to log if it is so all the same, when it was only doubted.
    pub insisted: Option<Box<Dated>>,
}

/// Something to log, and the day it is dated by.
#[derive(Clone, Debug, PartialEq)]
pub struct Dated {
    /// What.
    pub request: Request,
    /// When it happened.
    pub on: Date,
}

/// What happened.
#[derive(Clone, Debug)]
pub enum Message {
    /// A key went down.
    Key(Key),
    /// The mouse pressed or was drawn over a cell of the tray, counted from zero.
    Cell(usize, Press),
    /// Text was pasted.
    Paste(String),
    /// The journal was looked at.
    Seen {
        /// Which asking this answers; a stale answer is dropped.
        generation: u64,
        /// What was seen.
        sight: Result<Box<Sight>, Trouble>,
    },
    /// The seed box was looked through.
    SeedBox {
        /// Which asking this answers.
        generation: u64,
        /// The seed there is, used last first, and the room for what it is sown in.
        seed: Result<(Vec<SeedLeft>, Vec<RoomFor>), Trouble>,
    },
    /// The room for what plants are moved on into was worked out.
    RoomFor {
        /// Which asking this answers.
        generation: u64,
        /// What is to be moved on.
        subject: Subject,
        /// The room, and the places where tonight would harm them.
        rooms: Result<(Vec<RoomFor>, Vec<PlaceId>), Trouble>,
    },
    /// Room was looked for.
    Spots {
        /// Which asking this answers.
        generation: u64,
        /// Where it may go.
        spots: Result<MayGo, Trouble>,
    },
    /// The names there are were read.
    Names {
        /// Which asking this answers.
        generation: u64,
        /// The names.
        names: Result<Vocabulary, Trouble>,
    },
    /// A step was tried without being taken.
    Rehearsed {
        /// Which asking this answers.
        generation: u64,
        /// What it would do.
        done: Result<Done, Trouble>,
    },
    /// A report was made.
    Told {
        /// Which asking this answers.
        generation: u64,
        /// Its lines.
        lines: Result<Vec<String>, Trouble>,
    },
    /// What a move would do to the space on both sides was worked out.
    Room {
        /// Which asking this answers.
        generation: u64,
        /// What is to be moved.
        subject: Subject,
        /// What it would do.
        preview: Result<MovePreview, Trouble>,
    },
    /// A repacking was worked out.
    Proposed {
        /// Which asking this answers.
        generation: u64,
        /// What it would come to.
        repacking: Result<Box<Repacking>, Trouble>,
    },
    /// An act, undo or redo was tried.
    Tried {
        /// Which asking this answers.
        generation: u64,
        /// What was done.
        done: Result<Done, Trouble>,
    },
    /// Several acts were taken back one after another, as far as each could be.
    UndoneEach {
        /// Which asking this answers.
        generation: u64,
        /// Act by act, in the order asked for.
        tries: Vec<(ActId, Result<Done, Trouble>)>,
    },
    /// The weather service was asked: what came of it.
    Fetched(Result<Fetched, Trouble>),
    /// Another program wrote to the journal.
    Stale,
    /// A new day began.
    NewDay(Date),
}

/// What the model asks for; each but fetching and leaving is answered by a [`Message`] of the
/// same generation.
#[derive(Clone, Debug, PartialEq)]
pub enum Effect {
    /// Look at the journal.
    Look {
        /// The day to look at.
        on: Date,
        /// The batch that is open.
        batch: Option<BatchId>,
        /// How many acts to read.
        acts: u32,
        /// The page that is open.
        page: Page,
        /// Which asking this is.
        generation: u64,
    },
    /// Look through the seed box.
    OpenSeedBox {
        /// What was sown in last.
        kinds: Vec<Name>,
        /// The day to look at.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Look where a container may go.
    FindSpots {
        /// Which.
        container: ContainerId,
        /// The day to look at.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Read the names there are.
    Names {
        /// The day to look at.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Work out the room for plants to be moved on.
    FindRoom {
        /// What is to be moved on.
        subject: Subject,
        /// What it may go into, beside the kinds in use.
        kinds: Vec<Name>,
        /// The day to look at.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Work out what moving would do to the space on both sides.
    PreviewMove {
        /// What is to be moved.
        subject: Subject,
        /// The containers it stands in.
        containers: Vec<ContainerId>,
        /// The day to look at.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Try a step without taking it.
    Rehearse {
        /// What.
        step: Box<Step>,
        /// The batches it was said to be for.
        meant: Vec<Meant>,
        /// The day it happened.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Take a step.
    Take {
        /// What.
        step: Box<Step>,
        /// The batches it was said to be for.
        meant: Vec<Meant>,
        /// The day it happened.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Make a report.
    Tell {
        /// Which.
        report: Box<Report>,
        /// The day to show it by.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Work out what repacking a bench would free.
    Propose {
        /// Which.
        bench: SpotRef,
        /// The day to look at.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Log an act.
    Perform {
        /// What.
        request: Box<Request>,
        /// The batches it is for, where they were chosen on the screen.
        meant: Vec<Meant>,
        /// The day it happened.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Ask the weather service, without waiting for it; answered by [`Message::Fetched`] whatever was asked since.
    Fetch {
        /// The day it is asked on.
        on: Date,
    },
    /// Take back an act.
    Undo {
        /// Which; without it, the newest.
        act: Option<ActId>,
        /// What becomes of later acts that need it.
        later: Later,
        /// The day it is done.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Take back these acts one after another, each by itself; later acts that need one keep it.
    UndoEach {
        /// Which, in this order.
        acts: Vec<ActId>,
        /// The day it is done.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Bring back what was taken back last.
    Redo {
        /// The day it is done.
        on: Date,
        /// Which asking this is.
        generation: u64,
    },
    /// Leave.
    Quit,
}
