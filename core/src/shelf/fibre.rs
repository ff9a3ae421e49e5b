//! Fibres: flax and its relatives, and the glass, carbon and aramid they are compared with.

use super::entry::{Cited, Entry};
use super::properties::{OF_FIBRE, Properties};
use crate::read::{Field, Reader, ReadingError};
use crate::units::Unit;

/// The families that behave alike in a bag.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Family {
    /// Flax, hemp, jute and other bast or leaf fibres: damp, lofty, thirsty.
    Bast,
    /// Glass fibre.
    Glass,
    /// Carbon fibre.
    Carbon,
    /// Aramid fibre.
    Aramid,
}

pub(crate) const FAMILIES: &[&str] = &["bast", "glass", "carbon", "aramid"];

impl Family {
    pub(crate) fn from_word(word: &str) -> Self {
        match word {
            "glass" => Self::Glass,
            "carbon" => Self::Carbon,
            "aramid" => Self::Aramid,
            _ => Self::Bast,
        }
    }

    /// The word in documents.
    pub fn word(self) -> &'static str {
        match self {
            Self::Bast => "bast",
            Self::Glass => "glass",
            Self::Carbon => "carbon",
            Self::Aramid => "aramid",
        }
    }
}

const DENSITY: Field = Field::new(
    "density_g_cm3",
    "Density of the fibre",
    "1.54",
    Unit::GramPerMillilitre,
    (0.9, 3.0),
    ReadingError::None,
);
const MODULUS: Field = Field::new(
    "modulus_gpa",
    "Stiffness along the fibre",
    "50",
    Unit::Gigapascal,
    (1.0, 500.0),
    ReadingError::None,
);
const TRANSVERSE: Field = Field::new(
    "transverse_modulus_gpa",
    "Stiffness across the fibre",
    "8",
    Unit::Gigapascal,
    (0.5, 100.0),
    ReadingError::None,
);
const SHEAR: Field = Field::new(
    "shear_modulus_gpa",
    "Shear stiffness of the fibre",
    "2.5",
    Unit::Gigapascal,
    (0.5, 60.0),
    ReadingError::None,
);
const POROSITY: Field = Field::new(
    "void_per_fibre",
    "Void that comes with the fibre, per volume of fibre",
    "0.08",
    Unit::One,
    (0.0, 0.3),
    ReadingError::None,
);
const MOISTURE_SCALE: Field = Field::new(
    "moisture_scale",
    "Moisture taken up, relative to wood",
    "0.70",
    Unit::One,
    (0.0, 1.5),
    ReadingError::None,
);
const COMMERCIAL_REGAIN: Field = Field::new(
    "commercial_regain_pct",
    "Commercial regain",
    "12",
    Unit::Percent,
    (0.0, 25.0),
    ReadingError::None,
);

/// A fibre.
#[derive(Debug, Clone, PartialEq)]
pub struct Fibre {
    /// Key, name, sources.
    pub entry: Entry,
    /// Family.
    pub family: Family,
    /// Cell-wall density [g/cm3]; the lumen is counted in `void_per_fibre`, never twice.
    pub density_g_cm3: Cited,
    /// Modulus along the fibre, effective in a laminate [GPa].
    pub modulus_gpa: Cited,
    /// Modulus across the fibre [GPa].
    pub transverse_modulus_gpa: Cited,
    /// Shear modulus [GPa].
    pub shear_modulus_gpa: Cited,
    /// Void that comes with the fibre, per volume of fibre [-].
    pub void_per_fibre: Cited,
    /// Equilibrium moisture relative to wood [-]; zero for fibres that hold no water.
    pub moisture_scale: Cited,
    /// Regain agreed for trade [%]: a contract figure, not what the cloth holds.
    pub commercial_regain_pct: f64,
    /// Strength, damping, shrinking, the knee and carbon.
    pub properties: Properties,
}

impl Fibre {
    pub(crate) fn read(reader: &Reader<'_>, key: &str, own: bool) -> Option<Self> {
        let entry = Entry::read(reader, key, own);
        let family = reader.choice("family", "Family of the fibre", FAMILIES);
        let get = |f: &Field| Cited::needed(reader, f, &entry);
        let density = get(&DENSITY);
        let modulus = get(&MODULUS);
        let transverse = get(&TRANSVERSE);
        let shear = get(&SHEAR);
        let void = get(&POROSITY);
        let scale = get(&MOISTURE_SCALE);
        let commercial = reader.number(&COMMERCIAL_REGAIN);
        Some(Self {
            family: Family::from_word(family?),
            density_g_cm3: density?,
            modulus_gpa: modulus?,
            transverse_modulus_gpa: transverse?,
            shear_modulus_gpa: shear?,
            void_per_fibre: void?,
            moisture_scale: scale?,
            commercial_regain_pct: commercial.unwrap_or(0.0),
            properties: Properties::read(reader, OF_FIBRE, &entry),
            entry,
        })
    }
}
