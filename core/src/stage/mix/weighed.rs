//! What was really weighed in: how far off, what it does, and what to add.

use super::STAGE;
use super::answer::figures;
use super::batches::tidy;
use super::deepen::Places;
use crate::law::LawError;
use crate::law::off_ratio::{Add, hardener_off, look_swapped, put_right, sets_at_all};
use crate::plan::fields::{SCALE_STEP, TOLERANCE, WEIGHED_HARDENER, WEIGHED_RESIN};
use crate::sheet::{Basis, Law, Spread, WeighedMix};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Beyond this a mix is out, whatever the tolerance [-].
const OUTSIDE: f64 = 0.05;
/// Most that is added to a mix, as a share of it [-].
const MOST_ADDED: f64 = 0.5;
/// Largest tray that somebody has at hand [m2].
const LARGEST_TRAY: f64 = 0.25;

pub(super) fn weighed(
    bench: &mut Bench<'_>,
    places: &Places<'_>,
) -> Result<Option<WeighedMix>, LawError> {
    let given = |field| bench.plan.given(field).is_some();
    if !given(&WEIGHED_RESIN) || !given(&WEIGHED_HARDENER) {
        return Ok(None);
    }
    let phr = bench.plan.resin.hardener_per_100;
    let (resin, hardener) = (bench.take(&WEIGHED_RESIN), bench.take(&WEIGHED_HARDENER));
    let step = bench.take(&SCALE_STEP).likely();
    let tolerance = bench.take(&TOLERANCE).likely() / 100.0;
    // Each reading is good to half a step, and to as much again by drift.
    let off = |resin: f64, hardener: f64| hardener_off(resin.max(1e-6), hardener.max(1e-6), phr);
    let (r, h) = (resin.likely(), hardener.likely());
    let likely = off(r, h)?;
    let low = off(r + step, h - step)?;
    let high = off((r - step).max(1e-6), h + step)?;
    let scale = bench.desk.take(crate::sheet::Asked {
        key: "mix.weighing_off".into(),
        label: "How far both weighings may be off by the step of the scale".into(),
        unit: Unit::One,
        range: crate::range::Range::new(low - likely, 0.0, high - likely),
        limits: (-1.0, 10.0),
        origin: crate::sheet::Origin::Usual,
        grade: crate::sheet::Grade::Judgement,
        sources: vec!["law_split".into()],
    });
    let off_by = Spread::from([&resin, &hardener, &scale], |[r, h, scale]| {
        off(r, h).unwrap_or(0.0) + scale
    });
    let per_hundred = off_by.map(|off| (phr * (1.0 + off)).max(0.01));
    let desk = &bench.desk;
    let verdict = match likely.abs() {
        // A dose that is off by just as much is still allowed, whatever the last binary digit.
        off if off <= tolerance + 1e-9 => "within",
        off if off <= OUTSIDE + 1e-9 => "care",
        _ => "outside",
    };
    let much = if likely > 0.0 {
        "too much"
    } else {
        "too little"
    };
    let by = desk.say_plain(Unit::Percent, (1000.0 * likely.abs()).round() / 10.0);
    let swapped = look_swapped(r, h, phr)?;
    let does = if swapped {
        "resin and hardener look swapped".to_owned()
    } else if !sets_at_all(likely)? {
        "this mix will not set throughout".to_owned()
    } else if likely > 0.0 {
        "what hardener is left over keeps the part softer, lowers its glass transition, and comes out on its face, where it harms skin".to_owned()
    } else {
        "what resin is left over never reacts: the part stays softer or brittle, and its glass transition is lower".to_owned()
    };
    let amount = format!("The hardener is {by} {much}");
    let sentence = if verdict == "within" {
        format!("{amount}, within what you allow. Nothing to do.")
    } else {
        let way = way_out(
            bench,
            places,
            &Poured {
                r,
                h,
                phr,
                step,
                tolerance,
            },
            swapped,
        )?;
        bench.problem(
            STAGE,
            format!("What you weighed in holds {by} {much} hardener. {way}"),
        );
        format!("{amount}: {does}. {way} Nothing added later mends a part that it has gone into.")
    };
    let desk = &mut bench.desk;
    Ok(Some(WeighedMix {
        per_hundred: desk.estimate(
            "Hardener per hundred of resin, as weighed",
            Unit::One,
            &per_hundred,
            &OFF,
        ),
        off_pct: desk.estimate("Hardener off by", Unit::Percent, &off_by.times(100.0), &OFF),
        verdict,
        sentence,
    }))
}

/// What stands in the pot.
struct Poured {
    r: f64,
    h: f64,
    phr: f64,
    step: f64,
    tolerance: f64,
}

/// What to do with a mix that is off: put it right where that stays small and calm, or get rid of it.
fn way_out(
    bench: &Bench<'_>,
    places: &Places<'_>,
    poured: &Poured,
    swapped: bool,
) -> Result<String, LawError> {
    let &Poured {
        r,
        h,
        phr,
        step,
        tolerance,
    } = poured;
    let (what, grams) = match put_right(r, h, phr)? {
        Add::Resin(grams) => ("resin", round_to(grams, step)),
        Add::Hardener(grams) => ("hardener", round_to(grams, step)),
    };
    let put = match what {
        "resin" => hardener_off(r + grams, h, phr)?,
        _ => hardener_off(r, h + grams, phr)?,
    };
    let whole = r + h + grams;
    let desk = &bench.desk;
    let add = format!("stir in {} of {what}", desk.say_plain(Unit::Gram, grams));
    let makes = figures(desk, Unit::Gram, whole, 3);
    let depth = places.depth(bench);
    // A scale too coarse for what is missing puts nothing right.
    if !swapped && grams <= MOST_ADDED * (r + h) && put.abs() <= tolerance {
        let kilograms = whole / 1000.0;
        if places.calm_in(bench, &places.holder, kilograms)? {
            return Ok(format!(
                "While it is liquid, cool and within its time, {add}: that makes {makes}, which stays calm in {}.",
                places.holder.word()
            ));
        }
        if let Some(depth) = &depth
            && places.calm_in(bench, &places.tray, kilograms)?
            && places.tray.body(kilograms)?.volume / places.tray.body(kilograms)?.depth
                <= LARGEST_TRAY
        {
            return Ok(format!(
                "While it is liquid, cool and within its time, pour it into a flat tray and {add} there: that makes {makes}, which stays calm no deeper than {depth}."
            ));
        }
    }
    let thin = match depth {
        Some(depth) => format!("no deeper than {depth}"),
        None => "as a film".to_owned(),
    };
    Ok(format!(
        "Do not add to it, and do not use it: spread it outdoors while it is cold, {thin}, on something that does not burn, and dispose of it as the safety sheets of both parts say. Mix anew."
    ))
}

/// To a whole number of steps, without what a binary fraction leaves behind.
fn round_to(grams: f64, step: f64) -> f64 {
    tidy((grams / step).round().max(1.0) * step)
}

static OFF: Law = Law {
    says: "(h / r) / (p / 100) - 1, each weighing good to a step of the scale",
    basis: Basis::Firm,
    sources: &["law_split", "judgement_off_ratio"],
};
