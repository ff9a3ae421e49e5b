//! Checks of the last load against closed forms, and against steps so small that no event needs finding.

use super::super::failure::Strengths;
use super::super::micromechanics::Ply;
use super::super::strand::{Bears, first_damage};
use super::*;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

const FLAX: Ply = Ply {
    modulus_along: 25e9,
    modulus_across: 4.4e9,
    poisson: 0.0,
    shear_modulus: 1.7e9,
};

const FLAX_BEARS: Bears = Bears {
    strengths: Strengths {
        along_tension: 280e6,
        along_compression: 110e6,
        across_tension: 25e6,
        across_compression: 80e6,
        shear: 38e6,
    },
    knee: 0.0017,
    after: 0.72,
    breaks: 0.016,
    kinks: Some((1.9e9, 0.022)),
};

const GLASS: Ply = Ply {
    modulus_along: 37e9,
    modulus_across: 10e9,
    poisson: 0.0,
    shear_modulus: 4e9,
};

const GLASS_BEARS: Bears = Bears {
    strengths: Strengths {
        along_tension: 1000e6,
        along_compression: 600e6,
        across_tension: 35e6,
        across_compression: 120e6,
        shear: 60e6,
    },
    knee: 0.0,
    after: 1.0,
    breaks: 0.0,
    kinks: None,
};

fn strand(ply: Ply, bears: Bears, degrees: f64, below: f64, above: f64, share: f64) -> Strand {
    Strand {
        ply,
        angle: degrees.to_radians(),
        below,
        above,
        share,
        bears: Some(bears),
    }
}

fn last(strands: &[Strand], pushed: bool) -> f64 {
    course(strands, pushed).unwrap().last
}

#[test]
fn one_direction_bears_what_its_fibres_or_its_resin_bear() {
    for (ply, bears) in [(FLAX, FLAX_BEARS), (GLASS, GLASS_BEARS)] {
        let along = [strand(ply, bears, 0.0, 0.0, 1.0, 1.0)];
        assert!((last(&along, false) / bears.strengths.along_tension - 1.0).abs() < 1e-9);
        let across = [strand(ply, bears, 90.0, 0.0, 1.0, 1.0)];
        assert!((last(&across, false) / bears.strengths.across_tension - 1.0).abs() < 1e-6);
        // At plus and minus 45 degrees shear bears half of the pull.
        let slant = [45.0, -45.0].map(|d| strand(ply, bears, d, 0.0, 1.0, 0.5));
        let ratio = last(&slant, false) / (2.0 * bears.strengths.shear);
        assert!((ratio - 1.0).abs() < 1e-6, "{ratio}");
    }
    // Fibres that kink hold their stress, and resin goes on to 2.2 percent.
    let pushed = [strand(FLAX, FLAX_BEARS, 0.0, 0.0, 1.0, 1.0)];
    let kink = 0.0017 + (110e6 - 25e9 * 0.0017) / (0.72 * 25e9);
    let closed = 110e6 + 1.9e9 * (0.022 - kink);
    assert!((last(&pushed, true) / closed - 1.0).abs() < 1e-6);
}

#[test]
fn cloth_and_crossed_plies_of_one_fibre_read_alike() {
    // A weave, a stitched cloth and two straight plies: the same fibres both ways, the same two strengths.
    let weave = [0.0, 90.0].map(|d| strand(GLASS, GLASS_BEARS, d, -1e-3, 1e-3, 0.5));
    let plies = [(-1e-3, -5e-4, 0.0), (-5e-4, 5e-4, 90.0), (5e-4, 1e-3, 0.0)]
        .map(|(below, above, d)| strand(GLASS, GLASS_BEARS, d, below, above, 1.0));
    assert!((last(&weave, false) / last(&plies, false) - 1.0).abs() < 1e-9);
    let strains = [1e-3, 0.0, 0.0, 0.0, 0.0, 0.0];
    let [one, other] = [
        first_damage(&weave, &strains),
        first_damage(&plies, &strains),
    ];
    assert!((one.unwrap().factor / other.unwrap().factor - 1.0).abs() < 1e-12);
}

#[test]
fn flax_breaks_first_beside_glass_and_the_knee_counts() {
    // Half and half along: at 1.6 percent the flax has 280 MPa, the glass 37 GPa times 1.6 percent; glass alone,
    // then, 500.
    let both = [
        strand(FLAX, FLAX_BEARS, 0.0, 0.0, 1.0, 0.5),
        strand(GLASS, GLASS_BEARS, 0.0, 0.0, 1.0, 0.5),
    ];
    let found = course(&both, false).unwrap();
    let together: f64 = 0.5 * (280e6 + 37e9 * 0.016);
    let glass_alone: f64 = 0.5 * 1000e6;
    assert!((found.last / together.max(glass_alone) - 1.0).abs() < 1e-9);
    let little = [
        strand(FLAX, FLAX_BEARS, 0.0, 0.0, 1.0, 0.8),
        strand(GLASS, GLASS_BEARS, 0.0, 0.0, 1.0, 0.2),
    ];
    let found = course(&little, false).unwrap();
    assert!((found.last / (0.8 * 280e6 + 0.2 * 592e6) - 1.0).abs() < 1e-9);
    assert!((found.strain - 0.016).abs() < 1e-9);
}

#[test]
fn a_strip_that_yields_on_its_pushed_side() {
    // Straight lines, pushed side flat at X_c: X_c (3 - n) / (1 + n), n = X_c / X_t (Bechtel and Norris 1952, for
    // wood, from memory).
    let beam = |push: f64| {
        let bears = Bears {
            strengths: Strengths {
                along_compression: push * 280e6,
                ..FLAX_BEARS.strengths
            },
            knee: 0.0,
            kinks: Some((0.004 * 25e9, 0.2)),
            ..FLAX_BEARS
        };
        let strip = [strand(FLAX, bears, 0.0, 0.0, 2e-3, 1.0)];
        let [pull, push] = [false, true].map(|side| course(&strip, side).unwrap());
        bent(&strip, &pull, &push, 1.0).unwrap() / (4e-6 / 6.0) / 280e6
    };
    for n in [0.4, 0.6, 0.8, 1.0] {
        let closed = n * (3.0 - n) / (1.0 + n);
        assert!(
            (beam(n) / closed - 1.0).abs() < 0.02,
            "{n} {} {closed}",
            beam(n)
        );
    }
    assert!(beam(0.4) < beam(0.6) && beam(0.6) < beam(1.0));
}

#[test]
fn unidirectional_flax_bends_at_less_and_little_material_bears_more() {
    let strip = [strand(FLAX, FLAX_BEARS, 0.0, -1e-3, 1e-3, 1.0)];
    let [pull, push] = [false, true].map(|side| course(&strip, side).unwrap());
    let at = |rises: f64| bent(&strip, &pull, &push, rises).unwrap() / (4e-6 / 6.0) / 280e6;
    // Published: 218 over 284 MPa (Materials 2023, 16:3804, table 1).
    assert!((0.7..0.95).contains(&at(1.2)), "{}", at(1.2));
    assert!(at(1.4) > at(1.2) && at(1.2) > at(1.0));
    // Glass that snaps on both sides gains the whole rise.
    let strip = [strand(GLASS, GLASS_BEARS, 0.0, -1e-3, 1e-3, 1.0)];
    let [pull, push] = [false, true].map(|side| course(&strip, side).unwrap());
    let at = |rises: f64| bent(&strip, &pull, &push, rises).unwrap();
    assert!((at(1.3) / at(1.0) - 1.3).abs() < 5e-3);
    assert!(bent(&strip, &pull, &push, 0.5).is_err());
}

#[test]
fn small_steps_find_the_same_last_load() {
    // Strains of a hundred thousandth, no events looked for: stiffness set from where each strand is.
    let poisson = |ply: Ply| Ply {
        poisson: 0.3,
        ..ply
    };
    let (flax, glass) = (poisson(FLAX), poisson(GLASS));
    let stacks: [Vec<Strand>; 3] = [
        [0.0, FRAC_PI_4, FRAC_PI_2, -FRAC_PI_4]
            .map(|a: f64| strand(flax, FLAX_BEARS, a.to_degrees(), 0.0, 1.0, 0.25))
            .to_vec(),
        [0.0, 90.0]
            .map(|d| strand(flax, FLAX_BEARS, d, 0.0, 1.0, 0.5))
            .to_vec(),
        vec![
            strand(flax, FLAX_BEARS, 0.0, 0.0, 1.0, 0.4),
            strand(flax, FLAX_BEARS, 90.0, 0.0, 1.0, 0.3),
            strand(glass, GLASS_BEARS, 45.0, 0.0, 1.0, 0.15),
            strand(glass, GLASS_BEARS, -45.0, 0.0, 1.0, 0.15),
        ],
    ];
    for strands in stacks {
        let mut states = vec![State::default(); strands.len()];
        let stiff: Vec<Matrix3> = strands
            .iter()
            .map(|s| reduced_stiffness(&s.ply).unwrap())
            .collect();
        let mut most = 0.0_f64;
        for _ in 0..2500 {
            let (mut a, mut force) = ([[0.0; 3]; 3], 0.0);
            for (i, s) in strands.iter().enumerate() {
                let bears = s.bears.unwrap();
                let after = beyond_knee(&bears, s.ply.modulus_along).unwrap();
                let q = turned(&tangent(s, &stiff[i], &states[i], after), s.angle);
                for r in 0..3 {
                    for c in 0..3 {
                        a[r][c] += s.share * q[r][c];
                    }
                }
            }
            let step = free(&a, 1e-5, [0.0; 2]);
            for (i, s) in strands.iter().enumerate() {
                let bears = s.bears.unwrap();
                let after = beyond_knee(&bears, s.ply.modulus_along).unwrap();
                let de = in_ply_axes(&step, s.angle);
                let ds = apply(&tangent(s, &stiff[i], &states[i], after), &de);
                let state = &mut states[i];
                for k in 0..3 {
                    state.strain[k] += de[k];
                    state.stress[k] += ds[k];
                }
                let own = &bears.strengths;
                let y = if state.stress[1] < 0.0 {
                    own.across_compression
                } else {
                    own.across_tension
                };
                state.cracked |= state.stress[1].abs() >= y;
                state.sheared |= state.stress[2].abs() >= own.shear;
                state.bent |= bears.knee > 0.0 && state.strain[0].abs() >= bears.knee;
                if state.stress[0] >= own.along_tension {
                    state.broken = true;
                    state.stress = [0.0; 3];
                }
                let (sin, cos) = s.angle.sin_cos();
                force += s.share
                    * (cos * cos * state.stress[0] + sin * sin * state.stress[1]
                        - 2.0 * sin * cos * state.stress[2]);
            }
            most = most.max(force);
        }
        let found = last(&strands, false);
        assert!((found / most - 1.0).abs() < 0.01, "{found} {most}");
    }
}

#[test]
fn a_skin_on_one_face_bears_no_more_than_alone_where_its_core_is_soft() {
    let core = |modulus: f64, below: f64, above: f64| Strand {
        ply: Ply {
            modulus_along: modulus,
            modulus_across: modulus,
            poisson: 0.0,
            shear_modulus: 0.4 * modulus,
        },
        angle: 0.0,
        below,
        above,
        share: 1.0,
        bears: None,
    };
    let moment = |strands: &[Strand]| {
        let (pull, push) = (
            course(strands, false).unwrap(),
            course(strands, true).unwrap(),
        );
        bent(strands, &pull, &push, 1.2).unwrap()
    };
    for (ply, bears) in [(FLAX, FLAX_BEARS), (GLASS, GLASS_BEARS)] {
        let skin = |below: f64| strand(ply, bears, 0.0, below, below + 1e-3, 1.0);
        let alone = moment(&[skin(-0.5e-3)]);
        let mut last = alone;
        for thick in [0.1e-3, 2e-3, 10e-3, 40e-3] {
            // The core is not followed beyond the largest strain: the thicker it is, the less the skin may bend.
            let soft = moment(&[skin(0.0), core(1e3, 1e-3, 1e-3 + thick)]);
            assert!(soft > 0.0 && soft < 1.001 * last, "{thick} {soft} {last}");
            last = soft;
            // A core that pulls its weight makes it bear more, whichever face it lies on.
            let stiff = [
                moment(&[skin(0.0), core(80e6, 1e-3, 1e-3 + thick)]),
                moment(&[core(80e6, -thick, 0.0), skin(0.0)]),
            ];
            assert!(stiff[0] > soft, "{thick} {stiff:?} {soft}");
            assert!(
                (stiff[0] / stiff[1] - 1.0).abs() < 1e-6,
                "{thick} {stiff:?}"
            );
        }
    }
}

#[test]
fn any_stack_of_unlike_strands_has_a_balance_when_bent() {
    let mut state = 20_u64;
    let mut draw = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (state >> 33) as f64 / f64::from(1_u32 << 31)
    };
    for _ in 0..300 {
        let mut top = -1e-3;
        let strands: Vec<Strand> = (0..2 + (3.0 * draw()) as usize)
            .map(|_| {
                let below = top;
                top += 1e-4 + 2e-3 * draw();
                let degrees = 180.0 * draw() - 90.0;
                if draw() < 0.5 {
                    strand(FLAX, FLAX_BEARS, degrees, below, top, 1.0)
                } else {
                    strand(GLASS, GLASS_BEARS, degrees, below, top, 1.0)
                }
            })
            .collect();
        let [pulled, pushed] = [false, true].map(|push| course(&strands, push).unwrap());
        let moment = bent(&strands, &pulled, &pushed, 1.3).unwrap();
        // Nothing bears more than its strongest strand, pulled and pushed to the end over all of the thickness.
        let thick = top + 1e-3;
        assert!(moment > 0.0 && moment < 1.3 * 1000e6 * thick * thick / 4.0);
    }
}
