//! What stands in a place of another kind, such as a word where a list belongs: kept beside the plan, so that a page can hold the rest.
//!
//! The reader says which parts these are, see [`crate::astray`]. A page moves them into `astray`, a list of pairs: a path, and what
//! stood there. A plan is read with them laid back, so that nothing is dropped and every problem is told.

use serde_json::{Value, json};

/// Where they are kept.
pub(super) const KEY: &str = "astray";

/// Most steps of a path that is laid back; ours need six.
const MOST_STEPS: usize = 8;

/// A part that was laid back: its place in the list, and its path.
type Back = (usize, String);

/// A document with what is astray laid back.
pub(crate) struct Laid {
    pub(super) whole: Value,
    back: Vec<Back>,
    name: fn(&str, &[Back]) -> String,
}

impl Laid {
    /// The field of a problem by its place in the document as a page holds it.
    pub(super) fn as_held(&self, field: &str) -> String {
        // Through a pointer, so that a program which lays nothing back does not carry it.
        (self.name)(field, &self.back)
    }
}

/// A document with what is astray laid back; none when nothing is.
pub(super) fn laid_back(document: &Value) -> Option<Laid> {
    let list = document.get(KEY)?.as_array()?;
    let mut whole = document.clone();
    let mut back = Vec::new();
    for (place, pair) in list.iter().enumerate() {
        if let (Some(path), Some(value)) = (pair.get(0).and_then(Value::as_str), pair.get(1))
            && path.split('.').count() <= MOST_STEPS
            && put(&mut whole, path, value.clone())
        {
            back.push((place, path.to_owned()));
        }
    }
    Some(Laid {
        whole,
        back,
        name: as_held,
    })
}

/// The field of a problem by its place in the document as it is held, where rows that are astray are not counted.
fn as_held(field: &str, back: &[Back]) -> String {
    let mut less = 0;
    let mut at = None;
    for (place, path) in back {
        let Some((list, row)) = row_of(path, path.rfind('.').unwrap_or_default()) else {
            continue;
        };
        if let Some((_, found)) = row_of(field, list.len()).filter(|(start, _)| *start == list) {
            if found == row {
                return format!("{KEY}.{place}");
            }
            less += usize::from(row < found);
            at = Some((list, found));
        }
    }
    let Some((list, found)) = at else {
        return field.to_owned();
    };
    let rest = field.get(list.len() + 1..).unwrap_or_default();
    let rest = rest.find('.').and_then(|dot| rest.get(dot..));
    format!(
        "{list}.{}{}",
        found.saturating_sub(less),
        rest.unwrap_or_default()
    )
}

/// A path to a row of the list that the first so many letters name: the list and the number of the row.
fn row_of(path: &str, list: usize) -> Option<(&str, usize)> {
    let (list, rest) = (path.get(..list)?, path.get(list..)?.strip_prefix('.')?);
    Some((list, rest.split('.').next()?.parse().ok()?))
}

/// The pointer to what holds the last step of a path, and that step.
fn way_to(path: &str) -> (String, &str) {
    path.rsplit_once('.')
        .map_or((String::new(), path), |(way, last)| {
            (format!("/{}", way.replace('.', "/")), last)
        })
}

/// Whether the value is now where its path says: not where something else stands by now, or where its row is gone.
fn put(document: &mut Value, path: &str, value: Value) -> bool {
    let (way, last) = way_to(path);
    let row = last.parse::<usize>().ok();
    if document.pointer(&way).is_none_or(Value::is_null) {
        let empty = if row.is_some() { json!([]) } else { json!({}) };
        let above = path.strip_suffix(last).and_then(|p| p.strip_suffix('.'));
        let gone = |way: &str| way.split('.').any(|step| step.parse::<usize>().is_ok());
        if !above.is_some_and(|above| !gone(above) && put(document, above, empty)) {
            return false;
        }
    }
    match (document.pointer_mut(&way), row) {
        (Some(Value::Object(map)), _) if map.get(last).is_none_or(Value::is_null) => {
            map.insert(last.to_owned(), value);
            true
        }
        (Some(Value::Array(list)), Some(row)) => {
            list.insert(row.min(list.len()), value);
            true
        }
        _ => false,
    }
}
