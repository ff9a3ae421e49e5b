//! What each stage says: its question, its answer as a sentence, and its figures by name.

use super::chart::Chart;
use super::deep::{LoadSheet, Polar, StiffnessMatrices};
use super::drying::{Finding, Wait, Way, Weighed};
use super::estimate::Estimate;
use super::note::StageName;
use crate::range::Range;
use serde::Serialize;

/// The head of a stage, as the ticket shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Head {
    /// The stage.
    pub stage: StageName,
    /// One word for the closed line and the strip.
    pub short: &'static str,
    /// The question it answers.
    pub question: &'static str,
    /// The answer, one or two sentences with the main figure in it.
    pub answer: String,
    /// Name of the figure that matters most.
    pub main: &'static str,
    /// Names of the figures that the hands need; the others are the working.
    pub hands: &'static [&'static str],
}

/// One ply as it builds up from the mould.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlyLine {
    /// Counted from the mould, starting at one.
    pub ply: u32,
    /// What it is.
    pub name: String,
    /// Family of its fibre, such as "bast"; "core" for a core.
    pub family: &'static str,
    /// How it is made, such as "twill"; "core" for a core.
    pub architecture: &'static str,
    /// Its angle [degrees].
    pub angle_deg: f64,
    /// Height of its top above the mould [mm].
    pub top_mm: Range,
    /// The same as text in the reader's units, "1.2 mm".
    pub top: String,
    /// The range as text, "1.0 to 1.4".
    pub top_range: String,
}

/// Plies, thickness, fibre and resin.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StackSheet {
    /// Question and answer.
    pub head: Head,
    /// Thickness of the part.
    pub thickness_mm: Estimate,
    /// Fibre by volume of the cloth layers; cores are left out.
    pub fibre_volume_fraction: Estimate,
    /// Void by volume of the cloth layers.
    pub porosity: Estimate,
    /// Dry fibre in the part.
    pub fibre_mass_g: Estimate,
    /// The part, without trimmings.
    pub part_mass_g: Estimate,
    /// Mass per area of the part.
    pub part_areal_mass_g_m2: Estimate,
    /// Resin per fibre in the part, by mass.
    pub resin_per_fibre_mass: Estimate,
    /// Resin per fibre in the part, by volume.
    pub resin_per_fibre_volume: Estimate,
    /// Stiffness in tension along the part, at small strain.
    pub tensile_modulus_gpa: Estimate,
    /// Stiffness in bending along the part, at small strain.
    pub bending_modulus_gpa: Estimate,
    /// Air pressure that presses the stack together.
    pub net_pressure_mbar: Estimate,
    /// Thickness at the feed while the vent still pulls and resin stands in the feed line.
    pub thickness_at_feed_mm: Option<Estimate>,
    /// Stiffness in tension across the part.
    pub modulus_across_gpa: Option<Estimate>,
    /// Shear stiffness in the plane of the part.
    pub shear_modulus_gpa: Option<Estimate>,
    /// Poisson's ratio, pulled along the part.
    pub poisson: Option<Estimate>,
    /// Stiffness in tension along the part beyond the knee.
    pub modulus_after_knee_gpa: Option<Estimate>,
    /// Stiffness along the part as a tensile test reads it, between 0.05 and 0.25 % strain.
    pub modulus_as_tested_gpa: Option<Estimate>,
    /// Stress along the part at the knee.
    pub knee_stress_mpa: Option<Estimate>,
    /// Stiffness in bending along the part as a bending test reads it.
    pub bending_as_tested_gpa: Option<Estimate>,
    /// Stress along the part when its first fibres crack apart, pulled.
    pub first_cracking_mpa: Option<Estimate>,
    /// Strength along the part when pulled: the last load of a test.
    pub tensile_strength_mpa: Option<Estimate>,
    /// Strength along the part when pushed: the last load of a test.
    pub compressive_strength_mpa: Option<Estimate>,
    /// Strength along the part in bending: the last load of a test.
    pub bending_strength_mpa: Option<Estimate>,
    /// Bending stiffness along the part, per width.
    pub bending_stiffness_n_m: Option<Estimate>,
    /// Loss factor in bending along the part.
    pub loss_factor_pct: Option<Estimate>,
    /// How far a free part bows over its length.
    pub warp_mm: Option<Estimate>,
    /// Gelcoat and paint; only where the plan states them, and not in the mass of the part.
    pub coats_g: Option<Estimate>,
    /// Force on one heel that first dents it; only with a core.
    pub heel_n: Option<Estimate>,
    /// What the stated load does to it.
    pub load: Option<LoadSheet>,
    /// Stiffness in every direction.
    pub polar: Option<Polar>,
    /// Stiffness matrices of laminate theory.
    pub stiffness_matrices: Option<StiffnessMatrices>,
    /// The build-up from the mould.
    pub plies: Vec<PlyLine>,
}

/// Water in the cloth, and how to drive it out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrySheet {
    /// Question and answer.
    pub head: Head,
    /// Water per dry fibre as the cloth lies in store.
    pub regain_start_pct: Estimate,
    /// Water in the cloth as it lies in store.
    pub water_g: Estimate,
    /// Water to drive out to reach the target.
    pub water_to_drive_g: Estimate,
    /// The cloth on the scale as it comes from store.
    pub weigh_now_g: Estimate,
    /// The cloth on the scale when it is dry enough.
    pub weigh_target_g: Estimate,
    /// What this oven can reach at all.
    pub oven_floor_pct: Estimate,
    /// Time in the oven.
    pub oven_min: Estimate,
    /// What this bag can reach at all.
    pub bag_floor_pct: Estimate,
    /// Time under vacuum.
    pub bag_h: Estimate,
    /// Lowest pressure the gauge can show while the cloth is as wet as in store.
    pub lowest_pressure_mbar: Estimate,
    /// The same when the cloth is dry enough.
    pub lowest_pressure_dry_mbar: Estimate,
    /// Time out of the oven until the cloth is too wet again.
    pub out_of_oven_min: Estimate,
    /// Dew point of the shop, which a prepreg must have passed before its pack is opened.
    pub dew_point_c: Option<Estimate>,
    /// Wettest the cloth may be so that its water does not boil in liquid resin.
    pub largest_regain_pct: Option<Estimate>,
    /// Vapour pressure over the cloth at its target, at the hottest before gel.
    pub vapour_at_hottest_mbar: Option<Estimate>,
    /// Water left after the time under vacuum that was stated.
    pub after_vacuum_pct: Option<Estimate>,
    /// Water against the humidity of the air, with where the cloth is.
    pub isotherm: Option<Chart>,
    /// Water against time in the oven.
    pub curve: Option<Chart>,
    /// Oven and bag side by side.
    pub ways: Vec<Way>,
    /// How long dried cloth may wait, by how it lies.
    pub waits: Vec<Wait>,
    /// What the maker's own weighings tell.
    pub weighed: Option<Weighed>,
    /// What published tests say moisture does to flax laminates.
    pub published: Vec<Finding>,
}

/// Resin that does not stay in the part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Loss {
    /// Short name, such as `feed_tube`.
    pub key: &'static str,
    /// Where it stays, in words.
    pub name: &'static str,
    /// How much.
    pub grams: Estimate,
}

/// One pot to mix.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pot {
    /// Resin to weigh in.
    pub resin_g: Estimate,
    /// Hardener to weigh in.
    pub hardener_g: Estimate,
    /// Both together.
    pub total_g: Estimate,
    /// Time until it should be used up.
    pub use_within_min: Estimate,
}

/// How a mixed pot behaves when it is left standing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PotTemper {
    /// Stays near room temperature.
    Calm,
    /// Warms until it is uncomfortable to hold.
    Warm,
    /// Runs away: smoke, burns, fire.
    Dangerous,
}

/// Resin: what stays, what is lost, what to mix, in which pots.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MixSheet {
    /// Question and answer.
    pub head: Head,
    /// Resin that stays in the part.
    pub resin_in_part_g: Estimate,
    /// Where the rest goes.
    pub losses: Vec<Loss>,
    /// Resin and hardener together.
    pub resin_to_mix_g: Estimate,
    /// Resin to weigh.
    pub resin_g: Estimate,
    /// Hardener to weigh.
    pub hardener_g: Estimate,
    /// Resin by volume, as a check only.
    pub resin_ml: Estimate,
    /// Hardener by volume, as a check only.
    pub hardener_ml: Estimate,
    /// Resin to mix per dry fibre, by mass.
    pub to_mix_per_fibre: Estimate,
    /// Share of the mixed resin that stays in the part.
    pub stays_pct: Estimate,
    /// Time within which a pot should be used up.
    pub use_within_min: Estimate,
    /// Smallest batch that the scale can weigh to the tolerance.
    pub smallest_batch_g: Estimate,
    /// The pots.
    pub pots: Vec<Pot>,
    /// How such a pot behaves when it is left standing.
    pub pot_temper: PotTemper,
}

/// Whether resin reaches the far edge, in one word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reach {
    /// In at least nine of ten draws.
    Will,
    /// In more than one but fewer than nine of ten.
    MayNot,
    /// In at most one of ten.
    WillNot,
}

/// The fill, by closed form.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FillSheet {
    /// Question and answer.
    pub head: Head,
    /// Time to the far edge, thickening included; beyond gel it says by how much the time is too long.
    pub time_min: Estimate,
    /// Time until the resin in the part gels.
    pub gel_min: Estimate,
    /// Whether the likely front reaches the far edge before the likely gel.
    pub reaches_end: bool,
    /// The same with the range in mind.
    pub reach: Reach,
    /// Share of the draws in which it does, between 0 and 1.
    pub chance: f64,
    /// Longest run without a mesh that nine of ten fills manage.
    pub longest_without_mesh_mm: Estimate,
    /// The same with a mesh.
    pub longest_with_mesh_mm: Estimate,
    /// With a mesh, how far the bottom of the stack lags behind the top.
    pub lag_mm: Estimate,
    /// Viscosity when the fill starts.
    pub viscosity_mpa_s: Estimate,
    /// Permeability of the stack in the direction of flow.
    pub permeability_m2: Estimate,
    /// What to do when the front stops, in the order of the hands.
    pub stalled: Vec<&'static str>,
}

/// Gel, hardness and heat resistance at the room's temperature.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CureSheet {
    /// Question and answer.
    pub head: Head,
    /// Time until the resin in the part gels.
    pub gel_h: Estimate,
    /// Time until the part may come off the mould.
    pub demould_h: Estimate,
    /// Glass transition when the part is trimmed.
    pub tg_c: Estimate,
    /// Glass transition after four weeks in the same room.
    pub tg_four_weeks_c: Estimate,
}

/// A grit and its grain.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GritStep {
    /// Marking, such as "P80".
    pub name: String,
    /// Mean grain [µm].
    pub micrometre: f64,
}

/// Cutting and sanding.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrimSheet {
    /// Question and answer.
    pub head: Head,
    /// Highest speed that the marking typed allows, and never above the class; none without a marking.
    pub max_rpm: Option<Estimate>,
    /// Speed that suits the cut; none for what does not turn or must not.
    pub set_rpm: Option<Estimate>,
    /// Surface speed at the speed set, or at the one that suits.
    pub surface_speed_m_s: Estimate,
    /// Slowest movement along the edge at which edges still cut; none for abrasives.
    pub feed_mm_s: Option<Estimate>,
    /// Advance per cutting edge at the movement given; none for abrasives.
    pub chip_load_mm: Option<Estimate>,
    /// Heat at the edge against a sharp tool at the speed that suits and an easy pace; none where nothing was said of how
    /// the tool is used.
    pub heat_ratio: Option<Estimate>,
    /// Width of the cut.
    pub kerf_mm: Estimate,
    /// What to leave outside the net line.
    pub oversize_mm: Estimate,
    /// Grits from the first cut to the finish.
    pub grits: Vec<GritStep>,
}
