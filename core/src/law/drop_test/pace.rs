//! Ways in which vapour comes to its balance, and the sums a fit needs of each.
//!
//! A bag of damp cloth is no single exponential: each ply, the mesh and the pot have their own pace. One store, a slab
//! that empties by diffusion, two stores of unlike pace and stores of many paces, which together stretch the rise, stand
//! for what may happen; what holds for all of them can be claimed.

use super::log::Log;

/// How what is still to come fades.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Shape {
    /// exp(-x), one store that empties through one resistance.
    Exponential,
    /// exp(-x^b), stores of many paces: the smaller b, the wider they are spread.
    Stretched(f64),
    /// A slab that empties by diffusion: starts as the square root of time, ends as exp(-x).
    Slab,
}

impl Shape {
    /// What is still to come at x = t / tau, 1 at the start.
    pub(super) fn left(self, x: f64) -> f64 {
        let fading = (-x).exp();
        match self {
            Self::Exponential => fading,
            Self::Stretched(power) => (-x.powf(power)).exp(),
            // 4 / pi^1.5 = 0.7183; the series from there on.
            Self::Slab if x < 0.4 => 1.0 - 0.718_348_4 * x.sqrt(),
            Self::Slab => 8.0 / std::f64::consts::PI.powi(2) * (fading + fading.powi(9) / 9.0),
        }
    }
}

/// Sums over the readings that do not depend on the pace: times, pressures and their products.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line {
    pub(super) n: f64,
    pub(super) u: f64,
    pub(super) uu: f64,
    pub(super) y: f64,
    pub(super) uy: f64,
    pub(super) yy: f64,
}

impl Line {
    pub(super) fn of(log: &Log) -> Self {
        let mut line = Self {
            n: log.len() as f64,
            u: 0.0,
            uu: 0.0,
            y: 0.0,
            uy: 0.0,
            yy: 0.0,
        };
        for (u, y) in log.u.iter().zip(&log.y) {
            line.u += u;
            line.uu += u * u;
            line.y += y;
            line.uy += u * y;
            line.yy += y * y;
        }
        line
    }
}

/// Sums with what is still to come, of one shape and time.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pace {
    pub(super) e: f64,
    pub(super) ue: f64,
    pub(super) ee: f64,
    pub(super) ey: f64,
    /// A second store that empties more slowly.
    pub(super) slow: Option<Slow>,
}

/// Sums with what is still to come from the slower store.
#[derive(Debug, Clone, Copy)]
pub(super) struct Slow {
    pub(super) f: f64,
    pub(super) uf: f64,
    pub(super) ff: f64,
    pub(super) ef: f64,
    pub(super) fy: f64,
}

impl Pace {
    pub(super) fn of(log: &Log, shape: Shape, time: f64) -> Self {
        let left: Vec<f64> = log.u.iter().map(|u| shape.left(u / time)).collect();
        Self {
            e: left.iter().sum(),
            ue: dot(&left, &log.u),
            ee: dot(&left, &left),
            ey: dot(&left, &log.y),
            slow: None,
        }
    }

    /// Two exponential stores, one so many times slower than the other, each holding what the readings give it.
    pub(super) fn twofold(log: &Log, time: f64, slower: f64) -> Self {
        let left = |time: f64| -> Vec<f64> {
            log.u
                .iter()
                .map(|u| Shape::Exponential.left(u / time))
                .collect()
        };
        let (e, f) = (left(time), left(slower * time));
        Self {
            e: e.iter().sum(),
            ue: dot(&e, &log.u),
            ee: dot(&e, &e),
            ey: dot(&e, &log.y),
            slow: Some(Slow {
                f: f.iter().sum(),
                uf: dot(&f, &log.u),
                ff: dot(&f, &f),
                ef: dot(&e, &f),
                fy: dot(&f, &log.y),
            }),
        }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Powers of the stretched rises that are tried; 1 would be one store.
pub(super) const STRETCHED: [f64; 4] = [0.85, 0.7, 0.55, 0.4];

/// Times that are tried, in spans: from what one gap between readings can still show to a bend that no reading can.
pub(super) fn times(count: usize) -> impl Iterator<Item = f64> {
    const TIMES: i32 = 30;
    let shortest = (0.4 / (count.max(2) - 1) as f64).max(0.02);
    let longest = 30.0_f64;
    let ratio = (longest / shortest).powf(1.0 / f64::from(TIMES - 1));
    (0..TIMES).map(move |k| shortest * ratio.powi(k))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shape_falls_from_one_to_nothing() {
        for shape in [Shape::Exponential, Shape::Slab, Shape::Stretched(0.5)] {
            assert_eq!(shape.left(0.0), 1.0);
            let mut before = 1.0;
            for k in 1..2000 {
                let left = shape.left(0.01 * f64::from(k));
                assert!(left <= before && left > 0.0, "{shape:?} {k}");
                before = left;
            }
            assert!(shape.left(60.0) < 1e-3, "{shape:?}");
        }
    }

    #[test]
    fn slab_is_the_series_of_a_slab() {
        // Crank, The Mathematics of Diffusion, eq. 4.18 (from memory): 1 - Mt/M, x = D pi^2 t / l^2.
        for x in [0.02, 0.1, 0.39, 0.41, 1.0, 3.0] {
            let series: f64 = (0..400)
                .map(|m| f64::from(2 * m + 1).powi(2))
                .map(|odd| (-odd * x).exp() / odd)
                .sum::<f64>()
                * 8.0
                / std::f64::consts::PI.powi(2);
            assert!((Shape::Slab.left(x) - series).abs() < 2e-3, "{x}");
        }
    }

    #[test]
    fn times_run_from_a_gap_to_many_spans() {
        let all: Vec<f64> = times(11).collect();
        assert!((all[0] - 0.04).abs() < 1e-12 && (all[29] - 30.0).abs() < 1e-9);
    }
}
