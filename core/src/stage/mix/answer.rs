//! What the mix says: its notes, and prepreg, where there is nothing to mix.

use super::{IN_PART, Pots, STAGE};
use crate::law::LawError;
use crate::sheet::{Basis, Estimate, Head, Law, MixSheet, PotTemper, Spread};
use crate::stage::bench::Bench;
use crate::stage::stack::Stacked;
use crate::units::Unit;

pub(super) fn notes(
    bench: &mut Bench<'_>,
    pots: &Pots,
    per_fibre: &Spread,
    in_part: &Spread,
    smallest: &Spread,
) {
    bench.caution(
        STAGE,
        "Weigh with nitrile gloves and goggles on: hardener burns skin and eyes, and both parts can make you allergic for life.",
    );
    let each = bench
        .desk
        .say_plain(Unit::Gram, round_to_figures(pots.mass * 1000.0));
    match pots.temper {
        PotTemper::Dangerous => bench.caution(
            STAGE,
            format!(
                "A cup of {each} left standing can smoke and burn: pour it into a wide tray at once, never leave it, and carry it outdoors if it warms."
            ),
        ),
        PotTemper::Warm => bench.caution(
            STAGE,
            format!("A cup of {each} left standing gets too hot to hold: use it at once or spread it in a tray."),
        ),
        PotTemper::Calm => {}
    }
    if pots.in_turn && pots.count > 1 {
        bench.advice(
            STAGE,
            "Do not mix the pots at once: mix the next one when the last is half used, so that the feed never runs dry and none grows old.",
        );
    }
    if pots.too_light {
        bench.problem(
            STAGE,
            format!(
                "This batch is lighter than the {} your scale can weigh well enough: use a finer scale, or mix more and let the rest harden.",
                bench.desk.say(Unit::Gram, &smallest.times(1000.0)),
            ),
        );
    }
    bench.advice(
        STAGE,
        "Weigh both parts. The volumes are a check only: a weight ratio poured by volume starves the hardener.",
    );
    bench
        .desk
        .cite(&["practice_mixing_ratio", "flax_hull_2020"]);
    bench.advice(
        STAGE,
        format!(
            "That is {} parts of resin to one of dry fibre to mix, {} of them in the part. The trade mixes about two to one for infused woven flax (common practice, no source).",
            bench.desk.say(Unit::One, per_fibre),
            bench.desk.say(Unit::One, in_part),
        ),
    );
}

/// A mass for a sentence, to two figures.
pub(super) fn round_to_figures(grams: f64) -> f64 {
    if grams <= 0.0 {
        return 0.0;
    }
    let step = 10_f64.powf(grams.log10().floor() - 1.0);
    (grams / step).round() * step
}

/// Prepreg: nothing to mix.
pub(super) fn comes_with_the_cloth(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
) -> Result<MixSheet, LawError> {
    let nothing = Spread::exact(0.0);
    let per_fibre = Spread::from([&stacked.resin, &stacked.fibre], |[r, f]| r / f);
    bench.caution(
        STAGE,
        "Uncured prepreg sensitises skin: wear nitrile gloves and follow its own safety sheet.",
    );
    let desk = &mut bench.desk;
    let in_part = stacked.resin.times(1000.0);
    let answer = format!(
        "Nothing to mix: the cloth brings its resin, about {} of it.",
        desk.say(Unit::Gram, &in_part)
    );
    let mut zero = |label, unit| desk.estimate(label, unit, &nothing, &NO_MIX);
    let resin_to_mix_g = zero("Resin and hardener to mix", Unit::Gram);
    let resin_g = zero("Resin to weigh", Unit::Gram);
    let hardener_g = zero("Hardener to weigh", Unit::Gram);
    let resin_ml = zero("Resin by volume, as a check", Unit::Millilitre);
    let hardener_ml = zero("Hardener by volume, as a check", Unit::Millilitre);
    let use_within_min: Estimate = zero("Use each pot within", Unit::Minute);
    let smallest_batch_g = zero("Smallest batch this scale can weigh", Unit::Gram);
    Ok(MixSheet {
        head: Head {
            stage: STAGE,
            short: "Mix",
            question: "How much resin to mix, in which pots?",
            answer,
            main: "resin_in_part_g",
        },
        resin_in_part_g: desk.estimate("Stays in the part", Unit::Gram, &in_part, &IN_PART),
        losses: Vec::new(),
        to_mix_per_fibre: desk.estimate("Resin per dry fibre", Unit::One, &per_fibre, &IN_PART),
        stays_pct: desk.estimate(
            "Share that stays in the part",
            Unit::Percent,
            &Spread::exact(100.0),
            &NO_MIX,
        ),
        resin_to_mix_g,
        resin_g,
        hardener_g,
        resin_ml,
        hardener_ml,
        use_within_min,
        smallest_batch_g,
        pots: Vec::new(),
        pot_temper: PotTemper::Calm,
    })
}

pub(super) static NO_MIX: Law = Law {
    says: "prepreg brings its own resin",
    basis: Basis::Firm,
    sources: &["law_split"],
};
