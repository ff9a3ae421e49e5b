//! What a data sheet's pot life says about a resin's speed, and how a thin film's pot life moves with the room.
//!
//! Pot and film are two laws: a pot heats itself, a film does not.

use super::cure::Resin;
use super::pot::{Pot, cup_diameter, cylinder, pot_course};
use super::{LawError, positive, within};
use crate::solve::root;

/// Activation energy of a thin film's pot life, likely value [J/mol].
///
/// 51 to 53 kJ/mol is the trade's "half for every 10 C"; published kinetics give 44 to 63.
pub const FILM_ENERGY: f64 = 52e3;

/// Activation energy of the gel of a 100 g pot in rooms colder than that of its data sheet [J/mol].
///
/// The trade's "half for every 10 C" is told of pots; sixfold from 10 to 35 C is the same.
pub const POT_ENERGY: f64 = 52e3;
/// The pot that the rule is told of [kg].
const RULE_POT: f64 = 0.1;

/// Slowest and fastest speed factor looked for [-].
const SPEEDS: (f64, f64) = (0.02, 60.0);
/// The speed is found to within this, relative [-].
const SPEED_WITHIN: f64 = 1e-4;
/// A pot that has not got there after this many times the stated pot life is called too slow [-].
const PATIENCE: f64 = 3.0;
/// The pot has to come back to the stated life this closely, relative [-].
const LIFE_WITHIN: f64 = 0.005;

/// What a data sheet means by the end of a pot's life.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PotLifeEnd {
    /// The pot has gelled: the usual meaning of "gel time of 100 g".
    Gel,
    /// The pot is ten degrees warmer than it was.
    TenDegrees,
    /// The resin has become twice as thick.
    TwiceAsThick,
    /// The resin has become four times as thick.
    FourTimesAsThick,
    /// The pot is as warm as this [K].
    Reaches(f64),
}

/// A pot life as a data sheet states it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StatedPotLife {
    /// The stated time [s].
    pub life: f64,
    /// Mass of mix it was measured with [kg]; 0.1 where the sheet is silent.
    pub mass: f64,
    /// Temperature of resin and room [K].
    pub temperature: f64,
    /// What ended it.
    pub end: PotLifeEnd,
}

/// Speed factor at which a pot of resin lives as long as its data sheet says.
///
/// Finds s so that the moment `end` of [`pot_course`], for the stated mass in its usual cup in still air,
/// comes at the stated time.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, ultimate glass transition; its own speed is not used | |
/// | `stated` | life [s], mass [kg], temperature [K], what ended it | |
///
/// # Returns
/// Speed factor s [-], to about one in ten thousand; the model behind it is good to 30 %.
/// # Valid for
/// 20 g to 2 kg at 15 to 35 C. One meaning taken for another shifts s by a factor of two or more.
/// # Errors
/// [`LawError::OutOfRange`] for a life outside 2 min..7 days, a mass outside 0.01..20 kg, a temperature outside
/// 278..323 K; [`LawError::Unsolved`] when no speed from 0.02 to 60 gives that life (a small pot that never
/// warms by ten degrees, for one).
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin};
/// use bastwork::law::pot_life::{PotLifeEnd, StatedPotLife, speed_from_pot_life};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let end = PotLifeEnd::TenDegrees;
/// let stated = StatedPotLife { life: 47.0 * 60.0, mass: 0.1, temperature: 296.15, end };
/// assert!((speed_from_pot_life(&resin, &stated)? - 1.0).abs() < 0.02, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// The heat balance of [`pot_course`]; the usual cup and the still air are our judgement.
pub fn speed_from_pot_life(resin: &Resin, stated: &StatedPotLife) -> Result<f64, LawError> {
    let life = within("life", stated.life, 120.0, 7.0 * 86_400.0)?;
    within("temperature", stated.temperature, 278.15, 323.15)?;
    if let PotLifeEnd::Reaches(warm) = stated.end {
        within("end temperature", warm, stated.temperature + 2.0, 363.15)?;
    }
    speed_of(resin, stated, life)
}

/// A pot in the usual cup, resin and room at one temperature.
fn usual_pot(mass: f64, temperature: f64) -> Result<Pot, LawError> {
    let usual = Pot::default();
    Ok(Pot {
        body: cylinder(mass, usual.density, cup_diameter(mass)?)?,
        start_temperature: temperature,
        room_temperature: temperature,
        ..usual
    })
}

fn speed_of(resin: &Resin, stated: &StatedPotLife, life: f64) -> Result<f64, LawError> {
    let pot = usual_pot(stated.mass, stated.temperature)?;
    let longest = PATIENCE * life;
    let lived = |speed: f64| -> Result<f64, LawError> {
        let course = pot_course(&Resin { speed, ..*resin }, &pot, longest)?;
        let moment = match stated.end {
            PotLifeEnd::Gel => course.gel,
            PotLifeEnd::TenDegrees => course.ten_degrees,
            PotLifeEnd::TwiceAsThick => course.twice_as_thick,
            PotLifeEnd::FourTimesAsThick => course.four_times_as_thick,
            PotLifeEnd::Reaches(warm) => course.track.when(|y| y[1], warm),
        };
        Ok(moment.unwrap_or(longest))
    };
    let unsolved = LawError::Unsolved {
        what: "a resin speed that gives this pot life",
    };
    // A speed out of its range shows as NaN, which the root finder refuses.
    let gap = |log_speed: f64| lived(log_speed.exp()).map_or(f64::NAN, |t| (t / life).ln());
    let (low, high) = (SPEEDS.0.ln(), SPEEDS.1.ln());
    let speed = root(gap, low, high, SPEED_WITHIN)
        .map_err(|_| unsolved.clone())?
        .exp();
    // Near a jump (the pot just fails to warm by ten degrees) the root is no solution.
    let off = (lived(speed)? / life - 1.0).abs();
    if off < LIFE_WITHIN {
        Ok(speed)
    } else {
        Err(unsolved)
    }
}

/// Gel of 100 g in the usual cup.
///
/// The gel of [`pot_course`], resin and room at one temperature.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor, ultimate glass transition | |
/// | `temperature` | of resin and room | [K] |
///
/// # Returns
/// Time from mixing [s]; at most 60 days.
/// # Valid for
/// As for [`pot_course`].
/// # Errors
/// As for [`pot_course`].
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin};
/// use bastwork::law::pot_life::gel_of_100_g;
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 3.0, tg_ultimate: 364.15 };
/// let minutes = gel_of_100_g(&resin, 298.15)? / 60.0;
/// assert!((minutes - 19.1).abs() < 0.1, "scipy, LSODA");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As for [`pot_course`].
pub fn gel_of_100_g(resin: &Resin, temperature: f64) -> Result<f64, LawError> {
    let longest = 60.0 * 86_400.0;
    let course = pot_course(resin, &usual_pot(RULE_POT, temperature)?, longest)?;
    Ok(course.gel.unwrap_or(longest))
}

/// Speed factor for pots in a room that is colder than that of the stated pot life.
///
/// s such that the gel of 100 g is t(T_ref) exp[(E/R)(1/T - 1/T_ref)], where that is sooner than the heat balance has
/// it; the speed as it stands in a room that is as warm or warmer
///
/// The heat balance loses its own heat below a certain cold and then slows down twentyfold from 35 to 10 C; what is
/// told of pots slows down sixfold. The sooner of the two is kept: a pot in the cold is never trusted for longer than
/// the rule, a pot in the warmth never for longer than its own heat allows.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, ultimate glass transition, and the speed factor found where the pot life was stated | |
/// | `stated_at` | T_ref, of that pot | [K] |
/// | `temperature` | T, of the room | [K] |
///
/// # Returns
/// Speed factor s for pots in this room [-], at least the one given.
/// # Valid for
/// Rooms from 263 to 323 K. Films do not heat themselves and keep the speed that they have.
/// # Errors
/// As for [`pot_course`].
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin};
/// use bastwork::law::pot_life::{gel_of_100_g, speed_in_the_cold};
/// let slow = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let speed = speed_in_the_cold(&slow, 298.15, 283.15)?;
/// let cold = gel_of_100_g(&Resin { speed, ..slow }, 283.15)?;
/// let warm = gel_of_100_g(&slow, 298.15)?;
/// assert!((cold / warm - 3.04).abs() < 0.02, "twice for 10 C, thrice for 15");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// "Pot life halves for every 10 C": three trade pages on pots, read; sixfold from 10 to 35 C for room-temperature
/// systems, second-hand; published activation energies of such amines 44 to 57 kJ/mol (Barral et al. 1995, J. Appl.
/// Polym. Sci. 56:1029, abstract). That the sooner of rule and heat balance counts is our judgement.
pub fn speed_in_the_cold(resin: &Resin, stated_at: f64, temperature: f64) -> Result<f64, LawError> {
    let t_ref = within("stated_at", stated_at, 263.15, 343.15)?;
    let t = within("temperature", temperature, 263.15, 343.15)?;
    if t >= t_ref - 1e-9 {
        return Ok(resin.speed);
    }
    let slower = (POT_ENERGY / super::cure::GAS_CONSTANT * (1.0 / t - 1.0 / t_ref)).exp();
    let life = gel_of_100_g(resin, t_ref)? * slower;
    if gel_of_100_g(resin, t)? <= life {
        return Ok(resin.speed);
    }
    let told = StatedPotLife {
        life,
        mass: RULE_POT,
        temperature: t,
        end: PotLifeEnd::Gel,
    };
    Ok(speed_of(resin, &told, life)?.max(resin.speed))
}

/// Pot life of a thin film at another temperature.
///
/// t = t_ref exp[(E/R)(1/T - 1/T_ref)]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `reference_life` | t_ref | [s] |
/// | `reference_temperature` | T_ref | [K] |
/// | `temperature` | T | [K] |
/// | `energy` | E; [`FILM_ENERGY`] when nothing better is known | [J/mol] |
///
/// # Returns
/// Pot life at T [s].
/// # Valid for
/// A film or a shallow tray that stays at room temperature, within 15 K of the reference. A pot near its
/// critical size changes far more.
/// # Errors
/// [`LawError::OutOfRange`] for temperatures more than 15 K apart or outside 263..333 K, a life not above
/// zero, an energy outside 30e3..90e3.
/// # Example
/// ```
/// use bastwork::law::pot_life::{FILM_ENERGY, film_pot_life};
/// let warm = film_pot_life(3600.0, 298.15, 308.15, FILM_ENERGY)?;
/// assert!((warm / 3600.0 - 0.50).abs() < 0.01, "half for 10 K, arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Arrhenius law; the energy is the trade's rule "half for every 10 C" (a kit-aircraft build manual), within
/// published 44 to 63 kJ/mol.
pub fn film_pot_life(
    reference_life: f64,
    reference_temperature: f64,
    temperature: f64,
    energy: f64,
) -> Result<f64, LawError> {
    let life = positive("reference_life", reference_life)?;
    let t_ref = within(
        "reference_temperature",
        reference_temperature,
        263.15,
        333.15,
    )?;
    let t = within("temperature", temperature, 263.15, 333.15)?;
    within(
        "temperature difference",
        (t - t_ref).abs(),
        0.0,
        15.0 + 1e-9,
    )?;
    let e = within("energy", energy, 30e3, 90e3)?;
    Ok(life * (e / super::cure::GAS_CONSTANT * (1.0 / t - 1.0 / t_ref)).exp())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::cure::INFUSION_AMINE;

    const SLOW: Resin = Resin {
        kinetics: INFUSION_AMINE,
        speed: 1.0,
        tg_ultimate: 364.15,
    };

    fn stated(minutes: f64, end: PotLifeEnd) -> StatedPotLife {
        StatedPotLife {
            life: minutes * 60.0,
            mass: 0.1,
            temperature: 296.15,
            end,
        }
    }

    #[test]
    fn finds_the_speed_that_a_pot_was_given() {
        for speed in [0.3, 1.0, 3.0, 6.0] {
            let resin = Resin { speed, ..SLOW };
            let course = pot_course(&resin, &Pot::default(), 86_400.0).unwrap();
            for (end, moment) in [
                (PotLifeEnd::Gel, course.gel),
                (PotLifeEnd::TenDegrees, course.ten_degrees),
                (PotLifeEnd::TwiceAsThick, course.twice_as_thick),
                (PotLifeEnd::FourTimesAsThick, course.four_times_as_thick),
            ] {
                let Some(moment) = moment else { continue };
                let got = speed_from_pot_life(&SLOW, &stated(moment / 60.0, end)).unwrap();
                assert!((got / speed - 1.0).abs() < 1e-3, "{speed} {end:?}: {got}");
            }
        }
    }

    #[test]
    fn what_is_meant_by_pot_life_matters() {
        // 30 minutes: warmed is slower resin than gelled. A longer life is a slower resin.
        let speed = |minutes, end| speed_from_pot_life(&SLOW, &stated(minutes, end)).unwrap();
        assert!(speed(30.0, PotLifeEnd::Gel) > 1.5 * speed(30.0, PotLifeEnd::TenDegrees));
        assert!(speed(30.0, PotLifeEnd::Gel) > 1.5 * speed(60.0, PotLifeEnd::Gel));
    }

    #[test]
    fn says_when_no_speed_fits() {
        // 100 g that takes eight hours never warms by ten degrees at all.
        assert!(speed_from_pot_life(&SLOW, &stated(480.0, PotLifeEnd::TenDegrees)).is_err());
        assert!(speed_from_pot_life(&SLOW, &stated(480.0, PotLifeEnd::Gel)).is_ok());
        assert!(speed_from_pot_life(&SLOW, &stated(1.0, PotLifeEnd::Gel)).is_err());
        let in_celsius = StatedPotLife {
            temperature: 23.0,
            ..stated(30.0, PotLifeEnd::Gel)
        };
        assert!(speed_from_pot_life(&SLOW, &in_celsius).is_err());
    }

    #[test]
    fn a_pot_in_the_cold_slows_down_as_the_trade_has_it() {
        // Sixfold from 10 to 35 C, second-hand; by its own heat alone the slow one slows down twentyfold.
        for speed in [0.6, 1.0, 1.7, 3.0, 6.0] {
            let resin = Resin { speed, ..SLOW };
            let gel = |celsius: f64| {
                let t = celsius + 273.15;
                let speed = speed_in_the_cold(&resin, 298.15, t).unwrap();
                gel_of_100_g(&Resin { speed, ..resin }, t).unwrap()
            };
            let (cold, fold) = (gel(10.0) / gel(25.0), gel(10.0) / gel(35.0));
            assert!(cold < 3.1, "{speed}: {cold}");
            assert!(speed < 0.8 || fold > 4.5 && fold < 10.0, "{speed}: {fold}");
            let mut before = f64::MAX;
            for celsius in 0..=40 {
                let now = gel(f64::from(celsius));
                assert!(now < before, "{speed} {celsius}");
                before = now;
            }
        }
    }

    #[test]
    fn other_vessels_slow_down_in_the_cold_as_well() {
        // A tray and a bucket, with the speed that 100 g were given.
        for (mass, wide) in [(1.0, 0.35), (2.0, 0.15), (0.05, 0.06)] {
            let mut before = f64::MAX;
            for celsius in (0..=40).step_by(4) {
                let t = f64::from(celsius) + 273.15;
                let speed = speed_in_the_cold(&SLOW, 298.15, t).unwrap();
                let pot = Pot {
                    body: cylinder(mass, 1100.0, wide).unwrap(),
                    start_temperature: t,
                    room_temperature: t,
                    ..Pot::default()
                };
                let resin = Resin { speed, ..SLOW };
                let gel = pot_course(&resin, &pot, 40.0 * 86_400.0).unwrap().gel;
                let gel = gel.unwrap();
                assert!(gel < before, "{mass} {celsius}");
                before = gel;
            }
        }
    }

    #[test]
    fn a_pot_life_may_end_at_a_temperature() {
        // 100 g from 20 to 50 C.
        let end = PotLifeEnd::Reaches(323.15);
        let told = StatedPotLife {
            temperature: 293.15,
            ..stated(30.0, end)
        };
        let speed = speed_from_pot_life(&SLOW, &told).unwrap();
        let pot = usual_pot(0.1, 293.15).unwrap();
        let course = pot_course(&Resin { speed, ..SLOW }, &pot, 7200.0).unwrap();
        let at = course.track.when(|y| y[1], 323.15).unwrap();
        assert!((at / 1800.0 - 1.0).abs() < 0.01, "{at}");
        let no_warmer = StatedPotLife {
            temperature: 323.15,
            ..told
        };
        assert!(speed_from_pot_life(&SLOW, &no_warmer).is_err());
    }

    #[test]
    fn a_film_halves_for_ten_degrees() {
        // Arithmetic check: 25 to 35 C x 0.50, 20 to 30 C x 0.49.
        let a = film_pot_life(1.0, 298.15, 308.15, FILM_ENERGY).unwrap();
        let b = film_pot_life(1.0, 293.15, 303.15, FILM_ENERGY).unwrap();
        assert!(
            (a - 0.506).abs() < 0.001 && (b - 0.495).abs() < 0.002,
            "{a} {b}"
        );
        assert!(
            film_pot_life(1.0, 293.15, 313.15, FILM_ENERGY).is_err(),
            "too far"
        );
    }
}
