//! When the first ply of a laminate is damaged.
//!
//! Stresses in the plane of the ply, loaded once, dry, at room temperature. Does not cover plies that come apart,
//! fatigue, or what is left after the first damage.

use super::{LawError, positive, within};

/// What a ply bears, in its own axes; all positive [Pa].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strengths {
    /// Pulled along its fibres [Pa].
    pub along_tension: f64,
    /// Pushed along its fibres [Pa].
    pub along_compression: f64,
    /// Pulled across its fibres [Pa].
    pub across_tension: f64,
    /// Pushed across its fibres [Pa].
    pub across_compression: f64,
    /// Sheared in its plane [Pa].
    pub shear: f64,
}

/// Stress in a ply, in its own axes [Pa].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Stress {
    /// Along its fibres [Pa].
    pub along: f64,
    /// Across its fibres [Pa].
    pub across: f64,
    /// Shear [Pa].
    pub shear: f64,
}

/// Which strength is reached first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// Pulled along its fibres.
    AlongTension,
    /// Pushed along its fibres.
    AlongCompression,
    /// Pulled across its fibres.
    AcrossTension,
    /// Pushed across its fibres.
    AcrossCompression,
    /// Sheared in its plane.
    Shear,
}

/// Load factors beyond this are as good as none.
const ENDLESS: f64 = 1e12;

fn checked(strengths: &Strengths) -> Result<(), LawError> {
    positive("along_tension", strengths.along_tension)?;
    positive("along_compression", strengths.along_compression)?;
    positive("across_tension", strengths.across_tension)?;
    positive("across_compression", strengths.across_compression)?;
    positive("shear", strengths.shear)?;
    Ok(())
}

fn sided(stress: f64, tension: f64, compression: f64) -> f64 {
    if stress < 0.0 { compression } else { tension }
}

/// Load factor at first damage by the criterion of Azzi, Tsai and Hill.
///
/// (σ1/X)² - σ1 σ2 / X² + (σ2/Y)² + (τ/S)² = 1/R², X and Y those of pull or push by the sign of the stress
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `strengths` | X_t, X_c, Y_t, Y_c, S | [Pa] |
/// | `stress` | σ1, σ2, τ | [Pa] |
///
/// # Returns
/// R: first damage comes when all stresses have grown by this factor [-].
/// # Valid for
/// Plies with fibres in one direction, or woven ones in the directions of warp and weft.
/// # Errors
/// [`LawError::OutOfRange`] for a strength that is not positive.
/// # Example
/// ```
/// use bastwork::law::failure::{Strengths, Stress, tsai_hill};
/// // Graphite and epoxy at 60 degrees under σx = 2 s, σy = -3 s, τ = 4 s: Kaw's example 2.19, with strengths by sign, gives s = 16.06 MPa.
/// let bears = Strengths { along_tension: 1500e6, along_compression: 1500e6, across_tension: 40e6,
///     across_compression: 246e6, shear: 68e6 };
/// let stress = Stress { along: 1.714e6, across: -2.714e6, shear: -4.165e6 };
/// let factor = tsai_hill(&bears, &stress)?;
/// assert!((factor - 16.06).abs() < 0.02);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Azzi and Tsai 1965, Exp. Mech. 5:283; strengths by sign: Kaw 2006, Mechanics of Composite Materials, 2nd ed.,
/// section 2.8.3 (both from memory).
pub fn tsai_hill(strengths: &Strengths, stress: &Stress) -> Result<f64, LawError> {
    checked(strengths)?;
    let x = sided(
        stress.along,
        strengths.along_tension,
        strengths.along_compression,
    );
    let y = sided(
        stress.across,
        strengths.across_tension,
        strengths.across_compression,
    );
    let index = (stress.along / x).powi(2) - stress.along * stress.across / (x * x)
        + (stress.across / y).powi(2)
        + (stress.shear / strengths.shear).powi(2);
    Ok(if index > ENDLESS.powi(-2) {
        1.0 / index.sqrt()
    } else {
        ENDLESS
    })
}

/// Load factor at which the first strength is reached, and which one it is.
///
/// R = min(X/|σ1|, Y/|σ2|, S/|τ|)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `strengths` | X, Y by sign, S | [Pa] |
/// | `stress` | σ1, σ2, τ | [Pa] |
///
/// # Returns
/// R [-] and the mode.
/// # Valid for
/// As [`tsai_hill`]; stresses do not help or hinder each other.
/// # Errors
/// [`LawError::OutOfRange`] for a strength that is not positive.
/// # Example
/// ```
/// use bastwork::law::failure::{Mode, Strengths, Stress, maximum_stress};
/// let bears = Strengths { along_tension: 1500e6, along_compression: 1500e6, across_tension: 40e6,
///     across_compression: 246e6, shear: 68e6 };
/// let (factor, mode) = maximum_stress(&bears, &Stress { along: 1.714e6, across: -2.714e6, shear: -4.165e6 })?;
/// // The same example by maximum stress: 68 / 4.165.
/// assert!((factor - 16.33).abs() < 0.01 && mode == Mode::Shear);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Kaw 2006, Mechanics of Composite Materials, 2nd ed., example 2.17 (from memory).
pub fn maximum_stress(strengths: &Strengths, stress: &Stress) -> Result<(f64, Mode), LawError> {
    checked(strengths)?;
    let one = |stress: f64, tension: (f64, Mode), compression: (f64, Mode)| {
        let (limit, mode) = if stress < 0.0 { compression } else { tension };
        (limit / stress.abs().max(limit / ENDLESS), mode)
    };
    let each = [
        one(
            stress.along,
            (strengths.along_tension, Mode::AlongTension),
            (strengths.along_compression, Mode::AlongCompression),
        ),
        one(
            stress.across,
            (strengths.across_tension, Mode::AcrossTension),
            (strengths.across_compression, Mode::AcrossCompression),
        ),
        one(
            stress.shear,
            (strengths.shear, Mode::Shear),
            (strengths.shear, Mode::Shear),
        ),
    ];
    let [first, rest @ ..] = each;
    Ok(rest.into_iter().fold(
        first,
        |least, next| if next.0 < least.0 { next } else { least },
    ))
}

/// Fibre and resin of a ply, as far as its strength goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constituents {
    /// Stress in the fibres at damage, pulled [Pa].
    pub fibre_tension: f64,
    /// The same, pushed [Pa].
    pub fibre_compression: f64,
    /// Modulus along the fibre [Pa].
    pub fibre_modulus: f64,
    /// Modulus of the resin [Pa].
    pub matrix_modulus: f64,
    /// Strength of the resin [Pa].
    pub matrix_strength: f64,
    /// Fibre volume fraction [-].
    pub fibre_fraction: f64,
    /// Porosity [-].
    pub porosity: f64,
}

/// Stress along the fibres at damage, from fibre and resin.
///
/// X = (η V_f σ_f + V_m min(E_m σ_f / E_f, σ_m)) (1 - V_p)²: the resin is strained as far as the fibre
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `parts` | σ_f, E_f, E_m, σ_m [Pa], V_f, V_p | [-] |
/// | `efficiency` | η, share of the fibres that lie along the load | [-] |
/// | `pushed` | whether it is pushed instead of pulled | |
///
/// # Returns
/// Stress along the fibres at damage [Pa].
/// # Valid for
/// Fibres that break before the resin; the strength of the fibre is that found in laminates, not in single fibres.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::failure::{Constituents, along};
/// // Unidirectional flax at 43 %: about 318 MPa was published (Liang 2014, from memory) with fibres of 650 MPa.
/// let parts = Constituents { fibre_tension: 650e6, fibre_compression: 300e6, fibre_modulus: 50.7e9,
///     matrix_modulus: 3.2e9, matrix_strength: 70e6, fibre_fraction: 0.43, porosity: 0.02 };
/// let strength = along(&parts, 1.0, false)? / 1e6;
/// assert!((strength - 290.1).abs() < 0.1);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Rule of mixtures with porosity: Thygesen 2006, Risø-PhD-11, appendix D; the exponent 2 from memory.
pub fn along(parts: &Constituents, efficiency: f64, pushed: bool) -> Result<f64, LawError> {
    within("efficiency", efficiency, 0.0, 1.0)?;
    let fibre = positive(
        "fibre strength",
        if pushed {
            parts.fibre_compression
        } else {
            parts.fibre_tension
        },
    )?;
    let strain = fibre / positive("fibre_modulus", parts.fibre_modulus)?;
    let matrix = (positive("matrix_modulus", parts.matrix_modulus)? * strain)
        .min(positive("matrix_strength", parts.matrix_strength)?);
    let voids = super::micromechanics::porosity_factor(parts.porosity)?;
    let v = within(
        "fibre_fraction",
        parts.fibre_fraction,
        0.0,
        1.0 - parts.porosity,
    )?;
    let rest = 1.0 - v - parts.porosity;
    Ok((efficiency * v * fibre + rest * matrix) * voids)
}

/// Strain at which a resin reaches its strength.
///
/// ε = σ_m / E_m
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `strength` | σ_m | [Pa] |
/// | `modulus` | E_m | [Pa] |
///
/// # Returns
/// ε [-].
/// # Valid for
/// A straight line to the end; real resin yields, and goes further.
/// # Errors
/// [`LawError::OutOfRange`] for what is not positive.
/// # Example
/// ```
/// let strain = bastwork::law::failure::strain_at_strength(70e6, 3.2e9)?;
/// assert!((strain - 0.0219).abs() < 1e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Hooke's law.
pub fn strain_at_strength(strength: f64, modulus: f64) -> Result<f64, LawError> {
    Ok(positive("strength", strength)? / positive("modulus", modulus)?)
}

/// How the fibres of a ply lie, as far as its strength goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Laid {
    /// All in one direction.
    Straight,
    /// Half in warp, half in weft.
    Woven,
    /// In all directions of the plane.
    Random,
}

/// Strengths of straight fibres of a ply, in their own axes.
///
/// X from [`along`] with η = 1 times what the cloth keeps; Y and S as given. Voids take from all of them.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `parts` | fibre and resin | [Pa], [-] |
/// | `kept` | share of strength that twist and weaving leave, pulled and pushed | [-] |
/// | `across` | Y_t, Y_c | [Pa] |
/// | `shear` | S | [Pa] |
///
/// # Returns
/// The five strengths [Pa].
/// # Valid for
/// As [`along`]; each direction of a weave or mat by itself ([`strand`](super::strand)).
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::failure::{Constituents, strengths};
/// let parts = Constituents { fibre_tension: 650e6, fibre_compression: 250e6, fibre_modulus: 58e9,
///     matrix_modulus: 3.2e9, matrix_strength: 70e6, fibre_fraction: 0.43, porosity: 0.0 };
/// // Unidirectional flax at 43 %: about 318 MPa was published (Liang 2014, from memory).
/// let straight = strengths(&parts, (1.0, 1.0), (25e6, 80e6), 38e6)?;
/// assert!((straight.along_tension / 318e6 - 1.0).abs() < 0.1);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// [`along`]; strengths across from tests of plies.
pub fn strengths(
    parts: &Constituents,
    kept: (f64, f64),
    across: (f64, f64),
    shear: f64,
) -> Result<Strengths, LawError> {
    let pulled = within("kept", kept.0, 0.05, 1.0)?;
    let pushed = within("kept, pushed", kept.1, 0.05, 1.0)?;
    let voids = super::micromechanics::porosity_factor(parts.porosity)?;
    Ok(Strengths {
        along_tension: pulled * along(parts, 1.0, false)?,
        along_compression: pushed * along(parts, 1.0, true)?,
        across_tension: positive("across", across.0)? * voids,
        across_compression: positive("across, pushed", across.1)? * voids,
        shear: positive("shear", shear)? * voids,
    })
}

#[cfg(test)]
mod tests;
