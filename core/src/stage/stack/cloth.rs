//! Works out one row: a cloth from its fibre and weave, or a core.

use super::of_fibre::{of_fibre, stiffness};
use super::packing::{Holders, Packed, Ply, by_hand, dry_areal_mass, packed, rolled_air, shares};
use super::{GIGA, Laid, LaidCloth};
use crate::law::{LawError, permeability as law_permeability, thickness};
use crate::plan::{Route, Row};
use crate::sheet::Spread;
use crate::shelf::{Cloth, Core, Fabric, Weave};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::water;
use crate::units::Unit;

/// Where a fabric's properties are found: its shelf key, or its row when written out in the plan.
pub(crate) fn holder(fabric: &Fabric, row: usize) -> String {
    let key = &fabric.entry().key;
    if key == "own" {
        format!("stack.{row}.fabric")
    } else {
        format!("fabrics.{key}")
    }
}

/// Bubbles in the resin of the plies that fibres were judged by, per volume of resin [-].
const USUAL_BUBBLES: f64 = 0.01;

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
    /// Whether what was typed of a prepreg holds for this cloth.
    pub(crate) typed: bool,
    /// Plies of the whole stack, which nest into each other.
    pub(crate) plies: u32,
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
        // A prepreg has no resin to give beyond its own.
        resin: if bench.plan.route == Route::Prepreg {
            Spread::exact(0.0)
        } else {
            uptake.times(1e-3)
        },
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
        resin_density,
        squeeze,
        ..
    } = *given;
    let shelf = bench.shelf;
    // Both were checked when the plan was read.
    let not_there = || LawError::Unsolved { what: "the cloth" };
    let fibre = shelf.fibre(&cloth.fibre).ok_or_else(not_there)?;
    let weave = shelf
        .weave(fibre.family, cloth.architecture)
        .ok_or_else(not_there)?;
    let holder = holder(&row.fabric, i);
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
    let dry = dry_areal_mass(bench, cloth, fibre, &stated, &moisture_scale, given.typed)?;
    let own = of_fibre(bench, fibre);
    let ply = Ply {
        cloth,
        weave,
        fibre,
        density: &own.density,
        void_per_fibre: &own.void_per_fibre,
        at: Holders {
            cloth: &holder,
            weave: &weave_holder,
        },
    };
    let Packed {
        on_the_shelf,
        fraction,
        matrix,
        void,
    } = packed(bench, &ply, given)?;
    let crimp = bench.property(
        &weave_holder,
        "crimp_factor",
        "Stiffness left by crimp",
        Unit::One,
        &weave.entry,
        &weave.crimp_factor,
    );
    let loose = loose(bench, weave, &weave_holder, &dry);
    let mut runs = permeability(bench, cloth, weave, &holder, &weave_holder)?;
    if squeeze.is_some() {
        runs = at_fraction(&runs, &on_the_shelf, &fraction)?;
    }
    let (k_along, k_across) = runs;
    let ply_thickness = Spread::of([&dry, &own.density, &fraction], |[w, rho, v]| {
        thickness::ply_thickness(w, rho, v)
    })?;
    // The fibre's figures were worked back from plies: the voids that fibre and resin always bring are in them.
    let beyond = Spread::from(
        [&void, &fraction, &own.void_per_fibre],
        |[void, v, per_fibre]| (void - shares(v, per_fibre, USUAL_BUBBLES)[1]).max(0.0),
    );
    let resin = Spread::from(
        [&matrix, &ply_thickness, resin_density],
        |[share, t, rho]| share * t * rho,
    );
    let resin_by_hand = resin_by_hand(bench, &ply, &dry, resin_density);
    let (ply, modulus) = stiffness(bench, &own, &fraction, &beyond)?;
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
            beyond,
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

/// Thickness of the loose cloth [m].
fn loose(bench: &mut Bench<'_>, weave: &Weave, holder: &str, dry: &Spread) -> Spread {
    let loft = bench.property(
        holder,
        "loose_mm_per_100_g_m2",
        "Loft of the loose cloth",
        Unit::Millimetre,
        &weave.entry,
        &weave.loose_mm_per_100_g_m2,
    );
    Spread::from([dry, &loft], |[dry, loft]| {
        dry * 1000.0 / 100.0 * loft * 1e-3
    })
}

/// Resin that one ply takes up when it is rolled, before a bag presses it [kg/m2]; none where nothing is bled.
fn resin_by_hand(
    bench: &mut Bench<'_>,
    ply: &Ply<'_>,
    dry: &Spread,
    resin_density: &Spread,
) -> Option<Spread> {
    (bench.plan.route == Route::BaggedWet).then(|| {
        let (rolled, air) = (by_hand(bench, ply), rolled_air(bench));
        Spread::from(
            [
                dry,
                ply.density,
                &rolled,
                ply.void_per_fibre,
                &air,
                resin_density,
            ],
            |[dry, rho, v, per_fibre, per_resin, rho_resin]| {
                let v = v.clamp(0.03, 0.8);
                dry / (rho * v) * shares(v, per_fibre, per_resin)[0] * rho_resin
            },
        )
    })
}

/// Permeabilities that belong to one fibre fraction, at another.
fn at_fraction(
    (along, across): &(Spread, Spread),
    from: &Spread,
    to: &Spread,
) -> Result<(Spread, Spread), LawError> {
    let at = |k: &Spread| {
        Spread::of([k, from, to], |[k, from, to]| {
            law_permeability::at_fraction(k, from, to, law_permeability::EXPONENT)
        })
    };
    Ok((at(along)?, at(across)?))
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
