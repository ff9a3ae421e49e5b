//! How long hands take for what nobody computes: cutting, laying, bagging, trimming.

use crate::plan::fields::{
    BAG_MINUTES, CUT_MINUTES, DEMOULD_MINUTES, LAY_MINUTES, RELEASE_COATS, RELEASE_WAIT,
    TRIM_MINUTES,
};
use crate::range::Range;
use crate::read::Field;
use crate::sheet::{Grade, Spread};
use crate::stage::bench::{Bench, Fallback};
use crate::stage::stack::Stacked;

/// Hands may be this much quicker or slower than usual.
const QUICK: f64 = 0.6;
const SLOW: f64 = 1.7;
/// Minutes to put on one coat of release.
const COAT: f64 = 3.0;

/// Minutes that hands take.
pub(super) struct Hands {
    pub(super) cut: Spread,
    pub(super) lay: Spread,
    pub(super) bag: Spread,
    pub(super) demould: Spread,
    pub(super) trim: Spread,
    /// All coats with their waits.
    pub(super) release: Spread,
    /// The coats without their waits.
    pub(super) coating: Spread,
    /// Until leaks are found.
    pub(super) hunt: Spread,
    pub(super) coats: f64,
}

pub(super) fn hands(bench: &mut Bench<'_>, stacked: &Stacked) -> Hands {
    let plies: f64 = stacked.cloths().map(|(row, _)| f64::from(row.count)).sum();
    let area = stacked.area.likely();
    // Round a part about as long as wide.
    let edge = 4.0 * area.sqrt();
    let mut judged = |field: &Field, usual: f64| {
        let usual = usual.clamp(field.low.max(1.0), field.high);
        let fallback = Fallback {
            range: Range::new(QUICK * usual, usual, SLOW * usual),
            grade: Grade::Judgement,
            sources: &["judgement_hands"],
        };
        bench.take_or(field, fallback)
    };
    let cut = judged(&CUT_MINUTES, 10.0 + plies * (2.0 + 3.0 * area));
    let lay = judged(&LAY_MINUTES, 5.0 + plies * (3.0 + 5.0 * area));
    let bag = judged(&BAG_MINUTES, 20.0 + 10.0 * edge);
    let trim = judged(&TRIM_MINUTES, 10.0 + 5.0 * edge);
    let coats = bench.take(&RELEASE_COATS).likely().round();
    let wait = bench.take(&RELEASE_WAIT);
    Hands {
        cut,
        lay,
        bag,
        trim,
        demould: bench.take(&DEMOULD_MINUTES),
        hunt: bench.coefficient(
            "day.hunt_min",
            "Time to press the tape and find leaks",
            Range::new(4.0, 10.0, 25.0),
            Grade::Judgement,
            "judgement_hands",
        ),
        coating: Spread::exact(coats * COAT),
        release: wait.map(|wait| coats * (COAT + wait)),
        coats,
    }
}
