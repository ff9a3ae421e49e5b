//! The three courses put through readings by least squares, and what each fit is worth.

use super::log::{Log, ordered};
use super::pace::{Line, Pace, STRETCHED, Shape, times};
use super::{Conditions, Course, Reading};
use crate::law::{LawError, positive, within};
use crate::solve::{bounded_squares, lowest};

/// A course with the numbers that fit the readings best.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// Which.
    pub course: Course,
    /// Time of the first reading, on the clock of the readings [s].
    pub origin: f64,
    /// p0, pressure at that time [Pa].
    pub start: f64,
    /// L, steady rise [Pa/s].
    pub rate: f64,
    /// B, rise that ends [Pa].
    pub rise: f64,
    /// tau, time in which that rise is 63 percent done; 0 where there is none [s].
    pub time: f64,
    /// b, 1 for one store of vapour, less for many of unlike pace [-].
    pub stretch: f64,
    /// Scatter of the readings about the fit, never less than rounding makes [Pa].
    pub scatter: f64,
    /// Sum of squared distances [Pa^2].
    pub squares: f64,
    /// Akaike's criterion for few readings, see [`aicc`]; infinite where the readings are too few for it [-].
    pub aicc: f64,
    /// Numbers that were fitted, the variance counted.
    pub parameters: usize,
}

impl Fit {
    /// Pressure on the course.
    ///
    /// p = p0 + L t + B (1 - exp(-(t / tau)^b)), t counted from the first reading
    ///
    /// # Returns
    /// Pressure [Pa].
    /// # Valid for
    /// Times from the first reading on, on the clock of the readings [s].
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::law::drop_test::{Conditions, Course, Reading, fit};
    /// let readings: Vec<Reading> =
    ///     (0..9).map(|k| Reading { time: 60.0 * f64::from(k), pressure: 800.0 + 25.0 * f64::from(k) }).collect();
    /// let conditions = Conditions { step: 10.0, saturation: 2339.0, saturation_play: 0.06, outside: 101_325.0 };
    /// let line = fit(Course::Leak, &readings, &conditions)?;
    /// assert!((line.pressure(600.0) - 1050.0).abs() < 1e-6);
    /// # Ok::<(), bastwork::law::LawError>(())
    /// ```
    /// # Source
    /// Definition.
    #[must_use]
    pub fn pressure(&self, time: f64) -> f64 {
        let t = (time - self.origin).max(0.0);
        let done = if self.time > 0.0 {
            -(-(t / self.time).powf(self.stretch)).exp_m1()
        } else {
            0.0
        };
        self.start + self.rate * t + self.rise * done
    }
}

/// Akaike's information criterion with the correction for few readings.
///
/// AICc = n ln(SSE / n) + 2 k + 2 k (k + 1) / (n - k - 1)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `count` | n, readings | [-] |
/// | `squares` | SSE, sum of squared distances; only differences between fits to the same readings mean something | [unit^2] |
/// | `parameters` | k, all that was fitted, the variance counted | [-] |
///
/// # Returns
/// The criterion; lower is better, by 2 a little, by 10 clearly [-].
/// # Valid for
/// n > k + 1; with n - k - 1 of one or two the correction outweighs the readings.
/// # Errors
/// [`LawError::OutOfRange`] naming `count` or `squares`.
/// # Example
/// ```
/// use bastwork::law::drop_test::aicc;
/// // Six readings: a line of 3 numbers with 37 times the squares of a curve of 4 is still preferred.
/// let (line, curve) = (aicc(6, 0.27741, 3)?, aicc(6, 0.007456, 4)?);
/// assert!((line - curve + 8.30).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Hurvich and Tsai 1989, Biometrika 76:297; Burnham and Anderson 2002, Model Selection and Multimodel
/// Inference, section 2.4 (from memory).
pub fn aicc(count: usize, squares: f64, parameters: usize) -> Result<f64, LawError> {
    let k = parameters as f64;
    let n = within("count", count as f64, k + 2.0, 1e9)?;
    let squares = positive("squares", squares)?;
    Ok(n * (squares / n).ln() + penalty(n, k))
}

fn penalty(n: f64, k: f64) -> f64 {
    2.0 * k + 2.0 * k * (k + 1.0) / (n - k - 1.0)
}

/// Puts one course through readings.
///
/// least sum of (p_i - p0 - L t_i - B (1 - exp(-(t_i / tau)^b)))^2 with L >= 0, 0 <= B <= p_sat (1 + play), b <= 1
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `course` | which of L and B there are | [-] |
/// | `readings` | t_i and p_i, in any order | [s], [Pa] |
/// | `conditions` | step, saturation and its play | [Pa], [Pa], [-] |
///
/// Every reading counts alike here, mistyped ones too; `judge` sets those aside first. What stands in the bag at the
/// start may be air or vapour, so saturation bounds the rise and not the pressure (Dalton). b is left at 1 unless the
/// criterion pays for it.
///
/// # Returns
/// The fit [SI].
/// # Valid for
/// Three readings or more over some time; tau from a fraction of the gap between readings to 30 times the record.
/// # Errors
/// [`LawError::OutOfRange`] naming what is out of range: `step`, `saturation`, `saturation_play`, `readings`,
/// `time`, `pressure`.
/// # Example
/// ```
/// use bastwork::law::drop_test::{Conditions, Course, Reading, fit};
/// // A published drop test that passed, inches of mercury below the air outside at 0 to 5 minutes.
/// let inches = [29.20, 29.17, 29.15, 29.13, 29.12, 29.11];
/// let readings: Vec<Reading> = (0..6)
///     .map(|k| Reading { time: 60.0 * k as f64, pressure: 101_325.0 - 3386.4 * inches[k] })
///     .collect();
/// let conditions = Conditions { step: 33.864, saturation: 4000.0, saturation_play: 0.06, outside: 101_325.0 };
/// let vapour = fit(Course::Vapour, &readings, &conditions)?;
/// assert!((vapour.rise - 400.2).abs() < 0.5 && (vapour.time / 60.0 - 3.49).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Shapes: rise test of vacuum technology, a leak is straight and vapour bends to its saturation (lesson notes on
/// vacuum technology; makers' technical pages on the pressure-rise test). Readings of the example: an infusion
/// supplier's training page. Separable least squares: Golub and Pereyra 1973, SIAM J. Numer. Anal. 10:413 (from
/// memory).
pub fn fit(course: Course, readings: &[Reading], conditions: &Conditions) -> Result<Fit, LawError> {
    let list = ordered(readings, conditions)?;
    within("readings", list.len() as f64, 3.0, 10_000.0)?;
    let Some(log) = Log::of(&list, conditions) else {
        let first = list.first().map_or(0.0, |(_, reading)| reading.time);
        let field = "time, which should differ between readings,";
        return Err(crate::law::error::out_of_range(
            field,
            first,
            f64::NEG_INFINITY,
            f64::INFINITY,
        ));
    };
    Ok(through(course, &log, &Line::of(&log)))
}

/// Unknowns at one pace: pressure at rest, steady rise, rise that ends, and the sum of squares, all on the log's scale.
#[derive(Debug, Clone, Copy)]
pub(super) struct Solved {
    pub(super) rest: f64,
    pub(super) rate: f64,
    pub(super) rise: f64,
    pub(super) squares: f64,
}

/// A line alone.
pub(super) fn straight(line: &Line, least: f64) -> Solved {
    let gram = [[line.n, line.u], [line.u, line.uu]];
    let low = [f64::NEG_INFINITY, least];
    let found = bounded_squares(&gram, &[line.y, line.uy], &low, &[f64::INFINITY; 2]);
    let (x, value) = found.unwrap_or(([line.y / line.n, 0.0], -line.y * line.y / line.n));
    Solved {
        rest: x[0],
        rate: x[1],
        rise: 0.0,
        squares: (line.yy + value).max(0.0),
    }
}

/// A course at one pace.
pub(super) fn at_pace(course: Course, log: &Log, line: &Line, pace: &Pace) -> Solved {
    let most_rise = log.most_rise;
    if course == Course::Vapour {
        return with_rate(line, pace, 0.0, most_rise);
    }
    if let Some(slow) = pace.slow {
        let gram = [
            [line.n, line.u, -pace.e, -slow.f],
            [line.u, line.uu, -pace.ue, -slow.uf],
            [-pace.e, -pace.ue, pace.ee, slow.ef],
            [-slow.f, -slow.uf, slow.ef, slow.ff],
        ];
        let right = [line.y, line.uy, -pace.ey, -slow.fy];
        let low = [f64::NEG_INFINITY, 0.0, 0.0, 0.0];
        let high = [f64::INFINITY, f64::INFINITY, most_rise, most_rise];
        return match bounded_squares(&gram, &right, &low, &high) {
            Some((x, value)) => Solved {
                rest: x[0],
                rate: x[1],
                rise: x[2] + x[3],
                squares: (line.yy + value).max(0.0),
            },
            None => straight(line, 0.0),
        };
    }
    let gram = [
        [line.n, line.u, -pace.e],
        [line.u, line.uu, -pace.ue],
        [-pace.e, -pace.ue, pace.ee],
    ];
    let right = [line.y, line.uy, -pace.ey];
    let low = [f64::NEG_INFINITY, 0.0, 0.0];
    match bounded_squares(
        &gram,
        &right,
        &low,
        &[f64::INFINITY, f64::INFINITY, most_rise],
    ) {
        Some((x, value)) => Solved {
            rest: x[0],
            rate: x[1],
            rise: x[2],
            squares: (line.yy + value).max(0.0),
        },
        None => straight(line, 0.0),
    }
}

/// What is left to fit when the steady rise is given.
pub(super) fn with_rate(line: &Line, pace: &Pace, rate: f64, most_rise: f64) -> Solved {
    let all = line.yy - rate * (2.0 * line.uy - rate * line.uu);
    if let Some(slow) = pace.slow {
        let gram = [
            [line.n, -pace.e, -slow.f],
            [-pace.e, pace.ee, slow.ef],
            [-slow.f, slow.ef, slow.ff],
        ];
        let right = [
            line.y - rate * line.u,
            rate * pace.ue - pace.ey,
            rate * slow.uf - slow.fy,
        ];
        let low = [f64::NEG_INFINITY, 0.0, 0.0];
        let high = [f64::INFINITY, most_rise, most_rise];
        if let Some((x, value)) = bounded_squares(&gram, &right, &low, &high) {
            return Solved {
                rest: x[0],
                rate,
                rise: x[1] + x[2],
                squares: (all + value).max(0.0),
            };
        }
    }
    let gram = [[line.n, -pace.e], [-pace.e, pace.ee]];
    let right = [line.y - rate * line.u, rate * pace.ue - pace.ey];
    let low = [f64::NEG_INFINITY, 0.0];
    let found = bounded_squares(&gram, &right, &low, &[f64::INFINITY, most_rise]);
    let ([rest, rise], value) =
        found.unwrap_or(([right[0] / line.n, 0.0], -right[0] * right[0] / line.n));
    Solved {
        rest,
        rate,
        rise,
        squares: (all + value).max(0.0),
    }
}

/// The best fit of a course to a log, by the criterion: a stretched rise must pay for its own number.
pub(super) fn through(course: Course, log: &Log, line: &Line) -> Fit {
    if course == Course::Leak {
        return told(course, log, straight(line, 0.0), 0.0, 1.0);
    }
    let mut best = shaped(course, log, line, 1.0);
    for power in STRETCHED {
        let other = shaped(course, log, line, power);
        if other.aicc < best.aicc {
            best = other;
        }
    }
    best
}

/// The best fit with a rise so much stretched.
fn shaped(course: Course, log: &Log, line: &Line, power: f64) -> Fit {
    let shape = if power < 1.0 {
        Shape::Stretched(power)
    } else {
        Shape::Exponential
    };
    let at = |log_time: f64| {
        let pace = Pace::of(log, shape, log_time.exp());
        at_pace(course, log, line, &pace)
    };
    let grid: Vec<f64> = times(log.len()).map(f64::ln).collect();
    let best = grid
        .iter()
        .map(|&time| at(time).squares)
        .enumerate()
        .min_by(|(_, a), (_, b)| a.total_cmp(b))
        .map_or(0, |(place, _)| place);
    let (left, right) = (
        grid[best.saturating_sub(1)],
        grid[(best + 1).min(grid.len() - 1)],
    );
    let found = lowest(|time| at(time).squares, left, right, 24);
    let (coarse, fine) = (at(grid[best]), at(found));
    if fine.squares <= coarse.squares {
        told(course, log, fine, found.exp(), power)
    } else {
        told(course, log, coarse, grid[best].exp(), power)
    }
}

/// A solution in pascals and seconds.
fn told(course: Course, log: &Log, solved: Solved, time: f64, stretch: f64) -> Fit {
    let n = log.len() as f64;
    let parameters = course.parameters() + usize::from(stretch < 1.0);
    let k = parameters as f64;
    let floored = solved.squares.max(n * log.floor().powi(2));
    let degrees = (n - k + 1.0).max(1.0);
    let two = log.unit * log.unit;
    let worth = if n - k - 1.0 >= 1.0 {
        n * (floored * two / n).ln() + penalty(n, k)
    } else {
        f64::INFINITY
    };
    Fit {
        course,
        origin: log.origin,
        start: log.mean + log.unit * (solved.rest - solved.rise),
        rate: log.unit * solved.rate / log.span,
        rise: log.unit * solved.rise,
        time: if solved.rise > 0.0 {
            time * log.span
        } else {
            0.0
        },
        scatter: log.unit * (solved.squares / degrees).sqrt().max(log.floor()),
        squares: two * solved.squares,
        aicc: worth,
        stretch,
        parameters,
    }
}
