//! What every stage works at: the plan, the shelf, and the desk that hands out draws.

use crate::law::LawError;
use crate::plan::{Plan, Route};
use crate::range::Range;
use crate::read::{Field, Problem};
use crate::sheet::{Asked, Desk, Grade, Origin, Spread, StageName, Weight};
use crate::shelf::{Cited, Entry, Shelf};
use crate::units::Unit;

/// Zero degrees Celsius in kelvin.
pub(crate) const ZERO_C: f64 = 273.15;

/// Plan, shelf and desk together.
pub(crate) struct Bench<'a> {
    pub(crate) plan: &'a Plan,
    pub(crate) shelf: &'a Shelf,
    pub(crate) desk: Desk,
}

/// A value to fall back on when the plan gives none.
pub(crate) struct Fallback {
    pub(crate) range: Range,
    pub(crate) grade: Grade,
    pub(crate) sources: &'static [&'static str],
}

impl Fallback {
    /// Our own judgement of what is usual.
    pub(crate) fn judged(range: Range) -> Self {
        Self {
            range,
            grade: Grade::Judgement,
            sources: &["judgement_usual"],
        }
    }
}

/// What is said where typed values together leave what a law can compute.
pub(crate) const TOGETHER: &str = "These values together lie outside what can be computed. Change the ones you are least sure of.";

impl<'a> Bench<'a> {
    pub(crate) fn new(plan: &'a Plan, shelf: &'a Shelf) -> Self {
        Self {
            plan,
            shelf,
            desk: Desk::new(plan.units),
        }
    }

    /// A field of the plan, or its usual value; zero for a field that has neither.
    pub(crate) fn take(&mut self, field: &Field) -> Spread {
        let usual = field
            .usual
            .map_or(Fallback::judged(Range::exact(0.0)), |usual| Fallback {
                range: usual.range,
                grade: usual.grade,
                sources: usual.sources,
            });
        self.take_or(field, usual)
    }

    /// A field of the plan, or the fallback.
    pub(crate) fn take_or(&mut self, field: &Field, fallback: Fallback) -> Spread {
        let given = self.plan.given(field);
        self.desk.take(Asked {
            key: field.key.to_owned(),
            label: field.label.to_owned(),
            unit: field.unit,
            range: given.unwrap_or(fallback.range),
            limits: (field.low, field.high),
            origin: if given.is_some() {
                Origin::Plan
            } else {
                Origin::Usual
            },
            grade: if given.is_some() {
                Grade::Own
            } else {
                fallback.grade
            },
            sources: if given.is_some() {
                Vec::new()
            } else {
                fallback.sources.iter().map(|&s| s.to_owned()).collect()
            },
        })
    }

    /// A property of a shelf entry. `holder` is the entry's place, such as `fabrics.flax_twill_300`.
    pub(crate) fn property(
        &mut self,
        holder: &str,
        name: &str,
        label: &str,
        unit: Unit,
        entry: &Entry,
        cited: &Cited,
    ) -> Spread {
        self.desk.take(Asked {
            key: format!("{holder}.{name}"),
            label: format!("{label}, {}", entry.name),
            unit,
            range: cited.range,
            limits: cited.limits,
            origin: entry.origin(),
            grade: cited.grade,
            sources: cited.sources.clone(),
        })
    }

    /// A property of a shelf entry by its field, within the limits of that field.
    pub(crate) fn property_of(
        &mut self,
        table: &str,
        entry: &Entry,
        field: &Field,
        cited: &Cited,
    ) -> Spread {
        self.desk.take(Asked {
            key: format!("{table}.{}.{}", entry.key, field.key),
            label: format!("{}, {}", field.label, entry.name),
            unit: field.unit,
            range: cited.range,
            limits: (field.low, field.high),
            origin: entry.origin(),
            grade: cited.grade,
            sources: cited.sources.clone(),
        })
    }

    /// A coefficient of a law that the plan cannot set, with its range.
    pub(crate) fn coefficient(
        &mut self,
        key: &str,
        label: &str,
        range: Range,
        grade: Grade,
        source: &'static str,
    ) -> Spread {
        self.desk.take(Asked {
            key: key.to_owned(),
            label: label.to_owned(),
            unit: Unit::One,
            range,
            limits: (f64::MIN_POSITIVE, f64::MAX),
            origin: Origin::Usual,
            grade,
            sources: vec![source.to_owned()],
        })
    }

    /// A value that this shop has measured, under its own key.
    pub(crate) fn learned(&mut self, key: &str, label: &str, unit: Unit, range: Range) -> Spread {
        self.desk.take(Asked {
            key: key.to_owned(),
            label: label.to_owned(),
            unit,
            range,
            limits: (f64::MIN_POSITIVE, f64::MAX),
            origin: Origin::Measured,
            grade: Grade::Own,
            sources: Vec::new(),
        })
    }

    pub(crate) fn caution(&mut self, stage: StageName, sentence: impl Into<String>) {
        self.desk.note(stage, Weight::Caution, sentence);
    }

    pub(crate) fn problem(&mut self, stage: StageName, sentence: impl Into<String>) {
        self.desk.note(stage, Weight::Problem, sentence);
    }

    pub(crate) fn advice(&mut self, stage: StageName, sentence: impl Into<String>) {
        self.desk.note(stage, Weight::Advice, sentence);
    }

    /// Whether the stack is pressed by a bag.
    pub(crate) fn bagged(&self) -> bool {
        self.plan.route != Route::OpenWet
    }
}

/// What could not be computed where a part that is drawn has no feed on it.
pub(crate) const UNFED: &str = "the drawn fill";

/// What could not be computed where lines and zones cut a part into too many triangles.
pub(crate) const CROWDED: &str = "so many lines";

/// A law that could not answer, as a problem for the person.
pub(crate) fn beyond(stage: &'static str, why: &LawError) -> Vec<Problem> {
    if *why == (LawError::Unsolved { what: UNFED }) {
        return vec![Problem::new(
            "fill.lines",
            "",
            "No feed lies on the part with something left to fill. Draw the feed line on the part.",
        )];
    }
    if *why == (LawError::Unsolved { what: CROWDED }) {
        return vec![Problem::new(
            "fill.lines",
            "",
            "The lines and zones on this part bend and cross too often to work out how it fills. Draw fewer, with fewer bends and further apart.",
        )];
    }
    vec![Problem::new(stage, "", TOGETHER)]
}
