//! The desk on which one sheet is worked out: it hands out inputs as draws and turns results into estimates.

use super::deep::Cell;
use super::estimate::LONG_WAIT;
use super::estimate::{Driver, Estimate, Shown};
use super::note::{Note, StageName, Weight};
use super::source::{Basis, Grade};
use super::spread::Spread;
use crate::range::Range;
use crate::solve::sort::sort_numbers;
use crate::solve::{DRAWS, Z90, column, normal_slices, order as order_of};
use crate::units::{Unit, Units, join_unit, plain, to_figures};
use serde::Serialize;
use std::mem::take;

/// An input drives a range when it explains at least this share of its variance.
const DRIVES: f64 = 0.05;
/// Inputs that together explain this share of a range decide what the figure rests on.
const DECIDES: f64 = 0.3;
/// A range narrower than this share of its value comes from rounding.
const DUST: f64 = 1e-6;

/// Where an input's value was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// Typed in this plan.
    Plan,
    /// Measured on this part or learned by this shop.
    Measured,
    /// From a material on the shelf.
    Shelf,
    /// Not given: the usual value, named on the sheet.
    Usual,
}

/// One input as the sheet lists it.
#[derive(Debug, Clone, Serialize)]
pub struct Input {
    /// Path of the field in the plan, or shelf key and property.
    pub key: String,
    /// What it is, in words.
    pub label: String,
    /// Its range, in its own metric unit.
    pub range: Range,
    /// The same in the reader's units.
    pub shown: Shown,
    /// Where its value was found.
    pub origin: Origin,
    /// How far it may be trusted.
    pub grade: Grade,
    /// Keys of its sources.
    pub sources: Vec<String>,
    #[serde(skip)]
    pub(crate) unit: Unit,
    /// Limits that no draw may pass.
    #[serde(skip)]
    pub(crate) limits: (f64, f64),
}

/// What an input is, before it is drawn.
pub(crate) struct Asked {
    pub(crate) key: String,
    pub(crate) label: String,
    pub(crate) unit: Unit,
    pub(crate) range: Range,
    /// Physical limits that no draw may pass.
    pub(crate) limits: (f64, f64),
    pub(crate) origin: Origin,
    pub(crate) grade: Grade,
    pub(crate) sources: Vec<String>,
}

/// What a result rests on besides its inputs.
#[derive(Debug)]
pub(crate) struct Law {
    /// The equation in one line, for the reader.
    pub(crate) says: &'static str,
    /// How firm the law itself is.
    pub(crate) basis: Basis,
    /// Keys of its sources.
    pub(crate) sources: &'static [&'static str],
}

/// Collects inputs, notes and sources while the stages are worked out.
pub(crate) struct Desk {
    pub(crate) units: Units,
    slices: Vec<f64>,
    inputs: Vec<Input>,
    ranks: Vec<Vec<u16>>,
    /// The draws of each input, side by side with `inputs`.
    taken: Vec<Spread>,
    notes: Vec<Note>,
    cited: Vec<String>,
    /// One input that is tried with another range.
    instead: Option<(String, Range)>,
}

impl Desk {
    pub(crate) fn new(units: Units) -> Self {
        Self {
            units,
            slices: normal_slices(),
            inputs: Vec::new(),
            ranks: Vec::new(),
            taken: Vec::new(),
            notes: Vec::new(),
            cited: Vec::new(),
            instead: None,
        }
    }

    /// Takes another range for one input, by its key, whatever is asked.
    pub(crate) fn try_instead(&mut self, key: &str, range: Range) {
        self.instead = Some((key.to_owned(), range));
    }

    /// What has been taken so far.
    pub(crate) fn inputs(&self) -> &[Input] {
        &self.inputs
    }

    /// The draws of an input; the same key always gives the same draws.
    pub(crate) fn take(&mut self, mut asked: Asked) -> Spread {
        if let Some(i) = self.inputs.iter().position(|i| i.key == asked.key) {
            return self.taken[i].clone();
        }
        if let Some((_, range)) = self.instead.as_ref().filter(|(key, _)| *key == asked.key) {
            asked.range = *range;
        }
        let id = self.inputs.len() as u16;
        let ranks = column(&asked.key);
        let draws = if asked.range.is_exact() {
            Vec::new()
        } else {
            let place = Placed::new(asked.range, asked.limits);
            ranks
                .iter()
                .map(|&rank| place.value(self.slices[usize::from(rank)]))
                .collect()
        };
        for source in &asked.sources {
            self.cite(&[source]);
        }
        self.inputs.push(Input {
            shown: Shown::of(asked.range, asked.unit, self.units),
            key: asked.key,
            label: asked.label,
            range: asked.range,
            origin: asked.origin,
            grade: asked.grade,
            sources: asked.sources,
            unit: asked.unit,
            limits: asked.limits,
        });
        self.ranks.push(ranks);
        let spread = Spread::of_input(asked.range.likely, draws, id);
        self.taken.push(spread.clone());
        spread
    }

    /// A result as the sheet shows it: percentiles, what it rests on, and what drives its range.
    pub(crate) fn estimate(
        &mut self,
        label: &'static str,
        unit: Unit,
        value: &Spread,
        law: &'static Law,
    ) -> Estimate {
        let (range, drivers) = self.digest(value);
        let tenths = Self::tenths(value);
        let basis = law.basis.max(self.weakest(&drivers));
        self.cite(law.sources);
        Estimate {
            low: range.low,
            likely: range.likely,
            high: range.high,
            tenths,
            unit: unit.symbol(),
            label,
            shown: Shown::of(range, unit, self.units),
            basis,
            law: law.says,
            sources: law.sources.to_vec(),
            inputs: value.inputs().to_vec(),
            drivers,
            absent: false,
        }
    }

    /// The worst basis on which at least [`DECIDES`] of a range rests.
    fn weakest(&self, drivers: &[Driver]) -> Basis {
        let share_at_least = |basis: Basis| -> f64 {
            drivers
                .iter()
                .filter(|driver| {
                    let input = &self.inputs[usize::from(driver.input)];
                    Basis::from(input.grade) >= basis
                })
                .map(|driver| driver.share)
                .sum()
        };
        [Basis::Rule, Basis::Published]
            .into_iter()
            .find(|&basis| share_at_least(basis) >= DECIDES)
            .unwrap_or(Basis::Firm)
    }

    /// 10th and 90th percentile about the likely value.
    fn percentiles(value: &Spread, order: &[u16]) -> Range {
        let draws = value.draws();
        let percentile = |share: f64| {
            let place = share * (DRAWS as f64) - 0.5;
            let k = place.floor();
            let at = |i: f64| draws[usize::from(order[i as usize])];
            at(k) + (place - k) * (at(k + 1.0) - at(k))
        };
        let range = Range::new(percentile(0.1), value.likely(), percentile(0.9));
        // A range that is only the dust of arithmetic is none.
        if range.high - range.low <= DUST * range.likely.abs() {
            return Range::exact(range.likely);
        }
        range
    }

    /// The nine values that split the draws into tenths.
    fn tenths(value: &Spread) -> [f64; 9] {
        if value.draws().is_empty() {
            return [value.likely(); 9];
        }
        let mut draws = value.draws().to_vec();
        sort_numbers(&mut draws);
        std::array::from_fn(|i| {
            let place = (i as f64 + 1.0) / 10.0 * (DRAWS as f64) - 0.5;
            let (k, rest) = (place.floor(), place.fract());
            // Casts of small whole numbers.
            let at = |k: f64| draws[(k as usize).min(DRAWS - 1)];
            at(k) + rest * (at(k + 1.0) - at(k))
        })
    }

    /// Percentiles of a spread, and the inputs that explain them by rank correlation.
    fn digest(&self, value: &Spread) -> (Range, Vec<Driver>) {
        let likely = value.likely();
        if value.draws().is_empty() {
            return (Range::exact(likely), Vec::new());
        }
        let order = order_of(value.draws());
        let range = Self::percentiles(value, &order);
        if range.is_exact() {
            return (range, Vec::new());
        }
        let drivers: Vec<Driver> = value
            .inputs()
            .iter()
            .filter_map(|&i| {
                let input = &self.inputs[usize::from(i)];
                let share = rank_share(&order, &self.ranks[usize::from(i)]);
                let drives = !input.range.is_exact() && share >= DRIVES;
                drives.then_some(Driver { input: i, share })
            })
            .collect();
        let strongest: Vec<f64> = drivers.iter().map(|driver| -driver.share).collect();
        let drivers = order_of(&strongest)
            .iter()
            .map(|&i| drivers[usize::from(i)])
            .collect();
        (range, drivers)
    }

    /// The percentiles of a quantity.
    pub(crate) fn range(&self, value: &Spread) -> Range {
        if value.draws().is_empty() {
            return Range::exact(value.likely());
        }
        Self::percentiles(value, &order_of(value.draws()))
    }

    /// A figure for a table.
    pub(crate) fn cell(&self, unit: Unit, value: &Spread) -> Cell {
        let range = self.range(value);
        let shown = Shown::of(range, unit, self.units);
        Cell {
            low: range.low,
            likely: range.likely,
            high: range.high,
            tenths: Self::tenths(value),
            text: shown.with_unit(),
            range: shown.range,
        }
    }

    /// Adds a sentence for a person to a stage, once.
    pub(crate) fn note(&mut self, stage: StageName, weight: Weight, sentence: impl Into<String>) {
        let note = Note {
            stage,
            weight,
            sentence: sentence.into(),
        };
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }

    /// Cites a source by its key.
    pub(crate) fn cite(&mut self, keys: &[&str]) {
        for key in keys {
            if let Err(place) = self.cited.binary_search_by(|known| known.as_str().cmp(key)) {
                self.cited.insert(place, (*key).to_owned());
            }
        }
    }

    /// A likely value in the reader's unit, rounded as its range deserves: "2.9 mm".
    pub(crate) fn say(&self, unit: Unit, value: &Spread) -> String {
        Shown::of(self.range(value), unit, self.units).with_unit()
    }

    /// The low end of a range in the reader's unit, rounded as the range deserves: "280 mm".
    pub(crate) fn say_low(&self, unit: Unit, value: &Spread) -> String {
        let range = self.range(value);
        let shown = Shown::of(range, unit, self.units);
        join_unit(&shown.low, shown.unit)
    }

    /// A plain number in the reader's unit: "420 mm".
    pub(crate) fn say_plain(&self, unit: Unit, value: f64) -> String {
        let text = plain(unit.to_shown(value, self.units));
        join_unit(&text, unit.symbol_in(self.units))
    }

    /// A likely value to two figures, long times in hours and short ones in seconds: "9.2 h", "40 s".
    pub(crate) fn say_about(&self, unit: Unit, value: f64) -> String {
        let (unit, value) = match unit {
            Unit::Minute if (value * 60.0).round() < 60.0 => {
                return format!("{:.0}\u{a0}s", (value * 60.0).max(1.0));
            }
            Unit::Minute if value >= LONG_WAIT => (Unit::Hour, value / 60.0),
            _ => (unit, value),
        };
        let shown = unit.to_shown(value, self.units);
        join_unit(&to_figures(shown, 2), unit.symbol_in(self.units))
    }

    /// A small area, in square centimetres or square inches: "40 cm²".
    pub(crate) fn say_small_area(&self, square_metres: f64) -> String {
        match self.units {
            Units::Metric => format!("{}\u{a0}cm\u{b2}", to_figures(square_metres * 1e4, 2)),
            Units::Us => format!(
                "{}\u{a0}in\u{b2}",
                to_figures(square_metres / 0.0254_f64.powi(2), 2)
            ),
        }
    }

    /// Where something is on a part, to the millimetre or the tenth of an inch: "x 300 mm, y 120 mm".
    pub(crate) fn say_place(&self, at: [f64; 3]) -> String {
        let one = |metres: f64| match self.units {
            Units::Metric => format!("{:.0}\u{a0}mm", metres * 1e3),
            Units::Us => format!("{:.1}\u{a0}in", metres / 0.0254),
        };
        format!("x {}, y {}", one(at[0]), one(at[1]))
    }

    /// How many notes there are, to come back to.
    pub(crate) fn notes_so_far(&self) -> usize {
        self.notes.len()
    }

    /// Drops the notes written since.
    pub(crate) fn forget_notes_after(&mut self, count: usize) {
        self.notes.truncate(count);
    }

    pub(crate) fn finish(&mut self) -> (Vec<Input>, Vec<Note>, Vec<String>) {
        let Self {
            inputs,
            notes,
            cited,
            ..
        } = self;
        (take(inputs), take(notes), take(cited))
    }
}

/// Squared rank correlation between an ordered result and one input's ranks.
fn rank_share(order: &[u16], ranks: &[u16]) -> f64 {
    let n = DRAWS as f64;
    let distance: f64 = order
        .iter()
        .enumerate()
        .map(|(place, &draw)| {
            let gap = place as f64 - f64::from(ranks[usize::from(draw)]);
            gap * gap
        })
        .sum();
    let rho = 1.0 - 6.0 * distance / (n * (n * n - 1.0));
    rho * rho
}

/// A distribution through three percentiles: two half-normals that meet at the median, in the logarithm
/// when the range is wide and positive.
struct Placed {
    log: bool,
    middle: f64,
    below: f64,
    above: f64,
    limits: (f64, f64),
}

/// Beyond this ratio of high to low, a positive quantity is spread in its logarithm.
const WIDE: f64 = 1.6;

impl Placed {
    fn new(range: Range, limits: (f64, f64)) -> Self {
        let log = range.low > 0.0 && range.high / range.low > WIDE;
        let scale = |x: f64| if log { x.ln() } else { x };
        let middle = scale(range.likely);
        Self {
            log,
            middle,
            below: (middle - scale(range.low)) / Z90,
            above: (scale(range.high) - middle) / Z90,
            limits,
        }
    }

    fn value(&self, z: f64) -> f64 {
        let x = self.middle + z * if z < 0.0 { self.below } else { self.above };
        let x = if self.log { x.exp() } else { x };
        x.clamp(self.limits.0, self.limits.1)
    }
}
