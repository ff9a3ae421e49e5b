//! What a drawn fill stands on: how the cloth conducts and holds in each zone, against the plain bed, and the pace of time.

mod under;

pub(super) use under::Under;

use super::Ready;
use super::bed::{bed, turned};
use crate::law::front_map::Lay;
use crate::law::permeability::{self, FlowLayer};
use crate::law::{LawError, flow, flow_mesh};
use crate::plan::{Lies, Section, Zone};
use crate::range::Range;
use crate::shape::inside;
use crate::sheet::{Grade, Spread};
use crate::stage::bench::Bench;
use crate::stage::stack::{Laid, LaidCloth, Stacked};

/// Less than this share of the stack is none of it.
const NOTHING: f64 = 1e-6;

/// Conductance and store of the bed, likely values, against a bed that is one in the direction of flow.
#[derive(Debug, Clone)]
pub(crate) struct Ground {
    /// Permeability of the bare stack in the part's axes, over that along x: xx, yy, xy.
    bare: [f64; 3],
    /// What a mesh adds to conductance, and to the store.
    mesh: [f64; 2],
    /// What an extra ply at no angle adds.
    ply: Part,
    /// The plies of the stack from the mould up.
    rows: Plies,
    /// The stacks of zones that have their own.
    own: Vec<Own>,
    /// The stack of the part under a mesh.
    stack: flow_mesh::Meshed,
    /// Squares of metres of the base for what a soak takes, times pressure over viscosity [m2].
    squares: f64,
    /// How much better or worse channels may carry than their sections do, and the factor that is taken.
    carry: Spread,
    carries: f64,
    /// Whether the mesh lies everywhere but where a zone says otherwise.
    pub(super) covered: bool,
    /// Permeability along x [m2] and height [m] of the bare stack.
    permeability: f64,
    height: f64,
    porosity: f64,
    /// Share of the driving pressure that a metre of resin takes [1/m].
    weight: f64,
    /// Time to soak through the stack of the part under a mesh, as squares of metres of the base [m2].
    soak: f64,
}

/// Conductance xx, yy and xy, store, and height of some plies, against those of the stack: xx, porosity and height.
type Part = [f64; 5];

/// Rows from the mould up: what one ply is, and how many there are.
type Plies = Vec<(Part, f64)>;

/// The stack of a zone that has its own.
#[derive(Debug, Clone)]
struct Own {
    rows: Plies,
    /// How much its conductance differs from what is likely, against the part's.
    apart: Spread,
    /// Factor on its conductance.
    factor: f64,
}

impl Ground {
    pub(super) fn of(
        bench: &mut Bench<'_>,
        stacked: &Stacked,
        ready: &Ready,
    ) -> Result<Self, LawError> {
        let Ready { bed, mesh, bag, .. } = ready;
        let mut layers = Vec::new();
        for (row, cloth) in stacked.cloths() {
            let (along, across) = (cloth.along.likely(), cloth.across.likely());
            layers.push(FlowLayer {
                thickness: row.thickness.likely() * f64::from(row.count),
                permeability: turned(along, across, row.angle_deg, cloth.architecture)?,
            });
        }
        let all = permeability::of_stack(&layers)?;
        let (height, porosity) = (bed.height.likely(), bed.porosity.likely());
        // A strip that was measured sets the level; the cloths tell how directions differ.
        let level = bed.permeability.likely();
        let (hk, hphi) = (height * level, height * porosity);
        let known: Vec<&str> = stacked.cloths().map(|(row, _)| row.key()).collect();
        let part = |row: &Laid, cloth: &LaidCloth, angle: f64| -> Result<Part, LawError> {
            let (along, across) = (cloth.along.likely(), cloth.across.likely());
            let k = turned(along, across, angle, cloth.architecture)?;
            // A strip says nothing of a cloth that was not in it.
            let is_known = known.contains(&row.key());
            let scale = if is_known { level / all.xx } else { 1.0 };
            let t = row.thickness.likely();
            let [xx, yy, xy] = [k.xx, k.yy, k.xy].map(|k| t * k * scale / hk);
            let store = t * (1.0 - cloth.fraction.likely()) / hphi;
            Ok([xx, yy, xy, store, t / height])
        };
        let plies = |stacked: &Stacked| -> Result<Plies, LawError> {
            let rows = stacked.cloths();
            let each = rows
                .map(|(row, cloth)| Ok((part(row, cloth, row.angle_deg)?, f64::from(row.count))));
            each.collect()
        };
        let missing = LawError::Unsolved { what: "the cloth" };
        let (first, cloth) = stacked.cloths().next().ok_or(missing)?;
        let mut own = Vec::with_capacity(stacked.zones.len());
        for zone in &stacked.zones {
            own.push(Own {
                rows: plies(zone)?,
                apart: apart(stacked, zone)?,
                factor: 1.0,
            });
        }
        let plan = bench.plan;
        let drawing = &plan.drawing;
        let zones = &drawing.zones;
        let carry = if drawing.channels.is_empty() {
            Spread::exact(1.0)
        } else {
            let range = Range::new(0.4, 1.0, 2.0);
            bench.coefficient(
                "fill.channel_carries",
                "How much better or worse a drawn channel carries than its section does",
                range,
                Grade::Judgement,
                "judgement_channel",
            )
        };
        let added = (
            mesh.height.likely(),
            mesh.conduct.likely(),
            mesh.pores.likely(),
        );
        let covered = plan.flow_mesh && !zones.iter().any(|zone| zone.lies == Lies::Mesh);
        let (base_k, base_phi) = if covered {
            (&mesh.permeability, &mesh.porosity)
        } else {
            (&bed.permeability, &bed.porosity)
        };
        let squares = base_k.likely() / (base_phi.likely() * bag.likely());
        Ok(Self {
            bare: [1.0, all.yy / all.xx, all.xy / all.xx],
            mesh: [added.0 * added.1 / hk, added.0 * added.2 / hphi],
            ply: part(first, cloth, 0.0)?,
            rows: plies(stacked)?,
            own,
            stack: mesh.stack,
            squares,
            carry,
            carries: 1.0,
            covered,
            permeability: level,
            height,
            porosity,
            weight: ready.heavy.likely() / ready.line.drive.likely(),
            soak: mesh.soak.likely() * squares,
        })
    }

    /// Time to soak through the stack of the part under a mesh, as squares of metres of the base [m2].
    pub(super) fn soak(&self) -> f64 {
        self.soak
    }

    /// How the conductance of each stack of a zone differs from what is likely, against the part's.
    pub(super) fn apart(&self) -> impl Iterator<Item = &Spread> {
        self.own.iter().map(|own| &own.apart)
    }

    /// The same ground where one such stack conducts so many times as well.
    pub(super) fn with_zone(&self, number: usize, factor: f64) -> Self {
        let mut changed = self.clone();
        if let Some(own) = changed.own.get_mut(number) {
            own.factor = factor;
        }
        changed
    }

    /// Whether a mesh lies at a point.
    pub(super) fn is_meshed(&self, point: [f64; 2], zones: &[Zone]) -> bool {
        let there = zones.iter().filter(|zone| inside(&zone.outline, point));
        there.fold(self.covered, |covered, zone| match zone.lies {
            Lies::Mesh => true,
            Lies::Break => false,
            Lies::Insert | Lies::Plies { .. } | Lies::Stack { .. } => covered,
        })
    }

    /// A bare bed that conducts so much worse across x than along it, without weight.
    #[cfg(test)]
    pub(super) fn of_ratio(across: f64) -> Self {
        Self {
            bare: [1.0, across, 0.0],
            mesh: [0.0; 2],
            ply: [0.0; 5],
            rows: Vec::new(),
            own: Vec::new(),
            stack: flow_mesh::Meshed {
                mesh_thickness: 1e-3,
                mesh_permeability: 1e-9,
                mesh_porosity: 0.8,
                laminate_thickness: 1e-3,
                laminate_permeability: 1e-10,
                through_permeability: 1e-11,
                laminate_porosity: 0.5,
            },
            squares: 0.0,
            carry: Spread::exact(1.0),
            carries: 1.0,
            covered: false,
            permeability: 1e-10,
            height: 1e-3,
            porosity: 0.5,
            weight: 0.0,
            soak: 0.0,
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

    /// The plies at a point, without a mesh; none where nothing flows.
    fn plies(&self, point: [f64; 2], zones: &[Zone]) -> Option<Part> {
        let there = || zones.iter().filter(|zone| inside(&zone.outline, point));
        let mut own = there().filter_map(|zone| match zone.lies {
            Lies::Stack { number } => self.own.get(number),
            _ => None,
        });
        // Of stacks that lie over each other the last drawn holds.
        let own = own.next_back();
        let factor = own.map_or(1.0, |own| own.factor);
        let rows = own.map_or(&self.rows, |own| &own.rows);
        let [mut xx, mut yy, mut xy, mut hold, mut high] = match own {
            Some(own) => {
                let [xx, yy, xy, hold, high] = last_plies(&own.rows, f64::INFINITY);
                [xx * factor, yy * factor, xy * factor, hold, high]
            }
            None => {
                let [xx, yy, xy] = self.bare;
                [xx, yy, xy, 1.0, 1.0]
            }
        };
        for zone in there() {
            match zone.lies {
                Lies::Mesh | Lies::Break | Lies::Stack { .. } => {}
                Lies::Insert => return None,
                Lies::Plies { count, .. } if count < 0.0 => {
                    let [less_xx, less_yy, less_xy, less, lower] = last_plies(rows, -count);
                    (xx, yy) = (xx - less_xx * factor, yy - less_yy * factor);
                    xy -= less_xy * factor;
                    (hold, high) = (hold - less, high - lower);
                }
                Lies::Plies { count, angle } => {
                    // Turned from the cloth's own axes into the part's.
                    let [own_xx, own_yy, own_xy, store, t] = self.ply;
                    let (sin, cos) = angle.to_radians().sin_cos();
                    let (squares, both) = (cos * cos - sin * sin, sin * cos);
                    xx += count * (own_xx * cos * cos + own_yy * sin * sin - 2.0 * own_xy * both);
                    yy += count * (own_xx * sin * sin + own_yy * cos * cos + 2.0 * own_xy * both);
                    xy += count * ((own_xx - own_yy) * both + own_xy * squares);
                    (hold, high) = (hold + count * store, high + count * t);
                }
            }
        }
        // Zones that lie over each other may leave out all there is.
        (hold >= NOTHING && xx + yy >= NOTHING).then_some([xx, yy, xy, hold, high])
    }

    /// What lies at a point, with the mesh's own share of the conductance times `factor`; none where nothing flows.
    pub(super) fn lay(&self, point: [f64; 2], zones: &[Zone], factor: f64) -> Option<Lay> {
        let [mut xx, mut yy, xy, mut hold, _] = self.plies(point, zones)?;
        if self.is_meshed(point, zones) {
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

    /// Conductance [m] and store [m] of a channel, against the base.
    pub(super) fn channel(&self, section: Section, factor: f64) -> Result<(f64, f64), LawError> {
        let (area, k) = match section {
            Section::Gap { width, height } => {
                let height = height.unwrap_or(self.height);
                (width * height, flow::gap_permeability(width, height)?)
            }
            Section::Corner { radius } => flow::corner_gap(radius)?,
        };
        let (conduct, store) = self.base(factor);
        Ok((
            area * k * self.carries / (self.height * self.permeability) / conduct,
            area / (self.height * self.porosity) / store,
        ))
    }

    /// How much better or worse channels may carry than their sections do, when some are drawn.
    pub(super) fn carry(&self) -> &Spread {
        &self.carry
    }

    /// The same ground where channels carry so many times as well.
    pub(super) fn with_channels(&self, factor: f64) -> Self {
        Self {
            carries: factor,
            ..self.clone()
        }
    }

    /// Resin that one unit of store takes for each area, as a height [m].
    pub(super) fn depth(&self) -> f64 {
        self.height * self.porosity * self.base(1.0).1
    }
}

/// What so many plies come to, the last laid first.
fn last_plies(rows: &Plies, count: f64) -> Part {
    let (mut left, mut sum) = (count, [0.0; 5]);
    for (ply, of) in rows.iter().rev() {
        let take = left.min(*of);
        for (to, one) in sum.iter_mut().zip(ply) {
            *to += take * one;
        }
        left -= take;
    }
    sum
}

/// Conductance of a stack over that of the part, over what is likely [-].
fn apart(part: &Stacked, zone: &Stacked) -> Result<Spread, LawError> {
    let (part, zone) = (bed(part)?, bed(zone)?);
    let of = [
        &part.height,
        &part.permeability,
        &zone.height,
        &zone.permeability,
    ];
    let ratio = Spread::from(of, |[h, k, own_h, own_k]| own_h * own_k / (h * k));
    let usual = ratio.likely();
    Ok(ratio.times(1.0 / usual))
}

/// A quantity that hangs on how much better a covered place conducts, from three of its values, in logarithms.
pub(super) fn by_gain(gains: [f64; 3], values: [f64; 3], gain: &Spread) -> Spread {
    let x = gains.map(f64::ln);
    let y = values.map(|v| v.max(1e-30).ln());
    gain.map(|g| {
        let at = g.max(1e-12).ln();
        let k = usize::from(at > x[1]);
        let share = (at - x[k]) / (x[k + 1] - x[k]).max(1e-12);
        (y[k] + (y[k + 1] - y[k]) * share).exp()
    })
}
