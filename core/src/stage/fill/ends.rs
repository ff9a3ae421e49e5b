//! When the last of a part is wet: bare cloth as the front comes, cloth under a mesh once it has soaked through as well.

use super::drawn::{Laid, Placed, far};
use super::ground::{Ground, Under, by_gain};
use super::pace::{Pace, thin_time};
use crate::law::LawError;
use crate::law::front_map::FrontMap;
use crate::plan::{Feed, Line};
use crate::sheet::Spread;
use crate::solve::front::{Arrival, Filled};
use crate::solve::sort::sort_by;
use crate::stage::bench::UNFED;

/// How far a mesh's own permeability is moved to see what it does to the time.
const FACTORS: [f64; 3] = [0.3, 1.0, 3.3];

/// A range narrower than this of how a zone conducts against the part moves nothing that counts [-].
const NARROW: f64 = 0.02;

/// What is wet last, with and without a mesh over it.
#[derive(Debug, Clone)]
pub(crate) struct Ends {
    /// The run along a strip of the base that takes as long as to the last place without a mesh [m].
    pub(super) bare: Option<Spread>,
    /// The same under a mesh, and how many times as long as at a closed end it soaks there.
    pub(super) meshed: Option<(Spread, f64)>,
    /// Share of the part that resin never comes to.
    pub(super) missed: f64,
    /// What the part takes, as square metres of the base; none for all of its area.
    pub(super) capacity: Option<f64>,
}

/// The same for one value of everything, with the place.
struct Last {
    bare: Option<(f64, usize)>,
    meshed: Option<(f64, f64, usize)>,
    missed: f64,
}

impl Ends {
    /// Of a part that fills like one strip.
    pub(super) fn strip(run: Spread, meshed: bool) -> Self {
        if meshed {
            Self {
                bare: None,
                meshed: Some((run, 1.0)),
                missed: 0.0,
                capacity: None,
            }
        } else {
            Self {
                bare: Some(run),
                meshed: None,
                missed: 0.0,
                capacity: None,
            }
        }
    }

    /// The longer run of the two [m].
    pub(crate) fn run(&self) -> Spread {
        match (&self.bare, &self.meshed) {
            (Some(bare), Some((meshed, _))) => {
                Spread::from([bare, meshed], |[a, b]: [f64; 2]| a.max(b))
            }
            (Some(run), None) | (None, Some((run, _))) => run.clone(),
            (None, None) => Spread::exact(0.0),
        }
    }

    /// Time with resin that stays thin, through the tube or without it [s].
    pub(super) fn thin(&self, pace: &Pace, feed: Feed, tube: bool) -> Result<Spread, LawError> {
        let volume = match self.capacity {
            Some(capacity) => pace.depth.times(capacity),
            None => pace.volume.clone(),
        };
        let time = |run: &Spread, soaks: f64| {
            let after = Spread::from(
                [&pace.soak, &pace.resistance, &volume],
                |[soak, resistance, volume]| {
                    soak * soaks + if tube { resistance * volume } else { 0.0 }
                },
            );
            let (mu, phi, k) = (&pace.viscosity, &pace.porosity, &pace.permeability);
            thin_time([mu, phi, run, k, &pace.drive, &pace.bag, &after], feed)
        };
        let bare = self.bare.as_ref().map(|run| time(run, 0.0)).transpose()?;
        let meshed = self.meshed.as_ref();
        let meshed = meshed.map(|(run, soaks)| time(run, *soaks)).transpose()?;
        Ok(match (bare, meshed) {
            (Some(a), Some(b)) => Spread::from([&a, &b], |[a, b]: [f64; 2]| a.max(b)),
            (Some(time), None) | (None, Some(time)) => time,
            (None, None) => Spread::exact(0.0),
        })
    }
}

impl Laid {
    /// What is wet last, over the range of what a mesh gains.
    pub(super) fn ends(
        &mut self,
        ground: &Ground,
        lines: &[Line],
        gain: &Spread,
    ) -> Result<Ends, LawError> {
        let placed = self.place(lines);
        let last = |factor: f64, ground: &Ground, laid: &Self| -> Result<(Last, f64), LawError> {
            let mut map = laid.map(ground, factor)?;
            let filled = placed.fill(&mut map);
            if filled.last.is_none() {
                return Err(LawError::Unsolved { what: UNFED });
            }
            let last = laid.last_of(ground, &placed, &filled);
            Ok((last, map.field_ref().capacity()))
        };
        let (likely, capacity) = last(1.0, ground, self)?;
        let mut moved = Vec::new();
        if self.is_mixed() {
            let gains = FACTORS.map(|factor| 1.0 + (ground.gain() - 1.0) * factor);
            let [low, _, high] = FACTORS;
            let ends = [last(low, ground, self)?.0, last(high, ground, self)?.0];
            moved.push((gains, ends, gain));
        }
        for (number, apart) in ground.apart().enumerate() {
            if apart.largest() - apart.smallest() < NARROW {
                continue;
            }
            let [low, _, high] = FACTORS;
            let end = |factor| Ok(last(1.0, &ground.with_zone(number, factor), self)?.0);
            moved.push((FACTORS, [end(low)?, end(high)?], apart));
        }
        if ground.carry().largest() > ground.carry().smallest() {
            let [low, _, high] = FACTORS;
            let end = |factor| Ok(last(1.0, &ground.with_channels(factor), self)?.0);
            moved.push((FACTORS, [end(low)?, end(high)?], ground.carry()));
        }
        // Each of them moves the run by itself.
        let over = |of: &dyn Fn(&Last) -> Option<f64>| -> Option<Spread> {
            let run = |last| Some((2.0 * of(last)?).sqrt());
            let here = run(&likely)?;
            let mut all = Spread::exact(here);
            for (steps, [low, high], by) in &moved {
                let runs = [run(low)?, here, run(high)?].map(|run| run / here.max(1e-15));
                all = Spread::from([&all, &by_gain(*steps, runs, by)], |[a, b]| a * b);
            }
            Some(all)
        };
        let soaks = likely.meshed.map_or(1.0, |(_, soaks, _)| soaks);
        Ok(Ends {
            bare: over(&|last| last.bare.map(|(w, _)| w)),
            meshed: over(&|last| last.meshed.map(|(w, ..)| w)).map(|run| (run, soaks)),
            missed: likely.missed,
            capacity: Some(capacity),
        })
    }

    /// The same from one solve, everything likely, with the place that is wet last of all.
    pub(super) fn ends_of(
        &self,
        ground: &Ground,
        placed: &Placed,
        (filled, map): (&Filled, &FrontMap),
    ) -> (Ends, Option<usize>) {
        let last = self.last_of(ground, placed, filled);
        let run = |w: f64| Spread::exact((2.0 * w).sqrt());
        let place = match (last.bare, last.meshed) {
            (Some((bare, _)), Some((w, soaks, at))) if w + soaks * ground.soak() > bare => Some(at),
            (Some((_, at)), _) | (None, Some((.., at))) => Some(at),
            (None, None) => None,
        };
        let ends = Ends {
            bare: last.bare.map(|(w, _)| run(w)),
            meshed: last.meshed.map(|(w, soaks, _)| (run(w), soaks)),
            missed: last.missed,
            capacity: Some(map.field_ref().capacity()),
        };
        (ends, place)
    }

    /// How each point soaks that touches a triangle under a mesh, by the slowest of them, and which touch a bare one.
    fn covers(&self, ground: &Ground) -> (Vec<Option<Under>>, Vec<bool>) {
        let surface = self.surface();
        let count = surface.points.len();
        let (mut meshed, mut bare) = (vec![None::<Under>; count], vec![false; count]);
        for corners in &surface.corners {
            let under = ground.under(self.middle(corners), self.zones());
            for &i in corners {
                let here = &mut meshed[i as usize];
                match under {
                    Some(under) if here.is_none_or(|known| under.soaks > known.soaks) => {
                        *here = Some(under);
                    }
                    Some(_) => {}
                    None => bare[i as usize] = true,
                }
            }
        }
        (meshed, bare)
    }

    fn last_of(&self, ground: &Ground, placed: &Placed, filled: &Filled) -> Last {
        let (meshed, bare) = self.covers(ground);
        let longer = self.longer(&meshed, placed, filled);
        let mut last = Last {
            bare: None,
            meshed: None,
            missed: self.missed(placed, filled),
        };
        for (i, &w) in filled.bound.iter().enumerate() {
            if !w.is_finite() {
                continue;
            }
            if bare[i] && last.bare.is_none_or(|(most, _)| w > most) {
                last.bare = Some((w, i));
            }
            let whole = |w: f64, soaks: f64| w + soaks * ground.soak();
            let Some(under) = meshed[i] else { continue };
            let soaks = longer[i] * under.soaks;
            if last
                .meshed
                .is_none_or(|(most, known, _)| whole(w, soaks) > whole(most, known))
            {
                last.meshed = Some((w, soaks, i));
            }
        }
        last
    }

    /// Share of the area that resin never comes to.
    fn missed(&self, placed: &Placed, filled: &Filled) -> f64 {
        let surface = self.surface();
        let mut reached: Vec<bool> = filled.bound.iter().map(|w| w.is_finite()).collect();
        for &i in placed.feeds.iter().chain(&placed.open_vents) {
            reached[i as usize] = true;
        }
        let (mut all, mut dry) = (0.0, 0.0);
        for corners in &surface.corners {
            let area = area(corners.map(|i| surface.points[i as usize]));
            let missed = corners.iter().filter(|&&i| !reached[i as usize]);
            all += area;
            dry += area * missed.count() as f64 / 3.0;
        }
        if all > 0.0 { dry / all } else { 0.0 }
    }

    /// How many times as long as at a closed end each point soaks: next to a vent that stays open there is little to
    /// press the resin down.
    fn longer(&self, under: &[Option<Under>], placed: &Placed, filled: &Filled) -> Vec<f64> {
        let mut longer: Vec<f64> = filled
            .pressure
            .iter()
            .map(|p| if *p > 0.0 { (1.0 / p).max(1.0) } else { 1.0 })
            .collect();
        if placed.open_vents.is_empty() {
            return longer;
        }
        let surface = self.surface();
        let mut vent = vec![false; longer.len()];
        for &i in &placed.open_vents {
            vent[i as usize] = true;
        }
        // How steeply pressure falls to each vent.
        let mut slope = vec![0.0_f64; longer.len()];
        for corners in &surface.corners {
            for (k, &i) in corners.iter().enumerate() {
                let others = [corners[(k + 1) % 3], corners[(k + 2) % 3]];
                for j in others.into_iter().filter(|_| vent[i as usize]) {
                    let p = filled.pressure[j as usize];
                    let away = far(surface.points[i as usize], surface.points[j as usize]);
                    if p > 0.0 && away > 0.0 {
                        let to = &mut slope[i as usize];
                        *to = to.max(p / away);
                    }
                }
            }
        }
        let steepest = |i: usize| under[i].map_or(1.0, |under| under.longer(slope[i]));
        for i in (0..longer.len()).filter(|&i| vent[i]) {
            longer[i] = if slope[i] > 0.0 { steepest(i) } else { 1.0 };
        }
        longer
    }

    /// The run along a strip that takes as long as until each point is wet to the bottom, tube and all [m], likely; not a
    /// number where resin never comes.
    pub(super) fn wet(
        &self,
        ground: &Ground,
        pace: &Pace,
        (map, arrival, end): (&FrontMap, &Arrival, f64),
    ) -> Vec<f64> {
        let (meshed, bare) = self.covers(ground);
        let field = map.field_ref();
        let mut wet: Vec<f64> = arrival.at.clone();
        for (i, w) in wet.iter_mut().enumerate() {
            // At the edge of a mesh both lie; what is bare there is wet with the front.
            if let Some(under) = meshed[i].filter(|_| w.is_finite() && *w > 0.0 && !bare[i]) {
                let on = (2.0 * *w).sqrt() + under.behind;
                *w = (on * on / 2.0).min(end).max(*w);
            }
        }
        let all = field.capacity();
        let tube = pace.tube_squares(all);
        if tube > 0.0 {
            let mut order: Vec<usize> = (0..wet.len()).filter(|&i| wet[i].is_finite()).collect();
            sort_by(&mut order, |&a, &b| wet[a].total_cmp(&wet[b]));
            let mut held = 0.0;
            for i in order {
                held += field.hold_of(i);
                if wet[i] > 0.0 {
                    wet[i] += tube * held / all.max(1e-12);
                }
            }
        }
        let run = |w: &f64| {
            // The larger of nought and what is no number would be nought.
            if w.is_nan() {
                f64::NAN
            } else {
                (2.0 * w.max(0.0)).sqrt()
            }
        };
        wet.iter().map(run).collect()
    }

    /// When all that lies under a mesh is wet, everything likely, as squares of metres of the base [m2].
    pub(super) fn soaked(&self, ground: &Ground, placed: &Placed, filled: &Filled) -> f64 {
        let last = self.last_of(ground, placed, filled);
        last.meshed
            .map_or(f64::INFINITY, |(w, soaks, _)| w + soaks * ground.soak())
    }
}

/// Twice the area of a triangle in space.
fn area([a, b, c]: [[f64; 3]; 3]) -> f64 {
    let to = |p: [f64; 3]| [0, 1, 2].map(|k| p[k] - a[k]);
    let (u, v) = (to(b), to(c));
    let [x, y, z] =
        [(1, 2), (2, 0), (0, 1)].map(|(j, k): (usize, usize)| u[j] * v[k] - u[k] * v[j]);
    x.hypot(y).hypot(z)
}
