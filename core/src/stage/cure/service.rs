//! How warm the part gets in service, and whether its glass transition stands that.

use super::STAGE;
use super::post::Done;
use crate::law::LawError;
use crate::law::sun_warmth::{Outdoors, sunlit};
use crate::law::warm::stiffness_left;
use crate::plan::fields::{SERVICE, SERVICE_AIR};
use crate::plan::{Back, Colour, Facing, Wind};
use crate::range::Range;
use crate::sheet::{Basis, Estimate, Grade, Law, ServiceSheet, Spread, Stands};
use crate::stage::bench::{Bench, ZERO_C};
use crate::units::Unit;

/// Least distance of the glass transition over the part [K].
const DRY: f64 = 20.0;
const WET: f64 = 35.0;
/// Glass transition over the part below which nothing is told of stiffness [K].
const SOFT: f64 = -20.0;
/// Paint and bare laminate [-].
const EMISSIVITY: f64 = 0.9;
/// What counts as wind [m/s].
const BREEZE: f64 = 3.0;
/// From this share of draws on it stands it surely; from the second on, likely.
const SURE: f64 = 0.9;
const LIKELY: f64 = 0.5;

/// Glass transitions to hold against the service [K].
pub(super) struct Hardness<'a> {
    /// When it is trimmed.
    pub(super) trimmed: &'a Spread,
    /// After four weeks.
    pub(super) four_weeks: &'a Spread,
    /// After the post-cure that the plan asks for.
    pub(super) post: Option<&'a Spread>,
    /// After the usual ones.
    pub(super) usual: &'a [Done],
    /// When fully cured.
    pub(super) most: &'a Spread,
}

/// What a surface takes up of the sun [-].
fn absorptance(colour: Colour) -> Range {
    match colour {
        Colour::White => Range::new(0.19, 0.25, 0.32),
        Colour::LightGrey => Range::new(0.4, 0.5, 0.6),
        Colour::Grey => Range::new(0.6, 0.7, 0.87),
        Colour::Black => Range::new(0.9, 0.95, 0.98),
        Colour::ClearFlax => Range::new(0.5, 0.65, 0.75),
    }
}

/// The part in the sun, and the same painted white [K].
fn in_the_sun(bench: &mut Bench<'_>, colour: Colour) -> Result<[Spread; 2], LawError> {
    let plan = bench.plan;
    let wall = plan.facing == Facing::Wall;
    let how = Outdoors {
        wall,
        open_back: plan.back == Back::Open,
        wind: (plan.wind == Wind::Breeze).then_some(BREEZE),
    };
    let air = bench
        .take(&SERVICE_AIR)
        .map(|c| (c + ZERO_C).clamp(224.0, 333.0));
    let takes = |bench: &mut Bench<'_>, key: &str, colour| {
        bench.coefficient(
            key,
            "Share of the sun that this surface takes up",
            absorptance(colour),
            match colour {
                Colour::White | Colour::Black => Grade::Read,
                _ => Grade::Judgement,
            },
            match colour {
                Colour::White | Colour::Black => "absorptance_table",
                _ => "judgement_absorptance",
            },
        )
    };
    let shade = takes(bench, "service.absorptance", colour);
    let white = takes(bench, "service.absorptance_white", Colour::White);
    let sun = bench.coefficient(
        "service.sun_w_m2",
        "Sun on it at a clear noon in summer",
        if wall {
            Range::new(600.0, 700.0, 800.0)
        } else {
            Range::new(850.0, 1000.0, 1050.0)
        },
        Grade::Memory,
        "memory_sun",
    );
    let more = bench.coefficient(
        "service.above_balance_k",
        "How much warmer real parts were than this balance",
        Range::new(2.0, 6.0, 10.0),
        Grade::Judgement,
        "judgement_sun_checks",
    );
    let warm = |shade: &Spread| {
        Spread::of([shade, &air, &sun, &more], |[shade, air, sun, more]| {
            let a = shade.clamp(0.05, 0.99);
            Ok(sunlit(a, EMISSIVITY, sun.clamp(0.0, 1400.0), air, how)? + more)
        })
    };
    Ok([warm(&shade)?, warm(&white)?])
}

/// The part in service; none where the plan says nothing of it.
pub(super) fn service(
    bench: &mut Bench<'_>,
    hardness: &Hardness<'_>,
    gives: Option<&Spread>,
) -> Result<Option<ServiceSheet>, LawError> {
    let plan = bench.plan;
    let (colour, wet) = (plan.colour, plan.wet_in_service);
    let typed = bench.plan.given(&SERVICE).is_some();
    let (part, white) = match (typed, colour) {
        (true, _) => (bench.take(&SERVICE).map(|c| c + ZERO_C), None),
        (false, Some(colour)) => {
            let [part, white] = in_the_sun(bench, colour)?;
            (part, (colour != Colour::White).then_some(white))
        }
        (false, None) => return Ok(None),
    };
    let margin = if wet { WET } else { DRY };
    let needed = part.map(|t| t + margin);
    let stands = |tg: &Spread, needed: &Spread| {
        Spread::from([tg, needed], |[tg, needed]| tg - needed).share(|over| over >= 0.0)
    };
    let word = |tg: &Spread| match stands(tg, &needed) {
        share if share >= SURE => "yes",
        share if share >= LIKELY => "likely",
        _ => "no",
    };
    let mut rows = vec![
        ("When you trim it".to_owned(), hardness.trimmed),
        (
            "After four weeks in this room".to_owned(),
            hardness.four_weeks,
        ),
    ];
    if let Some(tg) = hardness.post {
        rows.push(("After the post-cure you ask for".to_owned(), tg));
    }
    let free = hardness.usual.iter().filter(|done| done.bears);
    rows.extend(free.map(|done| (done.name.clone(), &done.tg)));
    let mut sentence = told(bench, hardness, &part, &needed, white.as_ref(), &stands);
    let final_state = hardness.post.unwrap_or(hardness.four_weeks);
    if stands(final_state, &needed) < LIKELY {
        bench.problem(STAGE, sentence.clone());
    }
    let [stiffness_left_pct, gives_mm] = warm(bench, (final_state, &part), gives, &mut sentence)?;
    let desk = &mut bench.desk;
    let celsius = |x: &Spread| x.map(|t| t - ZERO_C);
    Ok(Some(ServiceSheet {
        sentence,
        rows: rows
            .into_iter()
            .map(|(name, tg)| Stands {
                name,
                tg: desk.cell(Unit::Celsius, &celsius(tg)),
                stands: word(tg),
            })
            .collect(),
        stiffness_left_pct,
        gives_mm,
        part_c: desk.estimate(
            "Hottest the part gets in service",
            Unit::Celsius,
            &celsius(&part),
            if typed { &TYPED } else { &SUN },
        ),
        needed_c: desk.estimate(
            "Least glass transition for that",
            Unit::Celsius,
            &celsius(&needed),
            &NEEDED,
        ),
    }))
}

/// What stiffness is left at that warmth, and how far it then gives; neither far above the glass transition.
fn warm(
    bench: &mut Bench<'_>,
    (tg, part): (&Spread, &Spread),
    gives: Option<&Spread>,
    sentence: &mut String,
) -> Result<[Option<Estimate>; 2], LawError> {
    if tg.likely() - part.likely() < SOFT {
        return Ok([None, None]);
    }
    let odds = bench.coefficient(
        "service.warm_odds",
        "How much kinder warmth is to stiffness than we judge, as odds",
        Range::new(0.3, 1.0, 3.0),
        Grade::Judgement,
        "judgement_warm",
    );
    let left = Spread::of([tg, part, &odds], |[tg, part, odds]| {
        stiffness_left(tg.clamp(200.0, 600.0), part.clamp(200.0, 600.0), odds)
    })?;
    let pct = left.times(100.0);
    let gives = gives.map(|w| Spread::from([w, &left], |[w, left]| w * 1000.0 / left));
    let desk = &mut bench.desk;
    *sentence += &format!(
        " Cured as planned, the laminate then keeps about {} of its stiffness{}; that is a guess.",
        desk.say(Unit::Percent, &pct),
        gives.as_ref().map_or_else(String::new, |mm| format!(
            ", and gives {} under the stated load",
            desk.say(Unit::Millimetre, mm)
        )),
    );
    let label = "Stiffness left at that warmth, dry";
    let left = desk.estimate(label, Unit::Percent, &pct, &WARM);
    let label = "Gives under the load at that warmth, dry";
    let gives = gives.map(|mm| desk.estimate(label, Unit::Millimetre, &mm, &WARM));
    Ok([Some(left), gives])
}

/// What it comes to, and what to do.
fn told(
    bench: &Bench<'_>,
    hardness: &Hardness<'_>,
    part: &Spread,
    needed: &Spread,
    white: Option<&Spread>,
    stands: &dyn Fn(&Spread, &Spread) -> f64,
) -> String {
    let desk = &bench.desk;
    let say = |x: &Spread| desk.say(Unit::Celsius, &x.map(|t| t - ZERO_C));
    let mut said = format!(
        "In service the part gets to about {}, and wants a glass transition of about {} or more.",
        say(part),
        say(needed),
    );
    let enough = |tg: &Spread| stands(tg, needed) >= LIKELY;
    let usual = hardness
        .usual
        .iter()
        .find(|done| done.bears && enough(&done.tg));
    if hardness.post.is_some_and(enough) {
        said += " With the post-cure you ask for it likely stands that.";
        return said;
    }
    if enough(hardness.trimmed) {
        said += " It likely stands that without a post-cure.";
        return said;
    }
    if enough(hardness.four_weeks) {
        said += " After four weeks in this room it likely stands that without a post-cure; until then, keep it cool.";
        return said;
    }
    said += &match usual {
        Some(done) => format!(
            " This room alone does not get it there: it must be post-cured, {} or hotter.",
            done.name
        ),
        None if enough(hardness.most) => {
            " It must be post-cured, hotter or longer than the usual ways below; ask for one and see.".to_owned()
        }
        None => format!(
            " No post-cure gets it there: fully cured, this resin ends at about {}. Take one that stands more heat.",
            say(hardness.most)
        ),
    };
    if let Some(white) = white {
        said += &format!(" Painted white it gets to about {}.", say(white));
    }
    said
}

static TYPED: Law = Law {
    says: "as you typed it",
    basis: Basis::Firm,
    sources: &["judgement_usual"],
};

static SUN: Law = Law {
    says: "a G = e σ (T⁴ - T_sky⁴) + h (T - T_air), and some kelvin more, as outside figures have it",
    basis: Basis::Rule,
    sources: &["memory_sun", "judgement_sun_checks"],
};

static WARM: Law = Law {
    says: "a judged share for each distance of the glass transition over the part; the give is divided by it",
    basis: Basis::Rule,
    sources: &["judgement_warm"],
};

static NEEDED: Law = Law {
    says: "20 kelvin above the part where it is dry, 35 where it is wet",
    basis: Basis::Rule,
    sources: &["practice_service"],
};
