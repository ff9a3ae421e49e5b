//! One figure on the sheet: low, likely and high, what it rests on, and what to measure first.

use super::source::Basis;
use super::wide::in_words;
use crate::range::Range;
use crate::units::{Unit, Units, join_unit, place_for, plain, rounded};
use serde::Serialize;

/// A figure with its range.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Estimate {
    /// 10th percentile.
    pub low: f64,
    /// The value with every input at its median.
    pub likely: f64,
    /// 90th percentile.
    pub high: f64,
    /// Nine values that split what it may come out at into tenths.
    #[serde(skip)]
    pub tenths: [f64; 9],
    /// Metric unit of the three numbers.
    pub unit: &'static str,
    /// What it is, in words.
    pub label: &'static str,
    /// The same as text in the reader's units.
    pub shown: Shown,
    /// What it rests on.
    pub basis: Basis,
    /// The equation or rule behind it, in one line.
    pub law: &'static str,
    /// Keys of the law's sources.
    pub sources: Vec<&'static str>,
    /// The inputs it used, by their places in the list of the sheet.
    pub inputs: Vec<u16>,
    /// The inputs that explain most of its range, the strongest first: measure the first one first.
    pub drivers: Vec<Driver>,
    /// Whether this job has no such thing, such as a pressure without a bag; the value is nought then.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub absent: bool,
}

impl Estimate {
    /// A figure of something that this job has only where that holds.
    pub(crate) fn only_if(self, there: bool) -> Self {
        Self {
            absent: !there,
            ..self
        }
    }
}

/// An input that drives a range.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Driver {
    /// The input, by its place in the list of the sheet.
    pub input: u16,
    /// Share of the variance it explains, between 0 and 1, by rank correlation.
    pub share: f64,
}

/// A range as text in the reader's units.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shown {
    /// The likely value.
    pub likely: String,
    /// Low and high, "2.5 to 3.3"; in words where they are over a factor of ten apart, empty when there is no range.
    pub range: String,
    /// The low end alone.
    #[serde(skip)]
    pub low: String,
    /// The unit.
    pub unit: &'static str,
    /// Low, likely and high as shares of the whisker's length, between 0 and 1.
    pub whisker: [f64; 3],
}

/// From this many minutes on, hours are shown.
pub(super) const LONG_WAIT: f64 = 180.0;

impl Shown {
    pub(crate) fn of(range: Range, unit: Unit, units: Units) -> Self {
        // Long waits read better in hours.
        let (unit, range) = if unit == Unit::Minute && range.likely >= LONG_WAIT {
            (Unit::Hour, range.map(|x| x / 60.0))
        } else {
            (unit, range)
        };
        let shown = range.map(|x| unit.to_shown(x, units));
        let half = (shown.high - shown.low) / 2.0;
        // What is weighed or poured keeps three figures, so that the parts still add up.
        let figures = match unit {
            Unit::Gram | Unit::Millilitre if shown.likely >= 100.0 => 3,
            _ => 2,
        };
        let place = match unit {
            Unit::Count => 0,
            _ => place_for(shown.likely, half, figures),
        };
        // Powers of ten only for permeability and bare coefficients; a trace of anything else is rounded away.
        let powers = matches!(unit, Unit::Permeability | Unit::One);
        let text = |x: f64| {
            let x = if !powers && x.abs() < 1e-3 {
                (x * 1e4).round() / 1e4
            } else {
                x
            };
            if half > 0.0 {
                rounded(x, place)
            } else if unit == Unit::Gram {
                rounded(x, place_for(x, 0.0, 4).max(place_for(x, x, 3)))
            } else {
                plain(x)
            }
        };
        let (low, high) = (text(shown.low), text(shown.high));
        let symbol = unit.symbol_in(units);
        // Drawn from zero, so that the length of the whisker can be compared with the size of the value.
        let full = nice_ceiling(shown.high.abs().max(shown.low.abs()));
        let place = |x: f64| (x / full).clamp(0.0, 1.0);
        Self {
            likely: text(shown.likely),
            range: if low == high {
                String::new()
            } else {
                in_words(&low, &high, unit, symbol).unwrap_or_else(|| format!("{low} to {high}"))
            },
            low,
            unit: symbol,
            whisker: [place(shown.low), place(shown.likely), place(shown.high)],
        }
    }

    /// The likely value with its unit, "2.9 mm".
    pub fn with_unit(&self) -> String {
        join_unit(&self.likely, self.unit)
    }

    /// The range with its unit, "2.5 to 3.3 mm"; words name their own.
    pub(crate) fn range_with_unit(&self) -> String {
        if self.range.starts_with("from ") || self.range.starts_with("between ") {
            return self.range.clone();
        }
        join_unit(&self.range, self.unit)
    }
}

/// The next 1, 2 or 5 times a power of ten at or above `x`.
fn nice_ceiling(x: f64) -> f64 {
    if !(x > 0.0 && x.is_finite()) {
        return 1.0;
    }
    let decade = 10_f64.powf(x.log10().floor());
    // A power of ten may come out a hair short, and not the same hair everywhere.
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|step| step * decade)
        .find(|&top| top >= x * (1.0 - 1e-9))
        .unwrap_or(x)
}
