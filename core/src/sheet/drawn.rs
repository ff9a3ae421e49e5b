//! The drawn fill in words and figures: what the picture shows, for everybody.

use super::{Note, Reach};
use crate::range::Range;
use serde::Serialize;

/// A figure with its name.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fact {
    /// What it is.
    pub label: String,
    /// Its likely value, with unit.
    pub text: String,
    /// Its range; may be empty.
    pub range: String,
}

/// Where something is, and a sentence about it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Place {
    /// Where [mm].
    pub at: [f64; 3],
    /// What is there.
    pub sentence: String,
}

/// A table in words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FillTable {
    /// What it tells.
    pub caption: String,
    /// Heads of its columns.
    pub head: Vec<String>,
    /// Its rows.
    pub rows: Vec<Vec<String>>,
}

/// Where the front stands at one time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FrontLine {
    /// Minutes since the feed was opened.
    pub min: f64,
    /// The same as text.
    pub text: String,
    /// Lines in space, x, y and z one after another [mm].
    pub strokes: Vec<Vec<f64>>,
}

/// The drawn fill.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrawnFill {
    /// One sentence.
    pub answer: String,
    /// Whether resin gets everywhere before it gels.
    pub reach: Reach,
    /// Time to fill.
    pub time: Fact,
    /// Gel in the part.
    pub gel: Fact,
    /// Where resin comes last.
    pub last: Option<Place>,
    /// Area of the part.
    pub area: Fact,
    /// The same in square metres, for the plan.
    pub area_m2: f64,
    /// The run along a strip that takes as long, for the plan [mm].
    pub run_mm: f64,
    /// Other figures.
    pub facts: Vec<Fact>,
    /// By then.
    pub table: FillTable,
    /// Lines of equal time.
    pub levels: Vec<FrontLine>,
    /// Edges of the part, x, y and z one after another [mm].
    pub edges: Vec<Vec<f64>>,
    /// Feeds as they came to lie.
    pub feeds: Vec<Vec<f64>>,
    /// Vents likewise.
    pub vents: Vec<Vec<f64>>,
    /// Sentences for a person.
    pub notes: Vec<Note>,
}

/// The answer to a line that is being dragged.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct QuickFill {
    /// One sentence.
    pub answer: String,
    /// The time to fill, as text.
    pub time_text: String,
    /// Its range, as text.
    pub time_range: String,
    /// Whether resin gets everywhere before it gels.
    pub reach: Reach,
    /// Where it comes last [mm].
    pub last: [f64; 3],
    /// The time to fill [min].
    pub likely_min: f64,
}

/// A line as a plan holds it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LaidLine {
    /// `feed` or `vent`.
    pub does: &'static str,
    /// Its corners [mm].
    pub points_mm: Vec<[f64; 3]>,
}

/// One way to feed a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Layout {
    /// What it is.
    pub title: String,
    /// Why it is among the best.
    pub why: String,
    /// Its lines.
    pub lines: Vec<LaidLine>,
    /// Whether a flow mesh lies on the whole part.
    pub flow_mesh: bool,
    /// Time to fill, as text.
    pub time_text: String,
    /// Its range.
    pub time_range: String,
    /// Whether resin gets everywhere before it gels.
    pub reach: Reach,
    /// Length of feed line, as text.
    pub tube_text: String,
}

/// The best ways to feed a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Layouts {
    /// What was tried, and what came of it.
    pub sentence: String,
    /// How many were tried.
    pub tried: usize,
    /// How often the part was filled for that.
    pub solved: usize,
    /// The best three.
    pub best: Vec<Layout>,
}

/// What fronts that were watched say of the cloth.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Watched {
    /// What they say, or why they say nothing to keep.
    pub sentence: String,
    /// When the part is full, by the pace of the marks.
    pub full: Option<Fact>,
    /// The cloth's own permeability, to be kept on the shelf.
    pub cloths: Vec<OwnCloth>,
}

/// A cloth with its own permeability.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OwnCloth {
    /// Key of the cloth.
    pub key: String,
    /// Its name.
    pub name: String,
    /// Permeability, as text.
    pub text: String,
    /// Its range, as text.
    pub range: String,
    /// The same [m2].
    pub value: Range,
    /// Whether the shelf holds just this.
    pub kept: bool,
}
