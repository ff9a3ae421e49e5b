//! Draws how the resin thickens and reacts in the part, with the end of the fill and gel marked.

use super::Mixed;
use super::answer::{figures, whole};
use crate::law::cure::{GEL_CONVERSION, isothermal_cure, time_to_conversion};
use crate::law::{LawError, viscosity};
use crate::sheet::{Axis, Chart, Desk, Grid, Level, Line, Mark, Spread};
use crate::stage::bench::Bench;
use crate::stage::resin_clock::{self, ResinClock};
use crate::units::Unit;

const MINUTE: f64 = 60.0;
/// Drawn until it is so many times as thick.
const THICKEST: f64 = 20.0;
const POINTS: usize = 48;

pub(super) fn drawn(
    bench: &Bench<'_>,
    clock: &ResinClock,
    mixed: &Mixed,
    fill_time: Option<&Spread>,
) -> Result<(Chart, Chart), LawError> {
    let desk = &bench.desk;
    let resin = resin_clock::resin(clock.pace.likely(), clock.tg_ultimate.likely());
    let gel = clock.gel.likely();
    // A thin layer's course, drawn on the clock of a part that may heat itself.
    let thin = time_to_conversion(&resin, clock.room.likely(), GEL_CONVERSION)?;
    let track = isothermal_cure(&resin, clock.room.likely(), 1.31 * thin)?;
    let slower = thin / gel;
    let law = viscosity::INFUSION_EPOXY;
    let thickest = viscosity::conversion_at_rise(law, THICKEST)?;
    let end = track.when(|y| y[0], thickest).map_or(gel, |t| t / slower);
    let fresh = clock.viscosity.likely() * 1000.0;
    let conversion = |t: f64| track.at(t * slower)[0].clamp(0.0, 1.0);
    let thick = |t: f64| viscosity::rise(law, conversion(t).min(thickest)).map(|rise| fresh * rise);
    let minutes = |t: f64| t / MINUTE;
    let mark = |name: &str, t: f64, up: f64| Mark {
        name: name.into(),
        at: [minutes(t), up],
        doubtful: false,
    };
    let ends = fill_time.unwrap_or(&mixed.busy).likely();
    let ends_name = if fill_time.is_some() {
        "fill ends"
    } else {
        "hands end"
    };
    let mut on_thick = Vec::new();
    let mut on_reacted = Vec::new();
    // What the pot is good for, on the clock of the resin in the part.
    for (name, t) in [
        (ends_name, ends),
        ("pot to be used up", mixed.use_within.likely()),
    ] {
        if t <= end {
            on_thick.push(mark(name, t, thick(t)?));
        }
        if t <= 1.3 * gel {
            on_reacted.push(mark(name, t, 100.0 * conversion(t)));
        }
    }
    on_reacted.push(mark("gel", gel, 100.0 * GEL_CONVERSION));
    let at = |i: usize, end: f64| end * i as f64 / POINTS as f64;
    let mut thickening = Vec::with_capacity(POINTS + 1);
    let mut reacting = Vec::with_capacity(POINTS + 1);
    for i in 0..=POINTS {
        thickening.push([minutes(at(i, end)), thick(at(i, end))?]);
        reacting.push([
            minutes(at(i, 1.3 * gel)),
            100.0 * conversion(at(i, 1.3 * gel)),
        ]);
    }
    let said_minutes = |t: f64| whole(desk, Unit::Minute, minutes(t));
    let mut thick_rows = Vec::new();
    let mut reacted_rows = Vec::new();
    for k in 0..=6 {
        let t = end * f64::from(k) / 6.0;
        let rise = viscosity::rise(law, conversion(t).min(thickest))?;
        thick_rows.push(vec![
            said_minutes(t),
            figures(desk, Unit::MillipascalSecond, fresh * rise, 2),
            crate::units::plain((rise * 10.0).round() / 10.0),
        ]);
        let t = 1.3 * gel * f64::from(k) / 6.0;
        let state = if t < gel { "liquid" } else { "gelled" };
        reacted_rows.push(vec![
            said_minutes(t),
            whole(desk, Unit::Percent, 100.0 * conversion(t)),
            state.to_owned(),
        ]);
    }
    Ok((
        thickens(desk, clock, (thickening, on_thick, thick_rows)),
        converts(desk, clock, (reacting, on_reacted, reacted_rows)),
    ))
}

/// What is drawn of a course: its points, the marks on it, and the rows of its table.
type Drawn = (Vec<[f64; 2]>, Vec<Mark>, Vec<Vec<String>>);

fn across() -> Axis {
    Axis {
        label: "Since mixing",
        unit: Unit::Minute.symbol(),
    }
}

fn line(name: &str, points: Vec<[f64; 2]>) -> Vec<Line> {
    vec![Line {
        name: name.into(),
        likely: true,
        points,
    }]
}

fn thickens(desk: &Desk, clock: &ResinClock, (points, marks, rows): Drawn) -> Chart {
    let fresh = clock.viscosity.likely() * 1000.0;
    Chart {
        label: "How the resin thickens in the part",
        sentence: format!(
            "In a thin layer at the shop's temperature: {} when mixed, and twenty times that where the line ends. The times are good to about a third.",
            desk.say(Unit::MillipascalSecond, &clock.viscosity.times(1000.0)),
        ),
        across: across(),
        up: Axis {
            label: "Viscosity",
            unit: Unit::MillipascalSecond.symbol(),
        },
        bands: Vec::new(),
        lines: line("viscosity", points),
        marks,
        levels: vec![Level {
            name: "four times as thick".into(),
            up: 4.0 * fresh,
        }],
        table: Grid {
            heads: ["Since mixing", "Viscosity", "Times as thick"]
                .map(String::from)
                .into(),
            rows,
        },
    }
}

fn converts(desk: &Desk, clock: &ResinClock, (points, marks, rows): Drawn) -> Chart {
    Chart {
        label: "How far it has reacted in the part",
        sentence: format!(
            "Gel comes when {} has reacted, after about {}.",
            desk.say_plain(Unit::Percent, 100.0 * GEL_CONVERSION),
            desk.say(Unit::Minute, &clock.gel.times(1.0 / MINUTE)),
        ),
        across: across(),
        up: Axis {
            label: "Reacted",
            unit: Unit::Percent.symbol(),
        },
        bands: Vec::new(),
        lines: line("reacted", points),
        marks,
        levels: Vec::new(),
        table: Grid {
            heads: ["Since mixing", "Reacted", ""].map(String::from).into(),
            rows,
        },
    }
}
