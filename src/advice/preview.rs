//! What moving containers would do to the space on both sides, before they are moved.

use crate::journal::{Stand, State, Stay, Vessel};
use crate::quantity::{ActId, BenchId, ContainerClass, ContainerId, Date, PlaceId, SquareMillimetres};
use crate::trade::Trade;

use super::carrier::beyond_carrier;
use super::cold::harmed_tonight;
use super::layout::assumed_layout;
use super::room::{bench_room, usual_tray};
use super::stand::{goes_in, goes_on, label_of};

/// Free ground of a bench and how many more of the usual tray go there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SideRoom {
    /// Ground nothing stands on.
    pub free: SquareMillimetres,
    /// How many more trays.
    pub more: u32,
}

/// One bench before and after.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MoveSide {
    /// The bench.
    pub bench: BenchId,
    /// As it is.
    pub before: SideRoom,
    /// Once they are moved.
    pub after: SideRoom,
}

/// Whether containers go on a bench as it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Goes {
    /// All of them.
    All,
    /// One was never measured.
    Unmeasured,
    /// One will be too tall for the roof within a week.
    TooTall,
    /// Not without moving another.
    Crowded,
    /// One is larger than the bench.
    Never,
}

/// What moving some containers would do.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MovePreview {
    /// The benches they would leave.
    pub from: Vec<MoveSide>,
    /// Every bench that does not have them all already: whether they go, and what it does.
    pub to: Vec<(MoveSide, Goes)>,
    /// Carriers on which they do not go beside what stands there.
    pub too_full: Vec<ContainerId>,
    /// Places where tonight would harm what is moved.
    pub harmed: Vec<PlaceId>,
}

/// What moving these containers to each bench would do, benches where they go first. In a tray most in use; empty for a
/// state that knows none.
#[must_use]
pub fn move_preview(state: &State, trade: &Trade, on: Date, moved: &[ContainerId]) -> MovePreview {
    let harmed = harmed_tonight(state, trade, on, moved);
    let mut preview = MovePreview { harmed, ..MovePreview::default() };
    let Some(tray) = usual_tray(state, trade) else { return preview };
    let room = |state: &State, bench: BenchId| {
        bench_room(state, trade, on, bench, &tray).map(|(free, more)| SideRoom { free, more })
    };
    let mut shifted = state.clone();
    let stands = |id: &ContainerId| state.containers.get(id).map(|container| container.stand);
    let vessels: Vec<&Vessel> = moved.iter().filter_map(|id| Some(&state.containers.get(id)?.vessel)).collect();
    let carriers = state.containers.iter().filter(|(_, it)| it.vessel.class == ContainerClass::Carrier);
    preview.too_full = carriers
        .map(|(id, _)| *id)
        .filter(|id| {
            let larger = || vessels.iter().any(|vessel| goes_in(state, *id, vessel).is_err());
            larger() || beyond_carrier(state, *id, &vessels).is_some()
        })
        .collect();
    let is_here = |bench: BenchId| moved.iter().filter(|id| stands(id) == Some(Stand::Bench(bench))).count();
    for (id, bench) in &state.benches {
        let (Some(before), here) = (room(state, *id), is_here(*id)) else { continue };
        if here > 0 {
            set_down(&mut shifted, moved, Stand::Place(bench.place), on);
            let side = room(&shifted, *id).map(|after| MoveSide { bench: *id, before, after });
            preview.from.extend(side);
        }
        if here < moved.len() {
            set_down(&mut shifted, moved, Stand::Bench(*id), on);
            let layout = assumed_layout(&shifted, trade, on, *id);
            let is_any = |those: &[ContainerId]| those.iter().any(|id| moved.contains(id));
            let is_larger =
                |vessel: &Vessel| goes_on(state, *id, &Vessel { height: None, ..vessel.clone() }, 1).is_err();
            let goes = match () {
                () if vessels.iter().any(|vessel| is_larger(vessel)) => Goes::Never,
                () if is_any(&layout.too_tall) => Goes::TooTall,
                // Where more stands than goes, whoever has no spot might stand where the newcomer is drawn.
                () if !layout.crowded.is_empty() => Goes::Crowded,
                () if is_any(&layout.unmeasured) => Goes::Unmeasured,
                () => Goes::All,
            };
            let side = room(&shifted, *id).map(|after| MoveSide { bench: *id, before, after });
            preview.to.extend(side.map(|side| (side, goes)));
        }
    }
    preview.to.sort_by_key(|(_, goes)| *goes);
    preview
}

/// Labels of what is out for the day at a place and finds no room on its benches beside what stands there and what is out
/// there too, one bench after another; nothing for a place without benches.
#[must_use]
pub fn out_beyond(state: &State, trade: &Trade, on: Date, place: PlaceId) -> Vec<String> {
    let benches: Vec<BenchId> =
        state.benches.iter().filter(|(_, bench)| bench.place == place).map(|(id, _)| *id).collect();
    if benches.is_empty() {
        return Vec::new();
    }
    let mut shifted = state.clone();
    let out = state.containers.iter().filter(|(id, held)| held.out == Some(place) && state.is_occupied(**id));
    let out: Vec<ContainerId> = out.map(|(id, _)| *id).collect();
    let mut beyond = Vec::new();
    for id in out {
        let finds_room = benches.iter().any(|bench| {
            set_down(&mut shifted, &[id], Stand::Bench(*bench), on);
            assumed_layout(&shifted, trade, on, *bench).crowded.is_empty()
        });
        if !finds_room {
            set_down(&mut shifted, &[id], Stand::Place(place), on);
            beyond.push(label_of(state, id));
        }
    }
    beyond
}

/// Stands containers elsewhere, without a spot of their own.
pub(super) fn set_down(state: &mut State, moved: &[ContainerId], stand: Stand, on: Date) {
    for id in moved {
        if let Some(container) = state.containers.get_mut(id) {
            container.stand = stand;
            container.spot = None;
            container.stays.push(Stay { from: on, by: ActId::LAST, stand, out: None });
        }
    }
}
