//! What was really weighed in: how far off, what it does, and what to add.

use super::STAGE;
use super::batches::tidy;
use crate::law::LawError;
use crate::law::off_ratio::{Add, hardener_off, put_right, sets_at_all};
use crate::plan::fields::{SCALE_STEP, TOLERANCE, WEIGHED_HARDENER, WEIGHED_RESIN};
use crate::sheet::{Basis, Law, Spread, WeighedMix};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Beyond this a mix is out, whatever the tolerance [-].
const OUTSIDE: f64 = 0.05;

pub(super) fn weighed(bench: &mut Bench<'_>) -> Result<Option<WeighedMix>, LawError> {
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
    let add = match put_right(r, h, phr)? {
        Add::Resin(grams) => format!(
            "add {} of resin",
            desk.say_plain(Unit::Gram, round_to(grams, step))
        ),
        Add::Hardener(grams) => format!(
            "add {} of hardener",
            desk.say_plain(Unit::Gram, round_to(grams, step))
        ),
    };
    let does = if likely > 0.0 {
        "what hardener is left over softens the resin and lowers its glass transition"
    } else {
        "what resin is left over never reacts: it softens and embrittles the part"
    };
    let sentence = match verdict {
        "within" => format!("The hardener is {by} {much}, within what you allow. Nothing to do."),
        "care" => format!(
            "The hardener is {by} {much}: {does}. While it is liquid and within its time, {add} and stir again."
        ),
        _ if !sets_at_all(likely)? => format!(
            "The hardener is {by} {much}: this mix will not set throughout. While it is liquid and within its time, {add} and stir again, or pour it away to harden with more hardener, and never into the part."
        ),
        _ => format!(
            "The hardener is {by} {much}, far outside: {does}. While it is liquid and within its time, {add} and stir again; once it has warmed or thickened, mix anew."
        ),
    };
    if verdict != "within" {
        bench.problem(
            STAGE,
            format!("What you weighed in holds {by} {much} hardener: {add} while it is liquid."),
        );
    }
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

/// To a whole number of steps, without what a binary fraction leaves behind.
fn round_to(grams: f64, step: f64) -> f64 {
    tidy((grams / step).round().max(1.0) * step)
}

static OFF: Law = Law {
    says: "(h / r) / (p / 100) - 1, each weighing good to a step of the scale",
    basis: Basis::Firm,
    sources: &["law_split"],
};
