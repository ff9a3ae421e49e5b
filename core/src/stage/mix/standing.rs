//! The pot in hand, left standing: how long it is of use, what becomes of it, and the same mass in other vessels.

pub(super) mod vessel;
mod warms;

use super::Mixed;
use super::answer::figures;
use super::pots::{Classes, LEAVES, LONGEST_POT};
use crate::law::{LawError, pot};
use crate::plan::PotKind;
use crate::plan::fields::{BATH, DEGAS, POT_LENGTH, POT_WIDTH, RESIN_WARMTH, STIR};
use crate::range::Range;
use crate::sheet::{Basis, Cell, Grade, Law, PotSheet, PotTemper, Spread, Vessel};
use crate::stage::bench::{Bench, Fallback, ZERO_C};
use crate::stage::resin_clock::{self, ResinClock};
use crate::units::Unit;
use vessel::{Around, Holder, largest_calm, most_calm, pot_of, tray_depth};
use warms::drawn;

const MINUTE: f64 = 60.0;
/// More than this is never left alone [g].
const NOT_ALONE: f64 = 100.0;
/// A vacuum pot holds the heat in [W/(m2 K)].
const IN_VACUUM: f64 = 5.0;

/// The pot in hand and others, and how long the one in hand is of use [s].
pub(super) struct Standing {
    pub(super) pot: PotSheet,
    pub(super) vessels: Vec<Vessel>,
    pub(super) use_by: Spread,
    /// The vessel in hand, a tray as shallow as stays calm, and what is around them.
    pub(super) holder: Holder,
    pub(super) tray: Holder,
    pub(super) around: Around,
    /// Deepest that it stays calm in a wide tray on a bad day [m].
    pub(super) calm_depth: f64,
    /// Most of a fresh pot in the vessel in hand that stays calm on a bad day [kg].
    pub(super) calm: Option<f64>,
    /// The same in each of the other vessels, likely [s].
    pub(super) elsewhere: Vec<(PotKind, f64)>,
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
        LEAVES,
        Grade::Judgement,
        "judgement_pot_heat",
    );
    // Only downwards: a limit of safety is not moved up by doubt.
    let calm = bench.coefficient(
        "mix.calm_limit",
        "How much of the largest calm batch to count on",
        Range::new(0.75, 0.95, 1.0),
        Grade::Judgement,
        "judgement_calm",
    );
    let around = Around {
        start,
        room: clock.room.clone(),
        bath: kelvin(bath),
        leaves,
        calm,
    };
    let millimetres = |field| bench.plan.given(field).map(|range| range.likely / 1000.0);
    let sizes = (millimetres(&POT_WIDTH), millimetres(&POT_LENGTH));
    let chosen = bench.plan.pot;
    let density = mixed.density.likely();
    let calm_depth = tray_depth(bench, clock, &around, density)?;
    let holder = |kind| Holder {
        kind,
        size: if kind == chosen { sizes } else { (None, None) },
        density,
        tray_depth: Holder::poured(calm_depth),
    };
    let mass = mixed.batch.times(1.0 / f64::from(mixed.count.max(1)));
    let (pot, use_by) = in_hand(bench, clock, &holder(chosen), &around, &mass)?;
    let mut vessels = Vec::new();
    let mut elsewhere = Vec::new();
    for kind in [PotKind::Cup, PotKind::Bucket, PotKind::Tray, PotKind::Bath] {
        let one = holder(kind);
        let mut row = row(bench, clock, &one, &around, mass.likely())?;
        if kind == chosen {
            // The same figures as above it.
            row.this = true;
            row.use_by = told_in_minutes(bench, &use_by);
        } else {
            elsewhere.push((kind, MINUTE * row.use_by.likely));
        }
        vessels.push(row);
    }
    cautions(bench, chosen, &pot, &around);
    let in_hand = holder(chosen);
    Ok(Standing {
        pot,
        vessels,
        use_by,
        calm: most_calm(bench, clock, &in_hand, &around)?,
        holder: in_hand,
        tray: Holder {
            size: (None, None),
            ..holder(PotKind::Tray)
        },
        around,
        calm_depth,
        elsewhere,
    })
}

fn in_hand(
    bench: &mut Bench<'_>,
    clock: &ResinClock,
    holder: &Holder,
    around: &Around,
    mass: &Spread,
) -> Result<(PotSheet, Spread), LawError> {
    let (air, transfer) = around.of(holder.kind);
    let kilograms = mass.likely();
    let tg_ultimate = clock.tg_ultimate.likely();
    let [use_by, ten, four, gel] = Spread::heavy(
        [&clock.speed, air, &around.start, &around.leaves],
        |[speed, air, start, leaves]| {
            let resin = resin_clock::resin(speed, tg_ultimate);
            let pot = pot_of(holder, air, transfer * leaves, kilograms, start)?;
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
    let likely = pot_of(
        holder,
        air.likely(),
        transfer,
        kilograms,
        around.start.likely(),
    )?;
    let course = pot::pot_course(&resin, &likely, LONGEST_POT)?;
    let classes = Classes::of(bench, clock, &likely)?;
    let temper = classes.temper();
    let [share] = Spread::heavy(
        [&clock.speed, air, &around.leaves],
        |[speed, air, leaves]| {
            let resin = resin_clock::resin(speed, tg_ultimate);
            let start = around.start.likely();
            let pot = pot_of(holder, air, transfer * leaves, kilograms, start)?;
            Ok([pot::heat_share(&resin, &pot)?])
        },
    )?;
    let share = share.map(|share| share.max(0.0));
    let calm = largest_calm(clock, holder, around, likely.body)?;
    let depth = mass.map(|kg| holder.body(kg).map_or(0.0, |body| body.depth));
    let degas = bench.take(&DEGAS);
    let taken = Spread::sum([&bench.take(&STIR), &degas]).times(MINUTE);
    let left = Spread::from([&use_by, &taken], |[use_by, taken]| {
        (use_by - taken).max(0.0)
    });
    let warms = ten.likely() < 0.99 * LONGEST_POT;
    let desk = &bench.desk;
    let minutes = |x: &Spread| desk.say(Unit::Minute, &x.times(1.0 / MINUTE));
    let grams = desk.say(Unit::Gram, &mass.times(1000.0));
    let degassed = degas.likely() > 0.0;
    let mut sentence = format!(
        "{grams} in {}: use it up within {}; {} take {} of that. Left standing, it {}. Its bulk is {} times what stays calm.",
        holder.word(),
        minutes(&use_by),
        if degassed {
            "weighing, stirring and the vacuum pot"
        } else {
            "weighing and stirring"
        },
        minutes(&taken),
        classes.word(),
        desk.say(Unit::One, &share),
    );
    if degassed {
        // In a vacuum pot no air takes the heat away.
        let shut = pot_of(
            holder,
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
    let name = format!("{grams} in {}", holder.word());
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
        calm_share: desk.estimate("Its bulk, over what stays calm", Unit::One, &share, &CALM),
        temper,
        chart,
    };
    Ok((sheet, use_by))
}

fn told_in_minutes(bench: &Bench<'_>, time: &Spread) -> Cell {
    let minutes = time.map(|t| t.clamp(0.0, LONGEST_POT)).times(1.0 / MINUTE);
    bench.desk.cell(Unit::Minute, &minutes)
}

fn row(
    bench: &Bench<'_>,
    clock: &ResinClock,
    holder: &Holder,
    around: &Around,
    mass: f64,
) -> Result<Vessel, LawError> {
    let (air, transfer) = around.of(holder.kind);
    let tg_ultimate = clock.tg_ultimate.likely();
    let start = around.start.likely();
    let [use_by] = Spread::heavy([&clock.speed, air], |[speed, air]| {
        let resin = resin_clock::resin(speed, tg_ultimate);
        let pot = pot_of(holder, air, transfer, mass, start)?;
        let course = pot::pot_course(&resin, &pot, LONGEST_POT)?;
        Ok([course.use_by().unwrap_or(LONGEST_POT)])
    })?;
    let likely = pot_of(holder, air.likely(), transfer, mass, start)?;
    let classes = Classes::of(bench, clock, &likely)?;
    let temper = classes.temper();
    let calm = largest_calm(clock, holder, around, likely.body)?;
    let desk = &bench.desk;
    let depth = figures(desk, Unit::Millimetre, likely.body.depth * 1000.0, 2);
    Ok(Vessel {
        name: format!("{}, {depth} deep", holder.word()),
        this: false,
        use_by: told_in_minutes(bench, &use_by),
        largest_calm: desk.cell(Unit::Gram, &calm.times(1000.0)),
        temper,
        word: classes.word(),
    })
}

fn cautions(bench: &mut Bench<'_>, kind: PotKind, pot: &PotSheet, around: &Around) {
    // What the usual cup does is said where the batch is.
    if kind != PotKind::Cup {
        match pot.temper {
            PotTemper::Dangerous => bench.caution(
                super::STAGE,
                format!("{} can smoke and burn when it is left standing: pour it out in time, never leave it, and carry it outdoors if it warms.", pot.name),
            ),
            PotTemper::Warm => bench.caution(
                super::STAGE,
                format!("{} can get too hot to hold when it is left standing: use it at once or spread it thinner.", pot.name),
            ),
            PotTemper::Calm => {}
        }
    }
    if pot.mass_g.likely >= NOT_ALONE {
        let never = match pot.temper {
            // That is said already.
            PotTemper::Dangerous => "Put no lid on mixed resin".to_owned(),
            _ => format!(
                "Never leave more than {} of mixed resin alone, and put no lid on it",
                figures(&bench.desk, Unit::Gram, NOT_ALONE, 2)
            ),
        };
        bench.caution(
            super::STAGE,
            format!("{never}, not even on what is left over: the heat stays in. Let leftovers harden outdoors, spread thin."),
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
    sources: &["blade_epoxy", "judgement_pot_heat", "judgement_calm"],
};
