//! Loads, direction, the same job in other materials, and working backwards.

use super::estimate::Estimate;
use super::stages::Head;
use serde::Serialize;

/// What a stated load does to the part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadSheet {
    /// The answer in words.
    pub sentence: String,
    /// What gives way first, and where.
    pub weakest: String,
    /// How far it gives; none for a pull along the part, and none where it is far too thin to be worked out.
    pub deflection_mm: Option<Estimate>,
    /// First-damage load over the stated load, by whatever gives way first.
    pub reserve: Estimate,
    /// The same of the plies alone; only where there is a core.
    pub laminate_reserve: Option<Estimate>,
    /// Shear stress in the core over what it bears, turned round: strength over stress.
    pub core_reserve: Option<Estimate>,
    /// Stress at which a face on a core wrinkles, over the stress in it.
    pub wrinkling_reserve: Option<Estimate>,
    /// Force that first crushes a core under the stated patch, over the stated force.
    pub crush_reserve: Option<Estimate>,
    /// Push at which the part would buckle were it flat and even; only for a push.
    pub buckling_n_mm: Option<Estimate>,
    /// What a real part keeps of that, over the push.
    pub buckling_reserve: Option<Estimate>,
    /// The note it rings at when it is struck, held as stated; none for a load along the part.
    pub ring_hz: Option<Estimate>,
    /// What water and years add, in words; empty where it does not give.
    pub lasting: String,
    /// How far it gives in damp air; only a stack of bast fibre alone, like the three that follow.
    pub damp_mm: Option<Estimate>,
    /// The same when soaked.
    pub soaked_mm: Option<Estimate>,
    /// After ten years under the load in a dry room.
    pub years_dry_mm: Option<Estimate>,
    /// After ten years in damp air; wet, where the plan says so.
    pub years_damp_mm: Option<Estimate>,
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
    /// Its unit in the reader's units; the directions are in it as well, because they are there to be drawn.
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
    /// Nine values that split what it may come out at into tenths.
    #[serde(skip)]
    pub tenths: [f64; 9],
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
