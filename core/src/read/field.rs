//! What a number in a document means: its name, unit, permitted range, usual value and play.

use crate::range::Range;
use crate::sheet::Grade;
use crate::units::Unit;

/// How far a reading of this kind may be off when the person gives one number only.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Play {
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
    /// The play of a single reading.
    pub play: Play,
    /// What is taken when nothing is given.
    pub usual: Option<Usual>,
}

impl Field {
    /// A field without a usual value.
    pub const fn new(
        key: &'static str,
        label: &'static str,
        hint: &'static str,
        unit: Unit,
        (low, high): (f64, f64),
        play: Play,
    ) -> Self {
        Self {
            key,
            label,
            hint,
            unit,
            low,
            high,
            play,
            usual: None,
        }
    }

    /// The range that a single typed number stands for.
    pub fn reading(&self, value: f64) -> Range {
        let play = match self.play {
            Play::None => 0.0,
            Play::Plus(units) => units,
            Play::Share(share) => value.abs() * share,
        };
        let around = Range::around(value, play);
        Range::new(around.low.max(self.low), value, around.high.min(self.high))
    }

    /// The last part of the path, the name within its group.
    pub fn name(&self) -> &'static str {
        self.key.rsplit('.').next().unwrap_or(self.key)
    }
}
