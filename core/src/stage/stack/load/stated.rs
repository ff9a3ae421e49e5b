//! The load that a plan states, and how a panel or strip bends under it.

use super::super::STAGE;
use crate::law::plate::{self, Plate};
use crate::law::{LawError, beam};
use crate::plan::fields::{
    LOAD_EDGE, LOAD_FORCE, LOAD_LENGTH, LOAD_PATCH, LOAD_PRESSURE, LOAD_WIDTH,
};
use crate::plan::{Held, LoadCase};
use crate::read::Field;
use crate::stage::bench::Bench;

/// The stated load, in SI.
pub(crate) struct Stated {
    pub(crate) case: LoadCase,
    pub(crate) held: Held,
    pub(crate) length: f64,
    pub(crate) width: f64,
    pub(crate) pressure: f64,
    pub(crate) force: f64,
    pub(crate) patch: f64,
    pub(crate) edge: f64,
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
        let stiff = Bending {
            shear: f64::INFINITY,
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
        let case = bench.plan.deep.load_case?;
        let open: Vec<&str> = needed(case)
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
            held: bench.plan.deep.held,
            length,
            // A strip pressed evenly is worked out per metre of width.
            width: if width > 0.0 { width } else { 1.0 },
            pressure: given(&LOAD_PRESSURE, 1e3),
            force: given(&LOAD_FORCE, 1.0),
            patch,
            edge: given(&LOAD_EDGE, 1e3),
        })
    }

    pub(crate) fn is_panel(&self) -> bool {
        matches!(self.case, LoadCase::Pressure | LoadCase::Point)
    }

    /// Bends a panel or strip of the given stiffness: deflection [m], six moments per width [N], shear [N/m].
    pub(crate) fn bend(&self, d: &Bending) -> Result<Bent, LawError> {
        if self.is_panel() {
            let coupling = 0.99 * (d.d11 * d.d22).sqrt();
            let plate = Plate {
                length: self.length,
                width: self.width,
                d11: d.d11,
                d12: d.d12.clamp(-coupling, coupling),
                d22: d.d22,
                d66: d.d66,
                shear_x: d.shear,
                shear_y: d.shear,
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
            let bent = match self.held {
                Held::Resting => plate::resting(&plate, &load)?,
                Held::Clamped => plate::clamped(&plate, &load)?,
            };
            return Ok(Bent {
                deflection: bent.deflection,
                moments: bent.places.map(|m| [m.x, m.y, m.xy]),
                shear: bent.shear_x.abs().max(bent.shear_y.abs()),
            });
        }
        let strip = beam::Strip {
            span: self.length,
            width: self.width,
            bending: d.strip * self.width,
            shear: d.shear * self.width,
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
    /// Of a narrow strip, free to curl across.
    pub(crate) strip: f64,
    pub(crate) shear: f64,
}

/// How a panel or strip bends.
pub(crate) struct Bent {
    pub(crate) deflection: f64,
    /// At the places where they can govern: along, across, twist [N].
    pub(crate) moments: [[f64; 3]; 6],
    pub(crate) shear: f64,
}

/// The entries that a load cannot do without.
fn needed(case: LoadCase) -> &'static [&'static Field] {
    match case {
        LoadCase::Pressure => &[&LOAD_LENGTH, &LOAD_WIDTH, &LOAD_PRESSURE],
        LoadCase::Point => &[&LOAD_LENGTH, &LOAD_WIDTH, &LOAD_FORCE],
        LoadCase::StripEven => &[&LOAD_LENGTH, &LOAD_PRESSURE],
        LoadCase::StripMiddle | LoadCase::StripEnd => &[&LOAD_LENGTH, &LOAD_WIDTH, &LOAD_FORCE],
        LoadCase::Edge => &[&LOAD_EDGE],
    }
}
