//! How much of a document is read: what the first, short sheet needs, or all.
//!
//! Called through pointers, so that a program which only asks for the short sheet does not carry the rest.

use super::astray::{Laid, laid_back};
use super::clock::WallClock;
use super::closed::Closed;
use super::drawn::{Drawing, Lies};
use super::fields::{self, DEEP, FIRST};
use super::moment::Moment;
use super::understood::Groups;
use super::words::{
    BACKS, Back, CLOCK_GOES, COLOURS, ClockGoes, Colour, EQUALS, Equal, FACINGS, Facing, HELD,
    Held, LOAD_CASES, LoadCase, MATTERS, MOULD_KINDS, Matters, MouldKind, POT_KINDS, PotKind,
    SIDES, Sides, WINDS, Wind,
};
use super::{
    Allowed, Deep, LOG_MASS, LOG_MINUTE, LOG_READING, Logged, MOST_READINGS, Numbers, ZONE_FROM,
    ZONE_TO, number_of,
};
use crate::read::{Field, Reader};
use crate::shape::Shape;
use crate::shelf::Shelf;
use serde_json::Value;

/// Reads what only the whole sheet asks for, from the document, its groups and its fill.
type ReadDeep = fn(&Reader<'_>, &Groups<'_>, &Reader<'_>, &Shelf) -> Deep;

/// What is read of a document.
pub(crate) struct Scope {
    lists: &'static [&'static [&'static Field]],
    /// Reads what only the whole sheet asks for.
    pub(super) deep: Option<ReadDeep>,
    /// What must make sense together there.
    pub(super) check: Option<fn(&Reader<'_>, &Numbers)>,
    /// Lays back what is astray.
    pub(super) laid_back: Option<fn(&Value) -> Option<Laid>>,
}

/// What the first sheet needs; the rest is left alone.
pub(crate) static SHORT: Scope = Scope {
    lists: &[FIRST],
    deep: None,
    check: None,
    laid_back: None,
};

/// Everything.
pub(crate) static ALL: Scope = Scope {
    lists: &[FIRST, DEEP],
    deep: Some(read_deep),
    check: Some(check),
    laid_back: Some(laid_back),
};

impl Scope {
    /// The numeric fields, in shop order within each list.
    pub(crate) fn fields(&self) -> impl Iterator<Item = &'static Field> {
        self.lists.iter().copied().flatten().copied()
    }

    /// Whether all of a document is read, so that what is left over is not known.
    pub(super) fn is_all(&self) -> bool {
        self.deep.is_some()
    }
}

fn read_deep(reader: &Reader<'_>, groups: &Groups<'_>, fill: &Reader<'_>, shelf: &Shelf) -> Deep {
    let group = |name: &str| {
        let found = groups.iter().find(|(known, _)| *known == name);
        found.map(|(_, group)| group)
    };
    let switch = |key: &'static str, label: &str, usual: bool| {
        group("target")
            .and_then(|g| g.switch(key, label))
            .unwrap_or(usual)
    };
    let pick = |at: &str, key: &'static str, label: &str, words: &'static [&'static str]| {
        group(at).and_then(|g| g.choice(key, label, words))
    };
    let log = |at: &str, key, field| group(at).map_or_else(Vec::new, |g| read_log(g, key, field));
    let suit = reader.group("suit");
    let equal = suit.choice("equal", "What is held equal", EQUALS);
    suit.finish();
    let load_case = pick("load", "case", "What the part must carry", LOAD_CASES);
    let held = pick("load", "held", "How a panel is held", HELD);
    let sides = pick("load", "sides", "How its long edges are held", SIDES);
    let matters = pick("part", "matters", "What counts most", MATTERS);
    let pot = pick("mix", "pot_kind", "What a batch stands in", POT_KINDS);
    let mould = pick(
        "cure",
        "mould_kind",
        "What the mould is made of",
        MOULD_KINDS,
    );
    let on_mould = group("cure").and_then(|g| {
        g.switch(
            "post_on_mould",
            "A part that stays in its mould through the post-cure",
        )
    });
    let colour = pick("service", "colour", "The colour in the sun", COLOURS);
    let facing = pick("service", "facing", "How it lies to the sun", FACINGS);
    let wind = pick("service", "wind", "What the air does there", WINDS);
    let back = pick("service", "back", "What lies behind it", BACKS);
    let wet = group("service").and_then(|g| g.switch("wet", "Wet for long in service"));
    let drawing = Drawing::read(group("part"), fill, shelf);
    let clock = group("day").map_or_else(WallClock::default, read_clock);
    let moment = |key| group("day").and_then(|g| read_moment(g, key, clock));
    Deep {
        pot: pot.and_then(PotKind::from_word).unwrap_or(PotKind::Cup),
        mould: mould
            .and_then(MouldKind::from_word)
            .unwrap_or(MouldKind::Laminate),
        post_on_mould: on_mould.unwrap_or(false),
        colour: colour.and_then(Colour::from_word),
        facing: facing.and_then(Facing::from_word).unwrap_or(Facing::Level),
        wind: wind.and_then(Wind::from_word).unwrap_or(Wind::Still),
        back: back.and_then(Back::from_word).unwrap_or(Back::Insulated),
        wet_in_service: wet.unwrap_or(false),
        drawn_area: drawing.shape.as_ref().map(Shape::area),
        mesh_in_zones: drawing.zones.iter().any(|zone| zone.lies == Lies::Mesh),
        drawing: Some(Box::new(drawing)),
        start: moment("start"),
        out_by: moment("out_by"),
        closed: group("day").map_or_else(Closed::default, read_closed),
        began: group("day").map_or_else(Vec::new, |g| read_began(g, clock)),
        test: log("bag", "test", &LOG_READING),
        weighings: log("dry", "weighings", &LOG_MASS),
        load_case: load_case.and_then(LoadCase::from_word),
        held: held.and_then(Held::from_word).unwrap_or(Held::Resting),
        sides: sides.and_then(Sides::from_word).unwrap_or(Sides::Free),
        equal: equal.and_then(Equal::from_word).unwrap_or(Equal::Stiffness),
        matters: matters
            .and_then(Matters::from_word)
            .unwrap_or(Matters::Nothing),
        allowed: Allowed {
            glass: switch("glass", "Cloth of glass", true),
            carbon: switch("carbon", "Cloth of carbon or aramid", false),
            core: switch("core", "A core in the middle", false),
            in_stock_only: switch("in_stock_only", "Only what is in stock", false),
            unbalanced: switch("unbalanced", "Stacks that pull askew", false),
        },
    }
}

fn check(reader: &Reader<'_>, numbers: &Numbers) {
    syringe_makes_sense(reader, numbers);
    weighed_makes_sense(reader, numbers);
    hours_make_sense(reader, numbers);
    target_makes_sense(reader, numbers);
}

/// A log: a list of lines, each with its minute and its reading.
fn read_log(reader: &Reader<'_>, key: &'static str, field: &Field) -> Vec<Logged> {
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

/// A day and a time of day.
fn read_moment(reader: &Reader<'_>, key: &'static str, clock: WallClock) -> Option<Moment> {
    let text = reader.text(key).filter(|text| !text.is_empty())?;
    let moment = Moment::read(&text, clock);
    if moment.is_none() {
        let found = Value::from(text.as_str());
        reader.problem(key, &found, Moment::WANTED);
    }
    moment
}

/// How the clock on the wall is set in these days: by the rules of its zone where a page tells them, else as typed.
fn read_clock(day: &Reader<'_>) -> WallClock {
    let typed = read_change(day);
    match day.value("zone") {
        Some(zone) => read_zone(day, zone),
        None => typed.unwrap_or_default(),
    }
}

/// When the clock on the wall is set, and which way; none where nothing was said.
fn read_change(day: &Reader<'_>) -> Option<WallClock> {
    let plain = WallClock::default();
    let at = read_moment(day, "clock_at", plain);
    let goes = day.choice("clock_goes", "How the clock is set", CLOCK_GOES);
    if at.is_some() != goes.is_some() && (at.is_some() || day.value("clock_at").is_none()) {
        let key = if at.is_some() {
            "clock_goes"
        } else {
            "clock_at"
        };
        day.missing(
            key,
            "A night on which the clock is set needs two entries: what it shows just before, and whether it goes forward or back.",
        );
    }
    let by = match ClockGoes::from_word(goes?)? {
        ClockGoes::Forward => 60,
        ClockGoes::Back => -60,
    };
    plain.set(at?.minutes(), by)
}

/// The changes of a zone's clock, in their order: what it shows just before, and how far it is ahead of UTC then and after.
fn read_zone(day: &Reader<'_>, zone: &Value) -> WallClock {
    let Some(lines) = zone.as_array() else {
        day.problem("zone", zone, ZONE_WANTED);
        return WallClock::default();
    };
    let mut clock = WallClock::default();
    let mut last = None;
    for (i, value) in lines.iter().enumerate() {
        let line = day.below(&format!("zone.{i}"), value);
        let at = read_moment(&line, "at", WallClock::default());
        // A cast of minutes within a day.
        let minutes = |field| line.number(field).map(|read| read.round() as i64);
        let (from, to) = (minutes(&ZONE_FROM), minutes(&ZONE_TO));
        line.finish();
        let set = at.zip(from).zip(to).and_then(|((at, from), to)| {
            match last {
                None => clock = WallClock::ahead_of_utc(Some(from)),
                // Nobody sets a clock between two of them.
                Some(last) if last != from => return None,
                Some(_) => {}
            }
            last = Some(to);
            clock.set(at.minutes(), to - from)
        });
        match set {
            Some(set) => clock = set,
            None => {
                day.problem("zone", zone, ZONE_WANTED);
                break;
            }
        }
    }
    clock
}

/// What a zone must hold.
const ZONE_WANTED: &str = "List the days on which the clock is set, the first in front and eight at most, each as `at`, what it shows just before, `from_min` and `to_min`, minutes ahead of UTC.";

/// Days on which nobody is there.
fn read_closed(day: &Reader<'_>) -> Closed {
    let Some(text) = day.text("closed") else {
        return Closed::default();
    };
    let found = Value::from(text.as_str());
    match Closed::from_text(&text) {
        Some(closed) if closed.always() => {
            day.problem(
                "closed",
                &found,
                "Every day of the week is closed. Leave out a day on which somebody is there.",
            );
            Closed::default()
        }
        Some(closed) => closed,
        None => {
            day.problem("closed", &found, Closed::WANTED);
            Closed::default()
        }
    }
}

/// Steps that have begun: an object with a moment for each.
fn read_began(reader: &Reader<'_>, clock: WallClock) -> Vec<(String, Moment)> {
    let Some(found) = reader.value("began") else {
        return Vec::new();
    };
    let Some(steps) = found.as_object() else {
        reader.another_kind("began", found, "the steps that have begun belong");
        return Vec::new();
    };
    let read = steps.iter().take(MOST_READINGS).filter_map(|(step, at)| {
        let moment = at.as_str().and_then(|text| Moment::read(text, clock));
        if moment.is_none() {
            if !at.is_string() {
                reader.astray("began", None);
            }
            reader.problem(&format!("began.{step}"), at, Moment::WANTED);
        }
        Some((step.clone(), moment?))
    });
    read.collect()
}

/// A syringe needs two values.
fn syringe_makes_sense(reader: &Reader<'_>, numbers: &Numbers) {
    let let_in = number_of(numbers, &fields::SYRINGE);
    if let_in.is_some() != number_of(numbers, &fields::SYRINGE_RISE).is_some() {
        reader.missing(
            fields::SYRINGE_RISE.key,
            "The syringe needs two values: how much air it let in, and by how much the pressure rose.",
        );
    }
}

/// What was weighed in needs both pots of the pair.
fn weighed_makes_sense(reader: &Reader<'_>, numbers: &Numbers) {
    let resin = number_of(numbers, &fields::WEIGHED_RESIN);
    if resin.is_some() != number_of(numbers, &fields::WEIGHED_HARDENER).is_some() {
        reader.missing(
            fields::WEIGHED_HARDENER.key,
            "What you weighed in needs two values: the resin, and the hardener.",
        );
    }
}

/// Hours that end before they begin run past midnight; hours that last no time are none.
fn hours_make_sense(reader: &Reader<'_>, numbers: &Numbers) {
    let hour = |field: &Field, usual: f64| number_of(numbers, field).map_or(usual, |h| h.likely);
    let (from, to) = (hour(&fields::OPEN_FROM, 8.0), hour(&fields::OPEN_TO, 20.0));
    if (from - to).abs() < 0.01 {
        reader.missing(
            fields::OPEN_TO.key,
            "The workshop closes in the minute in which it opens. Change one of the two; type 0 and 24 for day and night.",
        );
    }
}

/// The thinnest that will do is no thicker than the thickest that fits.
fn target_makes_sense(reader: &Reader<'_>, numbers: &Numbers) {
    use fields::{TARGET_THICK, TARGET_THIN};
    if let (Some(thin), Some(thick)) = (
        number_of(numbers, &TARGET_THIN),
        number_of(numbers, &TARGET_THICK),
    ) && thin.likely > thick.likely
    {
        reader.missing(
            TARGET_THICK.key,
            "The thinnest that will do is thicker than the thickest that fits. Change one of the two.",
        );
    }
}
