//! What tonight is likely to do to plants just stood somewhere else: told with the act, whatever face it came from.

use crate::advice::{sown_too_cold, tonight_after};
use crate::journal::{Entry, Fact, State};
use crate::quantity::ContainerId;
use crate::trade::Trade;

use super::error::DeskError;
use super::perform::Newest;

/// A line for plants that an act stood where tonight is likely too cold for them.
///
/// It looks at what is live only for acts that bring plants out of the house. `after` is what the act's own history came
/// to.
pub(super) fn notice(
    newest: &Newest<'_>,
    trade: &Trade,
    entries: &[Entry],
    after: &State,
) -> Result<Option<String>, DeskError> {
    let moved: Vec<ContainerId> = entries.iter().filter_map(|entry| moved_out(entry, after)).collect();
    if moved.is_empty() {
        return Ok(None);
    }
    let Some(state) = newest.state()? else { return Ok(None) };
    let on = newest.on;
    Ok(tonight_after(state, trade, on, &moved).or_else(|| sown_too_cold(state, trade, on, &moved)))
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
