//! What tonight is likely to do to plants just stood somewhere else: told with the act, whatever face it came from.

use crate::advice::{sown_too_cold, tonight_after};
use crate::journal::{Entry, Fact, State, fold_until};
use crate::quantity::{ContainerId, Date};
use crate::store::Books;
use crate::trade::Trade;

use super::error::DeskError;
use super::scope_of;

/// A line for plants that an act stood where tonight is likely too cold for them. A backlog is not told of nights
/// long past: only acts of the newest day in the journal are looked at.
///
/// It reads what is live and its temperatures, and only for acts that bring plants out of the house. `after` is what the
/// act's own history came to.
pub(super) fn notice(
    books: &Books<'_>,
    trade: &Trade,
    on: Date,
    entries: &[Entry],
    after: &State,
) -> Result<Option<String>, DeskError> {
    let moved: Vec<ContainerId> = entries.iter().filter_map(|entry| moved_out(entry, after)).collect();
    if moved.is_empty() || books.latest_ordinary_day()?.is_some_and(|latest| on < latest) {
        return Ok(None);
    }
    let (state, _) = fold_until(&books.history(scope_of(on))?, on);
    Ok(tonight_after(&state, trade, on, &moved).or_else(|| sown_too_cold(&state, trade, on, &moved)))
}

/// A container stood, moved or put out where it is not in a house.
fn moved_out(entry: &Entry, after: &State) -> Option<ContainerId> {
    let id = match &entry.fact {
        Fact::Moved { container, .. } | Fact::WentOut { container, .. } | Fact::Filled { container, .. } => *container,
        _ => return None,
    };
    let place = after.places.get(&after.whereabouts(id)?)?;
    (!place.kind.is_indoors()).then_some(id)
}
