//! Where containers are taken to stand on a bench.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use crate::journal::{BenchSize, Container, Spot, Stand, State, Vessel};
use crate::quantity::{ActId, BenchId, ContainerId, Date, Millimetres};
use crate::science::packing::{
    Headroom, Item, MOST_ITEMS, Placed, Standing, Surface, Turn, grid, inside, place_many, place_one, stand_all,
};
use crate::trade::Trade;

use super::height;
use super::stand::{bench_label, label_of};

/// One container on a bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stood {
    /// The container.
    pub container: ContainerId,
    /// Its footprint, its height a week ahead and where it stands.
    pub standing: Standing,
    /// False where nobody said where it stands, and this is only a spot that would do.
    pub noted: bool,
    /// True when no proposal may move it.
    pub pinned: bool,
}

/// What stands on a bench: every container whose home it is, also those out for the day.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Layout {
    /// Those with a spot, noted or assumed.
    pub stood: Vec<Stood>,
    /// Those for which no spot was left: by the log more stands here than goes.
    pub crowded: Vec<ContainerId>,
    /// Those never measured.
    pub unmeasured: Vec<ContainerId>,
    /// Those that will be too tall for the roof wherever they stand on this bench; they keep a spot all the same.
    pub too_tall: Vec<ContainerId>,
}

/// Where everything on a bench is taken to stand: what has a noted spot there; the rest placed one after another in the
/// order they came, each where there is headroom for it a week after `on`; and where so not all goes, the rest placed
/// anew all together. Empty for a bench that is not in the state or has no size.
#[must_use]
pub fn assumed_layout(state: &State, trade: &Trade, on: Date, bench: BenchId) -> Layout {
    layout_with(state, trade, on, bench, &[]).0
}

/// Whether everything on a bench still has a spot once so many like newcomers stand there that nobody placed.
pub(super) fn holds(state: &State, trade: &Trade, on: Date, bench: BenchId, newcomer: Item, count: usize) -> bool {
    with_newcomers(state, trade, on, bench, newcomer, count).is_some()
}

/// Where everything on a bench is taken to stand once so many like newcomers stand there that nobody placed, and where
/// those do; `None` where one of all has no spot then.
pub(super) fn with_newcomers(
    state: &State,
    trade: &Trade,
    on: Date,
    bench: BenchId,
    newcomer: Item,
    count: usize,
) -> Option<(Layout, Vec<Placed>)> {
    let (layout, spots) = layout_with(state, trade, on, bench, &vec![newcomer; count]);
    let spots: Vec<Placed> = spots.into_iter().collect::<Option<_>>()?;
    layout.crowded.is_empty().then_some((layout, spots))
}

/// The same with newcomers, and the spot of each.
fn layout_with(
    state: &State,
    trade: &Trade,
    on: Date,
    bench: BenchId,
    newcomers: &[Item],
) -> (Layout, Vec<Option<Placed>>) {
    let (mut layout, mut coming) = (Layout::default(), Vec::new());
    let Some(surface) = state.benches.get(&bench).and_then(|bench| surface(&bench.size)) else {
        return (layout, vec![None; newcomers.len()]);
    };
    let mut unplaced: Vec<Unplaced> = Vec::new();
    for id in on_bench(state, bench) {
        let Some(container) = state.containers.get(&id) else { continue };
        let item_on = if container.spot.is_some() { placed_item_on } else { item_on };
        let Some((item, goes)) = item_on(state, trade, on, bench, id) else {
            layout.unmeasured.push(id);
            continue;
        };
        if goes == Goes::TooTall {
            layout.too_tall.push(id);
        }
        match container.spot {
            Some(spot) => {
                let standing = Standing { item, at: placed(spot) };
                layout.stood.push(Stood { container: id, standing, noted: true, pinned: spot.pinned });
            }
            None => unplaced.push(Unplaced { id: Some(id), item, sought: sought(&surface, item, goes) }),
        }
    }
    unplaced.extend(newcomers.iter().map(|item| Unplaced { id: None, item: *item, sought: *item }));
    let placed = layout.standings();
    for (one, at) in unplaced.iter().zip(spots(&surface, &placed, &unplaced)) {
        match (one.id, at) {
            (Some(container), Some(at)) => {
                let standing = Standing { item: one.item, at };
                layout.stood.push(Stood { container, standing, noted: false, pinned: false });
            }
            (Some(id), None) => layout.crowded.push(id),
            (None, at) => coming.push(at),
        }
    }
    (layout, coming)
}

/// Who has no spot, bench by bench: `frame/left` and the labels. By the log more stands there than goes.
#[must_use]
pub fn without_spot(state: &State, trade: &Trade, on: Date) -> Vec<(String, Vec<String>)> {
    let mut found: Vec<(String, Vec<String>)> = state
        .benches
        .keys()
        .map(|id| (bench_label(state, *id), assumed_layout(state, trade, on, *id).crowded))
        .filter(|(_, crowded)| !crowded.is_empty())
        .map(|(bench, crowded)| (bench, crowded.into_iter().map(|id| label_of(state, id)).collect()))
        .collect();
    found.sort();
    found
}

/// A container that nobody placed.
struct Unplaced {
    /// `None` for a newcomer.
    id: Option<ContainerId>,
    item: Item,
    /// As it is looked for a spot: what is too tall wherever it stands is to stand hard against the high side.
    sought: Item,
}

/// Of what is too tall wherever it stands, as tall a one as just goes under the high side with its shorter side across.
fn sought(surface: &Surface, item: Item, goes: Goes) -> Item {
    let (Goes::TooTall, Some(roof)) = (goes, surface.headroom()) else { return item };
    let (high, low) = (u64::from(roof.back.0.max(roof.front.0)), u64::from(roof.back.0.min(roof.front.0)));
    let across = u64::from(item.length().min(item.width()).0).min(u64::from(surface.width().0));
    let just = high - ((high - low) * across).div_ceil(u64::from(surface.width().0));
    let just = u32::try_from(just).ok().filter(|just| *just > 0).map(Millimetres);
    Item::new(item.length(), item.width(), just).unwrap_or(item)
}

/// So many times, while they are stood one after another, those that stand already are placed anew to let in one more.
const MOST_ANEW: usize = 6;
/// And no more containers than this in all those times together.
const MOST_TOGETHER: usize = 600;

/// A spot for each of those nobody placed, given in the order they came, around what was placed; `None` for whom none was
/// found. Who came first is not left without a spot for those who came later.
fn spots(surface: &Surface, placed: &[Standing], unplaced: &[Unplaced]) -> Vec<Option<Placed>> {
    let in_order = one_after_another(surface, placed, unplaced);
    if in_order.iter().all(Option::is_some) {
        return in_order;
    }
    if let Some(anew) = all_anew(surface, placed, &unplaced.iter().collect::<Vec<_>>()) {
        return anew.into_iter().map(Some).collect();
    }
    let mut found: Vec<Option<Placed>> = vec![None; unplaced.len()];
    let mut tries = (MOST_TOGETHER / unplaced.len().max(1)).min(MOST_ANEW);
    for index in 0..unplaced.len() {
        let standing = standings(placed, unplaced, &found);
        let one = &unplaced[index];
        let like = |other: usize| unplaced[other].sought == one.sought && found[other].is_none();
        if (0..index).any(like) {
            continue;
        }
        found[index] = spot(surface, &standing, one);
        if found[index].is_some() || tries == 0 {
            continue;
        }
        tries -= 1;
        let those: Vec<usize> = (0..=index).filter(|&other| found[other].is_some() || other == index).collect();
        let asked: Vec<&Unplaced> = those.iter().map(|&other| &unplaced[other]).collect();
        if let Some(anew) = all_anew(surface, placed, &asked) {
            those.into_iter().zip(anew).for_each(|(other, at)| found[other] = Some(at));
        }
    }
    // Of the two the one in which the first without a spot came later.
    let without = |spots: &Vec<Option<Placed>>| spots.iter().map(Option::is_none).collect::<Vec<_>>();
    if without(&in_order) < without(&found) { in_order } else { found }
}

fn standings(placed: &[Standing], unplaced: &[Unplaced], found: &[Option<Placed>]) -> Vec<Standing> {
    let stood = unplaced.iter().zip(found).filter_map(|(one, at)| Some(Standing { item: one.item, at: (*at)? }));
    placed.iter().copied().chain(stood).collect()
}

fn spot(surface: &Surface, standing: &[Standing], one: &Unplaced) -> Option<Placed> {
    place_one(surface, standing, &one.sought).or_else(|| place_one(surface, standing, &one.item))
}

fn all_anew(surface: &Surface, placed: &[Standing], asked: &[&Unplaced]) -> Option<Vec<Placed>> {
    let of = |item: fn(&Unplaced) -> Item| -> Vec<Item> { asked.iter().map(|one| item(one)).collect() };
    let (sought, as_is) = (of(|one| one.sought), of(|one| one.item));
    let anyhow = || if sought == as_is { None } else { stand_all(surface, placed, &as_is) };
    stand_all(surface, placed, &sought).or_else(anyhow)
}

/// Up to so many footprints are stood for a look at where those nobody placed stand.
const MOST_SEATED: u64 = 2_000;

/// Like things side by side in the order they came are one question: the first of as many as would go, so that what is
/// left holds more of them; on a bench of a great many as many as there are.
fn one_after_another(surface: &Surface, placed: &[Standing], unplaced: &[Unplaced]) -> Vec<Option<Placed>> {
    let mut found: Vec<Option<Placed>> = Vec::with_capacity(unplaced.len());
    let alike = |one: &Unplaced, other: &Unplaced| (one.item, one.sought) == (other.item, other.sought);
    let would_go = |run: &[Unplaced]| run.first().map_or(0, |one| surface.area().0 / one.item.area().0);
    let is_great = unplaced.chunk_by(alike).map(would_go).sum::<u64>() > MOST_SEATED;
    for run in unplaced.chunk_by(alike) {
        let Some(first) = run.first() else { continue };
        let many = if is_great { run.len() } else { MOST_ITEMS };
        let spots = place_many(surface, &standings(placed, unplaced, &found), &first.sought, many);
        found.extend(run.iter().zip(spots).map(|(_, at)| Some(at)));
        while let Some(one) = unplaced.get(found.len()).filter(|one| run.iter().any(|other| other.id == one.id)) {
            let anyhow = place_one(surface, &standings(placed, unplaced, &found), &one.item);
            found.push(anyhow);
        }
    }
    found
}

/// Whether a container will go under a bench's roof a week ahead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Goes {
    /// Somewhere, or it is too large whatever its height.
    Under,
    /// Nowhere, though it would without a roof.
    TooTall,
}

/// The ground a container takes on a bench, with its height a week ahead where it matters; too tall for anywhere, it
/// takes its ground all the same. `None` when it was never measured.
pub(super) fn item_on(state: &State, trade: &Trade, on: Date, bench: BenchId, id: ContainerId) -> Option<(Item, Goes)> {
    let surface = surface(&state.benches.get(&bench)?.size)?;
    let vessel = &state.containers.get(&id)?.vessel;
    let ahead = height::ahead(state, trade, on, id).and_then(|tall| under(&surface, tall.height));
    let item = block_on(&surface, vessel, ahead)?;
    if place_one(&surface, &[], &item).is_none()
        && let Some(open) = rows_of(state, bench, id)
        && place_one(&surface, &[], &open).is_some()
    {
        return Some((open, Goes::TooTall));
    }
    Some((item, Goes::Under))
}

/// The same for one whose spot is noted, or would be: plants that grow change nothing of the ground it takes.
pub(super) fn placed_item_on(
    state: &State,
    trade: &Trade,
    on: Date,
    bench: BenchId,
    id: ContainerId,
) -> Option<(Item, Goes)> {
    let placed = rows_of(state, bench, id)?;
    let (item, goes) = item_on(state, trade, on, bench, id)?;
    Some((Item::new(placed.length(), placed.width(), item.height()).unwrap_or(placed), goes))
}

/// The ground a container covers where a spot on a bench is noted for it, whatever its plants' height. A spot says nothing
/// of the rows a set of pots stands in, so those are gone through anew, act by act: first as the set and the bench were
/// when a spot there was first noted, then as the bench was measured again or pots left. They are kept while the set goes
/// on the bench in them. `None` when it was never measured.
pub(super) fn rows_of(state: &State, bench: BenchId, id: ContainerId) -> Option<Item> {
    let (container, there) = (state.containers.get(&id)?, state.benches.get(&bench)?);
    let noted = container.spot.and(container.placed_by).filter(|_| container.stand == Stand::Bench(bench));
    let Some(first) = noted else { return rows_anew(&surface(&there.size)?, &container.vessel) };
    let measured = there.measured.iter().map(|(by, _)| *by);
    let since = measured.chain(container.parted.iter().map(|(by, _)| *by)).filter(|by| *by > first);
    let acts: BTreeSet<ActId> = since.chain([first]).collect();
    acts.into_iter().fold(None, |rows, act| {
        let set = Vessel { pots: container.pots_at(act), ..container.vessel.clone() };
        let surface = surface(&there.size_at(act))?;
        let anew = rows_anew(&surface, &set)?;
        Some(rows.and_then(|rows| rows_kept(&surface, &set, &anew, &rows)).unwrap_or(anew))
    })
}

/// The squarest rows in which a set goes on the bare bench, under its roof where it goes there in any.
fn rows_anew(surface: &Surface, set: &Vessel) -> Option<Item> {
    let under = block_on(surface, set, set.height).filter(|item| place_one(surface, &[], item).is_some());
    under.and_then(|item| with_height(&item, None)).or_else(|| block_on(surface, set, None))
}

/// The ground of a set in rows as long as those it stood in, where it goes on the bare bench in them; so also where it
/// does not go under the roof, if it does so in no others. Fewer pots take no ground that they did not take before.
fn rows_kept(surface: &Surface, set: &Vessel, anew: &Item, rows: &Item) -> Option<Item> {
    let (length, width) = (set.length?.0, set.width?.0);
    let in_row = (rows.length().0 / length.max(1)).clamp(1, set.pots.max(1));
    let deep = set.pots.max(1).div_ceil(in_row);
    let (length, width) = (length.saturating_mul(in_row), width.saturating_mul(deep));
    let kept = Item::new(Millimetres(length), Millimetres(width), None).ok()?;
    let goes =
        |item: &Item, height| with_height(item, height).is_some_and(|item| place_one(surface, &[], &item).is_some());
    let height = set.height.filter(|_| goes(anew, set.height));
    goes(&kept, height).then_some(kept)
}

fn with_height(item: &Item, height: Option<Millimetres>) -> Option<Item> {
    Item::new(item.length(), item.width(), height).ok()
}

/// Whether a spot can say how a container stands: a set of pots that only goes under the roof in other rows than those
/// of a noted spot is never noted, and stands where there is room for it.
pub(super) fn can_be_noted(state: &State, bench: BenchId, id: ContainerId, item: &Item) -> bool {
    rows_of(state, bench, id).is_some_and(|placed| (placed.length(), placed.width()) == (item.length(), item.width()))
}

/// A height, where the roof is anywhere too low for it; elsewhere it need not be asked about.
pub(super) fn under(surface: &Surface, height: Millimetres) -> Option<Millimetres> {
    let roof = surface.headroom()?;
    (height > roof.back.min(roof.front)).then_some(height)
}

/// Where a noted spot is on the surface.
pub(super) fn placed(spot: Spot) -> Placed {
    let turn = if spot.turned { Turn::Quarter } else { Turn::Straight };
    Placed { x: Millimetres(spot.x), y: Millimetres(spot.y), turn }
}

/// Without its height where the roof is too low for it: what stands there stands there.
pub(super) fn as_it_stands(surface: &Surface, standing: Standing) -> Standing {
    let open = Item::new(standing.item.length(), standing.item.width(), None);
    match open {
        Ok(item) if !inside(surface, &standing) => Standing { item, ..standing },
        _ => standing,
    }
}

impl Layout {
    /// The ground taken.
    #[must_use]
    pub fn standings(&self) -> Vec<Standing> {
        self.stood.iter().map(|stood| stood.standing).collect()
    }
}

/// A bench as a surface; `None` when it has no size. One headroom serves for both edges.
pub(super) fn surface(size: &BenchSize) -> Option<Surface> {
    let headroom = size.headroom_back.or(size.headroom_front).map(|either| Headroom {
        back: size.headroom_back.unwrap_or(either),
        front: size.headroom_front.unwrap_or(either),
    });
    Surface::new(size.length, size.width, headroom).ok()
}

/// The containers in use whose home is this bench, themselves and not on a carrier, in the order they came.
pub(super) fn on_bench(state: &State, bench: BenchId) -> Vec<ContainerId> {
    let here = |container: &Container| container.stand == Stand::Bench(bench);
    let mut found: Vec<(Option<(Date, ActId)>, ContainerId)> = state
        .containers
        .iter()
        .filter(|(id, container)| here(container) && state.is_occupied(**id))
        .map(|(id, container)| (came(container), *id))
        .collect();
    found.sort_unstable();
    found.into_iter().map(|(_, id)| id).collect()
}

/// The day a container came to what it stands on, and the act that brought it; going out for the day and coming home change nothing.
pub(super) fn came(container: &Container) -> Option<(Date, ActId)> {
    container
        .stays
        .iter()
        .rev()
        .take_while(|stay| stay.stand == container.stand)
        .last()
        .map(|stay| (stay.from, stay.by))
}

/// The ground a container covers on a bench: for a set of pots the squarest block that goes on the bare bench, else
/// the squarest. `None` when it was never measured.
pub(super) fn block_on(surface: &Surface, vessel: &Vessel, height: Option<Millimetres>) -> Option<Item> {
    let blocks = blocks(surface, vessel, height);
    let goes = blocks.iter().find(|item| place_one(surface, &[], item).is_some());
    goes.or(blocks.first()).copied()
}

/// The blocks a set of pots may stand in on a bench, the squarest first; one footprint for everything else. Empty when
/// the container was never measured.
fn blocks(surface: &Surface, vessel: &Vessel, height: Option<Millimetres>) -> Vec<Item> {
    const MOST_SHAPES: u32 = 40;
    let (Some(length), Some(width)) = (vessel.length, vessel.width) else { return Vec::new() };
    let longest = (surface.length().0.max(surface.width().0) / length.0.max(1)).clamp(1, vessel.pots.max(1));
    let rows = (1..=longest.min(MOST_SHAPES)).chain([longest]);
    let within = rows.map(|in_row| Some(Millimetres(length.0.saturating_mul(in_row))));
    let shapes = [None].into_iter().chain(within);
    let mut blocks: Vec<Item> = shapes
        .filter_map(|within| grid(vessel.pots.max(1), length, width, within).ok())
        .filter_map(|(length, width)| Item::new(length, width, height).ok())
        .collect();
    // Shortest longest side first: the squarest; of those the one whose rows run along the bench.
    blocks.sort_by_key(|item| (item.length().max(item.width()), item.area(), Reverse(item.length())));
    blocks.dedup();
    blocks
}
