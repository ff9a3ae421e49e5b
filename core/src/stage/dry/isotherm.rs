//! Draws the isotherm of the cloth, with where it is now, where it is to go, and where the oven can take it.

use super::Damp;
use crate::law::{LawError, sorption};
use crate::sheet::{Axis, Band, Chart, Grid, Level, Line, Mark, Spread};
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::water;
use crate::units::Unit;

/// Humidities drawn, in steps of this [%].
const STEP: u32 = 5;

pub(super) fn draw(bench: &mut Bench<'_>, damp: &Damp, target: &Spread) -> Result<Chart, LawError> {
    let (kept_at, humidity) = water::store(bench);
    let at = kept_at.likely();
    let desk = &bench.desk;
    let here = 100.0 * humidity.likely();
    let percent = |x: &Spread| x.times(100.0);
    let mut rows = Vec::new();
    let (mut likely, mut above, mut below) = (Vec::new(), Vec::new(), Vec::new());
    let mut humidities: Vec<f64> = (0..=95 / STEP).map(|k| f64::from(k * STEP)).collect();
    humidities.retain(|h| *h <= 95.0);
    for h in humidities {
        let regain = percent(&Spread::of([&damp.scale], |[scale]| {
            sorption::flax_regain(scale, at, h / 100.0)
        })?);
        let range = desk.range(&regain);
        likely.push([h, range.likely]);
        above.push([h, range.high]);
        below.push([h, range.low]);
        if h > 0.0 && (h as u32).is_multiple_of(10) {
            rows.push(row(format!("{h}%"), bench, &regain));
        }
    }
    above.extend(below.into_iter().rev());
    rows.push(row(
        format!(
            "{}, where yours is kept",
            desk.say(Unit::Percent, &percent(&humidity))
        ),
        bench,
        &percent(&damp.start),
    ));
    let temperature = desk.say_plain(Unit::Celsius, at - ZERO_C);
    let start = desk.say(Unit::Percent, &percent(&damp.start));
    Ok(Chart {
        label: "Water in the cloth, by the humidity of the air",
        sentence: format!(
            "At {temperature}, where the air has {}, the cloth comes to hold {start} of its dry mass in water. It follows the air within hours in single plies, within days in a roll.",
            desk.say(Unit::Percent, &percent(&humidity)),
        ),
        across: Axis {
            label: "Humidity of the air",
            unit: "%",
        },
        up: Axis {
            label: "Water per dry fibre",
            unit: "%",
        },
        bands: vec![Band {
            name: "range of the cloth".into(),
            outline: above,
        }],
        lines: vec![Line {
            name: format!("at {temperature}"),
            likely: true,
            points: likely,
        }],
        marks: vec![Mark {
            name: format!("yours, {start}"),
            at: [here, 100.0 * damp.start.likely()],
            doubtful: false,
        }],
        levels: vec![Level {
            name: format!("dry enough, {}", desk.say(Unit::Percent, &percent(target))),
            up: 100.0 * target.likely(),
        }],
        table: Grid {
            heads: vec![
                "Humidity".into(),
                "Water per dry fibre".into(),
                "Range".into(),
            ],
            rows,
        },
    })
}

fn row(name: String, bench: &Bench<'_>, regain: &Spread) -> Vec<String> {
    let cell = bench.desk.cell(Unit::Percent, regain);
    vec![name, cell.text, cell.range]
}
