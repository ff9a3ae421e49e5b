//! A surface of triangles, flat or folded, and what flows in its plane.

mod intrinsic;

use intrinsic::Intrinsic;

/// A surface of triangles.
#[derive(Debug, Clone, PartialEq)]
pub struct Triangles {
    /// Corners of the triangles [m].
    pub points: Vec<[f64; 3]>,
    /// Places in `points`, three a triangle.
    pub corners: Vec<[u32; 3]>,
}

/// Why triangles are no surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoSurface {
    /// There is no triangle with an area.
    Empty,
    /// A triangle names a point that is not there: its place in the list.
    Corner(usize),
    /// A point is not a finite number: its place in the list.
    Point(usize),
}

impl std::fmt::Display for NoSurface {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Empty => f.write_str("There is no triangle with an area."),
            Self::Corner(at) => write!(f, "Triangle {at} names a point that is not there."),
            Self::Point(at) => write!(f, "Point {at} is not three finite numbers."),
        }
    }
}

impl std::error::Error for NoSurface {}

/// How well a triangle conducts in its plane: two principal values and the direction of the first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tensor {
    /// Direction of `first`; its part in the plane of the triangle counts, and its length does not.
    pub along: [f64; 3],
    /// Conductance along it.
    pub first: f64,
    /// Conductance across it.
    pub second: f64,
}

impl Tensor {
    /// The same in every direction.
    ///
    /// # Returns
    /// The tensor [its own unit].
    /// # Valid for
    /// Any value above nought.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// assert_eq!(bastwork::solve::surface::Tensor::even(2.0).second, 2.0);
    /// # Ok::<(), ()>(())
    /// ```
    /// # Source
    /// Definition.
    #[must_use]
    pub fn even(value: f64) -> Self {
        Self {
            along: [1.0, 0.0, 0.0],
            first: value,
            second: value,
        }
    }
}

/// What joins two points beside the triangles: a channel along an edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Channel {
    /// The points it joins.
    pub ends: [u32; 2],
    /// Conductance of the section times its area, so that flow is this times the slope of the potential.
    pub conduct: f64,
    /// What it holds for each length.
    pub hold: f64,
}

/// Difference of two points.
pub(super) fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

impl Triangles {
    /// Checks points and corners.
    ///
    /// Triangles without an area are kept; nothing flows in them.
    ///
    /// # Returns
    /// The surface, points in [m].
    /// # Valid for
    /// Up to some hundred thousand triangles.
    /// # Errors
    /// [`NoSurface`], with the place of the first thing that is wrong.
    /// # Example
    /// ```
    /// use bastwork::solve::surface::Triangles;
    /// assert!(Triangles::new(vec![[0.0; 3]], vec![[0, 0, 1]]).is_err());
    /// # Ok::<(), ()>(())
    /// ```
    /// # Source
    /// Definition.
    pub fn new(points: Vec<[f64; 3]>, corners: Vec<[u32; 3]>) -> Result<Self, NoSurface> {
        let far = |p: &[f64; 3]| p.iter().any(|x| !x.is_finite() || x.abs() > 1e9);
        if let Some(at) = points.iter().position(far) {
            return Err(NoSurface::Point(at));
        }
        let beyond = |c: &[u32; 3]| c.iter().any(|&i| i as usize >= points.len());
        if let Some(at) = corners.iter().position(beyond) {
            return Err(NoSurface::Corner(at));
        }
        let surface = Self { points, corners };
        let area = surface.area();
        if area > 0.0 && area.is_finite() {
            Ok(surface)
        } else {
            Err(NoSurface::Empty)
        }
    }

    /// Area of one triangle [m2].
    ///
    /// # Returns
    /// Area [m2].
    /// # Valid for
    /// A triangle that is there.
    /// # Errors
    /// None; a place beyond the list stops the program.
    /// # Example
    /// ```
    /// use bastwork::solve::surface::Triangles;
    /// let one = Triangles::new(vec![[0.0; 3], [3.0, 0.0, 0.0], [0.0, 4.0, 0.0]], vec![[0, 1, 2]])?;
    /// assert_eq!(one.area_of(0), 6.0);
    /// # Ok::<(), bastwork::solve::surface::NoSurface>(())
    /// ```
    /// # Source
    /// Half the cross product, textbook.
    #[must_use]
    pub fn area_of(&self, triangle: usize) -> f64 {
        let [a, b, c] = self.corners[triangle].map(|i| self.points[i as usize]);
        let n = cross(minus(b, a), minus(c, a));
        dot(n, n).sqrt() / 2.0
    }

    /// Area of the surface [m2].
    ///
    /// # Returns
    /// Area [m2].
    /// # Valid for
    /// Any surface.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::surface::Triangles;
    /// let one = Triangles::new(vec![[0.0; 3], [3.0, 0.0, 0.0], [0.0, 4.0, 0.0]], vec![[0, 1, 2]])?;
    /// assert_eq!(one.area(), 6.0);
    /// # Ok::<(), bastwork::solve::surface::NoSurface>(())
    /// ```
    /// # Source
    /// Sum over triangles.
    #[must_use]
    pub fn area(&self) -> f64 {
        (0..self.corners.len()).map(|t| self.area_of(t)).sum()
    }
}

/// A surface as a network: what joins two points, and what each point holds.
#[derive(Debug, Clone, Default)]
pub(super) struct Network {
    /// Two points and how well they are joined.
    pub(super) edges: Vec<(u32, u32, f64)>,
    /// What each point holds.
    pub(super) hold: Vec<f64>,
    /// Edges that pull the wrong way: the surface is too coarse there for flow across its fibres.
    pub(super) backward: usize,
    /// The triangles after flips.
    pub(super) faces: Vec<Face>,
    /// Which points have a side of one triangle only.
    pub(super) rim: Vec<bool>,
}

/// One triangle of a network.
#[derive(Debug, Clone, Copy)]
pub(super) struct Face {
    pub(super) corners: [u32; 3],
    /// Its angles in the metric of the conductance, over half a turn, to about a hundredth.
    pub(super) angles: [f32; 3],
}

/// Turns a surface into a network: linear elements, with the store of a triangle shared among its corners.
///
/// Edges are flipped in the metric of the conductance until no edge pulls the wrong way, wherever the flip leaves the
/// surface as it is (Bobenko and Springborn 2007, Discrete Comput. Geom. 38:740; for a metric, from memory).
pub(super) fn network(
    surface: &Triangles,
    conduct: &[Tensor],
    hold: &[f64],
    channels: &[Channel],
) -> Network {
    let mut inner = Intrinsic::new(surface, conduct, hold);
    inner.flip();
    let mut made = Network {
        edges: Vec::with_capacity(surface.points.len() * 3 + channels.len()),
        hold: vec![0.0; surface.points.len()],
        backward: 0,
        faces: Vec::with_capacity(surface.corners.len()),
        rim: vec![false; surface.points.len()],
    };
    inner.write(&mut made);
    for channel in channels {
        let [a, b] = channel.ends;
        let (Some(from), Some(to)) = (
            surface.points.get(a as usize),
            surface.points.get(b as usize),
        ) else {
            continue;
        };
        let along = minus(*to, *from);
        let length = dot(along, along).sqrt();
        if length > 0.0 {
            made.edges.push((a, b, channel.conduct / length));
            made.hold[a as usize] += channel.hold * length / 2.0;
            made.hold[b as usize] += channel.hold * length / 2.0;
        }
    }
    made
}
