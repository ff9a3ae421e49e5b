//! Which plies, how thick and how heavy they come out, and how much of it is fibre, resin and void.

use super::air::Air;
use super::bench::Bench;
use super::water;
use crate::law::micromechanics::{Constituents, Ply};
use crate::law::{LawError, compaction, laminate, micromechanics, sorption, thickness};
use crate::plan::fields::{MEASURED_THICKNESS, PART_AREA};
use crate::plan::{Route, Row};
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{Basis, Grade, Head, Law, PlyLine, Shown, Spread, StackSheet, StageName};
use crate::shelf::{Architecture, Cloth, Core, Fabric, Family, Fibre, MassBasis, Weave};
use crate::units::Unit;

const STAGE: StageName = StageName::Stack;
const GIGA: f64 = 1e9;
/// Poisson ratio of fibre and cured resin; the moduli hardly feel it.
const POISSON: (f64, f64) = (0.3, 0.35);

/// One row of the stack, worked out.
pub(crate) struct Laid {
    pub(crate) name: String,
    pub(crate) count: u32,
    pub(crate) angle_deg: f64,
    /// Thickness of one ply [m].
    pub(crate) thickness: Spread,
    /// What a cloth holds; none for a core.
    pub(crate) cloth: Option<LaidCloth>,
    /// Resin in one ply [kg/m2].
    pub(crate) resin: Spread,
    /// Mass of one ply without resin [kg/m2].
    pub(crate) solid: Spread,
    modulus: Spread,
}

/// A row of cloth, worked out.
pub(crate) struct LaidCloth {
    pub(crate) family: Family,
    pub(crate) architecture: Architecture,
    /// Dry fibre of one ply [kg/m2].
    pub(crate) dry: Spread,
    /// Fibre volume fraction [-].
    pub(crate) fraction: Spread,
    /// Void fraction [-].
    pub(crate) void: Spread,
    /// Resin that one loose ply takes up when it is wetted by hand [kg/m2].
    pub(crate) resin_by_hand: Spread,
    /// Moisture relative to wood [-].
    pub(crate) moisture_scale: Spread,
    /// Thickness of one loose dry ply [m].
    pub(crate) loose: Spread,
    /// Permeability along and across at this fibre fraction [m2].
    pub(crate) along: Spread,
    pub(crate) across: Spread,
    pub(crate) may_go_without_mesh: bool,
    ply: [Spread; 3],
    crimp: Spread,
}

/// The stack, worked out.
pub(crate) struct Stacked {
    pub(crate) rows: Vec<Laid>,
    /// Plan area [m2].
    pub(crate) area: Spread,
    /// Thickness of the part [m].
    pub(crate) thickness: Spread,
    /// Dry fibre [kg].
    pub(crate) fibre: Spread,
    /// Resin in the part [kg].
    pub(crate) resin: Spread,
}

impl Stacked {
    /// The rows of cloth with how many plies each.
    pub(crate) fn cloths(&self) -> impl Iterator<Item = (&Laid, &LaidCloth)> {
        self.rows
            .iter()
            .filter_map(|row| row.cloth.as_ref().map(|cloth| (row, cloth)))
    }

    /// Whether any ply is of a fibre that holds water.
    pub(crate) fn is_damp(&self) -> bool {
        self.cloths()
            .any(|(_, cloth)| cloth.moisture_scale.largest() > 0.0)
    }
}

/// Works the stack out and writes its sheet.
pub(crate) fn work(
    bench: &mut Bench<'_>,
    air: &Air,
) -> Result<(Stacked, StackSheet), Vec<Problem>> {
    let stacked = lay(bench, air).map_err(|why| super::bench::beyond("stack", &why))?;
    notes(bench, &stacked);
    let sheet = write(bench, air, &stacked).map_err(|why| super::bench::beyond("stack", &why))?;
    Ok((stacked, sheet))
}

fn lay(bench: &mut Bench<'_>, air: &Air) -> Result<Stacked, LawError> {
    let area = bench.take(&PART_AREA);
    let resin_density = resin_density(bench);
    let plan = bench.plan;
    let mut rows = Vec::new();
    for (i, row) in plan.stack.iter().enumerate() {
        rows.push(match &row.fabric {
            Fabric::Core(core) => lay_core(bench, i, row, core),
            Fabric::Cloth(cloth) => lay_cloth(bench, i, row, cloth, air, &resin_density)?,
        });
    }
    if plan.given(&MEASURED_THICKNESS).is_some() {
        fit_to_measurement(bench, &mut rows, &resin_density)?;
    }
    let per_area = |each: &dyn Fn(&Laid) -> &Spread| {
        let parts: Vec<Spread> = rows
            .iter()
            .map(|row| each(row).times(f64::from(row.count)))
            .collect();
        Spread::sum(&parts)
    };
    let thickness = per_area(&|row| &row.thickness);
    let resin = per_area(&|row| &row.resin);
    let dry: Vec<Spread> = rows
        .iter()
        .filter_map(|row| {
            let cloth = row.cloth.as_ref()?;
            Some(cloth.dry.times(f64::from(row.count)))
        })
        .collect();
    let whole = |per_area: &Spread| Spread::from([per_area, &area], |[x, area]| x * area);
    Ok(Stacked {
        fibre: whole(&Spread::sum(&dry)),
        resin: whole(&resin),
        rows,
        area,
        thickness,
    })
}

/// Density of the cured resin [kg/m3].
pub(crate) fn resin_density(bench: &mut Bench<'_>) -> Spread {
    let resin = &bench.plan.resin;
    let holder = format!("resins.{}", resin.entry.key);
    bench
        .property(
            &holder,
            "density_cured_g_cm3",
            "Density when cured",
            Unit::GramPerMillilitre,
            &resin.entry,
            &resin.density_cured_g_cm3,
        )
        .times(1000.0)
}

/// Where a fabric's properties are found: its shelf key, or its row when written out in the plan.
fn holder(fabric: &Fabric, row: usize) -> String {
    let key = &fabric.entry().key;
    if key == "own" {
        format!("stack.{row}.fabric")
    } else {
        format!("fabrics.{key}")
    }
}

fn lay_core(bench: &mut Bench<'_>, i: usize, row: &Row, core: &Core) -> Laid {
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

fn lay_cloth(
    bench: &mut Bench<'_>,
    i: usize,
    row: &Row,
    cloth: &Cloth,
    air: &Air,
    resin_density: &Spread,
) -> Result<Laid, LawError> {
    let shelf = bench.shelf;
    // Both were checked when the plan was read.
    let missing = || LawError::Unsolved { what: "the cloth" };
    let fibre = shelf.fibre(&cloth.fibre).ok_or_else(missing)?;
    let weave = shelf
        .weave(fibre.family, cloth.architecture)
        .ok_or_else(missing)?;
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
    let fraction = fibre_fraction(bench, cloth, weave, &holder, &weave_holder, air)?;
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
    let (k_along, k_across) = permeability(bench, cloth, weave, &holder, &weave_holder);
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
    let [matrix, void] = Spread::several(
        [&fraction, &void_per_fibre, &void_in_resin],
        |[v, per_fibre, per_resin]| Ok(shares(v, per_fibre, per_resin)),
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
            let ply = micromechanics::unidirectional(&parts, v, void)?;
            Ok([ply.modulus_along, ply.modulus_across, ply.shear_modulus])
        },
    )?;
    let modulus = Spread::of(
        [&along, &resin_modulus, &fraction, &void],
        |[along, resin, v, void]| {
            micromechanics::mixture_modulus(RANDOM_IN_PLANE, along * GIGA, resin * GIGA, v, void)
        },
    )?;
    Ok(Laid {
        name: cloth.entry.name.clone(),
        count: row.count,
        angle_deg: row.angle_deg,
        thickness: ply_thickness,
        resin,
        solid: dry.clone(),
        modulus,
        cloth: Some(LaidCloth {
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

/// Share of a random mat's fibres that counts along any direction in its plane (Krenchel).
const RANDOM_IN_PLANE: f64 = 0.375;

/// Resin and void shares of a layer whose resin just fills the compacted fibre.
fn shares(fibre: f64, void_per_fibre: f64, void_per_resin: f64) -> [f64; 2] {
    let resin = ((1.0 - fibre * (1.0 + void_per_fibre)) / (1.0 + void_per_resin)).max(0.0);
    [resin, 1.0 - fibre - resin]
}

fn dry_areal_mass(
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

fn fibre_fraction(
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

fn permeability(
    bench: &mut Bench<'_>,
    cloth: &Cloth,
    weave: &Weave,
    holder: &str,
    weave_holder: &str,
) -> (Spread, Spread) {
    let label = "Permeability";
    let along = match &cloth.permeability_m2 {
        Some(own) => bench.property(
            holder,
            "permeability_m2",
            label,
            Unit::Permeability,
            &cloth.entry,
            own,
        ),
        None => bench.property(
            weave_holder,
            "permeability_m2",
            label,
            Unit::Permeability,
            &weave.entry,
            &weave.permeability_m2,
        ),
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
    (along, across)
}

fn resin_modulus(bench: &mut Bench<'_>) -> Spread {
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

/// The measured thickness wins: every cloth is packed by the same factor until the stack fits.
fn fit_to_measurement(
    bench: &mut Bench<'_>,
    rows: &mut [Laid],
    resin_density: &Spread,
) -> Result<(), LawError> {
    let measured = bench.take(&MEASURED_THICKNESS).times(1e-3);
    let total = |cloth: bool| {
        let parts: Vec<Spread> = rows
            .iter()
            .filter(|row| row.cloth.is_some() == cloth)
            .map(|row| row.thickness.times(f64::from(row.count)))
            .collect();
        Spread::sum(&parts)
    };
    let (cloths, cores) = (total(true), total(false));
    let squeeze = Spread::from([&measured, &cloths, &cores], |[measured, cloths, cores]| {
        (measured - cores) / cloths
    });
    // Between a mat just lying there and fibre packed beyond what any bag does.
    if squeeze.likely() < 0.35 || squeeze.likely() > 3.0 {
        let computed = bench.desk.say(
            Unit::Millimetre,
            &Spread::sum([&cloths, &cores]).times(1000.0),
        );
        bench.problem(
            STAGE,
            format!(
                "The measured thickness is far from the {computed} that this stack gives. It was not used: check the number of plies and the areal mass."
            ),
        );
        return Ok(());
    }
    for row in rows.iter_mut() {
        let Some(cloth) = row.cloth.as_mut() else {
            continue;
        };
        row.thickness = Spread::from([&row.thickness, &squeeze], |[t, s]| t * s.clamp(0.3, 4.0));
        let packed = Spread::from([&cloth.fraction, &squeeze], |[v, s]| {
            (v / s.clamp(0.3, 4.0)).clamp(0.03, 0.85)
        });
        // Resin fills what the fibre and its own voids leave.
        let [matrix, void] = Spread::several(
            [&packed, &cloth.fraction, &cloth.void],
            |[packed, fraction, void]| {
                let void = (void * packed / fraction).min(0.3);
                Ok([(1.0 - packed - void).max(0.0), void])
            },
        )?;
        row.resin = Spread::from(
            [&matrix, &row.thickness, resin_density],
            |[share, t, rho]| share * t * rho,
        );
        cloth.fraction = packed;
        cloth.void = void;
    }
    Ok(())
}

fn write(bench: &mut Bench<'_>, air: &Air, stacked: &Stacked) -> Result<StackSheet, LawError> {
    let cloth_mean = |each: &dyn Fn(&LaidCloth) -> &Spread| -> Result<Spread, LawError> {
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
    };
    let fraction = cloth_mean(&|cloth| &cloth.fraction)?;
    let void = cloth_mean(&|cloth| &cloth.void)?;
    let solid: Vec<Spread> = stacked
        .rows
        .iter()
        .map(|row| row.solid.times(f64::from(row.count)))
        .collect();
    let solid = Spread::sum(&solid);
    let mass = Spread::from(
        [&solid, &stacked.area, &stacked.resin],
        |[solid, area, resin]| solid * area + resin,
    );
    let areal = Spread::from([&mass, &stacked.area], |[mass, area]| mass / area);
    let per_fibre = Spread::from([&stacked.resin, &stacked.fibre], |[resin, fibre]| {
        resin / fibre
    });
    let per_fibre_volume = Spread::from([&fraction, &void], |[v, void]| (1.0 - v - void) / v);
    let (tensile, bending) = moduli(bench, stacked)?;
    let plies = build_up(bench, stacked);
    let desk = &mut bench.desk;
    let thickness_mm = stacked.thickness.times(1000.0);
    let total: u32 = stacked.rows.iter().map(|row| row.count).sum();
    let answer = format!(
        "{total} {} come out {} thick and weigh {} with their resin.",
        if total == 1 { "ply" } else { "plies" },
        desk.say(Unit::Millimetre, &thickness_mm),
        desk.say(Unit::Gram, &mass.times(1000.0)),
    );
    Ok(StackSheet {
        head: Head {
            stage: STAGE,
            short: "Stack",
            question: "How thick and how heavy will it be?",
            answer,
            main: "thickness_mm",
        },
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
        net_pressure_mbar: desk.estimate(
            "Air pressing the stack",
            Unit::Millibar,
            &air.net.times(0.01),
            &NET,
        ),
        plies,
    })
}

/// Tensile and bending modulus along the part [Pa], by classical laminate theory.
fn moduli(bench: &mut Bench<'_>, stacked: &Stacked) -> Result<(Spread, Spread), LawError> {
    let mut parts: Vec<&Spread> = Vec::new();
    for row in &stacked.rows {
        parts.extend([&row.thickness, &row.modulus]);
        if let Some(cloth) = &row.cloth {
            parts.extend(&cloth.ply);
            parts.push(&cloth.crimp);
        }
    }
    let mut unsymmetric = false;
    let mut first = true;
    let mut layers = Vec::new();
    let [tensile, bending] = Spread::many(&parts, |values| {
        layers.clear();
        let mut values = values.iter().copied();
        let mut next = || values.next().unwrap_or(0.0);
        for row in &stacked.rows {
            let (t, isotropic) = (next(), next());
            let architecture = row.cloth.as_ref().map(|cloth| cloth.architecture);
            let ply = if row.cloth.is_some() {
                let (along, across, shear, crimp) = (next(), next(), next(), next());
                // A draw may lie beyond what a cloth can do: no crimp makes it stiffer.
                let crimp = crimp.clamp(0.1, 1.0);
                Some((
                    Ply {
                        modulus_along: along,
                        modulus_across: across,
                        poisson: POISSON.0,
                        shear_modulus: shear,
                    },
                    crimp,
                ))
            } else {
                None
            };
            push_layers(&mut layers, row, architecture, t, isotropic, ply)?;
        }
        let apparent = laminate::apparent(&laminate::stiffness(&layers)?)?;
        if std::mem::take(&mut first) {
            unsymmetric = apparent.unsymmetric;
        }
        Ok([apparent.modulus_x, apparent.bending_modulus_x])
    })?;
    if unsymmetric {
        bench.problem(
            STAGE,
            "The stack is not the same from both faces, so it warps as it cures. Mirror the plies about the middle, or leave it on the mould until it is fully hard and accept some twist.",
        );
    }
    Ok((tensile, bending))
}

/// Layers of one row for laminate theory.
fn push_layers(
    layers: &mut Vec<laminate::Layer>,
    row: &Laid,
    architecture: Option<Architecture>,
    thickness: f64,
    isotropic: f64,
    ply: Option<(Ply, f64)>,
) -> Result<(), LawError> {
    let angle = row.angle_deg.to_radians();
    let count = f64::from(row.count);
    let same_all_round = Ply {
        modulus_along: isotropic,
        modulus_across: isotropic,
        poisson: POISSON.0,
        shear_modulus: isotropic / (2.0 * (1.0 + POISSON.0)),
    };
    match (architecture, ply) {
        (Some(Architecture::Biaxial), Some((ply, crimp))) => {
            // Two straight layers at plus and minus 45 degrees to the roll.
            let ply = softened(ply, crimp);
            for _ in 0..row.count {
                for turn in [45.0_f64, -45.0] {
                    layers.push(laminate::Layer {
                        ply,
                        angle: angle + turn.to_radians(),
                        thickness: thickness / 2.0,
                    });
                }
            }
        }
        (Some(Architecture::Twill | Architecture::Plain), Some((ply, crimp))) => {
            layers.push(laminate::Layer {
                ply: laminate::woven_ply(&ply, 0.5, crimp)?,
                angle,
                thickness: thickness * count,
            });
        }
        (Some(Architecture::Unidirectional), Some((ply, crimp))) => {
            layers.push(laminate::Layer {
                ply: softened(ply, crimp),
                angle,
                thickness: thickness * count,
            });
        }
        _ => layers.push(laminate::Layer {
            ply: same_all_round,
            angle,
            thickness: thickness * count,
        }),
    }
    Ok(())
}

fn softened(ply: Ply, crimp: f64) -> Ply {
    Ply {
        modulus_along: ply.modulus_along * crimp,
        ..ply
    }
}

fn build_up(bench: &Bench<'_>, stacked: &Stacked) -> Vec<PlyLine> {
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

fn notes(bench: &mut Bench<'_>, stacked: &Stacked) {
    bench.caution(
        STAGE,
        "Cutting dry cloth raises dust that harms lungs: wear a mask of class FFP3 or P3, extract at the knife, and wipe up damp, because flax dust in the air can explode.",
    );
    bench.advice(
        STAGE,
        "A part that carries people or loads needs a qualified engineer and a tested sample; these figures are for planning.",
    );
    let damp = stacked.is_damp();
    if damp {
        bench.advice(
            STAGE,
            "The stiffness holds for small strain: flax has a knee near 0.2 percent strain, and pulls softer beyond it.",
        );
    }
    if bench.plan.route == Route::Prepreg {
        bench.advice(
            STAGE,
            "Prepreg comes with its resin: thickness follows its own sheet more closely than this estimate from cloth and bag pressure.",
        );
    }
    if bench.bagged() && bench.plan.given(&MEASURED_THICKNESS).is_none() && damp {
        bench.advice(
            STAGE,
            "Measure the thickness of one finished part and type it in: your own figure then replaces the shelf's guess at how far the bag presses your cloth.",
        );
    }
}

static THICKNESS: Law = Law {
    says: "t = sum of w / (ρ V_f) over the plies: dry areal mass, fibre density, fibre fraction",
    basis: Basis::Firm,
    sources: &["law_ply_thickness"],
};
static COMPACTION: Law = Law {
    says: "V_f = V_1bar (p / 1 bar)^b: how far the net pressure packs the cloth",
    basis: Basis::Firm,
    sources: &["judgement_compaction_law"],
};
static VOID: Law = Law {
    says: "resin fills what fibre and its own voids leave: V_m = (1 - V_f (1 + α_f)) / (1 + α_m)",
    basis: Basis::Firm,
    sources: &["madsen_2007"],
};
static DRY_MASS: Law = Law {
    says: "m = A n w / (1 + regain the stated areal mass includes)",
    basis: Basis::Firm,
    sources: &["law_regain_definition", "iso_139"],
};
static MASS: Law = Law {
    says: "fibre + resin + cores",
    basis: Basis::Firm,
    sources: &["law_ply_thickness"],
};
static STIFFNESS: Law = Law {
    says: "rule of mixtures and Halpin-Tsai for the ply, crimp, (1 - void)², then classical laminate theory",
    basis: Basis::Published,
    sources: &["law_laminate_theory", "law_halpin_tsai", "madsen_2009"],
};
static NET: Law = Law {
    says: "air outside minus pressure in the bag; the air from the height above the sea",
    basis: Basis::Firm,
    sources: &["us_standard_atmosphere_1976"],
};
