//! Stratified random draws: every input is sampled once in each of many equal slices of probability.
//!
//! A Latin hypercube. Because each column is stratified, percentiles of smooth functions settle with a
//! few hundred draws; because each column is seeded by its own name, adding an input moves no other.

use rand::SeedableRng;
use rand::seq::SliceRandom;
use rand_pcg::Pcg32;
use statrs::distribution::{ContinuousCDF, Normal};

/// Draws per quantity. Odd, so that the middle slice is the median itself. With 255 the 10th and 90th
/// percentile of a sum of many inputs move by about one hundredth of the range when the seed changes.
pub const DRAWS: usize = 255;

/// Rank of every draw of the column called `name`, a permutation of 0..[`DRAWS`].
///
/// rank_k = permutation of 0, 1, .., n - 1 with a generator seeded by the name
///
/// # Returns
/// The ranks, dimensionless [-].
/// # Valid for
/// Any name; equal names give equal columns.
/// # Errors
/// None.
/// # Example
/// ```
/// let ranks = bastwork::solve::column("room.humidity_pct");
/// assert_eq!(ranks.len(), bastwork::solve::DRAWS);
/// assert_eq!(ranks.iter().map(|&r| r as usize).sum::<usize>(), 255 * 254 / 2);
/// ```
/// # Source
/// McKay, Beckman and Conover 1979, Technometrics 21:239, section 2.1 (from memory).
pub fn column(name: &str) -> Vec<u16> {
    // FNV-1a: a fixed, portable hash; the standard library's may change between versions.
    let seed = name.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    let mut ranks: Vec<u16> = (0..DRAWS as u16).collect();
    ranks.shuffle(&mut Pcg32::seed_from_u64(seed));
    ranks
}

/// Standard normal quantile in the middle of each slice of probability.
///
/// z_k = inverse normal distribution of (k + 1/2) / n
///
/// # Returns
/// [`DRAWS`] rising values, dimensionless [-], the middle one zero.
/// # Valid for
/// Always.
/// # Errors
/// None.
/// # Example
/// ```
/// let z = bastwork::solve::normal_slices();
/// assert_eq!(z[127], 0.0);
/// // The 90th percentile of the standard normal distribution is 1.2816.
/// assert!((z[229] - 1.2816).abs() < 0.01);
/// ```
/// # Source
/// Definition; the quantile function is the library statrs.
pub fn normal_slices() -> Vec<f64> {
    let normal = Normal::standard();
    let mut z: Vec<f64> = (0..DRAWS)
        .map(|k| normal.inverse_cdf((k as f64 + 0.5) / DRAWS as f64))
        .collect();
    z[DRAWS / 2] = 0.0;
    z
}

/// 90th percentile of the standard normal distribution.
pub const Z90: f64 = 1.281_551_565_544_600_4;
