//! Reads the lines of a DXF drawing written as text.
//!
//! The file is a list of pairs: a line with a whole number that says what follows, and a line with the value. What is
//! drawn stands in the section of entities; blocks hold what is drawn more than once. A reader of our own, for what
//! of the format makes an outline is small, and a library for all of it would be the largest part of the page.
//! Hatches and filled faces count where no line encloses anything, paper where the model is empty. Not read: text,
//! dimensions, meshes, solids, and what lies on a tilted plane or a hidden layer.

mod bulge;
mod entity;
mod groups;
mod hatch;
mod insert;
mod spline;

use super::pen::drawn;
use super::{Drawing, Scale, refuse};
use crate::read::Problem;
use crate::units::plain;
use entity::Sheet;
use groups::{Group, records};
use kurbo::Affine;
use std::collections::{HashMap, HashSet};

/// A drawing that is put in more than once.
#[derive(Debug, Clone, Copy)]
struct Block<'a> {
    /// The point that goes where it is put.
    base: (f64, f64),
    entities: &'a [Group<'a>],
}

/// What stands in the sections of a file.
#[derive(Debug, Default)]
struct File<'a> {
    unit: Option<i64>,
    hidden_layers: HashSet<&'a str>,
    /// Kind of line by layer.
    line_types: HashMap<&'a str, &'a str>,
    blocks: HashMap<&'a str, Block<'a>>,
    entities: &'a [Group<'a>],
}

/// The drawing in a DXF text.
pub(super) fn read(text: &str, asked: Scale) -> Result<Drawing, Problem> {
    let all = groups::of(text)?;
    let file = sections(&all);
    if file.entities.is_empty() && file.papers().next().is_none() {
        return Err(refuse(
            "This DXF holds no drawing: its section of entities is missing or empty.",
        ));
    }
    let own = file.unit.and_then(unit_of);
    let unit = asked.unit;
    let (mm, mut told) = match (unit, own) {
        (Some(unit), Some((own_mm, word))) if own_mm != unit.mm() => (
            unit.mm(),
            Some(format!(
                "One unit of the drawing is taken as 1 {}, as you say; the file itself says {word}.",
                unit.symbol()
            )),
        ),
        (Some(unit), _) => (
            unit.mm(),
            Some(format!(
                "One unit of the drawing is taken as 1 {}, as you say.",
                unit.symbol()
            )),
        ),
        (None, Some((mm, word))) => (
            mm,
            Some(if mm == 1.0 {
                "One unit of the drawing is 1 mm, as the file says.".into()
            } else {
                format!(
                    "One unit of the drawing is 1 {word} ({} mm), as the file says.",
                    plain(mm)
                )
            }),
        ),
        (None, None) => (1.0, None),
    };
    let place = Affine::scale(mm * asked.times);
    let on = |paper: bool| {
        drawn(|pen| {
            let mut sheet = Sheet::new(pen, &file, paper);
            sheet.draw(file.entities, place, 0)?;
            if paper {
                for block in file.papers() {
                    sheet.draw(block.entities, place, 1)?;
                }
            }
            let deep = sheet.is_deep();
            Ok((sheet.pen, (sheet.left, deep)))
        })
    };
    let (mut strokes, mut dropped, (mut left, mut deep)) = on(false)?;
    if strokes.is_empty() {
        let paper = on(true)?;
        if !paper.0.is_empty() {
            (strokes, dropped, (left, deep)) = paper;
            told =
                told.map(|told| format!("{told} What is drawn stands on paper, not in the model."));
        }
    }
    left.some(
        dropped,
        "line with a point that is no number or a kilometre off",
        "lines with a point that is no number or a kilometre off",
    );
    if deep {
        left.one(
            "difference in height, for the drawing is not flat",
            "differences in height",
        );
    }
    Ok(Drawing {
        strokes,
        left,
        unit: told,
    })
}

impl<'a> File<'a> {
    /// What stands on paper in blocks of its own.
    fn papers(&self) -> impl Iterator<Item = Block<'a>> {
        let is_paper = |name: &str| name.to_ascii_lowercase().starts_with("*paper_space");
        let mut names: Vec<&&str> = self.blocks.keys().filter(|name| is_paper(name)).collect();
        names.sort_unstable();
        names
            .into_iter()
            .filter_map(|name| self.blocks.get(name).copied())
            .filter(|block| !block.entities.is_empty())
    }
}

/// Length [mm] and name of a unit by its number in the header.
fn unit_of(number: i64) -> Option<(f64, &'static str)> {
    Some(match number {
        1 => (25.4, "inch"),
        2 => (304.8, "foot"),
        4 => (1.0, "mm"),
        5 => (10.0, "cm"),
        6 => (1000.0, "m"),
        9 => (0.0254, "thousandth of an inch"),
        10 => (914.4, "yard"),
        13 => (1e-3, "thousandth of a mm"),
        14 => (100.0, "dm"),
        _ => return None,
    })
}

/// Finds what is needed in the sections of the file; what follows an unknown section is still found.
fn sections<'a>(all: &'a [Group<'a>]) -> File<'a> {
    let mut file = File::default();
    for section in groups::split(all, "SECTION", "ENDSEC") {
        let name = section
            .iter()
            .find(|group| group.code == 2)
            .map_or("", |group| group.value);
        match name {
            "HEADER" => {
                file.unit = section
                    .windows(2)
                    .find_map(|pair| match pair {
                        [key, value]
                            if key.code == 9 && key.value == "$INSUNITS" && value.code == 70 =>
                        {
                            value.value.parse().ok()
                        }
                        _ => None,
                    })
                    .or(file.unit);
            }
            "TABLES" => {
                for layer in records(section).filter(|record| record.kind() == "LAYER") {
                    let Some(name) = layer.text(2) else {
                        continue;
                    };
                    // What dimensions are measured from is never printed.
                    let off = layer.whole(70).unwrap_or(0) & 1 == 1
                        || layer.number(62).is_some_and(|colour| colour < 0.0)
                        || name.eq_ignore_ascii_case("defpoints");
                    if off {
                        file.hidden_layers.insert(name);
                    }
                    if let Some(line) = layer.text(6) {
                        file.line_types.insert(name, line);
                    }
                }
            }
            "BLOCKS" => {
                for block in groups::split(section, "BLOCK", "ENDBLK") {
                    let Some(head) = records(block).next() else {
                        continue;
                    };
                    let base = (
                        head.number(10).unwrap_or(0.0),
                        head.number(20).unwrap_or(0.0),
                    );
                    if let Some(name) = head.text(2) {
                        let entities = block.get(head.len()..).unwrap_or(&[]);
                        file.blocks.insert(name, Block { base, entities });
                    }
                }
            }
            "ENTITIES" => {
                // The name of the section goes before the first entity.
                let from = section
                    .iter()
                    .position(|group| group.code == 2)
                    .map_or(0, |at| at + 1);
                file.entities = section.get(from..).unwrap_or(&[]);
            }
            _ => {}
        }
    }
    file
}
