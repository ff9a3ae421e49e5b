//! The readings as they were typed, made absolute; what makes no sense is left out with a sentence.

use super::gauge::Gauge;
use super::{MBAR, STAGE};
use crate::law::drop_test::Reading;
use crate::plan::Words;
use crate::stage::bench::Bench;
use crate::stage::needle;

/// Above this share of the air outside there is no vacuum to test.
const NO_VACUUM: f64 = 0.9;

/// Above this share of the air outside a leak fades as the bag fills.
const FADES: f64 = 0.3;

/// Lower than this no gauge of a workshop shows anything [Pa].
const NOTHING: f64 = 0.1 * MBAR;

/// A gauge may show this share more than there is air; further off it is a slip.
const SLIP: f64 = 0.1;

/// The usable readings.
pub(super) struct Kept {
    /// In the order of the plan.
    pub(super) readings: Vec<Reading>,
    /// Their places in the plan.
    pub(super) places: Vec<usize>,
    /// Whether the gauge showed a deeper vacuum than there is air.
    pub(super) too_deep: bool,
}

/// Makes the readings absolute; says what is left out.
pub(super) fn readings(bench: &mut Bench<'_>, gauge: &Gauge) -> Kept {
    let (kind, local) = (gauge.kind, gauge.local);
    let absolute = needle::counts_from_vacuum(kind);
    let unit = needle::unit(kind, local);
    let mut kept = Kept {
        readings: Vec::new(),
        places: Vec::new(),
        too_deep: false,
    };
    let (mut full, mut slipped, mut empty) = (0, 0, 0);
    for (place, line) in bench.plan.test.iter().enumerate() {
        let raw = if absolute {
            line.value * unit
        } else {
            local - line.value * unit
        };
        if raw > NO_VACUUM * local {
            full += 1;
            continue;
        }
        if absolute && raw < NOTHING {
            empty += 1;
            continue;
        }
        if raw < -SLIP * local {
            slipped += 1;
            continue;
        }
        kept.places.push(place);
        kept.readings.push(Reading {
            time: 60.0 * line.minute,
            pressure: raw,
        });
    }
    // Only differences count for a rise, so a level that cannot be is moved up as a whole.
    let lowest = kept
        .readings
        .iter()
        .map(|r| r.pressure)
        .fold(f64::MAX, f64::min);
    if !absolute && lowest < NOTHING {
        kept.too_deep = true;
        for reading in &mut kept.readings {
            reading.pressure += MBAR - lowest;
        }
        // A needle that lies at its stop tells nothing.
        if kept.readings.iter().all(|r| r.pressure <= MBAR) {
            empty = kept.readings.len();
            kept.readings.clear();
            kept.places.clear();
        }
    }
    say(bench, gauge, &kept, [full, slipped, empty]);
    kept
}

fn say(bench: &mut Bench<'_>, gauge: &Gauge, kept: &Kept, [full, slipped, empty]: [usize; 3]) {
    let count = |n: usize| match n {
        1 => "One reading of the drop test is".to_owned(),
        n => format!("{n} readings of the drop test are"),
    };
    let kind = gauge.kind.label();
    if full > 0 {
        bench.problem(
            STAGE,
            format!(
                "{} left out: on a gauge that shows {kind} there is no vacuum behind it. Check which zero your gauge counts from, and the reading.",
                count(full)
            ),
        );
    }
    if slipped > 0 {
        bench.problem(
            STAGE,
            format!(
                "{} left out: on a gauge that shows {kind} it takes away more air than there is. Check the reading and the kind of gauge.",
                count(slipped)
            ),
        );
    }
    if empty > 0 {
        bench.problem(
            STAGE,
            format!(
                "{} left out: the gauge stands at the end of its scale, where it tells nothing. Check its zero, or use one that reads lower.",
                count(empty)
            ),
        );
    }
    if kept.too_deep && empty == 0 {
        bench.problem(
            STAGE,
            "Your gauge shows a deeper vacuum than the air at your height allows. Type today's air pressure, or have the gauge checked at rest; the rise is judged all the same, its level is not.",
        );
    }
    let highest = kept.readings.iter().map(|r| r.pressure).fold(0.0, f64::max);
    if highest > FADES * gauge.local {
        bench.advice(
            STAGE,
            "Test from a deeper vacuum: so near the air outside, a leak slows as the bag fills, and looks like water.",
        );
    }
}
