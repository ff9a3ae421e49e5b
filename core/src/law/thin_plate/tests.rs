use super::*;
use crate::law::plate::{self, Plate};
use std::f64::consts::PI;

fn alike(length: f64, width: f64, held: bool) -> Thin {
    Thin {
        length,
        width,
        d: [[1.0, 0.3, 0.0], [0.3, 1.0, 0.0], [0.0, 0.0, 0.35]],
        held,
    }
}

fn k(plate: &Thin) -> f64 {
    buckles(plate).unwrap() * (plate.width / PI).powi(2)
}

#[test]
fn buckling_meets_the_coefficients_of_the_textbook() {
    // Timoshenko and Gere 1961, tables 9-1 and 9-8 (from memory), k in N = k pi^2 D / b^2.
    for (ratio, known) in [
        (0.4, 8.41),
        (0.6, 5.14),
        (1.0, 4.0),
        (1.4, 4.47),
        (2.0, 4.0),
        (3.0, 4.0),
    ] {
        let found = k(&alike(ratio, 1.0, false));
        assert!((found - known).abs() < 0.012, "{ratio}: {found}");
    }
    for (ratio, known) in [(1.0, 10.07), (2.0, 7.88), (3.0, 7.37)] {
        let found = k(&alike(ratio, 1.0, true));
        assert!((found / known - 1.0).abs() < 0.01, "{ratio}: {found}");
    }
    // A very long held plate: 6.97.
    let long = k(&alike(30.0, 1.0, true));
    assert!(long > 6.96 && long < 7.07, "{long}");
}

#[test]
fn buckling_at_rest_is_the_exact_least_over_waves() {
    for (d11, d22, d12, d66) in [
        (1.0, 1.0, 0.1, 0.1),
        (10.0, 1.0, 0.3, 0.4),
        (1.0, 10.0, 0.3, 0.4),
        (3.0, 1.0, 1.2, 1.0),
        (30.0, 1.0, 0.3, 0.3),
    ] {
        for ratio in [0.15, 0.3, 0.7, 1.0, 1.41, 2.0, 3.0, 4.5, 9.0, 20.0] {
            let plate = Thin {
                length: ratio,
                width: 1.0,
                d: [[d11, d12, 0.0], [d12, d22, 0.0], [0.0, 0.0, d66]],
                held: false,
            };
            let exact = (1..60)
                .map(|m| {
                    let m = f64::from(m) / ratio;
                    PI * PI * (d11 * m * m + 2.0 * (d12 + 2.0 * d66) + d22 / (m * m))
                })
                .fold(f64::INFINITY, f64::min);
            assert!((buckles(&plate).unwrap() / exact - 1.0).abs() < 1e-12);
            // The polynomials come to the same; a slant next to nothing asks for them.
            let mut slanted = plate;
            (slanted.d[0][2], slanted.d[2][0]) = (2e-5 * d11, 2e-5 * d11);
            let off = buckles(&slanted).unwrap() / exact - 1.0;
            assert!(off.abs() < 0.006, "{d11} {d22} {ratio}: {off}");
        }
    }
}

#[test]
fn slanted_plies_only_soften() {
    let mut plate = alike(0.8, 0.5, false);
    for held in [false, true] {
        plate.held = held;
        let mut last = (f64::INFINITY, f64::INFINITY, 0.0);
        for slant in [0.0, 0.1, 0.2, 0.3, 0.4] {
            for (i, j) in [(0, 2), (2, 0), (1, 2), (2, 1)] {
                plate.d[i][j] = slant;
            }
            let softer = twisted(&plate, &Load::Pressure(1.0)).unwrap().deflection;
            let now = (buckles(&plate).unwrap(), swings(&plate).unwrap(), softer);
            assert!(
                now.0 < last.0 && now.1 < last.1 && now.2 > last.2,
                "{now:?}"
            );
            last = now;
            let mut mirrored = plate;
            for (i, j) in [(0, 2), (2, 0), (1, 2), (2, 1)] {
                mirrored.d[i][j] = -slant;
            }
            assert!((buckles(&mirrored).unwrap() / now.0 - 1.0).abs() < 1e-6);
        }
    }
}

#[test]
fn without_slants_it_sinks_like_the_series() {
    // The polynomials against the sine series of the other law, through a slant next to nothing.
    for held in [false, true] {
        let mut thin = alike(0.7, 0.5, held);
        for (i, j) in [(0, 2), (2, 0)] {
            thin.d[i][j] = 1e-4;
        }
        for load in [
            Load::Pressure(1.0),
            Load::Patch {
                force: 1.0,
                length: 0.1,
                width: 0.1,
            },
        ] {
            let (x, y) = sides(&thin, 3);
            let energy = Energy::new(&x, &y, false);
            let (q, patch) = match load {
                Load::Pressure(q) => (q, (0.7, 0.5)),
                Load::Patch {
                    force,
                    length,
                    width,
                } => (force / (length * width), (length, width)),
            };
            let mut sunk = energy.load(&thin, q, patch);
            assert!(solve_symmetric(&mut energy.bending(&thin), &mut sunk));
            let (w, m) = energy.places(&thin, &sunk);
            let series = Plate {
                length: 0.7,
                width: 0.5,
                d11: 1.0,
                d12: 0.3,
                d22: 1.0,
                d66: 0.35,
                shear_x: f64::INFINITY,
                shear_y: f64::INFINITY,
            };
            let bent = if held {
                plate::clamped(&series, &load).unwrap()
            } else {
                plate::resting(&series, &load).unwrap()
            };
            let size = bent
                .places
                .iter()
                .fold(0.0_f64, |most, m| most.max(m.x.abs()).max(m.y.abs()));
            assert!((w / bent.deflection - 1.0).abs() < 0.004);
            if matches!(load, Load::Pressure(_)) {
                for (i, (one, other)) in m.iter().zip(&bent.places).enumerate() {
                    // The corner is read a little inwards.
                    assert!(i == 3 || (one.x - other.x).abs() < 1e-3 * size, "{i}");
                    assert!(i == 3 || (one.y - other.y).abs() < 1e-3 * size, "{i}");
                }
            }
        }
    }
}

#[test]
fn slants_soften_as_many_sines_say() {
    // The same energies over 32 by 32 sine waves, other code (numpy), and carried on to endless waves from 16 and 32:
    // deflection of the middle and buckling load over those without D16 and D26.
    for (slant, length, width, sinks, buckled) in [
        (0.25, 1.0, 1.0, 1.1038, 0.8909),
        (0.25, 0.8, 0.5, 1.0801, 0.8781),
        (0.4, 1.0, 1.0, 1.3741, 0.6804),
        (0.4, 0.8, 0.5, 1.2622, 0.6516),
    ] {
        let straight = alike(length, width, false);
        let mut slanted = straight;
        for (i, j) in [(0, 2), (2, 0), (1, 2), (2, 1)] {
            slanted.d[i][j] = slant;
        }
        let w = twisted(&slanted, &Load::Pressure(1.0)).unwrap().deflection;
        let n = buckles(&slanted).unwrap() / buckles(&straight).unwrap();
        assert!((w / sinks - 1.0).abs() < 0.003, "{slant} {length}: {w}");
        assert!((n / buckled - 1.0).abs() < 0.005, "{slant} {length}: {n}");
    }
}
