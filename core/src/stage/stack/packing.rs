//! How a ply packs on its way of moulding: its fibre, resin and void by volume.

use super::cloth::Given;
use crate::law::composition::{Assembly, at_mass_fraction};
use crate::law::{LawError, compaction, prepreg, sorption};
use crate::plan::Route;
use crate::plan::fields::{BLED, RESIN_CONTENT};
use crate::range::Range;
use crate::sheet::{Asked, Grade, Origin, Spread};
use crate::shelf::{Cloth, Family, Fibre, MassBasis, Weave};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Tightest that fibre is believed to pack.
const TIGHTEST: f64 = 0.75;

/// One bar [Pa].
const BAR: f64 = 1e5;

/// Where the properties of a cloth and of its weave are found.
pub(super) struct Holders<'a> {
    pub(super) cloth: &'a str,
    pub(super) weave: &'a str,
}

/// The shares of a ply.
pub(super) struct Packed {
    /// Fibre fraction as the shelf has it, before a measured thickness.
    pub(super) on_the_shelf: Spread,
    /// Fibre fraction.
    pub(super) fraction: Spread,
    pub(super) matrix: Spread,
    pub(super) void: Spread,
}

/// What a ply is packed from.
pub(super) struct Ply<'a> {
    pub(super) cloth: &'a Cloth,
    pub(super) weave: &'a Weave,
    pub(super) fibre: &'a Fibre,
    pub(super) density: &'a Spread,
    pub(super) void_per_fibre: &'a Spread,
    pub(super) at: Holders<'a>,
}

/// Packs a ply as its route does.
pub(super) fn packed(
    bench: &mut Bench<'_>,
    ply: &Ply<'_>,
    given: &Given<'_>,
) -> Result<Packed, LawError> {
    let nests = bench.coefficient(
        "stack.nesting",
        "Fibre content gained by plies that nest into each other",
        Range::new(0.0, 0.0, 0.03),
        Grade::Judgement,
        "judgement_nesting",
    );
    let nests = Spread::of([&nests], |[gain]| {
        compaction::nesting(f64::from(given.plies), gain.clamp(0.0, 0.2))
    })?;
    let bubbles = bubbles(bench);
    if bench.plan.route == Route::Prepreg {
        return impregnated(bench, ply, given, &nests, &bubbles);
    }
    let lone = fibre_fraction(bench, ply, given)?;
    let nested = Spread::from([&lone, &nests], |[v, nests]| (v * nests).min(TIGHTEST));
    let fraction = match given.squeeze {
        Some(squeeze) => Spread::from([&nested, squeeze], |[v, squeeze]| tighter(v, squeeze)),
        None => nested.clone(),
    };
    let nothing = Spread::exact(0.0);
    let [matrix, void] = Spread::several(
        [
            &fraction,
            ply.void_per_fibre,
            &bubbles,
            given.missing.unwrap_or(&nothing),
        ],
        |[v, per_fibre, per_resin, missing]| {
            let [matrix, void] = shares(v, per_fibre, per_resin);
            Ok([matrix * (1.0 - missing), void + matrix * missing])
        },
    )?;
    Ok(Packed {
        on_the_shelf: nested,
        fraction,
        matrix,
        void,
    })
}

/// Fibre fraction of a ply that measures so much of its computed thickness.
fn tighter(fraction: f64, squeeze: f64) -> f64 {
    (fraction / squeeze.clamp(0.3, 4.0)).clamp(0.05, TIGHTEST)
}

/// A prepreg: its own resin fills it, or, once its cloth lies as tight as the bag packs it, does not.
fn impregnated(
    bench: &mut Bench<'_>,
    ply: &Ply<'_>,
    given: &Given<'_>,
    nests: &Spread,
    bubbles: &Spread,
) -> Result<Packed, LawError> {
    let content = resin_content(bench, ply.fibre, given.typed);
    let bled = bench.take(&BLED).times(0.01);
    let [at_one_bar, exponent] = compacts(bench, ply);
    let rolls = bench.coefficient(
        "prepreg.rolls_bar",
        "What pressed the cloth when the resin went in, in bar",
        Range::new(5.0, 15.0, 50.0),
        Grade::Judgement,
        "judgement_prepreg_rolls",
    );
    let lets_go = wet_exponent(bench);
    let of_cloth = [
        &at_one_bar,
        &exponent,
        &lets_go,
        &rolls,
        nests,
        &given.air.net,
    ];
    let of_ply = [
        &content,
        ply.density,
        given.resin_density,
        ply.void_per_fibre,
        bubbles,
    ];
    let assembly = |values: [f64; 5], most_fibre: f64| Assembly {
        fibre_density: values[1],
        matrix_density: values[2],
        fibre_porosity: values[3],
        matrix_porosity: values[4],
        most_fibre: most_fibre.min(0.98 / (1.0 + values[3])),
    };
    // As it lies on the roll the resin fills it, so that it was once packed at least so tight.
    let full = Spread::of(of_ply, |values| {
        let w = prepreg::fibre_mass_fraction(values[0], 0.0)?;
        Ok(at_mass_fraction(&assembly(values, TIGHTEST), w)?.fibre)
    })?;
    let [a, b, c, d, e, f] = of_cloth;
    let most = Spread::of(
        [a, b, c, d, e, f, &full],
        |[v, exponent, lets_go, rolls, nests, net, full]| {
            let rolled = compaction::fibre_fraction(v, exponent, (rolls * BAR).min(2e6))?;
            let reached = rolled.max(full);
            let kept = compaction::once_packed(v, exponent, lets_go.min(exponent), reached, net)?;
            Ok((kept * nests).min(TIGHTEST))
        },
    )?;
    let one = Spread::exact(1.0);
    let squeeze = given.squeeze.unwrap_or(&one);
    let [a, b, c, d, e] = of_ply;
    let [shelf, fraction, matrix, void] = Spread::several(
        [a, b, c, d, e, &bled, &most, squeeze],
        |[a, b, c, d, e, bled, most, squeeze]| {
            let values = [a, b, c, d, e];
            let w = prepreg::fibre_mass_fraction(values[0], bled)?;
            let made = at_mass_fraction(&assembly(values, most), w)?;
            // A measured thickness moves fibre and resin alike; what no longer fits has bled.
            let v = tighter(made.fibre, squeeze);
            let m = (made.matrix * v / made.fibre).min((1.0 - v).max(0.0));
            Ok([made.fibre, v, m, 1.0 - v - m])
        },
    )?;
    Ok(Packed {
        on_the_shelf: shelf,
        fraction,
        matrix,
        void,
    })
}

/// Resin content of a prepreg by mass [-]: as typed, or what is usual for its fibre.
pub(super) fn resin_content(bench: &mut Bench<'_>, fibre: &Fibre, typed: bool) -> Spread {
    let range = match fibre.family {
        Family::Bast => Range::new(45.0, 52.0, 58.0),
        Family::Glass => Range::new(32.0, 38.0, 44.0),
        Family::Carbon => Range::new(33.0, 38.0, 43.0),
        Family::Aramid => Range::new(40.0, 46.0, 52.0),
    };
    if typed && bench.plan.given(&RESIN_CONTENT).is_some() {
        return bench.take(&RESIN_CONTENT).times(0.01);
    }
    let usual = bench.desk.take(Asked {
        key: format!("fibres.{}.prepreg_resin_pct", fibre.entry.key),
        label: format!("Resin in a prepreg of {}, by mass", fibre.entry.name),
        unit: Unit::Percent,
        range,
        limits: (RESIN_CONTENT.low, RESIN_CONTENT.high),
        origin: Origin::Usual,
        grade: Grade::Memory,
        sources: vec!["memory_prepreg_resin".into()],
    });
    usual.times(0.01)
}

/// Bubbles in the resin, per volume of resin [-].
fn bubbles(bench: &mut Bench<'_>) -> Spread {
    let (key, label, range, grade, source) = match bench.plan.route {
        Route::Infusion => (
            "stack.void_in_resin",
            "Bubbles in the resin, per volume of resin",
            Range::new(0.002, 0.01, 0.02),
            Grade::Memory,
            "madsen_2007",
        ),
        Route::BaggedWet => (
            "stack.void_rolled_then_bagged",
            "Air that rollers leave in the resin and the bag does not draw out, per volume of resin",
            Range::new(0.012, 0.03, 0.07),
            Grade::Judgement,
            "judgement_rolled_air",
        ),
        Route::OpenWet => return rolled_air(bench),
        Route::Prepreg => (
            "stack.void_in_prepreg",
            "Bubbles and vapour in the resin of a prepreg cured under a bag, per volume of resin",
            Range::new(0.005, 0.02, 0.06),
            Grade::Judgement,
            "judgement_prepreg_void",
        ),
    };
    bench.coefficient(key, label, range, grade, source)
}

/// Air that rollers leave in the resin, per volume of resin [-].
pub(super) fn rolled_air(bench: &mut Bench<'_>) -> Spread {
    bench.coefficient(
        "stack.void_rolled",
        "Air that rollers leave in the resin, per volume of resin",
        Range::new(0.02, 0.045, 0.09),
        Grade::Judgement,
        "judgement_rolled_air",
    )
}

/// Resin and void shares of a layer whose resin just fills the compacted fibre.
pub(super) fn shares(fibre: f64, void_per_fibre: f64, void_per_resin: f64) -> [f64; 2] {
    let resin = ((1.0 - fibre * (1.0 + void_per_fibre)) / (1.0 + void_per_resin)).max(0.0);
    [resin, 1.0 - fibre - resin]
}

/// Dry fibre per area [kg/m2], whatever the stated mass counts besides.
pub(super) fn dry_areal_mass(
    bench: &mut Bench<'_>,
    cloth: &Cloth,
    fibre: &Fibre,
    stated: &Spread,
    scale: &Spread,
    typed: bool,
) -> Result<Spread, LawError> {
    /// ISO 139: 20 °C and 65 % relative humidity.
    const STANDARD_AIR: (f64, f64) = (293.15, 0.65);
    let commercial = fibre.commercial_regain_pct / 100.0;
    let plan = bench.plan;
    let with_resin = typed && plan.route == Route::Prepreg && plan.mass_with_resin;
    let stated = if with_resin {
        let content = resin_content(bench, fibre, typed);
        Spread::of([stated, &content], |[stated, content]| {
            prepreg::fibre_areal_mass(stated, content)
        })?
    } else {
        stated.clone()
    };
    Spread::of([&stated, scale], |[stated, scale]| {
        let regain = match cloth.mass_basis {
            MassBasis::Dry => 0.0,
            MassBasis::Commercial => commercial,
            MassBasis::Conditioned if scale <= 0.0 => 0.0,
            MassBasis::Conditioned => {
                sorption::flax_regain(scale.max(0.05), STANDARD_AIR.0, STANDARD_AIR.1)?
            }
        };
        sorption::dry_mass_from_regain(stated / 1000.0, regain)
    })
}

/// Fibre fraction rolled by hand, without a bag.
pub(super) fn by_hand(bench: &mut Bench<'_>, ply: &Ply<'_>) -> Spread {
    bench.property(
        ply.at.weave,
        "fibre_fraction_by_hand",
        "Fibre fraction rolled by hand",
        Unit::One,
        &ply.weave.entry,
        &ply.weave.fibre_fraction_by_hand,
    )
}

/// Fibre fraction of a lone ply: rolled, pressed by the bag, or pressed as far as the bleeder lets it.
fn fibre_fraction(
    bench: &mut Bench<'_>,
    ply: &Ply<'_>,
    given: &Given<'_>,
) -> Result<Spread, LawError> {
    let route = bench.plan.route;
    if route == Route::OpenWet {
        return Ok(by_hand(bench, ply));
    }
    let [at_one_bar, exponent] = compacts(bench, ply);
    let net = &given.air.net;
    let pressed = Spread::of(
        [&at_one_bar, &exponent, net],
        |[at_one_bar, exponent, net]| compaction::fibre_fraction(at_one_bar, exponent, net),
    )?;
    if route != Route::BaggedWet {
        return Ok(pressed);
    }
    let rolled = by_hand(bench, ply);
    let bleeds = bench.coefficient(
        "stack.bleeds",
        "How far a bag over wet cloth gets, from the fibre fraction of the roller to that of a dry stack",
        Range::new(0.4, 0.7, 0.95),
        Grade::Judgement,
        "judgement_bleeds",
    );
    Ok(Spread::from(
        [&rolled, &pressed, &bleeds],
        |[rolled, pressed, bleeds]| {
            // Cloth that rollers press tighter than the bag stays as it was rolled.
            rolled + bleeds.clamp(0.0, 1.0) * (pressed - rolled).max(0.0)
        },
    ))
}

/// How a cloth compacts: its own fibre fraction at one bar and its exponent, or those of its weave.
fn compacts(bench: &mut Bench<'_>, ply: &Ply<'_>) -> [Spread; 2] {
    let Ply {
        cloth, weave, at, ..
    } = ply;
    let mut pick = |name: &'static str, label, own: &Option<_>, usual| match own {
        Some(cited) => bench.property(at.cloth, name, label, Unit::One, &cloth.entry, cited),
        None => bench.property(at.weave, name, label, Unit::One, &weave.entry, usual),
    };
    let at_one_bar = pick(
        "fibre_fraction_at_1_bar",
        "Fibre fraction under one bar",
        &cloth.fibre_fraction_at_1_bar,
        &weave.fibre_fraction_at_1_bar,
    );
    let exponent = pick(
        "compaction_exponent",
        "Compaction exponent",
        &cloth.compaction_exponent,
        &weave.compaction_exponent,
    );
    [at_one_bar, exponent]
}

/// How far a wet stack swells when it is let go of.
pub(super) fn wet_exponent(bench: &mut Bench<'_>) -> Spread {
    bench.coefficient(
        "stack.wet_exponent",
        "How far a wet stack swells when the bag lets go of it",
        Range::new(0.03, 0.045, 0.06),
        Grade::Memory,
        "memory_wet_exponent",
    )
}
