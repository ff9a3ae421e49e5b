//! Works backwards: the best symmetric stacks that can be laid from some cloths under some bounds.
//!
//! Knows plies as numbers only. Depth-first branch and bound in two levels. The outer level picks how many
//! of each choice one half holds, one ply of the stack more at a time; mass, cost, carbon, thickness, fill
//! and A do not depend on the order and are shared by all orders of a pick. The inner level lays the plies
//! of a pick from the face inwards and looks for the stiffest order that passes the last tests.
//! A branch is left only when the least it can come to (sums only grow; a ratio of sums is never below the
//! least of its ratios) or the most (the stiffest plies outermost) shows that nothing in it can be kept.

mod centre;
mod found;
mod keep;
mod order;
mod pick;
mod reach;
mod size;
mod space;
mod sums;
mod table;
mod tell;
mod wish;

#[cfg(test)]
mod plainly;
#[cfg(test)]
mod promises;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod ties;

pub use found::{Candidate, Outcome};
pub use space::{Choice, Core, Figures, Lamina, Middle, Space};
pub use wish::{Bounds, Goal, Wish};

use crate::law::{LawError, positive, within};
use pick::Search;
use table::Table;

/// Most plies in a stack that is searched for [-].
const MOST_PLIES: f64 = 60.0;

/// The best symmetric stack for each goal, and the trade-off between two goals.
///
/// best_g = min over stacks s of (g(s), the other goals in order, -S(s), order of choices), with
/// S = min over bounds asked of D / least D, or D11 + D22 where none is asked;
/// g sums over both halves and the middle, fill = sum(phi t) / sum(K t), D = 1/3 sum Qbar (z_k^3 - z_k-1^3)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `space` | what may be laid, and the rules of laying | [-] |
/// | `bounds` | bounds on thickness [m], D [Pa m3], A [Pa m], mass [kg/m2], cost, fossil carbon, fill | [1/m2] |
/// | `wish` | which trade-off, and how long to look | [-] |
/// | `accept` | an expensive test; asked only of stacks that pass all else and would be kept | [-] |
///
/// # Returns
/// The best of the whole space, not of a sample, unless [`Outcome::cut_short`] [-]; none where nothing comes up to
/// [`Wish::known`]. The same every time: of stacks that tie at every goal the stiffest is taken, and then the one that
/// uses earlier choices.
/// # Valid for
/// Symmetric stacks of thin plies; `accept` must answer the same for the same stack.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::{laminate::{reduced_stiffness, turned}, micromechanics::Ply};
/// use bastwork::search::{Bounds, Choice, Figures, Goal, Lamina, Middle, Space, Wish, seek};
/// // One unidirectional cloth, 0.25 mm and 0.3 kg/m2 with its resin, laid along or across.
/// let q = reduced_stiffness(&Ply { modulus_along: 22.8e9, modulus_across: 4.52e9, poisson: 0.43, shear_modulus: 1.96e9 })?;
/// let laid = |degrees: f64| Choice {
///     cloth: 0,
///     plies: 1,
///     layers: vec![Lamina { stiffness: turned(&q, degrees.to_radians()), thickness: 0.25e-3 }],
///     figures: Figures { mass: 0.3, cost: None, fossil: 0.5, pores: 0.13e-3, conductance: 5e-15 },
/// };
/// let choices = [laid(0.0), laid(90.0)];
/// let bounds = Bounds { least_bending: [2.0, 1.0, 0.0], ..Bounds::default() };
/// let outcome = seek(&Space::new(&choices, 9), &bounds, &Wish::default(), &mut |_| true)?;
/// // 2000 N mm along and half of that across: five plies, the outer ones along.
/// let lightest = outcome.best(Goal::Lightest).ok_or("none")?;
/// assert_eq!((lightest.plies, &lightest.half[..], lightest.middle), (5, &[0, 1][..], Middle::Ply(1)));
/// assert_eq!(lightest.mass, 1.5);
/// // 2 + 4 + 8 + 16 stacks of even plies, 2 + 4 + 8 + 16 + 32 of odd ones.
/// assert_eq!(outcome.candidates, 92);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
/// # Source
/// Branch and bound: Land and Doig 1960, Econometrica 28, 497-520 (from memory). Stiffness: Kaw 2006,
/// Mechanics of Composite Materials, 2nd ed., chapter 4 (from memory). Exchange of neighbours: arithmetic check.
pub fn seek(
    space: &Space<'_>,
    bounds: &Bounds,
    wish: &Wish<'_>,
    accept: &mut dyn FnMut(&Candidate) -> bool,
) -> Result<Outcome, LawError> {
    check(space)?;
    let table = Table::new(space, bounds);
    let mut outcome = Outcome {
        found: Vec::new(),
        front: Vec::new(),
        candidates: 0,
        worked: 0,
        asked: 0,
        cut_short: false,
        whole_to: 0,
    };
    let Some(first) = table.centres.first() else {
        outcome.whole_to = space.most_plies;
        return Ok(outcome);
    };
    let mut search = Search::new((space, bounds, wish), &table, first, accept);
    'plies: for plies in 1..=space.most_plies {
        for centre in &table.centres {
            // Middles of plies may lie alone: from one ply on, all else has something on its faces.
            let Some(half) = plies.checked_sub(centre.plies).filter(|rest| rest % 2 == 0) else {
                continue;
            };
            search.around(centre, half / 2);
            if search.cut_short {
                break 'plies;
            }
            let size = centre.sizes.get(half as usize / 2).copied().unwrap_or(0);
            outcome.candidates = outcome.candidates.saturating_add(size);
        }
        outcome.whole_to = plies;
    }
    let best = std::mem::take(&mut search.keep.best);
    let mut front = std::mem::take(&mut search.keep.front);
    front.retain(|kept| !kept.is_known());
    let mut show = |kept: &keep::Kept| search.show(kept.mark.middle, &kept.mark.half);
    for (goal, kept) in Goal::ALL.into_iter().zip(&best) {
        let new = kept.as_ref().filter(|kept| !kept.is_known());
        let candidate = new.and_then(&mut show);
        outcome
            .found
            .extend(candidate.map(|candidate| (goal, candidate)));
    }
    let points = front.len().min(wish.most_points);
    for i in 0..points {
        // The ends are kept, and what lies between is thinned evenly.
        let at = i * (front.len() - 1) / (points - 1).max(1);
        outcome.front.extend(front.get(at).and_then(&mut show));
    }
    (outcome.worked, outcome.asked) = (search.worked, search.asked);
    outcome.cut_short = search.cut_short;
    Ok(outcome)
}

fn check(space: &Space<'_>) -> Result<(), LawError> {
    within("most_plies", f64::from(space.most_plies), 1.0, MOST_PLIES)?;
    for choice in space.choices {
        within("plies", f64::from(choice.plies), 1.0, MOST_PLIES)?;
        within("layers", choice.layers.len() as f64, 1.0, MOST_PLIES)?;
        check_layers(&choice.layers, &choice.figures)?;
    }
    for core in space.cores {
        check_layers(std::slice::from_ref(&core.layer), &core.figures)?;
    }
    Ok(())
}

fn check_layers(layers: &[Lamina], figures: &Figures) -> Result<(), LawError> {
    for layer in layers {
        positive("thickness", layer.thickness)?;
        for (i, row) in layer.stiffness.iter().enumerate() {
            for (j, &q) in row.iter().enumerate() {
                let least = if i == j { 0.0 } else { -1e15 };
                within("stiffness", q, least, 1e15)?;
            }
        }
    }
    let known = [
        ("mass", figures.mass),
        ("cost", figures.cost.unwrap_or(0.0)),
        ("fossil", figures.fossil),
        ("pores", figures.pores),
        ("conductance", figures.conductance),
    ];
    for (field, value) in known {
        within(field, value, 0.0, 1e9)?;
    }
    Ok(())
}
