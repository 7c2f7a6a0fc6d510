//! The round: a place walked container by container. Keys in, entries out, read back with the history and the fold; the
//! job's own limit is a hundred keys for thirty containers.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use std::ffi::OsStr;
use std::path::Path;
use std::process::Command;

use crate::pty::{LIMIT, Session, Setting};
use crate::sitting::Sitting;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::style::Modifier;
use serde_json::Value;
use tempfile::TempDir;
use thumbpot::desk;
use thumbpot::quantity::PartLabel;
use thumbpot::tui::message::Message;
use thumbpot::tui::model::{Overlay, Page};
use thumbpot::tui::round::Entry;
use thumbpot::tui::theme::Look;
use thumbpot::tui::view::view;

const PROGRAM: &str = env!("CARGO_BIN_EXE_thumbpot");

/// A shelf and a frame, typed some days ago: on the shelf four containers, two sowings in one of them and two sets of
/// pots on a carrier; twelve of the tomatoes were pricked out.
const GARDEN: &str = "
place add shelf --kind 'lit shelf' --on -40d
place add frame --kind 'cold frame' --on -40d
bench add shelf/top --size 2000x600mm --on -40d
lot add tomato 'Copper Lantern' --packed 2025 --seeds 90 --on -40d
lot add basil 'Warm Yard' --packed 2025 --seeds 300 --on -40d
lot add leek 'Long Furrow' --packed 2025 --seeds 200 --on -40d
sow tomato 'Copper Lantern' --seeds 24 --in half-tray --at shelf/top --on -24d
count 1a 15 --on -14d
sow leek 'Long Furrow' --seeds 60 --in 72-cell --at shelf/top --on -12d
sow basil 'Warm Yard' --seeds 12 --share 1a --on -10d
pot-on 1a 12 --into 9cm-pot --at shelf/top --on -4d
place 2a 600,0 --on -3d
place 1a 0,0 --on -3d
";

/// The label at the stop.
fn at(sitting: &Sitting) -> String {
    let state = &sitting.model.board.state;
    let label = |id| -> PartLabel { state.part_label(&state.parts[&id]) };
    sitting.model.stop().map_or_else(|| "nowhere".to_owned(), |id| label(id).to_string())
}

fn said(sitting: &Sitting) -> String {
    sitting.model.notice.as_ref().map(|notice| notice.line.clone()).unwrap_or_default()
}

fn drawn(sitting: &Sitting, no_color: bool, term: &str, (columns, rows): (u16, u16)) -> String {
    let mut terminal = Terminal::new(TestBackend::new(columns, rows)).unwrap();
    let look = Look::from_environment(no_color, term, None);
    terminal.draw(|frame| view(&sitting.model, look, frame)).unwrap();
    let buffer = terminal.backend().buffer();
    let line = |y| (0..columns).map(|x| buffer[(x, y)].symbol()).collect::<String>().trim_end().to_owned();
    (0..rows).map(line).collect::<Vec<_>>().join("\n")
}

#[test]
fn a_number_and_enter_is_logged_and_leads_on_and_what_the_number_is_depends_on_what_has_left() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("W1");
    let mut stops = vec![at(&sitting)];
    for _ in 0..3 {
        sitting.types("s");
        stops.push(at(&sitting));
    }
    assert_eq!(stops, ["1a", "3a", "2a", "1b"], "along the bench as placed; what shares a tray follows");
    sitting.types("bbb");
    sitting.keys = 0;
    // Twelve of fifteen were pricked out: three and two more stand.
    sitting.types("5\n");
    assert_eq!((sitting.keys, sitting.newest().2), (2, "1a: 5 standing".to_owned()));
    let part = sitting.desk.state(desk::today()).unwrap().parts.into_values().find(|part| part.sown() == 24).unwrap();
    assert_eq!((part.up, part.standing()), (17, 5), "twelve have left, five stand");
    sitting.types("b");
    assert_eq!(at(&sitting), "2a");
    sitting.types("-9\n");
    assert_eq!(sitting.newest().2, "2a: 9 gaps");
    sitting.types("s");
    // A bouncing Enter does not begin it all again.
    sitting.types("\n");
    assert_eq!(sitting.model.page(), Page::Rounded(sitting.model.round().unwrap().place), "that was the last");
    for (keys, wanted) in [("54\n", "2a: 54 up"), ("50s\n", "2a: 50 standing"), ("6g\n", "2a: 6 gaps")] {
        sitting.types("u\n");
        assert_eq!(at(&sitting), "2a", "taken back, it is still to be seen");
        sitting.types(keys);
        assert_eq!(sitting.newest().2, wanted);
        assert_eq!(at(&sitting), "nowhere", "and that was the last again");
    }
}

#[test]
fn nothing_half_entered_is_written() {
    let mut sitting = Sitting::with(GARDEN);
    let before = sitting.acts();
    sitting.types("W1");
    // Left by Esc; letters while a number is typed; an empty Enter; a sign alone; leaves left off.
    sitting.types("54\\").types("\n\n").types("-\n\\").types("g\\");
    assert_eq!((at(&sitting).as_str(), sitting.acts()), ("1a", before));
    sitting.types("5yrlpmn");
    assert_eq!(sitting.model.round().unwrap().entry, Entry::Count("5".to_owned()));
    assert!(sitting.model.overlays.is_empty());
    sitting.types("\\l3\n\\").types("p\\").types("m\\").types("nsome words\\").types("g\\");
    sitting.tell(Message::Paste("54\r".to_owned()));
    // More than was sown is refused, and the number stays to be put right.
    sitting.types("99\n");
    assert!(said(&sitting).contains("111 plants cannot come from 24"), "{}", said(&sitting));
    assert_eq!(sitting.model.round().unwrap().entry, Entry::Count("99".to_owned()));
    sitting.types("\\\\");
    assert_eq!(sitting.acts(), before);
    assert_eq!(sitting.model.page(), Page::Morning, "nothing was logged, so there is nothing to list");
}

#[test]
fn one_letter_notes_what_is_seen_and_stays_at_the_stop() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("W1");
    for (keys, verb, sentence) in [
        ("g2", "stage", "1a: 2 true leaves"),
        ("y", "stage", "1a: leggy"),
        ("r", "stage", "1a: roots at the holes"),
        ("l1\nslugs\n", "lose", "1a: 1 lost (slugs)"),
        ("nleaves curl\n", "note", "/1: leaves curl"),
        ("p2\n", "pot-on", "1c: 2 pricked out from 1a into 2 9cm-pots, shelf/top"),
        ("mframe\n", "move", "1a with 3a moved to frame"),
    ] {
        sitting.types(keys);
        let (done, _, told) = sitting.newest();
        assert_eq!((done.as_str(), at(&sitting).as_str()), (verb, "1a"), "after {keys:?}: {}", sitting.trouble());
        assert!(told.contains(sentence), "{told}");
        assert!(sitting.model.overlays.is_empty(), "{:?}", sitting.model.overlays);
    }
    assert_eq!(sitting.model.round().unwrap().logged.len(), 7);
    // What is in the hand beyond the log is a recount, here as elsewhere.
    sitting.types("p9\n");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Question(_))));
    sitting.types("y");
    assert!(sitting.newest().2.contains("9 pricked out from 1a"), "{}", sitting.newest().2);
    assert_eq!(sitting.model.round().unwrap().stops.len(), 4, "what was potted on in passing is no new stop");
}

#[test]
fn a_page_opened_from_a_stop_leads_back_to_it_and_what_is_done_there_belongs_to_the_round() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("W1").types("s").types("o");
    assert!(matches!(sitting.model.page(), Page::Batch(_)), "{:?}", sitting.model.page());
    sitting.types("c9\n");
    assert_eq!(sitting.newest().2, "3a: 9 up");
    sitting.types("q");
    assert_eq!(at(&sitting), "3a");
    sitting.types("u");
    assert_eq!((sitting.newest().0.as_str(), sitting.model.round().unwrap().logged.len()), ("undo", 1));
}

#[test]
fn a_tray_is_ticked_at_its_stop() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("W1").types("C");
    assert_eq!(sitting.model.page(), Page::Round(sitting.model.round().unwrap().place), "1a stands in no cells");
    sitting.types("ss").types("C");
    assert!(matches!(sitting.model.page(), Page::Cells(_)), "{:?}", sitting.model.page());
    sitting.types("q");
    assert_eq!((at(&sitting).as_str(), sitting.model.round().unwrap().logged.len()), ("2a", 0));
    sitting.types("C").types("uuu\n");
    assert_eq!((at(&sitting).as_str(), sitting.model.round().unwrap().logged.len()), ("2a", 1));
    assert!(sitting.model.round().unwrap().logged[0].said.contains("3 up of 60"), "{}", said(&sitting));
    sitting.types("u");
    assert_eq!((at(&sitting).as_str(), sitting.newest().0.as_str()), ("2a", "undo"));
}

#[test]
fn a_death_is_asked_for_its_cause_every_time() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("W1").types("l1\nslugs\n").types("l1\n");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Form(_))), "last time's was another container's");
    sitting.types("mice\n");
    assert!(sitting.newest().2.contains("1 lost (mice)"), "{}", sitting.newest().2);
}

#[test]
fn a_round_is_left_and_goes_on_at_the_first_stop_not_seen() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("W1").types("3\n").types("s").types("q");
    assert!(matches!(sitting.model.page(), Page::Rounded(_)));
    sitting.types("q");
    assert_eq!(sitting.model.page(), Page::Morning);
    sitting.types("b").types("W");
    let Some(Overlay::Menu(menu)) = sitting.model.overlays.last() else { panic!("no list of places") };
    assert_eq!(menu.items[0].1, "shelf: resume, 1 of 4 done, 1 passed by");
    sitting.types("1");
    assert_eq!(at(&sitting), "2a", "one was counted, one skipped");
    sitting.types("\\");
    assert!(matches!(sitting.model.page(), Page::Rounded(_)), "what was logged before is still listed");
    // Another program, another day's start: what was counted today is known from the log, what was skipped is not.
    let mut fresh = sitting.again();
    fresh.types("W1");
    assert_eq!(at(&fresh), "3a");
    // Tomorrow all are to be seen again.
    fresh.types("q");
    let tomorrow = desk::today().succ_opt().unwrap();
    fresh.model.today = tomorrow;
    fresh.model.on = tomorrow;
    let place = fresh.model.round_of(*fresh.model.rounds.keys().next().unwrap());
    assert_eq!((place.done(&fresh.model.board.state), place.logged.len()), (0, 0));
}

#[test]
fn what_a_round_logged_is_taken_back_line_by_line_or_whole() {
    let mut sitting = Sitting::with(GARDEN);
    let before = sitting.desk.state(desk::today()).unwrap();
    sitting.types("W1").types("4\n").types("10\n").types("g2").types("54\n");
    assert_eq!(at(&sitting), "1b");
    // At a stop: the newest, and back to where it was logged.
    sitting.types("u");
    assert_eq!((at(&sitting).as_str(), sitting.newest().0.as_str()), ("2a", "undo"));
    sitting.types("50\n").types("q");
    let lines = |sitting: &Sitting| -> Vec<(String, bool)> {
        sitting.model.round().unwrap().logged.iter().map(|one| (one.said.clone(), one.undone)).collect()
    };
    assert_eq!(
        lines(&sitting).iter().map(|(_, undone)| *undone).collect::<Vec<_>>(),
        [false, false, false, true, false]
    );
    assert!(lines(&sitting)[4].0.contains("50 up of 60"), "{:?}", lines(&sitting));
    // The line under the cursor, and brought back.
    sitting.types("kkku");
    assert!(lines(&sitting)[1].1 && sitting.newest().2.contains("3a"), "{:?}", lines(&sitting));
    sitting.types("r");
    assert!(!lines(&sitting)[1].1, "{:?}", lines(&sitting));
    // All of it, once that was asked.
    sitting.types("U").types("n");
    assert!(!lines(&sitting)[0].1);
    sitting.types("U").types("y");
    assert!(lines(&sitting).iter().all(|(_, undone)| *undone), "{:?}: {}", lines(&sitting), said(&sitting));
    let after = sitting.desk.state(desk::today()).unwrap();
    assert_eq!(after.parts, before.parts, "nothing of it is left");
    sitting.types("U");
    assert!(said(&sitting).contains("nothing"), "{}", said(&sitting));
}

#[test]
fn what_cannot_be_taken_back_is_told_and_the_rest_goes() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("W1").types("10\n").types("9\n").types("qq");
    // Nine of those ten are pricked out afterwards: the count cannot be missed any more.
    sitting.types(":pot-on 1a 9 --into 9cm-pot --at shelf/top\n");
    sitting.types("W1").types("q").types("Uy");
    let round = sitting.model.round().unwrap();
    assert_eq!(round.logged.iter().map(|one| one.undone).collect::<Vec<_>>(), [false, true]);
    assert!(said(&sitting).contains("not taken back: 1a") && said(&sitting).contains("3a"), "{}", said(&sitting));
}

#[test]
fn without_plants_or_on_another_day_there_is_no_round() {
    let mut bare = Sitting::with("");
    bare.types("W");
    assert!(bare.model.overlays.is_empty());
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("dW");
    assert!(sitting.model.overlays.is_empty() && said(&sitting).contains("not today"), "{}", said(&sitting));
}

/// Types to the program, and waits for what it says to each.
fn journey(session: &mut Session, steps: &[(String, &str)]) -> usize {
    for (keys, shown) in steps {
        session.keys(keys);
        session.wait_for(shown, LIMIT);
    }
    steps.iter().map(|(keys, _)| keys.chars().count()).sum()
}

fn runs(home: &Path, journal: &str, words: &[&str]) -> String {
    let done = Command::new(PROGRAM).env("HOME", home).args(["--journal", journal]).args(words).output().unwrap();
    assert!(done.status.success(), "{words:?}: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).unwrap()
}

fn open(home: &Path, journal: &str, size: (u16, u16)) -> Session {
    let environment: [(&str, &OsStr); 2] = [("HOME", home.as_os_str()), ("NO_COLOR", OsStr::new("1"))];
    let setting = Setting { columns: size.0, rows: size.1, environment: &environment, ..Setting::default() };
    Session::spawn(Path::new(PROGRAM), &["--journal", journal], &setting)
}

/// What was counted and not taken back, first first.
fn counts(home: &Path, journal: &str) -> Vec<String> {
    let history: Value = serde_json::from_str(&runs(home, journal, &["history", "--limit", "200", "--json"])).unwrap();
    let rows = history["rows"].as_array().unwrap().iter().rev();
    let in_force = rows.filter(|row| row["verb"] == "count" && row["undone"] == false);
    in_force.map(|row| row["said"][0].as_str().unwrap().to_owned()).collect()
}

#[test]
fn a_round_of_thirty_containers_takes_at_most_a_hundred_keys() {
    let home = TempDir::new().unwrap();
    let journal = home.path().join("journal.db").to_str().unwrap().to_owned();
    let mut script = String::from(
        "place add house --kind greenhouse --on -20d\nbench add house/left --size 3000x600mm --on -20d\n\
         bench add house/right --size 3000x600mm --on -20d\n",
    );
    for number in 0..30 {
        let bench = if number < 15 { "left" } else { "right" };
        script.push_str(&format!("sow leek 'Long Furrow' --seeds 40 --in half-tray --at house/{bench} --on -14d\n"));
    }
    let lines = home.path().join("garden.txt");
    std::fs::write(&lines, script).unwrap();
    runs(home.path(), &journal, &["run", lines.to_str().unwrap()]);

    let mut session = open(home.path(), &journal, (40, 20));
    session.wait_for("? all keys", LIMIT);
    let counted = |number: usize| 10 + number;
    let stop = |number: usize| {
        let keys = format!("{}\r", counted(number));
        let shown = if number == 29 { "30 logged".to_owned() } else { format!("{} of 30", number + 2) };
        (keys, shown)
    };
    let places = [("W".to_owned(), "30 containers"), ("1".to_owned(), "1 of 30")];
    let mut keys = journey(&mut session, &places);
    for number in 0..12 {
        let (typed, shown) = stop(number);
        keys += journey(&mut session, &[(typed, shown.as_str())]);
    }
    // Called away in the middle of a number: left altogether, and taken up again in another sitting.
    let away = [("4".to_owned(), "Esc clears"), ("\u{1b}".to_owned(), "digits, Enter")];
    journey(&mut session, &away);
    journey(&mut session, &[("q".to_owned(), "12 logged"), ("q".to_owned(), "Today"), ("q".to_owned(), "")]);
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    session.assert_given_back();
    let mut session = open(home.path(), &journal, (80, 24));
    session.wait_for("? all keys", LIMIT);
    keys +=
        journey(&mut session, &[("W".to_owned(), "12 of 30 counted or filled today"), ("1".to_owned(), "13 of 30")]);
    for number in 12..30 {
        let (typed, shown) = stop(number);
        let shown = if number == 29 { "18 logged".to_owned() } else { shown };
        keys += journey(&mut session, &[(typed, shown.as_str())]);
    }
    assert!(keys <= 100, "{keys} keys");
    // Sowing 1 on the left to sowing 30 on the right, each with its own number.
    let wanted: Vec<String> = (0..30).map(|number| format!("{}a: {} up", number + 1, counted(number))).collect();
    let year = chrono::Datelike::year(&desk::today());
    let plain = |said: String| said.replace(&format!("{year}/"), "");
    let found: Vec<String> = counts(home.path(), &journal).into_iter().map(plain).collect();
    assert_eq!(found, wanted);

    // One line taken back, then all that this sitting logged; what the first one logged stays.
    journey(&mut session, &[("u".to_owned(), "17 logged")]);
    assert_eq!(counts(home.path(), &journal).len(), 29);
    journey(&mut session, &[("U".to_owned(), "17 in number"), ("y".to_owned(), "17 taken back")]);
    assert_eq!(counts(home.path(), &journal).len(), 12);
    journey(&mut session, &[("q".to_owned(), "Today"), ("q".to_owned(), "")]);
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    session.assert_given_back();
    runs(home.path(), &journal, &["check"]);
}

#[test]
fn a_stop_on_a_terminal() {
    let mut sitting = Sitting::demo();
    sitting.types("W3").types("ssss5");
    insta::assert_snapshot!(drawn(&sitting, false, "xterm", (80, 24)), @r"
     round  Wednesday 15 April 2026               demonstration: an invented season
    ── greenhouse  5 of 14 ───────────────────────────────────── 0 done, 4 passed by
                       42a
                       lettuce Butter Slate
                       half-tray, greenhouse/end



      counted  not yet
      by now   none up expected; 29 to 35 in the end
      now      waiting: leave it, the first should show about Tuesday
      sown     36 seeds, yesterday







    ▸ up       5      Enter logs, Esc clears
     A number is what is up: none has left, so it is what stands.

     0-9 count  s skip  Esc stop  u undo  b back one  g leaves  y leggy  r roots
     l lost  p pot on  m move  n note  e clear  w why                    ? all keys
    ");
}

#[test]
fn the_number_is_set_in_blank_cells_shown_reversed() {
    let mut sitting = Sitting::demo();
    sitting.types("W3").types("ssss");
    let mut terminal = Terminal::new(TestBackend::new(80, 24)).unwrap();
    let look = Look::from_environment(true, "linux", None);
    terminal.draw(|frame| view(&sitting.model, look, frame)).unwrap();
    let buffer = terminal.backend().buffer();
    let lit = |x, y| buffer[(x, y)].symbol() == " " && buffer[(x, y)].modifier.contains(Modifier::REVERSED);
    let line = |y| (0..19).map(|x| if lit(x, y) { '#' } else { '.' }).collect::<String>();
    let figures: Vec<String> = (2..7).map(line).collect();
    assert_eq!(
        figures,
        [
            "..##..##..######...",
            "..##..##......##...",
            "..######..######...",
            "......##..##.......",
            "......##..######...",
        ]
    );
}

#[test]
fn a_stop_on_a_telephone_and_in_ascii() {
    let mut sitting = Sitting::demo();
    sitting.types("W4").types("y");
    insta::assert_snapshot!(drawn(&sitting, true, "xterm", (40, 20)), @r"
     round  Wed 15 Apr        demonstration
    ── propagator  1 of 3 ─────────── 0 done
      ┌─────────┐  cucumber Long Ditch
      │  3 8 a  │  4 9cm-pot, propagator/mat
      └─────────┘

      counted  3 up of 4, yesterday
      by now   about 3 up expected; 3 to 4
               in the end
      now      ↑ emerging: shoots into
               light, a few more may follow
      sown     4 seeds, 7 Apr
      next     plant out, best 24 May, by
               31 May
      due      ! off the heat: 3 showing:
    ▸ up              of 4: digits, Enter
     ✓ 38a: leggy   u undo

     0-9 count  s skip  Esc stop  u undo
     b back one  g leaves        ? all keys
    ");
    let bare = drawn(&sitting, true, "linux", (40, 20));
    assert!(bare.is_ascii(), "{bare}");
    sitting.types("q");
    insta::assert_snapshot!(drawn(&sitting, true, "linux", (40, 20)), @r"
     round  Wed 15 Apr        demonstration
    -- propagator: 1 logged - 3 still to see
    >  38a: leggy













     38a: leggy

     u undo this  U undo all  Enter go on
     Esc back                    ? all keys
    ");
}
