//! Flow mesh on a laminate: the front runs in the mesh and soaks down into the cloth.
//!
//! Two layers, mesh and laminate. Does not cover resin breaks.

mod soak;

pub use soak::{bottom_lag, closed_end, open_end, short_mesh};

use super::flow::{strip_fill_time, strip_reach};
use super::{LawError, positive, within};

/// A mesh on a laminate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meshed {
    /// Thickness of the mesh under vacuum [m].
    pub mesh_thickness: f64,
    /// Permeability of the mesh in its plane [m2].
    pub mesh_permeability: f64,
    /// Porosity of the mesh [-].
    pub mesh_porosity: f64,
    /// Thickness of the laminate [m].
    pub laminate_thickness: f64,
    /// Permeability of the laminate in its plane, along the flow [m2].
    pub laminate_permeability: f64,
    /// Permeability of the laminate through its thickness [m2].
    pub through_permeability: f64,
    /// Porosity of the laminate [-].
    pub laminate_porosity: f64,
}

fn check(stack: &Meshed) -> Result<(), LawError> {
    positive("mesh_thickness", stack.mesh_thickness)?;
    positive("mesh_permeability", stack.mesh_permeability)?;
    within("mesh_porosity", stack.mesh_porosity, 0.02, 1.0)?;
    positive("laminate_thickness", stack.laminate_thickness)?;
    positive("laminate_permeability", stack.laminate_permeability)?;
    positive("through_permeability", stack.through_permeability)?;
    within("laminate_porosity", stack.laminate_porosity, 0.02, 1.0)?;
    Ok(())
}

/// Permeability and porosity of mesh and laminate taken as one layer.
///
/// K = (h1 K1 + h2 K2) / (h1 + h2), phi = (h1 phi1 + h2 phi2) / (h1 + h2)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stack` | thicknesses [m], permeabilities [m2], porosities | [-] |
///
/// # Returns
/// Permeability [m2], then porosity [-].
/// # Valid for
/// Once the front is much further along than the [`lag`].
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow_mesh::{Meshed, as_one_layer};
/// let stack = Meshed { mesh_thickness: 1e-3, mesh_permeability: 2e-9, mesh_porosity: 0.85, laminate_thickness: 4e-3,
///     laminate_permeability: 3e-11, through_permeability: 2e-12, laminate_porosity: 0.65 };
/// let (k, phi) = as_one_layer(&stack)?;
/// assert!((k - 4.24e-10).abs() < 1e-20 && (phi - 0.69).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Parallel flow in layers; same idea in Hsiao, Mathur, Advani, Gillespie and Fink 2000, J. Manuf. Sci. Eng.
/// 122:463 (from memory).
pub fn as_one_layer(stack: &Meshed) -> Result<(f64, f64), LawError> {
    check(stack)?;
    let (h1, h2) = (stack.mesh_thickness, stack.laminate_thickness);
    let average = |mesh: f64, laminate: f64| (h1 * mesh + h2 * laminate) / (h1 + h2);
    Ok((
        average(stack.mesh_permeability, stack.laminate_permeability),
        average(stack.mesh_porosity, stack.laminate_porosity),
    ))
}

/// Lag of the bottom of the laminate behind the front in the mesh, as a factor on its scale.
///
/// f = 2 / (sqrt(R) + sqrt(R + 2/3)): the exact end of the travelling wave pi' = R + zeta, zeta zeta' = pi,
/// pi(0) = zeta(0) = 0, at zeta = 1
///
/// Taking zeta as the variable gives pi dpi = (R + zeta) zeta dzeta, so pi = zeta sqrt(R + 2 zeta / 3), and
/// ds = zeta dzeta / pi then integrates to 3 (sqrt(R + 2/3) - sqrt(R)), the same number.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `capacity_ratio` | R = phi1 h1 / (phi2 h2), what the mesh holds over what the laminate holds | [-] |
///
/// # Returns
/// f [-].
/// # Valid for
/// Flow along the laminate small against flow along the mesh.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow_mesh::lag_factor;
/// assert!((lag_factor(0.0)? - 6.0_f64.sqrt()).abs() < 1e-12);
/// assert!((lag_factor(0.5)? - 1.119).abs() < 5e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Derived for Bastwork from Darcy flow in two layers; checked by integrating the wave with scipy.
pub fn lag_factor(capacity_ratio: f64) -> Result<f64, LawError> {
    let r = within("capacity_ratio", capacity_ratio, 0.0, 1e6)?;
    Ok(2.0 / (r.sqrt() + (r + 2.0 / 3.0).sqrt()))
}

/// How far the bottom of the laminate lags behind the front in the mesh.
///
/// d = f(R) sqrt(h1 h2 K1 / K3), R = phi1 h1 / (phi2 h2)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stack` | thicknesses [m], permeabilities [m2], porosities | [-] |
///
/// # Returns
/// Distance along the flow [m]; it depends on neither viscosity, pressure nor speed.
/// # Valid for
/// Parts longer than the lag; in shorter ones the bottom fills from above, see [`soak_time`]. Up to 15 percent long where
/// resin also runs along the laminate.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow_mesh::{Meshed, lag};
/// let stack = Meshed { mesh_thickness: 1e-3, mesh_permeability: 2e-9, mesh_porosity: 0.85, laminate_thickness: 4e-3,
///     laminate_permeability: 3e-11, through_permeability: 2e-12, laminate_porosity: 0.65 };
/// assert!((lag(&stack)? - 0.081).abs() < 5e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Derived for Bastwork, see [`lag_factor`]; example numbers are an arithmetic check.
pub fn lag(stack: &Meshed) -> Result<f64, LawError> {
    check(stack)?;
    let (h1, h2) = (stack.mesh_thickness, stack.laminate_thickness);
    let ratio = stack.mesh_porosity * h1 / (stack.laminate_porosity * h2);
    Ok(lag_factor(ratio)? * lag_scale(stack))
}

/// What lags are told in [m].
fn lag_scale(stack: &Meshed) -> f64 {
    let (h1, h2) = (stack.mesh_thickness, stack.laminate_thickness);
    (h1 * h2 * stack.mesh_permeability / stack.through_permeability).sqrt()
}

/// Time for resin to soak straight down through the laminate.
///
/// t3 = mu phi2 h2^2 / (2 K3 dp)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `viscosity` | mu | [Pa s] |
/// | `porosity` | phi2 | [-] |
/// | `thickness` | h2 | [m] |
/// | `through_permeability` | K3 | [m2] |
/// | `pressure` | dp | [Pa] |
///
/// # Returns
/// Lower bound of the time from wet mesh to wet bottom [s].
/// # Valid for
/// Full pressure in the mesh above.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let t = bastwork::law::flow_mesh::soak_time(0.3, 0.65, 4e-3, 2e-12, 9e4)?;
/// assert!((t - 8.667).abs() < 1e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// The one-dimensional Darcy law through the thickness, textbook.
pub fn soak_time(
    viscosity: f64,
    porosity: f64,
    thickness: f64,
    through_permeability: f64,
    pressure: f64,
) -> Result<f64, LawError> {
    within("thickness", thickness, 0.0, 1.0)?;
    within("through_permeability", through_permeability, 1e-17, 1e-4)?;
    strip_fill_time(
        viscosity,
        porosity,
        thickness,
        through_permeability,
        pressure,
    )
}

/// Time for a part under mesh to be wet through to the bottom at its far edge.
///
/// t = mu phi L^2 / (2 K dp) with mesh and laminate as one layer, plus t3 of [`closed_end`]: as the mesh fills up at its
/// end, pressure comes to bear there and the bottom soaks
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stack` | thicknesses [m], permeabilities [m2], porosities | [-] |
/// | `viscosity` | mu | [Pa s] |
/// | `length` | L, feed to far edge | [m] |
/// | `pressure` | dp | [Pa] |
///
/// # Returns
/// When the mesh is wet at the far edge, then when the bottom is [s].
/// # Valid for
/// Mesh along the whole length and a vent that is clamped as resin comes to it; for one that stays open see [`open_end`].
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow_mesh::{Meshed, fill_time};
/// let stack = Meshed { mesh_thickness: 1e-3, mesh_permeability: 2e-9, mesh_porosity: 0.85, laminate_thickness: 4e-3,
///     laminate_permeability: 3e-11, through_permeability: 2e-12, laminate_porosity: 0.65 };
/// let (top, bottom) = fill_time(&stack, 0.3, 1.0, 9e4)?;
/// assert!((top - 2712.0).abs() < 1.0 && (bottom - top - 8.0).abs() < 0.1);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// [`as_one_layer`] and [`closed_end`]; example numbers are an arithmetic check.
pub fn fill_time(
    stack: &Meshed,
    viscosity: f64,
    length: f64,
    pressure: f64,
) -> Result<(f64, f64), LawError> {
    let (k, phi) = as_one_layer(stack)?;
    let top = strip_fill_time(viscosity, phi, length, k, pressure)?;
    Ok((top, top + closed_end(stack, viscosity, pressure)?))
}

/// How far a part under mesh is wet, at the top and at the bottom, in a given time.
///
/// L = sqrt(2 K dp t / (mu phi)) of both as one layer, L - d_b at the bottom, not below zero
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stack` | thicknesses [m], permeabilities [m2], porosities | [-] |
/// | `viscosity` | mu | [Pa s] |
/// | `time` | t; thin-resin time when the resin thickens | [s] |
/// | `pressure` | dp | [Pa] |
///
/// # Returns
/// Distance from the feed of both as one layer, then at the bottom [m]; the tip in the mesh is a [`lag`] past the bottom.
/// # Valid for
/// Before the front is near the end, see [`bottom_lag`].
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow_mesh::{Meshed, reach};
/// let stack = Meshed { mesh_thickness: 1e-3, mesh_permeability: 2e-9, mesh_porosity: 0.85, laminate_thickness: 4e-3,
///     laminate_permeability: 3e-11, through_permeability: 2e-12, laminate_porosity: 0.65 };
/// let (top, bottom) = reach(&stack, 0.3, 2712.3, 9e4)?;
/// assert!((top - 1.0).abs() < 1e-4 && (top - bottom - 0.048).abs() < 5e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// [`as_one_layer`] and [`bottom_lag`].
pub fn reach(
    stack: &Meshed,
    viscosity: f64,
    time: f64,
    pressure: f64,
) -> Result<(f64, f64), LawError> {
    let (k, phi) = as_one_layer(stack)?;
    let top = strip_reach(viscosity, phi, time, k, pressure)?;
    Ok((top, (top - bottom_lag(stack)?).max(0.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const STACK: Meshed = Meshed {
        mesh_thickness: 1e-3,
        mesh_permeability: 2e-9,
        mesh_porosity: 0.85,
        laminate_thickness: 4e-3,
        laminate_permeability: 3e-11,
        through_permeability: 2e-12,
        laminate_porosity: 0.65,
    };

    #[test]
    fn lag_factor_against_the_integrated_wave() {
        // scipy 1.17.1, solve_ivp: tests/cases/vectors/make_flow_vectors.py.
        let mut rows = 0;
        for line in include_str!("../../../tests/cases/vectors/mesh_lag.csv")
            .lines()
            .skip(1)
        {
            let mut cells = line.split(',');
            let mut next = || cells.next().unwrap().parse::<f64>().unwrap();
            let (ratio, factor) = (next(), next());
            assert!(
                (lag_factor(ratio).unwrap() - factor).abs() < 1e-6,
                "{ratio}"
            );
            rows += 1;
        }
        assert!(rows >= 9);
    }

    #[test]
    fn a_roomy_mesh_lags_by_one_over_the_root() {
        assert!((lag_factor(1e4).unwrap() * 1e2 - 1.0).abs() < 1e-4);
        assert!(lag_factor(-0.1).is_err());
    }

    #[test]
    fn worked_example() {
        // Arithmetic check: 36 111 s without mesh, 2712 s with.
        let bare = strip_fill_time(0.3, 0.65, 1.0, 3e-11, 9e4).unwrap();
        assert!((bare - 36_111.1).abs() < 0.1);
        let (top, bottom) = fill_time(&STACK, 0.3, 1.0, 9e4).unwrap();
        assert!(top < bottom && bottom < bare);
        // In a part much shorter than the lag the bottom still needs its soaking time, but for what runs along.
        let (top, bottom) = fill_time(&STACK, 0.3, 1e-3, 9e4).unwrap();
        let soak = soak_time(0.3, 0.65, 4e-3, 2e-12, 9e4).unwrap();
        assert!(bottom > top + 0.9 * soak && bottom < top + soak);
        // Without flow along the laminate it is all of it.
        let dense = Meshed {
            laminate_permeability: 1e-16,
            ..STACK
        };
        let whole = closed_end(&dense, 0.3, 9e4).unwrap();
        assert!((whole / soak - 1.0).abs() < 1e-6);
        assert_eq!(reach(&STACK, 0.3, 1.0, 9e4).unwrap().1, 0.0);
    }

    #[test]
    fn a_second_mesh_about_doubles_the_speed() {
        let twice = Meshed {
            mesh_thickness: 2e-3,
            ..STACK
        };
        let one = reach(&STACK, 0.3, 2000.0, 9e4).unwrap().0;
        let two = reach(&twice, 0.3, 2000.0, 9e4).unwrap().0;
        // Flow conductance doubles, so does the speed for the volume to be filled: L^2 by 1.94 over 1.25 in volume.
        let conductance = (4.0e-12 + 1.2e-13) / (2.0e-12 + 1.2e-13);
        let volume = (1.7e-3 + 2.6e-3) / (0.85e-3 + 2.6e-3);
        assert!(((two / one).powi(2) / (conductance / volume) - 1.0).abs() < 1e-12);
    }
}
