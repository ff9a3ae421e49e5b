//! Parts drawn by hand: whatever a finger draws, and however a skin was made, comes back as a sane sheet or as sentences.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{Board, Problem, Shelf, sheet_from};
use bastwork_tests::sane::{every_figure_is_sane, sentences_are_good};
use bastwork_tests::{draw, fingers};
use serde_json::{Value, json};

/// Most triangles that a drawing may lead to: the work of every later step goes with their number.
const MOST_TRIANGLES: usize = 60_000;

/// What the board shows of a plan: no more triangles than it can work with, and times that are none or not below nothing.
fn board_is_sane(plan: &Value) -> Result<(), String> {
    let mut board = Board::new(plan, Shelf::generic());
    let count = board.triangles().len() / 3;
    if count > MOST_TRIANGLES {
        return Err(format!("{count} triangles"));
    }
    let arrival = board.arrival();
    if let Some(time) = arrival.iter().find(|t| **t < 0.0 || t.is_infinite()) {
        return Err(format!("the front comes after {time} min"));
    }
    if board.drawn().is_none() {
        return sentences_are_good(board.problems());
    }
    if arrival.len() != board.points().len() / 3 {
        return Err(format!("{} times", arrival.len()));
    }
    Ok(())
}

fn is_sane(plan: &Value) -> Result<(), String> {
    board_is_sane(plan)?;
    match sheet_from(plan, Shelf::generic()) {
        Ok(sheet) => every_figure_is_sane(&serde_json::to_value(&sheet).unwrap()),
        Err(problems) => sentences_are_good(&problems),
    }
}

#[test]
fn whatever_a_finger_draws_gives_a_sane_sheet_or_good_sentences() {
    draw::each(100, &fingers::plan(), |plan| is_sane(&plan));
}

#[test]
fn most_drawings_give_a_sheet() {
    let drawn = fingers::seeded(60, 3);
    let sheets = drawn
        .iter()
        .filter(|plan| sheet_from(plan, Shelf::generic()).is_ok());
    let count = sheets.count();
    assert!(count >= 36, "only {count} of {}", drawn.len());
}

/// Places on a counter of 1.8 by 0.8 m, spread without an order that a finger would have.
fn scattered(count: usize, from: usize) -> Vec<[f64; 2]> {
    let share = |k: usize, step: f64| ((from + k) as f64 * step).fract();
    (0..count)
        .map(|k| [1800.0 * share(k, 0.754_877), 800.0 * share(k, 0.569_840)])
        .collect()
}

fn on_the_counter(lines: &Value, zones: &Value) -> Value {
    json!({
        "part": { "shape": { "form": "rectangle", "length_mm": 1800, "width_mm": 800 } },
        "stack": [{ "fabric": "flax_twill_300", "count": 4 }], "resin": "infusion_epoxy_slow",
        "fill": { "lines": lines, "zones": zones },
    })
}

fn refused(plan: &Value) -> Vec<Problem> {
    let board = Board::new(plan, Shelf::generic());
    assert!(board.triangles().is_empty());
    let problems = sheet_from(plan, Shelf::generic()).unwrap_err();
    assert_eq!(board.problems(), problems);
    problems
}

/// Lines that would be cut into a hundred thousand triangles and more: refused before the work is done.
#[test]
fn drawings_that_are_far_too_much_are_refused_with_what_to_make_smaller() {
    let feed = || json!({ "does": "feed", "points_mm": [[0, 0], [0, 800]] });
    let scribble =
        |does: &str, from: usize| json!({ "does": does, "points_mm": scattered(400, from) });
    let many: Vec<Value> = (0..40)
        .map(|k| scribble(if k % 2 == 0 { "feed" } else { "vent" }, 400 * k))
        .collect();
    let mut channels = vec![feed()];
    channels.extend((1..40).map(|k| scribble("channel", 400 * k)));
    let taps: Vec<Value> = scattered(40, 7)
        .into_iter()
        .map(|at| json!({ "does": "feed", "points_mm": [at] }))
        .collect();
    let star = |x: f64| -> Value {
        let at = |k: usize| {
            let (sin, cos) = (std::f64::consts::TAU * k as f64 / 400.0).sin_cos();
            let r = if k.is_multiple_of(2) { 300.0 } else { 150.0 };
            json!([x + r * cos, 400.0 + r * sin])
        };
        json!({ "lies": "plies", "count": 1, "points_mm": (0..400).map(at).collect::<Vec<_>>() })
    };
    let zones: Vec<Value> = (0..8).map(|k| star(400.0 + 100.0 * f64::from(k))).collect();
    for plan in [
        on_the_counter(
            &json!([scribble("feed", 0), scribble("vent", 400)]),
            &json!([]),
        ),
        on_the_counter(&json!(many), &json!([])),
        on_the_counter(&json!(channels), &json!([])),
        on_the_counter(&json!(taps), &json!([])),
        on_the_counter(&json!([feed()]), &json!(zones)),
    ] {
        let problems = refused(&plan);
        assert_eq!(problems[0].field, "fill.lines");
        assert!(
            problems[0].sentence.contains("Draw fewer"),
            "{}",
            problems[0].sentence
        );
    }
    let mut turns = vec![feed()];
    turns.extend((1..=13).map(|k| {
        json!({ "does": "feed", "opens": "when_wet", "points_mm": [[130 * k, 0], [130 * k, 800]] })
    }));
    let problems = refused(&on_the_counter(&json!(turns), &json!([])));
    assert!(
        problems[0].sentence.starts_with("13 feeds"),
        "{}",
        problems[0].sentence
    );
    turns.pop();
    assert!(sheet_from(&on_the_counter(&json!(turns), &json!([])), Shelf::generic()).is_ok());
}
