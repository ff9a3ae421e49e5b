//! Bastwork computes a moulding job in flax and other bast fibres, from dry cloth to trimmed edge.
//!
//! **A plan goes in, a sheet comes out.** A plan is everything the maker has decided or measured; a sheet
//! is everything that follows from it, stage by stage, every figure with its range and its sources.
//!
//! ```
//! use bastwork::{Shelf, sheet_from};
//! let plan = serde_json::json!({
//!     "format": 1, "name": "Hive roof",
//!     "part": { "area_m2": 0.62, "flow_length_mm": 420 },
//!     "stack": [ { "fabric": "flax_twill_300", "count": 4 } ],
//!     "resin": "infusion_epoxy_slow"
//! });
//! let sheet = sheet_from(&plan, Shelf::generic())?;
//! let thickness = &sheet.stack.thickness_mm;
//! assert!(thickness.low < thickness.likely && thickness.likely < thickness.high);
//! # Ok::<(), Vec<bastwork::Problem>>(())
//! ```
//!
//! How far the figures of the stack meet published laminates is told in [`published`], how often a drop test of a bag
//! is told right in [`drop_test`], and what becomes of pots that are left standing in [`pots`].
//!
//! | question | where the answer is worked out |
//! |---|---|
//! | Does bast fibre suit the part? | `stage/suit.rs`, with [`law::section`], [`law::laminate`] |
//! | Which plies, how thick, how heavy? | `stage/stack.rs`, with [`law::compaction`], [`law::composition`], [`law::thickness`], [`law::laminate`] |
//! | What does it bear, how far does it give? | `stage/stack/load.rs`, with [`law::plate`], [`law::beam`], [`law::sandwich`], [`law::failure`], [`law::strand`], [`law::last_load`] |
//! | When does it buckle, what note does it ring at? | [`law::buckling`], [`law::thin_plate`], [`law::ring`] |
//! | Which stack does what the part must do? | `stage/back.rs`, with [`search`] |
//! | Is the bag tight? A leak or water? | `stage/bag.rs`, with [`law::drop_test`], [`law::leak`], [`law::pump`], [`law::gauge`] |
//! | How wet is the cloth, how long to dry it? | `stage/dry.rs`, with [`law::sorption`], [`law::oven`], [`law::bag_drying`], [`law::weighings`] |
//! | What does a prepreg bring with it? | [`law::prepreg`] |
//! | How much resin, in which pots? | `stage/mix.rs`, with [`law::holdup`], [`law::mix`], [`law::pot`], [`law::off_ratio`] |
//! | Will resin reach the far edge? | `stage/fill.rs`, with [`law::flow`], [`law::flow_mesh`], [`law::thickening`] |
//! | Will it reach every corner of a drawn part? | [`Board`], with [`shape`], [`law::front_map`], [`solve::front`] |
//! | When off the mould? | `stage/cure.rs`, with [`law::cure`], [`law::pot_life`], [`law::film_time`] |
//! | How warm in service, and does it stand that? | `stage/cure/service.rs`, with [`law::sun_warmth`] |
//! | What do wet, warmth and years add, how heavy are the coats? | [`law::wet`], [`law::warm`], [`law::creep`], [`law::coat`] |
//! | How to trim without scorching? | `stage/trim.rs`, with [`law::speed`], [`law::grit`], [`law::cut_heat`] |
//!
//! Arrows point one way: a stage asks laws, a law asks solvers; a law never sees a plan. The whole is pure:
//! no clock, no files, no network, and the same seeded draws every time.

// A test may tell a longer story.
#![cfg_attr(not(test), warn(clippy::too_many_lines))]

#[doc = include_str!("../published.md")]
pub mod published {}

#[doc = include_str!("../drop_test.md")]
pub mod drop_test {}

#[doc = include_str!("../oven_weighings.md")]
pub mod oven_weighings {}

#[doc = include_str!("../pots.md")]
pub mod pots {}

mod calendar;
mod entries;
pub mod law;
pub mod plan;
mod range;
mod read;
pub mod search;
pub mod shape;
mod sheet;
mod shelf;
pub mod solve;
mod stage;
mod units;

pub use calendar::calendar;
pub use entries::{
    Catalogue, Choice, Entry as PageEntry, EntryGroup, EntryKind, Item, catalogue, form,
    own_entries, read_entry, show_entry,
};
pub use plan::Plan;
pub use range::Range;
pub use read::{Field, Needed, Problem, ReadingError, Usual};
pub use sheet::*;
pub use shelf::*;
pub use stage::{Board, watched};
pub use units::{Unit, Units, entry, number, place_for, plain, rounded, typed};

use serde_json::Value;

/// Everything that follows from a plan.
///
/// # Errors
/// Problems that only show when values meet, each with the way forward.
pub fn sheet(plan: &Plan, shelf: &Shelf) -> Result<Sheet, Vec<Problem>> {
    stage::work_out(plan, shelf, &[])
}

/// Everything that follows from a plan document.
///
/// # Errors
/// Every problem of the document at once, each with the field, the value, the permitted range and a
/// sentence with the way forward.
pub fn sheet_from(document: &Value, shelf: &Shelf) -> Result<Sheet, Vec<Problem>> {
    let read = Plan::read(document, shelf);
    match read.plan {
        Some(plan) => stage::work_out(&plan, shelf, &read.surplus),
        None => Err(read.problems),
    }
}

/// Paths of what stands in a place of another kind in a plan: a word where a list belongs, a list where a number belongs.
///
/// A page that cannot hold such a thing where it is moves it into the plan's `astray`, a list of pairs: the path, and what stood
/// there. [`sheet_from`] reads a plan with these laid back, so that every problem is still told and nothing is dropped.
///
/// ```
/// use serde_json::json;
/// let plan = json!({ "name": "Roof", "fill": { "feed": "edge", "lines": true } });
/// assert_eq!(bastwork::astray(&plan, bastwork::Shelf::generic()), ["fill.lines"]);
/// ```
pub fn astray(document: &Value, shelf: &Shelf) -> Vec<String> {
    Plan::read(document, shelf).astray
}

/// The stacks that do what the plan asks of the part: its `target` and its `load`.
///
/// Exact over every symmetric stack of one or two cloths of the shelf, with the margins that keep every wish as surely
/// as the plan asks.
///
/// # Errors
/// As for [`sheet_from`].
pub fn work_back(document: &Value, shelf: &Shelf) -> Result<Back, Vec<Problem>> {
    let read = Plan::read(document, shelf);
    match read.plan {
        Some(plan) => stage::work_back(&plan, shelf),
        None => Err(read.problems),
    }
}

/// Every problem of a plan document, those that only show when values meet included.
pub fn check(document: &Value, shelf: &Shelf) -> Vec<Problem> {
    sheet_from(document, shelf).err().unwrap_or_default()
}
