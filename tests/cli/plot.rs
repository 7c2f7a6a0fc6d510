//! `germination --plot FILE`: the courses of all sowings in a picture that any browser opens.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use crate::command_line::Home;

/// The names of the elements in the order they are opened. Panics unless it is well-formed (XML 1.0, section 2.1): one
/// root, every element closed in its turn, text and values free of `<` and of bare `&`.
fn elements(xml: &str) -> Vec<String> {
    let (mut open, mut all): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    let mut rest = xml.trim_end();
    while let Some(at) = rest.find('<') {
        text(&rest[..at]);
        assert!(all.is_empty() || !open.is_empty(), "a second root in {rest}");
        let end = rest.find('>').unwrap_or_else(|| panic!("no end in {rest}"));
        let tag = &rest[at + 1..end];
        assert!(!tag.contains('<'), "{tag}");
        text(tag);
        assert_eq!(tag.matches('"').count() % 2, 0, "{tag}");
        let name = tag.trim_matches('/').split(' ').next().unwrap().to_owned();
        if tag.starts_with('/') {
            assert_eq!(open.pop(), Some(name));
        } else {
            all.push(name.clone());
            if !tag.ends_with('/') {
                open.push(name);
            }
        }
        rest = &rest[end + 1..];
    }
    assert!(rest.is_empty() && open.is_empty(), "{rest} after the end, {open:?} left open");
    all
}

/// Every ampersand begins one of the five predefined entities or a character reference (XML 1.0, section 4.6).
fn text(text: &str) {
    for after in text.split('&').skip(1) {
        let name = after.split(';').next().unwrap();
        assert!(["amp", "lt", "gt", "quot", "#39"].contains(&name), "&{after}");
    }
}

fn sown() -> Home {
    let home = Home::with_benches();
    home.script(
        "sow tomato 'Red & <Gold> \"Six\"' --seeds 40 --in seed-tray --at sill/long --on 2024-03-01
         count 2024/1 9 --on 2024-03-10
         count 2024/1 22 --on 2024-03-14
         sow lettuce 'Plain' --seeds 30 --in seed-tray --at sill/long --on 2024-03-02
         receive leek 'Bought' --plants 12 --in seed-tray --at sill/long --on 2024-03-02",
    );
    home
}

#[test]
fn every_sowing_is_in_the_picture_and_its_name_is_text() {
    let home = sown();
    let out = home.does("germination --plot up.svg --on 2024-03-16");
    assert!(out.contains("note: up.svg shows 2 sowings"), "{out}");
    let svg = std::fs::read_to_string(home.file("up.svg")).unwrap();
    let elements = elements(&svg);
    let count = |name: &str| elements.iter().filter(|one| *one == name).count();
    // Two sowings, the plants bought in are none; a dot a count, and a band each.
    assert_eq!((elements[0].as_str(), count("svg"), count("title")), ("svg", 1, 2));
    assert_eq!((count("circle"), count("polygon")), (2, 2), "{svg}");
    assert!(svg.contains("2024/1 tomato Red &amp; &lt;Gold&gt; &quot;Six&quot;</text>"), "{svg}");
    assert!(svg.contains("2024/2 lettuce Plain</text>") && svg.contains(">1 Mar</text>"), "{svg}");
    assert!(svg.contains(">today</text>"));
}

#[test]
fn json_says_where_it_went_beside_the_rows() {
    let home = sown();
    let answer = home.json("germination --plot up.svg --on 2024-03-16");
    assert_eq!(answer["rows"].as_array().unwrap().len(), 2);
    assert_eq!(answer["notices"][0], "up.svg shows 2 sowings");
}

#[test]
fn no_file_is_written_over_and_none_is_left_empty() {
    let home = sown();
    std::fs::write(home.file("mine.svg"), "mine").unwrap();
    let refused = home.refuses("germination --plot mine.svg --on 2024-03-16");
    assert!(refused.contains("mine.svg: the file is there already"), "{refused}");
    assert_eq!(std::fs::read_to_string(home.file("mine.svg")).unwrap(), "mine");
    let refused = home.refuses("germination --plot early.svg --on 2024-02-01");
    assert!(refused.contains("nothing is sown"), "{refused}");
    assert!(!home.file("early.svg").exists());
}
