//! Prepreg: its cloth is not dried any more; it warms up sealed, so that no dew settles on it.

use super::STAGE;
use crate::law::{LawError, water_vapour};
use crate::plan::fields::{ROOM_HUMIDITY, ROOM_TEMPERATURE};
use crate::sheet::{Basis, DrySheet, Head, Law, Spread};
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::stack::Stacked;
use crate::stage::water;
use crate::units::Unit;

/// The sheet of a prepreg.
pub(super) fn sealed(bench: &mut Bench<'_>, stacked: &Stacked) -> Result<DrySheet, LawError> {
    let room = water::kelvin(&bench.take(&ROOM_TEMPERATURE));
    let humidity = water::activity(&bench.take(&ROOM_HUMIDITY));
    let dew = Spread::of([&room, &humidity], |[t, h]| {
        Ok(water_vapour::dew_point(t, h)?.unwrap_or(ZERO_C) - ZERO_C)
    })?;
    if stacked.is_damp() {
        bench.desk.cite(&["grunenfelder_2010"]);
        bench.caution(
            STAGE,
            "Water that was in the cloth when its resin went in cannot be driven out any more, and under a bag alone it makes voids. Ask the maker of the prepreg how dry the cloth was.",
        );
    }
    bench.advice(
        STAGE,
        "Let it warm up in its sealed bag, for hours if it is a roll, and write down how long it has been out of the freezer: its own sheet says how much of that it stands.",
    );
    let nothing = Spread::exact(0.0);
    let desk = &mut bench.desk;
    let answer = format!(
        "Never dry a prepreg in the oven, because its resin would set. Leave it sealed until it is warmer than {}, the dew point of your shop, and open it only then.",
        desk.say(Unit::Celsius, &dew)
    );
    let mut none = |label, unit| desk.estimate(label, unit, &nothing, &NOT_DRIED);
    Ok(DrySheet {
        regain_start_pct: none("Water per dry fibre to drive out", Unit::Percent),
        water_g: none("Water that can be driven out", Unit::Gram),
        water_to_drive_g: none("Water to drive out", Unit::Gram),
        weigh_now_g: none("The cloth on the scale now", Unit::Gram),
        weigh_target_g: none("The cloth on the scale when it is dry enough", Unit::Gram),
        oven_floor_pct: none("Driest this oven can get it", Unit::Percent),
        oven_min: none("Time in the oven", Unit::Minute),
        bag_floor_pct: none("Driest this bag can get it", Unit::Percent).only_if(false),
        bag_h: none("Time under vacuum to get there", Unit::Hour).only_if(false),
        lowest_pressure_mbar: none("Lowest the gauge can show over the cloth", Unit::Millibar)
            .only_if(false),
        lowest_pressure_dry_mbar: none("The same once it is dry", Unit::Millibar).only_if(false),
        out_of_oven_min: none("Out of the oven until it is too wet again", Unit::Minute),
        dew_point_c: Some(desk.estimate(
            "Dew point of the shop: open the pack only when it is warmer",
            Unit::Celsius,
            &dew,
            &DEW,
        )),
        head: Head {
            question: "Is the prepreg warm and dry?",
            ..Head::new(STAGE, answer, "dew_point_c")
        },
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

static NOT_DRIED: Law = Law {
    says: "a prepreg is not dried",
    basis: Basis::Firm,
    sources: &[],
};

static DEW: Law = Law {
    says: "the temperature at which p_sat equals the vapour pressure h p_sat(T) of the shop",
    basis: Basis::Firm,
    sources: &["iapws_sr1_1992"],
};
