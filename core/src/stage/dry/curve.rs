//! Draws how the cloth dries in the oven, with its band, and with the maker's own weighings when there are some.

use super::Damp;
use super::heat::Oven;
use super::weighed::Narrow;
use crate::law::LawError;
use crate::range::Range;
use crate::sheet::{Axis, Band, Chart, Grid, Level, Line, Mark, Spread, wide};
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

pub(super) fn draw(
    bench: &Bench<'_>,
    damp: &Damp,
    oven: &Oven,
    target: &Spread,
    course: &[Passed],
    narrow: Option<&Narrow>,
) -> Chart {
    let desk = &bench.desk;
    let minutes = |seconds: f64| seconds / 60.0;
    let start = course.first().map_or(0.0, |first| first.regain);
    let mut likely = vec![[0.0, 100.0 * start]];
    let mut early = likely.clone();
    let mut late = likely.clone();
    for passed in course {
        let up = 100.0 * passed.regain;
        likely.push([minutes(passed.time.likely), up]);
        early.push([minutes(passed.time.low), up]);
        late.push([minutes(passed.time.high), up]);
    }
    early.extend(late.into_iter().rev());
    let dry = narrow.map_or(damp.dry.likely(), |narrow| narrow.dry_mass);
    let tray = narrow.map_or(0.0, |narrow| narrow.tray);
    let rows = course
        .iter()
        .map(|passed| {
            let time = Spread::exact(minutes(passed.time.likely));
            let low = desk.say_plain(Unit::Minute, minutes(passed.time.low).round());
            let high = desk.say_plain(Unit::Minute, minutes(passed.time.high).round());
            vec![
                desk.say_plain(Unit::Percent, (1000.0 * passed.regain).round() / 10.0),
                desk.say_plain(
                    Unit::Gram,
                    (1000.0 * (dry * (1.0 + passed.regain) + tray)).round(),
                ),
                desk.say_plain(Unit::Minute, time.likely().round()),
                if wide::is_wide(passed.time.low, passed.time.high) {
                    let [low, high] = [passed.time.low, passed.time.high]
                        .map(|time| wide::duration(minutes(time)));
                    format!("between {low} and {high}")
                } else {
                    format!("{low} to {high}")
                },
            ]
        })
        .collect();
    let percent = |x: &Spread| x.times(100.0);
    let marks = narrow.map_or_else(Vec::new, |narrow| {
        let points = narrow.points.iter().map(|point| Mark {
            name: String::new(),
            at: [minutes(point.time), 100.0 * point.regain],
            doubtful: point.doubtful,
        });
        points.collect()
    });
    let half = course
        .iter()
        .find(|passed| passed.regain <= 0.5 * (start + oven.floor.likely()));
    let mut sentence = format!(
        "From {} towards {}, the driest this oven gets it.",
        desk.say_plain(Unit::Percent, (1000.0 * start).round() / 10.0),
        desk.say(Unit::Percent, &percent(&oven.floor)),
    );
    if let Some(half) = half {
        sentence += &format!(
            " Half of what can leave is gone after about {}; the last tenth takes longest.",
            desk.say_plain(Unit::Minute, minutes(half.time.likely).round()),
        );
    }
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
            outline: early,
        }],
        lines: vec![Line {
            name: "likely".into(),
            likely: true,
            points: likely,
        }],
        marks,
        levels: vec![
            Level {
                name: format!("dry enough, {}", desk.say(Unit::Percent, &percent(target))),
                up: 100.0 * target.likely(),
            },
            Level {
                name: "driest this oven gets it".into(),
                up: 100.0 * oven.floor.likely(),
            },
        ],
        table: Grid {
            heads: [
                "Water per dry fibre",
                if tray > 0.0 {
                    "Cloth and tray on the scale"
                } else {
                    "Cloth on the scale"
                },
                "After",
                "Range",
            ]
            .map(String::from)
            .into(),
            rows,
        },
    }
}
