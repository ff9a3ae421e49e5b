//! Grain size that goes with a grit number, and the steps from a coarse grit to a fine one.
//!
//! P is coated abrasive (paper, belts), F is bonded (wheels), D is diamond. Does not cover the American CAMI
//! numbers, which part from P above 220, nor burrs sold as coarse, medium or fine, which have no size.

use super::{LawError, within};
use std::sync::OnceLock;

/// The table, with P12 to P220 read in a reference page and a grit comparison quoting FEPA 43-1 and
/// ISO 6344-2, the rest from memory: P240 up FEPA 43-1 and ISO 6344-3, F FEPA 42-1 and ISO 8486, D FEPA 61
/// and ISO 6106.
const TABLE: &str = include_str!("../../data/grit.csv");

/// Usual papers on a shop's shelf, coarse to fine [P number] (common practice, no source).
const LADDER: [u32; 17] = [
    24, 36, 40, 60, 80, 100, 120, 150, 180, 240, 320, 400, 600, 800, 1200, 1500, 2000,
];

/// Each grain at least this share of the one before, so that its scratches are taken out (from memory: 0.55
/// to 0.7).
pub const SMALLEST_STEP: f64 = 0.55;

/// Which numbering a grit belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Series {
    /// Coated abrasive: P120.
    P,
    /// Bonded abrasive: F120.
    F,
    /// Diamond: D126, the number being the size.
    D,
}

/// Whether a value was read in a source or recalled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grade {
    /// Seen in a source that quotes the standard.
    Read,
    /// From memory.
    Memory,
}

/// One line of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grit {
    /// Numbering.
    pub series: Series,
    /// Grit number.
    pub number: u32,
    /// Mean or median grain [m].
    pub grain: f64,
    /// Permitted departure of the median [m], where the standard gives one.
    pub tolerance: Option<f64>,
    /// How the value is known.
    pub grade: Grade,
}

fn parse(line: &str) -> Option<Grit> {
    let mut cells = line.split(',').map(str::trim);
    let series = match cells.next()? {
        "P" => Series::P,
        "F" => Series::F,
        "D" => Series::D,
        _ => return None,
    };
    let number = cells.next()?.parse().ok()?;
    let grain = 1e-6 * crate::units::typed(cells.next()?)?;
    let tolerance = match cells.next()? {
        "" => None,
        cell => Some(1e-6 * crate::units::typed(cell)?),
    };
    let grade = match cells.next()? {
        "read" => Grade::Read,
        "memory" => Grade::Memory,
        _ => return None,
    };
    Some(Grit {
        series,
        number,
        grain,
        tolerance,
        grade,
    })
}

/// Every grit in the table, series by series, coarse to fine.
///
/// Equation: none, a table.
///
/// # Returns
/// The lines of the table; grains in [m].
/// # Valid for
/// P12 to P2500, F4 to F1200, D64 to D181.
/// # Errors
/// None.
/// # Example
/// ```
/// let coarsest = bastwork::law::grit::grits()[0];
/// assert!((coarsest.grain - 1815e-6).abs() < 1e-12, "P12, FEPA 43-1 as quoted in a reference page");
/// ```
/// # Source
/// FEPA 43-1:2006, 42-1:2006, 61; ISO 6344-2 and -3, ISO 8486-1 and -2, ISO 6106; each line says whether it
/// was read or is from memory.
pub fn grits() -> &'static [Grit] {
    static PARSED: OnceLock<Vec<Grit>> = OnceLock::new();
    PARSED.get_or_init(|| TABLE.lines().skip(1).filter_map(parse).collect())
}

/// Grain of a grit number.
///
/// Equation: none, a table; a D number is its grain in micrometres.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `series` | P, F or D | |
/// | `number` | grit number | [-] |
///
/// # Returns
/// The line of the table; grain in [m].
/// # Valid for
/// As for [`grits`].
/// # Errors
/// [`LawError::OutOfRange`] for a number that is not in the table, with the coarsest and finest of the series.
/// # Example
/// ```
/// use bastwork::law::grit::{Series, grit};
/// let paper = grit(Series::P, 120)?;
/// assert!((paper.grain - 125e-6).abs() < 1e-12, "FEPA 43-1 as quoted in a reference page");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As for [`grits`].
pub fn grit(series: Series, number: u32) -> Result<Grit, LawError> {
    let of_series = || grits().iter().filter(|grit| grit.series == series);
    of_series()
        .find(|grit| grit.number == number)
        .copied()
        .ok_or_else(|| {
            let numbers = || of_series().map(|grit| f64::from(grit.number));
            super::error::out_of_range(
                "grit number",
                f64::from(number),
                numbers().fold(f64::MAX, f64::min),
                numbers().fold(0.0, f64::max),
            )
        })
}

/// Papers to go through from a start to a finish, as few as the step allows.
///
/// Each next grain is the finest on the shelf with d_next >= 0.55 d; where the shelf has none so near, the
/// next finer one.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `start` | P number to start with | [-] |
/// | `finish` | P number to end with | [-] |
///
/// # Returns
/// P numbers in order, start and finish included [-].
/// # Valid for
/// Coated abrasives on the usual shelf of papers, P24 to P2000.
/// # Errors
/// [`LawError::OutOfRange`] for a number that is not in the table, or a finish coarser than the start.
/// # Example
/// ```
/// let steps = bastwork::law::grit::sequence(80, 240)?;
/// assert_eq!(steps, [80, 120, 180, 240]);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// The step of 0.55 to 0.7: from memory. The shelf: common practice, no source.
pub fn sequence(start: u32, finish: u32) -> Result<Vec<u32>, LawError> {
    let mut here = grit(Series::P, start)?;
    let last = grit(Series::P, finish)?;
    within("finish", f64::from(finish), f64::from(start), 2500.0)?;
    let mut shelf = Vec::new();
    for number in LADDER {
        let paper = grit(Series::P, number)?;
        if paper.grain > last.grain {
            shelf.push(paper);
        }
    }
    shelf.push(last);
    let mut steps = vec![start];
    // Every turn goes to a finer paper, so the shelf bounds the number of turns.
    while here.number != finish {
        let finer = || shelf.iter().filter(|paper| paper.grain < here.grain);
        let near = |paper: &&Grit| paper.grain >= SMALLEST_STEP * here.grain * (1.0 - 1e-9);
        let next = finer().rfind(near).or_else(|| finer().next());
        here = *next.unwrap_or(&last);
        steps.push(here.number);
    }
    Ok(steps)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_is_understood_and_in_order() {
        assert_eq!(grits().len(), TABLE.lines().count() - 1);
        for pair in grits().windows(2) {
            if pair[0].series == pair[1].series && pair[0].series != Series::D {
                assert!(pair[0].number < pair[1].number && pair[0].grain > pair[1].grain);
            }
        }
        let count = |series| grits().iter().filter(|grit| grit.series == series).count();
        assert_eq!(
            (count(Series::P), count(Series::F), count(Series::D)),
            (28, 37, 4)
        );
    }

    #[test]
    fn known_grains() {
        // FEPA 43-1 as quoted in a reference page and a grit comparison; F and D from memory.
        for (series, number, micrometres) in [
            (Series::P, 60, 269.0),
            (Series::P, 220, 68.0),
            (Series::P, 2500, 8.4),
            (Series::F, 220, 58.0),
            (Series::F, 230, 53.0),
            (Series::D, 126, 126.0),
        ] {
            let got = grit(series, number).unwrap().grain;
            assert!(
                (got - 1e-6 * micrometres).abs() < 1e-12,
                "{series:?}{number}: {got}"
            );
        }
        assert!(grit(Series::P, 400).unwrap().tolerance.is_some());
        assert!(grit(Series::P, 400).unwrap().grain < 2.1 * grit(Series::F, 400).unwrap().grain);
        assert!(matches!(
            grit(Series::P, 90),
            Err(LawError::OutOfRange(out)) if out.low == 12.0 && out.high == 2500.0
        ));
    }

    #[test]
    fn no_step_is_too_long_and_none_can_be_spared() {
        for (start, finish) in [(40, 2000), (60, 400), (80, 240), (100, 120), (120, 2500)] {
            let steps = sequence(start, finish).unwrap();
            assert_eq!((steps[0], *steps.last().unwrap()), (start, finish));
            let grain = |number| grit(Series::P, number).unwrap().grain;
            for pair in steps.windows(2) {
                assert!(
                    grain(pair[1]) / grain(pair[0]) >= SMALLEST_STEP,
                    "{steps:?}"
                );
            }
            for three in steps.windows(3) {
                assert!(
                    grain(three[2]) / grain(three[0]) < SMALLEST_STEP,
                    "{steps:?}"
                );
            }
        }
        assert_eq!(sequence(80, 80).unwrap(), [80]);
        assert!(sequence(240, 80).is_err());
        assert!(sequence(80, 90).is_err());
    }
}
