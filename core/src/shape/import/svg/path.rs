//! Draws the path data of an SVG.
//!
//! Arcs are drawn here rather than by a path reader, whose own tolerance is in units of the drawing: a tenth of a
//! metre would be a poor circle.

use super::Pen;
use crate::read::Problem;
use kurbo::{Affine, Arc, Point, SvgArc, Vec2};
use svgtypes::{PathParser, PathSegment};

/// Draws a path; none where its data cannot be read to the end.
pub(super) fn draw(pen: &mut Pen, data: &str) -> Result<Option<()>, Problem> {
    let mut segments = Vec::new();
    for segment in PathParser::from(data) {
        match segment {
            Ok(segment) => segments.push(segment),
            Err(_) => return Ok(None),
        }
    }
    let mut at = Walk {
        here: Point::ZERO,
        first: Point::ZERO,
        control: Control::None,
        down: false,
    };
    for segment in segments {
        at.step(pen, segment)?;
    }
    pen.lift();
    Ok(Some(()))
}

/// The control point that a smooth curve goes on from.
enum Control {
    None,
    Cubic(Point),
    Quad(Point),
}

struct Walk {
    here: Point,
    first: Point,
    control: Control,
    /// Whether the pen stands at `here` already.
    down: bool,
}

impl Walk {
    fn step(&mut self, pen: &mut Pen, segment: PathSegment) -> Result<(), Problem> {
        let here = self.here;
        let from = |abs: bool| if abs { Vec2::ZERO } else { here.to_vec2() };
        let point = |abs: bool, x: f64, y: f64| Point::new(x, y) + from(abs);
        if !self.down
            && !matches!(
                segment,
                PathSegment::MoveTo { .. } | PathSegment::ClosePath { .. }
            )
        {
            pen.move_to(here)?;
            self.down = true;
        }
        let mut control = Control::None;
        let to = match segment {
            PathSegment::MoveTo { abs, x, y } => {
                let to = point(abs, x, y);
                pen.lift();
                self.first = to;
                self.down = false;
                to
            }
            PathSegment::LineTo { abs, x, y } => line(pen, point(abs, x, y))?,
            PathSegment::HorizontalLineTo { abs, x } => {
                line(pen, Point::new(x + from(abs).x, here.y))?
            }
            PathSegment::VerticalLineTo { abs, y } => {
                line(pen, Point::new(here.x, y + from(abs).y))?
            }
            PathSegment::CurveTo {
                abs,
                x1,
                y1,
                x2,
                y2,
                x,
                y,
            } => {
                let second = point(abs, x2, y2);
                control = Control::Cubic(second);
                cubic(pen, point(abs, x1, y1), second, point(abs, x, y))?
            }
            PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
                let first = match self.control {
                    Control::Cubic(before) => here + (here - before),
                    _ => here,
                };
                let second = point(abs, x2, y2);
                control = Control::Cubic(second);
                cubic(pen, first, second, point(abs, x, y))?
            }
            PathSegment::Quadratic { abs, x1, y1, x, y } => {
                let middle = point(abs, x1, y1);
                control = Control::Quad(middle);
                quad(pen, middle, point(abs, x, y))?
            }
            PathSegment::SmoothQuadratic { abs, x, y } => {
                let middle = match self.control {
                    Control::Quad(before) => here + (here - before),
                    _ => here,
                };
                control = Control::Quad(middle);
                quad(pen, middle, point(abs, x, y))?
            }
            PathSegment::EllipticalArc {
                abs,
                rx,
                ry,
                x_axis_rotation,
                large_arc,
                sweep,
                x,
                y,
            } => {
                let to = point(abs, x, y);
                arc(
                    pen,
                    &SvgArc {
                        from: here,
                        to,
                        radii: Vec2::new(rx, ry),
                        x_rotation: x_axis_rotation.to_radians(),
                        large_arc,
                        sweep,
                    },
                )?;
                to
            }
            PathSegment::ClosePath { .. } => {
                pen.close();
                self.down = false;
                self.first
            }
        };
        self.control = control;
        self.here = to;
        Ok(())
    }
}

fn line(pen: &mut Pen, to: Point) -> Result<Point, Problem> {
    pen.line_to(to).map(|()| to)
}

fn cubic(pen: &mut Pen, first: Point, second: Point, to: Point) -> Result<Point, Problem> {
    pen.curve_to(first, second, to).map(|()| to)
}

fn quad(pen: &mut Pen, middle: Point, to: Point) -> Result<Point, Problem> {
    pen.quad_to(middle, to).map(|()| to)
}

fn arc(pen: &mut Pen, asked: &SvgArc) -> Result<(), Problem> {
    // Ends that are as good as one, or a radius of nothing, make a straight line.
    if asked.from.distance(asked.to) <= 1e-9 {
        return pen.line_to(asked.to);
    }
    match Arc::from_svg_arc(asked) {
        None => pen.line_to(asked.to),
        Some(arc) => {
            let placed = Affine::translate(arc.center.to_vec2())
                * Affine::rotate(arc.x_rotation)
                * Affine::scale_non_uniform(arc.radii.x, arc.radii.y);
            pen.turn(placed, arc.start_angle, arc.sweep_angle, Some(asked.to))
        }
    }
}
