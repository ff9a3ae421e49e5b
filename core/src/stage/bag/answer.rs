//! What the stage says without a test, and what can hurt at a pump.

use super::{Job, STAGE};
use crate::plan::Route;
use crate::sheet::{Estimate, Head};
use crate::stage::bench::Bench;

pub(super) const SHORT: &str = "Bag";
pub(super) const QUESTION: &str = "Is the bag tight?";

/// The head of a bag that was not tested yet.
pub(super) fn head(time: &Estimate, bag: &Estimate) -> Head {
    Head {
        stage: STAGE,
        short: SHORT,
        question: QUESTION,
        answer: format!(
            "Pump for about {} to {}, if the bag is tight and the cloth dry. Then shut the pump off at the bag and read the gauge at 0, 1, 2, 3, 5, 7, 10 and 15 minutes.",
            time.shown.with_unit(),
            bag.shown.with_unit()
        ),
        main: "pump_down_min",
    }
}

pub(super) fn cautions(bench: &mut Bench<'_>, job: &Job<'_>) {
    // Over damp cloth drying has said so already.
    if job.damp.is_none() {
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
    }
    bench.caution(
        STAGE,
        "Lead the exhaust of an oil-sealed pump outdoors, because its oil mist harms lungs. Keep its gas ballast open while water comes, so that none condenses in the oil.",
    );
}
