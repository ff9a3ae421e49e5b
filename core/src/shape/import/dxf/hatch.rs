//! Draws the edge of a hatch: closed lines, or edges one after another.

use super::bulge::{self, Corner};
use super::entity::Sheet;
use super::groups::{Group, Record};
use super::spline;
use crate::read::Problem;
use kurbo::{Affine, Point};
use std::f64::consts::TAU;

/// Reads one pair after another.
struct Pairs<'a>(&'a [Group<'a>]);

impl<'a> Pairs<'a> {
    /// The value of the next pair, when it has this code; what stands before it stays.
    fn next(&mut self, code: i32) -> Option<&'a str> {
        let (first, rest) = self.0.split_first()?;
        if first.code != code {
            return None;
        }
        self.0 = rest;
        Some(first.value)
    }

    fn number(&mut self, code: i32) -> Option<f64> {
        self.next(code)?.parse().ok()
    }

    fn whole(&mut self, code: i32) -> Option<i64> {
        self.next(code)?.parse().ok()
    }

    fn point(&mut self, code: i32) -> Option<Point> {
        Some(Point::new(self.number(code)?, self.number(code + 10)?))
    }

    /// Goes to the next pair with this code.
    fn seek(&mut self, code: i32) -> Option<()> {
        let at = self.0.iter().position(|group| group.code == code)?;
        self.0 = self.0.get(at..)?;
        Some(())
    }
}

impl<'a> Sheet<'a> {
    /// Draws the edges of a hatch; none where they cannot be read.
    pub(super) fn hatch(&mut self, record: Record<'a>) -> Result<Option<()>, Problem> {
        let mut pairs = Pairs(record.groups());
        let read = (|| {
            pairs.seek(91)?;
            pairs.whole(91)
        })();
        let Some(count) = read else {
            return Ok(None);
        };
        for _ in 0..count.clamp(0, 10_000) {
            match self.boundary(&mut pairs)? {
                Some(()) => {}
                None => return Ok(None),
            }
        }
        Ok(Some(()))
    }

    fn boundary(&mut self, pairs: &mut Pairs<'a>) -> Result<Option<()>, Problem> {
        if pairs.seek(92).is_none() {
            return Ok(None);
        }
        let Some(kind) = pairs.whole(92) else {
            return Ok(None);
        };
        if kind & 2 == 2 {
            let (Some(has_bulge), Some(closed)) = (pairs.whole(72), pairs.whole(73)) else {
                return Ok(None);
            };
            let Some(corners) = corners(pairs, has_bulge != 0) else {
                return Ok(None);
            };
            return bulge::draw(&mut self.pen, &corners, closed != 0 || corners.len() > 2);
        }
        let Some(edges) = pairs.whole(93) else {
            return Ok(None);
        };
        for _ in 0..edges.clamp(0, 100_000) {
            let Some(()) = self.edge(pairs)? else {
                return Ok(None);
            };
            self.pen.lift();
        }
        Ok(Some(()))
    }

    fn edge(&mut self, pairs: &mut Pairs<'a>) -> Result<Option<()>, Problem> {
        match pairs.whole(72) {
            Some(1) => {
                let (Some(from), Some(to)) = (pairs.point(10), pairs.point(11)) else {
                    return Ok(None);
                };
                self.pen.move_to(from)?;
                self.pen.line_to(to)?;
                Ok(Some(()))
            }
            Some(2) => {
                let (Some(at), Some(r)) = (pairs.point(10), pairs.number(40)) else {
                    return Ok(None);
                };
                self.part_of(pairs, Affine::new([r, 0.0, 0.0, r, at.x, at.y]))
            }
            Some(3) => {
                let (Some(at), Some(axis), Some(ratio)) =
                    (pairs.point(10), pairs.point(11), pairs.number(40))
                else {
                    return Ok(None);
                };
                let placed = [axis.x, axis.y, -axis.y * ratio, axis.x * ratio, at.x, at.y];
                self.part_of(pairs, Affine::new(placed))
            }
            Some(4) => {
                let Some(curve) = curve(pairs) else {
                    return Ok(None);
                };
                spline::draw_curve(&mut self.pen, &curve)
            }
            _ => Ok(None),
        }
    }

    /// An arc of a circle or an ellipse, by its angles; those of one that runs clockwise are counted clockwise.
    fn part_of(&mut self, pairs: &mut Pairs<'a>, placed: Affine) -> Result<Option<()>, Problem> {
        let (Some(from), Some(to)) = (pairs.number(50), pairs.number(51)) else {
            return Ok(None);
        };
        let ccw = pairs.whole(73).unwrap_or(1) != 0;
        let (from, to) = (from.to_radians(), to.to_radians());
        let (start, sweep) = if ccw {
            (from, to - from)
        } else {
            (-to, to - from)
        };
        let sweep = if sweep.abs() > TAU { TAU } else { sweep };
        self.turn(placed, start, sweep).map(Some)
    }
}

fn corners(pairs: &mut Pairs<'_>, has_bulge: bool) -> Option<Vec<Corner>> {
    let count = pairs.whole(93)?.clamp(0, 1_000_000);
    (0..count)
        .map(|_| {
            let at = pairs.point(10)?;
            let bulge = has_bulge.then(|| pairs.number(42)).flatten();
            Some(Corner {
                at,
                bulge: bulge.unwrap_or(0.0),
            })
        })
        .collect()
}

fn curve(pairs: &mut Pairs<'_>) -> Option<spline::Given> {
    let degree = pairs.whole(94)?;
    let rational = pairs.whole(73)? != 0;
    let _periodic = pairs.whole(74)?;
    let (knots, controls) = (pairs.whole(95)?, pairs.whole(96)?);
    let knots: Vec<f64> = (0..knots.clamp(0, 100_000))
        .map(|_| pairs.number(40))
        .collect::<Option<_>>()?;
    let (mut points, mut weights) = (Vec::new(), Vec::new());
    for _ in 0..controls.clamp(0, 100_000) {
        points.push(pairs.point(10)?);
        if rational {
            weights.push(pairs.number(42)?);
        }
    }
    Some(spline::Given {
        degree,
        knots,
        points,
        weights,
        closed: false,
    })
}
