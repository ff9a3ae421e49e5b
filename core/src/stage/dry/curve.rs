//! Draws how the cloth dries in the oven, with its band, and with the maker's own weighings when there are some.

use super::Damp;
use super::heat::Oven;
use super::weighed::Narrow;
use crate::law::LawError;
use crate::range::Range;
use crate::sheet::{Axis, Band, Chart, Desk, Grid, Level, Line, Mark, Spread, wide};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Shares of the water that can leave, at which the curve is worked out.
const SHARES: [f64; 11] = [
    0.95, 0.85, 0.75, 0.65, 0.55, 0.45, 0.35, 0.25, 0.15, 0.1, 0.05,
];

/// One point of the course: regain [-], and when the cloth holds that much [s].
pub(super) struct Passed {
    pub(super) regain: f64,
    pub(super) time: Range,
}

/// The course as the equations have it.
pub(super) fn computed(
    bench: &Bench<'_>,
    damp: &Damp,
    oven: &Oven,
) -> Result<Vec<Passed>, LawError> {
    let (start, floor) = (damp.start.likely(), oven.floor.likely());
    let times = oven.course(damp, SHARES)?;
    let heat_up = bench.desk.range(&oven.heat_up);
    let mut course = vec![Passed {
        regain: start,
        time: heat_up,
    }];
    course.extend(SHARES.iter().zip(&times).map(|(share, time)| Passed {
        regain: floor + share * (start - floor).max(0.0),
        time: bench.desk.range(time),
    }));
    Ok(course)
}

/// What stands on the scale: dry cloth, and the tray under it [kg].
struct OnScale {
    dry: f64,
    tray: f64,
}

pub(super) fn draw(
    bench: &Bench<'_>,
    damp: &Damp,
    oven: &Oven,
    target: &Spread,
    course: &[Passed],
    narrow: Option<&Narrow>,
) -> Chart {
    let desk = &bench.desk;
    let (likely, outline) = likely_and_band(course);
    let scale = OnScale {
        dry: narrow.map_or(damp.dry.likely(), |narrow| narrow.dry_mass),
        tray: narrow.map_or(0.0, |narrow| narrow.tray),
    };
    let marks = narrow.map_or_else(Vec::new, weighings);
    let mut sentence = said(desk, oven, course);
    if !marks.is_empty() {
        sentence += " The dots are your weighings, and the band is what they leave open.";
    }
    Chart {
        label: "Drying in the oven",
        sentence,
        across: Axis {
            label: "Since it went in",
            unit: Unit::Minute.symbol(),
        },
        up: Axis {
            label: "Water per dry fibre",
            unit: Unit::Percent.symbol(),
        },
        bands: vec![Band {
            name: "range".into(),
            outline,
        }],
        lines: vec![Line {
            name: "likely".into(),
            likely: true,
            points: likely,
        }],
        marks,
        levels: vec![
            Level {
                name: format!(
                    "dry enough, {}",
                    desk.say(Unit::Percent, &target.times(100.0))
                ),
                up: 100.0 * target.likely(),
            },
            Level {
                name: "driest this oven gets it".into(),
                up: 100.0 * oven.floor.likely(),
            },
        ],
        table: table(desk, course, &scale),
    }
}

fn minutes(seconds: f64) -> f64 {
    seconds / 60.0
}

/// Regain at the start of the course [-].
fn start(course: &[Passed]) -> f64 {
    course.first().map_or(0.0, |first| first.regain)
}

/// The likely line, and the outline of the band about it.
fn likely_and_band(course: &[Passed]) -> (Vec<[f64; 2]>, Vec<[f64; 2]>) {
    let mut likely = vec![[0.0, 100.0 * start(course)]];
    let mut early = likely.clone();
    let mut late = likely.clone();
    for passed in course {
        let up = 100.0 * passed.regain;
        likely.push([minutes(passed.time.likely), up]);
        early.push([minutes(passed.time.low), up]);
        late.push([minutes(passed.time.high), up]);
    }
    early.extend(late.into_iter().rev());
    (likely, early)
}

/// The maker's own weighings.
fn weighings(narrow: &Narrow) -> Vec<Mark> {
    let points = narrow.points.iter().map(|point| Mark {
        name: String::new(),
        at: [minutes(point.time), 100.0 * point.regain],
        doubtful: point.doubtful,
    });
    points.collect()
}

/// From where to where it dries, and when half of it is done.
fn said(desk: &Desk, oven: &Oven, course: &[Passed]) -> String {
    let start = start(course);
    let half = course
        .iter()
        .find(|passed| passed.regain <= 0.5 * (start + oven.floor.likely()));
    let mut sentence = format!(
        "From {} towards {}, the driest this oven gets it.",
        desk.say_plain(Unit::Percent, (1000.0 * start).round() / 10.0),
        desk.say(Unit::Percent, &oven.floor.times(100.0)),
    );
    if let Some(half) = half {
        sentence += &format!(
            " Half of what can leave is gone after about {}; the last tenth takes longest.",
            desk.say_plain(Unit::Minute, minutes(half.time.likely).round()),
        );
    }
    sentence
}

/// The course as a table, with what the scale then shows.
fn table(desk: &Desk, course: &[Passed], scale: &OnScale) -> Grid {
    let rows = course.iter().map(|passed| row(desk, passed, scale));
    Grid {
        heads: [
            "Water per dry fibre",
            if scale.tray > 0.0 {
                "Cloth and tray on the scale"
            } else {
                "Cloth on the scale"
            },
            "After",
            "Range",
        ]
        .map(String::from)
        .into(),
        rows: rows.collect(),
    }
}

fn row(desk: &Desk, passed: &Passed, scale: &OnScale) -> Vec<String> {
    let Range { low, likely, high } = passed.time;
    let [low_min, likely_min, high_min] = [low, likely, high].map(minutes);
    let kilograms = scale.dry * (1.0 + passed.regain) + scale.tray;
    vec![
        desk.say_plain(Unit::Percent, (1000.0 * passed.regain).round() / 10.0),
        desk.say_plain(Unit::Gram, (1000.0 * kilograms).round()),
        desk.say_plain(Unit::Minute, likely_min.round()),
        if wide::is_wide(low, high) {
            let [low, high] = [low_min, high_min].map(wide::duration);
            format!("between {low} and {high}")
        } else {
            format!(
                "{} to {}",
                desk.say_plain(Unit::Minute, low_min.round()),
                desk.say_plain(Unit::Minute, high_min.round()),
            )
        },
    ]
}
