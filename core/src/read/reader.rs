//! Walks one object of a document and writes down every problem it meets.

use super::field::Field;
use super::problem::Problem;
use crate::range::Range;
use crate::units::{Unit, Units, entry, plain, typed};
use serde_json::{Map, Value};
use std::cell::RefCell;

/// Longest text taken from a document; longer names are cut, and the person is told.
const LONGEST_TEXT: usize = 200;

/// A view of one object in a document, with the list of problems that all views share.
pub(crate) struct Reader<'a> {
    path: String,
    object: Option<&'a Map<String, Value>>,
    asked: RefCell<Vec<&'static str>>,
    shared: &'a Shared,
}

/// What all readers of one document share.
#[derive(Default)]
pub(crate) struct Shared {
    pub(crate) units: std::cell::Cell<Units>,
    pub(crate) problems: RefCell<Vec<Problem>>,
    /// Paths of values that no one asked for.
    pub(crate) surplus: RefCell<Vec<String>>,
    /// Paths of values of another kind than belongs there: a word for a list, a list for a number.
    pub(crate) astray: RefCell<Vec<String>>,
}

impl<'a> Reader<'a> {
    /// A reader of a whole document.
    pub(crate) fn new(document: &'a Value, shared: &'a Shared, path: &str) -> Self {
        if !document.is_object() {
            shared.another_kind(path.to_owned(), document, "named values belong");
        }
        Self {
            path: path.to_owned(),
            object: document.as_object(),
            asked: RefCell::default(),
            shared,
        }
    }

    fn at(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    /// The raw value of a key, when there is one that is not null and not empty text.
    pub(crate) fn value(&self, key: &'static str) -> Option<&'a Value> {
        self.asked.borrow_mut().push(key);
        self.object?
            .get(key)
            .filter(|v| !v.is_null() && v.as_str().is_none_or(|s| !s.trim().is_empty()))
    }

    /// A reader of the object under `key`; an empty one when there is none.
    pub(crate) fn group(&self, key: &'static str) -> Reader<'a> {
        let value = self.value(key);
        if let Some(found) = value
            && !found.is_object()
        {
            self.another_kind(key, found, "named values belong");
        }
        Reader {
            path: self.at(key),
            object: value.and_then(Value::as_object),
            asked: RefCell::default(),
            shared: self.shared,
        }
    }

    /// A reader of any value, at a path below this one.
    pub(crate) fn below(&self, key: &str, value: &'a Value) -> Reader<'a> {
        Reader::new(value, self.shared, &self.at(key))
    }

    /// Writes down a problem with the value of `key`.
    pub(crate) fn problem(&self, key: &str, value: &Value, sentence: impl Into<String>) {
        let found = brief(value);
        self.shared
            .problems
            .borrow_mut()
            .push(Problem::new(self.at(key), found, sentence));
    }

    /// Writes down that a value is of another kind than belongs there, such as "a list belongs".
    pub(crate) fn another_kind(&self, key: &str, value: &Value, belongs: &str) {
        self.shared.another_kind(self.at(key), value, belongs);
    }

    /// Notes that a group of values or a list stands where one value belongs, or that this whole object cannot be read.
    pub(crate) fn astray(&self, key: &str, value: Option<&Value>) {
        if value.is_none_or(|value| value.is_array() || value.is_object()) {
            let at = if key.is_empty() {
                self.path.clone()
            } else {
                self.at(key)
            };
            self.shared.astray.borrow_mut().push(at);
        }
    }

    /// Writes down a problem with something that is missing.
    pub(crate) fn missing(&self, key: &str, sentence: impl Into<String>) {
        self.problem(key, &Value::Null, sentence);
    }

    /// A number or a range, `{ "low": .., "likely": .., "high": .. }`, within the field's limits.
    pub(crate) fn range(&self, field: &Field) -> Option<Range> {
        let found = self.value(field.name())?;
        if let Some(object) = found.as_object() {
            let part = |name: &str| object.get(name).and_then(|v| self.plain(field, v));
            let likely = part("likely");
            let (low, high) = (part("low"), part("high"));
            let (Some(likely), Some(low), Some(high)) = (likely, low, high) else {
                self.astray(field.name(), Some(found));
                self.problem(
                    field.name(),
                    found,
                    format!(
                        "{} needs a low, a likely and a high value, or one number.",
                        field.label
                    ),
                );
                return None;
            };
            if low > likely || likely > high {
                self.problem(
                    field.name(),
                    found,
                    format!(
                        "{} has its low, likely and high values out of order; put the smallest first.",
                        field.label
                    ),
                );
                return None;
            }
            return Some(Range::new(low, likely, high));
        }
        self.astray(field.name(), Some(found));
        self.plain(field, found).map(|x| field.reading(x))
    }

    /// The likely value of [`Reader::range`].
    pub(crate) fn number(&self, field: &Field) -> Option<f64> {
        self.range(field).map(|range| range.likely)
    }

    fn plain(&self, field: &Field, found: &Value) -> Option<f64> {
        let value = match found {
            Value::Number(n) => n.as_f64(),
            Value::String(text) => typed(text),
            _ => None,
        };
        let units = self.shared.units.get();
        let show = |x: f64| plain(field.unit.to_shown(x, units));
        let unit = spoken(field.unit, units);
        let (low, high) = (show(field.low), show(field.high));
        let sentence = match value {
            None => format!(
                "{} is a number between {low} and {high}{unit}; you typed {}.",
                field.label,
                brief(found)
            ),
            Some(x) if !(field.low..=field.high).contains(&x) => format!(
                "{} is between {low} and {high}{unit}; you typed {}.",
                field.label,
                // No one reads a hundred digits.
                if x.abs() < 1e12 {
                    show(x)
                } else {
                    format!("{x:.3e}")
                }
            ),
            Some(x) if field.unit == Unit::Count && x.fract() != 0.0 => format!(
                "{} is a whole number between {low} and {high}; you typed {}.",
                field.label,
                show(x)
            ),
            Some(x) => return Some(x),
        };
        self.shared.problems.borrow_mut().push(Problem {
            field: self.at(field.name()),
            value: brief(found),
            low: Some(field.low),
            high: Some(field.high),
            sentence,
        });
        None
    }

    /// Text, cut to a sensible length.
    pub(crate) fn text(&self, key: &'static str) -> Option<String> {
        let found = self.value(key)?;
        match found.as_str() {
            Some(text) => {
                let clean: String = text.chars().filter(|c| !c.is_control()).collect();
                if clean.chars().count() > LONGEST_TEXT {
                    self.problem(
                        key,
                        found,
                        format!("Keep this under {LONGEST_TEXT} letters."),
                    );
                }
                Some(clean.trim().chars().take(LONGEST_TEXT).collect())
            }
            None => {
                self.astray(key, Some(found));
                self.problem(key, found, "Put words here, in quotation marks.");
                None
            }
        }
    }

    /// Yes or no.
    pub(crate) fn switch(&self, key: &'static str, label: &str) -> Option<bool> {
        let found = self.value(key)?;
        let answer = found.as_bool();
        self.astray(key, Some(found));
        if answer.is_none() {
            self.problem(
                key,
                found,
                format!(
                    "\"{label}\" is yes or no: write true or false; you typed {}.",
                    brief(found)
                ),
            );
        }
        answer
    }

    /// One of a few words.
    pub(crate) fn choice(
        &self,
        key: &'static str,
        label: &str,
        words: &[&'static str],
    ) -> Option<&'static str> {
        let found = self.value(key)?;
        let chosen = found
            .as_str()
            .and_then(|text| words.iter().find(|w| **w == text).copied());
        self.astray(key, Some(found));
        if chosen.is_none() {
            self.problem(
                key,
                found,
                format!(
                    "\"{label}\" is one of {}; you typed {}.",
                    listed(words),
                    brief(found)
                ),
            );
        }
        chosen
    }

    /// Writes down the keys that were in the object but that no one asked for.
    pub(crate) fn finish(self) {
        let mut surplus = self.shared.surplus.borrow_mut();
        surplus.extend(self.surplus().map(|(key, _)| self.at(key)));
    }

    /// What is in the object but has not been asked for.
    pub(crate) fn surplus(&self) -> impl Iterator<Item = (&'a String, &'a Value)> {
        let asked = self.asked.borrow().clone();
        self.entries()
            .filter(move |(key, _)| !asked.contains(&key.as_str()))
    }

    /// Keys of the object, for tables whose keys people choose.
    pub(crate) fn entries(&self) -> impl Iterator<Item = (&'a String, &'a Value)> {
        self.object.into_iter().flatten()
    }
}

impl Shared {
    fn another_kind(&self, at: String, value: &Value, belongs: &str) {
        let found = brief(value);
        let sentence = format!("{} holds {found}, where {belongs}.", spot(&at));
        self.problems
            .borrow_mut()
            .push(Problem::new(at.as_str(), found, sentence));
        self.astray.borrow_mut().push(at);
    }
}

/// A place in a document as a person would call it.
fn spot(path: &str) -> String {
    const ROWS: [(&str, &str); 7] = [
        ("stack.", "Row"),
        ("fill.lines.", "Line"),
        ("fill.zones.", "Zone"),
        ("fill.front.", "Mark of the front"),
        ("bag.test.", "Reading of the gauge"),
        ("dry.weighings.", "Weighing"),
        ("", "This"),
    ];
    // The page says which entry of the shop's own it is.
    if path.starts_with("own.") {
        return "It".into();
    }
    let named = |(start, name): &(&str, &str)| {
        let rest = path.strip_prefix(start)?;
        Some(match rest.parse::<usize>() {
            Ok(row) => format!("{name} {}", row + 1),
            Err(_) if rest.is_empty() => (*name).to_owned(),
            Err(_) => format!("`{path}`"),
        })
    };
    ROWS.iter().find_map(named).unwrap_or_default()
}

/// A value as a person would recognise it in a sentence, never longer than a line.
fn brief(value: &Value) -> String {
    match value {
        Value::Null => "nothing".into(),
        Value::String(text) => {
            let short: String = text.chars().filter(|c| !c.is_control()).take(40).collect();
            if short.trim().is_empty() {
                "nothing".into()
            } else {
                short
            }
        }
        Value::Number(n) => n.as_f64().map_or_else(String::new, entry),
        Value::Bool(true) => "yes".into(),
        Value::Bool(false) => "no".into(),
        Value::Array(_) => "a list".into(),
        Value::Object(_) => "a group of values".into(),
    }
}

/// The unit after a number in a sentence, with its space: " mm", " percent".
fn spoken(unit: Unit, units: Units) -> String {
    match unit.symbol_in(units) {
        "" => String::new(),
        "%" => " percent".into(),
        symbol => format!(" {symbol}"),
    }
}

/// "a, b or c".
pub(super) fn listed(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}
