//! How fast this resin thickens, gels and hardens at the room's temperature: shared by mix, fill and cure.

mod film;

use super::bench::{Bench, ZERO_C};
use crate::law::cure::{self, GEL_CONVERSION, INFUSION_AMINE};
use crate::law::pot_life::{PotLifeEnd, StatedPotLife, speed_from_pot_life, speed_in_the_cold};
use crate::law::thickening::Thickening;
use crate::law::{LawError, viscosity};
use crate::plan::fields::{CURE_HOURS, CURE_TEMPERATURE, ROOM_TEMPERATURE};
use crate::range::Range;
use crate::sheet::{Grade, Spread, StageName};
use crate::shelf::PotLifeMeaning;
use crate::units::Unit;

/// Tg must be this far above the part's temperature before it comes off the mould [K].
pub(crate) const HARD_MARGIN: f64 = 10.0;
/// Longest cure worth computing [s].
pub(crate) const LONGEST: f64 = 90.0 * 86_400.0;
const FOUR_WEEKS: f64 = 28.0 * 86_400.0;
const HOUR: f64 = 3600.0;
/// Temperatures at which the kinetics are used [K]: below freezing they say nothing.
const KINETICS: (f64, f64) = (273.15, 345.0);

/// The resin in time.
pub(crate) struct ResinClock {
    /// Speed factor of the kinetics in a pot that stands in this room [-].
    pub(crate) speed: Spread,
    /// And in a thin layer, that does not heat itself [-].
    pub(crate) pace: Spread,
    /// How many times slower a thin layer is between gel and hard than up to gel [-].
    pub(crate) late: Spread,
    /// What the hardness of a thin layer stands on, in words.
    pub(crate) film: String,
    /// From clamping the feed until the part gels [s]; where something is filled.
    pub(crate) after_clamp: Option<Spread>,
    /// Ultimate glass transition [K].
    pub(crate) tg_ultimate: Spread,
    /// Shop, resin and mould while the resin is worked [K].
    pub(crate) room: Spread,
    /// Viscosity when mixed, at that temperature [Pa s].
    pub(crate) viscosity: Spread,
    /// How steeply it thins with warmth [J/mol].
    pub(crate) energy: Spread,
    /// Until the resin in the part first gels, from mixing, in the shop [s].
    pub(crate) gel: Spread,
    /// The same for a thin layer, that does not heat itself [s]: by this it thickens on its way.
    pub(crate) film_gel: Spread,
    /// Clock time against thin-resin time, both in units of the gel time.
    pub(crate) thickening: Thickening,
    /// Until it gels at the temperature of cure [s].
    pub(crate) cure_gel: Spread,
    /// Until it is hard enough to leave the mould [s].
    pub(crate) demould: Spread,
    /// Glass transition when it is trimmed [K].
    pub(crate) tg: Spread,
    /// Glass transition after four weeks [K].
    pub(crate) tg_four_weeks: Spread,
    /// How far the glass transition may be off [K].
    pub(crate) tg_off: Spread,
}

impl ResinClock {
    /// The resin in the part, with everything likely.
    pub(crate) fn likely(&self) -> cure::Resin {
        resin(self.pace.likely(), self.tg_ultimate.likely()).with_late(self.late.likely())
    }
}

/// Temperature of the part while it cures [°C]: as given, or that of the shop.
pub(crate) fn cure_temperature(bench: &mut Bench<'_>) -> Spread {
    if bench.plan.given(&CURE_TEMPERATURE).is_some() {
        bench.take(&CURE_TEMPERATURE)
    } else {
        bench.take(&ROOM_TEMPERATURE)
    }
}

/// Works the resin clock out.
pub(crate) fn work(bench: &mut Bench<'_>) -> Result<ResinClock, LawError> {
    let room = bench
        .take(&ROOM_TEMPERATURE)
        .map(|c| (c + ZERO_C).clamp(KINETICS.0, KINETICS.1));
    let warm = cure_temperature(bench).map(|c| (c + ZERO_C).clamp(KINETICS.0, KINETICS.1));
    let tg_ultimate = tg_ultimate(bench);
    let speed = speed(bench, tg_ultimate.likely())?;
    let model = bench.coefficient(
        "cure.time_factor",
        "How far the kinetics may be off for your resin",
        Range::new(0.75, 1.0, 1.35),
        Grade::Judgement,
        "judgement_kinetics_spread",
    );
    let pace = Spread::from([&speed, &model], |[speed, model]| speed / model);
    let film::Hardens { pace, late, told } = film::hardens(bench, &speed, pace, &tg_ultimate)?;
    let in_pots = in_pots(bench, &pace, &room, tg_ultimate.likely())?;
    let gel = gel_time(&room, &pace)?;
    let cure_gel = gel_time(&warm, &pace)?;
    let hours = bench.take(&CURE_HOURS);
    let [tg, tg_four_weeks, demould] = Spread::heavy(
        [&warm, &tg_ultimate, &pace, &late, &hours],
        |[t, tg_ultimate, speed, late, hours]| {
            let resin = resin(speed, tg_ultimate).with_late(late);
            let track = cure::isothermal_cure(&resin, t, FOUR_WEEKS.max(hours * HOUR))?;
            let at = |time: f64| {
                let conversion = track.at(time)[0].clamp(0.0, 1.0);
                glass(conversion, tg_ultimate)
            };
            let wanted = (t + HARD_MARGIN).min(tg_ultimate - 3.0);
            // Where the room is so cold that it never comes, the longest time stands for "not here".
            let hard = cure::time_to_glass_transition(&resin, t, wanted).unwrap_or(LONGEST);
            let solid = cure::time_to_conversion(&resin, t, 0.6).unwrap_or(LONGEST);
            Ok([
                at(hours * HOUR)?,
                at(FOUR_WEEKS)?,
                hard.max(solid).min(LONGEST),
            ])
        },
    )?;
    let model_tg = bench.desk.take(crate::sheet::Asked {
        key: "cure.tg_offset_k".into(),
        label: "How far the glass transition may be off for your resin".into(),
        unit: Unit::Kelvin,
        range: Range::new(-7.0, 0.0, 7.0),
        limits: (-25.0, 25.0),
        origin: crate::sheet::Origin::Usual,
        grade: Grade::Judgement,
        sources: vec!["judgement_kinetics_spread".into()],
    });
    let shifted = |tg: &Spread| Spread::from([tg, &model_tg], |[tg, offset]| tg + offset);
    let (viscosity, energy) = mixed_viscosity(bench, &room)?;
    Ok(ResinClock {
        viscosity,
        energy,
        thickening: thickening(room.likely(), tg_ultimate.likely())?,
        tg: shifted(&tg),
        tg_four_weeks: shifted(&tg_four_weeks),
        tg_off: model_tg,
        demould: demould.map(|t| t.clamp(0.0, LONGEST)),
        speed: in_pots,
        pace,
        late,
        film: told,
        after_clamp: None,
        tg_ultimate,
        room,
        film_gel: gel.clone(),
        gel,
        cure_gel,
    })
}

/// A resin for the laws.
pub(crate) fn resin(speed: f64, tg_ultimate: f64) -> cure::Resin {
    cure::Resin {
        kinetics: INFUSION_AMINE,
        speed: speed.clamp(0.011, 99.0),
        tg_ultimate,
    }
}

pub(crate) fn glass(conversion: f64, tg_ultimate: f64) -> Result<f64, LawError> {
    match INFUSION_AMINE.glass {
        Some(glass) => cure::glass_transition(glass, tg_ultimate, conversion),
        None => Ok(tg_ultimate),
    }
}

fn tg_ultimate(bench: &mut Bench<'_>) -> Spread {
    let resin = &bench.plan.resin;
    let holder = format!("resins.{}", resin.entry.key);
    bench
        .property(
            &holder,
            "tg_ultimate_c",
            "Glass transition when fully cured",
            Unit::Celsius,
            &resin.entry,
            &resin.tg_ultimate_c,
        )
        .map(|c| (c + ZERO_C).clamp(305.0, 520.0))
}

/// Speed of the kinetics that gives the pot life on the data sheet.
fn speed(bench: &mut Bench<'_>, tg_ultimate: f64) -> Result<Spread, LawError> {
    let plan = bench.plan;
    let material = &plan.resin;
    let holder = format!("resins.{}", material.entry.key);
    let life = bench.property(
        &holder,
        "pot_life_min",
        "Pot life",
        Unit::Minute,
        &material.entry,
        &material.pot_life_min,
    );
    let stated = |minutes: f64| StatedPotLife {
        life: match material.pot_life_meaning {
            PotLifeMeaning::FortyLess => minutes * 60.0 / 0.8,
            _ => minutes * 60.0,
        },
        mass: material.pot_life_g / 1000.0,
        temperature: material.pot_life_c + ZERO_C,
        end: match material.pot_life_meaning {
            PotLifeMeaning::Gel => PotLifeEnd::Gel,
            PotLifeMeaning::TenDegrees => PotLifeEnd::TenDegrees,
            PotLifeMeaning::Doubled => PotLifeEnd::TwiceAsThick,
            PotLifeMeaning::Fifty => PotLifeEnd::Reaches(ZERO_C + 50.0),
            PotLifeMeaning::FortyLess => PotLifeEnd::Reaches(ZERO_C + 40.0),
        },
    };
    let mut missed = false;
    let [speed] = Spread::heavy([&life], |[minutes]| {
        let (resin, stated) = (resin(1.0, tg_ultimate), stated(minutes.max(2.1)));
        let found = speed_from_pot_life(&resin, &stated);
        Ok([match found {
            Ok(speed) => speed,
            Err(_) => {
                // A pot this small or cold never warms as stated: it is taken for a film that gels then.
                missed = true;
                cure::time_to_conversion(&resin, stated.temperature, GEL_CONVERSION)? / stated.life
            }
        }])
    })?;
    if missed {
        bench.problem(
            StageName::Mix,
            "No hardener of this kind ends its pot life as the data sheet of this resin says. Check mass, temperature and what ends it; until then it is taken for the gel of a thin layer.",
        );
    }
    Ok(speed.map(|s| s.clamp(0.02, 60.0)))
}

/// Speed of a pot in this room: in the cold a pot slows down less than its own heat balance has it.
fn in_pots(
    bench: &Bench<'_>,
    pace: &Spread,
    room: &Spread,
    tg_ultimate: f64,
) -> Result<Spread, LawError> {
    let stated_at = bench.plan.resin.pot_life_c + ZERO_C;
    if room.smallest() >= stated_at {
        return Ok(pace.clone());
    }
    let likely = resin(pace.likely(), tg_ultimate);
    let [faster] = Spread::heavy([room], |[room]| {
        Ok([speed_in_the_cold(&likely, stated_at, room)? / likely.speed])
    })?;
    Ok(Spread::from([pace, &faster], |[pace, faster]| {
        (pace * faster.max(1.0)).min(99.0)
    }))
}

/// Time to gel [s]; one over the speed exactly, as long as the film stays at one temperature.
fn gel_time(temperature: &Spread, pace: &Spread) -> Result<Spread, LawError> {
    let [at_one] = Spread::heavy([temperature], |[t]| {
        Ok([cure::time_to_conversion(
            &resin(1.0, 364.15),
            t,
            GEL_CONVERSION,
        )?])
    })?;
    Ok(Spread::from([&at_one, pace], |[time, pace]| {
        (time / pace).min(LONGEST)
    }))
}

/// How the resin thickens on the way to gel, with the gel time as the unit of time.
fn thickening(temperature: f64, tg_ultimate: f64) -> Result<Thickening, LawError> {
    let resin = resin(1.0, tg_ultimate);
    let gel = cure::time_to_conversion(&resin, temperature, GEL_CONVERSION)?;
    let track = cure::isothermal_cure(&resin, temperature, gel * 1.01)?;
    let law = viscosity::INFUSION_EPOXY;
    let rise = |share: f64| {
        let conversion = track.at(share * gel)[0].clamp(0.0, GEL_CONVERSION);
        viscosity::rise(law, conversion).unwrap_or(f64::MAX)
    };
    Thickening::from_law(rise, 1.0, 120, 1.0)
}

/// Viscosity of the fresh mix at the shop's temperature [Pa s].
fn mixed_viscosity(bench: &mut Bench<'_>, room: &Spread) -> Result<(Spread, Spread), LawError> {
    let material = &bench.plan.resin;
    let holder = format!("resins.{}", material.entry.key);
    let stated = bench.property(
        &holder,
        "viscosity_mpa_s",
        "Viscosity just after mixing",
        Unit::MillipascalSecond,
        &material.entry,
        &material.viscosity_mpa_s,
    );
    let at = material.viscosity_at_c + ZERO_C;
    let energy = match material.second_viscosity {
        Some((second, second_c)) => {
            let first = material.viscosity_mpa_s.range.likely;
            let energy = viscosity::activation_energy(first, at, second, second_c + ZERO_C)
                .unwrap_or(viscosity::ACTIVATION_ENERGY);
            Range::around(energy, 0.08 * energy)
        }
        None => Range::around(viscosity::ACTIVATION_ENERGY, 20e3),
    };
    let energy = bench.coefficient(
        "resin.viscosity_energy_j_mol",
        "How steeply the resin thins with warmth",
        energy,
        Grade::Memory,
        "memory_viscosity_energy",
    );
    let viscosity = Spread::of([&stated, &energy, room], |[stated, energy, room]| {
        viscosity::viscosity_at(stated / 1000.0, at, energy.clamp(11e3, 190e3), room)
    })?;
    Ok((viscosity, energy))
}
