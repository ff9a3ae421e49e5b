//! Bending of a rectangular plate under an even pressure or a force on a patch in its middle.
//!
//! Small deflections, shear through the thickness included, stiffness alike in every place. A stack that is not the
//! same from both faces goes in with the stiffness of `laminate::free_bending`. Does not cover coupling of bending
//! with twist (D16, D26), nor the stretching of plates that bend by more than about half their thickness.

mod edge;
mod series;

use super::{LawError, positive, within};
use series::Field;

/// A rectangular plate whose own axes lie along its sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plate {
    /// Length, along x [m].
    pub length: f64,
    /// Width, along y [m].
    pub width: f64,
    /// Bending stiffness along x [N m].
    pub d11: f64,
    /// Coupling of the two bendings [N m].
    pub d12: f64,
    /// Bending stiffness along y [N m].
    pub d22: f64,
    /// Twisting stiffness [N m].
    pub d66: f64,
    /// Stiffness against shear through the thickness along x, infinite for a thin plate [N/m].
    pub shear_x: f64,
    /// The same along y [N/m].
    pub shear_y: f64,
}

/// What lies on a plate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// An even pressure all over [Pa].
    Pressure(f64),
    /// A force spread evenly over a rectangle in the middle.
    Patch {
        /// Force [N].
        force: f64,
        /// Length of the rectangle, along x [m].
        length: f64,
        /// Width of the rectangle, along y [m].
        width: f64,
    },
}

/// Moments per width; positive where the loaded face is pressed together.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moments {
    /// Bending fibres along x [N m/m].
    pub x: f64,
    /// Bending fibres along y [N m/m].
    pub y: f64,
    /// Twisting [N m/m].
    pub xy: f64,
}

/// How a plate bends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bent {
    /// Deflection of the middle [m].
    pub deflection: f64,
    /// Moments where they can govern: the middle; the middle of an edge across x; of an edge across y; a
    /// corner (two corners have this sign of twist, two the other); a quarter of the length in from an edge
    /// across x, half way along y; the same across y [N m/m].
    pub places: [Moments; 6],
    /// Largest shear force on a section across x, at the edge or beside the patch [N/m].
    pub shear_x: f64,
    /// Largest shear force on a section across y [N/m].
    pub shear_y: f64,
}

/// Smallest patch, as a share of the side.
const LEAST_PATCH: f64 = 0.02;

/// A plate that rests on all four edges and may turn there, corners held down.
///
/// w = sum W_mn sin(m pi x / a) sin(n pi y / b), and for each wave the plate's three balances are solved:
/// D11 a^2 + D66 b^2 and so on for bending, S for shear; for rigid shear
/// W = q / (D11 a^4 + 2 (D12 + 2 D66) a^2 b^2 + D22 b^4) with a = m pi / length, b = n pi / width
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `plate` | sides [m], D [N m], shear stiffness | [N/m] |
/// | `load` | pressure [Pa], or force [N] and patch | [m] |
///
/// # Returns
/// Deflection [m], moments [N m/m] and shear forces [N/m].
/// # Valid for
/// Deflections below about half the thickness. Between 12 by 12 waves and 48 by 32, more for long plates and small
/// patches. Against finite elements, for patches from 5 % of a side and stiffness ratios to 5: deflection 0.2 %,
/// moments 0.3 % of the largest, shear 1.5 %. Against many more waves, for patches of 2 % of a side: deflection
/// 0.1 %, moments 2 %, shear beside the patch 16 % at worst.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::plate::{Load, Plate, resting};
/// // A square thin plate alike in all directions, Poisson ratio 0.3, all sizes one: the handbook's 0.00406, 0.0479, 0.338.
/// let s = f64::INFINITY;
/// let square = Plate { length: 1.0, width: 1.0, d11: 1.0, d12: 0.3, d22: 1.0, d66: 0.35, shear_x: s, shear_y: s };
/// let bent = resting(&square, &Load::Pressure(1.0))?;
/// assert!((bent.deflection - 0.00406).abs() < 5e-6);
/// assert!((bent.places[0].x - 0.0479).abs() < 5e-5 && (bent.shear_x - 0.338).abs() < 1e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Navier's solution with first-order shear: Reddy 2004, Mechanics of Laminated Composite Plates and Shells,
/// 2nd ed., section 7.3; Timoshenko and Woinowsky-Krieger 1959, Theory of Plates and Shells, tables 8 and 23
/// (all from memory).
pub fn resting(plate: &Plate, load: &Load) -> Result<Bent, LawError> {
    solved(plate, load, false)
}

/// A plate held on all four edges so that they cannot turn.
///
/// The resting plate, with moments along its edges added until they no longer turn: for each n the sum over m
/// of X_mn = 0 on the edges across x, for each m the sum over n of Y_mn = 0 on those across y
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `plate` | sides [m], D [N m], shear stiffness | [N/m] |
/// | `load` | pressure [Pa], or force [N] and patch | [m] |
///
/// Shear through the thickness is part of the balance, not added afterwards. No real edge holds this well:
/// a true plate lies between this and [`resting`].
///
/// # Returns
/// Deflection [m], moments [N m/m] and shear forces [N/m]; moments at the edges are negative.
/// # Valid for
/// As [`resting`], with the same number of waves along the edges and the same accuracy.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range;
/// [`LawError::Unsolved`] when the stiffness is not positive.
/// # Example
/// ```
/// use bastwork::law::plate::{Load, Plate, clamped};
/// // A square thin plate alike in all directions, Poisson ratio 0.3, all sizes one: the handbook's 0.00126, 0.0231, -0.0513.
/// let s = f64::INFINITY;
/// let square = Plate { length: 1.0, width: 1.0, d11: 1.0, d12: 0.3, d22: 1.0, d66: 0.35, shear_x: s, shear_y: s };
/// let bent = clamped(&square, &Load::Pressure(1.0))?;
/// assert!((bent.deflection - 0.00126).abs() < 7e-6);
/// assert!((bent.places[0].x - 0.0231).abs() < 3e-4 && (bent.places[1].x + 0.0513).abs() < 1e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// The method of superposition of Timoshenko and Woinowsky-Krieger 1959, Theory of Plates and Shells, section
/// 44 and table 35 (from memory), here for three stiffnesses and with shear.
pub fn clamped(plate: &Plate, load: &Load) -> Result<Bent, LawError> {
    solved(plate, load, true)
}

fn solved(plate: &Plate, load: &Load, held: bool) -> Result<Bent, LawError> {
    let (pressure, patch) = checked(plate, load)?;
    // The longer side, in lengths of its own bending, lies along x: it takes more waves.
    let swap = plate.length.powi(4) * plate.d22 < plate.width.powi(4) * plate.d11;
    let (plate, patch) = if swap {
        (&turned(plate), (patch.1, patch.0))
    } else {
        (plate, patch)
    };
    let (long, short) = series::counts(plate, patch);
    let field = Field {
        plate,
        patch,
        x: series::waves(plate.length, patch.0, long),
        y: series::waves(plate.width, patch.1, short),
    };
    let (at_x, at_y) = if held {
        edge::moments(&field, pressure).ok_or(LawError::Unsolved {
            what: "the bending of the plate",
        })?
    } else {
        (vec![0.0; short], vec![0.0; long])
    };
    let mut bent = field.bent(pressure, &at_x, &at_y);
    if held {
        // Neither rotation changes along either edge there; the series comes to it slowly.
        bent.places[3].xy = 0.0;
    }
    Ok(if swap { turned_back(bent) } else { bent })
}

/// The pressure on the patch and the patch's sides; an even pressure is a patch all over.
fn checked(plate: &Plate, load: &Load) -> Result<(f64, (f64, f64)), LawError> {
    let length = positive("length", plate.length)?;
    let width = positive("width", plate.width)?;
    let d11 = positive("d11", plate.d11)?;
    let d22 = positive("d22", plate.d22)?;
    positive("d66", plate.d66)?;
    let limit = 0.999 * (d11 * d22).sqrt();
    within("d12", plate.d12, -limit, limit)?;
    within("shear_x", plate.shear_x, f64::MIN_POSITIVE, f64::INFINITY)?;
    within("shear_y", plate.shear_y, f64::MIN_POSITIVE, f64::INFINITY)?;
    match *load {
        Load::Pressure(pressure) => Ok((
            within("pressure", pressure, f64::MIN, f64::MAX)?,
            (length, width),
        )),
        Load::Patch {
            force,
            length: u,
            width: v,
        } => {
            within("force", force, f64::MIN, f64::MAX)?;
            within("patch length", u, LEAST_PATCH * length, length)?;
            within("patch width", v, LEAST_PATCH * width, width)?;
            Ok((force / (u * v), (u, v)))
        }
    }
}

fn turned(plate: &Plate) -> Plate {
    Plate {
        length: plate.width,
        width: plate.length,
        d11: plate.d22,
        d22: plate.d11,
        shear_x: plate.shear_y,
        shear_y: plate.shear_x,
        ..*plate
    }
}

fn turned_back(bent: Bent) -> Bent {
    let [middle, edge_x, edge_y, corner, quarter_x, quarter_y] = bent.places.map(|m| Moments {
        x: m.y,
        y: m.x,
        xy: m.xy,
    });
    Bent {
        places: [middle, edge_y, edge_x, corner, quarter_y, quarter_x],
        shear_x: bent.shear_y,
        shear_y: bent.shear_x,
        ..bent
    }
}

#[cfg(test)]
mod tests;

#[cfg(test)]
mod coupled_tests;
