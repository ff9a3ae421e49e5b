//! What the resin's data sheet tells and what had to be assumed.

use super::answer::figures;
use crate::law::cure::GEL_CONVERSION;
use crate::law::{LawError, viscosity};
use crate::sheet::{Basis, Estimate, Law, Spread};
use crate::shelf::PotLifeMeaning;
use crate::shelf::properties::TG_AFTER;
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::resin_clock::ResinClock;
use crate::units::Unit;

/// One sentence for each thing that was read or assumed.
pub(super) fn known(bench: &Bench<'_>, clock: &ResinClock) -> Vec<String> {
    let resin = &bench.plan.resin;
    let desk = &bench.desk;
    let plain = |unit, value: f64| desk.say_plain(unit, value);
    let meaning = match resin.pot_life_meaning {
        PotLifeMeaning::Gel => "gels",
        PotLifeMeaning::TenDegrees => "has warmed by ten kelvin",
        PotLifeMeaning::Doubled => "is twice as thick",
        PotLifeMeaning::Fifty => "is 50\u{a0}°C warm",
        PotLifeMeaning::FortyLess => "is 40\u{a0}°C warm, less a fifth,",
    };
    let mut said = vec![
        format!(
            "Mixed as stated, {} parts of hardener to a hundred of resin by weight; the ratio is taken as it stands and never worked out afresh.",
            plain(Unit::One, resin.hardener_per_100),
        ),
        format!(
            "A pot of {} at {} {meaning} after {}: that makes the hardener {} times as fast as a slow reference.",
            figures(desk, Unit::Gram, resin.pot_life_g, 3),
            plain(Unit::Celsius, resin.pot_life_c),
            plain(Unit::Minute, resin.pot_life_min.range.likely),
            desk.say(Unit::One, &clock.pace),
        ),
    ];
    said.push(clock.film.clone());
    said.push(match resin.second_viscosity {
        Some((second, at)) => format!(
            "Viscosity at two temperatures, {} at {} and {} at {}: these tell how it thins with warmth.",
            plain(Unit::MillipascalSecond, resin.viscosity_mpa_s.range.likely),
            plain(Unit::Celsius, resin.viscosity_at_c),
            plain(Unit::MillipascalSecond, second),
            plain(Unit::Celsius, at),
        ),
        None => format!(
            "Viscosity at one temperature only, {} at {}: how it thins with warmth is assumed, and drawn wide. Type a second one if the sheet has it.",
            plain(Unit::MillipascalSecond, resin.viscosity_mpa_s.range.likely),
            plain(Unit::Celsius, resin.viscosity_at_c),
        ),
    });
    said.push(if resin.properties.get(&TG_AFTER).is_some() {
        "A glass transition after a stated cure is given: hardness in the part is set right by it.".to_owned()
    } else {
        format!(
            "The glass transition when fully cured, {}, is all that is known of its hardness; one after a stated cure would narrow it.",
            plain(Unit::Celsius, resin.tg_ultimate_c.range.likely),
        )
    });
    said.push(format!(
        "Heat of cure and the shape of the reaction are those of one published infusion epoxy, and gel is taken to come when {} has reacted. A trial pot with a thermometer in it beats all of this.",
        plain(Unit::Percent, 100.0 * GEL_CONVERSION),
    ));
    said
}

/// Viscosity ten kelvin warmer over that in the shop.
pub(super) fn ten_warmer(bench: &mut Bench<'_>, clock: &ResinClock) -> Result<Estimate, LawError> {
    let ratio = Spread::of([&clock.energy, &clock.room], |[energy, room]| {
        let warm = (room + 10.0).min(ZERO_C + 80.0);
        viscosity::viscosity_at(1.0, room, energy.clamp(11e3, 190e3), warm)
    })?;
    Ok(bench.desk.estimate(
        "Viscosity ten kelvin warmer, over that in the shop",
        Unit::One,
        &ratio,
        &THINS,
    ))
}

static THINS: Law = Law {
    says: "μ = μ_ref exp[(E/R)(1/T - 1/T_ref)], with E from two viscosities or assumed",
    basis: Basis::Published,
    sources: &["memory_viscosity_energy"],
};
