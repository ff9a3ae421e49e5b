//! Leaks and the drop test.

use super::{Answer, Entry, one, several};
use crate::compare::Got;
use crate::given::Given;
use bastwork::law::drop_test::{Conditions, Course, Reading, aicc, fit, judge, play};
use bastwork::law::leak;

pub(super) const LAWS: &[Entry] = &[
    ("hole_throughput", |g| {
        one(leak::hole_throughput(
            g.x("diameter"),
            g.x("outside"),
            g.x("temperature"),
        ))
    }),
    ("equivalent_hole", |g| {
        one(leak::equivalent_hole(
            g.x("throughput"),
            g.x("outside"),
            g.x("temperature"),
        ))
    }),
    ("remaining_share", |g| {
        let path = match g.word("path") {
            "hole" => leak::Path::Hole,
            "gap" => leak::Path::Gap,
            other => panic!("there is no path {other}"),
        };
        one(leak::remaining_share(path, g.x("pressure"), g.x("outside")))
    }),
    ("air_drawn_in", |g| {
        one(leak::air_drawn_in(
            g.x("throughput"),
            g.x("time"),
            g.x("outside"),
        ))
    }),
    ("free_volume", |g| {
        one(leak::free_volume(
            g.x("outside"),
            g.x("syringe"),
            g.x("rise"),
        ))
    }),
    ("speed_behind_hose", |g| {
        one(leak::speed_behind_hose(
            g.x("pump_speed"),
            g.x("conductance"),
        ))
    }),
    ("aicc", |g| {
        one(aicc(
            g.x("count") as usize,
            g.x("squares"),
            g.x("parameters") as usize,
        ))
    }),
    ("drop_test_fit", |g| {
        let course = match g.word("course") {
            "leak" => Course::Leak,
            "vapour" => Course::Vapour,
            "both" => Course::Both,
            other => panic!("there is no course {other}"),
        };
        let fitted = fit(course, &readings(g), &conditions(g)?)?;
        several([
            ("start", fitted.start),
            ("rate", fitted.rate),
            ("rise", fitted.rise),
            ("time", fitted.time),
            ("squares", fitted.squares),
        ])
    }),
    ("drop_test", judged),
];

fn judged(g: &Given<'_>) -> Answer {
    let judged = judge(&readings(g), &conditions(g)?)?;
    let text = |word: String| Got::Text(word);
    let leaning = judged.leaning.map_or("None".into(), |l| format!("{l:?}"));
    let air = if judged.above_saturation { "yes" } else { "no" };
    Ok(vec![
        ("verdict", text(format!("{:?}", judged.verdict))),
        ("leaning", text(leaning)),
        ("above_saturation", text(air.into())),
        ("doubtful", text(format!("{:?}", judged.doubtful))),
        ("sure", Got::Number(judged.sure)),
        ("rate", Got::Number(judged.rate[1])),
        ("largest_rate", Got::Number(judged.rate[2])),
        ("plateau", Got::Number(judged.plateau[1])),
    ])
}

/// Rows of minutes and mbar, or of minutes and inches of mercury below the air outside.
fn readings(g: &Given<'_>) -> Vec<Reading> {
    let outside = g.maybe("outside");
    g.rows("readings")
        .iter()
        .map(|row| Reading {
            time: 60.0 * row[0],
            pressure: outside.map_or(100.0 * row[1], |p| p - 3386.4 * row[1]),
        })
        .collect()
}

fn conditions(g: &Given<'_>) -> Result<Conditions, bastwork::law::LawError> {
    let saturation = g.x("saturation");
    Ok(Conditions {
        step: g.x("step"),
        saturation,
        saturation_play: play(saturation, g.x("kelvin"), g.maybe("offset").unwrap_or(0.0))?,
        outside: g.maybe("outside").unwrap_or(101_325.0),
    })
}
