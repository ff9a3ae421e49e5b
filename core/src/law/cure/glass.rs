//! The glass transition that goes with a conversion, and the conversion at which a network first spans the pot.
//!
//! Does not cover the loss of glass transition by a wrong mixing ratio or by water: no number for it is known.

use crate::law::{LawError, within};

/// How the glass transition of a resin grows with conversion (DiBenedetto).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glass {
    /// Glass transition of the uncured mix [K].
    pub uncured: f64,
    /// Ratio of heat-capacity steps, cured to uncured [-].
    pub lambda: f64,
}

/// [`glass_transition`] without the checks.
pub(super) fn glass_transition_unchecked(glass: Glass, ultimate: f64, conversion: f64) -> f64 {
    glass.uncured
        + (ultimate - glass.uncured) * glass.lambda * conversion
            / (1.0 - (1.0 - glass.lambda) * conversion)
}

/// Slope of the glass transition with conversion [K].
pub(super) fn glass_transition_slope(glass: Glass, ultimate: f64, conversion: f64) -> f64 {
    let rest = 1.0 - (1.0 - glass.lambda) * conversion;
    (ultimate - glass.uncured) * glass.lambda / (rest * rest)
}

fn check(glass: Glass, ultimate: f64) -> Result<(), LawError> {
    within("lambda", glass.lambda, 0.05, 1.0)?;
    within("glass.uncured", glass.uncured, 150.0, 300.0)?;
    within("ultimate", ultimate, 303.15, 523.15)?;
    Ok(())
}

/// Glass transition at a conversion (DiBenedetto).
///
/// Tg = Tg0 + (Tg1 - Tg0) lambda alpha / (1 - (1 - lambda) alpha)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `glass` | Tg0 of the uncured mix [K] and lambda [-] | |
/// | `ultimate` | Tg1, fully cured | [K] |
/// | `conversion` | alpha | [-] |
///
/// # Returns
/// Glass transition [K].
/// # Valid for
/// Stoichiometric epoxy-amine networks, dry.
/// # Errors
/// [`LawError::OutOfRange`] for a conversion outside 0..1, lambda outside 0.05..1, glass transitions outside
/// 150..300 K (uncured) and 303..523 K (ultimate).
/// # Example
/// ```
/// use bastwork::law::cure::{Glass, glass_transition};
/// let glass = Glass { uncured: 216.15, lambda: 0.36903 };
/// let tg = glass_transition(glass, 364.15, 0.9)?;
/// assert!((tg - 273.15 - 56.8).abs() < 0.05, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Pascault and Williams 1990, J. Polym. Sci. B 28:85 (this form of DiBenedetto's equation, from memory).
pub fn glass_transition(glass: Glass, ultimate: f64, conversion: f64) -> Result<f64, LawError> {
    check(glass, ultimate)?;
    within("conversion", conversion, 0.0, 1.0)?;
    Ok(glass_transition_unchecked(glass, ultimate, conversion))
}

/// Conversion at which the glass transition reaches a temperature: [`glass_transition`] solved for alpha.
///
/// alpha = x / (lambda + (1 - lambda) x), x = (Tg - Tg0)/(Tg1 - Tg0)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `glass` | Tg0 of the uncured mix [K] and lambda [-] | |
/// | `ultimate` | Tg1, fully cured | [K] |
/// | `tg` | the glass transition wanted | [K] |
///
/// # Returns
/// Conversion [-].
/// # Valid for
/// As for [`glass_transition`].
/// # Errors
/// [`LawError::OutOfRange`] for a glass transition below that of the uncured mix or above the ultimate one.
/// # Example
/// ```
/// use bastwork::law::cure::{Glass, conversion_at_glass_transition};
/// let glass = Glass { uncured: 216.15, lambda: 0.36903 };
/// let alpha = conversion_at_glass_transition(glass, 364.15, 273.15 + 31.15)?;
/// assert!((alpha - 0.8).abs() < 0.001, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As for [`glass_transition`].
pub fn conversion_at_glass_transition(
    glass: Glass,
    ultimate: f64,
    tg: f64,
) -> Result<f64, LawError> {
    check(glass, ultimate)?;
    within("tg", tg, glass.uncured, ultimate)?;
    let x = (tg - glass.uncured) / (ultimate - glass.uncured);
    Ok(x / (glass.lambda + (1.0 - glass.lambda) * x))
}

/// Conversion of the epoxide at which the mix gels (Flory and Stockmayer).
///
/// alpha = sqrt( r / ((f_e - 1)(f_a - 1)) )
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `ratio` | r, amine hydrogen per epoxide; 1 is the exact ratio | [-] |
/// | `epoxy_groups` | f_e, epoxide groups a molecule | [-] |
/// | `amine_hydrogens` | f_a, active hydrogens a molecule | [-] |
///
/// # Returns
/// Conversion of the epoxide at the gel point [-].
/// # Valid for
/// Equal reactivity, no rings: real diamine systems gel at 0.55 to 0.65 (from memory).
/// # Errors
/// [`LawError::OutOfRange`] for a ratio at which the mix never gels, with the range in which it does; groups
/// outside 2..6, hydrogens outside 3..8.
/// # Example
/// ```
/// let alpha = bastwork::law::cure::gel_conversion(1.0, 2.0, 4.0)?;
/// assert!((alpha - 0.577_350).abs() < 1e-6);
/// assert!(bastwork::law::cure::gel_conversion(0.3, 2.0, 4.0).is_err(), "never gels");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Flory 1953, Principles of Polymer Chemistry, chapter IX; Stockmayer 1952 (from memory).
pub fn gel_conversion(
    ratio: f64,
    epoxy_groups: f64,
    amine_hydrogens: f64,
) -> Result<f64, LawError> {
    within("epoxy_groups", epoxy_groups, 2.0, 6.0)?;
    within("amine_hydrogens", amine_hydrogens, 3.0, 8.0)?;
    let branches = (epoxy_groups - 1.0) * (amine_hydrogens - 1.0);
    within("ratio", ratio, 1.0 / branches, branches)?;
    Ok((ratio / branches).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    const GLASS: Glass = Glass {
        uncured: 216.15,
        lambda: 0.369_03,
    };

    #[test]
    fn follows_the_arithmetic_check_of_the_infusion_set() {
        // Arithmetic check, to the digit shown.
        let expect = [
            (0.0, -57.0),
            (0.3, -36.8),
            (0.577, -7.4),
            (0.8, 31.2),
            (0.9, 56.8),
            (0.95, 72.5),
            (1.0, 91.0),
        ];
        for (alpha, celsius) in expect {
            let tg = glass_transition(GLASS, 364.15, alpha).unwrap();
            assert!(
                (tg - 273.15 - celsius).abs() < 0.06,
                "{alpha}: {}",
                tg - 273.15
            );
            let back = conversion_at_glass_transition(GLASS, 364.15, tg).unwrap();
            assert!((back - alpha).abs() < 1e-12);
        }
    }

    #[test]
    fn gel_moves_with_ratio_and_functionality() {
        // Flory-Stockmayer arithmetic for four and five hydrogens.
        let four = [(0.8, 0.516), (0.9, 0.548), (1.1, 0.606), (1.2, 0.632)];
        for (ratio, alpha) in four {
            assert!((gel_conversion(ratio, 2.0, 4.0).unwrap() - alpha).abs() < 6e-4);
        }
        assert!((gel_conversion(1.0, 2.0, 5.0).unwrap() - 0.5).abs() < 1e-12);
        assert!((gel_conversion(1.2, 2.0, 5.0).unwrap() - 0.548).abs() < 6e-4);
        assert!(
            gel_conversion(3.1, 2.0, 4.0).is_err(),
            "far too much hardener never gels"
        );
    }

    #[test]
    fn the_slope_is_the_slope() {
        let h = 1e-6;
        for alpha in [0.0, 0.5, 0.95] {
            let rise = glass_transition_unchecked(GLASS, 364.15, alpha + h)
                - glass_transition_unchecked(GLASS, 364.15, alpha);
            let slope = glass_transition_slope(GLASS, 364.15, alpha);
            assert!((rise / h / slope - 1.0).abs() < 1e-4);
        }
        assert!(conversion_at_glass_transition(GLASS, 364.15, 370.0).is_err());
    }
}
