//! How near a map comes to the same surface cut finer, solved with many times: all over, and at the worst place.

use super::gates;
use super::meshes::{Mesh, even, grid};
use bastwork::solve::front::Field;
use std::collections::HashMap;

/// A surface with what feeds it.
#[derive(Clone)]
struct Case {
    name: String,
    mesh: Mesh,
    feeds: Vec<u32>,
}

impl Case {
    fn of(name: &str, mesh: Mesh, is: impl Fn([f64; 3]) -> bool) -> Self {
        let feeds = mesh.nodes(is);
        assert!(!feeds.is_empty(), "{name}");
        Self {
            name: name.into(),
            mesh,
            feeds,
        }
    }

    /// Each triangle cut into four; a side between two feeds is one.
    fn finer(&self) -> Self {
        let mut made = self.clone();
        let mut is_feed = vec![false; self.mesh.points.len()];
        for &i in &self.feeds {
            is_feed[i as usize] = true;
        }
        let mut middles: HashMap<(u32, u32), u32> = HashMap::new();
        made.mesh.corners.clear();
        for &[a, b, c] in &self.mesh.corners {
            let [d, e, f] = [(a, b), (b, c), (c, a)].map(|(i, j)| {
                *middles.entry((i.min(j), i.max(j))).or_insert_with(|| {
                    let [p, q] = [i, j].map(|i| self.mesh.points[i as usize]);
                    let at = made.mesh.points.len() as u32;
                    made.mesh
                        .points
                        .push([0, 1, 2].map(|k| f64::midpoint(p[k], q[k])));
                    if is_feed[i as usize] && is_feed[j as usize] {
                        made.feeds.push(at);
                    }
                    at
                })
            });
            made.mesh
                .corners
                .extend([[a, d, f], [d, b, e], [f, e, c], [d, e, f]]);
        }
        made
    }

    fn map(&self, levels: usize) -> (Vec<f64>, f64) {
        let mut field = Field::even(&self.mesh.surface(), 1.0, 1.0);
        let found = field.arrival(&gates(&self.feeds, &[]), levels);
        (found.at, found.time)
    }
}

fn cells(nx: usize, ny: usize, lx: f64, ly: f64, seed: u64) -> Mesh {
    grid(
        &even(0.0, lx, nx),
        &even(0.0, ly, ny),
        |_, _| true,
        |_, _| false,
        seed,
    )
}

fn near(p: [f64; 3], x: f64, y: f64, r: f64) -> bool {
    (p[0] - x).hypot(p[1] - y) < r
}

/// Cells that grow by a factor from one to the next.
fn growing(to: f64, steps: usize, factor: f64) -> Vec<f64> {
    let sum: f64 = (0..steps).map(|i| factor.powi(i as i32)).sum();
    let mut at = 0.0;
    let mut all = vec![0.0];
    for i in 0..steps {
        at += factor.powi(i as i32) / sum * to;
        all.push(at);
    }
    all
}

fn cases() -> Vec<Case> {
    let still = |_: f64, _: f64| false;
    let three = |seed: u64, at: [(f64, f64); 3]| {
        let mesh = cells(60, 36, 1.0, 0.6, seed);
        Case::of(&format!("three feeds {seed}"), mesh, |p| {
            at.iter().any(|&(x, y)| near(p, x, y, 0.04))
        })
    };
    let along = grid(
        &growing(0.6, 24, 1.12),
        &even(0.0, 0.3, 120),
        |_, _| true,
        still,
        310,
    );
    let across = grid(
        &even(0.0, 0.6, 160),
        &growing(0.3, 10, 1.3),
        |_, _| true,
        still,
        310,
    );
    let middle = |part: f64| {
        let mesh = cells(40, 40, 0.5, 0.5, 341);
        Case::of(&format!("middle of an edge {part}"), mesh, |p| {
            p[0] < 1e-9 && (p[1] - 0.25).abs() < part / 2.0 + 1e-6
        })
    };
    let ell = grid(
        &even(0.0, 0.6, 56),
        &even(0.0, 0.6, 56),
        |x, y| x < 0.3 || y < 0.3,
        still,
        350,
    );
    vec![
        three(302, [(0.25, 0.3), (0.75, 0.3), (0.5, 0.0)]),
        Case::of("needles along, graded, edge", along, |p| p[0] < 1e-9),
        Case::of("needles across, graded, corner", across, |p| {
            p[0] < 1e-9 && p[1] < 0.1
        }),
        Case::of("rib, foot", ribbed(0.1), |p| {
            p[0] < 1e-9 && p[2] == 0.0 && p[1] > 0.3
        }),
        middle(0.12),
        Case::of("ell", ell, |p| p[0] < 1e-9),
    ]
}

/// A plate with a rib that stands along it: three triangles meet at every edge of its foot.
fn ribbed(at: f64) -> Mesh {
    let mut mesh = cells(50, 40, 0.5, 0.4, 320);
    for p in &mut mesh.points {
        if (p[1] - at).abs() < 0.004 {
            *p = [(p[0] / 0.01).round() * 0.01, at, 0.0];
        }
    }
    let (xs, ys) = (even(0.0, 0.5, 50), even(0.0, 0.1, 10));
    let rib = grid(&xs, &ys, |_, _| true, |_, y| y < 1e-9, 330);
    let from = mesh.points.len() as u32;
    let foot: Vec<u32> = rib
        .points
        .iter()
        .zip(from..)
        .map(|(r, own)| {
            if r[1] < 1e-9 {
                mesh.nearest([r[0], at])
            } else {
                own
            }
        })
        .collect();
    let risen = rib.points.iter().map(|r| [r[0], at, r[1]]);
    mesh.points.extend(risen);
    let corners = rib.corners.iter().map(|c| c.map(|i| foot[i as usize]));
    mesh.corners.extend(corners);
    mesh
}

/// Root of the mean square and the worst, as shares of the whole.
fn off(one: &[f64], other: &[f64], whole: f64) -> (f64, f64) {
    // Points that lie on no triangle have no time.
    let pairs = one.iter().zip(other).filter(|(a, _)| !a.is_nan());
    let all: Vec<f64> = pairs.map(|(a, b)| ((a - b) / whole).abs()).collect();
    assert!(all.iter().all(|x| x.is_finite()));
    let squares: f64 = all.iter().map(|x| x * x).sum();
    (
        (squares / all.len() as f64).sqrt(),
        all.iter().copied().fold(0.0, f64::max),
    )
}

/// Most that a map of eight levels may be off, in percent of the time for everything: all over, and at the worst place.
fn most(name: &str) -> (f64, f64) {
    match name {
        // Cells twelve times as long one way, so that the front takes a tenth of the time from one to the next.
        "needles along, graded, edge" => (1.5, 10.0),
        "needles across, graded, corner" => (0.7, 6.0),
        _ => (1.0, 3.0),
    }
}

#[test]
fn a_map_is_as_near_as_it_says() {
    for case in cases() {
        let mut field = Field::even(&case.mesh.surface(), 1.0, 1.0);
        let found = field.arrival(&gates(&case.feeds, &[]), 8);
        let (exact, whole) = case.finer().finer().map(20);
        let (rms, worst) = off(&found.at, &exact, whole);
        let time = found.time / whole - 1.0;
        println!(
            "{:32} off by {:.2} {:.2}, told {:.2} {:.2}, time {:+.2}, {} levels",
            case.name,
            100.0 * rms,
            100.0 * worst,
            100.0 * found.off.rms,
            100.0 * found.off.worst,
            100.0 * time,
            found.levels
        );
        let (all_over, place) = most(&case.name);
        assert!(100.0 * rms < all_over, "{}: {rms}", case.name);
        assert!(100.0 * worst < place, "{}: {worst}", case.name);
        assert!(time.abs() < 0.015, "{}: {time}", case.name);
        // What it says of itself covers it, and is no more than four times as much.
        assert!(rms < 1.2 * found.off.rms, "{}: {:?}", case.name, found.off);
        assert!(
            worst < 1.2 * found.off.worst,
            "{}: {:?}",
            case.name,
            found.off
        );
        assert!(
            found.off.worst < 4.0 * worst,
            "{}: {:?}",
            case.name,
            found.off
        );
        assert!(found.levels <= 32, "{}: {}", case.name, found.levels);
    }
}
