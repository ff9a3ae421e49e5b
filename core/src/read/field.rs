//! What a number in a document means: its name, unit, permitted range, usual value and reading error.

use crate::range::Range;
use crate::sheet::Grade;
use crate::units::Unit;
use serde::Serialize;

/// How far a reading of this kind may be off when the person gives one number only.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReadingError {
    /// Counts, sizes chosen, anything exact.
    None,
    /// The same number of units on both sides, 10th to 90th percentile.
    Plus(f64),
    /// A share of the value on both sides.
    Share(f64),
}

/// The value taken when the person gives none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Usual {
    /// Its range.
    pub range: Range,
    /// How far it may be trusted.
    pub grade: Grade,
    /// Keys of its sources.
    pub sources: &'static [&'static str],
}

/// When an entry is needed: where another one holds one of some words, or none of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Needed {
    /// Path of the other entry; through a list it stands for all that lies there.
    pub key: &'static str,
    /// The words; a switch is `true` or `false`.
    pub words: &'static [&'static str],
    /// Whether none of them may be there.
    pub unless: bool,
}

impl Needed {
    pub(crate) const fn when(key: &'static str, words: &'static [&'static str]) -> Self {
        Self {
            key,
            words,
            unless: false,
        }
    }

    pub(crate) const fn unless(key: &'static str, words: &'static [&'static str]) -> Self {
        Self {
            key,
            words,
            unless: true,
        }
    }
}

/// A numeric field of a plan or of a material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Field {
    /// Its path in the document, such as `room.temperature_c`.
    pub key: &'static str,
    /// Its name on the page.
    pub label: &'static str,
    /// A real example, as a person would type it in metric units.
    pub hint: &'static str,
    /// Its unit.
    pub unit: Unit,
    /// Smallest permitted value.
    pub low: f64,
    /// Largest permitted value.
    pub high: f64,
    /// How far a single reading may be off.
    pub reading_error: ReadingError,
    /// What is taken when nothing is given.
    pub usual: Option<Usual>,
    /// Whether it is read off a gauge or a scale, at a time worth noting.
    pub read_off: bool,
    /// When it is needed; always where nothing is said.
    pub needed: Option<Needed>,
}

impl Field {
    /// A field without a usual value.
    pub const fn new(
        key: &'static str,
        label: &'static str,
        hint: &'static str,
        unit: Unit,
        (low, high): (f64, f64),
        reading_error: ReadingError,
    ) -> Self {
        Self {
            key,
            label,
            hint,
            unit,
            low,
            high,
            reading_error,
            usual: None,
            read_off: false,
            needed: None,
        }
    }

    /// The range that a single typed number stands for.
    pub fn reading(&self, value: f64) -> Range {
        let off = match self.reading_error {
            ReadingError::None => 0.0,
            ReadingError::Plus(units) => units,
            ReadingError::Share(share) => value.abs() * share,
        };
        let around = Range::around(value, off);
        Range::new(around.low.max(self.low), value, around.high.min(self.high))
    }

    /// The last part of the path, the name within its group.
    pub fn name(&self) -> &'static str {
        self.key.rsplit('.').next().unwrap_or(self.key)
    }
}
