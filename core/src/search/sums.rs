//! Figures that add up, as whole numbers, and stretching stiffness.

use super::space::{Figures, Lamina, Space};
use super::wish::Goal;
use crate::law::laminate::Matrix3;

/// Places of the figures that add up; the first four are goals of the same place in `Goal::ALL`.
pub(super) const COST: usize = Goal::Cheapest as usize;
pub(super) const THICKNESS: usize = Goal::Thinnest as usize;
pub(super) const PORES: usize = 4;
pub(super) const CONDUCTANCE: usize = 5;

/// Figures are kept as whole numbers of 12 digits at most, so that sums are exact in any order and
/// ties are ties.
const DIGITS: f64 = 1e12;

/// Figures and stretching stiffness of both faces together, or of a middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sums {
    /// Mass, cost, fossil carbon, thickness, pores, conductance: whole numbers in units of the scale.
    pub(super) figures: [f64; 6],
    /// A11, A22, A66, A16, A26 [Pa m].
    pub(super) stretch: [f64; 5],
}

impl Sums {
    pub(super) const NOTHING: Self = Self {
        figures: [0.0; 6],
        stretch: [0.0; 5],
    };

    pub(super) fn plus(&self, more: &Self, count: u32) -> Self {
        let mut sum = *self;
        if count > 0 {
            let count = f64::from(count);
            for (sum, more) in sum.figures.iter_mut().zip(more.figures) {
                *sum += count * more;
            }
            for (sum, more) in sum.stretch.iter_mut().zip(more.stretch) {
                *sum += count * more;
            }
        }
        sum
    }
}

/// Terms 11, 22, 66, 12, 16, 26 of a symmetric matrix.
pub(super) type Six = [f64; 6];

pub(super) fn six(q: &Matrix3) -> Six {
    [q[0][0], q[1][1], q[2][2], q[0][1], q[0][2], q[1][2]]
}

pub(super) fn matrix([s11, s22, s66, s12, s16, s26]: Six) -> Matrix3 {
    [[s11, s12, s16], [s12, s22, s26], [s16, s26, s66]]
}

/// Powers of ten that bring the largest of each figure just below the digits kept.
pub(super) fn scale(space: &Space<'_>) -> [f64; 6] {
    let mut most = [0.0_f64; 6];
    let choices = space.choices.iter().map(|c| (&c.layers[..], &c.figures));
    let cores = space
        .cores
        .iter()
        .map(|c| (std::slice::from_ref(&c.layer), &c.figures));
    for (layers, figures) in choices.chain(cores) {
        for (most, value) in most.iter_mut().zip(plain(layers, figures)) {
            if value.is_finite() {
                *most = most.max(value);
            }
        }
    }
    most.map(|most| {
        let mut scale = 1.0;
        while most > 0.0 && most * scale < 0.1 * DIGITS {
            scale *= 10.0;
        }
        while most * scale >= DIGITS {
            scale /= 10.0;
        }
        scale
    })
}

fn plain(layers: &[Lamina], figures: &Figures) -> [f64; 6] {
    [
        figures.mass,
        figures.cost.unwrap_or(f64::INFINITY),
        figures.fossil,
        layers.iter().map(|layer| layer.thickness).sum(),
        figures.pores,
        figures.conductance,
    ]
}

pub(super) fn sums(layers: &[Lamina], figures: &Figures, scale: &[f64; 6]) -> Sums {
    let mut sums = Sums {
        figures: plain(layers, figures),
        ..Sums::NOTHING
    };
    for (figure, scale) in sums.figures.iter_mut().zip(scale) {
        *figure = (*figure * scale).round_ties_even();
    }
    for layer in layers {
        let q = &layer.stiffness;
        let terms = [q[0][0], q[1][1], q[2][2], q[0][2], q[1][2]];
        for (sum, term) in sums.stretch.iter_mut().zip(terms) {
            *sum += term * layer.thickness;
        }
    }
    sums
}

#[cfg(test)]
mod tests {
    use super::{Sums, sums};
    use crate::search::Figures;

    #[test]
    fn sums_do_not_depend_on_the_order() {
        let figures = |n: f64| Figures {
            mass: 0.1 + 1.0 / n,
            ..Figures::default()
        };
        let scale = [1e12; 6];
        let each: Vec<Sums> = (3..60)
            .map(|n| sums(&[], &figures(f64::from(n)), &scale))
            .collect();
        let up = each.iter().fold(Sums::NOTHING, |sum, one| sum.plus(one, 1));
        let down = each
            .iter()
            .rev()
            .fold(Sums::NOTHING, |sum, one| sum.plus(one, 1));
        assert_eq!(up.figures[0], down.figures[0]);
        let plain = |sum: f64, n: u32| sum + figures(f64::from(n)).mass;
        assert_ne!((3..60).fold(0.0, plain), (3..60).rev().fold(0.0, plain));
    }
}
