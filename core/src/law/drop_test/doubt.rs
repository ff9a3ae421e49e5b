//! Readings that stand so far off every smooth course that they were probably mistyped.
//!
//! A line and bends of several paces are put through the readings by reweighting, which lets go of what lies far
//! off. Few are ever set aside: where many would have to go, it is the course that is wrong, not the readings.

use super::log::Log;
use super::pace::Shape;
use crate::solve::bounded_squares;

/// Degrees of freedom of the Student distribution behind the weights: about what keyed-in readings deserve.
const TAIL: f64 = 3.0;
/// A distance smaller than this share of the whole range is no slip (our judgement).
const SMALL: f64 = 0.05;
/// Fewer readings than this cannot show that one of them is wrong.
const FEWEST: usize = 5;

/// Places in the log that are to be set aside, in order.
pub(super) fn doubtful(log: &Log) -> Vec<usize> {
    let n = log.len();
    if n < FEWEST {
        return Vec::new();
    }
    let mut best = (f64::INFINITY, Vec::new());
    for k in 0..8 {
        // A bend shorter than a tenth of the record would fit a wrong first reading instead of letting it go.
        let left: Vec<f64> = if k == 0 {
            Vec::new()
        } else {
            let time = 0.1 * 1.8_f64.powi(k - 1);
            log.u
                .iter()
                .map(|u| Shape::Exponential.left(u / time))
                .collect()
        };
        let off = settle(log, &left);
        let sum: f64 = off.iter().map(|r| r.abs()).sum();
        if sum < best.0 {
            best = (sum, off);
        }
    }
    let off = best.1;
    let near = 5.0 * middle_size(&off).max(log.floor());
    let (mut count, mut squares) = (0.0, 0.0);
    for r in off.iter().filter(|r| r.abs() <= near) {
        count += 1.0;
        squares += r * r;
    }
    let degrees: f64 = (count - 4.0_f64).max(1.0);
    let scatter = (squares / degrees).sqrt().max(log.floor());
    let limit = scatter * (5.0 + 20.0 / (n as f64 - 4.0));
    // Nor is one worth setting aside that moves nothing: bends that are not tried here stray as far.
    let limit = limit.max(3.0 * log.step).max(SMALL);
    // Low at the start is how a steep rise begins, not a slip.
    let begun = off.iter().take_while(|r| **r < -limit).count();
    // Nor is it one when all of the end bends away: a large leak that fades near the pressure outside.
    let ends = off.iter().rev().take_while(|r| **r < -limit).count();
    let end = if ends > 1 { n - ends } else { n };
    let far: Vec<usize> = (begun..end.max(begun))
        .filter(|&i| off[i].abs() > limit)
        .collect();
    if far.len() > n / FEWEST {
        Vec::new()
    } else {
        far
    }
}

/// Distances from the course that reweighting comes to rest at, with or without a bend.
fn settle(log: &Log, left: &[f64]) -> Vec<f64> {
    let mut off = from_middle_line(log);
    for _ in 0..8 {
        let scale = middle_size(&off).max(log.floor());
        let (mut gram, mut right) = ([[0.0; 3]; 3], [0.0; 3]);
        for (i, r) in off.iter().enumerate() {
            let far = r / scale;
            let weight = (TAIL + 1.0) / (TAIL + far * far);
            let row = [1.0, log.u[i], left.get(i).copied().unwrap_or(0.0)];
            for a in 0..3 {
                right[a] += weight * row[a] * log.y[i];
                for b in 0..3 {
                    gram[a][b] += weight * row[a] * row[b];
                }
            }
        }
        // Without a bend its number is held at zero.
        let most = if left.is_empty() { 0.0 } else { f64::INFINITY };
        let Some((x, _)) = bounded_squares(
            &gram,
            &right,
            &[f64::NEG_INFINITY, f64::NEG_INFINITY, -most],
            &[f64::INFINITY, f64::INFINITY, most],
        ) else {
            break;
        };
        for (i, r) in off.iter_mut().enumerate() {
            let e = left.get(i).copied().unwrap_or(0.0);
            *r = log.y[i] - x[0] - x[1] * log.u[i] - x[2] * e;
        }
    }
    off
}

/// Distances from a line of the middle slope through the middle, which a few wrong readings do not turn.
fn from_middle_line(log: &Log) -> Vec<f64> {
    let n = log.len();
    let stride = n.div_ceil(80);
    let some: Vec<usize> = (0..n).step_by(stride).collect();
    let mut slopes = Vec::with_capacity(some.len() * some.len() / 2);
    for (k, &i) in some.iter().enumerate() {
        for &j in &some[k + 1..] {
            let gap = log.u[j] - log.u[i];
            if gap > 0.0 {
                slopes.push((log.y[j] - log.y[i]) / gap);
            }
        }
    }
    let slope = middle(&mut slopes);
    let mut off: Vec<f64> = log
        .u
        .iter()
        .zip(&log.y)
        .map(|(u, y)| y - slope * u)
        .collect();
    let level = middle(&mut off.clone());
    for r in &mut off {
        *r -= level;
    }
    off
}

/// The middle size of distances, as a standard deviation.
fn middle_size(off: &[f64]) -> f64 {
    let mut sizes: Vec<f64> = off.iter().map(|r| r.abs()).collect();
    1.4826 * middle(&mut sizes)
}

fn middle(values: &mut [f64]) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let half = values.len() / 2;
    *values.select_nth_unstable_by(half, f64::total_cmp).1
}

#[cfg(test)]
mod tests {
    use super::super::log::ordered;
    use super::super::{Conditions, Reading};
    use super::*;

    fn found(pressures: &[f64]) -> Vec<usize> {
        let conditions = Conditions {
            step: 50.0,
            saturation: 2339.0,
            saturation_play: 0.06,
            outside: 101_325.0,
        };
        let readings: Vec<Reading> = pressures
            .iter()
            .enumerate()
            .map(|(k, &pressure)| Reading {
                time: 60.0 * k as f64,
                pressure,
            })
            .collect();
        let list = ordered(&readings, &conditions).unwrap();
        doubtful(&Log::of(&list, &conditions).unwrap())
    }

    #[test]
    fn a_reading_ten_times_too_large_is_found_wherever_it_stands() {
        let straight: Vec<f64> = (0..12).map(|k| 800.0 + 50.0 * f64::from(k)).collect();
        let bent: Vec<f64> = (0..12)
            .map(|k| 50.0 * (16.0 + 24.0 * (1.0 - (-f64::from(k) / 3.0).exp())).round())
            .collect();
        assert_eq!(found(&straight), [0; 0]);
        assert_eq!(found(&bent), [0; 0]);
        for pressures in [straight, bent] {
            for place in 0..12 {
                for factor in [10.0, 0.1] {
                    if place == 0 && factor < 1.0 {
                        // This may as well be the start of a steep rise.
                        continue;
                    }
                    let mut wrong = pressures.clone();
                    wrong[place] *= factor;
                    assert_eq!(found(&wrong), [place], "{factor} {wrong:?}");
                }
            }
        }
    }

    #[test]
    fn a_jump_half_way_is_no_slip_of_the_pen() {
        let jump: Vec<f64> = (0..12)
            .map(|k| if k < 6 { 800.0 } else { 3000.0 })
            .collect();
        assert_eq!(found(&jump), [0; 0]);
    }
}
