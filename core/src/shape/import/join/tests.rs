//! Loose lines of known figures, in any order, with gaps, spurs and doubles.

use super::*;

fn open(points: &[(f64, f64)]) -> Stroke {
    Stroke {
        points: points.iter().map(|&(x, y)| Point::new(x, y)).collect(),
        closed: false,
        mark: Mark::default(),
    }
}

fn area(line: &Line) -> f64 {
    let points = &line.points;
    (0..points.len())
        .map(|i| {
            points[i]
                .to_vec2()
                .cross(points[(i + 1) % points.len()].to_vec2())
        })
        .sum::<f64>()
        .abs()
        / 2.0
}

fn square() -> Vec<Stroke> {
    vec![
        open(&[(0.0, 0.0), (100.0, 0.0)]),
        open(&[(0.0, 50.0), (0.0, 0.0)]),
        open(&[(100.0, 50.0), (100.0, 0.0)]),
        open(&[(100.0, 50.0), (0.0, 50.0)]),
    ]
}

#[test]
fn four_lines_in_any_order_and_direction_make_a_loop() {
    let done = joined(square(), 100.0);
    assert_eq!((done.loops.len(), done.open.len(), done.gaps), (1, 0, 0));
    assert_eq!(area(&done.loops[0]), 5000.0);
}

#[test]
fn a_stray_line_at_a_corner_and_a_double_are_left_out() {
    let mut strokes = square();
    strokes.push(open(&[(100.0, 50.0), (140.0, 90.0), (150.0, 90.0)]));
    strokes.push(open(&[(0.0, 0.0), (100.0, 0.0)]));
    let done = joined(strokes, 100.0);
    assert_eq!((done.loops.len(), done.open.len(), done.doubled), (1, 1, 1));
    assert_eq!(area(&done.loops[0]), 5000.0);
}

#[test]
fn a_small_gap_closes_and_a_large_one_does_not() {
    let mut strokes = square();
    strokes[3] = open(&[(100.0, 50.0), (0.2, 50.0)]);
    let done = joined(strokes.clone(), 100.0);
    assert_eq!((done.loops.len(), done.gaps, done.open.len()), (1, 1, 0));
    assert!((area(&done.loops[0]) - 5000.0).abs() < 10.0);
    strokes[3] = open(&[(100.0, 50.0), (0.8, 50.0)]);
    let done = joined(strokes.clone(), 100.0);
    assert_eq!((done.loops.len(), done.gaps, done.open.len()), (1, 1, 0));
    assert!((done.widest - 0.8).abs() < 1e-9, "{}", done.widest);
    strokes[3] = open(&[(100.0, 50.0), (4.0, 50.0)]);
    let done = joined(strokes, 100.0);
    assert_eq!((done.loops.len(), done.open.len()), (0, 1));
}

#[test]
fn paint_closes_what_it_fills() {
    let mut line = open(&[(0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0)]);
    assert_eq!(joined(vec![line.clone()], 100.0).loops.len(), 0);
    line.mark.filled = true;
    let done = joined(vec![line], 100.0);
    assert_eq!((done.loops.len(), done.gaps), (1, 0));
    assert_eq!(area(&done.loops[0]), 5000.0);
}

#[test]
fn a_round_of_pieces_shorter_than_a_gap_still_closes() {
    let at = |i: usize| {
        let angle = i as f64 * std::f64::consts::TAU / 500.0;
        (10.0 * angle.cos(), 10.0 * angle.sin())
    };
    let done = joined((0..500).map(|i| open(&[at(i), at(i + 1)])).collect(), 20.0);
    assert_eq!((done.loops.len(), done.open.len()), (1, 0));
    assert!((area(&done.loops[0]) / (std::f64::consts::PI * 100.0) - 1.0).abs() < 1e-3);
}

#[test]
fn a_rib_from_corner_to_corner_is_left_to_the_map() {
    let mut strokes = square();
    strokes.push(open(&[(0.0, 0.0), (100.0, 50.0)]));
    let done = joined(strokes, 100.0);
    assert_eq!((done.loops.len(), done.tangled.len()), (0, 5));
}

#[test]
fn two_hundred_thousand_lines_from_one_point_join_nothing() {
    let star: Vec<Stroke> = (0..200_000)
        .map(|i| {
            open(&[
                (0.0, 0.0),
                (
                    10.0 * f64::from(i % 1000 + 1),
                    10.0 * f64::from(i / 1000 + 1),
                ),
            ])
        })
        .collect();
    let done = joined(star, 10_000.0);
    assert_eq!((done.loops.len(), done.open.len()), (0, 200_000));
}
