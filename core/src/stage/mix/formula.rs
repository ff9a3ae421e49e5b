//! What equivalent weights say about the ratio; the ratio that is stated stays in force.

use super::STAGE;
use crate::law::LawError;
use crate::law::stoichiometry::{
    Component, amine_per_epoxide, equivalent_weight_of_blend, parts_per_hundred,
};
use crate::plan::fields::{
    AHEW, DILUENT_EEW, DILUENT_SHARE, EEW, FILLER_SHARE, SECOND_AHEW, SECOND_SHARE,
};
use crate::read::Field;
use crate::sheet::{Basis, Desk, Formula, Law, Spread};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Resin and hardener as they are typed: equivalent weights [g/eq], and shares of what is in them [%].
struct Typed {
    eew: Spread,
    ahew: Spread,
    /// Diluent in the resin and its equivalent weight.
    thin: Spread,
    thin_eew: Spread,
    filler: Spread,
    /// A second hardener and its equivalent weight.
    other: Spread,
    other_ahew: Spread,
}

pub(super) fn formula(bench: &mut Bench<'_>) -> Result<Option<Formula>, LawError> {
    if bench.plan.given(&EEW).is_none() || bench.plan.given(&AHEW).is_none() {
        return Ok(None);
    }
    let Some(typed) = typed(bench) else {
        return Ok(None);
    };
    let stated = bench.plan.resin.hardener_per_100;
    let [resin, hardener, per_hundred, ratio] = typed.weights(stated)?;
    let desk = &mut bench.desk;
    let sentence = said(desk, stated, per_hundred.likely());
    let mut estimate = |label, unit, value| desk.estimate(label, unit, value, &GROUPS);
    Ok(Some(Formula {
        eew_g_eq: estimate(
            "Epoxy equivalent weight of the resin as it is",
            Unit::GramPerEquivalent,
            &resin,
        ),
        ahew_g_eq: estimate(
            "Amine hydrogen equivalent weight of the hardener as it is",
            Unit::GramPerEquivalent,
            &hardener,
        ),
        per_hundred: estimate(
            "Hardener per hundred of resin, group for group",
            Unit::One,
            &per_hundred,
        ),
        amine_per_epoxide: estimate(
            "Amine hydrogens per epoxy group, as stated",
            Unit::One,
            &ratio,
        ),
        sentence,
    }))
}

/// What the plan says is in resin and hardener; none where that leaves no resin.
fn typed(bench: &mut Bench<'_>) -> Option<Typed> {
    let (thin, thin_eew) = part_of(bench, &DILUENT_SHARE, &DILUENT_EEW);
    let (other, other_ahew) = part_of(bench, &SECOND_SHARE, &SECOND_AHEW);
    let filler = match bench.plan.given(&FILLER_SHARE) {
        Some(_) => bench.take(&FILLER_SHARE),
        None => Spread::exact(0.0),
    };
    if thin.largest() + filler.largest() >= 100.0 {
        bench.problem(
            STAGE,
            "Diluent and filler together leave no resin: their shares must come to less than 100 percent.",
        );
        return None;
    }
    Some(Typed {
        eew: bench.take(&EEW),
        ahew: bench.take(&AHEW),
        thin,
        thin_eew,
        filler,
        other,
        other_ahew,
    })
}

/// Share and equivalent weight of one part; what is not typed is not in it, nor what is typed by half.
fn part_of(bench: &mut Bench<'_>, field: &Field, weight: &Field) -> (Spread, Spread) {
    let typed = [field, weight].map(|one| bench.plan.given(one).is_some());
    match typed {
        [true, true] => return (bench.take(field), bench.take(weight)),
        [false, false] => {}
        _ => bench.problem(
            STAGE,
            format!(
                "{} and {} count only together: type both.",
                in_quotes(field),
                in_quotes(weight)
            ),
        ),
    }
    (Spread::exact(0.0), Spread::exact(100.0))
}

impl Typed {
    /// Equivalent weights of resin and hardener as they are [g/eq], hardener per hundred of resin group for group, and
    /// amine hydrogens per epoxy group at the stated ratio.
    fn weights(&self, stated: f64) -> Result<[Spread; 4], LawError> {
        let part = |mass: f64, equivalent: Option<f64>| Component { mass, equivalent };
        Spread::several(
            [
                &self.eew,
                &self.ahew,
                &self.thin,
                &self.thin_eew,
                &self.filler,
                &self.other,
                &self.other_ahew,
            ],
            |[eew, ahew, thin, thin_eew, filler, other, other_ahew]| {
                let resin = blend(&[
                    part(100.0 - thin - filler, Some(eew)),
                    part(thin, Some(thin_eew)),
                    part(filler, None),
                ])?;
                let hardener = blend(&[
                    part(100.0 - other, Some(ahew)),
                    part(other, Some(other_ahew)),
                ])?;
                Ok([
                    resin,
                    hardener,
                    parts_per_hundred(hardener, resin)?,
                    amine_per_epoxide(stated, hardener, resin)?,
                ])
            },
        )
    }
}

/// Equivalent weight of the parts that are there [g/eq].
fn blend(parts: &[Component]) -> Result<f64, LawError> {
    let there: Vec<Component> = parts
        .iter()
        .copied()
        .filter(|part| part.mass > 0.0)
        .collect();
    equivalent_weight_of_blend(&there)
}

/// The stated ratio beside the one that the groups ask for.
fn said(desk: &Desk, stated: f64, per_hundred: f64) -> String {
    let says = |value: f64| desk.say_plain(Unit::One, (value * 10.0).round() / 10.0);
    let off = stated / per_hundred - 1.0;
    format!(
        "One amine hydrogen to each epoxy group asks for {} parts of hardener to a hundred of resin; the data sheet states {}. {} Weigh as stated: the sheet knows the whole hardener, these weights only what you typed.",
        says(per_hundred),
        says(stated),
        match off {
            off if off.abs() < 0.05 => "The two agree.",
            off if off.abs() > 0.2 =>
                "The two are far apart: check the weights and shares you typed.",
            off if off > 0.0 => "The stated ratio holds more hardener than that.",
            _ => "The stated ratio holds less hardener than that.",
        },
    )
}

fn in_quotes(field: &Field) -> String {
    format!("\u{201c}{}\u{201d}", field.label)
}

static GROUPS: Law = Law {
    says: "p = 100 AHEW/EEW; of a blend Σw/Σ(w/E), filler counting in the weight alone",
    basis: Basis::Published,
    sources: &["epoxy_equivalents_2022"],
};
