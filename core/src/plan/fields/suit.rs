//! What the comparison with other materials asks.

use super::row::{Group, Kind, OneOf, Other, Place, one_of, other};
use super::rows;
use crate::plan::words::{Equal, Matters};

rows! {
    Place::at("suit") => {
        MATTERS: OneOf<Matters> = one_of("part.matters", "What counts most", Matters::Nothing);
        EQUAL: OneOf<Equal> = one_of("suit.equal", "Compare at", Equal::Stiffness);
        STOCK: Other = other("own.stock", "Prices and stock", "", Kind::Stock);
    }
}
