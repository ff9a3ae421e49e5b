//! What the stage says without a test, and what can hurt at a pump.

use super::{Job, STAGE};
use crate::plan::Route;
use crate::sheet::{Estimate, Head};
use crate::stage::bench::Bench;

/// The head of a bag that was not tested yet.
pub(super) fn head(route: Route, time: &Estimate, bag: &Estimate) -> Head {
    let given = match route {
        Route::Infusion => "if the bag is tight and the cloth dry",
        _ => "if the bag is tight",
    };
    Head::new(
        STAGE,
        format!(
            "Pump for about {} to {}, {given}. Then shut the pump off at the bag and read the gauge at 0, 1, 2, 3, 5, 7, 10 and 15 minutes.",
            time.shown.with_unit(),
            bag.shown.with_unit()
        ),
        "pump_down_min",
    )
}

pub(super) fn cautions(bench: &mut Bench<'_>, job: &Job<'_>) {
    // Over a dry stack that is damp, drying has said so already.
    if job.damp.is_none() || bench.plan.route != Route::Infusion {
        bench.caution(
            STAGE,
            "A vacuum pot or trap can implode: use one made for full vacuum, without cracks, and cover glass with tape.",
        );
    }
    if bench.plan.route == Route::BaggedWet {
        bench.caution(
            STAGE,
            "Bag wet resin with nitrile gloves, long sleeves and goggles on, and change gloves that are wet inside: the hands are in it.",
        );
        bench.desk.cite(&["practice_wet_bag"]);
        bench.advice(
            STAGE,
            "Draw the air out slowly: under full vacuum air and water make wet resin foam. Where it foams, let a little air back until it falls (common practice, no source).",
        );
        bench.advice(
            STAGE,
            "Lay enough bleeder for what the mix stage counts as pressed out: a bleeder that is full presses no more resin out of the cloth.",
        );
    }
    bench.caution(
        STAGE,
        "Lead the exhaust of an oil-sealed pump outdoors, because its oil mist harms lungs. Keep its gas ballast open while water comes, so that none condenses in the oil.",
    );
}
