//! How heavy gelcoat and paint are, and the part with them.

use super::Stacked;
use crate::law::{LawError, coat};
use crate::plan::fields::{GELCOAT, PAINT};
use crate::range::Range;
use crate::read::Field;
use crate::sheet::{Basis, Grade, Law, Spread, StackSheet};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Adds the coats to the sheet; nothing where the plan states none.
pub(super) fn coats(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    sheet: &mut StackSheet,
) -> Result<(), LawError> {
    let gelcoat = one(
        bench,
        &GELCOAT,
        1e-3,
        (
            "finish.gelcoat_g_cm3",
            "Density of gelcoat",
            Range::new(1.1, 1.2, 1.4),
        ),
    )?;
    let paint = one(
        bench,
        &PAINT,
        1e-6,
        (
            "finish.paint_g_cm3",
            "Density of dry paint",
            Range::new(1.1, 1.3, 1.5),
        ),
    )?;
    let laid = match (&gelcoat, &paint) {
        (Some(_), Some(_)) => "gelcoat and paint",
        (Some(_), None) => "gelcoat",
        (None, Some(_)) => "paint",
        (None, None) => return Ok(()),
    };
    let areal = Spread::sum(gelcoat.iter().chain(&paint));
    let coats = Spread::from([&areal, &stacked.area], |[m, area]| m * area * 1000.0);
    let solid: Vec<Spread> = (stacked.rows.iter())
        .map(|row| row.solid.times(f64::from(row.count)))
        .collect();
    let solid = Spread::sum(&solid);
    let whole = Spread::from(
        [
            &solid,
            &stacked.area,
            &stacked.resin,
            &coats,
            &stacked.more.solid,
        ],
        |[solid, area, resin, coats, more]| (solid * area + resin + more) * 1000.0 + coats,
    );
    sheet.head.answer += &format!(
        " With {} of {laid} on one face, {}.",
        bench.desk.say(Unit::Gram, &coats),
        bench.desk.say(Unit::Gram, &whole),
    );
    sheet.coats_g = Some(bench.desk.estimate(
        "Gelcoat and paint, on one face",
        Unit::Gram,
        &coats,
        &COATS,
    ));
    Ok(())
}

/// One coat [kg/m2], where the plan states it.
fn one(
    bench: &mut Bench<'_>,
    field: &Field,
    metres: f64,
    (key, label, density): (&str, &str, Range),
) -> Result<Option<Spread>, LawError> {
    if bench.plan.given(field).is_none() {
        return Ok(None);
    }
    let thickness = bench.take(field);
    let density = bench.coefficient(key, label, density, Grade::Memory, "memory_coats");
    let mass = Spread::of([&thickness, &density], |[t, density]| {
        coat::areal_mass(t.max(0.0) * metres, density * 1000.0)
    })?;
    Ok(Some(mass))
}

static COATS: Law = Law {
    says: "m = A t ρ: g/m² is micrometres times g/cm³",
    basis: Basis::Firm,
    sources: &["memory_coats"],
};
