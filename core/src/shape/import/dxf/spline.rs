//! Draws a spline of a DXF: a B-spline with weights where it has them, or a smooth curve through points.
//!
//! de Boor 1972, Journal of Approximation Theory 6, 50 (from memory): a point of the curve by repeated linear
//! interpolation between control points. Weights are carried as a third coordinate and divided out at the end.

mod through;

use super::super::pen::{FLAT_MM, Pen};
use super::groups::Record;
use crate::read::Problem;
use kurbo::Point;

/// Most halvings of a span: its pieces then are a thousandth of it.
const MOST_HALVINGS: u32 = 10;
/// Most spans of a spline.
const MOST_SPANS: usize = 20_000;

/// Highest degree.
const MOST_DEGREE: usize = 10;

/// A spline as a file gives it.
pub(super) struct Given {
    pub(super) degree: i64,
    pub(super) knots: Vec<f64>,
    pub(super) points: Vec<Point>,
    pub(super) weights: Vec<f64>,
    pub(super) closed: bool,
}

struct Spline {
    degree: usize,
    knots: Vec<f64>,
    /// Control points times their weight, and the weight.
    controls: Vec<[f64; 3]>,
}

/// Draws a spline; none where its degree is too high or its knots do not fit.
pub(super) fn draw(pen: &mut Pen, record: Record<'_>) -> Result<Option<()>, Problem> {
    let closed = record.whole(70).unwrap_or(0) & 1 == 1;
    if is_by_fit_points(record) {
        return through::draw(pen, record, closed);
    }
    let all = [10, 20, 40, 41].map(|code| record.numbers(code));
    let (Some(degree), [Some(xs), Some(ys), Some(knots), Some(weights)]) = (record.whole(71), all)
    else {
        return Ok(None);
    };
    if xs.len() != ys.len() {
        return Ok(None);
    }
    let points = xs
        .iter()
        .zip(&ys)
        .map(|(x, y)| Point::new(*x, *y))
        .collect();
    let given = Given {
        degree,
        knots,
        points,
        weights,
        closed,
    };
    draw_curve(pen, &given)
}

/// Draws a spline by its control points.
pub(super) fn draw_curve(pen: &mut Pen, given: &Given) -> Result<Option<()>, Problem> {
    let Some(spline) = Spline::of(given) else {
        return Ok(None);
    };
    let mut first = None;
    for span in spline.degree..spline.controls.len() {
        let (Some(&from), Some(&to)) = (spline.knots.get(span), spline.knots.get(span + 1)) else {
            return Ok(None);
        };
        if from >= to {
            continue;
        }
        let start = spline.at(span, from);
        if first.is_none() {
            pen.move_to(start)?;
            first = Some(start);
        }
        // The second half goes on the list first, so that the first is drawn first. A quarter to begin with, lest a
        // curve that swings both ways looks straight.
        let mut halves: Vec<(f64, f64, u32)> = (0..4)
            .rev()
            .map(|i| {
                let share = |i: f64| from + (to - from) * i / 4.0;
                (
                    share(f64::from(i)),
                    share(f64::from(i + 1)),
                    MOST_HALVINGS - 2,
                )
            })
            .collect();
        while let Some((a, b, left)) = halves.pop() {
            let middle = 0.5 * (a + b);
            if left > 0 && spline.bends(pen, span, a, b) {
                halves.push((middle, b, left - 1));
                halves.push((a, middle, left - 1));
            } else {
                pen.line_to(spline.at(span, b))?;
            }
        }
    }
    if given.closed {
        pen.close();
    } else {
        pen.lift();
    }
    Ok(first.map(|_| ()))
}

/// Whether a spline gives points to run through, and no control points.
fn is_by_fit_points(record: Record<'_>) -> bool {
    record.number(11).is_some() && record.number(10).is_none()
}

impl Spline {
    fn of(given: &Given) -> Option<Self> {
        let degree = usize::try_from(given.degree)
            .ok()
            .filter(|degree| (1..=MOST_DEGREE).contains(degree))?;
        let (knots, weights) = (given.knots.clone(), &given.weights);
        let count = given.points.len();
        let fits = count > degree
            && count <= MOST_SPANS
            && knots.len() == count + degree + 1
            && (weights.is_empty() || weights.len() == count);
        let runs_up = knots.iter().all(|knot| knot.is_finite())
            && knots.windows(2).all(|pair| pair.first() <= pair.last());
        if !fits || !runs_up || weights.iter().any(|w| w.is_nan() || *w <= 0.0) {
            return None;
        }
        let controls = given
            .points
            .iter()
            .enumerate()
            .map(|(i, p)| {
                let w = weights.get(i).copied().unwrap_or(1.0);
                [p.x * w, p.y * w, w]
            })
            .collect();
        Some(Self {
            degree,
            knots,
            controls,
        })
    }

    /// The point at `t` of the span that begins with knot number `span`.
    fn at(&self, span: usize, t: f64) -> Point {
        let p = self.degree;
        let mut d = [[f64::NAN; 3]; MOST_DEGREE + 1];
        for (j, to) in d.iter_mut().enumerate().take(p + 1) {
            if let Some(control) = (span + j).checked_sub(p).and_then(|i| self.controls.get(i)) {
                *to = *control;
            }
        }
        let knot = |i: usize| self.knots.get(i).copied().unwrap_or(f64::NAN);
        for r in 1..=p {
            for j in (r..=p).rev() {
                let (low, high) = (knot(span + j - p), knot(span + j + 1 - r));
                let share = (t - low) / (high - low);
                let before = d[j - 1];
                for (to, from) in d[j].iter_mut().zip(before) {
                    *to = from + (*to - from) * share;
                }
            }
        }
        let [x, y, w] = d[p];
        Point::new(x / w, y / w)
    }

    /// Whether the curve from `a` to `b` leaves the straight line between them.
    fn bends(&self, pen: &Pen, span: usize, a: f64, b: f64) -> bool {
        let at = |t: f64| pen.to_mm * self.at(span, t);
        let (from, to) = (at(a), at(b));
        [0.25, 0.5, 0.75].iter().any(|share| {
            let p = at(a + (b - a) * share);
            let along = to - from;
            let t = (p - from).dot(along) / along.hypot2();
            let foot = if t.is_finite() {
                from + along * t.clamp(0.0, 1.0)
            } else {
                from
            };
            p.distance(foot) > FLAT_MM
        })
    }
}
