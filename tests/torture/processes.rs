//! The real program: killed at any instant, and run by several at once.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use rusqlite::Connection;

use super::power::acts_in;
use super::season::Random;
use super::times;

/// The program with a home of its own, on a journal, reading a script.
fn program(home: &Path, journal: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_thumbpot"));
    command.env_clear().env("HOME", home).env("TZ", "UTC").arg("--journal").arg(journal);
    command
}

fn spawn(home: &Path, journal: &Path, script: &str) -> Child {
    let mut command = program(home, journal);
    command.args(["--json", "--on", "2024-04-20", "run", "-"]);
    let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all(script.as_bytes()).unwrap();
    child
}

/// The act that a line of output acknowledges.
fn act_of(line: &str) -> String {
    let answer: serde_json::Value = serde_json::from_str(line).unwrap_or_else(|error| panic!("{line}: {error}"));
    answer["act"].as_str().unwrap().to_owned()
}

/// A script that begins batches and goes on with them, each act of one or several entries.
fn script(site: &str, round: u64, acts: u64) -> String {
    let mut lines = vec![
        format!("place add {site}{round} --kind greenhouse"),
        format!("bench add {site}{round}/b --size 900x400mm"),
    ];
    lines.extend((0..acts).map(|index| match index % 4 {
        0 => format!("sow leek 'Kind {site}' --seeds 24 --in 24-cellx2 --at {site}{round}/b"),
        1 => format!("reading {site}{round} --min 1 --max 12.5 --now {}", index % 20),
        2 => format!("receive kale 'Kind {site}' --plants 6 --in 9cm-potx6 --at {site}{round}/b"),
        _ => format!("note {site}{round} 'seen {index}'"),
    }));
    lines.join("\n")
}

#[test]
fn a_kill_at_any_instant_takes_no_acknowledged_act_and_leaves_none_by_half() {
    let folder = tempfile::tempdir().unwrap();
    let mut random = Random::new(1);
    let (mut kills, mut killed_at_work, mut all) = (0, 0, 0);
    let mut slowest = Duration::ZERO;
    let mut journal = folder.path().join("0.db");
    let mut known = 0;
    for round in 0..times(50, 1_000) {
        if round % 25 == 0 {
            journal = folder.path().join(format!("{round}.db"));
            known = 0;
        }
        let mut child = spawn(folder.path(), &journal, &script("site", round, 400));
        let mut output = BufReader::new(child.stdout.take().unwrap());
        let mut acknowledged = Vec::new();
        let mut line = String::new();
        // So many answers are waited for, then the blow falls within the next two milliseconds or so.
        let wait_for = random.below(12);
        while (acknowledged.len() as u64) < wait_for && output.read_line(&mut line).unwrap() > 0 {
            acknowledged.push(act_of(&line));
            line.clear();
        }
        std::thread::sleep(Duration::from_micros(random.below(if wait_for == 0 { 60_000 } else { 2_500 })));
        child.kill().unwrap();
        kills += 1;
        killed_at_work += u32::from(!child.wait().unwrap().success());
        // What it had said before it died; the last line may be torn.
        while output.read_line(&mut line).unwrap() > 0 && line.ends_with('\n') {
            acknowledged.push(act_of(&line));
            line.clear();
        }
        let start = Instant::now();
        let found = acts_in(&journal).unwrap();
        slowest = slowest.max(start.elapsed());
        let new = &found[known..];
        assert!(new.len() <= acknowledged.len() + 1, "round {round}: an act that nobody asked for");
        assert_eq!(new[..acknowledged.len()], acknowledged[..], "round {round}");
        known = found.len();
        all += acknowledged.len();
        // A digest covers every entry of its act: half an act would not match.
        let checked = program(folder.path(), &journal).arg("check").output().unwrap();
        assert!(checked.status.success(), "round {round}: {}", String::from_utf8_lossy(&checked.stdout));
    }
    println!(
        "{kills} kills, {killed_at_work} of them at work; {all} acts acknowledged, none lost; slowest open {slowest:?}"
    );
    assert!(killed_at_work > kills * 9 / 10, "most were done before the blow fell");
    assert!(all > 100);
}

#[test]
fn two_at_once_lose_nothing_and_are_not_refused() {
    // Who comes to the file when is the machine's; one may be done before the other has its turn.
    assert!((0..20).any(|_| two_at_once() > 2), "they never took turns");
}

/// Lets two work at once, and gives how often one took over from the other.
fn two_at_once() -> i64 {
    let folder = tempfile::tempdir().unwrap();
    let journal = folder.path().join("journal.db");
    let acts = times(150, 5_000);
    let sites = ["north", "south"];
    let children = sites.map(|site| spawn(&folder.path().join(site), &journal, &script(site, 0, acts)));
    let mut acknowledged = Vec::new();
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        let said = String::from_utf8(output.stdout).unwrap();
        assert_eq!(said.lines().count() as u64, acts + 2);
        acknowledged.extend(said.lines().map(act_of));
    }
    let mut found = acts_in(&journal).unwrap();
    found.sort_unstable();
    acknowledged.sort_unstable();
    assert_eq!(found, acknowledged);
    let connection = Connection::open(&journal).unwrap();
    let number = |sql: &str| connection.query_row(sql, [], |row| row.get::<_, i64>(0)).unwrap();
    assert_eq!(number("SELECT count(*) FROM device"), 2);
    assert_eq!(number("SELECT count(*) - count(DISTINCT number) FROM outcome"), 0, "no number was given twice");
    let turns =
        "SELECT count(*) FROM (SELECT device <> lag(device) OVER (ORDER BY uuid) AS turned FROM act) WHERE turned";
    let turns = number(turns);
    println!("{} acts, {turns} turns", found.len());
    turns
}

/// Both go on with one batch: count it, note on it, take back their own counts of it.
#[test]
fn two_at_once_on_one_batch_lose_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let journal = folder.path().join("journal.db");
    let beginning = "place add sill --kind windowsill\nbench add sill/b --size 900x400mm\n\
                     sow leek 'Old Rope' --seeds 60 --in 72-cell --at sill/b --on 2024-03-20";
    assert!(spawn(folder.path(), &journal, beginning).wait_with_output().unwrap().status.success());
    let rounds = times(25, 1_250);
    let script = |first: u64| {
        let lines = (0..rounds).map(|index| {
            let count = 10 + (index * 7 + first) % 50;
            format!("count 1 {count} --sure\nundo\nnote 1 'at {count}'\ncount 1 {count} --sure")
        });
        lines.collect::<Vec<_>>().join("\n")
    };
    let children = ["north", "south"].map(|site| {
        let first = if site == "north" { 0 } else { 3 };
        spawn(&folder.path().join(site), &journal, &script(first))
    });
    let mut acknowledged = Vec::new();
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        acknowledged.extend(String::from_utf8(output.stdout).unwrap().lines().map(act_of));
    }
    assert_eq!(acknowledged.len() as u64, 2 * 4 * rounds);
    let found = acts_in(&journal).unwrap();
    assert_eq!(found.len(), acknowledged.len() + 3);
    assert!(acknowledged.iter().all(|act| found.contains(act)));
    let checked = program(folder.path(), &journal).arg("check").output().unwrap();
    assert!(checked.status.success(), "{}", String::from_utf8_lossy(&checked.stdout));
}

#[test]
fn a_restore_beside_another_program_loses_nothing_that_it_wrote() {
    let mut between = 0;
    for round in 0..times(4, 100) {
        let folder = tempfile::tempdir().unwrap();
        let (journal, copy) = (folder.path().join("journal.db"), folder.path().join("copy.db"));
        let does = |words: &[&str]| {
            let done = program(folder.path(), &journal).args(words).output().unwrap();
            assert!(done.status.success(), "round {round}: {words:?}: {}", String::from_utf8_lossy(&done.stderr));
        };
        does(&["--on", "2024-04-20", "place", "add", "sill", "--kind", "windowsill"]);
        does(&["backup", copy.to_str().unwrap()]);
        let notes = "note sill 'and so on'\n".repeat(60);
        let mut child = spawn(&folder.path().join("other"), &journal, &notes);
        // In the midst of it, as soon as so many are done.
        let mut output = BufReader::new(child.stdout.take().unwrap());
        let mut acknowledged = Vec::new();
        let mut line = String::new();
        while acknowledged.len() < 5 && output.read_line(&mut line).unwrap() > 0 {
            acknowledged.push(act_of(&line));
            line.clear();
        }
        does(&["restore", copy.to_str().unwrap(), "--yes"]);
        while output.read_line(&mut line).unwrap() > 0 {
            acknowledged.push(act_of(&line));
            line.clear();
        }
        assert!(child.wait().unwrap().success());
        let [now, before] = [journal.clone(), journal.with_extension("before-restore-1.db")]
            .map(|file| acts_in(&file).unwrap_or_else(|error| panic!("round {round}: {}: {error}", file.display())));
        for act in &acknowledged {
            assert!(now.contains(act) || before.contains(act), "round {round}: {act} is in neither");
        }
        between += usize::from(now.len() > 1 && before.len() > 1);
        does(&["check"]);
    }
    println!("{between} restores fell among the other's acts");
    assert!(between > 0);
}

/// The first act of a day makes the day's copy: whatever moment the blow falls, a copy that is there is whole, and the
/// next act makes one that is not.
#[test]
fn a_kill_while_the_days_copy_is_made_leaves_no_torn_one() {
    let folder = tempfile::tempdir().unwrap();
    let journal = folder.path().join("journal.db");
    let copies = folder.path().join("journal-copies");
    assert!(spawn(folder.path(), &journal, &script("site", 0, 200)).wait_with_output().unwrap().status.success());
    let mut random = Random::new(4);
    let (mut made, mut begun) = (0, 0);
    let start = Instant::now();
    spawn(folder.path(), &journal, "note site0 dusty").wait_with_output().unwrap();
    let whole = u64::try_from(start.elapsed().as_micros()).unwrap();
    for _ in 0..times(40, 400) {
        let _ = std::fs::remove_dir_all(&copies);
        let mut child = spawn(folder.path(), &journal, "note site0 dusty");
        std::thread::sleep(Duration::from_micros(random.below(whole * 3 / 2)));
        child.kill().unwrap();
        child.wait().unwrap();
        for file in std::fs::read_dir(&copies).into_iter().flatten().map(|file| file.unwrap().path()) {
            if file.extension().is_some_and(|ending| ending == "db") {
                made += 1;
                assert!(thumbpot::store::holding(&file).is_ok(), "{} is torn", file.display());
            } else {
                begun += 1;
            }
        }
    }
    println!("{made} copies were made, {begun} begun and given up");
    assert!(made > 0);
    let done = spawn(folder.path(), &journal, "note site0 dusty").wait_with_output().unwrap();
    assert!(done.status.success());
    assert!(std::fs::read_dir(&copies).unwrap().any(|file| file.unwrap().path().extension() == Some("db".as_ref())));
}

#[test]
fn six_at_once_may_make_the_same_journal() {
    for round in 0..times(5, 60) {
        let folder = tempfile::tempdir().unwrap();
        let journal = folder.path().join("journal.db");
        let home = |site: u64| folder.path().join(format!("home{site}"));
        let children: Vec<Child> =
            (0..6).map(|site| spawn(&home(site), &journal, &format!("place add site{site} --kind room"))).collect();
        for child in children {
            let output = child.wait_with_output().unwrap();
            assert!(output.status.success(), "round {round}: {}", String::from_utf8_lossy(&output.stderr));
        }
        assert_eq!(acts_in(&journal).unwrap().len(), 6);
    }
}
