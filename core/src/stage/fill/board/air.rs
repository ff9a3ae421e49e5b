//! Where a fill leaves air: places that resin closes round, a last place without a vent, vents that are wet early.

use super::pockets::{Pocket, SMALL, pockets};
use crate::law::front_map::FrontMap;
use crate::stage::fill::drawn::{Laid, Placed};

/// A vent that is wet before this share of the fill time is early.
pub(super) const EARLY: f64 = 0.9;

/// What a fill leaves.
pub(super) struct Air {
    /// Places that are closed without a vent, and are large enough for one.
    pub(super) large: Vec<Pocket>,
    /// How many smaller ones there are.
    pub(super) small: usize,
    /// The point that is wet last, when no vent lies there and it is in none of the places.
    pub(super) last: Option<usize>,
}

/// What each point holds, and the whole.
pub(super) fn stores(map: &FrontMap, points: usize) -> (Vec<f64>, f64) {
    let field = map.field_ref();
    let holds: Vec<f64> = (0..points).map(|i| field.hold_of(i)).collect();
    let all = holds.iter().sum();
    (holds, all)
}

/// The longest of times.
pub(super) fn longest(minutes: &[f64]) -> f64 {
    let finite = minutes.iter().copied().filter(|t| t.is_finite());
    finite.fold(0.0, f64::max)
}

/// When the first of some points is wet; beyond all times where none ever is.
pub(super) fn first_wet(points: &[u32], minutes: &[f64]) -> f64 {
    let times = points.iter().map(|&i| minutes[i as usize]);
    times
        .filter(|t| t.is_finite())
        .fold(f64::INFINITY, f64::min)
}

/// Finds what a fill leaves, from when resin comes to each point, what each holds, the last of them and the area.
pub(super) fn air(
    laid: &Laid,
    placed: &Placed,
    (minutes, last): (&[f64], Option<usize>),
    holds: &[f64],
    area: f64,
) -> Air {
    let found = pockets(laid.surface(), minutes, holds, &placed.vents);
    let all: f64 = holds.iter().sum();
    let (small, large): (Vec<Pocket>, Vec<Pocket>) = found
        .into_iter()
        .partition(|pocket| pocket.store / all * area < SMALL);
    let last = last
        .filter(|&last| !laid.is_vented(placed, last))
        .filter(|&last| large.iter().all(|pocket| pocket.at != last));
    Air {
        large,
        small: small.len(),
        last,
    }
}
