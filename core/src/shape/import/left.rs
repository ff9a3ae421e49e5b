//! Keeps count of what a drawing holds that is no part of the outline, and says so.

use super::counted;
use std::collections::BTreeMap;

/// What was left out, by name in the singular and the plural.
#[derive(Debug, Default)]
pub(super) struct Left(BTreeMap<(&'static str, &'static str), usize>);

impl Left {
    /// One more of this kind.
    pub(super) fn one(&mut self, one: &'static str, many: &'static str) {
        self.some(1, one, many);
    }

    /// So many more of this kind.
    pub(super) fn some(&mut self, count: usize, one: &'static str, many: &'static str) {
        if count > 0 {
            *self.0.entry((one, many)).or_default() += count;
        }
    }

    /// All of it in one sentence, or none.
    pub(super) fn sentence(&self) -> Option<String> {
        if self.0.is_empty() {
            return None;
        }
        let list: Vec<String> = self
            .0
            .iter()
            .map(|((one, many), count)| counted(*count, one, many))
            .collect();
        Some(format!("Left out: {}.", list.join(", ")))
    }
}

/// Words by which drawings call the sheet, its frame, and what is printed on it.
const SHEET_WORDS: [&str; 18] = [
    "sheet",
    "frame",
    "border",
    "page",
    "paper",
    "background",
    "bg",
    "backdrop",
    "title",
    "titleblock",
    "format",
    "canvas",
    "artboard",
    "rahmen",
    "zeichnungsrahmen",
    "schriftfeld",
    "cadre",
    "margin",
];

/// Whether a name says that something is the sheet and not what is drawn on it.
pub(super) fn names_sheet(name: &str) -> bool {
    name.split(|c: char| !c.is_alphanumeric())
        .any(|word| SHEET_WORDS.iter().any(|one| one.eq_ignore_ascii_case(word)))
}
