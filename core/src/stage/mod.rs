//! The stages of the job, one file each: they ask the questions, know plan and sheet, and call the laws.

mod air;
mod bench;
mod cure;
mod dry;
mod fill;
mod mix;
mod outline;
mod resin_clock;
mod stack;
mod trim;
mod water;

use crate::plan::Plan;
use crate::read::Problem;
use crate::sheet::Sheet;
use crate::shelf::Shelf;

use bench::{Bench, beyond as beyond_any};

/// Works the whole job out, stage by stage.
///
/// # Errors
/// Problems that only show when values meet, such as a bag pressure above the air outside.
pub(crate) fn work_out(
    plan: &Plan,
    shelf: &Shelf,
    surplus: &[String],
) -> Result<Sheet, Vec<Problem>> {
    outline::work(Bench::new(plan, shelf), surplus)
}
