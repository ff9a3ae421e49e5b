//! Whether resin reaches the far edge before it gels, with or without a flow mesh, by closed form.

mod bed;
mod board;
mod drawn;
mod ground;
mod pace;
mod stalls;
mod usual;
mod watched;

pub use board::Board;
pub use watched::watched;

use bed::{Bed, Mesh, bed, from_strip, mesh};
use drawn::FEED_POINT;
use pace::{by_clock, reach, thin_time};
pub(crate) use pace::{even_out, wet_exponent};
pub(crate) use stalls::stalled;

use super::air::Air;
use super::bench::Bench;
use super::dry::flow_run;
use super::resin_clock::ResinClock;
use super::stack::Stacked;
use crate::law::{LawError, flow};
use crate::plan::Feed;
use crate::plan::fields::EDGE_GAP;
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::wide;
use crate::sheet::{Basis, FillSheet, Grade, Head, Law, Reach, Spread, StageName};
use crate::shelf::{Architecture, Family};
use crate::units::Unit;

const STAGE: StageName = StageName::Fill;

/// Share of the gel time within which a fill should end.
const SAFE_SHARE: f64 = 0.6;

/// The fill, worked out; the mix asks how long it takes.
pub(crate) struct Filled {
    /// Time to the far edge [s].
    pub(crate) time: Spread,
    /// Permeability of what carried the resin, with its mesh [m2].
    pub(crate) permeability: Spread,
    /// Run of a strip that takes as long [m].
    pub(crate) run: Spread,
    /// Time to the far edge with a mesh on all of the stack [s]; none where one lies there.
    pub(crate) meshed: Option<Spread>,
}

/// The run along a strip that takes as long as the part that was drawn [m]; none where none was.
pub(crate) type DrawnRun =
    fn(&mut Bench<'_>, &Air, &Stacked, &Bed, &Mesh) -> Result<Option<Spread>, LawError>;

/// Finds it.
pub(crate) fn drawn_run(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    bed: &Bed,
    mesh: &Mesh,
) -> Result<Option<Spread>, LawError> {
    let plan = bench.plan;
    let drawing = plan.deep.drawing();
    let Some(shape) = &drawing.shape else {
        return Ok(None);
    };
    let density = super::stack::resin_density(bench).likely();
    let ground = ground::Ground::of(bench, stacked, bed, mesh)?.weighing(density, air);
    let gap = plan.given(&EDGE_GAP).map_or(0.0, |gap| gap.likely / 1000.0);
    let lines = drawn::lines_of(drawing, shape, plan.feed);
    let gain = mesh.gain(bed);
    let mut laid = drawn::Laid::of(drawing, shape, gap, drawn::TRIANGLES);
    laid.run(&ground, &lines, &gain).map(Some)
}

/// Works the fill out and writes its sheet.
pub(crate) fn work(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    clock: &ResinClock,
    drawn: Option<DrawnRun>,
) -> Result<(Filled, FillSheet), Vec<Problem>> {
    let result = fill(bench, air, stacked, clock, drawn);
    result.map_err(|why| super::bench::beyond("fill", &why))
}

/// Slowest bed, as porosity over permeability [1/m2], that likely fills before the resin gels, without a mesh.
pub(crate) fn slowest(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    clock: &ResinClock,
) -> Result<f64, LawError> {
    let run = flow_run(bench, stacked).likely();
    let (mu, net) = (clock.viscosity.likely(), air.net.likely());
    // Time goes with porosity over permeability, whatever the feed.
    let (phi, k) = (0.5, 1e-11);
    let time = match bench.plan.feed {
        Feed::Edge | Feed::CentreLine => flow::strip_fill_time(mu, phi, run, k, net)?,
        Feed::Centre => {
            let inner = FEED_POINT.min(run / 2.0);
            flow::radial_out_fill_time(mu, phi, inner, run, k, net)?
        }
        Feed::AllRound => flow::radial_in_fill_time(mu, phi, 0.0, run, k, net)?,
    };
    let usable = clock.thickening.thin(1.0) * clock.gel.likely();
    Ok(phi / k * usable / (time * flow::BAG_FACTOR))
}

/// The bed, the mesh and what the bag does.
struct Ready {
    bed: Bed,
    mesh: Mesh,
    bag: Spread,
}

impl Ready {
    /// Permeability and porosity of what most of the part is, and how far and long the bottom lags behind.
    fn base(&self, bench: &Bench<'_>) -> (&Spread, &Spread, Spread, Spread) {
        // Under a mesh the bottom of the stack is wet last, the lag further on, after soaking through.
        if bench.plan.flow_mesh && !bench.plan.deep.mesh_in_zones {
            let mesh = &self.mesh;
            (
                &mesh.permeability,
                &mesh.porosity,
                mesh.lag.clone(),
                mesh.soak.clone(),
            )
        } else {
            let none = || Spread::exact(0.0);
            (&self.bed.permeability, &self.bed.porosity, none(), none())
        }
    }
}

/// Works out what a fill stands on, whatever the shape of the part.
fn prepare(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    clock: &ResinClock,
) -> Result<Ready, LawError> {
    let mut bed = bed(stacked)?;
    let bag = bench.coefficient(
        "fill.bag_factor",
        "How much faster a soft bag fills than a rigid cavity",
        Range::around(flow::BAG_FACTOR, flow::BAG_FACTOR_SPREAD),
        Grade::Judgement,
        "judgement_bag_factor",
    );
    if let Some(measured) = from_strip(bench, air, clock, &bed, &bag)? {
        bed.permeability = measured;
    }
    let mesh = mesh(bench, &bed)?;
    Ok(Ready { bed, mesh, bag })
}

fn fill(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    clock: &ResinClock,
    drawn: Option<DrawnRun>,
) -> Result<(Filled, FillSheet), LawError> {
    let ready = prepare(bench, air, stacked, clock)?;
    let (k, phi, lag, soak) = ready.base(bench);
    let Ready { bed, mesh, bag } = &ready;
    let drawn = match drawn {
        Some(drawn) => drawn(bench, air, stacked, bed, mesh)?,
        None => None,
    };
    let is_drawn = drawn.is_some();
    // A part that is drawn fills like a strip of this run, from an edge.
    let (run, feed) = match drawn {
        Some(run) => (run, Feed::Edge),
        None => (flow_run(bench, stacked), bench.plan.feed),
    };
    let of = [&clock.viscosity, phi, &run, k, &air.net, bag, &lag, &soak];
    // It thickens as a thin layer does, until its own heat ends it all at once.
    let time = by_clock(&thin_time(of, feed)?, &clock.film_gel, &clock.thickening);
    let meshed = if bench.plan.flow_mesh && !bench.plan.deep.mesh_in_zones {
        None
    } else {
        let (k, phi) = (&mesh.permeability, &mesh.porosity);
        let (lag, soak) = (&mesh.lag, &mesh.soak);
        let of = [&clock.viscosity, phi, &run, k, &air.net, bag, lag, soak];
        Some(by_clock(
            &thin_time(of, feed)?,
            &clock.film_gel,
            &clock.thickening,
        ))
    };
    let longest = |k: &Spread, phi: &Spread| {
        let usable = clock.thickening.thin(SAFE_SHARE);
        Spread::of(
            [&clock.viscosity, phi, k, &air.net, bag, &clock.gel],
            |[mu, phi, k, net, bag, gel]| {
                flow::strip_reach(mu, phi, (usable * gel / bag).min(1e8), k, net)
            },
        )
    };
    let without = longest(&bed.permeability, &bed.porosity)?;
    let with = longest(&mesh.permeability, &mesh.porosity)?;
    let (chance, reach) = reach(&time, &clock.gel);
    notes(bench, stacked, &without, &run, reach, &mesh.lag);
    let desk = &mut bench.desk;
    let minutes = |x: &Spread| x.times(1.0 / 60.0);
    let mm = |x: &Spread| x.times(1000.0);
    let (took, gels) = (
        desk.say(Unit::Minute, &minutes(&time)),
        desk.say(Unit::Minute, &minutes(&clock.gel)),
    );
    let distance = desk.say(Unit::Millimetre, &mm(&run));
    let end = if is_drawn {
        "the last corner of the part as drawn".to_owned()
    } else {
        format!("the far edge, {distance} away")
    };
    let answer = match reach {
        Reach::Will => format!(
            "Resin will reach {end}{} in about {took}; it gels after about {gels}.",
            if is_drawn { "" } else { "," },
        ),
        Reach::MayNot if time.likely() <= clock.gel.likely() => format!(
            "Resin may not reach {end}: likely after {took}, but it could be far slower, and it gels after about {gels}."
        ),
        Reach::MayNot => {
            format!("Resin may not reach {end}: it likely gels first, after about {gels}.")
        }
        Reach::WillNot => {
            format!("Resin will not reach {end}: it gels after about {gels}, long before.")
        }
    };
    let mut time_min = desk.estimate("Time to the far edge", Unit::Minute, &minutes(&time), &FILL);
    if wide::is_wide(time_min.low, time_min.high) {
        let soonest = wide::duration(time_min.low);
        // What gels on the way never comes.
        let latest = match reach {
            Reach::Will => wide::duration(time_min.high),
            Reach::MayNot | Reach::WillNot => "not at all",
        };
        time_min.shown.range = format!("between {soonest} and {latest}: try a strip first");
    }
    let sheet = FillSheet {
        head: Head {
            stage: STAGE,
            short: "Fill",
            question: "Will resin reach the far edge before it gels?",
            answer,
            main: "time_min",
        },
        time_min,
        gel_min: desk.estimate(
            "Until the part first gels, from mixing",
            Unit::Minute,
            &minutes(&clock.gel),
            &GEL,
        ),
        reaches_end: time.likely() <= clock.gel.likely(),
        reach,
        chance,
        longest_without_mesh_mm: desk.estimate(
            "Longest run without a mesh, from a line",
            Unit::Millimetre,
            &mm(&without),
            &REACH,
        ),
        longest_with_mesh_mm: desk.estimate(
            "Longest run with a mesh, from a line",
            Unit::Millimetre,
            &mm(&with),
            &REACH_MESH,
        ),
        lag_mm: desk.estimate(
            "Under a mesh, the bottom lags behind by",
            Unit::Millimetre,
            &mm(&mesh.lag),
            &LAG,
        ),
        viscosity_mpa_s: desk.estimate(
            "Viscosity when the fill starts",
            Unit::MillipascalSecond,
            &clock.viscosity.times(1000.0),
            &VISCOSITY,
        ),
        stalled: Vec::new(),
        permeability_m2: desk.estimate(
            "Permeability of the stack along the flow",
            Unit::Permeability,
            &bed.permeability,
            &PERMEABILITY,
        ),
    };
    let permeability = k.clone();
    let filled = Filled {
        time,
        permeability,
        run,
        meshed,
    };
    Ok((filled, sheet))
}

fn notes(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    without: &Spread,
    run: &Spread,
    reach: Reach,
    lag: &Spread,
) {
    bench.caution(
        STAGE,
        "Keep nitrile gloves and goggles on at feed and vent, and air the room: resin and hardener sensitise skin and lungs for life.",
    );
    let meshed = bench.plan.flow_mesh;
    let wants: Vec<&'static str> = wants_mesh(stacked);
    if !meshed && !wants.is_empty() {
        bench.problem(
            STAGE,
            format!(
                "Lay a flow mesh: {} hardly lets resin through without one (common practice, no source).",
                wants.join(" and ")
            ),
        );
    } else if !meshed && reach != Reach::Will {
        bench.problem(
            STAGE,
            format!(
                "Without a mesh a fill from a line is safe only up to about {}. Lay a mesh, move the feed line nearer, or measure how your own cloth fills on a strip.",
                bench.desk.say_low(Unit::Millimetre, &without.times(1000.0)),
            ),
        );
    } else if !meshed {
        bench.advice(
            STAGE,
            "Woven flax may go without a flow mesh (common practice, no source), and here the figures agree.",
        );
    }
    if meshed {
        let end = lag.map(|d| d.max(0.025).min(run.likely() / 2.0));
        bench.advice(
            STAGE,
            format!(
                "End the mesh about {} before the far edge: resin in the mesh runs that far ahead of the bottom of the stack.",
                bench.desk.say(Unit::Millimetre, &end.times(1000.0)),
            ),
        );
    }
    bench.advice(
        STAGE,
        "Half the way takes a quarter of the time. Do not clamp early because the front has slowed.",
    );
}

/// Kinds of cloth in the stack that the trade does not infuse without a mesh.
fn wants_mesh(stacked: &Stacked) -> Vec<&'static str> {
    let mut kinds = Vec::new();
    for (_, cloth) in stacked.cloths() {
        if cloth.may_go_without_mesh {
            continue;
        }
        let kind = match cloth.family {
            Family::Glass => "glass",
            Family::Carbon => "carbon",
            Family::Aramid => "aramid",
            Family::Bast if cloth.architecture == Architecture::Unidirectional => {
                "unidirectional flax"
            }
            Family::Bast => "stitched flax",
        };
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    kinds
}

static FILL: Law = Law {
    says: "t = F μ φ L² / (2 K Δp) from a line (disc formulas for a point or all round), stretched as the resin thickens",
    basis: Basis::Firm,
    sources: &["law_darcy_fill", "judgement_bag_factor"],
};

static GEL: Law = Law {
    says: "kinetics fitted to the pot life on the data sheet, at the shop's temperature; where the part is thick, by its own heat",
    basis: Basis::Published,
    sources: &["blade_epoxy", "judgement_kinetics_spread"],
};

static REACH: Law = Law {
    says: "L = √(2 K Δp Θ / (F μ φ)), with Θ the thin-resin time until six tenths of gel",
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
