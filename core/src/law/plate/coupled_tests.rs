//! One-sided stacks: the plate in D* against the exact series that lets the plate stretch as it bends.

use super::{Load, Plate, resting};
use crate::law::laminate::{
    Layer, Stiffness, compliance, free_bending, ply_stresses, stiffness, strains,
};
use crate::law::micromechanics::Ply;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;
use std::f64::consts::PI;

/// Deflection, strains and curvatures of the middle, by Navier's series in u, v and w for a plate that is free to
/// slide across its edges: exact for crossed plies (B11, B12, B22, B66), and with the sines and cosines of u and v
/// changed over for a stack of mirrored slants (B16, B26). Shares no line with the product's plate.
fn coupled(s: &Stiffness, (a, b): (f64, f64), q: f64, slanted: bool) -> [f64; 7] {
    let mut sum = [0.0; 7];
    for m in (1..60).step_by(2) {
        for n in (1..60).step_by(2) {
            let (al, be) = (f64::from(m) * PI / a, f64::from(n) * PI / b);
            let (aa, bb, dd) = (&s.a, &s.b, &s.d);
            let k11 = aa[0][0] * al * al + aa[2][2] * be * be;
            let k12 = (aa[0][1] + aa[2][2]) * al * be;
            let k22 = aa[2][2] * al * al + aa[1][1] * be * be;
            let (k13, k23) = if slanted {
                (
                    -(3.0 * bb[0][2] * al * al * be + bb[1][2] * be.powi(3)),
                    -(bb[0][2] * al.powi(3) + 3.0 * bb[1][2] * al * be * be),
                )
            } else {
                let mixed = bb[0][1] + 2.0 * bb[2][2];
                (
                    -(bb[0][0] * al.powi(3) + mixed * al * be * be),
                    -(mixed * al * al * be + bb[1][1] * be.powi(3)),
                )
            };
            let k33 = dd[0][0] * al.powi(4)
                + 2.0 * (dd[0][1] + 2.0 * dd[2][2]) * (al * be).powi(2)
                + dd[1][1] * be.powi(4);
            let det = k11 * k22 - k12 * k12;
            // u and v as they follow w.
            let u = -(k13 * k22 - k23 * k12) / det;
            let v = -(k11 * k23 - k12 * k13) / det;
            let load = 16.0 * q / (PI * PI * f64::from(m * n));
            let w = load / (k33 + k13 * u + k23 * v);
            let sign = if (m / 2 + n / 2) % 2 == 0 { 1.0 } else { -1.0 };
            sum[0] += sign * w;
            if slanted {
                // Strains along x and y vanish in the middle, the shear does not.
                sum[3] += sign * w * -(u * be + v * al);
            } else {
                sum[1] -= sign * w * u * al;
                sum[2] -= sign * w * v * be;
            }
            sum[4] += sign * w * al * al;
            sum[5] += sign * w * be * be;
        }
    }
    sum
}

fn plain(s: &Stiffness, (a, b): (f64, f64), q: f64, d: &[[f64; 3]; 3]) -> ([f64; 7], [f64; 3]) {
    let plate = Plate {
        length: a,
        width: b,
        d11: d[0][0],
        d12: d[0][1],
        d22: d[1][1],
        d66: d[2][2],
        shear_x: f64::INFINITY,
        shear_y: f64::INFINITY,
    };
    let bent = resting(&plate, &Load::Pressure(q)).unwrap();
    let m = bent.places[0];
    let e = strains(&compliance(s).unwrap(), &[0.0, 0.0, 0.0, m.x, m.y, m.xy]);
    let out = [bent.deflection, e[0], e[1], e[2], e[3], e[4], e[5]];
    (out, [m.x, m.y, m.xy])
}

fn ply(kind: usize) -> Ply {
    let of = |along: f64, across: f64, poisson: f64, shear: f64| Ply {
        modulus_along: along * 1e9,
        modulus_across: across * 1e9,
        poisson,
        shear_modulus: shear * 1e9,
    };
    [
        of(9.0, 9.0, 0.12, 1.7),
        of(24.0, 4.0, 0.33, 1.8),
        of(110.0, 7.0, 0.3, 4.0),
        of(20.0, 20.0, 0.13, 3.5),
        of(0.08, 0.08, 0.3, 0.03),
        of(0.015, 0.015, 0.3, 0.006),
    ][kind]
}

#[test]
fn one_sided_stacks_meet_the_exact_coupled_series() {
    let mut draw = Pcg64Mcg::seed_from_u64(7);
    let (mut worst, mut worst_face, mut stiffest) = (0.0_f64, 0.0_f64, 1.0_f64);
    for _ in 0..200 {
        let count = draw.random_range(2..6);
        let layers: Vec<Layer> = (0..count)
            .map(|_| {
                let kind = draw.random_range(0..6_usize);
                let core = kind >= 4;
                Layer {
                    ply: ply(kind),
                    angle: if draw.random_range(0..2) == 0 {
                        0.0
                    } else {
                        PI / 2.0
                    },
                    thickness: 1e-3 * draw.random_range(0.3..1.5) * if core { 6.0 } else { 1.0 },
                }
            })
            .collect();
        let s = stiffness(&layers).unwrap();
        let sides = (draw.random_range(0.2..1.0), draw.random_range(0.2..1.0));
        let d = free_bending(&s).unwrap();
        let exact = coupled(&s, sides, 1000.0, false);
        let (found, _) = plain(&s, sides, 1000.0, &d);
        let off = (found[0] / exact[0] - 1.0).abs();
        worst = worst.max(off);
        let (raw, _) = plain(&s, sides, 1000.0, &s.d);
        stiffest = stiffest.max(exact[0] / raw[0]);
        // Strain at both faces, along and across, measured by the largest of the four.
        let at = |e: &[f64; 7], i: usize, side: f64| e[1 + i] + side * 0.5 * s.thickness * e[4 + i];
        let faces = [(0, 1.0), (0, -1.0), (1, 1.0), (1, -1.0)];
        let most = faces.iter().fold(0.0_f64, |most, &(i, side)| {
            most.max(at(&exact, i, side).abs())
        });
        for (i, side) in faces {
            worst_face = worst_face.max((at(&found, i, side) - at(&exact, i, side)).abs() / most);
        }
    }
    assert!(worst < 0.02 && worst_face < 0.06, "{worst} {worst_face}");
    // The bare D would have been far too stiff in some of them.
    assert!(stiffest > 20.0, "{stiffest}");
}

#[test]
fn mirrored_slants_meet_the_exact_coupled_series() {
    for (kind, degrees) in [(0_usize, 45.0_f64), (1, 45.0), (1, 30.0), (2, 45.0)] {
        for pairs in 1..4 {
            let layers: Vec<Layer> = (0..2 * pairs)
                .map(|i| Layer {
                    ply: ply(kind),
                    angle: (if i % 2 == 0 { degrees } else { -degrees }).to_radians(),
                    thickness: 0.4e-3,
                })
                .collect();
            let s = stiffness(&layers).unwrap();
            for sides in [(0.4, 0.4), (0.6, 0.3), (0.3, 0.7)] {
                let exact = coupled(&s, sides, 1000.0, true);
                let (found, _) = plain(&s, sides, 1000.0, &free_bending(&s).unwrap());
                let off = found[0] / exact[0] - 1.0;
                assert!(
                    off.abs() < 0.06,
                    "{kind} {degrees} {pairs} {sides:?}: {off}"
                );
            }
        }
    }
}

#[test]
fn stresses_of_a_one_sided_stack_balance_its_moment() {
    let layers = [(0, 1.2e-3), (4, 10e-3)].map(|(kind, thickness)| Layer {
        ply: ply(kind),
        angle: 0.0,
        thickness,
    });
    let s = stiffness(&layers).unwrap();
    let (_, m) = plain(&s, (0.6, 0.5), 1000.0, &free_bending(&s).unwrap());
    let e = strains(&compliance(&s).unwrap(), &[0.0, 0.0, 0.0, m[0], m[1], m[2]]);
    let (mut force, mut moment, mut size) = (0.0, 0.0, 0.0);
    let mut below = -0.5 * s.thickness;
    for (both, layer) in ply_stresses(&layers, &e).unwrap().iter().zip(&layers) {
        let (low, high, h) = (both[0].along, both[1].along, layer.thickness);
        let pull = 0.5 * (low + high) * h;
        force += pull;
        size += pull.abs();
        moment += pull * (below + 0.5 * h) + (high - low) * h * h / 12.0;
        below += h;
    }
    assert!(force.abs() < 1e-9 * size, "{force}");
    assert!((moment / m[0] - 1.0).abs() < 1e-9);
}
