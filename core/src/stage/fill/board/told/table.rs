//! A drawn fill by the clock: lines of equal time, and what is wet by then.

use super::stores;
use crate::sheet::{Desk, FillTable, FrontLine};
use crate::solve::sort::sort_numbers;
use crate::stage::fill::board::Scene;
use crate::stage::fill::board::lines::level_lines;
use crate::units::Unit;

/// Times between the lines of equal time [min].
const STEPS: &[f64] = &[
    0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0, 240.0, 480.0, 1440.0,
];
/// About so many lines.
const LINES: f64 = 7.0;
/// Shares of the fill time that the table tells.
const SHARES: &[f64] = &[0.1, 0.25, 0.5, 0.75, 1.0];

pub(super) fn levels(scene: &Scene, minutes: &[f64], desk: &Desk) -> Vec<FrontLine> {
    let most = minutes
        .iter()
        .copied()
        .filter(|t| t.is_finite())
        .fold(0.0, f64::max);
    let step = STEPS
        .iter()
        .copied()
        .find(|step| most / step <= LINES)
        .unwrap_or(1440.0);
    // Between points the front goes as the run along a strip does, whatever the clock makes of it.
    let runs = scene.pictured();
    let mut lines = Vec::new();
    let mut at = step;
    while at < most && lines.len() < 20 {
        lines.push(FrontLine {
            min: at,
            text: desk.say_plain(
                if at >= 180.0 {
                    Unit::Hour
                } else {
                    Unit::Minute
                },
                if at >= 180.0 { at / 60.0 } else { at },
            ),
            strokes: level_lines(scene.laid.surface(), &runs, run_at(scene, at)),
        });
        at += step;
    }
    lines
}

pub(super) fn table(scene: &Scene, minutes: &[f64], desk: &Desk) -> FillTable {
    let (holds, all) = stores(scene);
    let most = minutes
        .iter()
        .copied()
        .filter(|t| t.is_finite())
        .fold(0.0, f64::max);
    // Past its gel resin goes nowhere.
    let gel = scene.pace.gel.likely() / 60.0;
    let end = most.min(gel);
    let litres = scene.ground.depth() * all;
    let surface = scene.laid.surface();
    let rows = SHARES
        .iter()
        .map(|share| {
            let at = end * share;
            let wet: f64 = minutes
                .iter()
                .zip(&holds)
                .filter(|(t, _)| **t <= at)
                .map(|(_, h)| h)
                .sum();
            // One over the slope of the arrival time, where the front runs through a triangle.
            let mut speeds = Vec::new();
            for corners in &surface.corners {
                let t = corners.map(|i| minutes[i as usize]);
                if t.iter().any(|t| t.is_nan())
                    || t.iter().all(|t| *t < at * 0.999)
                    || t.iter().all(|t| *t >= at * 0.999)
                {
                    continue;
                }
                if let Some(slope) = slope(corners.map(|i| surface.points[i as usize]), t) {
                    speeds.push(1000.0 / slope);
                }
            }
            sort_numbers(&mut speeds);
            let speed = speeds.get(speeds.len() / 2).map_or_else(String::new, |s| {
                format!("{}/min", desk.say_about(Unit::Millimetre, *s))
            });
            let speed = if at >= gel { "stops".to_owned() } else { speed };
            vec![
                desk.say_about(Unit::Minute, at),
                format!("{:.0}\u{a0}%", wet / all * 100.0),
                desk.say_about(Unit::Gram, wet / all * litres * scene.density * 1e3),
                speed,
            ]
        })
        .collect();
    FillTable {
        caption: if most > gel {
            "How far resin has come until it gels, with likely values".into()
        } else {
            "How far resin has come, with likely values".into()
        },
        head: ["After", "Wet", "Resin in the part", "The front moves"]
            .map(String::from)
            .to_vec(),
        rows,
    }
}

/// How far the front has run after so many minutes, as along a strip [m].
fn run_at(scene: &Scene, minutes: f64) -> f64 {
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    while scene.pace.likely_at(high) < minutes * 60.0 && high < 1e6 {
        high *= 2.0;
    }
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if scene.pace.likely_at(middle) < minutes * 60.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// Slope of a quantity on a triangle.
fn slope(p: [[f64; 3]; 3], t: [f64; 3]) -> Option<f64> {
    let edge = |a: usize, b: usize| [0, 1, 2].map(|k| p[b][k] - p[a][k]);
    let dot = |a: [f64; 3], b: [f64; 3]| (0..3).map(|k| a[k] * b[k]).sum::<f64>();
    let (e, f) = (edge(0, 1), edge(0, 2));
    let (ee, ef, ff) = (dot(e, e), dot(e, f), dot(f, f));
    let det = ee * ff - ef * ef;
    let (de, df) = (t[1] - t[0], t[2] - t[0]);
    let square = (ff * de * de - 2.0 * ef * de * df + ee * df * df) / det;
    (det > 0.0 && square > 0.0).then(|| square.sqrt())
}
