//! What resin and pots are asked.

use super::row::{Group, OneOf, Place, number, one_of};
use super::rows;
use crate::plan::words::PotKind;
use crate::read::{Field, ReadingError};
use crate::sheet::Grade::{Judgement, Memory};
use crate::units::Unit::{Celsius, Gram, GramPerEquivalent, Metre, Millimetre, Minute, Percent};

rows! {
    Place::at("mix") => {
        FEED_TUBE: Field = number("bag.feed_tube_m", "Feed tube, from the pot to the part", "1.5", Metre, (0.0, 100.0), ReadingError::Share(0.1)).guess(1.0, 1.5, 2.5);
        FEED_TUBE_BORE: Field = number("bag.feed_tube_bore_mm", "Bore of the feed tube", "8", Millimetre, (1.0, 50.0), ReadingError::None).guess(6.0, 8.0, 10.0);
        SPIRAL: Field = number("bag.spiral_m", "Spiral or feed channel", "1.5", Metre, (0.0, 200.0), ReadingError::Share(0.1));
        SPIRAL_BORE: Field = number("bag.spiral_bore_mm", "Bore of the spiral", "10", Millimetre, (1.0, 50.0), ReadingError::None).guess(8.0, 10.0, 12.0);
        CATCH_SHARE: Field = number("bag.catch_pot_pct", "Resin drawn on into the catch pot", "4", Percent, (0.0, 60.0), ReadingError::Share(0.5)).guess(1.0, 4.0, 9.0);
        SCALE_STEP: Field = number("mix.scale_step_g", "Smallest step of the scale", "1", Gram, (0.001, 100.0), ReadingError::None).usual(1.0, 1.0, 1.0, Judgement, &["judgement_usual"]);
        TOLERANCE: Field = number("mix.tolerance_pct", "How far the hardener may be off", "2", Percent, (0.1, 10.0), ReadingError::None).usual(2.0, 2.0, 2.0, Memory, &["memory_tolerance"]);
        LARGEST_POT: Field = number("mix.largest_pot_g", "Largest pot you want to mix", "500", Gram, (20.0, 50000.0), ReadingError::None).usual(500.0, 500.0, 500.0, Judgement, &["judgement_usual"]);
        RESIN_ON_HAND: Field = number("mix.on_hand_g", "Mixed resin you have for this part, if it is short", "900", Gram, (1.0, 1000000.0), ReadingError::None);
        WORK_MINUTES: Field = number("mix.work_min", "Time to wet the stack out by hand", "40", Minute, (1.0, 1000.0), ReadingError::Share(0.2));
        RESIN_WARMTH: Field = number("mix.resin_c", "Temperature of resin and hardener when you mix them", "24", Celsius, (0.0, 60.0), ReadingError::Plus(1.0));
        POT: OneOf<PotKind> = one_of("mix.pot_kind", "What you mix in", PotKind::Cup);
        POT_WIDTH: Field = number("mix.pot_mm", "Width of the pot, or short side of the tray", "90", Millimetre, (20.0, 2000.0), ReadingError::Share(0.05));
        POT_LENGTH: Field = number("mix.pot_length_mm", "Long side of the tray", "350", Millimetre, (20.0, 3000.0), ReadingError::Share(0.05)).when("mix.pot_kind", &["tray"]);
        BATH: Field = number("mix.bath_c", "Temperature of the water bath", "15", Celsius, (0.0, 40.0), ReadingError::Plus(1.0)).when("mix.pot_kind", &["bath"]);
        STIR: Field = number("mix.stir_min", "Time to weigh and stir one pot", "4", Minute, (0.5, 60.0), ReadingError::Share(0.25)).guess(3.0, 4.0, 7.0);
    }
    Place::folded("mix", "The formulation, if you know it", true) => {
        EEW: Field = number("mix.eew_g_eq", "Epoxy equivalent weight of the resin", "189", GramPerEquivalent, (50.0, 5000.0), ReadingError::None);
        DILUENT_EEW: Field = number("mix.diluent_eew_g_eq", "Epoxy equivalent weight of a diluent in it", "183", GramPerEquivalent, (50.0, 5000.0), ReadingError::None);
        DILUENT_SHARE: Field = number("mix.diluent_pct", "Share of the diluent, by weight", "10", Percent, (0.0, 90.0), ReadingError::None);
        FILLER_SHARE: Field = number("mix.filler_pct", "Share of filler that does not react, by weight", "10", Percent, (0.0, 90.0), ReadingError::None);
        AHEW: Field = number("mix.ahew_g_eq", "Amine hydrogen equivalent weight of the hardener", "43", GramPerEquivalent, (10.0, 1000.0), ReadingError::None);
        SECOND_AHEW: Field = number("mix.second_ahew_g_eq", "The same of a second amine in it", "60", GramPerEquivalent, (10.0, 1000.0), ReadingError::None);
        SECOND_SHARE: Field = number("mix.second_pct", "Share of the second amine, by weight", "60", Percent, (0.0, 100.0), ReadingError::None);
    }
    Place::folded("mix", "More you may know", false) => {
        DEGAS: Field = number("mix.degas_min", "Time in the vacuum pot after mixing, 0 for none", "10", Minute, (0.0, 240.0), ReadingError::Share(0.1)).usual(0.0, 0.0, 0.0, Judgement, &["judgement_usual"]);
    }
    Place::at("mix-log") => {
        WEIGHED_RESIN: Field = number("mix.weighed_resin_g", "Resin you really weighed in", "385", Gram, (0.1, 1000000.0), ReadingError::None);
        WEIGHED_HARDENER: Field = number("mix.weighed_hardener_g", "Hardener you really weighed in", "116", Gram, (0.1, 1000000.0), ReadingError::None);
    }
}
