//! What was weighed in against what the data sheet asks for, and what puts it right while it is still liquid.
//!
//! Does not say how many degrees of glass transition a wrong ratio costs: no trustworthy number is known.

use super::{LawError, positive, within};

/// How far the hardener is off, as a share of its dose.
///
/// e = (h / r) / (p / 100) - 1
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | r, resin weighed in | [kg] |
/// | `hardener` | h, hardener weighed in | [kg] |
/// | `phr` | p, parts of hardener per hundred of resin, by weight | [-] |
///
/// # Returns
/// Share by which the hardener is too much, or too little where negative [-].
/// # Valid for
/// Any two parts that were weighed.
/// # Errors
/// [`LawError::OutOfRange`] for masses or a ratio that are not positive.
/// # Example
/// ```
/// let off = bastwork::law::off_ratio::hardener_off(0.500, 0.153, 30.0)?;
/// assert!((off - 0.02).abs() < 1e-12, "three grams too much in 150");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of the mixing ratio.
pub fn hardener_off(resin: f64, hardener: f64, phr: f64) -> Result<f64, LawError> {
    let dose = positive("resin", resin)? * positive("phr", phr)? / 100.0;
    Ok(positive("hardener", hardener)? / dose - 1.0)
}

/// What to add to a mix that is off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Add {
    /// So much resin [kg].
    Resin(f64),
    /// So much hardener [kg].
    Hardener(f64),
}

/// What to add so that the ratio is right again.
///
/// r' = 100 h / p - r where there is too much hardener, h' = r p / 100 - h where there is too little
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | r, resin weighed in | [kg] |
/// | `hardener` | h, hardener weighed in | [kg] |
/// | `phr` | p, parts of hardener per hundred of resin, by weight | [-] |
///
/// # Returns
/// The part that is short, and how much of it [kg].
/// # Valid for
/// A pot that is freshly mixed and liquid.
/// # Errors
/// [`LawError::OutOfRange`] for masses or a ratio that are not positive.
/// # Example
/// ```
/// use bastwork::law::off_ratio::{Add, put_right};
/// let Add::Resin(more) = put_right(0.500, 0.153, 30.0)? else { panic!() };
/// assert!((more - 0.010).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Arithmetic from the mixing ratio.
pub fn put_right(resin: f64, hardener: f64, phr: f64) -> Result<Add, LawError> {
    let off = hardener_off(resin, hardener, phr)?;
    Ok(if off > 0.0 {
        Add::Resin(100.0 * hardener / phr - resin)
    } else {
        Add::Hardener(resin * phr / 100.0 - hardener)
    })
}

/// Whether the two parts look swapped: far off as weighed, and right the other way round.
///
/// |e(h, r)| <= 0.1 and |e(r, h)| > 0.5, with e of [`hardener_off`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | r, resin weighed in | [kg] |
/// | `hardener` | h, hardener weighed in | [kg] |
/// | `phr` | p, parts of hardener per hundred of resin, by weight | [-] |
///
/// # Returns
/// True where they look swapped.
/// # Valid for
/// Ratios well away from one to one; near it nobody can tell.
/// # Errors
/// As for [`hardener_off`].
/// # Example
/// ```
/// use bastwork::law::off_ratio::look_swapped;
/// assert!(look_swapped(0.090, 0.300, 30.0)? && !look_swapped(0.300, 0.300, 30.0)?);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Arithmetic from the mixing ratio; the limits are our judgement.
pub fn look_swapped(resin: f64, hardener: f64, phr: f64) -> Result<bool, LawError> {
    let other_way = hardener_off(hardener, resin, phr)?;
    Ok(other_way.abs() <= 0.1 && hardener_off(resin, hardener, phr)?.abs() > 0.5)
}

/// Whether such a mix still sets throughout, by the groups it holds.
///
/// 1/3 < 1 + e < 3 for two epoxy groups and four amine hydrogens, with the stated ratio taken for the right one
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `off` | e, share by which the hardener is off | [-] |
///
/// # Returns
/// True where a network can span the pot at all.
/// # Valid for
/// Diepoxide and diamine in a formulated pair whose stated ratio is about one group to one.
/// # Errors
/// [`LawError::OutOfRange`] for less than none.
/// # Example
/// ```
/// use bastwork::law::off_ratio::sets_at_all;
/// assert!(sets_at_all(-0.5)? && !sets_at_all(-0.7)? && !sets_at_all(2.5)?);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Flory-Stockmayer theory of gelation (from memory).
pub fn sets_at_all(off: f64) -> Result<bool, LawError> {
    let ratio = 1.0 + within("off", off, -1.0, 1e9)?;
    Ok(ratio > 1.0 / 3.0 && ratio < 3.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::cure::gel_conversion;

    #[test]
    fn what_is_added_puts_it_right() {
        for (resin, hardener) in [(0.5, 0.14), (0.5, 0.16), (1.0, 0.1), (0.2, 0.2)] {
            let (r, h) = match put_right(resin, hardener, 30.0).unwrap() {
                Add::Resin(more) => (resin + more, hardener),
                Add::Hardener(more) => (resin, hardener + more),
            };
            assert!(
                r >= resin && h >= hardener,
                "nothing comes out of a pot again"
            );
            assert!(hardener_off(r, h, 30.0).unwrap().abs() < 1e-12);
        }
        assert!(hardener_off(0.0, 0.1, 30.0).is_err());
    }

    #[test]
    fn the_window_is_that_of_the_gel_point() {
        for off in [-0.66, -0.5, 0.0, 1.0, 1.9] {
            assert_eq!(
                sets_at_all(off).unwrap(),
                gel_conversion(1.0 + off, 2.0, 4.0).is_ok()
            );
        }
        assert!(gel_conversion(1.0 - 0.68, 2.0, 4.0).is_err() && !sets_at_all(-0.68).unwrap());
    }
}
