//! After the fill: which clamp first, how long the feed stays open, and whether thickness evens out before gel.

use crate::law::{LawError, flow};
use crate::plan::fields::FEED_OPEN;
use crate::range::Range;
use crate::sheet::{AfterFill, Basis, Grade, Law, Spread};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::dry::flow_run;
use crate::stage::fill::Filled;
use crate::stage::resin_clock::ResinClock;
use crate::stage::stack::Stacked;
use crate::units::Unit;

/// Share of the unevenness that is left when it counts as even.
const LEFT: f64 = 0.1;

pub(super) fn after_fill(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    filled: &Filled,
    clock: &ResinClock,
) -> Result<AfterFill, LawError> {
    let open = bench.take(&FEED_OPEN).times(60.0);
    let exponent = bench.coefficient(
        "fill.wet_exponent",
        "How much wet cloth gives with pressure",
        Range::new(0.03, 0.045, 0.06),
        Grade::Memory,
        "memory_wet_exponent",
    );
    let run = flow_run(bench, stacked);
    // The resin has thickened on its way; how much, by the slope of clock time against thin-resin time.
    let thicker = |time: f64, gel: f64| {
        let share = (time / gel).clamp(0.0, 0.97);
        let thin = clock.thickening.thin(share + 0.01) - clock.thickening.thin(share);
        0.01 / thin.max(1e-6)
    };
    let even = Spread::of(
        [
            &clock.viscosity,
            &run,
            &filled.permeability,
            &air.net,
            &exponent,
            &filled.time,
            &clock.gel,
        ],
        |[mu, run, k, net, b, time, gel]| {
            // Half of what presses is carried by the cloth on the mean, from feed to vent.
            let load = (0.5 * net).clamp(1.0, 2e6);
            let time = flow::equalisation_time(mu * thicker(time, gel), run, k, load, b, LEFT)?;
            Ok(time)
        },
    )?;
    // Warmth after the fill may gel it sooner than the shop alone.
    let left = Spread::from(
        [&clock.gel, &clock.cure_gel, &filled.time, &open],
        |[gel, warmed, time, open]| ((gel - time).min(warmed) - open).max(0.0),
    );
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
