//! Checks of the flipped surface: edges, angles, channels, and the metric of fibres.

use super::super::{Channel, Tensor, Triangles, network};

fn square(points: [[f64; 3]; 4]) -> Triangles {
    Triangles::new(points.to_vec(), vec![[0, 1, 2], [0, 2, 3]]).unwrap()
}

#[test]
fn a_long_diagonal_is_flipped_and_the_pull_is_that_of_the_other_one() {
    // A kite whose given diagonal is the long one: its edge would pull the wrong way.
    let kite = square([[0.0; 3], [1.0, -0.4, 0.0], [2.0, 0.0, 0.0], [1.0, 0.4, 0.0]]);
    let made = network(&kite, &[Tensor::even(1.0); 2], &[1.0; 2], &[]);
    assert_eq!(made.backward, 0);
    let found = made
        .edges
        .iter()
        .filter(|(_, _, w)| w.abs() > 1e-12)
        .count();
    assert_eq!(found, 5);
    let short = made
        .edges
        .iter()
        .find(|(a, b, _)| a + b == 4 && a.abs_diff(*b) == 2);
    // cot of the angles at 0 and 2, 43.6 degrees each: (1 - 0.16) / (2 * 0.4) = 1.05; half the sum.
    assert!((short.unwrap().2 - 1.05).abs() < 1e-12);
    let all: f64 = made.hold.iter().sum();
    assert!((all - kite.area()).abs() < 1e-15);
}

#[test]
fn angles_are_about_those_of_the_sides() {
    // Each against the arc cosine of its two sides, from a needle to a nearly flat corner.
    for top in [
        [0.5, 0.9],
        [0.5, 0.05],
        [-3.0, 0.4],
        [1.7, 2.5],
        [0.01, 6.0],
    ] {
        let points = [[0.0; 3], [1.0, 0.0, 0.0], [top[0], top[1], 0.0]];
        let one = Triangles::new(points.to_vec(), vec![[0, 1, 2]]).unwrap();
        let made = network(&one, &[Tensor::even(1.0)], &[1.0], &[]);
        for (k, corner) in made.faces[0].corners.into_iter().enumerate() {
            let [here, a, b] =
                [0, 1, 2].map(|turn| points[(corner as usize + turn) % points.len()]);
            let (to, other) = (
                [a[0] - here[0], a[1] - here[1]],
                [b[0] - here[0], b[1] - here[1]],
            );
            let cosine = (to[0] * other[0] + to[1] * other[1])
                / (to[0].hypot(to[1]) * other[0].hypot(other[1]));
            let exact = cosine.acos() / std::f64::consts::PI;
            let found = f64::from(made.faces[0].angles[k]);
            assert!(
                (found - exact).abs() < 0.01,
                "{top:?} {corner}: {found} {exact}"
            );
        }
    }
}

#[test]
fn a_channel_conducts_by_its_length_and_holds_by_it() {
    // A gap of 2 m between two corners: conductance over length, and the store of the whole shared by both.
    let points = [[0.0; 3], [1.2, 1.6, 0.0], [-1.0, 1.0, 0.0]];
    let one = Triangles::new(points.to_vec(), vec![[0, 1, 2]]).unwrap();
    let of = |channels: &[Channel]| network(&one, &[Tensor::even(1.0)], &[1.0], channels);
    let channel = Channel {
        ends: [0, 1],
        conduct: 3.0,
        hold: 0.7,
    };
    let (bare, made) = (of(&[]), of(&[channel]));
    assert_eq!(made.edges.last(), Some(&(0, 1, 1.5)));
    for (i, more) in [0.7, 0.7, 0.0].into_iter().enumerate() {
        assert!((made.hold[i] - bare.hold[i] - more).abs() < 1e-12, "{i}");
    }
}

#[test]
fn fibres_stretch_the_metric() {
    // With conductance 4 along x, a unit cell 2 long behaves as a square.
    let cell = square([[0.0; 3], [2.0, 0.0, 0.0], [2.0, 1.0, 0.0], [0.0, 1.0, 0.0]]);
    let fibres = Tensor {
        along: [3.0, 0.0, 0.0],
        first: 4.0,
        second: 1.0,
    };
    let made = network(&cell, &[fibres; 2], &[0.5; 2], &[]);
    let edge = |a: u32, b: u32| {
        let one = |j: &&(u32, u32, f64)| (j.0, j.1) == (a, b) || (j.0, j.1) == (b, a);
        made.edges.iter().find(one).unwrap().2
    };
    // Element by hand: K (dN/dx)^2 A: along x 4 * 1/4 * 1 = 1, along y 1 * 1 * 1 = 1.
    assert!((edge(0, 1) - 1.0).abs() < 1e-12 && (edge(1, 2) - 1.0).abs() < 1e-12);
    assert!(edge(0, 2).abs() < 1e-12);
    assert!((made.hold.iter().sum::<f64>() - 1.0).abs() < 1e-15);
}

#[test]
fn a_fold_changes_nothing() {
    let flat = square([[0.0; 3], [1.0, 0.0, 0.0], [1.2, 1.0, 0.0], [0.0, 1.0, 0.0]]);
    let mut folded = flat.clone();
    // Turned about the diagonal from 0 to 2 by a right angle: corner 3 keeps its distance from both.
    let d = [1.2, 1.0, 0.0];
    let length = (1.2_f64 * 1.2 + 1.0).sqrt();
    let unit = d.map(|x| x / length);
    let t = unit[1];
    let foot = unit.map(|x| x * t);
    let height = (1.0 - t * t).sqrt();
    folded.points[3] = [foot[0], foot[1], height];
    let even = [Tensor::even(2.0); 2];
    let (a, b) = (
        network(&flat, &even, &[1.0; 2], &[]),
        network(&folded, &even, &[1.0; 2], &[]),
    );
    for (x, y) in a.edges.iter().zip(&b.edges) {
        assert!((x.2 - y.2).abs() < 1e-12);
    }
}
