//! Loose lines of known figures, in any order, with gaps, spurs and doubles.

use super::*;

fn open(points: &[(f64, f64)]) -> Stroke {
    Stroke {
        points: points.iter().map(|&(x, y)| Point::new(x, y)).collect(),
        closed: false,
    }
}

fn area(points: &[Point]) -> f64 {
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
    let done = joined(square());
    assert_eq!((done.loops.len(), done.open, done.gaps), (1, 0, 0));
    assert_eq!(area(&done.loops[0]), 5000.0);
}

#[test]
fn a_stray_line_at_a_corner_and_a_double_are_left_out() {
    let mut strokes = square();
    strokes.push(open(&[(100.0, 50.0), (140.0, 90.0), (150.0, 90.0)]));
    strokes.push(open(&[(0.0, 0.0), (100.0, 0.0)]));
    let done = joined(strokes);
    assert_eq!((done.loops.len(), done.open, done.doubled), (1, 1, 1));
    assert_eq!(area(&done.loops[0]), 5000.0);
}

#[test]
fn a_small_gap_closes_and_a_large_one_does_not() {
    let mut strokes = square();
    strokes[3] = open(&[(100.0, 50.0), (0.2, 50.0)]);
    let done = joined(strokes.clone());
    assert_eq!((done.loops.len(), done.gaps, done.open), (1, 1, 0));
    assert!((area(&done.loops[0]) - 5000.0).abs() < 10.0);
    strokes[3] = open(&[(100.0, 50.0), (0.7, 50.0)]);
    let done = joined(strokes);
    assert_eq!((done.loops.len(), done.open), (0, 1));
}

#[test]
fn a_round_of_pieces_shorter_than_a_gap_still_closes() {
    let at = |i: usize| {
        let angle = i as f64 * std::f64::consts::TAU / 500.0;
        (10.0 * angle.cos(), 10.0 * angle.sin())
    };
    let done = joined((0..500).map(|i| open(&[at(i), at(i + 1)])).collect());
    assert_eq!((done.loops.len(), done.open), (1, 0));
    assert!((area(&done.loops[0]) / (std::f64::consts::PI * 100.0) - 1.0).abs() < 1e-3);
}

#[test]
fn a_rib_from_corner_to_corner_is_told() {
    let mut strokes = square();
    strokes.push(open(&[(0.0, 0.0), (100.0, 50.0)]));
    let done = joined(strokes);
    assert_eq!(done.loops.len(), 0);
    let (count, place) = done.branched.unwrap();
    assert_eq!(count, 5);
    assert!(place == Point::new(0.0, 0.0) || place == Point::new(100.0, 50.0));
}

#[test]
fn two_hundred_thousand_lines_from_one_point_take_no_time() {
    let star: Vec<Stroke> = (0..200_000)
        .map(|i| {
            open(&[
                (0.0, 0.0),
                (f64::from(i % 1000) + 1.0, f64::from(i / 1000) + 1.0),
            ])
        })
        .collect();
    let began = std::time::Instant::now();
    let done = joined(star);
    assert_eq!((done.loops.len(), done.open), (0, 200_000));
    assert!(began.elapsed().as_secs() < 5, "{:?}", began.elapsed());
}
