//! Draws the smooth curve through points: a cubic spline over the length of the chords, with even curvature at its ends
//! unless the file gives their direction, or all round where it is closed.
//!
//! de Boor 1978, A Practical Guide to Splines, chapter IV (from memory).

use super::super::super::pen::Pen;
use super::super::groups::Record;
use super::MOST_SPANS;
use crate::read::Problem;
use kurbo::{Point, Vec2};

/// Draws it; none where there are too few points.
pub(super) fn draw(pen: &mut Pen, record: Record<'_>, closed: bool) -> Result<Option<()>, Problem> {
    let (Some(xs), Some(ys)) = (record.numbers(11), record.numbers(21)) else {
        return Ok(None);
    };
    let mut points: Vec<Point> = xs
        .iter()
        .zip(&ys)
        .map(|(x, y)| Point::new(*x, *y))
        .collect();
    points.dedup();
    let meets = points.first() == points.last();
    if closed && meets {
        points.pop();
    }
    if xs.len() != ys.len() || points.len() < 2 || points.len() > MOST_SPANS {
        return Ok(None);
    }
    let direction = |x: i32, y: i32| {
        let along = Vec2::new(record.number(x)?, record.number(y)?);
        (along.hypot() > 0.0).then(|| along / along.hypot())
    };
    let round = closed && points.len() > 2;
    if round {
        points.extend(points.first().copied());
    }
    let steps: Vec<f64> = points
        .iter()
        .zip(points.iter().skip(1))
        .map(|(a, b)| a.distance(*b))
        .collect();
    let slopes = if round {
        round_slopes(&points, &steps)
    } else {
        slopes(&points, &steps, direction(12, 22), direction(13, 23))
    };
    let Some(&first) = points.first() else {
        return Ok(None);
    };
    pen.move_to(first)?;
    for (i, step) in steps.iter().enumerate() {
        let (Some(&a), Some(&b)) = (points.get(i), points.get(i + 1)) else {
            continue;
        };
        let (Some(&from), Some(&to)) = (slopes.get(i), slopes.get(i + 1)) else {
            continue;
        };
        pen.curve_to(a + from * (step / 3.0), b - to * (step / 3.0), b)?;
    }
    if closed {
        pen.close();
    } else {
        pen.lift();
    }
    Ok(Some(()))
}

fn chord(points: &[Point], steps: &[f64], i: usize) -> Vec2 {
    match (points.get(i), points.get(i + 1), steps.get(i)) {
        (Some(a), Some(b), Some(step)) => (*b - *a) / *step,
        _ => Vec2::ZERO,
    }
}

/// Slopes at the points of an open curve.
fn slopes(points: &[Point], steps: &[f64], first: Option<Vec2>, last: Option<Vec2>) -> Vec<Vec2> {
    let end = points.len() - 1;
    let step = |i: usize| steps.get(i).copied().unwrap_or(1.0);
    // Each row: below, on and above the diagonal, and the right hand side.
    let rows: Vec<([f64; 3], Vec2)> = (0..=end)
        .map(|i| match i {
            0 => first.map_or(([0.0, 2.0, 1.0], chord(points, steps, 0) * 3.0), |along| {
                ([0.0, 1.0, 0.0], along)
            }),
            i if i == end => last.map_or(
                ([1.0, 2.0, 0.0], chord(points, steps, end - 1) * 3.0),
                |along| ([0.0, 1.0, 0.0], along),
            ),
            i => inner(points, steps, i, step(i - 1), step(i)),
        })
        .collect();
    solved(&rows)
}

/// The row of a point between two others: its curvature is the same on both sides.
fn inner(points: &[Point], steps: &[f64], i: usize, before: f64, after: f64) -> ([f64; 3], Vec2) {
    let prior = if i == 0 { steps.len() - 1 } else { i - 1 };
    let (one, two) = (chord(points, steps, prior), chord(points, steps, i));
    (
        [after, 2.0 * (before + after), before],
        (one * after + two * before) * 3.0,
    )
}

/// Solves a system of three diagonals by elimination.
fn solved(rows: &[([f64; 3], Vec2)]) -> Vec<Vec2> {
    let mut done: Vec<(f64, Vec2)> = Vec::with_capacity(rows.len());
    for ([below, on, above], right) in rows {
        let (share, before) = done.last().copied().unwrap_or((0.0, Vec2::ZERO));
        let on = on - below * share;
        done.push((above / on, (*right - before * *below) / on));
    }
    let mut all = vec![Vec2::ZERO; rows.len()];
    let mut next = Vec2::ZERO;
    for (to, (share, value)) in all.iter_mut().zip(&done).rev() {
        next = *value - next * *share;
        *to = next;
    }
    all
}

/// Slopes at the points of a curve that runs round; the last is the first again (Sherman and Morrison 1950).
fn round_slopes(points: &[Point], steps: &[f64]) -> Vec<Vec2> {
    let count = steps.len();
    let step = |i: usize| steps.get(i).copied().unwrap_or(1.0);
    let mut rows: Vec<([f64; 3], Vec2)> = (0..count)
        .map(|i| inner(points, steps, i, step((i + count - 1) % count), step(i)))
        .collect();
    let corner = rows.first().map_or(0.0, |(row, _)| row[0]);
    let other = rows.last().map_or(0.0, |(row, _)| row[2]);
    let pivot = -rows.first().map_or(1.0, |(row, _)| row[1]);
    if let Some((row, _)) = rows.first_mut() {
        row[1] -= pivot;
    }
    if let Some((row, _)) = rows.last_mut() {
        row[1] -= corner * other / pivot;
    }
    let found = solved(&rows);
    let unit: Vec<([f64; 3], Vec2)> = rows
        .iter()
        .enumerate()
        .map(|(i, (row, _))| {
            let value = match i {
                0 => pivot,
                i if i + 1 == count => other,
                _ => 0.0,
            };
            (*row, Vec2::new(value, 0.0))
        })
        .collect();
    let helper = solved(&unit);
    let ends = |all: &[Vec2]| {
        all.first()
            .copied()
            .zip(all.last().copied())
            .unwrap_or_default()
    };
    let ((f0, fn_), (h0, hn)) = (ends(&found), ends(&helper));
    let top = f0 + fn_ * (corner / pivot);
    let below = 1.0 + h0.x + hn.x * (corner / pivot);
    let mut all: Vec<Vec2> = found
        .iter()
        .zip(&helper)
        .map(|(f, h)| *f - top * (h.x / below))
        .collect();
    all.extend(all.first().copied());
    all
}
