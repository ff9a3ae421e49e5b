//! The narrowing of drying by weighings over ovens made up for it; drying against outside integrations stands in `laws`.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

#[path = "drying/laws.rs"]
mod laws;
#[path = "drying/ovens.rs"]
mod ovens;

use bastwork::law::weighings::{Narrowed, WIDENED, Weighing, narrow};
use ovens::{Draws, Made, make};

/// How often the true end lay in the band, and how wide the band is against the one before.
struct Score {
    held: usize,
    before: usize,
    of: usize,
    surprising: usize,
    doubtful: usize,
    ratios: Vec<f64>,
    total_ms: f64,
}

impl Score {
    /// The median ratio of the widths of the bands, and a line with all counts.
    fn told(&mut self, what: &str) -> f64 {
        self.ratios.sort_by(f64::total_cmp);
        let median = self.ratios[self.ratios.len() / 2];
        println!(
            "{what}: {} of {} held, {} before; {} surprising, {} with a doubtful one; {median:.2} as wide, {:.2} at equal widening; {:.1} ms",
            self.held,
            self.of,
            self.before,
            self.surprising,
            self.doubtful,
            median / WIDENED,
            self.total_ms / self.of as f64
        );
        median
    }
}

/// Weighs many ovens at shares of their true time, each drawn between two.
fn score(seed: u32, ovens: usize, by_layers: bool, places: &[(f64, f64)]) -> Score {
    let mut draws = Draws::new(seed);
    let mut score = Score {
        held: 0,
        before: 0,
        of: ovens,
        surprising: 0,
        doubtful: 0,
        ratios: Vec::new(),
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
        score.total_ms += took;
        score.held += usize::from(inside(&after, &made));
        score.before += usize::from(inside(&before, &made));
        score.surprising += usize::from(after.surprising);
        score.doubtful += usize::from(!after.doubtful.is_empty());
        let width = |told: &Narrowed| told.end[2] - told.end[0];
        score.ratios.push(width(&after) / width(&before));
    }
    score
}

const TWO: [(f64, f64); 2] = [(0.0, 0.0), (0.10, 0.60)];
const THREE: [(f64, f64); 3] = [(0.0, 0.0), (0.10, 0.60), (0.10, 0.60)];
const FIVE: [(f64, f64); 5] = [
    (0.0, 0.0),
    (0.10, 0.60),
    (0.10, 0.60),
    (0.10, 0.60),
    (0.10, 0.60),
];
/// The last one shortly before the end.
const LATE: [(f64, f64); 4] = [(0.0, 0.0), (0.2, 0.4), (0.4, 0.6), (0.8, 0.95)];

#[test]
fn three_weighings_hold_the_true_end_in_nine_of_ten() {
    let mut score = score(2024, 1000, false, &THREE);
    let ratio = score.told("three weighings");
    assert!(score.held >= 900, "{}", score.held);
    assert!(ratio < WIDENED * 0.85, "{ratio}");
    assert!(score.surprising <= 20, "{}", score.surprising);
    assert!(score.doubtful <= 20, "{}", score.doubtful);
}

#[test]
fn two_and_five_weighings_hold_it_too() {
    let mut two = score(2025, 1000, false, &TWO);
    let wide = two.told("two weighings");
    let mut five = score(2026, 1000, false, &FIVE);
    let narrow = five.told("five weighings");
    assert!(
        two.held >= 900 && five.held >= 900,
        "{} {}",
        two.held,
        five.held
    );
    assert!(
        narrow < 0.9 * wide && narrow < 0.75 * WIDENED,
        "{narrow} {wide}"
    );
}

#[test]
fn a_late_weighing_narrows_most() {
    let mut late = score(2027, 400, false, &LATE);
    let ratio = late.told("four weighings, the last one late");
    assert!(late.held >= 360, "{}", late.held);
    assert!(ratio < 0.5 * WIDENED, "{ratio}");
}

#[test]
fn stacks_followed_ply_by_ply_are_held_as_well() {
    // The law has one regain for the whole stack; these have their outer plies ahead.
    let mut score = score(2028, 400, true, &THREE);
    score.told("three weighings, in layers");
    assert!(score.held >= 350, "{}", score.held);
}

#[test]
fn a_mistyped_weighing_is_found_and_does_not_lead() {
    let mut draws = Draws::new(77);
    let (mut found, mut only, mut held, all) = (0, 0, 0, 300);
    for _ in 0..all {
        let made = make(&mut draws, false);
        let mut weighings: Vec<Weighing> = [0.0, 0.2, 0.35, 0.5, 0.6, 0.75]
            .map(|share| made.weighed(&mut draws, share * made.end))
            .into();
        let slip = (draws.between(0.0, 6.0) as usize).min(5);
        weighings[slip].mass *= if draws.chance(0.5) { 1.09 } else { 0.91 };
        let told = narrow(&made.ranges, &weighings, made.target, 1e-3).unwrap();
        found += usize::from(told.doubtful.contains(&slip));
        only += usize::from(told.doubtful == [slip]);
        held += usize::from(told.end[0] <= made.end && made.end <= told.end[2]);
    }
    println!("mistyped: found {found}, alone {only}, end held {held} of {all}");
    assert!(found * 100 >= all * 95, "{found}");
    assert!(only * 100 >= all * 85, "{only}");
    assert!(held * 100 >= all * 85, "{held}");
}

#[test]
fn a_course_of_no_oven_is_surprising() {
    let mut draws = Draws::new(78);
    let (mut tray, mut wetter, all) = (0, 0, 100);
    for _ in 0..all {
        let made = make(&mut draws, false);
        let weighings = [0.0, 0.3, 0.6].map(|share| made.weighed(&mut draws, share * made.end));
        // A tray as heavy as half the cloth was forgotten; then a cloth that gains what it should lose.
        let heavier = weighings.map(|w| Weighing {
            mass: w.mass + 0.5 * made.dry_mass,
            ..w
        });
        let told = narrow(&made.ranges, &heavier, made.target, 1e-3).unwrap();
        tray += usize::from(told.surprising);
        let gains = weighings.map(|w| Weighing {
            mass: 2.0 * weighings[0].mass - w.mass + 0.05 * made.dry_mass * w.time / made.end,
            ..w
        });
        let told = narrow(&made.ranges, &gains, made.target, 1e-3).unwrap();
        wetter += usize::from(told.surprising || !told.doubtful.is_empty());
    }
    println!("surprising: tray {tray}, gaining {wetter} of {all}");
    assert!(tray >= 95 && wetter >= 90, "{tray} {wetter}");
}

#[test]
fn the_band_meets_one_made_of_weighted_draws() {
    // The same question answered without slopes: many ovens out of the ranges, each counted by how well it explains the
    // weighings. Its band is the plain one, so ours is taken back by its widening, in the logarithm.
    let mut draws = Draws::new(31);
    let mut seen = 0;
    while seen < 6 {
        let made = make(&mut draws, false);
        let weighings = [0.0, 0.25, 0.55].map(|share| made.weighed(&mut draws, share * made.end));
        let told = narrow(&made.ranges, &weighings, made.target, 1e-3).unwrap();
        let (band, count) = ovens::weighted(&mut draws, &made, &weighings, 15_000);
        if count < 100.0 {
            // Too few of the draws come near these weighings to tell anything.
            continue;
        }
        seen += 1;
        let plain = |side: f64| told.end[1] * (side / told.end[1]).powf(1.0 / WIDENED);
        let ours = [plain(told.end[0]), told.end[1], plain(told.end[2])];
        println!("{ours:.0?} s by slopes, {band:.0?} s by draws, {count:.0} of which count");
        // The likeliest oven is not the median one where the band is skewed: that costs part of a standard deviation.
        let deviation = (band[2] / band[0]).ln() / 2.563;
        for (ours, drawn) in ours.into_iter().zip(band) {
            let apart = (ours / drawn).ln().abs();
            assert!(apart < 0.8 * deviation, "{ours} {drawn}");
        }
    }
}
