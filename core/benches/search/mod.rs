//! How long working backwards takes, on a shelf of flax cloths with three cores.
//!
//! Each row covers 1.3 to 1.6 million stacks; divide by the time for stacks per second.

use bastwork::law::laminate::{Matrix3, reduced_stiffness, turned, woven_ply};
use bastwork::law::micromechanics::Ply;
use bastwork::search::{
    Bounds, Candidate, Choice, Core, Figures, Lamina, Outcome, Space, Wish, seek,
};

const UD: Ply = Ply {
    modulus_along: 22.8e9,
    modulus_across: 4.52e9,
    poisson: 0.43,
    shear_modulus: 1.96e9,
};
const FOAM: Ply = Ply {
    modulus_along: 60e6,
    modulus_across: 60e6,
    poisson: 0.3,
    shear_modulus: 23e6,
};

fn lamina(q: Option<Matrix3>, degrees: f64, thickness: f64) -> Lamina {
    Lamina {
        stiffness: turned(&q.unwrap_or_default(), degrees.to_radians()),
        thickness,
    }
}

fn choice(cloth: usize, ply: &Ply, angles: &[f64], thickness: f64, price: f64) -> Choice {
    let q = reduced_stiffness(ply).ok();
    let all = thickness * angles.len() as f64;
    Choice {
        cloth,
        plies: angles.len() as u32,
        layers: angles
            .iter()
            .map(|angle| lamina(q, *angle, thickness))
            .collect(),
        figures: Figures {
            mass: 1290.0 * all,
            cost: Some(price * angles.len() as f64),
            fossil: 2600.0 * all,
            pores: 0.62 * all,
            conductance: (2.0 + 7.0 * cloth as f64) * 1e-11 * all,
        },
    }
}

/// Nine ways to lay four cloths.
pub(crate) fn choices() -> Vec<Choice> {
    let weave = woven_ply(&UD, 0.5, 0.9).unwrap_or(UD);
    vec![
        choice(0, &UD, &[0.0], 0.31e-3, 9.0),
        choice(0, &UD, &[90.0], 0.31e-3, 9.0),
        choice(0, &UD, &[45.0, -45.0], 0.31e-3, 9.0),
        choice(1, &weave, &[0.0], 0.62e-3, 12.5),
        choice(1, &weave, &[45.0], 0.62e-3, 12.5),
        choice(2, &weave, &[0.0], 0.41e-3, 11.0),
        choice(2, &weave, &[45.0], 0.41e-3, 11.0),
        choice(3, &weave, &[0.0], 1.1e-3, 14.0),
        choice(3, &weave, &[45.0], 1.1e-3, 14.0),
    ]
}

/// Three thicknesses of foam.
pub(crate) fn cores() -> Vec<Core> {
    let q = reduced_stiffness(&FOAM).ok();
    let core = |thickness: f64| Core {
        layer: lamina(q, 0.0, thickness),
        figures: Figures {
            mass: 0.6 + 110.0 * thickness,
            cost: Some(8.0 + 1500.0 * thickness),
            fossil: 1.5 + 400.0 * thickness,
            pores: 0.0,
            conductance: 0.0,
        },
    };
    [3e-3, 5e-3, 10e-3].map(core).to_vec()
}

/// One question asked of the shelf.
pub(crate) fn ask(question: &str, choices: &[Choice], cores: &[Core]) -> Option<Outcome> {
    let open = Space {
        cores,
        ..Space::new(choices, 12)
    };
    let wish = Wish::default();
    let any = &mut |_: &Candidate| true;
    let stiff = |along, across| Bounds {
        least_bending: [along, across, 0.0],
        ..Bounds::default()
    };
    match question {
        "no bounds" => seek(&open, &Bounds::default(), &wish, any),
        "weak bounds" => seek(&open, &stiff(20.0, 10.0), &wish, any),
        "tight bounds" => {
            let space = Space {
                balanced: true,
                left: &[10, 6, 8, 4],
                faces: Some(&[3, 5, 6]),
                most_alike: 4,
                ..open
            };
            let bounds = Bounds {
                least_thickness: 3.0e-3,
                most_thickness: 6.0e-3,
                most_mass: 6.5,
                ..stiff(60.0, 45.0)
            };
            seek(&space, &bounds, &wish, any)
        }
        // No bound says no, and the test refuses nearly all.
        "hard to please" => {
            let wish = Wish {
                most_asked: u64::MAX,
                ..wish
            };
            let skew =
                |c: &Candidate| c.d[0][2].abs() < 1e-4 * c.d[0][0] && c.d[0][0] > 12.0 * c.d[1][1];
            seek(&open, &Bounds::default(), &wish, &mut |c| skew(c))
        }
        _ => return None,
    }
    .ok()
}
