//! Tools that cut, grind and sand, described by what is marked on them.

use super::entry::{Cited, Entry};
use crate::read::{Field, Reader, ReadingError};
use crate::units::Unit;

/// How a tool takes material away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action {
    /// A thin wheel that cuts through.
    CuttingWheel,
    /// A disc that grinds or sands with its face or rim.
    SandingDisc,
    /// A burr or router bit with edges.
    Router,
    /// A reciprocating blade.
    Jigsaw,
    /// By hand.
    Hand,
}

const ACTIONS: &[&str] = &["cutting_wheel", "sanding_disc", "router", "jigsaw", "hand"];

impl Action {
    /// Whether the tool is an abrasive that turns, and so must carry a maximum speed.
    pub fn is_turning_abrasive(self) -> bool {
        matches!(self, Self::CuttingWheel | Self::SandingDisc)
    }

    /// Whether the tool turns at all.
    pub fn turns(self) -> bool {
        self.is_turning_abrasive() || self == Self::Router
    }
}

const DIAMETER: Field = Field::new(
    "diameter_mm",
    "Diameter of the tool",
    "75",
    Unit::Millimetre,
    (0.5, 400.0),
    ReadingError::None,
);
const CLASS_LIMIT: Field = Field::new(
    "class_limit_m_s",
    "Speed limit of this class of tool",
    "80",
    Unit::MetrePerSecond,
    (1.0, 125.0),
    ReadingError::None,
);
const MARKED_SPEED: Field = Field::new(
    "marked_m_s",
    "Speed marked on the tool",
    "80",
    Unit::MetrePerSecond,
    (1.0, 125.0),
    ReadingError::None,
);
const ADVISED_SPEED: Field = Field::new(
    "advised_m_s",
    "Surface speed that suits",
    "20",
    Unit::MetrePerSecond,
    (0.01, 100.0),
    ReadingError::Share(0.2),
);
const KERF: Field = Field::new(
    "kerf_mm",
    "Width of the cut",
    "1.5",
    Unit::Millimetre,
    (0.0, 30.0),
    ReadingError::Share(0.15),
);
const WANDER: Field = Field::new(
    "wander_mm",
    "How far a hand-held cut wanders",
    "1",
    Unit::Millimetre,
    (0.0, 20.0),
    ReadingError::Share(0.3),
);
const EDGES: Field = Field::new(
    "edges",
    "Cutting edges",
    "2",
    Unit::Count,
    (1.0, 60.0),
    ReadingError::None,
);
const BITE: Field = Field::new(
    "bite_mm_per_rev",
    "Advance per turn",
    "0.12",
    Unit::Millimetre,
    (0.001, 3.0),
    ReadingError::Share(0.25),
);
const CONTACT: Field = Field::new(
    "contact_mm",
    "Length of contact along the cut",
    "10",
    Unit::Millimetre,
    (0.2, 300.0),
    ReadingError::Share(0.25),
);

/// Fields of a tool that a shop writes itself.
pub(super) const FIELDS: &[Field] = &[
    DIAMETER,
    CLASS_LIMIT,
    MARKED_SPEED,
    ADVISED_SPEED,
    KERF,
    WANDER,
    EDGES,
    BITE,
    CONTACT,
];

/// A tool.
#[derive(Debug, Clone, PartialEq)]
pub struct Tool {
    /// Key, name, sources.
    pub entry: Entry,
    /// How it takes material away.
    pub action: Action,
    /// Diameter [mm]; zero for tools that do not turn.
    pub diameter_mm: f64,
    /// Limit of its class [m/s], for tools that turn.
    pub class_limit_m_s: Option<f64>,
    /// What is marked on it [m/s], where the shop wrote that down; a generic tool has none.
    pub marked_m_s: Option<f64>,
    /// Surface speed that suits flax laminates [m/s].
    pub advised_m_s: Cited,
    /// Width of the cut [mm].
    pub kerf_mm: Cited,
    /// Wander of a hand-held cut [mm].
    pub wander_mm: Cited,
    /// Cutting edges, for routers.
    pub edges: Option<f64>,
    /// Advance per turn that cuts without rubbing [mm], for routers.
    pub bite_mm_per_rev: Option<Cited>,
    /// Contact length along the direction of travel [mm].
    pub contact_mm: Option<Cited>,
    /// Grit to start with, for abrasives, such as "P60".
    pub grit: Option<String>,
}

impl Tool {
    pub(crate) fn read(reader: &Reader<'_>, key: &str, own: bool) -> Option<Self> {
        let entry = Entry::read(reader, key, own);
        let action = match reader.choice("action", "How the tool works", ACTIONS) {
            Some("sanding_disc") => Action::SandingDisc,
            Some("router") => Action::Router,
            Some("jigsaw") => Action::Jigsaw,
            Some("hand") => Action::Hand,
            _ => Action::CuttingWheel,
        };
        let diameter = reader.number(&DIAMETER);
        if action.turns() && reader.value(DIAMETER.name()).is_none() {
            reader.missing(
                DIAMETER.name(),
                format!("Type the diameter of {}, for example 75.", entry.name),
            );
        }
        let class = reader.number(&CLASS_LIMIT);
        let marked = reader.number(&MARKED_SPEED);
        let edges = reader.number(&EDGES);
        let read = |f: &Field| Cited::read(reader, f, &entry);
        let usual = |f: &Field, value: f64| {
            read(f).unwrap_or_else(|| Cited {
                range: crate::range::Range::new(0.6 * value, value, 1.5 * value),
                grade: crate::sheet::Grade::Judgement,
                sources: vec!["judgement_usual".into()],
                limits: (f.low, f.high),
            })
        };
        let advised = usual(&ADVISED_SPEED, 20.0);
        let kerf = usual(&KERF, 1.5);
        let wander = usual(&WANDER, 1.0);
        Some(Self {
            action,
            diameter_mm: diameter.unwrap_or(0.0),
            class_limit_m_s: class,
            marked_m_s: marked,
            advised_m_s: advised,
            kerf_mm: kerf,
            wander_mm: wander,
            edges,
            bite_mm_per_rev: read(&BITE),
            contact_mm: read(&CONTACT),
            grit: reader.text("grit"),
            entry,
        })
    }
}
