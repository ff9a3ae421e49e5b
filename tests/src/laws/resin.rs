//! Mixing, thickening, cure and pots.

use super::{Entry, one, several, word};
use crate::given::Given;
use bastwork::law::cure::{self, INFUSION_AMINE, Resin};
use bastwork::law::pot_life::{self, PotLifeEnd, StatedPotLife};
use bastwork::law::sun_warmth::{Outdoors, sunlit};
use bastwork::law::{LawError, coat, creep, holdup, mix, pot, stoichiometry, viscosity, warm, wet};

pub(super) const LAWS: &[Entry] = &[
    ("split", |g| {
        let split = mix::split(g.x("batch"), g.x("phr"))?;
        several([("resin", split.resin), ("hardener", split.hardener)])
    }),
    ("parts_by_volume", |g| {
        one(mix::parts_by_volume(
            g.x("phr"),
            g.x("resin_density"),
            g.x("hardener_density"),
        ))
    }),
    ("mix_density", |g| {
        one(mix::mix_density(
            g.x("phr"),
            g.x("resin_density"),
            g.x("hardener_density"),
        ))
    }),
    ("smallest_batch", |g| {
        one(mix::smallest_batch(
            g.x("scale_step"),
            g.x("tolerance"),
            g.x("phr"),
        ))
    }),
    ("equivalent_weight", |g| {
        one(stoichiometry::equivalent_weight(
            g.x("molar_mass"),
            g.x("groups"),
        ))
    }),
    ("equivalent_weight_of_blend", |g| {
        // Rows of mass and equivalent weight; zero for a filler that does not react.
        let parts: Vec<stoichiometry::Component> = g
            .rows("mass_and_equivalent")
            .iter()
            .map(|row| stoichiometry::Component {
                mass: row[0],
                equivalent: (row[1] > 0.0).then_some(row[1]),
            })
            .collect();
        one(stoichiometry::equivalent_weight_of_blend(&parts))
    }),
    ("parts_per_hundred", |g| {
        one(stoichiometry::parts_per_hundred(g.x("ahew"), g.x("eew")))
    }),
    ("gel_conversion", |g| {
        one(cure::gel_conversion(
            g.x("ratio"),
            g.x("epoxy_groups"),
            g.x("amine_hydrogens"),
        ))
    }),
    ("tube_resin", |g| {
        one(holdup::tube_resin(
            g.x("bore"),
            g.x("length"),
            g.x("density"),
        ))
    }),
    ("line_pressure_drop", |g| {
        one(holdup::line_pressure_drop(
            g.x("viscosity"),
            g.x("length"),
            g.x("flow"),
            g.x("bore"),
        ))
    }),
    ("viscosity_at", |g| {
        one(viscosity::viscosity_at(
            g.x("reference"),
            g.x("reference_temperature"),
            g.x("energy"),
            g.x("temperature"),
        ))
    }),
    ("film_pot_life", |g| {
        one(pot_life::film_pot_life(
            g.x("life"),
            g.x("stated_at"),
            g.x("temperature"),
            g.maybe("energy").unwrap_or(pot_life::FILM_ENERGY),
        ))
    }),
    ("glass_after", |g| {
        let track = cure::isothermal_cure(&resin(g), g.x("temperature"), g.x("time"))?;
        let conversion = track.end().1[0].clamp(0.0, 1.0);
        let glass = INFUSION_AMINE.glass.ok_or(LawError::Unsolved {
            what: "the glass transition",
        })?;
        let tg = cure::glass_transition(glass, resin(g).tg_ultimate, conversion)?;
        several([("conversion", conversion), ("tg", tg)])
    }),
    ("time_to_conversion", |g| {
        one(cure::time_to_conversion(
            &resin(g),
            g.x("temperature"),
            g.x("conversion"),
        ))
    }),
    ("time_to_pass_own_temperature", |g| {
        one(cure::time_to_pass_own_temperature(
            &resin(g),
            g.x("temperature"),
            g.x("margin"),
        ))
    }),
    ("warm_stiffness_left", |g| {
        one(warm::stiffness_left(
            g.x("tg"),
            g.x("temperature"),
            g.maybe("odds").unwrap_or(1.0),
        ))
    }),
    ("wet_gain", |g| {
        one(wet::gain(
            g.x("fibre_share"),
            g.x("regain"),
            g.x("in_resin"),
        ))
    }),
    ("creep_grown", |g| {
        one(creep::grown(g.x("time"), g.x("exponent")))
    }),
    ("coat_areal_mass", |g| {
        one(coat::areal_mass(g.x("thickness"), g.x("density")))
    }),
    ("sunlit", |g| {
        one(sunlit(
            g.x("absorptance"),
            g.x("emissivity"),
            g.x("sun"),
            g.x("air"),
            Outdoors {
                wall: false,
                open_back: false,
                wind: g.maybe("wind"),
            },
        ))
    }),
    ("pot_hazard", |g| {
        let stated = StatedPotLife {
            life: g.x("pot_life"),
            mass: g.x("pot_life_mass"),
            temperature: g.x("pot_life_temperature"),
            end: PotLifeEnd::Gel,
        };
        let first = resin(g);
        let speed = pot_life::speed_from_pot_life(&first, &stated)?;
        let mass = g.x("mass");
        let body = match g.maybe("diameter") {
            Some(wide) => pot::cylinder(mass, pot::DENSITY, wide)?,
            None => pot::cylinder(mass, pot::DENSITY, pot::cup_diameter(mass)?)?,
        };
        let room = g.x("room");
        let pot = pot::Pot {
            body,
            start_temperature: room,
            room_temperature: room,
            ..pot::Pot::default()
        };
        word(pot::hazard(&Resin { speed, ..first }, &pot)?)
    }),
];

/// The infusion amine with its speed and ultimate glass transition as given.
fn resin(g: &Given<'_>) -> Resin {
    Resin {
        kinetics: INFUSION_AMINE,
        speed: g.maybe("speed").unwrap_or(1.0),
        tg_ultimate: g.maybe("tg_ultimate").unwrap_or(364.15),
    }
}
