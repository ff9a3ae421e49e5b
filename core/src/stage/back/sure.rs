//! How surely a stack keeps what was asked: every wish held against its figure on the stack's own sheet.
//!
//! The search knows plies with everything likely. What a figure may come out at is known once a stack has a sheet, so
//! the search is done with a margin to every bound, and the margins grow until each stack that it finds keeps every
//! bound as often as the maker wants. Margin and figure are of one quantity: the one that is shown.

use super::asked::Asked;
use crate::plan::Plan;
use crate::plan::fields::{
    LOAD_LIMIT, LOAD_RESERVE, TARGET_BENDING, TARGET_COST, TARGET_FOSSIL, TARGET_MASS, TARGET_SURE,
    TARGET_THICK, TARGET_THIN,
};
use crate::sheet::{FillSheet, Sheet};

/// Bounds that have a margin.
const COUNT: usize = 9;

/// What a margin grows by at the least.
const LEAST_GROWTH: f64 = 1.005;

/// One wish about one figure of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wished {
    Thin,
    Thick,
    Mass,
    Fossil,
    Cost,
    Bending,
    Give,
    Reserve,
    Fill,
}

impl Wished {
    /// In words, for a maker.
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Thin => "least thickness",
            Self::Thick => "most thickness",
            Self::Mass => "mass",
            Self::Fossil => "fossil carbon",
            Self::Cost => "cost",
            Self::Bending => "stiffness in bending",
            Self::Give => "give under your load",
            Self::Reserve => "reserve under your load",
            Self::Fill => "filling before gel",
        }
    }
}

/// Wishes that a stack does not keep often enough, each with the factor by which it misses.
pub(super) type Misses = Vec<(Wished, f64)>;

/// How much harder than asked the search asks, bound by bound: 1 is as asked, 1.2 a fifth more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Margins([f64; COUNT]);

impl Margins {
    pub(super) fn none() -> Self {
        Self([1.0; COUNT])
    }

    pub(super) fn of(&self, wished: Wished) -> f64 {
        self.0[wished as usize]
    }

    /// Takes the smallest miss of each bound into the margins: a stack whose figure is surer than those that miss most
    /// must not be passed by. In haste it takes the largest, which ends the search sooner.
    pub(super) fn grow(&mut self, misses: &[(Wished, f64)], haste: bool) {
        let mut by = [f64::INFINITY; COUNT];
        for (wished, miss) in misses {
            let (by, miss) = (&mut by[*wished as usize], miss.max(LEAST_GROWTH));
            *by = if haste && by.is_finite() {
                by.max(miss)
            } else {
                by.min(miss)
            };
        }
        for (margin, by) in self.0.iter_mut().zip(by) {
            if by.is_finite() {
                *margin *= by;
            }
        }
    }

    /// Asks for that much more.
    pub(super) fn lay_on(&self, asked: &mut Asked) {
        let bounds = &mut asked.bounds;
        bounds.least_thickness *= self.of(Wished::Thin);
        bounds.most_thickness /= self.of(Wished::Thick);
        bounds.most_mass /= self.of(Wished::Mass);
        bounds.most_fossil /= self.of(Wished::Fossil);
        bounds.most_cost /= self.of(Wished::Cost);
        bounds.slowest_fill /= self.of(Wished::Fill);
        bounds.least_bending = bounds.least_bending.map(|d| d * self.of(Wished::Bending));
        asked.strip *= self.of(Wished::Bending);
        asked.limit = asked.limit.map(|limit| limit / self.of(Wished::Give));
        asked.reserve *= self.of(Wished::Reserve);
    }
}

/// How often every bound is to be kept, 0.5 to 0.9.
pub(super) fn wanted(plan: &Plan) -> f64 {
    let usual = TARGET_SURE.usual.map_or(80.0, |usual| usual.range.likely);
    let given = plan.given(&TARGET_SURE).map(|range| range.likely);
    given.unwrap_or(usual) / 100.0
}

/// The value that a figure stays below as often as `sure` says, or above where `above`, from its tenths.
fn at(tenths: &[f64; 9], sure: f64, above: bool) -> f64 {
    let share = if above { 1.0 - sure } else { sure };
    let place = (share * 10.0 - 1.0).clamp(0.0, 8.0);
    // A cast of a small number that is not negative.
    let low = (place.floor() as usize).min(7);
    tenths[low] + (place - low as f64) * (tenths[low + 1] - tenths[low])
}

/// The wishes that a stack does not keep often enough, each with the factor by which it misses.
pub(super) fn misses(plan: &Plan, sheet: &Sheet, sure: f64) -> Misses {
    let given = |field| plan.given(field).map(|range| range.likely);
    let suit = sheet.suit.as_ref();
    let this = suit.and_then(|suit| suit.rows.iter().find(|row| row.this));
    let load = sheet.stack.load.as_ref();
    let mut found = Vec::new();
    if plan.load_case.is_some() && load.is_none() {
        // Nothing is promised of a load that could not be worked out.
        found.push((Wished::Reserve, LEAST_GROWTH));
    }
    let mut least = |wished, wish: Option<f64>, tenths: Option<&[f64; 9]>| {
        if let (Some(wish), Some(tenths)) = (wish, tenths) {
            let value = at(tenths, sure, true);
            if value < wish * (1.0 - 1e-9) {
                found.push((wished, wish / value.max(0.05 * wish)));
            }
        }
    };
    let thickness = &sheet.stack.thickness_mm;
    least(Wished::Thin, given(&TARGET_THIN), Some(&thickness.tenths));
    let bending = sheet.stack.bending_stiffness_n_m.as_ref();
    least(
        Wished::Bending,
        given(&TARGET_BENDING),
        bending.map(|bending| &bending.tenths),
    );
    let reserve = given(&LOAD_RESERVE).or(LOAD_RESERVE.usual.map(|usual| usual.range.likely));
    least(
        Wished::Reserve,
        reserve.filter(|_| load.is_some()),
        load.map(|load| &load.reserve.tenths),
    );
    let mut most = |wished, wish: Option<f64>, tenths: Option<&[f64; 9]>| {
        if let (Some(wish), Some(tenths)) = (wish, tenths) {
            let value = at(tenths, sure, false);
            if value > wish * (1.0 + 1e-9) {
                found.push((wished, (value / wish).min(20.0)));
            }
        }
    };
    most(Wished::Thick, given(&TARGET_THICK), Some(&thickness.tenths));
    most(
        Wished::Mass,
        given(&TARGET_MASS),
        Some(&sheet.stack.part_mass_g.tenths),
    );
    most(
        Wished::Fossil,
        given(&TARGET_FOSSIL),
        this.map(|row| &row.fossil.tenths),
    );
    let cost = this.and_then(|row| row.cost.as_ref());
    most(
        Wished::Cost,
        given(&TARGET_COST),
        cost.map(|cost| &cost.tenths),
    );
    let gives = load.and_then(|load| load.deflection_mm.as_ref());
    most(
        Wished::Give,
        given(&LOAD_LIMIT),
        gives.map(|gives| &gives.tenths),
    );
    let slow = |fill: &&FillSheet| !plan.flow_mesh && fill.chance < sure;
    if let Some(fill) = sheet.fill.as_ref().filter(slow) {
        // How much faster it must be is told by its gel and its own slow end.
        let slow = at(&fill.time_min.tenths, sure, false);
        let gel = at(&fill.gel_min.tenths, sure, true);
        found.push((Wished::Fill, (slow / gel).clamp(1.05, 3.0)));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tenths_are_read_as_shares() {
        let tenths = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0];
        for (sure, above, value) in [
            (0.8, false, 8.0),
            (0.8, true, 2.0),
            (0.9, false, 9.0),
            (0.9, true, 1.0),
            (0.5, true, 5.0),
            (0.75, false, 7.5),
        ] {
            assert!((at(&tenths, sure, above) - value).abs() < 1e-12);
        }
    }
}
