//! How dry is dry enough: water that must not boil in liquid resin, and what published tests found.

use super::{Damp, STAGE, under_the_bag};
use crate::law::{LawError, sorption, void_limit};
use crate::plan::fields::HOTTEST;
use crate::range::Range;
use crate::sheet::{Basis, Finding, Grade, Law, Spread};
use crate::stage::air::Air;
use crate::stage::bench::{Bench, Fallback, ZERO_C};
use crate::stage::resin_clock::cure_temperature;
use crate::stage::water::{self, DAMPEST};
use crate::units::Unit;

/// How dry the cloth must be, and the vapour pressure over it.
pub(super) struct Limit {
    /// Wettest that does not boil [-].
    pub(super) largest: Spread,
    /// Vapour pressure over the cloth at its target, at the hottest before gel [Pa].
    pub(super) vapour: Spread,
}

/// Works the limit out and says what it asks for.
pub(super) fn limit(
    bench: &mut Bench<'_>,
    air: &Air,
    damp: &Damp,
    target: &Spread,
) -> Result<Limit, LawError> {
    let cure = cure_temperature(bench).likely();
    let warmed = Range::new(cure + 1.0, cure + 4.0, cure + 12.0);
    let fallback = Fallback {
        range: warmed.map(|c| c.clamp(HOTTEST.low, HOTTEST.high)),
        grade: Grade::Judgement,
        sources: &["judgement_exotherm"],
    };
    let celsius = bench.take_or(&HOTTEST, fallback);
    // The laws end where flax is dried at the hottest.
    let hottest = water::kelvin(&celsius).map(|t| t.min(105.0 + ZERO_C));
    let largest = Spread::of([&damp.scale, &air.bag, &hottest], |[scale, bag, t]| {
        match void_limit::largest_regain(scale, bag, t)? {
            Some(most) => Ok(most.min(sorption::flax_regain(scale, t, DAMPEST)?)),
            None => sorption::flax_regain(scale, t, DAMPEST),
        }
    })?;
    let vapour = Spread::of([&damp.scale, &hottest, target], |[scale, t, regain]| {
        sorption::vapour_pressure(scale, t, regain)
    })?;
    let boils = |regain: &Spread| {
        Spread::from([&largest, regain], |[most, regain]| regain - most).share(|over| over > 0.0)
    };
    let (wet, dry) = (boils(&damp.start), boils(target));
    let at = bench.desk.say(Unit::Celsius, &celsius);
    let pressure = bench.desk.say(Unit::Millibar, &air.bag.times(0.01));
    let most = bench.desk.say(Unit::Percent, &largest.times(100.0));
    if dry > 0.5 {
        bench.problem(
            STAGE,
            format!("Dry it to {most} or less, or hold more pressure on the resin: at {at} and {pressure} the water that your target leaves boils in liquid resin and makes voids."),
        );
    } else if wet > 0.5 {
        let sentence = if under_the_bag(bench) {
            format!(
                "As it lies its water would boil in the resin near the vent, at {at} and {pressure}: get it below {most} first. Letting the bag up by some tens of millibar once it is full helps as well."
            )
        } else {
            format!(
                "As it lies its water would boil in the wet resin under the bag, at {at} and {pressure}: get it below {most} first, or hold the bag at a higher pressure."
            )
        };
        bench.advice(STAGE, sentence);
    }
    Ok(Limit { largest, vapour })
}

/// What published tests say moisture does to laminates of flax, and to others.
pub(super) fn published(bench: &mut Bench<'_>) -> Vec<Finding> {
    let found = [
        Finding {
            says: "Infused flax and epoxy, cloth kept at humidities up to 95 %: pull strength was best from cloth kept at 50 % (288 MPa). Stiffness fell steadily from dry to damp, from 23.7 to 17.7 GPa, and bending strength from 225 to 152 MPa. At 95 % parts came out warped.",
            source: "moudood_2019",
        },
        Finding {
            says: "The same at ±45°: shear strength was best from cloth kept at 35 % (40 MPa); shear stiffness fell steadily with damp.",
            source: "shear_moisture_2020",
        },
        Finding {
            says: "Flax and polyester, bent after wetting and drying in turn in the laboratory: parts from fibre that had not been dried kept 4 to 22 % more strength and 11 to 21 % more stiffness than parts from dried fibre, and swelled less.",
            source: "lu_van_vuure_2019",
        },
        Finding {
            says: "A day at 105 °C lowers the strength of flax fibre clearly; the shear strength of its wall fell from 45 to 9 MPa. What shorter times do has not been found.",
            source: "baley_2012",
        },
        Finding {
            says: "Damp carbon prepreg cured under a vacuum bag alone grew many more voids than dry; in an autoclave it grew none.",
            source: "grunenfelder_2010",
        },
        Finding {
            says: "Water under a bag feeds the greasy film of some epoxies.",
            source: "burton_blush",
        },
    ];
    // Without a bag, what a bag does says nothing.
    let bagged = bench.bagged();
    let tells = |finding: &Finding| bagged || !OF_A_BAG.contains(&finding.source);
    let found: Vec<Finding> = found.into_iter().filter(tells).collect();
    for finding in &found {
        bench.desk.cite(&[finding.source]);
    }
    found
}

/// Findings about cloth under a bag.
const OF_A_BAG: [&str; 2] = ["grunenfelder_2010", "burton_blush"];

pub(super) static LARGEST: Law = Law {
    says: "R = s M_wood(T, p_bag / p_sat(T)) at the hottest before gel: vapour of the cloth's water no stronger than the lowest resin pressure, taken as that of the bag at the vent",
    basis: Basis::Published,
    sources: &["memory_kardos", "iapws_sr1_1992", "wood_handbook"],
};

pub(super) static VAPOUR: Law = Law {
    says: "p = h(T, R) p_sat(T): the isotherm read backwards, at the hottest before gel",
    basis: Basis::Published,
    sources: &["iapws_sr1_1992", "wood_handbook"],
};
