//! The modified Bessel functions K0 and K1, multiplied by exp(x) so that they neither vanish nor overflow.
//!
//! Polynomials of Abramowitz and Stegun 1964, Handbook of Mathematical Functions: 9.8.1, 9.8.3 and 9.8.5 to
//! 9.8.8 (coefficients from memory, held against scipy in the tests). Positive arguments only.

fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// exp(x) K0(x), true to 3e-7 of its size [-].
pub(super) fn k0_scaled(x: f64) -> f64 {
    if x <= 2.0 {
        let t = (x / 3.75).powi(2);
        let i0 = polynomial(
            &[
                1.0,
                3.515_622_9,
                3.089_942_4,
                1.206_749_2,
                0.265_973_2,
                0.036_076_8,
                0.004_581_3,
            ],
            t,
        );
        let rest = polynomial(
            &[
                -0.577_215_66,
                0.422_784_20,
                0.230_697_56,
                0.034_885_90,
                0.002_626_98,
                0.000_107_50,
                0.000_007_40,
            ],
            0.25 * x * x,
        );
        x.exp() * (rest - (0.5 * x).ln() * i0)
    } else {
        polynomial(
            &[
                1.253_314_14,
                -0.078_323_58,
                0.021_895_68,
                -0.010_624_46,
                0.005_878_72,
                -0.002_515_40,
                0.000_532_08,
            ],
            2.0 / x,
        ) / x.sqrt()
    }
}

/// exp(x) K1(x), true to 3e-7 of its size [-].
pub(super) fn k1_scaled(x: f64) -> f64 {
    if x <= 2.0 {
        let t = (x / 3.75).powi(2);
        let i1 = x * polynomial(
            &[
                0.5,
                0.878_905_94,
                0.514_988_69,
                0.150_849_34,
                0.026_587_33,
                0.003_015_32,
                0.000_324_11,
            ],
            t,
        );
        let rest = polynomial(
            &[
                1.0,
                0.154_431_44,
                -0.672_785_79,
                -0.181_568_97,
                -0.019_194_02,
                -0.001_104_04,
                -0.000_046_86,
            ],
            0.25 * x * x,
        );
        x.exp() * ((0.5 * x).ln() * i1 + rest / x)
    } else {
        polynomial(
            &[
                1.253_314_14,
                0.234_986_19,
                -0.036_556_20,
                0.015_042_68,
                -0.007_803_53,
                0.003_256_14,
                -0.000_682_45,
            ],
            2.0 / x,
        ) / x.sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn meets_scipy() {
        // scipy 1.17.1, special.k0e and special.k1e.
        for (x, k0, k1) in [
            (0.05, 3.273_904_222_5, 20.930_465_156_6),
            (0.5, 1.524_109_385_8, 2.731_009_708_2),
            (1.9, 0.861_450_616_8, 1.067_470_929_8),
            (2.1, 0.823_017_152_5, 1.002_368_052_7),
            (10.0, 0.391_631_934_4, 0.410_766_570_6),
        ] {
            assert!(
                (k0_scaled(x) / k0 - 1.0).abs() < 3e-7,
                "K0({x}) {}",
                k0_scaled(x)
            );
            assert!(
                (k1_scaled(x) / k1 - 1.0).abs() < 3e-7,
                "K1({x}) {}",
                k1_scaled(x)
            );
        }
    }

    #[test]
    fn both_halves_meet_at_two() {
        let step = 1e-9;
        assert!((k0_scaled(2.0) / k0_scaled(2.0 + step) - 1.0).abs() < 5e-7);
        assert!((k1_scaled(2.0) / k1_scaled(2.0 + step) - 1.0).abs() < 5e-7);
    }
}
