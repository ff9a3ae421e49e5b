//! Beyond small strain and a flat mould: the knee, first damage, and how a free part bows.

use super::super::layers::{Tagged, ingredients, lay};
use super::super::qualities::Qualities;
use super::super::{GIGA, Stacked};
use super::Tested;
use super::elastic::Elastic;
use crate::law::{LawError, failure, knee, laminate};
use crate::sheet::{Basis, Law, Spread, StackSheet};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Strains between which a tensile test reads a modulus (ISO 527-4).
const TESTED: (f64, f64) = (0.0005, 0.0025);
const MEGA: f64 = 1e6;

/// Stiffness beyond the knee of bast fibre, and as a tensile test reads it. Returns the least likely knee strain.
pub(super) fn beyond_the_knee(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    by_row: &[Option<Qualities>],
    along: &Spread,
    sheet: &mut StackSheet,
) -> Result<f64, LawError> {
    let bent = |qualities: &&Qualities| qualities.after_knee.smallest() < 0.999;
    let Some(first) = by_row.iter().flatten().find(bent) else {
        return Ok(0.0);
    };
    let mut parts = ingredients(stacked);
    let start = parts.len();
    let one = Spread::exact(1.0);
    for qualities in by_row {
        parts.push(qualities.as_ref().map_or(&one, |q| &q.after_knee));
    }
    parts.extend([&first.knee, along]);
    let mut tagged = Tagged::new();
    let [after, tested, stress] = Spread::many(&parts, |values| {
        let keep = &values[start..];
        lay(
            stacked,
            values,
            &|row| keep[row].clamp(0.2, 1.0),
            &mut tagged,
        )?;
        let after = laminate::apparent(&laminate::stiffness(&tagged.layers)?)?.modulus_x;
        let (strain, before) = (keep[by_row.len()], keep[by_row.len() + 1]);
        let curve = knee::Knee {
            initial: before,
            after: after.min(before),
            strain,
        };
        Ok([
            after,
            knee::chord_modulus(&curve, TESTED.0, TESTED.1)?,
            before * strain,
        ])
    })?;
    let desk = &mut bench.desk;
    sheet.modulus_after_knee_gpa = Some(desk.estimate(
        "Stiffness along the part beyond the knee",
        Unit::Gigapascal,
        &after.times(1.0 / GIGA),
        &KNEE,
    ));
    sheet.modulus_as_tested_gpa = Some(desk.estimate(
        "Stiffness as a tensile test reads it, from 0.05 to 0.25 % strain",
        Unit::Gigapascal,
        &tested.times(1.0 / GIGA),
        &KNEE,
    ));
    sheet.knee_stress_mpa = Some(desk.estimate(
        "Stress along the part at the knee",
        Unit::Megapascal,
        &stress.times(1.0 / MEGA),
        &KNEE,
    ));
    Ok(first.knee.likely())
}

/// How far a free part bows, for a stack that is not the same from both faces.
pub(super) fn warp(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    by_row: &[Option<Qualities>],
    elastic: &Elastic,
    sheet: &mut StackSheet,
) -> Result<(), LawError> {
    if !elastic.unsymmetric {
        return Ok(());
    }
    let mut parts = ingredients(stacked);
    let start = parts.len();
    let nothing = Spread::exact(0.0);
    for qualities in by_row {
        match qualities {
            Some(qualities) => parts.extend(&qualities.free),
            None => parts.extend([&nothing, &nothing]),
        }
    }
    parts.push(&stacked.area);
    let mut tagged = Tagged::new();
    let [rise] = Spread::many(&parts, |values| {
        lay(stacked, values, &|_| 1.0, &mut tagged)?;
        let free = &values[start..];
        let strains: Vec<(f64, f64)> = tagged
            .rows
            .iter()
            .map(|&row| (free[2 * row], free[2 * row + 1]))
            .collect();
        let shape = laminate::free_shape(&tagged.layers, &strains)?;
        let length = free[2 * by_row.len()].sqrt();
        let most = shape[3..].iter().fold(0.0_f64, |most, k| most.max(k.abs()));
        // Plies that shrink alike bow nothing but the dust of arithmetic.
        let rise = laminate::rise(most, length);
        Ok([if rise > 1e-8 { rise } else { 0.0 }])
    })?;
    if rise.largest() <= 0.0 {
        return Ok(());
    }
    sheet.warp_mm = Some(bench.desk.estimate(
        "Bows off a flat table, the part taken as a square",
        Unit::Millimetre,
        &rise.times(1000.0),
        &WARP,
    ));
    Ok(())
}

/// First damage in pull, push and bending along the part. Returns the bending moment, per width [N].
pub(super) fn strength(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    tested: &Tested,
    sheet: &mut StackSheet,
) -> Result<Spread, LawError> {
    let parts = tested.parts(stacked);
    let mut tagged = Tagged::new();
    let [pull, push, moment] = Spread::many(&parts, |values| {
        lay(stacked, values, &|_| 1.0, &mut tagged)?;
        let stack = laminate::stiffness(&tagged.layers)?;
        let compliance = laminate::compliance(&stack)?;
        let bears = tested.bears(stacked, values);
        let least = |forces: &[f64; 6]| -> Result<f64, LawError> {
            let strains = laminate::strains(&compliance, forces);
            let stresses = laminate::ply_stresses(&tagged.layers, &strains)?;
            let mut least = f64::INFINITY;
            for (both, &row) in stresses.iter().zip(&tagged.rows) {
                let Some(Some(strengths)) = bears.get(row) else {
                    continue;
                };
                for stress in both {
                    least = least.min(failure::tsai_hill(strengths, stress)?);
                }
            }
            Ok(least)
        };
        let bent = |m: f64| [0.0, 0.0, 0.0, m, 0.0, 0.0];
        Ok([
            least(&[1.0, 0.0, 0.0, 0.0, 0.0, 0.0])? / stack.thickness,
            least(&[-1.0, 0.0, 0.0, 0.0, 0.0, 0.0])? / stack.thickness,
            least(&bent(1.0))?.min(least(&bent(-1.0))?),
        ])
    })?;
    let desk = &mut bench.desk;
    sheet.tensile_strength_mpa = Some(desk.estimate(
        "Stress along the part at first damage, pulled",
        Unit::Megapascal,
        &pull.times(1.0 / MEGA),
        &STRENGTH,
    ));
    sheet.compressive_strength_mpa = Some(desk.estimate(
        "Stress along the part at first damage, pushed",
        Unit::Megapascal,
        &push.times(1.0 / MEGA),
        &STRENGTH,
    ));
    Ok(moment)
}

static KNEE: Law = Law {
    says: "σ = E ε up to the knee, then E₂ ε; chord between 0.05 and 0.25 % strain as ISO 527-4 reads it",
    basis: Basis::Published,
    sources: &["hughes_2007", "pitarresi_2015"],
};

static WARP: Law = Law {
    says: "curvature κ of the free stack as plies shrink unequally; rise = κ L² / 8",
    basis: Basis::Published,
    sources: &["law_laminate_theory", "schapery_1968"],
};

static STRENGTH: Law = Law {
    says: "(σ1/X)² - σ1 σ2/X² + (σ2/Y)² + (τ/S)² = 1 in the first ply, with the strengths of pull or push",
    basis: Basis::Published,
    sources: &["azzi_tsai_1965", "law_laminate_theory"],
};
