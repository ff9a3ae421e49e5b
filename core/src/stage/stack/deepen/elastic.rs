//! Stiffness in every direction, and damping.

use super::super::answer::STIFFNESS;
use super::super::layers::{Tagged, ingredients, lay};
use super::super::qualities::Qualities;
use super::super::{GIGA, Stacked};
use crate::law::{LawError, damping, laminate};
use crate::sheet::{Basis, Direction, Law, Polar, Spread, StackSheet, StiffnessMatrices};
use crate::shelf::properties::CORE_LOSS;
use crate::shelf::{Core, Fabric};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Directions of the polar plot: every 15 degrees over half a turn.
const DIRECTIONS: usize = 12;

pub(super) struct Elastic {
    pub(super) along: Spread,
    /// D11, D12, D22, D66, D16, D26 of a stack free to stretch, and the stiffness of a narrow strip [N m].
    pub(super) bending: [Spread; 7],
    pub(super) loss: Spread,
    pub(super) unsymmetric: bool,
}

/// Stiffness in every direction and damping, in one pass over the draws.
pub(super) fn elastic(
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
    let found: [Spread; 12 + DIRECTIONS] = Spread::many(&parts, |values| {
        lay(stacked, values, &|_| 1.0, &mut tagged)?;
        let stack = laminate::stiffness(&tagged.layers)?;
        let apparent = laminate::apparent(&stack)?;
        let compliance = laminate::compliance(&stack)?;
        let d = laminate::free_bending(&stack)?;
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
        let mut out = [0.0; 12 + DIRECTIONS];
        out[..12].copy_from_slice(&[
            apparent.modulus_x,
            apparent.modulus_y,
            apparent.shear_modulus,
            apparent.poisson,
            loss,
            d[0][0],
            d[0][1],
            d[1][1],
            d[2][2],
            d[0][2],
            d[1][2],
            1.0 / compliance[3][3],
        ]);
        for (k, slot) in out[12..].iter_mut().enumerate() {
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
        d16,
        d26,
        strip,
        round @ ..,
    ] = found;
    write(bench, sheet, [&ey, &gxy, &poisson, &strip, &loss]);
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
        bending: [d11, d12, d22, d66, d16, d26, strip],
        loss,
        unsymmetric,
    })
}

/// Stiffness across and in shear, Poisson's ratio, stiffness of a strip in bending, and damping, in that order.
fn write(bench: &mut Bench<'_>, sheet: &mut StackSheet, found: [&Spread; 5]) {
    let [ey, gxy, poisson, strip, loss] = found;
    let desk = &mut bench.desk;
    let gpa = |s: &Spread| s.times(1.0 / GIGA);
    sheet.modulus_across_gpa = Some(desk.estimate(
        "Stiffness when pulled across the part",
        Unit::Gigapascal,
        &gpa(ey),
        &STIFFNESS,
    ));
    sheet.shear_modulus_gpa = Some(desk.estimate(
        "Shear stiffness in the plane of the part",
        Unit::Gigapascal,
        &gpa(gxy),
        &STIFFNESS,
    ));
    sheet.poisson = Some(desk.estimate(
        "Poisson's ratio when pulled along the part",
        Unit::One,
        poisson,
        &STIFFNESS,
    ));
    sheet.bending_stiffness_n_m = Some(desk.estimate(
        "Bending stiffness along the part, per width",
        Unit::NewtonMetre,
        strip,
        &STIFFNESS,
    ));
    sheet.loss_factor_pct = Some(desk.estimate(
        "Loss factor in bending: how fast it stops ringing",
        Unit::Percent,
        &loss.times(100.0),
        &DAMPING,
    ));
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
    match core.properties.get(&CORE_LOSS) {
        Some(cited) => bench.property_of("fabrics", &core.entry, &CORE_LOSS, cited),
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
                low: Unit::Gigapascal.to_shown(cell.low, desk.units),
                likely: Unit::Gigapascal.to_shown(cell.likely, desk.units),
                high: Unit::Gigapascal.to_shown(cell.high, desk.units),
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

static DAMPING: Law = Law {
    says: "η = Σ η_i U_i / Σ U_i: the loss factors of the plies, weighed by the energy each holds in bending",
    basis: Basis::Published,
    sources: &["adams_bacon_1973"],
};
