//! Where the front was seen, and when.

use crate::read::{Field, Reader, ReadingError};
use crate::units::Unit;

const MINUTE: Field = Field::new(
    "front.min",
    "Minutes since the feed was opened",
    "4",
    Unit::Minute,
    (0.0, 10_000.0),
    ReadingError::None,
);
const FAR: Field = Field::new(
    "front.mm",
    "How far the front had come",
    "120",
    Unit::Millimetre,
    (1.0, 20_000.0),
    ReadingError::None,
);

/// Where the front was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seen {
    /// So far from the feed [m].
    Far(f64),
    /// At a point of the part [m].
    At([f64; 3]),
    /// Everywhere: the part was full.
    Everywhere,
}

/// The front as somebody saw it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// Minutes since the feed was opened.
    pub minute: f64,
    /// Where it was.
    pub seen: Seen,
}

impl Mark {
    pub(super) fn read(reader: &Reader<'_>) -> Option<Self> {
        let (minute, far) = (reader.number(&MINUTE), reader.number(&FAR));
        let ended = reader.switch("ended", "The part was full").unwrap_or(false);
        let at = reader.value("at_mm").filter(|at| !at.is_null());
        let point = at.and_then(super::drawn::corner);
        if at.is_some() && point.is_none() {
            reader.astray("", None);
            reader.missing(
                "at_mm",
                "A place needs x and y in millimetres, for example [300, 120].",
            );
            return None;
        }
        let seen = if ended {
            Some(Seen::Everywhere)
        } else {
            let far = far.map(|mm| Seen::Far(mm / 1000.0));
            point.map(Seen::At).or(far)
        };
        if minute.is_none() || seen.is_none() {
            reader.missing(
                "mm",
                "A mark needs two values: the minute, and how far the front had come.",
            );
        }
        Some(Self {
            minute: minute?,
            seen: seen?,
        })
    }
}
