//! How thick a mixed resin is at a temperature, and how it thickens as it cures.
//!
//! Does not cover fillers or thixotropes; past about half conversion the rise is a guess.

use super::cure::GAS_CONSTANT;
use super::{LawError, positive, within};
use crate::solve::root;

/// Flow activation energy when only one viscosity is known, likely value [J/mol]; 45e3 to 85e3 as a range.
///
/// From memory; two data-sheet viscosities beat it.
pub const ACTIVATION_ENERGY: f64 = 65e3;

/// Shape of the rise of viscosity with conversion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thickening {
    /// Conversion at which the viscosity has no bound [-].
    pub gel: f64,
    /// Exponent at no conversion [-].
    pub a: f64,
    /// Growth of the exponent with conversion [-].
    pub b: f64,
}

/// Assumed rise for a room-temperature infusion epoxy: our judgement within A 1 to 3.5, B -1 to 4 (from memory).
pub const INFUSION_EPOXY: Thickening = Thickening {
    gel: 0.60,
    a: 1.5,
    b: 1.0,
};

fn checked_temperature(field: &'static str, value: f64) -> Result<f64, LawError> {
    within(field, value, 263.15, 373.15)
}

/// Viscosity of a fresh mix at a temperature, from its viscosity at another.
///
/// eta = eta_ref exp[(E/R)(1/T - 1/T_ref)]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `reference_viscosity` | eta_ref | [Pa s] |
/// | `reference_temperature` | T_ref | [K] |
/// | `activation_energy` | E, of flow | [J/mol] |
/// | `temperature` | T | [K] |
///
/// # Returns
/// Viscosity at no conversion [Pa s].
/// # Valid for
/// 288 to 313 K and about 15 K to either side of the reference; colder, resins thicken faster than this.
/// # Errors
/// [`LawError::OutOfRange`] for temperatures outside 263..373 K, a viscosity not above zero, an energy outside
/// 10e3..200e3.
/// # Example
/// ```
/// let ratio = bastwork::law::viscosity::viscosity_at(1.0, 298.15, 65e3, 293.15)?;
/// assert!((ratio - 1.56).abs() < 0.006, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Arrhenius (Andrade) law of viscosity, textbook; range of E from memory.
pub fn viscosity_at(
    reference_viscosity: f64,
    reference_temperature: f64,
    activation_energy: f64,
    temperature: f64,
) -> Result<f64, LawError> {
    let reference = positive("reference_viscosity", reference_viscosity)?;
    let energy = within("activation_energy", activation_energy, 10e3, 200e3)?;
    let t_ref = checked_temperature("reference_temperature", reference_temperature)?;
    let t = checked_temperature("temperature", temperature)?;
    Ok(reference * (energy / GAS_CONSTANT * (1.0 / t - 1.0 / t_ref)).exp())
}

/// Flow activation energy from two viscosities on a data sheet.
///
/// E = R ln(eta_1/eta_2) / (1/T_1 - 1/T_2)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `viscosity_1` | eta_1, at T_1 | [Pa s] |
/// | `temperature_1` | T_1 | [K] |
/// | `viscosity_2` | eta_2, at T_2 | [Pa s] |
/// | `temperature_2` | T_2 | [K] |
///
/// # Returns
/// Activation energy of flow [J/mol].
/// # Valid for
/// Two fresh mixes measured the same way, at least 3 K apart.
/// # Errors
/// [`LawError::OutOfRange`] when the temperatures are closer than 3 K or the energy comes out outside
/// 10e3..200e3 J/mol (two figures that do not belong together).
/// # Example
/// ```
/// let energy = bastwork::law::viscosity::activation_energy(0.340, 298.15, 0.145, 308.15)?;
/// assert!((energy - 65.1e3).abs() < 100.0, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As for [`viscosity_at`].
pub fn activation_energy(
    viscosity_1: f64,
    temperature_1: f64,
    viscosity_2: f64,
    temperature_2: f64,
) -> Result<f64, LawError> {
    let t1 = checked_temperature("temperature_1", temperature_1)?;
    let t2 = checked_temperature("temperature_2", temperature_2)?;
    within("temperature difference", (t2 - t1).abs(), 3.0, 110.0)?;
    let ratio = positive("viscosity_1", viscosity_1)? / positive("viscosity_2", viscosity_2)?;
    let energy = GAS_CONSTANT * ratio.ln() / (1.0 / t1 - 1.0 / t2);
    within("activation_energy", energy, 10e3, 200e3)
}

/// Viscosity of a fresh mix at a temperature over that at another, from its glass transition alone.
///
/// log10(eta / eta_ref) = -17.44 [(T - Tg0) / (51.6 + T - Tg0) - (T_ref - Tg0) / (51.6 + T_ref - Tg0)]
///
/// Cold resin thickens faster than [`viscosity_at`] has it; this law says by how much.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `glass_transition` | Tg0, of the mix before it cures | [K] |
/// | `reference_temperature` | T_ref | [K] |
/// | `temperature` | T | [K] |
///
/// # Returns
/// eta over eta_ref, before any cure [-].
/// # Valid for
/// From Tg0 to 100 K above it; the constants are the universal ones, and a real resin has its own.
/// # Errors
/// [`LawError::OutOfRange`] for a glass transition outside 180..330 K, or temperatures outside 263..373 K or below it.
/// # Example
/// ```
/// let ratio = bastwork::law::viscosity::wlf_ratio(216.15, 298.15, 293.15)?;
/// assert!((ratio - 1.83).abs() < 0.006, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Williams, Landel and Ferry 1955, J. Am. Chem. Soc. 77:3701, universal constants (from memory).
pub fn wlf_ratio(
    glass_transition: f64,
    reference_temperature: f64,
    temperature: f64,
) -> Result<f64, LawError> {
    let tg = within("glass_transition", glass_transition, 180.0, 330.0)?;
    let exponent = |field, t: f64| {
        let above = within(field, checked_temperature(field, t)?, tg, 373.15)? - tg;
        Ok(-17.44 * above / (51.6 + above))
    };
    let there = exponent("temperature", temperature)?;
    let here = exponent("reference_temperature", reference_temperature)?;
    Ok(10_f64.powf(there - here))
}

fn rise_unchecked(law: Thickening, conversion: f64) -> f64 {
    (law.gel / (law.gel - conversion)).powf(law.a + law.b * conversion)
}

fn checked_law(law: Thickening) -> Result<Thickening, LawError> {
    within("gel", law.gel, 0.3, 0.95)?;
    within("a", law.a, 0.1, 6.0)?;
    within("b", law.b, -1.0, 10.0)?;
    // Below this the exponent could turn negative before the gel, and the resin thin as it cures.
    within("a + b gel", law.a + law.b * law.gel, 0.05, 20.0)?;
    Ok(law)
}

/// How many times thicker a resin is at a conversion than fresh, at the same temperature (Castro and Macosko).
///
/// eta/eta_0 = [g / (g - alpha)]^(A + B alpha)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `law` | gel g, exponents A and B | [-] |
/// | `conversion` | alpha | [-] |
///
/// # Returns
/// Viscosity over that of the fresh mix [-].
/// # Valid for
/// alpha below about 0.5; it has no bound at the gel.
/// # Errors
/// [`LawError::OutOfRange`] for a conversion below zero or within 0.001 of the gel, or a law without a rise.
/// # Example
/// ```
/// use bastwork::law::viscosity::{INFUSION_EPOXY, rise};
/// // 2^1.8: half way to the gel at 0.6.
/// assert!((rise(INFUSION_EPOXY, 0.3)? - 3.482_202).abs() < 1e-6, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Castro and Macosko 1982, AIChE J. 28:250 (from memory); constants: see [`INFUSION_EPOXY`].
pub fn rise(law: Thickening, conversion: f64) -> Result<f64, LawError> {
    let law = checked_law(law)?;
    let conversion = within("conversion", conversion, 0.0, law.gel - 1e-3)?;
    Ok(rise_unchecked(law, conversion))
}

/// Conversion at which a resin has become a number of times thicker: [`rise`] solved for alpha.
///
/// [g / (g - alpha)]^(A + B alpha) = factor
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `law` | gel g, exponents A and B | [-] |
/// | `factor` | viscosity over that of the fresh mix | [-] |
///
/// # Returns
/// Conversion [-].
/// # Valid for
/// Factors up to about 20; beyond, the law is a guess.
/// # Errors
/// [`LawError::OutOfRange`] for a factor outside 1..1000 or a law without a rise; [`LawError::Unsolved`] when
/// the law never reaches the factor.
/// # Example
/// ```
/// use bastwork::law::viscosity::{INFUSION_EPOXY, conversion_at_rise, rise};
/// let alpha = conversion_at_rise(INFUSION_EPOXY, 4.0)?;
/// assert!((rise(INFUSION_EPOXY, alpha)? - 4.0).abs() < 1e-8);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As for [`rise`].
pub fn conversion_at_rise(law: Thickening, factor: f64) -> Result<f64, LawError> {
    let law = checked_law(law)?;
    let wanted = within("factor", factor, 1.0, 1e3)?.ln();
    let gap = |alpha: f64| rise_unchecked(law, alpha).ln() - wanted;
    root(gap, 0.0, law.gel * (1.0 - 1e-9), 1e-12).map_err(|_| LawError::Unsolved {
        what: "the conversion at that viscosity",
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::cure::{INFUSION_AMINE, Resin, time_to_conversion};

    #[test]
    fn cold_resin_is_thicker_by_the_table() {
        // Arithmetic check: eta(20)/eta(25) and eta(25)/eta(35) for four energies.
        for (energy, to_20, to_35) in [
            (45e3, 1.36, 1.80),
            (55e3, 1.46, 2.05),
            (65e3, 1.56, 2.34),
            (85e3, 1.79, 3.04),
        ] {
            let cold = viscosity_at(1.0, 298.15, energy, 293.15).unwrap();
            let warm = viscosity_at(1.0, 298.15, energy, 308.15).unwrap();
            assert!((cold - to_20).abs() < 0.006, "{cold}");
            assert!((1.0 / warm - to_35).abs() < 0.006, "{warm}");
            let back = activation_energy(cold, 293.15, warm, 308.15).unwrap();
            assert!((back / energy - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn cold_resin_by_its_glass_transition() {
        // Arithmetic check: eta(20)/eta(25) and eta(25)/eta(35) for a glass transition of -57 and of -40 C.
        for (celsius, to_20, to_35) in [(-57.0, 1.83, 2.94), (-40.0, 2.22, 4.07)] {
            let tg = celsius + 273.15;
            let cold = wlf_ratio(tg, 298.15, 293.15).unwrap();
            let warm = wlf_ratio(tg, 298.15, 308.15).unwrap();
            assert!((cold - to_20).abs() < 0.006, "{cold}");
            assert!((1.0 / warm - to_35).abs() < 0.006, "{warm}");
            let back = wlf_ratio(tg, 293.15, 298.15).unwrap();
            assert!((cold * back - 1.0).abs() < 1e-12);
        }
        // A build manual's almost 50 % less for 5 C more asks for a glass transition near -45 C.
        let five = wlf_ratio(228.15, 293.15, 298.15).unwrap();
        assert!(five > 0.45 && five < 0.52, "{five}");
        // 17.44 decades from the glass transition to far above it.
        assert!(
            (wlf_ratio(263.15, 263.15, 273.15).unwrap().log10() + 17.44 * 10.0 / 61.6).abs()
                < 1e-12
        );
        assert!(wlf_ratio(-57.0, 298.15, 293.15).is_err(), "celsius");
        assert!(
            wlf_ratio(300.15, 298.15, 293.15).is_err(),
            "below its glass transition"
        );
    }

    #[test]
    fn the_slow_set_thickens_by_the_clock() {
        // Arithmetic check, itself good to a minute: minutes to 2, 4 and 10 times the fresh viscosity.
        let resin = Resin {
            kinetics: INFUSION_AMINE,
            speed: 1.0,
            tg_ultimate: 364.15,
        };
        for (celsius, minutes) in [
            (20.0, [180.0, 277.0, 369.0]),
            (23.0, [148.0, 228.0, 304.0]),
            (25.0, [130.0, 200.0, 267.0]),
            (30.0, [95.0, 147.0, 196.0]),
        ] {
            for (factor, expect) in [2.0, 4.0, 10.0].into_iter().zip(minutes) {
                let alpha = conversion_at_rise(INFUSION_EPOXY, factor).unwrap();
                let t = time_to_conversion(&resin, celsius + 273.15, alpha).unwrap() / 60.0;
                assert!((t - expect).abs() < 1.1, "{celsius} C, {factor} times: {t}");
            }
        }
    }

    #[test]
    fn refuses_figures_that_do_not_belong_together() {
        assert!(
            activation_energy(0.3, 298.15, 0.4, 308.15).is_err(),
            "thicker when warm"
        );
        assert!(
            activation_energy(0.3, 298.15, 0.29, 299.15).is_err(),
            "too close"
        );
        assert!(
            viscosity_at(0.3, 25.0, 65e3, 293.15).is_err(),
            "celsius given for kelvin"
        );
        assert!(rise(INFUSION_EPOXY, 0.6).is_err());
        assert!(conversion_at_rise(INFUSION_EPOXY, 0.5).is_err());
        let thinning = Thickening {
            gel: 0.6,
            a: 0.3,
            b: -1.0,
        };
        assert!(rise(thinning, 0.1).is_err());
        assert!((conversion_at_rise(INFUSION_EPOXY, 1.0).unwrap()).abs() < 1e-9);
    }
}
