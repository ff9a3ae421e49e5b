//! The last load of a bent stack, from how its strands go when they are pulled and pushed.

use super::{Course, Curve};
use crate::law::strand::Strand;
use crate::law::{LawError, positive, within};
use crate::solve::root;

/// Slices through the thickness of a bent stack.
const SLICES: f64 = 24.0;

impl Curve {
    /// Strain at its end, once its stress may rise by a factor.
    fn end(&self, rises: f64) -> f64 {
        if self.holds {
            return f64::INFINITY;
        }
        let n = self.points.len();
        let &(strain, stress) = self.points.last().unwrap_or(&(0.0, 0.0));
        if !self.snaps || n < 2 || stress <= 0.0 {
            return strain;
        }
        let before = self.points[n - 2];
        let slope = (stress - before.1) / (strain - before.0).max(1e-9);
        let slope = slope.max(0.2 * stress / strain.max(1e-9));
        strain + (rises - 1.0) * stress / slope
    }

    fn stress(&self, at: f64) -> f64 {
        let pairs = self.points.windows(2);
        let mut last = (0.0, 0.0, 0.0);
        for pair in pairs {
            let ((e0, s0), (e1, s1)) = (pair[0], pair[1]);
            let slope = (s1 - s0) / (e1 - e0).max(1e-12);
            last = (e0, s0, slope);
            if at <= e1 {
                break;
            }
        }
        let (e0, s0, slope) = last;
        // Beyond the end the last slope goes on: the caller stops where the strand does.
        s0 + slope * (at - e0)
    }
}

/// Bending moment at which the first fibres of a stack break or give way, per width.
///
/// ∫ σ(ε0 + κ z) dz = 0, M = ∫ σ(ε0 + κ z) z dz, with κ as large as the first strand that reaches the end of its curve
/// allows: pulled, or pushed
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `strands` | the stack | |
/// | `pulled` | its course when pulled | |
/// | `pushed` | its course when pushed | |
/// | `rises` | stress at break of the little that is strained most, over that of a whole specimen | [-] |
///
/// # Returns
/// Moment per width, of the weaker side up [N].
/// # Valid for
/// Beams long enough not to shear; plane sections.
/// # Errors
/// [`LawError::OutOfRange`] for a factor below 1; [`LawError::Unsolved`] when no balance is found.
/// # Example
/// ```
/// use bastwork::law::{failure::Strengths, last_load::{bent, course}, micromechanics::Ply, strand::{Bears, Strand}};
/// // Pushed as well as pulled, straight to the end: X h^2 / 6.
/// let ply = Ply { modulus_along: 40e9, modulus_across: 10e9, poisson: 0.0, shear_modulus: 4e9 };
/// let strengths = Strengths { along_tension: 900e6, along_compression: 900e6, across_tension: 35e6,
///     across_compression: 120e6, shear: 60e6 };
/// let bears = Some(Bears { strengths, knee: 0.0, after: 1.0, breaks: 0.0, kinks: None });
/// let strip = [Strand { ply, angle: 0.0, below: -1e-3, above: 1e-3, share: 1.0, bears }];
/// let moment = bent(&strip, &course(&strip, false)?, &course(&strip, true)?, 1.0)?;
/// assert!((moment / (900e6 * 4e-6 / 6.0) - 1.0).abs() < 5e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// A section that yields on its pushed side: Bechtel and Norris 1952 for wood (from memory); the rise where little
/// material is strained most: Weibull 1939, as in Wisnom 1999, Composites B 30:331 (both from memory).
pub fn bent(
    strands: &[Strand],
    pulled: &Course,
    pushed: &Course,
    rises: f64,
) -> Result<f64, LawError> {
    let rises = within("rises", rises, 1.0, 3.0)?;
    let low = strands.iter().fold(f64::INFINITY, |z, s| z.min(s.below));
    let high = strands
        .iter()
        .fold(f64::NEG_INFINITY, |z, s| z.max(s.above));
    let middle = 0.5 * (low + high);
    let thin = positive("thickness", high - low)? / SLICES;
    let mut slices = Vec::new();
    for (i, strand) in strands.iter().enumerate() {
        let pieces = ((strand.above - strand.below) / thin).ceil().max(1.0);
        let each = (strand.above - strand.below) / pieces;
        for k in 0..pieces as usize {
            let z = strand.below + (k as f64 + 0.5) * each - middle;
            slices.push((i, z, each * strand.share));
        }
    }
    let ends: Vec<Option<(f64, f64)>> = strands
        .iter()
        .enumerate()
        .map(|(i, strand)| {
            strand.bears.as_ref()?;
            Some((pulled.curves[i].end(rises), pushed.curves[i].end(rises)))
        })
        .collect();
    let mut least = f64::INFINITY;
    for side in [1.0, -1.0] {
        let curvature = |e0: f64| {
            let mut most = f64::INFINITY;
            for (strand, ends) in strands.iter().zip(&ends) {
                let Some((pull, push)) = ends else { continue };
                for z in [strand.below, strand.above] {
                    let z = side * (z - middle);
                    let room = if z > 0.0 { pull - e0 } else { push + e0 };
                    most = most.min((room / z.abs().max(1e-12)).max(0.0));
                }
            }
            most
        };
        let sum = |e0: f64, moment: bool| {
            let bend = curvature(e0);
            let mut total = 0.0;
            for &(i, z, weight) in &slices {
                let z = side * z;
                let e = e0 + bend * z;
                let stress = if e >= 0.0 {
                    pulled.curves[i].stress(e)
                } else {
                    -pushed.curves[i].stress(-e)
                };
                total += weight * stress * if moment { z } else { 1.0 };
            }
            total
        };
        // Where nothing ends on one side, the balance lies well within a strain of one.
        let bound = |pick: &dyn Fn(&(f64, f64)) -> f64| {
            let ends = ends.iter().flatten();
            0.999 * ends.fold(1.0_f64, |least, pair| least.min(pick(pair)))
        };
        let unsolved = LawError::Unsolved {
            what: "the balance of a bent stack",
        };
        let (from, to) = (-bound(&|pair| pair.1), bound(&|pair| pair.0));
        let balance = root(|e0| sum(e0, false), from, to, 1e-7).map_err(|_| unsolved)?;
        least = least.min(sum(balance, true));
    }
    positive("moment", least)
}
