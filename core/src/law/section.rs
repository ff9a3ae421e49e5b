//! A symmetric section of two materials in bending: faces on an inner layer, or one material alone.
//!
//! Beam theory of bonded layers; shear between them and differences in Poisson's ratio are left out.

use super::{LawError, positive, within};
use crate::solve::root;

/// A symmetric section, seen from the side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Modulus of the inner layer along the section [Pa].
    pub inner_modulus: f64,
    /// Thickness of the inner layer [m].
    pub inner: f64,
    /// Modulus of the faces [Pa].
    pub face_modulus: f64,
    /// Thickness of each face [m].
    pub face: f64,
}

/// Bending stiffness of a section, per width.
///
/// D = (E_i h³ + E_f ((h + 2 f)³ - h³)) / 12
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `inner_modulus` | E_i | [Pa] |
/// | `inner` | h | [m] |
/// | `face_modulus` | E_f | [Pa] |
/// | `face` | f, each of the two faces | [m] |
///
/// # Returns
/// Bending stiffness per width [N m].
/// # Valid for
/// Bonded layers, plane sections; not for a core that shears much.
/// # Errors
/// [`LawError::OutOfRange`] for a modulus that is not positive or a thickness below zero.
/// # Example
/// ```
/// use bastwork::law::section::{Section, bending_stiffness};
/// // One material alone: E h^3 / 12.
/// let plate = Section { inner_modulus: 10e9, inner: 0.003, face_modulus: 10e9, face: 0.0 };
/// assert!((bending_stiffness(&plate)? - 22.5).abs() < 1e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook beam theory (second moment of area; from memory).
pub fn bending_stiffness(section: &Section) -> Result<f64, LawError> {
    let inner = positive("inner_modulus", section.inner_modulus)?;
    let faces = positive("face_modulus", section.face_modulus)?;
    let h = within("inner", section.inner, 0.0, 10.0)?;
    let whole = h + 2.0 * within("face", section.face, 0.0, 10.0)?;
    Ok((inner * h.powi(3) + faces * (whole.powi(3) - h.powi(3))) / 12.0)
}

/// Bending moment at which the first layer of a section is damaged, per width.
///
/// M = D / max(E_f (h/2 + f) / X_f, E_i (h/2) / X_i): the strain is straight through the section, and each material
/// bears its own stress at its own far side.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `section` | the section | |
/// | `inner_strength` | X_i, stress at first damage of the inner layer | [Pa] |
/// | `face_strength` | X_f, stress at first damage of the faces | [Pa] |
///
/// # Returns
/// Moment per width [N].
/// # Valid for
/// As [`bending_stiffness`].
/// # Errors
/// [`LawError::OutOfRange`] for what is not positive.
/// # Example
/// ```
/// use bastwork::law::section::{Section, damage_moment};
/// // One material alone: X h^2 / 6.
/// let plate = Section { inner_modulus: 10e9, inner: 0.003, face_modulus: 10e9, face: 0.0 };
/// assert!((damage_moment(&plate, 100e6, 100e6)? - 150.0).abs() < 1e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook beam theory (from memory).
pub fn damage_moment(
    section: &Section,
    inner_strength: f64,
    face_strength: f64,
) -> Result<f64, LawError> {
    let stiffness = bending_stiffness(section)?;
    let half = 0.5 * section.inner;
    let inner = section.inner_modulus * half / positive("inner_strength", inner_strength)?;
    let faces = if section.face > 0.0 {
        section.face_modulus * (half + section.face) / positive("face_strength", face_strength)?
    } else {
        0.0
    };
    Ok(stiffness / positive("strain at the far side", inner.max(faces))?)
}

/// Stress at the face of one material alone under a bending moment, as bending tests report it.
///
/// σ = 6 M / h²
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `moment` | M, per width | [N] |
/// | `thickness` | h | [m] |
///
/// # Returns
/// σ [Pa].
/// # Valid for
/// A figure to compare with tests; it is the stress itself only where stress grows straight with strain.
/// # Errors
/// [`LawError::OutOfRange`] for what is not positive.
/// # Example
/// ```
/// assert!((bastwork::law::section::stress_of_moment(150.0, 0.003)? - 100e6).abs() < 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// ISO 14125, stress at the outer surface (from memory).
pub fn stress_of_moment(moment: f64, thickness: f64) -> Result<f64, LawError> {
    let h = positive("thickness", thickness)?;
    Ok(6.0 * positive("moment", moment)? / (h * h))
}

/// Which part of a section gives way to reach a goal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grows {
    /// The inner layer grows between faces that stay.
    Inner,
    /// The faces grow on an inner layer that stays.
    Faces,
}

/// The section that just reaches a goal when one of its parts grows.
///
/// Solves goal(section) = target for the thickness of that part, between nothing and 0.5 m.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `section` | the section; the thickness that grows is not read | |
/// | `grows` | which part grows | |
/// | `target` | what the goal must reach, such as a bending stiffness | [N m] |
/// | `goal` | a figure of a section that rises with its thickness | |
///
/// # Returns
/// The section, with the least thickness at which the goal is reached; nothing grows when it is reached already.
/// # Valid for
/// As the goal.
/// # Errors
/// What the goal refuses; [`LawError::Unsolved`] when half a metre is not enough.
/// # Example
/// ```
/// use bastwork::law::section::{Grows, Section, bending_stiffness, grown};
/// let start = Section { inner_modulus: 10e9, inner: 0.0, face_modulus: 20e9, face: 0.0003 };
/// let found = grown(&start, Grows::Inner, 30.0, &bending_stiffness)?;
/// assert!((bending_stiffness(&found)? - 30.0).abs() < 1e-6);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Arithmetic on [`bending_stiffness`].
pub fn grown(
    section: &Section,
    grows: Grows,
    target: f64,
    goal: &dyn Fn(&Section) -> Result<f64, LawError>,
) -> Result<Section, LawError> {
    /// Half a metre: beyond any laminate.
    const MOST: f64 = 0.5;
    /// A hundredth of a micrometre; a face of nothing has no strength to speak of.
    const LEAST: f64 = 1e-8;
    positive("target", target)?;
    let at = |thickness: f64| match grows {
        Grows::Inner => Section {
            inner: thickness,
            ..*section
        },
        Grows::Faces => Section {
            face: thickness,
            ..*section
        },
    };
    if goal(&at(LEAST))? >= target {
        return Ok(at(LEAST));
    }
    let unsolved = LawError::Unsolved {
        what: "the thickness that reaches the goal",
    };
    if goal(&at(MOST))? < target {
        return Err(unsolved);
    }
    // In the logarithm, where a power of the thickness is a straight line.
    let found = root(
        |x| goal(&at(x.exp())).map_or(f64::NAN, |reached| (reached / target).ln()),
        LEAST.ln(),
        MOST.ln(),
        1e-12,
    );
    found.map(|x| at(x.exp())).map_err(|_| unsolved)
}

/// Thickness of one material alone that reaches a bending stiffness.
///
/// t = (12 D / E)^(1/3)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `modulus` | E | [Pa] |
/// | `stiffness` | D, per width | [N m] |
///
/// # Returns
/// t [m].
/// # Valid for
/// As [`bending_stiffness`].
/// # Errors
/// [`LawError::OutOfRange`] for what is not positive.
/// # Example
/// ```
/// let t = bastwork::law::section::thickness_for_stiffness(10e9, 22.5)?;
/// assert!((t - 0.003).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Ashby, Materials Selection in Mechanical Design, panel of given stiffness (from memory).
pub fn thickness_for_stiffness(modulus: f64, stiffness: f64) -> Result<f64, LawError> {
    Ok((12.0 * positive("stiffness", stiffness)? / positive("modulus", modulus)?).cbrt())
}

/// Thickness of one material alone that bears a bending moment.
///
/// t = (6 M / X)^(1/2)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `strength` | X, stress at first damage | [Pa] |
/// | `moment` | M, per width | [N] |
///
/// # Returns
/// t [m].
/// # Valid for
/// As [`damage_moment`].
/// # Errors
/// [`LawError::OutOfRange`] for what is not positive.
/// # Example
/// ```
/// let t = bastwork::law::section::thickness_for_moment(100e6, 150.0)?;
/// assert!((t - 0.003).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Ashby, Materials Selection in Mechanical Design, panel of given strength (from memory).
pub fn thickness_for_moment(strength: f64, moment: f64) -> Result<f64, LawError> {
    Ok((6.0 * positive("moment", moment)? / positive("strength", strength)?).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_material_split_in_three_is_the_same_plate() {
        for face in [0.0, 0.0002, 0.001] {
            let section = Section {
                inner_modulus: 12e9,
                inner: 0.003 - 2.0 * face,
                face_modulus: 12e9,
                face,
            };
            assert!((bending_stiffness(&section).unwrap() - 27.0).abs() < 1e-9);
            assert!((damage_moment(&section, 80e6, 80e6).unwrap() - 120.0).abs() < 1e-9);
        }
    }

    #[test]
    fn faces_on_a_light_core_follow_the_sandwich_formula() {
        // E_f f d^2 / 2 for thin faces (textbook), d between the middles of the faces.
        let section = Section {
            inner_modulus: 1e6,
            inner: 0.010,
            face_modulus: 10e9,
            face: 0.0005,
        };
        let thin = 10e9 * 0.0005 * 0.0105_f64.powi(2) / 2.0;
        assert!((bending_stiffness(&section).unwrap() / thin - 1.0).abs() < 2e-3);
    }

    #[test]
    fn the_weaker_layer_decides() {
        let section = Section {
            inner_modulus: 10e9,
            inner: 0.002,
            face_modulus: 20e9,
            face: 0.0005,
        };
        let strong_inner = damage_moment(&section, 1e9, 200e6).unwrap();
        let weak_inner = damage_moment(&section, 20e6, 200e6).unwrap();
        let d = bending_stiffness(&section).unwrap();
        assert!((strong_inner - 200e6 * d / (20e9 * 0.0015)).abs() < 1e-6);
        assert!((weak_inner - 20e6 * d / (10e9 * 0.001)).abs() < 1e-6);
    }

    #[test]
    fn grows_to_either_goal() {
        let start = Section {
            inner_modulus: 50e6,
            inner: 0.005,
            face_modulus: 9e9,
            face: 0.0,
        };
        let stiff = grown(&start, Grows::Faces, 100.0, &bending_stiffness).unwrap();
        assert!((bending_stiffness(&stiff).unwrap() / 100.0 - 1.0).abs() < 1e-9);
        assert_eq!(stiff.inner, 0.005);
        let moment = |s: &Section| damage_moment(s, 5e6, 80e6);
        let strong = grown(&start, Grows::Faces, 300.0, &moment).unwrap();
        assert!((moment(&strong).unwrap() / 300.0 - 1.0).abs() < 1e-9);
        let faced = Section {
            face: 0.001,
            ..start
        };
        let enough = grown(&faced, Grows::Inner, 1e-3, &bending_stiffness).unwrap();
        assert!(enough.inner <= 1e-8);
        assert!(grown(&start, Grows::Inner, 1e12, &bending_stiffness).is_err());
    }
}
