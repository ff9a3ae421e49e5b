//! Places that resin closes round, with no vent in them.

use crate::solve::sort::sort_by;
use crate::solve::surface::Triangles;

/// A place that resin closes round counts when it stays dry for this share of the fill time.
const STAYS: f64 = 0.04;

/// A place smaller than this is a bubble, not worth a vent of its own [m2].
pub(super) const SMALL: f64 = 5e-4;

/// A place that resin closes round.
pub(super) struct Pocket {
    /// The point that is wet last.
    pub(super) at: usize,
    /// What it takes up once it is closed.
    pub(super) store: f64,
    /// When it is closed [min]; nought where feeds shut it in from the start.
    pub(super) closes: f64,
}

/// Dry places as they grow together backwards in time; each knows its last point, its store and whether a vent is in it.
struct Dry {
    root: Vec<usize>,
    store: Vec<f64>,
    vented: Vec<bool>,
}

impl Dry {
    fn find(&mut self, mut i: usize) -> usize {
        while self.root[i] != i {
            self.root[i] = self.root[self.root[i]];
            i = self.root[i];
        }
        i
    }
}

/// The places, from when resin comes to each point and what each takes up.
///
/// A place is closed when the front parts it from every vent, when the last vent in it is wet, or from the start where
/// feeds wall it in. A part that is one place without any vent is not told: what it lacks is a vent, wherever.
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
    let mut is_vent = vec![false; count];
    for i in vents.iter().flatten() {
        is_vent[*i as usize] = true;
    }
    let mut order: Vec<usize> = (0..count)
        .filter(|&i| !near[i].is_empty() && minutes[i].is_finite() && minutes[i] > 0.0)
        .collect();
    sort_by(&mut order, |a, b| minutes[*b].total_cmp(&minutes[*a]));
    let mut dry = Dry {
        root: (0..count).collect(),
        store: holds.to_vec(),
        vented: vec![false; count],
    };
    let mut seen = vec![false; count];
    let mut found = Vec::new();
    let mut close = |at: usize, store: f64, closes: f64| {
        // Where two fronts meet, their points stand now nearer and now farther: what the front crosses within one cell is
        // no place of its own.
        let cell = near[at].iter().map(|&j| minutes[at] - minutes[j as usize]);
        let cell = cell.filter(|t| t.is_finite()).fold(0.0, f64::max);
        let least = if closes > 0.0 { cell } else { 0.0 };
        if minutes[at] - closes > (STAYS * most).max(least) {
            found.push(Pocket { at, store, closes });
        }
    };
    for &i in &order {
        seen[i] = true;
        let mut places: Vec<usize> = Vec::new();
        for &j in &near[i] {
            if seen[j as usize] && j as usize != i {
                let place = dry.find(j as usize);
                if !places.contains(&place) {
                    places.push(place);
                }
            }
        }
        // What is wet last of all that meet here lives on.
        sort_by(&mut places, |a, b| minutes[*b].total_cmp(&minutes[*a]));
        let airy = is_vent[i] || places.iter().any(|&place| dry.vented[place]);
        for (n, &place) in places.iter().enumerate() {
            // From here on it has no way to a vent, or it is parted from the place that stays dry for longer.
            if !dry.vented[place] && (airy || n > 0) {
                close(place, dry.store[place], minutes[i]);
            }
        }
        let keep = places.first().copied().unwrap_or(i);
        let mut store = dry.store[keep];
        for other in places.iter().copied().skip(1).chain([i]) {
            if other != keep {
                store += dry.store[other];
                dry.root[other] = keep;
            }
        }
        dry.store[keep] = store;
        dry.vented[keep] = airy;
    }
    // What feeds wall in is closed from the start.
    let zones: Vec<usize> = order
        .iter()
        .copied()
        .filter(|&i| dry.root[i] == i)
        .collect();
    if zones.len() > 1 {
        for zone in zones {
            if !dry.vented[zone] {
                close(zone, dry.store[zone], 0.0);
            }
        }
    }
    found
}

#[cfg(test)]
mod tests;
