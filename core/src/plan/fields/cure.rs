//! What setting, post-cure and service ask.

use super::row::{Group, OneOf, OneOrNone, Place, Switch, number, one_of, one_or_none, switch};
use super::rows;
use crate::plan::words::{Back, Colour, Facing, MouldKind, Wind};
use crate::read::{Field, ReadingError};
use crate::sheet::Grade::{Judgement, Practice, Quoted};
use crate::units::Unit::{Celsius, Hour, KelvinPerHour};

rows! {
    Place::at("cure") => {
        CURE_TEMPERATURE: Field = number("cure.temperature_c", "Temperature of the part while it cures", "21", Celsius, (-5.0, 70.0), ReadingError::Plus(1.0));
        CURE_HOURS: Field = number("cure.hours_h", "Time it may lie before you trim it", "24", Hour, (1.0, 2000.0), ReadingError::None).usual(24.0, 24.0, 24.0, Practice, &["practice_demould"]);
        MOULD: OneOf<MouldKind> = one_of("cure.mould_kind", "The mould is made of", MouldKind::Laminate);
        NIGHT: Field = number("cure.night_c", "Coldest at night where it cures", "12", Celsius, (-15.0, 45.0), ReadingError::Plus(1.5));
    }
    Place::folded("cure", "Warmth while it sets: lamp, blanket, oven", true) => {
        WARM: Field = number("cure.warm_c", "Air around it under a lamp, a blanket or in the oven while it sets", "40", Celsius, (0.0, 120.0), ReadingError::Plus(3.0));
        WARM_AFTER: Field = number("cure.warm_after_h", "That warmth begins, after the fill", "1", Hour, (0.0, 500.0), ReadingError::None).usual(0.0, 0.0, 0.0, Judgement, &["judgement_usual"]);
        WARM_HOURS: Field = number("cure.warm_h", "And lasts", "8", Hour, (0.1, 500.0), ReadingError::None).usual(8.0, 8.0, 8.0, Judgement, &["judgement_usual"]);
    }
    Place::folded("cure", "When a thin layer is hard, by its own sheet", true) => {
        FILM_OFF: Field = number("cure.film_off_h", "A thin layer may leave its mould after, on the resin's own sheet", "12", Hour, (0.3, 1000.0), ReadingError::Share(0.15));
        FILM_SET: Field = number("cure.film_set_h", "Or it is set, or hard enough to walk on, after", "6", Hour, (0.3, 1000.0), ReadingError::Share(0.15));
        FILM_AT: Field = number("cure.film_c", "At the temperature of", "23", Celsius, (5.0, 45.0), ReadingError::None).usual(23.0, 23.0, 23.0, Judgement, &["judgement_usual"]);
    }
    Place::folded("cure", "A post-cure", true) => {
        POST: Field = number("cure.post_c", "Post-cure at", "60", Celsius, (20.0, 150.0), ReadingError::Plus(3.0));
        POST_RAMP: Field = number("cure.post_ramp_k_h", "Oven warms up by, each hour", "10", KelvinPerHour, (0.5, 600.0), ReadingError::None).usual(10.0, 10.0, 10.0, Quoted, &["laminating_epoxy_tg"]);
        POST_HOURS: Field = number("cure.post_h", "Time at that temperature", "8", Hour, (0.1, 500.0), ReadingError::None).usual(8.0, 8.0, 8.0, Judgement, &["judgement_usual"]);
        POST_AFTER: Field = number("cure.post_after_h", "Post-cure begins, after the fill", "24", Hour, (0.0, 5000.0), ReadingError::None);
        POST_ON_MOULD: Switch = switch("cure.post_on_mould", "The part stays on its mould in the oven", false).hint("it may then soften and still keep its shape");
    }
    Place::folded("cure", "In service: sun and heat", true) => {
        SERVICE: Field = number("service.temperature_c", "Hottest the part gets in service", "60", Celsius, (-40.0, 250.0), ReadingError::Plus(3.0));
        COLOUR: OneOrNone<Colour> = one_or_none("service.colour", "In service the sun sees", "not stated");
        FACING: OneOf<Facing> = one_of("service.facing", "The part lies", Facing::Level);
        WIND: OneOf<Wind> = one_of("service.wind", "Around it", Wind::Still);
        BACK: OneOf<Back> = one_of("service.back", "Its back is", Back::Insulated);
        SERVICE_AIR: Field = number("service.air_c", "Hottest air around it in service", "35", Celsius, (-20.0, 60.0), ReadingError::Plus(2.0)).usual(30.0, 33.0, 37.0, Judgement, &["judgement_usual"]);
        WET: Switch = switch("service.wet", "It is wet for long in service", false);
    }
}
