//! The order of a list of numbers.

/// Positions of the values from the smallest to the largest; equal values keep their order.
///
/// x(order_0) <= x(order_1) <= ..
///
/// # Returns
/// Indices into `values` [-].
/// # Valid for
/// Up to 65 536 values; what is not a number goes last.
/// # Errors
/// None.
/// # Example
/// ```
/// assert_eq!(bastwork::solve::order(&[0.3, 0.1, 0.2]), [1, 2, 0]);
/// ```
/// # Source
/// Definition; the sort is the standard library's.
pub fn order(values: &[f64]) -> Vec<u16> {
    let mut order: Vec<u16> = (0..values.len().min(65_536)).map(|i| i as u16).collect();
    order.sort_unstable_by(|&a, &b| {
        let (x, y) = (values[usize::from(a)], values[usize::from(b)]);
        x.total_cmp(&y).then(a.cmp(&b))
    });
    order
}
