//! Benches: what stands on each and is free, and where containers would go.

use crate::advice::{self, BenchRoom, BenchSpace, Fits, Lift, More, RoomMade, StandingRow, Suits, Unsure};
use crate::desk::{Desk, DeskError};
use crate::grammar::ContainerWords;
use crate::quantity::{ContainerClass, Date, SquareMillimetres};

use super::Answered;
use crate::cli::rows;
use crate::cli::table::{Table, figures, text, words};

/// What stands on each bench, under its line.
pub(super) fn benches(desk: &Desk, on: Date) -> Result<Answered, DeskError> {
    let state = desk.state(on)?;
    let space = advice::space(&state, desk.trade(), on);
    let rooms = advice::room(&state, desk.trade(), on);
    let mut table = Table::new(&[
        text("bench"),
        text("holds"),
        figures("m2"),
        figures("of"),
        figures("free"),
        figures("of use"),
        text("room for one of"),
    ]);
    let mut json = Vec::new();
    for bench in &space.benches {
        let room = rooms.iter().find(|room| room.bench == bench.bench);
        json.push(rows::bench(bench, room));
        table.row([
            format!("{}/{}", bench.place_name, bench.name),
            counted(bench.standing.len()),
            metres(bench.area.taken),
            metres(bench.area.whole),
            metres(bench.area.free),
            room.map_or_else(String::new, |room| metres(room.usable)),
            [remark(bench, room), room.map_or_else(String::new, more)]
                .into_iter()
                .filter(|it| !it.is_empty())
                .collect::<Vec<_>>()
                .join(": "),
        ]);
        for row in &bench.standing {
            let takes = row.footprint.map_or_else(|| "?".to_owned(), metres);
            let amiss = row.amiss.map(|amiss| rows::amiss_words(amiss).to_owned());
            let out = row.out.as_ref().map(|out| format!("out: {out}"));
            let out = amiss.into_iter().chain(out).collect::<Vec<_>>().join("; ");
            table.row([
                format!("  {}", called(row)),
                parts(row),
                takes,
                String::new(),
                String::new(),
                String::new(),
                out,
            ]);
        }
    }
    let mut answered =
        Answered::table("benches", json, &table, "there is no bench yet: `bench add PLACE/NAME` measures one");
    if !space.benches.is_empty() {
        let free = |area: &advice::Area| {
            if area.unmeasured > 0 { format!("at most {}", area.free) } else { area.free.to_string() }
        };
        let (indoors, frames) = (free(&space.indoors), free(&space.frames));
        let elsewhere = match space.elsewhere.whole.0 {
            0 => String::new(),
            _ => format!(", elsewhere {}", free(&space.elsewhere)),
        };
        answered = answered.with_notice(format!("free indoors {indoors}, in cold frames {frames}{elsewhere}"));
    }
    for place in space.places.iter().filter(|place| place.off_bench > 0) {
        let stand = if place.off_bench == 1 { "container stands" } else { "containers stand" };
        answered = answered.with_notice(format!("{}: {} {stand} on no bench", place.name, place.off_bench));
    }
    Ok(answered)
}

/// What else goes on a bench, one kind or another, trays and those most in use first: `2 seed-tray, 31 9cm-pot`.
fn more(room: &BenchRoom) -> String {
    let mut kinds: Vec<_> = room.more.iter().filter(|kind| kind.more.is_some_and(|more| more > 0)).collect();
    kinds.sort_by_key(|kind| (kind.vessel.class == ContainerClass::Pot, std::cmp::Reverse(kind.in_use)));
    let at_most = |kind: &More| if kind.unsure.is_some() { "at most " } else { "" };
    let kinds = kinds.iter().filter_map(|kind| Some(format!("{}{} {}", at_most(kind), kind.more?, kind.vessel.name)));
    kinds.collect::<Vec<_>>().join(", ")
}

fn counted(containers: usize) -> String {
    match containers {
        0 => "nothing".to_owned(),
        1 => "1 container".to_owned(),
        more => format!("{more} containers"),
    }
}

fn metres(area: SquareMillimetres) -> String {
    // Two places are a square decimetre; the JSON has every square millimetre.
    area.to_string().trim_end_matches(" m2").to_owned()
}

fn remark(bench: &BenchSpace, room: Option<&BenchRoom>) -> String {
    let crowded = room.map_or(&[][..], |room| &room.crowded);
    if !crowded.is_empty() {
        format!("no spot for {}", crowded.join(", "))
    } else if bench.area.unmeasured > 0 {
        format!("{} not measured", bench.area.unmeasured)
    } else {
        String::new()
    }
}

fn called(row: &StandingRow) -> String {
    match &row.called {
        Some(name) => format!("{name}, {}", row.vessel),
        None if row.pots > 1 => format!("{} {}s", row.pots, row.vessel),
        None => row.vessel.to_string(),
    }
}

fn parts(row: &StandingRow) -> String {
    row.parts.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
}

/// The most spots of a bench told of in words; the JSON has them all.
const SPOTS_TOLD: usize = 3;

/// Where so many more of a container go.
pub(super) fn fits(desk: &Desk, container: &ContainerWords, on: Date) -> Result<Answered, DeskError> {
    let (called, fits) = desk.fits(container, on)?;
    let mut table = Table::new(&[words("bench"), figures("more"), words("")]);
    for row in &fits.benches {
        let sure = match row.unsure {
            None => "",
            Some(Unsure::HeightUnknown) => "at most: how tall it is was never measured",
            Some(Unsure::Unmeasured) => "at most: not all there is measured",
            Some(Unsure::Overfull) => "none: something there has no spot",
        };
        table.row([
            format!("{}/{}", row.place_name, row.name),
            row.more.to_string(),
            [suits_words(row.suits), sure].into_iter().filter(|it| !it.is_empty()).collect::<Vec<_>>().join("; "),
        ]);
    }
    let json = fits.benches.iter().map(|row| rows::fits_on(row, &fits)).collect();
    let none = "there is no bench yet: `bench add PLACE/NAME` measures one";
    let mut answered = Answered::table("fits", json, &table, none);
    answered = answered.with_verdict(fitting(&called, &fits));
    for line in ways(&fits) {
        answered = answered.with_notice(line);
    }
    Ok(answered)
}

/// What a bench without light is for.
const fn suits_words(suits: Suits) -> &'static str {
    match suits {
        Suits::Plants => "",
        Suits::Dimly => "little light",
        Suits::Germinating => "dark: for what is not up yet",
        Suits::Chilling => "a fridge: for what is chilled",
    }
}

/// Where they go; and where not all do, what else could be done.
fn ways(fits: &Fits) -> Vec<String> {
    let mut left = usize::try_from(fits.asked).unwrap_or(usize::MAX);
    let mut lines: Vec<String> = Vec::new();
    for row in &fits.benches {
        let here = &row.spots[..row.spots.len().min(left)];
        left -= here.len();
        if here.is_empty() {
            continue;
        }
        let told: Vec<String> = here.iter().take(SPOTS_TOLD).map(|spot| rows::spot_words(*spot)).collect();
        let more = here.len() - told.len();
        let more = if more > 0 { format!("; and {more} more") } else { String::new() };
        let way = if lines.is_empty() { "one way: on" } else { "and on" };
        lines.push(format!("{way} {}/{} at {}{more}", row.place_name, row.name, told.join("; ")));
    }
    lines.extend(fits.made.iter().map(shifting));
    if let Some(away) = &fits.away {
        let (label, from, to) = (&away.label, &away.from, &away.to);
        let all = if fits.asked == 1 { "it fits".to_owned() } else { format!("all {} fit", fits.asked) };
        lines.push(format!("{all} once {label} moves from {from} to {to}"));
    } else if fits.measured && fits.fits < fits.asked && fits.made.is_empty() && fits.singly.is_empty() {
        lines.push("no way was found by shifting things on one bench, or by moving one to another".to_owned());
    }
    lines
}

/// What would have to shift for the rest to go, in words; what is to be noted for it as it is typed, line after line.
fn shifting(made: &RoomMade) -> String {
    let (bench, count) = (format!("{}/{}", made.place_name, made.name), made.count);
    if made.unasked {
        let lifts = made.lifts.iter().map(|lift| format!("{} to {}", lift.label, rows::spot_words(lift.to)));
        let lifts = lifts.collect::<Vec<_>>().join("; ");
        return format!(
            "{bench} takes {count} once these are shifted: {lifts}; nobody placed them: sown or moved there it is drawn so"
        );
    }
    let typed = |lifts: &[Lift]| lifts.iter().map(|lift| format!("`{}`", lift.line())).collect::<Vec<_>>().join(", ");
    let before: String = made.before.iter().map(|(words, line)| format!("{words} (`{line}`) and ")).collect();
    let shifted = match made.lifts.as_slice() {
        [_] => "this is shifted",
        _ => "these are shifted one after another",
    };
    let kept = if made.kept.is_empty() {
        String::new()
    } else {
        format!("; and these are noted where they are drawn: {}", typed(&made.kept))
    };
    format!("{bench} takes {count} once {before}{shifted}: {}{kept}", typed(&made.lifts))
}

/// Whether what was asked about goes, in words: `2 x 72-cell: all fit`.
pub(super) fn fitting(called: &str, fits: &Fits) -> String {
    if !fits.measured {
        format!("nobody has measured a {called}: `{}` says it once for all", fits.measuring)
    } else if fits.fits >= fits.asked
        && !fits.height_known
        && fits.benches.iter().any(|row| row.more > 0 && row.unsure == Some(Unsure::HeightUnknown))
    {
        format!(
            "{} x {called}: it goes by its footprint; how tall it is nobody has measured, so look under the roof, or \
             `{}`",
            fits.asked, fits.measuring
        )
    } else if !fits.singly.is_empty() {
        let all = fits.singly.iter().map(|(_, count)| count).sum::<u32>();
        let on: Vec<String> = fits.singly.iter().map(|(bench, count)| format!("{count} on {bench}")).collect();
        format!("{called}: not as one set, but singly {all} go: {}", on.join(", "))
    } else if fits.fits >= fits.asked {
        let light = fits.benches.iter().filter(|row| row.suits.is_for_plants()).map(|row| row.more);
        let light = light.fold(0, u32::saturating_add).min(fits.asked);
        let all = if fits.asked == 1 { "it fits" } else { "all fit" };
        let dark = match fits.asked - light {
            0 => String::new(),
            1 if fits.asked == 1 => ", but only in the dark, for what is not up yet".to_owned(),
            dark => format!(", {dark} of them only in the dark, for what is not up yet"),
        };
        format!("{} x {called}: {all}{dark}", fits.asked)
    } else {
        format!("{} x {called}: {} were found to fit without moving anything", fits.asked, fits.fits)
    }
}
