//! What mixing ratio the chemistry of an epoxy and an amine asks for.
//!
//! Advice only: a formulated hardener is dosed as its maker states. Does not cover anhydrides or
//! homopolymerising systems.

use super::{LawError, positive, within};

/// One component of a resin or of a hardener blend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Component {
    /// Its share of the blend, in any unit of mass.
    pub mass: f64,
    /// Mass that carries one mole of epoxide or of active hydrogen [g/mol]; `None` for a filler.
    pub equivalent: Option<f64>,
}

/// Mass that carries one mole of reactive groups.
///
/// EW = M / f
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `molar_mass` | M | [g/mol] |
/// | `groups` | f, epoxide groups or active hydrogens a molecule | [-] |
///
/// # Returns
/// Equivalent weight: EEW of an epoxide, AHEW of an amine [g/mol].
/// # Valid for
/// A pure compound.
/// # Errors
/// [`LawError::OutOfRange`] for a molar mass outside 10..1e5 or fewer than one group.
/// # Example
/// ```
/// // Diethylenetriamine: 103 g/mol, five active hydrogens (published worked example).
/// let ahew = bastwork::law::stoichiometry::equivalent_weight(103.0, 5.0)?;
/// assert!((ahew - 20.6).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of the equivalent weight; ISO 3001 (EEW) (from memory).
pub fn equivalent_weight(molar_mass: f64, groups: f64) -> Result<f64, LawError> {
    Ok(within("molar_mass", molar_mass, 10.0, 1e5)? / within("groups", groups, 1.0, 1e3)?)
}

/// Equivalent weight of a blend.
///
/// EW = sum(w) / sum(w_i / EW_i); a filler counts in the mass only.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `components` | masses w_i and equivalent weights EW_i [g/mol] | |
///
/// # Returns
/// Equivalent weight of the blend [g/mol].
/// # Valid for
/// Blends of epoxides, or blends of amines, never of both.
/// # Errors
/// [`LawError::OutOfRange`] for a mass below zero, an equivalent weight outside 10..1e5, or nothing reactive.
/// # Example
/// ```
/// use bastwork::law::stoichiometry::{Component, equivalent_weight_of_blend};
/// let part = |mass, equivalent| Component { mass, equivalent };
/// // 80 % resin, 10 % diluent, 10 % filler: published worked example, 209.
/// let blend = [part(80.0, Some(189.0)), part(10.0, Some(183.0)), part(10.0, None)];
/// assert!((equivalent_weight_of_blend(&blend)? - 209.0).abs() < 0.5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Conservation of reactive groups; worked example of an explanatory page on epoxy equivalents (2022).
pub fn equivalent_weight_of_blend(components: &[Component]) -> Result<f64, LawError> {
    let (mut mass, mut moles) = (0.0, 0.0);
    for component in components {
        let share = within("mass", component.mass, 0.0, f64::MAX)?;
        mass += share;
        if let Some(equivalent) = component.equivalent {
            moles += share / within("equivalent", equivalent, 10.0, 1e5)?;
        }
    }
    Ok(mass / positive("reactive share", moles)?)
}

/// Hardener for 100 parts of resin by weight at the exact ratio of amine hydrogen to epoxide.
///
/// p = 100 AHEW / EEW
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `ahew` | mass of hardener with one mole of active hydrogen | [g/mol] |
/// | `eew` | mass of resin with one mole of epoxide | [g/mol] |
///
/// # Returns
/// Hardener for 100 parts of resin by weight [-].
/// # Valid for
/// Amine addition; a stated ratio always goes before this one.
/// # Errors
/// [`LawError::OutOfRange`] for equivalent weights outside 10..1e5.
/// # Example
/// ```
/// let phr = bastwork::law::stoichiometry::parts_per_hundred(43.0, 209.0)?;
/// assert!((phr - 20.6).abs() < 0.05, "published worked example");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Conservation of reactive groups; worked example of an explanatory page on epoxy equivalents (2022).
pub fn parts_per_hundred(ahew: f64, eew: f64) -> Result<f64, LawError> {
    Ok(100.0 * within("ahew", ahew, 10.0, 1e5)? / within("eew", eew, 10.0, 1e5)?)
}

/// Amine hydrogen per epoxide in a mix: 1 is the exact ratio, below 1 too little hardener.
///
/// r = (p/100) EEW / AHEW
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `phr` | p, hardener for 100 parts of resin by weight | [-] |
/// | `ahew` | mass of hardener with one mole of active hydrogen | [g/mol] |
/// | `eew` | mass of resin with one mole of epoxide | [g/mol] |
///
/// # Returns
/// Stoichiometric ratio [-].
/// # Valid for
/// As for [`parts_per_hundred`].
/// # Errors
/// [`LawError::OutOfRange`] as for [`parts_per_hundred`], or parts not above zero.
/// # Example
/// ```
/// let r = bastwork::law::stoichiometry::amine_per_epoxide(20.6, 41.2, 200.0)?;
/// assert!((r - 1.0).abs() < 1e-12, "twice the equivalent weight, twice the dose");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition (from memory).
pub fn amine_per_epoxide(phr: f64, ahew: f64, eew: f64) -> Result<f64, LawError> {
    Ok(positive("phr", phr)? / parts_per_hundred(ahew, eew)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_and_arithmetic_cases() {
        // Diethylenetriamine with a resin of EEW 200: 10.3 phr, a teaching page's worked example.
        let deta = equivalent_weight(103.0, 5.0).unwrap();
        assert!((parts_per_hundred(deta, 200.0).unwrap() - 10.3).abs() < 1e-9);
        // Isophorone diamine 170.3 g/mol, four hydrogens, EEW 190: 22.4 phr (arithmetic check).
        let ipda = equivalent_weight(170.3, 4.0).unwrap();
        assert!((parts_per_hundred(ipda, 190.0).unwrap() - 22.4).abs() < 0.05);
        // 60/40 blend with a polyetheramine of AHEW 60: 51.6, 27.1 phr (arithmetic check).
        let part = |mass, equivalent| Component { mass, equivalent };
        let blend = equivalent_weight_of_blend(&[part(60.0, Some(60.0)), part(40.0, Some(ipda))]);
        let blend = blend.unwrap();
        assert!((blend - 51.6).abs() < 0.06, "{blend}");
        assert!((parts_per_hundred(blend, 190.0).unwrap() - 27.1).abs() < 0.06);
        let thinned = [part(85.0, Some(187.0)), part(15.0, Some(150.0))];
        assert!((equivalent_weight_of_blend(&thinned).unwrap() - 180.3).abs() < 0.1);
    }

    #[test]
    fn the_exact_ratio_is_one_and_half_the_dose_is_half() {
        let exact = parts_per_hundred(43.0, 190.0).unwrap();
        assert!((amine_per_epoxide(exact, 43.0, 190.0).unwrap() - 1.0).abs() < 1e-12);
        assert!((amine_per_epoxide(exact / 2.0, 43.0, 190.0).unwrap() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn filler_alone_has_no_equivalent_weight() {
        let filler = Component {
            mass: 1.0,
            equivalent: None,
        };
        assert!(equivalent_weight_of_blend(&[filler]).is_err());
        assert!(equivalent_weight_of_blend(&[]).is_err());
        assert!(equivalent_weight(170.0, 0.0).is_err());
        assert!(parts_per_hundred(43.0, 0.0).is_err());
    }
}
