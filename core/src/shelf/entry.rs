//! What every entry on the shelf has: a key, a name, its sources, and properties that carry their own grade.

use crate::range::Range;
use crate::read::{Field, Reader};
use crate::sheet::{Grade, Origin};
use serde_json::Value;

/// The head of a shelf entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Short name, unique in its table.
    pub key: String,
    /// Name for people.
    pub name: String,
    /// Keys of the sources its properties rest on, unless a property names its own.
    pub sources: Vec<String>,
    /// How far its properties may be trusted, unless a property says otherwise.
    pub grade: Grade,
    /// Whether the shop wrote it.
    pub own: bool,
}

impl Entry {
    /// Reads the head of an entry; an own entry is the shop's word and needs no source.
    pub(crate) fn read(reader: &Reader<'_>, key: &str, own: bool) -> Self {
        Self {
            key: key.to_owned(),
            name: reader.text("name").unwrap_or_else(|| key.replace('_', " ")),
            sources: texts(reader.value("sources")),
            grade: grade(reader.value("grade")).unwrap_or(if own {
                Grade::Own
            } else {
                Grade::Judgement
            }),
            own,
        }
    }

    /// Where its values come from.
    pub fn origin(&self) -> Origin {
        if self.own {
            Origin::Measured
        } else {
            Origin::Shelf
        }
    }
}

/// A property with its range, grade and sources.
#[derive(Debug, Clone, PartialEq)]
pub struct Cited {
    /// Its range, in the unit its field name carries.
    pub range: Range,
    /// How far it may be trusted.
    pub grade: Grade,
    /// Keys of its sources.
    pub sources: Vec<String>,
    /// Ends of what may be typed there; no draw passes them.
    pub limits: (f64, f64),
}

impl Cited {
    /// Reads a property of an entry: a number, or a range that may name its own grade and sources.
    pub(crate) fn read(reader: &Reader<'_>, field: &Field, entry: &Entry) -> Option<Self> {
        let range = reader.range(field)?;
        let raw = reader.value(field.name());
        let part = |name: &str| raw.and_then(|v| v.get(name));
        let named = texts(part("sources"));
        Some(Self {
            range,
            grade: grade(part("grade")).unwrap_or(entry.grade),
            sources: if named.is_empty() {
                entry.sources.clone()
            } else {
                named
            },
            limits: (field.low, field.high),
        })
    }

    /// Reads a property that an entry must have.
    pub(crate) fn needed(reader: &Reader<'_>, field: &Field, entry: &Entry) -> Option<Self> {
        let found = Self::read(reader, field, entry);
        if found.is_none() && reader.value(field.name()).is_none() {
            reader.missing(
                field.name(),
                format!(
                    "{} of {} is needed: type it, for example {}.",
                    field.label, entry.name, field.hint
                ),
            );
        }
        found
    }
}

fn texts(value: Option<&Value>) -> Vec<String> {
    value
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
        .filter_map(|v| v.as_str().map(str::to_owned))
        .collect()
}

pub(super) fn grade(value: Option<&Value>) -> Option<Grade> {
    Some(match value?.as_str()? {
        "own" => Grade::Own,
        "read" => Grade::Read,
        "quoted" => Grade::Quoted,
        "memory" => Grade::Memory,
        "practice" => Grade::Practice,
        "judgement" => Grade::Judgement,
        _ => return None,
    })
}
