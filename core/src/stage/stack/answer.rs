//! What the stack says: its figures, its build-up and its notes.

use super::{GIGA, LaidCloth, STAGE, Stacked, moduli};
use crate::law::LawError;
use crate::plan::Route;
use crate::plan::fields::{MEASURED_THICKNESS, RESIN_CONTENT};
use crate::sheet::{Basis, Desk, Head, Law, PlyLine, Shown, Spread, StackSheet};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::dust::Dust;
use crate::units::Unit;

pub(super) fn write(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
) -> Result<StackSheet, LawError> {
    let fraction = cloth_mean(stacked, &|cloth| &cloth.fraction)?;
    let void = cloth_mean(stacked, &|cloth| &cloth.void)?;
    let mass = mass(stacked);
    let areal = Spread::from([&mass, &stacked.area], |[mass, area]| mass / area);
    let per_fibre = Spread::from([&stacked.resin, &stacked.fibre], |[m, f]| m / f);
    let per_fibre_volume = Spread::from([&fraction, &void], |[v, void]| (1.0 - v - void) / v);
    let (tensile, bending) = moduli(bench, stacked)?;
    let plies = build_up(bench, stacked);
    let bagged = bench.bagged();
    let desk = &mut bench.desk;
    let thickness_mm = stacked.thickness.times(1000.0);
    let answer = in_words(desk, stacked, &thickness_mm, &mass);
    Ok(StackSheet {
        head: Head::new(STAGE, answer, "thickness_mm"),
        thickness_mm: desk.estimate("Thickness", Unit::Millimetre, &thickness_mm, &THICKNESS),
        fibre_volume_fraction: desk.estimate(
            "Fibre by volume, in the cloth layers",
            Unit::One,
            &fraction,
            &COMPACTION,
        ),
        porosity: desk.estimate(
            "Void by volume, in the cloth layers",
            Unit::One,
            &void,
            &VOID,
        ),
        fibre_mass_g: desk.estimate(
            "Dry fibre",
            Unit::Gram,
            &stacked.fibre.times(1000.0),
            &DRY_MASS,
        ),
        part_mass_g: desk.estimate(
            "Part, untrimmed edges left out",
            Unit::Gram,
            &mass.times(1000.0),
            &MASS,
        ),
        part_areal_mass_g_m2: desk.estimate(
            "Part, per area",
            Unit::GramPerSquareMetre,
            &areal.times(1000.0),
            &MASS,
        ),
        resin_per_fibre_mass: desk.estimate(
            "Resin per dry fibre in the part, by mass",
            Unit::One,
            &per_fibre,
            &VOID,
        ),
        resin_per_fibre_volume: desk.estimate(
            "Resin per fibre in the part, by volume",
            Unit::One,
            &per_fibre_volume,
            &VOID,
        ),
        tensile_modulus_gpa: desk.estimate(
            "Stiffness when pulled along the part, at small strain",
            Unit::Gigapascal,
            &tensile.times(1.0 / GIGA),
            &STIFFNESS,
        ),
        bending_modulus_gpa: desk.estimate(
            "Stiffness when bent along the part, at small strain",
            Unit::Gigapascal,
            &bending.times(1.0 / GIGA),
            &STIFFNESS,
        ),
        thickness_at_feed_mm: None,
        modulus_across_gpa: None,
        shear_modulus_gpa: None,
        poisson: None,
        modulus_after_knee_gpa: None,
        modulus_as_tested_gpa: None,
        knee_stress_mpa: None,
        bending_as_tested_gpa: None,
        first_cracking_mpa: None,
        tensile_strength_mpa: None,
        compressive_strength_mpa: None,
        bending_strength_mpa: None,
        bending_stiffness_n_m: None,
        loss_factor_pct: None,
        warp_mm: None,
        coats_g: None,
        heel_n: None,
        load: None,
        polar: None,
        stiffness_matrices: None,
        net_pressure_mbar: desk
            .estimate(
                "Air pressing the stack",
                Unit::Millibar,
                &air.net.times(0.01),
                if bagged { &NET } else { &NO_BAG },
            )
            .only_if(bagged),
        plies,
    })
}

/// The part with its resin [kg].
fn mass(stacked: &Stacked) -> Spread {
    let rows = stacked.rows.iter();
    let solid: Vec<Spread> = rows
        .map(|row| row.solid.times(f64::from(row.count)))
        .collect();
    let solid = Spread::sum(&solid);
    Spread::from(
        [&solid, &stacked.area, &stacked.resin, &stacked.more.solid],
        |[solid, area, resin, more]| solid * area + resin + more,
    )
}

/// How many plies come out how thick and heavy, in words.
fn in_words(desk: &Desk, stacked: &Stacked, thickness_mm: &Spread, mass: &Spread) -> String {
    let total: u32 = stacked.rows.iter().map(|row| row.count).sum();
    format!(
        "{total} {} come out {} thick and weigh {} with their resin.",
        if total == 1 { "ply" } else { "plies" },
        desk.say(Unit::Millimetre, thickness_mm),
        desk.say(Unit::Gram, &mass.times(1000.0)),
    )
}

/// A share of the cloth layers, weighed by their thickness.
pub(super) fn cloth_mean(
    stacked: &Stacked,
    each: &dyn Fn(&LaidCloth) -> &Spread,
) -> Result<Spread, LawError> {
    let parts: Vec<&Spread> = stacked
        .cloths()
        .flat_map(|(row, cloth)| [&row.thickness, each(cloth)])
        .collect();
    let counts: Vec<f64> = stacked
        .cloths()
        .map(|(row, _)| f64::from(row.count))
        .collect();
    let [mean] = Spread::many(&parts, |values| {
        let (mut whole, mut share) = (0.0, 0.0);
        for (pair, count) in values.chunks_exact(2).zip(&counts) {
            whole += pair[0] * count;
            share += pair[0] * count * pair[1];
        }
        Ok([share / whole])
    })?;
    Ok(mean)
}

pub(super) fn build_up(bench: &Bench<'_>, stacked: &Stacked) -> Vec<PlyLine> {
    let desk = &bench.desk;
    let mut below = Spread::exact(0.0);
    let mut lines = Vec::new();
    for row in &stacked.rows {
        for k in 1..=row.count {
            let top = Spread::from([&below, &row.thickness], |[below, t]| {
                (below + t * f64::from(k)) * 1000.0
            });
            let range = desk.range(&top);
            let shown = Shown::of(range, Unit::Millimetre, desk.units);
            lines.push(PlyLine {
                ply: lines.len() as u32 + 1,
                name: row.name.clone(),
                family: row.cloth.as_ref().map_or("core", |c| c.family.word()),
                architecture: row.cloth.as_ref().map_or("core", |c| c.architecture.word()),
                angle_deg: row.angle_deg,
                top_mm: range,
                top: shown.with_unit(),
                top_range: shown.range,
            });
        }
        below = Spread::from([&below, &row.thickness], |[below, t]| {
            below + t * f64::from(row.count)
        });
    }
    lines
}

pub(super) fn notes(bench: &mut Bench<'_>, stacked: &Stacked) {
    let dust = Dust::of(bench.plan, bench.shelf);
    bench.caution(STAGE, dust.at_cutting());
    bench.advice(
        STAGE,
        "A part that carries people or loads needs a qualified engineer and a tested sample; these figures are for planning.",
    );
    let damp = stacked.is_damp();
    if damp {
        bench.advice(
            STAGE,
            "The stiffness holds for small strain: flax has a knee near 0.2 percent strain, and pulls softer beyond it. A tensile test reads across the knee, so its figure is lower.",
        );
    }
    match bench.plan.route {
        Route::Prepreg => of_prepreg(bench, stacked),
        Route::OpenWet => bench.advice(
            STAGE,
            "The upper face stays rough, and the roller decides how much resin stays: weigh the cloth, pour out its share, and roll the air out ply by ply.",
        ),
        _ => {}
    }
    if bench.bagged() && bench.plan.given(&MEASURED_THICKNESS).is_none() && damp {
        bench.advice(
            STAGE,
            "Measure the thickness of one finished part and type it in: your own figure then replaces the shelf's guess at how far the bag presses your cloth.",
        );
    }
}

/// What a prepreg's resin content does, or would, once it is typed.
fn of_prepreg(bench: &mut Bench<'_>, stacked: &Stacked) {
    if bench.plan.given(&RESIN_CONTENT).is_none() {
        bench.advice(
            STAGE,
            "Type the resin content from the prepreg's own sheet: thickness, mass and voids all hang on it.",
        );
        return;
    }
    let void = cloth_mean(stacked, &|cloth| &cloth.void);
    let Ok(void) = void else { return };
    if void.likely() > MUCH_VOID {
        let void = bench.desk.say(Unit::Percent, &void.times(100.0));
        bench.problem(
            STAGE,
            format!("A bag alone does not press this cloth as tight as its resin would need, so that {void} of it would be void. Take a prepreg with more resin, or press it."),
        );
    }
}

/// From this void on a prepreg is short of resin for its cloth [-].
const MUCH_VOID: f64 = 0.08;

pub(super) static THICKNESS: Law = Law {
    says: "t = sum of w / (ρ V_f) over the plies: dry areal mass, fibre density, fibre fraction",
    basis: Basis::Firm,
    sources: &["law_ply_thickness"],
};

pub(super) static COMPACTION: Law = Law {
    says: "V_f = V_1bar (p / 1 bar)^b: how far the net pressure packs the cloth",
    basis: Basis::Firm,
    sources: &["judgement_compaction_law"],
};

pub(super) static VOID: Law = Law {
    says: "resin fills what fibre and its own voids leave: V_m = (1 - V_f (1 + α_f)) / (1 + α_m)",
    basis: Basis::Firm,
    sources: &["madsen_2007"],
};

pub(super) static DRY_MASS: Law = Law {
    says: "m = A n w / (1 + regain the stated areal mass includes)",
    basis: Basis::Firm,
    sources: &["law_regain_definition", "iso_139"],
};

pub(super) static MASS: Law = Law {
    says: "fibre + resin + cores",
    basis: Basis::Firm,
    sources: &["law_ply_thickness"],
};

pub(super) static STIFFNESS: Law = Law {
    says: "rule of mixtures and Halpin-Tsai for the ply, crimp, (1 - void)², then classical laminate theory",
    basis: Basis::Published,
    sources: &["law_laminate_theory", "law_halpin_tsai", "madsen_2009"],
};

pub(super) static NET: Law = Law {
    says: "air outside minus pressure in the bag; the air from the height above the sea",
    basis: Basis::Firm,
    sources: &["us_standard_atmosphere_1976"],
};

static NO_BAG: Law = Law {
    says: "no bag presses it",
    basis: Basis::Firm,
    sources: &[],
};
