//! What each stage says: its question, its answer as a sentence, and its figures by name.

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
    /// Field of the figure that matters most.
    pub main: &'static str,
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
    /// Stress along the part at first damage when pulled.
    pub tensile_strength_mpa: Option<Estimate>,
    /// Stress along the part at first damage when pushed.
    pub compressive_strength_mpa: Option<Estimate>,
    /// Bending stiffness along the part, per width.
    pub bending_stiffness_n_m: Option<Estimate>,
    /// Loss factor in bending along the part.
    pub loss_factor_pct: Option<Estimate>,
    /// How far a free part bows over its length.
    pub warp_mm: Option<Estimate>,
    /// What the stated load does to it.
    pub load: Option<LoadSheet>,
    /// Stiffness in every direction.
    pub polar: Option<Polar>,
    /// Stiffness matrices of laminate theory.
    pub stiffness_matrices: Option<StiffnessMatrices>,
    /// The build-up from the mould.
    pub plies: Vec<PlyLine>,
}

/// What a stated load does to the part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadSheet {
    /// The answer in words.
    pub sentence: String,
    /// What gives way first, and where.
    pub weakest: String,
    /// How far it gives; none for a pull along the part.
    pub deflection_mm: Option<Estimate>,
    /// First-damage load over the stated load, by whatever gives way first.
    pub reserve: Estimate,
    /// The same of the plies alone; only where there is a core.
    pub laminate_reserve: Option<Estimate>,
    /// Shear stress in the core over what it bears, turned round: strength over stress.
    pub core_reserve: Option<Estimate>,
    /// Stress at which a face on a core wrinkles, over the stress in it.
    pub wrinkling_reserve: Option<Estimate>,
    /// Largest strain along the part under the load.
    pub strain_pct: Estimate,
    /// What it rests on.
    pub rests_on: String,
}

/// Stiffness of the stack by direction.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Polar {
    /// What is drawn.
    pub label: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// The plot in words.
    pub sentence: String,
    /// Every 15 degrees from the length of the part, half a turn; the rest repeats.
    pub directions: Vec<Direction>,
}

/// Stiffness in one direction.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Direction {
    /// Angle from the length of the part [degrees].
    pub angle_deg: f64,
    /// 10th percentile.
    pub low: f64,
    /// Likely value.
    pub likely: f64,
    /// 90th percentile.
    pub high: f64,
    /// The likely value with its unit [GPa].
    pub text: String,
    /// The range as text; may be empty.
    pub range: String,
}

/// A figure in a table: its range, and its texts in the reader's units.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cell {
    /// 10th percentile.
    pub low: f64,
    /// Likely value.
    pub likely: f64,
    /// 90th percentile.
    pub high: f64,
    /// The likely value with its unit.
    pub text: String,
    /// The range as text; may be empty.
    pub range: String,
}

/// Stiffness matrices of laminate theory, with every input at its likely value.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StiffnessMatrices {
    /// In-plane stiffness [N/mm].
    pub a_n_mm: [[f64; 3]; 3],
    /// Coupling of stretch and bending [N].
    pub b_n: [[f64; 3]; 3],
    /// Bending stiffness [N mm].
    pub d_n_mm: [[f64; 3]; 3],
}

/// One material beside the part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SuitRow {
    /// A short word for it.
    pub key: &'static str,
    /// Keys of its cloths and cores on the shelf.
    pub fabrics: Vec<String>,
    /// Its name.
    pub name: String,
    /// Whether it is the stack of this plan.
    pub this: bool,
    /// What would be laid.
    pub build: String,
    /// Plies to lay, rounded up.
    pub plies: u32,
    /// Thickness.
    pub thickness: Cell,
    /// Mass of the part.
    pub mass: Cell,
    /// Dry fibre in the part.
    pub fibre: Cell,
    /// Resin in the part.
    pub resin: Cell,
    /// Fossil carbon of cloth, core and resin.
    pub fossil: Cell,
    /// Carbon dioxide held in the fibre for as long as the part lasts.
    pub stored: Option<Cell>,
    /// What burning it at the end would give off.
    pub end_of_life: Cell,
    /// Cost in the shop's own prices.
    pub cost: Option<Cell>,
    /// Loss factor in bending.
    pub damping: Cell,
    /// Bending moment at first damage, compared with this part.
    pub strength: Cell,
    /// What the finished part looks like.
    pub looks: String,
    /// What damp does to it.
    pub damp: String,
}

/// One ratio of flax to glass, computed and published.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SuitRatio {
    /// What is compared.
    pub label: &'static str,
    /// 10th percentile.
    pub low: f64,
    /// Likely value.
    pub likely: f64,
    /// 90th percentile.
    pub high: f64,
    /// The likely value with its unit.
    pub text: String,
    /// The range as text; may be empty.
    pub range: String,
    /// What was published or is said.
    pub published: &'static str,
    /// Where the two agree, in words.
    pub agrees: String,
}

/// Whether bast fibre suits the part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SuitSheet {
    /// Question and answer.
    pub head: Head,
    /// Mass of this part over that of the same part in woven glass.
    pub mass_over_glass: Estimate,
    /// What is held equal.
    pub basis: String,
    /// The verdict, with its reasons.
    pub verdict: Vec<String>,
    /// This part and what it could be made of instead.
    pub rows: Vec<SuitRow>,
    /// Flax over glass, computed and published.
    pub ratios: Vec<SuitRatio>,
    /// Boundary, year and allocation of the carbon figures.
    pub footing: Vec<String>,
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
    /// Highest speed allowed by marking and class; zero when the tool is unmarked.
    pub max_rpm: Estimate,
    /// Speed that suits the cut.
    pub set_rpm: Estimate,
    /// Surface speed at the speed set, or at the one that suits.
    pub surface_speed_m_s: Estimate,
    /// Slowest movement along the edge that keeps the cut from rubbing or scorching.
    pub feed_mm_s: Estimate,
    /// Advance per cutting edge at the movement given; zero for abrasives.
    pub chip_load_mm: Estimate,
    /// Temperature of the fresh edge, an estimate within a factor of two of the rise.
    pub edge_c: Estimate,
    /// Width of the cut.
    pub kerf_mm: Estimate,
    /// What to leave outside the net line.
    pub oversize_mm: Estimate,
    /// Grits from the first cut to the finish.
    pub grits: Vec<GritStep>,
}

/// What working backwards came to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Back {
    /// What was searched and how it ended, in words.
    pub sentence: String,
    /// What was asked for, in words.
    pub asked_for: Vec<String>,
    /// The best stacks, each best at something.
    pub found: Vec<BackStack>,
    /// The trade-off between thickness and mass, thinnest first.
    pub front: Vec<BackPoint>,
    /// Stacks that the answer covers.
    pub candidates: u64,
    /// Stacks whose figures were worked out one by one.
    pub worked: u64,
    /// Stacks that were put to the load.
    pub asked: u64,
    /// Whether every stack was covered.
    pub whole: bool,
}

/// One stack that is best at something.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BackStack {
    /// Its mark in table and plot.
    pub letter: &'static str,
    /// What it is best at.
    pub titles: Vec<&'static str>,
    /// What would be laid, in words.
    pub build: String,
    /// Rows for the plan, from the mould up.
    pub rows: Vec<BackRow>,
    /// Plies, a core counted as one.
    pub plies: u32,
    /// Thickness.
    pub thickness: Cell,
    /// Mass of the part.
    pub mass: Cell,
    /// Bending stiffness along the part, per width.
    pub bending: Option<Cell>,
    /// Fossil carbon of its materials.
    pub fossil: Option<Cell>,
    /// Cost of its materials in the shop's own prices.
    pub cost: Option<Cell>,
    /// Time to fill.
    pub fill: Option<Cell>,
    /// How far it gives under the stated load.
    pub deflection: Option<Cell>,
    /// First damage over the stated load.
    pub reserve: Option<Cell>,
    /// How likely it keeps what was asked, in words; empty without a load.
    pub chance: String,
}

/// A row of such a stack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BackRow {
    /// Key of the cloth or core; `own` for one written out in the plan.
    pub fabric: String,
    /// Its name.
    pub name: String,
    /// How many plies.
    pub count: u32,
    /// Their angle [degrees].
    pub angle_deg: f64,
}

/// A stack that no other beats at both thickness and mass.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BackPoint {
    /// Thickness [mm].
    pub thickness_mm: f64,
    /// Mass [g/m2].
    pub mass_g_m2: f64,
    /// Fossil carbon [kg CO2e/m2].
    pub fossil_kg_m2: f64,
    /// Plies, cores not counted.
    pub plies: u32,
    /// Letter of the stack it is, when it is one of those found.
    pub found: Option<&'static str>,
}
