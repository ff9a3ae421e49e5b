//! The resin in its pots, in depth: data sheet, the pot in hand, the batches in turn, and how it thickens.

use super::{Mixed, batches, data_sheet, formula, standing, thickens, weighed};
use crate::law::LawError;
use crate::read::Problem;
use crate::sheet::{Basis, Law, MixSheet, PotsSheet, Spread};
use crate::stage::bench::{Bench, beyond};
use crate::stage::resin_clock::ResinClock;
use crate::units::Unit;

/// Works the pots out, and lets the mix follow the vessel in hand; `fill_time` is none where nothing is filled.
///
/// # Errors
/// A problem where these values lie beyond what can be computed.
pub(crate) fn deepen(
    bench: &mut Bench<'_>,
    clock: &ResinClock,
    mixed: &mut Mixed,
    fill_time: Option<&Spread>,
    sheet: &mut MixSheet,
) -> Result<PotsSheet, Vec<Problem>> {
    work(bench, clock, mixed, fill_time, sheet).map_err(|why| beyond("mix", &why))
}

fn work(
    bench: &mut Bench<'_>,
    clock: &ResinClock,
    mixed: &mut Mixed,
    fill_time: Option<&Spread>,
    sheet: &mut MixSheet,
) -> Result<PotsSheet, LawError> {
    let known = data_sheet::known(bench, clock);
    let speed = bench.desk.estimate(
        "Speed of this hardener, over a slow reference",
        Unit::One,
        &clock.speed,
        &SPEED,
    );
    let ten_warmer = data_sheet::ten_warmer(bench, clock)?;
    let standing::Standing {
        pot,
        vessels,
        use_by,
    } = standing::pots(bench, clock, mixed)?;
    // The vessel in hand counts from here on, not the usual cup.
    mixed.use_within = use_by;
    sheet.use_within_min.clone_from(&pot.use_by_min);
    for each in &mut sheet.pots {
        each.use_within_min.clone_from(&pot.use_by_min);
    }
    sheet.pot_temper = pot.temper;
    let turn = batches::in_turn(bench, clock, mixed, fill_time)?;
    let weighed = weighed::weighed(bench)?;
    let formula = formula::formula(bench)?;
    let (thickens, converts) = thickens::drawn(bench, clock, mixed, fill_time)?;
    Ok(PotsSheet {
        known,
        speed,
        ten_warmer,
        pot,
        vessels,
        batches: turn.batches,
        turn: turn.said,
        weighed,
        formula,
        fill_in_turn_min: turn.fill,
        thickens,
        converts,
    })
}

static SPEED: Law = Law {
    says: "the speed at which the heat balance of the data sheet's pot ends as it states",
    basis: Basis::Published,
    sources: &["blade_epoxy", "judgement_kinetics_spread"],
};

#[cfg(test)]
mod tests;
