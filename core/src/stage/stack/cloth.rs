//! Works out one row: a cloth from its fibre and weave, or a core.

use super::{GIGA, Laid, LaidCloth, POISSON};
use crate::law::micromechanics::Constituents;
use crate::law::{
    LawError, compaction, micromechanics, permeability as law_permeability, sorption, thickness,
};
use crate::plan::{Route, Row};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::shelf::{Cloth, Core, Fabric, Fibre, MassBasis, Weave};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::water;
use crate::units::Unit;

/// Share of a random mat's fibres that counts along any direction in its plane (Krenchel).
pub(super) const RANDOM_IN_PLANE: f64 = 0.375;

/// Where a fabric's properties are found: its shelf key, or its row when written out in the plan.
pub(crate) fn holder(fabric: &Fabric, row: usize) -> String {
    let key = &fabric.entry().key;
    if key == "own" {
        format!("stack.{row}.fabric")
    } else {
        format!("fabrics.{key}")
    }
}

/// Most void that the laws of stiffness speak about.
pub(super) const MOST_VOID: f64 = 0.4;

/// What all rows of a stack share.
#[derive(Clone, Copy)]
pub(crate) struct Given<'a> {
    pub(crate) air: &'a Air,
    /// Density of the cured resin [kg/m3].
    pub(crate) resin_density: &'a Spread,
    /// Measured over computed thickness.
    pub(crate) squeeze: Option<&'a Spread>,
    /// Share of the resin that is missing; the bag keeps the thickness, so void takes its place.
    pub(crate) missing: Option<&'a Spread>,
}

pub(crate) fn lay_core(bench: &mut Bench<'_>, i: usize, row: &Row, core: &Core) -> Laid {
    let holder = holder(&row.fabric, i);
    let mut get =
        |name, label, unit, cited| bench.property(&holder, name, label, unit, &core.entry, cited);
    let thickness = get(
        "thickness_mm",
        "Thickness",
        Unit::Millimetre,
        &core.thickness_mm,
    )
    .times(1e-3);
    let density = get(
        "density_g_cm3",
        "Density",
        Unit::GramPerMillilitre,
        &core.density_g_cm3,
    );
    let modulus = get(
        "modulus_gpa",
        "Stiffness",
        Unit::Gigapascal,
        &core.modulus_gpa,
    );
    let uptake = get(
        "resin_uptake_g_m2",
        "Resin it drinks",
        Unit::GramPerSquareMetre,
        &core.resin_uptake_g_m2,
    );
    Laid {
        key: core.entry.key.clone(),
        name: core.entry.name.clone(),
        count: row.count,
        angle_deg: row.angle_deg,
        solid: Spread::from([&thickness, &density], |[t, density]| t * density * 1000.0),
        thickness,
        cloth: None,
        resin: uptake.times(1e-3),
        modulus: modulus.times(GIGA),
    }
}

pub(crate) fn lay_cloth(
    bench: &mut Bench<'_>,
    i: usize,
    row: &Row,
    cloth: &Cloth,
    given: &Given<'_>,
) -> Result<Laid, LawError> {
    let Given {
        air,
        resin_density,
        squeeze,
        missing,
    } = *given;
    let shelf = bench.shelf;
    // Both were checked when the plan was read.
    let not_there = || LawError::Unsolved { what: "the cloth" };
    let fibre = shelf.fibre(&cloth.fibre).ok_or_else(not_there)?;
    let weave = shelf
        .weave(fibre.family, cloth.architecture)
        .ok_or_else(not_there)?;
    let holder = holder(&row.fabric, i);
    let fibre_holder = format!("fibres.{}", fibre.entry.key);
    let weave_holder = format!("weaves.{}", weave.entry.key);
    let moisture_scale = water::scale(bench, fibre)?;
    let stated = bench.property(
        &holder,
        "areal_mass_g_m2",
        "Areal mass",
        Unit::GramPerSquareMetre,
        &cloth.entry,
        &cloth.areal_mass_g_m2,
    );
    let dry = dry_areal_mass(cloth.mass_basis, fibre, &stated, &moisture_scale)?;
    let mut of_fibre = |name, label, unit, cited| {
        bench.property(&fibre_holder, name, label, unit, &fibre.entry, cited)
    };
    let density = of_fibre(
        "density_g_cm3",
        "Density of the fibre",
        Unit::GramPerMillilitre,
        &fibre.density_g_cm3,
    )
    .times(1000.0);
    let void_per_fibre = of_fibre(
        "void_per_fibre",
        "Void that comes with the fibre",
        Unit::One,
        &fibre.void_per_fibre,
    );
    let along = of_fibre(
        "modulus_gpa",
        "Stiffness along the fibre",
        Unit::Gigapascal,
        &fibre.modulus_gpa,
    );
    let across = of_fibre(
        "transverse_modulus_gpa",
        "Stiffness across the fibre",
        Unit::Gigapascal,
        &fibre.transverse_modulus_gpa,
    );
    let shear = of_fibre(
        "shear_modulus_gpa",
        "Shear stiffness of the fibre",
        Unit::Gigapascal,
        &fibre.shear_modulus_gpa,
    );
    let lone = fibre_fraction(bench, cloth, weave, &holder, &weave_holder, air)?;
    let nests = bench.coefficient(
        "stack.nesting",
        "Fibre content gained by plies that nest into each other",
        Range::new(0.0, 0.0, 0.03),
        Grade::Judgement,
        "judgement_nesting",
    );
    let plies: u32 = bench.plan.stack.iter().map(|row| row.count).sum();
    let on_the_shelf = Spread::of([&lone, &nests], |[v, gain]| {
        let gain = gain.clamp(0.0, 0.2);
        Ok((v * compaction::nesting(f64::from(plies), gain)?).min(0.75))
    })?;
    let fraction = match squeeze {
        Some(squeeze) => Spread::from([&on_the_shelf, squeeze], |[v, squeeze]| {
            (v / squeeze.clamp(0.3, 4.0)).clamp(0.05, 0.75)
        }),
        None => on_the_shelf.clone(),
    };
    let crimp = bench.property(
        &weave_holder,
        "crimp_factor",
        "Stiffness left by crimp",
        Unit::One,
        &weave.entry,
        &weave.crimp_factor,
    );
    let loft = bench.property(
        &weave_holder,
        "loose_mm_per_100_g_m2",
        "Loft of the loose cloth",
        Unit::Millimetre,
        &weave.entry,
        &weave.loose_mm_per_100_g_m2,
    );
    let loose = Spread::from([&dry, &loft], |[dry, loft]| {
        dry * 1000.0 / 100.0 * loft * 1e-3
    });
    let (k_along, k_across) = permeability(bench, cloth, weave, &holder, &weave_holder)?;
    // The shelf's permeability belongs to the shelf's fibre fraction.
    let packed = |k: &Spread| {
        Spread::of([k, &on_the_shelf, &fraction], |[k, from, to]| {
            law_permeability::at_fraction(k, from, to, law_permeability::EXPONENT)
        })
    };
    let (k_along, k_across) = match squeeze {
        Some(_) => (packed(&k_along)?, packed(&k_across)?),
        None => (k_along, k_across),
    };
    let void_in_resin = bench.coefficient(
        "stack.void_in_resin",
        "Bubbles in the resin, per volume of resin",
        Range::new(0.002, 0.01, 0.02),
        Grade::Memory,
        "madsen_2007",
    );
    let ply_thickness = Spread::of([&dry, &density, &fraction], |[w, rho, v]| {
        thickness::ply_thickness(w, rho, v)
    })?;
    let nothing = Spread::exact(0.0);
    let [matrix, void] = Spread::several(
        [
            &fraction,
            &void_per_fibre,
            &void_in_resin,
            missing.unwrap_or(&nothing),
        ],
        |[v, per_fibre, per_resin, missing]| {
            let [matrix, void] = shares(v, per_fibre, per_resin);
            Ok([matrix * (1.0 - missing), void + matrix * missing])
        },
    )?;
    let resin = Spread::from(
        [&matrix, &ply_thickness, resin_density],
        |[share, t, rho]| share * t * rho,
    );
    let by_hand = bench.property(
        &weave_holder,
        "fibre_fraction_by_hand",
        "Fibre fraction rolled by hand",
        Unit::One,
        &weave.entry,
        &weave.fibre_fraction_by_hand,
    );
    let resin_by_hand = Spread::from(
        [
            &dry,
            &density,
            &by_hand,
            &void_per_fibre,
            &void_in_resin,
            resin_density,
        ],
        |[dry, rho, v, per_fibre, per_resin, rho_resin]| {
            let v = v.clamp(0.03, 0.8);
            dry / (rho * v) * shares(v, per_fibre, per_resin)[0] * rho_resin
        },
    );
    let resin_modulus = resin_modulus(bench);
    let ply = Spread::several(
        [&along, &across, &shear, &resin_modulus, &fraction, &void],
        |[along, across, shear, resin, v, void]| {
            let parts = Constituents {
                fibre_along: along * GIGA,
                fibre_across: across * GIGA,
                fibre_shear: shear * GIGA,
                fibre_poisson: POISSON.0,
                matrix_modulus: resin * GIGA,
                matrix_poisson: POISSON.1,
            };
            let ply = micromechanics::unidirectional(&parts, v, void.min(MOST_VOID))?;
            Ok([ply.modulus_along, ply.modulus_across, ply.shear_modulus])
        },
    )?;
    let modulus = Spread::of(
        [&along, &resin_modulus, &fraction, &void],
        |[along, resin, v, void]| {
            let void = void.min(MOST_VOID);
            micromechanics::mixture_modulus(RANDOM_IN_PLANE, along * GIGA, resin * GIGA, v, void)
        },
    )?;
    Ok(Laid {
        key: cloth.entry.key.clone(),
        name: cloth.entry.name.clone(),
        count: row.count,
        angle_deg: row.angle_deg,
        thickness: ply_thickness,
        resin,
        solid: dry.clone(),
        modulus,
        cloth: Some(LaidCloth {
            fibre: cloth.fibre.clone(),
            family: fibre.family,
            architecture: cloth.architecture,
            dry,
            fraction,
            void,
            resin_by_hand,
            moisture_scale,
            loose,
            along: k_along,
            across: k_across,
            may_go_without_mesh: weave.may_go_without_mesh,
            ply,
            crimp,
        }),
    })
}

/// Resin and void shares of a layer whose resin just fills the compacted fibre.
pub(super) fn shares(fibre: f64, void_per_fibre: f64, void_per_resin: f64) -> [f64; 2] {
    let resin = ((1.0 - fibre * (1.0 + void_per_fibre)) / (1.0 + void_per_resin)).max(0.0);
    [resin, 1.0 - fibre - resin]
}

pub(super) fn dry_areal_mass(
    basis: MassBasis,
    fibre: &Fibre,
    stated: &Spread,
    scale: &Spread,
) -> Result<Spread, LawError> {
    /// ISO 139: 20 °C and 65 % relative humidity.
    const STANDARD_AIR: (f64, f64) = (293.15, 0.65);
    let commercial = fibre.commercial_regain_pct / 100.0;
    Spread::of([stated, scale], |[stated, scale]| {
        let regain = match basis {
            MassBasis::Dry => 0.0,
            MassBasis::Commercial => commercial,
            MassBasis::Conditioned if scale <= 0.0 => 0.0,
            MassBasis::Conditioned => {
                sorption::flax_regain(scale.max(0.05), STANDARD_AIR.0, STANDARD_AIR.1)?
            }
        };
        sorption::dry_mass_from_regain(stated / 1000.0, regain)
    })
}

pub(super) fn fibre_fraction(
    bench: &mut Bench<'_>,
    cloth: &Cloth,
    weave: &Weave,
    holder: &str,
    weave_holder: &str,
    air: &Air,
) -> Result<Spread, LawError> {
    if bench.plan.route == Route::OpenWet {
        return Ok(bench.property(
            weave_holder,
            "fibre_fraction_by_hand",
            "Fibre fraction rolled by hand",
            Unit::One,
            &weave.entry,
            &weave.fibre_fraction_by_hand,
        ));
    }
    let mut pick = |name: &'static str, label, own: &Option<_>, usual| match own {
        Some(cited) => bench.property(holder, name, label, Unit::One, &cloth.entry, cited),
        None => bench.property(weave_holder, name, label, Unit::One, &weave.entry, usual),
    };
    let at_one_bar = pick(
        "fibre_fraction_at_1_bar",
        "Fibre fraction under one bar",
        &cloth.fibre_fraction_at_1_bar,
        &weave.fibre_fraction_at_1_bar,
    );
    let exponent = pick(
        "compaction_exponent",
        "Compaction exponent",
        &cloth.compaction_exponent,
        &weave.compaction_exponent,
    );
    Spread::of(
        [&at_one_bar, &exponent, &air.net],
        |[at_one_bar, exponent, net]| compaction::fibre_fraction(at_one_bar, exponent, net),
    )
}

pub(super) fn permeability(
    bench: &mut Bench<'_>,
    cloth: &Cloth,
    weave: &Weave,
    holder: &str,
    weave_holder: &str,
) -> Result<(Spread, Spread), LawError> {
    let label = "Permeability";
    let learned = bench.shelf.learned.permeability_m2.get(&cloth.entry.key);
    let along = match (learned, &cloth.permeability_m2) {
        (Some(&range), _) => bench.learned(
            &format!("learned.cloths.{}.permeability_m2", cloth.entry.key),
            &format!("Permeability, {}, as you watched it", cloth.entry.name),
            Unit::Permeability,
            range,
        ),
        (None, Some(own)) => bench.property(
            holder,
            "permeability_m2",
            label,
            Unit::Permeability,
            &cloth.entry,
            own,
        ),
        (None, None) => of_weave(bench, cloth, weave, holder, weave_holder)?,
    };
    let ratio = bench.property(
        weave_holder,
        "permeability_across",
        "Permeability across, relative to along",
        Unit::One,
        &weave.entry,
        &weave.permeability_across,
    );
    let across = Spread::from([&along, &ratio], |[along, ratio]| along * ratio.min(1.0));
    Ok((along, across))
}

/// Permeability of a cloth by its weave, and by its mass where that is known to count.
fn of_weave(
    bench: &mut Bench<'_>,
    cloth: &Cloth,
    weave: &Weave,
    holder: &str,
    weave_holder: &str,
) -> Result<Spread, LawError> {
    let known = bench.property(
        weave_holder,
        "permeability_m2",
        "Permeability",
        Unit::Permeability,
        &weave.entry,
        &weave.permeability_m2,
    );
    let Some((at, exponent)) = &weave.permeability_by_mass else {
        return Ok(known);
    };
    let exponent = bench.property(
        weave_holder,
        "permeability_mass_exponent",
        "How permeability grows with areal mass",
        Unit::One,
        &weave.entry,
        exponent,
    );
    let mass = bench.property(
        holder,
        "areal_mass_g_m2",
        "Areal mass",
        Unit::GramPerSquareMetre,
        &cloth.entry,
        &cloth.areal_mass_g_m2,
    );
    Spread::of([&known, &mass, &exponent], |[known, mass, exponent]| {
        law_permeability::at_mass(known, at / 1000.0, mass / 1000.0, exponent)
    })
}

pub(crate) fn resin_modulus(bench: &mut Bench<'_>) -> Spread {
    let resin = &bench.plan.resin;
    let holder = format!("resins.{}", resin.entry.key);
    bench.property(
        &holder,
        "modulus_gpa",
        "Stiffness when cured",
        Unit::Gigapascal,
        &resin.entry,
        &resin.modulus_gpa,
    )
}
