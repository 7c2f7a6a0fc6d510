//! Where every unit of a part or a batch has gone: the law of conservation.

use super::fact::{Departure, Source};
use super::state::{Batch, Part, State};

/// Where every unit of a batch or part has gone. The law: `sown + gained = not_up + standing + lost + thinned +
/// discarded + planted_out + given_away`, every term non-negative, at every date. Plants bought in are gained.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Units sown.
    pub sown: u32,
    /// Plants beyond one for each unit sown, and plants bought in.
    pub gained: u32,
    /// Units that have not come up, and plants that a recount showed were never there.
    pub not_up: u32,
    /// Alive now.
    pub standing: u32,
    /// Died.
    pub lost: u32,
    /// Removed to make room.
    pub thinned: u32,
    /// Thrown away alive.
    pub discarded: u32,
    /// Set in their final place.
    pub planted_out: u32,
    /// Given or sold away.
    pub given_away: u32,
}

impl Tally {
    /// Units that emerged ever: those sown less those not up.
    #[must_use]
    pub const fn up(&self) -> u32 {
        self.sown.saturating_sub(self.not_up)
    }

    /// Adds another's terms. Sums stop at what a `u32` holds, which no season comes near.
    fn add(&mut self, other: Self) {
        for (term, more) in [
            (&mut self.sown, other.sown),
            (&mut self.gained, other.gained),
            (&mut self.not_up, other.not_up),
            (&mut self.standing, other.standing),
            (&mut self.lost, other.lost),
            (&mut self.thinned, other.thinned),
            (&mut self.discarded, other.discarded),
            (&mut self.planted_out, other.planted_out),
            (&mut self.given_away, other.given_away),
        ] {
            *term = term.saturating_add(more);
        }
    }

    /// True when the law of conservation holds.
    #[must_use]
    pub fn balances(&self) -> bool {
        let put_in = u64::from(self.sown) + u64::from(self.gained);
        let accounted: u64 =
            [self.not_up, self.standing, self.lost, self.thinned, self.discarded, self.planted_out, self.given_away]
                .into_iter()
                .map(u64::from)
                .sum();
        put_in == accounted
    }
}

impl State {
    /// Where every unit of one part has gone. Plants that moved on count as gone from it, so this balances only with
    /// `arrived` and `moved_on` beside it; [`State::tally`] of the whole batch balances alone.
    #[must_use]
    pub fn part_tally(&self, part: &Part) -> Tally {
        let mut tally = Tally { sown: part.sown(), gained: part.gained, standing: part.standing(), ..Tally::default() };
        tally.not_up = part.sown().saturating_sub(part.up) + part.short;
        if let Source::Received { plants } = part.source {
            tally.gained += plants;
        }
        for gone in &part.gone {
            let term = match gone.how {
                Departure::Lost { .. } => &mut tally.lost,
                Departure::Thinned => &mut tally.thinned,
                Departure::Discarded => &mut tally.discarded,
                Departure::GivenAway => &mut tally.given_away,
                Departure::PlantedOut { .. } => &mut tally.planted_out,
            };
            *term = term.saturating_add(gone.plants);
        }
        tally
    }

    /// Where every unit of a batch has gone.
    #[must_use]
    pub fn tally(&self, batch: &Batch) -> Tally {
        let (mut sum, mut short, mut gained) = (Tally::default(), 0_u32, 0_u32);
        for (_, part) in self.parts_of(batch) {
            let tally = self.part_tally(part);
            sum.add(tally);
            short = short.saturating_add(part.short);
            gained = gained.saturating_add(part.gained);
        }
        // One part's recount up and another's recount down are one plant found and one missed: they cancel.
        let cancel = short.min(gained);
        sum.gained -= cancel;
        sum.not_up -= cancel;
        sum
    }
}
