//! The places against a slow search that floods what is dry at every moment, on fields that mean nothing.

use super::*;

/// Numbers that repeat: a linear congruence (Numerical Recipes).
struct Draws(u64);

impl Draws {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn below(&mut self, most: usize) -> usize {
        (self.next() * most as f64) as usize % most
    }
}

fn grid(wide: usize, high: usize, hole: impl Fn(usize, usize) -> bool) -> Triangles {
    let mut corners = Vec::new();
    for y in 0..high - 1 {
        for x in 0..wide - 1 {
            if hole(x, y) {
                continue;
            }
            let at = |dx, dy| ((y + dy) * wide + x + dx) as u32;
            corners.push([at(0, 0), at(1, 0), at(1, 1)]);
            corners.push([at(0, 0), at(1, 1), at(0, 1)]);
        }
    }
    let points = (0..wide * high).map(|i| [(i % wide) as f64, (i / wide) as f64, 0.0]);
    Triangles {
        points: points.collect(),
        corners,
    }
}

/// Floods what is still dry after `time` from a point; and whether a dry vent is in it.
fn flood(
    surface: &Triangles,
    minutes: &[f64],
    vents: &[bool],
    from: usize,
    time: f64,
) -> (Vec<usize>, bool) {
    let mut wet: Vec<bool> = minutes.iter().map(|&t| t <= time).collect();
    wet[from] = true;
    let mut reached = vec![from];
    let mut grew = true;
    while grew {
        grew = false;
        for corners in &surface.corners {
            if corners.iter().any(|&c| reached.contains(&(c as usize))) {
                for &c in corners {
                    if !std::mem::replace(&mut wet[c as usize], true) {
                        reached.push(c as usize);
                        grew = true;
                    }
                }
            }
        }
    }
    let airy = reached.iter().any(|&i| vents[i]);
    (reached, airy)
}

/// Every point that is the last of a dry place without a vent, with the earliest moment from which it is so.
fn slow(surface: &Triangles, minutes: &[f64], vents: &[bool]) -> Vec<(usize, f64)> {
    let used: Vec<usize> = (0..minutes.len())
        .filter(|&i| minutes[i] > 0.0 && surface.corners.iter().flatten().any(|&c| c as usize == i))
        .collect();
    let most = minutes.iter().copied().fold(0.0, f64::max);
    let mut times: Vec<f64> = used.iter().map(|&i| minutes[i]).collect();
    times.push(0.0);
    times.sort_by(f64::total_cmp);
    let mut found = Vec::new();
    for &last in &used {
        let mut since = None;
        for &time in times.iter().filter(|&&time| time < minutes[last]) {
            let (place, airy) = flood(surface, minutes, vents, last, time);
            let is_last = place.iter().all(|&i| minutes[i] <= minutes[last]);
            if is_last && !airy {
                // One place without any vent is not told for itself.
                let everything = time == 0.0 && place.len() == used.len();
                since = (!everything).then_some(time);
                break;
            }
        }
        // What the front crosses within one cell of it is no place.
        let around = surface
            .corners
            .iter()
            .filter(|c| c.contains(&(last as u32)));
        let first = around
            .flatten()
            .map(|&c| minutes[c as usize])
            .fold(f64::INFINITY, f64::min);
        if let Some(time) = since
            && minutes[last] - time > STAYS * most
            && (time == 0.0 || time < first)
        {
            found.push((last, time));
        }
    }
    found
}

fn compare(surface: &Triangles, minutes: &[f64], vents: &[Vec<u32>], what: &str) -> usize {
    let mut is_vent = vec![false; minutes.len()];
    for i in vents.iter().flatten() {
        is_vent[*i as usize] = true;
    }
    let holds = vec![1.0; minutes.len()];
    let mut told: Vec<(usize, f64)> = pockets(surface, minutes, &holds, vents)
        .iter()
        .map(|pocket| {
            let (place, _) = flood(surface, minutes, &is_vent, pocket.at, pocket.closes);
            assert_eq!(pocket.store, place.len() as f64, "{what}");
            (pocket.at, pocket.closes)
        })
        .collect();
    let mut wanted = slow(surface, minutes, &is_vent);
    told.sort_by_key(|(at, _)| *at);
    wanted.sort_by_key(|(at, _)| *at);
    assert_eq!(told, wanted, "{what}");
    told.len()
}

#[test]
fn a_slow_flood_finds_the_same_places() {
    let mut draws = Draws(7);
    let mut seen = 0;
    for round in 0..48 {
        let (wide, high) = (6 + draws.below(3), 6 + draws.below(3));
        // A rectangle, an L and a ring in turn.
        let surface = grid(wide, high, |x, y| match round % 3 {
            0 => false,
            1 => x > wide / 2 && y > high / 2,
            _ => x.abs_diff(wide / 2) < 2 && y.abs_diff(high / 2) < 2,
        });
        // A bumpy field, rough or smooth, with feeds at nought: now and then a wall of them.
        let waves: Vec<[f64; 4]> = (0..3)
            .map(|_| [draws.next(), draws.next(), draws.next() * 6.0, draws.next()])
            .collect();
        let rough = if round % 2 == 0 { 0.02 } else { 0.5 };
        let wall = (round % 4 == 0).then(|| draws.below(wide));
        let minutes: Vec<f64> = (0..wide * high)
            .map(|i| {
                let (x, y) = ((i % wide) as f64, (i / wide) as f64);
                let wave: f64 = waves
                    .iter()
                    .map(|[a, b, c, d]| d * (a * x + b * y + c).sin())
                    .sum();
                if wall == Some(i % wide) || draws.next() < 0.03 {
                    0.0
                } else {
                    4.0 + wave + rough * draws.next()
                }
            })
            .collect();
        let vents: Vec<Vec<u32>> = (0..draws.below(4))
            .map(|_| vec![draws.below(wide * high) as u32])
            .collect();
        seen += compare(&surface, &minutes, &vents, &format!("round {round}"));
    }
    assert!(seen > 20, "{seen}");
}
