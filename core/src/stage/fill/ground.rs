//! What a drawn fill stands on: how the cloth conducts and holds in each zone, against the plain bed, and the pace of time.

use super::Ready;
use super::bed::turned;
use crate::law::front_map::Lay;
use crate::law::permeability::{self, FlowLayer, InPlane};
use crate::law::{LawError, flow};
use crate::plan::{Lies, Zone};
use crate::shape::inside;
use crate::sheet::Spread;
use crate::stage::bench::Bench;
use crate::stage::stack::Stacked;

/// Less than this share of the stack is none of it.
const NOTHING: f64 = 1e-6;

/// Conductance and store of the bed, likely values, against a bed that is one in the direction of flow.
#[derive(Debug, Clone)]
pub(crate) struct Ground {
    /// Permeability of the bare stack in the part's axes, over that along x: xx, yy, xy.
    bare: [f64; 3],
    /// What a mesh adds to conductance, and to the store.
    mesh: [f64; 2],
    /// What an extra ply at no angle adds to conductance, xx, yy and xy, and to the store.
    ply: [f64; 4],
    /// The plies of the stack from the mould up, each row with its count: what one of them is of conductance and store.
    rows: Vec<([f64; 4], f64)>,
    /// Whether the mesh lies everywhere but where a zone says otherwise.
    pub(super) covered: bool,
    /// Permeability along x [m2] and height [m] of the bare stack.
    permeability: f64,
    height: f64,
    porosity: f64,
    /// Share of the driving pressure that a metre of resin takes [1/m].
    weight: f64,
    /// Time to soak through the stack under a mesh, as squares of metres of the base [m2].
    soak: f64,
    /// How far the bottom lags behind the front under a mesh [m], and what soaks longer at an open vent [1/m].
    behind: f64,
    open: f64,
}

impl Ground {
    pub(super) fn of(
        bench: &Bench<'_>,
        stacked: &Stacked,
        ready: &Ready,
    ) -> Result<Self, LawError> {
        let Ready { bed, mesh, bag, .. } = ready;
        let mut layers = Vec::new();
        let mut ply = None;
        let mut rows = Vec::new();
        for (row, cloth) in stacked.cloths() {
            let (along, across) = (cloth.along.likely(), cloth.across.likely());
            let thickness = row.thickness.likely();
            let at = |angle: f64| turned(along, across, angle, cloth.architecture);
            layers.push(FlowLayer {
                thickness: thickness * f64::from(row.count),
                permeability: at(row.angle_deg)?,
            });
            let pores = 1.0 - cloth.fraction.likely();
            rows.push((thickness, at(row.angle_deg)?, pores, f64::from(row.count)));
            ply.get_or_insert((thickness, at(0.0)?, pores));
        }
        let all = permeability::of_stack(&layers)?;
        let (height, porosity) = (bed.height.likely(), bed.porosity.likely());
        // A strip that was measured sets the level; the cloths tell how directions differ.
        let level = bed.permeability.likely();
        let missing = LawError::Unsolved { what: "the cloth" };
        let (t, k, pores) = ply.ok_or(missing)?;
        let scale = level / all.xx;
        let (hk, hphi) = (height * level, height * porosity);
        let part = |t: f64, k: InPlane, pores: f64| {
            let [xx, yy, xy] = [k.xx, k.yy, k.xy].map(|k| t * k * scale / hk);
            [xx, yy, xy, t * pores / hphi]
        };
        let zones = &bench.plan.deep.drawing().zones;
        let added = (
            mesh.height.likely(),
            mesh.conduct.likely(),
            mesh.pores.likely(),
        );
        let covered = bench.plan.flow_mesh && !zones.iter().any(|zone| zone.lies == Lies::Mesh);
        let (base_k, base_phi) = if covered {
            (&mesh.permeability, &mesh.porosity)
        } else {
            (&bed.permeability, &bed.porosity)
        };
        let soak = mesh.soak.likely() * base_k.likely() / (base_phi.likely() * bag.likely());
        Ok(Self {
            bare: [1.0, all.yy / all.xx, all.xy / all.xx],
            mesh: [added.0 * added.1 / hk, added.0 * added.2 / hphi],
            ply: part(t, k, pores),
            rows: rows
                .into_iter()
                .map(|(t, k, pores, count)| (part(t, k, pores), count))
                .collect(),
            covered,
            permeability: level,
            height,
            porosity,
            weight: ready.heavy.likely() / ready.line.drive.likely(),
            soak,
            behind: mesh.behind.likely(),
            open: mesh.open,
        })
    }

    /// Time to soak through the stack under a mesh, as squares of metres of the base [m2].
    pub(super) fn soak(&self) -> f64 {
        self.soak
    }

    /// How far the bottom lags behind the front under a mesh [m].
    pub(super) fn behind(&self) -> f64 {
        self.behind
    }

    /// How many times as long it soaks at a vent that stays open, where pressure falls so steeply to it [1/m].
    pub(super) fn longer(&self, slope: f64) -> f64 {
        (self.open / slope.max(1e-9)).max(1.0)
    }

    /// Whether a mesh lies at a point.
    pub(super) fn is_meshed(&self, point: [f64; 2], zones: &[Zone]) -> bool {
        let there = zones.iter().filter(|zone| inside(&zone.outline, point));
        there.fold(self.covered, |covered, zone| match zone.lies {
            Lies::Mesh => true,
            Lies::Break => false,
            Lies::Insert | Lies::Plies { .. } => covered,
        })
    }

    /// A bare bed that conducts so much worse across x than along it, without weight.
    #[cfg(test)]
    pub(super) fn of_ratio(across: f64) -> Self {
        Self {
            bare: [1.0, across, 0.0],
            mesh: [0.0; 2],
            ply: [0.0; 4],
            rows: Vec::new(),
            covered: false,
            permeability: 1e-10,
            height: 1e-3,
            porosity: 0.5,
            weight: 0.0,
            soak: 0.0,
            behind: 0.0,
            open: 0.0,
        }
    }

    /// Share of the driving pressure that a metre of resin takes [1/m].
    pub(super) fn weight(&self) -> f64 {
        self.weight
    }

    /// Whether the bare stack conducts much alike in every direction.
    pub(super) fn is_even(&self) -> bool {
        let [xx, yy, xy] = self.bare;
        (yy / xx - 1.0).abs() < 0.05 && (xy / xx).abs() < 0.05
    }

    /// How much better a covered place conducts than a bare one.
    pub(super) fn gain(&self) -> f64 {
        1.0 + self.mesh[0]
    }

    /// What lies at a point, with the mesh's own share of the conductance times `factor`; none where nothing flows.
    pub(super) fn lay(&self, point: [f64; 2], zones: &[Zone], factor: f64) -> Option<Lay> {
        let [mut xx, mut yy, mut xy] = self.bare;
        let mut hold = 1.0;
        let covered = self.is_meshed(point, zones);
        for zone in zones.iter().filter(|zone| inside(&zone.outline, point)) {
            match zone.lies {
                Lies::Mesh | Lies::Break => {}
                Lies::Insert => return None,
                Lies::Plies { count, .. } if count < 0.0 => {
                    let [less_xx, less_yy, less_xy, less] = self.last_plies(-count);
                    (xx, yy, xy) = (xx - less_xx, yy - less_yy, xy - less_xy);
                    hold -= less;
                }
                Lies::Plies { count, angle } => {
                    // Turned from the cloth's own axes into the part's.
                    let [own_xx, own_yy, own_xy, store] = self.ply;
                    let (sin, cos) = angle.to_radians().sin_cos();
                    let (squares, both) = (cos * cos - sin * sin, sin * cos);
                    xx += count * (own_xx * cos * cos + own_yy * sin * sin - 2.0 * own_xy * both);
                    yy += count * (own_xx * sin * sin + own_yy * cos * cos + 2.0 * own_xy * both);
                    xy += count * ((own_xx - own_yy) * both + own_xy * squares);
                    hold += count * store;
                }
            }
        }
        // Zones that lie over each other may leave out all there is.
        if hold < NOTHING || xx + yy < NOTHING {
            return None;
        }
        if covered {
            xx += self.mesh[0] * factor;
            yy += self.mesh[0] * factor;
            hold += self.mesh[1];
        }
        // One where the base of the pace is.
        let (conduct, store) = self.base(factor);
        // Principal values of the tensor.
        let middle = (xx + yy) / 2.0;
        let apart = ((xx - yy) / 2.0).hypot(xy);
        let angle = 0.5 * (2.0 * xy).atan2(xx - yy);
        Some(Lay {
            along: [angle.cos(), angle.sin(), 0.0],
            conduct_along: (middle + apart) / conduct,
            conduct_across: (middle - apart).max(1e-3 * middle) / conduct,
            hold: hold / store,
        })
    }

    /// Conductance and store of so many plies, the last laid first.
    fn last_plies(&self, count: f64) -> [f64; 4] {
        let (mut left, mut sum) = (count, [0.0; 4]);
        for (ply, of) in self.rows.iter().rev() {
            let take = left.min(*of);
            for (to, one) in sum.iter_mut().zip(ply) {
                *to += take * one;
            }
            left -= take;
        }
        sum
    }

    /// Conductance and store of the base, against the bare stack.
    fn base(&self, factor: f64) -> (f64, f64) {
        if self.covered {
            (1.0 + self.mesh[0] * factor, 1.0 + self.mesh[1])
        } else {
            (1.0, 1.0)
        }
    }

    /// Conductance [m] and store [m] of a gap along the edge, of this width [m], against the base.
    pub(super) fn gap(&self, width: f64, factor: f64) -> Result<(f64, f64), LawError> {
        let k = flow::gap_permeability(width, self.height)?;
        let (conduct, store) = self.base(factor);
        Ok((
            width * k / self.permeability / conduct,
            width / self.porosity / store,
        ))
    }

    /// Resin that one unit of store takes for each area, as a height [m].
    pub(super) fn depth(&self) -> f64 {
        self.height * self.porosity * self.base(1.0).1
    }
}

/// A quantity that hangs on how much better a covered place conducts, from three of its values, in logarithms.
pub(super) fn by_gain(gains: [f64; 3], values: [f64; 3], gain: &Spread) -> Spread {
    let x = gains.map(f64::ln);
    let y = values.map(|v| v.max(1e-30).ln());
    gain.map(|g| {
        let at = g.max(1.0 + 1e-9).ln();
        let k = usize::from(at > x[1]);
        let share = (at - x[k]) / (x[k + 1] - x[k]).max(1e-12);
        (y[k] + (y[k + 1] - y[k]) * share).exp()
    })
}
