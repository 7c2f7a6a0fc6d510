//! What is more likely a slip of the hand than so: asked about before it is logged, and logged when it is insisted on.

use crate::advice::{holds_no_tray, to_wash};
use crate::grammar::Sure;
use crate::journal::{BenchSize, Vessel};
use crate::quantity::{ContainerClass, Date, Name, SownUnit};

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
