//! Is the bag tight? What its gauge says, how long the pump needs, and the drop test: a leak or water.

use super::air::Air;
use super::bench::Bench;
use super::dry::Damp;
use super::resin_clock::ResinClock;
use super::stack::Stacked;
use crate::read::Problem;
use crate::sheet::BagSheet;

/// Works the bag out.
///
/// # Errors
/// A problem where these values lie beyond what can be computed.
pub(crate) fn work(
    _bench: &mut Bench<'_>,
    _air: &Air,
    _stacked: &Stacked,
    _damp: Option<&Damp>,
    _clock: Option<&ResinClock>,
) -> Result<BagSheet, Vec<Problem>> {
    Err(Vec::new())
}
