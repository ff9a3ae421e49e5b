//! What comes of a batch that is smaller, or larger, than the part and its losses ask for.

use super::STAGE;
use super::losses::losses;
use crate::law::{LawError, mix};
use crate::plan::Route;
use crate::plan::fields::RESIN_ON_HAND;
use crate::sheet::{Spread, StageName};
use crate::stage::bench::Bench;
use crate::stage::stack::Stacked;
use crate::units::Unit;

/// Most of the resin that can be missing and still be called a part.
const MOST_MISSING: f64 = 0.95;

/// How far the resin at hand goes; none when nobody said how much there is, or when the cloth brings its own.
///
/// Lines, mesh and pots take their resin first: they lie between the bucket and the part.
pub(crate) fn supply(bench: &mut Bench<'_>, stacked: &Stacked) -> Result<Option<Supply>, LawError> {
    if bench.plan.given(&RESIN_ON_HAND).is_none() || bench.plan.route == Route::Prepreg {
        return Ok(None);
    }
    let on_hand = bench.take(&RESIN_ON_HAND).times(1e-3);
    let phr = bench.plan.resin.hardener_per_100;
    let (resin, hardener) = super::densities(bench);
    let density = Spread::of([&resin, &hardener], |[r, h]| mix::mix_density(phr, r, h))?;
    // What flows in after the fill is not needed to fill it.
    let lost = losses(bench, stacked, &density, None)?;
    let on_the_way = Spread::sum(lost.parts.iter().map(|part| &part.2));
    let left = Spread::from(
        [
            &on_hand,
            &lost.dregs_share,
            &lost.dregs_least,
            &on_the_way,
            &stacked.resin,
        ],
        |[batch, share, least, lost, needed]| batch * (1.0 - share) - least - lost - needed,
    );
    let share = Spread::from([&left, &stacked.resin], |[left, needed]| {
        (-left / needed).clamp(0.0, MOST_MISSING)
    });
    Ok(Some(Supply {
        on_hand,
        left,
        needed: stacked.resin.clone(),
        share,
    }))
}

/// How far the resin that there is goes.
pub(crate) struct Supply {
    on_hand: Spread,
    /// Left over once the part is full [kg]; less than nothing when it is short.
    left: Spread,
    /// What the laminate needs [kg].
    needed: Spread,
    /// Share of the resin of the laminate that is missing [-].
    pub(crate) share: Spread,
}

impl Supply {
    /// Says what comes of it; `void` is the share of the cloth layers that stays void.
    pub(crate) fn say(&self, bench: &mut Bench<'_>, void: &Spread) {
        let grams = |x: &Spread| x.times(1000.0);
        let batch = bench.desk.say(Unit::Gram, &grams(&self.on_hand));
        if self.left.likely() < 0.0 {
            let nothing = self.left.likely() <= -self.needed.likely();
            let short = Spread::from([&self.left, &self.needed], |[left, needed]| {
                (-left).min(needed)
            });
            let missing = bench.desk.say(Unit::Gram, &grams(&short));
            let void = bench.desk.say(Unit::Percent, &void.times(100.0));
            for stage in [StageName::Stack, STAGE] {
                bench.problem(
                    stage,
                    if nothing {
                        format!("{batch} of mixed resin is not even enough for lines, mesh and pots: none of it reaches the part, which needs about {missing}. Mix the full amount.")
                    } else { format!(
                        "{batch} of mixed resin is not enough: about {missing} would be missing in the part. The bag holds the thickness, so {void} of the laminate would be void. Mix the full amount, or lay fewer plies."
                    ) },
                );
            }
        } else if self.share.share(|x| x > 0.0) > 0.1 {
            bench.problem(
                STAGE,
                format!(
                    "{batch} of mixed resin may just do, and may leave part of the laminate dry. Keep another pot ready."
                ),
            );
        } else {
            let over = bench.desk.say(Unit::Gram, &grams(&self.left));
            bench.caution(
                STAGE,
                format!(
                    "About {over} will be left over. Pour it out thin in a tray to harden where it may get warm: left in the pot it can boil and burn."
                ),
            );
        }
    }
}
