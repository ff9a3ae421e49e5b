//! The inputs of one case, in the unit that each name ends in, handed to a law in SI.

use std::cell::RefCell;
use std::collections::BTreeSet;
use toml::{Table, Value};

/// Ending of a name, factor and offset to SI.
const UNITS: &[(&str, f64, f64)] = &[
    ("_g_m2", 1e-3, 0.0),
    ("_kg_m2", 1.0, 0.0),
    ("_g_cm3", 1e3, 0.0),
    ("_m3_h", 1.0 / 3600.0, 0.0),
    ("_mm_s", 1e-3, 0.0),
    ("_mpa_s", 1e-3, 0.0),
    ("_kj_kg", 1e3, 0.0),
    ("_kj_mol", 1e3, 0.0),
    ("_m_min", 1.0 / 60.0, 0.0),
    ("_um", 1e-6, 0.0),
    ("_mm", 1e-3, 0.0),
    ("_g", 1e-3, 0.0),
    ("_mbar", 100.0, 0.0),
    ("_kpa", 1e3, 0.0),
    ("_gpa", 1e9, 0.0),
    ("_pct", 1e-2, 0.0),
    ("_min", 60.0, 0.0),
    ("_h", 3600.0, 0.0),
    ("_deg", std::f64::consts::PI / 180.0, 0.0),
    ("_litre", 1e-3, 0.0),
    ("_c", 1.0, 273.15),
];

/// A number that stands under `name` with a unit ending, in SI.
pub(crate) fn to_si(name: &str, value: f64) -> f64 {
    UNITS
        .iter()
        .find(|(ending, ..)| name.ends_with(ending))
        .map_or(value, |(_, factor, offset)| value * factor + offset)
}

/// The name without its unit ending.
pub(crate) fn bare(name: &str) -> &str {
    UNITS
        .iter()
        .find_map(|(ending, ..)| name.strip_suffix(ending))
        .unwrap_or(name)
}

/// A number of a case file, whole or not.
pub(crate) fn number(value: &Value) -> Option<f64> {
    value
        .as_float()
        .or_else(|| value.as_integer().map(|whole| whole as f64))
}

/// The inputs of one case.
pub(crate) struct Given<'a> {
    table: &'a Table,
    asked: RefCell<BTreeSet<String>>,
}

impl<'a> Given<'a> {
    pub(crate) fn new(table: &'a Table) -> Self {
        Self {
            table,
            asked: RefCell::default(),
        }
    }

    fn find(&self, name: &str) -> Option<(&'a str, &'a Value)> {
        let exact = self.table.get_key_value(name);
        let (key, value) =
            exact.or_else(|| self.table.iter().find(|(key, _)| bare(key) == name))?;
        self.asked.borrow_mut().insert(key.clone());
        Some((key, value))
    }

    /// A number in SI, whatever unit its name ends in.
    pub(crate) fn x(&self, name: &str) -> f64 {
        self.maybe(name)
            .unwrap_or_else(|| panic!("the case needs the input {name}"))
    }

    /// The same, where there is one.
    pub(crate) fn maybe(&self, name: &str) -> Option<f64> {
        let (key, value) = self.find(name)?;
        let found = number(value).unwrap_or_else(|| panic!("{key} is not a number"));
        Some(to_si(key, found))
    }

    /// A word.
    pub(crate) fn word(&self, name: &str) -> &'a str {
        let (key, value) = self
            .find(name)
            .unwrap_or_else(|| panic!("the case needs the input {name}"));
        value
            .as_str()
            .unwrap_or_else(|| panic!("{key} is not a word"))
    }

    /// A list of rows of numbers, taken as they stand.
    pub(crate) fn rows(&self, name: &str) -> Vec<Vec<f64>> {
        let (key, value) = self
            .find(name)
            .unwrap_or_else(|| panic!("the case needs the input {name}"));
        let list = |value: &Value| -> Vec<f64> {
            value
                .as_array()
                .unwrap_or_else(|| panic!("{key} is not a list of lists"))
                .iter()
                .map(|x| number(x).unwrap_or_else(|| panic!("{key} holds something else")))
                .collect()
        };
        value
            .as_array()
            .unwrap_or_else(|| panic!("{key} is not a list"))
            .iter()
            .map(list)
            .collect()
    }

    /// Inputs that the law never asked for: a slip in the case.
    pub(crate) fn unasked(&self) -> Vec<String> {
        let asked = self.asked.borrow();
        self.table
            .keys()
            .filter(|key| !asked.contains(*key))
            .cloned()
            .collect()
    }
}
