//! The program as it is typed: the real binary, a home of its own, nothing of the test's environment.

#![allow(dead_code, reason = "each test program uses its own part of it")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use std::path::PathBuf;

use assert_cmd::Command;
use serde_json::Value;
use tempfile::TempDir;

/// A home folder with a journal in its usual place.
pub(crate) struct Home {
    folder: TempDir,
}

/// What a command answered.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Home {
    /// An empty home.
    pub(crate) fn empty() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    /// A home with a windowsill and a cold frame, each with a bench larger than is needed.
    pub(crate) fn with_benches() -> Self {
        let home = Self::empty();
        home.script(
            "place add sill --kind windowsill --on 2024-01-01
             place add frame --kind 'cold frame' --on 2024-01-01
             bench add sill/long --size 6000x2000mm --on 2024-01-01
             bench add frame/left --size 6000x2000mm --on 2024-01-01",
        );
        home
    }

    pub(crate) fn file(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn journal(&self) -> PathBuf {
        self.file(".local/share/thumbpot/journal.db")
    }

    /// The program, not yet run.
    pub(crate) fn program(&self) -> Command {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin!("thumbpot"));
        command.env_clear().env("HOME", self.folder.path()).env("TZ", "UTC").current_dir(self.folder.path());
        command
    }

    /// Runs the program on words in an array.
    pub(crate) fn run(&self, words: &[&str]) -> Answer {
        answer(self.program().args(words))
    }

    /// Types a line at a shell: what it answers, whatever that is.
    pub(crate) fn types(&self, line: &str) -> Answer {
        let words = shlex::split(line).unwrap();
        answer(self.program().args(words))
    }

    /// Types a line that must be done, and hands back what was printed.
    pub(crate) fn does(&self, line: &str) -> String {
        let answer = self.types(line);
        assert!(answer.code == 0 && answer.err.is_empty(), "{line}: {answer:?}");
        answer.out
    }

    /// Runs a script that must be done from end to end.
    pub(crate) fn script(&self, lines: &str) {
        let answer = answer(self.program().args(["run", "-"]).write_stdin(lines));
        assert!(answer.code == 0 && answer.err.is_empty(), "{answer:?}");
    }

    /// Types a line that must be refused as impossible (exit code 1), in one clear line, with nothing printed and
    /// nothing written. Hands back the line without the program's name.
    pub(crate) fn refuses(&self, line: &str) -> String {
        self.refuses_with(line, 1)
    }

    /// As [`Home::refuses`], with the exit code that is to be.
    pub(crate) fn refuses_with(&self, line: &str, code: i32) -> String {
        let before = self.log();
        let answer = self.types(line);
        assert_eq!((answer.code, answer.out.as_str()), (code, ""), "{line}: {answer:?}");
        assert_eq!(answer.err.lines().count(), 1, "{line}: {answer:?}");
        assert_eq!(self.log(), before, "{line}: something was written");
        answer.err.trim_end().strip_prefix("thumbpot: ").unwrap().to_owned()
    }

    /// Every act of the journal, or nothing where there is none.
    pub(crate) fn log(&self) -> String {
        if !self.journal().exists() {
            return String::new();
        }
        let to = self.file("log-of-this-moment.json");
        self.does(&format!("export --to {}", to.display()));
        let log = std::fs::read_to_string(&to).unwrap();
        std::fs::remove_file(&to).unwrap();
        log
    }

    /// A report in JSON, checked against the parts of the contract that every report keeps.
    pub(crate) fn json(&self, line: &str) -> Value {
        let text = self.does(&format!("{line} --json"));
        assert_eq!(text.lines().count(), 1, "{text}");
        let value: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(value["schema"], 1);
        assert_eq!(value["report"], line.split(' ').next().unwrap());
        assert!(value["on"].is_string() && value["rows"].is_array() && value["notices"].is_array(), "{value}");
        value
    }

    /// One batch of 2024 at the end of that year.
    pub(crate) fn batch(&self, number: u32) -> Value {
        self.json(&format!("batch 2024/{number} --on 2024-12-31"))["rows"][0].clone()
    }

    /// Where every unit of a batch of 2024 is, leaving out what is nothing: `sown 40, standing 33, lost 5`.
    pub(crate) fn tally(&self, number: u32) -> String {
        let tally = self.batch(number)["tally"].clone();
        let terms =
            ["sown", "gained", "not_up", "standing", "lost", "thinned", "discarded", "planted_out", "given_away"];
        let told = terms.iter().map(|term| (term, tally[*term].as_u64().unwrap())).filter(|(_, number)| *number > 0);
        told.map(|(term, number)| format!("{term} {number}")).collect::<Vec<_>>().join(", ")
    }

    /// One part, by its letter.
    pub(crate) fn part(&self, number: u32, letter: &str) -> Value {
        let batch = self.batch(number);
        let wanted = format!("2024/{number}{letter}");
        let parts = batch["parts"].as_array().unwrap();
        parts.iter().find(|part| part["part"] == *wanted).unwrap_or_else(|| panic!("{wanted} in {batch}")).clone()
    }

    /// Plants standing in a part.
    pub(crate) fn stands(&self, number: u32, letter: &str) -> u64 {
        self.part(number, letter)["standing"].as_u64().unwrap()
    }
}

fn answer(command: &mut Command) -> Answer {
    let output = command.output().unwrap();
    Answer {
        code: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}
