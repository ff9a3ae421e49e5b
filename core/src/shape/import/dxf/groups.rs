//! Splits the text of a DXF into its pairs of code and value, and those into records.

use super::super::refuse;
use crate::read::Problem;

/// One pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Group<'a> {
    pub(super) code: i32,
    pub(super) value: &'a str,
}

/// The pairs of a text, to `EOF`.
pub(super) fn of(text: &str) -> Result<Vec<Group<'_>>, Problem> {
    let mut lines = text
        .trim_start_matches('\u{feff}')
        .lines()
        .map(str::trim)
        .enumerate();
    let mut groups = Vec::new();
    while let Some((at, code)) = lines.next() {
        if code.is_empty() && groups.is_empty() {
            continue;
        }
        let Some((_, value)) = lines.next() else {
            // A last line by itself; whatever it belonged to is not there.
            break;
        };
        let code = code.parse().map_err(|_| {
            refuse(format!(
                "This DXF is garbled at line {}: a whole number should stand there. Save it again from the drawing.",
                at + 1
            ))
        })?;
        if code == 0 && value == "EOF" {
            break;
        }
        groups.push(Group { code, value });
    }
    Ok(groups)
}

/// The stretches between two words, the first word not among them; one that does not end goes to the end.
pub(super) fn split<'a>(
    groups: &'a [Group<'a>],
    from: &'static str,
    to: &'static str,
) -> impl Iterator<Item = &'a [Group<'a>]> {
    let mut rest = groups;
    std::iter::from_fn(move || {
        let is = |group: &Group<'_>, word: &str| group.code == 0 && group.value == word;
        let start = rest.iter().position(|group| is(group, from))? + 1;
        let inside = rest.get(start..)?;
        let end = inside
            .iter()
            .position(|group| is(group, to))
            .unwrap_or(inside.len());
        rest = inside.get(end..)?;
        inside.get(..end)
    })
}

/// One record: a pair of code 0 with its kind, and the pairs up to the next. The head of a block or section comes
/// without the pair of code 0.
#[derive(Debug, Clone, Copy)]
pub(super) struct Record<'a>(&'a [Group<'a>]);

/// The records of a stretch.
pub(super) fn records<'a>(groups: &'a [Group<'a>]) -> impl Iterator<Item = Record<'a>> {
    let mut rest = groups;
    std::iter::from_fn(move || {
        let after = rest.get(1..)?;
        let length = 1 + after
            .iter()
            .position(|group| group.code == 0)
            .unwrap_or(after.len());
        let record = rest.get(..length)?;
        rest = rest.get(length..)?;
        Some(Record(record))
    })
}

impl<'a> Record<'a> {
    /// What it is, such as `LINE`.
    pub(super) fn kind(self) -> &'a str {
        self.0
            .first()
            .filter(|group| group.code == 0)
            .map_or("", |group| group.value)
    }

    /// How many pairs it has.
    pub(super) fn len(self) -> usize {
        self.0.len()
    }

    /// All pairs.
    pub(super) fn groups(self) -> &'a [Group<'a>] {
        self.0
    }

    /// The first value of this code.
    pub(super) fn text(self, code: i32) -> Option<&'a str> {
        self.0
            .iter()
            .find(|group| group.code == code)
            .map(|group| group.value)
    }

    /// The first value of this code, as a number.
    pub(super) fn number(self, code: i32) -> Option<f64> {
        self.text(code)?.parse().ok()
    }

    /// The first value of this code, as a whole number.
    pub(super) fn whole(self, code: i32) -> Option<i64> {
        self.text(code)?.parse().ok()
    }

    /// All values of this code, as numbers; none where one is no number.
    pub(super) fn numbers(self, code: i32) -> Option<Vec<f64>> {
        self.0
            .iter()
            .filter(|group| group.code == code)
            .map(|group| group.value.parse().ok())
            .collect()
    }
}
