//! Volume and surface of the resin in a cup or a tray.

use crate::law::{LawError, positive, within};

/// A body of resin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Volume [m^3].
    pub volume: f64,
    /// Whole surface, top and bottom included [m^2].
    pub surface: f64,
    /// How deep the resin stands [m].
    pub depth: f64,
}

/// Resin in a round cup or a round tray.
///
/// V = m/rho, depth = 4 V/(pi d^2), S = pi d depth + pi d^2/2
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `mass` | m | [kg] |
/// | `density` | rho | [kg/m^3] |
/// | `diameter` | d, inside | [m] |
///
/// # Returns
/// Volume [m^3], surface [m^2] and depth [m].
/// # Valid for
/// Straight walls.
/// # Errors
/// [`LawError::OutOfRange`] for a mass or diameter not above zero, a density outside 700..2500.
/// # Example
/// ```
/// let cup = bastwork::law::pot::cylinder(0.5, 1100.0, 0.115)?;
/// assert!((cup.volume / cup.surface - 0.0124).abs() < 5e-5, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Geometry.
pub fn cylinder(mass: f64, density: f64, diameter: f64) -> Result<Body, LawError> {
    let volume = positive("mass", mass)? / within("density", density, 700.0, 2500.0)?;
    let d = positive("diameter", diameter)?;
    let base = 0.25 * std::f64::consts::PI * d * d;
    let depth = volume / base;
    Ok(Body {
        volume,
        surface: 2.0 * base + std::f64::consts::PI * d * depth,
        depth,
    })
}

/// Resin in a round cup that stands in water up to the level of the resin: its open top counts for nothing.
///
/// V = m/rho, depth = 4 V/(pi d^2), S = pi d depth + pi d^2/4
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `mass` | m | [kg] |
/// | `density` | rho | [kg/m^3] |
/// | `diameter` | d, inside | [m] |
///
/// # Returns
/// Volume [m^3], the surface that the water cools [m^2] and depth [m].
/// # Valid for
/// Straight walls.
/// # Errors
/// As for [`cylinder`].
/// # Example
/// ```
/// let cup = bastwork::law::pot::cup_in_water(0.1, 1100.0, 0.070)?;
/// assert!((cup.volume / cup.surface - 0.0100).abs() < 1e-4, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Geometry; that air over the resin takes next to nothing beside water is our judgement.
pub fn cup_in_water(mass: f64, density: f64, diameter: f64) -> Result<Body, LawError> {
    let cup = cylinder(mass, density, diameter)?;
    Ok(Body {
        surface: cup.surface - 0.25 * std::f64::consts::PI * diameter * diameter,
        ..cup
    })
}

/// Resin spread in a rectangular tray.
///
/// V = m/rho, depth = V/(a b), S = 2 a b + 2 (a + b) depth
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `mass` | m | [kg] |
/// | `density` | rho | [kg/m^3] |
/// | `length` | a, inside | [m] |
/// | `width` | b, inside | [m] |
///
/// # Returns
/// Volume [m^3], surface [m^2] and depth [m].
/// # Valid for
/// A level tray with straight walls.
/// # Errors
/// [`LawError::OutOfRange`] for a mass or side not above zero, a density outside 700..2500.
/// # Example
/// ```
/// let spread = bastwork::law::pot::tray(1.1, 1100.0, 0.4, 0.25)?;
/// assert!((spread.depth - 0.01).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Geometry.
pub fn tray(mass: f64, density: f64, length: f64, width: f64) -> Result<Body, LawError> {
    let volume = positive("mass", mass)? / within("density", density, 700.0, 2500.0)?;
    let (a, b) = (positive("length", length)?, positive("width", width)?);
    let depth = volume / (a * b);
    Ok(Body {
        volume,
        surface: 2.0 * a * b + 2.0 * (a + b) * depth,
        depth,
    })
}

/// Diameter of the usual mixing cup for a mass of resin.
///
/// d = 70 mm (m / 100 g)^(1/3): the same cup shape for every size.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `mass` | m, resin in the cup | [kg] |
///
/// # Returns
/// Inside diameter [m].
/// # Valid for
/// 10 g to 20 kg; cups filled about a third as high as they are wide.
/// # Errors
/// [`LawError::OutOfRange`] for a mass outside 0.01..20 kg.
/// # Example
/// ```
/// let d = bastwork::law::pot::cup_diameter(0.1)?;
/// assert!((d - 0.070).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Our judgement.
pub fn cup_diameter(mass: f64) -> Result<f64, LawError> {
    Ok(0.070 * (within("mass", mass, 0.01, 20.0)? / 0.1).powf(1.0 / 3.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cups_keep_the_arithmetic_check() {
        // V/S in millimetres for mass in grams and diameter in millimetres.
        for (grams, mm, ratio) in [
            (50.0, 60.0, 5.2),
            (100.0, 70.0, 7.1),
            (150.0, 80.0, 8.1),
            (250.0, 90.0, 10.0),
            (1000.0, 145.0, 15.7),
            (5000.0, 250.0, 26.6),
            (1000.0, 350.0, 4.5),
        ] {
            let cup = cylinder(grams / 1e3, 1100.0, mm / 1e3).unwrap();
            assert!(
                (cup.volume / cup.surface * 1e3 - ratio).abs() < 0.06,
                "{grams} g"
            );
        }
        assert!((cylinder(1.0, 1100.0, 0.35).unwrap().depth - 0.0094).abs() < 1e-4);
    }

    #[test]
    fn spreading_the_same_mass_gives_more_surface() {
        let deep = tray(1.0, 1100.0, 0.1, 0.1).unwrap();
        let flat = tray(1.0, 1100.0, 0.4, 0.3).unwrap();
        assert!(flat.surface > 3.0 * deep.surface && (flat.volume - deep.volume).abs() < 1e-15);
        assert!(tray(1.0, 1.1, 0.1, 0.1).is_err(), "g/ml given for kg/m^3");
        assert!(cup_diameter(0.0).is_err());
        let d = cup_diameter(0.5).unwrap();
        assert!(d > 0.115 && d < 0.125, "{d}");
    }
}
