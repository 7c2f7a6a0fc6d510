//! What the night and the day before it ask of the morning: the lights of a frame, a cover left on, a place too hot, a
//! place in the light for shoots.

use crate::journal::{Light, PlaceKind, State};
use crate::quantity::{Moment, PlaceId};
use crate::science::cold_risk::Advice;
use crate::science::heat::Vent;
use crate::trade::Trade;

use super::Eve;
use super::dusk::Dusk;
use super::going_out::{self, GoingOut, ToFrame};
use super::groups::{Group, groups};
use super::hardening_off::HardeningRow;
use super::risk::Risk;
use super::{DuskMove, airing, away, covers, dusk, hardening_off, planted, slow, too_hot};
use crate::advice::climate::Climates;
use crate::advice::part::{PartAt, listed};
use crate::advice::why::Why;

/// What is to be done with a place by day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::advice) enum ByDay {
    /// Its lights are opened wide by mid-morning.
    Open,
    /// Its cover comes off.
    Uncover,
    /// In the evening: a cover is laid for the night.
    Cover,
    /// It was read too hot.
    Cool,
    /// It was too hot, and is no longer: what that hurt is looked over.
    LookOver,
    /// Plants are put out there for the day, to harden off.
    PutOut,
    /// Plants move there for good.
    MoveOut,
    /// Cold there leads plants on to bolting.
    OutOfCold,
    /// Nothing was noted for days: what to look at first there.
    CatchUp,
    /// The same of plants that nobody carries: asked, since there may have been nothing to note.
    AskAfter,
}

/// Where plants that stand in the warm and dim have light.
pub(in crate::advice) enum IntoLight {
    /// In words: a spot that is warm enough tonight.
    Spot(String),
    /// Where it is light it is too cold for them tonight, or there is no bench for them.
    NotTonight,
}

/// Work by day in one place.
pub(in crate::advice) struct DayWork {
    pub(in crate::advice) what: ByDay,
    pub(in crate::advice) place: PlaceId,
    /// True when harm is likelier than not, or being done.
    pub(in crate::advice) harms: bool,
    pub(in crate::advice) parts: Vec<PartAt>,
    pub(in crate::advice) reason: String,
    /// The words that note it done.
    pub(in crate::advice) doing: Option<String>,
    pub(in crate::advice) why: Why,
}

/// The places and what stands in them on one day.
pub(in crate::advice) struct Day<'a> {
    state: &'a State,
    trade: &'a Trade,
    climates: Climates,
    groups: Vec<Group>,
    at: Moment,
}

impl<'a> Day<'a> {
    pub(in crate::advice) fn of(state: &'a State, trade: &'a Trade, at: Moment) -> Self {
        let climates = Climates::learn(state, trade, at.on);
        let groups = groups(state, trade, &climates);
        Self { state, trade, climates, groups, at }
    }

    fn eve(&self) -> Eve<'_> {
        Eve { state: self.state, trade: self.trade, climates: &self.climates, on: self.at.on, hour: self.at.hour }
    }

    /// True when it is too late in the day for anything to go out.
    pub(in crate::advice) fn is_late(&self) -> bool {
        self.at.is_late()
    }

    /// Parts whose time to be planted out has come, with what is still lacking.
    pub(in crate::advice) fn planting_out(&self) -> Vec<GoingOut> {
        going_out::plant_out(&self.eve(), &self.groups)
    }

    /// What places ask for by day.
    pub(in crate::advice) fn work(&self) -> Vec<DayWork> {
        let eve = self.eve();
        let open = airing::airing(&eve, &self.groups)
            .into_iter()
            .filter(|row| row.day == self.at.on && row.vent == Vent::Wide);
        let open = open.map(|row| DayWork {
            what: ByDay::Open,
            place: row.place,
            harms: row.is_likely,
            parts: Vec::new(),
            reason: format!("{}: {}", row.name, row.reason),
            doing: None,
            why: row.why,
        });
        let off = covers::lain(&eve, &self.groups).into_iter().filter(|(_, mild)| *mild || !self.at.is_late());
        let off = off.map(|(row, _)| DayWork {
            what: ByDay::Uncover,
            place: row.place,
            harms: false,
            parts: Vec::new(),
            reason: format!("{}: {}", row.name, row.reason),
            doing: Some(row.doing),
            why: row.why,
        });
        // What is over is looked over, and in the evening only in `cold`.
        let hot = too_hot::too_hot(&eve, &self.groups).into_iter();
        let hot = hot.filter(|row| !(row.is_over && self.at.is_past_heat()));
        let cool = hot.map(|row| DayWork {
            what: if row.is_over { ByDay::LookOver } else { ByDay::Cool },
            place: row.place,
            harms: !row.is_over,
            parts: row.parts,
            reason: row.reason,
            doing: None,
            why: row.why,
        });
        let lie = self.covers_tonight().into_iter();
        open.chain(cool)
            .chain(lie)
            .chain(off)
            .chain(self.carried())
            .chain(self.for_good())
            .chain(self.out_of_cold())
            .collect()
    }

    /// In the evening what is covered for the night, a line a place: by day it is not work yet.
    fn covers_tonight(&self) -> Vec<DayWork> {
        if !self.at.is_late() {
            return Vec::new();
        }
        let eve = self.eve();
        let likelier_than_not = |risk: Option<Risk>| risk.is_some_and(|risk| risk.chance >= 0.5);
        let beds = planted::planted_out(&eve).into_iter().filter(|bed| !bed.is_covered).filter_map(|bed| {
            let reason = bed.sentence();
            let harms = likelier_than_not(Some(bed.risk));
            let (place, doing, why) = (bed.place?, Some(bed.doing?), bed.why);
            Some(DayWork { what: ByDay::Cover, place, harms, parts: Vec::new(), reason, doing, why })
        });
        let mut work: Vec<DayWork> = beds.collect();
        let mut in_pots: Vec<(PlaceId, Vec<Dusk>)> = Vec::new();
        for row in dusk::dusk(&eve, &self.groups).into_iter().filter(|row| row.what == DuskMove::Cover) {
            match in_pots.iter_mut().find(|(place, _)| *place == row.place) {
                Some((_, rows)) => rows.push(row),
                None => in_pots.push((row.place, vec![row])),
            }
        }
        for (place, rows) in in_pots {
            // The first is the one that the night harms most, as the list before dusk has it: it speaks for them.
            let harms = rows.iter().any(|row| likelier_than_not(row.risk));
            let parts: Vec<PartAt> = rows.iter().flat_map(|row| row.parts.iter().cloned()).collect();
            if let Some(told) = work.iter_mut().find(|told| told.place == place) {
                told.harms |= harms;
                told.reason = format!("{}; and over {} there", told.reason, listed(&parts, eve.on));
                told.parts.extend(parts);
                continue;
            }
            let Some(worst) = rows.into_iter().next() else { continue };
            let others = parts.get(worst.parts.len()..).filter(|others| !others.is_empty());
            let others = others.map_or_else(String::new, |others| format!(" and {}", listed(others, eve.on)));
            let (name, first) = (eve.name(place), listed(&worst.parts, eve.on));
            let reason = format!("cover {name} tonight: {first} {}{others}: {}", worst.crop, worst.reason);
            work.push(DayWork { what: ByDay::Cover, place, harms, parts, reason, doing: worst.doing, why: worst.why });
        }
        work
    }

    /// After days away what to look at first, and what goes out for the day.
    fn carried(&self) -> Vec<DayWork> {
        let eve = self.eve();
        let mut rows = hardening_off::rows(&eve, &self.groups);
        let catch_up = away::catch_up(&eve, &self.groups, &rows);
        rows.retain(|row| catch_up.as_ref().is_none_or(|line| !line.covers(row)));
        let catch_up = catch_up.map(|line| {
            let away::CatchUp { place, parts, carried, reason, doing, why } = line;
            let what = if carried { ByDay::CatchUp } else { ByDay::AskAfter };
            DayWork { what, place, harms: false, parts, reason, doing, why }
        });
        catch_up.into_iter().chain(self.put_out(rows)).collect()
    }

    /// What goes out for the day, in one line: the steps themselves are in `cold`.
    fn put_out(&self, mut rows: Vec<HardeningRow>) -> Option<DayWork> {
        let eve = self.eve();
        let place = hardening_off::outing(&eve)?;
        rows.retain(|row| row.doing.is_some() && row.for_good.is_none());
        let parts: Vec<PartAt> = rows.iter().flat_map(|row| row.parts.iter().cloned()).collect();
        let labels: Vec<String> = parts.iter().map(|part| format!("{:#}", part.label)).collect();
        let steps: Vec<String> = rows
            .iter()
            .map(|row| format!("{} {}, {}", listed(&row.parts, eve.on), row.crop, row.ladder.words()))
            .collect();
        let (name, why) = (eve.name(place), rows.first()?.why.clone());
        Some(DayWork {
            what: ByDay::PutOut,
            place,
            harms: false,
            reason: format!("out to {name} for the day: {}", steps.join("; ")),
            doing: Some(format!("out {} {}", labels.join(" "), super::dusk::quoted(&name))),
            parts,
            why,
        })
    }

    /// What may stay in a frame from now on, begun to harden off or not, a line each.
    fn for_good(&self) -> Vec<DayWork> {
        let eve = self.eve();
        let rows = hardening_off::rows(&eve, &self.groups).into_iter();
        let work = rows.filter_map(|row| {
            Some(DayWork {
                what: ByDay::MoveOut,
                place: row.for_good?,
                harms: false,
                reason: format!("{} {}: {}", listed(&row.parts, eve.on), row.crop, row.reason),
                parts: row.parts,
                doing: Some(row.doing?),
                why: row.why,
            })
        });
        let mut work: Vec<DayWork> = work.collect();
        let is_told = |work: &[DayWork], parts: &[PartAt]| work.iter().any(|told| told.parts == parts);
        for row in going_out::to_frame(&eve, &self.groups).into_iter().filter(|row| row.doing.is_some()) {
            if !is_told(&work, &row.parts) {
                let reason = format!("{} {}: {}", listed(&row.parts, eve.on), row.crop, row.reason);
                let ToFrame { to: place, parts, doing, why, .. } = row;
                work.push(DayWork { what: ByDay::MoveOut, place, harms: false, reason, parts, doing, why });
            }
        }
        work
    }

    /// What a move would keep from bolting, a line each.
    fn out_of_cold(&self) -> Vec<DayWork> {
        let eve = self.eve();
        let rows = slow::slow(&eve, &self.groups).into_iter().filter(|row| row.doing.is_some());
        let work = rows.map(|row| DayWork {
            what: ByDay::OutOfCold,
            place: row.place,
            harms: false,
            reason: format!("{} {} in {}: {}", listed(&row.parts, eve.on), row.crop, eve.name(row.place), row.reason),
            parts: row.parts,
            doing: row.doing,
            why: row.why,
        });
        work.collect()
    }

    /// Where plants that stand in the warm and dim would have light, warm enough tonight, as `move` takes it: where there is
    /// room before where there is none; lamps, then a sill, then glass.
    pub(in crate::advice) fn light_for(&self, parts: &[PartAt]) -> Option<IntoLight> {
        let eve = self.eve();
        let first = parts.first()?;
        let group = self.groups.iter().find(|group| group.parts.iter().any(|part| part.id == first.id))?;
        let rank = |kind: PlaceKind, light: Light| match kind {
            PlaceKind::LitShelf => Some(0),
            PlaceKind::Windowsill => Some(1),
            PlaceKind::Room if light == Light::Full => Some(2),
            PlaceKind::Greenhouse | PlaceKind::Tunnel => Some(3),
            _ => None,
        };
        let risk = |id: PlaceId| eve.risk(group, id, eve.cover_now(id));
        let warm = |id: PlaceId| risk(id).is_some_and(|risk| risk.advice == Advice::Leave && !risk.is_guess);
        let others = || self.state.places.iter().filter(|(id, _)| **id != group.place);
        let lit = others().filter_map(|(id, place)| Some((rank(place.kind, place.light)?, *id)));
        let found = lit.filter(|(_, id)| warm(*id)).filter_map(|(rank, id)| Some((rank, id, eve.spot(group, id)?)));
        let Some((.., spot)) = found.min_by_key(|(rank, id, spot)| (spot.goes == 0, *rank, *id)) else {
            let is_glass = |kind| rank(kind, Light::Full).is_some() || kind == PlaceKind::ColdFrame;
            let mut glass = others().filter(|(_, place)| is_glass(place.kind));
            let is_cold = glass.any(|(id, _)| risk(*id).is_some_and(|risk| risk.advice == Advice::Act));
            return is_cold.then_some(IntoLight::NotTonight);
        };
        let words = &spot.words;
        Some(IntoLight::Spot(match spot.shortage() {
            None => format!("{words} is light and has room"),
            Some(_) => format!("{words} is light, and short of room"),
        }))
    }
}
