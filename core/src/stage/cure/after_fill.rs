//! After the fill: which clamp first, how long the feed stays open, and whether thickness evens out before gel.

use crate::law::LawError;
use crate::plan::fields::FEED_OPEN;
use crate::sheet::{AfterFill, Basis, Law, Spread};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::fill::{Filled, even_out, wet_exponent};
use crate::stage::resin_clock::ResinClock;
use crate::units::Unit;

pub(super) fn after_fill(
    bench: &mut Bench<'_>,
    air: &Air,
    filled: &Filled,
    clock: &mut ResinClock,
) -> Result<AfterFill, LawError> {
    let open = bench.take(&FEED_OPEN).times(60.0);
    let exponent = wet_exponent(bench);
    let of = [
        &clock.viscosity,
        &filled.run,
        &filled.permeability,
        &air.net,
        &exponent,
        &filled.time,
        &clock.gel,
    ];
    let even = even_out(of, &clock.thickening)?;
    // Warmth after the fill may gel it sooner than the shop alone.
    let left = Spread::from(
        [&clock.gel, &clock.cure_gel, &filled.time, &open],
        |[gel, warmed, time, open]| ((gel - time).min(warmed) - open).max(0.0),
    );
    clock.after_clamp = Some(left.clone());
    let spare = Spread::from([&left, &even], |[left, even]| left - even);
    let chance = spare.share(|x| x >= 0.0);
    // What has not evened out at gel never will; how much longer it would take tells nobody anything.
    let even = Spread::from([&even, &clock.gel], |[even, gel]| even.min(gel));
    let desk = &bench.desk;
    let minutes = |x: &Spread| desk.say(Unit::Minute, &x.times(1.0 / 60.0));
    let opened = minutes(&open);
    let order = vec![
        "When resin runs clear in the vent line, clamp the vent first: an open vent goes on drawing resin out of the part.".to_owned(),
        format!(
            "Leave the feed open for about {opened}, with resin standing over the end of its tube, so that no air is drawn in."
        ),
        "Clamp the feed. Open the vent again if the part should even out under full vacuum; with both shut it keeps the resin that it has.".to_owned(),
        "Leave the bag alone until a drop left beside the part has gelled.".to_owned(),
    ];
    let verdict = if chance >= 0.9 {
        "so the part will even out before the resin gels"
    } else if chance >= 0.5 {
        "so it likely evens out before the resin gels, but not surely"
    } else {
        "so the part gels before it has evened out, and stays thicker at the feed"
    };
    let sentence = format!(
        "Evening out along the part takes about {} with the vent pulling; {} are left before gel, {verdict}. While the feed is open, pressure at the bubbles rises and they shrink: from a twentieth of the air outside to half of it, a gas bubble goes to a tenth of its size. The price is a bag that lies less tight: at half the pressure about 8 % less fibre, so do not leave the feed open to the end.",
        minutes(&even),
        minutes(&left),
    );
    let desk = &mut bench.desk;
    Ok(AfterFill {
        order,
        even_out_min: desk.estimate(
            "Thickness evens out along the part within",
            Unit::Minute,
            &even.times(1.0 / 60.0),
            &EVEN,
        ),
        left_min: desk.estimate(
            "From clamping the feed until gel",
            Unit::Minute,
            &left.times(1.0 / 60.0),
            &LEFT_LAW,
        ),
        chance,
        sentence,
    })
}

static EVEN: Law = Law {
    says: "t = (4/π²) ln(8/(π² r)) L²/D, D = K σ/(μ B), until a tenth is left, with the resin as thick as at the end of the fill",
    basis: Basis::Rule,
    sources: &[
        "law_evening_out",
        "memory_wet_exponent",
        "practice_feed_open",
    ],
};

static LEFT_LAW: Law = Law {
    says: "gel less the fill and the time the feed stays open",
    basis: Basis::Published,
    sources: &["blade_epoxy", "practice_feed_open"],
};
