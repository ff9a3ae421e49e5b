//! Consumables that hold resin: flow mesh, peel ply, film.

use super::entry::{Cited, Entry};
use crate::read::{Field, Play, Reader};
use crate::units::Unit;

const HOLDS: Field = Field {
    key: "holds_g_m2",
    label: "Resin held per square metre",
    hint: "750",
    unit: Unit::GramPerSquareMetre,
    low: 0.0,
    high: 5000.0,
    play: Play::Share(0.2),
    usual: None,
};
const THICKNESS: Field = Field {
    key: "thickness_mm",
    label: "Thickness under vacuum",
    hint: "1.0",
    unit: Unit::Millimetre,
    low: 0.02,
    high: 10.0,
    play: Play::Share(0.15),
    usual: None,
};
const POROSITY: Field = Field {
    key: "open_share",
    label: "Open share of its volume",
    hint: "0.85",
    unit: Unit::One,
    low: 0.1,
    high: 0.98,
    play: Play::None,
    usual: None,
};
const PERMEABILITY: Field = Field {
    key: "permeability_m2",
    label: "Permeability along it",
    hint: "3e-9",
    unit: Unit::Permeability,
    low: 1e-13,
    high: 1e-6,
    play: Play::Share(0.4),
    usual: None,
};

/// A sheet laid over the stack.
#[derive(Debug, Clone, PartialEq)]
pub struct Sundry {
    /// Key, name, sources.
    pub entry: Entry,
    /// Resin held [g/m2].
    pub holds_g_m2: Cited,
    /// Thickness under vacuum [mm], for a mesh.
    pub thickness_mm: Option<Cited>,
    /// Open share of its volume [-], for a mesh.
    pub open_share: Option<Cited>,
    /// In-plane permeability [m2], for a mesh.
    pub permeability_m2: Option<Cited>,
}

impl Sundry {
    pub(crate) fn read(reader: &Reader<'_>, key: &str, own: bool) -> Option<Self> {
        let entry = Entry::read(reader, key, own);
        let holds = Cited::needed(reader, &HOLDS, &entry);
        let read = |f: &Field| Cited::read(reader, f, &entry);
        let (thickness, open, permeability) =
            (read(&THICKNESS), read(&POROSITY), read(&PERMEABILITY));
        Some(Self {
            holds_g_m2: holds?,
            thickness_mm: thickness,
            open_share: open,
            permeability_m2: permeability,
            entry,
        })
    }
}
