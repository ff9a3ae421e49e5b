//! What is drawn on a part: feed and vent lines, and zones where something else lies.

use super::Row;
use super::mark::Mark;
use super::understood::read_stack;
use crate::read::{Field, Reader, ReadingError};
use crate::shape::{Loop, Shape, area, crossing, read_shape};
use crate::shelf::{Fabric, Shelf};
use crate::units::Unit;
use serde_json::Value;

/// What a line is for.
const LINE_WORDS: &[&str] = &["feed", "vent", "channel"];
/// What a channel is.
const CHANNEL_WORDS: &[&str] = &["gap", "corner"];
/// When a feed opens.
const OPENS_WORDS: &[&str] = &["at_start", "when_wet"];
/// What lies in a zone.
const ZONE_WORDS: &[&str] = &["mesh", "plies", "stack", "insert", "break"];

/// Most lines, and most zones.
const MOST: usize = 40;
/// Most feeds that open in turn: the fill is followed anew from each.
const MOST_IN_TURN: usize = 12;
/// Most corners of a line.
const MOST_POINTS: usize = 400;

/// Width of a gap that is drawn without one [mm].
const USUAL_WIDTH: f64 = 3.0;

const PLIES: Field = Field::new(
    "zones.count",
    "Extra plies; minus for fewer",
    "2",
    Unit::Count,
    (-40.0, 40.0),
    ReadingError::None,
);
const ANGLE: Field = Field::new(
    "zones.angle_deg",
    "Their angle",
    "45",
    Unit::Degree,
    (-180.0, 180.0),
    ReadingError::None,
);
const WIDTH: Field = Field::new(
    "lines.width_mm",
    "Width of the gap, or radius of the corner",
    "3",
    Unit::Millimetre,
    (0.1, 50.0),
    ReadingError::None,
);
const HEIGHT: Field = Field::new(
    "lines.height_mm",
    "Height of the gap",
    "3",
    Unit::Millimetre,
    (0.1, 200.0),
    ReadingError::None,
);
/// A line where resin enters or air leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Whether resin enters here; else air leaves.
    pub feeds: bool,
    /// Its corners [m]; one alone is a point.
    pub points: Vec<[f64; 3]>,
    /// Whether it opens only when resin has come to it.
    pub when_wet: bool,
    /// Whether a vent is clamped once it is wet.
    pub clamped: bool,
}

/// The section of a channel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Section {
    /// A gap beside the cloth or between two pieces [m].
    Gap {
        /// How wide it is.
        width: f64,
        /// How high; none for the height of the stack.
        height: Option<f64>,
    },
    /// What is left of an inside corner that is bridged at this radius [m].
    Corner {
        /// Radius of the arc.
        radius: f64,
    },
}

/// A line along which resin runs ahead, drawn by who fears it there.
#[derive(Debug, Clone, PartialEq)]
pub struct Channel {
    /// What resin runs in.
    pub section: Section,
    /// Its corners [m].
    pub points: Vec<[f64; 3]>,
}

/// What lies in a zone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lies {
    /// A flow mesh.
    Mesh,
    /// More plies of the first cloth of the stack, or fewer of the stack.
    Plies {
        /// How many; below nought, how many of the stack are left out, the last laid first.
        count: f64,
        /// At which angle [degrees]; of plies that are added.
        angle: f64,
    },
    /// A stack of its own instead of that of the part.
    Stack {
        /// Which of the drawing's own stacks.
        number: usize,
    },
    /// Something that takes no resin.
    Insert,
    /// No mesh, where there is one elsewhere, so that slow places catch up.
    Break,
}

/// A zone of the part.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// What lies there.
    pub lies: Lies,
    /// Its edge [m].
    pub outline: Loop,
}

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The shape of the part, when it was given.
    pub shape: Option<Shape>,
    /// Feeds and vents.
    pub lines: Vec<Line>,
    /// Channels.
    pub channels: Vec<Channel>,
    /// Zones.
    pub zones: Vec<Zone>,
    /// Stacks of zones that have their own, each once, from the mould up.
    pub stacks: Vec<Vec<Row>>,
    /// The front as it was watched.
    pub front: Vec<Mark>,
}

impl Drawing {
    /// A sheet of paper with nothing on it.
    pub(super) const EMPTY: Self = Self {
        shape: None,
        lines: Vec::new(),
        channels: Vec::new(),
        zones: Vec::new(),
        stacks: Vec::new(),
        front: Vec::new(),
    };

    /// Reads what is drawn from the groups `part` and `fill` of a document.
    pub(super) fn read(part: Option<&Reader<'_>>, fill: &Reader<'_>, shelf: &Shelf) -> Self {
        let shape = part.and_then(|part| {
            let found = part.value("shape").filter(|found| !found.is_null())?;
            if !found.is_object() {
                part.another_kind("shape", found, "the form of the part belongs");
                return None;
            }
            let own = part.below("shape", found);
            let shape = read_shape(&own);
            own.finish();
            shape
        });
        let mut stacks = Vec::new();
        let zones = rows(fill, "zones", |reader| {
            read_zone(reader, shelf, &mut stacks)
        });
        let (lines, channels) = read_lines(fill);
        Self {
            shape,
            lines,
            channels,
            zones,
            stacks,
            front: rows(fill, "front", Mark::read),
        }
    }
}

/// The rows of a list, each read by itself.
fn rows<T>(
    reader: &Reader<'_>,
    key: &'static str,
    mut read: impl FnMut(&Reader<'_>) -> Option<T>,
) -> Vec<T> {
    let Some(found) = reader.value(key).filter(|found| !found.is_null()) else {
        return Vec::new();
    };
    let Some(list) = found.as_array() else {
        reader.another_kind(key, found, "a list belongs; draw it anew on the board");
        return Vec::new();
    };
    let most = if key == "front" { 500 } else { MOST };
    if list.len() > most {
        reader.problem(
            key,
            found,
            format!(
                "There are {} of these; this works with up to {most}. Leave some out.",
                list.len()
            ),
        );
    }
    let each = list.iter().take(most).enumerate().filter_map(|(i, value)| {
        let row = reader.below(&format!("{key}.{i}"), value);
        value.as_object()?;
        let read = read(&row);
        row.finish();
        read
    });
    each.collect()
}

/// Reads lines of a fill: feeds and vents, and channels.
pub(crate) fn read_lines(fill: &Reader<'_>) -> (Vec<Line>, Vec<Channel>) {
    let mut channels = Vec::new();
    let lines = rows(fill, "lines", |reader| read_line(reader, &mut channels));
    let in_turn = lines.iter().filter(|line| line.feeds && line.when_wet);
    let in_turn = in_turn.count();
    if in_turn > MOST_IN_TURN {
        fill.problem(
            "lines",
            &Value::from(in_turn),
            format!("{in_turn} feeds open when resin comes to them; this works with up to {MOST_IN_TURN}. Let the others open at the start, or leave them out."),
        );
    }
    (lines, channels)
}

/// A point in millimetres, with two numbers or three, as [m].
pub(super) fn corner(value: &Value) -> Option<[f64; 3]> {
    let list = value
        .as_array()
        .filter(|list| (2..=3).contains(&list.len()))?;
    let mut corner = [0.0; 3];
    for (to, number) in corner.iter_mut().zip(list) {
        *to = number.as_f64().filter(|mm| mm.abs() <= 1e6)? / 1000.0;
    }
    Some(corner)
}

/// Corners in millimetres, with two numbers or three, as [m].
fn corners(reader: &Reader<'_>, least: usize) -> Option<Vec<[f64; 3]>> {
    let found = reader.value("points_mm");
    let read = found
        .and_then(Value::as_array)
        .filter(|list| (least..=MOST_POINTS).contains(&list.len()))
        .and_then(|list| list.iter().map(corner).collect());
    if read.is_none() {
        reader.astray("", None);
        reader.missing(
            "points_mm",
            "This needs its corners, each with x and y in millimetres, for example [[0, 0], [0, 600]].",
        );
    }
    read
}

fn read_line(reader: &Reader<'_>, channels: &mut Vec<Channel>) -> Option<Line> {
    let does = reader.choice("does", "What the line is for", LINE_WORDS);
    let opens = reader.choice("opens", "When the feed opens", OPENS_WORDS);
    let clamped = reader.switch("closed", "A vent that is clamped once it is wet");
    let (width, height) = (reader.number(&WIDTH), reader.number(&HEIGHT));
    let section = reader.choice("section", "What the channel is", CHANNEL_WORDS);
    if does.is_none() && reader.value("does").is_none() {
        reader.missing(
            "does",
            "This line does not say what it is for: a feed, a vent or a channel. Take it away and draw it anew.",
        );
    }
    let points = corners(reader, if does == Some("channel") { 2 } else { 1 });
    let does = does?;
    if does == "channel" {
        let metres = |mm: f64| mm / 1000.0;
        let width = metres(width.unwrap_or(USUAL_WIDTH));
        let section = match section {
            Some("corner") => Section::Corner { radius: width },
            _ => Section::Gap {
                width,
                height: height.map(metres),
            },
        };
        channels.push(Channel {
            section,
            points: points?,
        });
        return None;
    }
    Some(Line {
        feeds: does == "feed",
        points: points?,
        when_wet: opens == Some("when_wet"),
        clamped: clamped.unwrap_or(true),
    })
}

fn read_zone(reader: &Reader<'_>, shelf: &Shelf, stacks: &mut Vec<Vec<Row>>) -> Option<Zone> {
    let lies = reader.choice("lies", "What lies in the zone", ZONE_WORDS);
    let (count, angle) = (reader.number(&PLIES), reader.number(&ANGLE));
    // Another kind of zone keeps a stack that it had, unread.
    let own = match lies {
        Some("stack") => read_stack(reader, shelf),
        _ => {
            let _ = reader.value("stack");
            Vec::new()
        }
    };
    if lies.is_none() && reader.value("lies").is_none() {
        reader.missing(
            "lies",
            "This zone does not say what lies there. Take it away and draw it anew.",
        );
    }
    // The cloth of the stack; its name is told, not used.
    let _ = reader.value("fabric");
    let outline: Loop = corners(reader, 3)?.iter().map(|p| [p[0], p[1]]).collect();
    if area(&outline).abs() < 1e-6 || crossing(std::slice::from_ref(&outline)).is_some() {
        reader.missing(
            "points_mm",
            "The edge of this zone crosses itself or holds nothing. Draw it anew.",
        );
        return None;
    }
    let lies = match lies? {
        "mesh" => Lies::Mesh,
        "plies" => Lies::Plies {
            count: count.unwrap_or(1.0),
            angle: angle.unwrap_or(0.0),
        },
        "stack" if own.is_empty() => return None,
        "stack" => {
            let known = stacks.iter().position(|stack| *stack == own);
            let number = known.unwrap_or(stacks.len());
            if known.is_none() {
                stacks.push(own);
            }
            Lies::Stack { number }
        }
        "insert" => Lies::Insert,
        _ => Lies::Break,
    };
    Some(Zone { lies, outline })
}

impl Drawing {
    /// Asks for zones to keep at least a ply of the stack.
    pub(super) fn leaves_a_ply_of(&self, stack: &[Row], reader: &Reader<'_>) {
        let cloths = stack
            .iter()
            .filter(|row| matches!(row.fabric, Fabric::Cloth(_)));
        let plies: u32 = cloths.map(|row| row.count).sum();
        for zone in &self.zones {
            if let Lies::Plies { count, .. } = zone.lies
                && -count >= f64::from(plies)
            {
                reader.missing(
                    "fill.zones",
                    "A zone leaves out all the plies of the stack. Leave out fewer, or make it an insert, which takes no resin.",
                );
            }
        }
    }
}
