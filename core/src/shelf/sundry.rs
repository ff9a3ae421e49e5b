//! Consumables that hold resin: flow mesh, peel ply, film.

use super::entry::{Cited, Entry};
use crate::read::{Field, Reader, ReadingError};
use crate::units::Unit;

const HOLDS: Field = Field::new(
    "holds_g_m2",
    "Resin held per square metre",
    "750",
    Unit::GramPerSquareMetre,
    (0.0, 5000.0),
    ReadingError::Share(0.2),
);
const THICKNESS: Field = Field::new(
    "thickness_mm",
    "Thickness under vacuum",
    "1.0",
    Unit::Millimetre,
    (0.02, 10.0),
    ReadingError::Share(0.15),
);
const POROSITY: Field = Field::new(
    "open_share",
    "Open share of its volume",
    "0.85",
    Unit::One,
    (0.1, 0.98),
    ReadingError::None,
);
const PERMEABILITY: Field = Field::new(
    "permeability_m2",
    "Permeability along it",
    "3e-9",
    Unit::Permeability,
    (1e-13, 1e-6),
    ReadingError::Share(0.4),
);

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
