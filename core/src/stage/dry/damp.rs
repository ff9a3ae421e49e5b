//! A damp stack: how long it dries in the oven or under its bag, how long it stays dry, and its sheet.

use super::answer::{answer, notes};
use super::heat::{Oven, out_of_the_oven};
use super::vacuum::Bagging;
use super::{Damp, Dried, LOWEST, NO_BAG, STAGE, gather, under_the_bag, ways};
use crate::law::LawError;
use crate::plan::fields::TARGET_REGAIN;
use crate::sheet::{Basis, Desk, DrySheet, Estimate, Head, Law, Spread};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::stack::Stacked;
use crate::units::Unit;

/// The damp stack with its ways to dry, worked out.
struct Drying {
    damp: Damp,
    /// Regain at which it is dry enough [-].
    target: Spread,
    /// Water in it [kg].
    water: Spread,
    oven: Oven,
    /// Time in the oven, and out of it until it is too wet again [s].
    oven_time: Spread,
    wait: Spread,
    /// None where no bag lies over dry cloth.
    bag: Option<UnderBag>,
}

/// Drying under the bag.
struct UnderBag {
    bagging: Bagging,
    /// Time to the target, or close to what the bag can reach [s].
    time: Spread,
    /// Lowest pressure over the cloth as damp as now, and at its target [Pa].
    lowest: Spread,
    lowest_dry: Spread,
}

/// Works the drying of a damp stack out and writes its sheet.
pub(super) fn damp(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
) -> Result<(Option<Dried>, DrySheet), LawError> {
    let drying = Drying::of(bench, air, stacked)?;
    let (damp, target, floor) = (&drying.damp, &drying.target, &drying.oven.floor);
    let bag_floor = drying.bag.as_ref().map(|bag| &bag.bagging.floor);
    let lowest = drying.bag.as_ref().map(|bag| &bag.lowest);
    notes(bench, damp, target, floor, bag_floor, lowest, air);
    let answer = answer(bench, damp, &drying.water, target, floor, &drying.oven_time);
    let sheet = drying.sheet(&mut bench.desk, answer);
    let dried = Dried {
        damp: drying.damp,
        oven: drying.oven,
        oven_time: drying.oven_time,
        bagging: drying.bag.map(|bag| bag.bagging),
    };
    Ok((Some(dried), sheet))
}

impl Drying {
    fn of(bench: &mut Bench<'_>, air: &Air, stacked: &Stacked) -> Result<Self, LawError> {
        let damp = gather(bench, stacked)?;
        let target = bench.take(&TARGET_REGAIN).times(0.01);
        let water = Spread::from([&damp.dry, &damp.start], |[dry, start]| dry * start);
        let oven = Oven::of(bench, &damp)?;
        let oven_time = oven.time(&damp, &target)?;
        let bag = if under_the_bag(bench) {
            let bagging = Bagging::of(bench, air, stacked, &damp)?;
            Some(UnderBag {
                time: bagging.track(&damp, stacked, &target, None)?.0,
                lowest: bagging.lowest(&damp, &damp.start)?,
                lowest_dry: bagging.lowest(&damp, &target)?,
                bagging,
            })
        } else {
            None
        };
        let lying = ways::as_dried(bench);
        let wait = out_of_the_oven(bench, &damp, &target, lying)?;
        Ok(Self {
            damp,
            target,
            water,
            oven,
            oven_time,
            wait,
            bag,
        })
    }

    fn sheet(&self, desk: &mut Desk, answer: String) -> DrySheet {
        let [regain_start_pct, water_g, water_to_drive_g] = self.holds(desk);
        let [weigh_now_g, weigh_target_g] = self.weighs(desk);
        let [oven_floor_pct, oven_min] = self.in_the_oven(desk);
        let [bag_floor_pct, bag_h] = self.in_the_bag(desk);
        let [lowest_pressure_mbar, lowest_pressure_dry_mbar] = self.on_the_gauge(desk);
        let out_of_oven_min = desk.estimate(
            "Out of the oven until it is too wet again",
            Unit::Minute,
            &self.wait.times(1.0 / 60.0),
            &WAIT,
        );
        DrySheet {
            head: Head::new(STAGE, answer, "oven_min"),
            regain_start_pct,
            water_g,
            water_to_drive_g,
            weigh_now_g,
            weigh_target_g,
            oven_floor_pct,
            oven_min,
            bag_floor_pct,
            bag_h,
            lowest_pressure_mbar,
            lowest_pressure_dry_mbar,
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
        }
    }

    /// Water in the cloth: per dry fibre, in all, and what of it must go.
    fn holds(&self, desk: &mut Desk) -> [Estimate; 3] {
        let Damp { dry, start, .. } = &self.damp;
        let to_drive = Spread::from([dry, start, &self.target], |[dry, start, target]| {
            dry * (start - target).max(0.0)
        });
        [
            desk.estimate(
                "Water per dry fibre, as kept",
                Unit::Percent,
                &start.times(100.0),
                &ISOTHERM,
            ),
            desk.estimate(
                "Water in the cloth",
                Unit::Gram,
                &self.water.times(1000.0),
                &WATER,
            ),
            desk.estimate(
                "Water to drive out",
                Unit::Gram,
                &to_drive.times(1000.0),
                &WATER,
            ),
        ]
    }

    /// The cloth on the scale, now and when it is dry enough.
    fn weighs(&self, desk: &mut Desk) -> [Estimate; 2] {
        let weigh =
            |regain: &Spread| Spread::from([&self.damp.dry, regain], |[dry, r]| dry * (1.0 + r));
        [
            desk.estimate(
                "The cloth on the scale now",
                Unit::Gram,
                &weigh(&self.damp.start).times(1000.0),
                &WATER,
            ),
            desk.estimate(
                "The cloth on the scale when it is dry enough",
                Unit::Gram,
                &weigh(&self.target).times(1000.0),
                &WATER,
            ),
        ]
    }

    /// How dry the oven gets it, and in what time.
    fn in_the_oven(&self, desk: &mut Desk) -> [Estimate; 2] {
        [
            desk.estimate(
                "Driest this oven can get it",
                Unit::Percent,
                &self.oven.floor.times(100.0),
                &FLOOR,
            ),
            desk.estimate(
                "Time in the oven",
                Unit::Minute,
                &self.oven_time.times(1.0 / 60.0),
                &OVEN_TIME,
            ),
        ]
    }

    /// How dry the bag gets it, and in what time.
    fn in_the_bag(&self, desk: &mut Desk) -> [Estimate; 2] {
        let nothing = Spread::exact(0.0);
        let [floor, time] = match &self.bag {
            Some(bag) => [&bag.bagging.floor, &bag.time],
            None => [&nothing, &nothing],
        };
        let floor = desk.estimate(
            "Driest this bag can get it",
            Unit::Percent,
            &floor.times(100.0),
            self.bag_law(&BAG_FLOOR),
        );
        let time = desk.estimate(
            "Time under vacuum to get there",
            Unit::Hour,
            &time.times(1.0 / 3600.0),
            self.bag_law(&BAG_TIME),
        );
        [floor, time].map(|estimate| estimate.only_if(self.bag.is_some()))
    }

    /// The lowest that the gauge can show over the cloth, now and when it is dry enough.
    fn on_the_gauge(&self, desk: &mut Desk) -> [Estimate; 2] {
        let nothing = Spread::exact(0.0);
        let [lowest, lowest_dry] = match &self.bag {
            Some(bag) => [&bag.lowest, &bag.lowest_dry],
            None => [&nothing, &nothing],
        };
        let now = desk.estimate(
            "Lowest the gauge can show over cloth as damp as now",
            Unit::Millibar,
            &lowest.times(0.01),
            self.bag_law(&LOWEST),
        );
        let dry = desk.estimate(
            "The same once the cloth is dry enough",
            Unit::Millibar,
            &lowest_dry.times(0.01),
            self.bag_law(&LOWEST),
        );
        [now, dry].map(|estimate| estimate.only_if(self.bag.is_some()))
    }

    /// The law of the bag, or that there is none.
    fn bag_law(&self, law: &'static Law) -> &'static Law {
        if self.bag.is_some() { law } else { &NO_BAG }
    }
}

static ISOTHERM: Law = Law {
    says: "R = s M_wood(T, h): the wood isotherm, scaled to this fibre",
    basis: Basis::Published,
    sources: &["wood_handbook", "hill_2009"],
};

static WATER: Law = Law {
    says: "dry mass times regain",
    basis: Basis::Firm,
    sources: &["law_regain_definition"],
};

static FLOOR: Law = Law {
    says: "room air heated up: h_oven = h_room p_sat(T_room) / p_sat(T_oven), then the isotherm",
    basis: Basis::Firm,
    sources: &["iapws_sr1_1992", "wood_handbook"],
};

static OVEN_TIME: Law = Law {
    says: "vapour through film and cloth against heat through the film, two equations in time, then a factor for real ovens",
    basis: Basis::Rule,
    sources: &["fourt_harris_1947", "judgement_drying_time"],
};

static BAG_FLOOR: Law = Law {
    says: "the isotherm at the bag's vapour pressure over saturation pressure",
    basis: Basis::Published,
    sources: &["iapws_sr1_1992", "wood_handbook"],
};

static BAG_TIME: Law = Law {
    says: "slowest of pump, vapour's way to the vent, and heat; to the target, or close to what the bag can reach",
    basis: Basis::Rule,
    sources: &["judgement_vapour_path"],
};

static WAIT: Law = Law {
    says: "the drying equations run backwards in room air",
    basis: Basis::Rule,
    sources: &["fourt_harris_1947", "judgement_drying_time"],
};
