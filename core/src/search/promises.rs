//! What the search promises, one thing at a time.

use super::plainly::Cloth;
use super::*;
use crate::law::laminate::{self, Layer};
use crate::law::micromechanics::Ply;

const UD: Ply = Ply {
    modulus_along: 22.8e9,
    modulus_across: 4.52e9,
    poisson: 0.43,
    shear_modulus: 1.96e9,
};

pub(super) fn cloth(number: usize, angles: &[f64], mass: f64) -> Choice {
    let plies = angles.len() as f64;
    let figures = Figures {
        mass: mass * plies,
        cost: Some(9.0 * plies),
        fossil: 0.5 * plies,
        pores: 0.13e-3 * plies,
        conductance: 5e-15 * plies,
    };
    Cloth::new(number, UD, angles, 0.25e-3, figures).choice
}

pub(super) fn five() -> Vec<Choice> {
    vec![
        cloth(0, &[0.0], 0.3),
        cloth(0, &[90.0], 0.3),
        cloth(0, &[45.0, -45.0], 0.3),
        cloth(1, &[0.0], 0.31),
        cloth(1, &[60.0], 0.31),
    ]
}

pub(super) fn any(_: &Candidate) -> bool {
    true
}

pub(super) fn stiff(along: f64, across: f64) -> Bounds {
    Bounds {
        least_bending: [along, across, 0.0],
        ..Bounds::default()
    }
}

#[test]
fn a_bound_and_the_same_bound_as_a_test_find_the_same() {
    let choices = five();
    let space = Space::new(&choices, 14);
    let patient = Wish {
        most_asked: u64::MAX,
        ..Wish::default()
    };
    let bounded = seek(&space, &stiff(16.0, 9.0), &patient, &mut any).unwrap();
    let enough = |c: &Candidate| c.d[0][0] >= 16.0 && c.d[1][1] >= 9.0;
    let tested = seek(&space, &Bounds::default(), &patient, &mut |c| enough(c)).unwrap();
    // The number of stacks does not depend on what rules them out, the work does.
    assert_eq!(bounded.candidates, tested.candidates);
    assert!(bounded.candidates > 50_000 && bounded.worked * 20 < tested.worked);
    let totals = |outcome: &Outcome| -> Vec<(Goal, f64, f64, u32)> {
        let figures = |(goal, c): &(Goal, Candidate)| (*goal, c.mass, c.thickness, c.plies);
        outcome.found.iter().map(figures).collect()
    };
    assert_eq!(totals(&bounded), totals(&tested));
    assert_eq!(bounded.found.len(), 5);
    assert_eq!(bounded.front.len(), tested.front.len());
}

#[test]
fn a_pair_is_mirrored() {
    let choices = [cloth(0, &[45.0, -45.0], 0.3)];
    let outcome = seek(
        &Space::new(&choices, 4),
        &Bounds::default(),
        &Wish::default(),
        &mut any,
    )
    .unwrap();
    let found = outcome.best(Goal::Lightest).unwrap();
    assert_eq!(
        (found.plies, found.middle, &found.half[..]),
        (4, Middle::Plain, &[0][..])
    );
    let layers: Vec<Layer> = [45.0_f64, -45.0, -45.0, 45.0]
        .iter()
        .map(|degrees| Layer {
            ply: UD,
            angle: degrees.to_radians(),
            thickness: 0.25e-3,
        })
        .collect();
    let law = laminate::stiffness(&layers).unwrap();
    for i in 0..3 {
        for j in 0..3 {
            assert!((found.d[i][j] - law.d[i][j]).abs() < 1e-9 * law.d[0][0]);
            assert!((found.a[i][j] - law.a[i][j]).abs() < 1e-9 * law.a[0][0]);
        }
    }
    // Balanced when pulled, yet it twists when bent: the outer ply is farther out.
    assert!(found.d[0][2] > 0.1 * found.d[0][0]);
}

#[test]
fn a_bound_met_exactly_is_kept() {
    let choices = [cloth(0, &[0.0], 0.3)];
    let bounds = Bounds {
        least_thickness: 1.5e-3,
        most_thickness: 1.5e-3,
        most_mass: 1.8,
        ..Bounds::default()
    };
    let outcome = seek(
        &Space::new(&choices, 9),
        &bounds,
        &Wish::default(),
        &mut any,
    )
    .unwrap();
    let found = outcome.best(Goal::Lightest).unwrap();
    assert_eq!((found.plies, found.thickness, found.mass), (6, 1.5e-3, 1.8));
    assert_eq!(outcome.candidates, 9);
}

#[test]
fn nothing_that_fits_is_said_as_nothing() {
    let choices = five();
    let outcome = seek(
        &Space::new(&choices, 8),
        &stiff(1e3, 0.0),
        &Wish::default(),
        &mut any,
    )
    .unwrap();
    assert!(outcome.found.is_empty() && outcome.front.is_empty() && !outcome.cut_short);
    // Halves of 1 to 4 plies: 4, 17, 72, 305; around each of the four single choices and with
    // 0 to 3 plies: 4 (1 + 4 + 17 + 72).
    assert_eq!(
        outcome.candidates,
        4 + 17 + 72 + 305 + 4 * (1 + 4 + 17 + 72)
    );
    assert_eq!(outcome.asked, 0);
}

#[test]
fn a_search_cut_short_says_how_far_it_got() {
    let choices = five();
    let even = Space {
        odd: false,
        ..Space::new(&choices, 16)
    };
    let never = &mut |_: &Candidate| false;
    for most_steps in [300, 3_000, 30_000] {
        let hasty = Wish {
            most_steps,
            ..Wish::default()
        };
        let cut = seek(&even, &Bounds::default(), &hasty, never).unwrap();
        assert!(cut.cut_short && cut.whole_to > 1 && cut.whole_to < 16);
        let shorter = Space {
            most_plies: cut.whole_to,
            ..even.clone()
        };
        let whole = seek(&shorter, &Bounds::default(), &Wish::default(), never).unwrap();
        assert_eq!(cut.candidates, whole.candidates);
        assert!(!whole.cut_short && cut.asked >= whole.asked && whole.asked == whole.candidates);
    }
    let shy = Wish {
        most_asked: 10,
        ..Wish::default()
    };
    let cut = seek(&even, &Bounds::default(), &shy, never).unwrap();
    assert!(cut.cut_short && cut.asked == 10 && cut.whole_to == 3 && cut.candidates == 4);
}

#[test]
fn a_long_front_is_thinned_and_keeps_its_ends() {
    // Light cloth is thick and heavy cloth thin: every mix of the 18 plies needed is a fair trade.
    let mut choices = vec![
        cloth(0, &[0.0], 0.3),
        cloth(1, &[0.0], 0.4),
        cloth(2, &[0.0], 0.55),
    ];
    let each = choices[0].layers[0].stiffness[0][0] * 0.25e-3;
    for (choice, thickness) in choices.iter_mut().zip([0.5e-3, 0.3e-3, 0.2e-3]) {
        choice.layers[0].thickness = thickness;
        choice.layers[0].stiffness[0][0] = each / thickness;
    }
    let bounds = Bounds {
        least_stretching: [17.5 * each, 0.0, 0.0],
        ..Bounds::default()
    };
    let seen = |most_points: usize| {
        let wish = Wish {
            most_points,
            ..Wish::default()
        };
        seek(&Space::new(&choices, 24), &bounds, &wish, &mut any)
            .unwrap()
            .front
    };
    let whole = seen(usize::MAX);
    // Nine pairs shared out between light and middle, or between middle and thin cloth.
    assert_eq!(whole.len(), 10 + 10 - 1);
    for pair in whole.windows(2) {
        assert!(pair[0].thickness < pair[1].thickness && pair[0].mass > pair[1].mass);
    }
    let thin = seen(5);
    assert_eq!(
        (thin.len(), thin.first(), thin.last()),
        (5, whole.first(), whole.last())
    );
    assert!(thin.iter().all(|candidate| whole.contains(candidate)));
    assert_eq!(seen(1)[..], whole[..1]);
    assert!(seen(0).is_empty());
}

#[test]
fn a_number_out_of_range_is_named() {
    let asked = |change: &dyn Fn(&mut Choice), most_plies: u32| {
        let mut choices = five();
        change(&mut choices[1]);
        let space = Space::new(&choices, most_plies);
        let outcome = seek(&space, &Bounds::default(), &Wish::default(), &mut any);
        outcome.err().map(|why| why.to_string()).unwrap_or_default()
    };
    assert_eq!(asked(&|_| (), 12), "");
    assert!(asked(&|_| (), 61).starts_with("most_plies is between 1 and 60"));
    assert!(asked(&|choice| choice.plies = 0, 12).starts_with("plies is"));
    assert!(asked(&|choice| choice.layers.clear(), 12).starts_with("layers is"));
    assert!(asked(&|choice| choice.layers[0].thickness = 0.0, 12).starts_with("thickness is"));
    assert!(
        asked(&|choice| choice.layers[0].stiffness[0][1] = f64::NAN, 12)
            .starts_with("stiffness is")
    );
    assert!(asked(&|choice| choice.figures.mass = -1.0, 12).starts_with("mass is"));
}

#[test]
fn stacks_known_from_another_space_are_bettered_or_nothing_is_found() {
    let mut choices = five();
    // The heavier cloth is the thinner one.
    choices[3].layers[0].thickness = 0.2e-3;
    let space = Space::new(&choices, 14);
    let bounds = stiff(30.0, 20.0);
    let picky = |c: &Candidate| c.d[0][2].abs() < 0.05 * c.d[0][0];
    let plain = seek(&space, &bounds, &Wish::default(), &mut |c| picky(c)).unwrap();
    let figures = |c: &Candidate| {
        let cost = c.cost.unwrap_or(f64::INFINITY);
        [c.mass, cost, c.fossil, c.thickness, c.fill]
    };
    let beside = |known: &[[f64; 5]]| {
        let wish = Wish {
            known,
            ..Wish::default()
        };
        seek(&space, &bounds, &wish, &mut |c| picky(c)).unwrap()
    };
    assert_eq!(plain.found.len(), Goal::ALL.len());
    for (goal, best) in &plain.found {
        // What ties with it is found again; what is worse does not hide it, what is better does.
        let mut known = figures(best);
        assert_eq!(beside(&[known]).best(*goal), Some(best), "{goal:?}");
        known[*goal as usize] *= 1.0 + 1e-6;
        assert_eq!(beside(&[known]).best(*goal), Some(best), "{goal:?}");
        known[*goal as usize] *= 1.0 - 2e-6;
        assert_eq!(beside(&[known]).best(*goal), None, "{goal:?}");
    }
    assert_eq!(beside(&[]), plain);
    // Of a front that is known nothing is lost; one that lies before all of it leaves nothing.
    let front: Vec<_> = plain.front.iter().map(figures).collect();
    assert!(front.len() > 1);
    assert_eq!(beside(&front).front, plain.front);
    let before: Vec<_> = front.iter().map(|key| key.map(|f| f * 0.999)).collect();
    let nothing = beside(&before);
    assert!(nothing.front.is_empty() && nothing.found.is_empty());
    assert!(nothing.asked < plain.asked && nothing.candidates == plain.candidates);
}
