//! The picture of a file: every loop or face that may be the part, for a tap, and the same in words.

use super::wish::{LengthUnit, Pick, Up};
use serde::Serialize;

/// What a loop or a face is, as chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// The part, or a piece of it.
    Part,
    /// Cut out of the part.
    Hole,
    /// Left out.
    Other,
}

/// A loop or a face.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Area {
    /// Its key in a pick.
    pub key: String,
    /// Its edge as the data of an SVG path, even-odd, in units of the picture.
    pub path: String,
    /// What it is.
    pub role: Role,
    /// It in words: area and size.
    pub words: String,
    /// What is picked once it is tapped as the part.
    pub as_part: Pick,
    /// What is picked once it is tapped as a hole, or as none any more; none where it lies in no part.
    pub as_hole: Option<Pick>,
}

/// A choice with its words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice<T> {
    /// What is chosen.
    pub value: T,
    /// Its name.
    pub name: &'static str,
}

/// A side of the part that can be measured.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Side {
    /// Its name.
    pub name: &'static str,
    /// How long it is as it is read [mm]; none where nobody knows the unit.
    pub mm: Option<f64>,
}

/// The picture of a file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Picture {
    /// Width and height in its own units.
    pub size: [f64; 2],
    /// Loops or faces, in the order in which they are laid on one another.
    pub areas: Vec<Area>,
    /// Whether several faces together may be the part.
    pub many: bool,
    /// What to do with it.
    pub says: &'static str,
    /// The units that one of the file may be.
    pub units: Vec<Choice<LengthUnit>>,
    /// The one it is read in, where that is one of them.
    pub unit: Option<LengthUnit>,
    /// The sides that can be measured.
    pub sides: Vec<Side>,
    /// The sides that may face up; none of a flat part.
    pub ups: Vec<Choice<Up>>,
}

/// Width of a picture.
pub(super) const WIDE: f64 = 1000.0;

/// A frame that takes what lies between two corners to the picture, y down.
pub(super) struct Frame {
    low: [f64; 2],
    scale: f64,
    pub(super) size: [f64; 2],
}

impl Frame {
    pub(super) fn of(low: [f64; 2], high: [f64; 2]) -> Self {
        let size = [high[0] - low[0], high[1] - low[1]];
        // A tall one is drawn narrower, so that a phone shows all of it.
        let scale = WIDE / size[0].max(size[1]).max(1e-9);
        Self {
            low,
            scale,
            size: size.map(|x| (x * scale).max(1.0)),
        }
    }

    pub(super) fn at(&self, p: [f64; 2]) -> [f64; 2] {
        [
            (p[0] - self.low[0]) * self.scale,
            self.size[1] - (p[1] - self.low[1]) * self.scale,
        ]
    }

    /// One closed line as path data, to a tenth of a unit.
    pub(super) fn path(&self, points: impl Iterator<Item = [f64; 2]>) -> String {
        let mut path = String::new();
        let mut before = None;
        for p in points {
            let [x, y] = self.at(p).map(|x| (x * 10.0).round() / 10.0 + 0.0);
            if before == Some([x, y]) {
                continue;
            }
            path += if before.is_none() { "M" } else { "L" };
            path += &format!("{x} {y}");
            before = Some([x, y]);
        }
        path + "Z"
    }
}

/// The units that a file may be in.
pub(super) fn units(all: &[LengthUnit]) -> Vec<Choice<LengthUnit>> {
    all.iter()
        .map(|&value| Choice {
            value,
            name: value.name(),
        })
        .collect()
}
