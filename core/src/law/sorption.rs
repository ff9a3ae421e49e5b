//! How much water flax holds in air of a temperature and humidity, and what one weighing says about it.
//!
//! One curve for taking up and giving off: the loop between them is small for flax. Below 5 % relative
//! humidity published curves differ two- to threefold, so residues there are only "below about 1 %".

use super::wood_curve::Hydrate;
use super::{LawError, positive, water_vapour, within};

/// Flax regain as a share of wood's in the same air, likely value [-]. Our judgement between the 7 %
/// that Morton and Hearle (2008) give at 65 % relative humidity (0.58) and 9 % (0.75).
pub const FLAX_SCALE: f64 = 0.70;
/// Low end of [`FLAX_SCALE`] [-], our judgement: 7 % regain at 20 °C and 65 % relative humidity.
pub const FLAX_SCALE_LOW: f64 = 0.58;
/// High end of [`FLAX_SCALE`] [-], our judgement.
pub const FLAX_SCALE_HIGH: f64 = 0.80;
/// Heat to free water from flax beyond its latent heat, mean from 8 % regain to dry [J/kg]. Our estimate
/// of 300 from the heat of wetting of flax, 55 J/g (Morton and Hearle 2008, Table 8.1), 300 to 500 kJ/kg.
pub const HEAT_OF_SORPTION: f64 = 3.0e5;

fn warm(temperature: f64) -> Result<f64, LawError> {
    within("temperature", temperature, 273.15, 378.15)
}

fn scaled(scale: f64) -> Result<f64, LawError> {
    within("scale", scale, 0.05, 3.0)
}

/// Water as a share of the whole, from regain.
///
/// MC = R / (1 + R)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `regain` | R, water over dry mass | [-] |
///
/// # Returns
/// Moisture content, water over whole mass [-].
/// # Valid for
/// Regain 0 to 10.
/// # Errors
/// [`LawError::OutOfRange`] naming `regain`.
/// # Example
/// ```
/// let mc = bastwork::law::sorption::moisture_content(0.12)?;
/// assert!((mc - 0.1071).abs() < 5e-5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition; Morton and Hearle 2008, Physical Properties of Textile Fibres.
pub fn moisture_content(regain: f64) -> Result<f64, LawError> {
    let r = within("regain", regain, 0.0, 10.0)?;
    Ok(r / (1.0 + r))
}

/// Water as a share of the dry mass, from moisture content.
///
/// R = MC / (1 - MC)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `moisture_content` | MC, water over whole mass | [-] |
///
/// # Returns
/// Regain, water over dry mass [-].
/// # Valid for
/// Moisture content 0 to 0.9.
/// # Errors
/// [`LawError::OutOfRange`] naming `moisture_content`.
/// # Example
/// ```
/// let r = bastwork::law::sorption::regain_from_content(0.0783)?;
/// assert!((r - 0.085).abs() < 1e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition; Morton and Hearle 2008, Physical Properties of Textile Fibres.
pub fn regain_from_content(moisture_content: f64) -> Result<f64, LawError> {
    let mc = within("moisture_content", moisture_content, 0.0, 0.9)?;
    Ok(mc / (1.0 - mc))
}

/// Dry mass of cloth whose mass is known at a regain; works per area as well.
///
/// m_dry = m / (1 + R)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `mass` | mass, or mass per area, at that regain | [kg] |
/// | `regain` | R, water over dry mass | [-] |
///
/// # Returns
/// Dry mass, in the unit of `mass` [kg].
/// # Valid for
/// Positive mass; regain 0 to 10.
/// # Errors
/// [`LawError::OutOfRange`] naming `mass` or `regain`.
/// # Example
/// ```
/// let dry = bastwork::law::sorption::dry_mass_from_regain(0.300, 0.10)?;
/// assert!((dry - 0.2727).abs() < 5e-5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of regain; a stated 300 g/m2 may be conditioned, at commercial regain, or dry: ask.
pub fn dry_mass_from_regain(mass: f64, regain: f64) -> Result<f64, LawError> {
    Ok(positive("mass", mass)? / (1.0 + within("regain", regain, 0.0, 10.0)?))
}

/// Regain from two weighings of the same swatch: as kept, then dried at 105 °C to constant mass.
///
/// R = (m_kept - m_dry) / m_dry
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `kept_mass` | mass as kept | [kg] |
/// | `dried_mass` | mass after drying, weighed warm | [kg] |
///
/// # Returns
/// Regain as kept [-].
/// # Valid for
/// Positive dried mass; kept mass 1 to 2 times the dried mass.
/// # Errors
/// [`LawError::OutOfRange`] naming `dried_mass` or `kept_mass`.
/// # Example
/// ```
/// let r = bastwork::law::sorption::weighed_regain(32.4e-3, 30.0e-3)?;
/// assert!((r - 0.08).abs() < 1e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of regain; 105 ± 3 °C to constant mass as in ISO 3344:1997 (from memory), whose scope
/// does not name natural fibre.
pub fn weighed_regain(kept_mass: f64, dried_mass: f64) -> Result<f64, LawError> {
    let dry = positive("dried_mass", dried_mass)?;
    Ok((within("kept_mass", kept_mass, dry, 2.0 * dry)? - dry) / dry)
}

/// Equilibrium moisture of wood, the shape behind the flax curve.
///
/// M = 18/W * (K h/(1 - K h) + (K1 K h + 2 K1 K2 K^2 h^2)/(1 + K1 K h + K1 K2 K^2 h^2)),
/// W, K, K1, K2 quadratic in temperature
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `temperature` | air and wood | [K] |
/// | `activity` | h, relative humidity as a fraction | [-] |
///
/// # Returns
/// Water over dry mass [-].
/// # Valid for
/// 273.15 to 378.15 K, activity 0 to 1 (fitted up to about 0.95).
/// # Errors
/// [`LawError::OutOfRange`] naming `temperature` or `activity`.
/// # Example
/// ```
/// let m = bastwork::law::sorption::wood_moisture(333.15, 0.80)?;
/// assert!((m - 0.1356).abs() < 5e-5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Hailwood and Horrobin's two-hydrate curve as fitted by Simpson; Wood Handbook (USDA Forest Products
/// Laboratory), eq. 4-5, coefficients read at second hand.
pub fn wood_moisture(temperature: f64, activity: f64) -> Result<f64, LawError> {
    let t = warm(temperature)?;
    Ok(Hydrate::at(t).regain(within("activity", activity, 0.0, 1.0)?))
}

/// Regain of flax in balance with air.
///
/// R = s * M_wood(T, h)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `scale` | s, [`FLAX_SCALE`] or the shop's own from [`swatch_scale`] | [-] |
/// | `temperature` | air and cloth | [K] |
/// | `activity` | h, relative humidity as a fraction | [-] |
///
/// # Returns
/// Regain, water over dry mass [-].
/// # Valid for
/// 273.15 to 378.15 K, activity 0 to 1, scale 0.05 to 3; within 0.01 to 0.015 of regain at activity
/// 0.4 to 0.7 (our judgement) until a swatch has been weighed.
/// # Errors
/// [`LawError::OutOfRange`] naming `scale`, `temperature` or `activity`.
/// # Example
/// ```
/// use bastwork::law::sorption::{FLAX_SCALE, flax_regain};
/// let r = flax_regain(FLAX_SCALE, 293.15, 0.65)?;
/// assert!((r - 0.0840).abs() < 5e-5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Shape: Wood Handbook eq. 4-5; one form fits flax and spruce alike: Hill, Norton and Newman 2009,
/// J. Appl. Polym. Sci. 112:1524, abstract. Scale: our judgement.
pub fn flax_regain(scale: f64, temperature: f64, activity: f64) -> Result<f64, LawError> {
    Ok(scaled(scale)? * wood_moisture(temperature, activity)?)
}

/// Relative humidity of the air that flax of a regain is in balance with.
///
/// s * M_wood(T, h) = R, solved for h: one root of a cubic, to rounding
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `scale` | s | [-] |
/// | `temperature` | cloth | [K] |
/// | `regain` | R | [-] |
///
/// # Returns
/// Activity, 1 where the cloth holds more than it can in any air [-].
/// # Valid for
/// 273.15 to 378.15 K, scale 0.05 to 3, regain 0 to 10.
/// # Errors
/// [`LawError::OutOfRange`] naming `scale`, `temperature` or `regain`.
/// # Example
/// ```
/// let h = bastwork::law::sorption::activity(0.70, 293.15, 0.0840)?;
/// assert!((h - 0.650).abs() < 5e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Wood Handbook eq. 4-5, turned round.
pub fn activity(scale: f64, temperature: f64, regain: f64) -> Result<f64, LawError> {
    let r = within("regain", regain, 0.0, 10.0)? / scaled(scale)?;
    Ok(Hydrate::at(warm(temperature)?).activity(r))
}

/// Pressure of water vapour in balance with flax of a regain.
///
/// p = h(T, R) * p_sat(T)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `scale` | s | [-] |
/// | `temperature` | cloth | [K] |
/// | `regain` | R | [-] |
///
/// # Returns
/// Vapour pressure [Pa].
/// # Valid for
/// 273.15 to 378.15 K, scale 0.05 to 3, regain 0 to 10.
/// # Errors
/// [`LawError::OutOfRange`] naming `scale`, `temperature` or `regain`.
/// # Example
/// ```
/// let p = bastwork::law::sorption::vapour_pressure(0.70, 293.15, 0.05)?;
/// assert!((p - 850.0).abs() < 5.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of activity; Wood Handbook eq. 4-5 and IAPWS SR1-86(1992).
pub fn vapour_pressure(scale: f64, temperature: f64, regain: f64) -> Result<f64, LawError> {
    Ok(activity(scale, temperature, regain)? * water_vapour::saturation(temperature))
}

/// The shop's own scale from one swatch: its regain as kept, and the air it was kept in.
///
/// s = R / M_wood(T, h)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `regain_weighed` | R, from [`weighed_regain`] | [-] |
/// | `temperature` | mean air temperature where it was kept | [K] |
/// | `activity` | mean relative humidity there, as a fraction | [-] |
///
/// # Returns
/// Scale to use in place of [`FLAX_SCALE`] [-].
/// # Valid for
/// 273.15 to 378.15 K; activity 0.2 to 0.9, where the weighing says enough.
/// # Errors
/// [`LawError::OutOfRange`] naming `regain_weighed`, `temperature`, `activity`, or `scale` when the
/// answer is not between 0.05 and 3.
/// # Example
/// ```
/// let s = bastwork::law::sorption::swatch_scale(0.07, 293.15, 0.65)?;
/// assert!((s - 0.583).abs() < 1e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Arithmetic on Wood Handbook eq. 4-5.
pub fn swatch_scale(regain_weighed: f64, temperature: f64, activity: f64) -> Result<f64, LawError> {
    let r = positive("regain_weighed", regain_weighed)?;
    let h = within("activity", activity, 0.2, 0.9)?;
    scaled(r / wood_moisture(temperature, h)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wood_agrees_with_the_handbook() {
        // Wood Handbook: 12.0 % at 20 °C and 65 %.
        assert!((wood_moisture(293.15, 0.65).unwrap() - 0.1200).abs() < 5e-5);
    }

    #[test]
    fn flax_table_at_the_likely_scale() {
        // Arithmetic check: °C, relative humidity, % regain at 0.70.
        for (c, h, pct) in [
            (10.0, 0.02, 0.39),
            (10.0, 0.90, 14.6),
            (20.0, 0.50, 6.49),
            (30.0, 0.40, 5.23),
            (40.0, 0.80, 10.5),
            (60.0, 0.10, 1.31),
            (80.0, 0.60, 5.57),
            (100.0, 0.05, 0.32),
            (100.0, 0.90, 9.7),
        ] {
            let r = 100.0 * flax_regain(FLAX_SCALE, c + 273.15, h).unwrap();
            let shown = if pct < 9.5 { 0.0051 } else { 0.051 };
            assert!((r - pct).abs() < shown, "{c} {h}: {r}");
        }
    }

    #[test]
    fn activity_undoes_regain_everywhere() {
        for step in 0..=105 {
            let t = 273.15 + f64::from(step);
            let mut before = -1.0;
            for h in [
                0.0, 1e-6, 1e-3, 0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 0.95, 0.999, 1.0,
            ] {
                let r = flax_regain(0.66, t, h).unwrap();
                assert!(r > before, "rises with humidity at {t} K");
                before = r;
                let back = activity(0.66, t, r).unwrap();
                assert!((back - h).abs() < 1e-11, "{t} {h}: {back}");
            }
            assert_eq!(activity(0.66, t, 0.6).unwrap(), 1.0, "dripping");
        }
    }

    #[test]
    fn warm_cloth_holds_less_in_the_same_humidity() {
        for h in [0.1, 0.5, 0.9] {
            let at = |c: f64| flax_regain(0.7, c + 273.15, h).unwrap();
            assert!(at(10.0) > at(30.0) && at(30.0) > at(60.0) && at(60.0) > at(100.0));
        }
    }

    #[test]
    fn a_swatch_gives_back_the_scale_it_was_made_with() {
        let kept = flax_regain(0.61, 291.0, 0.55).unwrap();
        let weighed = weighed_regain(0.025 * (1.0 + kept), 0.025).unwrap();
        assert!((swatch_scale(weighed, 291.0, 0.55).unwrap() - 0.61).abs() < 1e-12);
        assert!(
            swatch_scale(0.5, 291.0, 0.3).is_err(),
            "wet cloth is no swatch"
        );
        assert!(weighed_regain(0.024, 0.025).is_err(), "drying adds nothing");
    }

    #[test]
    fn content_and_regain_come_back() {
        // Arithmetic check: 13.75 % regain is 12.09 % content.
        let mc = moisture_content(0.1375).unwrap();
        assert!((mc - 0.1209).abs() < 5e-5);
        assert!((regain_from_content(mc).unwrap() - 0.1375).abs() < 1e-15);
    }
}
