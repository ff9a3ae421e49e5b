//! Fabrics and cores: what a row of the stack is made of.

use super::entry::{Cited, Entry};
use super::properties::{OF_CORE, Properties};
use super::weave::{ARCHITECTURES, Architecture, BAG_FRACTION, EXPONENT, PERMEABILITY};
use crate::read::{Field, Reader, ReadingError};
use crate::units::Unit;

/// What the stated areal mass of a cloth includes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MassBasis {
    /// Weighed bone dry.
    Dry,
    /// Weighed after lying at 20 °C and 65 % relative humidity, as textile standards ask.
    Conditioned,
    /// Dry mass plus the regain agreed for trade.
    Commercial,
}

const BASES: &[&str] = &["dry", "conditioned", "commercial"];

impl MassBasis {
    pub(crate) fn from_word(word: &str) -> Self {
        match word {
            "dry" => Self::Dry,
            "commercial" => Self::Commercial,
            _ => Self::Conditioned,
        }
    }
}

/// Areal mass of a cloth.
const AREAL_MASS: Field = Field::new(
    "areal_mass_g_m2",
    "Areal mass of the cloth",
    "300",
    Unit::GramPerSquareMetre,
    (10.0, 5000.0),
    ReadingError::Share(0.03),
);
const CORE_THICKNESS: Field = Field::new(
    "thickness_mm",
    "Thickness of the core",
    "10",
    Unit::Millimetre,
    (0.2, 200.0),
    ReadingError::Share(0.03),
);
const CORE_DENSITY: Field = Field::new(
    "density_g_cm3",
    "Density of the core",
    "0.15",
    Unit::GramPerMillilitre,
    (0.01, 2.0),
    ReadingError::Share(0.1),
);
const CORE_MODULUS: Field = Field::new(
    "modulus_gpa",
    "Stiffness of the core in its plane",
    "0.1",
    Unit::Gigapascal,
    (0.0001, 50.0),
    ReadingError::Share(0.2),
);
const CORE_UPTAKE: Field = Field::new(
    "resin_uptake_g_m2",
    "Resin that the core drinks, both faces together",
    "300",
    Unit::GramPerSquareMetre,
    (0.0, 5000.0),
    ReadingError::Share(0.3),
);

/// Fields of a cloth that a shop writes itself.
pub(super) const CLOTH_FIELDS: &[Field] = &[AREAL_MASS, BAG_FRACTION, EXPONENT, PERMEABILITY];
/// Fields of a core that a shop writes itself.
pub(super) const CORE_FIELDS: &[Field] = &[CORE_THICKNESS, CORE_DENSITY, CORE_MODULUS, CORE_UPTAKE];

/// A cloth or a core.
#[derive(Debug, Clone, PartialEq)]
pub enum Fabric {
    /// Cloth that is wetted through.
    Cloth(Cloth),
    /// A core between the cloths.
    Core(Core),
}

/// A cloth: fibre, architecture and areal mass; the rest from its weave unless the entry has its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Cloth {
    /// Key, name, sources.
    pub entry: Entry,
    /// Key of its fibre.
    pub fibre: String,
    /// Architecture.
    pub architecture: Architecture,
    /// Mass per area as stated [g/m2].
    pub areal_mass_g_m2: Cited,
    /// What the stated mass includes.
    pub mass_basis: MassBasis,
    /// Its own fibre fraction under one bar [-].
    pub fibre_fraction_at_1_bar: Option<Cited>,
    /// Its own compaction exponent [-].
    pub compaction_exponent: Option<Cited>,
    /// Its own permeability [m2].
    pub permeability_m2: Option<Cited>,
}

/// A core.
#[derive(Debug, Clone, PartialEq)]
pub struct Core {
    /// Key, name, sources.
    pub entry: Entry,
    /// Thickness [mm].
    pub thickness_mm: Cited,
    /// Density [g/cm3].
    pub density_g_cm3: Cited,
    /// In-plane modulus [GPa].
    pub modulus_gpa: Cited,
    /// Resin that it drinks, both faces [g/m2].
    pub resin_uptake_g_m2: Cited,
    /// Shear, damping and carbon.
    pub properties: Properties,
}

impl Fabric {
    /// Key, name, sources.
    pub fn entry(&self) -> &Entry {
        match self {
            Self::Cloth(cloth) => &cloth.entry,
            Self::Core(core) => &core.entry,
        }
    }

    pub(crate) fn read(reader: &Reader<'_>, key: &str, own: bool) -> Option<Self> {
        let entry = Entry::read(reader, key, own);
        let kind = reader
            .choice("kind", "Kind", &["cloth", "core"])
            .unwrap_or("cloth");
        if kind == "core" {
            let get = |f: &Field| Cited::needed(reader, f, &entry);
            let thickness = get(&CORE_THICKNESS);
            let density = get(&CORE_DENSITY);
            let modulus = get(&CORE_MODULUS);
            let uptake = get(&CORE_UPTAKE);
            return Some(Self::Core(Core {
                thickness_mm: thickness?,
                density_g_cm3: density?,
                modulus_gpa: modulus?,
                resin_uptake_g_m2: uptake?,
                properties: Properties::read(reader, OF_CORE, &entry),
                entry,
            }));
        }
        let fibre = reader.text("fibre").unwrap_or_else(|| "flax".into());
        let architecture = reader.choice("architecture", "Architecture", ARCHITECTURES);
        let mass = Cited::needed(reader, &AREAL_MASS, &entry);
        let basis = reader.choice("mass_basis", "What the areal mass includes", BASES);
        let fraction = Cited::read(reader, &BAG_FRACTION, &entry);
        let exponent = Cited::read(reader, &EXPONENT, &entry);
        let permeability = Cited::read(reader, &PERMEABILITY, &entry);
        Some(Self::Cloth(Cloth {
            fibre,
            architecture: Architecture::from_word(architecture.unwrap_or("twill")),
            areal_mass_g_m2: mass?,
            mass_basis: MassBasis::from_word(basis.unwrap_or("conditioned")),
            fibre_fraction_at_1_bar: fraction,
            compaction_exponent: exponent,
            permeability_m2: permeability,
            entry,
        }))
    }
}
