//! Heat running through a slab, a cylinder or a sphere that makes heat of its own.
//!
//! Finite volumes with a node on each face; a second unknown that stays where it is (how far a reaction has gone)
//! is eliminated node by node, so that one step is one tridiagonal system. Knows nothing of what it heats.

mod step;

use step::Work;

/// Shape of a body in which heat runs one way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Between two plane faces.
    Slab,
    /// From the axis outwards.
    Cylinder,
    /// From the middle outwards.
    Sphere,
}

/// A body cut into shells, each around a node; the first and the last node lie on the faces.
#[derive(Debug, Clone, PartialEq)]
pub struct Shells {
    /// Size of each shell.
    volume: Vec<f64>,
    /// Area between neighbours over their distance.
    link: Vec<f64>,
    /// Area of the first and the last face.
    face: [f64; 2],
}

impl Shells {
    /// Cuts a body of this thickness or radius into shells around evenly spaced nodes, three at least.
    ///
    /// V_i = integral of r^s dr over the shell, A = r^s; s = 0, 1, 2
    ///
    /// # Returns
    /// Volumes and areas per unit of the angle or area that the shape repeats over [units of the caller].
    /// # Valid for
    /// A positive size.
    /// # Errors
    /// None; fewer than three nodes become three.
    /// # Example
    /// ```
    /// use bastwork::solve::{Shape, Shells};
    /// assert_eq!(Shells::new(Shape::Sphere, 2.0, 1), Shells::new(Shape::Sphere, 2.0, 3), "three at least");
    /// ```
    /// # Source
    /// Finite volumes as in any textbook, such as Patankar 1980 (from memory).
    pub fn new(shape: Shape, size: f64, nodes: usize) -> Self {
        let power = match shape {
            Shape::Slab => 0,
            Shape::Cylinder => 1,
            Shape::Sphere => 2,
        };
        let nodes = nodes.max(3);
        let gap = size / (nodes - 1) as f64;
        let within = |r: f64| r.powi(power + 1) / f64::from(power + 1);
        let edge = |i: usize| ((i as f64 - 0.5) * gap).clamp(0.0, size);
        Self {
            volume: (0..nodes)
                .map(|i| within(edge(i + 1)) - within(edge(i)))
                .collect(),
            link: (1..nodes).map(|i| edge(i).powi(power) / gap).collect(),
            face: [if power == 0 { 1.0 } else { 0.0 }, size.powi(power)],
        }
    }

    /// How many nodes there are.
    pub(crate) fn nodes(&self) -> usize {
        self.volume.len()
    }

    /// All shells together [units of the caller].
    #[cfg(test)]
    pub(crate) fn volume(&self) -> f64 {
        self.volume.iter().sum()
    }
}

/// How fast the reaction runs at a temperature and a progress, and how that changes with both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// The rate.
    pub rate: f64,
    /// Its slope with temperature.
    pub by_heat: f64,
    /// Its slope with progress.
    pub by_progress: f64,
}

/// What runs through the body and what it makes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Through {
    /// Diffusivity: conductivity over heat capacity by volume.
    pub diffusivity: f64,
    /// Film on the first and the last face: heat transfer over heat capacity by volume. Zero lets nothing through.
    pub films: [f64; 2],
    /// Rise of temperature by one unit of progress when nothing runs off.
    pub rise: f64,
}

/// A body and what runs through it.
#[derive(Debug, Clone, Copy)]
pub struct Heated<'a> {
    /// Its shells.
    pub shells: &'a Shells,
    /// What runs through them.
    pub through: &'a Through,
}

/// How finely time is cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fineness {
    /// Temperature may be off by this in one step.
    pub heat: f64,
    /// Progress may be off by this in one step.
    pub progress: f64,
    /// Most that progress may move in one step.
    pub stride: f64,
    /// Longest step.
    pub longest: f64,
    /// What outside moves between its quarters of a step may be no further than this off a straight line.
    pub corner: f64,
    /// Most steps, accepted or not.
    pub most: usize,
}

/// Temperature and progress at every node.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Temperature.
    pub heat: Vec<f64>,
    /// Progress of the reaction.
    pub progress: Vec<f64>,
}

/// Follows heat and reaction from `start` at `from` to `until`, or until `seen` says stop.
///
/// dT/dt = div(a grad T) + rise r(T, p), dp/dt = r(T, p), a dT/dn = g (T_out - T) on the faces
///
/// Linearly implicit Euler with one, two and three steps, extrapolated to third order; the last but one order sets
/// the step. `outside` gives the temperature beyond each face at a time; `seen` gets every accepted step.
///
/// # Returns
/// True when it came to the end or was stopped, false when the steps ran out [-].
/// # Valid for
/// A rate whose slopes are given truly.
/// # Errors
/// None; the answer is false.
/// # Example
/// ```
/// use bastwork::solve::{Fineness, Heated, Pace, Shape, Shells, State, Through, conduct};
/// let slab = Shells::new(Shape::Slab, 1.0, 21);
/// let through = Through { diffusivity: 1.0, films: [0.0, 1.0], rise: 0.0 };
/// let fine = Fineness { heat: 1e-5, progress: 1.0, stride: 1.0, longest: 0.1, corner: 1.0, most: 10_000 };
/// let start = State { heat: vec![1.0; 21], progress: vec![0.0; 21] };
/// let still = |_: f64, _: f64| Pace { rate: 0.0, by_heat: 0.0, by_progress: 0.0 };
/// let mut middle = 0.0;
/// let body = Heated { shells: &slab, through: &through };
/// assert!(conduct(body, start, (0.0, 1.0), still, |_| [0.0, 0.0], fine, |_, now| {
///     middle = now.heat[0];
///     false
/// }));
/// assert!((middle - 0.5339).abs() < 2e-4, "Bi = 1, Fo = 1: first term of the series");
/// ```
/// # Source
/// Deuflhard 1985, SIAM Review 27:505 (extrapolation; from memory); Carslaw and Jaeger 1959 (the series; from memory).
pub fn conduct(
    Heated { shells, through }: Heated<'_>,
    start: State,
    (from, until): (f64, f64),
    pace: impl Fn(f64, f64) -> Pace,
    outside: impl Fn(f64) -> [f64; 2],
    fine: Fineness,
    mut seen: impl FnMut(f64, &State) -> bool,
) -> bool {
    let nodes = shells.nodes();
    let mut now = start;
    let mut t = from;
    let mut work = Work::new(nodes);
    let mut h = 1e-3 * fine.longest.min(until - from);
    for _ in 0..fine.most {
        if t >= until {
            return true;
        }
        for i in 0..nodes {
            work.here[i] = pace(now.heat[i], now.progress[i]);
        }
        let fastest = work.here.iter().fold(0.0_f64, |most, p| most.max(p.rate));
        h = h
            .min(fine.longest)
            .min(fine.stride / fastest.max(1e-300))
            .min(until - t);
        h = straight(&outside, t, h, &fine);
        let worst = work.extrapolate(shells, through, &now, t, h, &pace, &outside, &fine);
        if worst <= 1.0 {
            t = if h >= until - t { until } else { t + h };
            std::mem::swap(&mut now, &mut work.next);
            if seen(t, &now) {
                return true;
            }
        }
        let factor = if worst.is_finite() {
            (0.9 * worst.max(1e-9).powf(-1.0 / 3.0)).clamp(0.2, 4.0)
        } else {
            0.1
        };
        h *= factor;
    }
    false
}

/// The longest step up to `h` over which what is outside moves along a straight line, near enough.
fn straight(outside: &impl Fn(f64) -> [f64; 2], t: f64, mut h: f64, fine: &Fineness) -> f64 {
    let first = outside(t);
    // A jump is stepped over at last, and not only come near to.
    while h > 1e-5 * fine.longest {
        let last = outside(t + h);
        let bent = [0.25, 0.5, 0.75].into_iter().any(|share| {
            let between = outside(t + share * h);
            (0..2).any(|k| {
                let line = first[k] + share * (last[k] - first[k]);
                (between[k] - line).abs() > fine.corner
            })
        });
        if !bent {
            break;
        }
        h *= 0.5;
    }
    h
}

#[cfg(test)]
mod tests;
