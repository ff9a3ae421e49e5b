//! The pot in hand, left standing: how long it is of use, what becomes of it, and the same mass in other vessels.

mod in_hand;
pub(super) mod vessel;
mod warms;

use super::Mixed;
use super::answer::figures;
use super::pots::{Classes, LEAVES, LONGEST_POT};
use crate::law::{LawError, pot};
use crate::plan::PotKind;
use crate::plan::fields::{BATH, POT_LENGTH, POT_WIDTH, RESIN_WARMTH};
use crate::range::Range;
use crate::sheet::{Cell, Grade, PotSheet, PotTemper, Spread, Vessel};
use crate::stage::bench::{Bench, Fallback, ZERO_C};
use crate::stage::resin_clock::{self, ResinClock};
use crate::units::Unit;
use in_hand::InHand;
use vessel::{Around, Holder, largest_calm, most_calm, pot_of, tray_depth};

const MINUTE: f64 = 60.0;
/// More than this is never left alone [g].
const NOT_ALONE: f64 = 100.0;

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
    let in_hand = holder(chosen);
    let (pot, use_by) = InHand {
        clock,
        holder: &in_hand,
        around: &around,
        mass: &mass,
    }
    .left_standing(bench)?;
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
