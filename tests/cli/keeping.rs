//! Keeping entries: bringing them out of a damaged file, a look before a restore, two versions that meet, and the copy
//! that a synchronised folder leaves behind, all as it is typed.

use std::fs;
use std::path::PathBuf;

use crate::command_line::Home;

const BEGINNING: &str = "
place add sill --kind windowsill --on 2024-01-01
bench add sill/back --size 1200x400mm --on 2024-01-01
lot add tomato 'Ash Lane' --packed 2023 --seeds 60 --on 2024-01-01
sow tomato ash --seeds 20 --in half-tray --at sill --on 2024-03-01
count 1 12 --on 2024-03-12
";

/// A home with a beginning, and another machine's with the same.
fn two_homes() -> (Home, Home) {
    let (one, other) = (Home::empty(), Home::empty());
    one.script(BEGINNING);
    let copy = other.file("copy.db");
    one.does(&format!("backup {}", copy.display()));
    other.does("restore copy.db --yes");
    (one, other)
}

/// A journal written out on one machine, carried to the other.
fn carried(from: &Home, to: &Home, name: &str) -> PathBuf {
    let file = to.file(name);
    let _ = fs::remove_file(&file);
    from.does(&format!("backup '{}'", file.display()));
    file
}

#[test]
fn a_damaged_journal_gives_its_acts_to_a_new_one() {
    let home = Home::empty();
    home.script(BEGINNING);
    let log = home.log();
    home.does("backup whole.db");
    // The first page is gone: no program opens this any more.
    let mut bytes = fs::read(home.file("whole.db")).unwrap();
    bytes[..4096].fill(0);
    fs::write(home.journal(), &bytes).unwrap();
    for ending in ["-wal", "-shm"] {
        let _ = fs::remove_file(format!("{}{ending}", home.journal().display()));
    }
    let refusal = home.types("due");
    assert_eq!(refusal.code, 1);
    assert!(refusal.err.contains("check --salvage"), "{refusal:?}");
    let said = home.does("check --salvage saved.db");
    assert!(said.starts_with("5 of 5 acts brought out into saved.db"), "{said}");
    assert_eq!(fs::read(home.journal()).unwrap(), bytes, "the damaged file was touched");
    assert!(home.does("check --journal saved.db").starts_with("sound: 5 acts"));
    let again = home.types("check --salvage saved.db");
    assert!(again.code == 1 && again.err.contains("there already"), "{again:?}");
    fs::remove_file(home.journal()).unwrap();
    home.does("restore saved.db --yes");
    assert_eq!(home.log(), log);
}

#[test]
fn what_is_lost_is_told_by_day() {
    let home = Home::empty();
    home.script(BEGINNING);
    let journal = rusqlite::Connection::open(home.journal()).unwrap();
    let flipped = "DROP TRIGGER begun_keeps; UPDATE begun SET number = 2;";
    journal.execute_batch(flipped).unwrap();
    drop(journal);
    let check = home.types("check");
    assert!(check.code == 1 && check.out.contains("check --salvage NEWFILE"), "{check:?}");
    let said = home.does("check --salvage saved.db");
    assert!(said.starts_with("3 of 5 acts brought out into saved.db"), "{said}");
    assert!(said.contains("lost, 2024-03-01: sow\nlost, 2024-03-12: count (of what is lost)\n"), "{said}");
    // The count is whole, and what it says can be read and typed again.
    assert!(said.contains("is told in saved.lost.csv, to be typed again"), "{said}");
    let told = fs::read_to_string(home.file("saved.lost.csv")).unwrap();
    let rows: Vec<&str> = told.lines().collect();
    assert_eq!(rows.len(), 2, "{told}");
    assert!(rows[1].starts_with("2024-03-12,") && rows[1].contains(",count,") && rows[1].contains("12"), "{told}");
}

#[test]
fn a_restore_shows_what_it_would_come_to_and_waits_for_a_yes() {
    let home = Home::empty();
    home.script(BEGINNING);
    home.does("backup kept.db");
    home.does("lose 1 2 --cause slugs --on 2024-03-14");
    home.does("note 1 leaning --on 2024-03-15");
    let log = home.log();
    let asked = home.types("restore kept.db");
    assert_eq!(asked.code, 1);
    assert!(asked.err.contains("nothing was restored; `restore FILE --yes` does it"), "{asked:?}");
    let lines: Vec<&str> = asked.out.lines().collect();
    assert_eq!(lines[0], "kept.db: 5 acts, 1 batches, up to 2024-03-12");
    assert_eq!(lines[1], "it lacks 2 acts that the journal has, the newest:");
    assert!(lines[2].starts_with("  2024-03-15") && lines[2].contains("leaning"), "{lines:?}");
    assert!(lines[3].starts_with("  2024-03-14") && lines[3].contains("slugs"), "{lines:?}");
    assert_eq!(home.log(), log, "asking alone must change nothing");
    let said = home.does("restore kept.db --yes");
    assert!(said.starts_with("restored 5 acts"), "{said}");
    assert_ne!(home.log(), log);
    // What was put aside has what the restore took away, even though one machine wrote both.
    home.does("count 1 14 --on 2024-03-16");
    home.does("merge journal.before-restore-1.db");
    let check = home.does("check");
    assert!(check.starts_with("sound: 8 acts"), "{check}");
}

#[test]
fn what_cannot_be_true_together_is_named_and_settled_either_way() {
    for (keeps, wanted) in [("ours", 12), ("theirs", 9)] {
        let (one, other) = two_homes();
        one.does("pot-on 1 12 --into 9cm-potx12 --at sill --on 2024-03-20");
        other.does("pot-on 1 10 --into 7cm-potx12 --at sill --on 2024-03-20");
        other.does("lose 1b 1 --cause slugs --on 2024-03-21");
        let said = {
            carried(&other, &one, "theirs.db");
            one.does("merge theirs.db")
        };
        assert!(
            said.starts_with("2 acts brought in (0 new batches; dated 2024-03-20 to 2024-03-21), 5 were here already"),
            "{said}"
        );
        assert!(said.contains("2 acts contradict each other"), "{said}");
        let check = one.types("check --json");
        let check: serde_json::Value = serde_json::from_str(&check.out).unwrap();
        assert_eq!(check["sound"], true);
        let dispute = &check["set_aside"][0];
        let (aside, against) = (dispute["act"].as_str().unwrap(), dispute["against"].as_str().unwrap());
        assert_ne!(aside, against);
        let due = one.does("due --on 2024-03-22");
        assert!(due.contains("note: 2 acts contradict each other"), "{due}");
        // Both versions are in the log until one is taken back.
        let undone = if keeps == "ours" { aside } else { against };
        one.does(&format!("undo {undone} --with-later"));
        // What was built on the version that is gone goes as well.
        loop {
            let check: serde_json::Value = serde_json::from_str(&one.types("check --json").out).unwrap();
            let Some(next) = check["set_aside"].as_array().unwrap().first().cloned() else { break };
            one.does(&format!("undo {} --with-later", next["act"].as_str().unwrap()));
        }
        let check = one.does("check");
        assert!(check.starts_with("sound"), "{check}");
        assert_eq!(one.stands(1, "b"), wanted, "{keeps}");
        assert!(!one.does("due --on 2024-03-22").contains("contradict"));
    }
}

/// However such folders name the second of two versions, and whatever the machine's language.
#[test]
fn the_copy_of_a_synchronised_folder_is_offered_until_it_is_merged() {
    let (one, other) = two_homes();
    let theirs = carried(&other, &other, "theirs.db");
    let beside = |name: &str| one.journal().with_file_name(name);
    fs::write(beside("journal conflict notes.txt"), "no journal").unwrap();
    fs::write(beside("journal.conflict.db"), "no journal either").unwrap();
    fs::copy(&theirs, beside("journal-2024.db")).unwrap();
    let stranger = Home::empty();
    stranger.script("place add attic --kind room --on 2024-01-01");
    fs::copy(carried(&stranger, &stranger, "strange.db"), beside("journal-of-a-friend.db")).unwrap();
    one.does("backup journal.before-i-tried.db");
    fs::rename(one.file("journal.before-i-tried.db"), beside("journal.before-schema-9.db")).unwrap();
    let due = one.does("due --on 2024-03-16");
    assert!(!due.contains("that this journal lacks"), "{due}");
    for name in [
        "journal (conflicted copy 2024-04-01).db",
        "journal.sync-conflict-20240401-101500-ABCDEFG.db",
        "journal.db.sync-conflict-20240401-101500",
        "journal (1).db",
        "journal 2.db",
        "journal-laptop.db",
        "journal_conf(1).db",
        "journal (in Konflikt stehende Kopie 2024-04-01).db",
        "journal (copie en conflit).db",
        "Journal copy.db",
        "Copy of journal.db",
        ".journal.sync-conflict.db",
    ] {
        other.does("note 1 leaning --on 2024-03-15");
        fs::copy(carried(&other, &other, "theirs.db"), beside(name)).unwrap();
        let due = one.does("due --on 2024-03-16");
        assert_eq!(due.matches(name).count(), 2, "{due}");
        assert!(due.contains("has 1 act that this journal lacks") && due.contains("brings it in"), "{due}");
        let files = || fs::read_dir(one.journal().parent().unwrap()).unwrap().count();
        let before = files();
        // By its name alone, wherever the program is run from.
        let said = one.does(&format!("merge '{name}'"));
        assert!(said.starts_with("1 act brought in (0 new batches; dated 2024-03-15), "), "{said}");
        assert!(said.contains(" were here already"), "{said}");
        assert!(files() <= before + 1, "only the day's copy is made");
        assert!(!one.does("due --on 2024-03-16").contains(name));
    }
    // A name that nobody can type is not offered for typing, and nothing of it reaches the terminal.
    other.does("note 1 leaning --on 2024-03-15");
    fs::copy(carried(&other, &other, "theirs.db"), beside("journal \u{1b}[31m.db")).unwrap();
    let due = one.does("due --on 2024-03-16");
    assert!(due.contains("journal ?[31m.db") && due.contains("rename it") && !due.contains('\u{1b}'), "{due}");
}

#[test]
fn a_journal_that_has_nothing_in_common_comes_in_only_when_it_is_meant() {
    let (one, stranger) = (Home::empty(), Home::empty());
    one.script(BEGINNING);
    stranger.script(
        "place add attic --kind room --on 2024-01-01
         bench add attic/top --size 1200x400mm --on 2024-01-01
         sow leek 'Old Rope' --seeds 20 --in half-tray --at attic --on 2024-03-01",
    );
    let theirs = carried(&stranger, &one, "theirs.db");
    let refusal = one.refuses(&format!("merge {}", theirs.display()));
    assert!(refusal.contains("3 acts and 1 batches of it would come in"), "{refusal}");
    assert!(refusal.contains("--yes"), "{refusal}");
    let said = one.does("merge theirs.db --yes");
    assert!(said.starts_with("3 acts brought in (1 new batch; dated 2024-01-01 to 2024-03-01), 0 were here"), "{said}");
    // Into an empty one anything may come, and a place of one name is enough in common.
    let empty = Home::empty();
    carried(&stranger, &empty, "theirs.db");
    empty.does("merge theirs.db");
    let neighbour = Home::empty();
    neighbour.script("place add Sill --kind windowsill --on 2024-01-01");
    carried(&neighbour, &one, "near.db");
    one.does("merge near.db");
}

#[test]
fn what_is_read_in_from_a_file_has_its_copy_made_first() {
    let home = Home::empty();
    home.script(BEGINNING);
    let copies = home.journal().with_file_name("journal-copies");
    assert!(!copies.exists(), "nothing was logged before that a copy could hold");
    fs::write(home.file("days.csv"), "date,low,high\n2024-03-02,4.5,11\n").unwrap();
    home.does("reading import days.csv --place sill --on 2024-03-12");
    assert_eq!(fs::read_dir(&copies).unwrap().count(), 1);
}

#[test]
fn a_copy_that_cannot_be_made_is_not_there_and_the_refusal_says_what_to_do() {
    let home = Home::empty();
    home.script(BEGINNING);
    home.does("backup kept.db");
    let refusal = home.refuses("backup kept.db");
    assert!(refusal.ends_with("kept.db: the file is there already; name a file that is not there yet"), "{refusal}");
    fs::write(home.file("days.csv"), "date,low,high\n2024-03-02,4.5,a cold one\n").unwrap();
    let refusal = home.refuses("reading import days.csv --place sill --on 2024-03-12");
    assert!(refusal.contains("line 2") && !refusal.contains("who may use it"), "{refusal}");
}

#[test]
fn one_sowing_logged_twice_is_asked_about_only_where_it_may_be_one() {
    let (one, other) = two_homes();
    // Two trays of the same, sown by one hand: no twins.
    one.does("sow leek 'Old Rope' --seeds 30 --in seed-tray --at sill --on 2024-03-20");
    one.does("sow leek 'Old Rope' --seeds 30 --in seed-tray --at sill --on 2024-03-20");
    for _ in 0..2 {
        other.does("sow leek 'Old Rope' --seeds 30 --in 24-cellx2 --at sill --on 2024-03-20");
    }
    // Another container, another number, another day: none either.
    other.does("sow leek 'Old Rope' --seeds 30 --in half-tray --at sill --on 2024-03-20");
    other.does("sow leek 'Old Rope' --seeds 31 --in seed-tray --at sill --on 2024-03-20");
    other.does("sow leek 'Old Rope' --seeds 30 --in seed-tray --at sill --on 2024-03-21");
    carried(&other, &one, "theirs.db");
    assert!(!one.does("merge theirs.db").contains("logged twice"));
    // The same by two machines: asked about once, and no more at the next merge.
    other.does("sow celery 'Pale Post' --seeds 40 --in half-tray --at sill --on 2024-03-22");
    one.does("sow celery 'Pale Post' --seeds 40 --in half-tray --at sill --on 2024-03-22");
    carried(&other, &one, "theirs.db");
    let said = one.does("merge theirs.db");
    assert_eq!(said.matches("logged twice").count(), 1, "{said}");
    other.does("note 1 leaning --on 2024-03-23");
    carried(&other, &one, "theirs.db");
    assert!(!one.does("merge theirs.db").contains("logged twice"));
}

/// Two machines that never met, each with the same kitchen and the same sill in it.
#[test]
fn a_place_and_a_bench_of_one_name_are_one_after_a_merge() {
    let (one, other) = (Home::empty(), Home::empty());
    let script = |crop: &str, size: &str| {
        format!(
            "place add kitchen --kind windowsill --on 2024-01-01\nbench add kitchen/sill --size {size} --on 2024-01-01\n\
             sow {crop} --seeds 20 --in half-tray --at kitchen/sill --on 2024-03-01\n\
             reading kitchen --now 9C --on 2024-03-02\n"
        )
    };
    one.script(&script("tomato 'Ash Lane'", "1200x400mm"));
    other.script(&script("leek 'Long Furrow'", "1250x400mm"));
    let places = one.json("places --on 2024-03-05")["rows"].clone();
    carried(&other, &one, "theirs.db");
    let said = one.does("merge theirs.db");
    assert!(said.contains("kitchen was named twice, and is taken for one: windowsill"), "{said}");
    assert!(
        said.contains("kitchen/sill was named twice, and is taken for one: 1250 mm by 400 mm, not 1200 mm"),
        "{said}"
    );
    assert_eq!(one.json("places --on 2024-03-05")["rows"].as_array().unwrap().len(), places.as_array().unwrap().len());
    let benches = one.json("benches --on 2024-03-05")["rows"].clone();
    assert_eq!(benches.as_array().unwrap().len(), 1, "{benches}");
    // Both trays take of the one bench.
    let check = one.does("check");
    assert!(check.contains("sound: 8 acts") && check.contains("`bench resize kitchen/sill` says which"), "{check}");
    one.does("bench resize kitchen/sill --size 1200x400mm");
    assert!(!one.does("check").contains("says which"), "it was said");
    one.does("note '1~2' pale --on 2024-03-06");
    carried(&one, &other, "back.db");
    other.does("merge back.db");
    let same = ["benches", "places", "due"].map(|line| format!("{line} --on 2024-03-06"));
    for line in &same {
        assert_eq!(one.does(line), other.does(line));
    }
    assert!(other.does("check").contains("sound: 10 acts"));
}

/// Two machines that never met, each with a shed: one is of glass, the other the ground outside it.
#[test]
fn places_of_one_name_and_another_kind_are_two_after_a_merge() {
    let (one, other) = (Home::empty(), Home::empty());
    let script = |kind: &str, crop: &str| {
        format!(
            "place add shed --kind {kind} --on 2024-01-01\nbench add shed/left --size 1200x400mm --on 2024-01-01\n\
             sow {crop} --seeds 20 --in half-tray --at shed/left --on 2024-03-01\ncount 1 20 --on 2024-03-20\n"
        )
    };
    one.script(&script("greenhouse", "leek 'Long Furrow'"));
    other.script(&script("'standing ground'", "tomato 'Ash Lane'"));
    carried(&other, &one, "theirs.db");
    let said = one.does("merge theirs.db --yes");
    assert!(said.contains("were named shed: the ") && said.contains("is called shed 2 from now on"), "{said}");
    let places = one.json("places --on 2024-04-20")["rows"].clone();
    assert_eq!(places.as_array().unwrap().len(), 2, "{places}");
    let kinds: Vec<_> = places.as_array().unwrap().iter().map(|row| row["kind"].to_string()).collect();
    assert!(kinds[0] != kinds[1], "{places}");
    // Each goes on in its own.
    one.does("move '1~1' 'shed 2/left' --on 2024-04-20");
    one.does("move '1~1' shed/left --on 2024-04-21");
    carried(&one, &other, "back.db");
    other.does("merge back.db --yes");
    for line in ["benches", "places", "due", "cold"] {
        assert_eq!(one.does(&format!("{line} --on 2024-04-22")), other.does(&format!("{line} --on 2024-04-22")));
    }
}
