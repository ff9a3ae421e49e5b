//! What a front that was watched says of the cloth: its own permeability, and when this part will be full.
//!
//! Time goes as one over permeability, so the minutes that the plan has for a place, over those in which resin came to it,
//! are how much easier it runs than the plan has it. Resin thickens: both are turned into times of thin resin first.

mod places;

use super::FEED_POINT;
use super::bed::bed;
use super::drawn::{Laid, Set, TRIANGLES, lines_of};
use super::ends::Ends;
use super::pace::{Pace, Paced, stood_on};
use crate::law::front_map::LEVELS;
use crate::law::{LawError, flow};
use crate::plan::fields::{STRIP_LENGTH, STRIP_MINUTES};
use crate::plan::{Feed, Lies, Mark, Plan, Route, Seen};
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{Fact, Grade, OwnCloth, Spread, Watched};
use crate::shelf::Shelf;
use crate::solve::sort::sort_by;
use crate::stage::bench::{Bench, beyond};
use crate::stage::dry::flow_run;
use crate::stage::stack::Stacked;
use crate::units::Unit;
use places::{at_distance, at_point, distances};
use serde_json::Value;

/// Marks after this share of the gel time tell nothing: the resin is too thick to be counted on.
const LATE: f64 = 0.95;
/// Marks where the plan has resin before this share of the fill lie on the feed; it goes as the square of the way.
const EARLY: f64 = 1e-5;
/// A mark that came sooner than the tube lets through counts as this share of its time.
const LEAST_SEEN: f64 = 0.1;
/// How far apart two values may lie that are told as the same, as a share.
const SAME: f64 = 0.15;
/// What is said of marks that cannot all be right.
const CROSSWISE: &str = " Two of your marks do not fit together: resin cannot be farther on sooner. Take back the one that is wrong.";
/// A cloth that is so many times easier or harder than the shelf has it is not believed: the shelf's own range ends at five.
const STRANGE: f64 = 50.0;
/// A front that goes so many times slower than the marks before it say has stalled; by itself it only slows as a strip does.
const STALLED: f64 = 3.0;
/// Marks scatter: one counts as late only from so many times its minute on.
const OVERDUE: f64 = 1.5;
/// A mark is noted to the minute [s].
const NOTED: f64 = 60.0;
/// What is said of a front that stands.
const STANDS: &str = " Since then the front hardly moves: that is no usual slowing, so look under what to do if the front stops. What follows counts the marks before it only.";
/// Figures that are kept of a permeability.
const FIGURES: usize = 3;

/// What the fronts of a plan that were watched say; none where nothing was.
///
/// # Errors
/// Every problem of the plan.
pub fn watched(document: &Value, shelf: &Shelf) -> Result<Option<Watched>, Vec<Problem>> {
    let read = Plan::read(document, shelf);
    let Some(plan) = read.plan else {
        return Err(read.problems);
    };
    let marks = &plan.drawing.front;
    let strip = plan.given(&STRIP_LENGTH).is_some() && plan.given(&STRIP_MINUTES).is_some();
    if plan.route != Route::Infusion || (marks.is_empty() && !strip) {
        return Ok(None);
    }
    let mut bench = Bench::new(&plan, shelf);
    let (paced, stacked) = stood_on(&mut bench)?;
    Watch {
        bench: &mut bench,
        paced,
        stacked,
    }
    .told(marks)
    .map(Some)
    .map_err(|why| beyond("fill", &why))
}

/// A plan with what it stands on.
struct Watch<'a, 'b> {
    bench: &'a mut Bench<'b>,
    paced: Paced,
    stacked: Stacked,
}

/// How much easier resin runs than the plan has it.
struct Ease {
    likely: f64,
    /// How far the marks lie off it, as a share; nought for one mark.
    off: f64,
}

impl Watch<'_, '_> {
    fn told(mut self, marks: &[Mark]) -> Result<Watched, LawError> {
        if marks.is_empty() {
            // A strip has set the level of the plan already.
            return self.of_cloth(&self.paced.bare, "strip", None);
        }
        let [whole, on_top] = self.whole()?;
        let mut seen = self.pairs(marks, on_top)?;
        let stalls = stall(&mut seen);
        seen.truncate(stalls.unwrap_or(seen.len()));
        let Some(ease) = ease(&seen) else {
            return Ok(only(
                "None of the marks tells anything: each needs a place that resin comes to after the start, before the resin is close to its gel.",
            ));
        };
        let apart = self.apart(&ease, seen.len());
        let full = match stalls {
            Some(_) => None,
            None => self.full(marks, whole, &ease, &apart),
        };
        let odd = match stalls {
            _ if crosswise(&seen) => CROSSWISE,
            Some(_) => STANDS,
            None => "",
        };
        if self.is_meshed() {
            let mut told = only(format!(
                "{}{odd} There is a flow mesh, so they tell of mesh and cloth together: watch a strip without a mesh to keep the cloth's own value.",
                against(
                    &apart.times(ease.likely),
                    self.bench,
                    "marks",
                    "this plan has it"
                )
            ));
            told.full = full;
            return Ok(told);
        }
        let pace = &self.paced.pace;
        let inputs = [
            &pace.viscosity,
            &pace.porosity,
            &pace.drive,
            &pace.bag,
            &apart,
        ];
        let [mu, phi, net, bag, _] = inputs.map(Spread::likely);
        let own = pace.permeability.likely() * ease.likely;
        let own = Spread::from(inputs, |[m, p, n, b, apart]| {
            own * (m / mu) * (p / phi) * (net / n) * (b / bag) * apart
        });
        let mut told = self.of_cloth(&own, "marks", full)?;
        told.sentence.push_str(odd);
        Ok(told)
    }

    fn is_meshed(&self) -> bool {
        let plan = self.bench.plan;
        let zones = &plan.drawing.zones;
        plan.flow_mesh || zones.iter().any(|zone| zone.lies == Lies::Mesh)
    }

    /// Times of thin resin until the part is full, as the plan has it, but for the tube: to the bottom, and as it is seen
    /// on top [s].
    fn whole(&mut self) -> Result<[f64; 2], LawError> {
        let plan = self.bench.plan;
        let drawing = &plan.drawing;
        let (ends, feed) = if let Some(shape) = &drawing.shape {
            let lines = lines_of(drawing, shape, plan.feed);
            let mut laid = Laid::of(drawing, shape, self.set(), TRIANGLES);
            let ends = laid.ends(&self.paced.ground, &lines, &self.paced.gain)?;
            (ends, Feed::Edge)
        } else {
            let run = flow_run(self.bench, &self.stacked);
            (Ends::strip(run, self.paced.pace.meshed), plan.feed)
        };
        let pace = &self.paced.pace;
        let top = Ends::strip(ends.run(), false);
        let to =
            |ends: &Ends| -> Result<f64, LawError> { Ok(ends.thin(pace, feed, false)?.likely()) };
        Ok([to(&ends)?, to(&top)?])
    }

    fn set(&self) -> Set {
        Set::of(self.bench.plan)
    }

    /// Times of thin resin as the plan has them and as they were seen [s].
    fn pairs(&mut self, marks: &[Mark], whole: f64) -> Result<Vec<(f64, f64)>, LawError> {
        let plan = self.bench.plan;
        let planned: Vec<Option<f64>> = match &plan.drawing.shape {
            Some(shape) => {
                let drawing = &plan.drawing;
                let lines = lines_of(drawing, shape, plan.feed);
                let mut laid = Laid::of(drawing, shape, self.set(), TRIANGLES);
                let placed = laid.place(&lines);
                let mut map = laid.map(&self.paced.ground, 1.0)?;
                let at = placed.arrival(&mut map, LEVELS).at;
                let surface = laid.surface();
                let far = distances(surface, &placed.feeds);
                let pace = &self.paced.pace;
                let thin = |g: f64| pace.likely_thin_at((2.0 * g).sqrt());
                let one = |mark: &Mark| match mark.seen {
                    Seen::Everywhere => Some(whole),
                    Seen::At(point) => at_point(surface, &at, point).map(thin),
                    Seen::Far(mm) => at_distance(&far, &at, mm).map(thin),
                };
                marks.iter().map(one).collect()
            }
            None => {
                let run = flow_run(self.bench, &self.stacked).likely();
                let pace = &self.paced.pace;
                let one = |mark: &Mark| match mark.seen {
                    Seen::Everywhere => Some(whole),
                    Seen::At(_) => None,
                    Seen::Far(far) => undrawn(pace, plan.feed, run, far),
                };
                marks.iter().map(one).collect()
            }
        };
        let pace = &self.paced.pace;
        let gel = pace.gel.likely();
        let pair = |(mark, planned): (&Mark, Option<f64>)| {
            let share = mark.minute * 60.0 / gel;
            let fits = share > 0.0 && share < LATE;
            // On the feed, or within a hair of it, resin is there at once: that tells of no pace.
            let planned = planned.filter(|t| fits && t.is_finite() && *t > EARLY * whole)?;
            // What the resin that is in by then has spent in the tube tells of no cloth: along a strip as much is in as
            // the root of the time.
            let tube = pace.tube() * (planned / whole).min(1.0).sqrt();
            let seen = pace.likely_thin(mark.minute * 60.0);
            Some((planned, (seen - tube).max(LEAST_SEEN * seen)))
        };
        Ok(marks.iter().zip(planned).filter_map(pair).collect())
    }

    /// One fill for another, and the marks about their line.
    fn apart(&mut self, ease: &Ease, marks: usize) -> Spread {
        let one = self.bench.coefficient(
            "fill.strip_scatter",
            "How far one strip stands for the part",
            Range::new(0.85, 1.0, 1.18),
            Grade::Read,
            "parnas_1995",
        );
        // The error of a slope, from the scatter about it; four fifths of it lie within 1.28.
        let off = if marks > 1 {
            (1.28 * ease.off / ((marks - 1) as f64).sqrt()).min(0.8)
        } else {
            0.0
        };
        let marks = self.bench.learned(
            "fill.front",
            "How far the marks lie off one line",
            Unit::One,
            Range::new(1.0 - off, 1.0, 1.0 / (1.0 - off)),
        );
        Spread::from([&one, &marks], |[one, marks]| one * marks)
    }

    /// When the part is full by the pace of the marks, unless it is.
    fn full(&self, marks: &[Mark], whole: f64, ease: &Ease, apart: &Spread) -> Option<Fact> {
        let ended = marks.iter().any(|mark| mark.seen == Seen::Everywhere);
        if ended {
            return None;
        }
        let pace = &self.paced.pace;
        let thin = apart.map(|apart| whole / ease.likely / apart + pace.tube());
        let time = pace.clock(&thin).times(1.0 / 60.0);
        let cell = self.bench.desk.cell(Unit::Minute, &time);
        Some(Fact {
            label: "At the pace of your marks, full after".into(),
            text: cell.text,
            range: cell.range,
        })
    }

    /// What a permeability of the stack in its main direction says of its cloth.
    fn of_cloth(&self, own: &Spread, from: &str, full: Option<Fact>) -> Result<Watched, LawError> {
        let cloths = bed(&self.stacked)?.permeability.likely();
        let ratio = own.times(1.0 / cloths);
        let mut sentence = against(&ratio, self.bench, from, "the shelf has it");
        if !(1.0 / STRANGE..STRANGE).contains(&ratio.likely()) {
            sentence.push_str(" No cloth of its kind is so far from the shelf: look at the minutes and the places again.");
            return Ok(Watched {
                full,
                ..only(sentence)
            });
        }
        let mut kinds: Vec<(&str, &str, f64)> = Vec::new();
        for (row, cloth) in self.stacked.cloths() {
            if !kinds.iter().any(|(key, ..)| *key == row.key()) {
                kinds.push((row.key(), &row.name, cloth.along.likely()));
            }
        }
        let mut cloths = Vec::new();
        match kinds[..] {
            [(key, name, along)] if self.bench.shelf.fabric(key).is_some() => {
                let own = ratio.times(along);
                let value = self.bench.desk.range(&own).map(figures);
                let kept = self.bench.shelf.learned.permeability_m2.get(key);
                let cell = self.bench.desk.cell(Unit::Permeability, &own);
                cloths.push(OwnCloth {
                    key: key.to_owned(),
                    name: name.to_owned(),
                    text: cell.text,
                    range: cell.range,
                    value,
                    kept: kept == Some(&value),
                });
            }
            [_] => sentence.push_str(" The cloth is written out in this plan: put it on your shelf to keep what you have watched."),
            _ => sentence.push_str(" The stack has more than one cloth, so nothing is kept: watch a strip of one cloth alone."),
        }
        Ok(Watched {
            sentence,
            full,
            cloths,
        })
    }
}

fn only(sentence: impl Into<String>) -> Watched {
    Watched {
        sentence: sentence.into(),
        full: None,
        cloths: Vec::new(),
    }
}

/// How much easier resin ran, as a sentence.
fn against(ratio: &Spread, bench: &Bench<'_>, from: &str, than: &str) -> String {
    let say = if from == "marks" {
        "Your marks say"
    } else {
        "Your strip says"
    };
    if (ratio.likely() - 1.0).abs() < SAME {
        return format!("{say} that resin runs about as easily through this cloth as {than}.");
    }
    let cell = bench.desk.cell(Unit::One, ratio);
    let between = if cell.range.is_empty() {
        String::new()
    } else {
        format!(" ({})", cell.range)
    };
    format!(
        "{say} that resin runs {}{between} times as easily through this cloth as {than}.",
        cell.text
    )
}

/// The slope of planned against seen times through nought, by least squares.
fn ease(pairs: &[(f64, f64)]) -> Option<Ease> {
    let sum = |f: fn(&(f64, f64)) -> f64| pairs.iter().map(f).sum::<f64>();
    let (xx, xy) = (sum(|(_, x)| x * x), sum(|(y, x)| x * y));
    let likely = xy / xx;
    if !(likely.is_finite() && likely > 0.0) {
        return None;
    }
    let off = pairs
        .iter()
        .map(|(y, x)| (y / (likely * x) - 1.0).powi(2))
        .sum::<f64>();
    Some(Ease {
        likely,
        off: (off / pairs.len() as f64).sqrt(),
    })
}

/// The first mark by which the front had stalled, by the marks before it; puts them in the order of the clock.
fn stall(pairs: &mut [(f64, f64)]) -> Option<usize> {
    sort_by(pairs, |one, other| one.1.total_cmp(&other.1));
    (2..pairs.len()).find(|&at| {
        let ((from, since), (to, now)) = (pairs[at - 1], pairs[at]);
        // Both minutes may be off by half a minute.
        let lasted = now - since - NOTED;
        let before = ease(&pairs[..at]).map_or(0.0, |ease| ease.likely);
        let slow = lasted > 0.0 && STALLED * (to - from) < before * lasted;
        slow && before * now > OVERDUE * to
    })
}

/// Whether some mark has resin clearly farther on, and clearly sooner, than another.
fn crosswise(pairs: &[(f64, f64)]) -> bool {
    let beyond = |a: f64, b: f64| a > b * (1.0 + SAME);
    let pair = |(far, soon): &(f64, f64)| {
        let mut others = pairs.iter();
        others.any(|(near, late)| beyond(*far, *near) && beyond(*late, *soon))
    };
    pairs.iter().any(pair)
}

/// Time of thin resin to come so far in a part that is not drawn [s]; none where it does not reach so far.
fn undrawn(pace: &Pace, feed: Feed, run: f64, far: f64) -> Option<f64> {
    if far > run * 1.001 {
        return None;
    }
    let [mu, phi, k, net] = [
        &pace.viscosity,
        &pace.porosity,
        &pace.permeability,
        &pace.drive,
    ]
    .map(Spread::likely);
    let thin = match feed {
        Feed::Edge | Feed::CentreLine => return Some(pace.likely_thin_at(far)),
        Feed::Centre => {
            let inner = FEED_POINT.min(far / 2.0);
            flow::radial_out_fill_time(mu, phi, inner, far, k, net)
        }
        Feed::AllRound => flow::radial_in_fill_time(mu, phi, (run - far).max(0.0), run, k, net),
    };
    thin.ok().map(|t| t * pace.bag.likely())
}

/// A number to the figures that are kept: the one that would be typed.
fn figures(x: f64) -> f64 {
    format!("{x:.*e}", FIGURES - 1).parse().unwrap_or(x)
}

#[cfg(test)]
mod tests {
    use super::stall;

    /// A front that goes as a strip does: planned and seen thin time are in proportion.
    fn strip(minutes: &[f64]) -> Vec<(f64, f64)> {
        let pair = |minute: &f64| (1.4 * 60.0 * minute, 60.0 * minute);
        minutes.iter().map(pair).collect()
    }

    #[test]
    fn slowing_as_a_strip_does_is_no_stall() {
        // Half the way takes a quarter of the time: equal ways at 1, 4, 9, 16 and 25 minutes.
        assert_eq!(stall(&mut strip(&[1.0, 4.0, 9.0, 16.0, 25.0])), None);
        assert_eq!(
            stall(&mut strip(&[5.0, 6.0, 7.0])),
            None,
            "noted to the minute"
        );
    }

    #[test]
    fn a_front_that_stands_has_stalled_whatever_the_order_of_the_marks() {
        let mut marks = strip(&[9.0, 1.0, 4.0]);
        let (there, _) = marks[0];
        // Ten minutes later it is where it was.
        marks.insert(0, (there, 60.0 * 19.0));
        assert_eq!(stall(&mut marks), Some(3));
        // A third of its pace, less the minute that the note may be off, is still a slowing.
        let mut slow = strip(&[1.0, 4.0, 9.0]);
        slow.push((there + 1.4 * 60.0 * 10.0 / 2.5, 60.0 * 19.0));
        assert_eq!(stall(&mut slow), None);
        // Two places that resin should reach together, seen a little apart.
        let mut apart = strip(&[1.0, 4.0, 9.0]);
        apart.push((there * 1.01, 60.0 * 12.0));
        assert_eq!(stall(&mut apart), None);
    }
}
