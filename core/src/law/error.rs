//! What a law says when it is asked outside its range.

use std::fmt;

/// A law was asked for something it cannot answer.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum LawError {
    /// An argument lies outside the range the law is valid for. Boxed, because it travels through every law.
    OutOfRange(Box<OutOfRange>),
    /// The numerical solution did not come to an end.
    Unsolved {
        /// What was being computed.
        what: &'static str,
    },
}

/// The argument, its value and the permitted range, in the law's own unit.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfRange {
    /// The argument's name.
    pub field: &'static str,
    /// Its value.
    pub value: f64,
    /// Smallest permitted value.
    pub low: f64,
    /// Largest permitted value.
    pub high: f64,
}

impl fmt::Display for LawError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange(out) => {
                let [value, low, high] = [out.value, out.low, out.high].map(crate::units::entry);
                write!(
                    f,
                    "{} is between {low} and {high}; it was {value}",
                    out.field
                )
            }
            Self::Unsolved { what } => write!(f, "{what} could not be computed for these values"),
        }
    }
}

impl std::error::Error for LawError {}

/// `value` itself when it lies between `low` and `high`, ends included; NaN never does.
///
/// low <= value <= high
///
/// # Returns
/// The value [its own unit].
/// # Valid for
/// Any three numbers in one unit.
/// # Errors
/// [`LawError::OutOfRange`] naming `field`, the value and the range.
/// # Example
/// ```
/// use bastwork::law::within;
/// assert_eq!(within("share", 0.3, 0.0, 1.0), Ok(0.3));
/// let why = within("share", 1.3, 0.0, 1.0).unwrap_err();
/// assert_eq!(why.to_string(), "share is between 0 and 1; it was 1.3");
/// ```
/// # Source
/// Definition.
pub fn within(field: &'static str, value: f64, low: f64, high: f64) -> Result<f64, LawError> {
    if value >= low && value <= high {
        Ok(value)
    } else {
        Err(out_of_range(field, value, low, high))
    }
}

#[cold]
pub(super) fn out_of_range(field: &'static str, value: f64, low: f64, high: f64) -> LawError {
    LawError::OutOfRange(Box::new(OutOfRange {
        field,
        value,
        low,
        high,
    }))
}

/// `value` itself when it is finite and greater than zero.
///
/// 0 < value < infinity
///
/// # Returns
/// The value [its own unit].
/// # Valid for
/// Any number.
/// # Errors
/// [`LawError::OutOfRange`] naming `field` and the value.
/// # Example
/// ```
/// use bastwork::law::positive;
/// assert_eq!(positive("mass", 0.3), Ok(0.3));
/// assert!(positive("mass", 0.0).is_err() && positive("mass", f64::NAN).is_err());
/// ```
/// # Source
/// Definition.
pub fn positive(field: &'static str, value: f64) -> Result<f64, LawError> {
    within(field, value, f64::MIN_POSITIVE, f64::MAX)
}
