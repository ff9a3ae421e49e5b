//! What the part must carry.

use super::row::{Group, OneOf, OneOrNone, Place, number, one_of, one_or_none};
use super::rows;
use crate::plan::words::{Held, LOAD_CASES, LoadCase, Sides};
use crate::read::{Field, ReadingError};
use crate::sheet::Grade::Judgement;
use crate::units::Unit::{Kilopascal, Millimetre, Newton, NewtonPerMillimetre, One};

rows! {
    Place::at("load") => {
        LOAD_CASE: OneOrNone<LoadCase> = one_or_none("load.case", "How it is loaded", "nothing stated");
        HELD: OneOf<Held> = one_of("load.held", "How its ends or edges are held", Held::Resting).when("load.case", &["pressure", "point", "edge"]);
        SIDES: OneOf<Sides> = one_of("load.sides", "The long edges of a pushed part are", Sides::Free).when("load.case", &["edge"]);
        LOAD_LENGTH: Field = number("load.length_mm", "Span along the part", "600", Millimetre, (5.0, 20000.0), ReadingError::None).when("load.case", LOAD_CASES);
        LOAD_WIDTH: Field = number("load.width_mm", "Span or width across the part", "500", Millimetre, (5.0, 20000.0), ReadingError::None).when("load.case", &["pressure", "point", "strip_middle", "strip_end", "edge"]);
        LOAD_PRESSURE: Field = number("load.pressure_kpa", "Even pressure on it", "1", Kilopascal, (0.0001, 10000.0), ReadingError::None).when("load.case", &["pressure", "strip_even"]);
        LOAD_FORCE: Field = number("load.force_n", "Force on it", "200", Newton, (0.01, 1000000.0), ReadingError::None).when("load.case", &["point", "strip_middle", "strip_end"]);
        LOAD_PATCH: Field = number("load.patch_mm", "Width of the patch that the force presses on", "60", Millimetre, (1.0, 5000.0), ReadingError::None).guess(40.0, 60.0, 90.0).when("load.case", &["point"]);
        LOAD_EDGE: Field = number("load.edge_n_mm", "Pull along the part, per width; minus for a push", "20", NewtonPerMillimetre, (-100000.0, 100000.0), ReadingError::None).when("load.case", &["edge"]);
        LOAD_HEEL: Field = number("load.heel_mm", "Width of a heel or tool end that may press on it", "20", Millimetre, (1.0, 500.0), ReadingError::None).usual(20.0, 20.0, 20.0, Judgement, &["judgement_heel"]).when("load.case", &["pressure", "point"]);
        LOAD_LIMIT: Field = number("load.limit_mm", "Most it may give", "5", Millimetre, (0.01, 1000.0), ReadingError::None).when("load.case", &["pressure", "point", "strip_middle", "strip_end", "strip_even"]);
        LOAD_RESERVE: Field = number("load.reserve", "Reserve you want against first damage", "3", One, (1.0, 50.0), ReadingError::None).usual(3.0, 3.0, 3.0, Judgement, &["judgement_reserve"]).when("load.case", LOAD_CASES);
    }
}
