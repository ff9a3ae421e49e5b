//! Follows the heat balance of a pot of resin and reads off the moments that matter.

use super::shape::Body;
use crate::law::cure::{GEL_CONVERSION, Resin, rate_unchecked};
use crate::law::viscosity::{INFUSION_EPOXY, conversion_at_rise};
use crate::law::{LawError, positive, within};
use crate::solve::{Step, Track, follow};

/// The rate starts on an infinite slope (m < 1) and later runs away, so tolerances are tight. Halving them
/// moves no moment by more than one in a hundred thousand (see the tests).
const STEP: Step = Step {
    relative: 1e-7,
    absolute: 1e-9,
    longest: 600.0,
    most: 100_000,
};

/// A pot of mixed resin in a room or a bath.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pot {
    /// The resin's volume, surface and depth.
    pub body: Body,
    /// Density of the mix [kg/m^3].
    pub density: f64,
    /// Specific heat of the mix [J/(kg K)].
    pub heat_capacity: f64,
    /// Temperature of the mix at the start [K].
    pub start_temperature: f64,
    /// Temperature of the room or bath [K].
    pub room_temperature: f64,
    /// Heat transfer from the surface to the room or bath [W/(m^2 K)].
    pub heat_transfer: f64,
    /// Heat conductivity of the resin [W/(m K)]; `None` leaves the resistance of the bulk out.
    pub conductivity: Option<f64>,
    /// Conversion at which the resin gels [-].
    pub gel: f64,
}

impl Pot {
    /// The mass of resin [kg].
    pub(super) fn mass(&self) -> f64 {
        self.body.volume * self.density
    }

    /// Heat passed from the bulk to the surroundings [W/(m^2 K)].
    fn conductance(&self) -> f64 {
        let length = 3.0 * self.body.volume / self.body.surface;
        let inside = self.conductivity.map_or(0.0, |k| length / (5.0 * k));
        1.0 / (1.0 / self.heat_transfer + inside)
    }

    pub(super) fn checked(&self) -> Result<&Self, LawError> {
        positive("volume", self.body.volume)?;
        positive("surface", self.body.surface)?;
        within("density", self.density, 700.0, 2500.0)?;
        within("heat_capacity", self.heat_capacity, 800.0, 4000.0)?;
        within("start_temperature", self.start_temperature, 263.15, 343.15)?;
        within("room_temperature", self.room_temperature, 263.15, 343.15)?;
        within("heat_transfer", self.heat_transfer, 0.5, 5000.0)?;
        if let Some(k) = self.conductivity {
            within("conductivity", k, 0.05, 5.0)?;
        }
        within("gel", self.gel, 0.3, 0.9)?;
        Ok(self)
    }
}

impl Default for Pot {
    /// 100 g in a 70 mm cup at 23 C in still air.
    fn default() -> Self {
        Self {
            body: Body {
                volume: 90.909e-6,
                surface: 12.892e-3,
                depth: 23.62e-3,
            },
            density: super::DENSITY,
            heat_capacity: super::HEAT_CAPACITY,
            start_temperature: 296.15,
            room_temperature: 296.15,
            heat_transfer: super::CUP_IN_AIR,
            conductivity: Some(super::CONDUCTIVITY),
            gel: GEL_CONVERSION,
        }
    }
}

/// What became of a pot.
#[derive(Debug, Clone, PartialEq)]
pub struct PotCourse {
    /// When it had warmed by ten degrees from its start [s].
    pub ten_degrees: Option<f64>,
    /// When its cure alone had made it twice as thick, at one temperature [s].
    pub twice_as_thick: Option<f64>,
    /// When its cure alone had made it four times as thick, at one temperature [s].
    pub four_times_as_thick: Option<f64>,
    /// When it gelled [s].
    pub gel: Option<f64>,
    /// When it was hottest [s].
    pub peak_time: f64,
    /// How hot it got in this model, over-predicted above about 150 C [K].
    pub peak_temperature: f64,
    /// Conversion [-] and temperature [K] against time [s].
    pub track: Track<2>,
}

impl PotCourse {
    /// When a pot should be used up: the earlier of ten degrees of warming and four times the thickness.
    ///
    /// t = min(t(T_0 + 10 K), t(eta = 4 eta_0))
    ///
    /// # Returns
    /// Time from mixing [s]; `None` when neither came within the time followed.
    /// # Valid for
    /// As for [`pot_course`]. Warming by ten degrees hardly depends on the mass above 100 g.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::law::cure::{INFUSION_AMINE, Resin};
    /// use bastwork::law::pot::{Pot, pot_course};
    /// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
    /// let course = pot_course(&resin, &Pot::default(), 86_400.0)?;
    /// let minutes = course.use_by().unwrap() / 60.0;
    /// assert!((minutes - 47.0).abs() < 0.6, "100 g at 23 C, arithmetic check");
    /// # Ok::<(), bastwork::law::LawError>(())
    /// ```
    /// # Source
    /// Our judgement.
    pub fn use_by(&self) -> Option<f64> {
        match (self.ten_degrees, self.four_times_as_thick) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        }
    }
}

/// Course of a pot of resin from mixing until it has gelled and begun to cool, or until a time.
///
/// m c dT/dt = m H d(alpha)/dt - U S (T - T_a), U = 1/(1/h + L/(5 k)), L = 3 V/S
///
/// The times to a thickness count the rise by cure alone, as if the resin were back at one temperature: that
/// is what it will be a minute after it meets the cloth, however thin the warm pot still feels.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor, ultimate glass transition | |
/// | `pot` | body V, S; density; c; T at the start; T_a; h; k; gel | see [`Pot`] |
/// | `longest` | how long to follow it at most | [s] |
///
/// # Returns
/// The moments [s] and the peak [K], as [`PotCourse`]; a moment not reached is `None`.
/// # Valid for
/// 20 g to 20 kg (our judgement); times to about 30 %, the peak only as a hazard class.
/// # Errors
/// [`LawError::OutOfRange`] for anything in [`Pot`] or [`Resin`] that makes no sense, or a time outside
/// 1 s..60 days; [`LawError::Unsolved`] when the heat balance cannot be followed.
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin};
/// use bastwork::law::pot::{Pot, cylinder, pot_course};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let pot = Pot { body: cylinder(0.5, 1100.0, 0.115)?, ..Pot::default() };
/// let course = pot_course(&resin, &pot, 86_400.0)?;
/// let minutes = course.ten_degrees.unwrap() / 60.0;
/// assert!((minutes - 36.0).abs() < 0.6, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Lumped heat balance, textbook; L/(5 k) is the mean-to-surface resistance of an evenly heated sphere
/// (from memory), L the radius of the sphere with the same V/S.
pub fn pot_course(resin: &Resin, pot: &Pot, longest: f64) -> Result<PotCourse, LawError> {
    within("longest", longest, 1.0, 60.0 * 86_400.0)?;
    course(resin.checked()?, pot.checked()?, longest, STEP)
}

pub(super) fn course(
    resin: &Resin,
    pot: &Pot,
    longest: f64,
    step: Step,
) -> Result<PotCourse, LawError> {
    let heating = resin.kinetics.heat / pot.heat_capacity;
    let cooling = pot.conductance() * pot.body.surface / (pot.mass() * pot.heat_capacity);
    let four = conversion_at_rise(INFUSION_EPOXY, 4.0)?;
    let two = conversion_at_rise(INFUSION_EPOXY, 2.0)?;
    let done = pot.gel.max(four);
    // Temperature is followed in units of 100 K above the room, so that one absolute tolerance suits both.
    let rate = |y: &[f64; 2]| {
        let cure = rate_unchecked(resin, y[0], pot.room_temperature + 100.0 * y[1]);
        [cure, heating * cure / 100.0 - cooling * y[1]]
    };
    let start = (pot.start_temperature - pot.room_temperature) / 100.0;
    let mut track = follow(
        |_, y: &[f64; 2]| rate(y),
        0.0,
        [0.0, start],
        longest,
        step,
        |_, y| y[0] > done && rate(y)[1] < 0.0,
    )
    .map_err(|_| LawError::Unsolved {
        what: "the course of the pot",
    })?;
    for (state, slope) in track.y.iter_mut().zip(&mut track.slope) {
        state[1] = pot.room_temperature + 100.0 * state[1];
        slope[1] *= 100.0;
    }
    let (peak_time, peak_temperature) = peak(&track);
    let warm = pot.start_temperature + 10.0;
    Ok(PotCourse {
        ten_degrees: track.when(|y| y[1], warm),
        twice_as_thick: track.when(|y| y[0], two),
        four_times_as_thick: track.when(|y| y[0], four),
        gel: track.when(|y| y[0], pot.gel),
        peak_time,
        peak_temperature,
        track,
    })
}

/// Hottest moment of a track, looked for between the points beside the hottest one.
fn peak(track: &Track<2>) -> (f64, f64) {
    let hottest = (0..track.t.len())
        .max_by(|&a, &b| track.y[a][1].total_cmp(&track.y[b][1]))
        .unwrap_or(0);
    let from = track.t[hottest.saturating_sub(1)];
    let to = track.t[(hottest + 1).min(track.t.len() - 1)];
    (0..=64)
        .map(|i| from + (to - from) * f64::from(i) / 64.0)
        .map(|t| (t, track.at(t)[1]))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or((track.t[hottest], track.y[hottest][1]))
}

#[cfg(test)]
mod tests;
