//! When resin reaches each point of a part, flat or folded, from any feeds.
//!
//! Darcy flow in the plane of a thin part at constant pressure, the front at the pressure of the bag. Viscosity is
//! constant: with a resin that thickens, put the thin-resin time of `thickening` in place of the clock. Does not cover
//! gravity (see `flow::rise_fill_time`), a bag that gives way (`flow::BAG_FACTOR`) or trapped air.

use super::{LawError, within};
use crate::solve::front::{Field, Gates, Off};
use crate::solve::surface::{Channel, Tensor, Triangles};

/// Times at which it is worked out what is wet; between them the front moves as along a strip.
pub const LEVELS: usize = 8;

/// A bed of cloth that lets resin through alike in every direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bed {
    /// Permeability in its plane [m2].
    pub permeability: f64,
    /// Share of it that resin can take [-].
    pub porosity: f64,
    /// Thickness [m].
    pub thickness: f64,
}

/// What lies on one triangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lay {
    /// Direction of the greater permeability [-].
    pub along: [f64; 3],
    /// Thickness times permeability along it [m3].
    pub conduct_along: f64,
    /// Thickness times permeability across it [m3].
    pub conduct_across: f64,
    /// Thickness times porosity [m].
    pub hold: f64,
}

/// A part, ready for any feeds.
#[derive(Debug, Clone)]
pub struct FrontMap {
    field: Field,
    points: usize,
}

/// The time for everything, and where resin comes last.
#[derive(Debug, Clone, PartialEq)]
pub struct FillTime {
    /// Time to fill [s].
    pub time: f64,
    /// The point that is wet last.
    pub last: Option<usize>,
}

fn known(points: usize, named: &[u32]) -> Result<(), LawError> {
    match named.iter().max() {
        Some(&most) => within("node", f64::from(most), 0.0, points as f64 - 1.0).map(|_| ()),
        None => Ok(()),
    }
}

impl FrontMap {
    /// A part that is the same everywhere.
    ///
    /// a = h K and c = h phi for each triangle
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | `surface` | points [m] and triangles | [-] |
    /// | `bed` | K [m2], phi [-], h | [m] |
    ///
    /// # Returns
    /// The part, ready for any feeds.
    /// # Valid for
    /// Parts that are thin against their size.
    /// # Errors
    /// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
    /// # Example
    /// ```
    /// use bastwork::law::front_map::{Bed, FrontMap};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.01, 0.0, 0.0], [f64::from(i) * 0.01, 0.01, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let bed = Bed { permeability: 3e-11, porosity: 0.65, thickness: 3e-3 };
    /// let mut map = FrontMap::even(&strip, &bed)?;
    /// let gates = map.gates(&[0, 1], &[])?;
    /// // A strip 0.5 m long: mu phi L^2 / (2 K dp) = 9027.78 s.
    /// assert!((map.fill_time(&gates, 0.3, 9e4)?.time / 9027.78 - 1.0).abs() < 1e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Textbook Darcy law in the plane of a thin part.
    pub fn even(surface: &Triangles, bed: &Bed) -> Result<Self, LawError> {
        within("permeability", bed.permeability, 1e-17, 1e-4)?;
        within("porosity", bed.porosity, 0.02, 1.0)?;
        within("thickness", bed.thickness, 1e-6, 1.0)?;
        Ok(Self {
            field: Field::even(
                surface,
                bed.thickness * bed.permeability,
                bed.thickness * bed.porosity,
            ),
            points: surface.points.len(),
        })
    }

    /// A part where cloth, mesh and core differ from triangle to triangle, with open channels along edges.
    ///
    /// a = sum of h K over what lies there, c = sum of h phi
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | `surface` | points [m] and triangles | [-] |
    /// | `lays` | a [m3] along and across, c [m], one a triangle | [-] |
    /// | `channels` | edges beside which resin runs free: section times permeability [m4], section | [m2] |
    ///
    /// # Returns
    /// The part, ready for any feeds.
    /// # Valid for
    /// Parts that are thin against their size; mesh and cloth fill together, see `flow_mesh::lag` for how far they differ.
    /// # Errors
    /// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
    /// # Example
    /// ```
    /// use bastwork::law::front_map::{FrontMap, Lay};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.01, 0.0, 0.0], [f64::from(i) * 0.01, 0.01, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let lay = |k: f64, phi: f64| Lay { along: [1.0, 0.0, 0.0], conduct_along: 3e-3 * k, conduct_across: 3e-3 * k, hold: 3e-3 * phi };
    /// let lays: Vec<Lay> = (0..100).map(|t| if t < 40 { lay(1e-10, 0.8) } else { lay(2e-11, 0.65) }).collect();
    /// let mut map = FrontMap::new(&strip, &lays, &[])?;
    /// let gates = map.gates(&[0, 1], &[])?;
    /// // Two strips in a row, 0.2 m and 0.3 m, arithmetic check: 6708.3 s.
    /// assert!((map.fill_time(&gates, 0.3, 9e4)?.time / 6708.3 - 1.0).abs() < 2e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Textbook Darcy law; layers in parallel add.
    pub fn new(surface: &Triangles, lays: &[Lay], channels: &[Channel]) -> Result<Self, LawError> {
        within(
            "lays",
            lays.len() as f64,
            surface.corners.len() as f64,
            surface.corners.len() as f64,
        )?;
        for lay in lays {
            within("conduct_along", lay.conduct_along, 1e-22, 1e-3)?;
            within("conduct_across", lay.conduct_across, 1e-22, 1e-3)?;
            within("hold", lay.hold, 1e-9, 1.0)?;
        }
        Ok(Self::laid(surface, lays, channels))
    }

    /// Checks feeds and open vents.
    ///
    /// p = dp at feeds, p = 0 at open vents
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | `feeds` | points of the mesh where resin enters | [-] |
    /// | `vents` | points where it may leave, not clamped when they are wet | [-] |
    ///
    /// # Returns
    /// The two together.
    /// # Valid for
    /// Vents that stay open; a vent that is clamped once it is wet is no vent here.
    /// # Errors
    /// [`LawError::OutOfRange`] for a point that is not in the mesh.
    /// # Example
    /// ```
    /// use bastwork::law::front_map::{Bed, FrontMap};
    /// use bastwork::solve::surface::Triangles;
    /// let one = Triangles::new(vec![[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]], vec![[0, 1, 2]])?;
    /// let map = FrontMap::even(&one, &Bed { permeability: 3e-11, porosity: 0.65, thickness: 3e-3 })?;
    /// assert!(map.gates(&[0], &[]).is_ok() && map.gates(&[3], &[]).is_err());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Boundary conditions of an infusion, common practice, no source.
    pub fn gates<'a>(&self, feeds: &'a [u32], vents: &'a [u32]) -> Result<Gates<'a>, LawError> {
        known(self.points, feeds)?;
        known(self.points, vents)?;
        within("feeds", feeds.len() as f64, 1.0, 1e9)?;
        Ok(Gates { feeds, vents })
    }

    /// Time to fill, and where resin comes last.
    ///
    /// T = (mu / dp) max(w / p), -div(a grad w) = c, -div(a grad p) = 0; w = 0 and p = 1 at feeds, both 0 at open vents
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | `gates` | feeds and open vents | [-] |
    /// | `viscosity` | mu | [Pa s] |
    /// | `pressure` | dp, ambient less bag | [Pa] |
    ///
    /// # Returns
    /// Time [s] and point; what no feed reaches does not count.
    /// # Valid for
    /// Constant pressure and viscosity.
    /// # Errors
    /// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
    /// # Example
    /// See [`FrontMap::even`].
    /// ```
    /// use bastwork::law::front_map::{Bed, FrontMap};
    /// use bastwork::solve::surface::Triangles;
    /// let one = Triangles::new(vec![[0.0, 0.0, 0.0], [0.3, 0.0, 0.0], [0.0, 0.3, 0.0]], vec![[0, 1, 2]])?;
    /// let mut map = FrontMap::even(&one, &Bed { permeability: 3e-11, porosity: 0.65, thickness: 3e-3 })?;
    /// let gates = map.gates(&[0, 1], &[])?;
    /// assert_eq!(map.fill_time(&gates, 0.3, 9e4)?.last, Some(2));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Derived for Bastwork: at the end of a fill no point is dry, so the obstacle problem of Elliott and Janovsky 1981
    /// becomes linear; checked against the closed forms of `flow`.
    pub fn fill_time(
        &mut self,
        gates: &Gates<'_>,
        viscosity: f64,
        pressure: f64,
    ) -> Result<FillTime, LawError> {
        let pace = pace(viscosity, pressure)?;
        let filled = self.field.fill(gates);
        Ok(FillTime {
            time: filled.time * pace,
            last: filled.last,
        })
    }

    /// When resin reaches each point.
    ///
    /// u = integral of p over time: u >= 0, -div(a grad u) + c >= 0, one of both 0; T = (sqrt(t) - u / (p sqrt(t)))^2
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | `gates` | feeds and open vents | [-] |
    /// | `viscosity` | mu | [Pa s] |
    /// | `pressure` | dp, ambient less bag | [Pa] |
    ///
    /// # Returns
    /// Times [s], one a point; not a number where resin never comes.
    /// # Valid for
    /// Constant pressure and viscosity; good to about a cell of the mesh.
    /// # Errors
    /// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
    /// # Example
    /// ```
    /// use bastwork::law::front_map::{Bed, FrontMap};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.01, 0.0, 0.0], [f64::from(i) * 0.01, 0.01, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let mut map = FrontMap::even(&strip, &Bed { permeability: 3e-11, porosity: 0.65, thickness: 3e-3 })?;
    /// let gates = map.gates(&[0, 1], &[])?;
    /// // Half the length of a strip of 9028 s takes a quarter, 2257 s.
    /// assert!((map.arrival(&gates, 0.3, 9e4)?[50] - 2257.0).abs() < 60.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Elliott and Janovsky 1981, Proc. R. Soc. Edinburgh A 88:93 (from memory); the rule between times is exact along a
    /// strip and derived for Bastwork.
    pub fn arrival(
        &mut self,
        gates: &Gates<'_>,
        viscosity: f64,
        pressure: f64,
    ) -> Result<Vec<f64>, LawError> {
        let (at, _) = self.arrival_with_off(gates, viscosity, pressure)?;
        Ok(at)
    }

    /// When resin reaches each point, and about how far that is off.
    ///
    /// As [`FrontMap::arrival`]; what is off grows with the step of the front from one point to the next
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | `gates` | feeds and open vents | [-] |
    /// | `viscosity` | mu | [Pa s] |
    /// | `pressure` | dp, ambient less bag | [Pa] |
    ///
    /// # Returns
    /// Times [s], one a point, and [`Off`] as shares of the time for everything [-].
    /// # Valid for
    /// As [`FrontMap::arrival`]; told against the same triangles cut much finer, not against the cloth.
    /// # Errors
    /// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
    /// # Example
    /// ```
    /// use bastwork::law::front_map::{Bed, FrontMap};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.01, 0.0, 0.0], [f64::from(i) * 0.01, 0.01, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let mut map = FrontMap::even(&strip, &Bed { permeability: 3e-11, porosity: 0.65, thickness: 3e-3 })?;
    /// let gates = map.gates(&[0, 1], &[])?;
    /// let (times, off) = map.arrival_with_off(&gates, 0.3, 9e4)?;
    /// // The last of fifty steps takes 4 percent of the time.
    /// assert!(times.len() == 102 && off.rms < 0.01 && off.worst < 0.04);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Fitted for Bastwork to maps held against the same surface cut finer.
    pub fn arrival_with_off(
        &mut self,
        gates: &Gates<'_>,
        viscosity: f64,
        pressure: f64,
    ) -> Result<(Vec<f64>, Off), LawError> {
        let pace = pace(viscosity, pressure)?;
        let found = self.field.arrival(gates, LEVELS);
        Ok((found.at.iter().map(|t| t * pace).collect(), found.off))
    }

    /// A part whose conductances and stores are told against a bed of one: times are squares of lengths [m2].
    pub(crate) fn relative(
        surface: &Triangles,
        lays: &[Lay],
        channels: &[Channel],
    ) -> Result<Self, LawError> {
        for lay in lays {
            within("conduct_along", lay.conduct_along, 1e-9, 1e9)?;
            within("conduct_across", lay.conduct_across, 1e-9, 1e9)?;
            within("hold", lay.hold, 1e-9, 1e9)?;
        }
        Ok(Self::laid(surface, lays, channels))
    }

    /// The same with the weight of resin at each point, as a share of the driving pressure.
    pub(crate) fn weighed(self, heads: &[f64]) -> Self {
        Self {
            field: self.field.weighed(heads),
            ..self
        }
    }

    fn laid(surface: &Triangles, lays: &[Lay], channels: &[Channel]) -> Self {
        let tensor = |lay: &Lay| Tensor {
            along: lay.along,
            first: lay.conduct_along,
            second: lay.conduct_across,
        };
        let conduct: Vec<Tensor> = lays.iter().map(tensor).collect();
        let hold: Vec<f64> = lays.iter().map(|lay| lay.hold).collect();
        Self {
            field: Field::new(surface, &conduct, &hold, channels),
            points: surface.points.len(),
        }
    }

    /// The field, to ask it about itself.
    pub(crate) fn field_ref(&self) -> &Field {
        &self.field
    }

    /// The field itself, in units of the store over the conductance.
    pub(crate) fn field(&mut self) -> &mut Field {
        &mut self.field
    }
}

fn pace(viscosity: f64, pressure: f64) -> Result<f64, LawError> {
    within("viscosity", viscosity, 1e-5, 1e6)?;
    within("pressure", pressure, 1.0, 2e6)?;
    Ok(viscosity / pressure)
}
