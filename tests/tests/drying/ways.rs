//! Ways of drying that are none of the judge's: what is still to leave against time.

use super::ovens::{Draws, Truth};

type Left = Box<dyn Fn(f64) -> f64>;

/// One way with numbers of its own; about half has left at `half`, `ramp` is how long the oven takes to come back to its heat.
pub(crate) fn left(draws: &mut Draws, truth: Truth, half: f64, ramp: f64) -> Left {
    match truth {
        Truth::Page => {
            let power = draws.between(0.55, 0.95);
            Box::new(move |t| (-std::f64::consts::LN_2 * (t / half).powf(power)).exp())
        }
        Truth::Slab => {
            let biot = 0.3 * 100_f64.powf(draws.between(0.0, 1.0));
            let terms = slab(biot);
            let gone = terms.clone();
            let unit = halved(&move |fo| series(&gone, fo));
            Box::new(move |t| series(&terms, t / half * unit))
        }
        Truth::ManyPaces => {
            let spread = draws.between(0.5, 1.3);
            let stores: Vec<(f64, f64)> = (-20..=20)
                .map(|k| 0.15 * f64::from(k))
                .map(|z| ((spread * z).exp(), (-0.5 * z * z).exp()))
                .collect();
            let all: f64 = stores.iter().map(|s| s.1).sum();
            let left =
                move |x: f64| stores.iter().map(|(k, w)| w * (-k * x).exp()).sum::<f64>() / all;
            let unit = halved(&left);
            Box::new(move |t| left(t / half * unit))
        }
        _ => {
            let (slow, slower) = (draws.between(0.1, 0.5), draws.between(4.0, 15.0));
            Box::new(move |t| {
                // Heat comes back as 1 - exp(-t / ramp), and the pace with it.
                let t = t - ramp * (1.0 - (-t / ramp).exp());
                let x = std::f64::consts::LN_2 * t / half;
                (1.0 - slow) * (-x).exp() + slow * (-x / slower).exp()
            })
        }
    }
}

/// Where a curve that falls from one comes to a half.
fn halved(left: &impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (0.0, 1e3);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if left(middle) > 0.5 {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// Squares of the roots of b tan b = Bi, and what each term counts.
fn slab(biot: f64) -> Vec<(f64, f64)> {
    let roots = (0..60).map(|k| {
        let (mut low, mut high) = (
            std::f64::consts::PI * f64::from(k),
            std::f64::consts::PI * (f64::from(k) + 0.5),
        );
        for _ in 0..80 {
            let b = 0.5 * (low + high);
            if b * b.tan() < biot {
                low = b;
            } else {
                high = b;
            }
        }
        0.5 * (low + high)
    });
    roots
        .map(|b| {
            let square = b * b;
            (
                square,
                2.0 * biot * biot / (square * (square + biot * biot + biot)),
            )
        })
        .collect()
}

fn series(terms: &[(f64, f64)], fo: f64) -> f64 {
    let all: f64 = terms.iter().map(|t| t.1).sum();
    terms
        .iter()
        .map(|(square, share)| share * (-square * fo).exp())
        .sum::<f64>()
        / all
}
