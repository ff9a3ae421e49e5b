//! Reads a plan document: every field, every choice, and what only makes sense together.

use super::fields;
use super::scope::Scope;
use super::words::{
    FACES, FEEDS, FINISH_GRITS, Faces, Feed, GAUGE_KINDS, GaugeKind, ROUTES, Route,
};
use super::{
    Deep, MOST_PLIES, MOST_ROWS, Numbers, PLAN_FORMAT, Plan, ROW_ANGLE, ROW_COUNT, Row, number_of,
};
use crate::range::Range;
use crate::read::{Reader, Shared};
use crate::shelf::{Fabric, Resin, Shelf, Tool};
use crate::units::{Unit, Units, plain};
use serde_json::Value;

/// The groups of a document, each read once.
pub(super) type Groups<'a> = Vec<(&'static str, Reader<'a>)>;

pub(super) fn read_plan(
    reader: &Reader<'_>,
    shared: &Shared,
    shelf: &Shelf,
    scope: &Scope,
) -> Option<Plan> {
    match reader.value("format") {
        None => {}
        Some(format) if format.as_u64() == Some(PLAN_FORMAT) => {}
        Some(format) => {
            reader.problem(
                "format",
                format,
                "This plan was written by another version of Bastwork that this one cannot read. Load the newest page and open it again; nothing in it has been changed.",
            );
            return None;
        }
    }
    let us = reader.choice("units", "Units", &["metric", "us"]) == Some("us");
    let units = if us { Units::Us } else { Units::Metric };
    shared.units.set(units);
    // Written by the page for its own list of plans; not used here.
    for of_the_page in ["id", "saved", super::astray::KEY] {
        let _ = reader.value(of_the_page);
    }
    if let Some(note) = reader.value("note").filter(|note| !note.is_string()) {
        reader.another_kind("note", note, "words belong");
    }
    let stamps = reader.group("stamps");
    for (at, found) in stamps.entries().filter(|(_, found)| !found.is_string()) {
        stamps.another_kind(at, found, "a time belongs");
    }
    let name = reader.text("name").unwrap_or_default();
    let route = reader.choice("route", "The way of moulding", ROUTES);
    let stack = read_stack(reader, shelf);
    let resin = read_material(
        reader,
        "resin",
        "resin",
        "infusion_epoxy_slow",
        |key| shelf.resin(key).cloned(),
        Resin::read,
    );
    let mut numbers = Numbers::new();
    let mut groups: Groups<'_> = Vec::new();
    for field in scope.fields() {
        let name = field.key.split('.').next().unwrap_or(field.key);
        if groups.iter().all(|(known, _)| *known != name) {
            groups.push((name, reader.group(name)));
        }
        for (_, group) in groups.iter().filter(|(known, _)| *known == name) {
            if let Some(range) = group.range(field) {
                numbers.push((field.key, range));
            }
        }
    }
    let group = |name: &str| {
        let found = groups.iter().find(|(known, _)| *known == name);
        found.map(|(_, group)| group)
    };
    let switch = |at: &str, key: &'static str, label: &str, usual: bool| {
        group(at)
            .and_then(|g| g.switch(key, label))
            .unwrap_or(usual)
    };
    let flow_mesh = switch("bag", "flow_mesh", "A flow mesh", false);
    let peel_ply = switch("bag", "peel_ply", "A peel ply", true);
    let mass_with_resin = switch(
        "prepreg",
        "mass_with_resin",
        "An areal mass that counts the resin",
        false,
    );
    let fan = switch("dry", "fan", "A fan in the oven", false);
    let closed = switch("dry", "closed", "An oven that is shut tight", false);
    let sharp = switch("trim", "sharp", "A sharp tool", true);
    let unmarked = switch("trim", "unmarked", "A tool without a marking", false);
    let pick = |at: &str, key: &'static str, label: &str, words: &'static [&'static str]| {
        group(at).and_then(|g| g.choice(key, label, words))
    };
    let gauge = pick("bag", "gauge_kind", "What the gauge shows", GAUGE_KINDS)
        .and_then(GaugeKind::from_word)
        .unwrap_or(GaugeKind::MbarAbsolute);
    let faces = pick("dry", "faces", "How the plies lie", FACES)
        .and_then(Faces::from_word)
        .unwrap_or(Faces::Two);
    let own_fill = group("fill").is_none().then(|| reader.group("fill"));
    let feed = group("fill")
        .or(own_fill.as_ref())
        .and_then(|fill| fill.choice("feed", "Where resin enters", FEEDS))
        .and_then(Feed::from_word)
        .unwrap_or(Feed::Edge);
    let deep = match (scope.deep, group("fill").or(own_fill.as_ref())) {
        (Some(read), Some(fill)) => read(reader, &groups, fill, shelf),
        _ => Deep::default(),
    };
    let cloths = stack
        .iter()
        .filter(|row| matches!(row.fabric, Fabric::Cloth(_)));
    deep.fewer_than(cloths.map(|row| row.count).sum(), reader);
    if let Some(fill) = own_fill {
        fill.finish();
    }
    // The outline knows its area better than a tape does.
    if let Some(area) = deep.drawn_area {
        let key = fields::PART_AREA.key;
        let drawn = Range::exact(area);
        match numbers.iter_mut().find(|(known, _)| *known == key) {
            Some((_, range)) => *range = drawn,
            None => numbers.push((key, drawn)),
        }
    }
    let (tool, finish_grit) = match group("trim") {
        Some(trim) => (
            read_material(
                trim,
                "tool",
                "tool",
                "cutting_disc_75",
                |key| shelf.tool(key).cloned(),
                Tool::read,
            ),
            trim.choice("finish_grit", "The grit to finish with", FINISH_GRITS),
        ),
        None => (None, None),
    };
    if number_of(&numbers, &fields::PART_AREA).is_none()
        && group("part").is_none_or(|g| g.value("area_m2").is_none())
    {
        reader.missing(
            fields::PART_AREA.key,
            format!(
                "Type the area of the part, for example {} {}.",
                plain(Unit::SquareMetre.to_shown(0.62, units)),
                Unit::SquareMetre.symbol_in(units)
            ),
        );
    }
    swatch_makes_sense(reader, &numbers);
    strip_makes_sense(reader, &numbers);
    if let Some(check) = scope.check {
        check(reader, &numbers);
    }
    for (_, group) in groups {
        group.finish();
    }
    Some(Plan {
        name: if name.is_empty() {
            "Unnamed part".into()
        } else {
            name
        },
        units,
        route: route.and_then(Route::from_word).unwrap_or(Route::Infusion),
        stack,
        resin: resin?,
        flow_mesh,
        peel_ply,
        mass_with_resin,
        gauge,
        feed,
        faces,
        fan,
        closed,
        tool: tool?,
        sharp,
        unmarked,
        finish_grit: finish_grit.unwrap_or("P240"),
        deep,
        numbers,
    })
}

fn swatch_makes_sense(reader: &Reader<'_>, numbers: &Numbers) {
    let kept = number_of(numbers, &fields::SWATCH_KEPT);
    let dried = number_of(numbers, &fields::SWATCH_DRIED);
    let sentence = match (kept, dried) {
        (Some(kept), Some(dried)) if kept.likely <= dried.likely => {
            "The dried swatch weighs as much as the kept one or more. Weigh both again: drying takes water away."
        }
        (Some(kept), Some(dried)) if kept.likely > 1.4 * dried.likely => {
            "The swatch lost more than 40 percent on drying, more than any cloth holds from air. Weigh both again."
        }
        (Some(_), None) | (None, Some(_)) => {
            "A swatch needs two weighings: as it was kept, and after drying to constant mass."
        }
        _ => return,
    };
    reader.missing(fields::SWATCH_DRIED.key, sentence);
}

fn strip_makes_sense(reader: &Reader<'_>, numbers: &Numbers) {
    let length = number_of(numbers, &fields::STRIP_LENGTH);
    let minutes = number_of(numbers, &fields::STRIP_MINUTES);
    if length.is_some() != minutes.is_some() {
        reader.missing(
            fields::STRIP_MINUTES.key,
            "A strip needs two readings: how far resin ran, and how long it took.",
        );
    }
}

/// Reads the rows of a stack.
pub(super) fn read_stack(reader: &Reader<'_>, shelf: &Shelf) -> Vec<Row> {
    let Some(found) = reader.value("stack") else {
        reader.missing(
            "stack",
            "Choose at least one cloth and say how many plies, for example 4.",
        );
        return Vec::new();
    };
    let Some(rows) = found.as_array().filter(|rows| !rows.is_empty()) else {
        if !found.is_array() {
            reader.astray("stack", None);
        }
        reader.problem(
            "stack",
            found,
            "The stack is a list of rows. Choose at least one cloth and say how many plies, for example 4.",
        );
        return Vec::new();
    };
    if rows.len() > MOST_ROWS {
        reader.problem(
            "stack",
            found,
            format!("A stack has at most {MOST_ROWS} rows; put equal plies into one row."),
        );
    }
    let read: Vec<Row> = rows
        .iter()
        .take(MOST_ROWS)
        .enumerate()
        .filter_map(|(i, value)| {
            let row = reader.below(&format!("stack.{i}"), value);
            value.as_object()?;
            let fabric = read_material(
                &row,
                "fabric",
                "cloth",
                "flax_twill_300",
                |key| shelf.fabric(key).cloned(),
                |r, key, own| {
                    let fabric = Fabric::read(r, key, own)?;
                    known_fibre(r, &fabric, shelf)?;
                    Some(fabric)
                },
            );
            let count = row.number(&ROW_COUNT);
            let angle = row.number(&ROW_ANGLE);
            if count.is_none() && row.value("count").is_none() {
                row.missing("count", "Say how many plies of this cloth, for example 4.");
            }
            row.finish();
            Some(Row {
                fabric: fabric?,
                // Checked to be whole and between 1 and 100.
                count: count? as u32,
                angle_deg: angle.unwrap_or(0.0),
            })
        })
        .collect();
    let plies: u32 = read.iter().map(|row| row.count).sum();
    if plies > MOST_PLIES {
        reader.problem(
            "stack",
            &Value::from(plies),
            format!(
                "The stack has {plies} plies; this computes up to {MOST_PLIES}. Split the part."
            ),
        );
    }
    if !read.is_empty()
        && read.len() == rows.len()
        && read.iter().all(|row| matches!(row.fabric, Fabric::Core(_)))
    {
        reader.missing(
            "stack",
            "A core alone makes no laminate. Add at least one ply of cloth.",
        );
    }
    read
}

/// A cloth written out in full names a fibre that the shelf knows.
fn known_fibre(reader: &Reader<'_>, fabric: &Fabric, shelf: &Shelf) -> Option<()> {
    let Fabric::Cloth(cloth) = fabric else {
        return Some(());
    };
    let weave = shelf
        .fibre(&cloth.fibre)
        .map(|fibre| shelf.weave(fibre.family, cloth.architecture));
    match weave {
        Some(Some(_)) => Some(()),
        Some(None) => {
            reader.missing(
                "architecture",
                format!(
                    "The shelf has no {} cloth of {}. Choose another architecture.",
                    cloth.architecture.word(),
                    cloth.fibre
                ),
            );
            None
        }
        None => {
            let known: Vec<&str> = shelf.fibres().map(|f| f.entry.key.as_str()).collect();
            reader.problem(
                "fibre",
                &Value::from(cloth.fibre.as_str()),
                format!(
                    "There is no fibre called {}. The shelf has {}.",
                    cloth.fibre,
                    known.join(", ")
                ),
            );
            None
        }
    }
}

/// A shelf key, or a material written out in full.
fn read_material<'a, T>(
    reader: &Reader<'a>,
    key: &'static str,
    what: &str,
    example: &str,
    find: impl Fn(&str) -> Option<T>,
    read: impl Fn(&Reader<'a>, &str, bool) -> Option<T>,
) -> Option<T> {
    match reader.value(key) {
        None => {
            let usual = if what == "cloth" { None } else { find(example) };
            if usual.is_none() {
                reader.missing(key, format!("Choose a {what}, for example {example}."));
            }
            usual
        }
        Some(Value::String(name)) => {
            let found = find(name.trim());
            if found.is_none() {
                reader.problem(
                    key,
                    &Value::from(name.as_str()),
                    format!(
                        "There is no {what} called {} on the shelf. Choose one from the list, such as {example}, or write it out in full.",
                        name.chars().filter(|c| !c.is_control()).take(40).collect::<String>()
                    ),
                );
            }
            found
        }
        Some(value @ Value::Object(_)) => {
            let own = reader.below(key, value);
            let found = read(&own, "own", true);
            own.finish();
            found
        }
        Some(other) => {
            reader.astray(key, Some(other));
            reader.problem(
                key,
                other,
                format!(
                    "Name a {what} from the shelf, such as {example}, or write it out in full."
                ),
            );
            None
        }
    }
}
