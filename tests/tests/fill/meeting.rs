//! Fronts that meet: a point feed near a wall, and two equal feeds, which is the same thing mirrored.
//!
//! Richardson 1972, J. Fluid Mech. 56:609 (abstract): the moments of what is wet grow with what has flowed in and nothing
//! else. So the shape follows from the volume alone, whether flow or pressure is held. For one feed at a distance e from a
//! wall it is a Neumann oval (Davis 1974; Shapiro 1992, from memory): r^2 = a^2 + 4 e^2 cos^2 about the foot of the feed on
//! the wall, area pi (a^2 / 2 + e^2). For e 0.1 m and a flow of 1e-7 m3/s into hold 1.95e-3 the front stands at x 0.22361,
//! and at y 0.10000 along the wall, after 918.92 s.

use super::meshes::{Mesh, even, grid};
use super::{close, gates};
use bastwork::solve::front::{Field, Gates, Wet};
use std::f64::consts::PI;

const E: f64 = 0.1;
const A: f64 = 0.1;
const HOLD: f64 = 1.95e-3;

/// From the wall (or as far on its other side) to well beyond the front; lines through feed and wall are not shaken.
fn plate(from: f64, cells: usize, seed: u64) -> Mesh {
    let h = 0.6 / cells as f64;
    let xs = even(from, 0.3, ((0.3 - from) / h).round() as usize);
    let ys = even(-0.3, 0.3, cells);
    let still = |x: f64, y: f64| y.abs() < 1e-9 || x.abs() < 1e-9;
    grid(&xs, &ys, |_, _| true, still, seed)
}

/// What is wet when so much has come in.
fn at_volume(field: &mut Field, gates: &Gates<'_>, volume: f64) -> Wet {
    let mut span = (0.0, field.fill(gates).time);
    for _ in 0..34 {
        let middle = f64::midpoint(span.0, span.1);
        if field.wet_at(gates, middle).filled < volume {
            span.0 = middle;
        } else {
            span.1 = middle;
        }
    }
    field.wet_at(gates, f64::midpoint(span.0, span.1))
}

/// How far the front has come along a ray of points from its first: u grows as the square of the distance behind it.
fn reach(mesh: &Mesh, wet: &Wet, along: impl Fn([f64; 3]) -> Option<f64>) -> f64 {
    let ray = (0..mesh.points.len()).filter_map(|i| Some((along(mesh.points[i])?, i)));
    let far = ray
        .filter(|&(_, i)| wet.wet[i])
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap();
    // u = c / (2 a) d^2, here with a of one.
    far.0 + (2.0 * wet.u[far.1] / HOLD).sqrt()
}

#[test]
fn a_feed_near_a_wall_spreads_as_an_oval() {
    let volume = HOLD * PI * (A * A / 2.0 + E * E);
    close(volume / 1e-7, 918.92, 1e-5, "clock of the constant flow");
    for cells in [60, 120] {
        let mesh = plate(0.0, cells, 60);
        let feed = [mesh.nearest([E, 0.0])];
        let mut field = Field::even(&mesh.surface(), 1.0, HOLD);
        let wet = at_volume(&mut field, &gates(&feed, &[]), volume);
        close(wet.inflow, volume, 1e-6, "inflow");
        let half = 0.5 * 0.6 / cells as f64;
        let x = reach(&mesh, &wet, |p| (p[1].abs() < 1e-9).then_some(p[0]));
        assert!((x - (A * A + 4.0 * E * E).sqrt()).abs() < half, "{x}");
        let y = reach(&mesh, &wet, |p| (p[0].abs() < 1e-9).then_some(p[1]));
        assert!((y - A).abs() < half, "{y}");
        // All the way round: wet well inside, dry well outside.
        for (p, &w) in mesh.points.iter().zip(&wet.wet) {
            let r = p[0].hypot(p[1]);
            let cosine = if r > 0.0 { p[0] / r } else { 0.0 };
            let front = (A * A + 4.0 * E * E * cosine * cosine).sqrt();
            if (r - front).abs() > 3.0 * half {
                assert_eq!(w, r < front, "{p:?}: {r} of {front}");
            }
        }
        // A moment of a function without sources, x^2 - y^2: what has come in times its value at the feed (Richardson).
        // What the wet points do not account for stands in the points around them.
        let mut around = vec![false; mesh.points.len()];
        for corners in &mesh.corners {
            if corners.iter().any(|&i| wet.wet[i as usize]) {
                for &i in corners {
                    around[i as usize] |= !wet.wet[i as usize];
                }
            }
        }
        let sum = |of: &dyn Fn(usize) -> f64, among: &[bool]| -> f64 {
            let one = |i: usize| field.hold_of(i) * of(i);
            (0..among.len()).filter(|&i| among[i]).map(one).sum()
        };
        let share = (wet.filled - sum(&|_| 1.0, &wet.wet)) / sum(&|_| 1.0, &around);
        assert!(share > 0.0 && share < 1.0, "{share}");
        let square = |i: usize| mesh.points[i][0].powi(2) - mesh.points[i][1].powi(2);
        let moment = sum(&square, &wet.wet) + share * sum(&square, &around);
        close(moment, volume * E * E, 0.01, "moment of x^2 - y^2");
    }
}

#[test]
fn before_it_meets_the_wall_it_is_a_circle() {
    // r = sqrt(V / (pi c)) until r is e: 612.6 s of that flow.
    let mesh = plate(0.0, 120, 61);
    let feed = [mesh.nearest([E, 0.0])];
    let mut field = Field::even(&mesh.surface(), 1.0, HOLD);
    close(
        PI * HOLD * E * E / 1e-7,
        612.6,
        1e-4,
        "clock of the constant flow",
    );
    let radius = 0.08;
    let wet = at_volume(&mut field, &gates(&feed, &[]), HOLD * PI * radius * radius);
    for (p, &w) in mesh.points.iter().zip(&wet.wet) {
        let r = (p[0] - E).hypot(p[1]);
        if (r - radius).abs() > 0.004 {
            assert_eq!(w, r < radius, "{p:?}: {r}");
        }
    }
}

#[test]
fn two_feeds_meet_as_one_meets_a_wall() {
    let volume = 2.0 * HOLD * PI * (A * A / 2.0 + E * E);
    let whole = plate(-0.3, 120, 62);
    let feeds = [whole.nearest([E, 0.0]), whole.nearest([-E, 0.0])];
    let mut field = Field::even(&whole.surface(), 1.0, HOLD);
    let wet = at_volume(&mut field, &gates(&feeds, &[]), volume);
    let half = 0.5 * 0.6 / 120.0;
    let y = reach(&whole, &wet, |p| (p[0].abs() < 1e-9).then_some(p[1]));
    assert!((y - A).abs() < half, "{y}");
    for side in [1.0, -1.0] {
        let x = reach(&whole, &wet, |p| (p[1].abs() < 1e-9).then_some(side * p[0]));
        assert!((x - (A * A + 4.0 * E * E).sqrt()).abs() < half, "{x}");
    }
}
