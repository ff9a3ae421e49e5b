//! The slab of wet cloth that heats itself: the thickest one in the stack, and what draws its heat away.

use crate::law::laminate_cure::Layup;
use crate::plan::MouldKind;
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::stage::bench::Bench;
use crate::stage::stack::Stacked;

/// Conductivity of foam, cork and balsa [W/(m K)].
const CORE_CONDUCTIVITY: f64 = 0.05;

/// The slab with everything but its thickness likely.
pub(super) struct Slab {
    /// Thickness [m].
    pub(super) thickness: Spread,
    /// How well heat leaves, over the likely way [-].
    pub(super) leaves: Spread,
    /// A core lies beside it.
    pub(super) beside_core: bool,
    density: f64,
    resin_share: f64,
    to_mould: f64,
    to_bag: f64,
    conductivity: f64,
    heat_capacity: f64,
}

/// Heat transfer through what the mould is made of [W/(m2 K)].
fn to_mould(kind: MouldKind) -> f64 {
    match kind {
        MouldKind::Laminate => 8.0,
        MouldKind::Insulating => 3.0,
        MouldKind::Metal => 30.0,
        MouldKind::Glass => 9.0,
    }
}

pub(super) fn slab(bench: &mut Bench<'_>, stacked: &Stacked) -> Slab {
    // Cloths that lie on each other without a core between them, from the mould up.
    let mut groups: Vec<Vec<Spread>> = vec![Vec::new()];
    let mut cores: Vec<f64> = Vec::new();
    for row in &stacked.rows {
        let high = row.thickness.times(f64::from(row.count));
        match row.cloth {
            Some(_) => groups
                .last_mut()
                .into_iter()
                .for_each(|group| group.push(high.clone())),
            None => {
                cores.push(high.likely());
                groups.push(Vec::new());
            }
        }
    }
    let heights: Vec<Spread> = groups.iter().map(Spread::sum).collect();
    let thickest = (0..heights.len())
        .max_by(|&a, &b| heights[a].likely().total_cmp(&heights[b].likely()))
        .unwrap_or(0);
    let cloth: f64 = heights.iter().map(Spread::likely).sum();
    let leaves = bench.coefficient(
        "cure.heat_leaves",
        "How well mould and bag draw heat away, over what is usual",
        Range::new(0.75, 1.0, 1.3),
        Grade::Judgement,
        "judgement_heat_leaves",
    );
    let conductivity = bench.coefficient(
        "cure.conductivity_w_m_k",
        "Conductivity of the laminate through its thickness",
        Range::new(0.18, 0.20, 0.25),
        Grade::Judgement,
        "bark_cloth_2014",
    );
    let heat_capacity = bench.coefficient(
        "cure.heat_capacity_j_kg_k",
        "Heat capacity of the wet laminate",
        Range::new(1500.0, 1650.0, 1800.0),
        Grade::Memory,
        "memory_heat_capacity",
    );
    let [fibre, resin] = stacked.plain().map(|mass| mass.likely());
    let through = |face: f64, core: Option<&f64>| match core {
        Some(core) => 1.0 / (1.0 / face + core / CORE_CONDUCTIVITY),
        None => face,
    };
    let below = thickest.checked_sub(1).and_then(|i| cores.get(i));
    let above = cores.get(thickest);
    Slab {
        thickness: heights
            .get(thickest)
            .cloned()
            .unwrap_or_else(|| stacked.thickness.clone()),
        beside_core: !cores.is_empty(),
        density: ((resin + fibre) / (stacked.area.likely() * cloth)).clamp(400.0, 2500.0),
        resin_share: resin / (resin + fibre).max(1e-9),
        to_mould: through(to_mould(bench.plan.mould), below),
        to_bag: through(10.0, above),
        // Both move the peak of a thick part by a few kelvin, well inside what the faces do.
        conductivity: conductivity.likely(),
        heat_capacity: heat_capacity.likely(),
        leaves,
    }
}

impl Slab {
    /// For the law.
    pub(super) fn layup(&self, thickness: f64, leaves: f64, start: f64) -> Layup {
        Layup {
            thickness: thickness.clamp(1e-4, 0.1),
            density: self.density,
            heat_capacity: self.heat_capacity,
            conductivity: self.conductivity,
            resin_share: self.resin_share.clamp(0.0, 1.0),
            to_mould: self.to_mould * leaves,
            to_bag: self.to_bag * leaves,
            start_temperature: start.clamp(263.15, 353.15),
        }
    }
}
