//! The sheet: everything that follows from a plan, stage by stage, every figure with its range and sources.

mod chart;
mod day;
mod deep;
mod desk;
mod drawn;
mod drying;
mod estimate;
mod job;
mod note;
mod pots;
mod setting;
mod source;
mod spread;
mod stages;
mod tight;
pub(crate) mod wide;

pub use chart::{Axis, Band, Chart, Grid, Level, Line, Mark};
pub use day::{Conflict, DaySheet, DayStep};
pub use deep::{
    Back, BackPoint, BackRow, BackStack, Cell, Direction, LoadSheet, Polar, StiffnessMatrices,
    SuitRatio, SuitRow, SuitSheet,
};
pub(crate) use desk::{Asked, Desk, Law};
pub use desk::{Input, Origin};
pub use drawn::{
    DrawnFill, Fact, FillTable, FrontLine, LaidLine, Layout, Layouts, OwnCloth, Place, QuickFill,
    Watched,
};
pub use drying::{Finding, Wait, Way, Weighed, WeighedLine};
pub use estimate::{Driver, Estimate, Shown};
pub use job::{JOB, Stage};
pub use note::{Note, StageName, Weight};
pub use pots::{Batch, Formula, PotSheet, PotsSheet, Vessel, WeighedMix};
pub use setting::{AfterFill, LaterTg, PostCure, PostRow, ServiceSheet, SettingSheet, Stands};
pub use source::{Basis, Grade, Source};
pub use spread::Spread;
pub use stages::{
    CureSheet, DrySheet, FillSheet, GritStep, Head, Loss, MixSheet, PlyLine, Pot, PotTemper, Reach,
    StackSheet, TrimSheet,
};
pub use tight::{BagSheet, Marked, Share, TestSheet};

use crate::units::Units;
use serde::Serialize;

/// Version of the sheet document.
pub const SHEET_FORMAT: u64 = 1;

/// One box of the strip at the foot of the ticket.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StripItem {
    /// The stage a tap leads to.
    pub stage: StageName,
    /// Short label.
    pub label: &'static str,
    /// The figure with its unit, or a word.
    pub text: String,
    /// Its range in words; may be empty.
    pub range: String,
}

/// The input that would narrow the sheet most.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasureFirst {
    /// Key of the input.
    pub input: String,
    /// What it is, in words.
    pub label: String,
    /// What to do, in one sentence.
    pub sentence: String,
}

/// What comes before anything that a sheet says: on the page, on paper and in handouts.
pub const COMES_FIRST: &str = "The product's safety sheet, the tool's marking, local rules and a competent person come before anything said here.";

/// Everything that follows from a plan.
#[derive(Debug, Clone, Serialize)]
pub struct Sheet {
    /// Version of this document.
    pub format: u64,
    /// Name of the part.
    pub name: String,
    /// The reader's units, for the texts; all numbers are metric.
    pub units: Units,
    /// What comes before anything that the sheet says.
    pub comes_first: &'static str,
    /// The few figures that stay in view.
    pub strip: Vec<StripItem>,
    /// Whether bast fibre suits the part; none where the stack lies beyond the laws of strength.
    pub suit: Option<SuitSheet>,
    /// Plies, thickness, fibre and resin.
    pub stack: StackSheet,
    /// Whether the bag is tight; none without a bag.
    pub bag: Option<BagSheet>,
    /// Water in the cloth.
    pub dry: DrySheet,
    /// Resin to mix.
    pub mix: MixSheet,
    /// The resin in its pots; none where the cloth brings its resin.
    pub pots: Option<PotsSheet>,
    /// The fill; none when resin is worked in by hand or comes with the cloth.
    pub fill: Option<FillSheet>,
    /// Cure; none when the cloth's own sheet rules it.
    pub cure: Option<CureSheet>,
    /// The resin setting in the part; none where the cloth's own sheet rules it.
    pub setting: Option<SettingSheet>,
    /// Cutting and sanding.
    pub trim: TrimSheet,
    /// The whole job on a clock.
    pub day: Option<DaySheet>,
    /// The input to measure first.
    pub measure_first: Option<MeasureFirst>,
    /// Every input used, with where it was found.
    pub inputs: Vec<Input>,
    /// Cautions, problems and advice.
    pub notes: Vec<Note>,
    /// Every source cited.
    pub sources: Vec<Source>,
}
