//! Places that the front closes round, with no vent in them.

use crate::solve::surface::Triangles;

/// A place that the front closes round counts when it stays dry for this share of the fill time.
const STAYS: f64 = 0.04;

/// A place that resin closes round.
pub(super) struct Pocket {
    /// The point that is wet last.
    pub(super) at: usize,
    /// What it takes up once it is closed.
    pub(super) store: f64,
    /// When it is closed [min].
    pub(super) closes: f64,
}

/// The places, from when resin comes to each point and what each takes up.
pub(super) fn pockets(
    surface: &Triangles,
    minutes: &[f64],
    holds: &[f64],
    vents: &[Vec<u32>],
) -> Vec<Pocket> {
    let most = minutes
        .iter()
        .copied()
        .filter(|t| t.is_finite())
        .fold(0.0, f64::max);
    let count = minutes.len();
    let mut near: Vec<Vec<u32>> = vec![Vec::new(); count];
    for corners in &surface.corners {
        for k in 0..3 {
            near[corners[k] as usize].push(corners[(k + 1) % 3]);
            near[corners[k] as usize].push(corners[(k + 2) % 3]);
        }
    }
    let mut vented = vec![false; count];
    for i in vents.iter().flatten() {
        vented[*i as usize] = true;
    }
    let mut order: Vec<usize> = (0..count)
        .filter(|&i| minutes[i].is_finite() && minutes[i] > 0.0)
        .collect();
    order.sort_by(|a, b| minutes[*b].total_cmp(&minutes[*a]));
    // Dry places grow together backwards in time; each knows its last point, its store and whether a vent is in it.
    let mut root: Vec<usize> = (0..count).collect();
    fn find(root: &mut [usize], mut i: usize) -> usize {
        while root[i] != i {
            root[i] = root[root[i]];
            i = root[i];
        }
        i
    }
    let mut seen = vec![false; count];
    let mut store = holds.to_vec();
    let mut found = Vec::new();
    for i in order {
        seen[i] = true;
        for &j in &near[i] {
            let j = j as usize;
            if !seen[j] {
                continue;
            }
            let (a, b) = (find(&mut root, i), find(&mut root, j));
            if a == b {
                continue;
            }
            // The one that is wet later lives on.
            let (keep, end) = if minutes[a] >= minutes[b] {
                (a, b)
            } else {
                (b, a)
            };
            if minutes[end] - minutes[i] > STAYS * most && !vented[end] {
                found.push(Pocket {
                    at: end,
                    store: store[end],
                    closes: minutes[i],
                });
            }
            root[end] = keep;
            store[keep] += store[end];
            vented[keep] |= vented[end];
        }
    }
    found
}
