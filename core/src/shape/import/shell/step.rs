//! How finely the numbers of an STL can tell corners apart that lie far from its origin.

use super::Triangle;

/// The step between the numbers of four bytes that follow 1: most programs reckon with these, whatever they write.
const STEP: f64 = f32::EPSILON as f64;
/// Digits that a number of four bytes is sure of.
const SURE_DIGITS: i32 = 7;
/// A file of text must lie so many times its size off before its digits are counted: until then they are as meant.
const FAR_SIZES: f64 = 100.0;

/// The step between numbers as far out as the farthest corner, as a share of `longest`, the longest side; `digits`
/// are the most that one number of a text is written with.
pub(super) fn share(triangles: &[Triangle], longest: f64, digits: Option<i32>) -> f64 {
    let reach = triangles
        .iter()
        .flatten()
        .flatten()
        .fold(0.0_f64, |far, x| far.max(x.abs()));
    if longest <= 0.0 {
        return 0.0;
    }
    match digits {
        Some(_) if reach <= FAR_SIZES * longest => 0.0,
        Some(digits) if digits <= SURE_DIGITS => {
            10.0_f64.powi(reach.log10().floor() as i32 + 1 - digits) / longest
        }
        Some(_) if is_finer(triangles, reach) => 0.0,
        _ => reach * STEP / longest,
    }
}

/// Whether some far number is none of four bytes.
fn is_finer(triangles: &[Triangle], reach: f64) -> bool {
    let mut far = triangles.iter().flatten().flatten();
    far.any(|x| {
        let off = (x - f64::from(*x as f32)).abs();
        x.abs() >= 0.5 * reach && off > 0.01 * STEP * x.abs()
    })
}

/// With how many digits a number is written, leading noughts aside.
pub(in super::super) fn digits_of(word: &str) -> i32 {
    let number = word.split(['e', 'E']).next().unwrap_or(word);
    let from_first = number.trim_start_matches(|c: char| !('1'..='9').contains(&c));
    // More than these no number holds.
    from_first
        .bytes()
        .filter(u8::is_ascii_digit)
        .take(17)
        .count() as i32
}
