//! The load that a plan states, and how a panel or strip bends under it.

use super::super::STAGE;
use crate::law::buckling::{self, as_thin, with_core};
use crate::law::laminate::Matrix3;
use crate::law::plate::{self, Plate};
use crate::law::thin_plate::{self, Thin};
use crate::law::{LawError, beam, ring};
use crate::plan::fields::{
    LOAD_EDGE, LOAD_FORCE, LOAD_LENGTH, LOAD_PATCH, LOAD_PRESSURE, LOAD_WIDTH,
};
use crate::plan::{Held, LoadCase, Sides};
use crate::range::Range;
use crate::read::Field;
use crate::stage::bench::Bench;
use std::f64::consts::PI;

/// What a real part keeps of the push at which a flat, even one buckles.
pub(crate) const BUCKLING_LEFT: Range = Range {
    low: 0.35,
    likely: 0.5,
    high: 0.75,
};

/// The stated load, in SI.
#[derive(Clone, Copy)]
pub(crate) struct Stated {
    pub(crate) case: LoadCase,
    pub(crate) held: Held,
    pub(crate) sides: Sides,
    pub(crate) length: f64,
    pub(crate) width: f64,
    pub(crate) pressure: f64,
    pub(crate) force: f64,
    pub(crate) patch: f64,
    pub(crate) edge: f64,
    /// Whether a width was given.
    pub(crate) wide: bool,
}

impl Stated {
    /// How far a panel or strip of the given stiffness gives, times its bending stiffness along the part; none for a
    /// pull along the part.
    pub(crate) fn give(&self, d: &Bending) -> Result<Option<f64>, LawError> {
        if self.case == LoadCase::Edge {
            return Ok(None);
        }
        Ok(Some(self.bend(d)?.deflection * d.strip))
    }

    /// How much of the give of a sandwich is shear: the share that shear adds, times S over D [1/m2]; none for a pull
    /// along the part.
    pub(crate) fn sheared(&self, d: &Bending) -> Result<Option<f64>, LawError> {
        if self.case == LoadCase::Edge {
            return Ok(None);
        }
        // Of skins so thin that their own bending takes no shear off the core, whatever this part is.
        let stiff = Bending {
            shear: f64::INFINITY,
            skins: 0.0,
            ..*d
        };
        // Any stiffness in shear will do: the part it adds goes as its inverse.
        let shear = 100.0 * d.strip / self.length.powi(2);
        let rigid = self.bend(&stiff)?.deflection;
        let soft = self.bend(&Bending { shear, ..stiff })?.deflection;
        Ok(Some((soft / rigid - 1.0).max(0.0) * shear / d.strip))
    }

    /// What the plan states; none when it states no load.
    pub(crate) fn of(bench: &mut Bench<'_>) -> Option<Self> {
        let case = bench.plan.load_case?;
        let sides = bench.plan.sides;
        let push = (bench.plan.given(&LOAD_EDGE)).is_some_and(|range| range.likely < 0.0);
        let open: Vec<&str> = needed(case, push, sides)
            .iter()
            .filter(|field| bench.plan.given(field).is_none())
            .map(|field| field.label)
            .collect();
        if !open.is_empty() {
            bench.problem(
                STAGE,
                format!(
                    "The load is not worked out yet; it still needs: {}.",
                    open.join("; ")
                ),
            );
            return None;
        }
        let patch = bench.take(&LOAD_PATCH).likely() * 1e-3;
        let given = |field, factor: f64| {
            let range = bench.plan.given(field);
            range.map_or(0.0, |range| range.likely * factor)
        };
        let length = given(&LOAD_LENGTH, 1e-3);
        let width = given(&LOAD_WIDTH, 1e-3);
        Some(Self {
            case,
            held: bench.plan.held,
            sides,
            length,
            // A strip pressed evenly, or pushed, is worked out per metre of width.
            width: if width > 0.0 { width } else { 1.0 },
            pressure: given(&LOAD_PRESSURE, 1e3),
            force: given(&LOAD_FORCE, 1.0),
            patch,
            edge: given(&LOAD_EDGE, 1e3),
            wide: width > 0.0,
        })
    }

    pub(crate) fn pushes(&self) -> bool {
        self.case == LoadCase::Edge && self.edge < 0.0
    }

    /// A pushed strip as a plate whose long edges are kept from moving out; none where that is not to be told.
    pub(super) fn on_four(&self) -> Option<Self> {
        let may = self.pushes() && self.sides == Sides::Free && self.wide;
        may.then_some(Self {
            sides: Sides::Held,
            ..*self
        })
    }

    /// Force and radius of what presses on one spot.
    pub(crate) fn heel(&self) -> Option<(f64, f64)> {
        let round = self.patch.min(self.length).min(self.width) / PI.sqrt();
        (self.case == LoadCase::Point).then_some((self.force, round))
    }

    fn thin(&self, d: &Bending) -> Thin {
        Thin {
            length: self.length,
            width: self.width,
            d: [
                [d.d11, d.d12, d.d16],
                [d.d12, d.d22, d.d26],
                [d.d16, d.d26, d.d66],
            ],
            held: self.held == Held::Clamped,
        }
    }

    /// Push per width at which a flat, even part buckles [N/m].
    pub(crate) fn buckles(&self, d: &Bending) -> Result<f64, LawError> {
        let rigid = match self.sides {
            Sides::Free => buckling::strip(d.strip, self.length, self.held == Held::Clamped)?,
            Sides::Held => thin_plate::buckles(&self.thin(d))?,
        };
        with_core(rigid, d.skins, d.shear)
    }

    /// How stiffly a panel or strip swings, per area [N/m3].
    pub(super) fn swings(&self, d: &Bending) -> Result<f64, LawError> {
        let (rigid, waves) = if self.is_panel() {
            (thin_plate::swings(&self.thin(d))?, self.waves())
        } else {
            let ends = match self.case {
                LoadCase::StripEnd => ring::Ends::One,
                _ => ring::Ends::Resting,
            };
            (ring::strip(d.strip, self.length, ends)?, self.waves())
        };
        Ok(waves * with_core(rigid / waves, d.skins, d.shear)?)
    }

    /// Square of the waves of the lowest bending [1/m2].
    fn waves(&self) -> f64 {
        let one = |side: f64| (PI / side).powi(2);
        match self.case {
            LoadCase::StripEnd => one(2.0 * self.length),
            _ if self.is_panel() => one(self.length) + one(self.width),
            _ => one(self.length),
        }
    }

    /// Bending stiffness times the square of those waves [N/m].
    fn rigid(&self, d: &Bending) -> f64 {
        let waves = self.waves();
        if self.is_panel() {
            let (a, b) = ((PI / self.length).powi(2), (PI / self.width).powi(2));
            (d.d11 * a * a + 2.0 * (d.d12 + 2.0 * d.d66) * a * b + d.d22 * b * b) / waves
        } else {
            d.strip * waves
        }
    }

    pub(crate) fn is_panel(&self) -> bool {
        matches!(self.case, LoadCase::Pressure | LoadCase::Point)
    }

    /// A panel as it bends without turning into twist, and its load.
    fn untwisted(&self, d: &Bending) -> Result<(Plate, plate::Load), LawError> {
        let shear = as_thin(self.rigid(d), d.skins, d.shear)?;
        let coupling = 0.99 * (d.d11 * d.d22).sqrt();
        let plate = Plate {
            length: self.length,
            width: self.width,
            d11: d.d11,
            d12: d.d12.clamp(-coupling, coupling),
            d22: d.d22,
            d66: d.d66,
            shear_x: shear,
            shear_y: shear,
        };
        let side = |whole: f64| self.patch.clamp(0.02 * whole, whole);
        let load = match self.case {
            LoadCase::Pressure => plate::Load::Pressure(self.pressure),
            _ => plate::Load::Patch {
                force: self.force,
                length: side(self.length),
                width: side(self.width),
            },
        };
        Ok((plate, load))
    }

    fn solve(&self, plate: &Plate, load: &plate::Load) -> Result<plate::Bent, LawError> {
        match self.held {
            Held::Resting => plate::resting(plate, load),
            Held::Clamped => plate::clamped(plate, load),
        }
    }

    /// Deflection that a panel or strip reaches at the least [m]: bending that turns into twist makes a panel softer.
    pub(crate) fn sinks_at_least(&self, d: &Bending) -> Result<f64, LawError> {
        if !self.is_panel() {
            return Ok(self.bend(d)?.deflection);
        }
        let (plate, load) = self.untwisted(d)?;
        Ok(self.solve(&plate, &load)?.deflection)
    }

    /// Bends a panel or strip of the given stiffness: deflection [m], six moments per width [N], shear [N/m].
    pub(crate) fn bend(&self, d: &Bending) -> Result<Bent, LawError> {
        if self.is_panel() {
            let (plate, load) = self.untwisted(d)?;
            let bent = self.solve(&plate, &load)?;
            let twisted = thin_plate::twisted(&self.thin(d), &load)?;
            let mut deflection = bent.deflection;
            if twisted.deflection > 1.0 {
                // Only the bending is made softer, not the shear of the core.
                let stiff = Plate {
                    shear_x: f64::INFINITY,
                    shear_y: f64::INFINITY,
                    ..plate
                };
                deflection += (twisted.deflection - 1.0) * self.solve(&stiff, &load)?.deflection;
            }
            let moments = std::array::from_fn(|i| {
                let (m, more) = (&bent.places[i], &twisted.moments[i]);
                [m.x + more.x, m.y + more.y, m.xy + more.xy]
            });
            return Ok(Bent {
                deflection,
                moments,
                shear: bent.shear_x.abs().max(bent.shear_y.abs()),
            });
        }
        let shear = as_thin(self.rigid(d), d.skins, d.shear)?;
        let strip = beam::Strip {
            span: self.length,
            width: self.width,
            bending: d.strip * self.width,
            shear: shear * self.width,
        };
        let (held, force) = match self.case {
            LoadCase::StripEnd => (beam::Held::TipForce, self.force),
            LoadCase::StripEven => (
                beam::Held::EvenLoad,
                self.pressure * self.length * self.width,
            ),
            _ => (beam::Held::MiddleForce, self.force),
        };
        let bent = beam::bent(&strip, held, force)?;
        let mut moments = [[0.0; 3]; 6];
        moments[0][0] = bent.moment;
        Ok(Bent {
            deflection: bent.by_bending + bent.by_shear,
            moments,
            shear: bent.shear,
        })
    }
}

/// Bending stiffness as a plate and as a strip [N m], and shear stiffness [N/m].
#[derive(Clone, Copy)]
pub(crate) struct Bending {
    pub(crate) d11: f64,
    pub(crate) d12: f64,
    pub(crate) d22: f64,
    pub(crate) d66: f64,
    /// Coupling of bending with twist.
    pub(crate) d16: f64,
    pub(crate) d26: f64,
    /// Of a narrow strip, free to curl across.
    pub(crate) strip: f64,
    pub(crate) shear: f64,
    /// Share of the skins' own bending in the whole; of no account where nothing shears.
    pub(crate) skins: f64,
}

impl Bending {
    /// Of plies through and through, that no core shears, from D.
    pub(crate) fn solid(d: &Matrix3) -> Self {
        Self {
            d11: d[0][0],
            d12: d[0][1],
            d22: d[1][1],
            d66: d[2][2],
            d16: d[0][2],
            d26: d[1][2],
            strip: d[0][0] - d[0][1] * d[0][1] / d[1][1],
            shear: f64::INFINITY,
            skins: 1.0,
        }
    }
}

/// How a panel or strip bends.
pub(crate) struct Bent {
    pub(crate) deflection: f64,
    /// At the places where they can govern: along, across, twist [N].
    pub(crate) moments: [[f64; 3]; 6],
    pub(crate) shear: f64,
}

/// The entries that a load cannot do without.
fn needed(case: LoadCase, push: bool, sides: Sides) -> &'static [&'static Field] {
    match case {
        LoadCase::Pressure => &[&LOAD_LENGTH, &LOAD_WIDTH, &LOAD_PRESSURE],
        LoadCase::Point => &[&LOAD_LENGTH, &LOAD_WIDTH, &LOAD_FORCE],
        LoadCase::StripEven => &[&LOAD_LENGTH, &LOAD_PRESSURE],
        LoadCase::StripMiddle | LoadCase::StripEnd => &[&LOAD_LENGTH, &LOAD_WIDTH, &LOAD_FORCE],
        // A push may buckle the part, and that depends on its sides.
        LoadCase::Edge if push && sides == Sides::Held => &[&LOAD_EDGE, &LOAD_LENGTH, &LOAD_WIDTH],
        LoadCase::Edge if push => &[&LOAD_EDGE, &LOAD_LENGTH],
        LoadCase::Edge => &[&LOAD_EDGE],
    }
}
