//! Fill times of flat parts fed from a point, a ring or the whole rim, in closed form.

use super::super::{LawError, within};
use super::fluid;

fn radii(inner: f64, outer: f64) -> Result<(), LawError> {
    within("outer", outer, 1e-6, 1e3)?;
    within("inner", inner, 0.0, outer)?;
    Ok(())
}

/// Fill time outwards from a round inlet.
///
/// t = mu phi / (K dp) * [r^2 ln(r / r0) / 2 - (r^2 - r0^2) / 4]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `viscosity` | mu | [Pa s] |
/// | `porosity` | phi | [-] |
/// | `inner` | r0, radius of the inlet | [m] |
/// | `outer` | r, radius to fill | [m] |
/// | `permeability` | K, same in all directions | [m2] |
/// | `pressure` | dp | [Pa] |
///
/// # Returns
/// Time until the front is at the outer radius [s].
/// # Valid for
/// Cloth equal in all directions of the plane; the inlet above zero.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let t = bastwork::law::flow::radial_out_fill_time(0.3, 0.65, 0.01, 0.3, 3e-11, 9e4)?;
/// assert!((t - 9430.70).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Adams, Russel and Rebenfeld 1988, Int. J. Multiphase Flow 14:203 (from memory); textbook Darcy law in polar form.
pub fn radial_out_fill_time(
    viscosity: f64,
    porosity: f64,
    inner: f64,
    outer: f64,
    permeability: f64,
    pressure: f64,
) -> Result<f64, LawError> {
    fluid(viscosity, porosity, permeability, pressure)?;
    radii(inner, outer)?;
    within("inner", inner, 1e-6, outer)?;
    let (r0, r) = (inner * inner, outer * outer);
    let shape = 0.5 * r * (outer / inner).ln() - 0.25 * (r - r0);
    Ok(viscosity * porosity / (permeability * pressure) * shape)
}

/// Fill time inwards from a ring.
///
/// t = mu phi / (K dp) * [(R^2 - r^2) / 4 - r^2 ln(R / r) / 2]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `viscosity` | mu | [Pa s] |
/// | `porosity` | phi | [-] |
/// | `inner` | r, radius still dry; 0 for the whole disc | [m] |
/// | `outer` | R, radius of the ring | [m] |
/// | `permeability` | K, same in all directions | [m2] |
/// | `pressure` | dp | [Pa] |
///
/// # Returns
/// Time until the front is at the inner radius [s].
/// # Valid for
/// Cloth equal in all directions of the plane; a vent at the centre.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let t = bastwork::law::flow::radial_in_fill_time(0.3, 0.65, 0.0, 0.3, 3e-11, 9e4)?;
/// assert!((t - 1625.00).abs() < 0.005);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook Darcy law in polar form.
pub fn radial_in_fill_time(
    viscosity: f64,
    porosity: f64,
    inner: f64,
    outer: f64,
    permeability: f64,
    pressure: f64,
) -> Result<f64, LawError> {
    fluid(viscosity, porosity, permeability, pressure)?;
    radii(inner, outer)?;
    let (r, ring) = (inner * inner, outer * outer);
    let curved = if inner > 0.0 {
        0.5 * r * (outer / inner).ln()
    } else {
        0.0
    };
    Ok(viscosity * porosity / (permeability * pressure) * (0.25 * (ring - r) - curved))
}

/// A flat part fed all round its rim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Perimeter {
    /// Resin viscosity [Pa s].
    pub viscosity: f64,
    /// Porosity [-].
    pub porosity: f64,
    /// Ambient less bag [Pa].
    pub pressure: f64,
    /// Whole length of the part along the cloth's first direction [m].
    pub length: f64,
    /// Whole width across it [m].
    pub width: f64,
    /// Permeability along the length [m2].
    pub permeability_along: f64,
    /// Permeability along the width [m2].
    pub permeability_across: f64,
}

fn rim(part: &Perimeter) -> Result<f64, LawError> {
    fluid(
        part.viscosity,
        part.porosity,
        part.permeability_along,
        part.pressure,
    )?;
    within("permeability_across", part.permeability_across, 1e-17, 1e-4)?;
    within("length", part.length, 1e-6, 1e3)?;
    within("width", part.width, 1e-6, 1e3)?;
    Ok(part.viscosity * part.porosity / part.pressure)
}

/// Fill time of a rectangle fed all round its rim.
///
/// t = mu phi / dp * w at the centre, where K1 w_xx + K2 w_yy = -1 and w = 0 on the rim:
/// w = s^2 / 8 * [1 - 32 / pi^3 * sum over odd n of (-1)^((n-1)/2) / (n^3 cosh(n pi q / 2))],
/// s^2 the smaller of L^2 / K1 and W^2 / K2, q the ratio (not below 1) of the two roots
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `part` | mu [Pa s], phi [-], dp [Pa], sides [m], K1 and K2 | [m2] |
///
/// # Returns
/// Time until the centre is wet [s].
/// # Valid for
/// Sides along the cloth's directions; a vent at the centre.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow::{Perimeter, rectangle_fill_time};
/// let square = Perimeter { viscosity: 0.3, porosity: 0.65, pressure: 9e4, length: 0.5, width: 0.5,
///     permeability_along: 3e-11, permeability_across: 3e-11 };
/// let factor = 3e-11 * 9e4 / (0.3 * 0.65 * 0.25);
/// assert!((rectangle_fill_time(&square)? * factor - 0.0736713).abs() < 1e-7);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Poisson equation on a rectangle, the series known from torsion of bars: Timoshenko and Goodier, Theory of
/// Elasticity, chapter on torsion (from memory); checked against finite differences.
pub fn rectangle_fill_time(part: &Perimeter) -> Result<f64, LawError> {
    use std::f64::consts::{FRAC_PI_2, PI};
    let scale = rim(part)?;
    let along = part.length / part.permeability_along.sqrt();
    let across = part.width / part.permeability_across.sqrt();
    let (short, long) = (along.min(across), along.max(across));
    let ratio = long / short;
    let mut sum = 0.0;
    let mut sign = 1.0;
    // With the ratio at least 1 each term is at most e^-pi of the one before: 12 terms reach the last digit.
    for k in 0..12 {
        let n = f64::from(2 * k + 1);
        sum += sign / (n.powi(3) * (n * FRAC_PI_2 * ratio).cosh());
        sign = -sign;
    }
    Ok(scale * short * short / 8.0 * (1.0 - 32.0 / PI.powi(3) * sum))
}

/// Fill time of an ellipse fed all round its rim.
///
/// t = mu phi / dp / [2 (K1 / a^2 + K2 / b^2)], a and b half the length and the width
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `part` | mu [Pa s], phi [-], dp [Pa], whole axes [m], K1 and K2 | [m2] |
///
/// # Returns
/// Time until the centre is wet [s].
/// # Valid for
/// Axes along the cloth's directions; a vent at the centre.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow::{Perimeter, ellipse_fill_time};
/// let oval = Perimeter { viscosity: 0.3, porosity: 0.65, pressure: 9e4, length: 0.6, width: 0.4,
///     permeability_along: 4e-11, permeability_across: 1e-11 };
/// assert!((ellipse_fill_time(&oval)? - 1560.0).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Poisson equation on an ellipse, textbook.
pub fn ellipse_fill_time(part: &Perimeter) -> Result<f64, LawError> {
    let scale = rim(part)?;
    let (a, b) = (0.5 * part.length, 0.5 * part.width);
    let inverse = part.permeability_along / (a * a) + part.permeability_across / (b * b);
    Ok(scale / (2.0 * inverse))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plate(length: f64, width: f64) -> Perimeter {
        Perimeter {
            viscosity: 0.3,
            porosity: 0.65,
            pressure: 9e4,
            length,
            width,
            permeability_along: 3e-11,
            permeability_across: 3e-11,
        }
    }

    #[test]
    fn out_of_a_ring_and_into_it() {
        let strip = super::super::strip_fill_time(0.3, 0.65, 0.3, 3e-11, 9e4).unwrap();
        let disc = radial_in_fill_time(0.3, 0.65, 0.0, 0.3, 3e-11, 9e4).unwrap();
        assert!((disc / strip - 0.5).abs() < 1e-12);
        // A thin ring behaves as a strip, both ways.
        let strip = super::super::strip_fill_time(0.3, 0.65, 1e-3, 3e-11, 9e4).unwrap();
        let out = radial_out_fill_time(0.3, 0.65, 1.0, 1.001, 3e-11, 9e4).unwrap();
        let into = radial_in_fill_time(0.3, 0.65, 1.0, 1.001, 3e-11, 9e4).unwrap();
        assert!((out / strip - 1.0).abs() < 1e-3, "{}", out / strip);
        assert!((into / strip - 1.0).abs() < 1e-3, "{}", into / strip);
        assert!(radial_out_fill_time(0.3, 0.65, 0.0, 0.3, 3e-11, 9e4).is_err());
    }

    #[test]
    fn square_and_its_limits() {
        let square = rectangle_fill_time(&plate(0.5, 0.5)).unwrap();
        assert!((square - 1330.2).abs() < 0.5, "{square}");
        // A long plate fills as two strips from its long sides.
        let long = rectangle_fill_time(&plate(5.0, 0.5)).unwrap();
        let half = super::super::strip_fill_time(0.3, 0.65, 0.25, 3e-11, 9e4).unwrap();
        assert!((long / half - 1.0).abs() < 1e-6, "{}", long / half);
        let turned = rectangle_fill_time(&plate(0.5, 5.0)).unwrap();
        assert!((turned / long - 1.0).abs() < 1e-12);
    }

    #[test]
    fn rectangles_against_finite_differences() {
        // Centre value of -w_xx - w_yy = 1 on 1 x q, finite differences with extrapolation, scipy 1.17.1:
        // tests/cases/vectors/make_flow_vectors.py.
        for line in include_str!("../../../../tests/cases/vectors/rectangle.csv")
            .lines()
            .skip(1)
        {
            let mut cells = line.split(',');
            let mut next = || cells.next().unwrap().parse::<f64>().unwrap();
            let (ratio, centre) = (next(), next());
            let t = rectangle_fill_time(&plate(1.0, ratio)).unwrap();
            let w = t * 3e-11 * 9e4 / (0.3 * 0.65);
            assert!((w - centre).abs() < 2e-7, "{ratio}: {w} {centre}");
        }
    }

    #[test]
    fn unequal_permeability_is_a_stretched_part() {
        let mut part = plate(0.6, 0.4);
        part.permeability_across = 3e-11 / 4.0;
        let stretched = rectangle_fill_time(&plate(0.6, 0.8)).unwrap();
        assert!((rectangle_fill_time(&part).unwrap() / stretched - 1.0).abs() < 1e-12);
        let round = ellipse_fill_time(&plate(0.6, 0.6)).unwrap();
        let disc = radial_in_fill_time(0.3, 0.65, 0.0, 0.3, 3e-11, 9e4).unwrap();
        assert!((round / disc - 1.0).abs() < 1e-12);
    }
}
