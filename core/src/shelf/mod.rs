//! The shelf: generic materials and tools with their sources, and the shop's own entries, which win.

mod entry;
mod fabric;
mod fibre;
pub(crate) mod properties;
mod resin;
mod stock;
mod sundry;
mod table;
#[cfg(test)]
mod tests;
mod tool;
mod weave;

pub use entry::{Cited, Entry};
pub use fabric::{Cloth, Core, Fabric, MassBasis};
pub use fibre::{Family, Fibre};
pub use properties::Properties;
pub use resin::{PotLifeMeaning, Resin};
pub use stock::Stock;
pub use sundry::Sundry;
pub use tool::{Action, Tool};
pub use weave::{Architecture, Weave};

use crate::range::Range;
use crate::read::{Field, Problem, Reader, ReadingError, Shared};
use crate::sheet::Source;
use crate::units::Unit;
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::OnceLock;
use table::{Keyed, Table};
use weave::PERMEABILITY;

/// Tables of which a shop may write its own entries.
pub(crate) const OWN_TABLES: &[&str] = &["fabrics", "cores", "resins", "tools", "stock"];

/// The numeric fields of an own entry.
pub(crate) fn own_fields(table: &str) -> Vec<Field> {
    match table {
        "fabrics" => fabric::CLOTH_FIELDS.to_vec(),
        "cores" => [fabric::CORE_FIELDS, properties::OF_CORE].concat(),
        "resins" => [resin::FIELDS, properties::OF_RESIN].concat(),
        "tools" => tool::FIELDS.to_vec(),
        "stock" => stock::FIELDS.to_vec(),
        _ => Vec::new(),
    }
}

/// Version of the own-shelf document that this build writes and reads.
pub const SHELF_FORMAT: u64 = 1;

/// Most entries taken from one table of an own shelf.
const MOST_ENTRIES: usize = 2000;

/// A value that this shop has measured and wants to use from now on.
pub(crate) const LEARNED_MOISTURE_SCALE: Field = Field::new(
    "moisture_scale",
    "Moisture your cloth takes up, relative to wood",
    "0.66",
    Unit::One,
    (0.2, 1.5),
    ReadingError::Share(0.05),
);
pub(crate) const LEARNED_DRYING_FACTOR: Field = Field::new(
    "drying_factor",
    "Your oven's drying time, relative to the computed one",
    "1.6",
    Unit::One,
    (0.2, 10.0),
    ReadingError::Share(0.15),
);

/// Values that the shop has learned; they win over the shelf.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Learned {
    /// Moisture taken up relative to wood, from a weighed swatch.
    pub moisture_scale: Option<Range>,
    /// Drying time relative to the computed one, from weighings in the shop's own oven.
    pub drying_factor: Option<Range>,
    /// Permeability of cloths in the bag, along their main direction, by their key [m2]; from fronts that were watched.
    pub permeability_m2: BTreeMap<String, Range>,
}

/// Materials, tools and sources.
#[derive(Debug, Clone, Default)]
pub struct Shelf {
    fibres: Table<Fibre>,
    weaves: Table<Weave>,
    fabrics: Table<Fabric>,
    /// Cloths that are offered no more, for documents that name them.
    retired: Table<Fabric>,
    resins: Table<Resin>,
    tools: Table<Tool>,
    sundries: Table<Sundry>,
    sources: Vec<Source>,
    stock: Vec<Stock>,
    currency: String,
    /// What the shop has measured.
    pub learned: Learned,
}

impl Shelf {
    /// The generic shelf that ships with the library.
    ///
    /// ```
    /// let shelf = bastwork::Shelf::generic();
    /// assert!(shelf.fabric("flax_twill_300").is_some());
    /// ```
    pub fn generic() -> &'static Self {
        static GENERIC: OnceLock<Shelf> = OnceLock::new();
        GENERIC.get_or_init(|| Self::of(&generic_document()))
    }

    fn of(document: &Value) -> Self {
        let shared = Shared::default();
        let mut shelf = Self::default();
        shelf.read(&Reader::new(document, &shared, "shelf"), false);
        shelf
    }

    /// Problems in the data files themselves; a test holds this to none.
    #[cfg(test)]
    pub(crate) fn generic_problems() -> Vec<Problem> {
        let shared = Shared::default();
        let document = generic_document();
        Self::default().read(&Reader::new(&document, &shared, "shelf"), false);
        let mut problems = shared.problems.take();
        for path in shared.surplus.take() {
            problems.push(Problem::new(path, "", "no one reads this"));
        }
        problems
    }

    /// The generic shelf with the shop's own document laid over it.
    ///
    /// # Errors
    /// Every problem of the own document at once.
    pub fn with_own(own: &Value) -> Result<Self, Vec<Problem>> {
        Self::generic().and_own(own)
    }

    /// This shelf with the shop's own document laid over it.
    ///
    /// # Errors
    /// Every problem of the own document at once.
    pub fn and_own(&self, own: &Value) -> Result<Self, Vec<Problem>> {
        let shared = Shared::default();
        let mut shelf = self.clone();
        if !own.is_null() {
            let reader = Reader::new(own, &shared, "own");
            match reader.value("format").map(Value::as_u64) {
                None | Some(Some(SHELF_FORMAT)) => {}
                _ => reader.missing(
                    "format",
                    "This shelf was written by a newer Bastwork. Load the newest page and open it again; nothing in it has been changed.",
                ),
            }
            shelf.read(&reader, true);
            reader.finish();
        }
        let problems = shared.problems.take();
        if problems.is_empty() {
            Ok(shelf)
        } else {
            Err(problems)
        }
    }

    fn read(&mut self, reader: &Reader<'_>, own: bool) {
        read_table(reader, "fibres", own, &mut self.fibres, Fibre::read);
        read_table(reader, "weaves", own, &mut self.weaves, Weave::read);
        read_table(reader, "fabrics", own, &mut self.fabrics, Fabric::read);
        if !own {
            read_table(reader, "retired", own, &mut self.retired, Fabric::read);
        }
        read_table(reader, "resins", own, &mut self.resins, Resin::read);
        read_table(reader, "tools", own, &mut self.tools, Tool::read);
        read_table(reader, "sundries", own, &mut self.sundries, Sundry::read);
        let sources = reader.group("sources");
        if !own {
            for (key, value) in sources.entries() {
                let entry = sources.below(key, value);
                self.sources.extend(read_source(&entry, key));
                entry.finish();
            }
        }
        if own {
            (self.stock, self.currency) = stock::read(reader, MOST_ENTRIES);
        }
        let learned = reader.group("learned");
        if let Some(range) = learned.range(&LEARNED_MOISTURE_SCALE) {
            self.learned.moisture_scale = Some(range);
        }
        if let Some(range) = learned.range(&LEARNED_DRYING_FACTOR) {
            self.learned.drying_factor = Some(range);
        }
        let cloths = learned.group("cloths");
        for (key, value) in cloths.entries().take(MOST_ENTRIES) {
            let cloth = cloths.below(key, value);
            if let Some(range) = cloth.range(&PERMEABILITY) {
                self.learned.permeability_m2.insert(key.clone(), range);
            }
            cloth.finish();
        }
        learned.finish();
        self.keep_in_use();
    }

    /// A cloth that is offered no more lies on the shelf of a shop that has a price, a rest or a measurement of it.
    fn keep_in_use(&mut self) {
        let learned = self.learned.permeability_m2.keys();
        let stocked = self.stock.iter().map(|row| &row.key);
        let named: Vec<&String> = stocked.chain(learned).collect();
        for fabric in self.retired.iter() {
            let key = &fabric.entry().key;
            if named.contains(&key) && self.fabrics.get(key).is_none() {
                self.fabrics.put(fabric.clone());
            }
        }
    }

    /// A fibre by its key.
    pub fn fibre(&self, key: &str) -> Option<&Fibre> {
        self.fibres.get(key)
    }

    /// The habits of cloths of a family and architecture.
    pub fn weave(&self, family: Family, architecture: Architecture) -> Option<&Weave> {
        let fits = |w: &&Weave| w.family == family && w.architecture == architecture;
        // A weave of the shop's own is the shop's word.
        let mut all = self.weaves.iter().filter(fits);
        all.clone().find(|w| w.entry.own).or_else(|| all.next())
    }

    /// A cloth or core by its key, one that is offered no more included.
    pub fn fabric(&self, key: &str) -> Option<&Fabric> {
        self.fabrics.get(key).or_else(|| self.retired.get(key))
    }

    /// A resin by its key.
    pub fn resin(&self, key: &str) -> Option<&Resin> {
        self.resins.get(key)
    }

    /// A tool by its key.
    pub fn tool(&self, key: &str) -> Option<&Tool> {
        self.tools.get(key)
    }

    /// A consumable by its key.
    pub fn sundry(&self, key: &str) -> Option<&Sundry> {
        self.sundries.get(key)
    }

    /// Price and store of a cloth, core or resin, where the shop keeps them.
    pub fn stock(&self, key: &str) -> Option<&Stock> {
        self.stock.iter().find(|stock| stock.key == key)
    }

    /// Rows of the stock that name nothing on this shelf: kept, and not used.
    pub fn idle_stock(&self) -> impl Iterator<Item = &Stock> {
        self.stock
            .iter()
            .filter(|row| self.fabric(&row.key).is_none() && self.resin(&row.key).is_none())
    }

    /// The name of the shop's money; empty when it has none.
    pub fn currency(&self) -> &str {
        &self.currency
    }

    /// A source by its key.
    pub fn source(&self, key: &str) -> Option<&Source> {
        self.sources.iter().find(|source| source.key == key)
    }

    /// All cloths and cores, by key.
    pub fn fabrics(&self) -> impl Iterator<Item = &Fabric> {
        self.fabrics.iter()
    }

    /// Cloths that are offered no more and that this shop does not use: a plan that names one gets it as it was.
    pub fn retired(&self) -> impl Iterator<Item = &Fabric> {
        let gone = |fabric: &&Fabric| self.fabrics.get(&fabric.entry().key).is_none();
        self.retired.iter().filter(gone)
    }

    /// All fibres, by key.
    pub fn fibres(&self) -> impl Iterator<Item = &Fibre> {
        self.fibres.iter()
    }

    /// All resins, by key.
    pub fn resins(&self) -> impl Iterator<Item = &Resin> {
        self.resins.iter()
    }

    /// All tools, by key.
    pub fn tools(&self) -> impl Iterator<Item = &Tool> {
        self.tools.iter()
    }

    /// All consumables, by key.
    pub fn sundries(&self) -> impl Iterator<Item = &Sundry> {
        self.sundries.iter()
    }
}

/// The data files as one document.
fn generic_document() -> Value {
    let text = include_str!(concat!(env!("OUT_DIR"), "/shelf.json"));
    serde_json::from_str(text).unwrap_or(Value::Null)
}

fn read_source(reader: &Reader<'_>, key: &str) -> Option<Source> {
    let author = reader.text("author");
    let title = reader.text("title");
    let year = reader.value("year").and_then(Value::as_u64);
    let place = reader.text("place");
    let grade = entry::grade(reader.value("grade"));
    Some(Source {
        key: key.to_owned(),
        author: author?,
        // A year has four digits.
        year: year.map(|year| year as u16),
        title: title?,
        place: place.unwrap_or_default(),
        grade: grade?,
    })
}

fn read_table<'a, T: Keyed>(
    reader: &Reader<'a>,
    table: &'static str,
    own: bool,
    into: &mut Table<T>,
    read: impl Fn(&Reader<'a>, &str, bool) -> Option<T>,
) {
    let group = reader.group(table);
    for (key, value) in group.entries().take(MOST_ENTRIES) {
        let entry = group.below(key, value);
        if let Some(found) = read(&entry, key, own) {
            into.put(found);
        }
        entry.finish();
    }
}

macro_rules! keyed {
    ($($kind:ty),*) => {
        $(impl Keyed for $kind {
            fn entry(&self) -> &Entry {
                &self.entry
            }
        })*
    };
}

keyed!(Fibre, Weave, Resin, Tool, Sundry);

impl Keyed for Fabric {
    fn entry(&self) -> &Entry {
        Fabric::entry(self)
    }
}
