//! When an action can be done.

use crate::tui::model::Model;
use crate::tui::rows::Section;
use crate::tui::tray::Tray;

pub(super) const fn always(_: &Model) -> bool {
    true
}

pub(super) fn may_log(model: &Model) -> bool {
    model.board.standing.may_log()
}

pub(super) fn has_plants(model: &Model) -> bool {
    may_log(model) && !model.board.state.batches.is_empty()
}

pub(super) fn may_sow(model: &Model) -> bool {
    may_log(model) && !model.board.state.places.is_empty()
}

pub(super) fn on_due(model: &Model) -> bool {
    may_log(model)
        && match model.cursor().section {
            Section::Today => !model.due().is_empty(),
            Section::Dusk => model.evening().get(model.cursor().index).is_some_and(|row| row.doing.is_some()),
            _ => false,
        }
}

pub(super) fn has_place(model: &Model) -> bool {
    !model.board.state.places.is_empty()
}

pub(super) fn has_row(model: &Model) -> bool {
    model.row_key().is_some() || !model.typed.is_empty()
}

pub(super) fn is_out(model: &Model) -> bool {
    may_log(model) && model.board.state.containers.values().any(|held| held.out.is_some())
}

pub(super) fn on_container(model: &Model) -> bool {
    model.container_here().is_some()
}

pub(super) fn may_shift(model: &Model) -> bool {
    may_log(model) && on_container(model)
}

pub(super) fn may_wash(model: &Model) -> bool {
    may_log(model) && model.kind_here().is_some()
}

pub(super) fn has_benches(model: &Model) -> bool {
    model.on_benches().next().is_some()
}

pub(super) fn may_repack(model: &Model) -> bool {
    may_log(model) && model.plan().is_some_and(|plan| !plan.shapes.is_empty())
}

pub(super) fn in_cells(model: &Model) -> bool {
    at_stop(model) && model.stop().is_some_and(|part| Tray::open(&model.board.state, part).is_some())
}

pub(super) fn at_stop(model: &Model) -> bool {
    may_log(model) && model.stop().is_some()
}

pub(super) fn has_stops(model: &Model) -> bool {
    may_log(model) && model.round().is_some_and(|round| round.open_from(&model.board.state, 0).is_some())
}

pub(super) fn is_another_day(model: &Model) -> bool {
    model.on != model.today
}

pub(super) fn has_older_ticks(model: &Model) -> bool {
    model.tray.as_ref().is_some_and(Tray::has_older)
}
