//! Gaps beside the cloth and in corners, where resin runs ahead.

use crate::law::{LawError, positive, within};

/// Permeability of an open gap of rectangular section.
///
/// K = (h^2 / 12) (1 - (192 h / (pi^5 w)) sum over odd i of tanh(i pi w / 2 h) / i^5), h the shorter side
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `width` | one side of the section | [m] |
/// | `height` | the other side | [m] |
///
/// # Returns
/// Permeability along the gap [m2].
/// # Valid for
/// Slow flow in a straight gap between walls; cloth as one wall lets a little more through.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow::gap_permeability;
/// // A gap of 3 mm beside 3 mm of cloth: a square duct, 3.2e-7 m2.
/// assert!((gap_permeability(3e-3, 3e-3)? - 3.2e-7).abs() < 5e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Series for laminar flow in a rectangular duct, textbook; a square gives 0.42173 h^2 / 12.
pub fn gap_permeability(width: f64, height: f64) -> Result<f64, LawError> {
    positive("width", width)?;
    positive("height", height)?;
    within("width", width, 1e-6, 1.0)?;
    within("height", height, 1e-6, 1.0)?;
    let (h, w) = (width.min(height), width.max(height));
    let term = |i: f64| (i * std::f64::consts::PI * w / (2.0 * h)).tanh() / i.powi(5);
    let sum: f64 = (0..20).map(|k| term(f64::from(2 * k + 1))).sum();
    let share = 1.0 - 192.0 * h / (std::f64::consts::PI.powi(5) * w) * sum;
    Ok(h * h / 12.0 * share)
}

/// Permeability of the gap in an inside corner that is bridged at a radius of one: the mean of u over its section, where
/// -laplace u = 1 and u = 0 at the walls.
const CORNER: f64 = 4.054e-3;

/// Section of the gap that is left in an inside corner where cloth or bag bridges it in an arc, and its permeability.
///
/// S = (1 - pi / 4) R^2, K = 4.054e-3 R^2
///
/// The section lies between two walls at right angles and a quarter of a circle that touches both.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `radius` | R, of the arc in which the corner is bridged | [m] |
///
/// # Returns
/// Section [m2], then permeability along it [m2].
/// # Valid for
/// Slow flow between walls that meet at right angles; a blunter corner leaves less. Cloth as one wall lets a little more
/// through.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow::corner_gap;
/// // A corner bridged at 6 mm: 7.7 mm2.
/// let (section, k) = corner_gap(6e-3)?;
/// assert!((section - 7.73e-6).abs() < 1e-8 && (k - 1.459e-7).abs() < 1e-10);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Derived for Bastwork: the flow in the section, solved by finite differences with scipy. A channel of its own
/// permeability beside the cloth: Hammami, Gauvin and Trochu 1998, Composites A 29:603 (from memory).
pub fn corner_gap(radius: f64) -> Result<(f64, f64), LawError> {
    within("radius", radius, 1e-6, 1.0)?;
    let square = radius * radius;
    Ok((
        (1.0 - std::f64::consts::FRAC_PI_4) * square,
        CORNER * square,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_gaps_square_ducts_and_turned_ones() {
        // Square duct: the textbook constant 0.42173; a wide one comes to h^2 / 12.
        let square = gap_permeability(2e-3, 2e-3).unwrap();
        assert!((square / (4e-6 / 12.0) - 0.42173).abs() < 1e-5);
        let wide = gap_permeability(1.0, 1e-3).unwrap();
        assert!((wide / (1e-6 / 12.0) - 1.0).abs() < 1e-3);
        assert_eq!(
            gap_permeability(1e-3, 3e-3).unwrap(),
            gap_permeability(3e-3, 1e-3).unwrap()
        );
        // Arithmetic check: gaps of 1 and 5 mm beside 3 mm of cloth.
        assert!((gap_permeability(1e-3, 3e-3).unwrap() - 6.6e-8).abs() < 5e-10);
        assert!((gap_permeability(5e-3, 3e-3).unwrap() - 4.7e-7).abs() < 5e-9);
        assert!(gap_permeability(0.0, 1e-3).is_err());
    }

    #[test]
    fn a_corner_gap_lies_between_a_round_duct_and_the_gap_of_three_rods() {
        // K = D^2 / (2 f Re), D four times the section over its rim. Shah and London 1978, Laminar Flow Forced
        // Convection in Ducts (from memory): f Re is 16 in a round duct, 6.5 between three rods that touch.
        let (section, k) = corner_gap(1.0).unwrap();
        let d = 4.0 * section / (2.0 + std::f64::consts::FRAC_PI_2);
        let friction = d * d / (2.0 * k);
        assert!((6.5..8.0).contains(&friction), "{friction}");
        let (_, twice) = corner_gap(2e-3).unwrap();
        assert!((twice / corner_gap(1e-3).unwrap().1 - 4.0).abs() < 1e-12);
        assert!(corner_gap(f64::NAN).is_err());
    }
}
