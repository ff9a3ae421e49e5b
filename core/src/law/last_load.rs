//! The last load that a laminate bears, as a test would report it: past cracks and the knee until fibres break.
//!
//! Strained step by step along x. Cracked strands keep the stress they had across, pushed bast fibres that kink keep
//! theirs along. Does not cover plies that come apart, buckling, fatigue or notches.

use super::LawError;
use super::laminate::{Matrix3, in_ply_axes, reduced_stiffness, turned};
use super::strand::{Strand, beyond_knee};

mod bend;

pub use bend::bent;

/// No laminate is followed beyond this strain.
const MOST_STRAIN: f64 = 0.05;
/// A stack that has less than this share of its stiffness left has given way.
const SLACK: f64 = 0.003;

/// Stress of one strand along the part over the strain of the part.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Curve {
    /// Pairs of strain [-] and stress [Pa], both positive in the sense of the load.
    points: Vec<(f64, f64)>,
    /// Whether the stress at its end may rise where little of the material bears it.
    snaps: bool,
    /// Whether it still held when others broke, or kinked: the pushed side of bent bast does not end it.
    holds: bool,
}

/// How a stack goes to its last load when it is pulled or pushed along x.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Largest force per width [N/m].
    pub last: f64,
    /// Strain along x at which it is reached [-].
    pub strain: f64,
    /// One curve a strand.
    curves: Vec<Curve>,
}

#[derive(Clone, Copy, Default)]
struct State {
    strain: [f64; 3],
    stress: [f64; 3],
    bent: bool,
    cracked: bool,
    sheared: bool,
    kinked: bool,
    broken: bool,
}

#[derive(Clone, Copy)]
enum Event {
    Knee,
    Crack,
    Shear,
    Kink,
    Break,
}

/// Stiffness of a strand as it is now, in its own axes.
fn tangent(strand: &Strand, q: &Matrix3, state: &State, pulled: f64) -> Matrix3 {
    const NOTHING: f64 = 1e-9;
    let share = match &strand.bears {
        _ if state.broken => NOTHING,
        Some(bears) if state.kinked => {
            bears.kinks.map_or(NOTHING, |(rest, _)| rest) / strand.ply.modulus_along
        }
        Some(bears) if state.bent => {
            if state.strain[0] < 0.0 {
                bears.after
            } else {
                pulled
            }
        }
        _ => 1.0,
    };
    let along = q[0][0] * share.max(NOTHING);
    let rest = NOTHING * q[1][1];
    let shear = if state.broken || state.sheared {
        rest
    } else {
        q[2][2]
    };
    if state.broken || state.cracked {
        return [[along, 0.0, 0.0], [0.0, rest, 0.0], [0.0, 0.0, shear]];
    }
    // Poisson's coupling must not outgrow what is left along the fibres.
    let coupled = q[0][1].min(0.9 * (along * q[1][1]).sqrt());
    [
        [along, coupled, 0.0],
        [coupled, q[1][1], 0.0],
        [0.0, 0.0, shear],
    ]
}

fn apply(q: &Matrix3, e: &[f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| q[i].iter().zip(e).map(|(q, e)| q * e).sum())
}

/// Share of a step at which a strand meets its next event; more than one when it meets none.
fn next(strand: &Strand, state: &State, de: &[f64; 3], ds: &[f64; 3]) -> (f64, Event) {
    let mut first = (f64::INFINITY, Event::Break);
    let Some(bears) = &strand.bears else {
        return first;
    };
    let mut offer = |share: f64, event: Event| {
        if share.is_finite() && share < first.0 {
            first = (share.max(0.0), event);
        }
    };
    let strengths = &bears.strengths;
    if bears.knee > 0.0 && !state.bent && !state.kinked && de[0] != 0.0 {
        offer(
            (bears.knee.copysign(de[0]) - state.strain[0]) / de[0],
            Event::Knee,
        );
    }
    if ds[0] > 0.0 {
        offer(
            (strengths.along_tension - state.stress[0]) / ds[0],
            Event::Break,
        );
    } else if let (Some((_, end)), true) = (bears.kinks, state.kinked) {
        if de[0] < 0.0 {
            offer((-end - state.strain[0]) / de[0], Event::Break);
        }
    } else if ds[0] < 0.0 {
        let event = if bears.kinks.is_some() {
            Event::Kink
        } else {
            Event::Break
        };
        offer(
            (-strengths.along_compression - state.stress[0]) / ds[0],
            event,
        );
    }
    if !state.cracked && ds[1] != 0.0 {
        let limit = if ds[1] > 0.0 {
            strengths.across_tension
        } else {
            -strengths.across_compression
        };
        offer((limit - state.stress[1]) / ds[1], Event::Crack);
    }
    if !state.sheared && ds[2] != 0.0 {
        let limit = strengths.shear.copysign(ds[2]);
        offer((limit - state.stress[2]) / ds[2], Event::Shear);
    }
    first
}

/// Strains across and in shear that leave no force there, for a strain along and forces to be taken off.
fn free(a: &Matrix3, along: f64, off: [f64; 2]) -> [f64; 3] {
    let floor = 1e-9 * a[0][0].abs();
    let (yy, ss, ys) = (a[1][1] + floor, a[2][2] + floor, a[1][2]);
    let (ry, rs) = (-a[0][1] * along - off[0], -a[0][2] * along - off[1]);
    let det = yy * ss - ys * ys;
    [along, (ry * ss - rs * ys) / det, (rs * yy - ry * ys) / det]
}

struct Walk<'a> {
    strands: &'a [Strand],
    stiff: Vec<Matrix3>,
    pulled: Vec<f64>,
    states: Vec<State>,
}

impl Walk<'_> {
    fn weight(&self, i: usize) -> f64 {
        let strand = &self.strands[i];
        strand.share * (strand.above - strand.below)
    }

    fn membrane(&self) -> Matrix3 {
        let mut a = [[0.0; 3]; 3];
        for (i, strand) in self.strands.iter().enumerate() {
            let t = tangent(strand, &self.stiff[i], &self.states[i], self.pulled[i]);
            let q = turned(&t, strand.angle);
            let weight = self.weight(i);
            for (row, part) in a.iter_mut().zip(&q) {
                for (sum, q) in row.iter_mut().zip(part) {
                    *sum += q * weight;
                }
            }
        }
        a
    }

    /// Stress of a strand in the axes of the part.
    fn turned_back(&self, i: usize) -> [f64; 3] {
        let [one, two, shear] = self.states[i].stress;
        let (s, c) = crate::solve::sin_cos(self.strands[i].angle);
        [
            c * c * one + s * s * two - 2.0 * s * c * shear,
            s * s * one + c * c * two + 2.0 * s * c * shear,
            s * c * (one - two) + (c * c - s * s) * shear,
        ]
    }

    fn forces(&self) -> [f64; 3] {
        let mut sum = [0.0; 3];
        for i in 0..self.strands.len() {
            let weight = self.weight(i);
            for (sum, stress) in sum.iter_mut().zip(self.turned_back(i)) {
                *sum += weight * stress;
            }
        }
        sum
    }

    /// A strand meets an event; whether it broke.
    fn meet(&mut self, i: usize, event: Event) -> bool {
        let state = &mut self.states[i];
        match event {
            Event::Knee => state.bent = true,
            Event::Crack => state.cracked = true,
            Event::Shear => state.sheared = true,
            Event::Kink => state.kinked = true,
            Event::Break => {
                state.broken = true;
                state.stress = [0.0; 3];
            }
        }
        state.broken
    }

    /// The events that strands meet within a step, each with its share of the step.
    fn ahead(&self, step: &[f64; 3]) -> Vec<(f64, usize, Event)> {
        let mut events = Vec::new();
        for (i, strand) in self.strands.iter().enumerate() {
            if self.states[i].broken {
                continue;
            }
            let de = in_ply_axes(step, strand.angle);
            let t = tangent(strand, &self.stiff[i], &self.states[i], self.pulled[i]);
            let (when, event) = next(strand, &self.states[i], &de, &apply(&t, &de));
            if when <= 1.0 {
                events.push((when, i, event));
            }
        }
        events
    }

    /// Strains every strand on; a share of a step.
    fn strain(&mut self, step: &[f64; 3], share: f64) {
        for (i, strand) in self.strands.iter().enumerate() {
            let de = in_ply_axes(step, strand.angle);
            let t = tangent(strand, &self.stiff[i], &self.states[i], self.pulled[i]);
            let ds = apply(&t, &de);
            let state = &mut self.states[i];
            for k in 0..3 {
                state.strain[k] += share * de[k];
                state.stress[k] += share * ds[k];
            }
        }
    }
}

/// The way of a stack to its last load along x.
///
/// dN = A_t dε with N_y = N_xy = 0; A_t from strands that pass the knee, crack across at Y or yield in shear at S and keep
/// that stress, kink when pushed to X_c and keep that stress, or break at X
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `strands` | the stack | |
/// | `pushed` | whether it is pushed instead of pulled | |
///
/// # Returns
/// The last load with its strain, and how every strand got there.
/// # Valid for
/// Held flat, short, dry; strains to 5 percent. A stack with next to no stiffness left has given way.
/// # Errors
/// [`LawError::OutOfRange`] for what is not positive; [`LawError::Unsolved`] for a stack without a layer.
/// # Example
/// ```
/// use bastwork::law::{failure::Strengths, last_load::course, micromechanics::Ply, strand::{Bears, Strand}};
/// let ply = Ply { modulus_along: 37e9, modulus_across: 10e9, poisson: 0.0, shear_modulus: 4e9 };
/// let strengths = Strengths { along_tension: 1000e6, along_compression: 600e6, across_tension: 35e6,
///     across_compression: 120e6, shear: 60e6 };
/// let bears = Some(Bears { strengths, knee: 0.0, after: 1.0, breaks: 0.0, kinks: None });
/// let crossed = [0.0, std::f64::consts::FRAC_PI_2].map(|angle| Strand { ply, angle, below: -1e-3, above: 1e-3, share: 0.5, bears });
/// // Half of it bears its whole strength, the other half what it kept when it cracked.
/// assert!((course(&crossed, false)?.last / 2e-3 / 1e6 - 0.5 * (1000.0 + 35.0)).abs() < 0.1);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Ply by ply after Hahn and Tsai 1973, J. Compos. Mater. 7:102 (from memory); cracked plies keep their stress: our
/// judgement, between dropping it and letting it grow.
pub fn course(strands: &[Strand], pushed: bool) -> Result<Course, LawError> {
    let nothing = LawError::Unsolved {
        what: "the last load of a stack without a layer",
    };
    let mut walk = Walk {
        strands,
        stiff: Vec::with_capacity(strands.len()),
        pulled: Vec::with_capacity(strands.len()),
        states: vec![State::default(); strands.len()],
    };
    for strand in strands {
        walk.stiff.push(reduced_stiffness(&strand.ply)?);
        walk.pulled.push(match &strand.bears {
            Some(bears) => beyond_knee(bears, strand.ply.modulus_along)?,
            None => 1.0,
        });
    }
    let sign = if pushed { -1.0 } else { 1.0 };
    let mut curves = vec![
        Curve {
            points: vec![(0.0, 0.0)],
            snaps: false,
            holds: false,
        };
        strands.len()
    ];
    let mut found = (0.0_f64, 0.0);
    let mut strain = 0.0;
    let mut at_first = None;
    for _ in 0..40 + 5 * strands.len() {
        let a = walk.membrane();
        let step = free(&a, sign * (MOST_STRAIN - strain), [0.0; 2]);
        let left = apply(&a, &step)[0] / step[0];
        let whole = *at_first.get_or_insert(left);
        let mut bearing = strands.iter().zip(&walk.states);
        let gone = bearing.all(|(strand, state)| strand.bears.is_none() || state.broken);
        let kinked = walk
            .states
            .iter()
            .any(|state| state.kinked && !state.broken);
        let slack = !kinked && left <= SLACK * whole;
        if gone || strain >= MOST_STRAIN || left.is_nan() || slack {
            break;
        }
        let events = walk.ahead(&step);
        let share = events
            .iter()
            .fold(1.0_f64, |least, event| least.min(event.0));
        walk.strain(&step, share);
        strain += share * (MOST_STRAIN - strain);
        let force = sign * walk.forces()[0];
        if force > found.0 {
            found = (force, strain);
        }
        for (i, curve) in curves.iter_mut().enumerate() {
            // Two events at one strain are one point.
            let new = curve
                .points
                .last()
                .is_some_and(|last| strain > last.0 + 1e-9);
            if new && !walk.states[i].broken {
                curve.points.push((strain, sign * walk.turned_back(i)[0]));
            }
        }
        if events.is_empty() {
            break;
        }
        let mut dropped = false;
        for (when, i, event) in events {
            if when <= share + 1e-9 && walk.meet(i, event) {
                dropped = true;
                curves[i].snaps = !walk.states[i].kinked;
            }
        }
        if dropped {
            let [_, y, xy] = walk.forces();
            let settle = free(&walk.membrane(), 0.0, [y, xy]);
            walk.strain(&settle, 1.0);
        }
    }
    if found.0 <= 0.0 {
        return Err(nothing);
    }
    let broke = walk.states.iter().any(|state| state.broken);
    for (curve, state) in curves.iter_mut().zip(&walk.states) {
        curve.holds = broke && (!state.broken || state.kinked);
    }
    Ok(Course {
        last: found.0,
        strain: found.1,
        curves,
    })
}

#[cfg(test)]
mod tests;
