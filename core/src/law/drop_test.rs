//! The drop test: a bag is shut off from its pump, and its rising pressure tells a leak from water vapour.
//!
//! Air leaks in at a steady rate while the bag is far below the pressure outside: a straight line. Water leaves
//! the cloth until its vapour is in balance: a rise that ends, and never by more than saturation. Air that the pump
//! left stands beside it, so the pressure itself may lie above. What lies between is said to lie between. The bag is taken as pumped until its pressure stood still, and its temperature as steady.

mod courses;
mod doubt;
mod judged;
mod log;
mod pace;
mod weigh;

#[cfg(test)]
mod tests;

pub use courses::{Fit, aicc, fit};
pub use judged::{Judged, Verdict, judge};

/// One reading of the gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// When, on any clock [s].
    pub time: f64,
    /// What the gauge shows, above a perfect vacuum [Pa].
    pub pressure: f64,
}

/// What the readings are held against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Smallest step that can be read on the gauge [Pa].
    pub step: f64,
    /// Saturation pressure of water at the temperature of the bag [Pa].
    pub saturation: f64,
    /// How far a rise may lie off against saturation, as a share of it [-]: 0.065 for each kelvin that the temperature
    /// is uncertain, and what the gauge's scale may be off over such a rise. See [`play`].
    pub saturation_play: f64,
    /// Pressure outside the bag [Pa].
    pub outside: f64,
}

impl Conditions {
    /// No vapour of water reaches more than this by itself [Pa].
    pub(crate) fn ceiling(&self) -> f64 {
        self.saturation * (1.0 + self.saturation_play)
    }
}

/// What makes the pressure rise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Course {
    /// Air that comes in: p0 + L t.
    Leak,
    /// Water that evaporates until its vapour is in balance: p0 + B (1 - exp(-(t / tau)^b)).
    Vapour,
    /// The two together: p0 + L t + B (1 - exp(-(t / tau)^b)).
    Both,
}

impl Course {
    /// The three in the order of [`Judged::shares`].
    pub const ALL: [Self; 3] = [Self::Leak, Self::Vapour, Self::Both];

    /// Numbers that are fitted, the variance counted, a stretch not.
    pub(crate) const fn parameters(self) -> usize {
        match self {
            Self::Leak => 3,
            Self::Vapour => 4,
            Self::Both => 5,
        }
    }
}

/// How far a rise of the gauge may lie off against the saturation pressure, as a share of it.
///
/// play = 0.065 * dT + offset / p_sat
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `saturation` | p_sat | [Pa] |
/// | `kelvin` | dT, uncertainty of the temperature of the bag | [K] |
/// | `offset` | how far the gauge may be off over a rise of p_sat; its zero falls out of a rise | [Pa] |
///
/// # Returns
/// The share [-], for [`Conditions::saturation_play`].
/// # Valid for
/// 0 to 60 °C, where saturation rises by 5 to 7 percent a kelvin; up to 10 K.
/// # Errors
/// [`LawError::OutOfRange`](super::LawError::OutOfRange) naming the argument.
/// # Example
/// ```
/// // One kelvin at 20 °C: 2339 Pa there, 2488 Pa at 21 °C, 0.064 more.
/// let play = bastwork::law::drop_test::play(2339.0, 1.0, 0.0)?;
/// assert!((play - 0.065).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Slope of the saturation pressure (IAPWS SR1-86, 1992) at 15 to 20 °C, arithmetic check.
pub fn play(saturation: f64, kelvin: f64, offset: f64) -> Result<f64, super::LawError> {
    let saturation = super::positive("saturation", saturation)?;
    let kelvin = super::within("kelvin", kelvin, 0.0, 10.0)?;
    let offset = super::within("offset", offset, 0.0, 1.1e5)?;
    Ok(0.065 * kelvin + offset / saturation)
}
