//! What the maker has chosen of a file: its unit or a size, the part and its holes, and how it lies.

use serde::{Deserialize, Serialize};

/// A length that one unit of a drawing may stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum LengthUnit {
    /// Millimetre.
    #[serde(rename = "mm")]
    Mm,
    /// Centimetre.
    #[serde(rename = "cm")]
    Cm,
    /// Metre.
    #[serde(rename = "m")]
    M,
    /// Inch, 25.4 mm.
    #[serde(rename = "in")]
    Inch,
    /// Foot, 12 inches.
    #[serde(rename = "ft")]
    Foot,
    /// Pixel, 96 to an inch (W3C, CSS Values and Units Module Level 3, section 5.2).
    #[serde(rename = "px")]
    Pixel,
    /// Point, 72 to an inch (as above).
    #[serde(rename = "pt")]
    Point,
}

impl LengthUnit {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Mm,
        Self::Cm,
        Self::M,
        Self::Inch,
        Self::Foot,
        Self::Pixel,
        Self::Point,
    ];

    /// The unit of this symbol: `mm`, `cm`, `m`, `in`, `ft`, `px` or `pt`.
    pub fn of(symbol: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.symbol() == symbol)
    }

    /// Its symbol.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Cm => "cm",
            Self::M => "m",
            Self::Inch => "in",
            Self::Foot => "ft",
            Self::Pixel => "px",
            Self::Point => "pt",
        }
    }

    /// Its name, of many.
    pub fn name(self) -> &'static str {
        match self {
            Self::Mm => "millimetres",
            Self::Cm => "centimetres",
            Self::M => "metres",
            Self::Inch => "inches",
            Self::Foot => "feet",
            Self::Pixel => "pixels, 96 to an inch",
            Self::Point => "points, 72 to an inch",
        }
    }

    /// Its length [mm].
    pub fn mm(self) -> f64 {
        match self {
            Self::Mm => 1.0,
            Self::Cm => 10.0,
            Self::M => 1000.0,
            Self::Inch => 25.4,
            Self::Foot => 304.8,
            Self::Pixel => 25.4 / 96.0,
            Self::Point => 25.4 / 72.0,
        }
    }
}

/// The side of a shell that faces up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Up {
    /// As the file has it: z.
    #[default]
    Top,
    /// What lies below.
    Bottom,
    /// What looks along y.
    Back,
    /// What looks against y.
    Front,
    /// What looks along x.
    Right,
    /// What looks against x.
    Left,
}

impl Up {
    /// All of them, with their names.
    pub const ALL: [(Self, &'static str); 6] = [
        (Self::Top, "top, as in the file"),
        (Self::Bottom, "bottom"),
        (Self::Front, "front"),
        (Self::Back, "back"),
        (Self::Left, "left"),
        (Self::Right, "right"),
    ];

    /// A place once this side is turned up; turned, never mirrored.
    pub(super) fn lies(self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        match self {
            Self::Top => [x, y, z],
            Self::Bottom => [x, -y, -z],
            Self::Front => [x, z, -y],
            Self::Back => [x, -z, y],
            Self::Right => [-z, y, x],
            Self::Left => [z, y, -x],
        }
    }
}

/// A size that the maker has measured on the part.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Measure {
    /// Which side: 0 across, 1 up the picture, 2 in height.
    pub side: usize,
    /// How long it is [mm].
    pub mm: f64,
}

/// Which loops or faces are the part, and which are cut out of it; keys of a picture.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Pick {
    /// The part; empty for what is likely.
    #[serde(default)]
    pub part: Vec<String>,
    /// Its holes; none for what is likely.
    #[serde(default)]
    pub holes: Option<Vec<String>>,
}

/// Everything that the maker has said of a file.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Wish {
    /// What one unit of the file is; wins over the file's own.
    #[serde(default)]
    pub unit: Option<LengthUnit>,
    /// A size of the part; wins over the unit.
    #[serde(default)]
    pub measure: Option<Measure>,
    /// The part and its holes.
    #[serde(default)]
    pub pick: Pick,
    /// The side of a shell that faces up.
    #[serde(default)]
    pub up: Up,
    /// Quarter turns to the left, as seen from above.
    #[serde(default)]
    pub turns: u8,
    /// Left and right exchanged.
    #[serde(default)]
    pub mirror: bool,
}

impl Wish {
    /// A place in the plane once the part is mirrored and turned.
    pub(super) fn lies(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let x = if self.mirror { -x } else { x };
        match self.turns % 4 {
            1 => [-y, x],
            2 => [-x, -y],
            3 => [y, -x],
            _ => [x, y],
        }
    }
}
