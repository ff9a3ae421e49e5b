//! The verdict on a drop test: leak, vapour, both, tight, or honestly open.

use super::courses::Fit;
use super::doubt::doubtful;
use super::log::{Log, ordered};
use super::weigh::{Evidence, above, percentiles, rounding};
use super::{Conditions, Course, Reading};
use crate::law::{LawError, positive, within};

/// Fewer readings than this give no verdict (our judgement, after the criterion's own correction).
const ENOUGH: usize = 8;
/// A shorter record gives no verdict: the first minute is the bag's own creep (our judgement) [s].
const SHORTEST: f64 = 300.0;
/// A shorter record is not called vapour (our judgement, after common practice of ten minutes) [s].
const SHORTEST_VAPOUR: f64 = 600.0;
/// From here on a verdict is given.
const SURE: f64 = 0.9;
/// Times tau that a record of vapour lasts before its end can be told: 95 percent of the rise is then done.
const BENDS: f64 = 3.0;
/// Times tau after which it is commonly seen that nothing else goes on (our judgement, from simulated logs).
const SEEN: f64 = 5.0;
/// A rise of vapour above this share of all that it may be is held down by that bound and not at rest.
const HELD: f64 = 0.98;
/// From this share of the pressure outside on a leak may have faded by so much that it is told: 1 percent.
const FADES: f64 = 0.1;
/// A bag fuller than this share is counted as this full.
const FULL: f64 = 0.97;
/// Nobody is told to wait longer (our judgement) [s].
const LONGEST: f64 = 4.0 * 3600.0;

/// What a drop test says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Fewer than 8 readings, or less than 5 minutes: nothing is claimed, something may be leaned to.
    TooFew,
    /// No rise that this gauge can tell in this time.
    Tight,
    /// Air comes in, and it alone explains the rise.
    Leak,
    /// The rise ends as that of vapour does, and leaves no room for a leak that this gauge can tell.
    Vapour,
    /// Air comes in, beside a rise that ends.
    Both,
    /// Enough readings, yet they do not settle it.
    Open,
}

/// A drop test, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// The verdict.
    pub verdict: Verdict,
    /// The likeliest course, where there is one to name.
    pub leaning: Option<Course>,
    /// Between 0 and 1: behind `Leak` and `Both` that air comes in, behind `Vapour` that none does that this gauge
    /// can tell, behind `Tight` that there is no rise; else the share behind the leaning [-].
    pub sure: f64,
    /// Akaike weights of leak, vapour, both [-].
    pub shares: [f64; 3],
    /// The three fits, in the order of the shares; empty for fewer than three readings.
    pub fits: Vec<Fit>,
    /// The fit with the largest share.
    pub best: Option<usize>,
    /// Low, likely and high (10, 50, 90 percent) of the leak over all courses [Pa/s].
    pub rate: [f64; 3],
    /// The same of the rise that ends, over the courses that have one [Pa].
    pub rise: [f64; 3],
    /// The same of the pressure at which that rise comes to rest, the leak not counted [Pa].
    pub plateau: [f64; 3],
    /// Risen by more than saturation and still rising: air for certain.
    pub above_saturation: bool,
    /// Readings that stand far off and were set aside: mistyped? Places in the list that was given.
    pub doubtful: Vec<usize>,
    /// The pressure falls: the temperature, or a reading, but no leak.
    pub falling: bool,
    /// By when further readings should settle it; none where it is settled or cannot be foreseen [s from the first].
    pub settle_after: Option<f64>,
    /// Smallest rise over the record that this gauge can tell, given how its readings scatter [Pa].
    pub tellable: f64,
    /// Length of the record [s].
    pub span: f64,
    /// Readings that were judged by: all but the doubtful ones.
    pub readings_kept: usize,
}

/// Judges the readings of a drop test.
///
/// Shares of the three courses by AICc; percentiles of L by its likelihood with all else fitted anew.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `readings` | time and pressure, in any order | [s], [Pa] |
/// | `conditions` | step of the gauge, saturation and its play, pressure outside | [Pa], [Pa], [-], [Pa] |
///
/// A verdict is given from 0.9 on. What stands in the bag at the start may be air or vapour in any share: a pressure
/// above saturation proves nothing, a rise by more than saturation is air. `Vapour` needs more than the best fit: over
/// vapour of four shapes (exponential, stretched, diffusion out of a slab, two paces) and any pace, a leak that the gauge could tell must be unlikely, the record
/// must last three times tau and ten minutes. `Leak` and `Both` likewise must hold for all four shapes. Readings
/// that go together, as on a gauge read to a coarse step, count as fewer.
///
/// # Returns
/// The verdict with all that it rests on.
/// # Valid for
/// A bag pumped until its pressure stood still, then shut off, at one temperature. Above a tenth of the pressure outside
/// the range of the leak allows for how it fades, through a hole or a gap. A change of temperature is only noticed where the pressure falls.
/// # Errors
/// [`LawError::OutOfRange`] naming `step`, `saturation`, `saturation_play`, `outside`, `readings`, `time` or
/// `pressure`.
/// # Example
/// ```
/// use bastwork::law::drop_test::{Conditions, Reading, Verdict, judge};
/// // 1 mbar a minute for half an hour, read to half a millibar at 20 °C: it rises by more than saturation.
/// let readings: Vec<Reading> = (0..16)
///     .map(|k| Reading { time: 120.0 * f64::from(k), pressure: 800.0 + 200.0 * f64::from(k) })
///     .collect();
/// let conditions = Conditions { step: 50.0, saturation: 2339.0, saturation_play: 0.06,
///     outside: 101_325.0 };
/// let judged = judge(&readings, &conditions)?;
/// assert_eq!(judged.verdict, Verdict::Leak);
/// assert!(judged.above_saturation && judged.sure > 0.9);
/// assert!((judged.rate[1] * 0.6 - 1.0).abs() < 0.05, "mbar a minute");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Shapes: rise test of vacuum technology (lesson notes; makers' technical pages). Choice: Burnham and Anderson
/// 2002, Model Selection and Multimodel Inference, section 2.9, Akaike weights (from memory). Weights against
/// mistyped readings: Lange, Little and Taylor 1989, J. Am. Stat. Assoc. 84:881 (from memory). Limits: our judgement,
/// tried on simulated logs.
pub fn judge(readings: &[Reading], conditions: &Conditions) -> Result<Judged, LawError> {
    let outside = positive("outside", within("outside", conditions.outside, 1.0, 1e7)?)?;
    let list = ordered(readings, conditions)?;
    let mut judged = judge_in_order(list.clone(), conditions);
    let highest = list.iter().map(|(_, r)| r.pressure).fold(0.0, f64::max);
    if highest > FADES * outside && !judged.fits.is_empty() {
        // A leak fades as the bag fills, through a gap at once and through a hole late: both may be.
        let mut as_gap = list;
        for (_, reading) in &mut as_gap {
            reading.pressure = unfaded(reading.pressure, outside);
        }
        let rate = judge_in_order(as_gap, conditions).rate;
        judged.rate[0] = judged.rate[0].min(rate[0]);
        judged.rate[2] = judged.rate[2].max(rate[2]);
    }
    Ok(judged)
}

/// What the pressure would be if the leak went on as at the start, where it comes through a fine gap.
///
/// dp/dt = L (1 - (p / p_out)^2), so that p_out artanh(p / p_out) rises by L a second.
fn unfaded(pressure: f64, outside: f64) -> f64 {
    let filled = (pressure / outside).clamp(0.0, FULL);
    outside * filled.atanh() + (pressure - filled * outside)
}

/// Judges readings that are in order.
fn judge_in_order(list: Vec<(usize, Reading)>, conditions: &Conditions) -> Judged {
    let Some(whole) = Log::of(&list, conditions) else {
        return nothing(conditions);
    };
    let far = doubtful(&whole);
    let set_aside: Vec<usize> = far.iter().map(|&place| whole.index[place]).collect();
    let kept: Vec<(usize, Reading)> = list
        .into_iter()
        .filter(|(index, _)| !set_aside.contains(index))
        .collect();
    let Some(log) = Log::of(&kept, conditions) else {
        return nothing(conditions);
    };
    let seen = Evidence::of(&log);
    let tellable = 2.0 * log.step.max(seen.scatter);
    let mut judged = Judged {
        best: largest(seen.shares),
        shares: seen.shares,
        doubtful: set_aside,
        above_saturation: rises_above(&log, seen.scatter),
        falling: falls(&log, tellable),
        tellable: log.unit * tellable,
        span: log.span,
        readings_kept: log.len(),
        ..nothing(conditions)
    };
    judged.doubtful.sort_unstable();
    ranges(&mut judged, &log, &seen);
    settle(&mut judged, &log, &seen, tellable);
    judged.fits = seen.fits;
    if matches!(judged.verdict, Verdict::Open | Verdict::TooFew) {
        judged.settle_after = settles(&judged, log.len());
    }
    judged
}

/// What can be said without readings.
fn nothing(conditions: &Conditions) -> Judged {
    Judged {
        verdict: Verdict::TooFew,
        leaning: None,
        sure: 0.0,
        shares: [1.0 / 3.0; 3],
        fits: Vec::new(),
        best: None,
        rate: [0.0; 3],
        rise: [0.0; 3],
        plateau: [0.0; 3],
        above_saturation: false,
        doubtful: Vec::new(),
        falling: false,
        settle_after: None,
        tellable: 2.0 * conditions.step,
        span: 0.0,
        readings_kept: 0,
    }
}

fn largest(shares: [f64; 3]) -> Option<usize> {
    (0..3).max_by(|&a, &b| shares[a].total_cmp(&shares[b]))
}

/// Percentiles of leak, rise and plateau in SI.
fn ranges(judged: &mut Judged, log: &Log, seen: &Evidence) {
    let mut mixed = seen.leak(seen.shares);
    let [low, likely, high] = percentiles(&mut mixed);
    // The shares favour no leak where one cannot be seen; the ends are those of the readings themselves.
    let [least, _, most] = percentiles(&mut seen.any_shape.clone());
    let to_si = log.unit / log.span;
    let rounding = rounding(log);
    judged.rate = [
        (low.min(least) - rounding).max(0.0) * to_si,
        likely * to_si,
        (high.max(most) + rounding) * to_si,
    ];
    judged.rise = percentiles(&mut seen.rise.clone()).map(|rise| rise * log.unit);
    judged.plateau = percentiles(&mut seen.rest.clone()).map(|rest| log.mean + rest * log.unit);
}

/// The verdict, the leaning and how sure.
fn settle(judged: &mut Judged, log: &Log, seen: &Evidence, tellable: f64) {
    let shares = seen.shares;
    let leaks = [seen.leak(shares), seen.leak(seen.plain)];
    let any = above(&seen.any_shape, tellable);
    let air = leaks
        .iter()
        .map(|l| above(l, tellable))
        .fold(any.min(seen.not_none), f64::min);
    let none = leaks
        .iter()
        .map(|l| 1.0 - above(l, tellable))
        .fold(1.0 - any, f64::min);
    let course = judged.best.map(|best| Course::ALL[best]);
    let leaky = if shares[0] >= shares[2] {
        (Verdict::Leak, Course::Leak)
    } else {
        (Verdict::Both, Course::Both)
    };
    let vapour = &seen.fits[1];
    let long = log.span >= SHORTEST_VAPOUR.max(BENDS * vapour.time);
    // A rise held down by saturation alone has not come to rest.
    let at_rest = vapour.rise < HELD * log.most_rise * log.unit;
    let share = judged
        .best
        .map_or(0.0, |best| shares[best].min(seen.plain[best]));
    let enough = log.len() >= ENOUGH && log.span >= SHORTEST;
    (judged.verdict, judged.leaning, judged.sure) = if judged.above_saturation {
        (leaky.0, Some(leaky.1), 0.99)
    } else if !enough {
        let by_squares = largest(seen.plain);
        let sure = by_squares.map_or(0.0, |best| seen.plain[best].min(0.9));
        (
            Verdict::TooFew,
            by_squares.map(|best| Course::ALL[best]),
            sure,
        )
    } else if judged.falling {
        (Verdict::Open, None, 0.0)
    } else if rises(seen, log) <= tellable && none >= 0.5 {
        (Verdict::Tight, None, none)
    } else if air >= SURE {
        (leaky.0, Some(leaky.1), air)
    } else if none >= SURE && long && at_rest {
        (Verdict::Vapour, Some(Course::Vapour), none)
    } else {
        (Verdict::Open, course, share.min(SURE))
    };
}

/// The largest rise over the record that any course worth a mention makes.
fn rises(seen: &Evidence, log: &Log) -> f64 {
    let (from, to) = (log.origin, log.origin + log.span);
    seen.fits
        .iter()
        .zip(seen.plain)
        .filter(|(_, share)| *share > 0.05)
        .map(|(fit, _)| (fit.pressure(to) - fit.pressure(from)) / log.unit)
        .fold(0.0, f64::max)
}

/// Whether at least three readings stand further above the lowest than vapour can rise, and still go up.
///
/// Not a pressure but a rise: air that stood in the bag at the start stands beside the vapour (Dalton).
fn rises_above(log: &Log, scatter: f64) -> bool {
    let lowest = log.y.iter().copied().fold(f64::INFINITY, f64::min);
    let clear = lowest + log.most_rise + 0.5 * log.step + 2.0 * scatter;
    let high: Vec<f64> = log.y.iter().copied().filter(|y| *y > clear).collect();
    let went_up = match high[..] {
        [first, .., last] => last - first,
        _ => 0.0,
    };
    high.len() >= 3 && went_up > 2.0 * log.step.max(scatter)
}

/// Whether the line through the readings, or their last quarter against an earlier one, goes down.
fn falls(log: &Log, tellable: f64) -> bool {
    let line = super::pace::Line::of(log);
    let slope = super::courses::straight(&line, f64::NEG_INFINITY).rate;
    let quarter = log.len() / 4;
    let mean = |part: &[f64]| part.iter().sum::<f64>() / part.len() as f64;
    let sunk = quarter >= 2 && {
        let last = mean(&log.y[log.len() - quarter..]);
        log.y
            .chunks_exact(quarter)
            .any(|part| mean(part) > last + tellable)
    };
    slope < -tellable || sunk
}

/// When the courses that are still in play part by more than the gauge can tell.
fn settles(judged: &Judged, count: usize) -> Option<f64> {
    if judged.falling {
        return None;
    }
    let [leak, vapour, both] = judged.fits.get(..3)? else {
        return None;
    };
    let (origin, span) = (vapour.origin, judged.span);
    let gap = |t: f64| {
        let there = vapour.pressure(origin + t);
        let mut least = f64::INFINITY;
        for (fit, share) in [(leak, judged.shares[0]), (both, judged.shares[2])] {
            if share > 0.05 && fit.rate > 0.0 {
                least = least.min((fit.pressure(origin + t) - there).abs());
            }
        }
        least
    };
    let mut needed = SHORTEST_VAPOUR.max(span);
    if count < ENOUGH {
        let each = span / (count.max(2) - 1) as f64;
        needed = needed.max(each * (ENOUGH as f64 - 1.0));
    }
    if vapour.rise > 0.0 && judged.shares[1] > 0.05 {
        needed = needed.max((SEEN * vapour.time).min(10.0 * span));
    }
    if judged.verdict == Verdict::Open {
        // No less than a quarter more than there is.
        needed = needed.max(1.25 * span);
    }
    let mut t = needed;
    while gap(t) < 1.5 * judged.tellable && t < LONGEST {
        t *= 1.1;
    }
    (t < LONGEST).then_some(t)
}
