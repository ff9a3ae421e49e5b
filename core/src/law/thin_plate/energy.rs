//! Energies of a plate over products of one shape along each side.

use super::waves::{Shape, legendre, shapes};
use super::{Moments, Thin};
use std::sync::OnceLock;

/// Most shapes along one side.
pub(super) const MOST_SHAPES: usize = 22;

/// The first shapes along a side, and the integrals of every pair of them by their derivatives.
struct Table {
    shapes: Vec<Shape>,
    /// By derivative of the first and of the second, then by pair.
    pairs: [[Vec<f64>; 3]; 3],
}

/// For a side that rests, and for one that is held: the same for every plate.
static TABLES: [OnceLock<Table>; 2] = [const { OnceLock::new() }; 2];

impl Table {
    fn new(held: bool) -> Self {
        let shapes = shapes(MOST_SHAPES, held);
        let table = |p: usize, q: usize| -> Vec<f64> {
            let row = |one: &Shape| -> Vec<f64> {
                shapes.iter().map(|other| one.with(p, other, q)).collect()
            };
            shapes.iter().flat_map(row).collect()
        };
        let pairs = std::array::from_fn(|p| std::array::from_fn(|q| table(p, q)));
        Self { shapes, pairs }
    }
}

/// The shapes along one side of a plate.
pub(super) struct Side {
    table: &'static Table,
    shapes: &'static [Shape],
}

impl Side {
    /// The first `count` shapes, at most as many as there are.
    pub(super) fn new(count: usize, held: bool) -> Self {
        let table = TABLES[usize::from(held)].get_or_init(|| Table::new(held));
        Self {
            table,
            shapes: &table.shapes[..count.min(MOST_SHAPES)],
        }
    }

    fn pair(&self, p: usize, q: usize, i: usize, k: usize) -> f64 {
        self.table.pairs[p][q][i * MOST_SHAPES + k]
    }

    fn at(&self, place: f64) -> Vec<[f64; 3]> {
        let polynomials = legendre(place, self.shapes.len() + 6);
        let one = |shape: &Shape| std::array::from_fn(|p| shape.at(p, &polynomials));
        self.shapes.iter().map(one).collect()
    }

    fn under(&self, share: f64) -> Vec<f64> {
        let polynomials = legendre(share, self.shapes.len() + 6);
        let all = self.shapes.iter();
        all.map(|shape| shape.under(&polynomials)).collect()
    }
}

/// Where a corner is read, as a share of half the side: with D16 and D26 the twist grows without end at its very tip.
const CORNER: f64 = 0.95;

/// Products of shapes that keep their sign, or change it, when the plate is turned by half a turn: a plate of any
/// stiffness keeps the two apart.
pub(super) struct Energy<'a> {
    x: &'a Side,
    y: &'a Side,
    terms: Vec<(usize, usize)>,
}

impl<'a> Energy<'a> {
    pub(super) fn new(x: &'a Side, y: &'a Side, odd: bool) -> Self {
        let mut terms = Vec::new();
        for (i, one) in x.shapes.iter().enumerate() {
            for (j, other) in y.shapes.iter().enumerate() {
                if (one.odd != other.odd) == odd {
                    terms.push((i, j));
                }
            }
        }
        Self { x, y, terms }
    }

    pub(super) fn len(&self) -> usize {
        self.terms.len()
    }

    fn matrix(&self, entry: impl Fn(usize, usize, usize, usize) -> f64) -> Vec<f64> {
        let n = self.len();
        let mut matrix = vec![0.0; n * n];
        for (r, &(i, j)) in self.terms.iter().enumerate() {
            for (c, &(k, l)) in self.terms[..=r].iter().enumerate() {
                let value = entry(i, k, j, l);
                matrix[r * n + c] = value;
                matrix[c * n + r] = value;
            }
        }
        matrix
    }

    /// Twice the energy of bending.
    pub(super) fn bending(&self, plate: &Thin) -> Vec<f64> {
        let (sx, sy) = (2.0 / plate.length, 2.0 / plate.width);
        let area = 1.0 / (sx * sy);
        let d = &plate.d;
        let both = (sx * sy).powi(2) * area;
        let d11 = d[0][0] * sx.powi(4) * area;
        let d22 = d[1][1] * sy.powi(4) * area;
        let (d12, d66) = (d[0][1] * both, 4.0 * d[2][2] * both);
        let d16 = 2.0 * d[0][2] * sx.powi(3) * sy * area;
        let d26 = 2.0 * d[1][2] * sx * sy.powi(3) * area;
        self.matrix(|i, k, j, l| {
            let x = |p, q| self.x.pair(p, q, i, k);
            let y = |p, q| self.y.pair(p, q, j, l);
            d11 * x(2, 2) * y(0, 0)
                + d22 * x(0, 0) * y(2, 2)
                + d12 * (x(2, 0) * y(0, 2) + x(0, 2) * y(2, 0))
                + d66 * x(1, 1) * y(1, 1)
                + d16 * (x(2, 1) * y(0, 1) + x(1, 2) * y(1, 0))
                + d26 * (x(0, 1) * y(2, 1) + x(1, 0) * y(1, 2))
        })
    }

    /// The square of the slope along x, over the plate.
    pub(super) fn pushed(&self, plate: &Thin) -> Vec<f64> {
        let share = plate.width / plate.length;
        self.matrix(|i, k, j, l| share * self.x.pair(1, 1, i, k) * self.y.pair(0, 0, j, l))
    }

    /// The square of the deflection, over the plate.
    pub(super) fn moved(&self, plate: &Thin) -> Vec<f64> {
        let share = 0.25 * plate.width * plate.length;
        self.matrix(|i, k, j, l| share * self.x.pair(0, 0, i, k) * self.y.pair(0, 0, j, l))
    }

    /// What an even pressure on a patch in the middle does on each product.
    pub(super) fn load(&self, plate: &Thin, pressure: f64, (u, v): (f64, f64)) -> Vec<f64> {
        let x = self.x.under(u / plate.length);
        let y = self.y.under(v / plate.width);
        let share = 0.25 * plate.width * plate.length * pressure;
        let all = self.terms.iter();
        all.map(|&(i, j)| share * x[i] * y[j]).collect()
    }

    /// Deflection of the middle, and moments in the middle, at the edges, a corner, the quarters and the other corner.
    pub(super) fn places(&self, plate: &Thin, sunk: &[f64]) -> (f64, [Moments; 7]) {
        let (sx, sy) = (2.0 / plate.length, 2.0 / plate.width);
        let x = [-1.0, -0.5, 0.0, -CORNER, CORNER].map(|place| self.x.at(place));
        let y = [-1.0, -0.5, 0.0, -CORNER].map(|place| self.y.at(place));
        let sum = |at: (usize, usize), p: usize, q: usize| -> f64 {
            let each = self.terms.iter().zip(sunk);
            each.map(|(&(i, j), c)| c * x[at.0][i][p] * y[at.1][j][q])
                .sum()
        };
        let places = [(2, 2), (0, 2), (2, 0), (3, 3), (1, 2), (2, 1), (4, 3)];
        let moments = places.map(|at| {
            let bent = [
                -sx * sx * sum(at, 2, 0),
                -sy * sy * sum(at, 0, 2),
                -2.0 * sx * sy * sum(at, 1, 1),
            ];
            let [x, y, xy] = plate
                .d
                .map(|row| row.iter().zip(bent).map(|(d, k)| d * k).sum());
            Moments { x, y, xy }
        });
        (sum((2, 2), 0, 0), moments)
    }
}
