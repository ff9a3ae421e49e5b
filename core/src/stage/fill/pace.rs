//! How fast resin fills this bed: everything about the time of a fill that is not the shape of the part.

use crate::law::thickening::Thickening;
use crate::law::{LawError, flow};
use crate::plan::{Feed, Plan};
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{Grade, Reach, Spread};
use crate::shelf::Shelf;
use crate::stage::bench::{Bench, beyond};
use crate::stage::stack::Stacked;
use crate::stage::{air, cure, resin_clock, stack};

use super::drawn::FEED_POINT;
use super::ends::Ends;
use super::ground::Ground;
use super::prepare;

/// Share of the unevenness that is left when it counts as even.
const UNEVEN: f64 = 0.1;
/// Share of draws that makes a "will" or a "will not".
const SURE: f64 = 0.9;
const SURE_NOT: f64 = 0.1;

/// Everything but the way.
#[derive(Clone)]
pub(crate) struct Pace {
    pub(super) viscosity: Spread,
    pub(super) porosity: Spread,
    pub(super) permeability: Spread,
    pub(super) net: Spread,
    /// What drives the resin: the net pressure less the height it is lifted [Pa].
    pub(super) drive: Spread,
    pub(super) bag: Spread,
    /// Whether a mesh lies over all of the base.
    pub(super) meshed: bool,
    /// How far the bottom lags behind the tip in a mesh [m], and time to soak through, times pressure over viscosity [-].
    pub(super) lag: Spread,
    pub(super) soak: Spread,
    /// Resistance of the tube over viscosity [1/m3].
    pub(super) resistance: Spread,
    /// Resin in the base of a square metre, as a height [m], and in a part that is all base [m3].
    pub(super) depth: Spread,
    pub(super) volume: Spread,
    pub(super) gel: Spread,
    /// Gel of a thin layer, that does not heat itself: by this it thickens on its way [s].
    pub(super) film_gel: Spread,
    pub(super) thickening: Thickening,
}

/// What a fill stands on.
pub(super) struct Paced {
    pub(super) ground: Ground,
    /// How much better a covered place conducts than a bare one.
    pub(super) gain: Spread,
    pub(super) pace: Pace,
    /// Permeability of the stack without a mesh [m2].
    pub(super) bare: Spread,
    /// How much wet cloth gives with pressure [-].
    pub(super) gives: Spread,
    /// Share of a place that stays dry where resin closes round it [-].
    pub(super) trapped: f64,
    /// Density of the resin [kg/m3].
    pub(super) density: f64,
    /// The stacks of zones that have their own.
    pub(super) zones: Vec<OwnStack>,
}

/// A stack of its own in a zone.
pub(super) struct OwnStack {
    /// Thickness [m].
    pub(super) thickness: Spread,
    /// Resin in it [kg/m2].
    pub(super) resin: Spread,
    /// Whether a core lies in it.
    pub(super) cored: bool,
}

/// Works out what a fill stands on from no more of a plan than that takes.
pub(super) fn paced(plan: &Plan, shelf: &Shelf) -> Result<Paced, Vec<Problem>> {
    stood_on(&mut Bench::new(plan, shelf)).map(|(paced, _)| paced)
}

/// The same on a bench that is there, with the stack.
pub(super) fn stood_on(bench: &mut Bench<'_>) -> Result<(Paced, Stacked), Vec<Problem>> {
    let air = air::work(bench)?;
    let (both, _) = stack::work(bench, &air)?;
    let density = stack::resin_density(bench).likely();
    let mut clock = resin_clock::work(bench).map_err(|why| beyond("resin", &why))?;
    cure::own_heat(bench, &both.full, &mut clock)?;
    let ready = prepare(bench, &air, &both.full, &clock).map_err(|why| beyond("fill", &why))?;
    let pace = ready.pace(bench, &both.full, &air, &clock);
    let (bed, mesh) = (&ready.bed, &ready.mesh);
    let ground = Ground::of(bench, &both.full, &ready).map_err(|why| beyond("fill", &why))?;
    let gain = mesh.gain(bed);
    let gives = wet_exponent(bench);
    let trapped = flow::trapped_share(air.bag.likely(), air.outside.likely())
        .map_err(|why| beyond("bag", &why))?;
    let zones = both.full.zones.iter().map(|zone| OwnStack {
        thickness: zone.thickness.clone(),
        resin: Spread::from([&zone.resin, &zone.area], |[resin, area]| resin / area),
        cored: zone.rows.iter().any(|row| row.cloth.is_none()),
    });
    let paced = Paced {
        zones: zones.collect(),
        ground,
        gain,
        pace,
        bare: bed.permeability.clone(),
        gives,
        trapped,
        density,
    };
    Ok((paced, both.full))
}

impl Pace {
    /// A time with resin that stays thin by the clock on the wall, with resin that thickens [s].
    pub(super) fn clock(&self, thin: &Spread) -> Spread {
        by_clock(thin, &self.film_gel, &self.thickening)
    }

    /// Time by the clock until a drawn part is wet everywhere [s].
    pub(super) fn time(&self, ends: &Ends) -> Result<Spread, LawError> {
        Ok(self.clock(&ends.thin(self, Feed::Edge, true)?))
    }

    /// The time by the clock until the front, likely, has run as far as along a strip of this run [s].
    pub(super) fn likely_at(&self, run: f64) -> f64 {
        let thin = self.likely_thin_at(run);
        self.likely_clock(thin)
    }

    /// A likely thin-resin time by the clock on the wall [s].
    pub(super) fn likely_clock(&self, thin: f64) -> f64 {
        let gel = self.film_gel.likely();
        self.thickening.clock(thin / gel) * gel
    }

    /// And back [s].
    pub(super) fn likely_thin(&self, clock: f64) -> f64 {
        let gel = self.film_gel.likely();
        self.thickening.thin((clock / gel).min(1.0)) * gel
    }

    /// The same for each of these runs [min]; not a number where there is none.
    pub(super) fn likely_minutes(&self, runs: &[f64]) -> Vec<f64> {
        let minute = |run: &f64| {
            if run.is_nan() {
                f64::NAN
            } else {
                self.likely_at(*run) / 60.0
            }
        };
        runs.iter().map(minute).collect()
    }

    /// The same with resin that stays thin [s].
    pub(super) fn likely_thin_at(&self, run: f64) -> f64 {
        run * run * self.square()
    }

    /// Thin-resin time along a strip for each square of its run, likely [s/m2].
    fn square(&self) -> f64 {
        let (mu, drive) = (self.viscosity.likely(), self.drive.likely());
        let strip = mu * self.porosity.likely() / (2.0 * self.permeability.likely() * drive);
        strip * self.bag.likely()
    }

    /// Thin-resin time that all the resin of the part spends on the tube, likely [s].
    pub(super) fn tube(&self) -> f64 {
        self.viscosity.likely() * self.resistance.likely() * self.volume.likely()
            / self.drive.likely()
    }

    /// The same for a part that holds as much as so many square metres of the base, as half a square of a run [m2].
    pub(super) fn tube_squares(&self, capacity: f64) -> f64 {
        let share = self.depth.likely() * capacity / self.volume.likely().max(1e-12);
        self.tube() * share / self.square() / 2.0
    }

    /// How surely a fill of this time ends before gel: share of draws, and the word for it.
    pub(super) fn reach(&self, time: &Spread) -> (f64, Reach) {
        reach(time, &self.gel)
    }
}

/// Time with resin that stays thin [s]: viscosity, porosity, run, permeability, pressure, the bag's factor, and what
/// comes on top, soak and tube, times pressure over viscosity.
pub(super) fn thin_time(of: [&Spread; 7], feed: Feed) -> Result<Spread, LawError> {
    Spread::of(of, |[mu, phi, run, k, drive, bag, after]| {
        let time = match feed {
            Feed::Edge | Feed::CentreLine => flow::strip_fill_time(mu, phi, run, k, drive)?,
            Feed::Centre => {
                let inner = FEED_POINT.min(run / 2.0);
                flow::radial_out_fill_time(mu, phi, inner, run, k, drive)?
            }
            Feed::AllRound => flow::radial_in_fill_time(mu, phi, 0.0, run, k, drive)?,
        };
        flow::through_tube(time * bag, mu * after, 1.0, drive)
    })
}

/// A thin-resin time by the clock on the wall [s].
pub(super) fn by_clock(thin: &Spread, gel: &Spread, thickening: &Thickening) -> Spread {
    Spread::from([thin, gel], |[thin, gel]| {
        thickening.clock(thin / gel) * gel
    })
}

/// How surely a fill of this time ends before gel.
pub(super) fn reach(time: &Spread, gel: &Spread) -> (f64, Reach) {
    let spare = Spread::from([time, gel], |[time, gel]| gel - time);
    let chance = spare.share(|spare| spare >= 0.0);
    let reach = if chance >= SURE {
        Reach::Will
    } else if chance <= SURE_NOT {
        Reach::WillNot
    } else {
        Reach::MayNot
    };
    (chance, reach)
}

/// How much wet cloth gives with pressure.
pub(crate) fn wet_exponent(bench: &mut Bench<'_>) -> Spread {
    bench.coefficient(
        "fill.wet_exponent",
        "How much wet cloth gives with pressure",
        Range::new(0.03, 0.045, 0.06),
        Grade::Memory,
        "memory_wet_exponent",
    )
}

/// Time until thickness has evened out along the part once its feed is clamped [s], from viscosity, run, permeability,
/// net pressure, what wet cloth gives, time to fill and gel.
pub(crate) fn even_out(of: [&Spread; 7], thickening: &Thickening) -> Result<Spread, LawError> {
    // The resin has thickened on its way; how much, by the slope of clock time against thin-resin time.
    let thicker = |time: f64, gel: f64| {
        let share = (time / gel).clamp(0.0, 0.97);
        let thin = thickening.thin(share + 0.01) - thickening.thin(share);
        0.01 / thin.max(1e-6)
    };
    let even = Spread::of(of, |[mu, run, k, net, b, time, gel]| {
        // Half of what presses is carried by the cloth on the mean, from feed to vent.
        let load = (0.5 * net).clamp(1.0, 2e6);
        flow::equalisation_time(mu * thicker(time, gel), run, k, load, b, UNEVEN)
    })?;
    // What has not evened out at gel never will; how much longer it would take tells nobody anything.
    Ok(Spread::from([&even, of[6]], |[even, gel]| even.min(gel)))
}
