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
use crate::sheet::{Basis, Formula, Law, Spread};
use crate::stage::bench::Bench;
use crate::units::Unit;

pub(super) fn formula(bench: &mut Bench<'_>) -> Result<Option<Formula>, LawError> {
    if bench.plan.given(&EEW).is_none() || bench.plan.given(&AHEW).is_none() {
        return Ok(None);
    }
    let mut value = |field: &Field| bench.plan.given(field).map(|_| bench.take(field).likely());
    let (eew, ahew) = (value(&EEW), value(&AHEW));
    let diluent = value(&DILUENT_EEW).zip(value(&DILUENT_SHARE));
    let filler = value(&FILLER_SHARE).unwrap_or(0.0);
    let second = value(&SECOND_AHEW).zip(value(&SECOND_SHARE));
    let (Some(eew), Some(ahew)) = (eew, ahew) else {
        return Ok(None);
    };
    let thin = diluent.map_or(0.0, |(_, share)| share);
    if thin + filler >= 100.0 {
        bench.problem(
            STAGE,
            "Diluent and filler together leave no resin: their shares must come to less than 100 percent.",
        );
        return Ok(None);
    }
    let part = |mass: f64, equivalent: Option<f64>| Component { mass, equivalent };
    let mut parts = vec![part(100.0 - thin - filler, Some(eew))];
    parts.extend(diluent.map(|(eew, share)| part(share, Some(eew))));
    parts.push(part(filler, None));
    parts.retain(|part| part.mass > 0.0);
    let resin = equivalent_weight_of_blend(&parts)?;
    let other = second.map_or(0.0, |(_, share)| share);
    let mut amines = vec![part(100.0 - other, Some(ahew))];
    amines.extend(second.map(|(ahew, share)| part(share, Some(ahew))));
    amines.retain(|part| part.mass > 0.0);
    let hardener = equivalent_weight_of_blend(&amines)?;
    let per_hundred = parts_per_hundred(hardener, resin)?;
    let stated = bench.plan.resin.hardener_per_100;
    let ratio = amine_per_epoxide(stated, hardener, resin)?;
    let desk = &mut bench.desk;
    let says = |value: f64| desk.say_plain(Unit::One, (value * 10.0).round() / 10.0);
    let off = (stated / per_hundred - 1.0).abs();
    let sentence = format!(
        "One amine hydrogen to each epoxy group asks for {} parts of hardener to a hundred of resin; the data sheet states {}. {} The stated ratio is what is weighed: makers of hardeners publish a ratio, not their chemistry.",
        says(per_hundred),
        says(stated),
        if off < 0.05 {
            "The two agree."
        } else if stated > per_hundred {
            "The stated ratio holds more hardener than that."
        } else {
            "The stated ratio holds less hardener than that."
        },
    );
    let mut exact =
        |label, unit, value: f64| desk.estimate(label, unit, &Spread::exact(value), &GROUPS);
    Ok(Some(Formula {
        eew_g_eq: exact(
            "Epoxy equivalent weight of the resin as it is",
            Unit::GramPerEquivalent,
            resin,
        ),
        ahew_g_eq: exact(
            "Amine hydrogen equivalent weight of the hardener as it is",
            Unit::GramPerEquivalent,
            hardener,
        ),
        per_hundred: exact(
            "Hardener per hundred of resin, group for group",
            Unit::One,
            per_hundred,
        ),
        amine_per_epoxide: exact(
            "Amine hydrogens per epoxy group, as stated",
            Unit::One,
            ratio,
        ),
        sentence,
    }))
}

static GROUPS: Law = Law {
    says: "p = 100 AHEW/EEW; of a blend Σw/Σ(w/E), filler counting in the weight alone",
    basis: Basis::Published,
    sources: &["epoxy_equivalents_2022"],
};
