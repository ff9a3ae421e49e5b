//! What a law says when it is asked outside its range.

use std::fmt;

/// A law was asked for something it cannot answer.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum LawError {
    /// An argument lies outside the range the law is valid for.
    OutOfRange {
        /// The argument's name.
        field: &'static str,
        /// Its value, in the law's own unit.
        value: f64,
        /// Smallest permitted value.
        low: f64,
        /// Largest permitted value.
        high: f64,
    },
    /// The numerical solution did not come to an end.
    Unsolved {
        /// What was being computed.
        what: &'static str,
    },
}

impl fmt::Display for LawError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange {
                field,
                value,
                low,
                high,
            } => {
                let [value, low, high] = [value, low, high].map(|x| crate::units::entry(*x));
                write!(f, "{field} is between {low} and {high}; it was {value}")
            }
            Self::Unsolved { what } => write!(f, "{what} could not be computed for these values"),
        }
    }
}

impl std::error::Error for LawError {}

/// `value` itself when it lies between `low` and `high`, ends included; NaN never does.
pub fn within(field: &'static str, value: f64, low: f64, high: f64) -> Result<f64, LawError> {
    if value >= low && value <= high {
        Ok(value)
    } else {
        Err(LawError::OutOfRange {
            field,
            value,
            low,
            high,
        })
    }
}

/// `value` itself when it is finite and greater than zero.
pub fn positive(field: &'static str, value: f64) -> Result<f64, LawError> {
    within(field, value, f64::MIN_POSITIVE, f64::MAX)
}
