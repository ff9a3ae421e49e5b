//! When the bottom under a flow mesh is wet: behind the front on its way, and at the end of the mesh.

use super::{Meshed, check, lag_scale};
use crate::law::{LawError, positive, within};

/// 8 G / pi^2, with Catalan's number G = 0.915965594: the corner of a quarter strip, see [`open_end`].
const CORNER: f64 = 0.742_453_9;

/// How far the bottom lags behind the front of mesh and laminate taken as one layer.
///
/// d_b = d0 [f - I / (1 + R)], d0 = sqrt(h1 h2 K1 / K3), I = (9/2) [ -(b^3 - a^3)/3 + (R + 2/3)(b - a) ], a = sqrt(R),
/// b = sqrt(R + 2/3), f as in [`super::lag_factor`]
///
/// The moment of what is wet about the feed grows as for one layer. In the travelling wave the laminate lacks I d0 behind
/// the tip, so the tip runs ahead of the one layer by I d0 / (1 + R), and the bottom behind it by what is left of the lag.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stack` | thicknesses [m], permeabilities [m2], porosities | [-] |
///
/// # Returns
/// Distance along the flow [m].
/// # Valid for
/// Away from feed and end; up to 20 percent long where resin also runs along the laminate.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow_mesh::{Meshed, bottom_lag, lag};
/// let stack = Meshed { mesh_thickness: 1e-3, mesh_permeability: 2e-9, mesh_porosity: 0.85, laminate_thickness: 4e-3,
///     laminate_permeability: 3e-11, through_permeability: 2e-12, laminate_porosity: 0.65 };
/// // About six tenths of the whole lag.
/// assert!((bottom_lag(&stack)? / lag(&stack)? - 0.59).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Derived for Bastwork; checked against both layers seen from the side.
pub fn bottom_lag(stack: &Meshed) -> Result<f64, LawError> {
    check(stack)?;
    let ratio = stack.mesh_porosity * stack.mesh_thickness
        / (stack.laminate_porosity * stack.laminate_thickness);
    let (a, b) = (ratio.sqrt(), (ratio + 2.0 / 3.0).sqrt());
    // Wet width behind the tip, and what the laminate lacks there.
    let wide = 3.0 * (b - a);
    let lacks = 4.5 * ((ratio + 2.0 / 3.0) * (b - a) - (b.powi(3) - a.powi(3)) / 3.0);
    Ok(lag_scale(stack) * (wide - lacks / (1.0 + ratio)))
}

/// Time from the fill of mesh and laminate as one layer to a wet bottom at the end of the mesh, nothing leaving there.
///
/// t3 = mu phi2 h2^2 / (2 K3 dp) [1 - K2 c / (phi2 a)], a = h1 K1 + h2 K2, c = h1 phi1 + h2 phi2
///
/// With nothing dry left, w of -div(K grad w) = phi is W(x) of one layer plus v(z), -K3 v'' = phi2 + K2 W'', W'' = -c/a.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stack` | thicknesses [m], permeabilities [m2], porosities | [-] |
/// | `viscosity` | mu | [Pa s] |
/// | `pressure` | dp | [Pa] |
///
/// # Returns
/// Time [s]: a vent that is clamped as resin comes to it, a closed edge, or where fronts meet.
/// # Valid for
/// Any length and any shape that the mesh covers, resin fed to the mesh. The whole time comes out within 1 percent of both layers seen
/// from the side, up to 6 short in a stack of 14 mm and 0.3 m.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow_mesh::{Meshed, closed_end, soak_time};
/// let stack = Meshed { mesh_thickness: 1e-3, mesh_permeability: 2e-9, mesh_porosity: 0.85, laminate_thickness: 4e-3,
///     laminate_permeability: 3e-11, through_permeability: 2e-12, laminate_porosity: 0.65 };
/// let soak = soak_time(0.3, 0.65, 4e-3, 2e-12, 9e4)?;
/// assert!((closed_end(&stack, 0.3, 9e4)? / soak - 0.925).abs() < 1e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Derived for Bastwork; checked against both layers seen from the side.
pub fn closed_end(stack: &Meshed, viscosity: f64, pressure: f64) -> Result<f64, LawError> {
    check(stack)?;
    within("viscosity", viscosity, 1e-5, 1e6)?;
    within("pressure", pressure, 1.0, 2e6)?;
    let (h1, h2) = (stack.mesh_thickness, stack.laminate_thickness);
    let a = h1 * stack.mesh_permeability + h2 * stack.laminate_permeability;
    let c = h1 * stack.mesh_porosity + h2 * stack.laminate_porosity;
    let phi = stack.laminate_porosity;
    let from_above = (phi - stack.laminate_permeability * c / a).max(0.0);
    Ok(viscosity * from_above * h2 * h2 / (2.0 * stack.through_permeability * pressure))
}

/// Time to fill a strip of which the mesh ends short of the far edge.
///
/// t = mu / dp [ c1 m^2 / (2 a1) + c2 e (m / a1 + (e / 2 + x) / a2) ], m = L - e, x = (2 ln 2 / pi) h2 sqrt(K2 / K3)
///
/// Resin turns down into the cloth where the mesh ends: that takes as much as a stretch x more, the fringe of a strip whose
/// face is held under the mesh and shut beyond it.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stack` | under the mesh a1 = h1 K1 + h2 K2 and c1 likewise, beyond it a2 = h2 K2 and c2 = h2 phi2 | [-] |
/// | `viscosity` | mu | [Pa s] |
/// | `length` | L, feed to far edge | [m] |
/// | `end` | e, bare cloth after the mesh | [m] |
/// | `pressure` | dp | [Pa] |
///
/// # Returns
/// Time until the far edge is wet [s].
/// # Valid for
/// A bare stretch longer than x; within 2 percent there.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow_mesh::{Meshed, fill_time, short_mesh};
/// let stack = Meshed { mesh_thickness: 1e-3, mesh_permeability: 2e-9, mesh_porosity: 0.85, laminate_thickness: 4e-3,
///     laminate_permeability: 3e-11, through_permeability: 2e-12, laminate_porosity: 0.65 };
/// // The last 81 of 500 mm bare: a third more.
/// let (_, whole) = fill_time(&stack, 0.3, 0.5, 9e4)?;
/// assert!((short_mesh(&stack, 0.3, 0.5, 0.081, 9e4)? / whole - 1.30).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Darcy law in series; x is the fringe of a plate held at one potential, from conformal mapping, textbook; checked against
/// both layers seen from the side.
pub fn short_mesh(
    stack: &Meshed,
    viscosity: f64,
    length: f64,
    end: f64,
    pressure: f64,
) -> Result<f64, LawError> {
    check(stack)?;
    within("viscosity", viscosity, 1e-5, 1e6)?;
    within("length", length, 0.0, 1e3)?;
    within("end", end, 0.0, length)?;
    within("pressure", pressure, 1.0, 2e6)?;
    let (h1, h2) = (stack.mesh_thickness, stack.laminate_thickness);
    let bare = h2 * stack.laminate_permeability;
    let under = h1 * stack.mesh_permeability + bare;
    let holds = h2 * stack.laminate_porosity;
    let holds_under = h1 * stack.mesh_porosity + holds;
    let ratio = stack.laminate_permeability / stack.through_permeability;
    let turn = 2.0 * std::f64::consts::LN_2 / std::f64::consts::PI * h2 * ratio.sqrt();
    let on = length - end;
    let before = holds_under * on * on / (2.0 * under);
    let after = holds * end * (on / under + (end / 2.0 + turn) / bare);
    Ok(viscosity / pressure * (before + after))
}

/// How many times as long the bottom soaks where the mesh runs into a vent that stays open.
///
/// 1 / (C s g), s = h2 sqrt(K2 / K3), C = 8 G / pi^2 = 0.742, at least one
///
/// At the vent the mesh has no pressure to give: the bottom there is fed along the laminate. p falls to g s X over the last
/// stretch, X the way from the vent in s; in the corner of the quarter strip, shut below and at its end, p comes to C g s.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stack` | thicknesses [m], permeabilities [m2], porosities | [-] |
/// | `slope` | g, fall of pressure towards the vent once all is wet, as a share of dp: 1 / L for a strip | [1/m] |
///
/// # Returns
/// Factor on [`closed_end`] [-].
/// # Valid for
/// Mesh up to the vent, edge of the laminate shut; with the edge open too it is a tenth more.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow_mesh::{Meshed, open_end};
/// let stack = Meshed { mesh_thickness: 1e-3, mesh_permeability: 2e-9, mesh_porosity: 0.85, laminate_thickness: 4e-3,
///     laminate_permeability: 3e-11, through_permeability: 2e-12, laminate_porosity: 0.65 };
/// // Half a metre long: 0.5 / (0.742 x 15.5 mm).
/// assert!((open_end(&stack, 2.0)? - 43.5).abs() < 0.1);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Derived for Bastwork, a sum over the strip's own waves; checked against both layers seen from the side.
pub fn open_end(stack: &Meshed, slope: f64) -> Result<f64, LawError> {
    check(stack)?;
    positive("slope", slope)?;
    let ratio = stack.laminate_permeability / stack.through_permeability;
    Ok((1.0 / (CORNER * stack.laminate_thickness * ratio.sqrt() * slope)).max(1.0))
}
