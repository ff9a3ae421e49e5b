//! What a fibre, resin or core is like that an entry may leave out: strength, damping, shrinking, carbon.

use super::entry::{Cited, Entry};
use crate::read::{Field, Reader, ReadingError};
use crate::units::Unit;

/// Properties by their field; an entry may leave some out.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Properties(Vec<(&'static str, Cited)>);

impl Properties {
    pub(super) fn read(reader: &Reader<'_>, fields: &[Field], entry: &Entry) -> Self {
        let found = fields.iter().filter_map(|field| {
            let cited = Cited::read(reader, field, entry)?;
            Some((field.key, cited))
        });
        Self(found.collect())
    }

    /// The property of a field, where the entry has it.
    pub fn get(&self, field: &Field) -> Option<&Cited> {
        let found = self.0.iter().find(|(key, _)| *key == field.key);
        found.map(|(_, cited)| cited)
    }
}

macro_rules! properties {
    ($(#[$doc:meta])* $list:ident { $($(#[$fdoc:meta])* $name:ident = $key:literal, $label:literal, $hint:literal, $unit:ident, $low:literal .. $high:literal, $error:expr;)* }) => {
        $($(#[$fdoc])* pub(crate) const $name: Field = Field::new($key, $label, $hint, Unit::$unit, ($low, $high), $error);)*
        $(#[$doc])* pub(super) const $list: &[Field] = &[$($name),*];
    };
}

properties! {
    /// Of a fibre.
    OF_FIBRE {
        STRENGTH = "strength_mpa", "Strength of the fibre in a laminate", "650", Megapascal, 20.0 .. 7000.0, ReadingError::Share(0.15);
        PUSHED = "compressive_strength_mpa", "Strength of the fibre in a laminate, pushed", "300", Megapascal, 10.0 .. 5000.0, ReadingError::Share(0.2);
        ACROSS = "across_strength_mpa", "Strength of a ply across its fibres", "25", Megapascal, 2.0 .. 150.0, ReadingError::Share(0.25);
        ACROSS_PUSHED = "across_compressive_strength_mpa", "Strength of a ply across its fibres, pushed", "80", Megapascal, 5.0 .. 400.0, ReadingError::Share(0.25);
        SHEAR_STRENGTH = "shear_strength_mpa", "Shear strength of a ply", "38", Megapascal, 3.0 .. 200.0, ReadingError::Share(0.2);
        GROWS_ALONG = "expansion_along_ppm_k", "Expansion along the fibre, millionths per kelvin", "-3", One, -20.0 .. 100.0, ReadingError::None;
        GROWS_ACROSS = "expansion_across_ppm_k", "Expansion across the fibre, millionths per kelvin", "70", One, 0.0 .. 300.0, ReadingError::None;
        LOSS_ALONG = "loss_factor_along", "Loss factor along the fibres of a ply", "0.013", One, 0.0001 .. 0.5, ReadingError::None;
        LOSS_ACROSS = "loss_factor_across", "Loss factor of a ply across its fibres and in shear", "0.03", One, 0.0001 .. 0.5, ReadingError::None;
        KNEE = "knee_strain_pct", "Strain of the knee", "0.17", Percent, 0.0 .. 5.0, ReadingError::None;
        AFTER_KNEE = "after_knee", "Stiffness beyond the knee, over that before it", "0.72", One, 0.2 .. 1.0, ReadingError::None;
        BREAKS = "break_strain_pct", "Strain at which the fibres break in a laminate", "1.6", Percent, 0.2 .. 10.0, ReadingError::Share(0.15);
        CARBON = "co2e_kg_kg", "Fossil carbon per kilogram of cloth", "2", One, 0.0 .. 200.0, ReadingError::Share(0.2);
        HELD_CARBON = "stored_co2_kg_kg", "Carbon dioxide held per kilogram of dry fibre", "1.56", One, 0.0 .. 4.0, ReadingError::None;
    }
}

properties! {
    /// Of a weave.
    OF_WEAVE {
        KEPT = "strength_factor", "Share of strength left by twist and weaving", "0.75", One, 0.1 .. 1.0, ReadingError::None;
    }
}

properties! {
    /// Of a resin.
    OF_RESIN {
        RESIN_STRENGTH = "strength_mpa", "Strength when cured", "70", Megapascal, 5.0 .. 200.0, ReadingError::Share(0.1);
        RESIN_GROWS = "expansion_ppm_k", "Expansion when cured, millionths per kelvin", "60", One, 5.0 .. 300.0, ReadingError::None;
        SHRINKS = "shrinkage_pct", "Shrinking in length after gel", "0.7", Percent, 0.0 .. 5.0, ReadingError::Share(0.3);
        TG_AFTER = "tg_after_c", "Glass transition after a stated cure", "58", Celsius, -20.0 .. 200.0, ReadingError::Plus(2.0);
        TG_AFTER_CURE = "tg_after_cure_c", "That cure was at", "21", Celsius, 5.0 .. 150.0, ReadingError::None;
        TG_AFTER_HOURS = "tg_after_cure_h", "And lasted", "672", Hour, 1.0 .. 10000.0, ReadingError::None;
        RESIN_CARBON = "co2e_kg_kg", "Fossil carbon per kilogram of resin", "6.3", One, 0.0 .. 50.0, ReadingError::Share(0.1);
    }
}

properties! {
    /// Of a core.
    OF_CORE {
        CORE_SHEAR = "shear_modulus_mpa", "Shear stiffness", "20", Megapascal, 0.1 .. 5000.0, ReadingError::Share(0.2);
        CORE_SHEAR_STRENGTH = "shear_strength_mpa", "Shear strength", "0.9", Megapascal, 0.01 .. 100.0, ReadingError::Share(0.2);
        CORE_PUSHED = "compressive_modulus_mpa", "Stiffness through its thickness", "90", Megapascal, 0.1 .. 20000.0, ReadingError::Share(0.3);
        CORE_CRUSH = "crush_strength_mpa", "Strength pressed through its thickness", "1.4", Megapascal, 0.01 .. 200.0, ReadingError::Share(0.2);
        CORE_LOSS = "loss_factor", "Loss factor", "0.05", One, 0.0001 .. 1.0, ReadingError::None;
        CORE_CARBON = "co2e_kg_kg", "Fossil carbon per kilogram of core", "3", One, 0.0 .. 100.0, ReadingError::Share(0.3);
        CORE_HELD = "stored_co2_kg_kg", "Carbon dioxide held per kilogram of core", "1.8", One, 0.0 .. 4.0, ReadingError::None;
    }
}
