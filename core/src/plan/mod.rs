//! The plan: everything the maker has decided or measured, as one document.
//!
//! The document itself is kept as it came, so that nothing typed is lost; the plan is what was understood.

mod astray;
mod clock;
mod closed;
mod day;
mod drawn;
pub mod fields;
mod log;
mod mark;
mod moment;
mod sense;
mod understood;
mod words;

pub use closed::Closed;
pub use fields::{LOG_MASS, LOG_MINUTE, LOG_READING, ROW_ANGLE, ROW_COUNT, ZONE_FROM, ZONE_TO};

use astray::laid_back;
use understood::read_plan;

pub(crate) use drawn::read_lines;
pub use drawn::{Channel, Drawing, Lies, Line, Section, Zone};
pub use mark::{Mark, Seen};
pub use moment::Moment;
pub(crate) use words::Words;
pub use words::{
    BACKS, Back, CLOCK_GOES, COLOURS, ClockGoes, Colour, EQUALS, Equal, FACES, FACINGS, FEEDS,
    FINISH_GRITS, Faces, Facing, Feed, GAUGE_KINDS, GaugeKind, HELD, Held, LOAD_CASES, LoadCase,
    MATTERS, MOULD_KINDS, Matters, MouldKind, POT_KINDS, PotKind, ROUTES, Route, SIDES, Sides,
    WINDS, Wind,
};

use crate::range::Range;
use crate::read::{Field, Problem, Reader, Shared};
use crate::shelf::{Fabric, Resin, Shelf, Tool};
use crate::units::Units;
use serde_json::Value;

/// Version of the plan document that this build writes and reads.
pub const PLAN_FORMAT: u64 = 1;

/// Most rows in a stack.
const MOST_ROWS: usize = 60;
/// Most plies in a stack, all rows together.
const MOST_PLIES: u32 = 200;

/// Most readings in a log.
const MOST_READINGS: usize = 500;

/// One line of a log: when, and what was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Logged {
    /// Minutes since the start.
    pub minute: f64,
    /// What the gauge or the scale showed, in the unit of the document.
    pub value: f64,
}

/// Plies of one material at one angle.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What they are made of.
    pub fabric: Fabric,
    /// How many.
    pub count: u32,
    /// Angle of the warp to the long way of the part [degrees].
    pub angle_deg: f64,
}

/// What the maker has decided or measured.
#[derive(Debug, Clone)]
pub struct Plan {
    /// Name of the part.
    pub name: String,
    /// Units the maker reads and types; the document itself is metric.
    pub units: Units,
    /// How it is moulded.
    pub route: Route,
    /// The stack, from the mould up.
    pub stack: Vec<Row>,
    /// The resin.
    pub resin: Resin,
    /// Whether a flow mesh lies on the stack.
    pub flow_mesh: bool,
    /// Whether a peel ply lies on the stack.
    pub peel_ply: bool,
    /// Whether the areal mass of a prepreg counts its resin.
    pub mass_with_resin: bool,
    /// What the gauge shows.
    pub gauge: GaugeKind,
    /// Where resin enters.
    pub feed: Feed,
    /// How the plies lie in the oven.
    pub faces: Faces,
    /// Whether the oven has a fan.
    pub fan: bool,
    /// Whether the oven is shut tight, so that vapour stays in it.
    pub closed: bool,
    /// The tool that trims the edge.
    pub tool: Tool,
    /// Whether the tool is sharp.
    pub sharp: bool,
    /// Whether the tool carries no marking of its speed.
    pub unmarked: bool,
    /// Grit to finish with, such as "P240".
    pub finish_grit: &'static str,
    /// Readings of the gauge with the pump shut off, as they were typed.
    pub test: Vec<Logged>,
    /// Weighings of the cloth during drying [g], as they were typed.
    pub weighings: Vec<Logged>,
    /// What the part must carry, when that was said.
    pub load_case: Option<LoadCase>,
    /// How a panel is held along its edges.
    pub held: Held,
    /// How the long edges of a pushed part are held.
    pub sides: Sides,
    /// What the comparison with other materials holds equal.
    pub equal: Equal,
    /// What counts most for the part.
    pub matters: Matters,
    /// What the search for a better stack may use.
    pub allowed: Allowed,
    /// What a batch stands in.
    pub pot: PotKind,
    /// What the mould is made of, as far as heat asks.
    pub mould: MouldKind,
    /// Whether the part stays in its mould through the post-cure.
    pub post_on_mould: bool,
    /// What colour the sun sees in service, when that was said.
    pub colour: Option<Colour>,
    /// How the part lies to it.
    pub facing: Facing,
    /// What the air does there.
    pub wind: Wind,
    /// What lies behind the part there.
    pub back: Back,
    /// Whether the part is wet for long in service.
    pub wet_in_service: bool,
    /// What is drawn: shape, lines and zones.
    pub drawing: Box<Drawing>,
    /// Area of the shape that is drawn [m2].
    pub drawn_area: Option<f64>,
    /// Whether a flow mesh lies only where a zone says so.
    pub mesh_in_zones: bool,
    /// When the job begins.
    pub start: Option<Moment>,
    /// When the part must be out of its mould.
    pub out_by: Option<Moment>,
    /// Days on which the workshop is closed.
    pub closed_on: Closed,
    /// Steps that have begun, by their key, as they were noted.
    pub began: Vec<(String, Moment)>,
    numbers: Numbers,
}

/// What the search for a better stack may use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Allowed {
    /// Cloth of glass.
    pub glass: bool,
    /// Cloth of carbon or aramid.
    pub carbon: bool,
    /// A core in the middle.
    pub core: bool,
    /// Only what the shop has in stock.
    pub in_stock_only: bool,
    /// Stacks that pull askew, such as plies at 45 degrees without their mirror.
    pub unbalanced: bool,
}

/// The numbers given, by the key of their field.
type Numbers = Vec<(&'static str, Range)>;

fn number_of(numbers: &Numbers, field: &Field) -> Option<Range> {
    let found = numbers.iter().find(|(key, _)| *key == field.key);
    found.map(|(_, range)| *range)
}

/// What reading a document gave besides the plan.
#[derive(Debug, Clone, Default)]
pub struct Read {
    /// The plan, when the document was good enough.
    pub plan: Option<Plan>,
    /// Everything that stands in its way.
    pub problems: Vec<Problem>,
    /// Paths that this version does not know; they were kept and not used.
    pub surplus: Vec<String>,
    /// Paths of what stands in a place of another kind, in the order of reading.
    pub astray: Vec<String>,
}

impl Plan {
    /// The value given for a field, when there is one.
    pub fn given(&self, field: &Field) -> Option<Range> {
        number_of(&self.numbers, field)
    }

    /// The same plan with another stack; what was measured on the old one does not hold for it.
    pub(crate) fn with_stack(&self, stack: Vec<Row>) -> Self {
        let mut plan = self.clone();
        plan.stack = stack;
        plan.numbers
            .retain(|(key, _)| !key.starts_with("measured.") && *key != fields::RESIN_ON_HAND.key);
        plan.weighings.clear();
        plan.began.clear();
        plan
    }

    /// Reads a document against a shelf and reports everything at once.
    pub fn read(document: &Value, shelf: &Shelf) -> Read {
        let shared = Shared::default();
        let laid = laid_back(document);
        let whole = laid.as_ref().map_or(document, |laid| &laid.whole);
        let plan = read_plan(&Reader::new(whole, &shared, ""), &shared, shelf);
        let mut problems = shared.problems.take();
        if let Some(laid) = &laid {
            for problem in &mut problems {
                problem.field = laid.as_held(&problem.field);
            }
        }
        Read {
            plan: plan.filter(|_| problems.is_empty()),
            problems,
            surplus: shared.surplus.take(),
            astray: shared.astray.take(),
        }
    }
}
