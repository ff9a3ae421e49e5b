//! How much larger than its net shape a laminate is left before trimming, and how true a hand-trimmed edge is.
//!
//! Does not cover the wide rough margin for bagging, which is cut off with the bag.

use super::{LawError, within};

/// A figure with a likely range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Low end [m].
    pub low: f64,
    /// High end [m].
    pub high: f64,
}

/// Stock for finish sanding [m]: 0.5 to 1 mm (common practice, no source).
pub const FINISH_STOCK: Span = Span {
    low: 0.5e-3,
    high: 1.0e-3,
};

/// Finish sanding removes at least this many times the depth of fluffed or split edge (from memory).
pub const DAMAGE_FACTOR: f64 = 3.0;

/// Tools that cut a trim line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cutter {
    /// Router cutter or burr of a diameter [m].
    Router {
        /// Diameter [m].
        diameter: f64,
    },
    /// Grit or segment disc.
    GritDisc,
    /// Jigsaw blade.
    Jigsaw,
    /// Band saw blade.
    BandSaw,
    /// Abrasive cut-off disc.
    CutOffDisc,
}

/// Width that a cutter takes out.
///
/// Equation: the diameter for a router; else a table: grit disc 1.0 to 2.2, jigsaw 1.0 to 1.5, band saw 0.7
/// to 1.3, cut-off disc 1.0 to 1.6 mm
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `cutter` | kind of tool | |
///
/// # Returns
/// Kerf, low and high [m].
/// # Valid for
/// Blades sold for laminates; measure your own cut.
/// # Errors
/// [`LawError::OutOfRange`] for a router diameter outside 0.5..30 mm.
/// # Example
/// ```
/// use bastwork::law::trim_allowance::{Cutter, kerf};
/// let cut = kerf(Cutter::Router { diameter: 0.006 })?;
/// assert!(cut.low == 0.006 && cut.high == 0.006);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// From memory.
pub fn kerf(cutter: Cutter) -> Result<Span, LawError> {
    let (low, high) = match cutter {
        Cutter::Router { diameter } => {
            let d = within("diameter", diameter, 0.5e-3, 0.03)?;
            (d, d)
        }
        Cutter::GritDisc => (1.0e-3, 2.2e-3),
        Cutter::Jigsaw => (1.0e-3, 1.5e-3),
        Cutter::BandSaw => (0.7e-3, 1.3e-3),
        Cutter::CutOffDisc => (1.0e-3, 1.6e-3),
    };
    Ok(Span { low, high })
}

/// Distance outside the net line at which to draw the cutting line.
///
/// o = kerf/2 + wander + max(finish, 3 damage), low ends and high ends each added
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `kerf` | width taken out, the cutter's middle on the line | [m] |
/// | `wander` | how far the cut strays from the line | [m] |
/// | `finish` | stock for sanding; [`FINISH_STOCK`] | [m] |
/// | `damage` | depth of fluffed or split edge the cutter leaves | [m] |
///
/// # Returns
/// Oversize on each edge, low and high [m].
/// # Valid for
/// An edge cut once and then sanded to the line.
/// # Errors
/// [`LawError::OutOfRange`] for a length outside 0..50 mm or a span that runs backwards.
/// # Example
/// ```
/// use bastwork::law::trim_allowance::{Cutter, FINISH_STOCK, Span, kerf, oversize};
/// let wander = Span { low: 0.5e-3, high: 1.5e-3 };
/// let none = Span { low: 0.0, high: 0.0 };
/// let edge = oversize(kerf(Cutter::Jigsaw)?, wander, FINISH_STOCK, none)?;
/// assert!((edge.low - 1.5e-3).abs() < 1e-12 && (edge.high - 3.25e-3).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Sum of lengths; the factor of three on damage is from memory.
pub fn oversize(kerf: Span, wander: Span, finish: Span, damage: Span) -> Result<Span, LawError> {
    for (field, span) in [
        ("kerf", kerf),
        ("wander", wander),
        ("finish", finish),
        ("damage", damage),
    ] {
        within(field, span.high, 0.0, 0.05)?;
        within(field, span.low, 0.0, span.high)?;
    }
    let sum = |kerf: f64, wander: f64, finish: f64, damage: f64| {
        0.5 * kerf + wander + finish.max(DAMAGE_FACTOR * damage)
    };
    Ok(Span {
        low: sum(kerf.low, wander.low, finish.low, damage.low),
        high: sum(kerf.high, wander.high, finish.high, damage.high),
    })
}

/// How true a hand-trimmed edge can be expected to be: general tolerance, class c (coarse).
///
/// Equation: none, a table: 0.2, 0.3, 0.5, 0.8, 1.2, 2, 3, 4 mm for sizes from 0.5 up to 3, 6, 30, 120, 400,
/// 1000, 2000, 4000 mm
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `size` | nominal length of the part across the trimmed edge | [m] |
///
/// # Returns
/// Permitted departure, plus or minus [m].
/// # Valid for
/// Straight lengths from 0.5 mm to 4 m. That a hand-trimmed laminate edge reaches class c is our judgement.
/// # Errors
/// [`LawError::OutOfRange`] for a size outside 0.5 mm..4 m.
/// # Example
/// ```
/// let tolerance = bastwork::law::trim_allowance::coarse_tolerance(0.650)?;
/// assert!((tolerance - 2e-3).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// ISO 2768-1:1989, table 1, class c (from memory).
pub fn coarse_tolerance(size: f64) -> Result<f64, LawError> {
    let size = within("size", size, 0.5e-3, 4.0)?;
    let steps = [
        (3e-3, 0.2e-3),
        (6e-3, 0.3e-3),
        (30e-3, 0.5e-3),
        (0.12, 0.8e-3),
        (0.4, 1.2e-3),
        (1.0, 2e-3),
        (2.0, 3e-3),
    ];
    Ok(steps
        .iter()
        .find(|(up_to, _)| size <= *up_to)
        .map_or(4e-3, |(_, tolerance)| *tolerance))
}

#[cfg(test)]
mod tests {
    use super::*;

    const NONE: Span = Span {
        low: 0.0,
        high: 0.0,
    };

    #[test]
    fn a_frayed_edge_needs_more() {
        let cut = kerf(Cutter::BandSaw).unwrap();
        let clean = oversize(cut, NONE, FINISH_STOCK, NONE).unwrap();
        let frayed = Span {
            low: 0.1e-3,
            high: 1e-3,
        };
        let rough = oversize(cut, NONE, FINISH_STOCK, frayed).unwrap();
        assert!((clean.low - 0.85e-3).abs() < 1e-12 && (clean.high - 1.65e-3).abs() < 1e-12);
        assert!(
            (rough.low - clean.low).abs() < 1e-12,
            "0.3 mm of fray goes with the usual stock"
        );
        assert!((rough.high - 3.65e-3).abs() < 1e-12);
    }

    #[test]
    fn refuses_millimetres_and_backward_spans() {
        let cut = kerf(Cutter::GritDisc).unwrap();
        assert!(
            oversize(
                Span {
                    low: 1.0,
                    high: 2.2
                },
                NONE,
                FINISH_STOCK,
                NONE
            )
            .is_err()
        );
        assert!(
            oversize(
                cut,
                Span {
                    low: 2e-3,
                    high: 1e-3
                },
                FINISH_STOCK,
                NONE
            )
            .is_err()
        );
        assert!(kerf(Cutter::Router { diameter: 6.0 }).is_err());
    }

    #[test]
    fn tolerance_steps_where_the_table_does() {
        // ISO 2768-1 class c, from memory: the upper end belongs to the step.
        for (mm, tolerance) in [
            (5.0, 0.3),
            (30.0, 0.5),
            (31.0, 0.8),
            (400.0, 1.2),
            (2000.0, 3.0),
            (4000.0, 4.0),
        ] {
            let got = coarse_tolerance(mm / 1e3).unwrap() * 1e3;
            assert!((got - tolerance).abs() < 1e-9, "{mm}: {got}");
        }
        assert!(
            coarse_tolerance(650.0).is_err(),
            "millimetres given for metres"
        );
    }
}
