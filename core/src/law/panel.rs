//! How much of one material does the job of another, in a panel, a beam or a tie.
//!
//! Same span, same load, one material all through. Does not cover sandwiches, joints or buckling of struts.

use super::{LawError, positive};

/// What a material brings to a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Modulus in the direction of the job; that of bending for panels and beams [Pa].
    pub modulus: f64,
    /// Strength in that direction [Pa].
    pub strength: f64,
    /// Density [kg/m3].
    pub density: f64,
}

/// What kind of piece it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Piece {
    /// Bent; its width is given, its thickness is free.
    Panel,
    /// Bent; its cross-section keeps its shape and grows in both directions.
    Beam,
    /// Pulled; the area of its cross-section is free.
    Tie,
}

/// What the two materials must have in common.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Held {
    /// Stiffness, which is to say deflection under the same load.
    Stiffness,
    /// The load at which it breaks.
    Strength,
}

/// The second material over the first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ratios {
    /// Area of the cross-section; for a panel its thickness [-].
    pub section: f64,
    /// Mass [-].
    pub mass: f64,
}

/// Size and mass of a piece of a second material that does the job of the first.
///
/// a = (P1 / P2)^n, m = a ρ2 / ρ1; n is 1/3 for a panel, 1/2 for a beam, 1 for a tie of equal stiffness (P = E), and
/// 1/2, 2/3, 1 for equal strength (P = σ)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `piece`, `held` | what it is and what is held equal | |
/// | `first`, `second` | E, σ [Pa], ρ | [kg/m3] |
///
/// # Returns
/// a and m, second over first [-].
/// # Valid for
/// Elastic pieces of the same span, thin beside it. A stiff panel gains from a light material; a strong one less.
/// # Errors
/// [`LawError::OutOfRange`] for a modulus, strength or density that is not positive.
/// # Example
/// ```
/// use bastwork::law::panel::{Held, Material, Piece, instead};
/// // Crossed glass and flax in epoxy, pressed (Liang and others 2012, from memory): 15 % thicker, 18 % lighter.
/// let glass = Material { modulus: 21.9e9, strength: 380e6, density: 1790.0 };
/// let flax = Material { modulus: 14.3e9, strength: 170e6, density: 1280.0 };
/// let stiff = instead(Piece::Panel, Held::Stiffness, &glass, &flax)?;
/// assert!((stiff.section - 1.153).abs() < 5e-4 && (stiff.mass - 0.824).abs() < 5e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Ashby, Materials Selection in Mechanical Design, indices E^(1/3)/ρ, E^(1/2)/ρ, E/ρ, σ^(1/2)/ρ, σ^(2/3)/ρ, σ/ρ
/// (from memory).
pub fn instead(
    piece: Piece,
    held: Held,
    first: &Material,
    second: &Material,
) -> Result<Ratios, LawError> {
    let of = |material: &Material| match held {
        Held::Stiffness => positive("modulus", material.modulus),
        Held::Strength => positive("strength", material.strength),
    };
    let power = match (piece, held) {
        (Piece::Panel, Held::Stiffness) => 1.0 / 3.0,
        (Piece::Panel, Held::Strength) | (Piece::Beam, Held::Stiffness) => 0.5,
        (Piece::Beam, Held::Strength) => 2.0 / 3.0,
        (Piece::Tie, _) => 1.0,
    };
    let section = (of(first)? / of(second)?).powf(power);
    let lighter = positive("density", second.density)? / positive("density", first.density)?;
    Ok(Ratios {
        section,
        mass: section * lighter,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::section::{Section, bending_stiffness, damage_moment};

    fn material(modulus: f64, strength: f64, density: f64) -> Material {
        Material {
            modulus,
            strength,
            density,
        }
    }

    #[test]
    fn glass_panels_made_of_flax() {
        // Moduli and densities: Liang 2012, Shah 2013 (both from memory), nominal values; ratios an arithmetic check.
        for (glass, flax, thicker, lighter) in [
            ((21.9, 1.79), (14.3, 1.28), 1.153, 0.824),
            ((36.9, 1.79), (23.4, 1.31), 1.164, 0.852),
            ((22.0, 1.85), (10.0, 1.25), 1.301, 0.879),
            ((20.0, 1.85), (10.0, 1.25), 1.260, 0.851),
        ] {
            let found = instead(
                Piece::Panel,
                Held::Stiffness,
                &material(glass.0, 1.0, glass.1),
                &material(flax.0, 1.0, flax.1),
            )
            .unwrap();
            assert!((found.section - thicker).abs() < 6e-4, "{found:?}");
            assert!((found.mass - lighter).abs() < 6e-4, "{found:?}");
        }
        // A panel that must be as strong gains nothing.
        let strong = instead(
            Piece::Panel,
            Held::Strength,
            &material(21.9, 380.0, 1.79),
            &material(14.3, 170.0, 1.28),
        )
        .unwrap();
        assert!((strong.section - 1.495).abs() < 6e-4 && (strong.mass - 1.069).abs() < 6e-4);
    }

    #[test]
    fn the_panel_found_does_the_job_by_beam_theory() {
        let (first, second) = (material(20e9, 300e6, 1.8), material(9e9, 110e6, 1.25));
        let sheet = |of: &Material, inner: f64| Section {
            inner_modulus: of.modulus,
            inner,
            face_modulus: of.modulus,
            face: 0.0,
        };
        let thick = |held| {
            3e-3 * instead(Piece::Panel, held, &first, &second)
                .unwrap()
                .section
        };
        let one = bending_stiffness(&sheet(&first, 3e-3)).unwrap();
        let two = bending_stiffness(&sheet(&second, thick(Held::Stiffness))).unwrap();
        assert!((two / one - 1.0).abs() < 1e-12);
        let bears =
            |of: &Material, inner| damage_moment(&sheet(of, inner), of.strength, of.strength);
        let one = bears(&first, 3e-3).unwrap();
        let two = bears(&second, thick(Held::Strength)).unwrap();
        assert!((two / one - 1.0).abs() < 1e-12);
    }

    #[test]
    fn square_beams_and_ties_do_the_job_too() {
        let (first, second) = (material(20e9, 300e6, 1.8), material(9e9, 110e6, 1.25));
        let area = |piece, held| instead(piece, held, &first, &second).unwrap().section;
        // A square beam of area A: E A^2 / 12, and a moment of strength A^(3/2) / 6.
        let stiff = second.modulus * area(Piece::Beam, Held::Stiffness).powi(2);
        assert!((stiff / first.modulus - 1.0).abs() < 1e-12);
        let strong = second.strength * area(Piece::Beam, Held::Strength).powf(1.5);
        assert!((strong / first.strength - 1.0).abs() < 1e-12);
        for (held, one, two) in [
            (Held::Stiffness, first.modulus, second.modulus),
            (Held::Strength, first.strength, second.strength),
        ] {
            assert!((two * area(Piece::Tie, held) / one - 1.0).abs() < 1e-12);
        }
        let same = instead(Piece::Beam, Held::Strength, &first, &first).unwrap();
        assert_eq!((same.section, same.mass), (1.0, 1.0));
        let none = material(0.0, 1.0, 1.0);
        assert!(instead(Piece::Panel, Held::Stiffness, &none, &first).is_err());
        assert!(instead(Piece::Panel, Held::Strength, &none, &first).is_ok());
    }
}
