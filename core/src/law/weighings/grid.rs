//! Ovens side by side: every shape at many paces and heat-up times, each counted by how well it explains the weighings.
//!
//! Given shape, pace and heat-up, a mass is a straight line in two unknowns, the mass at rest in this oven and the water
//! that can leave. Their distribution beforehand and the weighings meet in closed form, so nothing is iterated.

use super::Weighing;
use super::before::Before;
use super::shapes::{Kind, Place, Shape, shapes};

/// Half times that are tried: so many spreads to either side, in so many steps.
const REACH: f64 = 3.3;
const PACES: usize = 60;
/// Heat-up times, in standard deviations.
const HEAT_UPS: [f64; 5] = [-1.6, -0.8, 0.0, 0.8, 1.6];
/// Low, likely and high floors count so much.
const FLOORS: [f64; 3] = [0.3, 0.4, 0.3];
/// An oven this far below the best in its logarithm is left out.
const CUT: f64 = 12.0;
/// Most ovens that are told from.
const MOST: usize = 1500;
/// Degrees of freedom of the tails while mistyped weighings are sought.
const TAILS: f64 = 4.0;
/// A weighing this many of its own scatters off the likeliest oven is looked at more closely.
const SUSPECT: f64 = 3.0;
/// A weighing this many of its own scatters off the others is doubtful.
const DOUBTFUL: f64 = 4.5;

/// One oven that may be, with the two straight unknowns and their covariance.
pub(super) struct Node {
    pub(super) shape: usize,
    /// Half time and heat-up [s].
    pub(super) half: f64,
    pub(super) heat_up: f64,
    pub(super) floor: f64,
    /// Mass at rest, and water that can leave [kg].
    pub(super) rest: f64,
    pub(super) water: f64,
    /// Cholesky factor of their covariance: l11, l21, l22 [kg].
    pub(super) factor: [f64; 3],
    pub(super) weight: f64,
}

impl Node {
    /// Times of the half time since the oven was hot.
    pub(super) fn since(&self, time: f64) -> f64 {
        (time - self.heat_up) / self.half
    }
}

/// All that is left open.
pub(super) struct Grid {
    pub(super) shapes: Vec<Shape>,
    pub(super) nodes: Vec<Node>,
    /// Places of doubtful weighings.
    pub(super) doubtful: Vec<usize>,
    /// What the likeliest oven leaves unexplained: squares of weighings and of how unlikely it is itself.
    pub(super) least: f64,
}

/// What is fitted before the weighings of one floor: means and inverse covariance of the two unknowns.
struct Prior {
    floor: f64,
    weight: f64,
    rest: f64,
    water: f64,
    inverse: [f64; 3],
    log_det: f64,
}

impl Prior {
    fn new(before: &Before, floor: f64, weight: f64) -> Self {
        let (mass, open) = before.dry_mass;
        let (start, start_open) = before.start;
        // A start below the floor leaves nothing to go, or next to nothing.
        let gap = (start - floor).max(1e-4);
        let grown = 1.0 + floor;
        let a = (grown * open).powi(2);
        let b = grown * gap * open * open;
        let c = (gap * open).powi(2) + (mass * start_open).powi(2);
        let det = (a * c - b * b).max(1e-30);
        Self {
            floor,
            weight,
            rest: mass * grown,
            water: mass * gap,
            inverse: [c / det, -b / det, a / det],
            log_det: det.ln(),
        }
    }

    /// Given sums over the weighings of 1, g, g^2 and the distances from the mean times 1 and g, over scatter squared:
    /// the two unknowns, their covariance, and how much less the squares get.
    fn meet(&self, sums: &Sums) -> ([f64; 2], [f64; 3], f64) {
        let [p, q, r] = self.inverse;
        let (a, b, c) = (p + sums.one, q + sums.left, r + sums.left_left);
        let det = a * c - b * b;
        let cov = [c / det, -b / det, a / det];
        let (one, left) = (sums.off, sums.off_left);
        let rest = cov[0] * one + cov[1] * left;
        let water = cov[1] * one + cov[2] * left;
        ([rest, water], cov, rest * one + water * left)
    }
}

#[derive(Default, Clone, Copy)]
struct Sums {
    one: f64,
    left: f64,
    left_left: f64,
    off: f64,
    off_left: f64,
    off_off: f64,
}

impl Sums {
    /// Over rows of what is left, mass from `middle` on, and weight.
    fn of(rows: &[(f64, f64, f64)], middle: f64) -> Self {
        let mut sums = Self::default();
        for &(left, mass, weight) in rows {
            let off = mass - middle;
            sums.one += weight;
            sums.left += weight * left;
            sums.left_left += weight * left * left;
            sums.off += weight * off;
            sums.off_left += weight * off * left;
            sums.off_off += weight * off * off;
        }
        sums
    }

    /// The same with masses counted from a line: `rest` above the middle, and `water` for all that is left.
    fn from(&self, rest: f64, water: f64) -> Self {
        Self {
            off: self.off - rest * self.one - water * self.left,
            off_left: self.off_left - rest * self.left - water * self.left_left,
            off_off: self.off_off - 2.0 * (rest * self.off + water * self.off_left)
                + rest * rest * self.one
                + 2.0 * rest * water * self.left
                + water * water * self.left_left,
            ..*self
        }
    }
}

/// Paces and heat-up times with their places in standard deviations.
fn paces(before: &Before) -> Vec<(f64, f64)> {
    (0..PACES)
        .map(|k| REACH * (2.0 * k as f64 / (PACES - 1) as f64 - 1.0))
        .map(|z| {
            let spread = before.spread[usize::from(z > 0.0)];
            (before.half * (spread * z).exp(), z)
        })
        .collect()
}

impl Grid {
    pub(super) fn of(before: &Before, weighings: &[Weighing], scatter: &[f64]) -> Self {
        let plain = Self::without(before, weighings, scatter, Vec::new());
        if !plain.stands_out(weighings, scatter) {
            return plain;
        }
        let doubtful = doubtful(before, &plain.shapes, weighings, scatter);
        if doubtful.is_empty() {
            return plain;
        }
        Self::without(before, weighings, scatter, doubtful)
    }

    /// Whether a weighing stands so far off the likeliest oven that one may be mistyped.
    fn stands_out(&self, weighings: &[Weighing], scatter: &[f64]) -> bool {
        let likeliest = self
            .nodes
            .iter()
            .max_by(|a, b| a.weight.total_cmp(&b.weight));
        let Some(best) = likeliest else {
            return true;
        };
        let mut rows = weighings.iter().zip(scatter);
        rows.any(|(w, scatter)| {
            let left = self.shapes[best.shape].left(best.since(w.time));
            (w.mass - best.rest - best.water * left).abs() > SUSPECT * scatter
        })
    }

    /// All ovens, the doubtful weighings set aside.
    fn without(
        before: &Before,
        weighings: &[Weighing],
        scatter: &[f64],
        doubtful: Vec<usize>,
    ) -> Self {
        let shapes = shapes(&before.course);
        let kept: Vec<usize> = (0..weighings.len())
            .filter(|i| !doubtful.contains(i))
            .collect();
        let priors: Vec<Prior> = before
            .floor
            .iter()
            .zip(FLOORS)
            .map(|(&floor, weight)| Prior::new(before, floor, weight))
            .collect();
        let mut nodes = Vec::new();
        let (mut most, mut least) = (f64::NEG_INFINITY, f64::INFINITY);
        let middle = before.dry_mass.0;
        let mut rows: Vec<_> = kept
            .iter()
            .map(|&i| (0.0, weighings[i].mass, scatter[i].powi(-2)))
            .collect();
        let mut places: Vec<Place> = kept.iter().map(|_| Place::of(0.0)).collect();
        for (half, z) in paces(before) {
            for heat_z in HEAT_UPS {
                let heat_up = before.heat_up.value(heat_z);
                for (place, &i) in places.iter_mut().zip(&kept) {
                    *place = Place::of((weighings[i].time - heat_up) / half);
                }
                for (k, shape) in shapes.iter().enumerate() {
                    for (row, place) in rows.iter_mut().zip(&places) {
                        row.0 = shape.left_at(place);
                    }
                    let all = Sums::of(&rows, middle);
                    for prior in &priors {
                        let sums = all.from(prior.rest - middle, prior.water);
                        let ([rest, water], cov, won) = prior.meet(&sums);
                        let own = z * z + heat_z * heat_z;
                        let squares = sums.off_off - won + own;
                        least = least.min(squares);
                        let det = (cov[0] * cov[2] - cov[1] * cov[1]).max(1e-300);
                        let worth = (prior.weight * shape.weight).ln()
                            + 0.5 * (det.ln() - prior.log_det - squares);
                        if worth < most - CUT || !worth.is_finite() {
                            continue;
                        }
                        most = most.max(worth);
                        let l11 = cov[0].max(0.0).sqrt();
                        let l21 = cov[1] / l11.max(1e-150);
                        nodes.push(Node {
                            shape: k,
                            half,
                            heat_up,
                            floor: prior.floor,
                            rest: prior.rest + rest,
                            water: prior.water + water,
                            factor: [l11, l21, (cov[2] - l21 * l21).max(0.0).sqrt()],
                            weight: worth,
                        });
                    }
                }
            }
        }
        nodes.retain(|node| node.weight > most - CUT);
        for node in &mut nodes {
            node.weight = (node.weight - most).exp();
        }
        let nodes = thinned(nodes);
        Self {
            shapes,
            nodes,
            doubtful,
            least,
        }
    }

    /// How surely the water leaves in one of the three ways [-].
    pub(super) fn shares(&self) -> [f64; 3] {
        [Kind::Law, Kind::Stretched, Kind::TwoPace].map(|kind| {
            let of = |node: &&Node| self.shapes[node.shape].kind == kind;
            self.nodes.iter().filter(of).map(|node| node.weight).sum()
        })
    }
}

/// No more than [`MOST`] ovens that stand for all, each as often as it counts: every so many-th share of the sum, in the
/// order of pace.
fn thinned(nodes: Vec<Node>) -> Vec<Node> {
    let all: f64 = nodes.iter().map(|node| node.weight).sum();
    let each = all / MOST as f64;
    let (mut passed, mut taken) = (0.0, 0.0);
    let mut kept = Vec::with_capacity(MOST);
    for mut node in nodes {
        passed += node.weight;
        let upto = (passed / each + 0.5).floor();
        node.weight = (upto - taken) / MOST as f64;
        taken = upto;
        if node.weight > 0.0 {
            kept.push(node);
        }
    }
    kept
}

/// Weighings far off what the others say, by the likeliest of some ovens with heavy tails.
fn doubtful(
    before: &Before,
    shapes: &[Shape],
    weighings: &[Weighing],
    scatter: &[f64],
) -> Vec<usize> {
    if weighings.len() < 2 {
        return Vec::new();
    }
    let prior = Prior::new(before, before.floor[1], 1.0);
    let mut best = (f64::INFINITY, Vec::new());
    for (half, z) in paces(before).into_iter().step_by(2) {
        for heat_z in [-1.6, 0.0, 1.6] {
            let heat_up = before.heat_up.value(heat_z);
            for shape in shapes.iter().step_by(2) {
                let left: Vec<f64> = weighings
                    .iter()
                    .map(|w| shape.left((w.time - heat_up) / half))
                    .collect();
                let mut off = vec![0.0; left.len()];
                let mut found = [0.0; 2];
                // Tails are narrowed step by step, so that what lies far off pulls at first and then lets go.
                for width in [30.0, 8.0, 3.0, 1.0, 1.0, 1.0] {
                    let tails = TAILS * width * width;
                    let rows: Vec<_> = (0..left.len())
                        .map(|i| {
                            let counts = tails / (tails + off[i] * off[i]);
                            (left[i], weighings[i].mass, counts / scatter[i].powi(2))
                        })
                        .collect();
                    let sums = Sums::of(&rows, prior.rest).from(0.0, prior.water);
                    found = prior.meet(&sums).0;
                    for (i, off) in off.iter_mut().enumerate() {
                        let mass = prior.rest + found[0] + (prior.water + found[1]) * left[i];
                        *off = (weighings[i].mass - mass) / scatter[i];
                    }
                }
                let [p, q, r] = prior.inverse;
                let [rest, water] = found;
                let own = z * z
                    + heat_z * heat_z
                    + p * rest * rest
                    + 2.0 * q * rest * water
                    + r * water * water;
                let tails = |r: &f64| TAILS * (r * r / TAILS).ln_1p();
                let cost = own + off.iter().map(tails).sum::<f64>();
                if cost < best.0 {
                    best = (cost, off);
                }
            }
        }
    }
    let far = |i: &usize| best.1.get(*i).is_some_and(|off| off.abs() > DOUBTFUL);
    (0..weighings.len()).filter(far).collect()
}
