//! What is asked of a stack: bounds it must keep, goals to be best at, and how long to look.

/// Bounds that every stack found must keep; the default keeps nothing out.
///
/// A figure that meets its bound exactly is within it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Least thickness [m].
    pub least_thickness: f64,
    /// Most thickness [m].
    pub most_thickness: f64,
    /// Least D11, D22, D66 [Pa m3]; zero asks for nothing.
    pub least_bending: [f64; 3],
    /// Least A11, A22, A66 [Pa m]; zero asks for nothing.
    pub least_stretching: [f64; 3],
    /// Most mass [kg/m2].
    pub most_mass: f64,
    /// Most cost [money/m2]; a stack with a price unknown cannot show that it keeps it, and is left out.
    pub most_cost: f64,
    /// Most fossil carbon [kg CO2e/m2].
    pub most_fossil: f64,
    /// Slowest fill, as pores over conductance [1/m2].
    pub slowest_fill: f64,
}

impl Default for Bounds {
    fn default() -> Self {
        Self {
            least_thickness: 0.0,
            most_thickness: f64::INFINITY,
            least_bending: [0.0; 3],
            least_stretching: [0.0; 3],
            most_mass: f64::INFINITY,
            most_cost: f64::INFINITY,
            most_fossil: f64::INFINITY,
            slowest_fill: f64::INFINITY,
        }
    }
}

/// What a stack may be best at. Ties go to the other goals in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goal {
    /// Least mass.
    Lightest,
    /// Least cost, among stacks whose prices are all known.
    Cheapest,
    /// Least fossil carbon.
    LowestFossil,
    /// Least thickness.
    Thinnest,
    /// Least pores over conductance: the fill time goes with it.
    EasiestFill,
}

impl Goal {
    /// Every goal, in the order in which ties are broken.
    pub const ALL: [Self; 5] = [
        Self::Lightest,
        Self::Cheapest,
        Self::LowestFossil,
        Self::Thinnest,
        Self::EasiestFill,
    ];
}

/// Which trade-off to show, what is known already, and when to stop looking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wish<'a> {
    /// The two goals of the trade-off front; none for no front.
    pub front: Option<[Goal; 2]>,
    /// Figures of stacks of other spaces, goal by goal as in [`Goal::ALL`]: what does not come up to them is passed by.
    pub known: &'a [[f64; 5]],
    /// Most points of the front that are handed back; a longer one is thinned evenly, ends kept.
    pub most_points: usize,
    /// Most steps of the search: picks of plies and placings of a ply, tried or ruled out.
    pub most_steps: u64,
    /// Most stacks put to the expensive test.
    pub most_asked: u64,
}

impl Default for Wish<'_> {
    fn default() -> Self {
        Self {
            front: Some([Goal::Thinnest, Goal::Lightest]),
            known: &[],
            most_points: 40,
            most_steps: 20_000_000,
            most_asked: 50_000,
        }
    }
}
