//! How a cloth of one family and architecture packs, conducts resin and bends its fibres.

use super::entry::{Cited, Entry};
use super::fibre::{FAMILIES, Family};
use super::properties::{OF_WEAVE, Properties};
use crate::read::{Field, Reader, ReadingError};
use crate::units::Unit;

/// How the fibres lie in the cloth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Architecture {
    /// 2/2 twill and satins.
    Twill,
    /// Plain weave.
    Plain,
    /// Unidirectional, with or without a light weft.
    Unidirectional,
    /// Stitched biaxial, two layers of straight fibre.
    Biaxial,
    /// Nonwoven mat, random in the plane.
    Mat,
}

pub(crate) const ARCHITECTURES: &[&str] = &["twill", "plain", "unidirectional", "biaxial", "mat"];

impl Architecture {
    pub(crate) fn from_word(word: &str) -> Self {
        match word {
            "plain" => Self::Plain,
            "unidirectional" => Self::Unidirectional,
            "biaxial" => Self::Biaxial,
            "mat" => Self::Mat,
            _ => Self::Twill,
        }
    }

    /// The word in documents.
    pub fn word(self) -> &'static str {
        match self {
            Self::Twill => "twill",
            Self::Plain => "plain",
            Self::Unidirectional => "unidirectional",
            Self::Biaxial => "biaxial",
            Self::Mat => "mat",
        }
    }

    /// Whether yarns cross over and under each other.
    pub fn is_woven(self) -> bool {
        matches!(self, Self::Twill | Self::Plain)
    }
}

pub(super) const fn fraction(key: &'static str, label: &'static str, hint: &'static str) -> Field {
    Field::new(
        key,
        label,
        hint,
        Unit::One,
        (0.02, 0.75),
        ReadingError::Share(0.1),
    )
}

pub(super) const BAG_FRACTION: Field = fraction(
    "fibre_fraction_at_1_bar",
    "Fibre fraction under one bar",
    "0.30",
);
const HAND_FRACTION: Field = fraction(
    "fibre_fraction_by_hand",
    "Fibre fraction rolled by hand, without a bag",
    "0.22",
);
pub(super) const EXPONENT: Field = Field::new(
    "compaction_exponent",
    "Compaction exponent",
    "0.12",
    Unit::One,
    (0.0, 0.5),
    ReadingError::Share(0.25),
);
pub(super) const PERMEABILITY: Field = Field::new(
    "permeability_m2",
    "Permeability in the bag",
    "4e-11",
    Unit::Permeability,
    (1e-14, 1e-7),
    ReadingError::Share(0.3),
);
const AT_MASS: Field = Field::new(
    "permeability_at_g_m2",
    "Areal mass of the cloth whose permeability this is",
    "550",
    Unit::GramPerSquareMetre,
    (10.0, 5000.0),
    ReadingError::None,
);
const MASS_EXPONENT: Field = Field::new(
    "permeability_mass_exponent",
    "How permeability grows with areal mass",
    "2",
    Unit::One,
    (0.0, 6.0),
    ReadingError::Share(0.2),
);
const ACROSS: Field = Field::new(
    "permeability_across",
    "Permeability across the main direction, relative to along it",
    "0.7",
    Unit::One,
    (0.01, 1.0),
    ReadingError::None,
);
const CRIMP: Field = Field::new(
    "crimp_factor",
    "Share of stiffness left by crimp",
    "0.9",
    Unit::One,
    (0.3, 1.0),
    ReadingError::None,
);
const LOFT: Field = Field::new(
    "loose_mm_per_100_g_m2",
    "Thickness of the loose dry cloth per 100 g/m²",
    "0.25",
    Unit::Millimetre,
    (0.02, 5.0),
    ReadingError::Share(0.2),
);

/// The habits of cloths of one family and architecture.
#[derive(Debug, Clone, PartialEq)]
pub struct Weave {
    /// Key, name, sources.
    pub entry: Entry,
    /// Family of its fibres.
    pub family: Family,
    /// Architecture.
    pub architecture: Architecture,
    /// Fibre volume fraction of the wet stack under one bar of net pressure [-].
    pub fibre_fraction_at_1_bar: Cited,
    /// Fibre volume fraction rolled out by hand, no bag [-].
    pub fibre_fraction_by_hand: Cited,
    /// Exponent of the compaction law [-].
    pub compaction_exponent: Cited,
    /// In-plane permeability along the main direction at the fibre fraction in the bag [m2].
    pub permeability_m2: Cited,
    /// Where permeability goes with the mass of the cloth: the areal mass it is known at [g/m2], and the exponent [-].
    pub permeability_by_mass: Option<(f64, Cited)>,
    /// Permeability across the main direction relative to along it [-].
    pub permeability_across: Cited,
    /// Share of in-plane stiffness left by crimp and twist [-].
    pub crimp_factor: Cited,
    /// Thickness of the loose dry cloth [mm per 100 g/m2].
    pub loose_mm_per_100_g_m2: Cited,
    /// Whether an infusion of this cloth may do without a flow mesh, as the trade sees it.
    pub may_go_without_mesh: bool,
    /// Strength left by twist and weaving.
    pub properties: Properties,
}

impl Weave {
    pub(crate) fn read(reader: &Reader<'_>, key: &str, own: bool) -> Option<Self> {
        let entry = Entry::read(reader, key, own);
        let family = reader.choice("family", "Family of the fibre", FAMILIES);
        let architecture = reader.choice("architecture", "Architecture", ARCHITECTURES);
        let get = |f: &Field| Cited::needed(reader, f, &entry);
        let bag = get(&BAG_FRACTION);
        let hand = get(&HAND_FRACTION);
        let exponent = get(&EXPONENT);
        let permeability = get(&PERMEABILITY);
        let at_mass = reader.number(&AT_MASS);
        let by_mass = at_mass.zip(Cited::read(reader, &MASS_EXPONENT, &entry));
        let across = get(&ACROSS);
        let crimp = get(&CRIMP);
        let loft = get(&LOFT);
        Some(Self {
            family: Family::from_word(family?),
            architecture: Architecture::from_word(architecture?),
            fibre_fraction_at_1_bar: bag?,
            fibre_fraction_by_hand: hand?,
            compaction_exponent: exponent?,
            permeability_m2: permeability?,
            permeability_by_mass: by_mass,
            permeability_across: across?,
            crimp_factor: crimp?,
            loose_mm_per_100_g_m2: loft?,
            may_go_without_mesh: reader
                .switch("may_go_without_mesh", "Going without a mesh")
                .unwrap_or(false),
            properties: Properties::read(reader, OF_WEAVE, &entry),
            entry,
        })
    }
}
