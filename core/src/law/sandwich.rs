//! A light core between two skins: its shear, its skins' wrinkling, its crushing.
//!
//! Skins on a soft core. Does not cover skins that tear off the core, cells of a honeycomb that buckle one by
//! one, or inserts.

mod dent;
mod through;

pub use dent::first_dent;
pub use through::{Slab, Through, through};

use super::{LawError, positive, within};

/// Stiffness of a sandwich against shear through its thickness, per width.
///
/// S = G d^2 / c
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `core_shear` | G, shear modulus of the core | [Pa] |
/// | `core_thickness` | c | [m] |
/// | `between` | d, from the middle of one skin to the middle of the other | [m] |
///
/// # Returns
/// S [N/m].
/// # Valid for
/// One core and skins much stiffer than it, c <= d; with thick skins their own bending comes beside it, see [`through`].
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// // 10 mm of core of 20 MPa between skins of 2 mm: 20e6 * 0.012^2 / 0.010
/// let s = bastwork::law::sandwich::shear_stiffness(20e6, 0.010, 0.012)?;
/// assert!((s - 288e3).abs() < 1e-6);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Allen 1969, Analysis and Design of Structural Sandwich Panels, chapter 2; Zenkert 1995, An Introduction to
/// Sandwich Construction, chapter 3 (both from memory).
pub fn shear_stiffness(
    core_shear: f64,
    core_thickness: f64,
    between: f64,
) -> Result<f64, LawError> {
    let g = positive("core_shear", core_shear)?;
    let c = positive("core_thickness", core_thickness)?;
    let d = within("between", between, c, f64::MAX)?;
    Ok(g * d * d / c)
}

/// Stiffness of a sandwich against one load, bending and shear of its core together, per width.
///
/// 1 / D_s = 1 / D + c_s / S
///
/// What a sandwich gives is a part by bending, in proportion to 1 / D, and one by shear, in proportion to 1 / S. A
/// panel without a core, of bending stiffness D_s, gives as much under the same load.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `bending` | D, bending stiffness per width | [N m] |
/// | `shear` | S, shear stiffness per width; endless where nothing shears | [N/m] |
/// | `sheared` | c_s, of the load and its span: 9.6 / L^2 pressed evenly, 12 / L^2 pushed in the middle | [1/m2] |
///
/// # Returns
/// D_s [N m].
/// # Valid for
/// Strips and panels whose bending and shear add up; panels by their first wave.
/// # Errors
/// [`LawError::OutOfRange`] for a stiffness that is not positive or a load's share below zero.
/// # Example
/// ```
/// // 100 N m over 600 mm, pressed evenly, on a core of 20 kN/m: an eighth is lost to shear.
/// let d = bastwork::law::sandwich::with_shear(100.0, 20e3, 9.6 / 0.36)?;
/// assert!((d - 88.2353).abs() < 1e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Beams on two supports with shear, 5 q L^4 / (384 D) + q L^2 / (8 S) and F L^3 / (48 D) + F L / (4 S): Allen 1969,
/// Analysis and Design of Structural Sandwich Panels (from memory); the quotient is arithmetic.
pub fn with_shear(bending: f64, shear: f64, sheared: f64) -> Result<f64, LawError> {
    let bending = positive("bending", bending)?;
    if shear == f64::INFINITY {
        return Ok(bending);
    }
    let shear = positive("shear", shear)?;
    let sheared = within("sheared", sheared, 0.0, 1e9)?;
    Ok(1.0 / (1.0 / bending + sheared / shear))
}

/// Shear stress in the core of a sandwich.
///
/// tau = Q / d
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `shear` | Q, shear force per width | [N/m] |
/// | `between` | d, from the middle of one skin to the middle of the other | [m] |
///
/// # Returns
/// tau [Pa], of the sign of Q.
/// # Valid for
/// Thin skins on a soft core, which carries an even shear stress.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let tau = bastwork::law::sandwich::core_shear_stress(6000.0, 0.012)?;
/// assert!((tau - 0.5e6).abs() < 1e-6);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Allen 1969, Analysis and Design of Structural Sandwich Panels, chapter 2 (from memory).
pub fn core_shear_stress(shear: f64, between: f64) -> Result<f64, LawError> {
    let q = within("shear", shear, f64::MIN, f64::MAX)?;
    Ok(q / positive("between", between)?)
}

/// Stress at which a pressed skin wrinkles into or off its core.
///
/// sigma = 0.5 (Ef Ec Gc)^(1/3)
///
/// The theory gives 0.91 for a perfectly flat skin; 0.5 is the authors' advice for real ones.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `skin_modulus` | Ef, of the skin along the pressure | [Pa] |
/// | `core_modulus` | Ec, of the core through its thickness | [Pa] |
/// | `core_shear` | Gc, shear modulus of the core | [Pa] |
///
/// # Returns
/// Stress in the skin [Pa].
/// # Valid for
/// Cores thick against the waves of the skin; even cores such as foam, balsa or cork, bonded all over.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// // 0.5 * (8e9 * 64e6 * 27e6)^(1/3) = 0.5 * 2000 * 400 * 300
/// let sigma = bastwork::law::sandwich::wrinkling_stress(8e9, 64e6, 27e6)?;
/// assert!((sigma - 120e6).abs() < 1e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Hoff and Mautner 1945, The buckling of sandwich-type panels, J. Aeronaut. Sci. 12:285 (from memory).
pub fn wrinkling_stress(
    skin_modulus: f64,
    core_modulus: f64,
    core_shear: f64,
) -> Result<f64, LawError> {
    let f = positive("skin_modulus", skin_modulus)?;
    let c = positive("core_modulus", core_modulus)?;
    let g = positive("core_shear", core_shear)?;
    Ok(0.5 * f.cbrt() * c.cbrt() * g.cbrt())
}

/// Pressure on the core under a patch, to hold against its crushing strength.
///
/// p = F / (u v)
///
/// The skin spreads the force, so the core feels less; how much less is left out, on the safe side.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `force` | F | [N] |
/// | `length` | u, of the patch | [m] |
/// | `width` | v, of the patch | [m] |
///
/// # Returns
/// p [Pa].
/// # Valid for
/// A force spread evenly over a rectangle; hard edges press more.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// // A person on one heel, 1000 N on 50 mm by 50 mm.
/// let p = bastwork::law::sandwich::patch_pressure(1000.0, 0.05, 0.05)?;
/// assert!((p - 0.4e6).abs() < 1e-6);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition.
pub fn patch_pressure(force: f64, length: f64, width: f64) -> Result<f64, LawError> {
    let force = within("force", force, 0.0, f64::MAX)?;
    Ok(force / (positive("length", length)? * positive("width", width)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrinkling_of_a_foam_sandwich_lies_between_half_and_the_theory() {
        // Minimum over the wavelength of a skin on a soft half-space, by plain search: sigma t = D k^2 + K / k^2 with
        // the foundation K = 2 Ec k / ((1 + nu) (3 - nu)), Ec = 2 G (1 + nu); an outside theory of the same thing.
        let (ef, gc, nu, t) = (20e9, 30e6, 0.0, 1e-3_f64);
        let ec = 2.0 * gc * (1.0 + nu);
        let least = (1..20_000)
            .map(|i| {
                let k = f64::from(i);
                let foundation = 2.0 * ec * k / ((1.0 + nu) * (3.0 - nu));
                (ef * t.powi(3) / 12.0 * k * k + foundation / (k * k)) / t
            })
            .fold(f64::MAX, f64::min);
        let half = wrinkling_stress(ef, ec, gc).unwrap();
        let ratio = least / half * 0.5;
        assert!(ratio > 0.7 && ratio < 1.0, "{ratio}");
    }

    #[test]
    fn each_grows_with_what_it_should() {
        assert!(
            shear_stiffness(2e7, 0.01, 0.012).unwrap() > shear_stiffness(2e7, 0.01, 0.011).unwrap()
        );
        assert!(core_shear_stress(100.0, 0.01).unwrap() > core_shear_stress(100.0, 0.02).unwrap());
        assert!(core_shear_stress(-100.0, 0.01).unwrap() < 0.0);
        for i in 0..3 {
            let mut moduli = [1e10, 5e7, 2e7];
            let before = wrinkling_stress(moduli[0], moduli[1], moduli[2]).unwrap();
            moduli[i] *= 8.0;
            let after = wrinkling_stress(moduli[0], moduli[1], moduli[2]).unwrap();
            assert!((after / before - 2.0).abs() < 1e-12);
        }
    }

    #[test]
    fn refuses_what_it_cannot_answer() {
        assert!(
            shear_stiffness(2e7, 0.01, 0.009).is_err() && shear_stiffness(0.0, 0.01, 0.01).is_err()
        );
        assert!(core_shear_stress(1.0, 0.0).is_err() && core_shear_stress(f64::NAN, 0.01).is_err());
        assert!(wrinkling_stress(1e10, -1.0, 1e7).is_err());
        assert!(patch_pressure(-1.0, 0.1, 0.1).is_err() && patch_pressure(1.0, 0.0, 0.1).is_err());
    }
}
