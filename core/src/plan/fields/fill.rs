//! What the fill asks.

use super::row::{Group, OneOf, Place, number, one_of};
use super::rows;
use crate::plan::words::Feed;
use crate::read::{Field, ReadingError};
use crate::shape::SHAPE_FORMS;
use crate::sheet::Grade::Practice;
use crate::units::Unit::{Degree, Millimetre, Minute};

rows! {
    Place::at("fill") => {
        FEED: OneOf<Feed> = one_of("fill.feed", "Where resin enters", Feed::Edge).unless("fill.lines.does", &["feed"]);
        WARP_TURN: Field = number("fill.warp_deg", "Warp of ply angle 0 on the drawn part, turned from x", "90", Degree, (-180.0, 180.0), ReadingError::None).when("part.shape.form", SHAPE_FORMS);
        WARP_X: Field = number("fill.warp_from_x_mm", "On a shell, x where the cloth is laid first", "300", Millimetre, (-20000.0, 20000.0), ReadingError::None).when("part.shape.form", &["shell"]);
        WARP_Y: Field = number("fill.warp_from_y_mm", "On a shell, y where the cloth is laid first", "200", Millimetre, (-20000.0, 20000.0), ReadingError::None).when("part.shape.form", &["shell"]);
        FEED_OPEN: Field = number("bag.feed_open_min", "Time the feed stays open after the vent is clamped", "5", Minute, (0.0, 600.0), ReadingError::Share(0.2)).usual(3.0, 5.0, 10.0, Practice, &["practice_feed_open"]);
        STRIP_LENGTH: Field = number("measured.strip_length_mm", "A strip of this stack without a mesh filled so far", "300", Millimetre, (10.0, 5000.0), ReadingError::Plus(5.0));
        STRIP_MINUTES: Field = number("measured.strip_min", "The strip took", "25", Minute, (0.05, 2000.0), ReadingError::Share(0.03));
    }
    Place::folded("fill", "More you may know", false) => {
        EDGE_GAP: Field = number("fill.edge_gap_mm", "Gap along the edge where resin can run ahead", "1.5", Millimetre, (0.05, 20.0), ReadingError::None);
    }
}
