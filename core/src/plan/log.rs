//! Reads a log: lines of a minute and a reading each.

use super::{LOG_MINUTE, Logged, MOST_READINGS};
use crate::read::{Field, Reader};
use serde_json::Value;

/// A log: a list of lines, each with its minute and its reading.
pub(super) fn read_log(reader: &Reader<'_>, key: &'static str, field: &Field) -> Vec<Logged> {
    let Some(found) = reader.value(key) else {
        return Vec::new();
    };
    let Some(lines) = found.as_array() else {
        reader.another_kind(key, found, "a list of readings belongs");
        return Vec::new();
    };
    if lines.len() > MOST_READINGS {
        reader.problem(
            key,
            found,
            format!("A log holds at most {MOST_READINGS} readings; leave some out."),
        );
    }
    let line = |(i, value): (usize, &Value)| {
        let line = reader.below(&format!("{key}.{i}"), value);
        value.as_object()?;
        let (minute, value) = (line.number(&LOG_MINUTE), line.number(field));
        for (field, read) in [(&LOG_MINUTE, minute), (field, value)] {
            if read.is_none() && line.value(field.name()).is_none() {
                line.missing(field.name(), "A reading needs its minute and its value.");
            }
        }
        line.finish();
        Some(Logged {
            minute: minute?,
            value: value?,
        })
    };
    let lines = lines.iter().take(MOST_READINGS).enumerate();
    lines.filter_map(line).collect()
}
