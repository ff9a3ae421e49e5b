//! What the bag and its test are asked.

use super::row::{Group, Kind, Other, Place, number, other};
use super::rows;
use crate::read::{Field, ReadingError};
use crate::sheet::Grade::{Judgement, Practice};
use crate::units::Unit::{
    Celsius, CubicMetrePerHour, Litre, Millibar, MillibarPerMinute, Millilitre, Minute, One,
    Percent,
};

rows! {
    Place::at("bag") => {
        PUMP: Field = number("dry.pump_m3_h", "Pump", "5", CubicMetrePerHour, (0.1, 500.0), ReadingError::Share(0.2)).guess(3.0, 5.0, 9.0);
        PUMP_LOWEST: Field = number("bag.pump_lowest_mbar", "Lowest pressure the pump reaches alone", "2", Millibar, (0.01, 300.0), ReadingError::Share(0.3)).usual(0.5, 2.0, 5.0, Judgement, &["judgement_pump"]);
        FREE_VOLUME: Field = number("bag.free_volume_l", "Free volume of bag, hoses and pot, if you know it", "6", Litre, (0.01, 10000.0), ReadingError::Share(0.2));
        LEAK_LIMIT: Field = number("bag.leak_limit_mbar_min", "Fastest rise you pass", "1", MillibarPerMinute, (0.001, 200.0), ReadingError::None).usual(1.0, 1.0, 1.0, Practice, &["practice_leak_limit"]);
        TEST_TEMPERATURE: Field = number("bag.test_c", "Temperature of the mould when the test began", "19", Celsius, (0.0, 100.0), ReadingError::Plus(1.0));
        TEST_END_TEMPERATURE: Field = number("bag.test_end_c", "Temperature of the mould when it ended", "19", Celsius, (0.0, 100.0), ReadingError::Plus(1.0));
    }
    Place::folded("bag", "More you may know", false) => {
        CATCH_POT: Field = number("bag.catch_pot_l", "Catch pot on the bag's side of the clamp, 0 if it is shut off", "3", Litre, (0.0, 1000.0), ReadingError::Share(0.1)).guess(0.0, 2.0, 5.0);
        SYRINGE: Field = number("bag.syringe_ml", "Air let in with a syringe", "100", Millilitre, (0.5, 100000.0), ReadingError::Share(0.03));
        SYRINGE_RISE: Field = number("bag.syringe_rise_mbar", "The syringe raised the pressure by", "16", Millibar, (0.05, 1000.0), ReadingError::None);
        PUMP_DOWN: Field = number("bag.pump_down_min", "Time the pump took to get there", "6", Minute, (0.02, 5000.0), ReadingError::Share(0.1));
        GAUGE_STEP: Field = number("bag.gauge_step", "Smallest step you can read on the gauge", "0.5", One, (0.0001, 200.0), ReadingError::None);
        GAUGE_CLASS: Field = number("bag.gauge_class_pct", "Accuracy class of the gauge", "1.6", Percent, (0.001, 10.0), ReadingError::None);
    }
    Place::at("bag-log") => {
        DROP_TEST: Other = other("bag.test", "Readings of the gauge", "", Kind::Log);
    }
}
