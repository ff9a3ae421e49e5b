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
mod outline;
mod resin_clock;
mod stack;
mod stock;
mod suit;
mod trim;
mod water;
mod which_value;

use crate::plan::Plan;
use crate::read::Problem;
use crate::sheet::{
    BagSheet, DaySheet, DrySheet, MixSheet, PotsSheet, SettingSheet, Sheet, Spread, StackSheet,
    SuitSheet,
};
use crate::shelf::Shelf;

use air::Air;
use bag::Pumped;
use bench::{Bench, beyond as beyond_any};
use cure::Settling;
use day::Job;
use dry::{Damp, Dried};
use mix::Mixed;
use resin_clock::ResinClock;
use stack::{Deep, Stacked};

type Worked<T> = Result<T, Vec<Problem>>;

type BagStage = fn(
    &mut Bench<'_>,
    &Air,
    &Stacked,
    Option<&Damp>,
    Option<&ResinClock>,
) -> Worked<(Pumped, BagSheet)>;

type PotsStage = fn(
    &mut Bench<'_>,
    &ResinClock,
    &mut Mixed,
    Option<&Spread>,
    &mut MixSheet,
) -> Worked<PotsSheet>;

/// The parts of a sheet that the first, short one does without.
///
/// Called through pointers, so that a program which only asks for the short sheet does not carry them.
pub(crate) struct Deeper {
    stack: fn(&mut Bench<'_>, &Air, &Stacked, &mut StackSheet) -> Worked<Deep>,
    suit: fn(&mut Bench<'_>, &Air, &Stacked, &Deep) -> Worked<SuitSheet>,
    dry: fn(&mut Bench<'_>, &Air, &Stacked, &Dried, &mut DrySheet) -> Worked<()>,
    bag: BagStage,
    pots: PotsStage,
    zones: stack::ZonesStage,
    drawn: fill::DrawnEnds,
    stalled: fn(&mut Bench<'_>) -> Vec<&'static str>,
    own_heat: fn(&mut Bench<'_>, &Stacked, &mut ResinClock) -> Worked<()>,
    fill_hour: fn(&mut Bench<'_>, Option<&Dried>) -> Option<f64>,
    setting: fn(&mut Bench<'_>, &Stacked, &Settling<'_>, &mut ResinClock) -> Worked<SettingSheet>,
    day: fn(&mut Bench<'_>, &Job<'_>) -> Worked<DaySheet>,
    which_value: fn(&Bench<'_>, &[String], Worked<Sheet>) -> Worked<Sheet>,
}

pub(crate) use back::work as work_back;
pub use fill::{Board, watched};

/// Everything there is.
pub(crate) static WHOLE: Deeper = Deeper {
    stack: stack::deepen,
    suit: suit::work,
    dry: dry::deepen,
    bag: bag::work,
    pots: mix::deepen,
    zones: fill::lay_zones,
    drawn: fill::drawn_ends,
    stalled: fill::stalled,
    own_heat: cure::own_heat,
    fill_hour: day::fill_hour,
    setting: cure::deepen,
    day: day::work,
    which_value: which_value::told,
};

/// Works the job out, stage by stage.
///
/// # Errors
/// Problems that only show when values meet, such as a bag pressure above the air outside.
pub(crate) fn work_out(
    plan: &Plan,
    shelf: &Shelf,
    surplus: &[String],
    deeper: Option<&Deeper>,
) -> Result<Sheet, Vec<Problem>> {
    let mut bench = Bench::new(plan, shelf);
    let found = outline::work(&mut bench, surplus, deeper);
    match deeper {
        Some(deeper) => (deeper.which_value)(&bench, surplus, found),
        None => found,
    }
}
