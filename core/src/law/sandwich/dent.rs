//! The first dent that a heel leaves in a skin on a core.

use super::super::{LawError, positive};

/// Force on a round heel at which the core under a skin begins to crush.
///
/// P = s pi r^2 / (1 + x ker'(x)), x = r/l, l^4 = D c / Ec: a plate on springs, pressed evenly on a circle; under a
/// point P = 8 s l^2
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `crush` | s, strength of the core pressed through its thickness | [Pa] |
/// | `skin` | D, bending stiffness of the skin by itself | [N m] |
/// | `core_modulus` | Ec, of the core through its thickness | [Pa] |
/// | `core_thickness` | c | [m] |
/// | `radius` | r, of the heel | [m] |
///
/// # Returns
/// P [N].
/// # Valid for
/// A heel far from edges, on a core that rests on a far face much stiffer than itself, thin against l or not; a hard
/// sharp edge bites before. Up to r/l of 20 by the series, beyond as s pi r^2.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// // Skin of 1.2 mm and 10 GPa on 10 mm of foam of 80 MPa that crushes at 1.4 MPa, heel of 5 mm radius: about 224 N.
/// let d = 10e9 * 1.2e-3_f64.powi(3) / 12.0;
/// let p = bastwork::law::sandwich::first_dent(1.4e6, d, 80e6, 10e-3, 5e-3)?;
/// assert!((p - 224.0).abs() < 3.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Timoshenko and Woinowsky-Krieger 1959, Theory of Plates and Shells, section 57 (from memory); the Kelvin function
/// from its series, Abramowitz and Stegun 1964, section 9.9 (from memory).
pub fn first_dent(
    crush: f64,
    skin: f64,
    core_modulus: f64,
    core_thickness: f64,
    radius: f64,
) -> Result<f64, LawError> {
    let s = positive("crush", crush)?;
    let springs =
        positive("core_modulus", core_modulus)? / positive("core_thickness", core_thickness)?;
    let l = (positive("skin", skin)? / springs).sqrt().sqrt();
    let r = positive("radius", radius)?;
    Ok(s * std::f64::consts::PI * r * r / sinks(r / l))
}

/// How far the middle sinks over q / springs: 1 + x ker'(x).
fn sinks(x: f64) -> f64 {
    if x > 20.0 {
        return 1.0;
    }
    if x < 1e-3 {
        return std::f64::consts::FRAC_PI_8 * x * x;
    }
    // With u = x^2/4: ber = sum of (-1)^k u^2k / (2k)!^2, bei the odd ones, and x times their slopes.
    let u = 0.25 * x * x;
    let log = (0.5 * x).ln();
    let mut term = 1.0;
    let mut harmonic = -0.577_215_664_901_532_9;
    let mut sum = 1.0;
    for n in 0..120_u32 {
        let k = f64::from(n);
        if n > 0 {
            term *= u / (k * k);
            harmonic += 1.0 / k;
        }
        let sign = if (n / 2) % 2 == 0 { 1.0 } else { -1.0 };
        let slope = 2.0 * k * sign * term;
        sum += if n % 2 == 0 {
            // -ln(x/2) ber + sum psi(2k+1) ..: the slope of the logarithm brings one more ber.
            slope * (harmonic - log) - sign * term
        } else {
            std::f64::consts::FRAC_PI_4 * slope
        };
        if n > 4 && term * (k + 1.0) * (1.0 + log.abs()) < 1e-17 {
            break;
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sinks_as_the_integral_says() {
        // x times the integral of J1(x t) / (1 + t^4), by scipy's quadrature.
        for (x, known) in [
            (0.05, 0.000_98),
            (0.1, 0.0039),
            (0.3, 0.034_04),
            (0.5, 0.0901),
            (1.0, 0.3054),
            (2.0, 0.7868),
            (3.0, 1.064_43),
            (4.0, 1.125_91),
            (6.0, 1.033_79),
            (10.0, 0.996_84),
        ] {
            assert!((sinks(x) - known).abs() < 1e-4 + 2e-5, "{x}: {}", sinks(x));
        }
        assert!((sinks(19.9) - 1.0).abs() < 1e-3);
        let point = first_dent(1e6, 1.0, 1e8, 1e-2, 1e-9).unwrap();
        assert!((point / (1e6 * 8.0 * (1e-10_f64).sqrt()) - 1.0).abs() < 1e-6);
        assert!(first_dent(1e6, 1.0, 1e8, 1e-2, 0.0).is_err());
    }
}
