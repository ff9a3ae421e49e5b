//! The steps of the job, in order, each with what it waits for and how long it takes.

mod after;
mod before;
mod prepreg;
mod resin;

use super::Job;
use super::hands::hands;
use super::pairs;
use crate::law::LawError;
use crate::plan::Route;
use crate::sheet::{Spread, StageName};
use crate::stage::bench::Bench;

/// Who is needed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Needs {
    /// Hands.
    Hands,
    /// Eyes: somebody stays beside it.
    Watch,
    /// Nobody.
    Nobody,
}

/// When a step begins. Steps are named by their place in the list; none waits for a later one.
pub(super) enum Begins {
    /// When all of these have ended.
    After(Vec<usize>),
    /// So many minutes after another has begun (minus for before), when these have ended.
    From(usize, Spread, Vec<usize>),
    /// When these have ended, but not before so many minutes after the end of another.
    NotBefore(Vec<usize>, usize, Spread),
}

impl Begins {
    /// The steps that are over once this one begins.
    pub(super) fn over(&self) -> &[usize] {
        match self {
            Self::After(steps) | Self::From(_, _, steps) | Self::NotBefore(steps, _, _) => steps,
        }
    }
}

/// One step.
pub(super) struct Step {
    pub(super) key: String,
    pub(super) name: String,
    pub(super) stage: StageName,
    pub(super) needs: Needs,
    pub(super) begins: Begins,
    /// Minutes.
    pub(super) takes: Spread,
    /// How long it takes as told elsewhere, where the day counts on less [min].
    pub(super) told: Option<Spread>,
    /// Minutes of it that hands are at work, where that is not all or nothing.
    pub(super) work: Option<Spread>,
    /// Minutes from its begin during which something heats that somebody must stay near.
    pub(super) heated: Option<Spread>,
    /// Pairs of hands that it takes.
    pub(super) pairs: u32,
    /// It can wait until the shop opens.
    pub(super) can_wait: bool,
    pub(super) ends_when: &'static str,
    pub(super) care: &'static str,
}

/// The list as it grows.
struct List(Vec<Step>);

impl List {
    fn add(
        &mut self,
        key: &str,
        name: impl Into<String>,
        stage: StageName,
        needs: Needs,
        begins: Begins,
        takes: Spread,
    ) -> usize {
        self.0.push(Step {
            key: key.to_owned(),
            name: name.into(),
            stage,
            needs,
            begins,
            takes,
            told: None,
            work: None,
            heated: None,
            pairs: u32::from(needs == Needs::Hands),
            can_wait: false,
            ends_when: "",
            care: "",
        });
        self.0.len() - 1
    }

    fn says(&mut self, step: usize, ends_when: &'static str, care: &'static str) {
        self.0[step].ends_when = ends_when;
        self.0[step].care = care;
    }
}

/// The steps of this plan's route.
pub(super) fn steps(bench: &mut Bench<'_>, job: &Job<'_>) -> Result<Vec<Step>, LawError> {
    let hands = hands(bench, job.stacked);
    let mut list = List(Vec::new());
    if bench.plan.route == Route::Prepreg {
        prepreg::lay_up(bench, job, &hands, &mut list);
        return Ok(list.0);
    }
    let ready = before::before_resin(bench, job, &hands, &mut list);
    match (bench.plan.route, job.clock, job.mixed) {
        (Route::Infusion, Some(_), Some(_)) => {
            resin::infuse(bench, job, &hands, &mut list, ready)?;
        }
        (Route::BaggedWet | Route::OpenWet, Some(_), Some(_)) => {
            resin::wet_out(bench, job, &hands, &mut list, ready)?;
        }
        _ => {}
    }
    pairs::ask(job.stacked.area.likely(), &mut list.0);
    Ok(list.0)
}
