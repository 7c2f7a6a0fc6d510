//! What holds for every text.

use proptest::prelude::*;

use super::*;
use crate::journal::MOST;
use crate::quantity::is_hidden;

fn is_fit_to_show(error: &GrammarError) -> bool {
    let fit = |text: &str| !text.chars().any(is_hidden) && text.chars().count() <= 330;
    !error.message.is_empty() && fit(&error.message) && fit(&error.hint)
}

proptest! {
    #[test]
    fn no_line_can_stop_the_parser(line in any::<String>()) {
        if let Err(error) = parse_line(&line, today()) {
            prop_assert!(is_fit_to_show(&error), "{error:?}");
        }
    }

    #[test]
    fn no_words_can_stop_the_parser(
        verb in prop::sample::select(overview::GROUPS.iter().flat_map(|(_, verbs)| verbs.to_vec()).collect::<Vec<_>>()),
        rest in prop::collection::vec(
            prop_oneof![
                any::<String>(),
                "-{0,3}[a-z0-9./~x]{0,8}",
                prop::sample::select(vec![
                    "14", "14a", "-2", "--", "-", "--on", "-3d", "--in", "--at", "frame/left", "--seeds", "--min",
                    "add", "set", "resize", "on", "tomato", "--share", "--count", "", "\u{1b}[2J", "--help", "x99999999999",
                ]).prop_map(str::to_owned),
            ],
            0..6,
        ),
    ) {
        let words: Vec<String> = std::iter::once(verb.to_owned()).chain(rest).collect();
        if let Err(error) = parse(&words, today()) {
            prop_assert!(is_fit_to_show(&error), "{error:?}");
        }
    }

    #[test]
    fn references_are_read_as_they_are_written(
        year in prop::option::of(1900..=2999_i32), number in 1..=u32::MAX, letter in prop::option::of(0..18_278_u16),
        twin in prop::option::of(1..=u32::MAX),
    ) {
        let batch = BatchRef { year, number, twin };
        prop_assert_eq!(batch.to_string().parse(), Ok(batch));
        let part = PartRef { batch, letter: letter.map(crate::quantity::PartLetter) };
        prop_assert_eq!(part.to_string().parse(), Ok(part));
    }

    #[test]
    fn a_multiplier_is_the_digits_after_the_last_x(kind in "[a-z0-9][a-z0-9 -]{0,10}[a-z]", times in 1..=1000_u32) {
        for text in [format!("{kind}x{times}"), format!("{kind} x{times}"), format!("{kind}-x{times}")] {
            let read: ContainerWords = text.parse().unwrap();
            prop_assert_eq!(read, ContainerWords { name: name(&kind), times: Some(times) });
        }
        let plain: ContainerWords = kind.parse().unwrap();
        prop_assert_eq!(plain, ContainerWords { name: name(&kind), times: None });
    }

    #[test]
    fn numbers_in_range_are_counts(up in 0..=MOST) {
        let line = format!("count 14 {up}");
        let counted = Request::Count { part: part("14"), observed: seen(Some(up), None, None), sure: Sure::No };
        prop_assert_eq!(act(&line), counted);
        let line = format!("count 14 -{up}");
        let missing = Request::Count { part: part("14"), observed: seen(None, None, Some(up)), sure: Sure::No };
        prop_assert_eq!(act(&line), missing);
    }
}
