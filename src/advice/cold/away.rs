//! After days in which nothing was noted of any plant: one line, with what to look at first, until something is.

use crate::quantity::PlaceId;

use super::Eve;
use super::dusk::quoted;
use super::groups::Group;
use super::hardening_off::{HardeningRow, outing, was_asked_for};
use super::ladder::Ladder;
use crate::advice::due::{DAYS_AWAY, last_noted};
use crate::advice::part::{PartAt, days_between, listed};
use crate::advice::unheard::{days_there, was_away};
use crate::advice::why::Why;

/// Days without a note of anything after which all that stands is to be caught up on, as what is carried out and in is after
/// [`DAYS_AWAY`];
/// and how many batches are named. Common practice, no source.
const WEEK_AWAY: u32 = 7;
const NAMED: usize = 3;

/// What to catch up on.
pub(super) struct CatchUp {
    /// The place of what to look at first.
    pub(super) place: PlaceId,
    /// What was being carried out and in; else what to look at first.
    pub(super) parts: Vec<PartAt>,
    /// True when it stands for the steps of what was carried: that is work, and else it is asked.
    pub(super) carried: bool,
    /// In one line, with those words.
    pub(super) reason: String,
    /// The words that put out again what may go out today.
    pub(super) doing: Option<String>,
    pub(super) why: Why,
}

impl CatchUp {
    /// True when this line stands for a step of hardening off.
    pub(super) fn covers(&self, row: &HardeningRow) -> bool {
        self.carried && puts_out_again(row) && row.parts.iter().all(|part| self.parts.contains(part))
    }
}

/// True for a step that was begun and goes on today.
fn puts_out_again(row: &HardeningRow) -> bool {
    row.for_good.is_none() && row.doing.is_some() && row.ladder.has_begun()
}

/// One line after days away, however long, until something is noted of a plant; `None` before, and where nothing stands.
pub(super) fn catch_up(eve: &Eve<'_>, groups: &[Group], rows: &[HardeningRow]) -> Option<CatchUp> {
    let last = last_noted(eve.state, eve.on)?;
    let away = days_between(last, eve.on);
    let lives_in = |group: &Group| {
        let home = group.parts.first().and_then(|part| eve.state.home(part.container));
        let home = home.and_then(|(home, _)| eve.state.places.get(&home));
        group.ladder.as_ref().is_some_and(Ladder::has_begun) && home.is_some_and(|home| home.kind.is_indoors())
    };
    // Days on which it was too cold to be out, or nothing was asked, are no days away.
    let left = |group: &&Group| {
        lives_in(group) && was_away(eve.state, eve.on, DAYS_AWAY, &|day| was_asked_for(eve, group, day))
    };
    let left: Vec<&Group> = groups.iter().filter(left).collect();
    let is_carried = |group: &Group| left.iter().any(|it| std::ptr::eq(*it, group));
    let carried = !left.is_empty();
    let gone = days_there(eve.state, eve.on).last().map_or(away, |last| days_between(*last, eve.on));
    if !carried && gone < WEEK_AWAY {
        return None;
    }
    let stands_out = |group: &Group| eve.state.places.get(&group.place).is_some_and(|place| !place.kind.is_indoors());
    let mut first: Vec<&Group> = groups.iter().collect();
    first.sort_by_key(|group| (!is_carried(group), !stands_out(group), group.label, group.batch));
    let place = first.first()?.place;
    let named = first.iter().take(NAMED).map(|group| match &group.ladder {
        Some(ladder) if is_carried(group) => {
            format!("{} {}, {}", listed(&group.parts, eve.on), group.crop, ladder.words())
        }
        _ => format!("{} {} in {}", listed(&group.parts, eve.on), group.crop, eve.name(group.place)),
    });
    let more = match first.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!("; and {more} more"),
    };
    let named = format!("{}{more}", named.collect::<Vec<_>>().join("; "));
    let looked_at =
        first.iter().enumerate().filter(|(at, group)| if carried { is_carried(group) } else { *at < NAMED });
    let parts: Vec<PartAt> = looked_at.flat_map(|(_, group)| group.parts.iter().cloned()).collect();
    let goes = rows.iter().filter(|row| puts_out_again(row));
    let out: Vec<String> = goes.flat_map(|row| &row.parts).map(|part| format!("{:#}", part.label)).collect();
    let doing = outing(eve).filter(|_| !out.is_empty());
    let doing = doing.map(|place| format!("out {} {}", out.join(" "), quoted(&eve.name(place))));
    let why =
        Why::new("after three days on end without a note of anything, on which what is hardened off was to go out, that is one line; after seven all that stands is")
            .seen("last note", "", last)
            .doubt("some may have been done and not noted; a reading or forecast typed since is no note of what was carried")
            .changes("a note of any plant: `out`, `count`, `move`, or `note`")
            .practice("a pile of reproaches is not read");
    let quiet = format!("nothing was noted of any plant for {away} days");
    let reason = match (carried, &doing) {
        // What is done about it goes first: a short line has no more.
        (true, Some(words)) => {
            format!("{quiet}: note what was done, or go on from here: `{words}`; look first at {named}")
        }
        (true, None) => format!("{quiet}: note what was done; look first at {named}"),
        (false, _) => format!("{quiet}: look first at {named}; any note of a plant ends this line"),
    };
    Some(CatchUp { place, parts, carried, reason, doing, why })
}
