//! What the search may choose from: cloths laid one way, cores, and the rules of laying.

use crate::law::laminate::Matrix3;

/// One layer as it lies in the part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lamina {
    /// Q-bar, reduced stiffness turned into the part's axes [Pa].
    pub stiffness: Matrix3,
    /// Thickness [m].
    pub thickness: f64,
}

/// What a square metre of something brings along; all of it adds up.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Figures {
    /// Mass with its resin [kg/m2].
    pub mass: f64,
    /// Cost with its resin [money/m2]; none while a price is not known.
    pub cost: Option<f64>,
    /// Fossil carbon with its resin [kg CO2e/m2].
    pub fossil: f64,
    /// Room for resin, porosity times thickness [m].
    pub pores: f64,
    /// Conductance for resin, permeability times thickness [m3].
    pub conductance: f64,
}

/// One cloth laid one way: a twill at 45 degrees, or a pair of unidirectional plies at +45 and -45.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Which cloth it is cut from: the index into [`Space::left`].
    pub cloth: usize,
    /// How many plies of that cloth it uses [-].
    pub plies: u32,
    /// Its layers, the one nearer to the face first; the other half of the stack lays them mirrored.
    pub layers: Vec<Lamina>,
    /// What it brings along.
    pub figures: Figures,
}

/// A core that may lie in the middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Core {
    /// The core itself.
    pub layer: Lamina,
    /// What it brings along.
    pub figures: Figures,
}

/// What lies in the middle of a symmetric stack.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Middle {
    /// Nothing: the two halves meet.
    Plain,
    /// One odd choice, by its index, shared by both halves.
    Ply(usize),
    /// A core, by its index.
    Core(usize),
}

/// Every stack that may be laid.
#[derive(Debug, Clone, PartialEq)]
pub struct Space<'a> {
    /// Cloths laid one way each.
    pub choices: &'a [Choice],
    /// Cores that may lie in the middle.
    pub cores: &'a [Core],
    /// Whether stacks without a core are allowed.
    pub coreless: bool,
    /// Whether an odd choice may lie in the middle; only one whose layers are all alike can.
    pub odd: bool,
    /// Most plies in the whole stack, cores not counted, 1 to 60 [-].
    pub most_plies: u32,
    /// Plies that the stock is good for, by cloth, whole stack [-]; a cloth beyond the list has no limit.
    pub left: &'a [u32],
    /// Whether pulling must not shear the part: A16 and A26 below a thousandth of A.
    pub balanced: bool,
    /// Choices that may lie on the faces; none for any.
    pub faces: Option<&'a [usize]>,
    /// Most layers of one cloth at one angle in a row, counted across the middle [-].
    pub most_alike: u32,
}

impl<'a> Space<'a> {
    /// Any symmetric stack of the choices, odd ones included, without cores.
    pub fn new(choices: &'a [Choice], most_plies: u32) -> Self {
        Self {
            choices,
            cores: &[],
            coreless: true,
            odd: true,
            most_plies,
            left: &[],
            balanced: false,
            faces: None,
            most_alike: u32::MAX,
        }
    }

    /// Every layer of a symmetric stack from one face to the other, cores included.
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | `middle` | what lies in the middle | [-] |
    /// | `half` | choices by index, from the face inwards | [-] |
    ///
    /// # Returns
    /// Turned stiffness [Pa] and thickness [m] of each layer.
    pub fn laid(&self, middle: Middle, half: &[usize]) -> Vec<Lamina> {
        let choice = |&i: &usize| self.choices.get(i).map_or(&[][..], |c| &c.layers);
        let outer: Vec<Lamina> = half.iter().flat_map(choice).copied().collect();
        let mut all = outer.clone();
        match middle {
            Middle::Plain => {}
            Middle::Ply(i) => all.extend_from_slice(choice(&i)),
            Middle::Core(i) => all.extend(self.cores.get(i).map(|core| core.layer)),
        }
        all.extend(outer.iter().rev());
        all
    }
}
