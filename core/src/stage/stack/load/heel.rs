//! How hard a heel may press on a sandwich before its core begins to crush.

use super::super::layers::{Tagged, ingredients, lay};
use super::super::{STAGE, Stacked};
use super::core::Cores;
use super::judge::dents;
use crate::law::LawError;
use crate::plan::fields::LOAD_HEEL;
use crate::sheet::{Basis, Estimate, Law, Spread};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Somebody on one heel [N].
const PERSON: f64 = 785.0;

/// The force on one heel that first dents a sandwich; none without a core, or where its strength is not known.
pub(in super::super) fn heel(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    cores: &Cores,
) -> Result<Option<Estimate>, LawError> {
    if !cores.crush_known {
        return Ok(None);
    }
    let across = bench.take(&LOAD_HEEL);
    let mut parts = ingredients(stacked);
    let start = parts.len();
    parts.extend(cores.parts());
    parts.push(&across);
    let mut tagged = Tagged::new();
    let [force] = Spread::many(&parts, |values| {
        lay(stacked, values, &|_| 1.0, &mut tagged)?;
        let bears = cores.bears(&values[start..values.len() - 1]);
        let by_layer: Vec<_> = tagged.rows.iter().map(|&row| bears[row]).collect();
        let radius = 0.5e-3 * values[values.len() - 1];
        Ok([dents(&tagged.layers, &by_layer, radius)?])
    })?;
    if !force.likely().is_finite() {
        return Ok(None);
    }
    let width = bench.desk.say_plain(Unit::Millimetre, across.likely());
    let chance = force.share(|force| force >= PERSON);
    if chance < 0.9 {
        bench.advice(
            STAGE,
            format!(
                "A heel or tool end {width} across {} this sandwich under somebody of 80 kg: the core crushes under the face. Lay a thicker face, a board or a pad where people may step, and try it on scrap.",
                if chance < 0.1 { "dents" } else { "may dent" },
            ),
        );
    }
    Ok(Some(bench.desk.estimate(
        "Force on one heel that first dents it",
        Unit::Newton,
        &force,
        &DENT,
    )))
}

static DENT: Law = Law {
    says: "F = s π r² / (1 + x ker' x), x = r/l, l⁴ = D c / E_c: the face as a plate on springs, until the core crushes",
    basis: Basis::Published,
    sources: &["timoshenko_plates", "law_sandwich"],
};
