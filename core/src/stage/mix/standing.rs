//! The pot in hand, left standing: how long it is of use, what becomes of it, and the same mass in other vessels.

use super::Mixed;
use super::pots::{LONGEST_POT, POTS};
use crate::law::LawError;
use crate::law::pot::{self, Body, CUP_IN_AIR, CUP_IN_WATER, Hazard, Pot, PotCourse};
use crate::plan::PotKind;
use crate::plan::fields::{BATH, DEGAS, POT_LENGTH, POT_WIDTH, RESIN_WARMTH, STIR};
use crate::range::Range;
use crate::sheet::{
    Axis, Basis, Chart, Grade, Grid, Law, Level, Line, Mark, PotSheet, PotTemper, Spread, Vessel,
};
use crate::stage::bench::{Bench, Fallback, ZERO_C};
use crate::stage::resin_clock::{self, ResinClock};
use crate::units::Unit;

const MINUTE: f64 = 60.0;
/// Above this nobody holds a pot, and the line ends [K].
const BEYOND_HOLDING: f64 = ZERO_C + 60.0;
/// Depth of a tray that somebody pours resin into [m].
const TRAY_DEPTH: f64 = 0.010;
/// Width of a usual bucket [m].
const BUCKET: f64 = 0.22;
/// A vacuum pot holds the heat in [W/(m2 K)].
const IN_VACUUM: f64 = 5.0;

/// A vessel with what it takes heat away with.
#[derive(Clone, Copy)]
struct Vessels {
    kind: PotKind,
    /// Width, and length where it is a tray; none for the usual [m].
    size: (Option<f64>, Option<f64>),
    density: f64,
}

impl Vessels {
    fn body(&self, mass: f64) -> Result<Body, LawError> {
        let mass = mass.clamp(POTS.0, POTS.1);
        let width = self.size.0;
        match self.kind {
            PotKind::Cup | PotKind::Bath => pot::cylinder(
                mass,
                self.density,
                width.unwrap_or(pot::cup_diameter(mass)?),
            ),
            PotKind::Bucket => pot::cylinder(mass, self.density, width.unwrap_or(BUCKET)),
            PotKind::Tray => {
                let square = (mass / self.density / TRAY_DEPTH).sqrt();
                let width = width.unwrap_or(square);
                pot::tray(mass, self.density, self.size.1.unwrap_or(width), width)
            }
        }
    }

    fn word(&self) -> &'static str {
        match self.kind {
            PotKind::Cup => "a cup",
            PotKind::Bucket => "a bucket",
            PotKind::Tray => "a flat tray",
            PotKind::Bath => "a cup in a water bath",
        }
    }
}

/// Temperatures and heat transfer around the pots.
struct Around {
    start: Spread,
    room: Spread,
    bath: Spread,
    /// Heat transfer over the usual [-].
    leaves: Spread,
}

impl Around {
    fn of(&self, kind: PotKind) -> (&Spread, f64) {
        match kind {
            PotKind::Bath => (&self.bath, CUP_IN_WATER),
            _ => (&self.room, CUP_IN_AIR),
        }
    }
}

/// The pot in hand and others, and how long the one in hand is of use [s].
pub(super) struct Standing {
    pub(super) pot: PotSheet,
    pub(super) vessels: Vec<Vessel>,
    pub(super) use_by: Spread,
}

pub(super) fn pots(
    bench: &mut Bench<'_>,
    clock: &ResinClock,
    mixed: &Mixed,
) -> Result<Standing, LawError> {
    let kelvin = |x: Spread| x.map(|c| (c + ZERO_C).clamp(268.15, 340.0));
    let start = match bench.plan.given(&RESIN_WARMTH) {
        Some(_) => kelvin(bench.take(&RESIN_WARMTH)),
        None => clock.room.clone(),
    };
    let cool = (clock.room.likely() - ZERO_C).min(15.0);
    let bath = bench.take_or(
        &BATH,
        Fallback::judged(Range::new(
            (cool - 3.0).max(0.0),
            cool.max(1.0),
            (cool + 3.0).max(2.0),
        )),
    );
    let leaves = bench.coefficient(
        "mix.pot_heat_leaves",
        "How well a pot loses heat, over what is usual",
        Range::new(0.75, 1.0, 1.3),
        Grade::Judgement,
        "judgement_pot_heat",
    );
    let around = Around {
        start,
        room: clock.room.clone(),
        bath: kelvin(bath),
        leaves,
    };
    let millimetres = |field| bench.plan.given(field).map(|range| range.likely / 1000.0);
    let sizes = (millimetres(&POT_WIDTH), millimetres(&POT_LENGTH));
    let chosen = bench.plan.deep.pot;
    let vessel = |kind| Vessels {
        kind,
        size: if kind == chosen { sizes } else { (None, None) },
        density: mixed.density.likely(),
    };
    let share = 1.0 / f64::from(mixed.count.max(1));
    let mass = mixed.batch.times(share);
    let (pot, use_by) = in_hand(bench, clock, &vessel(chosen), &around, &mass)?;
    let mut rows = Vec::new();
    for kind in [PotKind::Cup, PotKind::Bucket, PotKind::Tray, PotKind::Bath] {
        rows.push(row(
            bench,
            clock,
            &vessel(kind),
            &around,
            &mass,
            kind == chosen,
        )?);
    }
    cautions(bench, &pot, &around);
    Ok(Standing {
        pot,
        vessels: rows,
        use_by,
    })
}

fn body_of(
    vessel: &Vessels,
    around: f64,
    transfer: f64,
    mass: f64,
    start: f64,
) -> Result<Pot, LawError> {
    Ok(Pot {
        body: vessel.body(mass)?,
        density: vessel.density,
        start_temperature: start,
        room_temperature: around,
        heat_transfer: transfer,
        ..Pot::default()
    })
}

fn class(resin: &crate::law::cure::Resin, pot: &Pot) -> Result<PotTemper, LawError> {
    Ok(match pot::hazard(resin, pot)? {
        Hazard::Calm => PotTemper::Calm,
        Hazard::Warm => PotTemper::Warm,
        Hazard::Dangerous => PotTemper::Dangerous,
    })
}

fn class_word(temper: PotTemper) -> &'static str {
    match temper {
        PotTemper::Calm => "stays near the shop's temperature",
        PotTemper::Warm => "gets too hot to hold",
        PotTemper::Dangerous => "runs away: smoke, burns, fire",
    }
}

fn in_hand(
    bench: &mut Bench<'_>,
    clock: &ResinClock,
    vessel: &Vessels,
    around: &Around,
    mass: &Spread,
) -> Result<(PotSheet, Spread), LawError> {
    let (air, transfer) = around.of(vessel.kind);
    let kilograms = mass.likely();
    let tg_ultimate = clock.tg_ultimate.likely();
    let [use_by, ten, four, gel] = Spread::heavy(
        [&clock.speed, air, &around.start, &around.leaves],
        |[speed, air, start, leaves]| {
            let resin = resin_clock::resin(speed, tg_ultimate);
            let pot = body_of(vessel, air, transfer * leaves, kilograms, start)?;
            let course = pot::pot_course(&resin, &pot, LONGEST_POT)?;
            let or_longest = |t: Option<f64>| t.unwrap_or(LONGEST_POT);
            Ok([
                or_longest(course.use_by()),
                or_longest(course.ten_degrees),
                or_longest(course.four_times_as_thick),
                or_longest(course.gel),
            ])
        },
    )?;
    let bounded = |t: &Spread| t.map(|t| t.clamp(0.0, LONGEST_POT));
    let (use_by, ten, four, gel) = (
        bounded(&use_by),
        bounded(&ten),
        bounded(&four),
        bounded(&gel),
    );
    let resin = resin_clock::resin(clock.speed.likely(), tg_ultimate);
    let likely = body_of(
        vessel,
        air.likely(),
        transfer,
        kilograms,
        around.start.likely(),
    )?;
    let course = pot::pot_course(&resin, &likely, LONGEST_POT)?;
    let temper = class(&resin, &likely)?;
    let calm = largest_calm(clock, vessel, air, transfer, likely.body)?;
    let depth = mass.map(|kg| vessel.body(kg).map_or(0.0, |body| body.depth));
    let taken = Spread::sum([&bench.take(&STIR), &bench.take(&DEGAS)]).times(MINUTE);
    let left = Spread::from([&use_by, &taken], |[use_by, taken]| {
        (use_by - taken).max(0.0)
    });
    let warms = ten.likely() < 0.99 * LONGEST_POT;
    let desk = &bench.desk;
    let minutes = |x: &Spread| desk.say(Unit::Minute, &x.times(1.0 / MINUTE));
    let grams = desk.say(Unit::Gram, &mass.times(1000.0));
    let mut sentence = format!(
        "{grams} in {}: use it up within {}, of which stirring and the vacuum pot take {}. Left standing it {}.",
        vessel.word(),
        minutes(&use_by),
        minutes(&taken),
        class_word(temper),
    );
    if bench
        .plan
        .given(&DEGAS)
        .is_some_and(|range| range.likely > 0.0)
    {
        // In a vacuum pot no air takes the heat away.
        let shut = body_of(
            vessel,
            air.likely(),
            IN_VACUUM,
            kilograms,
            around.start.likely(),
        )?;
        let shut = pot::pot_course(&resin, &shut, LONGEST_POT)?
            .use_by()
            .unwrap_or(LONGEST_POT);
        let taken = taken.likely();
        if taken > 0.25 * shut {
            bench.problem(
                super::STAGE,
                "Stirring and the vacuum pot take more than a quarter of this pot's life: degas the resin alone first, then mix and degas briefly, or mix less at once.",
            );
        }
    }
    if left.likely() <= 0.0 {
        sentence += " That leaves no time to pour it: mix less at once, or keep it cooler.";
        bench.problem(super::STAGE, "A pot is past its time before it is stirred and degassed. Mix less at once, degas for less long, or keep it cooler.");
    }
    let chart = drawn(bench, &course, temper, &use_by);
    let name = format!("{grams} in {}", vessel.word());
    let desk = &mut bench.desk;
    let in_minutes = |x: &Spread| x.times(1.0 / MINUTE);
    let sheet = PotSheet {
        name,
        sentence,
        mass_g: desk.estimate("In this pot", Unit::Gram, &mass.times(1000.0), &SHARE),
        depth_mm: desk.estimate(
            "It stands so deep",
            Unit::Millimetre,
            &depth.times(1000.0),
            &DEPTH,
        ),
        use_by_min: desk.estimate(
            "Use it up within",
            Unit::Minute,
            &in_minutes(&use_by),
            &USE_BY,
        ),
        ten_degrees_min: warms.then(|| {
            desk.estimate(
                "It has warmed by ten kelvin after",
                Unit::Minute,
                &in_minutes(&ten),
                &USE_BY,
            )
        }),
        four_times_min: desk.estimate(
            "It is four times as thick after",
            Unit::Minute,
            &in_minutes(&four),
            &USE_BY,
        ),
        gel_min: desk.estimate(
            "It gels in the pot after",
            Unit::Minute,
            &in_minutes(&gel),
            &USE_BY,
        ),
        largest_calm_g: desk.estimate(
            "Most that stays calm in such a vessel",
            Unit::Gram,
            &calm.times(1000.0),
            &CALM,
        ),
        temper,
        chart,
    };
    Ok((sheet, use_by))
}

/// The largest batch that stays calm when it is left [kg].
fn largest_calm(
    clock: &ResinClock,
    vessel: &Vessels,
    air: &Spread,
    transfer: f64,
    body: Body,
) -> Result<Spread, LawError> {
    // As wide as the vessel in hand; a tray as wide as a dish of the same area.
    let area = body.volume / body.depth;
    let diameter = (4.0 * area / std::f64::consts::PI)
        .sqrt()
        .clamp(0.031, 1.99);
    let tg_ultimate = clock.tg_ultimate.likely();
    let [calm] = Spread::heavy([&clock.speed, air], |[speed, air]| {
        let resin = resin_clock::resin(speed, tg_ultimate);
        let most = pot::largest_calm_pot(
            &resin,
            air.clamp(263.15, 343.15),
            vessel.density,
            transfer,
            diameter,
        )?;
        Ok([most])
    })?;
    Ok(calm.map(|kg| kg.max(0.0)))
}

fn row(
    bench: &mut Bench<'_>,
    clock: &ResinClock,
    vessel: &Vessels,
    around: &Around,
    mass: &Spread,
    this: bool,
) -> Result<Vessel, LawError> {
    let (air, transfer) = around.of(vessel.kind);
    let kilograms = mass.likely();
    let tg_ultimate = clock.tg_ultimate.likely();
    let start = around.start.likely();
    let [use_by] = Spread::heavy([&clock.speed, air], |[speed, air]| {
        let resin = resin_clock::resin(speed, tg_ultimate);
        let pot = body_of(vessel, air, transfer, kilograms, start)?;
        let course = pot::pot_course(&resin, &pot, LONGEST_POT)?;
        Ok([course.use_by().unwrap_or(LONGEST_POT)])
    })?;
    let likely = body_of(vessel, air.likely(), transfer, kilograms, start)?;
    let resin = resin_clock::resin(clock.speed.likely(), tg_ultimate);
    let temper = class(&resin, &likely)?;
    let calm = largest_calm(clock, vessel, air, transfer, likely.body)?;
    let depth = bench
        .desk
        .say_plain(Unit::Millimetre, (likely.body.depth * 1000.0).round());
    let desk = &bench.desk;
    Ok(Vessel {
        name: format!("{}, {depth} deep", vessel.word()),
        this,
        use_by: desk.cell(
            Unit::Minute,
            &use_by.map(|t| t.clamp(0.0, LONGEST_POT) / MINUTE),
        ),
        largest_calm: desk.cell(Unit::Gram, &calm.times(1000.0)),
        temper,
        word: class_word(temper),
    })
}

/// Temperature against time, as far as anybody should be near it.
fn drawn(bench: &Bench<'_>, course: &PotCourse, temper: PotTemper, use_by: &Spread) -> Chart {
    let desk = &bench.desk;
    let shown = |kelvin: f64| Unit::Celsius.to_shown(kelvin - ZERO_C, desk.units);
    let last = course.track.end().0;
    let wanted = (2.0 * use_by.likely()).min(last);
    let hot = course.track.when(|y| y[1], BEYOND_HOLDING);
    let end = hot.map_or(wanted, |t| t.min(wanted)).max(MINUTE);
    let points = (0..=48)
        .map(|i| end * f64::from(i) / 48.0)
        .map(|t| [t / MINUTE, shown(course.track.at(t)[1].min(BEYOND_HOLDING))])
        .collect();
    let mark = |name: &str, t: f64| Mark {
        name: name.into(),
        at: [t / MINUTE, shown(course.track.at(t)[1].min(BEYOND_HOLDING))],
        doubtful: false,
    };
    let mut marks = Vec::new();
    if use_by.likely() <= end {
        marks.push(mark("use by", use_by.likely()));
    }
    if let Some(gel) = course.gel.filter(|&t| t <= end) {
        marks.push(mark("gels", gel));
    }
    let stopped = hot.is_some_and(|t| t <= wanted);
    let rows = (0..=6)
        .map(|i| end * f64::from(i) / 6.0)
        .map(|t| {
            let [conversion, kelvin] = course.track.at(t);
            vec![
                desk.say_plain(Unit::Minute, (t / MINUTE).round()),
                desk.say_plain(Unit::Celsius, (kelvin.min(BEYOND_HOLDING) - ZERO_C).round()),
                desk.say_plain(Unit::Percent, (100.0 * conversion).round()),
            ]
        })
        .collect();
    Chart {
        label: "The pot left standing",
        sentence: match (temper, stopped) {
            (_, true) => "The line ends where nobody can hold the pot any more. What comes after is no matter of degrees: smoke and burns.".into(),
            (PotTemper::Calm, _) => "It stays near the shop's temperature as long as it is of use.".into(),
            _ => "As long as it is of use it warms little; left standing beyond that it is another matter.".into(),
        },
        across: Axis {
            label: "Since mixing",
            unit: Unit::Minute.symbol(),
        },
        up: Axis {
            label: "Temperature",
            unit: Unit::Celsius.symbol_in(desk.units),
        },
        bands: Vec::new(),
        lines: vec![Line {
            name: "the pot".into(),
            likely: true,
            points,
        }],
        marks,
        levels: if stopped {
            vec![Level {
                name: "too hot to hold".into(),
                up: shown(BEYOND_HOLDING),
            }]
        } else {
            Vec::new()
        },
        table: Grid {
            heads: ["Since mixing", "Temperature", "Reacted"].map(String::from).into(),
            rows,
        },
    }
}

fn cautions(bench: &mut Bench<'_>, pot: &PotSheet, around: &Around) {
    if pot.temper != PotTemper::Calm {
        bench.caution(
            super::STAGE,
            "Never walk away from a mixed pot or seal it. If it warms in your hand, spread it in a tray outdoors and let it be.",
        );
    }
    if around.start.likely() > ZERO_C + 35.0 {
        let most = bench.desk.say_plain(Unit::Celsius, 35.0);
        bench.problem(
            super::STAGE,
            format!("Resin warmed above {most} shortens the pot more than it helps the flow. Warm the laminate and the mould instead."),
        );
    }
}

static SHARE: Law = Law {
    says: "the batch over the number of pots",
    basis: Basis::Firm,
    sources: &["law_split"],
};

static DEPTH: Law = Law {
    says: "volume over the area of the vessel",
    basis: Basis::Firm,
    sources: &["law_split"],
};

static USE_BY: Law = Law {
    says: "m c dT/dt = m H dα/dt - U S (T - T_air), with the resistance of the resin's own bulk",
    basis: Basis::Rule,
    sources: &["blade_epoxy", "judgement_use_by", "judgement_pot_heat"],
};

static CALM: Law = Law {
    says: "V/S up to h R T²/(e ρ H rate E), a little more because the resin is used up; never above what was published as dangerous",
    basis: Basis::Rule,
    sources: &["blade_epoxy", "judgement_pot_heat"],
};
