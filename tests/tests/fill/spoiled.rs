//! Meshes that are spoiled: folded over, stretched a hundredfold, joined to the wrong corners. Whatever comes of them, no place
//! is wet before the feed opens.

use crate::meshes::Draws;
use bastwork::law::front_map::{Bed, FrontMap};
use bastwork::solve::surface::Triangles;

const BED: Bed = Bed {
    permeability: 1e-10,
    porosity: 0.5,
    thickness: 3e-3,
};

/// A grid whose inner points were thrown about, with some triangles joined to any corner at all.
fn spoiled(seed: u64) -> (Triangles, Vec<u32>) {
    let mut draws = Draws(seed);
    let pick = |draws: &mut Draws, count: usize| {
        (draws.between(0.0, count as f64) as usize).min(count - 1)
    };
    let side = 4 + pick(&mut draws, 5);
    let thrown = [0.2, 0.6, 1.2, 3.0][pick(&mut draws, 4)];
    let stretch = [1.0, 1.0, 10.0, 100.0][pick(&mut draws, 4)];
    let mut points = Vec::new();
    for i in 0..=side {
        for k in 0..=side {
            let inner = i % side != 0 && k % side != 0;
            let mut off = || {
                if inner {
                    draws.between(-thrown, thrown)
                } else {
                    0.0
                }
            };
            points.push([
                0.1 * stretch * (i as f64 + off()),
                0.1 * (k as f64 + off()),
                0.0,
            ]);
        }
    }
    let mut corners = Vec::new();
    for i in 0..side {
        for k in 0..side {
            let a = (i * (side + 1) + k) as u32;
            let b = a + side as u32 + 1;
            if draws.chance(0.5) {
                corners.extend([[a, b, b + 1], [a, b + 1, a + 1]]);
            } else {
                corners.extend([[a, b, a + 1], [b, b + 1, a + 1]]);
            }
        }
    }
    for _ in 0..pick(&mut draws, 4) {
        let (face, corner) = (pick(&mut draws, corners.len()), pick(&mut draws, 3));
        corners[face][corner] = pick(&mut draws, points.len()) as u32;
    }
    let feeds = (0..=pick(&mut draws, 4)).map(|_| pick(&mut draws, points.len()) as u32);
    let feeds = feeds.collect();
    (Triangles::new(points, corners).unwrap(), feeds)
}

#[test]
fn no_place_is_wet_before_the_feed_opens() {
    let mut worked = 0;
    for seed in 0..400 {
        let (surface, feeds) = spoiled(seed);
        let Ok(mut map) = FrontMap::even(&surface, &BED) else {
            continue;
        };
        let gates = map.gates(&feeds, &[]).unwrap();
        let (Ok(filled), Ok(arrival)) = (
            map.fill_time(&gates, 0.3, 9e4),
            map.arrival(&gates, 0.3, 9e4),
        ) else {
            continue;
        };
        worked += 1;
        for (i, &t) in arrival.iter().enumerate() {
            assert!(t.is_nan() || t >= 0.0, "mesh {seed}: point {i} after {t} s");
        }
        assert!(
            filled.time.is_nan() || filled.time >= 0.0,
            "mesh {seed}: {}",
            filled.time
        );
    }
    assert!(worked > 350, "only {worked} of 400");
}
