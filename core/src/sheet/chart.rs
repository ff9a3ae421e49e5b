//! A chart as the page draws it and reads it aloud: lines, bands and marks in the reader's units, and the same as a table.

use serde::Serialize;

/// A chart. All numbers are in the reader's units, because they are there to be drawn.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Chart {
    /// What is drawn.
    pub label: &'static str,
    /// The chart in words.
    pub sentence: String,
    /// What runs from left to right.
    pub across: Axis,
    /// What runs upwards.
    pub up: Axis,
    /// Ranges, drawn behind all else.
    pub bands: Vec<Band>,
    /// Curves.
    pub lines: Vec<Line>,
    /// Single points: readings, and where the cloth is now.
    pub marks: Vec<Mark>,
    /// Level lines: a target, a floor, saturation.
    pub levels: Vec<Level>,
    /// The same in figures.
    pub table: Grid,
}

/// One axis.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Axis {
    /// What it counts.
    pub label: &'static str,
    /// In which unit.
    pub unit: &'static str,
}

/// A closed outline.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Band {
    /// What it stands for.
    pub name: String,
    /// Its corners, across and up.
    pub outline: Vec<[f64; 2]>,
}

/// A curve.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// What it stands for.
    pub name: String,
    /// Whether it is the likely one; the others are drawn broken.
    pub likely: bool,
    /// Its points, across and up.
    pub points: Vec<[f64; 2]>,
}

/// A point.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mark {
    /// What is written beside it; may be empty.
    pub name: String,
    /// Where, across and up.
    pub at: [f64; 2],
    /// Whether it stands far off the others: mistyped?
    pub doubtful: bool,
}

/// A level line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Level {
    /// What it stands for.
    pub name: String,
    /// How high.
    pub up: f64,
}

/// Figures in rows and columns; the first column names the row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Grid {
    /// What the columns hold.
    pub heads: Vec<String>,
    /// The rows.
    pub rows: Vec<Vec<String>>,
}
