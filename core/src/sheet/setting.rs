//! The resin setting in the part: heat through the thickness, hardness against time, post-cure, and what to do after the fill.

use super::chart::Chart;
use super::deep::Cell;
use super::estimate::Estimate;
use serde::Serialize;

/// The resin setting in the part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SettingSheet {
    /// The temperatures that were taken, in words: shop, night, lamp, oven.
    pub programme: Vec<String>,
    /// Gel at the slowest point of the laminate, after the fill.
    pub gel_h: Estimate,
    /// Hottest point of the laminate while it sets.
    pub peak_c: Estimate,
    /// What its own heat does, in words: a thin part stays at the air's temperature, a thick one does not.
    pub warms: String,
    /// Until the glass transition passes the part's own temperature, and cure all but stops.
    pub vitrifies_h: Estimate,
    /// The part may come off the mould.
    pub demould_h: Estimate,
    /// What decides when: gel, hardness or heat, in words.
    pub decides: String,
    /// Temperatures against time: the air, the coldest and the hottest point.
    pub temperatures: Chart,
    /// Glass transition against time with the temperature of the part and demould marked.
    pub hardness: Chart,
    /// What more days at the shop's temperature buy.
    pub later: Vec<LaterTg>,
    /// The same in words.
    pub another_day: String,
    /// The post-cure asked for; none without.
    pub post: Option<PostCure>,
    /// Post-cures beside each other.
    pub posts: Vec<PostRow>,
    /// After the fill; none where nothing is filled.
    pub after_fill: Option<AfterFill>,
    /// How to tell that it has set: film, hardness, in words.
    pub proof: Vec<String>,
    /// The part in service; none where the plan says nothing of it.
    pub service: Option<ServiceSheet>,
}

/// How warm the part gets in service, and whether it stands that.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ServiceSheet {
    /// What it comes to and what to do, in words.
    pub sentence: String,
    /// Hottest that the part gets.
    pub part_c: Estimate,
    /// Least glass transition for that.
    pub needed_c: Estimate,
    /// Share of its stiffness that the laminate keeps there; none far above the glass transition.
    pub stiffness_left_pct: Option<Estimate>,
    /// How far it gives under the stated load there.
    pub gives_mm: Option<Estimate>,
    /// Now, after four weeks, after post-cures.
    pub rows: Vec<Stands>,
}

/// A state of cure held against the service.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stands {
    /// Which state, in words.
    pub name: String,
    /// Its glass transition.
    pub tg: Cell,
    /// Whether it stands the service: `yes`, `likely` or `no`.
    pub stands: &'static str,
}

/// The glass transition after so many days.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LaterTg {
    /// After how long, in words.
    pub after: String,
    /// The glass transition then.
    pub tg: Cell,
}

/// The post-cure that the plan asks for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PostCure {
    /// What it does, in words, and what to change.
    pub sentence: String,
    /// Whether the part softens in the oven.
    pub softens: bool,
    /// Smallest lead of the glass transition over the oven on the way.
    pub lead_k: Estimate,
    /// Fastest steady warming that never outruns the glass transition.
    pub fastest_k_h: Estimate,
    /// Glass transition when it is done.
    pub tg_c: Estimate,
    /// Oven and glass transition against time.
    pub chart: Chart,
}

/// A post-cure to choose from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PostRow {
    /// What it is, such as "50 °C for 16 h".
    pub name: String,
    /// Glass transition when it is done.
    pub tg: Cell,
    /// Fastest steady warming that never outruns the glass transition.
    pub fastest: Cell,
    /// From cold to cold, in hours.
    pub takes: Cell,
}

/// What to do after the fill.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AfterFill {
    /// What the clamps do, in order.
    pub order: Vec<String>,
    /// Time for thickness and pressure to even out along the part.
    pub even_out_min: Estimate,
    /// Time between the end of the fill and gel.
    pub left_min: Estimate,
    /// Share of draws in which it evens out before gel.
    pub chance: f64,
    /// What leaving the feed open does, and how the two times stand to each other.
    pub sentence: String,
}
