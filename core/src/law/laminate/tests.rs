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
