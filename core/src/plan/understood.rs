//! Reads a plan document: every field and every choice.

use super::choices::{self as choose, OneOf, Switch};
use super::day::Day;
use super::drawn::{Drawing, Lies};
use super::fields;
use super::log::read_log;
use super::sense;
use super::words::{
    Back, Equal, FINISH_GRITS, Faces, Facing, Feed, GaugeKind, Held, Matters, MouldKind, PotKind,
    ROUTES, Route, Sides, Wind, Words,
};
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

    /// A switch, or what is usual.
    fn on(&self, switch: &Switch) -> bool {
        let group = self.get(switch.group);
        let found = group.and_then(|group| group.switch(switch.name, switch.label));
        found.unwrap_or(switch.usual)
    }

    /// One of several words; none where nothing is said.
    fn word<T: Words>(&self, choice: &OneOf<T>) -> Option<T> {
        let group = self.get(choice.group)?;
        T::from_word(group.choice(choice.name, choice.label, T::ALL)?)
    }

    /// A log of readings; empty where there is none.
    fn log(&self, at: &str, key: &'static str, field: &Field) -> Vec<super::Logged> {
        let group = self.get(at);
        group.map_or_else(Vec::new, |group| read_log(group, key, field))
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
    let us = reader.choice("units", "Units", &["metric", "us"]) == Some("us");
    let units = if us { Units::Us } else { Units::Metric };
    shared.units.set(units);
    pass_over_the_pages_own(reader);
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
    let (groups, mut numbers) = Groups::read(reader);
    let [flow_mesh, peel_ply] = [choose::FLOW_MESH, choose::PEEL_PLY].map(|one| groups.on(&one));
    let mass_with_resin = groups.on(&choose::MASS_WITH_RESIN);
    let [fan, closed] = [choose::FAN, choose::CLOSED].map(|one| groups.on(&one));
    let [sharp, unmarked] = [choose::SHARP, choose::UNMARKED].map(|one| groups.on(&one));
    let gauge = groups.word(&choose::GAUGE);
    let faces = groups.word(&choose::FACES);
    let feed = groups.word(&choose::FEED);
    let equal = groups.word(&choose::EQUAL);
    let load_case = groups.word(&choose::LOAD_CASE);
    let held = groups.word(&choose::HELD);
    let sides = groups.word(&choose::SIDES);
    let matters = groups.word(&choose::MATTERS);
    let pot = groups.word(&choose::POT);
    let mould = groups.word(&choose::MOULD);
    let post_on_mould = groups.on(&choose::POST_ON_MOULD);
    let colour = groups.word(&choose::COLOUR);
    let facing = groups.word(&choose::FACING);
    let wind = groups.word(&choose::WIND);
    let back = groups.word(&choose::BACK);
    let wet_in_service = groups.on(&choose::WET);
    let drawing = groups.drawing(shelf);
    let drawn_area = drawing.shape.as_ref().map(Shape::area);
    let day = groups.get("day").map(Day::read).unwrap_or_default();
    let test = groups.log("bag", "test", &LOG_READING);
    let weighings = groups.log("dry", "weighings", &LOG_MASS);
    let allowed = Allowed {
        glass: groups.on(&choose::GLASS),
        carbon: groups.on(&choose::CARBON),
        core: groups.on(&choose::CORE),
        in_stock_only: groups.on(&choose::IN_STOCK),
        unbalanced: groups.on(&choose::UNBALANCED),
    };
    drawing.leaves_a_ply_of(&stack, reader);
    // The outline knows its area better than a tape does.
    if let Some(area) = drawn_area {
        let key = fields::PART_AREA.key;
        numbers.retain(|(known, _)| *known != key);
        numbers.push((key, Range::exact(area)));
    }
    let (tool, finish_grit) = read_trim(groups.get("trim"), shelf);
    area_is_given(reader, &groups, &numbers, units);
    sense::check(reader, &numbers);
    groups.finish();
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
        gauge: gauge.unwrap_or(GaugeKind::MbarAbsolute),
        feed: feed.unwrap_or(Feed::Edge),
        faces: faces.unwrap_or(Faces::Two),
        fan,
        closed,
        tool: tool?,
        sharp,
        unmarked,
        finish_grit: finish_grit.unwrap_or("P240"),
        test,
        weighings,
        load_case,
        held: held.unwrap_or(Held::Resting),
        sides: sides.unwrap_or(Sides::Free),
        equal: equal.unwrap_or(Equal::Stiffness),
        matters: matters.unwrap_or(Matters::Nothing),
        allowed,
        pot: pot.unwrap_or(PotKind::Cup),
        mould: mould.unwrap_or(MouldKind::Laminate),
        post_on_mould,
        colour,
        facing: facing.unwrap_or(Facing::Level),
        wind: wind.unwrap_or(Wind::Still),
        back: back.unwrap_or(Back::Insulated),
        wet_in_service,
        drawn_area,
        mesh_in_zones: drawing.zones.iter().any(|zone| zone.lies == Lies::Mesh),
        drawing: Box::new(drawing),
        start: day.start,
        out_by: day.out_by,
        closed_on: day.closed,
        began: day.began,
        numbers,
    })
}

/// The tool for the edge and the grit to finish with.
fn read_trim(trim: Option<&Reader<'_>>, shelf: &Shelf) -> (Option<Tool>, Option<&'static str>) {
    let Some(trim) = trim else {
        return (None, None);
    };
    let tool = read_material(
        trim,
        "tool",
        "tool",
        "cutting_disc_75",
        |key| shelf.tool(key).cloned(),
        Tool::read,
    );
    let grit = trim.choice("finish_grit", "The grit to finish with", FINISH_GRITS);
    (tool, grit)
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
