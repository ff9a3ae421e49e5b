//! The last load of a bent stack, from how its strands go when they are pulled and pushed.

use super::{Course, Curve, MOST_STRAIN};
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
        if let (true, Some(&(strain, stress))) = (self.holds, self.points.last())
            && at > strain
        {
            return stress;
        }
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

/// Two strains between which the force of a bent stack turns from a push into a pull, the most pulled ones first.
fn crossing(force: &dyn Fn(f64) -> Option<f64>) -> Option<[f64; 2]> {
    const STEPS: u32 = 160;
    let mut pulled = None;
    for step in 0..=STEPS {
        let e0 = MOST_STRAIN * (1.0 - 2.0 * f64::from(step) / f64::from(STEPS));
        match (force(e0), pulled) {
            (Some(force), _) if force >= 0.0 => pulled = Some(e0),
            (Some(_), Some(pulled)) => return Some([e0, pulled]),
            _ => {}
        }
    }
    None
}

/// Lowest and highest face of some strands.
fn faces<'a>(strands: impl Iterator<Item = &'a Strand>) -> [f64; 2] {
    strands.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], strand| {
        [low.min(strand.below), high.max(strand.above)]
    })
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
    let [low, high] = faces(strands.iter());
    let thin = positive("thickness", high - low)? / SLICES;
    // Strain is counted from the middle of the strand that ends first when pulled, so that all is pulled when it does.
    let weakest = (strands.iter().enumerate())
        .filter(|(_, strand)| strand.bears.is_some())
        .min_by(|(i, _), (k, _)| {
            let end = |i: usize| pulled.curves[i].end(rises);
            end(*i).total_cmp(&end(*k))
        });
    let middle = weakest.map_or(0.5 * (low + high), |(_, strand)| {
        0.5 * (strand.below + strand.above)
    });
    let mut slices = Vec::new();
    for (i, strand) in strands.iter().enumerate() {
        let pieces = ((strand.above - strand.below) / thin).ceil().max(1.0);
        let each = (strand.above - strand.below) / pieces;
        for k in 0..pieces as usize {
            let z = strand.below + (k as f64 + 0.5) * each - middle;
            slices.push((i, z, each * strand.share));
        }
    }
    // A core, and what holds for ever, is not followed beyond the largest strain.
    let ends: Vec<(f64, f64)> = strands
        .iter()
        .enumerate()
        .map(|(i, strand)| {
            let end = |curve: &Curve| match strand.bears {
                Some(_) => curve.end(rises).min(MOST_STRAIN),
                None => MOST_STRAIN,
            };
            (end(&pulled.curves[i]), end(&pushed.curves[i]))
        })
        .collect();
    let mut least = f64::INFINITY;
    for side in [1.0, -1.0] {
        // The largest curvature that no end forbids; none where some strand is past its end at any.
        let curvature = |e0: f64| {
            let (mut needed, mut most) = (0.0_f64, f64::INFINITY);
            for (strand, (pull, push)) in strands.iter().zip(&ends) {
                for z in [strand.below, strand.above] {
                    let z = side * (z - middle);
                    let (ahead, behind) = if z > 0.0 {
                        (pull - e0, push + e0)
                    } else {
                        (push + e0, pull - e0)
                    };
                    let far = z.abs().max(1e-12);
                    most = most.min(ahead / far);
                    needed = needed.max(-behind / far);
                }
            }
            (most >= needed).then_some(most)
        };
        let sum = |e0: f64, moment: bool| {
            let bend = curvature(e0).unwrap_or(0.0);
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
        let bound = |pick: &dyn Fn(&(f64, f64)) -> f64| {
            (1.0 - 1e-9)
                * ends
                    .iter()
                    .fold(MOST_STRAIN, |least, pair| least.min(pick(pair)))
        };
        let unsolved = || LawError::Unsolved {
            what: "the balance of a bent stack",
        };
        let force = |e0: f64| sum(e0, false);
        let (from, to) = (-bound(&|pair| pair.1), bound(&|pair| pair.0));
        let moment = |e0: f64| sum(e0, true);
        let found = root(force, from, to, 1e-12).map(moment);
        let found = match found {
            Ok(found) if found > 0.0 => found,
            // Where strands end at unlike strains, the balance may lie beyond the least of the ends, or be one of several.
            _ => {
                let [from, to] =
                    crossing(&|e0| curvature(e0).map(|_| force(e0))).ok_or_else(unsolved)?;
                moment(root(force, from, to, 1e-12).map_err(|_| unsolved())?)
            }
        };
        least = least.min(found);
    }
    positive("moment", least)
}
