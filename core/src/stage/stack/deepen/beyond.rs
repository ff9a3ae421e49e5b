//! Beyond small strain and a flat mould: the knee, first damage, and how a free part bows.

use super::super::layers::{Tagged, ingredients, lay};
use super::super::qualities::Qualities;
use super::super::{GIGA, Stacked};
use super::Tested;
use super::elastic::Elastic;
use crate::law::{LawError, knee, laminate, last_load, section, strand};
use crate::range::Range;
use crate::sheet::{Basis, Grade, Law, Spread, StackSheet};
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
    elastic: &Elastic,
    sheet: &mut StackSheet,
) -> Result<f64, LawError> {
    let along = &elastic.along;
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
    let ratio = bench.coefficient(
        "stack.bent_over_pulled",
        "Modulus of a bending test over that of a tensile test, bast",
        Range::new(0.68, 0.85, 1.08),
        Grade::Judgement,
        "judgement_bent_stiffness",
    );
    let [.., strip] = &elastic.bending;
    parts.extend([&first.knee, along, strip, &stacked.thickness, &ratio]);
    let mut tagged = Tagged::new();
    let [after, tested, stress, bent] = Spread::many(&parts, |values| {
        let keep = &values[start..];
        lay(
            stacked,
            values,
            &|row| keep[row].clamp(0.2, 1.0),
            &mut tagged,
        )?;
        let after = laminate::apparent(&laminate::stiffness(&tagged.layers)?)?.modulus_x;
        let [strain, before, strip, thickness, ratio] =
            std::array::from_fn(|k| keep[by_row.len() + k]);
        let curve = knee::Knee {
            initial: before,
            after: after.min(before),
            strain,
        };
        let chord = knee::chord_modulus(&curve, TESTED.0, TESTED.1)?;
        Ok([
            after,
            chord,
            before * strain,
            knee::bending_as_tested(strip, thickness, chord / before, ratio)?,
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
    sheet.bending_as_tested_gpa = Some(desk.estimate(
        "Stiffness in bending as a test reads it",
        Unit::Gigapascal,
        &bent.times(1.0 / GIGA),
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

/// Stress at first cracking [Pa] and the last loads [Pa], pulled, pushed and bent.
const STRENGTHS: usize = 5;

/// First cracking and last load along the part. Returns the bending moment at the last load, per width [N].
pub(super) fn strength(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    tested: &Tested,
    sheet: &mut StackSheet,
) -> Result<Spread, LawError> {
    let rises = rises(bench);
    let mut parts = tested.parts(stacked);
    parts.push(&rises);
    let mut tagged = Tagged::new();
    let found: [Spread; STRENGTHS] = Spread::many(&parts, |values| {
        let fibres = tested.strands(stacked, values)?;
        lay(stacked, values, &|row| fibres.left[row], &mut tagged)?;
        let stack = laminate::stiffness(&tagged.layers)?;
        let compliance = laminate::compliance(&stack)?;
        let h = stack.thickness;
        let first = |force: f64| -> Result<f64, LawError> {
            let strains = laminate::strains(&compliance, &[force, 0.0, 0.0, 0.0, 0.0, 0.0]);
            Ok(strand::first_damage(&fibres.worn, &strains)?.factor / h)
        };
        let pulled = last_load::course(&fibres.strands, false)?;
        let pushed = last_load::course(&fibres.strands, true)?;
        let rises = values[values.len() - 1].max(1.0);
        let moment = last_load::bent(&fibres.strands, &pulled, &pushed, rises)?;
        let (first_pulled, first_pushed) = (first(1.0)?, first(-1.0)?);
        Ok([
            first_pulled,
            (pulled.last / h).max(first_pulled),
            (pushed.last / h).max(first_pushed),
            moment,
            section::stress_of_moment(moment, h)?,
        ])
    })?;
    let [first, pull, push, moment, bend] = &found;
    let desk = &mut bench.desk;
    let mega = |stress: &Spread| stress.times(1.0 / MEGA);
    sheet.first_cracking_mpa = Some(desk.estimate(
        "Stress along the part when the first fibres crack apart, pulled",
        Unit::Megapascal,
        &mega(first),
        &FIRST,
    ));
    sheet.tensile_strength_mpa = Some(desk.estimate(
        "Strength when pulled along the part: the last load of a test",
        Unit::Megapascal,
        &mega(pull),
        &LAST,
    ));
    sheet.compressive_strength_mpa = Some(desk.estimate(
        "Strength when pushed along the part: the last load of a test",
        Unit::Megapascal,
        &mega(push),
        &LAST,
    ));
    sheet.bending_strength_mpa = Some(desk.estimate(
        "Strength in bending along the part, 6 M / h² of the last load",
        Unit::Megapascal,
        &mega(bend),
        &BENT,
    ));
    Ok(moment.clone())
}

/// How much more the little material bears that is strained most in a bent strip [-].
pub(crate) fn rises(bench: &mut Bench<'_>) -> Spread {
    bench.coefficient(
        "stack.rise_in_bending",
        "Strength of the little material that a bent strip strains most, over that of a pulled one",
        Range::new(1.15, 1.3, 1.5),
        Grade::Judgement,
        "judgement_size_effect",
    )
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

static FIRST: Law = Law {
    says: "(σ1/X)² - σ1 σ2/X² + (σ2/Y)² + (τ/S)² = 1 in the fibres of one direction: warp, weft or ply",
    basis: Basis::Published,
    sources: &["azzi_tsai_1965", "law_laminate_theory"],
};

static LAST: Law = Law {
    says: "strained on past cracks, which keep their stress, and the knee, until fibres break or kink and their resin gives way",
    basis: Basis::Published,
    sources: &["hahn_tsai_1973", "law_laminate_theory", "pitarresi_2015"],
};

static BENT: Law = Law {
    says: "∫ σ dz = 0, M = ∫ σ z dz: bast yields on its pushed side; the little that is strained most bears more",
    basis: Basis::Published,
    sources: &["bechtel_norris_1952", "judgement_size_effect"],
};
