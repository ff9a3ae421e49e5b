//! How many pots, how heavy, how long each lives, and what becomes of one that is left standing.

use crate::law::cure::Resin;
use crate::law::pot::Hazard;
use crate::law::{LawError, mix, pot};
use crate::plan::fields::LARGEST_POT;
use crate::range::Range;
use crate::sheet::{PotTemper, Spread};
use crate::stage::bench::Bench;
use crate::stage::resin_clock;
use crate::stage::resin_clock::ResinClock;

/// Longest life of a pot worth computing [s].
pub(crate) const LONGEST_POT: f64 = 24.0 * 3600.0;

/// Heaviest and lightest pot the heat balance is used for [kg].
pub(super) const POTS: (f64, f64) = (0.011, 19.0);

/// Most pots listed one by one.
pub(super) const MOST_POTS: u32 = 60;

pub(super) struct Pots {
    pub(super) count: u32,
    pub(super) use_within: Spread,
    pub(super) temper: PotTemper,
    /// Mass of one [kg].
    pub(super) mass: f64,
    /// Resin must outlast one pot.
    pub(super) in_turn: bool,
}

pub(super) fn pots(
    bench: &mut Bench<'_>,
    clock: &ResinClock,
    batch: &Spread,
    busy: &Spread,
    smallest: f64,
    phr: f64,
) -> Result<Pots, LawError> {
    let largest = bench.take(&LARGEST_POT).likely() / 1000.0;
    let density = mix::mix_density(
        phr,
        bench.plan.resin.density_resin_g_ml.range.likely * 1000.0,
        bench.plan.resin.density_hardener_g_ml.range.likely * 1000.0,
    )?;
    let parted = Parted::of(batch.likely(), busy.likely(), largest, smallest, |mass| {
        Ok(pot_life(clock, mass, density)?.likely())
    })?;
    let mass = parted.mass;
    let use_within = pot_life(clock, mass, density)?;
    let body = usual_pot(mass, density, clock.room.likely())?;
    Ok(Pots {
        count: parted.count,
        use_within,
        temper: Classes::of(bench, clock, &body)?.temper(),
        mass,
        in_turn: parted.in_turn,
    })
}

/// A batch parted into equal pots.
pub(crate) struct Parted {
    pub(crate) count: u32,
    /// Mass of one [kg].
    pub(crate) mass: f64,
    /// Resin must outlast one pot.
    in_turn: bool,
}

impl Parted {
    /// By the largest pot that is wanted, and by how long one lasts against the work. Masses in kg, times in s.
    pub(crate) fn of(
        batch: f64,
        busy: f64,
        largest: f64,
        smallest: f64,
        mut life: impl FnMut(f64) -> Result<f64, LawError>,
    ) -> Result<Self, LawError> {
        let by_mass = f64::from(mix::equal_pots(batch.max(1e-6), largest)?);
        let by_time = (busy / life(batch / by_mass)?.max(60.0)).ceil();
        // A slow fill needs fresh pots, but no more than the scale can weigh.
        let most_light = (batch / smallest.max(1e-6)).floor().max(1.0);
        let wanted = by_mass.max(by_time.min(f64::from(MOST_POTS)));
        let count = wanted.min(most_light.max(by_mass)).max(1.0);
        Ok(Self {
            count: count as u32,
            mass: batch / count,
            in_turn: by_time > 1.0,
        })
    }
}

/// How well a pot loses heat, over what is usual.
pub(super) const LEAVES: Range = Range {
    low: 0.65,
    likely: 1.0,
    high: 1.3,
};

/// What becomes of a pot that is left: as is likely, and on a bad day, when the hardener is quicker than its sheet
/// says, the room warmer, and the bench holds the heat.
#[derive(Clone, Copy)]
pub(super) struct Classes {
    likely: Hazard,
    bad: Hazard,
}

impl Classes {
    pub(super) fn of(
        bench: &Bench<'_>,
        clock: &ResinClock,
        pot: &pot::Pot,
    ) -> Result<Self, LawError> {
        let likely = pot::hazard(&resin_of(clock, clock.speed.likely()), pot)?;
        let bad = match likely {
            Hazard::Dangerous => likely,
            _ => {
                let (resin, pot) = on_a_bad_day(bench, clock, pot);
                pot::hazard(&resin, &pot)?.max(likely)
            }
        };
        Ok(Self { likely, bad })
    }

    /// Calm only where it is so on a bad day too.
    pub(super) fn temper(self) -> PotTemper {
        match (self.likely, self.bad) {
            (Hazard::Dangerous, _) => PotTemper::Dangerous,
            (Hazard::Calm, Hazard::Calm) => PotTemper::Calm,
            (Hazard::Calm | Hazard::Warm, _) => PotTemper::Warm,
        }
    }

    /// The same in words.
    pub(super) fn word(self) -> &'static str {
        match (self.likely, self.bad) {
            (Hazard::Calm, Hazard::Calm) => "stays cool enough to hold",
            (Hazard::Calm, Hazard::Warm) => {
                "stays cool enough to hold, or gets too hot for that on a warm day or where the hardener is quicker than its sheet says"
            }
            (Hazard::Calm, Hazard::Dangerous) => {
                "stays cool enough to hold on most days, and can run away on a warm one or where the hardener is quicker than its sheet says: do not leave it"
            }
            (Hazard::Warm, Hazard::Dangerous) => {
                "can get too hot to hold, and run away on a warm day or where the hardener is quicker than its sheet says"
            }
            (Hazard::Warm, _) => "can get too hot to hold",
            (Hazard::Dangerous, _) => "can run away: smoke, burns, fire",
        }
    }
}

fn resin_of(clock: &ResinClock, speed: f64) -> Resin {
    resin_clock::resin(speed, clock.tg_ultimate.likely())
}

/// A quick hardener, a warm room and a bench that holds the heat.
pub(super) fn on_a_bad_day(
    bench: &Bench<'_>,
    clock: &ResinClock,
    pot: &pot::Pot,
) -> (Resin, pot::Pot) {
    let warmer = bench.desk.range(&clock.room).high - clock.room.likely();
    let pot = pot::Pot {
        start_temperature: (pot.start_temperature + warmer).min(343.0),
        room_temperature: (pot.room_temperature + warmer).min(343.0),
        heat_transfer: pot.heat_transfer * LEAVES.low,
        ..*pot
    };
    (resin_of(clock, bench.desk.range(&clock.speed).high), pot)
}

/// Time within which a pot of this mass should be used up [s].
pub(super) fn pot_life(clock: &ResinClock, mass: f64, density: f64) -> Result<Spread, LawError> {
    let [life] = Spread::heavy([&clock.speed, &clock.room], |[speed, room]| {
        let resin = resin_clock::resin(speed, clock.tg_ultimate.likely());
        let pot = usual_pot(mass, density, room)?;
        let course = pot::pot_course(&resin, &pot, LONGEST_POT)?;
        Ok([course.use_by().unwrap_or(LONGEST_POT)])
    })?;
    Ok(life.map(|t| t.clamp(0.0, LONGEST_POT)))
}

/// The usual cup for this mass, standing in the shop.
pub(crate) fn usual_pot(mass: f64, density: f64, room: f64) -> Result<pot::Pot, LawError> {
    let mass = mass.clamp(POTS.0, POTS.1);
    Ok(pot::Pot {
        body: pot::cylinder(mass, density, pot::cup_diameter(mass)?)?,
        density,
        start_temperature: room,
        room_temperature: room,
        ..pot::Pot::default()
    })
}
