//! The rest of the stack's sheet: stiffness in every direction, beyond the knee, strength, damping, warp and loads.

use super::layers::{Tagged, ingredients, lay};
use super::load::{CoreShear, core_shear, load};
use super::qualities::{OfResin, Qualities, of_resin, qualities};
use super::{GIGA, Stacked};
use crate::law::failure::{self, Strengths};
use crate::law::{LawError, compaction, damping, knee, laminate};
use crate::plan::Route;
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{
    Basis, Direction, Estimate, Grade, Law, Polar, Spread, StackSheet, StiffnessMatrices,
};
use crate::shelf::traits::CORE_LOSS;
use crate::shelf::{Core, Fabric};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Directions of the polar plot: every 15 degrees over half a turn.
const DIRECTIONS: usize = 12;
/// Strains between which a tensile test reads a modulus (ISO 527-4).
const TESTED: (f64, f64) = (0.0005, 0.0025);
const MEGA: f64 = 1e6;

/// What the comparison of materials needs to know of the stack.
pub(crate) struct Deep {
    /// Bending stiffness along the part, per width [N m].
    pub(crate) stiffness: Spread,
    /// Bending moment at first damage, per width [N].
    pub(crate) moment: Spread,
    /// Loss factor in bending [-].
    pub(crate) loss: Spread,
    /// Bending stiffness with everything likely, and shear.
    pub(crate) likely: super::load::Bending,
    /// What the resin brings.
    pub(crate) resin: OfResin,
}

/// What was found in the first pass and the second needs again.
pub(super) struct Tested {
    /// D11, D12, D22, D66, and the stiffness of a narrow strip [N m].
    pub(super) bending: [Spread; 5],
    /// Modulus along the part [Pa].
    pub(super) along: Spread,
    /// Qualities by row; none for a core.
    qualities: Vec<Option<Qualities>>,
    /// Least likely strain of a knee in the stack [-]; zero when there is none.
    pub(super) least_knee: f64,
}

impl Tested {
    /// Ingredients of the layers, then of what they bear.
    pub(super) fn parts<'a>(&'a self, stacked: &'a Stacked) -> Vec<&'a Spread> {
        let mut parts = ingredients(stacked);
        for qualities in self.qualities.iter().flatten() {
            parts.extend(&qualities.strengths);
        }
        parts
    }

    /// Strengths by row, read back from one draw of [`Tested::parts`].
    pub(super) fn bears(&self, stacked: &Stacked, values: &[f64]) -> Vec<Option<Strengths>> {
        let mut values = values[ingredients(stacked).len()..].iter().copied();
        let mut next = || values.next().unwrap_or(1.0);
        self.qualities
            .iter()
            .map(|qualities| {
                qualities.as_ref().map(|_| Strengths {
                    along_tension: next(),
                    along_compression: next(),
                    across_tension: next(),
                    across_compression: next(),
                    shear: next(),
                })
            })
            .collect()
    }
}

/// Adds to the sheet what the first, short one does without.
pub(crate) fn deepen(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    sheet: &mut StackSheet,
) -> Result<Deep, Vec<Problem>> {
    fill(bench, &air.net, stacked, sheet).map_err(|why| crate::stage::bench::beyond("stack", &why))
}

fn fill(
    bench: &mut Bench<'_>,
    net: &Spread,
    stacked: &Stacked,
    sheet: &mut StackSheet,
) -> Result<Deep, LawError> {
    sheet.thickness_at_feed_mm = at_the_feed(bench, stacked, net)?;
    let resin = of_resin(bench)?;
    let mut by_row = Vec::new();
    for row in &stacked.rows {
        by_row.push(match &row.cloth {
            Some(cloth) => Some(qualities(bench, cloth, &resin)?),
            None => None,
        });
    }
    let elastic = elastic(bench, stacked, &by_row, sheet)?;
    let knees = beyond_the_knee(bench, stacked, &by_row, &elastic.along, sheet)?;
    warp(bench, stacked, &by_row, &elastic, sheet)?;
    let tested = Tested {
        bending: elastic.bending,
        along: elastic.along,
        qualities: by_row,
        least_knee: knees,
    };
    let moment = strength(bench, stacked, &tested, sheet)?;
    let core: CoreShear = core_shear(bench, stacked)?;
    sheet.load = load(bench, stacked, &tested, &core)?;
    let [d11, d12, d22, d66, strip] = &tested.bending;
    Ok(Deep {
        likely: super::load::Bending {
            d11: d11.likely(),
            d12: d12.likely(),
            d22: d22.likely(),
            d66: d66.likely(),
            strip: strip.likely(),
            shear: core.stiffness(),
        },
        stiffness: strip.clone(),
        moment,
        loss: elastic.loss,
        resin,
    })
}

/// Thickness at the feed while resin still runs in and the vent pulls [mm]; only an infusion has one.
fn at_the_feed(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    net: &Spread,
) -> Result<Option<Estimate>, LawError> {
    if bench.plan.route != Route::Infusion {
        return Ok(None);
    }
    let lets_go = bench.coefficient(
        "stack.wet_exponent",
        "How far a wet stack swells when the bag lets go of it",
        Range::new(0.03, 0.045, 0.06),
        Grade::Memory,
        "correia_2005",
    );
    let cloth: Vec<Spread> = stacked
        .cloths()
        .map(|(row, _)| row.thickness.times(f64::from(row.count)))
        .collect();
    let cloth = Spread::sum(&cloth);
    let swollen = Spread::of(
        [&stacked.thickness, &cloth, net, &lets_go],
        |[whole, cloth, net, exponent]| {
            Ok(whole + cloth * (compaction::swollen(net, net, exponent.min(0.3))? - 1.0))
        },
    )?;
    Ok(Some(bench.desk.estimate(
        "Thickness at the feed while resin still runs in",
        Unit::Millimetre,
        &swollen.times(1000.0),
        &SWOLLEN,
    )))
}

struct Elastic {
    along: Spread,
    bending: [Spread; 5],
    loss: Spread,
    unsymmetric: bool,
}

/// Stiffness in every direction and damping, in one pass over the draws.
fn elastic(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    by_row: &[Option<Qualities>],
    sheet: &mut StackSheet,
) -> Result<Elastic, LawError> {
    let mut parts = ingredients(stacked);
    let start = parts.len();
    let core_loss = core_losses(bench, stacked);
    for (qualities, core) in by_row.iter().zip(&core_loss) {
        match qualities {
            Some(qualities) => parts.extend(&qualities.losses),
            None => parts.extend([core, core, core]),
        }
    }
    let mut tagged = Tagged::new();
    let mut likely = None;
    let found: [Spread; 10 + DIRECTIONS] = Spread::many(&parts, |values| {
        lay(stacked, values, &|_| 1.0, &mut tagged)?;
        let stack = laminate::stiffness(&tagged.layers)?;
        let apparent = laminate::apparent(&stack)?;
        let compliance = laminate::compliance(&stack)?;
        let lost = &values[start..];
        let losses: Vec<damping::Losses> = tagged
            .rows
            .iter()
            .map(|&row| damping::Losses {
                along: lost[3 * row],
                across: lost[3 * row + 1],
                shear: lost[3 * row + 2],
            })
            .collect();
        let loss = damping::in_bending(&tagged.layers, &losses)?;
        likely.get_or_insert((stack, apparent));
        let mut out = [0.0; 10 + DIRECTIONS];
        out[..10].copy_from_slice(&[
            apparent.modulus_x,
            apparent.modulus_y,
            apparent.shear_modulus,
            apparent.poisson,
            loss,
            stack.d[0][0],
            stack.d[0][1],
            stack.d[1][1],
            stack.d[2][2],
            1.0 / compliance[3][3],
        ]);
        for (k, slot) in out[10..].iter_mut().enumerate() {
            let angle = (k as f64 * 180.0 / DIRECTIONS as f64).to_radians();
            *slot = laminate::modulus_at(&compliance, stack.thickness, angle)?;
        }
        Ok(out)
    })?;
    let [
        ex,
        ey,
        gxy,
        poisson,
        loss,
        d11,
        d12,
        d22,
        d66,
        strip,
        round @ ..,
    ] = found;
    let desk = &mut bench.desk;
    let gpa = |s: &Spread| s.times(1.0 / GIGA);
    sheet.modulus_across_gpa = Some(desk.estimate(
        "Stiffness when pulled across the part",
        Unit::Gigapascal,
        &gpa(&ey),
        &super::answer::STIFFNESS,
    ));
    sheet.shear_modulus_gpa = Some(desk.estimate(
        "Shear stiffness in the plane of the part",
        Unit::Gigapascal,
        &gpa(&gxy),
        &super::answer::STIFFNESS,
    ));
    sheet.poisson = Some(desk.estimate(
        "Poisson's ratio when pulled along the part",
        Unit::One,
        &poisson,
        &super::answer::STIFFNESS,
    ));
    sheet.bending_stiffness_n_m = Some(desk.estimate(
        "Bending stiffness along the part, per width",
        Unit::NewtonMetre,
        &strip,
        &super::answer::STIFFNESS,
    ));
    sheet.loss_factor_pct = Some(desk.estimate(
        "Loss factor in bending: how fast it stops ringing",
        Unit::Percent,
        &loss.times(100.0),
        &DAMPING,
    ));
    sheet.polar = Some(polar(bench, &round));
    let mut unsymmetric = false;
    if let Some((stack, apparent)) = likely {
        unsymmetric = apparent.unsymmetric;
        // Pa m to N/mm, Pa m2 to N, Pa m3 to N mm.
        let scaled = |m: &laminate::Matrix3, factor: f64| m.map(|row| row.map(|x| x * factor));
        sheet.stiffness_matrices = Some(StiffnessMatrices {
            a_n_mm: scaled(&stack.a, 1e-3),
            b_n: scaled(&stack.b, 1.0),
            d_n_mm: scaled(&stack.d, 1e3),
        });
    }
    Ok(Elastic {
        along: ex,
        bending: [d11, d12, d22, d66, strip],
        loss,
        unsymmetric,
    })
}

/// Loss factor of the core in each row; nothing for a cloth.
fn core_losses(bench: &mut Bench<'_>, stacked: &Stacked) -> Vec<Spread> {
    let plan = bench.plan;
    let rows = plan.stack.iter().enumerate().take(stacked.rows.len());
    rows.map(|(_, row)| match &row.fabric {
        Fabric::Core(core) => core_loss(bench, core),
        Fabric::Cloth(_) => Spread::exact(0.0),
    })
    .collect()
}

/// Loss factor of a core; a core of one's own that says nothing is taken for a stiff foam.
pub(crate) fn core_loss(bench: &mut Bench<'_>, core: &Core) -> Spread {
    match core.traits.get(&CORE_LOSS) {
        Some(cited) => bench.trait_of("fabrics", &core.entry, &CORE_LOSS, cited),
        None => Spread::exact(0.02),
    }
}

fn polar(bench: &Bench<'_>, round: &[Spread]) -> Polar {
    let desk = &bench.desk;
    let directions: Vec<Direction> = round
        .iter()
        .enumerate()
        .map(|(k, modulus)| {
            let cell = desk.cell(Unit::Gigapascal, &modulus.times(1.0 / GIGA));
            Direction {
                angle_deg: k as f64 * 180.0 / DIRECTIONS as f64,
                low: cell.low,
                likely: cell.likely,
                high: cell.high,
                text: cell.text,
                range: cell.range,
            }
        })
        .collect();
    let by = |better: &dyn Fn(f64, f64) -> bool| {
        directions.iter().reduce(|best, next| {
            if better(next.likely, best.likely) {
                next
            } else {
                best
            }
        })
    };
    let sentence = match (by(&|a, b| a > b * 1.001), by(&|a, b| a < b * 0.999)) {
        (Some(stiff), Some(soft)) if stiff.likely < 1.05 * soft.likely => {
            format!("About {} in every direction.", stiff.text)
        }
        (Some(stiff), Some(soft)) => format!(
            "Stiffest {}, {}; softest {}, {}.",
            direction_in_words(stiff.angle_deg),
            stiff.text,
            direction_in_words(soft.angle_deg),
            soft.text,
        ),
        _ => String::new(),
    };
    Polar {
        label: "Stiffness when pulled, by direction",
        unit: Unit::Gigapascal.symbol_in(desk.units),
        sentence,
        directions,
    }
}

fn direction_in_words(angle: f64) -> String {
    match angle {
        a if a.abs() < 0.5 => "along the part".into(),
        a if (a - 90.0).abs() < 0.5 => "across the part".into(),
        a if a > 90.0 => format!("at minus {}° to the length", 180.0 - a),
        a => format!("at {a}° to the length"),
    }
}

/// Stiffness beyond the knee of bast fibre, and as a tensile test reads it. Returns the least likely knee strain.
fn beyond_the_knee(
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
fn warp(
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
fn strength(
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

static SWOLLEN: Law = Law {
    says: "h = h₀ (p / σ)^B where resin takes the pressure off the cloth; it evens out once feed and vent are shut",
    basis: Basis::Published,
    sources: &["correia_2005"],
};

static DAMPING: Law = Law {
    says: "η = Σ η_i U_i / Σ U_i: the loss factors of the plies, weighed by the energy each holds in bending",
    basis: Basis::Published,
    sources: &["adams_bacon_1973"],
};

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
