//! Draws the setting part: temperatures, and hardness with the moment it may leave the mould.

use super::deepen::STOPS;
use super::hard::Judged;
use super::programme::{Programme, Warmths, hours_said};
use crate::law::LawError;
use crate::law::laminate_cure::LaminateCourse;
use crate::sheet::{Axis, Band, Chart, Grid, Line, Mark, Spread};
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::resin_clock::LONGEST;
use crate::units::Unit;

const HOUR: f64 = 3600.0;
/// Points of a line.
const POINTS: usize = 60;
/// Longest that is drawn [s].
const WIDEST: f64 = 10.0 * 24.0 * HOUR;

/// Until when to draw [s]: past the moment it may leave the mould, and past the post-cure.
pub(super) fn drawn_to(off: f64, gel: f64, post_ends: Option<f64>) -> f64 {
    let hard = if off < LONGEST { 1.25 * off } else { 4.0 * gel };
    hard.max(1.1 * post_ends.unwrap_or(0.0))
        .clamp(6.0 * HOUR, WIDEST)
}

fn across() -> Axis {
    Axis {
        label: "After the fill",
        unit: Unit::Hour.symbol(),
    }
}

/// Air, coldest and hottest point.
pub(super) fn temperatures(
    bench: &Bench<'_>,
    course: &LaminateCourse,
    programme: &Programme,
    heat: &Warmths,
    drawn: f64,
) -> Chart {
    let units = bench.desk.units;
    let shown = |kelvin: f64| Unit::Celsius.to_shown(kelvin - ZERO_C, units);
    let at = |i: usize, of: usize| drawn * i as f64 / of as f64;
    let line = |name: &str, likely, f: &dyn Fn(f64) -> f64| Line {
        name: name.to_owned(),
        likely,
        points: (0..=POINTS)
            .map(|i| [at(i, POINTS) / HOUR, shown(f(at(i, POINTS)))])
            .collect(),
    };
    let apart = (0..=POINTS).any(|i| {
        let now = course.at(at(i, POINTS));
        now.hottest - now.coldest > 1.0
    });
    let mut lines = vec![
        line("hottest point", true, &|t| course.at(t).hottest),
        line("air around it", false, &|t| programme.air(t, heat)),
    ];
    if apart {
        lines.push(line("coldest point", false, &|t| course.at(t).coldest));
    }
    let said = |kelvin: f64| {
        bench
            .desk
            .say_plain(Unit::Celsius, (kelvin - ZERO_C).round())
    };
    let rows = (0..=8)
        .map(|i| {
            let t = at(i, 8);
            let now = course.at(t);
            vec![
                hours_said(t),
                said(programme.air(t, heat)),
                said(now.coldest),
                said(now.hottest),
            ]
        })
        .collect();
    // Its class rather than a figure too sharp for what is known.
    let mut marks = Vec::new();
    let sets = programme.post.map_or(drawn, |post| post.from.min(drawn));
    if course.peak_temperature - course.at(0.0).hottest > 5.0 && course.peak_time < sets {
        marks.push(Mark {
            name: "hottest".into(),
            at: [course.peak_time / HOUR, shown(course.peak_temperature)],
            doubtful: false,
        });
    }
    Chart {
        label: "How warm the part gets",
        sentence: "The air around the part and the part itself, everything likely; a range for the hottest point stands above.".into(),
        across: across(),
        up: Axis {
            label: "Temperature",
            unit: Unit::Celsius.symbol_in(units),
        },
        bands: Vec::new(),
        lines,
        marks,
        levels: Vec::new(),
        table: Grid {
            heads: ["After the fill", "Air", "Coldest point", "Hottest point"]
                .map(String::from)
                .into(),
            rows,
        },
    }
}

/// What the chart of hardness shows.
pub(super) struct Hardness<'a> {
    /// Until when [s].
    pub(super) drawn: f64,
    /// When it may leave its mould [s].
    pub(super) off: f64,
    /// Times with a band [s], and the glass transition then [K].
    pub(super) stops: &'a [f64; STOPS],
    pub(super) band: &'a [Spread],
}

/// Glass transition with its band, the part's own temperature, gel and the mould.
pub(super) fn hardness(
    bench: &Bench<'_>,
    judged: &Judged<'_>,
    drawing: &Hardness<'_>,
) -> Result<Chart, LawError> {
    let desk = &bench.desk;
    let shown = |kelvin: f64| Unit::Celsius.to_shown(kelvin - ZERO_C, desk.units);
    let (gel, off) = (judged.gel(), drawing.off);
    // Before gel there is nothing to be hard.
    let from = gel.min(drawing.drawn);
    let mut hard = vec![[from / HOUR, shown(judged.tg(from)?)]];
    let mut part = Vec::new();
    for i in 0..=POINTS {
        let t = drawing.drawn * i as f64 / POINTS as f64;
        part.push([t / HOUR, shown(judged.course.at(t).hottest)]);
        // Well after gel, so that no last digit decides whether a point is there.
        if t > 1.001 * from {
            hard.push([t / HOUR, shown(judged.tg(t)?)]);
        }
    }
    let mut early = Vec::new();
    let mut late = Vec::new();
    let mut rows = Vec::new();
    for (&t, tg) in drawing.stops.iter().zip(drawing.band) {
        let range = desk.range(tg);
        if t > 1.001 * from {
            early.push([t / HOUR, shown(range.high)]);
            late.push([t / HOUR, shown(range.low)]);
        }
        let cell = desk.cell(Unit::Celsius, &tg.map(|t| t - ZERO_C));
        let own = desk.say_plain(
            Unit::Celsius,
            (judged.course.at(t).hottest - ZERO_C).round(),
        );
        // A moment that is drawn is often the very moment of gel.
        let state = match t * (1.0 + 1e-9) {
            t if t < gel => "liquid",
            t if t < off => "stays on the mould",
            _ => "may leave the mould",
        };
        rows.push(vec![
            hours_said(t),
            cell.text,
            cell.range,
            own,
            state.to_owned(),
        ]);
    }
    early.extend(late.into_iter().rev());
    let mut marks = Vec::new();
    for (name, t) in [("gel", gel), ("off the mould", off)] {
        if t <= drawing.drawn {
            marks.push(Mark {
                name: name.into(),
                at: [t / HOUR, shown(judged.tg(t)?)],
                doubtful: false,
            });
        }
    }
    let sentence = if off < LONGEST {
        "The part may leave its mould once its glass transition stands clear of its own temperature."
    } else {
        "The glass transition does not come clear of the part's own temperature within what is looked at."
    };
    Ok(Chart {
        label: "How hard the part gets",
        sentence: sentence.into(),
        across: across(),
        up: Axis {
            label: "Temperature",
            unit: Unit::Celsius.symbol_in(desk.units),
        },
        bands: if early.len() > 3 {
            vec![Band {
                name: "range".into(),
                outline: early,
            }]
        } else {
            Vec::new()
        },
        lines: vec![
            Line {
                name: "glass transition".into(),
                likely: true,
                points: hard,
            },
            Line {
                name: "the part".into(),
                likely: false,
                points: part,
            },
        ],
        marks,
        levels: Vec::new(),
        table: Grid {
            heads: [
                "After the fill",
                "Glass transition",
                "Range",
                "The part",
                "",
            ]
            .map(String::from)
            .into(),
            rows,
        },
    })
}
