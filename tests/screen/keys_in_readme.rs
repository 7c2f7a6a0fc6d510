//! The README's table of keys is the program's own table, so that neither can say what the other does not.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use thumbpot::tui::actions::as_markdown;

const BEGIN: &str = "<!-- keys begin -->\n";
const END: &str = "<!-- keys end -->";

#[test]
fn the_readme_has_the_keys_there_are() {
    let readme = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).unwrap();
    let (_, behind) = readme.split_once(BEGIN).unwrap();
    let (table, _) = behind.split_once(END).unwrap();
    assert_eq!(table, as_markdown(), "put this between the markers:\n{}", as_markdown());
}
