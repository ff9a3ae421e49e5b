//! A gap beside the cloth, where resin runs ahead.

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
}
