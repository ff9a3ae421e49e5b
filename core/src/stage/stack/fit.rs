//! Lets a measured thickness win over the shelf's guess at how far the bag packs the cloth.

use super::{Laid, STAGE};
use crate::plan::fields::MEASURED_THICKNESS;
use crate::sheet::Spread;
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Least and most that a measurement may squeeze a stack: between a mat just lying there and fibre packed
/// beyond what any bag does.
const BELIEVED: std::ops::RangeInclusive<f64> = 0.35..=3.0;

/// Measured over computed thickness of the cloths; every cloth is packed by it alike. None when nothing was
/// measured, or when the measurement cannot belong to this stack.
pub(super) fn squeeze(bench: &mut Bench<'_>, rows: &[Laid]) -> Option<Spread> {
    bench.plan.given(&MEASURED_THICKNESS)?;
    let measured = bench.take(&MEASURED_THICKNESS).times(1e-3);
    let total = |cloth: bool| {
        let parts: Vec<Spread> = rows
            .iter()
            .filter(|row| row.cloth.is_some() == cloth)
            .map(|row| row.thickness.times(f64::from(row.count)))
            .collect();
        Spread::sum(&parts)
    };
    let (cloths, cores) = (total(true), total(false));
    let squeeze = Spread::from([&measured, &cloths, &cores], |[measured, cloths, cores]| {
        (measured - cores) / cloths
    });
    if BELIEVED.contains(&squeeze.likely()) {
        return Some(squeeze);
    }
    let whole = Spread::sum([&cloths, &cores]).times(1000.0);
    let computed = bench.desk.say(Unit::Millimetre, &whole);
    bench.problem(
        STAGE,
        format!(
            "The measured thickness is far from the {computed} that this stack gives. It was not used: check the number of plies and the areal mass."
        ),
    );
    None
}
