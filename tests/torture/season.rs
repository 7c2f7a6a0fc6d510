//! Random seasons as a grower would type them: a line an act, about half of which can be true.

use thumbpot::quantity::Date;

/// A plain linear congruential generator (Knuth's MMIX constants): disorder enough, and the same everywhere.
#[derive(Clone, Debug)]
pub(crate) struct Random(u64);

impl Random {
    pub(crate) const fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    /// A number below `end`, which is not zero.
    pub(crate) fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }

    pub(crate) fn pick<'a>(&mut self, words: &[&'a str]) -> &'a str {
        words[usize::try_from(self.below(words.len() as u64)).unwrap()]
    }

    pub(crate) fn once_in(&mut self, times: u64) -> bool {
        self.below(times) == 0
    }
}

/// The places that every season has.
pub(crate) const GROUND: [&str; 7] = [
    "place add propagator --kind propagator --heated-to 21C --light low",
    "place add sill --kind windowsill",
    "place add frame --kind 'cold frame'",
    "bench add propagator/mat --size 800x480mm --headroom 220mm",
    "bench add sill/left --size 900x300mm",
    "bench add frame/front --size 1200x600mm --headroom 400..250mm",
    "carrier add crate --in 1020-carrier --at sill/left",
];

const BENCHES: [&str; 5] = ["propagator/mat", "sill/left", "frame/front", "frame", "crate"];
const CONTAINERS: [&str; 8] =
    ["seed-tray", "half-tray", "24-cell", "12-cell", "9cm-potx12", "7cm-potx6", "paper", "30-cellx2"];
const SEED: [&str; 7] = [
    "lettuce 'Tin Whistle'",
    "tomato 'Ash Lane'",
    "beetroot 'Low Drum'",
    "celery 'Pale Post'",
    "leek 'Old Rope'",
    "unknown",
    "unknown",
];

/// What the next line may speak of: batches begun so far, and the acts that can be named. Whoever does a line says so.
#[derive(Clone)]
pub(crate) struct Typing {
    pub(crate) random: Random,
    pub(crate) begun: u64,
    pub(crate) acts: Vec<String>,
}

impl Typing {
    pub(crate) const fn new(seed: u64) -> Self {
        Self { random: Random::new(seed), begun: 0, acts: Vec::new() }
    }

    /// Takes note that a line was done.
    pub(crate) fn done(&mut self, line: &str, act: String) {
        self.begun += u64::from(line.starts_with("sow") || line.starts_with("receive"));
        self.acts.push(act);
    }

    fn part(&mut self) -> String {
        // Mostly the newest few, and mostly the part that was sown: there things happen.
        let oldest = if self.random.once_in(5) { 0 } else { self.begun.saturating_sub(5) };
        let batch = 1 + oldest + self.random.below((self.begun - oldest).max(1));
        let letter = self.random.pick(&["a", "a", "a", "a", "a", "a", "a", "b", "b", "c", ""]);
        format!("2024/{batch}{letter}")
    }

    fn room(&mut self, word: &str) -> String {
        if self.random.once_in(5) {
            return format!("--share {}", self.part());
        }
        format!("--{word} {} --at {}", self.random.pick(&CONTAINERS), self.random.pick(&BENCHES))
    }

    /// A line, dated by itself when it is written up late.
    pub(crate) fn line(&mut self, today: Date) -> String {
        let line = self.undated();
        if self.random.once_in(6) && !line.contains("undo") && line != "redo" {
            let late = today - chrono::Days::new(self.random.below(20));
            return format!("{line} --on {late}");
        }
        line
    }

    fn undated(&mut self) -> String {
        let number = 1 + self.random.below(14);
        let part = self.part();
        match self.random.below(46) {
            0..=2 => {
                let (seed, room) = (self.random.pick(&SEED), self.room("in"));
                let unit = self.random.pick(&["seeds", "seeds", "clusters", "pinch"]);
                let each = self.random.pick(&["", "", " --per-cell 2"]);
                format!("sow {seed} --{unit} {} {room}{each}", number + 8)
            }
            3 => format!("receive {} --plants {number} {}", self.random.pick(&SEED[..5]), self.room("in")),
            4..=9 => format!("count {part} {} --sure", number + 3),
            10 => format!("count {part} --sure --standing {number}{}", self.random.pick(&["", " --doubles"])),
            11 => format!("count {part} --gaps {}", number / 2),
            12 => format!("count {part} {number} --sure --standing {}", 1 + self.random.below(14)),
            13..=15 => {
                let (room, more) = (self.room("into"), self.random.pick(&["", "", " --recount", " --rest discard"]));
                format!("pot-on {part} {} {room}{more}", number / 2 + 1)
            }
            16 => format!("move {part} {}", self.random.pick(&BENCHES)),
            17 | 18 => format!("move {part} {} --count {}", self.random.pick(&BENCHES), number / 3 + 1),
            19 => format!("out {part} frame"),
            20 => self.random.pick(&["in", "in crate", "out crate frame", "move crate propagator/mat"]).to_owned(),
            21 => format!("lose {part} {} --cause slugs --note 'by the door'", number / 3 + 1),
            22 => format!("{} {part} {}", self.random.pick(&["thin", "discard", "give-away"]), number / 3 + 1),
            23 => format!("plant-out {part} {}{}", number / 3 + 1, self.random.pick(&["", " --recount"])),
            24 => format!("clear {part}{}", self.random.pick(&["", " --rest discard"])),
            25 => format!("stage {part} --leaves {} --height {number}mm --leggy", number / 3),
            26 => format!("note {} 'seen {number}'", part.trim_end_matches(char::is_alphabetic)),
            27 => format!("reading frame --min -{}.5 --max {}", number / 4, number + 5),
            28 => self.random.pick(&["cover frame on", "forecast set 2024-05-02 --low 1 --high 9"]).to_owned(),
            29 => format!("identify {} chard 'Lost Tag'", part.trim_end_matches(char::is_alphabetic)),
            30 => match self.acts.len() {
                0 => "undo".to_owned(),
                known => {
                    let act = self.acts[usize::try_from(self.random.below(known as u64)).unwrap()].clone();
                    format!("undo {act}{}", self.random.pick(&["", " --with-later"]))
                }
            },
            31 => self.random.pick(&["undo", "redo", "redo"]).to_owned(),
            32 => format!("count {part} --sure --standing {}", number * 5),
            33 => format!("count {part} {}", number / 2),
            34..=41 => {
                let doubled = match self.random.below(4) {
                    0 => format!(" --doubled {}", number / 2 + 1),
                    1 => format!(" --doubled 1-{}", number / 3 + 1),
                    _ => String::new(),
                };
                let standing =
                    if self.random.once_in(8) { format!(" --standing {}", number * 2) } else { String::new() };
                format!("count {part} --sure --cells {}-{}{doubled}{standing}", 1 + number / 5, number + 2)
            }
            42 | 43 => {
                let cell = number / 3 + 1;
                let verb = self.random.pick(&["lose", "discard", "thin", "plant-out"]);
                format!("{verb} {part} --cells {cell}-{}", cell + number % 3)
            }
            44 => format!("pot-on {part} --cells {}-{} {}", number / 3 + 1, number / 2 + 1, self.room("into")),
            _ => format!("lose {part} {} --cells {}", number / 4 + 1, number / 2 + 1),
        }
    }
}
