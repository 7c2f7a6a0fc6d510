//! The list of commands that `help` prints, in the groups a grower thinks in. What each command says of itself stands
//! beside its words.

use std::fmt::Write as _;

/// Commands by what they are for. Every command is in one group.
pub(super) const GROUPS: &[(&str, &[&str])] = &[
    (
        "This morning",
        &["due", "germination", "cold", "climate", "benches", "fits", "in-hand", "batch", "compare", "why"],
    ),
    ("Sowing and raising", &["sow", "receive", "count", "stage", "pot-on", "note", "identify", "relabel"]),
    ("Moving", &["move", "swap", "repack", "out", "in", "cover"]),
    ("Leaving", &["plant-out", "lose", "thin", "discard", "give-away", "clear"]),
    (
        "What stands still",
        &[
            "place",
            "bench",
            "places",
            "carrier",
            "containers",
            "measure",
            "own",
            "wash",
            "crops",
            "cautions",
            "lot",
            "reading",
            "forecast",
        ],
    ),
    ("The journal", &["undo", "redo", "history", "run", "check", "backup", "restore", "merge", "export", "demo"]),
];

/// Writes the overview from what each command says of itself.
pub(super) fn overview(command: &clap::Command) -> String {
    let mut text = command.get_about().map(|about| format!("{about}.\n\n")).unwrap_or_default();
    text.push_str("usage: thumbpot [--journal FILE] [--on DATE] [--json] [COMMAND]\n");
    text.push_str("Without a command: the full screen. `thumbpot help COMMAND` says more.\n");
    text.push_str(
        "--plain [PAGE]: a page of it as text: morning, batch 14, cells 14a, tonight,\n                benches, in-hand, place frame, journal, keys.\n",
    );
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

    /// Calls `look` with every command that does something.
    fn for_each_leaf(command: &clap::Command, look: &dyn Fn(&clap::Command)) {
        if !command.has_subcommands() {
            look(command);
        }
        command.get_subcommands().for_each(|verb| for_each_leaf(verb, look));
    }

    #[test]
    fn every_option_of_a_command_stands_in_its_usage() {
        for_each_leaf(&whole(), &|command| {
            let usage = command.clone().render_usage().to_string();
            assert!(!usage.contains("[OPTIONS]"), "{usage}");
            for long in command.get_arguments().filter_map(clap::Arg::get_long) {
                // `--in` is a beginning of `--into`, as it is written where plants are moved on.
                assert!(usage.contains(&format!("--{long}")), "{usage} lacks --{long}");
            }
        });
    }

    #[test]
    fn no_argument_takes_the_name_of_one_that_goes_everywhere() {
        // Two arguments of one name but of two types stop the program when they are read.
        let whole = whole();
        let everywhere: Vec<_> = whole.get_arguments().map(clap::Arg::get_id).collect();
        assert_eq!(everywhere.len(), 4);
        for_each_leaf(&whole, &|command| {
            for argument in command.get_arguments() {
                assert!(!everywhere.contains(&argument.get_id()), "{} {}", command.get_name(), argument.get_id());
            }
        });
    }
}
