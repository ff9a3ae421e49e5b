//! How much gas the bag, its hoses and its pot can hold: as typed, by a syringe of air, or from the stack.

use super::gauge::Gauge;
use super::{Job, MBAR};
use crate::law::{LawError, leak};
use crate::plan::Route;
use crate::plan::fields::{CATCH_POT, FREE_VOLUME, SYRINGE, SYRINGE_RISE};
use crate::range::Range;
use crate::sheet::{Asked, Basis, Grade, Law, Origin, Spread};
use crate::stage::bench::Bench;
use crate::stage::stack::Stacked;
use crate::units::Unit;

/// Smallest and largest volume worth a thought [m3].
const BELIEVED: (f64, f64) = (1e-5, 20.0);

/// Free volume on the shut side.
pub(super) struct Volume {
    /// [m3]
    pub(super) free: Spread,
    pub(super) law: &'static Law,
}

/// The free volume by the best way there is.
pub(super) fn free(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    gauge: &Gauge,
) -> Result<Volume, LawError> {
    let (free, law) = if bench.plan.given(&FREE_VOLUME).is_some() {
        (bench.take(&FREE_VOLUME).times(1e-3), &super::TYPED)
    } else if let Some(rise) = bench.plan.given(&SYRINGE_RISE) {
        (by_syringe(bench, job, gauge, rise)?, &BY_SYRINGE)
    } else {
        (estimated(bench, job)?, &ESTIMATED)
    };
    Ok(Volume {
        free: free.map(|v| v.clamp(BELIEVED.0, BELIEVED.1)),
        law,
    })
}

/// By a syringe of the shop's air: the rise is good to a step of the gauge.
fn by_syringe(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    gauge: &Gauge,
    rise: Range,
) -> Result<Spread, LawError> {
    let step = gauge.step.likely() / MBAR;
    let range = if rise.is_exact() {
        let play = step.max(0.03 * rise.likely).min(0.5 * rise.likely);
        Range::around(rise.likely, play)
    } else {
        rise
    };
    if rise.likely < 5.0 * step {
        bench.advice(
            super::STAGE,
            "The syringe raised the gauge by only a few of its steps. Let more air in, so that the free volume is known better.",
        );
    }
    let rise = bench.desk.take(Asked {
        key: SYRINGE_RISE.key.into(),
        label: SYRINGE_RISE.label.into(),
        unit: SYRINGE_RISE.unit,
        range,
        limits: (0.2 * rise.likely, 5.0 * rise.likely),
        origin: Origin::Plan,
        grade: Grade::Own,
        sources: Vec::new(),
    });
    let let_in = bench.take(&SYRINGE).times(1e-6);
    Spread::of(
        [&job.air.outside, &let_in, &rise],
        |[outside, let_in, rise]| {
            leak::free_volume(outside, let_in, (rise * MBAR).min(0.98 * outside))
        },
    )
}

/// From the pores of the dry stack, what lies about it, hoses and pot.
fn estimated(bench: &mut Bench<'_>, job: &Job<'_>) -> Result<Spread, LawError> {
    let dry = bench.plan.route == Route::Infusion;
    let mut guess = |key: &str, label: &str, unit, range| {
        bench.desk.take(Asked {
            key: key.into(),
            label: label.into(),
            unit,
            range,
            limits: (0.0, f64::MAX),
            origin: Origin::Usual,
            grade: Grade::Judgement,
            sources: vec!["judgement_free_volume".into()],
        })
    };
    // Litres on a square metre are millimetres of height.
    let folds = guess(
        "bag.folds_l_m2",
        "Gas in folds, peel ply and breather, litres on a square metre",
        Unit::One,
        if dry {
            Range::new(0.3, 0.8, 2.0)
        } else {
            Range::new(0.5, 1.5, 4.0)
        },
    );
    let hoses = guess(
        "bag.hoses_l",
        "Hoses and channels on the bag's side of the clamp",
        Unit::Litre,
        Range::new(0.1, 0.25, 0.6),
    );
    let loft = guess(
        "bag.dry_loft",
        "Pores of the dry stack under the bag, against those that resin fills",
        Unit::One,
        Range::new(0.9, 1.1, 1.5),
    );
    let pot = bench.take(&CATCH_POT);
    let mut heights = vec![folds.times(1e-3)];
    heights.extend(mesh(bench));
    // Once wetted by hand there is no gas left in the cloth to speak of.
    if dry {
        heights.push(pores(job.stacked, &loft)?);
    }
    let height = Spread::sum(&heights);
    Ok(Spread::from(
        [&job.stacked.area, &height, &hoses, &pot],
        |[area, height, hoses, pot]| area * height + (hoses + pot) * 1e-3,
    ))
}

/// Pores of the dry stack, as a height [m].
fn pores(stacked: &Stacked, loft: &Spread) -> Result<Spread, LawError> {
    let counts: Vec<f64> = stacked
        .cloths()
        .map(|(row, _)| f64::from(row.count))
        .collect();
    let mut parts = vec![loft];
    for (row, cloth) in stacked.cloths() {
        parts.extend([&row.thickness, &cloth.fraction]);
    }
    let [pores] = Spread::many(&parts, |values| {
        let plies = values[1..].chunks_exact(2).zip(&counts);
        let open: f64 = plies
            .map(|(ply, count)| count * ply[0] * (1.0 - ply[1]).max(0.0))
            .sum();
        Ok([values[0] * open])
    })?;
    Ok(pores)
}

/// What a flow mesh holds, as a height [m]; none without one.
fn mesh(bench: &mut Bench<'_>) -> Option<Spread> {
    if !bench.plan.flow_mesh {
        return None;
    }
    let mesh = bench.shelf.sundry("flow_mesh")?;
    let (thickness, open) = (mesh.thickness_mm.as_ref()?, mesh.open_share.as_ref()?);
    let mut get = |name, label, unit, cited| {
        bench.property("sundries.flow_mesh", name, label, unit, &mesh.entry, cited)
    };
    let thickness = get(
        "thickness_mm",
        "Thickness under vacuum",
        Unit::Millimetre,
        thickness,
    );
    let open = get("open_share", "Open share", Unit::One, open);
    Some(Spread::from([&thickness, &open], |[thickness, open]| {
        thickness * 1e-3 * open.min(1.0)
    }))
}

static BY_SYRINGE: Law = Law {
    says: "V = p_outside V_syringe / rise",
    basis: Basis::Firm,
    sources: &["law_boyle"],
};

static ESTIMATED: Law = Law {
    says: "area times the open height of stack, mesh and folds, and hoses and pot",
    basis: Basis::Rule,
    sources: &["judgement_free_volume"],
};
