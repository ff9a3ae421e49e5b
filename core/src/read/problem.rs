//! Something in a document that cannot be used as it stands, with the way forward.

use serde::Serialize;

/// One problem: where, what was there, what is permitted, and a sentence for the person.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Problem {
    /// Path of the field, such as `room.humidity_pct` or `stack.0.count`.
    pub field: String,
    /// What was found there, as text.
    pub value: String,
    /// Smallest permitted value, in the field's own unit.
    pub low: Option<f64>,
    /// Largest permitted value, in the field's own unit.
    pub high: Option<f64>,
    /// What to do, in one sentence.
    pub sentence: String,
}

impl Problem {
    /// A problem without a permitted range.
    pub fn new(
        field: impl Into<String>,
        value: impl Into<String>,
        sentence: impl Into<String>,
    ) -> Self {
        Self {
            field: field.into(),
            value: value.into(),
            low: None,
            high: None,
            sentence: sentence.into(),
        }
    }
}
