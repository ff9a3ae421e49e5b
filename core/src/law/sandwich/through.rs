//! How a stack with one core or several shears through its thickness.

use super::super::{LawError, positive};

/// One layer, as far as shear through the thickness goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slab {
    /// Modulus in its plane [Pa].
    pub modulus: f64,
    /// Thickness [m].
    pub thickness: f64,
    /// Shear modulus of a core [Pa]; none for a ply of a skin, which is taken not to shear.
    pub core_shear: Option<f64>,
}

/// How a stack shears.
#[derive(Debug, Clone, PartialEq)]
pub struct Through {
    /// Shear stiffness S; endless without a core [N/m].
    pub shear: f64,
    /// Share of the skins' own bending in that of the whole [-].
    pub skins: f64,
    /// For every slab the shear stress per shear force [1/m]; nothing but in cores.
    pub stress: Vec<f64>,
}

/// Shear stiffness of a stack, the share of its skins' own bending, and the shear stress in each core.
///
/// S = (1 - f)^2 D^2 / sum of the integrals of g^2 / G over the cores, tau = Q g / ((1 - f) D), with g the stiffness
/// moment of all that lies below, about the plane of no strain, and f = sum of the skins' own bending over D
///
/// One core between equal skins gives S = G d^2 / c and tau = Q / d, with d from the middle of one skin to the middle
/// of the other, however thick they are. Plies without a core between them are one skin.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `slabs` | modulus E [Pa], thickness [m], shear modulus G of a core | [Pa] |
///
/// # Returns
/// S [N/m], f [-], tau/Q for every slab [1/m].
/// # Valid for
/// Cores softer in their plane than the skins. One core, or two alike about the middle, exactly; several unlike ones,
/// or a core without a skin, by their energy, which is stiff by some percent.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::sandwich::{Slab, through};
/// let skin = Slab { modulus: 9e9, thickness: 2e-3, core_shear: None };
/// let core = Slab { modulus: 1e6, thickness: 10e-3, core_shear: Some(20e6) };
/// let t = through(&[skin, core, skin])?;
/// // G d^2 / c with d = 12 mm, and own bending of the skins (t/d)^2 / 3 of the rest.
/// assert!((t.shear / 288e3 - 1.0).abs() < 1e-3 && (t.stress[1] * 12e-3 - 1.0).abs() < 1e-3);
/// assert!((t.skins / (1.0 - t.skins) - 4.0 / 144.0 / 3.0).abs() < 1e-5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Allen 1969, Analysis and Design of Structural Sandwich Panels, chapters 2 and 3, thick faces; shear by energy:
/// Whitney 1973, J. Appl. Mech. 40:302 (both from memory).
pub fn through(slabs: &[Slab]) -> Result<Through, LawError> {
    let (mut stretch, mut first, mut top) = (0.0, 0.0, 0.0);
    for slab in slabs {
        let a = positive("modulus", slab.modulus)? * positive("thickness", slab.thickness)?;
        stretch += a;
        first += a * (top + 0.5 * slab.thickness);
        top += slab.thickness;
    }
    let neutral = first / positive("stretch", stretch)?;
    let (mut bending, mut own, mut energy) = (0.0, 0.0, 0.0);
    let mut skin = Skin::default();
    let mut below = -neutral;
    let mut g = 0.0;
    let mut stress = Vec::with_capacity(slabs.len());
    for slab in slabs {
        let (e, t) = (slab.modulus, slab.thickness);
        let middle = below + 0.5 * t;
        bending += e * t * (middle * middle + t * t / 12.0);
        // g from the lower side to a height z above it.
        let at = |z: f64| g - e * z * (below + 0.5 * z);
        if let Some(shear) = slab.core_shear {
            own += skin.bending();
            skin = Skin::default();
            // Three points of Gauss: exact, g is of the second degree.
            let off = 0.5 * t * 0.6_f64.sqrt();
            let square = |z: f64| at(z).powi(2);
            let [low, mid, high] = [0.5 * t - off, 0.5 * t, 0.5 * t + off].map(square);
            energy +=
                t * (5.0 * low + 8.0 * mid + 5.0 * high) / 18.0 / positive("core_shear", shear)?;
            // The plane of no strain, where it lies in the core, is where it shears most.
            let most = at((-below).clamp(0.0, t)).abs();
            stress.push(most.max(g.abs()).max(at(t).abs()));
        } else {
            skin.add(e * t, middle, t);
            stress.push(0.0);
        }
        g = at(t);
        below += t;
    }
    own += skin.bending();
    if energy <= 0.0 {
        return Ok(Through {
            shear: f64::INFINITY,
            skins: 1.0,
            stress,
        });
    }
    let skins = (own / bending).clamp(0.0, 0.999);
    let whole = (1.0 - skins) * bending;
    for value in &mut stress {
        *value /= whole;
    }
    Ok(Through {
        shear: whole * whole / energy,
        skins,
        stress,
    })
}

/// Plies that lie on each other without a core between.
#[derive(Default)]
struct Skin {
    stretch: f64,
    first: f64,
    second: f64,
}

impl Skin {
    fn add(&mut self, a: f64, middle: f64, t: f64) {
        self.stretch += a;
        self.first += a * middle;
        self.second += a * (middle * middle + t * t / 12.0);
    }

    /// About its own plane of no strain.
    fn bending(&self) -> f64 {
        if self.stretch > 0.0 {
            self.second - self.first * self.first / self.stretch
        } else {
            0.0
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ply(thickness: f64) -> Slab {
        Slab {
            modulus: 9e9,
            thickness,
            core_shear: None,
        }
    }

    fn core(thickness: f64, shear: f64) -> Slab {
        Slab {
            modulus: 1e5,
            thickness,
            core_shear: Some(shear),
        }
    }

    #[test]
    fn one_core_is_that_of_the_handbook_however_thick_or_unlike_the_skins() {
        for (below, c, above) in [(1e-3, 10e-3, 1e-3), (6e-3, 1e-3, 6e-3), (1e-3, 5e-3, 4e-3)] {
            let t = through(&[ply(below), core(c, 20e6), ply(above)]).unwrap();
            let d = c + 0.5 * (below + above);
            assert!((t.shear / (20e6 * d * d / c) - 1.0).abs() < 2e-3, "{t:?}");
            assert!((t.stress[1] * d - 1.0).abs() < 2e-3, "{t:?}");
            // Own bending over all of it, straight from the sizes.
            let own = (below.powi(3) + above.powi(3)) / 12.0;
            let rest = below * above / (below + above) * d * d;
            assert!((t.skins / (own / (own + rest)) - 1.0).abs() < 2e-3);
        }
    }

    #[test]
    fn two_cores_share_the_shear() {
        // A middle skin on the plane of no strain bears nothing: two cores are one of their thickness.
        let two = through(&[
            ply(1e-3),
            core(5e-3, 20e6),
            ply(1e-4),
            core(5e-3, 20e6),
            ply(1e-3),
        ]);
        let two = two.unwrap();
        let d = 11.1e-3;
        assert!(
            (two.shear / (20e6 * d * d / 10e-3) - 1.0).abs() < 3e-3,
            "{two:?}"
        );
        assert!((two.stress[1] - two.stress[3]).abs() < 1e-6 * two.stress[1]);
        assert!((two.stress[1] * d - 1.0).abs() < 3e-3);
        // A soft core beside a stiff one takes most of the slip, and the same stress.
        let uneven = through(&[
            ply(1e-3),
            core(5e-3, 5e6),
            ply(1e-4),
            core(5e-3, 80e6),
            ply(1e-3),
        ]);
        assert!(uneven.unwrap().shear < two.shear);
    }

    #[test]
    fn a_bare_core_and_no_core() {
        let bare = through(&[
            ply(1e-3),
            Slab {
                modulus: 8e7,
                ..core(10e-3, 1.5e8)
            },
        ])
        .unwrap();
        assert!(bare.shear.is_finite() && bare.skins < 0.5 && bare.stress[1] > 0.0);
        let none = through(&[ply(1e-3), ply(2e-3)]).unwrap();
        assert_eq!((none.shear, none.skins), (f64::INFINITY, 1.0));
        assert!(through(&[]).is_err() && through(&[ply(0.0)]).is_err());
    }
}
