//! Drying beyond its figures: the curve, the ways side by side, waiting times, and the maker's weighings.

use super::deep::Cell;
use super::estimate::Estimate;
use serde::Serialize;

/// One way to dry the cloth, beside the others.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Way {
    /// A short word for it.
    pub key: &'static str,
    /// What is done.
    pub name: String,
    /// Whether the plan says so.
    pub this: bool,
    /// Time to the target; none where it is never reached.
    pub time: Option<Cell>,
    /// Water left after the time stated, or the driest that can be had.
    pub reaches: Cell,
    /// What that time is, in words.
    pub after: String,
    /// What holds it back, and what it asks for.
    pub held_back: String,
}

/// How long dried cloth may wait.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wait {
    /// How it lies.
    pub name: &'static str,
    /// Time until it is too wet again.
    pub time: Cell,
}

/// What a published test found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// What it found.
    pub says: &'static str,
    /// Key of its source.
    pub source: &'static str,
}

/// What the maker's own weighings tell.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Weighed {
    /// What they say, and what to do.
    pub sentence: String,
    /// Water left at the last weighing.
    pub now_pct: Estimate,
    /// Time left from the last weighing.
    pub left_min: Estimate,
    /// Dry mass of the cloth on the scale.
    pub dry_mass_g: Estimate,
    /// Each weighing, in the order of the plan.
    pub lines: Vec<WeighedLine>,
}

/// One weighing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeighedLine {
    /// When.
    pub minute: String,
    /// What the scale showed, without the tray.
    pub mass: String,
    /// Water in the cloth by then.
    pub regain: String,
    /// What was expected from all weighings together.
    pub expected: String,
    /// Whether it stands far off the others: mistyped?
    pub doubtful: bool,
}
