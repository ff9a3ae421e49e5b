//! A quick look at a panel or strip: is it far too soft for its load?
//!
//! One wave of the deflected shape instead of the whole series, with room for what that leaves out, brought closer by
//! plates of a like shape. It only says no where the full answer says no as well; whatever passes is worked out in full.

use crate::law::LawError;
use crate::law::laminate::Matrix3;
use crate::plan::{Held, LoadCase, Sides};
use crate::stage::stack::{Bending, Stated};
use std::cell::RefCell;
use std::collections::HashMap;
use std::f64::consts::PI;

/// The least that the middle of a panel sinks, as a share of what one wave says: a long panel under an even pressure
/// sinks by a quarter less, a force on a wide patch and a held edge by up to two fifths.
const RESTING_EVEN: f64 = 0.75;
const RESTING_PATCH: f64 = 0.7;
const RESTING_SMALL: f64 = 0.9;
const HELD: f64 = 0.65;

/// A patch up to this share of the sides is small.
const SMALL: f64 = 0.4;

/// How far apart the shapes of plates lie that are worked out in full, in logarithms of their ratios of stiffness.
const STEP: f64 = 0.2;

/// What may lie below the least of four such shapes, between them.
const BETWEEN: f64 = 0.99;

/// D16 and D26, over the roots of what stands on either side, above which the middle is not told by shape.
const MUCH: f64 = 0.25;

/// By how much plates of some shapes really sink over the quick look, each worked out once.
///
/// Without shear and twist the middle of a plate sinks as D11/D22 and (D12 + 2 D66)/(D11 D22)^(1/2) say, but for its
/// size: what holds at four such shapes holds between them.
#[derive(Default)]
pub(super) struct Shapes(RefCell<HashMap<[i16; 2], Shape>>);

/// Four shapes, and where a plate lies between them.
type Around = ([Shape; 4], [f64; 2]);

/// A plate of one shape, D22 of it 1.
#[derive(Clone, Copy)]
struct Shape {
    /// Deflection over the quick look's [-].
    over_quick: f64,
    /// How its middle is bent, along and across [1/m].
    middle: [f64; 2],
}

impl Shapes {
    /// As [`surely_sinks`], closer to the whole answer.
    pub(super) fn surely_sink(&self, stated: &Stated, d: &Matrix3) -> Result<f64, LawError> {
        let quick = surely_sinks(stated, d);
        let Some((around, _)) = self.around(stated, d)? else {
            return Ok(quick);
        };
        let least = around.iter().map(|shape| shape.over_quick);
        Ok(quick * (BETWEEN * least.fold(f64::INFINITY, f64::min)).max(1.0))
    }

    /// Moments in the middle of a panel [N], about: along, across, twist; none where much bending turns into twist.
    pub(super) fn about_middle(
        &self,
        stated: &Stated,
        d: &Matrix3,
    ) -> Result<Option<[f64; 3]>, LawError> {
        let turns = |i: usize| d[i][2].abs() > MUCH * (d[i][i] * d[2][2]).sqrt();
        let Some((around, [u, v])) = self.around(stated, d)?.filter(|_| !turns(0) && !turns(1))
        else {
            return Ok(None);
        };
        let weights = [(1.0 - u) * (1.0 - v), u * (1.0 - v), (1.0 - u) * v, u * v];
        let bent: [f64; 2] = std::array::from_fn(|i| {
            let each = weights.iter().zip(&around);
            each.map(|(weight, shape)| weight * shape.middle[i] / d[1][1])
                .sum()
        });
        Ok(Some(d.map(|row| row[0] * bent[0] + row[1] * bent[1])))
    }

    /// The four shapes around that of a panel, and where it lies between them; none for what is no panel.
    fn around(&self, stated: &Stated, d: &Matrix3) -> Result<Option<Around>, LawError> {
        let (d11, d22) = (d[0][0], d[1][1]);
        let mixed = d[0][1] + 2.0 * d[2][2];
        if !stated.is_panel() || mixed <= 0.0 {
            return Ok(None);
        }
        let place = [d11 / d22, mixed / (d11 * d22).sqrt()].map(|ratio| ratio.ln() / STEP);
        let far = f64::from(i16::MAX - 1);
        if place.iter().any(|place| place.abs() > far) {
            return Ok(None);
        }
        // Casts of small whole numbers.
        let [i, j] = place.map(|place| place.floor() as i16);
        let shapes = [
            self.shape(stated, [i, j])?,
            self.shape(stated, [i + 1, j])?,
            self.shape(stated, [i, j + 1])?,
            self.shape(stated, [i + 1, j + 1])?,
        ];
        Ok(Some((shapes, place.map(|place| place - place.floor()))))
    }

    fn shape(&self, stated: &Stated, place: [i16; 2]) -> Result<Shape, LawError> {
        if let Some(known) = self.0.borrow().get(&place) {
            return Ok(*known);
        }
        let [d11, mixed] = place.map(|place| (f64::from(place) * STEP).exp());
        let d66 = 0.5 * mixed * d11.sqrt();
        let d = [[d11, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, d66]];
        let full = stated.bend(&Bending::solid(&d))?;
        let [along, across, _] = full.moments[0];
        let shape = Shape {
            over_quick: full.deflection / surely_sinks(stated, &d),
            middle: [along / d11, across],
        };
        self.0.borrow_mut().insert(place, shape);
        Ok(shape)
    }
}

/// Deflection that the load reaches for certain [m]; nothing where that cannot be said quickly.
fn surely_sinks(stated: &Stated, d: &Matrix3) -> f64 {
    let (a, b) = (stated.length, stated.width);
    match stated.case {
        LoadCase::Pressure | LoadCase::Point => {}
        LoadCase::StripMiddle => {
            return stated.force * a.powi(3) / (48.0 * d[0][0] * b);
        }
        LoadCase::StripEven => return 5.0 * stated.pressure * a.powi(4) / (384.0 * d[0][0]),
        LoadCase::StripEnd => return stated.force * a.powi(3) / (3.0 * d[0][0] * b),
        LoadCase::Edge => return 0.0,
    }
    let side = |whole: f64| stated.patch.clamp(0.02 * whole, whole);
    let (u, v) = (side(a), side(b));
    let ends = d[0][0] / a.powi(4) + d[1][1] / b.powi(4);
    let twist = (2.0 * d[0][1] + 4.0 * d[2][2]) / (a * b).powi(2);
    match stated.held {
        Held::Resting => {
            let stiff = PI.powi(4) * (ends + twist);
            if stated.case == LoadCase::Pressure {
                return RESTING_EVEN * 16.0 * stated.pressure / (PI * PI * stiff);
            }
            let small = u <= SMALL * a && v <= SMALL * b;
            // Under a small patch the first few waves all push the middle the same way.
            let (waves, share): (&[f64], f64) = if small {
                (&[1.0, 3.0, 5.0], RESTING_SMALL)
            } else {
                (&[1.0], RESTING_PATCH)
            };
            let mut sinks = 0.0;
            for &m in waves {
                for &n in waves {
                    let under = (m * PI * u / (2.0 * a)).sin() * (n * PI * v / (2.0 * b)).sin();
                    let ends = d[0][0] * (m / a).powi(4) + d[1][1] * (n / b).powi(4);
                    let twist = (2.0 * d[0][1] + 4.0 * d[2][2]) * (m * n / (a * b)).powi(2);
                    sinks += under.max(0.0) / (m * n * (ends + twist));
                }
            }
            share * 16.0 * stated.force / (PI.powi(6) * u * v) * sinks
        }
        Held::Clamped => {
            let stiff = a * b * PI.powi(4) * (0.75 * ends + 0.25 * twist);
            if stated.case == LoadCase::Pressure {
                HELD * 0.25 * stated.pressure * a * b / stiff
            } else {
                // Mean height of the wave (1 - cos)/2 under the patch.
                let under = |u: f64, a: f64| 0.5 * (1.0 + (PI * u / a).sin() / (PI * u / a));
                let mean = under(u, a) * under(v, b);
                HELD * stated.force * mean / stiff
            }
        }
    }
}

/// Push at which a flat part buckles at most [N/m]: that of one shape of buckle, shear left out. The true one is less.
pub(super) fn buckles_at_most(stated: &Stated, d: &Matrix3) -> f64 {
    let (a, b) = (stated.length, stated.width);
    match (stated.sides, stated.held) {
        (Sides::Free, Held::Resting) => d[0][0] * (PI / a).powi(2),
        (Sides::Free, Held::Clamped) => d[0][0] * (2.0 * PI / a).powi(2),
        (Sides::Held, Held::Resting) => (1..9)
            .map(|m| {
                let (x, y) = ((PI * f64::from(m) / a).powi(2), (PI / b).powi(2));
                d[0][0] * x + 2.0 * (d[0][1] + 2.0 * d[2][2]) * y + d[1][1] * y * y / x
            })
            .fold(f64::INFINITY, f64::min),
        (Sides::Held, Held::Clamped) => {
            // One hump of (1 - cos)(1 - cos).
            let (x, y) = ((2.0 * PI / a).powi(2), (2.0 * PI / b).powi(2));
            let turned = (2.0 * d[0][1] + 4.0 * d[2][2]) / 3.0;
            d[0][0] * x + turned * y + d[1][1] * y * y / x
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::bears::FAR;
    use super::*;
    use crate::solve::solve_symmetric;
    use rand::{RngExt, SeedableRng};
    use rand_pcg::Pcg64Mcg;

    #[test]
    fn never_says_more_than_the_whole_series() {
        let mut draw = Pcg64Mcg::seed_from_u64(11);
        let (mut near, mut close) = (0, 0);
        for case in [
            LoadCase::Pressure,
            LoadCase::Point,
            LoadCase::StripMiddle,
            LoadCase::StripEven,
            LoadCase::StripEnd,
        ] {
            for held in [Held::Resting, Held::Clamped] {
                let mut worst = 0.0_f64;
                for _ in 0..1500 {
                    let mut between =
                        |low: f64, high: f64| low * (high / low).powf(draw.random_range(0.0..1.0));
                    let (d11, d22) = (between(0.5, 100.0), between(0.5, 100.0));
                    let middle = (d11 * d22).sqrt();
                    let d12 = between(0.02, 0.6) * middle;
                    let d66 = between(0.02, 0.8) * middle;
                    let stated = Stated {
                        case,
                        held,
                        sides: Sides::Free,
                        wide: true,
                        length: between(0.2, 2.0),
                        width: between(0.2, 2.0),
                        pressure: 1000.0,
                        force: 200.0,
                        patch: between(0.02, 1.0),
                        edge: 0.0,
                    };
                    let d = [[d11, d12, 0.0], [d12, d22, 0.0], [0.0, 0.0, d66]];
                    let bent = stated.bend(&Bending::solid(&d)).unwrap();
                    let full = bent.deflection;
                    let quick = surely_sinks(&stated, &d);
                    worst = worst.max(quick / full);
                    near += usize::from(quick > 0.4 * full);
                    let shapes = Shapes::default();
                    let closer = shapes.surely_sink(&stated, &d).unwrap();
                    worst = worst.max(closer / full);
                    close += usize::from(closer > 0.9 * full);
                    if let Some(about) = shapes.about_middle(&stated, &d).unwrap() {
                        let [along, across, _] = bent.moments[0];
                        let off = (about[0] - along).abs().max((about[1] - across).abs());
                        assert!(
                            off < 0.03 * along.abs().max(across.abs()),
                            "{about:?} {along} {across}"
                        );
                    }
                }
                assert!(worst <= 1.0, "{case:?} {held:?} {worst}");
            }
        }
        assert!(near > 9000, "only {near} of 15000 are of any use");
        assert!(close > 13_000, "only {close} of 15000 are close");
    }

    #[test]
    fn the_middle_is_bent_at_least_about_as_it_says_where_bending_turns_into_twist() {
        let mut draw = Pcg64Mcg::seed_from_u64(13);
        let mut worst = 0.0_f64;
        for (case, held) in [
            (LoadCase::Pressure, Held::Resting),
            (LoadCase::Pressure, Held::Clamped),
            (LoadCase::Point, Held::Resting),
            (LoadCase::Point, Held::Clamped),
        ] {
            for _ in 0..400 {
                let mut between =
                    |low: f64, high: f64| low * (high / low).powf(draw.random_range(0.0..1.0));
                let (d11, d22) = (between(2.0, 30.0), between(2.0, 30.0));
                let middle = (d11 * d22).sqrt();
                let (d12, d66) = (between(0.05, 0.6) * middle, between(0.1, 0.7) * middle);
                let d16 = between(0.01, 0.999 * MUCH) * (d11 * d66).sqrt();
                let d26 = between(0.01, 0.999 * MUCH) * (d22 * d66).sqrt();
                let stated = Stated {
                    case,
                    held,
                    sides: Sides::Free,
                    wide: true,
                    length: between(0.3, 1.2),
                    width: between(0.3, 1.2),
                    pressure: 1000.0,
                    force: 200.0,
                    patch: between(0.04, 0.2),
                    edge: 0.0,
                };
                let d = [[d11, d12, d16], [d12, d22, d26], [d16, d26, d66]];
                let about = Shapes::default()
                    .about_middle(&stated, &d)
                    .unwrap()
                    .unwrap();
                let bent = stated.bend(&Bending::solid(&d)).unwrap();
                let curved = |m: &[f64; 3]| {
                    let (mut d, mut m) = (d.concat(), m.to_vec());
                    assert!(solve_symmetric(&mut d, &mut m));
                    m
                };
                // Strain along every direction in which it is a good part of the largest.
                let along = |k: &[f64], i: i32| {
                    let (s, c) = (PI * f64::from(i) / 36.0).sin_cos();
                    (k[0] * c * c + k[1] * s * s + k[2] * s * c).abs()
                };
                let rough = curved(&about);
                let most = (0..36).map(|i| along(&rough, i)).fold(0.0, f64::max);
                let places: Vec<_> = bent.moments.iter().map(curved).collect();
                for i in (0..36).filter(|&i| along(&rough, i) > 0.5 * most) {
                    let full = places.iter().map(|k| along(k, i)).fold(0.0, f64::max);
                    worst = worst.max(along(&rough, i) / full);
                }
            }
        }
        assert!((1.0..1.0 / FAR).contains(&worst), "{worst}");
    }

    #[test]
    fn never_says_less_than_the_whole_push() {
        let mut draw = Pcg64Mcg::seed_from_u64(12);
        for held in [Held::Resting, Held::Clamped] {
            for sides in [Sides::Free, Sides::Held] {
                let mut closest = f64::INFINITY;
                for _ in 0..60 {
                    let mut between =
                        |low: f64, high: f64| low * (high / low).powf(draw.random_range(0.0..1.0));
                    let (d11, d22) = (between(0.5, 50.0), between(0.5, 50.0));
                    let middle = (d11 * d22).sqrt();
                    let (d12, d66) = (between(0.02, 0.6) * middle, between(0.1, 0.8) * middle);
                    let (d16, d26) = (between(0.01, 0.15) * d66, between(0.01, 0.15) * d66);
                    let stated = Stated {
                        case: LoadCase::Edge,
                        held,
                        sides,
                        length: between(0.2, 2.0),
                        width: between(0.2, 2.0),
                        pressure: 0.0,
                        force: 0.0,
                        patch: 0.06,
                        edge: -1000.0,
                        wide: true,
                    };
                    let d = [[d11, d12, d16], [d12, d22, d26], [d16, d26, d66]];
                    let buckles = stated.buckles(&Bending::solid(&d)).unwrap();
                    let most = buckles_at_most(&stated, &d) / buckles;
                    closest = closest.min(most);
                    assert!(
                        most > 0.999,
                        "{held:?} {sides:?}: {most} {stated_length}",
                        stated_length = stated.length / stated.width
                    );
                }
                assert!(closest < 1.2, "{closest}");
            }
        }
    }
}
