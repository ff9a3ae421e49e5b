//! The tube from the pot: what it takes of the pressure, and of the time.

use crate::law::{LawError, positive, within};

/// Pressure lost in a round feed tube.
///
/// dp = 128 mu Q L / (pi d^4)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `viscosity` | mu | [Pa s] |
/// | `flow` | Q, resin volume per time | [m3/s] |
/// | `length` | L | [m] |
/// | `bore` | d | [m] |
///
/// # Returns
/// Pressure [Pa].
/// # Valid for
/// Slow flow in a straight tube.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let dp = bastwork::law::flow::tube_loss(0.3, 1e-6, 1.0, 8e-3)?;
/// assert!((dp - 2984.0).abs() < 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Hagen 1839, Poiseuille 1840; textbook.
pub fn tube_loss(viscosity: f64, flow: f64, length: f64, bore: f64) -> Result<f64, LawError> {
    within("viscosity", viscosity, 1e-5, 1e6)?;
    within("flow", flow, 0.0, 1.0)?;
    within("length", length, 0.0, 1e3)?;
    within("bore", bore, 1e-4, 1.0)?;
    Ok(128.0 * viscosity * flow * length / (std::f64::consts::PI * bore.powi(4)))
}

/// How tubes bring resin from one pot to its feeds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedLine {
    /// Length of a tube from the pot [m].
    pub length: f64,
    /// Its bore [m].
    pub bore: f64,
    /// Tubes side by side, each from the pot [-].
    pub tubes: f64,
    /// Branches that each tube splits into, one for none [-].
    pub branches: f64,
    /// Length of a branch, of the same bore [m].
    pub branch: f64,
    /// Length of all spiral or feed channel [m].
    pub spiral: f64,
    /// Its bore [m].
    pub spiral_bore: f64,
    /// What the spiral lets through over a smooth tube of its bore [-].
    pub spiral_share: f64,
}

/// Resistance of tubes and spiral between the pot and the last place of the feed, over viscosity.
///
/// R / mu = (128 / pi) [L/d^4 + L_b/(b d^4)] / n + (64 / pi) L_s / (s d_s^4 e^2), e = n b
///
/// Tubes and branches side by side share the flow. A spiral is fed at one end of each of its e stretches and gives off
/// evenly on its way, so that half of its resistance counts at the far end.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `line` | L, d, n, b, L_b, spiral L_s, d_s and s, lengths and bores | [m] |
///
/// # Returns
/// R over mu [1/m3].
/// # Valid for
/// Slow flow, tubes alike, feeds that draw alike; a spiral that takes little against the part.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow::{FeedLine, feed_line_resistance};
/// let line = FeedLine { length: 1.5, bore: 8e-3, tubes: 1.0, branches: 1.0, branch: 0.0, spiral: 0.0,
///     spiral_bore: 0.01, spiral_share: 1.0 };
/// assert!((feed_line_resistance(&line)? - 1.492e10).abs() < 1e7);
/// // Two tubes side by side halve it.
/// let two = FeedLine { tubes: 2.0, ..line };
/// assert!((feed_line_resistance(&two)? / feed_line_resistance(&line)? - 0.5).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Hagen 1839, Poiseuille 1840, textbook; in series and side by side as any resistances, the spiral by summing along it.
pub fn feed_line_resistance(line: &FeedLine) -> Result<f64, LawError> {
    let tubes = within("tubes", line.tubes, 1.0, 1e3)?;
    let branches = within("branches", line.branches, 1.0, 1e3)?;
    let one = |length: f64, bore: f64| tube_loss(1.0, 1.0, length, bore);
    let trunk = one(line.length, line.bore)?;
    let branch = if branches > 1.0 {
        one(line.branch, line.bore)? / branches
    } else {
        0.0
    };
    let share = within("spiral_share", line.spiral_share, 0.01, 10.0)?;
    let spiral = one(line.spiral, line.spiral_bore)? / (2.0 * share);
    let stretches = tubes * branches;
    Ok((trunk + branch) / tubes + spiral / (stretches * stretches))
}

/// Fill time of a part behind a tube.
///
/// t = T + R V / dp
///
/// The part sees dp - R Q. All flow goes with that pressure, so with dT = (1 - R Q / dp) dt and Q dt = dV the time T of
/// the part without a tube and the time t of the clock differ by R V / dp, at every moment and for any shape.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `time` | T, of the part alone under dp | [s] |
/// | `resistance` | R, pressure over flow | [Pa s/m3] |
/// | `volume` | V, resin that has gone through the tube by then | [m3] |
/// | `pressure` | dp, from pot to bag | [Pa] |
///
/// # Returns
/// Time with the tube [s].
/// # Valid for
/// One pressure for all feeds, viscosity the same everywhere at each moment: put thin-resin times where it thickens.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// // 1.16 litres at 0.3 Pa s through 2.5 m of 6 mm at 96 kPa: 285 s more (arithmetic check).
/// use bastwork::law::flow::{through_tube, tube_loss};
/// let resistance = tube_loss(0.3, 1.0, 2.5, 6e-3)?;
/// assert!((through_tube(1542.0, resistance, 1.16e-3, 9.6e4)? - 1542.0 - 285.0).abs() < 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Derived for Bastwork; checked against the strip and the disc followed in time.
pub fn through_tube(
    time: f64,
    resistance: f64,
    volume: f64,
    pressure: f64,
) -> Result<f64, LawError> {
    within("time", time, 0.0, 1e12)?;
    within("resistance", resistance, 0.0, 1e18)?;
    within("volume", volume, 0.0, 1e3)?;
    within("pressure", pressure, 1.0, 2e6)?;
    Ok(time + resistance * volume / pressure)
}

/// How far resin gets from a line inlet behind a tube.
///
/// a L^2 + b L = t, so L = 2 t / (b + sqrt(b^2 + 4 a t))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `time` | t | [s] |
/// | `square` | a, time of the part for each square of the run | [s/m2] |
/// | `tube` | b, time in the tube for each length of the run | [s/m] |
///
/// # Returns
/// Distance of the front from the feed [m].
/// # Valid for
/// As [`through_tube`], at one width.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let reach = bastwork::law::flow::reach_through_tube(300.0, 1000.0, 200.0)?;
/// assert!((1000.0 * reach * reach + 200.0 * reach - 300.0_f64).abs() < 1e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// [`through_tube`] with a strip, solved for its length.
pub fn reach_through_tube(time: f64, square: f64, tube: f64) -> Result<f64, LawError> {
    within("time", time, 0.0, 1e12)?;
    positive("square", square)?;
    within("tube", tube, 0.0, 1e12)?;
    let root = (tube * tube + 4.0 * square * time).sqrt();
    Ok(if root + tube > 0.0 {
        2.0 * time / (tube + root)
    } else {
        0.0
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const LINE: FeedLine = FeedLine {
        length: 1.5,
        bore: 8e-3,
        tubes: 1.0,
        branches: 1.0,
        branch: 0.0,
        spiral: 0.0,
        spiral_bore: 0.01,
        spiral_share: 1.0,
    };

    /// A part behind a tube followed in time: flow from its own resistance at the volume it holds, by small steps.
    fn followed(resistance: f64, volume: f64, pressure: f64, own: impl Fn(f64) -> f64) -> f64 {
        let steps = 400_000;
        let dv = volume / f64::from(steps);
        (0..steps)
            .map(|k| {
                let v = (f64::from(k) + 0.5) * dv;
                dv * (own(v) + resistance) / pressure
            })
            .sum()
    }

    #[test]
    fn strip_and_disc_followed_in_time() {
        let (mu, phi, k, h, dp) = (0.3_f64, 0.65_f64, 3e-11_f64, 3e-3_f64, 9e4_f64);
        let resistance = tube_loss(mu, 1.0, 2.0, 2e-3).unwrap();
        // Strip 0.5 m long and 0.8 m wide: its resistance is mu x / (K h w), x = V / (phi h w).
        let (length, width) = (0.5, 0.8);
        let volume = phi * h * width * length;
        let own = |v: f64| mu * v / (phi * h * width) / (k * h * width);
        let alone = super::super::strip_fill_time(mu, phi, length, k, dp).unwrap();
        let law = through_tube(alone, resistance, volume, dp).unwrap();
        let slow = followed(resistance, volume, dp, own);
        assert!((law / slow - 1.0).abs() < 1e-6, "{law} {slow}");
        assert!(law > 1.05 * alone);
        // Disc from 10 mm to 0.3 m: mu ln(r / r0) / (2 pi K h), r from the volume.
        let (inner, outer) = (0.01_f64, 0.3_f64);
        let pi = std::f64::consts::PI;
        let volume = phi * h * pi * (outer * outer - inner * inner);
        let own = |v: f64| {
            let r = (inner * inner + v / (phi * h * pi)).sqrt();
            mu * (r / inner).ln() / (2.0 * pi * k * h)
        };
        let alone = super::super::radial_out_fill_time(mu, phi, inner, outer, k, dp).unwrap();
        let law = through_tube(alone, resistance, volume, dp).unwrap();
        let slow = followed(resistance, volume, dp, own);
        assert!((law / slow - 1.0).abs() < 1e-5, "{law} {slow}");
    }

    #[test]
    fn a_spiral_loses_half_of_its_resistance_at_its_far_end() {
        // Summed along it, each piece giving off its share.
        let pieces = 10_000;
        let piece = tube_loss(1.0, 1.0, 2.0 / f64::from(pieces), 0.01).unwrap();
        let lost: f64 = (0..pieces)
            .map(|i| piece * (1.0 - (f64::from(i) + 0.5) / f64::from(pieces)))
            .sum();
        let line = FeedLine {
            length: 0.0,
            spiral: 2.0,
            ..LINE
        };
        let law = feed_line_resistance(&line).unwrap();
        assert!((law / lost - 1.0).abs() < 1e-9);
        // Fed in two places, half the flow runs half as far: a quarter.
        let split = FeedLine {
            branches: 2.0,
            ..line
        };
        assert!((feed_line_resistance(&split).unwrap() / law - 0.25).abs() < 1e-12);
    }

    #[test]
    fn branches_side_by_side_and_the_reach_comes_back() {
        let plain = feed_line_resistance(&LINE).unwrap();
        let split = FeedLine {
            branches: 3.0,
            branch: 1.5,
            ..LINE
        };
        assert!((feed_line_resistance(&split).unwrap() / plain - 4.0 / 3.0).abs() < 1e-12);
        assert_eq!(reach_through_tube(0.0, 10.0, 0.0).unwrap(), 0.0);
        let far = reach_through_tube(90.0, 1000.0, 0.0).unwrap();
        assert!((far - 0.3).abs() < 1e-12);
        let narrow = FeedLine { bore: 0.0, ..LINE };
        assert!(feed_line_resistance(&narrow).is_err());
        assert!(through_tube(1.0, 1.0, 1.0, 0.0).is_err());
    }
}
