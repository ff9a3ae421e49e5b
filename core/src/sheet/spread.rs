//! One quantity on its way through the chain: the likely value, its draws, and the inputs behind it.

use crate::law::LawError;
use crate::solve::{Arm, DRAWS, Stencil, order};

/// A quantity with its likely value and one value for every draw.
///
/// The likely value is computed with every input at its median, so that masses still add up; for the
/// smooth, monotone laws used here it is the 50th percentile of the draws to within their scatter.
#[derive(Debug, Clone)]
pub struct Spread {
    likely: f64,
    /// Empty when the quantity has no range at all.
    draws: Vec<f64>,
    /// Which inputs it stands on: sorted numbers of the desk's columns.
    inputs: Vec<u16>,
}

impl Spread {
    /// A number without a range and without an input.
    pub fn exact(value: f64) -> Self {
        Self {
            likely: value,
            draws: Vec::new(),
            inputs: Vec::new(),
        }
    }

    pub(super) fn of_input(likely: f64, draws: Vec<f64>, input: u16) -> Self {
        Self {
            likely,
            draws,
            inputs: vec![input],
        }
    }

    /// The value with every input at its median.
    pub fn likely(&self) -> f64 {
        self.likely
    }

    /// The value in draw `k`.
    pub fn draw(&self, k: usize) -> f64 {
        self.draws.get(k).copied().unwrap_or(self.likely)
    }

    /// All draws; empty when there is no range.
    pub(super) fn draws(&self) -> &[f64] {
        &self.draws
    }

    pub(super) fn inputs(&self) -> &[u16] {
        &self.inputs
    }

    /// The smallest value among the likely one and the draws.
    pub fn smallest(&self) -> f64 {
        self.draws.iter().copied().fold(self.likely, f64::min)
    }

    /// The largest value among the likely one and the draws.
    pub fn largest(&self) -> f64 {
        self.draws.iter().copied().fold(self.likely, f64::max)
    }

    /// Share of the draws for which `holds` is true, between 0 and 1.
    pub fn share(&self, holds: impl Fn(f64) -> bool) -> f64 {
        let hits = (0..DRAWS).filter(|&k| holds(self.draw(k))).count();
        hits as f64 / DRAWS as f64
    }

    /// This quantity sent through a law of one argument.
    pub fn map(&self, f: impl Fn(f64) -> f64) -> Self {
        Self::from([self], |[x]| f(x))
    }

    /// This quantity times a plain number.
    pub fn times(&self, factor: f64) -> Self {
        self.map(|x| x * factor)
    }

    /// The sum of several quantities.
    pub fn sum<'a>(parts: impl IntoIterator<Item = &'a Spread>) -> Self {
        let parts: Vec<&Spread> = parts.into_iter().collect();
        gather_one(&parts, &mut |values| values.iter().sum())
    }

    /// Several quantities sent through a law.
    pub fn of<const N: usize>(
        inputs: [&Spread; N],
        mut law: impl FnMut([f64; N]) -> Result<f64, LawError>,
    ) -> Result<Self, LawError> {
        try_gather_one(&inputs, &mut |values| law(fixed(values)))
    }

    /// Several quantities sent through arithmetic that cannot fail.
    pub fn from<const N: usize>(inputs: [&Spread; N], f: impl Fn([f64; N]) -> f64) -> Self {
        gather_one(&inputs, &mut |values| f(fixed(values)))
    }

    /// Several quantities sent through a law with several results.
    pub fn several<const N: usize, const M: usize>(
        inputs: [&Spread; N],
        mut law: impl FnMut([f64; N]) -> Result<[f64; M], LawError>,
    ) -> Result<[Self; M], LawError> {
        Self::many(&inputs, |values| law(fixed(values)))
    }

    /// Any number of quantities sent through a law with several results.
    pub fn many<const M: usize>(
        inputs: &[&Spread],
        mut law: impl FnMut(&[f64]) -> Result<[f64; M], LawError>,
    ) -> Result<[Self; M], LawError> {
        let law: &mut Law<'_> = &mut |values, out| {
            out.copy_from_slice(&law(values)?);
            Ok(())
        };
        try_gather(inputs, M, law).map(told_apart)
    }

    /// Several quantities sent through a heavy law: solved at a few points, interpolated for the draws.
    ///
    /// The law runs once with every input likely, and twice for each input that has a range.
    pub fn heavy<const N: usize, const M: usize>(
        inputs: [&Spread; N],
        mut law: impl FnMut([f64; N]) -> Result<[f64; M], LawError>,
    ) -> Result<[Self; M], LawError> {
        let law: &mut Law<'_> = &mut |values, out| {
            out.copy_from_slice(&law(fixed(values))?);
            Ok(())
        };
        gather_heavy(&inputs, M, law).map(told_apart)
    }

    /// Middle and outer points for a heavy law: about the 4th and 96th percentile.
    fn arm(&self) -> Arm {
        let middle = self.likely;
        if self.draws.is_empty() {
            return Arm {
                low: middle,
                middle,
                high: middle,
            };
        }
        let order = order(&self.draws);
        let at = |rank: usize| self.draws[usize::from(order[rank])];
        let edge = DRAWS / 25;
        Arm {
            low: at(edge).min(middle),
            middle,
            high: at(DRAWS - 1 - edge).max(middle),
        }
    }
}

fn fixed<const N: usize>(values: &[f64]) -> [f64; N] {
    std::array::from_fn(|i| values[i])
}

fn told_apart<const M: usize>(spreads: Vec<Spread>) -> [Spread; M] {
    let mut spreads = spreads.into_iter();
    std::array::from_fn(|_| next_of(&mut spreads))
}

fn next_of(spreads: &mut impl Iterator<Item = Spread>) -> Spread {
    spreads.next().unwrap_or_else(|| Spread::exact(0.0))
}

// What follows is not generic, so that it stands in the program once.

/// What is done with one row of values where that can fail: it fills a row of results.
type Law<'a> = dyn FnMut(&[f64], &mut [f64]) -> Result<(), LawError> + 'a;

fn gather_one(parts: &[&Spread], f: &mut dyn FnMut(&[f64]) -> f64) -> Spread {
    let spreads = gather(parts, 1, &mut |values, out| out[0] = f(values));
    next_of(&mut spreads.into_iter())
}

fn try_gather_one(
    parts: &[&Spread],
    law: &mut dyn FnMut(&[f64]) -> Result<f64, LawError>,
) -> Result<Spread, LawError> {
    let law: &mut Law<'_> = &mut |values, out| {
        out[0] = law(values)?;
        Ok(())
    };
    let spreads = try_gather(parts, 1, law)?;
    Ok(next_of(&mut spreads.into_iter()))
}

/// Every draw is sent through the law, also when it has failed for one: it may count them.
fn try_gather(
    parts: &[&Spread],
    results: usize,
    law: &mut Law<'_>,
) -> Result<Vec<Spread>, LawError> {
    let mut failed = None;
    let spreads = gather(parts, results, &mut |values, out| {
        if let Err(why) = law(values, out) {
            failed.get_or_insert(why);
        }
    });
    failed.map_or(Ok(spreads), Err)
}

fn gather_heavy(
    parts: &[&Spread],
    results: usize,
    law: &mut Law<'_>,
) -> Result<Vec<Spread>, LawError> {
    let arms: Vec<Arm> = parts.iter().map(|part| part.arm()).collect();
    let mut at: Vec<f64> = arms.iter().map(|arm| arm.middle).collect();
    let mut centre = vec![0.0; results];
    law(&at, &mut centre)?;
    let mut outer = vec![Vec::with_capacity(arms.len()); results];
    let (mut low, mut high) = (centre.clone(), centre.clone());
    for (i, arm) in arms.iter().enumerate() {
        if arm.moves() {
            at[i] = arm.low;
            law(&at, &mut low)?;
            at[i] = arm.high;
            law(&at, &mut high)?;
            at[i] = arm.middle;
        } else {
            low.copy_from_slice(&centre);
            high.copy_from_slice(&centre);
        }
        for (pairs, ends) in outer
            .iter_mut()
            .zip(low.iter().copied().zip(high.iter().copied()))
        {
            pairs.push(ends);
        }
    }
    let stencils: Vec<Stencil> = outer
        .into_iter()
        .zip(centre)
        .map(|(pairs, centre)| Stencil::new(arms.clone(), centre, pairs))
        .collect();
    Ok(gather(parts, results, &mut |at, out| {
        for (value, stencil) in out.iter_mut().zip(&stencils) {
            *value = stencil.value(at);
        }
    }))
}

/// What is done with one row of values: it fills a row of results.
type Each<'a> = dyn FnMut(&[f64], &mut [f64]) + 'a;

/// The one loop over the draws.
fn gather(parts: &[&Spread], results: usize, f: &mut Each<'_>) -> Vec<Spread> {
    let mut inputs: Vec<u16> = parts
        .iter()
        .flat_map(|p| p.inputs.iter().copied())
        .collect();
    inputs.sort_unstable();
    inputs.dedup();
    let ranged = parts.iter().any(|p| !p.draws.is_empty());
    let count = if ranged { DRAWS } else { 0 };
    let mut row: Vec<f64> = parts.iter().map(|p| p.likely).collect();
    let mut out = vec![0.0; results];
    f(&row, &mut out);
    let mut spreads: Vec<Spread> = out
        .iter()
        .map(|&likely| Spread {
            likely,
            draws: Vec::with_capacity(count),
            inputs: inputs.clone(),
        })
        .collect();
    for k in 0..count {
        for (value, part) in row.iter_mut().zip(parts) {
            *value = part.draw(k);
        }
        f(&row, &mut out);
        for (spread, &value) in spreads.iter_mut().zip(&out) {
            spread.draws.push(value);
        }
    }
    spreads
}
