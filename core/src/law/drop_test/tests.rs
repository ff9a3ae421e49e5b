//! The drop test against a published log, and against rises made up by hand.

use super::*;

fn at_minutes(pressures: impl IntoIterator<Item = f64>) -> Vec<Reading> {
    pressures
        .into_iter()
        .enumerate()
        .map(|(k, pressure)| Reading {
            time: 60.0 * k as f64,
            pressure,
        })
        .collect()
}

/// A drop test that passed, in inches of mercury below the air outside (an infusion supplier's training page).
const PASSED: [f64; 6] = [29.20, 29.17, 29.15, 29.13, 29.12, 29.11];
const INCH: f64 = 3386.4;

fn passed() -> Vec<Reading> {
    at_minutes(PASSED.map(|inches| 101_325.0 - INCH * inches))
}

/// Its temperature is not told: a warm shop, 29 °C, leaves vapour room.
const WARM: Conditions = Conditions {
    step: 0.01 * INCH,
    saturation: 4000.0,
    saturation_play: 0.06,
};

#[test]
fn published_log_as_a_line_as_vapour_and_as_both() {
    let line = fit(Course::Leak, &passed(), &WARM).unwrap();
    assert!((line.rate * 0.6 - 0.60).abs() < 0.001, "{line:?}");
    assert!((line.squares / 1e4 - 0.277).abs() < 0.001, "{line:?}");
    let vapour = fit(Course::Vapour, &passed(), &WARM).unwrap();
    assert!((vapour.rise / 100.0 - 4.00).abs() < 0.01, "{vapour:?}");
    assert!((vapour.time / 60.0 - 3.5).abs() < 0.02, "{vapour:?}");
    assert!((vapour.squares / 1e4 - 0.0075).abs() < 1e-4, "{vapour:?}");
    let both = fit(Course::Both, &passed(), &WARM).unwrap();
    assert!(both.rate * 0.6 < 1e-3 && both.squares <= vapour.squares * 1.0001);
}

#[test]
fn published_log_by_the_criterion_however_its_numbers_are_counted() {
    let line = fit(Course::Leak, &passed(), &WARM).unwrap();
    let vapour = fit(Course::Vapour, &passed(), &WARM).unwrap();
    let ratio = 6.0 * (line.squares / vapour.squares).ln();
    assert!((ratio - 21.7).abs() < 0.05, "{ratio}");
    // The start fitted too: the line is preferred by 8.3.
    let apart = aicc(6, line.squares, 3).unwrap() - aicc(6, vapour.squares, 4).unwrap();
    assert!((apart + 8.3).abs() < 0.05, "{apart}");
    // The first reading taken as the start: vapour is preferred by 14.7.
    let first = passed()[0].pressure;
    let off: Vec<(f64, f64)> = passed()
        .iter()
        .map(|r| (r.time / 60.0, (r.pressure - first) / 100.0))
        .collect();
    let squares = |column: &dyn Fn(f64) -> f64| {
        let (xy, xx) = off.iter().fold((0.0, 0.0), |(xy, xx), (t, y)| {
            (xy + column(*t) * y, xx + column(*t).powi(2))
        });
        off.iter()
            .map(|(t, y)| (y - xy / xx * column(*t)).powi(2))
            .sum::<f64>()
    };
    let bent = (50..1000)
        .map(|k| f64::from(k) / 100.0)
        .map(|tau| squares(&|t| 1.0 - (-t / tau).exp()))
        .fold(f64::INFINITY, f64::min);
    let apart = aicc(6, squares(&|t| t), 2).unwrap() - aicc(6, bent, 3).unwrap();
    assert!((apart - 14.7).abs() < 0.05, "{apart}");
}

#[test]
fn published_log_is_too_short_and_leans_to_vapour() {
    let judged = judge(&passed(), &WARM).unwrap();
    assert_eq!(judged.verdict, Verdict::TooFew);
    assert_eq!(judged.leaning, Some(Course::Vapour));
    assert!(judged.sure > 0.3 && judged.sure < 0.95, "{}", judged.sure);
    let more = judged.settle_after.unwrap();
    assert!((600.0..3600.0).contains(&more), "{more}");
}
