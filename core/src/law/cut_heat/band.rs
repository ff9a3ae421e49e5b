//! A band of heat sliding over a thick body: the highest surface temperature and where it is.
//!
//! Jaeger's integral is taken in closed form, so no quadrature and no fitted curve is needed.

use super::bessel::{k0_scaled, k1_scaled};
use crate::law::{LawError, positive, within};
use crate::solve::root;

/// Dimensionless half-length of a moving band.
///
/// L = v (l/2) / (2 a)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `travel` | v, speed of the band | [m/s] |
/// | `length` | l, of the band in the direction of travel | [m] |
/// | `diffusivity` | a = k/(rho c), of the body | [m^2/s] |
///
/// # Returns
/// L, half a Peclet number [-].
/// # Valid for
/// Any moving band.
/// # Errors
/// [`LawError::OutOfRange`] for values not above zero.
/// # Example
/// ```
/// let l = bastwork::law::cut_heat::peclet_half(0.005, 0.004, 1.7e-7)?;
/// assert!((l - 29.4).abs() < 0.05, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Jaeger 1942; Carslaw and Jaeger 1959, section 10.7.
pub fn peclet_half(travel: f64, length: f64, diffusivity: f64) -> Result<f64, LawError> {
    let v = positive("travel", travel)?;
    Ok(0.25 * v * positive("length", length)? / positive("diffusivity", diffusivity)?)
}

/// Distances from the hottest point to the leading and the trailing end, in the unit of L.
///
/// Where the integral is highest its integrand is equal at both ends: e^-p K0(p) = e^q K0(q), p + q = 2 L.
fn ends(half_length: f64) -> Result<(f64, f64), LawError> {
    within("half_length", half_length, 1e-4, 1e6)?;
    let whole = 2.0 * half_length;
    let gap = |p: f64| k0_scaled(p).ln() - 2.0 * p - k0_scaled(whole - p).ln();
    // Solved in ln p: for long bands the hottest point is close to the trailing end and p to the whole.
    let (low, high) = ((half_length * 1e-12).ln(), half_length.ln());
    let p = root(|log_p| gap(log_p.exp()), low, high, 1e-10)
        .map_err(|_| LawError::Unsolved {
            what: "the hottest point under the tool",
        })?
        .exp();
    Ok((p, whole - p))
}

/// Highest dimensionless surface temperature under a band of heat sliding over a thick body.
///
/// theta = max over X of the integral from X - L to X + L of e^-u K0(|u|) du
///       = q e^q (K0(q) + K1(q)) + p e^-p (K0(p) - K1(p)), p + q = 2 L
///
/// The temperature rise is (2 q a/(pi k v)) theta.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `half_length` | L, from [`peclet_half`] | [-] |
///
/// # Returns
/// theta_max [-], to one in a million.
/// # Valid for
/// L from 1e-4 to 1e6; a body thick against the heated skin.
/// # Errors
/// [`LawError::OutOfRange`] for L outside 1e-4..1e6.
/// # Example
/// ```
/// let theta = bastwork::law::cut_heat::band_peak(1.0)?;
/// assert!((theta - 3.115_990).abs() < 5e-6, "scipy 1.17.1, quad and minimize_scalar");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Jaeger 1942, J. Proc. R. Soc. N.S.W. 76:203; Carslaw and Jaeger 1959, section 10.7; the integrals of
/// e^t K0(t) and e^-t K0(t): Abramowitz and Stegun 1964, 11.3.15 (from memory), proved by differentiation.
pub fn band_peak(half_length: f64) -> Result<f64, LawError> {
    let (p, q) = ends(half_length)?;
    let behind = q * (k0_scaled(q) + k1_scaled(q));
    let ahead = p * (-2.0 * p).exp() * (k0_scaled(p) - k1_scaled(p));
    Ok(behind + ahead)
}

/// Where under a sliding band the surface is hottest.
///
/// X/L = (p - L)/L, with p as in [`band_peak`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `half_length` | L, from [`peclet_half`] | [-] |
///
/// # Returns
/// Place in half-lengths from the middle [-]: 0 the middle, -1 the trailing end.
/// # Valid for
/// As for [`band_peak`].
/// # Errors
/// As for [`band_peak`].
/// # Example
/// ```
/// let place = bastwork::law::cut_heat::band_peak_position(1.0)?;
/// assert!((place + 0.666_4).abs() < 1e-4, "scipy 1.17.1");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As for [`band_peak`].
pub fn band_peak_position(half_length: f64) -> Result<f64, LawError> {
    Ok(ends(half_length)?.0 / half_length - 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn meets_a_quadrature_run_elsewhere() {
        // scipy 1.17.1, quad and minimize_scalar: tests/cases/vectors/band_source.csv.
        for (l, theta, place) in [
            (0.05, 0.412_621_3, -0.155_6),
            (0.1, 0.691_254_1, -0.243_5),
            (0.5, 2.048_589_0, -0.536_7),
            (2.0, 4.629_470_6, -0.774_7),
            (5.0, 7.612_711_5, -0.875_9),
            (20.0, 15.639_732_5, -0.955_2),
            (50.0, 24.906_729_1, -0.978_3),
        ] {
            let got = band_peak(l).unwrap();
            assert!((got / theta - 1.0).abs() < 2e-6, "{l}: {got}");
            assert!((band_peak_position(l).unwrap() - place).abs() < 2e-4, "{l}");
        }
    }

    #[test]
    fn long_bands_heat_as_a_half_space_for_the_time_of_contact() {
        for (l, share) in [(10.0, 0.977), (20.0, 0.987), (1e4, 1.0)] {
            let got = band_peak(l).unwrap() / (2.0 * (std::f64::consts::PI * l).sqrt());
            assert!((got - share).abs() < 1e-3, "{l}: {got}");
        }
    }

    #[test]
    fn longer_is_hotter_and_nonsense_is_refused() {
        let mut last = 0.0;
        for i in -8..=12 {
            let theta = band_peak(10.0_f64.powf(f64::from(i) / 2.0)).unwrap();
            assert!(theta > last);
            last = theta;
        }
        assert!(band_peak(0.0).is_err() && band_peak(f64::NAN).is_err());
        assert!(peclet_half(0.0, 0.004, 1.7e-7).is_err());
    }
}
