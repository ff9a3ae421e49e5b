//! What a page needs to build its entries: fields with their words, choices, and what lies on the shelf.

use crate::plan::fields::{self, Ask, Heading, Kind};
use crate::read::{Field, Needed, Problem, Reader, Shared};
use crate::shelf::{Fabric, OWN_TABLES, Shelf, own_fields};
use crate::units::{Unit, Units, entry as entry_text, join_unit, plain, typed};
use serde::Serialize;
use serde_json::{Value, json};

/// Entries that stand together on the page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EntryGroup {
    /// A stage, or a place of the ticket's own, such as `shop`.
    pub place: &'static str,
    /// What the fold says that they are under; none where they stand open.
    pub fold: Option<&'static str>,
    /// Whether the fold is open where the plan has something in it.
    pub opens: bool,
    /// The entries.
    pub entries: Vec<Entry>,
}

/// One entry of the page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Entry {
    /// Path of the field in the document.
    pub key: String,
    /// What is to be typed or chosen.
    pub kind: EntryKind,
    /// Its name.
    pub label: &'static str,
    /// A number: a real example in the reader's units. Else what it means; may be empty.
    pub hint: String,
    /// Its unit in the reader's units; empty where it has none.
    pub unit: &'static str,
    /// What is taken when nothing is typed or chosen: a number as text with its unit, a word, or yes or no.
    pub usual: Value,
    /// The words to choose from.
    pub options: Vec<Choice>,
    /// The table of the shelf to choose from; empty where there is none.
    pub table: &'static str,
    /// Whether it is read off a gauge or a scale, at a time worth noting.
    pub read_off: bool,
    /// When it is needed; always where nothing is said.
    pub needed: Option<Needed>,
}

/// What is typed or chosen in an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum EntryKind {
    /// A number.
    Number,
    /// A whole number.
    Count,
    /// Yes or no.
    Switch,
    /// One of several words.
    Word,
    /// Something that lies on the shelf.
    Shelf,
    /// A few words.
    Text,
    /// Several lines of words.
    LongText,
    /// A day and a time of day.
    Moment,
    /// Readings with their minutes.
    Log,
    /// The rows of the stack.
    Stack,
    /// Prices and stock, which belong to the shop.
    Stock,
}

impl Entry {
    fn new(head: &Heading, kind: EntryKind) -> Self {
        Self {
            key: head.key.to_owned(),
            kind,
            label: head.label,
            hint: head.hint.to_owned(),
            unit: "",
            usual: Value::Null,
            options: Vec::new(),
            table: "",
            read_off: false,
            needed: head.needed,
        }
    }

    fn number(field: &Field, key: String, units: Units) -> Self {
        let shown = |x: f64| field.unit.to_shown(x, units);
        let unit = field.unit.symbol_in(units);
        let example = typed(field.hint).map(|x| plain(shown(x)));
        let usual = field
            .usual
            .map(|usual| join_unit(&entry_text(shown(usual.range.likely)), unit));
        Self {
            key,
            kind: if field.unit == Unit::Count {
                EntryKind::Count
            } else {
                EntryKind::Number
            },
            label: field.label,
            hint: example.unwrap_or_else(|| field.hint.to_owned()),
            unit,
            usual: usual.map_or(Value::Null, Value::from),
            options: Vec::new(),
            table: "",
            read_off: field.read_off,
            needed: field.needed,
        }
    }

    fn of(ask: Ask, units: Units) -> Self {
        match ask {
            Ask::Number(field) => Self::number(field, field.key.to_owned(), units),
            Ask::Switch(head, usual) => Self {
                usual: json!(usual),
                ..Self::new(&head, EntryKind::Switch)
            },
            Ask::Words {
                head,
                words,
                usual,
                none,
            } => Self {
                usual: json!(usual.unwrap_or_default()),
                options: spelt(none.map(|label| ("", label)).into_iter().chain(words)),
                ..Self::new(&head, EntryKind::Word)
            },
            Ask::Shelved(head, shelved) => Self {
                usual: json!(shelved.usual),
                table: shelved.table,
                ..Self::new(&head, EntryKind::Shelf)
            },
            Ask::Other(head, kind) => Self::new(
                &head,
                match kind {
                    Kind::Text => EntryKind::Text,
                    Kind::LongText => EntryKind::LongText,
                    Kind::Moment => EntryKind::Moment,
                    Kind::Log => EntryKind::Log,
                    Kind::Stack => EntryKind::Stack,
                    Kind::Stock => EntryKind::Stock,
                },
            ),
        }
    }
}

/// Every entry of a plan, group by group in shop order.
pub fn form(units: Units) -> Vec<EntryGroup> {
    fields::groups()
        .map(|group| EntryGroup {
            place: group.place.at,
            fold: group.place.fold,
            opens: group.place.opens,
            entries: group
                .rows
                .iter()
                .map(|row| Entry::of(row.ask(), units))
                .collect(),
        })
        .collect()
}

/// The numeric entries of an own material, `fabrics`, `cores`, `resins` or `tools`, and of its `stock`.
pub fn own_entries(table: &str, units: Units) -> Vec<Entry> {
    own_fields(table)
        .iter()
        .map(|field| Entry::number(field, format!("{table}.{}", field.key), units))
        .collect()
}

/// A word of the document and what the page calls it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// The word in the document.
    pub word: &'static str,
    /// The words on the page.
    pub label: &'static str,
}

/// Choices whose labels stand beside their words.
fn spelt(list: impl IntoIterator<Item = (&'static str, &'static str)>) -> Vec<Choice> {
    list.into_iter()
        .map(|(word, label)| Choice { word, label })
        .collect()
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
        architectures: spelt([
            ("twill", "twill or satin"),
            ("plain", "plain weave"),
            ("unidirectional", "unidirectional"),
            ("biaxial", "stitched biaxial, plus and minus 45°"),
            ("mat", "nonwoven mat"),
        ]),
        mass_bases: spelt([
            ("conditioned", "conditioned at 20 °C and 65 % (usual)"),
            ("dry", "bone dry"),
            ("commercial", "with commercial regain"),
        ]),
        actions: spelt([
            ("cutting_wheel", "cutting wheel"),
            ("sanding_disc", "sanding or flap disc"),
            ("router", "router bit or burr"),
            ("jigsaw", "jigsaw"),
            ("hand", "by hand"),
        ]),
        pot_life_meanings: spelt([
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
