//! The resin in its pots, in depth: data sheet, the pot in hand, the batches in turn, and how it thickens.

use super::answer::figures;
use super::batches::tidy;
use super::standing::vessel::{Around, Holder, stays_calm};
use super::{Mixed, STAGE, batches, data_sheet, formula, standing, thickens, weighed};
use crate::law::LawError;
use crate::plan::fields::SCALE_STEP;
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
        &clock.pace,
        &SPEED,
    );
    let ten_warmer = data_sheet::ten_warmer(bench, clock)?;
    let standing::Standing {
        pot,
        vessels,
        use_by,
        holder,
        tray,
        around,
        calm_depth,
        calm,
        elsewhere,
    } = standing::pots(bench, clock, mixed)?;
    // The vessel in hand counts from here on, not the usual cup.
    mixed.use_within = use_by;
    mixed.calm = calm;
    mixed.elsewhere = elsewhere;
    sheet.use_within_min.clone_from(&pot.use_by_min);
    for each in &mut sheet.pots {
        each.use_within_min.clone_from(&pot.use_by_min);
    }
    sheet.pot_temper = pot.temper;
    let places = Places {
        clock,
        holder,
        tray,
        around,
        calm_depth,
    };
    together(bench, &places, mixed)?;
    let turn = batches::in_turn(bench, &places, mixed, fill_time)?;
    let weighed = weighed::weighed(bench, &places)?;
    bench.desk.cite(&["practice_old_resin"]);
    bench.advice(STAGE, OLD_RESIN);
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

/// Where resin may stand, for whatever proposes a batch.
pub(super) struct Places<'a> {
    pub(super) clock: &'a ResinClock,
    /// The vessel in hand.
    pub(super) holder: Holder,
    /// A flat tray, as shallow as stays calm.
    pub(super) tray: Holder,
    around: Around,
    /// Deepest that it stays calm in a wide tray [m].
    calm_depth: f64,
}

impl Places<'_> {
    /// Whether so much stays calm in it, on a bad day too.
    pub(super) fn calm_in(
        &self,
        bench: &Bench<'_>,
        holder: &Holder,
        mass: f64,
    ) -> Result<bool, LawError> {
        stays_calm(bench, self.clock, holder, &self.around, mass)
    }

    /// The depth of a calm tray, in whole millimetres for metric hands; none where it would be but a film.
    pub(super) fn depth(&self, bench: &Bench<'_>) -> Option<String> {
        let millimetres = (self.calm_depth * 1000.0).floor();
        (millimetres >= 1.0).then(|| figures(&bench.desk, Unit::Millimetre, millimetres, 1))
    }
}

/// Pots too light for the scale: the ways that hold for scale, vessel and heat at once.
fn together(bench: &mut Bench<'_>, places: &Places<'_>, mixed: &Mixed) -> Result<(), LawError> {
    let each = mixed.batch.likely() / f64::from(mixed.count.max(1));
    let least = mixed.smallest.likely();
    if each >= least {
        return Ok(());
    }
    let step = finer(bench.take(&SCALE_STEP).likely() * each / least);
    let desk = &bench.desk;
    let [each_told, least_told] = [each, least].map(|kg| figures(desk, Unit::Gram, kg * 1000.0, 2));
    let mut ways = vec![format!(
        "weigh on a scale with steps of {}",
        desk.say_plain(Unit::Gram, step)
    )];
    let fewer = (mixed.batch.likely() / least).floor();
    if fewer >= 1.0 {
        let mass = mixed.batch.likely() / fewer;
        let told = figures(desk, Unit::Gram, mass * 1000.0, 2);
        let pots = if fewer > 1.0 {
            format!("mix {fewer:.0} of {told}")
        } else {
            format!("mix all {told} at once")
        };
        if places.calm_in(bench, &places.holder, mass)? {
            ways.push(format!(
                "{pots} in {}, which stay calm",
                places.holder.word()
            ));
        } else if let Some(depth) = places.depth(bench)
            && places.calm_in(bench, &places.tray, mass)?
        {
            ways.push(format!("{pots} and pour it at once into a flat tray, no deeper than {depth}, where it stays calm"));
        }
    }
    bench.problem(
        STAGE,
        format!(
            "{each_told} is less than the {least_told} your scale weighs well enough: {}.",
            ways.join(", or ")
        ),
    );
    Ok(())
}

/// A step that scales have, no coarser than this [g].
fn finer(step: f64) -> f64 {
    let decade = 10.0_f64.powf(step.max(1e-4).log10().floor());
    let digit = [5.0, 2.0, 1.0]
        .into_iter()
        .find(|digit| digit * decade <= step * (1.0 + 1e-9))
        .unwrap_or(1.0);
    tidy(digit * decade)
}

const OLD_RESIN: &str = "Resin or hardener that is cloudy, grainy or was frozen: stand it closed in water of 40 to 50\u{a0}°C until it is clear, stir, and let it cool before you mix (common practice, no source). Throw out hardener with a crust or skin: it has drawn water and carbon dioxide from the air. Past its date, let a test cup of 20\u{a0}g set first.";

static SPEED: Law = Law {
    says: "the speed at which the heat balance of the data sheet's pot ends as it states",
    basis: Basis::Published,
    sources: &["blade_epoxy", "judgement_kinetics_spread"],
};

#[cfg(test)]
mod tests;
