//! Resins, described by what a data sheet states.

use super::entry::{Cited, Entry};
use super::properties::{OF_RESIN, Properties, TG_AFTER, TG_AFTER_CURE, TG_AFTER_HOURS};
use crate::read::{Field, Reader, ReadingError};
use crate::units::Unit;

/// What the maker of the resin calls the end of its pot life.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PotLifeMeaning {
    /// The pot has gelled.
    Gel,
    /// The pot has warmed by ten degrees.
    TenDegrees,
    /// The viscosity has doubled.
    Doubled,
    /// The pot is 50 degrees warm.
    Fifty,
    /// The pot is 40 degrees warm, and a fifth was taken off.
    FortyLess,
}

const MEANINGS: &[&str] = &["gel", "ten_degrees", "doubled", "at_50_c", "at_40_c_less"];

/// When a thin layer is hard, as the maker of the resin states it.
#[derive(Debug, Clone, PartialEq)]
pub struct Film {
    /// After so many hours ...
    pub hours: Cited,
    /// ... at this temperature [C].
    pub at_c: f64,
    /// Whether it is only set, or hard enough to walk on, and not yet ready to leave a mould.
    pub set: bool,
}

/// A resin and its hardener.
#[derive(Debug, Clone, PartialEq)]
pub struct Resin {
    /// Key, name, sources.
    pub entry: Entry,
    /// Parts of hardener per hundred of resin, by weight.
    pub hardener_per_100: f64,
    /// Density of the resin [g/ml].
    pub density_resin_g_ml: Cited,
    /// Density of the hardener [g/ml].
    pub density_hardener_g_ml: Cited,
    /// Density when cured [g/cm3].
    pub density_cured_g_cm3: Cited,
    /// Viscosity just after mixing [mPa s] ...
    pub viscosity_mpa_s: Cited,
    /// ... at this temperature [C].
    pub viscosity_at_c: f64,
    /// A second viscosity [mPa s] and its temperature [C], where the sheet gives one.
    pub second_viscosity: Option<(f64, f64)>,
    /// Pot life [min] ...
    pub pot_life_min: Cited,
    /// ... of this mass [g] ...
    pub pot_life_g: f64,
    /// ... at this temperature [C] ...
    pub pot_life_c: f64,
    /// ... in this sense.
    pub pot_life_meaning: PotLifeMeaning,
    /// When a thin layer is hard, where the sheet says so.
    pub film: Option<Film>,
    /// Glass transition when fully cured [C].
    pub tg_ultimate_c: Cited,
    /// Modulus when cured [GPa].
    pub modulus_gpa: Cited,
    /// Strength, shrinking and carbon.
    pub properties: Properties,
}

const RATIO: Field = Field::new(
    "hardener_per_100",
    "Hardener per 100 parts of resin, by weight",
    "30",
    Unit::One,
    (1.0, 150.0),
    ReadingError::None,
);
const DENSITY_RESIN: Field = Field::new(
    "density_resin_g_ml",
    "Density of the resin",
    "1.15",
    Unit::GramPerMillilitre,
    (0.7, 2.0),
    ReadingError::Share(0.01),
);
const DENSITY_HARDENER: Field = Field::new(
    "density_hardener_g_ml",
    "Density of the hardener",
    "0.95",
    Unit::GramPerMillilitre,
    (0.7, 2.0),
    ReadingError::Share(0.01),
);
const DENSITY_CURED: Field = Field::new(
    "density_cured_g_cm3",
    "Density of the cured resin",
    "1.15",
    Unit::GramPerMillilitre,
    (0.8, 2.0),
    ReadingError::Share(0.02),
);
const VISCOSITY: Field = Field::new(
    "viscosity_mpa_s",
    "Viscosity just after mixing",
    "300",
    Unit::MillipascalSecond,
    (10.0, 20_000.0),
    ReadingError::Share(0.15),
);
const VISCOSITY_AT: Field = Field::new(
    "viscosity_at_c",
    "Temperature of that viscosity",
    "25",
    Unit::Celsius,
    (0.0, 80.0),
    ReadingError::None,
);
const VISCOSITY_2: Field = Field::new(
    "second_viscosity_mpa_s",
    "A second viscosity",
    "480",
    Unit::MillipascalSecond,
    (10.0, 50_000.0),
    ReadingError::None,
);
const VISCOSITY_2_AT: Field = Field::new(
    "second_viscosity_at_c",
    "Temperature of the second viscosity",
    "20",
    Unit::Celsius,
    (0.0, 80.0),
    ReadingError::None,
);
const POT_LIFE: Field = Field::new(
    "pot_life_min",
    "Pot life",
    "90",
    Unit::Minute,
    (3.0, 3000.0),
    ReadingError::Share(0.15),
);
const POT_MASS: Field = Field::new(
    "pot_life_g",
    "Mass of that pot",
    "100",
    Unit::Gram,
    (20.0, 5000.0),
    ReadingError::None,
);
const POT_TEMPERATURE: Field = Field::new(
    "pot_life_c",
    "Temperature of that pot",
    "25",
    Unit::Celsius,
    (5.0, 40.0),
    ReadingError::None,
);
const FILM_OFF: Field = Field::new(
    "film_off_h",
    "A thin layer may leave its mould after",
    "12",
    Unit::Hour,
    (0.3, 1000.0),
    ReadingError::Share(0.15),
);
const FILM_SET: Field = Field::new(
    "film_set_h",
    "Or it is set, or hard enough to walk on, after",
    "6",
    Unit::Hour,
    (0.3, 1000.0),
    ReadingError::Share(0.15),
);
const FILM_AT: Field = Field::new(
    "film_c",
    "At the temperature of",
    "23",
    Unit::Celsius,
    (5.0, 45.0),
    ReadingError::None,
);
const TG: Field = Field::new(
    "tg_ultimate_c",
    "Glass transition when fully cured",
    "90",
    Unit::Celsius,
    (40.0, 200.0),
    ReadingError::Plus(5.0),
);
const MODULUS: Field = Field::new(
    "modulus_gpa",
    "Stiffness of the cured resin",
    "3.2",
    Unit::Gigapascal,
    (0.5, 8.0),
    ReadingError::Share(0.08),
);

/// Fields of a resin that a shop writes itself.
pub(super) const FIELDS: &[Field] = &[
    RATIO,
    DENSITY_RESIN,
    DENSITY_HARDENER,
    DENSITY_CURED,
    VISCOSITY,
    VISCOSITY_AT,
    VISCOSITY_2,
    VISCOSITY_2_AT,
    POT_LIFE,
    POT_MASS,
    POT_TEMPERATURE,
    FILM_OFF,
    FILM_SET,
    FILM_AT,
    TG,
    MODULUS,
];

impl Film {
    /// The time off the mould where the sheet gives one, else the time until it is set.
    fn read(reader: &Reader<'_>, entry: &Entry) -> Option<Self> {
        let off = Cited::read(reader, &FILM_OFF, entry);
        let set = Cited::read(reader, &FILM_SET, entry);
        let at_c = reader.number(&FILM_AT).unwrap_or(23.0);
        let is_set = off.is_none();
        Some(Self {
            hours: off.or(set)?,
            at_c,
            set: is_set,
        })
    }
}

impl Resin {
    pub(crate) fn read(reader: &Reader<'_>, key: &str, own: bool) -> Option<Self> {
        let entry = Entry::read(reader, key, own);
        let needed = |f: &Field| Cited::needed(reader, f, &entry);
        let ratio = needed(&RATIO);
        let resin = needed(&DENSITY_RESIN);
        let hardener = needed(&DENSITY_HARDENER);
        let cured = needed(&DENSITY_CURED);
        let viscosity = needed(&VISCOSITY);
        let pot_life = needed(&POT_LIFE);
        let tg = needed(&TG);
        let modulus = needed(&MODULUS);
        let at = reader.number(&VISCOSITY_AT);
        let second = reader.number(&VISCOSITY_2);
        let second_at = reader.number(&VISCOSITY_2_AT);
        let pot_mass = reader.number(&POT_MASS);
        let pot_temperature = reader.number(&POT_TEMPERATURE);
        let meaning = reader.choice("pot_life_meaning", "What pot life means", MEANINGS);
        let film = Film::read(reader, &entry);
        let at = at.unwrap_or(25.0);
        if let (Some(t2), Some(first)) = (second_at, &viscosity)
            && let Some(v2) = second
            && ((t2 - at).abs() < 1.0 || (v2 - first.range.likely) * (t2 - at) >= 0.0)
        {
            reader.missing(
                "second_viscosity_mpa_s",
                "The second viscosity must belong to another temperature, and be lower where it is warmer.",
            );
        }
        let properties = Properties::read(reader, OF_RESIN, &entry);
        let after = [&TG_AFTER, &TG_AFTER_CURE, &TG_AFTER_HOURS];
        let given = after.iter().filter(|f| properties.get(f).is_some()).count();
        if given != 0 && given != after.len() {
            reader.missing(
                TG_AFTER.key,
                "A glass transition after a stated cure needs three values: itself, the temperature of that cure, and its hours.",
            );
        }
        Some(Self {
            hardener_per_100: ratio?.range.likely,
            density_resin_g_ml: resin?,
            density_hardener_g_ml: hardener?,
            density_cured_g_cm3: cured?,
            viscosity_mpa_s: viscosity?,
            viscosity_at_c: at,
            second_viscosity: second.zip(second_at),
            pot_life_min: pot_life?,
            pot_life_g: pot_mass.unwrap_or(100.0),
            pot_life_c: pot_temperature.unwrap_or(25.0),
            pot_life_meaning: match meaning {
                Some("ten_degrees") => PotLifeMeaning::TenDegrees,
                Some("doubled") => PotLifeMeaning::Doubled,
                Some("at_50_c") => PotLifeMeaning::Fifty,
                Some("at_40_c_less") => PotLifeMeaning::FortyLess,
                _ => PotLifeMeaning::Gel,
            },
            film,
            tg_ultimate_c: tg?,
            modulus_gpa: modulus?,
            properties,
            entry,
        })
    }
}
