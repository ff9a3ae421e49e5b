//! How much each course is worth, and how large the leak can be whatever vapour does.

use super::Fit;
use super::courses::{Solved, at_pace, straight, with_rate};
use super::log::Log;
use super::pace::{Line, Pace, STRETCHED, Shape, times};
use super::{Course, courses};
use crate::solve::Z90;
use crate::solve::sort::sort_by;
use statrs::distribution::{ContinuousCDF, Normal};

/// Points that stand for a distribution, each a value and its weight.
pub(super) type Points = Vec<(f64, f64)>;

/// A pace with the best that `Both` makes of it.
type Tried = (Pace, Solved);

/// By how many times the slower of two stores of vapour is slower (our judgement).
const SLOWER: [f64; 5] = [2.5, 4.0, 6.5, 10.0, 16.0];
/// What a bag that warms or cools unnoticed makes of its vapour, as a share of it: 0.065 a kelvin, and 0.2 kelvin (our
/// judgement).
const WARMING: f64 = 0.013;
/// How far real vapour strays from every course that is tried, as a share of its rise (our judgement).
const MISFIT: f64 = 0.02;
/// Points in a distribution of the leak.
const NODES: usize = 25;
/// Drop of likelihood at which a distribution is cut off: exp(-8).
const CUT: f64 = 16.0;

/// What the readings say about the courses, on the log's scale.
pub(super) struct Evidence {
    /// Best fit of each course.
    pub(super) fits: Vec<Fit>,
    /// Shares by the criterion for few readings.
    pub(super) shares: [f64; 3],
    /// Shares without its correction, which is prudence and not evidence.
    pub(super) plain: [f64; 3],
    /// Rise over the record by a leak, when it is a leak alone.
    alone: Points,
    /// The same when it is both.
    beside: Points,
    /// The same beside vapour of any shape.
    pub(super) any_shape: Points,
    /// How surely it is not zero then, from the likelihood alone.
    pub(super) not_none: f64,
    /// Rise that ends and pressure at rest, over the courses that have one.
    pub(super) rise: Points,
    pub(super) rest: Points,
    /// Scatter about the most flexible course.
    pub(super) scatter: f64,
}

impl Evidence {
    pub(super) fn of(log: &Log) -> Self {
        let line = Line::of(log);
        let fits: Vec<Fit> = Course::ALL
            .map(|course| courses::through(course, log, &line))
            .into();
        let (simple, paces) = tried(log, &line);
        let n = log.len() as f64;
        let two = log.unit * log.unit;
        let least = paces
            .iter()
            .map(|(_, solved)| solved.squares)
            .fold(fits[2].squares / two, f64::min);
        let scatter = (least / (n - 4.0).max(1.0)).sqrt().max(log.floor());
        let runs = like_runs(log, &fits[2]);
        // Few readings know their own scatter badly; readings that go together count as fewer.
        let variance = scatter * scatter * runs * (1.0 + 2.0 / (n - 4.0).max(1.0));
        let [shares, plain] = [true, false].map(|corrected| {
            let of = |fit: &Fit| worth(log, fit, runs, corrected);
            shares(fits.iter().map(of))
        });
        let unseen = unseen(log, &fits[2]);
        let alone = {
            let best = straight(&line, 0.0).rate;
            let spread = (variance / (line.uu - line.u * line.u / n).max(1e-12)).sqrt();
            along(best, |rate| ((rate - best) / spread).powi(2))
        };
        let (beside, _) = profile(log, &line, &simple, variance);
        let (any_shape, z) = profile(log, &line, &paces, variance);
        // So many of its spreads is the likeliest leak off none, what goes unseen counted.
        let best = nearest(&paces).map_or(0.0, |(_, solved)| solved.rate);
        let z = z / (1.0 + (z * unseen / best.max(1e-12)).powi(2)).sqrt();
        // A stretched rise is reckoned with where the criterion pays for it.
        let stretched = fits.iter().any(|fit| fit.stretch < 1.0);
        let some = if stretched {
            simple.len()
        } else {
            times(log.len()).count()
        };
        let (rise, rest) = ends(log, &line, &simple[..some], variance, shares);
        Self {
            fits,
            shares,
            plain,
            alone: loosened(&alone, unseen),
            beside: loosened(&beside, unseen),
            any_shape: loosened(&any_shape, unseen),
            not_none: Normal::standard().cdf(z),
            rise,
            rest,
            scatter,
        }
    }

    /// The leak over all courses with these shares: points of the rise it makes over the record.
    pub(super) fn leak(&self, shares: [f64; 3]) -> Points {
        let part = |points: &Points, share: f64| -> Points {
            points.iter().map(|(x, w)| (*x, w * share)).collect()
        };
        let mut all = part(&self.alone, shares[0]);
        all.push((0.0, shares[1]));
        all.extend(part(&self.beside, shares[2]));
        all
    }
}

/// What `Both` makes of every pace: of one store and of many, and of these with a slab and two stores.
fn tried(log: &Log, line: &Line) -> (Vec<Tried>, Vec<Tried>) {
    let at = |pace: Pace| (pace, at_pace(Course::Both, log, line, &pace));
    let one = times(log.len()).map(|time| Pace::of(log, Shape::Exponential, time));
    let some = || times(log.len()).step_by(2);
    let many =
        some().flat_map(|time| STRETCHED.map(|power| Pace::of(log, Shape::Stretched(power), time)));
    let simple: Vec<Tried> = one.chain(many).map(at).collect();
    let other = times(log.len()).flat_map(|time| {
        let slab = std::iter::once(Pace::of(log, Shape::Slab, time));
        slab.chain(SLOWER.map(|slower| Pace::twofold(log, time, slower)))
    });
    let all = simple.iter().copied().chain(other.map(at)).collect();
    (simple, all)
}

/// What a fit is worth by Akaike's criterion, and by how likely its start leaves room for its rise.
fn worth(log: &Log, fit: &Fit, runs: f64, corrected: bool) -> f64 {
    let n = log.len() as f64;
    let squares = (fit.squares / (log.unit * log.unit)).max(n * log.floor().powi(2));
    let k = fit.parameters as f64;
    let spare = n - k - 1.0;
    let few = if corrected && spare >= 1.0 {
        2.0 * k * (k + 1.0) / spare
    } else if corrected {
        1e3
    } else {
        0.0
    };
    let room = log.room_for((fit.start - log.mean) / log.unit, fit.rise / log.unit);
    n * (squares / n).ln() / runs + 2.0 * k + few - 2.0 * room.ln()
}

/// Rise over the record that no course explains and that looks like a leak or hides one, as a standard deviation.
fn unseen(log: &Log, both: &Fit) -> f64 {
    let stands = (both.start + both.rise).max(0.0) / log.unit;
    let vapour = stands.min(log.most_rise);
    (WARMING * vapour).hypot(MISFIT * both.rise / log.unit)
}

/// The same distribution with something more left open; a leak is never less than none.
fn loosened(points: &Points, spread: f64) -> Points {
    if spread <= 0.0 {
        return points.clone();
    }
    let each = points.iter().flat_map(|&(x, w)| {
        // Five points of Gauss and Hermite.
        [
            (-2.856_970, 0.011_257),
            (-1.355_626, 0.222_076),
            (0.0, 0.533_333),
            (1.355_626, 0.222_076),
            (2.856_970, 0.011_257),
        ]
        .map(|(z, part)| ((x + z * spread).max(0.0), w * part))
    });
    each.collect()
}

/// Akaike weights.
fn shares(worth: impl Iterator<Item = f64> + Clone) -> [f64; 3] {
    let best = worth.clone().fold(f64::INFINITY, f64::min);
    let mut shares = [0.0; 3];
    for (share, w) in shares.iter_mut().zip(worth) {
        *share = (-0.5 * (w - best)).exp();
    }
    let sum: f64 = shares.iter().sum();
    shares.map(|share| share / sum)
}

/// By how many times neighbours repeat each other: 1 for readings that scatter each for itself.
///
/// A gauge read to a coarse step stands still and then jumps; a course of the wrong shape lies on one side for long.
fn like_runs(log: &Log, fit: &Fit) -> f64 {
    let off: Vec<f64> = (0..log.len())
        .map(|i| {
            let time = log.origin + log.u[i] * log.span;
            log.mean + log.unit * log.y[i] - fit.pressure(time)
        })
        .collect();
    let all: f64 = off.iter().map(|r| r * r).sum();
    let next: f64 = off.windows(2).map(|pair| pair[0] * pair[1]).sum();
    let like = if all > 0.0 { next / all } else { 0.0 };
    let like = like.clamp(0.0, 0.8);
    (1.0 + like) / (1.0 - like)
}

/// Points between the places on both sides of `best` where `fall` (-2 ln likelihood) passes the cut, none below zero.
fn along(best: f64, fall: impl Fn(f64) -> f64) -> Points {
    let mut width = 0.01;
    while fall(best + width) < CUT && width < 1e4 {
        width *= 2.0;
    }
    let high = edge(&fall, best + 0.5 * width, best + width);
    let low = if fall(0.0) < CUT {
        0.0
    } else {
        // The same search downwards, which zero stops.
        let mut width = 0.01;
        while width < best && fall(best - width) < CUT {
            width *= 2.0;
        }
        edge(&fall, best - 0.5 * width, (best - width).max(0.0))
    };
    let mut points: Points = (0..NODES)
        .map(|k| low + (high - low) * (k as f64 + 0.5) / NODES as f64)
        .map(|rate| (rate, (-0.5 * fall(rate)).exp()))
        .collect();
    let sum: f64 = points.iter().map(|(_, w)| w).sum();
    for (_, w) in &mut points {
        *w /= sum;
    }
    points
}

/// Where the cut lies between a place inside and one outside.
fn edge(fall: &impl Fn(f64) -> f64, mut inside: f64, mut outside: f64) -> f64 {
    for _ in 0..4 {
        let middle = 0.5 * (inside + outside);
        if fall(middle) < CUT {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    outside
}

/// The pace with the least squares.
fn nearest(paces: &[Tried]) -> Option<&Tried> {
    paces
        .iter()
        .min_by(|a, b| a.1.squares.total_cmp(&b.1.squares))
}

/// Likelihood of a leak with everything else fitted anew to it, and by how many spreads it is off no leak.
fn profile(log: &Log, line: &Line, paces: &[Tried], variance: f64) -> (Points, f64) {
    let mut near: Vec<&Tried> = paces.iter().collect();
    sort_by(&mut near, |a, b| a.1.squares.total_cmp(&b.1.squares));
    let Some(&&(_, best)) = near.first() else {
        return (Points::new(), 0.0);
    };
    // A pace that fits badly with its own best leak fits no other leak better.
    let least = |rate: f64| {
        let mut least = f64::INFINITY;
        for (pace, own) in &near {
            if own.squares >= least {
                break;
            }
            least = least.min(with_rate(line, pace, rate, log.most_rise).squares);
        }
        least
    };
    let fall = |rate: f64| ((least(rate) - best.squares) / variance).max(0.0);
    (along(best.rate, fall), fall(0.0).sqrt())
}

/// Points of the rise that ends and of the pressure at rest, over vapour alone and both.
fn ends(
    log: &Log,
    line: &Line,
    paces: &[Tried],
    variance: f64,
    shares: [f64; 3],
) -> (Points, Points) {
    let (mut rises, mut rests) = (Points::new(), Points::new());
    for (course, share) in [(Course::Vapour, shares[1]), (Course::Both, shares[2])] {
        let at: Vec<_> = paces
            .iter()
            .map(|(pace, both)| match course {
                Course::Both => (pace, *both),
                _ => (pace, at_pace(course, log, line, pace)),
            })
            .collect();
        let least = at
            .iter()
            .map(|(_, solved)| solved.squares)
            .fold(f64::INFINITY, f64::min);
        let weight = |squares: f64| (-0.5 * (squares - least) / variance).exp();
        let sum: f64 = at.iter().map(|(_, solved)| weight(solved.squares)).sum();
        for (pace, solved) in &at {
            let w = share.max(1e-9) * weight(solved.squares) / sum;
            // Spread at this pace, from the inverse of the two by two sums; three points of Gauss and Hermite.
            let det = line.n * pace.ee - pace.e * pace.e;
            let spread = |diagonal: f64| (variance * diagonal / det.max(1e-12)).sqrt();
            for (z, part) in [
                (-3_f64.sqrt(), 1.0 / 6.0),
                (0.0, 2.0 / 3.0),
                (3_f64.sqrt(), 1.0 / 6.0),
            ] {
                let rise = (solved.rise + z * spread(line.n)).clamp(0.0, log.most_rise);
                let rest = solved.rest + z * spread(pace.ee);
                rises.push((rise, w * part));
                rests.push((rest, w * part));
            }
        }
    }
    (rises, rests)
}

/// Weight above a value, half of what lies on it.
pub(super) fn above(points: &Points, value: f64) -> f64 {
    let sum: f64 = points.iter().map(|(_, w)| w).sum();
    let over: f64 = points
        .iter()
        .map(|(x, w)| match x.total_cmp(&value) {
            std::cmp::Ordering::Greater => *w,
            std::cmp::Ordering::Equal => 0.5 * w,
            std::cmp::Ordering::Less => 0.0,
        })
        .sum();
    if sum > 0.0 { over / sum } else { 0.0 }
}

/// The 10th, 50th and 90th percentile.
pub(super) fn percentiles(points: &mut Points) -> [f64; 3] {
    sort_by(points, |a, b| a.0.total_cmp(&b.0));
    let sum: f64 = points.iter().map(|(_, w)| w).sum();
    [0.1, 0.5, 0.9].map(|share| {
        let mut passed = 0.0;
        for &(x, w) in points.iter() {
            passed += w;
            if passed >= share * sum {
                return x;
            }
        }
        points.last().map_or(0.0, |&(x, _)| x)
    })
}

/// How far rounding alone may have moved a rise over the record, either way (10th to 90th percentile).
pub(super) fn rounding(log: &Log) -> f64 {
    Z90 * log.floor() * 2_f64.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentiles_of_a_normal_distribution() {
        let mut points = along(10.0, |x| ((x - 10.0) / 0.5).powi(2));
        let [low, middle, high] = percentiles(&mut points);
        assert!((middle - 10.0).abs() < 0.1, "{middle}");
        assert!((high - low - 2.0 * Z90 * 0.5).abs() < 0.2, "{low} {high}");
        assert!((above(&points, 10.5) - 0.1587).abs() < 0.04);
    }

    #[test]
    fn no_leak_is_less_than_none() {
        let points = along(0.1, |x| ((x - 0.1) / 0.5).powi(2));
        assert!(points.iter().all(|(x, _)| *x >= 0.0));
        let sum: f64 = points.iter().map(|(_, w)| w).sum();
        assert!((sum - 1.0).abs() < 1e-12);
    }

    #[test]
    fn weights_of_akaike() {
        // A difference of 2 is e to one.
        let [a, b, c] = shares([10.0, 12.0, 1e9].into_iter());
        assert!((a / b - std::f64::consts::E).abs() < 1e-12 && c == 0.0);
    }
}
