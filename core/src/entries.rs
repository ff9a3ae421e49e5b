//! What a page needs to build its entries: fields with their words, choices, and what lies on the shelf.

use crate::plan::{
    Back, ClockGoes, Colour, Equal, FINISH_GRITS, Faces, Facing, Feed, GaugeKind, Held, LOG_MASS,
    LOG_MINUTE, LOG_READING, LoadCase, Matters, MouldKind, PotKind, ROW_ANGLE, ROW_COUNT, Route,
    Sides, Wind, Words, fields,
};
use crate::read::{Field, Problem, Reader, Shared};
use crate::shelf::{Fabric, OWN_TABLES, Shelf, own_fields};
use crate::units::{Units, entry as entry_text, plain};
use serde::Serialize;
use serde_json::Value;

/// One entry of the page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Entry {
    /// Path of the field in the document.
    pub key: String,
    /// Its name.
    pub label: &'static str,
    /// A real example in the reader's units.
    pub hint: String,
    /// Its unit in the reader's units.
    pub unit: &'static str,
    /// Where in the document it belongs.
    pub group: String,
    /// The stage whose entries it stands with.
    pub stage: &'static str,
    /// What is taken when nothing is typed, as text with its unit.
    pub usual: Option<String>,
    /// Whether only whole numbers make sense.
    pub count: bool,
}

impl Entry {
    fn of(field: &Field, key: String, stage: &'static str, units: Units) -> Self {
        let shown = |x: f64| entry_text(field.unit.to_shown(x, units));
        let unit = field.unit.symbol_in(units);
        Self {
            label: field.label,
            hint: crate::units::typed(field.hint).map_or_else(
                || field.hint.to_owned(),
                |x| plain(field.unit.to_shown(x, units)),
            ),
            unit,
            group: key.split('.').next().unwrap_or_default().to_owned(),
            stage,
            usual: field
                .usual
                .map(|usual| crate::units::join_unit(&shown(usual.range.likely), unit)),
            count: field.unit == crate::units::Unit::Count,
            key,
        }
    }
}

/// The numeric entries of a plan.
pub fn entries(units: Units) -> Vec<Entry> {
    fields::all()
        .map(|field| Entry::of(field, field.key.to_owned(), stage_of(field.key), units))
        .collect()
}

/// The numeric entries of an own material, `fabrics`, `cores`, `resins` or `tools`, and of its `stock`.
pub fn own_entries(table: &str, units: Units) -> Vec<Entry> {
    own_fields(table)
        .iter()
        .map(|field| Entry::of(field, format!("{table}.{}", field.key), "own", units))
        .collect()
}

/// Where the entry of a field stands on the page.
fn stage_of(key: &str) -> &'static str {
    match key.split('.').next() {
        Some("part" | "room") => "start",
        Some("measured") if key.starts_with("measured.strip") => "fill",
        Some("measured" | "load" | "finish" | "prepreg") => "stack",
        Some("target") => "back",
        Some("dry") if key == "dry.pump_m3_h" => "bag",
        Some("store" | "dry") => "dry",
        Some("mix") => "mix",
        Some("day") => "day",
        Some("cure") if key == "cure.hottest_c" => "dry",
        Some("cure" | "service") => "cure",
        Some("trim") => "trim",
        Some("bag") => match key {
            "bag.pressure_mbar_abs"
            | "bag.gauge_reading"
            | "bag.feed_open_min"
            | "bag.feed_tubes"
            | "bag.feed_branches"
            | "bag.feed_branch_m"
            | "bag.pot_below_mm" => "fill",
            "bag.feed_tube_m"
            | "bag.feed_tube_bore_mm"
            | "bag.spiral_m"
            | "bag.spiral_bore_mm"
            | "bag.catch_pot_pct" => "mix",
            _ => "bag",
        },
        _ => "start",
    }
}

/// A word of the document and what the page calls it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// The word in the document.
    pub word: &'static str,
    /// The words on the page.
    pub label: String,
}

fn named(word: &'static str, label: &str) -> Choice {
    Choice {
        word,
        label: label.to_owned(),
    }
}

/// Choices whose labels stand beside their words.
fn spelt(list: &[(&'static str, &str)]) -> Vec<Choice> {
    list.iter()
        .map(|&(word, label)| named(word, label))
        .collect()
}

/// Every choice a plan may make.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choices {
    /// How the part is moulded.
    pub route: Vec<Choice>,
    /// Where resin enters.
    pub feed: Vec<Choice>,
    /// What the gauge shows.
    pub gauge_kind: Vec<Choice>,
    /// How the plies lie in the oven.
    pub faces: Vec<Choice>,
    /// Units.
    pub units: Vec<Choice>,
    /// Grits to finish with.
    pub grits: Vec<Choice>,
    /// What the part must carry.
    pub load_case: Vec<Choice>,
    /// How a panel is held.
    pub held: Vec<Choice>,
    /// How the long edges of a pushed part are held.
    pub sides: Vec<Choice>,
    /// What a comparison holds equal.
    pub equal: Vec<Choice>,
    /// What counts most.
    pub matters: Vec<Choice>,
    /// What a batch stands in.
    pub pot_kind: Vec<Choice>,
    /// What the mould is made of.
    pub mould_kind: Vec<Choice>,
    /// How the clock on the wall is set.
    pub clock_goes: Vec<Choice>,
    /// What colour the sun sees in service.
    pub colour: Vec<Choice>,
    /// How the part lies to it.
    pub facing: Vec<Choice>,
    /// What the air does there.
    pub wind: Vec<Choice>,
    /// What lies behind the part there.
    pub back: Vec<Choice>,
}

/// The words of a choice with their labels.
fn words<T: Words>() -> Vec<Choice> {
    let label = |word| T::from_word(word).map_or(word, T::label);
    T::ALL
        .iter()
        .map(|&word| named(word, label(word)))
        .collect()
}

/// Every choice a plan may make.
pub fn choices() -> Choices {
    Choices {
        route: words::<Route>(),
        feed: words::<Feed>(),
        gauge_kind: words::<GaugeKind>(),
        faces: words::<Faces>(),
        units: spelt(&[("metric", "metric"), ("us", "US customary")]),
        grits: FINISH_GRITS.iter().map(|&grit| named(grit, grit)).collect(),
        load_case: words::<LoadCase>(),
        held: words::<Held>(),
        sides: words::<Sides>(),
        equal: words::<Equal>(),
        matters: words::<Matters>(),
        pot_kind: words::<PotKind>(),
        mould_kind: words::<MouldKind>(),
        clock_goes: words::<ClockGoes>(),
        colour: words::<Colour>(),
        facing: words::<Facing>(),
        wind: words::<Wind>(),
        back: words::<Back>(),
    }
}

/// One thing on the shelf, for a picker.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Item {
    /// Its key.
    pub key: String,
    /// Its name.
    pub name: String,
    /// `cloth`, `core`, or the family of a fibre.
    pub kind: &'static str,
    /// Key of the fibre a cloth is of.
    pub fibre: String,
    /// Whether the shop wrote it.
    pub own: bool,
    /// Whether it is offered no more, and is here for the plans that name it.
    pub gone: bool,
}

/// What lies on the shelf, for the pickers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Catalogue {
    /// Cloths and cores.
    pub fabrics: Vec<Item>,
    /// Resins.
    pub resins: Vec<Item>,
    /// Tools.
    pub tools: Vec<Item>,
    /// Fibres.
    pub fibres: Vec<Item>,
    /// Architectures of cloth.
    pub architectures: Vec<Choice>,
    /// What an areal mass may include.
    pub mass_bases: Vec<Choice>,
    /// Ways a tool may work.
    pub actions: Vec<Choice>,
    /// What a pot life may mean.
    pub pot_life_meanings: Vec<Choice>,
}

/// What lies on a shelf, the shop's own entries first.
pub fn catalogue(shelf: &Shelf) -> Catalogue {
    let item = |entry: &crate::shelf::Entry, kind, fibre: &str| Item {
        key: entry.key.clone(),
        name: entry.name.clone(),
        kind,
        fibre: fibre.to_owned(),
        own: entry.own,
        gone: false,
    };
    let fabric = |fabric: &Fabric| match fabric {
        Fabric::Cloth(cloth) => item(&cloth.entry, "cloth", &cloth.fibre),
        Fabric::Core(core) => item(&core.entry, "core", ""),
    };
    let gone = |of: &Fabric| Item {
        gone: true,
        ..fabric(of)
    };
    let own_first = |items: Vec<Item>| {
        let (mut own, generic): (Vec<Item>, Vec<Item>) = items.into_iter().partition(|i| i.own);
        own.extend(generic);
        own
    };
    Catalogue {
        fabrics: own_first(
            shelf
                .fabrics()
                .map(fabric)
                .chain(shelf.retired().map(gone))
                .collect(),
        ),
        resins: own_first(
            shelf
                .resins()
                .map(|r| item(&r.entry, "resin", ""))
                .collect(),
        ),
        tools: own_first(shelf.tools().map(|t| item(&t.entry, "tool", "")).collect()),
        fibres: shelf
            .fibres()
            .map(|f| item(&f.entry, f.family.word(), &f.entry.key))
            .collect(),
        architectures: spelt(&[
            ("twill", "twill or satin"),
            ("plain", "plain weave"),
            ("unidirectional", "unidirectional"),
            ("biaxial", "stitched biaxial, plus and minus 45°"),
            ("mat", "nonwoven mat"),
        ]),
        mass_bases: spelt(&[
            ("conditioned", "conditioned at 20 °C and 65 % (usual)"),
            ("dry", "bone dry"),
            ("commercial", "with commercial regain"),
        ]),
        actions: spelt(&[
            ("cutting_wheel", "cutting wheel"),
            ("sanding_disc", "sanding or flap disc"),
            ("router", "router bit or burr"),
            ("jigsaw", "jigsaw"),
            ("hand", "by hand"),
        ]),
        pot_life_meanings: spelt(&[
            ("gel", "the pot has gelled"),
            ("ten_degrees", "it has warmed by ten degrees"),
            ("doubled", "it is twice as thick"),
            ("at_50_c", "it has reached 50 °C"),
            ("at_40_c_less", "it has reached 40 °C, less a fifth"),
        ]),
    }
}

/// The field behind an entry's key.
fn known(key: &str) -> Option<Field> {
    if let Some(found) = fields::field(key) {
        return Some(*found);
    }
    let of_a_log = [LOG_MINUTE, LOG_READING, LOG_MASS];
    if let Some(found) = of_a_log.into_iter().find(|field| field.key == key) {
        return Some(found);
    }
    if key.starts_with("stack.") {
        let name = key.rsplit('.').next()?;
        return [ROW_COUNT, ROW_ANGLE]
            .into_iter()
            .find(|f| f.name() == name);
    }
    let (table, name) = key.split_once('.')?;
    OWN_TABLES.iter().find(|&&known| known == table)?;
    own_fields(table).into_iter().find(|f| f.key == name)
}

/// What a person typed into an entry, in their units, as a checked metric value.
///
/// # Errors
/// The problem, with the sentence for the entry.
pub fn read_entry(key: &str, text: &str, units: Units) -> Result<f64, Problem> {
    let Some(field) = known(key) else {
        return Err(Problem::new(key, text, "This entry is not known here."));
    };
    let value = crate::units::typed(text)
        .map(|shown| Value::from(field.unit.from_shown(shown, units)))
        .unwrap_or_else(|| Value::from(text));
    let shared = Shared::default();
    shared.units.set(units);
    let document = serde_json::json!({ field.name(): value });
    let number = Reader::new(&document, &shared, "").number(&field);
    match (number, shared.problems.take().into_iter().next()) {
        (Some(value), None) => Ok(value),
        (_, Some(problem)) => Err(Problem {
            field: key.to_owned(),
            ..problem
        }),
        (None, None) => Err(Problem::new(
            key,
            text,
            format!("Type {}, for example {}.", field.label, field.hint),
        )),
    }
}

/// A metric value as text for an entry, in the reader's units.
pub fn show_entry(key: &str, value: f64, units: Units) -> String {
    known(key).map_or_else(
        || entry_text(value),
        |field| entry_text(field.unit.to_shown(value, units)),
    )
}
