//! The drawn fill against the outside world: exact fronts, a slow independent fill, laws of scale and of balance.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

#[path = "fill/channels.rs"]
mod channels;
#[path = "fill/closeness.rs"]
mod closeness;
#[path = "fill/exact.rs"]
mod exact;
#[path = "fill/fibres.rs"]
mod fibres;
#[path = "fill/layers.rs"]
mod layers;
#[path = "fill/meeting.rs"]
mod meeting;
#[path = "fill/meshes.rs"]
mod meshes;
#[path = "fill/order.rs"]
mod order;
#[path = "fill/pockets.rs"]
mod pockets;
#[path = "fill/same.rs"]
mod same;
#[path = "fill/section.rs"]
mod section;
#[path = "fill/shapes.rs"]
mod shapes;
#[path = "fill/spoiled.rs"]
mod spoiled;
#[path = "fill/stacks.rs"]
mod stacks;
#[path = "fill/suggested.rs"]
mod suggested;
#[path = "fill/vents.rs"]
mod vents;
#[path = "fill/volumes.rs"]
mod volumes;
#[path = "fill/watched.rs"]
mod watched;
#[path = "fill/weight.rs"]
mod weight;
#[path = "fill/zones.rs"]
mod zones;

use bastwork::solve::front::{Field, Gates};
use meshes::Mesh;

/// The resin and cloth of every worked figure below: thickness 3 mm, mu 0.3 Pa s, dp 90 kPa.
const THICK: f64 = 3e-3;
const MU_OVER_DP: f64 = 0.3 / 9e4;

fn gates<'a>(feeds: &'a [u32], vents: &'a [u32]) -> Gates<'a> {
    Gates { feeds, vents }
}

/// An even cloth of this permeability and porosity on a mesh.
fn cloth(mesh: &Mesh, permeability: f64, porosity: f64) -> Field {
    Field::even(&mesh.surface(), THICK * permeability, THICK * porosity)
}

/// Root of the mean square of what differs, where both are numbers.
fn rms(one: &[f64], other: impl Iterator<Item = f64>) -> f64 {
    let squares: f64 = one.iter().zip(other).map(|(a, b)| (a - b).powi(2)).sum();
    assert!(squares.is_finite());
    (squares / one.len() as f64).sqrt()
}

fn close(got: f64, wanted: f64, share: f64, what: &str) {
    assert!(
        (got / wanted - 1.0).abs() <= share,
        "{what}: got {got}, expected {wanted}, off by {:.2e}",
        got / wanted - 1.0
    );
}
