//! The search against the same done plainly, on many small random spaces.

use super::plainly::{Cloth, Plain, Plainly, compare};
use super::*;
use crate::law::micromechanics::Ply;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg32;

const UD: Ply = Ply {
    modulus_along: 22.8e9,
    modulus_across: 4.52e9,
    poisson: 0.43,
    shear_modulus: 1.96e9,
};
const CORK: Ply = Ply {
    modulus_along: 15e6,
    modulus_across: 15e6,
    poisson: 0.2,
    shear_modulus: 6e6,
};

/// Figures that add up without rounding, so that a tie is a tie in the reference too.
fn figures(dice: &mut Pcg32, unpriced: bool) -> Figures {
    let mut roll = |most: u32| f64::from(dice.random_range(1..=most));
    Figures {
        mass: roll(4) / 8.0,
        cost: (!unpriced).then(|| roll(6) / 4.0),
        fossil: roll(3) / 16.0,
        pores: roll(4) / 4096.0,
        conductance: roll(3) / 1024.0,
    }
}

/// One to four choices from two cloths: single plies and pairs.
fn cloths(dice: &mut Pcg32) -> Vec<Cloth> {
    const LAID: [&[f64]; 7] = [
        &[0.0],
        &[90.0],
        &[45.0],
        &[-45.0],
        &[45.0, -45.0],
        &[0.0, 90.0],
        &[30.0],
    ];
    let kinds: Vec<(Ply, f64, Figures)> = (0..2)
        .map(|_| {
            let stiff = f64::from(dice.random_range(2..5_u32)) / 3.0;
            let ply = Ply {
                modulus_along: UD.modulus_along * stiff,
                ..UD
            };
            let thickness = f64::from(dice.random_range(3..7_u32)) / 16_384.0;
            let unpriced = dice.random_range(0..4_u32) == 0;
            (ply, thickness, figures(dice, unpriced))
        })
        .collect();
    let count = dice.random_range(1..=4_usize);
    (0..count)
        .map(|_| {
            let cloth = dice.random_range(0..2_usize);
            let angles = LAID[dice.random_range(0..LAID.len())];
            let (ply, thickness, mut figures) = kinds[cloth];
            let plies = angles.len() as f64;
            figures.mass *= plies;
            figures.cost = figures.cost.map(|cost| cost * plies);
            figures.fossil *= plies;
            figures.pores *= plies;
            figures.conductance *= plies;
            Cloth::new(cloth, ply, angles, thickness, figures)
        })
        .collect()
}

/// Bounds that some stack of the space meets, often exactly.
fn bounds(dice: &mut Pcg32, like: &Plain) -> Bounds {
    let mut bounds = Bounds::default();
    let mut factor = |least: bool| match dice.random_range(0..14_u32) {
        0 => 1.0,
        1 if least => 0.75,
        1 => 1.25,
        2 if least => 0.5,
        2 => 1.5,
        _ => f64::NAN,
    };
    let mut set = |bound: &mut f64, value: f64, least: bool| {
        let bounded = value * factor(least);
        if bounded.is_finite() {
            *bound = bounded;
        }
    };
    set(&mut bounds.least_thickness, like.key[3], true);
    set(&mut bounds.most_thickness, like.key[3], false);
    set(&mut bounds.most_mass, like.key[0], false);
    set(&mut bounds.most_cost, like.key[1], false);
    set(&mut bounds.most_fossil, like.key[2], false);
    set(&mut bounds.slowest_fill, like.key[4], false);
    for i in 0..3 {
        set(&mut bounds.least_bending[i], like.stiffness.d[i][i], true);
        set(
            &mut bounds.least_stretching[i],
            like.stiffness.a[i][i],
            true,
        );
    }
    bounds
}

/// An expensive test that knows no order: about half of the stacks, by a number made of them.
fn luck(half: &[usize], middle: Middle) -> bool {
    let start = match middle {
        Middle::Plain => 7_u32,
        Middle::Ply(i) => 11 + i as u32,
        Middle::Core(i) => 29 + i as u32,
    };
    let mix = |sum: u32, i: &usize| (sum ^ (*i as u32 + 1)).wrapping_mul(16_777_619);
    half.iter().fold(start, mix).wrapping_mul(2_654_435_761) >> 31 == 0
}

/// What is compared: which stack it is, with its figures.
fn told(candidate: &Candidate) -> (Middle, &[usize]) {
    (candidate.middle, &candidate.half)
}

fn agree(seed: u64) -> (usize, usize) {
    let mut dice = Pcg32::seed_from_u64(seed);
    let cloths = cloths(&mut dice);
    let choices: Vec<Choice> = cloths.iter().map(|cloth| cloth.choice.clone()).collect();
    let core = |thickness: f64, dice: &mut Pcg32| Core {
        layer: Cloth::new(9, CORK, &[0.0], thickness, Figures::default())
            .choice
            .layers[0],
        figures: figures(dice, false),
    };
    let cores = [core(4.0 / 1024.0, &mut dice), core(9.0 / 1024.0, &mut dice)];
    let left = [dice.random_range(2..9_u32), dice.random_range(0..12_u32)];
    let faces = [dice.random_range(0..choices.len()), dice.random_range(0..4)];
    let mut coin = |one_in: u32| dice.random_range(0..one_in) == 0;
    let space = Space {
        cores: if coin(2) { &cores } else { &[] },
        coreless: !coin(8),
        odd: coin(2),
        left: if coin(2) { &left[..] } else { &[] },
        balanced: coin(3),
        faces: coin(3).then_some(&faces[..]),
        most_alike: if coin(2) { 3 } else { u32::MAX },
        ..Space::new(&choices, 1)
    };
    let space = Space {
        most_alike: space.most_alike.min(dice.random_range(1..12)),
        most_plies: dice.random_range(1..=10),
        ..space
    };
    let open = Bounds::default();
    let plainly = |bounds| Plainly {
        cloths: &cloths,
        core: CORK,
        space: &space,
        bounds,
    };
    let drawn = plainly(&open).all();
    let bounds = match drawn.len() {
        0 => open,
        many => {
            let like = &drawn[dice.random_range(0..many)];
            bounds(&mut dice, like)
        }
    };
    let pair = [dice.random_range(0..5_usize), dice.random_range(0..5_usize)];
    let wish = Wish {
        front: Some(pair.map(|goal| Goal::ALL[goal])),
        most_points: usize::MAX,
        ..Wish::default()
    };
    let picky = dice.random_range(0..3_u32);
    let accepts = |half: &[usize], middle, d: &[[f64; 3]; 3]| match picky {
        0 => true,
        1 => luck(half, middle),
        _ => d[0][2].abs() < 0.05 * d[0][0],
    };

    let reference = plainly(&bounds);
    let all = reference.all();
    let good: Vec<&Plain> = (all.iter())
        .filter(|stack| {
            reference.within(stack) && accepts(&stack.half, stack.middle, &stack.stiffness.d)
        })
        .collect();
    let mut asked = Vec::new();
    let outcome = seek(&space, &bounds, &wish, &mut |candidate| {
        asked.push((candidate.middle, candidate.half.clone()));
        accepts(&candidate.half, candidate.middle, &candidate.d)
    })
    .unwrap();

    assert_eq!(
        outcome.candidates,
        all.len() as u64,
        "seed {seed}: size of the space"
    );
    assert!(!outcome.cut_short && outcome.whole_to == space.most_plies);
    assert_eq!(outcome.asked, asked.len() as u64);
    for (middle, half) in &asked {
        let stack = all
            .iter()
            .find(|s| s.middle == *middle && s.half == *half)
            .unwrap();
        assert!(
            reference.within(stack),
            "seed {seed}: asked although out of bounds"
        );
    }
    let total = asked.len();
    asked.sort();
    asked.dedup();
    assert_eq!(asked.len(), total, "seed {seed}: asked twice");

    for (goal, name) in Goal::ALL.into_iter().enumerate() {
        let known = good.iter().filter(|stack| stack.key[goal].is_finite());
        let expected = known.min_by(|a, b| compare(&[goal], a, b));
        let found = outcome.best(name);
        let expected = expected.map(|stack| (stack.middle, &stack.half[..]));
        assert_eq!(found.map(told), expected, "seed {seed}: {name:?}");
    }
    let of_both = |stack: &&&Plain| pair.iter().all(|goal| stack.key[*goal].is_finite());
    let known: Vec<&Plain> = good.iter().filter(of_both).copied().collect();
    let beats = |a: &Plain, b: &Plain| {
        pair.iter().all(|i| a.key[*i] <= b.key[*i]) && pair.iter().any(|i| a.key[*i] < b.key[*i])
    };
    let mut front: Vec<&Plain> = known
        .iter()
        .filter(|b| !known.iter().any(|a| beats(a, b)))
        .copied()
        .collect();
    front.sort_by(|a, b| compare(&pair, a, b));
    front.dedup_by(|b, a| pair.iter().all(|i| a.key[*i] == b.key[*i]));
    let expected: Vec<_> = front
        .iter()
        .map(|stack| (stack.middle, &stack.half[..]))
        .collect();
    let found: Vec<_> = outcome.front.iter().map(told).collect();
    assert_eq!(found, expected, "seed {seed}: front of {pair:?}");
    for (candidate, stack) in outcome.front.iter().zip(front) {
        same_figures(candidate, stack);
    }
    (good.len(), outcome.found.len())
}

fn same_figures(candidate: &Candidate, stack: &Plain) {
    let close = |a: f64, b: f64, of: f64| a == b || (a - b).abs() <= 1e-7 * of;
    let told = [
        candidate.mass,
        candidate.cost.unwrap_or(f64::INFINITY),
        candidate.fossil,
        candidate.thickness,
        candidate.fill,
    ];
    for (a, b) in told.into_iter().zip(stack.key) {
        assert!(close(a, b, b), "{candidate:?} against {stack:?}");
    }
    for i in 0..3 {
        for j in 0..3 {
            let (a, d) = (stack.stiffness.a, stack.stiffness.d);
            assert!(
                close(candidate.a[i][j], a[i][j], a[0][0])
                    && close(candidate.d[i][j], d[i][j], d[0][0])
            );
        }
    }
}

#[test]
fn finds_what_plain_enumeration_finds() {
    let (mut with, mut without, mut some) = (0, 0, 0);
    for seed in 0..1500 {
        let (good, found) = agree(seed);
        with += usize::from(found > 0);
        without += usize::from(good == 0);
        some += usize::from(good > 20);
    }
    // The draws must reach every kind of case.
    assert!(
        with > 700 && without > 500 && some > 100,
        "{with} {without} {some}"
    );
}
