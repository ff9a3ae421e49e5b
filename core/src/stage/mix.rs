//! How much resin stays in the part, where the rest goes, what to weigh, in which pots, and how long each lives.

mod answer;
mod batches;
mod data_sheet;
mod deepen;
mod formula;
mod losses;
mod pots;
mod shortfall;
mod standing;
mod thickens;
mod weighed;

pub(crate) use deepen::deepen;
pub(crate) use losses::spiral_length;
pub(crate) use pots::{LONGEST_POT, Parted, usual_pot};
pub(crate) use shortfall::supply;

use answer::{comes_with_the_cloth, notes};
use losses::{Lost, losses};
use pots::{MOST_POTS, Pots, pots};

use super::bench::{Bench, Fallback};
use super::resin_clock::ResinClock;
use super::stack::Stacked;
use crate::law::{LawError, mix};
use crate::plan::PotKind;
use crate::plan::fields::{SCALE_STEP, TOLERANCE, WORK_MINUTES};
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{Basis, Desk, Estimate, Head, Law, Loss, MixSheet, Pot, Spread, StageName};
use crate::units::Unit;

const STAGE: StageName = StageName::Mix;

/// What there is to mix, for those who ask in depth.
pub(crate) struct Mixed {
    /// Resin and hardener together [kg].
    pub(crate) batch: Spread,
    /// Density of the mix [kg/m3].
    pub(crate) density: Spread,
    /// How long resin must last: the fill, or the hands' work [s].
    pub(crate) busy: Spread,
    /// Number of pots.
    pub(crate) count: u32,
    /// Time within which one should be used up [s].
    pub(crate) use_within: Spread,
    /// Resin must outlast one pot.
    pub(crate) in_turn: bool,
    /// Smallest batch that the scale weighs well enough [kg].
    pub(crate) smallest: Spread,
    /// Most of a fresh pot that stays calm in the vessel in hand, on a bad day too [kg]; none until it is known.
    pub(crate) calm: Option<f64>,
    /// The same in other vessels, likely [s].
    pub(crate) elsewhere: Vec<(PotKind, f64)>,
}

/// Works the mix out and writes its sheet. `busy` is how long resin must last: the fill, or the hands' work [s].
pub(crate) fn work(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    clock: Option<&ResinClock>,
    fill_time: Option<&Spread>,
) -> Result<(Option<Mixed>, MixSheet), Vec<Problem>> {
    let result = match clock {
        Some(clock) => {
            weigh(bench, stacked, clock, fill_time).map(|(mixed, sheet)| (Some(mixed), sheet))
        }
        None => comes_with_the_cloth(bench, stacked).map(|sheet| (None, sheet)),
    };
    result.map_err(|why| super::bench::beyond("mix", &why))
}

fn weigh(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    clock: &ResinClock,
    fill_time: Option<&Spread>,
) -> Result<(Mixed, MixSheet), LawError> {
    let resin = &bench.plan.resin;
    let phr = resin.hardener_per_100;
    let (density_resin, density_hardener) = densities(bench);
    let mixed_density = Spread::of([&density_resin, &density_hardener], |[r, h]| {
        mix::mix_density(phr, r, h)
    })?;
    let mut lost = losses(bench, stacked, &mixed_density, fill_time)?;
    let needed =
        Spread::sum(std::iter::once(&stacked.resin).chain(lost.parts.iter().map(|part| &part.2)));
    let batch = Spread::from(
        [&needed, &lost.dregs_share, &lost.dregs_least],
        |[needed, share, least]| (needed + least) / (1.0 - share),
    );
    let dregs = Spread::from([&batch, &needed], |[batch, needed]| batch - needed);
    lost.parts.push((
        "pot_dregs",
        "stays in pots, on sticks and brushes",
        dregs,
        &DREGS,
    ));
    let parts = Spread::several([&batch], |[batch]| {
        let split = mix::split(batch, phr)?;
        Ok([split.resin, split.hardener])
    })?;
    let busy = busy(bench, stacked, fill_time);
    let smallest = smallest_batch(bench, phr)?;
    let pots = pots(bench, clock, &batch, &busy, smallest.likely(), phr)?;
    let sheet = write(
        bench,
        stacked,
        &Weighed {
            batch: &batch,
            parts: &parts,
            densities: [&density_resin, &density_hardener],
            lost: &lost,
            pots: &pots,
            smallest: &smallest,
        },
    );
    let mixed = Mixed {
        elsewhere: Vec::new(),
        batch,
        density: mixed_density,
        busy,
        count: pots.count,
        use_within: pots.use_within,
        in_turn: pots.in_turn,
        smallest,
        calm: None,
    };
    Ok((mixed, sheet))
}

/// What the sheet tells of a batch.
struct Weighed<'a> {
    /// All that is mixed, and the resin and hardener in it [kg].
    batch: &'a Spread,
    parts: &'a [Spread; 2],
    /// Of resin and hardener [kg/m3].
    densities: [&'a Spread; 2],
    lost: &'a Lost,
    pots: &'a Pots,
    smallest: &'a Spread,
}

fn grams(kilograms: &Spread) -> Spread {
    kilograms.times(1000.0)
}

fn write(bench: &mut Bench<'_>, stacked: &Stacked, found: &Weighed<'_>) -> MixSheet {
    let Weighed {
        batch,
        parts: [resin_part, hardener_part],
        densities: [density_resin, density_hardener],
        lost,
        pots,
        smallest,
    } = *found;
    let stays = Spread::from([&stacked.resin, batch], |[stays, batch]| stays / batch);
    let per_fibre = Spread::from([batch, &stacked.fibre], |[batch, fibre]| batch / fibre);
    let in_part_per_fibre = Spread::from([&stacked.resin, &stacked.fibre], |[resin, fibre]| {
        resin / fibre
    });
    notes(bench, pots, &per_fibre, &in_part_per_fibre);
    let desk = &mut bench.desk;
    let volume = |mass: &Spread, density: &Spread| {
        Spread::from([mass, density], |[mass, density]| mass / density * 1e6)
    };
    let answer = answer(desk, stacked, found);
    let use_within = desk.estimate(
        "Use each pot within",
        Unit::Minute,
        &pots.use_within.times(1.0 / 60.0),
        &POT_LIFE,
    );
    let listed = pots.count.min(MOST_POTS);
    let pot = pot(desk, found, &use_within);
    MixSheet {
        head: Head::new(STAGE, answer, "resin_to_mix_g"),
        resin_in_part_g: desk.estimate(
            "Stays in the part",
            Unit::Gram,
            &grams(&stacked.resin),
            &IN_PART,
        ),
        losses: lost
            .parts
            .iter()
            .map(|(key, name, mass, law)| Loss {
                key,
                name,
                grams: desk.estimate(name, Unit::Gram, &grams(mass), law),
            })
            .collect(),
        resin_to_mix_g: desk.estimate(
            "Resin and hardener to mix",
            Unit::Gram,
            &grams(batch),
            &BATCH,
        ),
        resin_g: desk.estimate("Resin to weigh", Unit::Gram, &grams(resin_part), &SPLIT),
        hardener_g: desk.estimate(
            "Hardener to weigh",
            Unit::Gram,
            &grams(hardener_part),
            &SPLIT,
        ),
        resin_ml: desk.estimate(
            "Resin by volume, as a check",
            Unit::Millilitre,
            &volume(resin_part, density_resin),
            &VOLUME,
        ),
        hardener_ml: desk.estimate(
            "Hardener by volume, as a check",
            Unit::Millilitre,
            &volume(hardener_part, density_hardener),
            &VOLUME,
        ),
        to_mix_per_fibre: desk.estimate("Mixed per dry fibre", Unit::One, &per_fibre, &BATCH),
        stays_pct: desk.estimate(
            "Share that stays in the part",
            Unit::Percent,
            &stays.times(100.0),
            &BATCH,
        ),
        use_within_min: use_within,
        smallest_batch_g: desk.estimate(
            "Smallest batch this scale can weigh",
            Unit::Gram,
            &grams(smallest),
            &SMALLEST,
        ),
        pots: vec![pot; listed as usize],
        pot_temper: pots.temper,
    }
}

/// What to mix, in words.
fn answer(desk: &Desk, stacked: &Stacked, found: &Weighed<'_>) -> String {
    let [resin, hardener] = found.parts;
    format!(
        "Mix about {}: {} of resin and {} of hardener{}. {} stay in the part.",
        desk.say(Unit::Gram, &grams(found.batch)),
        desk.say(Unit::Gram, &grams(resin)),
        desk.say(Unit::Gram, &grams(hardener)),
        match found.pots.count {
            1 => ", in one pot".into(),
            n => format!(", in {n} pots"),
        },
        desk.say(Unit::Gram, &grams(&stacked.resin)),
    )
}

/// One of the pots, all of which are alike.
fn pot(desk: &mut Desk, found: &Weighed<'_>, use_within: &Estimate) -> Pot {
    let [resin, hardener] = found.parts;
    let share = 1.0 / f64::from(found.pots.count);
    Pot {
        resin_g: desk.estimate("Resin", Unit::Gram, &grams(resin).times(share), &SPLIT),
        hardener_g: desk.estimate(
            "Hardener",
            Unit::Gram,
            &grams(hardener).times(share),
            &SPLIT,
        ),
        total_g: desk.estimate("Pot", Unit::Gram, &grams(found.batch).times(share), &SPLIT),
        use_within_min: use_within.clone(),
    }
}

/// Densities of resin and hardener [kg/m3].
fn densities(bench: &mut Bench<'_>) -> (Spread, Spread) {
    let resin = &bench.plan.resin;
    let holder = format!("resins.{}", resin.entry.key);
    let mut get = |name, label, cited| {
        bench
            .property(
                &holder,
                name,
                label,
                Unit::GramPerMillilitre,
                &resin.entry,
                cited,
            )
            .times(1000.0)
    };
    (
        get(
            "density_resin_g_ml",
            "Density of the resin",
            &resin.density_resin_g_ml,
        ),
        get(
            "density_hardener_g_ml",
            "Density of the hardener",
            &resin.density_hardener_g_ml,
        ),
    )
}

/// How long resin must stay usable [s]: the fill, or the hands' work.
fn busy(bench: &mut Bench<'_>, stacked: &Stacked, fill_time: Option<&Spread>) -> Spread {
    if let Some(time) = fill_time {
        return time.clone();
    }
    let plies: f64 = stacked.cloths().map(|(row, _)| f64::from(row.count)).sum();
    // About six minutes to wet out a square metre of one ply by roller.
    let minutes = (6.0 * plies * stacked.area.likely()).clamp(5.0, 900.0);
    bench
        .take_or(
            &WORK_MINUTES,
            Fallback::judged(Range::new(0.6 * minutes, minutes, 1.6 * minutes)),
        )
        .times(60.0)
}

/// Smallest batch that the scale can weigh to the tolerance [kg].
fn smallest_batch(bench: &mut Bench<'_>, phr: f64) -> Result<Spread, LawError> {
    let step = bench.take(&SCALE_STEP);
    let tolerance = bench.take(&TOLERANCE);
    // A reading is good to half a step; drift and a draught take as much again.
    Spread::of([&step, &tolerance], |[step, tolerance]| {
        mix::smallest_batch(step / 1000.0, tolerance / 100.0, phr)
    })
}

static IN_PART: Law = Law {
    says: "resin fills what fibre and its own voids leave, ply by ply, and what a core drinks",
    basis: Basis::Firm,
    sources: &["madsen_2007"],
};

static DREGS: Law = Law {
    says: "a share of the batch and a little in every pot",
    basis: Basis::Rule,
    sources: &["memory_dregs"],
};

static BATCH: Law = Law {
    says: "resin in the part + everything that is lost",
    basis: Basis::Firm,
    sources: &["law_holdup"],
};

static SPLIT: Law = Law {
    says: "resin = M 100/(100 + p), hardener = M p/(100 + p), with p parts of hardener per hundred",
    basis: Basis::Firm,
    sources: &["law_split"],
};

static VOLUME: Law = Law {
    says: "mass over density",
    basis: Basis::Firm,
    sources: &["law_split"],
};

static SMALLEST: Law = Law {
    says: "M = (δ/ε)(100 + p)/p, with δ the scale's step and ε how far the hardener may be off",
    basis: Basis::Firm,
    sources: &["law_split"],
};

static POT_LIFE: Law = Law {
    says: "heat balance of the pot: the earlier of ten kelvin of warming and four times the viscosity",
    basis: Basis::Rule,
    sources: &["blade_epoxy", "judgement_use_by"],
};
