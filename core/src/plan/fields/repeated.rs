//! What each row of the stack is asked, each reading of a log, and each setting of the clock.

use super::row::{Group, Place, Shelved, from_shelf, number};
use super::rows;
use crate::read::{Field, ReadingError};
use crate::units::Unit::{Count, Degree, Gram, Minute, One};

rows! {
    Place::at("row") => {
        ROW_FABRIC: Shelved = from_shelf("stack.fabric", "Cloth", "fabrics", "flax_twill_300");
        ROW_COUNT: Field = number("stack.count", "Number of plies", "4", Count, (1.0, 100.0), ReadingError::None);
        ROW_ANGLE: Field = number("stack.angle_deg", "Ply angle", "0", Degree, (-180.0, 180.0), ReadingError::None);
    }
    Place::at("log") => {
        LOG_MINUTE: Field = number("log.min", "Minutes since the start", "5", Minute, (0.0, 100_000.0), ReadingError::None);
        LOG_READING: Field = number("log.reading", "Reading of the gauge", "21.5", One, (0.0, 1100.0), ReadingError::None);
        LOG_MASS: Field = number("log.g", "Cloth on the scale", "812", Gram, (0.1, 1_000_000.0), ReadingError::None);
    }
    Place::at("zone") => {
        ZONE_FROM: Field = number("zone.from_min", "Minutes ahead of UTC before the clock is set", "60", Minute, (-1440.0, 1440.0), ReadingError::None);
        ZONE_TO: Field = number("zone.to_min", "Minutes ahead of UTC after the clock is set", "120", Minute, (-1440.0, 1440.0), ReadingError::None);
    }
}
