//! Draws the drop test: readings, the straight line of a leak, the bend of water, where it ends, and saturation.

use super::MBAR;
use super::tell::Facts;
use crate::law::drop_test::{Course, Fit, Verdict};
use crate::sheet::{Axis, Chart, Grid, Level, Line, Mark};
use crate::solve::sort::sort_by;
use crate::stage::bench::{Bench, ZERO_C};
use crate::units::{Unit, place_for, rounded};

/// Points of a curve.
const POINTS: i32 = 40;

/// How far beyond the last reading the courses are drawn, as a share of the record.
const BEYOND: f64 = 0.25;

pub(super) fn draw(bench: &Bench<'_>, facts: &Facts<'_>) -> Chart {
    let units = bench.desk.units;
    let (tested, judged) = (facts.tested, &facts.tested.judged);
    let shown = |pascal: f64| Unit::Millibar.to_shown(pascal / MBAR, units);
    let unit = Unit::Millibar.symbol_in(units);
    let readings = &tested.kept.readings;
    let marks = readings.iter().enumerate().map(|(i, reading)| Mark {
        name: String::new(),
        at: [reading.time / 60.0, shown(reading.pressure)],
        doubtful: judged.doubtful.contains(&i),
    });
    let (from, to) = (
        tested.started(),
        tested.started() + (1.0 + BEYOND) * tested.span(),
    );
    let shown_course = tested.shown_course();
    let lines = judged.fits.iter().filter_map(|fit| {
        let likely = shown_course == Some(fit.course);
        let name = name(fit.course);
        (likely || fit.course != Course::Both).then(|| Line {
            name: name.into(),
            likely,
            points: (0..=POINTS)
                .map(|k| {
                    let time = from + (to - from) * f64::from(k) / f64::from(POINTS);
                    [time / 60.0, shown(fit.pressure(time))]
                })
                .collect(),
        })
    });
    Chart {
        label: "Drop test",
        sentence: sentence(bench, facts),
        across: Axis {
            label: "Since the pump was shut off",
            unit: Unit::Minute.symbol(),
        },
        up: Axis {
            label: "Pressure in the bag",
            unit,
        },
        bands: Vec::new(),
        lines: lines.collect(),
        marks: marks.collect(),
        levels: levels(bench, facts, &shown),
        table: table(facts, &shown, unit),
    }
}

fn name(course: Course) -> &'static str {
    match course {
        Course::Leak => "a leak",
        Course::Vapour => "water",
        Course::Both => "water and a leak",
    }
}

fn levels(bench: &Bench<'_>, facts: &Facts<'_>, shown: &dyn Fn(f64) -> f64) -> Vec<Level> {
    let tested = facts.tested;
    let mut levels = Vec::new();
    if tested.has_vapour() {
        levels.push(Level {
            name: "where water comes to rest".into(),
            up: shown(tested.judged.plateau[1]),
        });
    }
    let celsius = tested.temperature.likely() - ZERO_C;
    let celsius = bench
        .desk
        .say_plain(Unit::Celsius, (10.0 * celsius).round() / 10.0);
    let pressures = tested.kept.readings.iter().map(|reading| reading.pressure);
    // Without a reading that tells anything there is no pressure to lift.
    if let Some(lowest) = pressures.reduce(f64::min) {
        levels.push(Level {
            name: format!("furthest that water lifts it at {celsius}"),
            up: shown(lowest + tested.conditions.saturation),
        });
    }
    levels
}

/// The readings with both courses beside them, in order of time.
fn table(facts: &Facts<'_>, shown: &dyn Fn(f64) -> f64, unit: &str) -> Grid {
    let tested = facts.tested;
    let lines = facts.lines;
    let fit = |course| {
        tested
            .judged
            .fits
            .iter()
            .find(|fit: &&Fit| fit.course == course)
    };
    let (leak, vapour) = (fit(Course::Leak), fit(Course::Vapour));
    let step = shown(tested.conditions.step) - shown(0.0);
    let place = place_for(step, step / 3.0, 1).min(0);
    let text = |pascal: f64| rounded(shown(pascal), place);
    let mut order: Vec<usize> = (0..tested.kept.readings.len()).collect();
    sort_by(&mut order, |&a, &b| {
        let time = |i: usize| tested.kept.readings[i].time;
        time(a).total_cmp(&time(b))
    });
    let rows = order.into_iter().map(|i| {
        let (reading, line) = (tested.kept.readings[i], lines[tested.kept.places[i]]);
        let course = |fit: Option<&Fit>| {
            fit.map_or_else(String::new, |fit| text(fit.pressure(reading.time)))
        };
        vec![
            crate::units::plain(line.minute),
            facts.gauge.reading(line.value),
            text(reading.pressure),
            course(leak),
            course(vapour),
        ]
    });
    Grid {
        heads: vec![
            "Minute".into(),
            "Reading".into(),
            format!("In the bag, {unit}"),
            format!("A leak, {unit}"),
            format!("Water, {unit}"),
        ],
        rows: rows.collect(),
    }
}

/// The chart in words.
fn sentence(bench: &Bench<'_>, facts: &Facts<'_>) -> String {
    let tested = facts.tested;
    let readings = &tested.kept.readings;
    let at = |pascal: f64| super::gauge::about(bench, Unit::Millibar, pascal / MBAR);
    let first = readings.iter().min_by(|a, b| a.time.total_cmp(&b.time));
    let last = readings.iter().max_by(|a, b| a.time.total_cmp(&b.time));
    let (Some(first), Some(last)) = (first, last) else {
        return "No reading that can be drawn.".into();
    };
    let mut out = match readings.len() {
        1 => format!("One reading, {}.", at(first.pressure)),
        count => format!(
            "{count} readings over {}, from {} to {}.",
            bench
                .desk
                .say_plain(Unit::Minute, super::tell::minutes(last.time - first.time)),
            at(first.pressure),
            at(last.pressure)
        ),
    };
    if !tested.is_told() {
        return out;
    }
    out += match tested.shown_course() {
        _ if tested.judged.falling => " They go down.",
        _ if tested.judged.verdict == Verdict::Tight => " They stay level.",
        _ if tested.judged.verdict == Verdict::TooFew && !tested.judged.above_saturation => {
            " They are too few to tell a straight line from a bend."
        }
        Some(Course::Leak) => " They follow the straight line of a leak.",
        Some(Course::Vapour) => " They follow the bend of water.",
        Some(Course::Both) => " They follow a bend with a straight rise under it.",
        None => "",
    };
    let far = tested.judged.doubtful.len();
    if far > 0 {
        let far = if far == 1 {
            "One reading stands"
        } else {
            "Some readings stand"
        };
        out += &format!(" {far} far off.");
    }
    let most = at(tested.conditions.saturation);
    out += &if tested.judged.above_saturation {
        format!(" They rise by more than {most}, the most that water can add here.")
    } else {
        format!(" Water can add up to {most} here, whatever air was left in the bag.")
    };
    out
}
