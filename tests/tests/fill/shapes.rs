//! Parts of any shape with any feeds, drawn at random, against the slow fill by control volumes.

use super::meshes::{Draws, Mesh, disc, even, grid, ring};
use super::volumes::{self, Laid};
use super::{gates, rms};
use bastwork::solve::front::Field;
use bastwork::solve::surface::Tensor;

/// How far the map may be from the slow fill, as a share of the fill time.
const MOST: f64 = 0.02;
/// How much sooner the slow fill may end, and how much later. On meshes this coarse it is early, the more so where feeds
/// and vents end in the middle of an edge.
const ENDS: (f64, f64) = (0.08, 0.02);

/// A shape out of several kinds, bent smoothly.
fn shape(draws: &mut Draws, seed: u64) -> Mesh {
    let lines = even(0.0, 1.0, 56);
    let (a, b) = (draws.between(0.35, 0.65), draws.between(0.35, 0.65));
    let (x, y, r) = (
        draws.between(0.3, 0.7),
        draws.between(0.3, 0.7),
        draws.between(0.08, 0.2),
    );
    let free = |_: f64, _: f64| false;
    let flat = match seed % 6 {
        0 => grid(&lines, &lines, |u, v| u < a || v < b, free, seed),
        1 => grid(&lines, &lines, |u, v| (u - x).hypot(v - y) > r, free, seed),
        // A U, and a comb with two slots.
        2 => grid(
            &lines,
            &lines,
            |u, v| v < b * 0.6 || (u - 0.5).abs() > 0.5 * a,
            free,
            seed,
        ),
        3 => grid(
            &lines,
            &lines,
            |u, v| v < 0.3 || (3.0 * u).fract() > 0.25,
            free,
            seed,
        ),
        4 => disc(0.5, 30, seed),
        _ => ring(0.15, 0.5, 26, 100, 1.0, seed),
    };
    let (p, q) = (draws.between(0.0, 6.0), draws.between(0.0, 6.0));
    let (s, t) = (draws.between(0.02, 0.05), draws.between(0.02, 0.05));
    flat.moved(|[u, v, _]| {
        [
            u + s * (4.0 * v + p).sin() + 0.2 * v,
            v * 0.8 + t * (5.0 * u + q).sin(),
            0.0,
        ]
    })
}

struct Drawn {
    mesh: Mesh,
    laid: Vec<Laid>,
    hold: Vec<f64>,
    feeds: Vec<u32>,
    vents: Vec<u32>,
}

/// Points of the rim near some place on it.
fn patch(mesh: &Mesh, rim: &[u32], draws: &mut Draws, size: f64) -> Vec<u32> {
    let at = rim[draws.between(0.0, rim.len() as f64) as usize];
    let middle = mesh.points[at as usize];
    rim.iter()
        .copied()
        .filter(|&i| {
            let p = mesh.points[i as usize];
            (p[0] - middle[0]).hypot(p[1] - middle[1]) < size
        })
        .collect()
}

fn drawn(seed: u64) -> Drawn {
    let mut draws = Draws(seed * 7919);
    let mesh = shape(&mut draws, seed);
    let is_rim = mesh.rim();
    let rim: Vec<u32> = (0..is_rim.len() as u32)
        .filter(|&i| is_rim[i as usize])
        .collect();
    let mut feeds = Vec::new();
    for _ in 0..1 + (draws.between(0.0, 3.0) as usize) {
        let size = draws.between(0.08, 0.3);
        feeds.extend(patch(&mesh, &rim, &mut draws, size));
    }
    feeds.sort_unstable();
    feeds.dedup();
    let mut vents = if seed % 4 == 1 {
        patch(&mesh, &rim, &mut draws, 0.06)
    } else {
        Vec::new()
    };
    let far = |i: &u32| {
        let p = mesh.points[*i as usize];
        feeds.iter().all(|&f| {
            let q = mesh.points[f as usize];
            (p[0] - q[0]).hypot(p[1] - q[1]) > 0.2
        })
    };
    vents.retain(far);
    // Two cloths that part along a line, their fibres anyhow.
    let (nx, ny) = f64::sin_cos(draws.between(0.0, 6.25));
    let line = nx * 0.5 + ny * 0.4;
    let cloths = [0; 2].map(|_| {
        let (s, c) = f64::sin_cos(draws.between(0.0, 3.1));
        let first = draws.between(0.7, 2.0);
        (
            ([c, s], first, first * draws.between(0.3, 1.0)),
            draws.between(0.5, 1.0),
        )
    });
    let side = |p: [f64; 3]| usize::from(nx * p[0] + ny * p[1] > line);
    let laid = mesh.each(|p| cloths[side(p)].0);
    let hold = mesh.each(|p| cloths[side(p)].1);
    Drawn {
        mesh,
        laid,
        hold,
        feeds,
        vents,
    }
}

fn compare(seed: u64) -> f64 {
    let d = drawn(seed);
    let slow = volumes::fill(&d.mesh, &d.laid, &d.hold, &d.feeds, &d.vents);
    let tensors: Vec<Tensor> = d
        .laid
        .iter()
        .map(|&([c, s], first, second)| Tensor {
            along: [c, s, 0.0],
            first,
            second,
        })
        .collect();
    let mut field = Field::new(&d.mesh.surface(), &tensors, &d.hold, &[]);
    let found = field.arrival(&gates(&d.feeds, &d.vents), 5);
    let (mut fast, mut other) = (Vec::new(), Vec::new());
    for (i, (&quick, &slow)) in found.at.iter().zip(&slow).enumerate() {
        if !d.vents.contains(&(i as u32)) {
            assert!(quick.is_finite() && slow.is_finite(), "{i}");
            fast.push(quick);
            other.push(slow);
        }
    }
    let off = rms(&fast, other.iter().copied()) / found.time;
    let most = other.iter().copied().fold(0.0, f64::max);
    println!(
        "shape {seed}: {} points, {} feeds, {} vents, rms {:.2} %, last {:+.2} %",
        d.mesh.points.len(),
        d.feeds.len(),
        d.vents.len(),
        100.0 * off,
        100.0 * (most / found.time - 1.0)
    );
    let end = most / found.time - 1.0;
    assert!(end > -ENDS.0 && end < ENDS.1, "shape {seed}: {end}");
    off
}

#[test]
fn any_shape_fills_as_a_slow_fill_has_it() {
    let wrong: Vec<(u64, f64)> = (0..12)
        .map(|seed| (seed, compare(seed)))
        .filter(|(_, off)| *off > MOST)
        .collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}
