//! What may lie in the middle, and how many stacks there are around it.

use super::size::{Shared, sequences};
use super::space::{Choice, Figures, Lamina, Middle, Space};
use super::sums::{Six, Sums, six, sums};
use super::table::Line;
use crate::law::laminate::Matrix3;

/// One thing that may lie in the middle.
pub(super) struct Centre {
    pub(super) middle: Middle,
    pub(super) plies: u32,
    pub(super) sums: Sums,
    /// Half its thickness [m].
    pub(super) half: f64,
    /// Its own A [Pa m] and D [Pa m3].
    pub(super) a: Matrix3,
    pub(super) d: Six,
    /// Kind and number of its layers, when they are plies.
    pub(super) alike: Option<(usize, u32)>,
    /// Plies of each cloth that one half may take.
    pub(super) left: Vec<u32>,
    /// Number of stacks by plies of one half.
    pub(super) sizes: Vec<u64>,
}

/// Every middle that the rules and the stock allow.
pub(super) fn centres(space: &Space<'_>, lines: &[Line], scale: &[f64; 6]) -> Vec<Centre> {
    let half_plies = space.most_plies / 2;
    let make = |middle, plies: u32, cloth: usize, layers: &[Lamina], figures: &Figures, alike| {
        let half = 0.5 * layers.iter().map(|layer| layer.thickness).sum::<f64>();
        let q = layers
            .first()
            .map_or([[0.0; 3]; 3], |layer| layer.stiffness);
        let left: Vec<u32> = (space.left.iter().enumerate())
            .map(|(i, &left)| left.saturating_sub(if i == cloth { plies } else { 0 }) / 2)
            .collect();
        let room = half_plies.saturating_sub(plies / 2) as usize;
        Centre {
            middle,
            plies,
            sums: sums(layers, figures, scale),
            half,
            a: q.map(|row| row.map(|q| 2.0 * half * q)),
            d: six(&q).map(|q| 2.0 / 3.0 * half * half * half * q),
            alike,
            sizes: sequences(&stocks(space.choices, &left), room),
            left,
        }
    };
    let mut centres = Vec::new();
    if space.coreless {
        let free = Figures {
            cost: Some(0.0),
            ..Figures::default()
        };
        centres.push(make(Middle::Plain, 0, usize::MAX, &[], &free, None));
    }
    if space.odd && space.coreless {
        for (i, (choice, line)) in space.choices.iter().zip(lines).enumerate() {
            let Some(first) = line.layers.first() else {
                continue;
            };
            let alike = line.layers.iter().all(|layer| layer.id == first.id);
            let count = line.layers.len() as u32;
            let stocked = space
                .left
                .get(choice.cloth)
                .is_none_or(|&left| left >= choice.plies);
            if alike && stocked && choice.plies <= space.most_plies {
                let (layers, figures) = (&choice.layers, &choice.figures);
                let of_one = Some((first.id, count));
                centres.push(make(
                    Middle::Ply(i),
                    choice.plies,
                    choice.cloth,
                    layers,
                    figures,
                    of_one,
                ));
            }
        }
    }
    for (i, core) in space.cores.iter().enumerate() {
        let layers = std::slice::from_ref(&core.layer);
        centres.push(make(
            Middle::Core(i),
            0,
            usize::MAX,
            layers,
            &core.figures,
            None,
        ));
    }
    centres
}

fn stocks(choices: &[Choice], left: &[u32]) -> Vec<Shared> {
    let plies = |cloth: &dyn Fn(usize) -> bool| {
        let of = choices.iter().filter(|choice| cloth(choice.cloth));
        of.map(|choice| choice.plies as usize).collect::<Vec<_>>()
    };
    let mut stocks: Vec<Shared> = (left.iter().enumerate())
        .map(|(i, &most)| Shared {
            plies: plies(&|cloth| cloth == i),
            most: most as usize,
        })
        .collect();
    stocks.push(Shared {
        plies: plies(&|cloth| cloth >= left.len()),
        most: usize::MAX,
    });
    stocks
}
