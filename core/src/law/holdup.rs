//! Resin that never reaches the part, left in tubes, spiral, mesh, peel ply and pots; and the pressure a line costs.
//!
//! Does not cover resin drawn over into the catch pot.

use super::{LawError, positive, within};

/// How much more a spiral wrap holds than its bore: its open helix fills too (from memory, 1.10 to 1.20).
pub const SPIRAL_FACTOR: f64 = 1.15;
/// Share of each mixed batch that stays in its pot [-] (from memory).
pub const DREGS_SHARE: f64 = 0.03;
/// What stays in every pot however small the batch [kg] (from memory).
pub const DREGS_LEAST: f64 = 0.020;

/// Resin that fills a tube.
///
/// m = rho (pi/4) d^2 L
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `bore` | d, inside diameter | [m] |
/// | `length` | L | [m] |
/// | `density` | rho, of the mix | [kg/m^3] |
///
/// # Returns
/// Mass of resin [kg].
/// # Valid for
/// A tube full to its end.
/// # Errors
/// [`LawError::OutOfRange`] for a bore outside 1..100 mm, a length below zero, a density outside 700..2500.
/// # Example
/// ```
/// let metre = bastwork::law::holdup::tube_resin(0.010, 1.0, 1100.0)?;
/// assert!((metre - 0.0864).abs() < 1e-4, "86 g in a metre of 10 mm, arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Geometry.
pub fn tube_resin(bore: f64, length: f64, density: f64) -> Result<f64, LawError> {
    let d = within("bore", bore, 1e-3, 0.1)?;
    let l = within("length", length, 0.0, 1e4)?;
    let rho = within("density", density, 700.0, 2500.0)?;
    Ok(rho * 0.25 * std::f64::consts::PI * d * d * l)
}

/// Resin that fills a spiral wrap.
///
/// m = f rho (pi/4) d^2 L
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `bore` | d, inside diameter | [m] |
/// | `length` | L, as laid | [m] |
/// | `density` | rho, of the mix | [kg/m^3] |
/// | `open_factor` | f, for the open helix; [`SPIRAL_FACTOR`] | [-] |
///
/// # Returns
/// Mass of resin [kg].
/// # Valid for
/// Spiral stretched a little, under the bag.
/// # Errors
/// [`LawError::OutOfRange`] as for [`tube_resin`], or a factor outside 1..2.
/// # Example
/// ```
/// let metre = bastwork::law::holdup::spiral_resin(0.010, 1.0, 1100.0, 1.15)?;
/// assert!((metre - 0.0994).abs() < 1e-4, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Geometry; the factor is from memory: weigh a used metre.
pub fn spiral_resin(
    bore: f64,
    length: f64,
    density: f64,
    open_factor: f64,
) -> Result<f64, LawError> {
    Ok(within("open_factor", open_factor, 1.0, 2.0)? * tube_resin(bore, length, density)?)
}

/// Resin that fills the open space of a sheet, such as flow mesh.
///
/// m = rho A t phi
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `area` | A | [m^2] |
/// | `thickness` | t, under the bag | [m] |
/// | `porosity` | phi, open share of the volume | [-] |
/// | `density` | rho, of the mix | [kg/m^3] |
///
/// # Returns
/// Mass of resin [kg].
/// # Valid for
/// A sheet filled all through; threads that drink resin hold more.
/// # Errors
/// [`LawError::OutOfRange`] for an area below zero, a thickness outside 0..20 mm, a porosity outside 0..1, a
/// density outside 700..2500.
/// # Example
/// ```
/// let mesh = bastwork::law::holdup::sheet_resin(1.0, 1.1e-3, 0.8, 1100.0)?;
/// assert!((mesh - 0.968).abs() < 1e-9, "kg on a square metre, arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Geometry. Meshes of 0.9 to 1.3 mm and 0.75 to 0.85 give 0.75 to 1.2 kg/m^2 unloaded and less under vacuum
/// (from memory): weigh a used square.
pub fn sheet_resin(
    area: f64,
    thickness: f64,
    porosity: f64,
    density: f64,
) -> Result<f64, LawError> {
    let a = within("area", area, 0.0, 1e4)?;
    let t = within("thickness", thickness, 0.0, 0.02)?;
    let phi = within("porosity", porosity, 0.0, 1.0)?;
    Ok(within("density", density, 700.0, 2500.0)? * a * t * phi)
}

/// Resin held by a sheet whose hold-up is known per area, such as a weighed mesh or peel ply.
///
/// m = A w
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `area` | A | [m^2] |
/// | `held` | w, resin on a square metre | [kg/m^2] |
///
/// # Returns
/// Mass of resin [kg].
/// # Valid for
/// Any sheet that was weighed dry and used.
/// # Errors
/// [`LawError::OutOfRange`] for an area below zero or more than 5 kg/m^2.
/// # Example
/// ```
/// // Plain nylon peel ply keeps 32 to 54 g/m^2 (one measured sample, prepreg bleed, 2020).
/// let kept = bastwork::law::holdup::weighed_sheet_resin(0.62, 0.050)?;
/// assert!((kept - 0.031).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of mass per area.
pub fn weighed_sheet_resin(area: f64, held: f64) -> Result<f64, LawError> {
    Ok(within("area", area, 0.0, 1e4)? * within("held", held, 0.0, 5.0)?)
}

/// Resin that stays in pots and on sticks.
///
/// m = 0.03 M + 20 g
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `batch` | M, mixed in all | [kg] |
/// | `share` | of the batch; [`DREGS_SHARE`] | [-] |
/// | `least` | however small the batch; [`DREGS_LEAST`] | [kg] |
///
/// # Returns
/// Mass of resin [kg].
/// # Valid for
/// Cups scraped once.
/// # Errors
/// [`LawError::OutOfRange`] for a batch below zero, a share outside 0..0.5, a least outside 0..1 kg.
/// # Example
/// ```
/// let left = bastwork::law::holdup::pot_dregs(1.0, 0.03, 0.020)?;
/// assert!((left - 0.050).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// From memory: weigh the pots after the job.
pub fn pot_dregs(batch: f64, share: f64, least: f64) -> Result<f64, LawError> {
    let m = within("batch", batch, 0.0, 1e4)?;
    Ok(within("share", share, 0.0, 0.5)? * m + within("least", least, 0.0, 1.0)?)
}

/// Pressure lost along a line full of resin (Hagen and Poiseuille).
///
/// dp = 128 mu L Q / (pi d^4)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `viscosity` | mu | [Pa s] |
/// | `length` | L | [m] |
/// | `flow` | Q, volume a second | [m^3/s] |
/// | `bore` | d, inside diameter | [m] |
///
/// # Returns
/// Pressure drop [Pa].
/// # Valid for
/// Slow flow in a round tube that is not kinked: resin in a shop's lines always is slow.
/// # Errors
/// [`LawError::OutOfRange`] for a bore outside 1..100 mm, a viscosity or length not above zero, a flow below
/// zero.
/// # Example
/// ```
/// // 1 kg at 0.3 Pa s through 2 m of 8 mm in 10 minutes.
/// let dp = bastwork::law::holdup::line_pressure_drop(0.3, 2.0, 1.0 / 1100.0 / 600.0, 0.008)?;
/// assert!((dp - 9043.2).abs() < 0.5, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Hagen-Poiseuille law, textbook.
pub fn line_pressure_drop(
    viscosity: f64,
    length: f64,
    flow: f64,
    bore: f64,
) -> Result<f64, LawError> {
    let (mu, l) = (
        positive("viscosity", viscosity)?,
        positive("length", length)?,
    );
    let q = within("flow", flow, 0.0, 1.0)?;
    let d = within("bore", bore, 1e-3, 0.1)?;
    Ok(128.0 * mu * l * q / (std::f64::consts::PI * d.powi(4)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tubes_hold_by_the_square_of_the_bore() {
        // Arithmetic check: grams a metre at 1.10 g/ml.
        for (mm, grams) in [(6.0, 31.0), (8.0, 55.0), (10.0, 86.0), (12.0, 124.0)] {
            let got = tube_resin(mm / 1e3, 1.0, 1100.0).unwrap() * 1e3;
            assert!((got - grams).abs() < 0.6, "{mm} mm: {got}");
        }
        assert!(
            tube_resin(8.0, 1.0, 1100.0).is_err(),
            "millimetres given for metres"
        );
        assert!(tube_resin(0.008, 0.0, 1100.0).unwrap() == 0.0);
        let spiral = spiral_resin(0.01, 2.0, 1100.0, SPIRAL_FACTOR).unwrap();
        assert!(spiral > tube_resin(0.01, 2.0, 1100.0).unwrap());
    }

    #[test]
    fn one_measured_panel_is_accounted_for() {
        // A kit-car builder's log: 0.3125 m^2 infused, 345 g used. 107 g in the part at an assumed fibre
        // share of one half, 12 g in the tube; mesh, peel ply and the rest about 226 g.
        let mesh = weighed_sheet_resin(0.3125, 0.60).unwrap();
        let peel = weighed_sheet_resin(0.3125, 0.05).unwrap();
        let total = 0.107 + 0.012 + mesh + peel;
        assert!(total > 0.26 && total < 0.36, "{total}");
        let by_geometry = sheet_resin(0.3125, 0.9e-3, 0.75, 1100.0).unwrap();
        assert!(by_geometry > mesh && by_geometry < 1.5 * mesh);
    }

    #[test]
    fn a_narrow_line_costs_by_the_fourth_power() {
        let wide = line_pressure_drop(0.3, 1.0, 1e-6, 0.010).unwrap();
        let narrow = line_pressure_drop(0.3, 1.0, 1e-6, 0.005).unwrap();
        assert!((narrow / wide - 16.0).abs() < 1e-9);
        assert!(line_pressure_drop(0.3, 1.0, 0.0, 0.005).unwrap() == 0.0);
        assert!(line_pressure_drop(0.0, 1.0, 1e-6, 0.005).is_err());
        assert!(pot_dregs(-1.0, 0.03, 0.02).is_err());
        assert!((pot_dregs(0.0, 0.03, 0.02).unwrap() - 0.02).abs() < 1e-15);
    }
}
