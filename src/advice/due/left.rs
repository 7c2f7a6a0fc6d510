//! What is left over and asked about quietly, in one line: empty containers, what seems hopeless or forgotten, and the few
//! that pricking out left.

use crate::advice::outlook::Outlook;
use crate::advice::part::{PartAt, days_between};
use crate::advice::unheard::{COUNT_WHAT_LIVES, is_forgotten, part_noted};
use crate::advice::why::Why;
use crate::journal::{Part, Source, State};
use crate::quantity::{Date, PartId, SquareMillimetres};

use super::{About, Due, Task, Urgency};

/// Days after which an empty part of a container is asked about. Common practice, no source.
const EMPTY_DAYS: u32 = 14;

/// What stands so many days after its tray was pricked out, one to so many that went, is taken to be left over. Common practice, no
/// source.
const SPARE_DAYS: u32 = 3;
const SPARE_TO_GONE: u32 = 3;

impl About<'_> {
    /// Whether what stands in a tray is what its pricking out left over: far fewer than went, and some days ago.
    pub(super) fn is_spare(&self, id: PartId) -> bool {
        let Some(part) = self.state.parts.get(&id) else { return false };
        let went =
            |other: &Part| matches!(other.source, Source::From { part, .. } if part == id).then_some(other.filled);
        let last = self.state.parts_of(self.batch).filter_map(|(_, other)| went(other)).max();
        last.is_some_and(|last| days_between(last, self.on) >= SPARE_DAYS)
            && part.standing().saturating_mul(SPARE_TO_GONE) <= part.moved_on
    }

    /// Empty containers; and empty parts with nothing to come, seed long past hope, and plants that nothing was noted of
    /// for half a year.
    pub(super) fn left(&self, left: &mut Left) {
        for (id, part) in self.live() {
            let to_come = part.is_sown() && part.left() == 0 && part.up < part.sown();
            let noted = part_noted(self.state, id, self.on).unwrap_or(part.filled);
            let is_asked = match part.standing() {
                0 if !to_come && part.left() > 0 && is_bare(self.state, part) => {
                    left.empty.push(id);
                    false
                }
                0 if !to_come => days_between(noted, self.on) >= EMPTY_DAYS,
                _ => {
                    let hope = self.outlook.and_then(Outlook::hope);
                    is_forgotten(self.state, (id, part), hope, self.on)
                }
            };
            if is_asked {
                let to = if part.standing() > 0 { &mut left.unheard } else { &mut left.forgotten };
                to.push(id);
            }
        }
    }
}

/// What is asked about quietly.
#[derive(Default)]
pub(super) struct Left {
    /// Parts in containers that all plants have left.
    empty: Vec<PartId>,
    /// Parts without a plant that nothing was noted of for long.
    forgotten: Vec<PartId>,
    /// Plants that nothing was noted of for half a year: while they stand nothing is cleared.
    unheard: Vec<PartId>,
    /// Parts with the few plants that pricking out left over.
    pub(super) spare: Vec<PartId>,
}

/// True when no part in a part's container has plants.
fn is_bare(state: &State, part: &Part) -> bool {
    let held = state.containers.get(&part.container).into_iter().flat_map(|held| &held.parts);
    held.filter_map(|id| state.parts.get(id)).all(|part| part.standing() == 0 || !part.is_live())
}

/// `2 empty containers still take 0.17 m2: clear them`.
fn empties(state: &State, parts: &[PartId]) -> Option<String> {
    let mut containers: Vec<_> = parts.iter().filter_map(|id| Some(state.parts.get(id)?.container)).collect();
    containers.sort_unstable();
    containers.dedup();
    // What is on a carrier takes no bench of its own.
    let ground = containers.iter().filter(|id| state.outermost(**id) == **id);
    let area: SquareMillimetres = ground.filter_map(|id| state.containers.get(id)?.footprint()).sum();
    let room = if area.0 > 0 { area.to_string() } else { "their room".to_owned() };
    match containers.len() {
        0 => None,
        1 => Some(format!("1 empty container still takes {room}: clear it")),
        many => Some(format!("{many} empty containers still take {room}: clear them")),
    }
}

/// One line for all that is empty or seems hopeless, and one for plants long unheard of.
pub(super) fn ask_about(state: &State, left: &Left, on: Date) -> Vec<Due> {
    clear(state, left, on).into_iter().chain(count(state, &left.unheard, on)).collect()
}

fn count(state: &State, unheard: &[PartId], on: Date) -> Option<Due> {
    let since = unheard.iter().filter_map(|id| part_noted(state, *id, on)).min()?;
    let mut parts: Vec<_> = unheard.iter().filter_map(|id| PartAt::of(state, *id)).collect();
    parts.sort_by_key(|at| (at.label, at.id));
    Some(Due {
        urgency: Urgency::Quiet,
        what: Task::Count,
        batch: None,
        crop: None,
        variety: None,
        parts,
        due: Some(on),
        overdue_days: 0,
        reason: COUNT_WHAT_LIVES.to_owned(),
        doing: None,
        why: Why::new("plants stand by the log, and nothing was noted of them for half a year")
            .seen("the longest without a note", "", since)
            .doubt("a log behind the plants looks the same")
            .changes("any note, count or move")
            .practice("what nobody speaks of for months is asked about once, quietly"),
    })
}

fn clear(state: &State, left: &Left, on: Date) -> Option<Due> {
    let asked = || left.empty.iter().chain(&left.forgotten).chain(&left.spare);
    let since = asked().filter_map(|id| part_noted(state, *id, on)).min()?;
    let mut parts: Vec<_> = asked().filter_map(|id| PartAt::of(state, *id)).collect();
    parts.sort_by_key(|at| (at.label, at.id));
    let many = left.forgotten.len();
    let noun = if many == 1 { "container seems" } else { "containers seem" };
    let forgotten = (many > 0).then(|| format!("{many} {noun} hopeless or forgotten: clear, or note that they live"));
    let plants: u32 = left.spare.iter().filter_map(|id| Some(state.parts.get(id)?.standing())).sum();
    let spare = (plants > 0).then(|| format!("{plants} left over after pricking out: discard, or prick out too"));
    let reason = empties(state, &left.empty).into_iter().chain(spare).chain(forgotten).collect::<Vec<_>>().join("; ");
    Some(Due {
        urgency: Urgency::Quiet,
        what: Task::ClearForgotten,
        batch: None,
        crop: None,
        variety: None,
        due: Some(on),
        overdue_days: 0,
        reason,
        doing: None,
        why: Why::new(
            "all its plants have left it, or far more were pricked out of it days ago than are left; or empty for two weeks; or sown, none up and six weeks past the last that was looked for, with \
             nothing noted",
        )
        .seen("the longest without a note", "", since)
        .doubt("a log behind the plants looks the same")
        .changes("clearing them, or any note, count or move")
        .practice("what nobody speaks of for weeks is asked about once, quietly"),
        parts,
    })
}
