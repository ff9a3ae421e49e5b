//! What drying asks.

use super::row::{Group, Kind, OneOf, Other, Place, Switch, number, one_of, other, switch};
use super::rows;
use crate::plan::words::Faces;
use crate::read::{Field, ReadingError};
use crate::sheet::Grade::{Judgement, Practice};
use crate::units::Unit::{Celsius, Count, Gram, Hour, Litre, LitrePerMinute, Minute, Percent};

rows! {
    Place::at("dry") => {
        STORE_TEMPERATURE: Field = number("store.temperature_c", "Temperature where the cloth is kept", "16", Celsius, (-20.0, 60.0), ReadingError::Plus(1.0));
        STORE_HUMIDITY: Field = number("store.humidity_pct", "Humidity where the cloth is kept", "65", Percent, (0.0, 100.0), ReadingError::Plus(4.0));
        TARGET_REGAIN: Field = number("dry.target_regain_pct", "Dry enough: water per dry fibre", "2", Percent, (0.2, 20.0), ReadingError::None).usual(2.0, 2.0, 2.0, Judgement, &["judgement_target_regain", "moudood_2019"]);
        LIMIT_REGAIN: Field = number("dry.limit_regain_pct", "Too wet again: water per dry fibre", "4", Percent, (0.3, 25.0), ReadingError::None).usual(4.0, 4.0, 4.0, Judgement, &["judgement_target_regain"]);
        OVEN: Field = number("dry.oven_c", "Temperature of the oven", "60", Celsius, (25.0, 140.0), ReadingError::Plus(3.0)).usual(57.0, 60.0, 63.0, Practice, &["practice_oven"]);
        FACES: OneOf<Faces> = one_of("dry.faces", "How the plies lie in the oven", Faces::Two);
        FAN: Switch = switch("dry.fan", "The oven has a fan", false);
        CLOSED: Switch = switch("dry.closed", "The oven is shut tight", false).hint("the water that leaves the cloth stays in its air");
        OVEN_VOLUME: Field = number("dry.oven_l", "Air in the oven", "120", Litre, (5.0, 1000000.0), ReadingError::Share(0.1)).guess(60.0, 120.0, 300.0).when("dry.closed", &["true"]);
        PLIES_DRIED_TOGETHER: Field = number("dry.plies_together", "Plies dried on top of each other", "4", Count, (1.0, 200.0), ReadingError::None);
        SWATCH_KEPT: Field = number("dry.swatch_kept_g", "A swatch as it was kept", "10.8", Gram, (0.1, 5000.0), ReadingError::None).read_off();
        SWATCH_DRIED: Field = number("dry.swatch_dried_g", "The same swatch, oven dry", "10.0", Gram, (0.1, 5000.0), ReadingError::None).read_off();
        BAG_TEMPERATURE: Field = number("dry.bag_c", "Temperature of the mould and bag while drying", "35", Celsius, (0.0, 100.0), ReadingError::Plus(2.0));
        VACUUM_HOURS: Field = number("dry.vacuum_h", "Time under full vacuum before resin", "5", Hour, (0.1, 500.0), ReadingError::None).usual(5.0, 5.0, 5.0, Practice, &["practice_bag_drying"]);
    }
    Place::folded("dry", "More you may know", false) => {
        HEAT_UP: Field = number("dry.heat_up_min", "Minutes until oven and trays are hot again", "10", Minute, (0.0, 600.0), ReadingError::Share(0.3)).usual(5.0, 10.0, 20.0, Judgement, &["judgement_drying_time"]);
        VACUUM_LINES: Field = number("dry.vacuum_lines", "Vacuum lines on the bag", "1", Count, (1.0, 20.0), ReadingError::None).usual(1.0, 1.0, 1.0, Judgement, &["judgement_usual"]);
        BLEED: Field = number("dry.bleed_l_min", "Dry air let in through a needle valve", "0.5", LitrePerMinute, (0.001, 500.0), ReadingError::Share(0.2));
        HOTTEST: Field = number("cure.hottest_c", "Hottest the part gets before it gels", "35", Celsius, (0.0, 150.0), ReadingError::Plus(3.0));
    }
    Place::at("dry-log") => {
        WEIGHINGS: Other = other("dry.weighings", "Weighings", "", Kind::Log);
        TRAY: Field = number("dry.tray_g", "Tray or rack on the scale with the cloth", "350", Gram, (0.0, 100000.0), ReadingError::None);
    }
}
