//! What a search for a better stack is asked.

use super::row::{Group, Place, Switch, number, switch};
use super::rows;
use crate::read::{Field, ReadingError};
use crate::sheet::Grade::Judgement;
use crate::units::Unit::{
    Count, Gram, GramPerSquareMetre, KilogramCo2, Millimetre, NewtonMetre, One, Percent,
};

rows! {
    Place::at("back") => {
        TARGET_BENDING: Field = number("target.bending_n_m", "Least bending stiffness along the part, per width", "15", NewtonMetre, (0.0001, 1e8), ReadingError::None);
        TARGET_THIN: Field = number("target.least_thickness_mm", "Thinnest that will do", "2", Millimetre, (0.05, 500.0), ReadingError::None);
        TARGET_THICK: Field = number("target.most_thickness_mm", "Thickest that fits", "4", Millimetre, (0.05, 500.0), ReadingError::None);
        TARGET_MASS: Field = number("target.most_mass_g", "Heaviest the part may be", "2500", Gram, (1.0, 10000000.0), ReadingError::None);
        TARGET_FOSSIL: Field = number("target.most_fossil_kg", "Most fossil carbon for cloth, core and resin", "12", KilogramCo2, (0.001, 1000000.0), ReadingError::None);
        TARGET_COST: Field = number("target.most_cost", "Most that cloth, core and resin may cost, in your prices", "80", One, (0.01, 100000000.0), ReadingError::None);
        TARGET_SURE: Field = number("target.sure_pct", "How sure to be that every wish is kept", "80", Percent, (50.0, 90.0), ReadingError::None).usual(80.0, 80.0, 80.0, Judgement, &["judgement_usual"]);
        TARGET_PLIES: Field = number("target.most_plies", "Most plies to lay", "12", Count, (1.0, 20.0), ReadingError::None).usual(12.0, 12.0, 12.0, Judgement, &["judgement_usual"]);
        TARGET_DRAPE: Field = number("target.heaviest_g_m2", "Heaviest cloth that drapes over your shape", "300", GramPerSquareMetre, (10.0, 5000.0), ReadingError::None);
        GLASS: Switch = switch("target.glass", "Glass cloth may be used", true);
        CARBON: Switch = switch("target.carbon", "Carbon or aramid cloth may be used", false);
        CORE: Switch = switch("target.core", "A core may lie in the middle", false);
        IN_STOCK: Switch = switch("target.in_stock_only", "Only what you have left in the shop", false).hint("as you wrote it under prices and stock");
        UNBALANCED: Switch = switch("target.unbalanced", "Stacks that pull askew are welcome too", false).hint("more plies at plus than at minus the same angle: a pull along the part then shears it");
    }
}
