//! What the needle of a gauge means: every way that gauges count, in one place.

use crate::law::{LawError, atmosphere, gauge};
use crate::plan::GaugeKind;

const MBAR: f64 = 100.0;
const KPA: f64 = 1000.0;

/// How far a reading is off when nobody says, in the gauge's own unit.
///
/// A dial is read to about half a division; cheap dials have an accuracy class of 2.5 percent.
pub(crate) fn play(kind: GaugeKind) -> f64 {
    match kind {
        GaugeKind::MbarAbsolute => 3.0,
        GaugeKind::KpaAbsolute => 0.3,
        GaugeKind::MbarBelow => 12.0,
        GaugeKind::KpaBelow => 1.2,
        GaugeKind::InHgBelow => 0.35,
        GaugeKind::PercentOfLocal | GaugeKind::PercentOfStandard => 1.2,
    }
}

/// Whether the gauge counts from a perfect vacuum; the others compare with the air around them.
pub(crate) fn counts_from_vacuum(kind: GaugeKind) -> bool {
    matches!(kind, GaugeKind::MbarAbsolute | GaugeKind::KpaAbsolute)
}

/// One unit of the gauge [Pa].
pub(crate) fn unit(kind: GaugeKind, local: f64) -> f64 {
    match kind {
        GaugeKind::MbarAbsolute | GaugeKind::MbarBelow => MBAR,
        GaugeKind::KpaAbsolute | GaugeKind::KpaBelow => KPA,
        GaugeKind::InHgBelow => gauge::INCH_OF_MERCURY_PA,
        GaugeKind::PercentOfLocal => 0.01 * local,
        GaugeKind::PercentOfStandard => 0.01 * atmosphere::SEA_LEVEL_PRESSURE_PA,
    }
}

/// Absolute pressure behind a reading [Pa]; a dial at the end of its scale cannot show less than nothing.
pub(crate) fn absolute(kind: GaugeKind, reading: f64, local: f64) -> Result<f64, LawError> {
    let unit = unit(kind, local);
    if counts_from_vacuum(kind) {
        return Ok((reading * unit).max(0.1 * MBAR));
    }
    // Whatever it is marked in, such a gauge measures the difference to the air around it.
    let below = (reading * unit / MBAR).min(0.9999 * local / MBAR);
    gauge::absolute_pressure(gauge::Marking::MbarBelowLocal, below, local)
}

/// What a gauge shows at an absolute pressure, in its own unit.
pub(crate) fn shown(kind: GaugeKind, pressure: f64, local: f64) -> f64 {
    let unit = unit(kind, local);
    if counts_from_vacuum(kind) {
        pressure / unit
    } else {
        (local - pressure).max(0.0) / unit
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{GAUGE_KINDS, Words};

    #[test]
    fn every_gauge_comes_back_to_itself() {
        for kind in GAUGE_KINDS
            .iter()
            .filter_map(|word| GaugeKind::from_word(word))
        {
            for local in [80_000.0, 101_325.0] {
                let back = absolute(kind, shown(kind, 2_500.0, local), local).unwrap();
                assert!((back - 2_500.0).abs() < 1e-6, "{kind:?}: {back}");
            }
        }
    }

    #[test]
    fn twenty_eight_inches_on_a_hill_are_deeper_than_at_the_sea() {
        // 28 inHg below 1013.25 mbar leave 65.1 mbar; arithmetic check.
        let sea = absolute(GaugeKind::InHgBelow, 28.0, 101_325.0).unwrap();
        assert!((sea - 6_506.1).abs() < 0.1, "{sea}");
        // 89.6 kPa below, the same dial in kilopascal: 11.7 kPa left.
        let kpa = absolute(GaugeKind::KpaBelow, 89.6, 101_325.0).unwrap();
        assert!((kpa - 11_725.0).abs() < 0.1, "{kpa}");
        assert!(absolute(GaugeKind::InHgBelow, 26.0, 89_875.0).unwrap() < 2_000.0);
    }
}
