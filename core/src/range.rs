//! A number that nature or a reading makes uncertain: low, likely and high.

use serde::Serialize;

/// Low, likely and high: the 10th, 50th and 90th percentile, in the unit of the field that holds it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Range {
    /// One in ten is below this.
    pub low: f64,
    /// As often above as below.
    pub likely: f64,
    /// One in ten is above this.
    pub high: f64,
}

impl Range {
    /// A range from its three numbers; they are put in order so that low <= likely <= high always holds.
    pub fn new(low: f64, likely: f64, high: f64) -> Self {
        Self {
            low: low.min(likely),
            likely,
            high: high.max(likely),
        }
    }

    /// A number without a range.
    pub fn exact(value: f64) -> Self {
        Self::new(value, value, value)
    }

    /// A reading that may be off by as much on both sides.
    pub fn around(value: f64, off: f64) -> Self {
        Self::new(value - off.abs(), value, value + off.abs())
    }

    /// Whether there is no range at all.
    pub fn is_exact(&self) -> bool {
        self.low == self.high
    }

    /// The same range with each number sent through `f`, which must keep or reverse their order.
    pub fn map(&self, f: impl Fn(f64) -> f64) -> Self {
        let (a, b) = (f(self.low), f(self.high));
        Self::new(a.min(b), f(self.likely), a.max(b))
    }
}
