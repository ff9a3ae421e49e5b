//! How much resin stays in the part, where the rest goes, what to weigh, in which pots, and how long each lives.

use super::bench::{Bench, Fallback};
use super::dry::flow_run;
use super::resin_clock::{self, ResinClock};
use super::stack::Stacked;
use crate::law::pot::{self, Hazard};
use crate::law::{LawError, holdup, mix};
use crate::plan::fields::{
    CATCH_SHARE, FEED_TUBE, FEED_TUBE_BORE, LARGEST_POT, SCALE_STEP, SPIRAL, SPIRAL_BORE,
    TOLERANCE, WORK_MINUTES,
};
use crate::plan::{Feed, Route};
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{
    Basis, Estimate, Grade, Head, Law, Loss, MixSheet, Pot, PotTemper, Spread, StageName,
};
use crate::units::Unit;

const STAGE: StageName = StageName::Mix;
/// Peel ply is cut larger than the part, a flow mesh smaller.
const PEEL_PLY_OVERSIZE: f64 = 1.1;
const MESH_UNDERSIZE: f64 = 0.9;
/// Longest life of a pot worth computing [s].
const LONGEST_POT: f64 = 24.0 * 3600.0;
/// Heaviest and lightest pot the heat balance is used for [kg].
const POTS: (f64, f64) = (0.011, 19.0);
/// Most pots listed one by one.
const MOST_POTS: u32 = 60;

/// Resin that is lost, before and after it is known how much is mixed.
struct Lost {
    parts: Vec<(&'static str, &'static str, Spread, &'static Law)>,
    /// Share of the batch that stays in the pots, and the least that does [kg].
    dregs_share: Spread,
    dregs_least: Spread,
}

/// Works the mix out and writes its sheet. `busy` is how long resin must last: the fill, or the hands' work [s].
pub(crate) fn work(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    clock: Option<&ResinClock>,
    fill_time: Option<&Spread>,
) -> Result<MixSheet, Vec<Problem>> {
    let result = match clock {
        Some(clock) => weigh(bench, stacked, clock, fill_time),
        None => comes_with_the_cloth(bench, stacked),
    };
    result.map_err(|why| super::bench::beyond("mix", &why))
}

fn weigh(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    clock: &ResinClock,
    fill_time: Option<&Spread>,
) -> Result<MixSheet, LawError> {
    let resin = &bench.plan.resin;
    let phr = resin.hardener_per_100;
    let (density_resin, density_hardener) = densities(bench);
    let mixed_density = Spread::of([&density_resin, &density_hardener], |[r, h]| {
        mix::mix_density(phr, r, h)
    })?;
    let mut lost = losses(bench, stacked, &mixed_density)?;
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
    let [resin_part, hardener_part] = Spread::several([&batch], |[batch]| {
        let split = mix::split(batch, phr)?;
        Ok([split.resin, split.hardener])
    })?;
    let busy = busy(bench, stacked, fill_time);
    let smallest = smallest_batch(bench, phr)?;
    let pots = pots(bench, clock, &batch, &busy, smallest.likely(), phr)?;
    let stays = Spread::from([&stacked.resin, &batch], |[stays, batch]| stays / batch);
    let per_fibre = Spread::from([&batch, &stacked.fibre], |[batch, fibre]| batch / fibre);
    let in_part_per_fibre = Spread::from([&stacked.resin, &stacked.fibre], |[resin, fibre]| {
        resin / fibre
    });
    notes(bench, &pots, &per_fibre, &in_part_per_fibre, &smallest);
    let desk = &mut bench.desk;
    let grams = |x: &Spread| x.times(1000.0);
    let volume = |mass: &Spread, density: &Spread| {
        Spread::from([mass, density], |[mass, density]| mass / density * 1e6)
    };
    let answer = format!(
        "Mix about {}: {} of resin and {} of hardener{}. {} stay in the part.",
        desk.say(Unit::Gram, &grams(&batch)),
        desk.say(Unit::Gram, &grams(&resin_part)),
        desk.say(Unit::Gram, &grams(&hardener_part)),
        match pots.count {
            1 => ", in one pot".into(),
            n => format!(", in {n} pots"),
        },
        desk.say(Unit::Gram, &grams(&stacked.resin)),
    );
    let use_within = desk.estimate(
        "Use each pot within",
        Unit::Minute,
        &pots.use_within.times(1.0 / 60.0),
        &POT_LIFE,
    );
    let listed = pots.count.min(MOST_POTS);
    let share = 1.0 / f64::from(pots.count);
    let pot = Pot {
        resin_g: desk.estimate("Resin", Unit::Gram, &grams(&resin_part).times(share), &SPLIT),
        hardener_g: desk.estimate(
            "Hardener",
            Unit::Gram,
            &grams(&hardener_part).times(share),
            &SPLIT,
        ),
        total_g: desk.estimate("Pot", Unit::Gram, &grams(&batch).times(share), &SPLIT),
        use_within_min: use_within.clone(),
    };
    Ok(MixSheet {
        head: Head {
            stage: STAGE,
            short: "Mix",
            question: "How much resin to mix, in which pots?",
            answer,
            main: "resin_to_mix_g",
        },
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
            &grams(&batch),
            &BATCH,
        ),
        resin_g: desk.estimate("Resin to weigh", Unit::Gram, &grams(&resin_part), &SPLIT),
        hardener_g: desk.estimate(
            "Hardener to weigh",
            Unit::Gram,
            &grams(&hardener_part),
            &SPLIT,
        ),
        resin_ml: desk.estimate(
            "Resin by volume, as a check",
            Unit::Millilitre,
            &volume(&resin_part, &density_resin),
            &VOLUME,
        ),
        hardener_ml: desk.estimate(
            "Hardener by volume, as a check",
            Unit::Millilitre,
            &volume(&hardener_part, &density_hardener),
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
            &grams(&smallest),
            &SMALLEST,
        ),
        pots: vec![pot; listed as usize],
        pot_temper: pots.temper,
    })
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

fn losses(bench: &mut Bench<'_>, stacked: &Stacked, density: &Spread) -> Result<Lost, LawError> {
    let mut parts = Vec::new();
    let area = &stacked.area;
    let route = bench.plan.route;
    if route == Route::Infusion {
        let (tube, bore) = (bench.take(&FEED_TUBE), bench.take(&FEED_TUBE_BORE));
        let tube = Spread::of([&bore, &tube, density], |[bore, length, density]| {
            holdup::tube_resin(bore / 1000.0, length, density)
        })?;
        parts.push(("feed_tube", "stays in the feed tube", tube, &TUBE));
        let length = spiral_length(bench, stacked);
        let bore = bench.take(&SPIRAL_BORE);
        let open = bench.coefficient(
            "mix.spiral_factor",
            "What the open turns of a spiral hold beyond its bore",
            Range::new(1.05, holdup::SPIRAL_FACTOR, 1.25),
            Grade::Memory,
            "memory_spiral",
        );
        let spiral = Spread::of(
            [&bore, &length, density, &open],
            |[bore, length, density, open]| {
                holdup::spiral_resin(bore / 1000.0, length, density, open.clamp(1.0, 2.0))
            },
        )?;
        parts.push((
            "spiral",
            "stays in the spiral or feed channel",
            spiral,
            &TUBE,
        ));
        if bench.plan.flow_mesh {
            let held = sheet_holds(bench, "flow_mesh")?;
            let mesh = Spread::from([area, &held], |[area, held]| area * MESH_UNDERSIZE * held);
            parts.push(("flow_mesh", "stays in the flow mesh", mesh, &SHEET));
        }
    }
    if route == Route::BaggedWet {
        let loose: Vec<Spread> = stacked
            .cloths()
            .map(|(row, cloth)| {
                let count = f64::from(row.count);
                Spread::from(
                    [&cloth.resin_by_hand, &row.resin, area],
                    |[loose, stays, area]| (loose - stays).max(0.0) * count * area,
                )
            })
            .collect();
        parts.push((
            "squeezed_out",
            "is taken up by the loose cloth, then pressed into the bleeder",
            Spread::sum(&loose),
            &SQUEEZED,
        ));
    }
    if bench.plan.peel_ply && bench.bagged() {
        let held = sheet_holds(bench, "peel_ply")?;
        let peel = Spread::from([area, &held], |[area, held]| {
            area * PEEL_PLY_OVERSIZE * held
        });
        parts.push(("peel_ply", "stays in the peel ply", peel, &SHEET));
    }
    if route == Route::Infusion {
        let share = bench.take(&CATCH_SHARE).times(0.01);
        let drawn =
            Spread::sum(std::iter::once(&stacked.resin).chain(parts.iter().map(|part| &part.2)));
        let caught = Spread::from([&drawn, &share], |[drawn, share]| drawn * share.min(0.9));
        parts.push(("catch_pot", "is drawn on into the catch pot", caught, &CATCH));
    } else {
        let share = bench.coefficient(
            "mix.drips_share",
            "Rollers, drips and the table in hand work, as a share of the resin in the part",
            Range::new(0.03, 0.08, 0.15),
            Grade::Read,
            "suppliers_hand_waste",
        );
        let drips = Spread::from([&stacked.resin, &share], |[resin, share]| resin * share);
        parts.push(("drips", "stays on rollers, table and floor", drips, &CATCH));
    }
    Ok(Lost {
        parts,
        dregs_share: bench.coefficient(
            "mix.dregs_share",
            "Share of a batch that stays in the pots",
            Range::new(0.02, holdup::DREGS_SHARE, 0.05),
            Grade::Memory,
            "memory_dregs",
        ),
        dregs_least: bench
            .coefficient(
                "mix.dregs_least_g",
                "Grams that stay in any pot however small the batch",
                Range::new(10.0, 1000.0 * holdup::DREGS_LEAST, 35.0),
                Grade::Memory,
                "memory_dregs",
            )
            .times(1e-3),
    })
}

/// Length of the spiral [m]: as given, or along the edge that feeds the part.
fn spiral_length(bench: &mut Bench<'_>, stacked: &Stacked) -> Spread {
    let run = flow_run(bench, stacked).likely();
    let area = stacked.area.likely();
    let line = match bench.plan.feed {
        Feed::Edge => area / run,
        Feed::CentreLine => area / (2.0 * run),
        Feed::Centre => 0.0,
        Feed::AllRound => 4.0 * area.sqrt(),
    };
    let line = line.min(SPIRAL.high / 1.4);
    bench.take_or(
        &SPIRAL,
        Fallback {
            range: Range::new(0.8 * line, line, 1.3 * line),
            grade: Grade::Judgement,
            sources: &["judgement_square_part"],
        },
    )
}

/// Resin held by a sheet laid over the stack [kg/m2].
fn sheet_holds(bench: &mut Bench<'_>, key: &str) -> Result<Spread, LawError> {
    let sundry = bench.shelf.sundry(key).ok_or(LawError::Unsolved {
        what: "the resin in mesh or peel ply",
    })?;
    Ok(bench
        .property(
            &format!("sundries.{key}"),
            "holds_g_m2",
            "Resin held",
            Unit::GramPerSquareMetre,
            &sundry.entry,
            &sundry.holds_g_m2,
        )
        .times(1e-3))
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

struct Pots {
    count: u32,
    use_within: Spread,
    temper: PotTemper,
    /// Mass of one [kg].
    mass: f64,
    /// More pots would be lighter than the scale can weigh.
    too_light: bool,
    /// Resin must outlast one pot.
    in_turn: bool,
}

fn pots(
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
    let by_mass = mix::equal_pots(batch.likely().max(1e-6), largest)?;
    let mass = batch.likely() / f64::from(by_mass);
    let use_within = pot_life(clock, mass, density)?;
    let by_time = (busy.likely() / use_within.likely().max(60.0)).ceil();
    // A slow fill needs fresh pots, but no more than the scale can weigh.
    let most_light = (batch.likely() / smallest.max(1e-6)).floor().max(1.0);
    let wanted = f64::from(by_mass).max(by_time.min(f64::from(MOST_POTS)));
    let count = wanted.min(most_light.max(f64::from(by_mass))).max(1.0);
    let mass = batch.likely() / count;
    let use_within = pot_life(clock, mass, density)?;
    let body = usual_pot(clock, mass, density, clock.room.likely())?;
    let resin = resin_clock::resin(clock.speed.likely(), clock.tg_ultimate.likely());
    Ok(Pots {
        count: count as u32,
        use_within,
        temper: match pot::hazard(&resin, &body)? {
            Hazard::Calm => PotTemper::Calm,
            Hazard::Warm => PotTemper::Warm,
            Hazard::Dangerous => PotTemper::Dangerous,
        },
        mass,
        too_light: mass < smallest,
        in_turn: by_time > 1.0,
    })
}

/// Time within which a pot of this mass should be used up [s].
fn pot_life(clock: &ResinClock, mass: f64, density: f64) -> Result<Spread, LawError> {
    let [life] = Spread::heavy([&clock.speed, &clock.room], |[speed, room]| {
        let resin = resin_clock::resin(speed, clock.tg_ultimate.likely());
        let pot = usual_pot(clock, mass, density, room)?;
        let course = pot::pot_course(&resin, &pot, LONGEST_POT)?;
        Ok([course.use_by().unwrap_or(LONGEST_POT)])
    })?;
    Ok(life.map(|t| t.clamp(0.0, LONGEST_POT)))
}

/// The usual cup for this mass, standing in the shop.
fn usual_pot(clock: &ResinClock, mass: f64, density: f64, room: f64) -> Result<pot::Pot, LawError> {
    let mass = mass.clamp(POTS.0, POTS.1);
    let _ = clock;
    Ok(pot::Pot {
        body: pot::cylinder(mass, density, pot::cup_diameter(mass)?)?,
        density,
        start_temperature: room,
        room_temperature: room,
        ..pot::Pot::default()
    })
}

fn notes(
    bench: &mut Bench<'_>,
    pots: &Pots,
    per_fibre: &Spread,
    in_part: &Spread,
    smallest: &Spread,
) {
    bench.caution(
        STAGE,
        "Weigh with nitrile gloves and goggles on: hardener burns skin and eyes, and both parts can make you allergic for life.",
    );
    let each = bench
        .desk
        .say_plain(Unit::Gram, round_to_figures(pots.mass * 1000.0));
    match pots.temper {
        PotTemper::Dangerous => bench.caution(
            STAGE,
            format!(
                "A pot of {each} left standing can smoke and burn: pour it into a wide tray at once, never leave it, and carry it outdoors if it warms."
            ),
        ),
        PotTemper::Warm => bench.caution(
            STAGE,
            format!("A pot of {each} left standing gets too hot to hold: use it at once or spread it in a tray."),
        ),
        PotTemper::Calm => {}
    }
    if pots.in_turn && pots.count > 1 {
        bench.advice(
            STAGE,
            "Do not mix the pots at once: mix the next one when the last is half used, so that the feed never runs dry and none grows old.",
        );
    }
    if pots.too_light {
        bench.problem(
            STAGE,
            format!(
                "This batch is lighter than the {} your scale can weigh well enough: use a finer scale, or mix more and let the rest harden.",
                bench.desk.say(Unit::Gram, &smallest.times(1000.0)),
            ),
        );
    }
    bench.advice(
        STAGE,
        "Weigh both parts. The volumes are a check only: a weight ratio poured by volume starves the hardener.",
    );
    bench
        .desk
        .cite(&["practice_mixing_ratio", "flax_hull_2020"]);
    bench.advice(
        STAGE,
        format!(
            "That is {} parts of resin to one of dry fibre to mix, {} of them in the part. The trade mixes about two to one for infused woven flax (common practice, no source).",
            bench.desk.say(Unit::One, per_fibre),
            bench.desk.say(Unit::One, in_part),
        ),
    );
}

/// A mass for a sentence, to two figures.
fn round_to_figures(grams: f64) -> f64 {
    if grams <= 0.0 {
        return 0.0;
    }
    let step = 10_f64.powf(grams.log10().floor() - 1.0);
    (grams / step).round() * step
}

/// Prepreg: nothing to mix.
fn comes_with_the_cloth(bench: &mut Bench<'_>, stacked: &Stacked) -> Result<MixSheet, LawError> {
    let nothing = Spread::exact(0.0);
    let per_fibre = Spread::from([&stacked.resin, &stacked.fibre], |[r, f]| r / f);
    bench.caution(
        STAGE,
        "Uncured prepreg sensitises skin: wear nitrile gloves and follow its own safety sheet.",
    );
    let desk = &mut bench.desk;
    let in_part = stacked.resin.times(1000.0);
    let answer = format!(
        "Nothing to mix: the cloth brings its resin, about {} of it.",
        desk.say(Unit::Gram, &in_part)
    );
    let mut zero = |label, unit| desk.estimate(label, unit, &nothing, &NO_MIX);
    let resin_to_mix_g = zero("Resin and hardener to mix", Unit::Gram);
    let resin_g = zero("Resin to weigh", Unit::Gram);
    let hardener_g = zero("Hardener to weigh", Unit::Gram);
    let resin_ml = zero("Resin by volume, as a check", Unit::Millilitre);
    let hardener_ml = zero("Hardener by volume, as a check", Unit::Millilitre);
    let use_within_min: Estimate = zero("Use each pot within", Unit::Minute);
    let smallest_batch_g = zero("Smallest batch this scale can weigh", Unit::Gram);
    Ok(MixSheet {
        head: Head {
            stage: STAGE,
            short: "Mix",
            question: "How much resin to mix, in which pots?",
            answer,
            main: "resin_in_part_g",
        },
        resin_in_part_g: desk.estimate("Stays in the part", Unit::Gram, &in_part, &IN_PART),
        losses: Vec::new(),
        to_mix_per_fibre: desk.estimate("Resin per dry fibre", Unit::One, &per_fibre, &IN_PART),
        stays_pct: desk.estimate(
            "Share that stays in the part",
            Unit::Percent,
            &Spread::exact(100.0),
            &NO_MIX,
        ),
        resin_to_mix_g,
        resin_g,
        hardener_g,
        resin_ml,
        hardener_ml,
        use_within_min,
        smallest_batch_g,
        pots: Vec::new(),
        pot_temper: PotTemper::Calm,
    })
}

static IN_PART: Law = Law {
    says: "resin fills what fibre and its own voids leave, ply by ply, and what a core drinks",
    basis: Basis::Firm,
    sources: &["madsen_2007"],
};
static TUBE: Law = Law {
    says: "m = ρ π d² L / 4, with a little more for the open turns of a spiral",
    basis: Basis::Firm,
    sources: &["law_holdup"],
};
static SHEET: Law = Law {
    says: "area times what a square metre of it holds",
    basis: Basis::Firm,
    sources: &["law_holdup"],
};
static SQUEEZED: Law = Law {
    says: "resin at the fibre fraction rolled by hand minus resin at the fibre fraction in the bag",
    basis: Basis::Rule,
    sources: &["madsen_2007"],
};
static CATCH: Law = Law {
    says: "a share of what is drawn or rolled",
    basis: Basis::Rule,
    sources: &["judgement_usual"],
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
static NO_MIX: Law = Law {
    says: "prepreg brings its own resin",
    basis: Basis::Firm,
    sources: &["law_split"],
};
