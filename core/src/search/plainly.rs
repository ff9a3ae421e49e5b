//! The same search done plainly, for the tests: every stack made layer by layer and put to every test.

use super::*;
use crate::law::laminate::{self, Layer, Stiffness, reduced_stiffness, turned};
use crate::law::micromechanics::Ply;
use std::cmp::Ordering;

/// A choice as a person would write it: cloth, ply, angles in degrees, thickness of a layer.
#[derive(Debug, Clone)]
pub(super) struct Cloth {
    pub(super) ply: Ply,
    pub(super) angles: Vec<f64>,
    pub(super) thickness: f64,
    pub(super) choice: Choice,
}

impl Cloth {
    pub(super) fn new(
        cloth: usize,
        ply: Ply,
        angles: &[f64],
        thickness: f64,
        figures: Figures,
    ) -> Self {
        let q = reduced_stiffness(&ply).unwrap();
        let layer = |degrees: &f64| Lamina {
            stiffness: turned(&q, degrees.to_radians()),
            thickness,
        };
        let choice = Choice {
            cloth,
            plies: angles.len() as u32,
            layers: angles.iter().map(layer).collect(),
            figures,
        };
        Self {
            ply,
            angles: angles.to_vec(),
            thickness,
            choice,
        }
    }
}

/// One stack worked out plainly.
#[derive(Debug, Clone)]
pub(super) struct Plain {
    pub(super) half: Vec<usize>,
    pub(super) middle: Middle,
    pub(super) key: [f64; 5],
    pub(super) score: f32,
    pub(super) stiffness: Stiffness,
}

pub(super) struct Plainly<'a> {
    pub(super) cloths: &'a [Cloth],
    pub(super) core: Ply,
    pub(super) space: &'a Space<'a>,
    pub(super) bounds: &'a Bounds,
}

impl Plainly<'_> {
    /// Every stack that the plies and the stock allow.
    pub(super) fn all(&self) -> Vec<Plain> {
        let mut middles = Vec::new();
        if self.space.coreless {
            middles.push(Middle::Plain);
            for (i, cloth) in self.cloths.iter().enumerate() {
                if self.space.odd && cloth.angles.iter().all(|angle| *angle == cloth.angles[0]) {
                    middles.push(Middle::Ply(i));
                }
            }
        }
        middles.extend((0..self.space.cores.len()).map(Middle::Core));
        let mut all = Vec::new();
        for middle in middles {
            self.longer(middle, &mut Vec::new(), &mut all);
        }
        all
    }

    fn longer(&self, middle: Middle, half: &mut Vec<usize>, all: &mut Vec<Plain>) {
        let choices = self.whole(middle, half);
        let plies = |of: &dyn Fn(usize) -> bool| -> u32 {
            let used = choices.iter().filter(|i| of(self.cloths[**i].choice.cloth));
            used.map(|i| self.cloths[*i].choice.plies).sum()
        };
        let mut stocks = self.space.left.iter().enumerate();
        if plies(&|_| true) > self.space.most_plies
            || stocks.any(|(i, left)| plies(&|c| c == i) > *left)
        {
            return;
        }
        if !choices.is_empty() {
            all.push(self.one(middle, half, &choices));
        }
        for i in 0..self.cloths.len() {
            half.push(i);
            self.longer(middle, half, all);
            half.pop();
        }
    }

    /// Choices of the whole stack from face to face, the core left out.
    fn whole(&self, middle: Middle, half: &[usize]) -> Vec<usize> {
        let mut whole = half.to_vec();
        if let Middle::Ply(i) = middle {
            whole.push(i);
        }
        whole.extend(half.iter().rev());
        whole
    }

    /// Layers from face to face: cloth and angle, none for a core.
    fn layers(&self, middle: Middle, half: &[usize]) -> Vec<(Option<(usize, f64)>, Layer)> {
        let of = |i: usize| {
            let cloth = &self.cloths[i];
            cloth.angles.iter().map(move |angle| {
                let layer = Layer {
                    ply: cloth.ply,
                    angle: angle.to_radians(),
                    thickness: cloth.thickness,
                };
                (Some((cloth.choice.cloth, *angle)), layer)
            })
        };
        let outer: Vec<_> = half.iter().flat_map(|i| of(*i)).collect();
        let mut layers = outer.clone();
        match middle {
            Middle::Plain => {}
            Middle::Ply(i) => layers.extend(of(i)),
            Middle::Core(i) => {
                let core = Layer {
                    ply: self.core,
                    angle: 0.0,
                    thickness: self.space.cores[i].layer.thickness,
                };
                layers.push((None, core));
            }
        }
        layers.extend(outer.into_iter().rev());
        layers
    }

    fn one(&self, middle: Middle, half: &[usize], choices: &[usize]) -> Plain {
        let layers: Vec<Layer> = self
            .layers(middle, half)
            .into_iter()
            .map(|(_, layer)| layer)
            .collect();
        let stiffness = laminate::stiffness(&layers).unwrap();
        let mut figures: Vec<Figures> = choices
            .iter()
            .map(|i| self.cloths[*i].choice.figures)
            .collect();
        if let Middle::Core(i) = middle {
            figures.push(self.space.cores[i].figures);
        }
        let sum = |of: &dyn Fn(&Figures) -> f64| figures.iter().map(of).sum::<f64>();
        let conductance = sum(&|f| f.conductance);
        let fill = if conductance > 0.0 {
            sum(&|f| f.pores) / conductance
        } else {
            f64::INFINITY
        };
        let d = stiffness.d;
        let asked = [d[0][0], d[1][1], d[2][2]]
            .into_iter()
            .zip(self.bounds.least_bending);
        let scores: Vec<f64> = asked
            .filter(|(_, least)| *least > 0.0)
            .map(|(d, least)| d / least)
            .collect();
        let score = if scores.is_empty() {
            d[0][0] + d[1][1]
        } else {
            scores.iter().copied().fold(f64::INFINITY, f64::min)
        };
        Plain {
            half: half.to_vec(),
            middle,
            key: [
                sum(&|f| f.mass),
                sum(&|f| f.cost.unwrap_or(f64::INFINITY)),
                sum(&|f| f.fossil),
                layers.iter().map(|layer| layer.thickness).sum(),
                f64::from(fill as f32),
            ],
            score: score as f32,
            stiffness,
        }
    }

    /// Whether a stack keeps the rules of laying and every bound.
    pub(super) fn within(&self, stack: &Plain) -> bool {
        let (space, bounds) = (self.space, self.bounds);
        let layers = self.layers(stack.middle, &stack.half);
        let mut row = 0;
        let mut before = None;
        for (kind, _) in &layers {
            row = if kind.is_some() && *kind == before {
                row + 1
            } else {
                1
            };
            before = *kind;
            if kind.is_some() && row > space.most_alike {
                return false;
            }
        }
        let face = self.whole(stack.middle, &stack.half)[0];
        if space.faces.is_some_and(|faces| !faces.contains(&face)) {
            return false;
        }
        let (a, d) = (stack.stiffness.a, stack.stiffness.d);
        let largest = a
            .iter()
            .flatten()
            .fold(0.0_f64, |most, value| most.max(value.abs()));
        if space.balanced && a[0][2].abs().max(a[1][2].abs()) > 1e-3 * largest {
            return false;
        }
        let stiff = |m: laminate::Matrix3, least: [f64; 3]| {
            (0..3).all(|i| m[i][i] >= least[i] * (1.0 - 1e-9))
        };
        let most = [
            bounds.most_mass,
            bounds.most_cost,
            bounds.most_fossil,
            bounds.most_thickness,
        ];
        let fill = stack.key[4] <= bounds.slowest_fill * (1.0 + 1e-7);
        stiff(d, bounds.least_bending)
            && stiff(a, bounds.least_stretching)
            && (0..4).all(|i| stack.key[i] <= most[i])
            && stack.key[3] >= bounds.least_thickness
            && fill
    }
}

/// Which of two stacks comes first when these goals count before the others.
pub(super) fn compare(first: &[usize], a: &Plain, b: &Plain) -> Ordering {
    for &i in first.iter().chain(&[0, 1, 2, 3, 4]) {
        if a.key[i] != b.key[i] {
            return a.key[i].total_cmp(&b.key[i]);
        }
    }
    (b.score.total_cmp(&a.score))
        .then(a.middle.cmp(&b.middle))
        .then(a.half.cmp(&b.half))
}
