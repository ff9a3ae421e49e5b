//! The last load of a bent stack, from how its strands go when they are pulled and pushed.

use super::{Course, Curve, MOST_STRAIN};
use crate::law::strand::Strand;
use crate::law::{LawError, positive, within};
use crate::solve::root;

/// Slices through the thickness of a bent stack.
const SLICES: f64 = 24.0;

impl Curve {
    /// Its last point and how steeply it goes on from there; never down, however the last of it went.
    fn last(&self) -> (f64, f64, f64) {
        let n = self.points.len();
        let &(strain, stress) = self.points.last().unwrap_or(&(0.0, 0.0));
        if self.holds || n < 2 {
            return (strain, stress, 0.0);
        }
        let before = self.points[n - 2];
        let slope = (stress - before.1) / (strain - before.0).max(1e-9);
        (
            strain,
            stress,
            slope.max(0.2 * stress / strain.max(1e-9)).max(0.0),
        )
    }

    /// Strain at its end, once its stress may rise by a factor.
    fn end(&self, rises: f64) -> f64 {
        let (strain, stress, slope) = self.last();
        if self.holds {
            f64::INFINITY
        } else if self.snaps && stress > 0.0 && slope > 0.0 {
            strain + (rises - 1.0) * stress / slope
        } else {
            strain
        }
    }

    fn stress(&self, at: f64) -> f64 {
        let (strain, stress, slope) = self.last();
        if at >= strain {
            return stress + slope * (at - strain);
        }
        for pair in self.points.windows(2) {
            let ((e0, s0), (e1, s1)) = (pair[0], pair[1]);
            if at <= e1 {
                return s0 + (s1 - s0) / (e1 - e0).max(1e-12) * (at - e0);
            }
        }
        stress
    }
}

/// A bent stack, ready to be followed: its slices, its faces and how far each strand may be strained.
struct Bent<'a> {
    /// Which strand, where and how much of it, from the lower side up [-, m, m].
    slices: &'a [(usize, f64, f64)],
    /// Both faces of each strand and its ends, pulled and pushed [m, m, -, -].
    reaches: &'a [[f64; 4]],
    pulled: &'a Course,
    pushed: &'a Course,
}

impl Bent<'_> {
    /// Force and moment about the height that strain is counted from, per width [N/m, N], and the force without its signs.
    ///
    /// No strand carries less than `least` against its strain: its neighbours may draw a turned one the other way.
    fn carries(&self, middle: f64, bend: f64, least: f64) -> [f64; 3] {
        let mut sum = [0.0; 3];
        for &(i, z, weight) in self.slices {
            // Past its end a strand is not followed: it holds what it held there, so that a balance always exists.
            let [.., pull, push] = self.reaches[i];
            let e = (middle + bend * z).clamp(-push, pull);
            let stress = if e >= 0.0 {
                self.pulled.curves[i].stress(e).max(least)
            } else {
                -self.pushed.curves[i].stress(-e).max(least)
            };
            for (sum, share) in sum.iter_mut().zip([stress, stress * z, stress.abs()]) {
                *sum += weight * share;
            }
        }
        sum
    }

    /// Moment at the largest curvature, found by bending the stack step by step: at every curvature the strain is sought
    /// at which pull and push are in balance. A strand that its neighbours draw against its strain carries nothing here,
    /// so that a balance always exists.
    fn followed(&self) -> Option<f64> {
        let faces = self.reaches.iter().flat_map(|reach| [reach[0], reach[1]]);
        let far = faces.fold(0.0_f64, |far, z| far.max(z.abs()));
        let balance = |bend: f64| {
            let wide = MOST_STRAIN + bend.abs() * far;
            root(|e0| self.carries(e0, bend, 0.0)[0], -wide, wide, 1e-13)
        };
        // What is left until the first strand is at its end; no balance counts as beyond.
        let left = |bend: f64| {
            let Ok(e0) = balance(bend) else {
                return -1.0;
            };
            let ends = self.reaches.iter().flat_map(|&[low, high, pull, push]| {
                [low, high].map(|z| {
                    let e = e0 + bend * z;
                    (pull - e).min(push + e)
                })
            });
            ends.fold(f64::INFINITY, f64::min)
        };
        // Within one strand both ends cannot be passed: no stack bends farther than its stiffest strand.
        let most = self
            .reaches
            .iter()
            .map(|[low, high, pull, push]| (pull + push) / (high - low));
        let most = most.fold(f64::INFINITY, f64::min);
        let bend = if left(most) >= 0.0 {
            most
        } else {
            root(left, 0.0, most, 1e-10 * most).ok()?
        };
        let e0 = balance(bend).ok()?;
        Some(self.carries(e0, bend, 0.0)[1])
    }
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
        let slices: Vec<(usize, f64, f64)> = (slices.iter())
            .map(|&(i, z, weight)| (i, side * z, weight))
            .collect();
        let reaches: Vec<[f64; 4]> = (strands.iter().zip(&ends))
            .map(|(strand, &(pull, push))| {
                let [one, other] = [strand.below, strand.above].map(|z| side * (z - middle));
                [one.min(other), one.max(other), pull, push]
            })
            .collect();
        let stack = Bent {
            slices: &slices,
            reaches: &reaches,
            pulled,
            pushed,
        };
        let at = |e0: f64| stack.carries(e0, curvature(e0).unwrap_or(0.0), f64::NEG_INFINITY);
        let bound = |pick: &dyn Fn(&(f64, f64)) -> f64| {
            (1.0 - 1e-9)
                * ends
                    .iter()
                    .fold(MOST_STRAIN, |least, pair| least.min(pick(pair)))
        };
        let (from, to) = (-bound(&|pair| pair.1), bound(&|pair| pair.0));
        let quick = root(|e0| at(e0)[0], from, to, 1e-12).ok().map(at);
        // Where strands end at unlike strains the balance may lie beyond the least of the ends, or the curvature jump there.
        let found = match quick {
            Some([force, moment, all]) if moment > 0.0 && force.abs() < 1e-6 * all => Some(moment),
            _ => stack.followed(),
        };
        let found = found.ok_or(LawError::Unsolved {
            what: "the balance of a bent stack",
        })?;
        least = least.min(found);
    }
    positive("moment", least)
}
