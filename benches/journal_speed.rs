//! What a journal costs as the years go by: one live season alone, among 20 seasons and among 200 (15 thousand, 340
//! thousand and 3.4 million entries).
//!
//! Prints for each: the steps of SQLite's virtual machine and the processor time for loading what is live (medians,
//! taken in turn), the memory of a process that has loaded it, and what an act costs at the first and at the last of
//! 5,000. `cargo bench --bench journal_speed -- SEASONS..` measures other sizes.
#![allow(unsafe_code, reason = "the system counts processor time for those who ask in C")]
#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a measurement stops on the first surprise, and prints")]

#[path = "../tests/years/mod.rs"]
mod years;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use thumbpot::desk::Desk;
use thumbpot::grammar::AfterRefusal;
use thumbpot::quantity::DeviceId;
use thumbpot::store::Durability;
use thumbpot::trade::Trade;
use years::steps::steps_of;
use years::{A_SEASON, generate, today};

const DEVICE: DeviceId = DeviceId(uuid::Uuid::from_u128(0x2222_2222_2222_4222_8222_2222_2222_2222));
const LOADS: usize = 21;
const ACTS: usize = 5_000;
/// How the program is told to be the process whose memory is measured.
const LOAD_ONCE: &str = "load-once";

fn open(path: &Path, durability: Durability) -> Desk {
    Desk::open_with(path, DEVICE, Trade::built_in().unwrap(), durability).unwrap()
}

fn processor_time() -> Duration {
    // SAFETY: the structure is plain numbers and the call fills it.
    let time = unsafe {
        let mut time: libc::timespec = std::mem::zeroed();
        assert_eq!(libc::clock_gettime(libc::CLOCK_PROCESS_CPUTIME_ID, &raw mut time), 0);
        time
    };
    Duration::new(u64::try_from(time.tv_sec).unwrap(), u32::try_from(time.tv_nsec).unwrap())
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

/// Kilobytes of memory of this process that no file backs.
fn anonymous_kilobytes() -> u64 {
    let rollup = std::fs::read_to_string("/proc/self/smaps_rollup").unwrap_or_default();
    let line = rollup.lines().find_map(|line| line.strip_prefix("Anonymous:"));
    line.and_then(|rest| rest.trim().trim_end_matches(" kB").parse().ok()).unwrap_or(0)
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    if let [word, path] = words.as_slice()
        && word == LOAD_ONCE
    {
        let desk = open(Path::new(path), Durability::Synced);
        let state = desk.state(today()).unwrap();
        println!("{} {}", anonymous_kilobytes(), state.batches.len());
        return;
    }
    let sizes: Vec<u32> = words.iter().filter_map(|word| word.parse().ok()).collect();
    let sizes = if sizes.is_empty() { vec![0, 19, 199] } else { sizes };
    let folder = tempfile::tempdir().unwrap();
    let journals: Vec<PathBuf> = sizes.iter().map(|past| make(folder.path(), *past)).collect();
    load(&journals);
    memory(&journals);
    acts(&journals);
}

fn make(folder: &Path, past: u32) -> PathBuf {
    let path = folder.join(format!("{past}.db"));
    let start = Instant::now();
    let entries = generate(&path, past);
    let megabytes = std::fs::metadata(&path).map_or(0, |data| data.len() / 1_000_000);
    let batches = A_SEASON * (past + 1);
    println!(
        "{past} seasons past: {batches} batches, {entries} entries, {megabytes} MB, made in {:.1?}",
        start.elapsed()
    );
    path
}

fn load(journals: &[PathBuf]) {
    years::steps::watch();
    let desks: Vec<Desk> = journals.iter().map(|path| open(path, Durability::Synced)).collect();
    let mut times = vec![Vec::new(); desks.len()];
    let mut steps = vec![0; desks.len()];
    for _ in 0..LOADS {
        for (index, desk) in desks.iter().enumerate() {
            let before = processor_time();
            steps[index] = steps_of(|| desk.state(today()).unwrap()).0;
            times[index].push(processor_time() - before);
        }
    }
    for ((path, times), steps) in journals.iter().zip(times).zip(steps) {
        println!("{}: loading takes {steps} steps, {:.2?}", name(path), median(times));
    }
}

fn name(path: &Path) -> String {
    path.file_stem().unwrap_or_default().to_string_lossy().into_owned() + " seasons past"
}

fn memory(journals: &[PathBuf]) {
    for path in journals {
        let program = std::env::current_exe().unwrap();
        let output = Command::new(program).arg(LOAD_ONCE).arg(path).output().unwrap();
        let said = String::from_utf8_lossy(&output.stdout);
        let kilobytes = said.split(' ').next().unwrap_or_default();
        println!("{}: {kilobytes} kB of anonymous memory after loading", name(path));
    }
}

/// The same four acts over and over, synced: what the first hundred cost and what the last hundred of 5,000 do.
fn acts(journals: &[PathBuf]) {
    for path in journals {
        let mut desk = open(path, Durability::Synced);
        let mut costs = Vec::new();
        for index in 0..ACTS {
            // Batch after batch, a few acts each: their own histories are as long at the end as at the beginning.
            let batch = 1 + index * 599 / ACTS;
            let line = match index % 4 {
                0 => format!("count 2025/{batch}b --standing {}", 8 - index % 3),
                1 => format!("stage 2025/{batch}b --leaves 3"),
                2 => "reading frame --min 2 --max 14".to_owned(),
                _ => format!("note 2025/{batch} 'watered'"),
            };
            let before = processor_time();
            let (steps, ran) = steps_of(|| desk.run(&line, today(), AfterRefusal::Stop, |_, _| {}));
            ran.unwrap();
            costs.push((steps, processor_time() - before));
        }
        let of = |costs: &[(u64, Duration)]| {
            let steps = costs.iter().map(|(steps, _)| steps).sum::<u64>() / costs.len() as u64;
            (steps, median(costs.iter().map(|(_, time)| *time).collect()))
        };
        let (first, last) = (of(&costs[..400]), of(&costs[ACTS - 400..]));
        println!(
            "{}: an act takes {} steps, {:.2?} among the first 400 of {ACTS}, {} steps, {:.2?} among the last",
            name(path),
            first.0,
            first.1,
            last.0,
            last.1
        );
    }
}
