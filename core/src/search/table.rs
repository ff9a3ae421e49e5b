//! Everything the search needs of each choice and middle, worked out once.

use super::centre::{Centre, centres};
use super::space::{Lamina, Space};
use super::sums::{Six, Sums, scale, six, sums};
use super::wish::Bounds;
use crate::solve::sort::sort_by;

/// Bending stiffness a bound may lack through rounding.
const ROUNDING: f64 = 1e-9;

/// One layer of a choice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Flat {
    /// The same number for layers of one cloth that lie alike.
    pub(super) id: usize,
    pub(super) thickness: f64,
    /// What it adds to D of the whole stack for each difference of cubes [Pa].
    pub(super) bend: Six,
}

impl Flat {
    /// D with this layer, written out: the innermost line of the search.
    pub(super) fn added(&self, d: &Six, span: f64) -> Six {
        let [a, b, c, e, f, g] = self.bend;
        [
            d[0] + a * span,
            d[1] + b * span,
            d[2] + c * span,
            d[3] + e * span,
            d[4] + f * span,
            d[5] + g * span,
        ]
    }
}

/// One choice, laid on both faces.
pub(super) struct Line {
    pub(super) cloth: usize,
    pub(super) plies: u32,
    pub(super) thickness: f64,
    pub(super) both: Sums,
    pub(super) layers: Vec<Flat>,
    pub(super) on_face: bool,
}

/// A kind of layer, for sorting by stiffness.
#[derive(Clone, Copy)]
pub(super) struct Entry {
    pub(super) choice: usize,
    pub(super) thickness: f64,
    pub(super) bend: f64,
}

/// All choices and middles, and what is asked of bending.
pub(super) struct Table {
    pub(super) scale: [f64; 6],
    pub(super) lines: Vec<Line>,
    pub(super) centres: Vec<Centre>,
    /// Bending stiffnesses that count, 1 to 3: shares of D11, D22 and D66 in multiples of what is asked.
    pub(super) needs: Vec<Need>,
    /// Least of each, in its own multiples.
    pub(super) least_bend: f64,
    /// By need: layers from the most to the least compliant.
    pub(super) sorted: Vec<Vec<Entry>>,
    /// Choices from the stiffest to the most compliant.
    pub(super) stiffest_first: Vec<usize>,
}

impl Table {
    pub(super) fn new(space: &Space<'_>, bounds: &Bounds) -> Self {
        let scale = scale(space);
        let needs = needs(bounds);
        let flats = flats(space);
        let lines: Vec<Line> = (space.choices.iter().zip(flats).enumerate())
            .map(|(i, (choice, layers))| Line {
                cloth: choice.cloth,
                plies: choice.plies,
                thickness: choice.layers.iter().map(|layer| layer.thickness).sum(),
                both: Sums::NOTHING.plus(&sums(&choice.layers, &choice.figures, &scale), 2),
                layers,
                on_face: space.faces.is_none_or(|faces| faces.contains(&i)),
            })
            .collect();
        let centres = centres(space, &lines, &scale);
        let sorted = (needs.iter())
            .map(|need| {
                let of_line = |(choice, line): (usize, &Line)| {
                    let entry = move |layer: &Flat| Entry {
                        choice,
                        thickness: layer.thickness,
                        bend: share(need, &layer.bend),
                    };
                    line.layers.iter().map(entry).collect::<Vec<_>>()
                };
                let mut all: Vec<Entry> = lines.iter().enumerate().flat_map(of_line).collect();
                sort_by(&mut all, |a, b| a.bend.total_cmp(&b.bend));
                all
            })
            .collect();
        let stiffness = |&i: &usize| {
            let all = |layer: &Flat| {
                needs
                    .iter()
                    .map(|need| share(need, &layer.bend))
                    .sum::<f64>()
            };
            let of = |layer: &Flat| all(layer) * layer.thickness;
            lines.get(i).map_or(0.0, |line| {
                line.layers.iter().map(of).sum::<f64>() / line.thickness
            })
        };
        let mut stiffest_first: Vec<usize> = (0..lines.len()).collect();
        sort_by(&mut stiffest_first, |a, b| {
            stiffness(b).total_cmp(&stiffness(a))
        });
        Self {
            scale,
            needs,
            least_bend: if bounds.least_bending.iter().any(|least| *least > 0.0) {
                1.0 - ROUNDING
            } else {
                0.0
            },
            lines,
            centres,
            sorted,
            stiffest_first,
        }
    }
}

/// Shares of D11, D22 and D66.
pub(super) type Need = [f64; 3];

/// The bending that counts, out of all terms.
pub(super) fn share(need: &Need, d: &Six) -> f64 {
    need[0] * d[0] + need[1] * d[1] + need[2] * d[2]
}

/// One need for each bound; without any, stiffer means a greater D11 + D22.
fn needs(bounds: &Bounds) -> Vec<Need> {
    let mut needs: Vec<Need> = Vec::new();
    for (i, &least) in bounds.least_bending.iter().enumerate() {
        if least > 0.0 {
            let mut need = [0.0; 3];
            need[i] = 1.0 / least;
            needs.push(need);
        }
    }
    if needs.is_empty() {
        needs.push([1.0, 1.0, 0.0]);
    }
    needs
}

fn flats(space: &Space<'_>) -> Vec<Vec<Flat>> {
    let mut kinds: Vec<(usize, Lamina)> = Vec::new();
    let mut all = Vec::new();
    for choice in space.choices {
        let mut flats = Vec::new();
        for layer in &choice.layers {
            let kind = (choice.cloth, *layer);
            let id = kinds.iter().position(|known| *known == kind);
            if id.is_none() {
                kinds.push(kind);
            }
            flats.push(Flat {
                id: id.unwrap_or(kinds.len() - 1),
                thickness: layer.thickness,
                bend: six(&layer.stiffness).map(|q| 2.0 / 3.0 * q),
            });
        }
        all.push(flats);
    }
    all
}
