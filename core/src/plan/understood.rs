//! Reads a plan document: every field and every choice.

use super::day::Day;
use super::drawn::{Drawing, Lies};
use super::fields::{self, Heading, OneOf, OneOrNone, Shelved, Switch};
use super::log::read_log;
use super::sense;
use super::words::Words;
use super::{
    Allowed, LOG_MASS, LOG_READING, MOST_PLIES, MOST_ROWS, Numbers, PLAN_FORMAT, Plan, ROW_ANGLE,
    ROW_COUNT, Row, number_of,
};
use crate::range::Range;
use crate::read::{Field, Reader, Shared};
use crate::shape::Shape;
use crate::shelf::{Fabric, Resin, Shelf, Tool};
use crate::units::{Unit, Units, plain};
use serde_json::Value;

/// The groups of a document, such as `bag`, each read once.
struct Groups<'a>(Vec<(&'static str, Reader<'a>)>);

impl<'a> Groups<'a> {
    /// Every group that holds a number, and the numbers given, by the key of their field.
    fn read(reader: &Reader<'a>) -> (Self, Numbers) {
        let mut numbers = Numbers::new();
        let mut groups = Self(Vec::new());
        for field in fields::all() {
            let name = field.key.split('.').next().unwrap_or(field.key);
            if groups.get(name).is_none() {
                groups.0.push((name, reader.group(name)));
            }
            if let Some(range) = groups.get(name).and_then(|group| group.range(field)) {
                numbers.push((field.key, range));
            }
        }
        for of_choices in ["fill", "suit"] {
            if groups.get(of_choices).is_none() {
                groups.0.push((of_choices, reader.group(of_choices)));
            }
        }
        (groups, numbers)
    }

    fn get(&self, name: &str) -> Option<&Reader<'a>> {
        let found = self.0.iter().find(|(known, _)| *known == name);
        found.map(|(_, group)| group)
    }

    /// The group that a row belongs to, and its name there.
    fn place(&self, head: &Heading) -> Option<(&Reader<'a>, &'static str)> {
        let (group, name) = head.place();
        Some((self.get(group?)?, name))
    }

    /// A switch, or what is usual.
    fn on(&self, switch: &Switch) -> bool {
        let place = self.place(&switch.head);
        let found = place.and_then(|(group, name)| group.switch(name, switch.head.label));
        found.unwrap_or(switch.usual)
    }

    /// One of several words, or the usual one.
    fn one<T: Words>(&self, choice: &OneOf<T>) -> T {
        self.word(&choice.head).unwrap_or(choice.usual)
    }

    /// One of several words, where one was chosen.
    fn one_or_none<T: Words>(&self, choice: &OneOrNone<T>) -> Option<T> {
        self.word(&choice.head)
    }

    fn word<T: Words>(&self, head: &Heading) -> Option<T> {
        let (group, name) = self.place(head)?;
        word(group, name, head)
    }

    /// A log of readings; empty where there is none.
    fn log(&self, at: &str, key: &'static str, field: &Field) -> Vec<super::Logged> {
        let group = self.get(at);
        group.map_or_else(Vec::new, |group| read_log(group, key, field))
    }

    /// What the search for a better stack may use.
    fn allowed(&self) -> Allowed {
        Allowed {
            glass: self.on(&fields::GLASS),
            carbon: self.on(&fields::CARBON),
            core: self.on(&fields::CORE),
            in_stock_only: self.on(&fields::IN_STOCK),
            unbalanced: self.on(&fields::UNBALANCED),
        }
    }

    /// What is drawn on the part.
    fn drawing(&self, shelf: &Shelf) -> Drawing {
        let fill = self.get("fill");
        fill.map_or(Drawing::EMPTY, |fill| {
            Drawing::read(self.get("part"), fill, shelf)
        })
    }

    fn finish(self) {
        for (_, group) in self.0 {
            group.finish();
        }
    }
}

/// Whether this build reads the format of a document; told where it does not.
fn is_readable(reader: &Reader<'_>) -> bool {
    match reader.value("format") {
        None => true,
        Some(format) if format.as_u64() == Some(PLAN_FORMAT) => true,
        Some(format) => {
            reader.problem(
                "format",
                format,
                "This plan was written by another version of Bastwork that this one cannot read. Load the newest page and open it again; nothing in it has been changed.",
            );
            false
        }
    }
}

/// What the page writes for itself: looked at for its kind alone.
fn pass_over_the_pages_own(reader: &Reader<'_>) {
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
}

pub(super) fn read_plan(reader: &Reader<'_>, shared: &Shared, shelf: &Shelf) -> Option<Plan> {
    if !is_readable(reader) {
        return None;
    }
    let units = at_the_top(reader, &fields::UNITS);
    shared.units.set(units);
    pass_over_the_pages_own(reader);
    let name = reader.text("name").unwrap_or_default();
    let route = at_the_top(reader, &fields::ROUTE);
    let stack = read_stack(reader, shelf);
    let resin = read_material(
        reader,
        &fields::RESIN,
        "resin",
        |key| shelf.resin(key).cloned(),
        Resin::read,
    );
    let (groups, mut numbers) = Groups::read(reader);
    let drawing = groups.drawing(shelf);
    let drawn_area = drawing.shape.as_ref().map(Shape::area);
    let day = groups.get("day").map(Day::read).unwrap_or_default();
    let test = groups.log("bag", "test", &LOG_READING);
    let weighings = groups.log("dry", "weighings", &LOG_MASS);
    drawing.leaves_a_ply_of(&stack, reader);
    // The outline knows its area better than a tape does.
    if let Some(area) = drawn_area {
        let key = fields::PART_AREA.key;
        numbers.retain(|(known, _)| *known != key);
        numbers.push((key, Range::exact(area)));
    }
    let tool = groups.get("trim").and_then(|trim| read_tool(trim, shelf));
    area_is_given(reader, &groups, &numbers, units);
    sense::check(reader, &numbers);
    let plan = || {
        Some(Plan {
            name: if name.is_empty() {
                "Unnamed part".into()
            } else {
                name
            },
            units,
            route,
            stack,
            flow_mesh: groups.on(&fields::FLOW_MESH),
            peel_ply: groups.on(&fields::PEEL_PLY),
            mass_with_resin: groups.on(&fields::MASS_WITH_RESIN),
            gauge: groups.one(&fields::GAUGE),
            feed: groups.one(&fields::FEED),
            faces: groups.one(&fields::FACES),
            fan: groups.on(&fields::FAN),
            closed: groups.on(&fields::CLOSED),
            sharp: groups.on(&fields::SHARP),
            unmarked: groups.on(&fields::UNMARKED),
            finish_grit: groups.one(&fields::FINISH_GRIT).0,
            test,
            weighings,
            load_case: groups.one_or_none(&fields::LOAD_CASE),
            held: groups.one(&fields::HELD),
            sides: groups.one(&fields::SIDES),
            equal: groups.one(&fields::EQUAL),
            matters: groups.one(&fields::MATTERS),
            allowed: groups.allowed(),
            pot: groups.one(&fields::POT),
            mould: groups.one(&fields::MOULD),
            post_on_mould: groups.on(&fields::POST_ON_MOULD),
            colour: groups.one_or_none(&fields::COLOUR),
            facing: groups.one(&fields::FACING),
            wind: groups.one(&fields::WIND),
            back: groups.one(&fields::BACK),
            wet_in_service: groups.on(&fields::WET),
            drawn_area,
            mesh_in_zones: drawing.zones.iter().any(|zone| zone.lies == Lies::Mesh),
            drawing: Box::new(drawing),
            start: day.start,
            out_by: day.out_by,
            closed_on: day.closed,
            began: day.began,
            numbers,
            // Last, so that whatever else is wrong has been told.
            resin: resin?,
            tool: tool?,
        })
    };
    let plan = plan();
    groups.finish();
    plan
}

/// A word of a row that belongs to no group, or the usual one.
fn at_the_top<T: Words>(reader: &Reader<'_>, choice: &OneOf<T>) -> T {
    let (_, name) = choice.head.place();
    word(reader, name, &choice.head).unwrap_or(choice.usual)
}

fn word<T: Words>(reader: &Reader<'_>, name: &'static str, head: &Heading) -> Option<T> {
    T::from_word(reader.choice(name, head.label, T::ALL)?)
}

/// The tool for the edge.
fn read_tool(trim: &Reader<'_>, shelf: &Shelf) -> Option<Tool> {
    let found = |key: &str| shelf.tool(key).cloned();
    read_material(trim, &fields::TOOL, "tool", found, Tool::read)
}

/// Without an area there is no sheet.
fn area_is_given(reader: &Reader<'_>, groups: &Groups<'_>, numbers: &Numbers, units: Units) {
    let typed = groups
        .get("part")
        .is_some_and(|part| part.value("area_m2").is_some());
    if !typed && number_of(numbers, &fields::PART_AREA).is_none() {
        reader.missing(
            fields::PART_AREA.key,
            format!(
                "Type the area of the part, for example {} {}.",
                plain(Unit::SquareMetre.to_shown(0.62, units)),
                Unit::SquareMetre.symbol_in(units)
            ),
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
                &fields::ROW_FABRIC,
                "cloth",
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
    row: &Shelved,
    what: &str,
    find: impl Fn(&str) -> Option<T>,
    read: impl Fn(&Reader<'a>, &str, bool) -> Option<T>,
) -> Option<T> {
    let ((_, key), example) = (row.head.place(), row.usual);
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
