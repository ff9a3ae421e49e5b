//! Every entry of a plan, declared once: a row for each number, switch, choice and log, in the order of the page.
//!
//! The reader checks against the rows, the stages ask by them, and the page builds its form from them.

mod back;
mod bag;
mod cure;
mod day;
mod dry;
mod fill;
mod load;
mod mix;
mod repeated;
mod row;
mod stack;
mod suit;
mod ticket;
mod trim;

pub use back::*;
pub use bag::*;
pub use cure::*;
pub use day::*;
pub use dry::*;
pub use fill::*;
pub use load::*;
pub use mix::*;
pub use repeated::*;
pub use row::{OneOf, OneOrNone, Other, Shelved, Switch};
pub use stack::*;
pub use suit::*;
pub use ticket::*;
pub use trim::*;

pub(crate) use row::{Ask, Group, Heading, Kind};

use crate::read::Field;

/// Declares the rows of one file: a constant each, and the list of them with their places.
macro_rules! rows {
    ($($place:expr => {
        $($name:ident: $kind:ty = $make:ident($key:literal, $label:literal $(, $part:expr)*) $(.$with:ident $more:tt)*;)*
    })*) => {
        $($(
            #[doc = concat!("`", $key, "`: ", $label, ".")]
            pub const $name: $kind = $make($key, $label $(, $part)*) $(.$with $more)*;
        )*)*

        pub(super) const GROUPS: &[Group] = &[$(Group {
            place: $place,
            rows: &[$(&(&$name as &'static $kind)),*],
        }),*];
    };
}
use rows;

/// The form, stage by stage in shop order.
const FORM: [&[Group]; 12] = [
    ticket::GROUPS,
    suit::GROUPS,
    stack::GROUPS,
    load::GROUPS,
    back::GROUPS,
    bag::GROUPS,
    dry::GROUPS,
    mix::GROUPS,
    fill::GROUPS,
    cure::GROUPS,
    trim::GROUPS,
    day::GROUPS,
];

/// Every group of rows, and those that stand in a plan many times.
pub(crate) fn groups() -> impl Iterator<Item = &'static Group> {
    FORM.into_iter().chain([repeated::GROUPS]).flatten()
}

fn numbers(groups: &'static [Group]) -> impl Iterator<Item = &'static Field> {
    let rows = groups.iter().flat_map(|group| group.rows);
    rows.filter_map(|row| match row.ask() {
        Ask::Number(field) => Some(field),
        _ => None,
    })
}

/// Every numeric field that a plan holds once.
pub fn all() -> impl Iterator<Item = &'static Field> {
    FORM.into_iter().flat_map(numbers)
}

/// The field with this key.
pub fn field(key: &str) -> Option<&'static Field> {
    let mut known = all().chain(numbers(repeated::GROUPS));
    known.find(|field| field.key == key)
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop loudly"
)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// The words that the document may hold for a row.
    fn words_of(ask: Ask) -> (Heading, Vec<&'static str>) {
        match ask {
            Ask::Words { head, words, .. } => {
                (head, words.into_iter().map(|(word, _)| word).collect())
            }
            Ask::Switch(head, _) => (head, vec!["true", "false"]),
            Ask::Shelved(head, _) | Ask::Other(head, _) => (head, Vec::new()),
            Ask::Number(field) => {
                let head = Heading {
                    key: field.key,
                    label: field.label,
                    hint: "",
                    needed: field.needed,
                };
                (head, Vec::new())
            }
        }
    }

    #[test]
    fn every_place_of_a_plan_is_asked_for_once_and_only_where_another_can_make_it_needed() {
        let all = || groups().flat_map(|group| group.rows.iter().map(|row| words_of(row.ask())));
        let keys: BTreeSet<&str> = all().map(|(head, _)| head.key).collect();
        assert_eq!(keys.len(), all().count());
        assert!(keys.len() > 170, "{}", keys.len());
        let mut ruled = 0;
        for (head, _) in all() {
            let Some(needed) = head.needed else { continue };
            ruled += 1;
            let words = match needed.key {
                // The drawing asks these.
                "fill.lines.does" => vec!["feed", "vent"],
                "part.shape.form" => crate::shape::SHAPE_FORMS.to_vec(),
                key => all().find(|(other, _)| other.key == key).unwrap().1,
            };
            assert!(!needed.words.is_empty(), "{}", head.key);
            for word in needed.words {
                assert!(words.contains(word), "{} asks for {word}", head.key);
            }
        }
        assert!(ruled > 10, "{ruled}");
    }

    #[test]
    fn a_row_says_what_it_is_called_and_an_example_where_it_is_a_number() {
        for group in groups() {
            for row in group.rows {
                let ask = row.ask();
                if let Ask::Number(field) = ask {
                    let example = crate::units::typed(field.hint).unwrap();
                    assert!((field.low..=field.high).contains(&example), "{}", field.key);
                    if let Some(usual) = field.usual {
                        assert!(field.low <= usual.range.low && usual.range.high <= field.high);
                    }
                }
                let (head, _) = words_of(ask);
                assert!(
                    head.label.starts_with(char::is_uppercase),
                    "{}: {}",
                    head.key,
                    head.label
                );
            }
        }
    }
}
