//! The sheet of a fill by closed form: its figures and the laws they stand on.

use super::STAGE;
use super::told::Told;
use crate::sheet::{Basis, Desk, Estimate, FillSheet, Head, Law, Reach, Spread, wide};
use crate::units::Unit;

pub(super) fn sheet(desk: &mut Desk, told: &Told<'_>, answer: String) -> FillSheet {
    let pace = told.pace;
    let mm = |x: &Spread| x.times(1000.0);
    FillSheet {
        head: Head::new(STAGE, answer, "time_min"),
        time_min: time(desk, told),
        gel_min: desk.estimate(
            "Until the part first gels, from mixing",
            Unit::Minute,
            &pace.gel.times(1.0 / 60.0),
            &GEL,
        ),
        reaches_end: told.time.likely() <= pace.gel.likely(),
        reach: told.reach,
        chance: told.chance,
        longest_without_mesh_mm: desk.estimate(
            "Longest run without a mesh, from a line",
            Unit::Millimetre,
            &mm(told.without),
            &REACH,
        ),
        longest_with_mesh_mm: desk.estimate(
            "Longest run with a mesh, from a line",
            Unit::Millimetre,
            &mm(told.with),
            &REACH_MESH,
        ),
        lag_mm: desk.estimate(
            "Under a mesh, the bottom lags behind by",
            Unit::Millimetre,
            &mm(&told.ready.mesh.lag),
            &LAG,
        ),
        viscosity_mpa_s: desk.estimate(
            "Viscosity when the fill starts",
            Unit::MillipascalSecond,
            &pace.viscosity.times(1000.0),
            &VISCOSITY,
        ),
        stalled: Vec::new(),
        permeability_m2: desk.estimate(
            "Permeability of the stack along the flow",
            Unit::Permeability,
            &told.ready.bed.permeability,
            &PERMEABILITY,
        ),
    }
}

/// Time to the far edge, in words where its range says little.
fn time(desk: &mut Desk, told: &Told<'_>) -> Estimate {
    let minutes = told.time.times(1.0 / 60.0);
    let mut time = desk.estimate("Time to the far edge", Unit::Minute, &minutes, &FILL);
    if wide::is_wide(time.low, time.high) {
        let soonest = wide::duration(time.low);
        // What gels on the way never comes.
        let latest = match told.reach {
            Reach::Will => wide::duration(time.high),
            Reach::MayNot | Reach::WillNot => "not at all",
        };
        time.shown.range = format!("between {soonest} and {latest}: try a strip first");
    }
    time
}

static FILL: Law = Law {
    says: "t = F μ φ L² / (2 K Δp) from a line (disc formulas for a point or all round), plus the soak under a mesh and R V / Δp for the tube, stretched as the resin thickens",
    basis: Basis::Firm,
    sources: &["law_darcy_fill", "law_tube", "judgement_bag_factor"],
};

static GEL: Law = Law {
    says: "kinetics fitted to the pot life on the data sheet, at the shop's temperature; where the part is thick, by its own heat",
    basis: Basis::Published,
    sources: &["blade_epoxy", "judgement_kinetics_spread"],
};

static REACH: Law = Law {
    says: "L = √(2 K Δp Θ / (F μ φ)) less what the tube takes, with Θ the thin-resin time until six tenths of gel",
    basis: Basis::Firm,
    sources: &["law_darcy_fill", "memory_safe_share"],
};

static REACH_MESH: Law = Law {
    says: "as without, with mesh and stack as one layer: K and φ averaged by thickness",
    basis: Basis::Published,
    sources: &["law_mesh_average"],
};

static LAG: Law = Law {
    says: "d = f(R) √(h₁ h₂ K₁ / K₃): travelling wave of a mesh over a stack",
    basis: Basis::Published,
    sources: &["law_mesh_average"],
};

static VISCOSITY: Law = Law {
    says: "μ = μ_ref exp[(E/R)(1/T - 1/T_ref)]",
    basis: Basis::Published,
    sources: &["memory_viscosity_energy"],
};

static PERMEABILITY: Law = Law {
    says: "K = sum of h K / sum of h over the cloths, each turned to the flow",
    basis: Basis::Firm,
    sources: &["law_darcy_fill"],
};
