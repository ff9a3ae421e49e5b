//! How long a thin layer takes to get hard, told from the pot life alone: what data sheets say side by side.
//!
//! A pot heats itself and a film does not, so one cannot be worked out from the other; the data sheet's own time for a
//! thin layer wins wherever it is known. Does not cover temperature: see [`super::cure::late_for`].

use super::{LawError, positive, within};

/// Time for a thin layer to leave its mould, over the pot life of 100 g, at one temperature: low, likely, high [-].
pub const FILM_OVER_POT: (f64, f64, f64) = (26.0, 36.0, 50.0);
/// Hardeners with a longer pot life do not take longer in proportion [s]: 36 times this is a day at 21 C, which is what
/// the trade leaves them.
const IN_PROPORTION: f64 = 35.0 * 60.0;

/// Time for a thin layer to get hard enough to leave its mould.
///
/// t = max( t_kin, r min(t_pot, 35 min) )
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `pot_life` | t_pot, gel of 100 g | [s] |
/// | `by_kinetics` | t_kin, what kinetics set by that pot give, at the same temperature | [s] |
/// | `ratio` | r, thin layer over pot; [`FILM_OVER_POT`] | [-] |
///
/// # Returns
/// Time from mixing [s].
/// # Valid for
/// Room-temperature laminating and infusion epoxies with pot lives from 8 minutes on, at 20 to 25 C.
/// # Errors
/// [`LawError::OutOfRange`] for times not above zero, a ratio outside 5..200.
/// # Example
/// ```
/// use bastwork::law::film_time::film_time;
/// let fast = film_time(20.0 * 60.0, 5.1 * 3600.0, 36.0)? / 3600.0;
/// assert!((fast - 12.0).abs() < 1e-9, "20 minutes in the pot, half a day in a film");
/// let slow = film_time(115.0 * 60.0, 17.5 * 3600.0, 36.0)? / 3600.0;
/// assert!((slow - 21.0).abs() < 1e-9, "at 25 C: a day at 21");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Data sheets of hardeners with pot lives of 10 to 40 minutes: 30 to 45 times (recalled from several, from memory);
/// a day on the mould for slower ones: common practice, no source. The range of r is our judgement.
pub fn film_time(pot_life: f64, by_kinetics: f64, ratio: f64) -> Result<f64, LawError> {
    let pot = positive("pot_life", pot_life)?;
    let kinetics = positive("by_kinetics", by_kinetics)?;
    let ratio = within("ratio", ratio, 5.0, 200.0)?;
    Ok(kinetics.max(ratio * pot.min(IN_PROPORTION)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slower_hardener_is_never_hard_sooner() {
        let mut before = 0.0;
        for minutes in 8..400 {
            let pot = 60.0 * f64::from(minutes);
            // Kinetics alone give 8 to 16 times the pot life.
            let now = film_time(pot, 9.0 * pot, 36.0).unwrap();
            assert!(now >= before);
            before = now;
        }
    }

    #[test]
    fn holds_what_data_sheets_say_and_refuses_nonsense() {
        for minutes in [10.0, 20.0, 34.0] {
            let hours = |r| film_time(minutes * 60.0, 600.0, r).unwrap() / 3600.0;
            let (low, _, high) = FILM_OVER_POT;
            assert!(hours(low) < minutes / 2.0 && hours(high) > 0.75 * minutes);
        }
        assert!(film_time(0.0, 1.0, 36.0).is_err());
        assert!(film_time(60.0, 1.0, 1.0).is_err());
    }
}
