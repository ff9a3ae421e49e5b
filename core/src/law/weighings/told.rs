//! What the ovens that are left say together: percentiles, the pause between two weighings, and whether it is dry.

use super::before::Before;
use super::grid::{Grid, Node};
use super::{HANDLING, Narrowed, Weighing};
use crate::solve::sort::sort_by;

/// A target nearer to the floor than this share of the way cannot be waited for.
const NEAR_FLOOR: f64 = 0.05;
/// Shares of the water that can leave, at which times are told.
const SHARES: [f64; 12] = [
    1.0, 0.95, 0.85, 0.75, 0.65, 0.55, 0.45, 0.35, 0.25, 0.15, 0.1, 0.05,
];
/// Cloth just at the target must still lose so many times what counts as equal.
const CLEARLY: f64 = 2.0;
/// Water left may lie this much above the end of drying, as a share of it, before dry is said.
const ABOVE: f64 = 1.1;

/// Shares of the ovens below the marks of the end: further out than 10 and 90, so that ovens that dry in ways not tried
/// here are held in eight of ten as well (tried on ovens made up for it).
const ENDS: [f64; 3] = [0.05, 0.5, 0.95];

/// A value with its weight.
type Points = Vec<(f64, f64)>;

pub(super) fn told(
    before: &Before,
    grid: &Grid,
    weighings: &[Weighing],
    target: f64,
    step: f64,
) -> Option<Narrowed> {
    let last = weighings.iter().map(|w| w.time).fold(0.0, f64::max);
    let heaviest = weighings.iter().map(|w| w.mass).fold(0.0, f64::max);
    let equal = (2.0 * step).max(HANDLING * heaviest.max(before.dry_mass.0));
    let (mut dry, mut now, mut end) = (Points::new(), Points::new(), Points::new());
    let (mut pause, mut over) = (Points::new(), Points::new());
    for node in &grid.nodes {
        let shape = &grid.shapes[node.shape];
        let left = shape.left(node.since(last));
        for (rest, water, part) in spread(node) {
            let mass = rest / (1.0 + node.floor);
            let gap = water / mass;
            let aim = target.max(node.floor + NEAR_FLOOR * gap);
            let at_aim = (aim - node.floor) / gap;
            let held = node.floor + gap * left;
            dry.push((mass, part));
            now.push((held, part));
            over.push((held / aim, part));
            end.push((
                if at_aim >= 1.0 {
                    0.0
                } else {
                    node.heat_up + node.half * shape.when(at_aim)
                },
                part,
            ));
            let later = at_aim - CLEARLY * equal / water;
            pause.push((
                if later > 0.0 {
                    node.half * (shape.when(later) - shape.when(at_aim.min(1.0)))
                } else {
                    f64::INFINITY
                },
                part,
            ));
        }
    }
    let dry_mass = percentiles(&mut dry)?;
    let likely = [before.start.0, before.floor[1]];
    let mut course = Vec::with_capacity(SHARES.len());
    for share in SHARES {
        let regain = likely[1] + share * (likely[0] - likely[1]);
        course.push((regain, passed(grid, regain)?));
    }
    let pause = percentiles(&mut pause)?[2];
    let pause = pause.is_finite().then_some(pause);
    let quiet = pause.is_some_and(|pause| stands_still(weighings, &grid.doubtful, pause, equal));
    let dry = quiet && percentiles(&mut over)?[2] <= ABOVE;
    Some(Narrowed {
        end: marks(&mut end, ENDS)?,
        now: percentiles(&mut now)?.map(|regain| regain.max(0.0)),
        dry_mass,
        at_target: dry_mass.map(|mass| mass * (1.0 + target)),
        course,
        doubtful: grid.doubtful.clone(),
        surprising: surprising(grid.least, weighings.len(), grid.doubtful.len()),
        equal,
        pause,
        dry,
        shares: grid.shares(),
        fitted: weighings.iter().map(|w| expected(grid, w.time)).collect(),
    })
}

/// The two straight unknowns of an oven and their spread: seven equal parts of the first by three points of Gauss and
/// Hermite of the second. Water that would run into the cloth while it dries is none.
fn spread(node: &Node) -> impl Iterator<Item = (f64, f64, f64)> + '_ {
    const PARTS: [f64; 7] = [-1.465_2, -0.791_6, -0.366_1, 0.0, 0.366_1, 0.791_6, 1.465_2];
    const POINTS: [(f64, f64); 3] = [
        (-1.732_050_8, 1.0 / 6.0),
        (0.0, 2.0 / 3.0),
        (1.732_050_8, 1.0 / 6.0),
    ];
    let [l11, l21, l22] = node.factor;
    PARTS.into_iter().flat_map(move |a| {
        POINTS.into_iter().map(move |(b, second)| {
            let rest = (node.rest + l11 * a).max(1e-6);
            let water = (node.water + l21 * a + l22 * b).max(1e-4 * rest);
            (rest, water, node.weight * second / PARTS.len() as f64)
        })
    })
}

/// When the cloth passes a regain, low, likely and high [s].
fn passed(grid: &Grid, regain: f64) -> Option<[f64; 3]> {
    let mut times: Points = grid
        .nodes
        .iter()
        .map(|node| {
            let mass = node.rest / (1.0 + node.floor);
            let gap = (node.water / mass).max(1e-4);
            let left = ((regain - node.floor) / gap).max(NEAR_FLOOR);
            let time = if left >= 1.0 {
                node.heat_up
            } else {
                node.heat_up + node.half * grid.shapes[node.shape].when(left)
            };
            (time, node.weight)
        })
        .collect();
    percentiles(&mut times)
}

/// Mass to be expected at a time [kg].
fn expected(grid: &Grid, time: f64) -> f64 {
    let each = grid.nodes.iter().map(|node| {
        node.weight * (node.rest + node.water * grid.shapes[node.shape].left(node.since(time)))
    });
    each.sum()
}

/// Whether the last weighing and one long enough before it are as good as equal, and none between or after is lighter.
fn stands_still(weighings: &[Weighing], doubtful: &[usize], pause: f64, equal: f64) -> bool {
    let good = || {
        let kept = |(i, _): &(usize, &Weighing)| !doubtful.contains(i);
        weighings.iter().enumerate().filter(kept).map(|(_, w)| w)
    };
    let Some(last) = good().max_by(|a, b| a.time.total_cmp(&b.time)) else {
        return false;
    };
    good().any(|w| last.time - w.time >= pause && (w.mass - last.mass).abs() <= equal)
}

/// Whether it takes an unlikely oven to explain the weighings that are not doubtful, or most are.
///
/// For a straight model the least of sum z^2 + sum r^2 is spread as chi squared with one degree of freedom a reading.
fn surprising(least: f64, weighings: usize, doubtful: usize) -> bool {
    let count = weighings as f64 - doubtful as f64;
    if count <= 0.0 {
        return weighings > 0;
    }
    // One in some ten thousand lies beyond, after Wilson and Hilferty.
    let third = 2.0 / (9.0 * count);
    let most = count * (1.0 - third + 3.9 * third.sqrt()).powi(3);
    least > most || 2 * doubtful > weighings
}

/// The 10th, 50th and 90th percentile; None of nothing.
fn percentiles(points: &mut Points) -> Option<[f64; 3]> {
    marks(points, [0.1, 0.5, 0.9])
}

fn marks(points: &mut Points, shares: [f64; 3]) -> Option<[f64; 3]> {
    sort_by(points, |a, b| a.0.total_cmp(&b.0));
    let all: f64 = points.iter().map(|(_, w)| w).sum();
    let last = points.last()?.0;
    let mut found = [last; 3];
    let mut passed = 0.0;
    let mut next = 0;
    for &(x, w) in points.iter() {
        passed += w;
        while next < 3 && passed >= shares[next] * all {
            found[next] = x;
            next += 1;
        }
    }
    Some(found)
}
