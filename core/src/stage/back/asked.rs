//! What the plan asks of a stack, as bounds and in words.

use super::quick::Shapes;
use crate::plan::LoadCase;
use crate::plan::fields::{
    LOAD_LIMIT, LOAD_RESERVE, TARGET_BENDING, TARGET_COST, TARGET_DRAPE, TARGET_FOSSIL,
    TARGET_MASS, TARGET_THICK, TARGET_THIN,
};
use crate::read::Field;
use crate::search::Bounds;
use crate::stage::bench::Bench;
use crate::stage::stack::{Deep, Stated};
use crate::units::plain;

/// Share of the stiffness along the part that is asked for across it, so that it does not split.
const ACROSS: f64 = 0.2;

/// What a stack must do, in SI.
pub(super) struct Asked {
    pub(super) bounds: Bounds,
    pub(super) stated: Option<Stated>,
    /// Most deflection [m].
    pub(super) limit: Option<f64>,
    pub(super) reserve: f64,
    /// How panels of some shapes sink under that load.
    pub(super) shapes: Shapes,
    /// Least bending stiffness of a strip along the part, the figure that is shown [N m]; zero asks for nothing.
    pub(super) strip: f64,
    /// What was asked, in words.
    pub(super) said: Vec<String>,
}

/// Reads what was asked off the plan; a part that asks for nothing is to be as stiff as it is now.
pub(super) fn asked(bench: &mut Bench<'_>, deep: &Deep, area: f64) -> Asked {
    let plan = bench.plan;
    let given = |field: &Field| plan.given(field).map(|range| range.likely);
    let mut bounds = Bounds::default();
    let mut said = Vec::new();
    let desk = &bench.desk;
    let mut say = |field: &Field, words: &str| {
        if let Some(value) = given(field) {
            said.push(format!("{words} {}", desk.say_plain(field.unit, value)));
        }
    };
    say(&TARGET_THIN, "at least");
    say(&TARGET_THICK, "at most");
    say(&TARGET_BENDING, "bending stiffness of at least");
    say(&TARGET_MASS, "mass of at most");
    say(&TARGET_FOSSIL, "fossil carbon of at most");
    say(&TARGET_COST, "cost of at most");
    if let Some(thin) = given(&TARGET_THIN) {
        bounds.least_thickness = thin * 1e-3;
    }
    if let Some(thick) = given(&TARGET_THICK) {
        bounds.most_thickness = thick * 1e-3;
    }
    if let Some(mass) = given(&TARGET_MASS) {
        bounds.most_mass = mass * 1e-3 / area;
    }
    if let Some(fossil) = given(&TARGET_FOSSIL) {
        bounds.most_fossil = fossil / area;
    }
    if let Some(cost) = given(&TARGET_COST) {
        bounds.most_cost = cost / area;
    }
    let stated = Stated::of(bench);
    let limit = given(&LOAD_LIMIT).map(|limit| limit * 1e-3);
    let reserve = bench.take(&LOAD_RESERVE);
    if let Some(stated) = &stated {
        if let (Some(limit), false) = (given(&LOAD_LIMIT), stated.case == LoadCase::Edge) {
            said.push(format!(
                "giving no more than {} under your load",
                bench.desk.say_plain(LOAD_LIMIT.unit, limit)
            ));
        }
        said.push(format!(
            "{} times your load before first damage",
            plain(reserve.likely())
        ));
    }
    let mut strip = 0.0;
    match given(&TARGET_BENDING) {
        Some(bending) => {
            strip = bending;
            bounds.least_bending = [bending, ACROSS * bending, 0.0];
        }
        None if stated.is_none() && given(&TARGET_THIN).is_none() => {
            let d = &deep.likely;
            // A hair less, so that the stack itself is not lost to rounding.
            bounds.least_bending =
                [d.d11, ACROSS.min(d.d22 / d.d11) * d.d11, 0.0].map(|d| d * (1.0 - 1e-9));
            strip = d.strip * (1.0 - 1e-9);
            said.push(
                "as stiff in bending along the part as the stack you have, everything likely"
                    .into(),
            );
        }
        None => {}
    }
    if bounds.least_bending[0] > 0.0 {
        let across = (100.0 * bounds.least_bending[1] / bounds.least_bending[0]).round();
        said.push(format!(
            "{}% of that stiffness across the part",
            plain(across)
        ));
    }
    if !plan.allowed.unbalanced {
        said.push("no shearing when it is pulled".into());
    }
    if let Some(heaviest) = given(&TARGET_DRAPE) {
        let mass = bench.desk.say_plain(TARGET_DRAPE.unit, heaviest);
        said.push(format!("cloth of no more than {mass}"));
    }
    if plan.allowed.in_stock_only {
        said.push("only what is in stock".into());
    }
    Asked {
        bounds,
        stated,
        limit,
        reserve: reserve.likely(),
        strip,
        said,
        shapes: Shapes::default(),
    }
}
