//! When each of several batches must stand at the feed, so that it never runs dry.
//!
//! A fill from a line at one pressure slows down as it goes; hands work evenly. Does not cover a fill that is pinched
//! with a clamp, or resin that thickens so much on its way that the last batch lasts longer.

use super::{LawError, positive, within};

/// How resin is used up as time goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Draw {
    /// By a fill from a line: fast at first, V goes with the root of time.
    Fill,
    /// By hands: evenly.
    Hands,
}

/// Moment at which the first `used` of `count` equal batches are used up.
///
/// t = T (used/count)^2 in a fill, t = T used/count by hand
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `draw` | fill or hands | |
/// | `duration` | T, of the whole fill or of the hands' work | [s] |
/// | `used` | batches used up, at most `count` | [-] |
/// | `count` | batches in all, at least one | [-] |
///
/// # Returns
/// Time since the feed was opened or the hands began [s].
/// # Valid for
/// One-dimensional fill at constant pressure and viscosity.
/// # Errors
/// [`LawError::OutOfRange`] for a duration or count that is not positive, or more batches used than there are.
/// # Example
/// ```
/// use bastwork::law::batches::{Draw, used_up_at};
/// assert_eq!(used_up_at(Draw::Fill, 3600.0, 1.0, 2.0)?, 900.0);
/// assert_eq!(used_up_at(Draw::Hands, 3600.0, 1.0, 2.0)?, 1800.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// The square law of a one-dimensional fill: textbook Darcy law (from memory).
pub fn used_up_at(draw: Draw, duration: f64, used: f64, count: f64) -> Result<f64, LawError> {
    let duration = positive("duration", duration)?;
    let share = within("used", used, 0.0, positive("count", count)?)? / count;
    Ok(match draw {
        Draw::Fill => duration * share * share,
        Draw::Hands => duration * share,
    })
}

/// When to begin to mix each batch with one pair of hands, so that each is ready when the ones before it are used up.
///
/// from the last to the first: end_k = min(t_(k-1), begin_(k+1)), begin_k = end_k - mixing
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `draw` | fill or hands | |
/// | `duration` | T, of the whole fill or of the hands' work | [s] |
/// | `count` | batches, 1 to 1000 | [-] |
/// | `mixing` | time to weigh, stir and degas one | [s] |
///
/// # Returns
/// One moment a batch since the feed is opened [s]; before it where negative.
/// # Valid for
/// As for [`used_up_at`]; hands that are free while it fills.
/// # Errors
/// [`LawError::OutOfRange`] for a duration or count that is not positive, or a negative time to mix.
/// # Example
/// ```
/// use bastwork::law::batches::{Draw, mixing_starts};
/// // A quick fill leaves no time to mix: all four are mixed before, one after the other.
/// let quick = mixing_starts(Draw::Fill, 240.0, 4, 300.0)?;
/// assert_eq!(quick, [-1065.0, -765.0, -465.0, -165.0]);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Scheduling one machine backwards from due times, latest first; textbook (from memory).
pub fn mixing_starts(
    draw: Draw,
    duration: f64,
    count: u32,
    mixing: f64,
) -> Result<Vec<f64>, LawError> {
    let batches = within("count", f64::from(count), 1.0, 1000.0)?;
    within("mixing", mixing, 0.0, 1e7)?;
    let mut begins = vec![0.0; count as usize];
    let mut next = f64::MAX;
    for (i, begin) in begins.iter_mut().enumerate().rev() {
        let due = used_up_at(draw, duration, i as f64, batches)?;
        next = due.min(next) - mixing;
        *begin = next;
    }
    Ok(begins)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::flow::strip_fill_time;

    #[test]
    fn every_batch_is_ready_and_hands_do_one_at_a_time() {
        for (draw, duration, count, mixing) in [
            (Draw::Fill, 7800.0, 4, 240.0),
            (Draw::Fill, 100.0, 5, 600.0),
            (Draw::Hands, 2400.0, 7, 300.0),
            (Draw::Hands, 2400.0, 1, 0.0),
        ] {
            let begins = mixing_starts(draw, duration, count, mixing).unwrap();
            for (i, begin) in begins.iter().enumerate() {
                let due = used_up_at(draw, duration, i as f64, f64::from(count)).unwrap();
                assert!(
                    begin + mixing <= due + 1e-9,
                    "ready when the one before is empty"
                );
                if let Some(next) = begins.get(i + 1) {
                    assert!(begin + mixing <= next + 1e-9, "one pair of hands");
                    // No earlier than it must be.
                    assert!((begin + mixing - due.min(*next)).abs() < 1e-9);
                }
            }
        }
        assert!(mixing_starts(Draw::Fill, 100.0, 0, 1.0).is_err());
    }

    #[test]
    fn agrees_with_the_strip() {
        // A strip filled to a share of its length has used that share of its resin.
        let t = |x: f64| strip_fill_time(0.3, 0.65, x, 3e-11, 9e4).unwrap();
        for used in [0.0001, 1.0, 2.0, 3.0] {
            let found = used_up_at(Draw::Fill, t(0.5), used, 3.0).unwrap();
            assert!((found / t(0.5 * used / 3.0) - 1.0).abs() < 1e-9);
        }
        assert!(used_up_at(Draw::Fill, 3600.0, 4.0, 3.0).is_err());
        assert!(used_up_at(Draw::Hands, 3600.0, 0.0, 0.0).is_err());
    }
}
