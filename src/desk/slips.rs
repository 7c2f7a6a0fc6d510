//! What is more likely a slip of the hand than so: asked about before it is logged, and logged when it is insisted on.

use std::ops::RangeInclusive;

use crate::advice::{beyond_carrier, holds_no_tray, to_wash};
use crate::grammar::Sure;
use crate::journal::{BenchSize, ContainerSize, Vessel};
use crate::quantity::{ContainerClass, ContainerId, Date, Millimetres, Name, SownUnit};

use super::doubt::Doubt;
use super::error::DeskError;
use super::resolve::Resolver;

/// Sides of a bench or of the floor of a tunnel in a garden, in millimetres. Common practice, no source.
const LONGEST_BENCH: u32 = 20_000;
const WIDEST_BENCH: u32 = 4_000;
/// Seeds to one cell: a clump of chives is some twenty. Common practice, no source.
const MOST_TO_A_CELL: u32 = 30;
/// Seeds to a square centimetre of an open tray or pot: finer seed is sown by the pinch. Common practice, no source.
const MOST_TO_A_SQUARE_CENTIMETRE: u64 = 5;

/// Sides of a container, in millimetres. Common practice, no source: a soil block is 19 mm wide, a trough 1 m long.
const CONTAINER_SIDES: RangeInclusive<u32> = 10..=3000;

/// What is left in a packet, by the log.
pub(super) struct Packet {
    /// The crop and variety.
    pub(super) name: String,
    /// Seeds in it when it came.
    pub(super) seeds: u32,
    /// Sown of it so far.
    pub(super) sown: u32,
}

impl Resolver<'_> {
    /// Asks, unless it is insisted on.
    fn ask(&self, what: String) -> Result<(), DeskError> {
        match self.sure {
            Sure::Yes => Ok(()),
            Sure::No => Err(DeskError::Doubt(Doubt::Unlikely(what))),
        }
    }

    /// A bench larger than a garden has, or one on which no tray goes, was most likely measured in another unit.
    pub(super) fn doubt_size(&self, size: &BenchSize) -> Result<(), DeskError> {
        let (longer, shorter) = (size.length.max(size.width), size.length.min(size.width));
        if longer.0 > LONGEST_BENCH || shorter.0 > WIDEST_BENCH {
            let metres = |side: u32| f64::from(side) / 1000.0;
            let (longer, shorter) = (metres(longer.0), metres(shorter.0));
            return self.ask(format!("{longer} x {shorter} m is a very large bench: look at the unit"));
        }
        if holds_no_tray(self.trade, size) {
            let size = format!("{} x {}", size.length.0, size.width);
            return self.ask(format!("no tray goes on a bench of {size}: look at the unit"));
        }
        Ok(())
    }

    /// Seed is packed for a year at most ahead.
    pub(super) fn check_year(&self, packed: Option<i32>) -> Result<(), DeskError> {
        let next = chrono::Datelike::year(&super::clock::today()).saturating_add(1);
        match packed {
            Some(year) if year > next => Err(DeskError::Later { year, next }),
            _ => Ok(()),
        }
    }

    /// More seeds than a container can take are a slip; pinches are estimates.
    pub(super) fn doubt_sowing(
        &self,
        vessel: &Vessel,
        count: u32,
        unit: SownUnit,
        units: u32,
    ) -> Result<(), DeskError> {
        if unit == SownUnit::Pinch {
            return Ok(());
        }
        let many = count.max(1).saturating_mul(vessel.pots.max(1));
        let name = &vessel.name;
        if let (ContainerClass::CellTray, Some(cells)) = (vessel.class, vessel.cells) {
            let each = units / cells.max(1).saturating_mul(many);
            return if each > MOST_TO_A_CELL {
                self.ask(format!("{units} seeds are {each} to each cell of {many} x {name}"))
            } else {
                Ok(())
            };
        }
        let (Some(length), Some(width), ContainerClass::Tray | ContainerClass::Pot) =
            (vessel.length, vessel.width, vessel.class)
        else {
            return Ok(());
        };
        let each = u64::from(units) * 100 / length.by(width).0.saturating_mul(u64::from(many)).max(1);
        if each >= MOST_TO_A_SQUARE_CENTIMETRE {
            return self.ask(format!("{units} seeds are {each} to each square centimetre of {many} x {name}"));
        }
        Ok(())
    }

    /// A packet may hold more than was noted, but hardly twice as many.
    pub(super) fn doubt_packet(&mut self, packet: &Packet, units: u32) -> Result<(), DeskError> {
        let Packet { name, seeds, sown } = packet;
        let (left, in_all) = (seeds.saturating_sub(*sown), sown.saturating_add(units));
        if units <= left || left == 0 && in_all <= seeds.saturating_mul(2) {
            // That a packet is empty was said already.
            return Ok(());
        }
        if in_all > seeds.saturating_mul(2) {
            return self.ask(format!("by the log {left} seeds of {name} were left, of {seeds}: {units} are many more"));
        }
        self.notices.push(format!("by the log {left} seeds of {name} were left, {} fewer", units - left));
        Ok(())
    }

    /// More on a carrier than goes there.
    pub(super) fn doubt_carrier(&self, carrier: ContainerId, coming: &[&Vessel]) -> Result<(), DeskError> {
        let known = if self.standing.containers.contains_key(&carrier) { self.standing } else { self.latest };
        beyond_carrier(known, carrier, coming).map_or(Ok(()), |beyond| self.ask(beyond))
    }

    /// No container is as small as a finger or as large as a bed, and one whose size is printed is about as large.
    pub(super) fn doubt_measure(&self, name: &Name, size: ContainerSize) -> Result<(), DeskError> {
        let (longer, shorter) = (size.length.max(size.width), size.length.min(size.width));
        let high = size.height.is_none_or(|height| CONTAINER_SIDES.contains(&height.0));
        if !CONTAINER_SIDES.contains(&longer.0) || !CONTAINER_SIDES.contains(&shorter.0) || !high {
            return Err(DeskError::Nothing("a container is 10 mm to 3 m long, wide and high: look at the unit"));
        }
        let row = self.trade.find_container(name.as_str())?;
        let Some((length, width)) = row.footprint() else { return Ok(()) };
        let far = |one: Millimetres, other: Millimetres| {
            u64::from(one.0.max(other.0)) * 2 > u64::from(one.0.min(other.0)) * 3
        };
        if far(longer, length) || far(shorter, width) {
            let (now, was) = (format!("{} x {shorter}", longer.0), format!("{} x {width}", length.0));
            return self.ask(format!("a {name} is {was} by the table, and {now} is far from that"));
        }
        Ok(())
    }

    /// More washed than were emptied by the log. Tells how many were to be washed.
    pub(super) fn doubt_wash(&self, name: &Name, count: u32, on: Date) -> Result<(), DeskError> {
        let known = to_wash(self.standing, on).get(name).copied().unwrap_or(0);
        if count <= known {
            return Ok(());
        }
        self.ask(match known {
            0 => format!("by the log no {name} was emptied and not washed since: `clear` says what was emptied"),
            _ => format!("by the log {known} of {name} are to be washed, not {count}: `clear` says what was emptied"),
        })
    }
}
