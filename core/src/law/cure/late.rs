//! How much slower a film is between gel and hard than a pot tells: the part of cure that no pot life shows.
//!
//! A pot's life ends at gel, with the pot hot; a film has its slowest hours after gel, at the temperature of the
//! room. Does not touch anything before gel, nor a part that its own heat has made hot, nor what is hard already.

use super::film::time_to_pass_own_temperature;
use super::kinetics::{Kinetics, Resin};
use crate::law::{LawError, positive, within};
use crate::solve::{NoRoot, root};

/// From gel on, and wholly from this conversion on [-].
pub(super) const ONSET: (f64, f64) = (super::GEL_CONVERSION, 0.66);
/// The glass transition stands so far above the film when it counts as hard; and over how much that comes [K].
const HARD: (f64, f64) = (12.0, 4.0);
/// A part hotter than its glass transition by more than this is not held up; and over how much that goes [K].
///
/// Both widths are at least four kelvin, so that the rate still grows with temperature at every conversion.
const HOT: (f64, f64) = (45.0, 6.0);
/// A film that is slower is so at room temperature, not in an oven; half of it is gone here, and over how much [K].
///
/// Post-cures from 50 C up, and warming by 10 K an hour, were published for resins that are slow in a film.
const WARM: (f64, f64) = (313.15, 6.0);
/// Least and most that is looked for [-].
const LATE: (f64, f64) = (0.4, 500.0);

/// Reciprocal of how much slower, with its logarithmic slopes by temperature and by conversion.
///
/// `lead` is Tg - T [K], `slope` d(Tg)/d(alpha) [K].
pub(super) fn late_share(
    late: f64,
    alpha: f64,
    temperature: f64,
    (lead, slope): (f64, f64),
) -> (f64, f64, f64) {
    if late == 1.0 || alpha <= ONSET.0 {
        return (1.0, 0.0, 0.0);
    }
    let along = ((alpha - ONSET.0) / (ONSET.1 - ONSET.0)).min(1.0);
    let (begun, begins) = (
        along * along * (3.0 - 2.0 * along),
        6.0 * along * (1.0 - along) / (ONSET.1 - ONSET.0),
    );
    let gate = |x: f64| 1.0 / (1.0 + x.exp());
    let soft = gate((lead - HARD.0) / HARD.1);
    let cool = gate(-(lead + HOT.0) / HOT.1);
    let (room, by_warmth) = if late > 1.0 {
        let room = gate((temperature - WARM.0) / WARM.1);
        (room, -(1.0 - room) / WARM.1)
    } else {
        (1.0, 0.0)
    };
    let there = begun * soft * cool * room;
    let by_lead = (1.0 - cool) / HOT.1 - (1.0 - soft) / HARD.1;
    let slower = 1.0 + (late - 1.0) * there;
    let gain = -(late - 1.0) / slower;
    (
        1.0 / slower,
        gain * there * (by_warmth - by_lead),
        gain * (begins * soft * cool * room + there * by_lead * slope),
    )
}

/// How many times slower a film must be between gel and hard to become hard when its data sheet says.
///
/// t(Tg = T + margin; late) = time, by the root of late; the rate of [`super::curing_rate`] is divided by
/// 1 + (late - 1) w, with w rising from 0 at gel to 1 at a conversion of 0.66, falling again as Tg passes T + 12 K,
/// 0 in a part more than 45 K above its own Tg, and, where it is slower, halved at 40 C and gone in an oven
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor, ultimate glass transition; its own `late` is not used | |
/// | `temperature` | T, of the film, constant | [K] |
/// | `time` | until it is hard, from mixing | [s] |
/// | `margin` | Tg above T when it is: 10 K off the mould, 0 K set | [K] |
///
/// # Returns
/// late [-], from 0.4 to 500: at an end where the time lies beyond it.
/// # Valid for
/// Films, 278 to 323 K. The shape of w is our judgement: nothing before gel, nothing in a hot part, so that neither a
/// pot nor the peak of a thick part gets any cooler by it.
/// # Errors
/// [`LawError::OutOfRange`] for a time not above zero, a margin outside 0..20 K, or as for
/// [`super::time_to_glass_transition`].
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Kinetics, Resin, late_for, time_to_pass_own_temperature};
/// let fast = Resin { kinetics: INFUSION_AMINE, speed: 3.0, tg_ultimate: 364.15 };
/// let late = late_for(&fast, 298.15, 12.0 * 3600.0, 10.0)?;
/// let film = Resin { kinetics: Kinetics { late, ..INFUSION_AMINE }, ..fast };
/// let hours = time_to_pass_own_temperature(&film, 298.15, 10.0)? / 3600.0;
/// assert!((hours - 12.0).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Derived for Bastwork from [`super::time_to_pass_own_temperature`]; the window is our judgement.
pub fn late_for(resin: &Resin, temperature: f64, time: f64, margin: f64) -> Result<f64, LawError> {
    let time = positive("time", time)?;
    within("margin", margin, 0.0, 20.0)?;
    let gap = |log_late: f64| -> Result<f64, LawError> {
        let film = resin.with_late(log_late.exp());
        Ok((time_to_pass_own_temperature(&film, temperature, margin)? / time).ln())
    };
    let (low, high) = (LATE.0.ln(), LATE.1.ln());
    gap(low)?;
    match root(|x| gap(x).unwrap_or(f64::NAN), low, high, 2e-4) {
        Ok(log_late) => Ok(log_late.exp()),
        Err(NoRoot::NotBracketed { at_low, .. }) if at_low > 0.0 => Ok(LATE.0),
        Err(NoRoot::NotBracketed { at_high, .. }) if at_high < 0.0 => Ok(LATE.1),
        Err(_) => Err(LawError::Unsolved {
            what: "how slowly this film hardens after gel",
        }),
    }
}

impl Resin {
    /// The same resin, so many times slower between gel and hard.
    pub(crate) fn with_late(&self, late: f64) -> Self {
        Self {
            kinetics: Kinetics {
                late,
                ..self.kinetics
            },
            ..*self
        }
    }
}

#[cfg(test)]
mod tests;
