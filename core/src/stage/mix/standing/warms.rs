//! Draws how a pot that is left standing warms, as far as anybody should be near it.

use crate::law::pot::PotCourse;
use crate::sheet::{Axis, Chart, Grid, Level, Line, Mark, PotTemper, Spread};
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::mix::answer::whole;
use crate::units::Unit;

const MINUTE: f64 = 60.0;
/// Above this nobody holds a pot, and the line ends [K].
const BEYOND_HOLDING: f64 = ZERO_C + 60.0;

/// Temperature against time, as far as anybody should be near it.
pub(super) fn drawn(
    bench: &Bench<'_>,
    course: &PotCourse,
    temper: PotTemper,
    use_by: &Spread,
) -> Chart {
    let desk = &bench.desk;
    let shown = |kelvin: f64| Unit::Celsius.to_shown(kelvin - ZERO_C, desk.units);
    let last = course.track.end().0;
    let wanted = (2.0 * use_by.likely()).min(last);
    let hot = course.track.when(|y| y[1], BEYOND_HOLDING);
    let end = hot.map_or(wanted, |t| t.min(wanted)).max(MINUTE);
    let points = (0..=48)
        .map(|i| end * f64::from(i) / 48.0)
        .map(|t| [t / MINUTE, shown(course.track.at(t)[1].min(BEYOND_HOLDING))])
        .collect();
    let mark = |name: &str, t: f64| Mark {
        name: name.into(),
        at: [t / MINUTE, shown(course.track.at(t)[1].min(BEYOND_HOLDING))],
        doubtful: false,
    };
    let mut marks = Vec::new();
    if use_by.likely() <= end {
        marks.push(mark("use by", use_by.likely()));
    }
    if let Some(gel) = course.gel.filter(|&t| t <= end) {
        marks.push(mark("gels", gel));
    }
    let stopped = hot.is_some_and(|t| t <= wanted);
    let rows = (0..=6)
        .map(|i| end * f64::from(i) / 6.0)
        .map(|t| {
            let [conversion, kelvin] = course.track.at(t);
            vec![
                whole(desk, Unit::Minute, t / MINUTE),
                whole(desk, Unit::Celsius, kelvin.min(BEYOND_HOLDING) - ZERO_C),
                whole(desk, Unit::Percent, 100.0 * conversion),
            ]
        })
        .collect();
    Chart {
        label: "The pot left standing",
        sentence: match (temper, stopped) {
            (_, true) => "The line ends where nobody can hold the pot any more. What comes after is no matter of degrees: smoke and burns.".into(),
            (PotTemper::Calm, _) => "As is likely, it stays cool enough to hold however long it stands.".into(),
            _ => "As long as it is of use it warms little; left standing beyond that it is another matter.".into(),
        },
        across: Axis {
            label: "Since mixing",
            unit: Unit::Minute.symbol(),
        },
        up: Axis {
            label: "Temperature",
            unit: Unit::Celsius.symbol_in(desk.units),
        },
        bands: Vec::new(),
        lines: vec![Line {
            name: "the pot".into(),
            likely: true,
            points,
        }],
        marks,
        levels: if stopped {
            vec![Level {
                name: "too hot to hold".into(),
                up: shown(BEYOND_HOLDING),
            }]
        } else {
            Vec::new()
        },
        table: Grid {
            heads: ["Since mixing", "Temperature", "Reacted"].map(String::from).into(),
            rows,
        },
    }
}
