//! The way vapour takes through a bag: to one line or to several, alone or swept along by a bleed of dry air.

use crate::law::{LawError, positive, within};

/// The way vapour takes through the bag to the vent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VapourPath {
    /// Permeability times height, K h [m^3]; 3e-12 for a mesh and 1e-13 for cloth alone are only
    /// examples (our judgement).
    pub transmissivity: f64,
    /// Width it flows across [m].
    pub width: f64,
    /// Length to the vent [m].
    pub length: f64,
}

/// The way vapour takes to several vacuum lines that lie across a part.
///
/// one line, at one edge: length L, width A / L; n lines, at both edges and evenly between: length L / (2 (n - 1)),
/// width 2 (n - 1) A / L
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `transmissivity` | K h of the bag's inside | [m^3] |
/// | `run` | L, across the part at right angles to the lines | [m] |
/// | `area` | A, of the part | [m^2] |
/// | `lines` | n | [-] |
///
/// Distance counts squared: a line at the far edge too makes the path a quarter as hard, three lines a sixteenth.
///
/// # Returns
/// The path [struct]; all vapour is taken to come the whole length, which is on the slow side.
/// # Valid for
/// Any part that is about as wide all along; 1 to 100 lines.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// use bastwork::law::bag_drying::lines;
/// let (one, two) = (lines(3e-12, 0.5, 1.0, 1)?, lines(3e-12, 0.5, 1.0, 2)?);
/// assert_eq!((one.length, one.width), (0.5, 2.0));
/// assert_eq!((two.length, two.width), (0.25, 4.0));
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Symmetry; Darcy's law.
pub fn lines(transmissivity: f64, run: f64, area: f64, lines: u32) -> Result<VapourPath, LawError> {
    let transmissivity = within("transmissivity", transmissivity, 1e-18, 1e-3)?;
    let run = positive("run", run)?;
    let area = positive("area", area)?;
    let parts = match within("lines", f64::from(lines), 1.0, 100.0)? {
        1.0 => 1.0,
        n => 2.0 * (n - 1.0),
    };
    Ok(VapourPath {
        transmissivity,
        width: parts * area / run,
        length: run / parts,
    })
}

/// Throughput of vapour q that a bleed of dry air carries along: the root of over (q + bleed) = q p_far(q).
///
/// p_far^2 = (pu + (q + bleed) * lag)^2 + (q + bleed) * slow; either of `lag` = 1 / S and `slow` = 1 / c may be 0.
pub(super) fn swept(over: f64, bleed: f64, pu: f64, lag: f64, slow: f64) -> f64 {
    if over <= 0.0 {
        return 0.0;
    }
    // q p_far(q) - over (q + bleed) is negative at 0 and convex, so Newton's steps from above never pass the root.
    // Above it: where the pump alone, or the path alone, would already hold back as much.
    let half = 0.5 * over * over / slow;
    let mut q = (over / lag).min(half + (half * half + 2.0 * half * bleed).sqrt());
    for _ in 0..60 {
        let vent = pu + (q + bleed) * lag;
        let far = (vent * vent + (q + bleed) * slow).sqrt();
        let slope = far + q * (vent * lag + 0.5 * slow) / far - over;
        let step = (q * far - over * (q + bleed)) / slope;
        if step.is_nan() || step <= 1e-14 * q {
            break;
        }
        q -= step;
    }
    q.max(0.0)
}
