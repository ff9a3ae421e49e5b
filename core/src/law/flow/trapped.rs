//! What becomes of air that resin closes round.

use super::super::{LawError, within};

/// Share of a place that stays dry when resin has closed round it with no vent in it.
///
/// V / V0 = p_bag / p_resin
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `bag` | p_bag, what is left in the bag, absolute | [Pa] |
/// | `resin` | p_resin, in the resin around it at the end, absolute: that of the shop once the vents are clamped | [Pa] |
///
/// # Returns
/// The share that stays dry [-].
/// # Valid for
/// Dry air at one temperature; a leak or water in the cloth leaves more, and a little dissolves in the resin.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// // 20 mbar in the bag, 1013 mbar in the shop: a fiftieth.
/// let share = bastwork::law::flow::trapped_share(2000.0, 101_325.0)?;
/// assert!((share - 0.01974).abs() < 1e-5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Boyle's law, textbook.
pub fn trapped_share(bag: f64, resin: f64) -> Result<f64, LawError> {
    within("bag", bag, 0.0, 2e5)?;
    within("resin", resin, 1e3, 2e5)?;
    Ok((bag / resin).min(1.0))
}

#[cfg(test)]
mod tests {
    use super::trapped_share;

    #[test]
    fn a_bad_vacuum_leaves_more() {
        assert!((trapped_share(10_000.0, 100_000.0).unwrap() - 0.1).abs() < 1e-12);
        assert_eq!(trapped_share(150_000.0, 100_000.0).unwrap(), 1.0);
        assert!(trapped_share(-1.0, 1e5).is_err());
        assert!(trapped_share(1.0, 0.0).is_err());
    }
}
