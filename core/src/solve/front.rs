//! A front that moves under a constant potential through a surface that takes it up: when it is where.
//!
//! The potential is one at the feeds and nought at the front and at open vents. Integrated over time it solves an obstacle
//! problem for each time by itself, without steps from one time to the next (Elliott and Janovsky 1981; Gustafsson 1985).
//! Time is in units of the store over the conductance; whoever knows the fluid multiplies by viscosity over pressure.

mod arrival;
mod ends;
mod gap;
mod levels;
mod off;
mod places;
mod settle;
mod smooth;
mod vents;
mod weight;
mod wet;

pub use arrival::{Arrival, Turn};
pub use off::Off;
pub use wet::Wet;

use super::multigrid::{Hierarchy, Matrix, Reduced, Room};
use super::surface::{Channel, Face, Tensor, Triangles, network};
use places::in_order;

/// How far a solve shrinks what is left.
const CLOSE: f64 = 1e-9;
/// Most steps of a solve.
const MAX_ITERATIONS: usize = 200;

/// Where the front enters, and where it may leave.
#[derive(Debug, Clone, Copy, Default)]
pub struct Gates<'a> {
    /// Points under the driving potential.
    pub feeds: &'a [u32],
    /// Points that stay at the potential of the front, and draw for ever: open vents.
    pub vents: &'a [u32],
}

/// When everything is reached.
#[derive(Debug, Clone, PartialEq)]
pub struct Filled {
    /// Time until the last point is reached.
    pub time: f64,
    /// The point that is reached last; none where everything is fed.
    pub last: Option<usize>,
    /// No point is reached later than this; not a number where the front never comes.
    pub bound: Vec<f64>,
    /// Potential at each point once all is wet, over that of the feeds; nought at open vents.
    pub pressure: Vec<f64>,
}

/// Feeds and vents, and w and p for them.
type Steady = (Vec<bool>, Vec<bool>, Vec<f64>, Vec<f64>);

/// A surface with its conductance and store, ready for any gates.
#[derive(Debug, Clone)]
pub struct Field {
    matrix: Matrix,
    hold: Vec<f64>,
    hierarchy: Hierarchy,
    /// The place of each point among those that conduct; none for the others.
    place: Vec<u32>,
    /// The point at each place.
    point: Vec<u32>,
    backward: usize,
    /// The triangles as they are in the network, and which points lie on a rim.
    faces: Vec<Face>,
    rim: Vec<bool>,
    /// What entries of the matrix were before ends of feeds were let go.
    firm: Vec<(u32, f64)>,
    /// The weight of the fluid at each place as a share of the driving potential, where it differs.
    head: Option<Vec<f64>>,
    room: Room,
    /// The last gates without feeds in turn, with w and p for them: a map often follows a fill time.
    steady: Option<Steady>,
}

/// Not among those that conduct.
const NONE: u32 = u32::MAX;

/// Which places are what, for some gates.
#[derive(Debug, Clone)]
struct Held {
    feed: Vec<bool>,
    vent: Vec<bool>,
    /// Places that the front can come to and that are not held.
    open: Vec<bool>,
    /// Ends of feeds: they are let go, and count as fed from the start.
    ends: Vec<u32>,
    /// What feeds push with: one, less their head; nought elsewhere.
    push: Vec<f64>,
    /// What weight brings to each open place, where there is any.
    pull: Option<Vec<f64>>,
}

impl Field {
    /// Makes a field of a surface.
    ///
    /// `conduct` holds a tensor and `hold` the store for each area, one a triangle; channels lie along edges.
    ///
    /// # Returns
    /// The field, ready for any gates [-].
    /// # Valid for
    /// Conductances and stores above nought, one a triangle.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::front::{Field, Gates};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.02, 0.0, 0.0], [f64::from(i) * 0.02, 0.02, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let gates = Gates { feeds: &[0, 1], vents: &[] };
    /// let mut field = Field::even(&strip, 1.0, 1.0);
    /// use bastwork::solve::surface::Tensor;
    /// // Four times the conductance along the strip: a quarter of the time, 1/2 L^2 / 4.
    /// let along = Tensor { along: [1.0, 0.0, 0.0], first: 4.0, second: 1.0 };
    /// let mut field = Field::new(&strip, &[along; 100], &[1.0; 100], &[]);
    /// assert!((field.fill(&gates).time - 0.125).abs() < 1e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Linear finite elements, textbook; the flips of edges by Bobenko and Springborn 2007.
    #[must_use]
    pub fn new(
        surface: &Triangles,
        conduct: &[Tensor],
        hold: &[f64],
        channels: &[Channel],
    ) -> Self {
        let mut found = network(surface, conduct, hold, channels);
        // A triangle whose corners stand on one spot or in one line joins nothing.
        found
            .edges
            .retain(|&(a, b, w)| a != b && w != 0.0 && w.is_finite());
        let (place, point) = in_order(surface.points.len(), &found.edges);
        let edges: Vec<(u32, u32, f64)> = found
            .edges
            .iter()
            .map(|&(a, b, w)| (place[a as usize], place[b as usize], w))
            .collect();
        let matrix = Matrix::of(point.len(), &edges);
        let hierarchy = Hierarchy::of(&matrix);
        let hold = point.iter().map(|&i| found.hold[i as usize]).collect();
        Self {
            matrix,
            hold,
            hierarchy,
            place,
            point,
            backward: found.backward,
            faces: found.faces,
            rim: found.rim,
            firm: Vec::new(),
            head: None,
            room: Room::default(),
            steady: None,
        }
    }

    /// The same conductance and store everywhere.
    ///
    /// # Returns
    /// The field, ready for any gates [-].
    /// # Valid for
    /// A conductance and a store above nought.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::front::{Field, Gates};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.02, 0.0, 0.0], [f64::from(i) * 0.02, 0.02, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let gates = Gates { feeds: &[0, 1], vents: &[] };
    /// let mut field = Field::even(&strip, 1.0, 1.0);
    /// assert!((field.fill(&gates).time - 0.5).abs() < 1e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// As [`Field::new`].
    #[must_use]
    pub fn even(surface: &Triangles, conduct: f64, hold: f64) -> Self {
        let count = surface.corners.len();
        Self::new(
            surface,
            &vec![Tensor::even(conduct); count],
            &vec![hold; count],
            &[],
        )
    }

    /// Edges that pull the wrong way because the mesh is too coarse for its fibres; with none, no time is over- or undershot.
    ///
    /// # Returns
    /// How many [-].
    /// # Valid for
    /// Any field.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::front::{Field, Gates};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.02, 0.0, 0.0], [f64::from(i) * 0.02, 0.02, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let gates = Gates { feeds: &[0, 1], vents: &[] };
    /// let mut field = Field::even(&strip, 1.0, 1.0);
    /// assert_eq!(field.backward(), 0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Discrete maximum principle, textbook.
    #[must_use]
    pub fn backward(&self) -> usize {
        self.backward
    }

    /// What the whole surface holds.
    ///
    /// # Returns
    /// The store [area times store].
    /// # Valid for
    /// Any field.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::front::{Field, Gates};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.02, 0.0, 0.0], [f64::from(i) * 0.02, 0.02, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let gates = Gates { feeds: &[0, 1], vents: &[] };
    /// let mut field = Field::even(&strip, 1.0, 1.0);
    /// assert!((field.capacity() - 0.02).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Sum over triangles.
    #[must_use]
    pub fn capacity(&self) -> f64 {
        self.hold.iter().sum()
    }

    /// What one point holds.
    ///
    /// # Returns
    /// The store [area times store]; nought for a point that is not there.
    /// # Valid for
    /// Any field.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::front::{Field, Gates};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.02, 0.0, 0.0], [f64::from(i) * 0.02, 0.02, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let gates = Gates { feeds: &[0, 1], vents: &[] };
    /// let mut field = Field::even(&strip, 1.0, 1.0);
    /// assert!(field.hold_of(10) > 0.0 && field.hold_of(1000) == 0.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// A third of each triangle around it, textbook.
    #[must_use]
    pub fn hold_of(&self, point: usize) -> f64 {
        match self.place.get(point) {
            Some(&at) if at != NONE => self.hold[at as usize],
            _ => 0.0,
        }
    }

    fn held(&mut self, gates: &Gates<'_>) -> Held {
        let count = self.point.len();
        let mut held = Held {
            feed: vec![false; count],
            vent: vec![false; count],
            open: vec![false; count],
            ends: Vec::new(),
            push: Vec::new(),
            pull: None,
        };
        let at = |i: &u32| self.place.get(*i as usize).copied().filter(|&p| p != NONE);
        for p in gates.feeds.iter().filter_map(at) {
            held.feed[p as usize] = true;
        }
        for p in gates.vents.iter().filter_map(at) {
            held.vent[p as usize] = !held.feed[p as usize];
        }
        self.loosen(&mut held);
        let mut waiting: Vec<u32> = (0..count as u32)
            .filter(|&i| held.feed[i as usize])
            .collect();
        while let Some(i) = waiting.pop() {
            let (columns, values) = self.matrix.row(i as usize);
            for (&j, &a) in columns.iter().zip(values) {
                let k = j as usize;
                if a != 0.0 && !(held.feed[k] || held.vent[k] || held.open[k]) {
                    held.open[k] = true;
                    waiting.push(j);
                }
            }
        }
        let push = held.feed.iter().map(|&feeds| f64::from(u8::from(feeds)));
        held.push = push.collect();
        self.pulled(&mut held);
        held
    }

    /// The time for everything, from linear solves alone.
    ///
    /// -div(a grad w) = c with w = 0 at feeds and open vents, p the steady potential; T = max w / p, and w / p bounds
    /// the time of every point from above. An open vent is reached when as much has come to it as it holds.
    ///
    /// # Returns
    /// Time [store over conductance times area], last point and bounds.
    /// # Valid for
    /// Constant potential.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::front::{Field, Gates};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.02, 0.0, 0.0], [f64::from(i) * 0.02, 0.02, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let gates = Gates { feeds: &[0, 1], vents: &[] };
    /// let mut field = Field::even(&strip, 1.0, 1.0);
    /// // Along a strip of length 1 it takes 1/2.
    /// assert!((field.fill(&gates).time - 0.5).abs() < 1e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Derived for Bastwork: with nothing dry the obstacle problem is linear.
    pub fn fill(&mut self, gates: &Gates<'_>) -> Filled {
        let held = self.held(gates);
        let (w, p) = self.steady(&held, None);
        let mut filled = Filled {
            time: 0.0,
            last: None,
            bound: vec![f64::NAN; self.place.len()],
            pressure: vec![0.0; self.place.len()],
        };
        for (p, &point) in p.iter().zip(&self.point) {
            filled.pressure[point as usize] = *p;
        }
        let (bounds, time, last) = self.bounds(&held, (&w, &p));
        filled.time = time;
        filled.last = last.map(|i| self.point[i] as usize);
        for (bound, &point) in bounds.into_iter().zip(&self.point) {
            filled.bound[point as usize] = bound;
        }
        for &end in &held.ends {
            filled.bound[self.point[end as usize] as usize] = 0.0;
        }
        filled
    }

    /// w and p of [`Field::fill`], at the places; with `hold` in place of the own store where given.
    fn steady(&mut self, held: &Held, hold: Option<&[f64]>) -> (Vec<f64>, Vec<f64>) {
        let count = self.point.len();
        let own = hold.is_none();
        self.room.forget();
        if let Some((feed, vent, w, p)) = self.steady.as_ref().filter(|_| own)
            && (feed, vent) == (&held.feed, &held.vent)
        {
            return (w.clone(), p.clone());
        }
        if own && self.head.is_some() {
            let (w, p) = self.steady_weighed(held);
            self.steady = Some((held.feed.clone(), held.vent.clone(), w.clone(), p.clone()));
            self.room.forget();
            return (w, p);
        }
        let hold = hold.unwrap_or(&self.hold);
        let mut reduced = Reduced::of(&self.matrix, &self.hierarchy, &held.open, &mut self.room);
        let mut w = vec![0.0; count];
        reduced.solve(|i| hold[i], &mut w, (CLOSE, 1.0), MAX_ITERATIONS);
        let mut p = held.push.clone();
        if held.vent.iter().any(|&v| v) {
            reduced.solve(|_| 0.0, &mut p, (CLOSE, 1.0), MAX_ITERATIONS);
        } else {
            for (p, &open) in p.iter_mut().zip(&held.open) {
                if open {
                    *p = 1.0;
                }
            }
        }
        if own {
            self.steady = Some((held.feed.clone(), held.vent.clone(), w.clone(), p.clone()));
        }
        self.room.forget();
        (w, p)
    }
}

#[cfg(test)]
mod tests;
