//! Triangles for a part: about so many, even, with their edges along the outline and along what lies on the part.

use super::skin::Skin;
use super::{Loop, Shape, inside, loops::sides};
use crate::solve::surface::Triangles;
use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};
use std::collections::HashMap;

/// How near two points may come, as a share of the side of a triangle.
const GUARD: f64 = 0.7;

/// The longest side a triangle of a shell may have, as a share of the side of an even one.
const LONGEST: f64 = 2.0;

/// A part in triangles.
#[derive(Debug, Clone, PartialEq)]
pub struct Meshed {
    /// The triangles.
    pub surface: Triangles,
    /// Length of their sides, about [m].
    pub side: f64,
    /// Sides that belong to one triangle only: the edge of the part.
    pub rim: Vec<[u32; 2]>,
}

/// Points in cells, so that near ones are found at once.
struct Cells {
    size: f64,
    held: HashMap<(i64, i64), Vec<[f64; 2]>>,
}

impl Cells {
    fn new(size: f64) -> Self {
        Self {
            size,
            held: HashMap::new(),
        }
    }

    fn cell(&self, p: [f64; 2]) -> (i64, i64) {
        // Casts of rounded numbers; parts have a size.
        (
            (p[0] / self.size).floor() as i64,
            (p[1] / self.size).floor() as i64,
        )
    }

    fn add(&mut self, p: [f64; 2]) {
        let cell = self.cell(p);
        self.held.entry(cell).or_default().push(p);
    }

    fn is_near(&self, p: [f64; 2], within: f64) -> bool {
        let (x, y) = self.cell(p);
        (x - 1..=x + 1).any(|x| {
            (y - 1..=y + 1).any(|y| {
                self.held.get(&(x, y)).is_some_and(|held| {
                    held.iter()
                        .any(|q| (q[0] - p[0]).hypot(q[1] - p[1]) < within)
                })
            })
        })
    }
}

/// Cuts a part into about `count` triangles; points also stand along `seams`, closed lines on a flat part [m].
///
/// The triangles of a shell are halved where they are larger than that; their planes stay as they are.
#[must_use]
pub fn meshed(shape: &Shape, seams: &[Loop], count: usize) -> Meshed {
    let (surface, side) = match shape {
        Shape::Flat { outline, holes } => {
            let side = (shape.area() / (0.433 * count.max(8) as f64)).sqrt();
            (flat(outline, holes, seams, side), side)
        }
        Shape::Shell(surface) => {
            let surface = finer(surface, count);
            let mean = surface.area() / surface.corners.len().max(1) as f64;
            (surface, (mean / 0.433).sqrt())
        }
    };
    let rim = rim(&surface);
    Meshed { surface, side, rim }
}

/// A shell whose triangles are no larger than those of about so many would be.
fn finer(surface: &Triangles, count: usize) -> Triangles {
    let side = (surface.area() / (0.433 * count.max(8) as f64)).sqrt();
    let mut skin = Skin::of(surface, side);
    let (mut most, bound) = (LONGEST * side, skin.corners.len() + 4 * count);
    loop {
        skin.refine(|_| most, bound);
        if skin.corners.len() >= count * 4 / 5 {
            break;
        }
        most *= 0.9;
    }
    Triangles {
        points: skin.points,
        corners: skin.corners,
    }
}

/// Points along one side, without its end.
fn along(a: [f64; 2], b: [f64; 2], side: f64) -> impl Iterator<Item = [f64; 2]> {
    let pieces = ((b[0] - a[0]).hypot(b[1] - a[1]) / side)
        .ceil()
        .clamp(1.0, 1e5);
    (0..pieces as usize).map(move |k| {
        let t = k as f64 / pieces;
        [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t]
    })
}

fn flat(outline: &Loop, holes: &[Loop], seams: &[Loop], side: f64) -> Triangles {
    let holds = |p: [f64; 2]| inside(outline, p) && !holes.iter().any(|hole| inside(hole, p));
    let mut points: Vec<[f64; 2]> = Vec::new();
    let mut edges: Vec<[usize; 2]> = Vec::new();
    let mut near = Cells::new(side);
    for line in std::iter::once(outline).chain(holes) {
        let first = points.len();
        for (a, b) in sides(line) {
            points.extend(along(a, b, side));
        }
        let last = points.len();
        edges.extend((first..last).map(|k| [k, if k + 1 < last { k + 1 } else { first }]));
    }
    points.iter().for_each(|&p| near.add(p));
    for line in seams {
        for (a, b) in sides(line) {
            for p in along(a, b, 0.98 * side) {
                if holds(p) && !near.is_near(p, 0.5 * side) {
                    near.add(p);
                    points.push(p);
                }
            }
        }
    }
    let (low, high) = bounds(outline);
    let row = side * 0.75_f64.sqrt();
    let rows = ((high[1] - low[1]) / row).ceil() as usize;
    let places = ((high[0] - low[0]) / side).ceil() as usize + 1;
    // Rows are centred, so that a part that is alike on both sides is cut alike.
    let (y0, x0) = (
        (low[1] + high[1] - rows as f64 * row) / 2.0,
        (low[0] + high[0] - places as f64 * side) / 2.0,
    );
    for j in 0..=rows {
        let shift = if j % 2 == 0 { 0.0 } else { 0.5 * side };
        for i in 0..=places {
            let p = [x0 + shift + i as f64 * side, y0 + j as f64 * row];
            if holds(p) && !near.is_near(p, GUARD * side) {
                points.push(p);
            }
        }
    }
    let vertices = points.iter().map(|p| Point2::new(p[0], p[1])).collect();
    // What spade cannot take, such as a number beyond its range, the reader has kept out; without triangles nothing flows.
    let made =
        ConstrainedDelaunayTriangulation::<Point2<f64>>::try_bulk_load_cdt(vertices, edges, |_| {});
    let mut surface = Triangles {
        points: Vec::new(),
        corners: Vec::new(),
    };
    if let Ok(made) = made {
        surface.points = made
            .vertices()
            .map(|v| [v.position().x, v.position().y, 0.0])
            .collect();
        for face in made.inner_faces() {
            let [a, b, c] = face.vertices().map(|v| v.index() as u32);
            let corners = [a, b, c].map(|i| surface.points[i as usize]);
            let middle = [0, 1].map(|k| (corners[0][k] + corners[1][k] + corners[2][k]) / 3.0);
            // Points along a slanted side are in line but for rounding; what stands between them is nothing.
            let [p, q, r] = corners;
            let double = (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
            if double > 1e-6 * side * side && holds(middle) {
                surface.corners.push([a, b, c]);
            }
        }
    }
    surface
}

fn bounds(line: &[[f64; 2]]) -> ([f64; 2], [f64; 2]) {
    let mut ends = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for p in line {
        for ((low, high), x) in ends.0.iter_mut().zip(&mut ends.1).zip(p) {
            *low = low.min(*x);
            *high = high.max(*x);
        }
    }
    ends
}

/// Sides of one triangle only.
fn rim(surface: &Triangles) -> Vec<[u32; 2]> {
    let mut all: Vec<(u32, u32, [u32; 2])> = Vec::with_capacity(surface.corners.len() * 3);
    for &[a, b, c] in &surface.corners {
        for [from, to] in [[a, b], [b, c], [c, a]] {
            all.push((from.min(to), from.max(to), [from, to]));
        }
    }
    all.sort_unstable();
    all.chunk_by(|p, q| (p.0, p.1) == (q.0, q.1))
        .filter(|group| group.len() == 1)
        .map(|group| group[0].2)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn cut(document: serde_json::Value, count: usize) -> (Shape, Meshed) {
        let shape = super::super::read(&document).unwrap();
        let made = meshed(&shape, &[], count);
        (shape, made)
    }

    #[test]
    fn triangles_cover_the_part_and_are_about_as_many_as_asked() {
        for document in [
            json!({ "form": "rectangle", "length_mm": 900, "width_mm": 600 }),
            json!({ "form": "disc", "diameter_mm": 500 }),
            json!({ "form": "ell", "length_mm": 600, "width_mm": 500, "arm_mm": 120 }),
            json!({ "form": "frame", "length_mm": 600, "width_mm": 400, "border_mm": 40 }),
            json!({ "form": "taper", "length_mm": 1000, "width_mm": 400, "far_width_mm": 60 }),
            json!({ "form": "outline", "points_mm": [[0,0],[900,0],[900,600],[452,300],[450,600],[0,600]] }),
        ] {
            let (shape, made) = cut(document.clone(), 3000);
            assert!(
                (made.surface.area() / shape.area() - 1.0).abs() < 1e-9,
                "{document}"
            );
            let count = made.surface.corners.len();
            assert!((2300..3900).contains(&count), "{count} {document}");
            let around: f64 = made
                .rim
                .iter()
                .map(|[a, b]| {
                    let (p, q) = (
                        made.surface.points[*a as usize],
                        made.surface.points[*b as usize],
                    );
                    (p[0] - q[0]).hypot(p[1] - q[1])
                })
                .sum();
            let Shape::Flat { outline, holes } = &shape else {
                unreachable!()
            };
            let wanted: f64 = std::iter::once(outline)
                .chain(holes)
                .map(|l| super::super::length(l))
                .sum();
            assert!((around / wanted - 1.0).abs() < 1e-9, "{around} {wanted}");
        }
    }

    #[test]
    fn edges_follow_a_seam() {
        let shape = super::super::read(
            &json!({ "form": "rectangle", "length_mm": 1000, "width_mm": 1000 }),
        )
        .unwrap();
        let seam = vec![[0.3, 0.25], [0.7, 0.25], [0.7, 0.6], [0.3, 0.6]];
        let made = meshed(&shape, &[seam], 2000);
        let crossing = made.surface.corners.iter().filter(|c| {
            let x = c.map(|i| made.surface.points[i as usize][0] - 0.3);
            let y = c.map(|i| made.surface.points[i as usize][1]);
            y.iter().all(|y| (0.27..0.58).contains(y))
                && x.iter().any(|x| *x > 1e-9)
                && x.iter().any(|x| *x < -1e-9)
        });
        assert_eq!(crossing.count(), 0);
    }
}
