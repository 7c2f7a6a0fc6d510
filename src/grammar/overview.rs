//! The list of commands that `help` prints, in the groups a grower thinks in. What each command says of itself stands
//! beside its words.

use std::fmt::Write as _;

/// Commands by what they are for. Every command is in one group.
pub(super) const GROUPS: &[(&str, &[&str])] = &[
    ("This morning", &["due", "germination", "cold", "benches", "fits", "batch", "why"]),
    ("Sowing and raising", &["sow", "receive", "count", "stage", "pot-on", "note", "identify", "relabel"]),
    ("Moving", &["move", "out", "in", "cover"]),
    ("Leaving", &["plant-out", "lose", "thin", "discard", "give-away", "clear"]),
    ("What stands still", &["place", "bench", "carrier", "lot", "reading", "forecast"]),
    ("The journal", &["undo", "redo", "history", "run", "check", "backup", "restore", "export", "demo"]),
];

/// Writes the overview from what each command says of itself.
pub(super) fn overview(command: &clap::Command) -> String {
    let mut text = command.get_about().map(|about| format!("{about}.\n\n")).unwrap_or_default();
    text.push_str("usage: thumbpot [--journal FILE] [--on DATE] [--json] [COMMAND]\n");
    text.push_str("Without a command: the full screen. `thumbpot help COMMAND` says more.\n");
    for (heading, names) in GROUPS {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "\n{heading}");
        for name in *names {
            let about = command.find_subcommand(name).and_then(clap::Command::get_about);
            let about = about.map(ToString::to_string).unwrap_or_default();
            let _ = writeln!(text, "  {name:<12} {about}");
        }
    }
    text.push_str(
        "\n--journal FILE  another journal   --on DATE  the day it happened, or the day to show: -3d, mon, 12 apr\n",
    );
    text.push_str("--json          answer in JSON    --version  which thumbpot this is\n");
    text
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::super::shell::whole;
    use super::*;

    #[test]
    fn every_command_is_in_one_group_and_says_what_it_does_in_one_line() {
        let command = whole();
        let mut listed: BTreeMap<&str, usize> = BTreeMap::new();
        for name in GROUPS.iter().flat_map(|(_, names)| *names) {
            *listed.entry(name).or_default() += 1;
        }
        for verb in command.get_subcommands() {
            assert_eq!(listed.remove(verb.get_name()), Some(1), "{}", verb.get_name());
            let about = verb.get_about().map(ToString::to_string).unwrap_or_default();
            assert!((1..=60).contains(&about.chars().count()), "{}: {about}", verb.get_name());
        }
        assert!(listed.is_empty(), "no such commands: {listed:?}");
    }
}
