//! Drying against outside integrations, and the narrowing by weighings over ovens made up for it.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

#[path = "drying/ovens.rs"]
mod ovens;

use bastwork::law::weighings::{Narrowed, narrow};
use ovens::{Draws, Made, make};

/// How often the true end lay in the band, and how wide the band is against the one before.
struct Score {
    held: usize,
    before: usize,
    of: usize,
    surprising: usize,
    doubtful: usize,
    ratios: Vec<f64>,
    slowest_ms: f64,
    total_ms: f64,
}

impl Score {
    fn median(&mut self) -> f64 {
        self.ratios.sort_by(f64::total_cmp);
        self.ratios[self.ratios.len() / 2]
    }
}

fn score(seed: u32, ovens: usize, by_layers: bool, places: &[(f64, f64)]) -> Score {
    let mut draws = Draws::new(seed);
    let mut score = Score {
        held: 0,
        before: 0,
        of: ovens,
        surprising: 0,
        doubtful: 0,
        ratios: Vec::new(),
        slowest_ms: 0.0,
        total_ms: 0.0,
    };
    let inside = |told: &Narrowed, made: &Made| told.end[0] <= made.end && made.end <= told.end[2];
    for _ in 0..ovens {
        let made = make(&mut draws, by_layers);
        let weighings: Vec<_> = places
            .iter()
            .map(|&(low, high)| {
                let time = made.end * draws.between(low, high);
                made.weighed(&mut draws, time)
            })
            .collect();
        let before = narrow(&made.ranges, &[], made.target, 1e-3).unwrap();
        let clock = std::time::Instant::now();
        let after = narrow(&made.ranges, &weighings, made.target, 1e-3).unwrap();
        let took = clock.elapsed().as_secs_f64() * 1e3;
        score.slowest_ms = score.slowest_ms.max(took);
        score.total_ms += took;
        score.held += usize::from(inside(&after, &made));
        score.before += usize::from(inside(&before, &made));
        if !by_layers && places.len() == 5 {
            let worst = weighings
                .iter()
                .zip(&after.fitted)
                .map(|(w, f)| ((w.mass - f) / (1e-3 * w.mass)).abs())
                .fold(0.0, f64::max);
            let first = (weighings[0].mass - after.fitted[0]) / (1e-3 * weighings[0].mass);
            if worst > 15.0 {
                println!(
                    "P {:?} {:?} fit {:?} end {:?} {:?} now {:?} dm {:?}\nTRUE {} {}",
                    made.ranges,
                    weighings,
                    after.fitted,
                    made.end,
                    after.end,
                    after.now,
                    after.dry_mass,
                    made.dry_mass,
                    made.told()
                );
            }
            println!(
                "O {worst:.2} {first:.2} {} {}",
                after.surprising,
                u8::from(!after.doubtful.is_empty())
            );
        }
        score.surprising += usize::from(after.surprising);
        score.doubtful += usize::from(!after.doubtful.is_empty());
        let width = |told: &Narrowed| told.end[2] - told.end[0];
        score.ratios.push(width(&after) / width(&before));
    }
    score
}

const THREE: [(f64, f64); 3] = [(0.0, 0.0), (0.10, 0.35), (0.35, 0.60)];

#[test]
fn look() {
    for seed in [11] {
        for by_layers in [false, true] {
            for (n, places) in [
                (2, vec![(0.0, 0.0), (0.2, 0.5)]),
                (3, THREE.to_vec()),
                (
                    5,
                    vec![(0.0, 0.0), (0.1, 0.3), (0.2, 0.4), (0.3, 0.5), (0.4, 0.6)],
                ),
            ] {
                let mut s = score(seed, 1000, by_layers, &places);
                let m = s.median();
                println!(
                    "seed {seed} layers {by_layers} n {n}: held {}/{} before {} surprising {} doubtful {} ratio {:.3} ms {:.2} max {:.2}",
                    s.held,
                    s.of,
                    s.before,
                    s.surprising,
                    s.doubtful,
                    m,
                    s.total_ms / s.of as f64,
                    s.slowest_ms
                );
            }
        }
    }
}
