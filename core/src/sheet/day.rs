//! The whole job on a clock: every step in order, what needs hands, what only waits, and what stands in the way.

use super::deep::Cell;
use super::estimate::Estimate;
use super::note::StageName;
use super::stages::Head;
use serde::Serialize;

/// The whole job on a clock.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DaySheet {
    /// Question and answer.
    pub head: Head,
    /// From the first step to the part off its mould; none where the cloth brings its own resin.
    pub until_off_h: Option<Estimate>,
    /// From the first step to the last.
    pub in_all_h: Estimate,
    /// Of which hands are at work.
    pub hands_h: Estimate,
    /// When the job begins, as in the document; none when neither start nor end is given.
    pub start: Option<String>,
    /// How the start was found, in words.
    pub start_from: String,
    /// Latest start with which nine of ten jobs are off the mould in time; only with an end given.
    pub latest_start: Option<String>,
    /// The steps, in the order in which they begin.
    pub steps: Vec<DayStep>,
    /// What stands in the way, each with its ways out.
    pub conflicts: Vec<Conflict>,
    /// Whether the readings of `day.began` moved anything.
    pub replanned: bool,
}

/// One step of the job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DayStep {
    /// A short word for it, stable: `release`, `cut`, `dry`, `mix_2`.
    pub key: String,
    /// What to do, in words.
    pub name: String,
    /// The stage of the ticket that tells more.
    pub stage: StageName,
    /// Whether hands are needed, or it only waits.
    pub hands: bool,
    /// Whether somebody must watch it though the hands are free.
    pub watch: bool,
    /// Pairs of hands that it takes; none where it only waits.
    pub pairs: u32,
    /// Minutes after the start of the job.
    pub begins: Cell,
    /// How long it takes.
    pub takes: Cell,
    /// Likely start, minutes after the start of the job.
    pub begins_min: f64,
    /// Likely end, minutes after the start of the job.
    pub ends_min: f64,
    /// Earliest and latest end (10th and 90th percentile), minutes after the start of the job.
    pub ends_between_min: [f64; 2],
    /// Likely start on the wall's clock, as in the document; empty without a start.
    pub at: String,
    /// The same as a person reads it.
    pub at_text: String,
    /// Likely end on the wall's clock, as in the document; empty without a start.
    pub until: String,
    /// The same as a person reads it.
    pub until_text: String,
    /// Likely start and end as a calendar file writes them where the clock is set during the job: in UTC.
    #[serde(skip)]
    pub(crate) in_utc: Option<[String; 2]>,
    /// When it was noted to have begun, as in the document; empty when it was not.
    pub began: String,
    /// What to look for when it ends, in words.
    pub ends_when: String,
    /// A caution that stands at this step; may be empty.
    pub care: String,
}

/// Something that stands in the way.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Conflict {
    /// A short word for it, stable.
    pub key: &'static str,
    /// Key of the step it belongs to.
    pub step: String,
    /// What is wrong.
    pub sentence: String,
    /// Ways out, the best first.
    pub ways: Vec<String>,
}
