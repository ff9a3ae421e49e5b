//! The stages of the job, one file each: they ask the questions, know plan and sheet, and call the laws.

mod air;
mod back;
mod bag;
mod bench;
mod cure;
mod day;
mod dry;
mod dust;
mod fill;
mod mix;
mod needle;
mod pipeline;
mod resin_clock;
mod stack;
mod stock;
mod suit;
mod trim;
mod water;
mod which_value;

use crate::plan::Plan;
use crate::read::Problem;
use crate::sheet::Sheet;
use crate::shelf::Shelf;

use bench::Bench;

pub(crate) use back::work as work_back;
pub use fill::{Board, watched};

/// Works the job out, stage by stage.
///
/// # Errors
/// Problems that only show when values meet, such as a bag pressure above the air outside.
pub(crate) fn work_out(
    plan: &Plan,
    shelf: &Shelf,
    surplus: &[String],
) -> Result<Sheet, Vec<Problem>> {
    let mut bench = Bench::new(plan, shelf);
    let found = pipeline::work(&mut bench, surplus);
    which_value::told(&bench, surplus, found)
}
