//! What a row of the form may be: a number, a switch, a choice of words, a thing from the shelf, or a form of its own.

use crate::plan::words::Words;
use crate::range::Range;
use crate::read::{Field, Needed, ReadingError, Usual};
use crate::sheet::Grade;
use crate::units::Unit;

/// Where on the page a group of rows stands.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    /// A stage, or a place of the ticket's own such as `shop`.
    pub(crate) at: &'static str,
    /// What the fold says that the rows are under; none where they stand open.
    pub(crate) fold: Option<&'static str>,
    /// Whether the fold is open where the plan has something in it.
    pub(crate) opens: bool,
}

impl Place {
    pub(crate) const fn at(at: &'static str) -> Self {
        Self {
            at,
            fold: None,
            opens: false,
        }
    }

    pub(crate) const fn folded(at: &'static str, fold: &'static str, opens: bool) -> Self {
        Self {
            at,
            fold: Some(fold),
            opens,
        }
    }
}

/// Rows that stand together.
pub(crate) struct Group {
    pub(crate) place: Place,
    pub(crate) rows: &'static [&'static dyn Row],
}

/// One row of the form.
pub(crate) trait Row: Sync {
    /// What it asks.
    fn ask(&self) -> Ask;
}

/// What a row asks, whatever it is.
pub(crate) enum Ask {
    Number(&'static Field),
    Switch(Heading, bool),
    /// Words with their labels, the usual word, and what stands for none of them where none need be chosen.
    Words {
        head: Heading,
        words: Vec<(&'static str, &'static str)>,
        usual: Option<&'static str>,
        none: Option<&'static str>,
    },
    Shelved(Heading, Shelved),
    Other(Heading, Kind),
}

/// What a row of words is called and when it is needed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Heading {
    /// Path in the document.
    pub(crate) key: &'static str,
    /// Its name, on the page and in a sentence.
    pub(crate) label: &'static str,
    /// What it means, in a few words; may be empty.
    pub(crate) hint: &'static str,
    pub(crate) needed: Option<Needed>,
}

impl Heading {
    const fn new(key: &'static str, label: &'static str, hint: &'static str) -> Self {
        Self {
            key,
            label,
            hint,
            needed: None,
        }
    }

    /// The group of the document that it belongs to, and its name there; no group at the top.
    pub(crate) fn place(&self) -> (Option<&'static str>, &'static str) {
        match self.key.split_once('.') {
            Some((group, name)) => (Some(group), name),
            None => (None, self.key),
        }
    }
}

/// A number without a usual value.
pub(super) const fn number(
    key: &'static str,
    label: &'static str,
    hint: &'static str,
    unit: Unit,
    bounds: (f64, f64),
    error: ReadingError,
) -> Field {
    Field::new(key, label, hint, unit, bounds, error)
}

/// What may be added to a number.
impl Field {
    /// What is taken when nothing is typed.
    pub(super) const fn usual(
        mut self,
        low: f64,
        likely: f64,
        high: f64,
        grade: Grade,
        sources: &'static [&'static str],
    ) -> Self {
        self.usual = Some(Usual {
            range: Range { low, likely, high },
            grade,
            sources,
        });
        self
    }

    /// The same by judgement alone.
    pub(super) const fn guess(self, low: f64, likely: f64, high: f64) -> Self {
        self.usual(low, likely, high, Grade::Judgement, &["judgement_usual"])
    }

    /// It is read off a gauge or a scale, at a time worth noting.
    pub(super) const fn read_off(mut self) -> Self {
        self.read_off = true;
        self
    }

    /// It is needed only where another entry holds one of these words.
    pub(super) const fn when(mut self, key: &'static str, words: &'static [&'static str]) -> Self {
        self.needed = Some(Needed::when(key, words));
        self
    }
}

impl Row for &'static Field {
    fn ask(&self) -> Ask {
        Ask::Number(self)
    }
}

/// Yes or no.
#[derive(Debug, Clone, Copy)]
pub struct Switch {
    pub(crate) head: Heading,
    /// What it is while nothing is said.
    pub(crate) usual: bool,
}

pub(super) const fn switch(key: &'static str, label: &'static str, usual: bool) -> Switch {
    Switch {
        head: Heading::new(key, label, ""),
        usual,
    }
}

impl Switch {
    /// What it means, in a few words.
    pub(super) const fn hint(mut self, hint: &'static str) -> Self {
        self.head.hint = hint;
        self
    }
}

impl Row for &'static Switch {
    fn ask(&self) -> Ask {
        Ask::Switch(self.head, self.usual)
    }
}

/// One of several words, with a usual one.
#[derive(Debug, Clone, Copy)]
pub struct OneOf<T> {
    pub(crate) head: Heading,
    pub(crate) usual: T,
}

pub(super) const fn one_of<T: Words>(key: &'static str, label: &'static str, usual: T) -> OneOf<T> {
    OneOf {
        head: Heading::new(key, label, ""),
        usual,
    }
}

impl<T> OneOf<T> {
    /// It is needed only where another entry holds one of these words.
    pub(super) const fn when(mut self, key: &'static str, words: &'static [&'static str]) -> Self {
        self.head.needed = Some(Needed::when(key, words));
        self
    }

    /// It is needed only where another entry holds none of these words.
    pub(super) const fn unless(
        mut self,
        key: &'static str,
        words: &'static [&'static str],
    ) -> Self {
        self.head.needed = Some(Needed::unless(key, words));
        self
    }
}

impl<T: Words + Sync> Row for &'static OneOf<T> {
    fn ask(&self) -> Ask {
        Ask::Words {
            head: self.head,
            words: T::labelled(),
            usual: Some(self.usual.spelt()),
            none: None,
        }
    }
}

/// One of several words, or none.
#[derive(Debug, Clone, Copy)]
pub struct OneOrNone<T> {
    pub(crate) head: Heading,
    /// What stands for none of them.
    none: &'static str,
    of: std::marker::PhantomData<T>,
}

pub(super) const fn one_or_none<T: Words>(
    key: &'static str,
    label: &'static str,
    none: &'static str,
) -> OneOrNone<T> {
    OneOrNone {
        head: Heading::new(key, label, ""),
        none,
        of: std::marker::PhantomData,
    }
}

impl<T: Words + Sync> Row for &'static OneOrNone<T> {
    fn ask(&self) -> Ask {
        Ask::Words {
            head: self.head,
            words: T::labelled(),
            usual: None,
            none: Some(self.none),
        }
    }
}

/// Something that lies on the shelf.
#[derive(Debug, Clone, Copy)]
pub struct Shelved {
    pub(crate) head: Heading,
    /// The table it lies in, such as `resins`.
    pub(crate) table: &'static str,
    /// The key of what is taken, or named as an example, while nothing is chosen.
    pub(crate) usual: &'static str,
}

pub(super) const fn from_shelf(
    key: &'static str,
    label: &'static str,
    table: &'static str,
    usual: &'static str,
) -> Shelved {
    Shelved {
        head: Heading::new(key, label, ""),
        table,
        usual,
    }
}

impl Row for &'static Shelved {
    fn ask(&self) -> Ask {
        Ask::Shelved(self.head, **self)
    }
}

/// What is none of the above.
#[derive(Debug, Clone, Copy)]
pub struct Other {
    pub(crate) head: Heading,
    kind: Kind,
}

/// The kinds of what is none of the above.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
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

pub(super) const fn other(
    key: &'static str,
    label: &'static str,
    hint: &'static str,
    kind: Kind,
) -> Other {
    Other {
        head: Heading::new(key, label, hint),
        kind,
    }
}

impl Row for &'static Other {
    fn ask(&self) -> Ask {
        Ask::Other(self.head, self.kind)
    }
}
