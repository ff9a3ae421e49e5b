//! Ties and unknown prices: which stack is taken, and that it is always the same one.

use super::promises::{any, cloth, five, stiff};
use super::*;

#[test]
fn ties_go_to_the_stiffer_and_then_to_the_earlier_choice() {
    // The same cloth three times over, and once turned.
    let choices = [
        cloth(0, &[90.0], 0.3),
        cloth(0, &[0.0], 0.3),
        cloth(0, &[0.0], 0.3),
        cloth(0, &[0.0], 0.3),
    ];
    let bounds = Bounds {
        least_thickness: 1e-3,
        ..stiff(0.5, 0.0)
    };
    let outcome = seek(
        &Space::new(&choices, 6),
        &bounds,
        &Wish::default(),
        &mut any,
    )
    .unwrap();
    for (_, found) in &outcome.found {
        assert_eq!(
            (found.middle, &found.half[..]),
            (Middle::Plain, &[1, 1][..])
        );
    }
    assert_eq!(outcome.found.len(), 5);
}

#[test]
fn an_unknown_price_is_not_taken_for_nothing() {
    let mut choices = [cloth(0, &[0.0], 0.3), cloth(1, &[0.0], 0.4)];
    choices[0].figures.cost = None;
    let wish = Wish {
        front: Some([Goal::Cheapest, Goal::Thinnest]),
        ..Wish::default()
    };
    let space = Space::new(&choices, 6);
    let outcome = seek(&space, &stiff(0.2, 0.0), &wish, &mut any).unwrap();
    assert_eq!(outcome.best(Goal::Lightest).unwrap().cost, None);
    let cheapest = outcome.best(Goal::Cheapest).unwrap();
    assert!(cheapest.cost.unwrap() > 0.0 && cheapest.half.iter().all(|i| *i == 1));
    assert!(outcome.front.iter().all(|c| c.cost.is_some()) && !outcome.front.is_empty());
    choices[1].figures.cost = None;
    let space = Space::new(&choices, 6);
    let outcome = seek(&space, &stiff(0.2, 0.0), &wish, &mut any).unwrap();
    assert!(outcome.best(Goal::Cheapest).is_none() && outcome.front.is_empty());
    assert_eq!(outcome.found.len(), 4);
}

#[test]
fn the_same_question_has_the_same_answer() {
    let choices = five();
    let space = Space {
        balanced: true,
        most_alike: 3,
        ..Space::new(&choices, 12)
    };
    let once = || seek(&space, &stiff(8.0, 6.0), &Wish::default(), &mut any).unwrap();
    assert_eq!(once(), once());
    assert_eq!(once().found.len(), 5);
}

#[test]
fn a_later_pick_that_ties_is_still_taken_when_its_order_comes_first() {
    // Across, along, and both again: [1, 2] and [3, 0] are the same stack under other names.
    let choices = [90.0, 0.0, 90.0, 0.0].map(|degrees| cloth(0, &[degrees], 0.3));
    let bounds = Bounds {
        least_thickness: 1e-3,
        most_thickness: 1e-3,
        ..stiff(0.5, 0.0)
    };
    let mixed = |c: &Candidate| {
        let along = c.half.iter().filter(|i| **i % 2 == 1).count();
        along == 1 && !(c.half.contains(&0) && c.half.contains(&1))
    };
    let space = Space::new(&choices, 4);
    let outcome = seek(&space, &bounds, &Wish::default(), &mut |c| mixed(c)).unwrap();
    for (_, found) in &outcome.found {
        assert_eq!(
            (found.middle, &found.half[..]),
            (Middle::Plain, &[1, 2][..])
        );
    }
    assert_eq!(outcome.found.len(), 5);
}

#[test]
fn fills_that_differ_by_rounding_alone_tie() {
    // A pair that fills like two single plies of its cloth, and is a little lighter.
    let mut choices = [cloth(0, &[0.0], 0.3), cloth(0, &[45.0, -45.0], 0.299)];
    for choice in &mut choices {
        let plies = f64::from(choice.plies);
        choice.figures.pores = plies / 3.0;
        choice.figures.conductance = plies;
    }
    let bounds = Bounds {
        least_thickness: 1e-3,
        ..Bounds::default()
    };
    let space = Space::new(&choices, 4);
    let outcome = seek(&space, &bounds, &Wish::default(), &mut any).unwrap();
    let found = outcome.best(Goal::EasiestFill).unwrap();
    assert_eq!((found.middle, &found.half[..]), (Middle::Plain, &[1][..]));
}
