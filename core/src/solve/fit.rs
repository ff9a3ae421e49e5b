//! Least squares with a few unknowns kept inside bounds, and the lowest point of a function of one variable.
//!
//! Together they fit curves that are linear in all unknowns but one. Sums come from outside: nothing is stored.

/// Unknowns x between bounds for which the squared distance to some readings is smallest.
///
/// minimise x^T G x - 2 r^T x with low <= x <= high, G = A^T A, r = A^T y
///
/// `gram` is G and `right` is r of the columns A and the readings y; an endless bound is no bound. Choices of unknowns
/// at a bound are tried until none of them pulls inwards, which is the lowest point because the function is convex.
///
/// # Returns
/// x [the unit of y over that of its column] and the function there [unit of y, squared]; the sum of squared
/// distances is that plus the sum of y squared. None where the columns say the same and no bound settles it.
/// # Valid for
/// Up to four unknowns; `low` <= `high`. Finite numbers.
/// # Errors
/// None.
/// # Example
/// ```
/// use bastwork::solve::bounded_squares;
/// // A line through (0, 1), (1, 3), (2, 5): 1 + 2 t. Then with a slope of at most 1: 2 + t.
/// let (gram, right) = ([[3.0, 3.0], [3.0, 5.0]], [9.0, 13.0]);
/// let (low, free) = ([f64::NEG_INFINITY; 2], [f64::INFINITY; 2]);
/// let (x, value) = bounded_squares(&gram, &right, &low, &free).unwrap_or_default();
/// assert!((x[0] - 1.0).abs() < 1e-12 && (x[1] - 2.0).abs() < 1e-12 && (value + 35.0).abs() < 1e-12);
/// let (x, value) = bounded_squares(&gram, &right, &low, &[f64::INFINITY, 1.0]).unwrap_or_default();
/// assert!((x[0] - 2.0).abs() < 1e-12 && x[1] == 1.0 && (value + 33.0).abs() < 1e-12);
/// ```
/// # Source
/// Conditions of Karush, Kuhn and Tucker for a convex quadratic, textbook.
pub fn bounded_squares<const N: usize>(
    gram: &[[f64; N]; N],
    right: &[f64; N],
    low: &[f64; N],
    high: &[f64; N],
) -> Option<([f64; N], f64)> {
    let mut best: Option<([f64; N], f64)> = None;
    // Each unknown is free, at its low bound or at its high one: the digits of `choice` to base three.
    for choice in 0..3_usize.pow(N as u32) {
        let Some(held) = held_at(choice, low, high) else {
            continue;
        };
        let Some(x) = solve_held(gram, right, &held) else {
            continue;
        };
        let inside = (0..N).all(|i| held[i].is_some() || (x[i] >= low[i] && x[i] <= high[i]));
        if !inside {
            continue;
        }
        let value = quadratic(gram, right, &x);
        if best.is_none_or(|(_, least)| value < least) {
            best = Some((x, value));
        }
        if none_pulls_inwards(gram, right, &x, &held, low) {
            break;
        }
    }
    best
}

/// Whether the function falls outwards at every bound that is held: then this is the lowest point.
fn none_pulls_inwards<const N: usize>(
    gram: &[[f64; N]; N],
    right: &[f64; N],
    x: &[f64; N],
    held: &[Option<f64>; N],
    low: &[f64; N],
) -> bool {
    (0..N).all(|i| {
        let row: f64 = gram[i].iter().zip(x).map(|(g, x)| g * x).sum();
        let slope = row - right[i];
        match held[i] {
            None => true,
            Some(value) if value == low[i] => slope >= 0.0,
            Some(_) => slope <= 0.0,
        }
    })
}

fn held_at<const N: usize>(
    mut choice: usize,
    low: &[f64; N],
    high: &[f64; N],
) -> Option<[Option<f64>; N]> {
    let mut held = [None; N];
    for i in 0..N {
        let bound = match choice % 3 {
            0 => None,
            1 => Some(low[i]),
            _ => Some(high[i]),
        };
        if bound.is_some_and(f64::is_infinite) {
            return None;
        }
        held[i] = bound;
        choice /= 3;
    }
    Some(held)
}

fn quadratic<const N: usize>(gram: &[[f64; N]; N], right: &[f64; N], x: &[f64; N]) -> f64 {
    (0..N)
        .map(|i| {
            let row: f64 = gram[i].iter().zip(x).map(|(g, x)| g * x).sum();
            x[i] * (row - 2.0 * right[i])
        })
        .sum()
}

/// The free unknowns by elimination, those that are held at their value.
fn solve_held<const N: usize>(
    gram: &[[f64; N]; N],
    right: &[f64; N],
    held: &[Option<f64>; N],
) -> Option<[f64; N]> {
    let mut m = *gram;
    let mut r = *right;
    for (i, at) in held.iter().enumerate() {
        if let Some(value) = *at {
            for k in 0..N {
                r[k] -= gram[k][i] * value;
                m[k][i] = 0.0;
                m[i][k] = 0.0;
            }
        }
    }
    for (i, at) in held.iter().enumerate() {
        if let Some(value) = *at {
            m[i][i] = 1.0;
            r[i] = value;
        }
    }
    for i in 0..N {
        // Symmetric and positive: no change of rows is needed.
        let whole = if held[i].is_some() { 1.0 } else { gram[i][i] };
        if m[i][i].is_nan() || m[i][i] <= 1e-11 * whole {
            return None;
        }
        for k in i + 1..N {
            let factor = m[k][i] / m[i][i];
            let row = m[i];
            for (x, above) in m[k].iter_mut().zip(row) {
                *x -= factor * above;
            }
            r[k] -= factor * r[i];
        }
    }
    for i in (0..N).rev() {
        let known: f64 = (i + 1..N).map(|k| m[i][k] * r[k]).sum();
        r[i] = (r[i] - known) / m[i][i];
    }
    r.iter().all(|x| x.is_finite()).then_some(r)
}

/// Place between two ends where a function with one valley is lowest.
///
/// The bracket shrinks by 0.618 a step
///
/// # Returns
/// The abscissa [the unit of the ends], within (high - low) * 0.618^steps of the lowest point.
/// # Valid for
/// One valley between the ends; with several it finds one of them.
/// # Errors
/// None.
/// # Example
/// ```
/// let x = bastwork::solve::lowest(|x: f64| (x - 0.3).powi(2), 0.0, 1.0, 40);
/// assert!((x - 0.3).abs() < 1e-7);
/// ```
/// # Source
/// Kiefer 1953, Proc. Am. Math. Soc. 4:502, golden section (from memory).
pub fn lowest(mut f: impl FnMut(f64) -> f64, low: f64, high: f64, steps: usize) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let (mut a, mut b) = (low, high);
    let (mut left, mut right) = (b - GOLDEN * (b - a), a + GOLDEN * (b - a));
    let (mut at_left, mut at_right) = (f(left), f(right));
    for _ in 0..steps {
        if at_left <= at_right {
            b = right;
            (right, at_right) = (left, at_left);
            left = b - GOLDEN * (b - a);
            at_left = f(left);
        } else {
            a = left;
            (left, at_left) = (right, at_right);
            right = a + GOLDEN * (b - a);
            at_right = f(right);
        }
    }
    if at_left <= at_right { left } else { right }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FREE: f64 = f64::INFINITY;

    /// Sums of the columns 1, t, t^2 over some readings.
    fn sums(readings: &[(f64, f64)]) -> ([[f64; 3]; 3], [f64; 3], f64) {
        let (mut gram, mut right, mut all) = ([[0.0; 3]; 3], [0.0; 3], 0.0);
        for &(t, y) in readings {
            let row = [1.0, t, t * t];
            for i in 0..3 {
                right[i] += row[i] * y;
                for k in 0..3 {
                    gram[i][k] += row[i] * row[k];
                }
            }
            all += y * y;
        }
        (gram, right, all)
    }

    #[test]
    fn never_lies_above_a_search_of_the_whole_box() {
        let readings = [(0.0, 1.0), (1.0, 0.2), (2.0, 2.9), (3.0, 2.0), (4.0, 1.5)];
        let (gram, right, all) = sums(&readings);
        for (low, high) in [
            ([-FREE, 0.0, -FREE], [FREE, FREE, FREE]),
            ([-FREE, 0.0, 0.0], [1.0, FREE, FREE]),
            ([1.4, 0.0, 0.0], [1.6, 0.1, 0.05]),
            ([2.0, -1.0, 0.0], [2.5, -0.2, 0.3]),
        ] {
            let (x, value) = bounded_squares(&gram, &right, &low, &high).unwrap();
            let direct: f64 = readings
                .iter()
                .map(|(t, y)| (y - x[0] - x[1] * t - x[2] * t * t).powi(2))
                .sum();
            assert!((direct - value - all).abs() < 1e-9, "{direct} {value}");
            let steps = |i: usize| {
                let (a, b) = (low[i].max(-4.0), high[i].min(4.0));
                (0..=40).map(move |k| a + (b - a) * f64::from(k) / 40.0)
            };
            for a in steps(0) {
                for b in steps(1) {
                    for c in steps(2) {
                        let there = quadratic(&gram, &right, &[a, b, c]);
                        assert!(value <= there + 1e-9, "{x:?} {value}; {a} {b} {c} {there}");
                    }
                }
            }
        }
    }

    #[test]
    fn says_when_columns_are_the_same() {
        let gram = [[2.0, 2.0], [2.0, 2.0]];
        assert!(bounded_squares(&gram, &[1.0, 1.0], &[-FREE; 2], &[FREE; 2]).is_none());
        // A bound settles it.
        let (x, _) = bounded_squares(&gram, &[1.0, 1.0], &[-FREE, 0.0], &[FREE; 2]).unwrap();
        assert_eq!(x, [0.5, 0.0]);
    }

    #[test]
    fn finds_a_valley_at_an_end() {
        assert!(lowest(|x| x, 1.0, 3.0, 60) < 1.0 + 1e-9);
        assert!((lowest(|x: f64| x.cosh(), -1.0, 3.0, 60)).abs() < 1e-6);
    }
}
