//! The workings of repacking: occupants as rectangles of a plane, ways of filling it again, and which result is better.

use std::cmp::Reverse;

use super::free::FreeGround;
use super::plane::{Piece, Plane, Rect};
use super::repack::{Hold, Occupant, Plan};
use super::shape::{Item, MOST_ITEMS, Placed, Standing, Surface, Turn, inside};
use super::spot::{Rule, choose, seat_many, seat_quickly, usable};
use crate::quantity::SquareMillimetres;

/// The most ways of filling tried in one question, and the most footprints filled in all of them together.
const MOST_WAYS: usize = 42;
const EFFORT: usize = 12_000;
/// The most arrangements of which all that goes is counted by every rule.
const MOST_PROVEN: usize = 4;

/// How far a rectangle reaches from one edge of the plane: left, right, high and low.
const FROM_EDGES: [fn(&Rect) -> u32; 4] = [Rect::right, |rect| u32::MAX - rect.x, Rect::far, |rect| u32::MAX - rect.y];

/// One way of filling again: what is kept, where the rest is put and which goes first.
#[derive(Clone, Copy, Debug)]
pub(super) struct Way {
    /// The loose that reach least far from this edge stay, up to this many eighths of all.
    from_edge: fn(&Rect) -> u32,
    kept_eighths: usize,
    rule: Rule,
    measure: fn(&Piece) -> u64,
}

impl Way {
    /// Whether it lifts everything loose: of ways that are only to stand newcomers, the others say nothing new.
    pub(super) fn keeps_nothing(&self) -> bool {
        self.kept_eighths == 0
    }
}

/// The ways to try for so many occupants.
pub(super) fn ways(occupants: usize) -> impl Iterator<Item = Way> {
    let longest: fn(&Piece) -> u64 = |piece| u64::from(piece.length.max(piece.width));
    let afresh = (FROM_EDGES[0], 0, longest);
    let kept = [4, 6, 7].into_iter().flat_map(move |eighths| FROM_EDGES.map(|from_edge| (from_edge, eighths, longest)));
    let all = [(FROM_EDGES[0], 0, Piece::area as fn(&Piece) -> u64), afresh].into_iter().chain(kept);
    let rules = [Rule::Tight, Rule::Rows, Rule::Columns];
    let ways = all.flat_map(move |(from_edge, kept_eighths, measure)| {
        rules.map(|rule| Way { from_edge, kept_eighths, rule, measure })
    });
    ways.take((EFFORT / occupants.max(1)).clamp(1, MOST_WAYS))
}

/// A whole arrangement and what it is worth.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    spots: Vec<Rect>,
    lifted: usize,
    usable: u64,
}

/// Everything that stands or is to stand on one plane.
pub(super) struct Yard<'a> {
    plane: Plane,
    occupants: &'a [Occupant],
    pieces: Vec<Piece>,
    kinds: Vec<Piece>,
    /// Where each stands rightly now: `None` for newcomers and for what is off the surface or under too low a roof.
    before: Vec<Option<Rect>>,
    usable_before: u64,
}

impl<'a> Yard<'a> {
    pub(super) fn new(surface: &Surface, occupants: &'a [Occupant], kinds: &[Item]) -> Self {
        let plane = Plane::of(surface);
        let standing = |occupant: &Occupant| occupant.at.map(|at| Standing { item: occupant.item, at });
        let covered = occupants.iter().filter_map(standing).filter_map(|one| plane.covered(&one));
        let kinds: Vec<Piece> = kinds.iter().map(|kind| plane.piece(kind)).collect();
        let rightly = |one: &Standing| inside(surface, one);
        Self {
            plane,
            occupants,
            pieces: occupants.iter().map(|occupant| plane.piece(&occupant.item)).collect(),
            before: occupants
                .iter()
                .map(|occupant| standing(occupant).filter(rightly).and_then(|one| plane.covered(&one)))
                .collect(),
            usable_before: usable(&FreeGround::around(&plane, covered), &kinds),
            kinds,
        }
    }

    /// Whether there is less ground than everything together needs.
    pub(super) fn overfull(&self) -> bool {
        self.pieces.iter().map(Piece::area).sum::<u64>() > self.plane.area()
    }

    /// Where everything but the newcomers stands, if it all stands rightly and apart.
    pub(super) fn standing_apart(&self) -> Option<Vec<Option<Rect>>> {
        let misplaced = |(occupant, before): (&Occupant, &Option<Rect>)| occupant.at.is_some() && before.is_none();
        if self.occupants.iter().zip(&self.before).any(misplaced) {
            return None;
        }
        let mut standing: Vec<&Rect> = self.before.iter().flatten().collect();
        standing.sort_unstable();
        let crossed = |(index, one): (usize, &&Rect)| {
            standing[index + 1..].iter().take_while(|other| other.x < one.right()).any(|other| one.meets(other))
        };
        (!standing.iter().enumerate().any(crossed)).then(|| self.before.clone())
    }

    /// The present arrangement, if nothing is amiss with it and there are no newcomers.
    pub(super) fn as_it_stands(&self) -> Option<Vec<Rect>> {
        self.standing_apart()?.into_iter().collect()
    }

    pub(super) fn spots(&self, placed: &[Placed]) -> Vec<Rect> {
        let standing = self.occupants.iter().zip(placed).map(|(one, at)| Standing { item: one.item, at: *at });
        standing.filter_map(|one| self.plane.covered(&one)).collect()
    }

    /// What stays where it is: the pinned, and the loose that this way keeps.
    pub(super) fn kept(&self, way: Way) -> Vec<Option<Rect>> {
        let apart = self.standing_apart().is_some();
        let edge = way.from_edge;
        let mut edges: Vec<u32> = self.before.iter().flatten().map(edge).collect();
        edges.sort_unstable();
        let last = if apart { edges.get((edges.len() * way.kept_eighths / 8).wrapping_sub(1)).copied() } else { None };
        let stays = |(occupant, before): (&Occupant, &Option<Rect>)| {
            before.filter(|rect| occupant.hold == Hold::Pinned || last.is_some_and(|last| edge(rect) <= last))
        };
        self.occupants.iter().zip(&self.before).map(stays).collect()
    }

    /// Stands everything not kept around what is; `None` when something found no spot.
    pub(super) fn fill(&self, kept: Vec<Option<Rect>>, way: Way) -> Option<Judged> {
        let mut free = FreeGround::around(&self.plane, kept.iter().flatten().copied());
        let mut spots = kept;
        let mut order: Vec<usize> = (0..spots.len()).filter(|&id| spots[id].is_none()).collect();
        order.sort_by_key(|&id| (self.pieces[id].reach, Reverse((way.measure)(&self.pieces[id]))));
        for id in order {
            let (_, rect, _) = choose(&self.plane, &free, &self.pieces[id], way.rule)?;
            free.take(rect);
            spots[id] = Some(rect);
        }
        let spots: Vec<Rect> = spots.into_iter().collect::<Option<_>>()?;
        Some(Judged { lifted: self.lifted(&spots).count(), spots, usable: usable(&free, &self.kinds) })
    }

    fn lifted(&self, spots: &[Rect]) -> impl Iterator<Item = usize> {
        (0..spots.len()).filter(|&id| self.occupants[id].at.is_some() && self.before[id] != Some(spots[id]))
    }

    pub(super) fn judge(&self, spots: Vec<Rect>) -> Judged {
        let free = FreeGround::around(&self.plane, spots.iter().copied());
        Judged { lifted: self.lifted(&spots).count(), usable: usable(&free, &self.kinds), spots }
    }

    /// Of the arrangements that free nearly as much usable ground as the best of them, the one that lifts the fewest.
    pub(super) fn best(&self, judged: Vec<Judged>) -> Option<Judged> {
        let most = judged.iter().map(|one| one.usable).max()?;
        let enough = most - most.saturating_sub(self.usable_before) / 10;
        let good = judged.into_iter().filter(|one| one.usable >= enough);
        good.min_by_key(|one| (one.lifted, Reverse(one.usable)))
    }

    /// Of other arrangements the one worth the lifting: more of some kind go than as it stands and fewer of none, and no
    /// less ground is usable. Of those that gain nearly the most, the one that lifts the fewest; as it stands when none
    /// is found.
    pub(super) fn better(&self, stands: Judged, others: impl Iterator<Item = Judged>) -> Judged {
        let quick = |one: &Judged| self.seats(one, seat_quickly);
        let before = quick(&stands);
        let mut gains: Vec<(u64, Judged)> = others
            .filter(|one| one.usable >= stands.usable && one.lifted > 0)
            .filter_map(|one| Some((self.gain(&before, &quick(&one))?, one)))
            .collect();
        let most = gains.iter().map(|(gain, _)| *gain).max().unwrap_or(0);
        let little = |gain: u64| gain < most - most / 10;
        gains.sort_by_key(|(gain, one)| (little(*gain), one.lifted, Reverse(*gain), Reverse(one.usable)));
        let fully =
            |one: &Judged| self.seats(one, |plane, free, piece| seat_many(plane, free, piece, MOST_ITEMS).len());
        let before = fully(&stands);
        let proven = gains.into_iter().take(MOST_PROVEN).map(|(_, one)| one);
        proven.into_iter().find(|one| self.gain(&before, &fully(one)).is_some()).unwrap_or(stands)
    }

    /// How many more of each kind go, by a way of counting.
    fn seats(&self, judged: &Judged, count: impl Fn(&Plane, &FreeGround, &Piece) -> usize) -> Vec<usize> {
        let free = FreeGround::around(&self.plane, judged.spots.iter().copied());
        self.kinds.iter().map(|kind| count(&self.plane, &free, kind)).collect()
    }

    /// The ground of what goes after and did not before; `None` when nothing does, or of some kind fewer go.
    fn gain(&self, before: &[usize], after: &[usize]) -> Option<u64> {
        let mut gain = 0;
        for ((before, after), kind) in before.iter().zip(after).zip(&self.kinds) {
            gain += kind.area() * u64::try_from(after.checked_sub(*before)?).unwrap_or(u64::MAX);
        }
        (gain > 0).then_some(gain)
    }

    /// Finds spots for all that have none, the largest first, lifting as few of the loose as it can.
    pub(super) fn squeeze_in(&self, spots: &mut Vec<Option<Rect>>) -> bool {
        let mut newcomers: Vec<usize> = (0..spots.len()).filter(|&id| spots[id].is_none()).collect();
        newcomers.sort_by_key(|&id| (self.pieces[id].reach, Reverse(self.pieces[id].area())));
        newcomers.into_iter().all(|id| {
            let found = self.squeeze_in_one(spots, id);
            found.map(|with_it| *spots = with_it).is_some()
        })
    }

    fn squeeze_in_one(&self, spots: &[Option<Rect>], id: usize) -> Option<Vec<Option<Rect>>> {
        let free = FreeGround::around(&self.plane, spots.iter().flatten().copied());
        if let Some((_, rect, _)) = choose(&self.plane, &free, &self.pieces[id], Rule::for_one(&self.plane)) {
            let mut with_it = spots.to_vec();
            with_it[id] = Some(rect);
            return Some(with_it);
        }
        let tries = (EFFORT / spots.len().max(1)).clamp(1, MOST_WAYS);
        self.openings(spots, id).into_iter().take(tries).find_map(|(_, _, rect)| self.open(spots, id, rect))
    }

    /// Stands one in this opening and what it meets elsewhere, if spots for all of that are found.
    fn open(&self, spots: &[Option<Rect>], id: usize, rect: Rect) -> Option<Vec<Option<Rect>>> {
        let mut with_it: Vec<Option<Rect>> =
            spots.iter().map(|spot| spot.filter(|other| !other.meets(&rect))).collect();
        with_it[id] = Some(rect);
        let mut free = FreeGround::around(&self.plane, with_it.iter().flatten().copied());
        let met = |&one: &usize| spots[one].is_some() && with_it[one].is_none();
        let mut out: Vec<usize> = (0..spots.len()).filter(met).collect();
        out.sort_by_key(|&one| (self.pieces[one].reach, Reverse(self.pieces[one].area())));
        for one in out {
            let (_, spot, _) = choose(&self.plane, &free, &self.pieces[one], Rule::Tight)?;
            free.take(spot);
            with_it[one] = Some(spot);
        }
        Some(with_it)
    }

    /// Spots for a piece beside the corners of what stands, meeting nothing pinned: those that meet the fewest of the
    /// rest first, then the least ground of them.
    fn openings(&self, spots: &[Option<Rect>], id: usize) -> Vec<(usize, u64, Rect)> {
        let piece = &self.pieces[id];
        let mut places: Vec<Rect> = Vec::new();
        for &turn in piece.turns() {
            let (length, width) = piece.extent(turn);
            for rect in spots.iter().flatten() {
                let before = |edge: u32, side: u32| edge.checked_sub(side);
                let xs = [Some(rect.x), Some(rect.right()), before(rect.x, length), before(rect.right(), length)];
                let ys = [Some(rect.y), Some(rect.far()), before(rect.y, width), before(rect.far(), width)];
                let corners = xs.into_iter().flatten().flat_map(|x| ys.into_iter().flatten().map(move |y| (x, y)));
                let fits = |(x, y): &(u32, u32)| x + length <= self.plane.length && y + width <= piece.reach;
                places.extend(corners.filter(fits).map(|(x, y)| Rect { x, y, length, width }));
            }
        }
        places.sort_unstable();
        places.dedup();
        let cost = |place: Rect| {
            let mut met = (0, 0, place);
            for (other, rect) in spots.iter().enumerate() {
                let Some(rect) = rect.filter(|rect| rect.meets(&place)) else { continue };
                if self.occupants[other].hold == Hold::Pinned {
                    return None;
                }
                met = (met.0 + 1, met.1 + rect.area(), place);
            }
            Some(met)
        };
        let mut found: Vec<(usize, u64, Rect)> = places.into_iter().filter_map(cost).collect();
        found.sort_unstable();
        found
    }

    pub(super) fn plan(&self, judged: &Judged) -> Plan {
        let position = |id: usize| {
            let rect = judged.spots[id];
            match self.occupants[id].at {
                Some(at) if self.before[id] == Some(rect) => at,
                _ => {
                    let straight = self.pieces[id].extent(Turn::Straight) == (rect.length, rect.width);
                    self.plane.placed(rect, if straight { Turn::Straight } else { Turn::Quarter })
                }
            }
        };
        Plan {
            positions: (0..judged.spots.len()).map(position).collect(),
            lifted: self.lifted(&judged.spots).collect(),
            usable_before: SquareMillimetres(self.usable_before),
            usable_after: SquareMillimetres(judged.usable),
        }
    }
}
