//! Checks of the laminate law against worked examples and invariants.

use super::super::micromechanics::{Constituents, unidirectional};
use super::*;

const GRAPHITE: Ply = Ply {
    modulus_along: 181e9,
    modulus_across: 10.3e9,
    poisson: 0.28,
    shear_modulus: 7.17e9,
};
const FLAX: Ply = Ply {
    modulus_along: 22.8e9,
    modulus_across: 4.52e9,
    poisson: 0.43,
    shear_modulus: 1.96e9,
};

fn stack(ply: Ply, degrees: &[f64], thickness: f64) -> Vec<Layer> {
    degrees
        .iter()
        .map(|d| Layer {
            ply,
            angle: d.to_radians(),
            thickness,
        })
        .collect()
}

fn close(found: &Matrix3, expected: &Matrix3) {
    let size = expected
        .iter()
        .flatten()
        .fold(0.0_f64, |m, v| m.max(v.abs()));
    for (f, e) in found.iter().flatten().zip(expected.iter().flatten()) {
        assert!((f - e).abs() < 1e-4 * e.abs() + 1e-6 * size, "{f} {e}");
    }
}

#[test]
fn book_example_of_three_plies() {
    // Kaw 2006, Mechanics of Composite Materials, 2nd ed., examples 4.2 and 4.3 (from memory, recomputed).
    let q = reduced_stiffness(&GRAPHITE).unwrap();
    close(
        &turned(&q, 30.0_f64.to_radians()),
        &[
            [109.38e9, 32.463e9, 54.193e9],
            [32.463e9, 23.647e9, 20.054e9],
            [54.193e9, 20.054e9, 36.736e9],
        ],
    );
    close(
        &turned(&q, -45.0_f64.to_radians()),
        &[
            [56.658e9, 42.318e9, -42.866e9],
            [42.318e9, 56.658e9, -42.866e9],
            [-42.866e9, -42.866e9, 46.591e9],
        ],
    );
    let s = stiffness(&stack(GRAPHITE, &[0.0, 30.0, -45.0], 5e-3)).unwrap();
    close(
        &s.a,
        &[
            [1.7392e9, 3.8839e8, 5.6634e7],
            [3.8839e8, 4.5325e8, -1.1406e8],
            [5.6634e7, -1.1406e8, 4.5248e8],
        ],
    );
    close(
        &s.b,
        &[
            [-3.1288e6, 9.8552e5, -1.0717e6],
            [9.8552e5, 1.1578e6, -1.0717e6],
            [-1.0717e6, -1.0717e6, 9.8552e5],
        ],
    );
    close(
        &s.d,
        &[
            [3.3432e4, 6.4610e3, -5.2403e3],
            [6.4610e3, 9.3198e3, -5.5959e3],
            [-5.2403e3, -5.5959e3, 7.6628e3],
        ],
    );
    let c = compliance(&s).unwrap();
    let expected = [
        3.1229e-7, 3.4917e-6, -7.5984e-7, 2.9714e-5, -3.2850e-4, 4.1015e-4,
    ];
    for (row, e) in c.iter().zip(expected) {
        let found = 1000.0 * (row[0] + row[1]);
        assert!((found / e - 1.0).abs() < 1e-4, "{found} {e}");
    }
}

#[test]
fn flax_stacks() {
    // Classical laminate theory evaluated apart from this code (arithmetic check).
    let cross = [
        0.0, 90.0, 0.0, 90.0, 0.0, 90.0, 90.0, 0.0, 90.0, 0.0, 90.0, 0.0,
    ];
    let e = apparent(&stiffness(&stack(FLAX, &cross, 0.25e-3)).unwrap()).unwrap();
    assert!((e.modulus_x / 13.893e9 - 1.0).abs() < 1e-4);
    assert!((e.modulus_y / e.modulus_x - 1.0).abs() < 1e-9);
    assert!((e.shear_modulus / 1.960e9 - 1.0).abs() < 1e-4);
    assert!((e.poisson - 0.1423).abs() < 6e-5);
    assert!(!e.unsymmetric && !e.unbalanced);

    let bias: Vec<f64> = cross.iter().map(|d| d - 45.0).collect();
    let e = apparent(&stiffness(&stack(FLAX, &bias, 0.25e-3)).unwrap()).unwrap();
    assert!(
        (e.modulus_x / 6.312e9 - 1.0).abs() < 1e-4,
        "{}",
        e.modulus_x
    );
    assert!((e.shear_modulus / 6.081e9 - 1.0).abs() < 1e-4);
    assert!((e.poisson - 0.6103).abs() < 6e-5);

    let quasi = [0.0, 45.0, -45.0, 90.0, 90.0, -45.0, 45.0, 0.0];
    let s = stiffness(&stack(FLAX, &quasi, 0.25e-3)).unwrap();
    let e = apparent(&s).unwrap();
    assert!((e.modulus_x / 10.747e9 - 1.0).abs() < 1e-4);
    assert!((e.poisson - 0.3365).abs() < 6e-5);
    assert!((e.bending_modulus_x / 15.888e9 - 1.0).abs() < 1e-4);
    assert!((e.shear_modulus / (e.modulus_x / (2.0 * (1.0 + e.poisson))) - 1.0).abs() < 1e-9);
    assert!((s.a[0][0] / s.a[1][1] - 1.0).abs() < 1e-12);
    assert!((s.a[2][2] / (0.5 * (s.a[0][0] - s.a[0][1])) - 1.0).abs() < 1e-9);
    assert!(largest_of(&s.b) < 1e-9 * largest_of(&s.a) * s.thickness);
}

fn largest_of(m: &Matrix3) -> f64 {
    m.iter().flatten().fold(0.0, |most, v| most.max(v.abs()))
}

#[test]
fn turning_keeps_the_invariants_and_comes_back() {
    let q = reduced_stiffness(&FLAX).unwrap();
    let sum = q[0][0] + q[1][1] + 2.0 * q[0][1];
    let shear = q[2][2] - q[0][1];
    for angle in [0.2, 0.9, 1.6, -2.2] {
        let bar = turned(&q, angle);
        assert!(((bar[0][0] + bar[1][1] + 2.0 * bar[0][1]) / sum - 1.0).abs() < 1e-12);
        assert!((bar[2][2] - bar[0][1] - shear).abs() < 1e-3);
        let other = turned(&q, angle + std::f64::consts::PI);
        close(&other, &bar);
    }
}

#[test]
fn flags_tell_unsymmetric_from_unbalanced() {
    let flags = |degrees: &[f64]| {
        let e = apparent(&stiffness(&stack(FLAX, degrees, 0.5e-3)).unwrap()).unwrap();
        (e.unsymmetric, e.unbalanced)
    };
    assert_eq!(flags(&[0.0]), (false, false));
    assert_eq!(flags(&[0.0, 90.0]), (true, false));
    assert_eq!(flags(&[30.0]), (false, true));
    assert_eq!(flags(&[30.0, -30.0]), (true, false));
    assert_eq!(flags(&[30.0, -30.0, -30.0, 30.0]), (false, false));
    assert_eq!(flags(&[0.0, 20.0]), (true, true));
}

#[test]
fn bending_modulus_of_an_unsymmetric_pair_against_beam_theory() {
    // Two isotropic layers of modulus 3:1 and no Poisson effect: a composite beam about its own neutral axis.
    let solid = |e: f64| Ply {
        modulus_along: e,
        modulus_across: e,
        poisson: 0.0,
        shear_modulus: 0.5 * e,
    };
    let layers = [(3e9, 1e-3), (1e9, 1e-3)].map(|(e, thickness)| Layer {
        ply: solid(e),
        angle: 0.0,
        thickness,
    });
    let found = apparent(&stiffness(&layers).unwrap()).unwrap();
    let neutral: f64 = (3.0 * -0.5e-3 + 1.0 * 0.5e-3) / 4.0;
    let own = 1e-9_f64 / 12.0;
    let rigidity = 3e9 * (own + 1e-3 * (-0.5e-3 - neutral).powi(2))
        + 1e9 * (own + 1e-3 * (0.5e-3 - neutral).powi(2));
    assert!((found.bending_modulus_x / (12.0 * rigidity / 8e-9) - 1.0).abs() < 1e-9);
    assert!(found.unsymmetric && !found.unbalanced);
}

#[test]
fn a_weave_is_its_crossed_half_plies() {
    let weave = woven_ply(&FLAX, 0.5, 1.0).unwrap();
    let crossed = stiffness(&stack(FLAX, &[0.0, 90.0, 90.0, 0.0], 0.25e-3)).unwrap();
    let woven = stiffness(&stack(weave, &[0.0, 0.0], 0.5e-3)).unwrap();
    close(&woven.a, &crossed.a);
    let e = apparent(&woven).unwrap();
    assert!((e.bending_modulus_x / e.modulus_x - 1.0).abs() < 1e-9);
    assert!(!e.unsymmetric);
    let uneven = woven_ply(&FLAX, 0.7, 1.0).unwrap();
    assert!(uneven.modulus_along > weave.modulus_along);
    assert_eq!(
        woven_ply(&FLAX, 1.0, 1.0).unwrap().modulus_along.round(),
        22.8e9
    );
}

#[test]
fn infused_weave_table() {
    // Arithmetic check: flax 50.7 GPa in epoxy 3.2 GPa, GPa without and with crimp 0.85.
    let parts = Constituents {
        fibre_along: 50.7e9,
        fibre_across: 8e9,
        fibre_shear: 2.5e9,
        fibre_poisson: 0.498,
        matrix_modulus: 3.2e9,
        matrix_poisson: 0.345,
    };
    for (v, p, plain, crimped) in [
        (0.25, 0.03, 9.1, 7.7),
        (0.30, 0.03, 10.3, 8.8),
        (0.35, 0.03, 11.5, 9.8),
        (0.40, 0.02, 13.1, 11.1),
    ] {
        let ply = unidirectional(&parts, v, p).unwrap();
        let e = |crimp| woven_ply(&ply, 0.5, crimp).unwrap().modulus_along / 1e9;
        assert!((e(1.0) - plain).abs() < 0.1, "{}", e(1.0));
        assert!((e(0.85) - crimped).abs() < 0.1, "{}", e(0.85));
    }
}

#[test]
fn says_no_to_no_layers_and_bad_plies() {
    assert!(stiffness(&[]).is_err());
    assert!(stiffness(&stack(FLAX, &[0.0], 0.0)).is_err());
    let bad = Ply {
        poisson: 2.3,
        ..FLAX
    };
    assert!(reduced_stiffness(&bad).is_err());
}

#[test]
fn stresses_of_the_book_example_at_every_side_of_every_ply() {
    // Kaw 2006, Mechanics of Composite Materials, 2nd ed., example 4.3 (from memory, recomputed apart from this code).
    let layers = stack(GRAPHITE, &[0.0, 30.0, -45.0], 5e-3);
    let forces = [1000.0, 1000.0, 0.0, 0.0, 0.0, 0.0];
    let strains = response(&stiffness(&layers).unwrap(), &forces).unwrap();
    let found = ply_stresses(&layers, &strains).unwrap();
    let expected = [
        [[3.351e4, 6.188e4, -2.750e4], [5.577e4, 4.531e4, -1.280e4]],
        [[9.973e4, 4.348e4, 1.890e4], [2.007e5, 2.364e4, 1.513e4]],
        [[2.586e5, 2.123e4, -1.638e4], [-6.285e4, 1.898e4, -3.533e3]],
    ];
    for (sides, known) in found.iter().zip(expected) {
        for (side, known) in sides.iter().zip(known) {
            for (got, known) in [side.along, side.across, side.shear].iter().zip(known) {
                assert!((got / known - 1.0).abs() < 4e-4, "{got} {known}");
            }
        }
    }
    // The stresses add up to the forces and to no moment.
    let mut sums = [0.0; 6];
    let mut below = -7.5e-3;
    for (layer, sides) in layers.iter().zip(&found) {
        let (s, c) = layer.angle.sin_cos();
        let turned = |p: &crate::law::failure::Stress| {
            [
                c * c * p.along + s * s * p.across - 2.0 * s * c * p.shear,
                s * s * p.along + c * c * p.across + 2.0 * s * c * p.shear,
                s * c * (p.along - p.across) + (c * c - s * s) * p.shear,
            ]
        };
        let [low, high] = [turned(&sides[0]), turned(&sides[1])];
        for i in 0..3 {
            let (middle, slope) = (0.5 * (low[i] + high[i]), (high[i] - low[i]) / 5e-3);
            sums[i] += middle * 5e-3;
            sums[i + 3] += middle * 5e-3 * (below + 2.5e-3) + slope * 5e-3_f64.powi(3) / 12.0;
        }
        below += 5e-3;
    }
    for (sum, force) in sums.iter().zip(forces) {
        assert!((sum - force).abs() < 1e-6, "{sums:?}");
    }
}

#[test]
fn modulus_all_round() {
    let layers = stack(FLAX, &[0.0, 30.0, -45.0], 0.5e-3);
    let around = |degrees: f64| {
        let c = compliance(&stiffness(&layers).unwrap()).unwrap();
        modulus_at(&c, 1.5e-3, degrees.to_radians()).unwrap()
    };
    for degrees in [0.0, 15.0, 45.0, 100.0, 165.0] {
        // The same as turning the stack the other way and pulling along x.
        let turned: Vec<Layer> = layers
            .iter()
            .map(|layer| Layer {
                angle: layer.angle - f64::to_radians(degrees),
                ..*layer
            })
            .collect();
        let along = apparent(&stiffness(&turned).unwrap()).unwrap().modulus_x;
        assert!((around(degrees) / along - 1.0).abs() < 1e-9, "{degrees}");
        assert!((around(degrees + 180.0) / along - 1.0).abs() < 1e-9);
    }
}

#[test]
fn two_metals_bow_as_the_strip_of_a_thermostat() {
    // Timoshenko 1925, J. Opt. Soc. Am. 11:233, equation 4 (from memory), for any thicknesses and moduli.
    for (m, n) in [(1.0, 1.0), (0.5, 1.6), (2.0, 0.4), (1.0, 1.42)] {
        let (upper, modulus, jump, whole) = (1e-3_f64, 100e9, 2e-3, 1e-3 * (1.0 + m));
        // A shared Poisson ratio falls out when both directions grow alike.
        let solid = |e: f64, thickness: f64| Layer {
            ply: Ply {
                modulus_along: e,
                modulus_across: e,
                poisson: 0.3,
                shear_modulus: e / 2.6,
            },
            angle: 0.0,
            thickness,
        };
        let layers = [solid(n * modulus, m * upper), solid(modulus, upper)];
        let shape = free_shape(&layers, &[(0.0, 0.0), (jump, jump)]).unwrap();
        let curve = 6.0 * jump * (1.0_f64 + m).powi(2)
            / (whole * (3.0 * (1.0 + m).powi(2) + (1.0 + m * n) * (m * m + 1.0 / (m * n))));
        assert!((shape[3] / curve - 1.0).abs() < 1e-9, "{shape:?} {curve}");
        assert!((shape[4] / curve - 1.0).abs() < 1e-9);
        assert!((rise(shape[3], 0.1) - curve * 0.01 / 8.0).abs() < 1e-12);
    }
}

#[test]
fn a_cooled_cross_ply_becomes_a_saddle_and_its_mirror_stays_flat() {
    // Kaw 2006, Mechanics of Composite Materials, 2nd ed., example 4.5: [0/90], 75 K colder, 0.02 and 22.5 ppm/K
    // (from memory, recomputed apart from this code).
    let free = (-75.0 * 0.02e-6, -75.0 * 22.5e-6);
    let shape = free_shape(&stack(GRAPHITE, &[0.0, 90.0], 5e-3), &[free; 2]).unwrap();
    let expected = [-3.907e-4, -3.907e-4, 0.0, -1.276e-1, 1.276e-1, 0.0];
    for (got, known) in shape.iter().zip(expected) {
        assert!(
            (got - known).abs() < 4e-4 * known.abs() + 1e-12,
            "{shape:?}"
        );
    }
    let mirrored = stack(GRAPHITE, &[0.0, 90.0, 90.0, 0.0], 5e-3);
    let flat = free_shape(&mirrored, &[free; 4]).unwrap();
    assert!(flat[3..].iter().all(|k| k.abs() < 1e-9), "{flat:?}");
    // One ply alone takes its own free strains, turned with it.
    let alone = free_shape(&stack(FLAX, &[90.0], 1e-3), &[(-0.001, -0.006)]).unwrap();
    assert!((alone[0] + 0.006).abs() < 1e-12 && (alone[1] + 0.001).abs() < 1e-12);
    let slanted = free_shape(&stack(FLAX, &[30.0], 1e-3), &[(-0.001, -0.006)]).unwrap();
    // At 30 degrees: a quarter of the one, three quarters of the other, and sin 60 of the difference as shear.
    let shear = 0.005 * 0.75_f64.sqrt();
    for (got, known) in slanted
        .iter()
        .zip([-0.00225, -0.00475, shear, 0.0, 0.0, 0.0])
    {
        assert!((got - known).abs() < 1e-12, "{slanted:?}");
    }
    assert!(free_shape(&mirrored, &[free; 3]).is_err());
}

/// A mat is the same at any angle, to the last digit where the answer is nought.
#[test]
fn what_is_alike_in_all_directions_has_no_shear_when_turned() {
    for (modulus, poisson) in [(9.1e9, 0.31), (6.7e9, 0.37), (13.3e9, 0.29)] {
        let ply = Ply {
            modulus_along: modulus,
            modulus_across: modulus,
            poisson,
            shear_modulus: modulus / (2.0 * (1.0 + poisson)),
        };
        let q = reduced_stiffness(&ply).unwrap();
        for degrees in [-20.101_314_998_f64, 13.0, 45.0, 77.7] {
            let bar = turned(&q, degrees.to_radians());
            assert_eq!([bar[0][2], bar[1][2]], [0.0, 0.0]);
            assert!((bar[0][0] / q[0][0] - 1.0).abs() < 1e-14);
        }
    }
}
