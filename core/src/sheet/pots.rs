//! The resin in its pots: what its data sheet tells, the pot in hand, the batches in turn, and how it thickens.

use super::chart::Chart;
use super::deep::Cell;
use super::estimate::Estimate;
use super::stages::PotTemper;
use serde::Serialize;

/// The resin in its pots.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PotsSheet {
    /// What was read off the data sheet and what had to be assumed, one sentence each.
    pub known: Vec<String>,
    /// How fast this hardener is, over the reference of the kinetics.
    pub speed: Estimate,
    /// How steeply the mix thins with warmth: viscosity ten kelvin warmer over viscosity now.
    pub ten_warmer: Estimate,
    /// The pot in hand.
    pub pot: PotSheet,
    /// The same mass in other vessels, the pot in hand among them.
    pub vessels: Vec<Vessel>,
    /// The batches in turn.
    pub batches: Vec<Batch>,
    /// The batches in words.
    pub turn: Vec<String>,
    /// What was really weighed in; none until it is typed.
    pub weighed: Option<WeighedMix>,
    /// What the equivalent weights say; none until they are typed.
    pub formula: Option<Formula>,
    /// Time to fill with resin of several ages; none where nothing is filled or one pot does it.
    pub fill_in_turn_min: Option<Estimate>,
    /// Viscosity in the part against time since mixing, with the end of the fill and gel marked.
    pub thickens: Chart,
    /// Conversion against time since mixing, with the same marks.
    pub converts: Chart,
}

/// The pot in hand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PotSheet {
    /// What it is, in words.
    pub name: String,
    /// What becomes of it, in words; a hazard class, never a peak temperature.
    pub sentence: String,
    /// Mass of resin and hardener in it.
    pub mass_g: Estimate,
    /// How deep it stands.
    pub depth_mm: Estimate,
    /// Use it up within: the earliest of ten kelvin of warming and four times the viscosity.
    pub use_by_min: Estimate,
    /// Until it has warmed by ten kelvin; none when it never does.
    pub ten_degrees_min: Option<Estimate>,
    /// Until it is four times as thick.
    pub four_times_min: Estimate,
    /// Until it gels in the pot.
    pub gel_min: Estimate,
    /// The largest batch that stays calm when it is left in such a vessel.
    pub largest_calm_g: Estimate,
    /// Its bulk, volume over surface, over what stays calm: 1 is the limit, from about 1.3 on it can run away.
    pub calm_share: Estimate,
    /// What becomes of it when it is left standing.
    pub temper: PotTemper,
    /// Its temperature against time, drawn only until its use is over or it is beyond holding.
    pub chart: Chart,
}

/// A vessel for the same mass.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Vessel {
    /// What it is.
    pub name: String,
    /// Whether it is the one in hand.
    pub this: bool,
    /// Use it up within.
    pub use_by: Cell,
    /// The largest batch that stays calm in it.
    pub largest_calm: Cell,
    /// What becomes of it when it is left standing.
    pub temper: PotTemper,
    /// The same in words.
    pub word: &'static str,
}

/// One batch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Batch {
    /// Its number, from 1.
    pub number: u32,
    /// Resin to weigh in, to the step of the scale.
    pub resin: String,
    /// Hardener to weigh in, to the step of the scale.
    pub hardener: String,
    /// Both together.
    pub total: String,
    /// When to begin to mix it, after the feed is opened; before it for the first.
    pub mix_at: Cell,
    /// When it goes to the feed.
    pub pour_at: Cell,
    /// When it must be used up.
    pub empty_by: Cell,
    /// How it stands with time: sentences only where something needs care.
    pub note: String,
}

/// What was really weighed in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeighedMix {
    /// Hardener per hundred of resin, as weighed.
    pub per_hundred: Estimate,
    /// How far the hardener is off what the data sheet asks for; positive for too much.
    pub off_pct: Estimate,
    /// `within`, `care` or `outside`.
    pub verdict: &'static str,
    /// What it does, and what to add while it is still liquid.
    pub sentence: String,
}

/// What equivalent weights say.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Formula {
    /// Epoxy equivalent weight of the resin as it is.
    pub eew_g_eq: Estimate,
    /// Amine hydrogen equivalent weight of the hardener as it is.
    pub ahew_g_eq: Estimate,
    /// Hardener per hundred of resin.
    pub per_hundred: Estimate,
    /// Amine hydrogens per epoxy group at the ratio of the data sheet.
    pub amine_per_epoxide: Estimate,
    /// What to make of it: the stated ratio stays in force.
    pub sentence: String,
}
