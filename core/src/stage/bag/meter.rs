//! The gauge as a moisture meter: where it comes to rest over damp cloth tells the water in it, if it may.

use super::gauge::{Gauge, about};
use super::test::Tested;
use super::{Job, MBAR};
use crate::law::drop_test::Verdict;
use crate::law::{LawError, sorption};
use crate::range::Range;
use crate::sheet::{Asked, Basis, Estimate, Grade, Law, Origin, Spread};
use crate::stage::bench::Bench;
use crate::stage::water::DAMPEST;
use crate::units::Unit;

/// Level and step may be off by this share of the saturation pressure, no more.
const LEVEL: f64 = 0.15;
const STEP: f64 = 0.05;

/// Temperatures at which the isotherm is used [K].
const ISOTHERM: (f64, f64) = (273.15, 378.15);

/// What the rise of water tells.
#[derive(Default)]
pub(super) struct Meter {
    pub(super) rise: Option<Estimate>,
    pub(super) rest: Option<Estimate>,
    pub(super) humidity: Option<Estimate>,
    pub(super) regain: Option<Estimate>,
    /// What it would need to tell the water left.
    pub(super) refused: Option<String>,
}

/// Reads the meter where water is part of what the readings say.
pub(super) fn read(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    gauge: &Gauge,
    tested: Option<&Tested>,
) -> Result<Meter, LawError> {
    let Some(tested) = tested.filter(|tested| tested.has_vapour()) else {
        return Ok(Meter::default());
    };
    let rise = measured(
        bench,
        "bag.test_rise",
        "Rise that ends, told by your readings",
        tested.judged.rise,
    );
    let mut meter = Meter {
        rise: Some(bench.desk.estimate(
            "Rise of the gauge that water alone makes",
            Unit::Millibar,
            &rise,
            &RISE,
        )),
        ..Meter::default()
    };
    if tested.kept.too_deep {
        // The level was moved up as a whole: it says nothing.
        meter.refused = refused(bench, gauge, tested);
        return Ok(meter);
    }
    let rest = rest(bench, job, gauge, tested);
    meter.rest = Some(bench.desk.estimate(
        "Where the gauge comes to rest with the pump shut off",
        Unit::Millibar,
        &rest,
        &REST,
    ));
    meter.refused = refused(bench, gauge, tested);
    if meter.refused.is_none() {
        told(bench, job, tested, &rise, &rest, &mut meter)?;
    }
    Ok(meter)
}

/// Humidity at rest, and the water that goes with it.
fn told(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    tested: &Tested,
    rise: &Spread,
    rest: &Spread,
    meter: &mut Meter,
) -> Result<(), LawError> {
    let share = bench.coefficient(
        "dry.vapour_share",
        "Share of the bag's pressure that is water vapour",
        Range::new(0.1, 0.5, 1.0),
        Grade::Judgement,
        "judgement_vapour_share",
    );
    let temperature = tested.temperature.map(|t| t.clamp(ISOTHERM.0, ISOTHERM.1));
    let humidity = Spread::of(
        [rise, rest, &share, &temperature],
        |[rise, rest, share, t]| {
            let air = (1.0 - share.min(1.0)) * (rest - rise).max(0.0);
            let saturation = crate::law::water_vapour::saturation_pressure(t)?;
            Ok(((rest - air) * MBAR / saturation).clamp(0.0, 1.0))
        },
    )?;
    meter.humidity = Some(bench.desk.estimate(
        "Relative humidity in the bag at rest",
        Unit::Percent,
        &humidity.times(100.0),
        &HUMIDITY,
    ));
    let Some(damp) = job.damp else { return Ok(()) };
    if humidity.likely() > DAMPEST {
        meter.refused = Some(
            "The bag comes to rest so near saturation that there may be liquid water in it: dry the cloth, then the gauge can tell how much is left.".into(),
        );
        return Ok(());
    }
    let regain = Spread::of(
        [&damp.scale, &temperature, &humidity],
        |[scale, t, humidity]| sorption::flax_regain(scale, t, humidity.min(DAMPEST)),
    )?;
    meter.regain = Some(bench.desk.estimate(
        "Water left per dry fibre, told by the gauge",
        Unit::Percent,
        &regain.times(100.0),
        &REGAIN,
    ));
    Ok(())
}

/// Pressure at rest [mbar], with what the level of the gauge leaves open.
fn rest(bench: &mut Bench<'_>, job: &Job<'_>, gauge: &Gauge, tested: &Tested) -> Spread {
    let rest = measured(
        bench,
        "bag.test_rest",
        "Pressure at rest, told by your readings",
        tested.judged.plateau,
    );
    let off = bench.desk.take(Asked {
        key: "bag.gauge_off_mbar".into(),
        label: "How far the level of the gauge may be off".into(),
        unit: Unit::Millibar,
        range: Range::around(0.0, gauge.off / MBAR),
        limits: (-1000.0, 1000.0),
        origin: Origin::Usual,
        grade: Grade::Judgement,
        sources: vec!["judgement_gauge".into()],
    });
    // The same air outside stood behind every reading.
    let outside = if crate::stage::needle::counts_from_vacuum(gauge.kind) {
        Spread::exact(0.0)
    } else {
        job.air
            .outside
            .map(|outside| (outside - gauge.local) / MBAR)
    };
    Spread::from([&rest, &off, &outside], |[rest, off, outside]| {
        (rest + off + outside).max(0.1)
    })
}

/// A pressure that the readings tell, as an input of its own [mbar].
fn measured(bench: &mut Bench<'_>, key: &str, label: &str, values: [f64; 3]) -> Spread {
    let [low, likely, high] = values.map(|x| (x / MBAR).max(0.0));
    bench.desk.take(Asked {
        key: key.into(),
        label: label.into(),
        unit: Unit::Millibar,
        range: Range::new(low, likely, high),
        limits: (0.0, 1e4),
        origin: Origin::Measured,
        grade: Grade::Own,
        sources: vec!["rise_test_notes".into(), "memory_akaike".into()],
    })
}

/// Why the gauge does not tell the water left; none where it does.
fn refused(bench: &Bench<'_>, gauge: &Gauge, tested: &Tested) -> Option<String> {
    let settled = match tested.judged.verdict {
        Verdict::Vapour => true,
        Verdict::Both | Verdict::Tight => tested.leak_hardly_counts(),
        _ => false,
    };
    let saturation = tested.conditions.saturation;
    let mut needs: Vec<String> = Vec::new();
    let mut need = |what: &str| needs.push(what.to_owned());
    if !settled {
        need(match tested.judged.verdict {
            Verdict::Both | Verdict::Tight => "a bag whose leak hardly counts",
            _ => "a test that is sure to show water alone",
        });
    }
    if !gauge.knows_level || tested.kept.too_deep {
        need("an absolute gauge, or today's air pressure typed");
    } else if gauge.level > LEVEL * saturation {
        need(&format!(
            "a gauge that is true to {}",
            about(bench, Unit::Millibar, LEVEL * saturation / MBAR)
        ));
    }
    if gauge.step.likely() > STEP * saturation {
        need(&format!(
            "steps of {} or finer",
            about(bench, Unit::Millibar, STEP * saturation / MBAR)
        ));
    }
    if !tested.temperature_known {
        need("the temperature of the mould");
    }
    (!needs.is_empty()).then(|| {
        format!(
            "To read the water left in the cloth off the gauge, you need: {}.",
            needs.join("; ")
        )
    })
}

static RISE: Law = Law {
    says: "B in p = p0 + L t + B (1 - exp(-t/τ)), by the courses that have one",
    basis: Basis::Firm,
    sources: &["rise_test_notes", "rise_test_maker", "memory_akaike"],
};

static REST: Law = Law {
    says: "p0 + B, and how far the level of the gauge may be off",
    basis: Basis::Firm,
    sources: &["rise_test_notes", "judgement_gauge"],
};

static HUMIDITY: Law = Law {
    says: "h = (pressure at rest less the air in it) / p_sat(T)",
    basis: Basis::Firm,
    sources: &["iapws_sr1_1992", "judgement_vapour_share"],
};

static REGAIN: Law = Law {
    says: "the isotherm at the humidity in the bag",
    basis: Basis::Published,
    sources: &["iapws_sr1_1992", "wood_handbook"],
};
