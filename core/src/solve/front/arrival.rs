//! When the front comes to each point, from a few times at which it is known what is wet.

use super::levels::{Course, Way};
use super::off::Off;
use super::weight::since;
use super::wet::Need;
use super::{Field, Filled, Gates, Held};

/// A feed that opens when the front comes to it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Turn {
    /// Its points.
    pub points: Vec<u32>,
}

/// When the front comes, everywhere.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrival {
    /// Time until the last point is reached.
    pub time: f64,
    /// The point that is reached last.
    pub last: Option<usize>,
    /// When the front comes to each point; not a number where it never does.
    pub at: Vec<f64>,
    /// When each feed in turn opened; not a number for one that the front never came to.
    pub opened: Vec<f64>,
    /// At how many times it was worked out what is wet; with weight or feeds in turn, in the last round.
    pub levels: usize,
    /// About how far times are off.
    pub off: Off,
}

/// When the front comes to each place, the time for everything, the last place, and the number of levels.
type Found = (Vec<f64>, f64, Option<usize>, usize);

/// How often a map with weight is made, each from the one before.
const ROUNDS: usize = 3;

impl Field {
    /// When the front comes to each point, from so many times.
    ///
    /// # Returns
    /// Times [store over conductance times area].
    /// # Valid for
    /// Constant potential; so many levels to begin with, and up to four times as many where fronts turn or meet. With
    /// eight levels and about forty cells across, times are good to 1 percent of the whole against the same surface cut
    /// finer, and to 3 at the worst place; on needles to 2 and 15. [`Arrival::off`] tells it for the mesh at hand.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::front::{Field, Gates};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.02, 0.0, 0.0], [f64::from(i) * 0.02, 0.02, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let gates = Gates { feeds: &[0, 1], vents: &[] };
    /// let mut field = Field::even(&strip, 1.0, 1.0);
    /// // Half the way takes a quarter of the time.
    /// assert!((field.arrival(&gates, 10).at[50] - 0.125).abs() < 5e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Elliott and Janovsky 1981, Proc. R. Soc. Edinburgh A 88:93 (from memory).
    pub fn arrival(&mut self, gates: &Gates<'_>, levels: usize) -> Arrival {
        let held = self.held(gates);
        let hold = self.hold.clone();
        let found = self.course(&held, &hold, levels, None);
        self.told(&held, &found)
    }

    /// The same with feeds that open one after the other, each when the front has come to all of it.
    ///
    /// # Returns
    /// Times [store over conductance times area], and when each feed opened.
    /// # Valid for
    /// As [`Field::arrival`].
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::front::{Field, Gates};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.02, 0.0, 0.0], [f64::from(i) * 0.02, 0.02, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let gates = Gates { feeds: &[0, 1], vents: &[] };
    /// let mut field = Field::even(&strip, 1.0, 1.0);
    /// use bastwork::solve::front::Turn;
    /// // A second feed in the middle: two halves one after the other, 1/8 each.
    /// let middle = Turn { points: vec![50, 51] };
    /// assert!((field.arrival_in_turn(&gates, &[middle], 8).time - 0.25).abs() < 1e-2);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// As [`Field::arrival`], begun anew with what is not yet filled.
    pub fn arrival_in_turn(&mut self, gates: &Gates<'_>, turns: &[Turn], levels: usize) -> Arrival {
        if turns.is_empty() {
            return self.arrival(gates, levels);
        }
        self.without_weight(|field| field.level_in_turn(gates, turns, levels))
    }

    fn level_in_turn(&mut self, gates: &Gates<'_>, turns: &[Turn], levels: usize) -> Arrival {
        let mut feeds: Vec<u32> = gates.feeds.to_vec();
        let mut waiting: Vec<usize> = (0..turns.len()).collect();
        let mut opened = vec![f64::NAN; turns.len()];
        let mut hold = self.hold.clone();
        let mut begins = 0.0;
        let mut known: Option<Vec<f64>> = None;
        loop {
            let held = self.held(&Gates {
                feeds: &feeds,
                vents: gates.vents,
            });
            let (at, time, last, count) = self.course(&held, &hold, levels, known.as_deref());
            let whole: Vec<f64> = match &known {
                None => at.clone(),
                Some(known) => known
                    .iter()
                    .zip(&at)
                    .map(|(k, a)| if k.is_nan() { begins + a } else { *k })
                    .collect(),
            };
            // The feed that the front has wholly come to first.
            let comes = |turn: usize| {
                let places = turns[turn].points.iter().filter_map(|&p| self.place_of(p));
                places.map(|i| whole[i]).fold(f64::NEG_INFINITY, |a, b| {
                    if b.is_nan() { f64::NAN } else { a.max(b) }
                })
            };
            let first = waiting
                .iter()
                .map(|&turn| (turn, comes(turn)))
                .filter(|(_, t)| t.is_finite())
                .min_by(|a, b| a.1.total_cmp(&b.1));
            let next = first.filter(|(_, t)| *t < begins + time);
            let Some((turn, opens)) = next else {
                let mut told = self.told(&held, &(whole, begins + time, last, count));
                told.opened = opened;
                return told;
            };
            waiting.retain(|&other| other != turn);
            opened[turn] = opens;
            let since = (opens - begins).max(0.0);
            if since > 0.0 {
                let guess: Vec<bool> = (0..at.len())
                    .map(|i| held.open[i] && at[i] <= since)
                    .collect();
                let state = self.obstacle(&held, &hold, since, guess, (None, None), Need::Balance);
                hold = self.unfilled(&held, &hold, &state);
                known = Some(
                    (0..whole.len())
                        .map(|i| {
                            if state.wet[i] || held.feed[i] {
                                whole[i].min(opens)
                            } else {
                                f64::NAN
                            }
                        })
                        .collect(),
                );
            } else {
                known.get_or_insert_with(|| vec![f64::NAN; whole.len()]);
            }
            begins = opens;
            feeds.extend(&turns[turn].points);
        }
    }

    /// The time for everything with feeds that open in turn.
    ///
    /// # Returns
    /// As [`Field::fill`], in [store over conductance times area].
    /// # Valid for
    /// As [`Field::arrival_in_turn`].
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::front::{Field, Gates};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.02, 0.0, 0.0], [f64::from(i) * 0.02, 0.02, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let gates = Gates { feeds: &[0, 1], vents: &[] };
    /// let mut field = Field::even(&strip, 1.0, 1.0);
    /// assert!((field.fill_in_turn(&gates, &[]).time - 0.5).abs() < 1e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// As [`Field::arrival_in_turn`].
    pub fn fill_in_turn(&mut self, gates: &Gates<'_>, turns: &[Turn]) -> Filled {
        if turns.is_empty() {
            return self.fill(gates);
        }
        let found = self.arrival_in_turn(gates, turns, 4);
        Filled {
            time: found.time,
            last: found.last,
            pressure: vec![1.0; found.at.len()],
            bound: found.at,
        }
    }

    /// Times at the places; `known` marks what was wet before, when what is left to fill is not the whole store.
    fn course(&mut self, held: &Held, hold: &[f64], levels: usize, known: Option<&[f64]>) -> Found {
        let (mut w, p) = self.steady(held, known.map(|_| hold));
        if held.pull.is_none() {
            return self.course_of(held, hold, levels, known.is_none(), (&w, &p), None);
        }
        // With weight, what is found says when edges became wet, from which it is found anew.
        let mut since = since(held, &w, &p);
        for _ in 1..ROUNDS {
            let found = self.course_of(held, hold, levels, true, (&w, &p), Some(since));
            since = found.0;
            w = self.whole_weighed(held, &since, w);
        }
        self.course_of(held, hold, levels, true, (&w, &p), Some(since))
    }

    /// The same from w and p; with weight, from about when places become wet.
    fn course_of(
        &mut self,
        held: &Held,
        hold: &[f64],
        levels: usize,
        root: bool,
        (w, p): (&[f64], &[f64]),
        since: Option<Vec<f64>>,
    ) -> Found {
        let count = self.point.len();
        let plain = root && held.pull.is_none();
        let (mut at, time, last) = if plain {
            self.bounds(held, (w, p))
        } else {
            self.bounds_without_vents(held, (w, p))
        };
        if last.is_none() {
            return (at, time, last, 0);
        }
        let bound = at.clone();
        let course = Course {
            held,
            hold,
            whole: time,
            way: Way { root },
            since,
            steady: (w, p),
        };
        let levels = self.course_between(&course, levels, &mut at);
        self.smooth(held, &mut at);
        for i in 0..count {
            if held.open[i] && bound[i].is_finite() {
                at[i] = at[i].min(bound[i]);
            }
        }
        if plain {
            self.vents_reached(held, &levels, &bound, &mut at);
        } else {
            // A vent is wet when the front has come to what surrounds it.
            for i in (0..count).filter(|&i| held.vent[i]) {
                let (columns, _) = self.matrix.row(i);
                let around = columns
                    .iter()
                    .map(|&j| j as usize)
                    .filter(|&j| held.open[j]);
                let first = around.map(|j| at[j]).filter(|t| !t.is_nan());
                at[i] = first.reduce(f64::max).unwrap_or(f64::NAN);
            }
        }
        if let Some(last) = last {
            at[last] = time;
        }
        (at, time, last, levels.len())
    }

    fn told(&self, held: &Held, (at, time, last, levels): &Found) -> Arrival {
        let mut told = Arrival {
            time: *time,
            last: last.map(|i| self.point[i] as usize),
            at: vec![f64::NAN; self.place.len()],
            opened: Vec::new(),
            levels: *levels,
            off: self.off(held, at, *time),
        };
        for (i, &point) in self.point.iter().enumerate() {
            told.at[point as usize] = if held.feed[i] && at[i].is_nan() {
                0.0
            } else {
                at[i]
            };
        }
        for &end in &held.ends {
            told.at[self.point[end as usize] as usize] = 0.0;
        }
        told
    }
}
