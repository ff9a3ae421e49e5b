//! The wet stack as resin sees it, bare and under a flow mesh.

use crate::law::permeability::{self, InPlane};
use crate::law::{LawError, flow_mesh};
use crate::plan::fields::{STRIP_LENGTH, STRIP_MINUTES};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::shelf::{Architecture, Sundry};
use crate::stage::bench::Bench;
use crate::stage::resin_clock::ResinClock;
use crate::stage::stack::Stacked;
use crate::units::Unit;

/// The wet stack as resin sees it.
pub(crate) struct Bed {
    pub(super) permeability: Spread,
    pub(super) porosity: Spread,
    pub(super) height: Spread,
}

/// The cloths side by side, each carrying its share of the flow.
pub(super) fn bed(stacked: &Stacked) -> Result<Bed, LawError> {
    let mut parts: Vec<&Spread> = Vec::new();
    let mut shape = Vec::new();
    for (row, cloth) in stacked.cloths() {
        parts.extend([&row.thickness, &cloth.along, &cloth.across, &cloth.fraction]);
        shape.push((f64::from(row.count), row.angle_deg, cloth.architecture));
    }
    let [permeability, porosity, height] = Spread::many(&parts, |values| {
        let (mut h, mut hk, mut hphi) = (0.0, 0.0, 0.0);
        for (layer, &(count, angle, architecture)) in values.chunks_exact(4).zip(&shape) {
            let t = layer[0] * count;
            let k = turned(layer[1], layer[2], angle, architecture)?;
            h += t;
            hk += t * k.xx;
            hphi += t * (1.0 - layer[3]);
        }
        Ok([hk / h, hphi / h, h])
    })?;
    Ok(Bed {
        permeability,
        porosity,
        height,
    })
}

/// Permeability from a strip of the same stack, filled under the same bag from the same pot with the same resin [m2]; none when no
/// strip was tried. The bag's own factor goes in here as it comes out in the fill.
pub(super) fn from_strip(
    bench: &mut Bench<'_>,
    drive: &Spread,
    clock: &ResinClock,
    bed: &Bed,
    bag: &Spread,
) -> Result<Option<Spread>, LawError> {
    if bench.plan.given(&STRIP_LENGTH).is_none() || bench.plan.given(&STRIP_MINUTES).is_none() {
        return Ok(None);
    }
    let (length, minutes) = (bench.take(&STRIP_LENGTH), bench.take(&STRIP_MINUTES));
    let scatter = bench.coefficient(
        "fill.strip_scatter",
        "How far one strip stands for the part",
        Range::new(0.85, 1.0, 1.18),
        Grade::Read,
        "parnas_1995",
    );
    Spread::of(
        [
            &length,
            &minutes,
            &clock.viscosity,
            &bed.porosity,
            drive,
            bag,
            &scatter,
        ],
        |[length, minutes, mu, phi, drive, bag, scatter]| {
            let slope = (length / 1000.0).powi(2) / (minutes * 60.0);
            let k = permeability::from_strip_test(slope, mu, phi, drive)?;
            Ok((k * bag * scatter).clamp(1e-16, 1e-6))
        },
    )
    .map(Some)
}

/// A cloth laid at an angle [degrees] as resin sees it: a stitched biaxial runs to both sides alike.
pub(super) fn turned(
    along: f64,
    across: f64,
    angle_deg: f64,
    architecture: Architecture,
) -> Result<InPlane, LawError> {
    let (across, angle) = (across.min(along), angle_deg.to_radians());
    match architecture {
        Architecture::Biaxial => permeability::biaxial(along, across, angle),
        _ => permeability::turned(along, across, angle),
    }
}

/// The stack with a flow mesh on it.
pub(crate) struct Mesh {
    pub(super) permeability: Spread,
    pub(super) porosity: Spread,
    /// How far the bottom lags behind the tip in the mesh [m].
    pub(super) lag: Spread,
    /// Time to soak through the stack once the mesh is full, times pressure over viscosity [-].
    pub(super) soak: Spread,
    /// Both layers, likely.
    pub(super) stack: flow_mesh::Meshed,
    /// Height of the mesh alone [m], its permeability [m2] and open share [-].
    pub(super) height: Spread,
    pub(super) conduct: Spread,
    pub(super) pores: Spread,
}

impl Mesh {
    /// How much better a covered place conducts than a bare one.
    pub(super) fn gain(&self, bed: &Bed) -> Spread {
        Spread::from(
            [&self.height, &self.conduct, &bed.height, &bed.permeability],
            |[h1, k1, h0, k0]| 1.0 + h1 * k1 / (h0 * k0),
        )
    }
}

pub(super) fn mesh(bench: &mut Bench<'_>, bed: &Bed) -> Result<Mesh, LawError> {
    let missing = || LawError::Unsolved {
        what: "the flow mesh",
    };
    let mesh: &Sundry = bench.shelf.sundry("flow_mesh").ok_or_else(missing)?;
    let mut get = |name: &str, label: &str, unit, cited: &Option<_>| {
        cited
            .as_ref()
            .map(|cited| {
                bench.property("sundries.flow_mesh", name, label, unit, &mesh.entry, cited)
            })
            .ok_or_else(missing)
    };
    let thickness = get(
        "thickness_mm",
        "Thickness under vacuum",
        Unit::Millimetre,
        &mesh.thickness_mm,
    )?
    .times(1e-3);
    let open = get("open_share", "Open share", Unit::One, &mesh.open_share)?;
    let k_mesh = get(
        "permeability_m2",
        "Permeability",
        Unit::Permeability,
        &mesh.permeability_m2,
    )?;
    let through = bench.coefficient(
        "fill.through_share",
        "Permeability through the thickness, relative to along it",
        Range::new(0.03, 0.08, 0.2),
        Grade::Memory,
        "memory_through_permeability",
    );
    let inputs = [
        &thickness,
        &k_mesh,
        &open,
        &bed.height,
        &bed.permeability,
        &bed.porosity,
        &through,
    ];
    let stack = |[thickness, k_mesh, open, height, k, phi, through]: [f64; 7]| flow_mesh::Meshed {
        mesh_thickness: thickness,
        mesh_permeability: k_mesh.max(k),
        mesh_porosity: open.min(0.98),
        laminate_thickness: height,
        laminate_permeability: k,
        laminate_porosity: phi,
        through_permeability: (k * through).max(1e-16),
    };
    let [permeability, porosity, lag, soak] = Spread::several(inputs, |of| {
        let stack = stack(of);
        let (k_both, phi_both) = flow_mesh::as_one_layer(&stack)?;
        let soak = flow_mesh::closed_end(&stack, 1.0, 1.0)?;
        Ok([k_both, phi_both, flow_mesh::lag(&stack)?, soak])
    })?;
    let stack = stack(inputs.map(Spread::likely));
    Ok(Mesh {
        stack,
        permeability,
        porosity,
        lag,
        soak,
        height: thickness,
        conduct: k_mesh,
        pores: open,
    })
}
