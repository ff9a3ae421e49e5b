//! The ranges of an oven's inputs, checked, and a smooth distribution through each.

use crate::law::{LawError, within};
use crate::solve::Z90;

/// What is known of a drying in an oven before it is weighed: low, likely and high, the 10th, 50th and 90th percentile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OvenRanges {
    /// Dry mass of the whole cloth [kg].
    pub dry_mass: [f64; 3],
    /// Isotherm scale [-].
    pub scale: [f64; 3],
    /// Regain as it goes in [-].
    pub start: [f64; 3],
    /// Dry mass of the stack over its plan area [kg/m^2].
    pub areal: [f64; 3],
    /// Height as it lies [m].
    pub height: [f64; 3],
    /// Film coefficient of the oven's air [W/(m^2 K)].
    pub film: [f64; 3],
    /// Resistance of the cloth to vapour over that of still air [-].
    pub resistance: [f64; 3],
    /// Humidity of the room as a fraction [-].
    pub room_activity: [f64; 3],
    /// Temperature of the oven [K].
    pub oven_temperature: [f64; 3],
    /// Until oven and trays are hot again [s].
    pub heat_up: [f64; 3],
    /// How much slower this oven dries than the law has it [-].
    pub factor: [f64; 3],
    /// Temperature of the room and of the cloth as it goes in [K].
    pub room_temperature: f64,
    /// Faces the air reaches: 1 on a mould, 2 hung or on a rack.
    pub faces_open: u8,
    /// Air in a closed oven over the plan area of the cloth; `None` where it breathes [m].
    pub room_per_area: Option<f64>,
}

/// A range wider than this ratio, all positive, is spread in its logarithm.
const WIDE: f64 = 1.6;

/// A smooth distribution through three percentiles: x = likely + size (e^(skew z) - 1) / skew.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placed {
    log: bool,
    likely: f64,
    size: f64,
    skew: f64,
    limits: (f64, f64),
}

impl Placed {
    pub(super) fn new(
        field: &'static str,
        range: [f64; 3],
        limits: (f64, f64),
    ) -> Result<Self, LawError> {
        let likely = within(field, range[1], limits.0, limits.1)?;
        let low = within(field, range[0].max(limits.0), limits.0, likely)?;
        let high = within(field, range[2].min(limits.1), likely, limits.1)?;
        let log = low > 0.0 && high / low > WIDE;
        let scale = |x: f64| if log { x.ln() } else { x };
        let (below, above) = (scale(likely) - scale(low), scale(high) - scale(likely));
        // A range that is open on one side only is taken as steep there.
        let skew = (above.max(0.05 * below) / below.max(0.05 * above)).ln() / Z90;
        let skew = if skew.is_nan() { 0.0 } else { skew };
        let size = if skew.abs() < 1e-6 {
            above / Z90
        } else {
            let side = if above > below { above } else { -below };
            side * skew / ((side.signum() * skew * Z90).exp() - 1.0)
        };
        Ok(Self {
            log,
            likely: scale(likely),
            size,
            skew,
            limits,
        })
    }

    pub(super) fn value(&self, z: f64) -> f64 {
        let z = z.clamp(-6.0, 6.0);
        let grown = if self.skew.abs() < 1e-6 {
            z
        } else {
            (self.skew * z).exp_m1() / self.skew
        };
        let x = self.likely + self.size * grown;
        let x = if self.log { x.exp() } else { x };
        x.clamp(self.limits.0, self.limits.1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_marks_are_met() {
        for range in [
            [1.0, 1.6, 3.0],
            [0.58, 0.70, 0.80],
            [331.0, 333.0, 335.0],
            [5.0, 5.0, 9.0],
            [2.0, 6.0, 6.0],
            [3.0, 3.0, 3.0],
        ] {
            let placed = Placed::new("x", range, (0.0, 1e3)).unwrap();
            let got = [-Z90, 0.0, Z90].map(|z| placed.value(z));
            let width = range[2] - range[0];
            for (got, wanted) in got.into_iter().zip(range) {
                assert!(
                    (got - wanted).abs() <= 0.1 * width + 1e-12,
                    "{range:?}: {got}"
                );
            }
            assert!(placed.value(0.3) >= placed.value(0.1));
        }
        assert!(Placed::new("x", [2.0, 1.0, 3.0], (0.0, 10.0)).is_err());
        assert!(Placed::new("x", [0.0, f64::NAN, 3.0], (0.0, 10.0)).is_err());
    }
}
