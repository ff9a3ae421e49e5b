//! Whether resin reaches the far edge before it gels, with or without a flow mesh, by closed form.

mod bed;
mod board;
mod drawn;
mod ends;
mod ground;
mod line;
mod pace;
mod sheet;
mod stalls;
mod told;
mod usual;
mod watched;
mod zones;

pub use board::Board;
pub use watched::watched;
pub(crate) use zones::lay_zones;

use bed::{Bed, Mesh, bed, from_strip, mesh};
use drawn::FEED_POINT;
use ends::Ends;
use line::{FeedLine, feed_line};
use pace::{Pace, reach};
pub(crate) use pace::{even_out, wet_exponent};
use stalls::stalled;
use told::Told;

use super::air::Air;
use super::bench::Bench;
use super::dry::flow_run;
use super::resin_clock::ResinClock;
use super::stack::Stacked;
use crate::law::{LawError, flow};
use crate::plan::Feed;
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{FillSheet, Grade, Spread, StageName};

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

/// What is wet last of the part that was drawn; none where none was.
fn drawn_ends(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    ready: &Ready,
) -> Result<Option<Ends>, LawError> {
    let plan = bench.plan;
    let drawing = &plan.drawing;
    let Some(shape) = &drawing.shape else {
        return Ok(None);
    };
    let ground = ground::Ground::of(bench, stacked, ready)?;
    let lines = drawn::lines_of(drawing, shape, plan.feed);
    let gain = ready.mesh.gain(&ready.bed);
    let mut laid = drawn::Laid::of(drawing, shape, drawn::Set::of(plan), drawn::TRIANGLES);
    laid.ends(&ground, &lines, &gain).map(Some)
}

/// Works the fill out and writes its sheet.
pub(crate) fn work(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    clock: &ResinClock,
) -> Result<(Filled, FillSheet), Vec<Problem>> {
    let result = fill(bench, air, stacked, clock);
    let (filled, mut sheet) = result.map_err(|why| super::bench::beyond("fill", &why))?;
    sheet.stalled = stalled(bench);
    Ok((filled, sheet))
}

/// Slowest bed, as porosity over permeability [1/m2], that likely fills before the resin gels, without a mesh.
pub(crate) fn slowest(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    clock: &ResinClock,
) -> Result<f64, LawError> {
    let run = flow_run(bench, stacked).likely();
    let ready = prepare(bench, air, stacked, clock)?;
    let (mu, net) = (clock.viscosity.likely(), ready.line.drive.likely());
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
    let tube = ready.pace(bench, stacked, air, clock).tube();
    Ok(phi / k * (usable - tube).max(0.0) / (time * flow::BAG_FACTOR))
}

/// What a fill stands on, whatever the shape of the part.
pub(crate) struct Ready {
    bed: Bed,
    mesh: Mesh,
    /// What the bag does.
    bag: Spread,
    /// From the pot to the feed.
    line: FeedLine,
    /// Weight of the resin [N/m3].
    heavy: Spread,
}

impl Ready {
    /// Whether a mesh lies over all of the part, but for zones that say otherwise.
    fn is_meshed(bench: &Bench<'_>) -> bool {
        bench.plan.flow_mesh && !bench.plan.mesh_in_zones
    }

    /// The pace on what most of the part is.
    fn pace(&self, bench: &Bench<'_>, stacked: &Stacked, air: &Air, clock: &ResinClock) -> Pace {
        self.pace_of(Self::is_meshed(bench), stacked, air, clock)
    }

    /// The same with a mesh over it or without.
    fn pace_of(&self, meshed: bool, stacked: &Stacked, air: &Air, clock: &ResinClock) -> Pace {
        let Self {
            bed, mesh, line, ..
        } = self;
        let (k, phi, height) = if meshed {
            let height = Spread::sum([&bed.height, &mesh.height]);
            (&mesh.permeability, &mesh.porosity, height)
        } else {
            (&bed.permeability, &bed.porosity, bed.height.clone())
        };
        Pace {
            viscosity: clock.viscosity.clone(),
            porosity: phi.clone(),
            permeability: k.clone(),
            net: air.net.clone(),
            drive: line.drive.clone(),
            bag: self.bag.clone(),
            meshed,
            lag: if meshed {
                mesh.lag.clone()
            } else {
                Spread::exact(0.0)
            },
            soak: mesh.soak.clone(),
            resistance: line.resistance.clone(),
            depth: Spread::from([&height, phi], |[height, phi]| height * phi),
            volume: Spread::from([&stacked.area, &height, phi], |[area, height, phi]| {
                area * height * phi
            }),
            gel: clock.gel.clone(),
            film_gel: clock.film_gel.clone(),
            thickening: clock.thickening.clone(),
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
    let heavy = super::stack::resin_density(bench).times(flow::GRAVITY);
    let line = feed_line(bench, air, stacked, &heavy)?;
    if let Some(measured) = from_strip(bench, &line.drive, clock, &bed, &bag)? {
        bed.permeability = measured;
    }
    let mesh = mesh(bench, &bed)?;
    Ok(Ready {
        bed,
        mesh,
        bag,
        line,
        heavy,
    })
}

fn fill(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    clock: &ResinClock,
) -> Result<(Filled, FillSheet), LawError> {
    let ready = prepare(bench, air, stacked, clock)?;
    let drawn = drawn_ends(bench, stacked, &ready)?;
    let is_drawn = drawn.is_some();
    let meshed = Ready::is_meshed(bench);
    let of = |meshed| ready.pace_of(meshed, stacked, air, clock);
    let pace = of(meshed);
    // A part that is drawn fills like strips from an edge.
    let (ends, feed) = match drawn {
        Some(ends) => (ends, Feed::Edge),
        None => {
            let run = flow_run(bench, stacked);
            (Ends::strip(run, meshed), bench.plan.feed)
        }
    };
    let run = ends.run();
    // It thickens as a thin layer does, until its own heat ends it all at once.
    let time = pace.clock(&ends.thin(&pace, feed, true)?);
    let under_mesh = of(true);
    let with_mesh = if meshed {
        None
    } else {
        let ends = Ends::strip(run.clone(), true);
        Some(under_mesh.clock(&ends.thin(&under_mesh, feed, true)?))
    };
    let without = longest(&of(false), &run)?;
    let with = longest(&under_mesh, &run)?;
    let (chance, reach) = reach(&time, &clock.gel);
    let told = Told {
        ready: &ready,
        stacked,
        pace: &pace,
        run: &run,
        feed,
        is_drawn,
        time: &time,
        without: &without,
        with: &with,
        chance,
        reach,
    };
    told.notes(bench)?;
    let answer = told.answer(bench) + &told.assumed(bench) + &told::missed(bench, ends.missed);
    let sheet = sheet::sheet(&mut bench.desk, &told, answer);
    let filled = Filled {
        time,
        permeability: pace.permeability,
        run,
        meshed: with_mesh,
    };
    Ok((filled, sheet))
}

/// The longest run from a line that is safely filled before gel [m]; the tube takes its share for each length.
fn longest(pace: &Pace, run: &Spread) -> Result<Spread, LawError> {
    let usable = pace.thickening.thin(SAFE_SHARE);
    let square = Spread::of(
        [
            &pace.viscosity,
            &pace.porosity,
            &pace.permeability,
            &pace.drive,
            &pace.bag,
        ],
        |[mu, phi, k, drive, bag]| Ok(bag * flow::strip_fill_time(mu, phi, 1.0, k, drive)?),
    )?;
    let after = Spread::from([&pace.viscosity, &pace.drive], |[mu, drive]| mu / drive);
    let soaks = if pace.meshed { 1.0 } else { 0.0 };
    Spread::of(
        [
            &square,
            &after,
            &pace.soak,
            &pace.resistance,
            &pace.volume,
            run,
            &pace.gel,
        ],
        |[square, after, soak, resistance, volume, run, gel]| {
            let left = (usable * gel - soaks * soak * after).clamp(0.0, 1e9);
            flow::reach_through_tube(left, square, after * resistance * volume / run.max(1e-3))
        },
    )
}
