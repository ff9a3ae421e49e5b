//! What the mix says: its notes, and prepreg, where there is nothing to mix.

use super::{IN_PART, Pots, STAGE};
use crate::law::LawError;
use crate::plan::{PotKind, Route};
use crate::sheet::{Basis, Desk, Estimate, Head, Law, MixSheet, PotTemper, Spread};
use crate::stage::bench::Bench;
use crate::stage::stack::Stacked;
use crate::units::{Unit, join_unit, plain};

pub(super) fn notes(bench: &mut Bench<'_>, pots: &Pots, per_fibre: &Spread, in_part: &Spread) {
    bench.caution(
        STAGE,
        "Weigh with nitrile gloves and goggles on: hardener burns skin and eyes, and both parts can make you allergic for life.",
    );
    bench.caution(STAGE, FIRST_AID);
    let each = figures(&bench.desk, Unit::Gram, pots.mass * 1000.0, 2);
    // Of another vessel it is said where that vessel is looked at.
    let in_a_cup = bench.plan.pot == PotKind::Cup;
    match pots.temper {
        _ if !in_a_cup => {}
        PotTemper::Dangerous => bench.caution(
            STAGE,
            format!(
                "A cup of {each} left standing can smoke and burn: pour it into a wide tray at once, never leave it, and carry it outdoors if it warms."
            ),
        ),
        PotTemper::Warm => bench.caution(
            STAGE,
            format!("A cup of {each} left standing can get too hot to hold: use it at once or spread it in a tray."),
        ),
        PotTemper::Calm => {}
    }
    bench.advice(
        STAGE,
        "Weigh both parts. The volumes are a check only: a weight ratio poured by volume starves the hardener.",
    );
    let mut parts = format!(
        "That is {} parts of resin to one of dry fibre to mix, {} of them in the part.",
        bench.desk.say(Unit::One, per_fibre),
        bench.desk.say(Unit::One, in_part),
    );
    if bench.plan.route == Route::Infusion {
        bench
            .desk
            .cite(&["practice_mixing_ratio", "flax_hull_2020"]);
        parts += " The trade mixes about two to one for infused woven flax (common practice, no source).";
    }
    bench.advice(STAGE, parts);
}

/// What to do at once when it went wrong: usual practice, which the product's own sheet may overrule.
const FIRST_AID: &str = "In an eye: rinse with water for 15 minutes and see a doctor. On skin: soap and water, never solvent. A burn: cool it under running water for 20 minutes. Burning resin or solvent: powder, foam or CO\u{2082}, never a jet of water.";

/// A value for a sentence in the reader's unit, to so many figures.
pub(super) fn figures(desk: &Desk, unit: Unit, value: f64, count: i32) -> String {
    let shown = unit.to_shown(value, desk.units);
    let text = if shown == 0.0 {
        plain(0.0)
    } else {
        let step = 10_f64.powi(shown.abs().log10().floor() as i32 + 1 - count);
        plain((shown / step).round() * step)
    };
    join_unit(&text, unit.symbol_in(desk.units))
}

/// A value for a table in the reader's unit, whole.
pub(super) fn whole(desk: &Desk, unit: Unit, value: f64) -> String {
    let shown = unit.to_shown(value, desk.units).round();
    join_unit(&plain(shown), unit.symbol_in(desk.units))
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
        "Uncured prepreg sensitises skin: wear nitrile gloves, wash with soap and water, never solvent, and follow its own safety sheet.",
    );
    let desk = &mut bench.desk;
    let in_part = stacked.resin.times(1000.0);
    let answer = format!(
        "Nothing to mix: the cloth brings its resin, about {} of it.",
        desk.say(Unit::Gram, &in_part)
    );
    let mut zero = |label, unit| desk.estimate(label, unit, &nothing, &NO_MIX).only_if(false);
    let resin_to_mix_g = zero("Resin and hardener to mix", Unit::Gram);
    let resin_g = zero("Resin to weigh", Unit::Gram);
    let hardener_g = zero("Hardener to weigh", Unit::Gram);
    let resin_ml = zero("Resin by volume, as a check", Unit::Millilitre);
    let hardener_ml = zero("Hardener by volume, as a check", Unit::Millilitre);
    let use_within_min: Estimate = zero("Use each pot within", Unit::Minute);
    let smallest_batch_g = zero("Smallest batch this scale can weigh", Unit::Gram);
    Ok(MixSheet {
        head: Head::new(STAGE, answer, "resin_in_part_g"),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Units;

    #[test]
    fn a_sentence_gets_no_more_figures_than_it_needs() {
        let desk = Desk::new(Units::Us);
        assert_eq!(figures(&desk, Unit::Gram, 100.0, 2), "3.5\u{a0}oz");
        assert_eq!(figures(&desk, Unit::Millimetre, 10.0, 2), "0.39\u{a0}in");
        assert_eq!(whole(&desk, Unit::Celsius, 38.0), "100\u{a0}°F");
        let desk = Desk::new(Units::Metric);
        assert_eq!(figures(&desk, Unit::Gram, 387.6, 2), "390\u{a0}g");
        assert_eq!(figures(&desk, Unit::Gram, 115.0, 3), "115\u{a0}g");
        assert_eq!(figures(&desk, Unit::Gram, 0.0, 2), "0\u{a0}g");
        assert_eq!(whole(&desk, Unit::Percent, 37.6), "38%");
    }
}
