//! The drawn fill: the time alone and the whole map, from a thousand to two hundred thousand triangles, and 60 layouts.

use bastwork::law::front_map::LEVELS;
use bastwork::solve::front::{Field, Gates};
use bastwork::solve::surface::Triangles;
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

/// An L of about so many triangles, its inner points shaken and its cells cut by either diagonal.
fn ell(count: usize) -> (Triangles, Vec<u32>) {
    // A cast of a small root.
    let side = ((count as f64 / 1.5).sqrt().round() as usize).max(4) / 2 * 2;
    let step = 0.6 / side as f64;
    let mut seed = 7_u64;
    let mut draw = || {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as f64 / (1_u64 << 31) as f64
    };
    let mut points = Vec::new();
    for i in 0..=side {
        for j in 0..=side {
            let inner = i > 0 && i < side && j > 0 && j < side && i != side / 2 && j != side / 2;
            let mut shake = || if inner { 0.5 * (draw() - 0.5) } else { 0.0 };
            let (x, y) = (i as f64 + shake(), j as f64 + shake());
            points.push([x * step, y * step, 0.0]);
        }
    }
    let at = |i: usize, j: usize| (i * (side + 1) + j) as u32;
    let mut corners = Vec::new();
    for i in 0..side {
        for j in (0..side).filter(|&j| i < side / 2 || j < side / 2) {
            let (a, b, c, d) = (at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1));
            if draw() < 0.5 {
                corners.extend([[a, b, c], [a, c, d]]);
            } else {
                corners.extend([[a, b, d], [b, c, d]]);
            }
        }
    }
    let feeds = (0..=side as u32).collect();
    let surface = Triangles { points, corners };
    (surface, feeds)
}

const COUNTS: [usize; 5] = [1_000, 3_000, 10_000, 50_000, 200_000];

/// Everything from the triangles to the time.
#[divan::bench(args = COUNTS, sample_count = 5)]
fn time_to_fill(bencher: Bencher<'_, '_>, count: usize) {
    let (surface, feeds) = ell(count);
    let gates = Gates {
        feeds: &feeds,
        vents: &[],
    };
    bencher.bench_local(|| Field::even(black_box(&surface), 1.0, 1.0).fill(&gates).time);
}

/// Everything from the triangles to the map.
#[divan::bench(args = COUNTS, sample_count = 5)]
fn map(bencher: Bencher<'_, '_>, count: usize) {
    let (surface, feeds) = ell(count);
    let gates = Gates {
        feeds: &feeds,
        vents: &[],
    };
    bencher.bench_local(|| {
        Field::even(black_box(&surface), 1.0, 1.0)
            .arrival(&gates, LEVELS)
            .time
    });
}

/// Sixty feeds on one part of 5,000 triangles.
#[divan::bench(sample_count = 5)]
fn sixty_layouts(bencher: Bencher<'_, '_>) {
    let (surface, feeds) = ell(5_000);
    let mut field = Field::even(&surface, 1.0, 1.0);
    bencher.bench_local(|| {
        (0..60)
            .map(|k| {
                let gates = Gates {
                    feeds: &feeds[k % feeds.len()..],
                    vents: &[],
                };
                field.fill(&gates).time
            })
            .sum::<f64>()
    });
}
