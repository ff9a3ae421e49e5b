//! What flows in after the vent is clamped, as long as the feed stays open.

use super::super::{LawError, positive, within};

/// Terms of the series; the last is below one in a million.
const TERMS: u32 = 40;

/// How much thicker the stack gets while the feed stays open behind a clamped vent; all that it gains is resin.
///
/// G = F (h_all - h_mean), with h over the thickness under full vacuum: h_all = (1 - s)^-B when the feed's pressure is
/// everywhere, h_mean = (1 - (1 - s)^(1-B)) / (s (1 - B)) when the front arrives;
/// F = 1 - 32/pi^3 sum (-1)^n/(2n+1)^3 exp(-(2n+1)^2 pi^2 f/4), f = phi t/(4 B T)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `open` | t, from clamping the vent to clamping the feed | [s] |
/// | `fill` | T, time the fill took | [s] |
/// | `porosity` | phi, of the stack | [-] |
/// | `exponent` | B, wet and unloading, 0.03 to 0.06 | [-] |
/// | `pressure_share` | s, ambient less bag over ambient | [-] |
///
/// # Returns
/// Gain over the thickness under full vacuum [-].
/// # Valid for
/// A run from a line; resin as thin as on the way; share up to 0.99, for the law has no thickness at one.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow::gained_while_open;
/// let gain = gained_while_open(300.0, 3600.0, 0.7, 0.045, 0.95)?;
/// assert!((gain - 0.058).abs() < 0.002, "arithmetic check");
/// assert_eq!(gained_while_open(0.0, 3600.0, 0.7, 0.045, 0.95)?, 0.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Diffusion of pressure into a strip with one closed end, Carslaw and Jaeger, Conduction of Heat in Solids (from
/// memory); f follows from D = K sigma/(mu B) with sigma half of the net pressure and the square law of a fill.
pub fn gained_while_open(
    open: f64,
    fill: f64,
    porosity: f64,
    exponent: f64,
    pressure_share: f64,
) -> Result<f64, LawError> {
    let t = within("open", open, 0.0, 1e7)?;
    let took = positive("fill", fill)?;
    let phi = within("porosity", porosity, 0.1, 0.99)?;
    let b = within("exponent", exponent, 0.001, 0.2)?;
    let s = within("pressure_share", pressure_share, 0.01, 0.99)?;
    if t == 0.0 {
        return Ok(0.0);
    }
    let f = phi * t / (4.0 * b * took);
    let left: f64 = (0..TERMS)
        .map(|n| {
            let odd = f64::from(2 * n + 1);
            let sign = if n % 2 == 0 { 1.0 } else { -1.0 };
            sign / odd.powi(3) * (-odd * odd * std::f64::consts::PI.powi(2) * f / 4.0).exp()
        })
        .sum();
    let come = (1.0 - 32.0 / std::f64::consts::PI.powi(3) * left).clamp(0.0, 1.0);
    let all = (1.0 - s).powf(-b);
    let mean = (1.0 - (1.0 - s).powf(1.0 - b)) / (s * (1.0 - b));
    Ok(come * (all - mean))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_a_strip_followed_in_cells() {
        // Explicit differences of the same diffusion, no series: linear pressure at the start, feed held, far end shut.
        for f in [0.02, 0.1, 0.3, 0.8, 2.0] {
            let cells = 200_usize;
            let d = 1.0 / cells as f64;
            let mut p: Vec<f64> = (0..cells).map(|i| 1.0 - (i as f64 + 0.5) * d).collect();
            let steps = (f / (0.4 * d * d)).ceil();
            let r = f / steps / (d * d);
            for _ in 0..steps as u64 {
                let old = p.clone();
                for (i, here) in p.iter_mut().enumerate() {
                    let before = if i == 0 { 2.0 - old[0] } else { old[i - 1] };
                    let after = if i + 1 == cells { old[i] } else { old[i + 1] };
                    *here += r * (before - 2.0 * old[i] + after);
                }
            }
            let come = (p.iter().sum::<f64>() * d - 0.5) / 0.5;
            let (b, s, phi) = (0.05_f64, 0.9_f64, 0.7_f64);
            let gain = gained_while_open(f * 4.0 * b / phi, 1.0, phi, b, s).unwrap();
            // Thickness by the power law, summed along the strip.
            let mean = (0..10_000)
                .map(|i| (1.0 - s * (f64::from(i) + 0.5) * 1e-4).powf(-b))
                .sum::<f64>()
                * 1e-4;
            let expect = come * ((1.0 - s).powf(-b) - mean);
            assert!(
                (gain - expect).abs() < 2e-3 * expect + 1e-6,
                "{f}: {gain} {expect}"
            );
        }
    }

    #[test]
    fn grows_with_time_and_ends() {
        let gain = |t| gained_while_open(t, 1800.0, 0.7, 0.045, 0.95).unwrap();
        assert!(gain(60.0) < gain(300.0) && gain(300.0) < gain(3000.0));
        assert!((gain(1e6) / gain(1e5) - 1.0).abs() < 1e-6);
        assert!(gained_while_open(60.0, 0.0, 0.7, 0.045, 0.95).is_err());
    }
}
