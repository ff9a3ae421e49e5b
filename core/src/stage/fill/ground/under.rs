//! How the plies at a point soak under a mesh: by their own height, cloth and pores.

use super::Ground;
use crate::law::flow_mesh::{Meshed, bottom_lag, closed_end, open_end};
use crate::plan::Zone;

/// A slope so gentle that the law of an open end is plainly one over it [1/m].
const OPEN_SLOPE: f64 = 1e-6;

/// What comes after the front under a mesh.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Under {
    /// Time to soak through, over that of the part's own stack [-].
    pub(crate) soaks: f64,
    /// How far the bottom lags behind the front [m].
    pub(crate) behind: f64,
    /// What soaks longer at a vent that stays open [1/m].
    open: f64,
}

impl Under {
    /// How many times as long it soaks at a vent that stays open, where pressure falls so steeply to it [1/m].
    pub(crate) fn longer(&self, slope: f64) -> f64 {
        (self.open / slope.max(1e-9)).max(1.0)
    }
}

impl Ground {
    /// How the plies at a point soak; none where no mesh lies.
    pub(crate) fn under(&self, point: [f64; 2], zones: &[Zone]) -> Option<Under> {
        if !self.is_meshed(point, zones) {
            return None;
        }
        // What an insert leaves over soaks like the part.
        let there = self.plies(point, zones).or_else(|| self.plies(point, &[]));
        let [xx, yy, _, hold, high] = there?;
        let of = self.stack;
        // The share of the way through is that of the part, however the cloth is turned.
        let eases = (xx + yy) / high / (self.bare[0] + self.bare[1]);
        let permeability = of.laminate_permeability * eases;
        let stack = Meshed {
            laminate_thickness: of.laminate_thickness * high,
            laminate_permeability: permeability,
            through_permeability: (of.through_permeability * eases).max(1e-16),
            laminate_porosity: (of.laminate_porosity * hold / high).clamp(0.02, 1.0),
            mesh_permeability: of.mesh_permeability.max(permeability),
            ..of
        };
        let soak = closed_end(&stack, 1.0, 1.0).ok()? * self.squares;
        Some(Under {
            soaks: soak / self.soak.max(1e-12),
            behind: bottom_lag(&stack).ok()?,
            open: open_end(&stack, OPEN_SLOPE).ok()? * OPEN_SLOPE,
        })
    }
}
