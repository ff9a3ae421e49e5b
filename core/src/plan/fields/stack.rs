//! What the stack asks: cloth that brings its resin, the finish, what was measured.

use super::row::{Group, Place, Switch, number, switch};
use super::rows;
use crate::read::{Field, ReadingError};
use crate::sheet::Grade::{Judgement, Practice};
use crate::units::Unit::{Hour, Micrometre, Millimetre, Minute, Percent};

rows! {
    Place::at("stack") => {
        RESIN_CONTENT: Field = number("prepreg.resin_pct", "Resin in the prepreg, by mass", "50", Percent, (15.0, 80.0), ReadingError::Plus(2.0));
        MASS_WITH_RESIN: Switch = switch("prepreg.mass_with_resin", "The areal mass of the prepreg counts its resin", false);
        BLED: Field = number("prepreg.bled_pct", "Share of its resin that a bleeder takes, weighed", "10", Percent, (0.0, 90.0), ReadingError::Share(0.2)).usual(0.0, 0.0, 0.0, Judgement, &["judgement_usual"]);
        MEASURED_THICKNESS: Field = number("measured.thickness_mm", "Thickness measured on such a part", "2.7", Millimetre, (0.05, 300.0), ReadingError::Plus(0.1)).read_off();
        GELCOAT: Field = number("finish.gelcoat_mm", "Gelcoat on one face, when cured", "0.4", Millimetre, (0.01, 5.0), ReadingError::Share(0.2));
        PAINT: Field = number("finish.paint_um", "Primer and paint on one face, when dry", "110", Micrometre, (1.0, 5000.0), ReadingError::Share(0.2));
        THAW: Field = number("prepreg.thaw_h", "Time the sealed prepreg takes to warm up from the freezer, 0 for none", "6", Hour, (0.0, 200.0), ReadingError::Share(0.3)).usual(2.0, 6.0, 24.0, Practice, &["practice_prepreg"]);
        DEBULK: Field = number("prepreg.debulk_min", "Time under vacuum for each debulk, 0 for none", "10", Minute, (0.0, 240.0), ReadingError::Share(0.2)).usual(5.0, 10.0, 20.0, Practice, &["practice_prepreg"]);
        OVEN_CURE: Field = number("prepreg.cure_h", "Cure in the oven by its own sheet, warming and cooling counted", "6", Hour, (0.1, 200.0), ReadingError::Share(0.1)).guess(3.0, 6.0, 12.0);
    }
}
