use super::*;

/// A rectangle of cells, each cut by one diagonal or the other, its inner points shaken.
fn sheet(nx: usize, ny: usize, lx: f64, ly: f64) -> Triangles {
    let mut seed = 12345_u64;
    let mut next = || {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as f64 / (1_u64 << 31) as f64
    };
    let mut points = Vec::new();
    for i in 0..=nx {
        for j in 0..=ny {
            let inner = i > 0 && i < nx && j > 0 && j < ny;
            let mut shake = || if inner { 0.5 * (next() - 0.5) } else { 0.0 };
            let (sx, sy) = (shake(), shake());
            points.push([
                (i as f64 + sx) * lx / nx as f64,
                (j as f64 + sy) * ly / ny as f64,
                0.0,
            ]);
        }
    }
    let at = |i: usize, j: usize| (i * (ny + 1) + j) as u32;
    let mut corners = Vec::new();
    for i in 0..nx {
        for j in 0..ny {
            let (a, b, c, d) = (at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1));
            if next() < 0.5 {
                corners.extend([[a, b, c], [a, c, d]]);
            } else {
                corners.extend([[a, b, d], [b, c, d]]);
            }
        }
    }
    Triangles::new(points, corners).unwrap()
}

fn left(surface: &Triangles) -> Vec<u32> {
    (0..surface.points.len() as u32)
        .filter(|&i| surface.points[i as usize][0] < 1e-9)
        .collect()
}

#[test]
fn a_strip_fills_by_the_square_of_its_length() {
    let surface = sheet(80, 20, 0.5, 0.125);
    let feeds = left(&surface);
    let gates = Gates {
        feeds: &feeds,
        vents: &[],
    };
    let mut field = Field::even(&surface, 1.0, 1.0);
    assert_eq!(field.backward(), 0);
    let filled = field.fill(&gates);
    assert!((filled.time / 0.125 - 1.0).abs() < 2e-4, "{}", filled.time);
    let found = field.arrival(&gates, 6);
    let squares: f64 = surface
        .points
        .iter()
        .zip(&found.at)
        .map(|(p, t)| (t - p[0] * p[0] / 2.0).powi(2))
        .sum();
    let rms = (squares / found.at.len() as f64).sqrt() / 0.125;
    assert!(rms < 4e-3, "{rms}");
}

#[test]
fn what_is_taken_up_is_what_came_in() {
    let surface = sheet(40, 30, 0.4, 0.3);
    let vents: Vec<u32> = (0..surface.points.len() as u32)
        .filter(|&i| {
            let p = surface.points[i as usize];
            p[1] > 0.3 - 1e-9 && (p[0] - 0.2).abs() < 0.05
        })
        .collect();
    let feeds = left(&surface);
    let mut field = Field::even(&surface, 2.0, 0.7);
    let gates = Gates {
        feeds: &feeds,
        vents: &vents,
    };
    let mut smaller = vec![false; surface.points.len()];
    for share in [0.1, 0.4, 0.7, 0.95] {
        let time = field.fill(&gates).time * share;
        let wet = field.wet_at(&gates, time);
        let balance = wet.inflow - wet.outflow - wet.filled;
        assert!(
            balance.abs() < 1e-8 * wet.filled,
            "{balance} {}",
            wet.filled
        );
        assert!(wet.u.iter().all(|&u| u >= 0.0));
        assert!(smaller.iter().zip(&wet.wet).all(|(a, b)| *b || !a));
        smaller = wet.wet;
    }
}

#[test]
fn what_no_feed_reaches_is_never_wet() {
    let mut surface = sheet(4, 4, 1.0, 1.0);
    let far = surface.points.len() as u32;
    surface
        .points
        .extend([[5.0, 0.0, 0.0], [6.0, 0.0, 0.0], [5.0, 1.0, 0.0], [9.0; 3]]);
    surface.corners.push([far, far + 1, far + 2]);
    let feeds = left(&surface);
    let found = Field::even(&surface, 1.0, 1.0).arrival(
        &Gates {
            feeds: &feeds,
            vents: &[],
        },
        4,
    );
    assert!(found.at[far as usize].is_nan() && found.at[far as usize + 3].is_nan());
    assert_eq!(found.at.iter().filter(|t| t.is_nan()).count(), 4);
}

#[test]
fn a_second_line_that_opens_when_reached_starts_the_clock_of_its_own_half() {
    // A strip with a second feed line in the middle: each half takes L^2 / 8, one after the other.
    let surface = sheet(80, 10, 1.0, 0.125);
    let feeds = left(&surface);
    let middle = Turn {
        points: (0..surface.points.len() as u32)
            .filter(|&i| (surface.points[i as usize][0] - 0.5).abs() < 0.004)
            .collect(),
    };
    assert!(!middle.points.is_empty());
    let gates = Gates {
        feeds: &feeds,
        vents: &[],
    };
    let mut field = Field::even(&surface, 1.0, 1.0);
    let found = field.arrival_in_turn(&gates, &[middle], 8);
    assert!((found.opened[0] - 0.125).abs() < 4e-3, "{:?}", found.opened);
    assert!((found.time - 0.25).abs() < 6e-3, "{}", found.time);
    for (p, t) in surface.points.iter().zip(&found.at) {
        let exact = if p[0] < 0.5 {
            p[0] * p[0] / 2.0
        } else {
            0.125 + (p[0] - 0.5).powi(2) / 2.0
        };
        assert!((t - exact).abs() < 0.012, "{} {t} {exact}", p[0]);
    }
}

/// Meshes as people draw and stretch them: some points pulled onto one spot, or nearly, and the whole drawn out.
#[test]
fn points_pulled_onto_one_spot_and_stretched_meshes_do_no_harm() {
    let mut seed = 99_u64;
    let mut draw = || {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as f64 / (1_u64 << 31) as f64
    };
    for turn in 0..250 {
        let (nx, ny) = (3 + (draw() * 7.0) as usize, 3 + (draw() * 7.0) as usize);
        let mut surface = sheet(nx, ny, 1.0, 1.0);
        let count = surface.points.len();
        for _ in 0..(draw() * 4.0) as usize {
            let spot = surface.points[(draw() * count as f64) as usize];
            let (reach, near) = (
                draw() * 0.6,
                [0.0, 1e-16, 1e-12, 1e-6][(draw() * 4.0) as usize],
            );
            let snap = draw() < 0.3;
            for p in &mut surface.points {
                if (p[0] - spot[0]).hypot(p[1] - spot[1]) < reach {
                    for k in 0..2 {
                        p[k] = spot[k] + near * (p[k] - spot[k]);
                    }
                    if snap {
                        p[0] = spot[0];
                    }
                }
            }
        }
        // Some points on a lattice so coarse that triangles lose their area.
        if draw() < 0.3 {
            for p in &mut surface.points {
                *p = p.map(|x| (x * 4.0).round() / 4.0);
            }
        }
        let (along, across) = (10_f64.powf(draw() * 4.0), 10_f64.powf(draw() * 2.0));
        for p in &mut surface.points {
            *p = [p[0] * along, p[1], p[1] * across];
        }
        let Ok(surface) = Triangles::new(surface.points, surface.corners) else {
            continue;
        };
        let ratio = 10_f64.powf(draw() * 3.0);
        let tensor = Tensor {
            along: [draw() - 0.5, draw() - 0.5, draw() - 0.5],
            first: ratio,
            second: 1.0,
        };
        let triangles = surface.corners.len();
        let mut field = Field::new(
            &surface,
            &vec![tensor; triangles],
            &vec![1.0; triangles],
            &[],
        );
        let feeds: Vec<u32> = (0..1 + (draw() * 3.0) as usize)
            .map(|_| (draw() * count as f64) as u32)
            .collect();
        let vents = [(draw() * count as f64) as u32];
        for vents in [&[][..], &vents] {
            let gates = Gates {
                feeds: &feeds,
                vents,
            };
            let (filled, found) = (field.fill(&gates), field.arrival(&gates, 4));
            assert!(
                filled.time.is_finite() && filled.time >= 0.0,
                "{turn}: {}",
                filled.time
            );
            assert_eq!(filled.time, found.time, "{turn}");
            for (t, bound) in found.at.iter().zip(&filled.bound) {
                let known =
                    *t >= 0.0 && *t <= filled.time * (1.0 + 1e-9) && *t <= bound * (1.0 + 1e-9);
                assert!(
                    t.is_nan() || known || !vents.is_empty(),
                    "{turn}: {t} {bound} {}",
                    filled.time
                );
            }
        }
    }
}
