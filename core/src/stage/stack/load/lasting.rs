//! What the part gives under its load when it is wet, and when the load stays on for years.

use super::super::Stacked;
use super::super::answer::cloth_mean;
use crate::law::creep::{STANDING, YEAR, exponent, grown};
use crate::law::{LawError, sorption, wet};
use crate::range::Range;
use crate::sheet::{Basis, Grade, Law, LoadSheet, Spread};
use crate::shelf::Family;
use crate::stage::bench::Bench;
use crate::units::Unit;

const TEN_YEARS: f64 = 10.0 * YEAR;
const WEEK: f64 = 7.0 * 86_400.0;
/// Damp air: a porch or a boat shed.
const DAMP: (f64, f64) = (293.15, 0.85);

/// Adds it to the sheet of a load under which the part gives.
pub(super) fn lasting(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    (give, reserve): (&Spread, &Spread),
    sheet: &mut LoadSheet,
) -> Result<(), LawError> {
    if sheet.deflection_mm.is_none() {
        return Ok(());
    }
    if stacked.rows.iter().any(|row| {
        row.cloth
            .as_ref()
            .is_none_or(|cloth| cloth.family != Family::Bast)
    }) {
        "What damp and years add to this is worked out for bast fibre alone, without a core: load a sample and read it for some weeks."
            .clone_into(&mut sheet.lasting);
        return Ok(());
    }
    let [damp, soaked, water] = in_water(bench, stacked)?;
    let wet_for_long = bench.plan.wet_in_service;
    let dry_years = bench.coefficient(
        "load.ten_years_dry",
        "Give after ten years in a dry room over that of the first minute",
        Range::new(1.3, 1.7, 2.2),
        Grade::Judgement,
        "judgement_creep",
    );
    let (range, place) = if wet_for_long {
        (Range::new(2.0, 3.0, 4.5), "wet")
    } else {
        (Range::new(1.5, 2.0, 2.8), "in damp air")
    };
    let damp_years = bench.coefficient(
        if wet_for_long {
            "load.ten_years_wet"
        } else {
            "load.ten_years_damp"
        },
        "Give after ten years, damp or wet, over that of the first minute when dry",
        range,
        Grade::Judgement,
        "judgement_creep",
    );
    let week = Spread::of([&dry_years], |[factor]| {
        grown(WEEK, exponent(factor.max(1.0), TEN_YEARS)?)
    })?;
    let over = |left: &Spread| Spread::from([give, left], |[w, left]| w * 1000.0 / left);
    let times =
        |factor: &Spread| Spread::from([give, factor], |[w, factor]| w * 1000.0 * factor.max(1.0));
    let (damp, soaked) = (over(&damp), over(&soaked));
    let (dry_years, damp_years) = (times(&dry_years), times(&damp_years));
    let desk = &bench.desk;
    let mm = |x: &Spread| desk.say(Unit::Millimetre, x);
    let mut said = format!(
        "That is new, dry and at once. In damp air it gives about {}, soaked {}, with about {} of water in it; most of that comes back on drying. After ten years under this load it gives about {} in a dry room and {} {place}. These are guesses of the kind made for timber: load a strip and read it after a minute and after a week. If it gives more than {} times as much by then, expect more.",
        mm(&damp),
        mm(&soaked),
        desk.say(Unit::Percent, &water.times(100.0)),
        mm(&dry_years),
        mm(&damp_years),
        desk.say(Unit::One, &week),
    );
    if reserve.likely() * STANDING < 1.0 {
        said += &format!(
            " A load that stays wants first damage at {} times the load or more.",
            crate::units::plain(1.0 / STANDING)
        );
    }
    sheet.lasting = said;
    let desk = &mut bench.desk;
    sheet.damp_mm = Some(desk.estimate("Gives in damp air", Unit::Millimetre, &damp, &WET));
    sheet.soaked_mm = Some(desk.estimate("Gives when soaked", Unit::Millimetre, &soaked, &WET));
    sheet.years_dry_mm = Some(desk.estimate(
        "Gives after ten years under it, dry",
        Unit::Millimetre,
        &dry_years,
        &CREEP,
    ));
    sheet.years_damp_mm = Some(desk.estimate(
        if wet_for_long {
            "Gives after ten years under it, wet"
        } else {
            "Gives after ten years under it, damp"
        },
        Unit::Millimetre,
        &damp_years,
        &CREEP,
    ));
    Ok(())
}

/// Stiffness left in damp air and when soaked, and the water taken up when soaked [-].
fn in_water(bench: &mut Bench<'_>, stacked: &Stacked) -> Result<[Spread; 3], LawError> {
    let soaked = bench.coefficient(
        "load.soaked_left",
        "Stiffness that soaked bast fibre laminate keeps",
        Range::new(0.5, 0.65, 0.8),
        Grade::Judgement,
        "judgement_wet",
    );
    let in_fibre = bench.coefficient(
        "load.soaked_regain",
        "Water that soaked bast fibre holds, per dry fibre",
        Range::new(0.2, 0.23, 0.26),
        Grade::Memory,
        "memory_soaked",
    );
    let in_resin = bench.coefficient(
        "load.soaked_resin",
        "Water that soaked resin holds",
        Range::new(0.015, 0.025, 0.035),
        Grade::Memory,
        "memory_soaked",
    );
    let scale = cloth_mean(stacked, &|cloth| &cloth.moisture_scale)?;
    let parts = [
        &stacked.fibre,
        &stacked.resin,
        &scale,
        &soaked,
        &in_fibre,
        &in_resin,
    ];
    Spread::several(
        parts,
        |[fibre, resin, scale, soaked, in_fibre, in_resin]| {
            let share = fibre / (fibre + resin);
            let most = wet::gain(share, in_fibre, in_resin)?;
            let (room, air) = DAMP;
            // In air, resin takes up its share of what it takes up in water.
            let regain = sorption::flax_regain(scale, room, air)?.min(in_fibre);
            let damp = wet::gain(share, regain, in_resin * air)?;
            let soaked = soaked.clamp(0.05, 1.0);
            Ok([
                wet::stiffness_left(damp, most, soaked)?,
                wet::stiffness_left(most, most, soaked)?,
                most,
            ])
        },
    )
}

static WET: Law = Law {
    says: "w E_dry / E, E / E_dry = 1 - (1 - s) M / M_soaked, M = W_f R + (1 - W_f) r; damp is air of 85 %",
    basis: Basis::Rule,
    sources: &["le_duigou_2011", "judgement_wet", "memory_soaked"],
};

static CREEP: Law = Law {
    says: "w (1 + k), k of the kind that timber has in its service classes; w(t) = w(1 min) (t / 1 min)^n between",
    basis: Basis::Rule,
    sources: &["en_1995", "judgement_creep"],
};
