//! The shape of a part: an outline with its holes, or a shell of triangles, and the triangles that flow is worked out on.

pub mod import;
mod loops;
mod mesh;
pub mod over_skin;
mod read;
pub(crate) mod skin;

pub use loops::{Loop, area, crossing, inside, length};
pub use mesh::{Meshed, meshed};
pub(crate) use read::read_shape;
pub use read::{SHAPE_FORMS, read};

use crate::solve::surface::Triangles;

/// Smallest side of a part [m].
pub const SMALLEST: f64 = 0.005;
/// Largest side of a part [m].
pub const LARGEST: f64 = 20.0;
/// Most corners of an outline, its holes included.
pub const MOST_CORNERS: usize = 2_000;
/// Most triangles of a shell.
pub const MOST_TRIANGLES: usize = 200_000;

/// The shape of a part.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A flat part: its outline, counter-clockwise, and its holes [m].
    Flat {
        /// The edge of the part.
        outline: Loop,
        /// What is cut out of it.
        holes: Vec<Loop>,
    },
    /// A shell as it is in space [m].
    Shell(Triangles),
}

impl Shape {
    /// Area of the part [m2]; of a shell the area of its skin.
    #[must_use]
    pub fn area(&self) -> f64 {
        match self {
            Self::Flat { outline, holes } => {
                area(outline).abs() - holes.iter().map(|hole| area(hole).abs()).sum::<f64>()
            }
            Self::Shell(surface) => surface.area(),
        }
    }

    /// Lowest and highest corner of the box around it [m].
    #[must_use]
    pub fn bounds(&self) -> ([f64; 3], [f64; 3]) {
        let mut low = [f64::INFINITY; 3];
        let mut high = [f64::NEG_INFINITY; 3];
        let mut take = |p: [f64; 3]| {
            for k in 0..3 {
                low[k] = low[k].min(p[k]);
                high[k] = high[k].max(p[k]);
            }
        };
        match self {
            Self::Flat { outline, .. } => outline.iter().for_each(|p| take([p[0], p[1], 0.0])),
            Self::Shell(surface) => surface.points.iter().for_each(|p| take(*p)),
        }
        (low, high)
    }
}
