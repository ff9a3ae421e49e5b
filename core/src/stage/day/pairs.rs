//! How many pairs of hands each step takes, by the size of the part and by what runs at once. Our judgement.

use super::steps::Step;

/// From this area on, two people handle film, wet cloth and the part itself [m2].
const LARGE: f64 = 1.0;

/// Says which steps take two pairs of hands.
pub(super) fn ask(area: f64, steps: &mut [Step]) {
    // Another pot is stirred while somebody is at the feed, or lays wet cloth.
    let pots = steps.iter().filter(|step| step.key.starts_with("mix_"));
    let in_turn = pots.count() > 1;
    for step in steps {
        let large = area >= LARGE && matches!(&*step.key, "bag" | "wet" | "demould");
        let fed = in_turn && matches!(&*step.key, "fill" | "wet");
        if large || fed {
            step.pairs = 2;
        }
    }
}

/// Who is needed at a step beside the one pair that every step has, in words; none where that is enough.
pub(super) fn why(step: &Step) -> Option<&'static str> {
    if step.pairs < 2 {
        return None;
    }
    Some(match &*step.key {
        "bag" => "one holds the film, one presses the tape",
        "demould" => "one lifts at each end",
        "wet" => "one wets out, one lays and mixes",
        _ => "one stays at the feed, one mixes the next pot",
    })
}
