//! Prepreg: warm up, lay, bag, and cure in the oven under vacuum.

use super::super::Job;
use super::super::hands::Hands;
use super::before::{bagged, coats};
use super::{Begins, List, Needs, after};
use crate::plan::fields::{DEBULK, OVEN_CURE, THAW};
use crate::sheet::{Spread, StageName};
use crate::stage::bench::Bench;

/// Plies that are laid between one debulk and the next.
const BETWEEN: f64 = 3.0;

/// Every step of a prepreg, from the freezer to the trimmed edge.
pub(super) fn lay_up(bench: &mut Bench<'_>, job: &Job<'_>, hands: &Hands, list: &mut List) {
    let thaw = bench.take(&THAW).times(60.0);
    let warm = list.add(
        "thaw",
        "Let the sealed prepreg warm up",
        StageName::Dry,
        Needs::Nobody,
        Begins::After(Vec::new()),
        thaw,
    );
    list.says(
        warm,
        "no dew settles on the pack any more",
        "Open it only then: dew that settles on it turns to steam in the cure.",
    );
    let mut ready = vec![warm];
    ready.extend(coats(hands, list, Vec::new()));
    let cut = list.add(
        "cut",
        "Cut the prepreg",
        StageName::Stack,
        Needs::Hands,
        Begins::After(ready),
        hands.cut.clone(),
    );
    list.says(
        cut,
        "all pieces lie numbered, backing on",
        "Nitrile gloves: uncured resin sensitises.",
    );
    let plies: f64 = job
        .stacked
        .cloths()
        .map(|(row, _)| f64::from(row.count))
        .sum();
    let times = (plies / BETWEEN).ceil().max(1.0);
    let debulk = bench.take(&DEBULK).times(times);
    let pressed = debulk.likely() > 0.0;
    let lay = list.add(
        "lay",
        if pressed {
            "Lay the stack; press it under vacuum after the first ply and every third"
        } else {
            "Lay the stack"
        },
        StageName::Stack,
        Needs::Hands,
        Begins::After(vec![cut]),
        Spread::sum([&hands.lay, &debulk]),
    );
    list.says(
        lay,
        "every ply lies as the stack says, every backing is off",
        "Nitrile gloves.",
    );
    list.0[lay].work = Some(hands.lay.clone());
    let tight = bagged(bench, job, hands, list, vec![lay], false);
    let takes = bench.take(&OVEN_CURE).times(60.0);
    let cure = list.add(
        "oven_cure",
        "Cure it in the oven under vacuum, as its own sheet says",
        StageName::Stack,
        Needs::Watch,
        Begins::After(vec![tight]),
        takes,
    );
    list.says(
        cure,
        "its sheet's time at its sheet's heat is over, and it has cooled under vacuum",
        "Stay near a hot oven. Film, tape, hoses and mould must all stand its heat.",
    );
    after::off_and_trim(bench, hands, list, cure);
}
