//! How long hands take for what nobody computes: cutting, laying, bagging, trimming.

use crate::plan::Plan;
use crate::plan::fields::{
    BAG_MINUTES, CUT_MINUTES, DEMOULD_MINUTES, LAY_MINUTES, PART_AREA, RELEASE_COATS, RELEASE_WAIT,
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
/// Minutes until leaks are found: usual, and how quick or slow.
const HUNT: Range = Range {
    low: 4.0,
    likely: 10.0,
    high: 25.0,
};

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

/// What hands usually need for so many plies of such a size [min].
struct Usual {
    cut: f64,
    lay: f64,
    bag: f64,
    trim: f64,
}

impl Usual {
    fn of(plies: f64, area: f64) -> Self {
        // Round a part about as long as wide.
        let edge = 4.0 * area.sqrt();
        Self {
            cut: 10.0 + plies * (2.0 + 3.0 * area),
            lay: 5.0 + plies * (3.0 + 5.0 * area),
            bag: 20.0 + 10.0 * edge,
            trim: 10.0 + 5.0 * edge,
        }
    }
}

fn within(field: &Field, minutes: f64) -> f64 {
    minutes.clamp(field.low.max(1.0), field.high)
}

pub(super) fn hands(bench: &mut Bench<'_>, stacked: &Stacked) -> Hands {
    let plies: f64 = stacked.cloths().map(|(row, _)| f64::from(row.count)).sum();
    let usual = Usual::of(plies, stacked.area.likely());
    let mut judged = |field: &Field, usual: f64| {
        let usual = within(field, usual);
        let fallback = Fallback {
            range: Range::new(QUICK * usual, usual, SLOW * usual),
            grade: Grade::Judgement,
            sources: &["judgement_hands"],
        };
        bench.take_or(field, fallback)
    };
    let cut = judged(&CUT_MINUTES, usual.cut);
    let lay = judged(&LAY_MINUTES, usual.lay);
    let bag = judged(&BAG_MINUTES, usual.bag);
    let trim = judged(&TRIM_MINUTES, usual.trim);
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
            HUNT,
            Grade::Judgement,
            "judgement_hands",
        ),
        coating: Spread::exact(coats * COAT),
        release: wait.map(|wait| coats * (COAT + wait)),
        coats,
    }
}

/// Likely minutes of cut, mould, stack, bag and the hunt for leaks, without asking the desk: `[cut, mould, lay, bag]`.
pub(super) fn likely(plan: &Plan) -> [f64; 4] {
    let plies: u32 = plan.stack.iter().map(|row| row.count).sum();
    let area = plan.given(&PART_AREA).map_or(1.0, |area| area.likely);
    let usual = Usual::of(f64::from(plies), area);
    let minutes = |field: &Field, usual: f64| {
        let given = plan.given(field).map(|given| given.likely);
        given.unwrap_or(within(field, usual))
    };
    let set = |field: &Field| {
        let usual = field.usual.map_or(0.0, |usual| usual.range.likely);
        plan.given(field).map_or(usual, |given| given.likely)
    };
    [
        minutes(&CUT_MINUTES, usual.cut),
        set(&RELEASE_COATS).round() * (COAT + set(&RELEASE_WAIT)),
        minutes(&LAY_MINUTES, usual.lay),
        minutes(&BAG_MINUTES, usual.bag) + HUNT.likely,
    ]
}
