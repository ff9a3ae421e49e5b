//! When air that somebody else made up jumps or turns a corner.
//!
//! For air whose corners are not known by their making: a log, a heat lamp on a timer.

use super::{LawError, positive, within};

/// Air is looked at this often: half of the shortest spell that counts [s].
const EVERY: f64 = 300.0;
/// Less than this off a straight line is no corner [K].
const STRAIGHT: f64 = 0.5;

/// When the air jumps or turns a corner, for [`super::laminate_cure`].
///
/// A time t_i of every five minutes is one when |T_i - (T_(i-1) + T_(i+1)) / 2| > 0.5 K on either side; its
/// neighbours bracket the corner.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `air` | from a time [s] the temperature behind the mould and that over the bag [K] | |
/// | `duration` | how long to look, at most 400 days | [s] |
///
/// # Returns
/// Times between which the air is smooth, in order [s].
/// # Valid for
/// Spells of ten minutes and more that differ by more than 1 K.
/// # Errors
/// [`LawError::OutOfRange`] for a duration that is not positive or too long.
/// # Example
/// ```
/// use bastwork::law::laminate_cure::corners_of;
/// let lamp = |t: f64| (293.15, if (40_000.0..40_600.0).contains(&t) { 333.15 } else { 293.15 });
/// let corners = corners_of(lamp, 86_400.0)?;
/// assert!(corners.iter().any(|&t| (t - 40_000.0).abs() < 300.0), "on");
/// assert!(corners.iter().any(|&t| (t - 40_600.0).abs() < 300.0), "off");
/// assert!(corners_of(|_| (293.15, 293.15), 86_400.0)?.is_empty(), "an even room");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Second differences, textbook; five minutes and half a kelvin are our judgement.
pub fn corners_of(air: impl Fn(f64) -> (f64, f64), duration: f64) -> Result<Vec<f64>, LawError> {
    within(
        "duration",
        positive("duration", duration)?,
        0.0,
        400.0 * 86_400.0,
    )?;
    // A cast of at most 115 200.
    let looks = (duration / EVERY).ceil() as u32;
    let at = |i: u32| (f64::from(i) * EVERY).min(duration);
    let mut corners: Vec<f64> = Vec::new();
    let mut seen = [air(at(0)), air(at(1))];
    for i in 1..looks {
        let [before, here] = seen;
        let after = air(at(i + 1));
        let bent = |a: f64, b: f64, c: f64| (b - 0.5 * (a + c)).abs() > STRAIGHT;
        if bent(before.0, here.0, after.0) || bent(before.1, here.1, after.1) {
            for around in [i - 1, i, i + 1].map(at) {
                if corners.last().is_none_or(|&last| around > last) {
                    corners.push(around);
                }
            }
        }
        seen = [here, after];
    }
    Ok(corners)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_night_has_none_and_an_oven_has_three() {
        let night = |t: f64| {
            let air = 289.15 + 6.0 * (t / 86_400.0 * std::f64::consts::TAU).cos();
            (air, air)
        };
        assert!(corners_of(night, 9.0 * 86_400.0).unwrap().is_empty());
        // Up by 60 K in an hour, held, and off: the kinks are 5 K a look, the jump 40 K.
        let oven = |t: f64| {
            let up = (293.15 + (t - 20_000.0).max(0.0) / 60.0).min(333.15);
            (up, if t < 40_000.0 { up } else { 293.15 })
        };
        let corners = corners_of(oven, 86_400.0).unwrap();
        for kink in [20_000.0, 22_400.0, 40_000.0] {
            let near = corners.iter().filter(|&&t| (t - kink).abs() <= 600.0);
            assert!(near.count() >= 2, "{kink}: {corners:?}");
        }
        assert!(
            corners.iter().all(|t| [20_000.0, 22_400.0, 40_000.0_f64]
                .iter()
                .any(|k| (t - k).abs() <= 900.0)),
            "{corners:?}"
        );
    }

    #[test]
    fn no_ten_minutes_are_missed_wherever_they_fall() {
        for start in 0..300 {
            let from = 5000.0 + 7.3 * f64::from(start);
            let spell = |t: f64| {
                let warm = (from..from + 600.0).contains(&t);
                (293.15, if warm { 295.65 } else { 293.15 })
            };
            let corners = corners_of(spell, 86_400.0).unwrap();
            for edge in [from, from + 600.0] {
                assert!(
                    corners.iter().any(|&t| t <= edge && edge - t <= 300.0),
                    "{from}"
                );
                assert!(
                    corners.iter().any(|&t| t >= edge && t - edge <= 300.0),
                    "{from}"
                );
            }
        }
        assert!(corners_of(|_| (293.15, 293.15), 0.0).is_err());
    }
}
