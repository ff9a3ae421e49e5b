//! What the day asks.

use super::row::{Group, Kind, Other, Place, number, other};
use super::rows;
use crate::read::{Field, ReadingError};
use crate::sheet::Grade::{Judgement, Practice};
use crate::units::Unit::{Count, HourOfDay, Minute};

rows! {
    Place::at("day") => {
        START: Other = other("day.start", "The job begins", "day and time on the clock of the shop", Kind::Moment);
        OUT_BY: Other = other("day.out_by", "It must be off the mould by", "with this alone, the ticket says when to begin", Kind::Moment);
        CLOSED_ON: Other = other("day.closed", "Closed on", "days and dates, like: Sat, Sun, 2026-12-25", Kind::Text);
        OPEN_FROM: Field = number("day.from_h", "The workshop opens", "8", HourOfDay, (0.0, 23.9), ReadingError::None).usual(8.0, 8.0, 8.0, Judgement, &["judgement_usual"]);
        OPEN_TO: Field = number("day.to_h", "And closes, past midnight too", "20", HourOfDay, (0.1, 24.0), ReadingError::None).usual(20.0, 20.0, 20.0, Judgement, &["judgement_usual"]);
        HANDS: Field = number("day.hands", "Pairs of hands there", "2", Count, (1.0, 20.0), ReadingError::None).usual(1.0, 1.0, 1.0, Judgement, &["judgement_usual"]);
    }
    Place::folded("day", "How long your hands take", true) => {
        RELEASE_COATS: Field = number("day.release_coats", "Coats of release on the mould, 0 for none", "6", Count, (0.0, 30.0), ReadingError::None).usual(6.0, 6.0, 6.0, Practice, &["practice_release"]);
        RELEASE_WAIT: Field = number("day.release_wait_min", "Wait after each coat", "12", Minute, (0.0, 2000.0), ReadingError::Share(0.2)).usual(10.0, 12.0, 15.0, Practice, &["practice_release"]);
        CUT_MINUTES: Field = number("day.cut_min", "Time to cut the cloth", "30", Minute, (0.0, 5000.0), ReadingError::Share(0.25));
        LAY_MINUTES: Field = number("day.lay_min", "Time to lay the stack", "30", Minute, (0.0, 5000.0), ReadingError::Share(0.25));
        BAG_MINUTES: Field = number("day.bag_min", "Time for mesh, lines and bag", "45", Minute, (0.0, 5000.0), ReadingError::Share(0.25));
        TEST_MINUTES: Field = number("day.test_min", "Length of the drop test", "15", Minute, (0.0, 2000.0), ReadingError::None).usual(15.0, 15.0, 15.0, Practice, &["practice_leak_limit"]);
        DEMOULD_MINUTES: Field = number("day.demould_min", "Time to strip the bag and lift the part", "20", Minute, (0.0, 2000.0), ReadingError::Share(0.3)).guess(10.0, 20.0, 40.0);
        TRIM_MINUTES: Field = number("day.trim_min", "Time to trim and sand the edge", "40", Minute, (0.0, 5000.0), ReadingError::Share(0.3));
    }
}
