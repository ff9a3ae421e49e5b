//! Carbon of a part: fossil of what goes into it, carbon dioxide held in its fibre, and what a mill adds to fibre.
//!
//! The lines stay apart: what is held is never taken off the fossil line. Does not cover transport, the workshop, or
//! what happens at the end.

use super::{LawError, within};

/// Carbon dioxide per carbon, by mass [-].
pub const CO2_PER_CARBON: f64 = 44.0 / 12.0;

/// Carbon dioxide held in the dry fibre of a part.
///
/// m_CO2 = 44/12 c m / (1 + w)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `mass` | m, of the fibre as it was weighed | [kg] |
/// | `carbon` | c, carbon in dry fibre, 0.425 to 0.45 for flax | [-] |
/// | `moisture` | w, water per dry fibre | [-] |
///
/// # Returns
/// Carbon dioxide that the plant took up [kg].
/// # Valid for
/// As long as the part lasts: burnt or rotted, it comes back.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::footprint::stored_co2;
/// // Flax fleece: 16.15 kg of carbon in 38 kg.
/// assert!((stored_co2(1.0, 16.15 / 38.0, 0.0)? - 1.56).abs() < 2e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// EN 16449:2014 on wood (formula from memory), taken for other plants; carbon of the example: ÖKOBAUDAT, flax fleece (EN 15804+A2, Germany, 2022).
pub fn stored_co2(mass: f64, carbon: f64, moisture: f64) -> Result<f64, LawError> {
    let mass = within("mass", mass, 0.0, 1e6)?;
    let carbon = within("carbon", carbon, 0.0, 1.0)?;
    let moisture = within("moisture", moisture, 0.0, 5.0)?;
    Ok(CO2_PER_CARBON * carbon * mass / (1.0 + moisture))
}

/// Fibre lost in spinning, per fibre that goes in [-].
const SPINNING_LOSS: f64 = 0.12;
/// Yarn lost in weaving, per yarn that goes in, rounded to four digits in its source [-].
const WEAVING_LOSS: f64 = 0.0667;
/// Electricity of spinning yarn of 50 m/g [kWh/kg].
const SPINNING_AT_NM_50: f64 = 4.0;
/// Electricity of weaving, per pick and metre [kWh].
const WEAVING_PER_PICK_METRE: f64 = 3.145e-4;
/// Warp and weft, each longer than the cloth by 8 % of crimp [-].
const YARN_PER_CLOTH: f64 = 2.16;

/// Electricity of spinning and weaving, per woven cloth.
///
/// W = 4 Nm/50 / (1 - l_w) + 3.145e-4 1000 Nm / 2.16, Nm the metres of yarn in a gram
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `yarn_linear_mass` | 1/Nm; 250 tex is 0.00025 | [kg/m] |
///
/// # Returns
/// W [kWh/kg].
/// # Valid for
/// Yarn of 10 to 2000 tex, as much in warp as in weft. The model is that of cotton; wet spinning is not told apart.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::footprint::mill_electricity;
/// // Yarn of 250 tex, as in cloth of 550 g/m2 (arithmetic check).
/// assert!((mill_electricity(250e-6)? - 0.92).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// French national textile-footprint data set, version of December 2021: its model of spinning and weaving.
pub fn mill_electricity(yarn_linear_mass: f64) -> Result<f64, LawError> {
    let tex = 1e6 * within("yarn_linear_mass", yarn_linear_mass, 1e-5, 2e-3)?;
    let metres = 1000.0 / tex;
    Ok(SPINNING_AT_NM_50 * metres / 50.0 / (1.0 - WEAVING_LOSS)
        + WEAVING_PER_PICK_METRE * 1000.0 * metres / YARN_PER_CLOTH)
}

/// Fossil carbon of a woven cloth, from that of its fibre and the power of the mill.
///
/// g = g_f / ((1 - l_s) (1 - l_w)) + W q, losses 12 % in spinning and 6.67 % in weaving
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `fibre` | g_f, of a kilogram of fibre at the spinner's gate | [kg/kg] |
/// | `yarn_linear_mass` | of the yarn: see [`mill_electricity`] | [kg/m] |
/// | `grid` | q, carbon dioxide per kilowatt hour | [kg/kWh] |
///
/// # Returns
/// g [kg/kg]. Public figures for flax yarn differ tenfold: show the range.
/// # Valid for
/// As [`mill_electricity`]; hackling, sizing and transport are left out.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::footprint::woven_cloth;
/// // Coarse flax cloth woven in France and in China (arithmetic check).
/// assert!((woven_cloth(1.16, 250e-6, 0.081)? - 1.49).abs() < 0.01);
/// assert!((woven_cloth(1.16, 250e-6, 1.06)? - 2.39).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Losses, grids and electricity: French national textile-footprint data set, December 2021; fibre of the example:
/// the same, April 2024.
pub fn woven_cloth(fibre: f64, yarn_linear_mass: f64, grid: f64) -> Result<f64, LawError> {
    let fibre = within("fibre", fibre, -10.0, 1e3)?;
    let grid = within("grid", grid, 0.0, 3.0)?;
    Ok(fibre / ((1.0 - SPINNING_LOSS) * (1.0 - WEAVING_LOSS))
        + mill_electricity(yarn_linear_mass)? * grid)
}

/// Fossil carbon of a list of masses.
///
/// G = Σ m g
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `parts` | pairs of m [kg] and g, carbon dioxide equivalent per mass | [kg/kg] |
///
/// # Returns
/// G [kg CO2e].
/// # Valid for
/// Factors of one boundary; masses that were used, offcuts included where the factor is to cover them.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::footprint::fossil;
/// // A square metre of four plies: 1.20 kg of flax cloth at 2.0 and 1.47 kg of epoxy at 6.3 (arithmetic check).
/// let all = fossil(&[(1.20, 2.0), (1.47, 6.3)])?;
/// assert!((all - 11.66).abs() < 0.005 && (fossil(&[(1.47, 6.3)])? / all - 0.79).abs() < 0.005);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition.
pub fn fossil(parts: &[(f64, f64)]) -> Result<f64, LawError> {
    let mut sum = 0.0;
    for &(mass, factor) in parts {
        sum += within("mass", mass, 0.0, 1e6)? * within("factor", factor, -10.0, 1e3)?;
    }
    Ok(sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cloth_built_up_from_fibre() {
        // Arithmetic check: electricity per cloth, and cloth on three grids of 0.081, 0.30 and 1.06 kg/kWh.
        for (tex, kwh, low, middle, high) in [
            (250.0, 0.92, 1.5, 1.7, 2.4),
            (1000.0 / 6.0, 1.39, 1.5, 1.8, 2.9),
            (100.0, 2.31, 1.6, 2.1, 3.9),
            (1000.0 / 26.0, 6.01, 1.9, 3.2, 7.8),
        ] {
            let yarn = tex * 1e-6;
            let electricity = mill_electricity(yarn).unwrap();
            assert!((electricity - kwh).abs() < 0.006, "{electricity}");
            for (grid, expected) in [(0.081, low), (0.30, middle), (1.06, high)] {
                let found = woven_cloth(1.16, yarn, grid).unwrap();
                assert!((found - expected).abs() < 0.051, "{tex} {grid}: {found}");
            }
        }
        // No power: what the losses alone make of the fibre.
        assert!((woven_cloth(1.16, 250e-6, 0.0).unwrap() - 1.412).abs() < 5e-4);
        assert!(woven_cloth(1.16, 0.0, 0.3).is_err());
    }

    #[test]
    fn water_in_the_fibre_holds_no_carbon() {
        let dry = stored_co2(1.0, 0.45, 0.0).unwrap();
        assert!((dry - 1.65).abs() < 1e-12);
        assert!((stored_co2(1.07, 0.45, 0.07).unwrap() - dry).abs() < 1e-12);
        assert!(stored_co2(1.0, 1.1, 0.0).is_err());
    }

    #[test]
    fn resin_decides_the_fossil_line() {
        // Low and high ends of both factors (arithmetic check): resin makes 64 to 85 % of the two.
        for (flax, epoxy, share) in [(4.0, 5.7, 0.64), (1.5, 6.9, 0.85), (16.7, 6.3, 0.32)] {
            let all = fossil(&[(1.20, flax), (1.47, epoxy)]).unwrap();
            let resin = fossil(&[(1.47, epoxy)]).unwrap();
            assert!((resin / all - share).abs() < 0.006, "{}", resin / all);
        }
        assert_eq!(fossil(&[]).unwrap(), 0.0);
        assert!(fossil(&[(-1.0, 2.0)]).is_err());
    }
}
