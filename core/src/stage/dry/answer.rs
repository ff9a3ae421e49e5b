//! What drying says: the sentence, the notes, and a stack that holds no water.

use super::{Damp, LONGEST_WAIT, LOWEST, NO_BAG, STAGE, under_the_bag};
use crate::law::{LawError, water_vapour};
use crate::plan::fields::{OVEN, ROOM_TEMPERATURE};
use crate::sheet::{Basis, DrySheet, Head, Law, Spread};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::stack::Stacked;
use crate::stage::water;
use crate::units::Unit;

/// Hottest that flax is dried [C].
pub(super) const HOTTEST: f64 = 105.0;

pub(super) fn answer(
    bench: &Bench<'_>,
    damp: &Damp,
    water: &Spread,
    target: &Spread,
    floor: &Spread,
    time: &Spread,
) -> String {
    let desk = &bench.desk;
    let holds = format!(
        "the cloth holds {} of water, {} of its dry mass",
        desk.say(Unit::Gram, &water.times(1000.0)),
        desk.say(Unit::Percent, &damp.start.times(100.0)),
    );
    if damp.start.likely() <= target.likely() {
        return format!("Dry enough as it lies: {holds}.");
    }
    let oven = bench
        .plan
        .given(&OVEN)
        .or(OVEN.usual.map(|usual| usual.range))
        .map_or(60.0, |range| range.likely);
    let oven = desk.say_plain(Unit::Celsius, oven);
    if floor.likely() > target.likely() {
        return format!(
            "At {oven} it never gets below {}: {holds}. Use a hotter oven.",
            desk.say(Unit::Percent, &floor.times(100.0)),
        );
    }
    format!(
        "Dry it for about {} at {oven}: {holds}.",
        desk.say(Unit::Minute, &time.times(1.0 / 60.0)),
    )
}

pub(super) fn notes(
    bench: &mut Bench<'_>,
    damp: &Damp,
    target: &Spread,
    floor: &Spread,
    bag_floor: Option<&Spread>,
    lowest: Option<&Spread>,
    air: &Air,
) {
    bench.caution(
        STAGE,
        "Dry fibre in a hot oven can catch fire: keep it away from bare elements, stay with it, and never leave it overnight.",
    );
    let hottest = bench.desk.say_plain(Unit::Celsius, HOTTEST);
    let oven = bench.plan.given(&OVEN).map_or(60.0, |range| range.likely);
    if oven > HOTTEST {
        bench.problem(
            STAGE,
            format!("Stay at or below {hottest}: a day at that heat already costs flax strength, and hotter is worse. This sheet computes with {hottest}."),
        );
    }
    bench.advice(
        STAGE,
        "Trust the scale more than the clock: weigh the whole stack before it goes in and as it dries. It is dry when it no longer loses weight.",
    );
    bench.desk.cite(&["practice_oven"]);
    if under_the_bag(bench) {
        bench.desk.cite(&["practice_bag_drying"]);
        bench.advice(
            STAGE,
            "The trade gives two hours at 60\u{a0}°C, or about five hours under full vacuum, and calls that dry (common practice, no source).",
        );
    } else {
        bench.advice(
            STAGE,
            "The trade gives two hours at 60\u{a0}°C and calls that dry (common practice, no source).",
        );
    }
    if floor.likely() > target.likely() {
        bench.problem(
            STAGE,
            "This oven cannot reach the target, because the room's own damp sets a floor. Raise its temperature or dry the room's air.",
        );
    }
    let (Some(bag_floor), Some(lowest)) = (bag_floor, lowest) else {
        return;
    };
    bench.caution(
        STAGE,
        "A vacuum pot or trap can implode: use one made for full vacuum, without cracks, and cover glass with tape.",
    );
    if bag_floor.likely() > target.likely() {
        bench.advice(
            STAGE,
            format!(
                "Do not leave the drying to the bag: vacuum alone stops near {} at this temperature and pressure. Use the oven first, or warm the mould.",
                bench.desk.say(Unit::Percent, &bag_floor.times(100.0)),
            ),
        );
    }
    let wet = damp.start.likely() > target.likely();
    if wet && lowest.likely() > air.bag.likely() {
        bench.advice(
            STAGE,
            format!(
                "A tight bag over this cloth cannot show less than about {} until it dries: a slow gauge may be water, not a leak.",
                bench.desk.say(Unit::Millibar, &lowest.times(0.01)),
            ),
        );
    }
}

/// A stack without bast fibre holds next to no water.
pub(super) fn dry_already(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
) -> Result<DrySheet, LawError> {
    let nothing = Spread::exact(0.0);
    let mass = stacked.fibre.times(1000.0);
    let room = water::kelvin(&bench.take(&ROOM_TEMPERATURE));
    // Whatever the bag holds then is air, or vapour of some water that was spilt.
    let bagged = bench.bagged();
    let (lowest, law) = if bagged {
        let lowest = Spread::of([&air.bag, &room], |[bag, t]| {
            Ok(bag.min(water_vapour::saturation_pressure(t)?))
        })?;
        (lowest, &LOWEST)
    } else {
        (nothing.clone(), &NO_BAG)
    };
    let desk = &mut bench.desk;
    let mut zero = |label, unit| desk.estimate(label, unit, &nothing, &NO_WATER);
    let regain_start_pct = zero("Water per dry fibre, as kept", Unit::Percent);
    let water_g = zero("Water in the cloth", Unit::Gram);
    let water_to_drive_g = zero("Water to drive out", Unit::Gram);
    let oven_floor_pct = zero("Driest this oven can get it", Unit::Percent);
    let oven_min = zero("Time in the oven", Unit::Minute);
    let bag_floor_pct = zero("Driest this bag can get it", Unit::Percent).only_if(false);
    let bag_h = zero("Time under vacuum to get there", Unit::Hour).only_if(false);
    let out_of_oven_min = desk.estimate(
        "Out of the oven until it is too wet again",
        Unit::Minute,
        &Spread::exact(LONGEST_WAIT / 60.0),
        &NO_WATER,
    );
    Ok(DrySheet {
        head: Head::new(STAGE, "Dry as it is: glass, carbon and cores hold next to no water. Keep dust and damp off it.".into(), "water_g"),
        weigh_now_g: desk.estimate("The cloth on the scale now", Unit::Gram, &mass, &NO_WATER),
        weigh_target_g: desk.estimate(
            "The cloth on the scale when it is dry enough",
            Unit::Gram,
            &mass,
            &NO_WATER,
        ),
        lowest_pressure_mbar: desk.estimate(
            "Lowest the gauge can show over this cloth",
            Unit::Millibar,
            &lowest.times(0.01),
            law,
        ).only_if(bagged),
        lowest_pressure_dry_mbar: desk.estimate(
            "The same once the cloth is dry enough",
            Unit::Millibar,
            &lowest.times(0.01),
            law,
        ).only_if(bagged),
        regain_start_pct,
        water_g,
        water_to_drive_g,
        oven_floor_pct,
        oven_min,
        bag_floor_pct,
        bag_h,
        out_of_oven_min,
        dew_point_c: None,
        largest_regain_pct: None,
        vapour_at_hottest_mbar: None,
        after_vacuum_pct: None,
        isotherm: None,
        curve: None,
        ways: Vec::new(),
        waits: Vec::new(),
        weighed: None,
        published: Vec::new(),
    })
}

pub(super) static NO_WATER: Law = Law {
    says: "mineral fibre takes up no water from air",
    basis: Basis::Firm,
    sources: &["memory_synthetic_fibres"],
};
