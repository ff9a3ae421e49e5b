//! Lets a measured thickness win over the shelf's guess at how far the bag packs the cloth.

use super::{Laid, STAGE};
use crate::law::LawError;
use crate::plan::fields::MEASURED_THICKNESS;
use crate::sheet::Spread;
use crate::stage::bench::Bench;
use crate::units::Unit;

/// The measured thickness wins: every cloth is packed by the same factor until the stack fits.
pub(super) fn fit_to_measurement(
    bench: &mut Bench<'_>,
    rows: &mut [Laid],
    resin_density: &Spread,
) -> Result<(), LawError> {
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
    // Between a mat just lying there and fibre packed beyond what any bag does.
    if squeeze.likely() < 0.35 || squeeze.likely() > 3.0 {
        let computed = bench.desk.say(
            Unit::Millimetre,
            &Spread::sum([&cloths, &cores]).times(1000.0),
        );
        bench.problem(
            STAGE,
            format!(
                "The measured thickness is far from the {computed} that this stack gives. It was not used: check the number of plies and the areal mass."
            ),
        );
        return Ok(());
    }
    for row in rows.iter_mut() {
        let Some(cloth) = row.cloth.as_mut() else {
            continue;
        };
        row.thickness = Spread::from([&row.thickness, &squeeze], |[t, s]| t * s.clamp(0.3, 4.0));
        let packed = Spread::from([&cloth.fraction, &squeeze], |[v, s]| {
            (v / s.clamp(0.3, 4.0)).clamp(0.03, 0.85)
        });
        // Resin fills what the fibre and its own voids leave.
        let [matrix, void] = Spread::several(
            [&packed, &cloth.fraction, &cloth.void],
            |[packed, fraction, void]| {
                let void = (void * packed / fraction).min(0.3);
                Ok([(1.0 - packed - void).max(0.0), void])
            },
        )?;
        row.resin = Spread::from(
            [&matrix, &row.thickness, resin_density],
            |[share, t, rho]| share * t * rho,
        );
        cloth.fraction = packed;
        cloth.void = void;
    }
    Ok(())
}
