//! Buckling of a strip that is pushed along, and what a soft core takes off any buckling load.
//!
//! Flat, even pieces and small deflections. Plates on four edges: see `thin_plate::buckles`. Does not cover edges that
//! bend with the plate, curved skins, or pieces with holes.

use super::{LawError, positive, within};
use std::f64::consts::PI;

/// Push per width at which a strip buckles; its long edges are free.
///
/// N = pi^2 D / L^2 between ends that may turn, four times that between ends that cannot
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `bending` | D, of the strip per width | [N m] |
/// | `length` | L, between the ends | [m] |
/// | `held` | whether the ends are kept from turning | |
///
/// # Returns
/// N [N/m], for a strip that is flat and even; a real one gives way well before.
/// # Valid for
/// Ends kept from moving sideways. A strip much wider than long is stiffer by 1/(1 - nu_xy nu_yx).
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// // 10 GPa, 4 mm thick, 600 mm long: D = 10e9 * 0.004^3 / 12, 1.46 N/mm.
/// let n = bastwork::law::buckling::strip(53.33, 0.6, false)?;
/// assert!((n - 1462.0).abs() < 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Euler 1744; Timoshenko and Gere 1961, Theory of Elastic Stability, section 2.2 (from memory).
pub fn strip(bending: f64, length: f64, held: bool) -> Result<f64, LawError> {
    let waves = PI * if held { 2.0 } else { 1.0 } / positive("length", length)?;
    Ok(positive("bending", bending)? * waves * waves)
}

/// What is left of a buckling load where a soft core shears, the bending of the skins by themselves included.
///
/// N = f Nb + 1 / (1 / ((1 - f) Nb) + 1 / S)
///
/// The skins bend by themselves beside the whole, which no soft core can take from them; thin skins have none of it,
/// and then 1/N = 1/Nb + 1/S. The same holds for a stiffness per square of the waves: for bending under a load of one
/// wave, and for ringing.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `rigid` | Nb, with a core that does not shear | [N/m] |
/// | `skins` | f, share of the skins' own bending in the whole | [-] |
/// | `shear` | S, shear stiffness; endless without a core | [N/m] |
///
/// # Returns
/// N [N/m].
/// # Valid for
/// Exact for strips whose ends may turn. For a plate on four edges that is pushed along it is cautious: the core then
/// shears across as well, and the exact load lies up to a third higher. For a stiffness per square of the waves: exact
/// for plates at rest that are alike in all directions, else from above by 2 % at most.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// // Faces of 1.2 mm and 10 GPa on 10 mm of cork of 4 MPa, 600 mm: 20.6 falls to 14.6 N/mm.
/// let (d, c) = (11.2e-3_f64, 10e-3);
/// let rigid = bastwork::law::buckling::strip(10e9 * 1.2e-3 * d * d / 2.0, 0.6, false)?;
/// let n = bastwork::law::buckling::with_core(rigid, 0.0, 4e6 * d * d / c)?;
/// assert!((rigid - 20.6e3).abs() < 50.0 && (n - 14.6e3).abs() < 50.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Allen 1969, Analysis and Design of Structural Sandwich Panels, chapter 8, thin and thick faces (from memory).
pub fn with_core(rigid: f64, skins: f64, shear: f64) -> Result<f64, LawError> {
    let n = positive("rigid", rigid)?;
    let f = within("skins", skins, 0.0, 1.0)?;
    let soft = 1.0 / within("shear", shear, f64::MIN_POSITIVE, f64::INFINITY)?;
    let whole = (1.0 - f) * n;
    Ok(f * n + whole / (1.0 + whole * soft))
}

/// Shear stiffness that a plate without bending of its skins must have to be as soft as one with it.
///
/// S' = Nb N / (Nb - N), with N as [`with_core`] gives it, so that 1/N = 1/Nb + 1/S'
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `rigid` | Nb, bending stiffness times the square of the waves of the load | [N/m] |
/// | `skins` | f, share of the skins' own bending in the whole | [-] |
/// | `shear` | S, shear stiffness; endless without a core | [N/m] |
///
/// # Returns
/// S' [N/m]; S itself for thin skins.
/// # Valid for
/// Exact for one wave; a load that is more local bends the skins more, and then the plate gives less than is said.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::buckling::as_thin;
/// assert!((as_thin(1e5, 0.0, 4e4)? - 4e4).abs() < 1e-6);
/// // However soft the core, the skins are left: a tenth of the whole.
/// assert!((as_thin(1e5, 0.1, 1e-3)? - 1e5 / 9.0).abs() < 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Arithmetic on [`with_core`].
pub fn as_thin(rigid: f64, skins: f64, shear: f64) -> Result<f64, LawError> {
    let n = with_core(rigid, skins, shear)?;
    Ok(if n < rigid * (1.0 - 1e-12) {
        rigid * n / (rigid - n)
    } else {
        f64::INFINITY
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solve::lowest_mode;

    /// Buckling of a pinned sandwich strip by finite differences: unknowns w and the rotation of the whole, energy of
    /// the whole in bending, of the core in shear, of the skins by themselves, and the work of the push.
    fn stepped(whole: f64, skins: f64, shear: f64, length: f64) -> f64 {
        let n = 60;
        let h = length / n as f64;
        // w at the n - 1 inner points, the rotation in the n middles between.
        let size = (n - 1) + n;
        let (mut k, mut m) = (vec![0.0; size * size], vec![0.0; size * size]);
        let w = |i: usize| (i > 0 && i < n).then(|| i - 1);
        let add = |matrix: &mut Vec<f64>, parts: &[(Option<usize>, f64)], factor: f64| {
            for &(a, x) in parts {
                for &(b, y) in parts {
                    if let (Some(a), Some(b)) = (a, b) {
                        matrix[a * size + b] += factor * x * y;
                    }
                }
            }
        };
        for i in 0..n {
            let turn = Some(n - 1 + i);
            let slope = [(w(i + 1), 1.0 / h), (w(i), -1.0 / h)];
            add(&mut m, &slope, h);
            add(&mut k, &[slope[0], slope[1], (turn, -1.0)], shear * h);
            if i > 0 {
                add(
                    &mut k,
                    &[(turn, 1.0 / h), (Some(n - 2 + i), -1.0 / h)],
                    whole * h,
                );
                let bend = 1.0 / (h * h);
                add(
                    &mut k,
                    &[(w(i + 1), bend), (w(i), -2.0 * bend), (w(i - 1), bend)],
                    skins * h,
                );
            }
        }
        lowest_mode(&mut k, &m, size).unwrap()
    }

    #[test]
    fn sandwich_strips_buckle_as_the_balance_solved_in_steps_says() {
        for (whole, skins, shear, length) in [
            (700.0, 0.0, 5e4, 0.6),
            (700.0, 3.0, 5e4, 0.6),
            (700.0, 60.0, 5e3, 0.3),
            (200.0, 100.0, 2e3, 0.2),
        ] {
            let rigid = strip(whole + skins, length, false).unwrap();
            let n = with_core(rigid, skins / (whole + skins), shear).unwrap();
            let exact = stepped(whole, skins, shear, length);
            assert!((n / exact - 1.0).abs() < 2e-3, "{n} {exact}");
        }
    }

    /// Exact for a plate at rest whose rotations are free, over all its waves: Navier's series with shear.
    fn navier(d: &[[f64; 3]; 3], shear: f64, a: f64, b: f64) -> (f64, f64) {
        let y = PI / b;
        let mut least = (f64::INFINITY, f64::INFINITY);
        for m in 1..200 {
            let x = PI * f64::from(m) / a;
            let k11 = shear + d[0][0] * x * x + d[2][2] * y * y;
            let k22 = shear + d[2][2] * x * x + d[1][1] * y * y;
            let k12 = (d[0][1] + d[2][2]) * x * y;
            let whole = shear * (x * x + y * y);
            let given = shear * shear * (x * x * k22 - 2.0 * x * y * k12 + y * y * k11)
                / (k11 * k22 - k12 * k12);
            let bent = d[0][0] * x.powi(4)
                + 2.0 * (d[0][1] + 2.0 * d[2][2]) * (x * y).powi(2)
                + d[1][1] * y.powi(4);
            least = (
                least.0.min((whole - given) / (x * x)),
                least.1.min(bent / (x * x)),
            );
        }
        least
    }

    #[test]
    fn on_four_edges_it_is_cautious_and_by_no_more_than_a_third() {
        let (mut low, mut high) = (f64::INFINITY, 0.0_f64);
        for (d11, d22, d66) in [
            (200.0, 200.0, 32.0),
            (200.0, 200.0, 88.0),
            (400.0, 80.0, 60.0),
        ] {
            let d = [[d11, 24.0, 0.0], [24.0, d22, 0.0], [0.0, 0.0, d66]];
            for ratio in [0.5, 0.8, 1.0, 1.3, 2.0, 4.0] {
                for shear in [1e3, 1e4, 4e4, 2e5, 1e7] {
                    let (exact, rigid) = navier(&d, shear, 0.5 * ratio, 0.5);
                    let off = with_core(rigid, 0.0, shear).unwrap() / exact;
                    (low, high) = (low.min(off), high.max(off));
                }
            }
        }
        assert!(low > 0.66 && low < 0.85 && high < 1.005, "{low} {high}");
    }

    #[test]
    fn limits_are_as_they_must_be() {
        assert_eq!(with_core(5.0, 0.1, f64::INFINITY).unwrap(), 5.0);
        assert_eq!(as_thin(5.0, 0.1, f64::INFINITY).unwrap(), f64::INFINITY);
        assert!((with_core(1e9, 0.0, 7.0).unwrap() - 7.0).abs() < 1e-6);
        assert!(
            (strip(1.0, 1.0, true).unwrap() / strip(1.0, 1.0, false).unwrap() - 4.0).abs() < 1e-12
        );
        assert!(strip(0.0, 1.0, false).is_err() && strip(1.0, 0.0, false).is_err());
        assert!(with_core(1.0, 1.5, 1.0).is_err() && with_core(1.0, 0.0, 0.0).is_err());
    }
}
