//! Draws a polyline whose pieces may be arcs.
//!
//! The bulge of a piece is the tangent of a quarter of the angle its arc turns through, positive to the left.

use super::super::pen::Pen;
use crate::read::Problem;
use kurbo::{Affine, Point, Vec2};

/// A corner, and the bulge of the piece that leaves it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Corner {
    pub(super) at: Point,
    pub(super) bulge: f64,
}

/// Less bulge than this is straight: on a piece of 20 m it would rise by a thousandth of a mm.
const STRAIGHT: f64 = 1e-7;

/// Draws the pieces; none where there are fewer than two corners.
pub(super) fn draw(pen: &mut Pen, corners: &[Corner], closed: bool) -> Result<Option<()>, Problem> {
    let (Some(first), true) = (corners.first(), corners.len() > 1) else {
        return Ok(None);
    };
    pen.move_to(first.at)?;
    let mut before = *first;
    let back = closed.then_some(first);
    for corner in corners.iter().skip(1).chain(back) {
        piece(pen, before.at, corner.at, before.bulge)?;
        before = *corner;
    }
    if closed {
        pen.close();
    } else {
        pen.lift();
    }
    Ok(Some(()))
}

fn piece(pen: &mut Pen, from: Point, to: Point, bulge: f64) -> Result<(), Problem> {
    let chord = to - from;
    let length = chord.hypot();
    if bulge.abs() < STRAIGHT || length == 0.0 {
        return pen.line_to(to);
    }
    let left = Vec2::new(-chord.y, chord.x);
    let center = from.midpoint(to) + left * ((1.0 - bulge * bulge) / (4.0 * bulge));
    let radius = length * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
    let placed = Affine::new([radius, 0.0, 0.0, radius, center.x, center.y]);
    pen.turn(
        placed,
        (from - center).atan2(),
        4.0 * bulge.atan(),
        Some(to),
    )
}
