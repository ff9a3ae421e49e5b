//! What a part looks like, and what damp does to it, by the fibres in it.

use crate::shelf::Family;

/// What the finished part looks like.
pub(super) fn looks(families: &[Family]) -> String {
    let outside = families.first().copied().unwrap_or(Family::Bast);
    let mut said = match outside {
        Family::Bast => "Linen brown, darker once it is wet through; the weave shows under clear resin. Where both sides are seen, a peel ply gives the back an even face.",
        Family::Glass => "Clear to greenish; what lies beneath shows through, and it takes paint.",
        Family::Carbon => "Black; the weave shows under clear resin.",
        Family::Aramid => "Yellow, browner with light; hard to cut clean and to sand.",
    }
    .to_owned();
    if outside == Family::Glass && families.contains(&Family::Bast) {
        said += " The flax beneath darkens as it is wetted.";
    }
    said
}

/// What damp does to it.
pub(super) fn damp(families: &[Family]) -> String {
    let outside = families.first().copied().unwrap_or(Family::Bast);
    match (outside, families.contains(&Family::Bast)) {
        (Family::Bast, _) => "Dry the cloth first. In use it takes up water at cut edges and holes, swells and softens: seal them at once, and paint what stands outdoors.",
        (_, true) => "Dry the flax first. The faces keep damp off; cut edges and holes still want sealing.",
        (Family::Aramid, _) => "Takes up some water; dry it first.",
        _ => "Hardly feels damp.",
    }
    .to_owned()
}
