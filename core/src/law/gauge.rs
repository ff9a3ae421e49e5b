//! Absolute pressure from what a vacuum gauge shows, and back; what a gauge of a class can judge.
//!
//! Dial gauges compare the bag with the air around them, so the local air pressure always enters.

use super::{LawError, positive, within};

/// One inch of mercury [Pa].
pub const INCH_OF_MERCURY_PA: f64 = 3_386.389;
/// One millibar [Pa].
pub const MILLIBAR_PA: f64 = 100.0;

/// How a vacuum gauge is marked. All four compare the bag with the air in the room.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Marking {
    /// Millibar below the local air.
    MbarBelowLocal,
    /// Inches of mercury below the local air.
    InHgBelowLocal,
    /// Percent of the local air pressure that is gone.
    PercentOfLocal,
    /// Percent of a stated pressure: the dial shows 100 when the bag is that far below the local air.
    PercentOfReference {
        /// The pressure difference that the dial calls 100 % [Pa], often 101 325 or 100 000.
        full_pa: f64,
    },
}

impl Marking {
    fn unit_pa(self, local_pressure: f64) -> Result<f64, LawError> {
        Ok(match self {
            Self::MbarBelowLocal => MILLIBAR_PA,
            Self::InHgBelowLocal => INCH_OF_MERCURY_PA,
            Self::PercentOfLocal => 0.01 * local_pressure,
            Self::PercentOfReference { full_pa } => 0.01 * positive("full_pa", full_pa)?,
        })
    }
}

/// Absolute pressure behind a gauge reading.
///
/// p = p_local - reading * unit
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `marking` | what the dial counts in | [-] |
/// | `reading` | what the dial shows; a minus sign printed on the dial is left off | [dial unit] |
/// | `local_pressure` | air pressure in the room, not reduced to sea level | [Pa] |
///
/// # Returns
/// Absolute pressure [Pa].
/// # Valid for
/// Readings from 0 to the local air pressure; local pressure 20 to 110 kPa.
/// # Errors
/// [`LawError::OutOfRange`] naming `local_pressure`, `full_pa` or `reading` (more than the air there is).
/// # Example
/// ```
/// use bastwork::law::gauge::{Marking, absolute_pressure};
/// let p = absolute_pressure(Marking::InHgBelowLocal, 28.0, 101_325.0)?;
/// assert!((p - 6506.1).abs() < 0.1);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of gauge pressure; 1 inHg = 3386.389 Pa at 0 °C, NIST SP 811 (2008), Appendix B (from memory).
pub fn absolute_pressure(
    marking: Marking,
    reading: f64,
    local_pressure: f64,
) -> Result<f64, LawError> {
    let local = within("local_pressure", local_pressure, 2e4, 1.1e5)?;
    let unit = marking.unit_pa(local)?;
    let reading = within("reading", reading, 0.0, local / unit * (1.0 + 1e-12))?;
    Ok((local - reading * unit).max(0.0))
}

/// What a gauge shows at an absolute pressure.
///
/// reading = (p_local - p) / unit
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `marking` | what the dial counts in | [-] |
/// | `pressure` | absolute pressure | [Pa] |
/// | `local_pressure` | air pressure in the room, not reduced to sea level | [Pa] |
///
/// # Returns
/// Reading without sign [dial unit].
/// # Valid for
/// Pressures from 0 to the local air pressure; local pressure 20 to 110 kPa.
/// # Errors
/// [`LawError::OutOfRange`] naming `local_pressure`, `full_pa` or `pressure`.
/// # Example
/// ```
/// use bastwork::law::gauge::{Marking, shown};
/// let most = shown(Marking::InHgBelowLocal, 0.0, 89_875.0)?;
/// assert!((most - 26.54).abs() < 0.005);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of gauge pressure, turned round.
pub fn shown(marking: Marking, pressure: f64, local_pressure: f64) -> Result<f64, LawError> {
    let local = within("local_pressure", local_pressure, 2e4, 1.1e5)?;
    let pressure = within("pressure", pressure, 0.0, local)?;
    Ok((local - pressure) / marking.unit_pa(local)?)
}

/// Smallest difference a gauge of an accuracy class can be trusted to show.
///
/// limit = class / 100 * span
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `class` | accuracy class printed on the dial, in percent of span | [%] |
/// | `span` | whole range of the dial | [Pa] |
///
/// # Returns
/// Largest permitted deviation, either way [Pa].
/// # Valid for
/// Classes 0.1 to 4 and any span; new gauges, upright, at 20 °C.
/// # Errors
/// [`LawError::OutOfRange`] naming `class` or `span`.
/// # Example
/// ```
/// let limit = bastwork::law::gauge::class_limit(1.6, 1e5)?;
/// assert!((limit - 1600.0).abs() < 1e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// EN 837-1:1996, accuracy classes (from memory).
pub fn class_limit(class: f64, span: f64) -> Result<f64, LawError> {
    Ok(0.01 * within("class", class, 0.1, 4.0)? * positive("span", span)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    const SEA: f64 = 101_325.0;

    #[test]
    fn inches_of_mercury_at_sea_level() {
        // Arithmetic check, mbar absolute.
        for (inches, mbar) in [
            (25.0, 166.7),
            (27.0, 98.9),
            (28.0, 65.1),
            (29.0, 31.2),
            (29.5, 14.3),
        ] {
            let p = absolute_pressure(Marking::InHgBelowLocal, inches, SEA).unwrap();
            assert!((p / 100.0 - mbar).abs() < 0.06, "{inches}: {p}");
        }
    }

    #[test]
    fn every_marking_comes_back_to_itself() {
        for marking in [
            Marking::MbarBelowLocal,
            Marking::InHgBelowLocal,
            Marking::PercentOfLocal,
            Marking::PercentOfReference { full_pa: 1e5 },
        ] {
            for local in [75_000.0, 95_461.0, SEA] {
                for p in [0.0, 500.0, 2_000.0, local] {
                    let reading = shown(marking, p, local).unwrap();
                    let back = absolute_pressure(marking, reading, local).unwrap();
                    assert!((back - p).abs() < 1e-6, "{marking:?} {local} {p}: {back}");
                }
            }
        }
    }

    #[test]
    fn a_perfect_vacuum_reads_short_on_a_hill_unless_the_dial_counts_the_local_air() {
        let hill = 89_875.0;
        let fixed = Marking::PercentOfReference { full_pa: SEA };
        assert!((shown(fixed, 0.0, hill).unwrap() - 88.70).abs() < 0.01);
        assert_eq!(shown(Marking::PercentOfLocal, 0.0, hill).unwrap(), 100.0);
        assert!(absolute_pressure(Marking::InHgBelowLocal, 28.0, hill).is_err());
        assert!((absolute_pressure(fixed, 88.0, hill).unwrap() - 709.0).abs() < 0.01);
    }

    #[test]
    fn a_class_two_and_a_half_dial_cannot_judge_a_five_millibar_drop() {
        assert!(class_limit(2.5, 1e5).unwrap() > 5.0 * MILLIBAR_PA);
        assert!(class_limit(0.0, 1e5).is_err());
    }
}
