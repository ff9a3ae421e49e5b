//! What the front came to between two times, and where fronts met in it.

use super::{Field, Held};

/// Fronts that met less than this ago, as a share of the whole, are told by what lies behind a front.
const SEEN: f64 = 0.012;
/// How much longer ago the front must have passed all round than where fronts met, as a share of how long ago they did,
/// or it is a ripple.
const RIPPLE: f64 = 0.1;
/// None.
pub(super) const NONE: u32 = u32::MAX;

/// What became reached between two times, parted by where it was reached last.
#[derive(Default)]
pub(super) struct Gap {
    /// The places, the latest reached first.
    pub(super) places: Vec<u32>,
    /// Which of the places each point is.
    pub(super) number: Vec<u32>,
    /// For each of the places, the spot where fronts met that it belongs to; none where it lies behind a front.
    pub(super) spot: Vec<u32>,
    /// How long ago fronts met at each spot.
    pub(super) ago: Vec<f64>,
}

/// Spots as they are found; one that turns out to be part of another is joined to it.
#[derive(Default)]
struct Spots {
    joined: Vec<u32>,
    ago: Vec<f64>,
}

impl Spots {
    fn of(&self, mut spot: u32) -> u32 {
        while spot != NONE && self.joined[spot as usize] != spot {
            spot = self.joined[spot as usize];
        }
        spot
    }

    /// How long ago fronts met there; where a front still runs, now.
    fn ago(&self, spot: u32) -> f64 {
        if spot == NONE {
            0.0
        } else {
            self.ago[spot as usize]
        }
    }

    fn fresh(&mut self, ago: f64) -> u32 {
        let spot = self.ago.len() as u32;
        self.joined.push(spot);
        self.ago.push(ago);
        spot
    }

    /// Where a place joins two spots at so long ago: the lower one. The other becomes part of it where it is a ripple.
    fn join(&mut self, one: u32, other: u32, own: f64, ripple: f64) -> u32 {
        let (keep, lose) = if self.ago(other) < self.ago(one) {
            (other, one)
        } else {
            (one, other)
        };
        let least = self.ago(lose);
        if lose != NONE && keep != lose && own - least < RIPPLE * least + ripple {
            self.joined[lose as usize] = keep;
        }
        keep
    }
}

impl Gap {
    /// Finds what is reached now and has no time yet, and where fronts met in it: where the front passed later than all
    /// round, though no front is near.
    pub(super) fn find(
        &mut self,
        field: &Field,
        held: &Held,
        at: &[f64],
        (reached, behind): (&[bool], &[f64]),
        whole: f64,
    ) {
        let fresh = |i: usize| held.open[i] && at[i].is_nan() && reached[i];
        self.places.clear();
        self.places
            .extend((0..at.len() as u32).filter(|&i| fresh(i as usize)));
        self.places
            .sort_by(|&a, &b| behind[a as usize].total_cmp(&behind[b as usize]));
        self.number.clear();
        self.number.resize(at.len(), NONE);
        for (n, &i) in (0_u32..).zip(&self.places) {
            self.number[i as usize] = n;
        }
        let mut spots = Spots::default();
        self.spot.clear();
        for (n, &i) in self.places.iter().enumerate() {
            let own = behind[i as usize];
            let near = || field.matrix.row(i as usize).0.iter().map(|&j| j as usize);
            let is_front = own < SEEN * whole || near().any(|j| held.open[j] && !reached[j]);
            let mut found = is_front.then_some(NONE);
            for j in near() {
                let m = self.number[j] as usize;
                if m < n {
                    let spot = spots.of(self.spot[m]);
                    found = Some(match found {
                        Some(other) => spots.join(other, spot, own, SEEN * whole / 4.0),
                        None => spot,
                    });
                }
            }
            let spot = found.unwrap_or_else(|| spots.fresh(own));
            self.spot.push(spot);
        }
        for spot in &mut self.spot {
            *spot = spots.of(*spot);
        }
        self.ago.clear();
        self.ago.extend((0..spots.ago.len()).map(|spot| {
            if spots.joined[spot] == spot as u32 {
                spots.ago[spot]
            } else {
                f64::INFINITY
            }
        }));
    }
}
