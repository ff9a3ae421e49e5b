//! What water does to a laminate of bast fibre: how much it takes up, and how much stiffness is left.
//!
//! In the end, when nothing more goes in. Does not cover the weeks until then, swelling, or edges that rot.

use super::{LawError, within};

/// Water that a laminate takes up in the end.
///
/// M = W_f R + (1 - W_f) r
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `fibre_share` | W_f, fibre over the dry mass of the laminate | [-] |
/// | `regain` | R, water per dry fibre | [-] |
/// | `in_resin` | r, water per cured resin | [-] |
///
/// # Returns
/// M, water over dry mass [-].
/// # Valid for
/// Sound laminate; voids and cracks hold more.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::wet::gain;
/// assert!((gain(0.38, 0.23, 0.025)? - 0.103).abs() < 5e-4, "soaked, by hand");
/// assert!((gain(0.38, 0.075, 0.008)? - 0.0335).abs() < 5e-4, "at 65 % humidity, by hand");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Mass balance of its two parts.
pub fn gain(fibre_share: f64, regain: f64, in_resin: f64) -> Result<f64, LawError> {
    let share = within("fibre share", fibre_share, 0.0, 1.0)?;
    let fibre = within("regain", regain, 0.0, 1.0)?;
    let resin = within("water in resin", in_resin, 0.0, 1.0)?;
    Ok(share * fibre + (1.0 - share) * resin)
}

/// Stiffness left when a laminate holds water.
///
/// E/E_dry = 1 - (1 - s) M / M_s
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `gain` | M, water over dry mass | [-] |
/// | `soaked_gain` | M_s, the same when soaked | [-] |
/// | `soaked_left` | s, stiffness left when soaked | [-] |
///
/// # Returns
/// Stiffness over that of the dry laminate [-].
/// # Valid for
/// Bast fibre, M from none to M_s. Most comes back on drying.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::wet::stiffness_left;
/// assert!((stiffness_left(0.103, 0.103, 0.65)? - 0.65).abs() < 1e-12);
/// assert!((stiffness_left(0.0515, 0.103, 0.65)? - 0.825).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Straight line: Le Duigou 2011, DOI 10.1155/2011/235805 (abstract read: flax/PLLA in sea water changes nearly linearly
/// with its gain). What is left when soaked is our judgement.
pub fn stiffness_left(gain: f64, soaked_gain: f64, soaked_left: f64) -> Result<f64, LawError> {
    let most = within("soaked gain", soaked_gain, 1e-6, 1.0)?;
    let water = within("gain", gain, 0.0, most)?;
    let left = within("soaked stiffness", soaked_left, 0.01, 1.0)?;
    Ok(1.0 - (1.0 - left) * water / most)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wetter_is_never_stiffer() {
        let mut before = 1.0;
        for k in 0..=50 {
            let now = stiffness_left(0.002 * f64::from(k), 0.1, 0.65).unwrap();
            assert!(now <= before && now >= 0.65 - 1e-12, "{k}: {now}");
            before = now;
        }
        // More fibre takes up more, and air never more than water.
        assert!(gain(0.5, 0.23, 0.025).unwrap() > gain(0.38, 0.23, 0.025).unwrap());
        assert!((gain(0.5, 0.23, 0.025).unwrap() - 0.1275).abs() < 1e-12);
        assert!(stiffness_left(0.11, 0.1, 0.65).is_err() && gain(1.1, 0.2, 0.02).is_err());
    }
}
