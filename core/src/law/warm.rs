//! How much of its stiffness a laminate keeps when it is warm, from how far its glass transition lies above it.
//!
//! Dry, along the fibres or woven, for minutes. Does not cover pushes and shear between plies, which lose more.

use super::{LawError, positive, within};

/// Glass transition over the part [K] and the share of stiffness left [-]; our judgement.
const LEFT: [(f64, f64); 9] = [
    (-20.0, 0.5),
    (-5.0, 0.55),
    (0.0, 0.6),
    (10.0, 0.7),
    (15.0, 0.8),
    (20.0, 0.85),
    (30.0, 0.9),
    (35.0, 0.95),
    (50.0, 0.97),
];
/// Where stiffness is usually measured, and from where on the table holds [K].
const ROOM: f64 = 293.15;
const WARM: f64 = 313.15;

/// Share of its stiffness at room temperature that a warm laminate keeps.
///
/// q = f(T_g - T), straight lines between the judged points; the loss 1 - q fades to none from 40 down to 20 °C;
/// then q' = o q / (1 - q + o q)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `tg` | T_g, glass transition | [K] |
/// | `temperature` | T, of the part | [K] |
/// | `odds` | o, how much kinder than judged: 1 as judged, 0.3 and 3 for the ends of the judged range | [-] |
///
/// # Returns
/// q' [-].
/// # Valid for
/// T_g - T from -20 K up; it is held below -20 K, where nothing was judged, and above 50 K.
/// # Errors
/// [`LawError::OutOfRange`] for temperatures outside 200..600 K and odds that are not positive.
/// # Example
/// ```
/// use bastwork::law::warm::stiffness_left;
/// let left = |tg: f64, t: f64| stiffness_left(tg + 273.15, t + 273.15, 1.0);
/// assert!((left(75.0, 60.0)? - 0.8).abs() < 1e-12 && (left(60.0, 80.0)? - 0.5).abs() < 1e-12);
/// assert!((left(60.0, 20.0)? - 1.0).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Our judgement, between the mixture rule along the fibres, which loses little, and the resin alone, which loses all.
pub fn stiffness_left(tg: f64, temperature: f64, odds: f64) -> Result<f64, LawError> {
    let glass = within("glass transition", tg, 200.0, 600.0)?;
    let part = within("temperature", temperature, 200.0, 600.0)?;
    let odds = positive("odds", odds)?;
    let over = glass - part;
    let mut left = LEFT[0].1;
    for pair in LEFT.windows(2) {
        let ((from, low), (to, high)) = (pair[0], pair[1]);
        let share = ((over - from) / (to - from)).clamp(0.0, 1.0);
        left += share * (high - low);
    }
    let counts = ((part - ROOM) / (WARM - ROOM)).clamp(0.0, 1.0);
    let left = 1.0 - counts * (1.0 - left);
    Ok(odds * left / (1.0 - left + odds * left))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn left(tg: f64, celsius: f64, odds: f64) -> f64 {
        stiffness_left(tg + 273.15, celsius + 273.15, odds).unwrap()
    }

    #[test]
    fn warmer_or_softer_is_never_stiffer() {
        for tg in (40..=110).step_by(5).map(f64::from) {
            for t in (-20..=110).map(f64::from) {
                for odds in [0.3, 1.0, 3.0] {
                    let here = left(tg, t, odds);
                    assert!(here > 0.0 && here <= 1.0, "{tg} {t} {odds}: {here}");
                    assert!(left(tg, t + 1.0, odds) <= here + 1e-12, "{tg} {t} {odds}");
                    assert!(left(tg + 5.0, t, odds) >= here - 1e-12, "{tg} {t} {odds}");
                }
            }
        }
    }

    #[test]
    fn half_way_from_room_to_warm_half_the_loss_counts() {
        // 30 K below its glass transition a laminate is judged to lose a tenth, 35 K below a twentieth.
        for (tg, t, kept) in [
            (60.0, 30.0, 0.95),
            (60.0, 25.0, 0.9875),
            (60.0, 35.0, 0.90625),
        ] {
            assert!((left(tg, t, 1.0) - kept).abs() < 1e-9, "{tg} {t}");
        }
    }

    #[test]
    fn the_judged_points_and_their_ends() {
        // Likely and the ends of the judgement, at glass transitions and temperatures in °C; ends within 0.12.
        for (tg, t, low, likely, high) in [
            (60.0, 40.0, 0.7, 0.85, 0.95),
            (60.0, 60.0, 0.3, 0.6, 0.8),
            (60.0, 80.0, 0.2, 0.5, 0.7),
            (75.0, 40.0, 0.9, 0.95, 1.0),
            (75.0, 60.0, 0.6, 0.8, 0.9),
            (75.0, 80.0, 0.3, 0.55, 0.75),
            (90.0, 40.0, 0.9, 0.97, 1.0),
            (90.0, 60.0, 0.8, 0.9, 1.0),
            (90.0, 80.0, 0.4, 0.7, 0.85),
        ] {
            assert!((left(tg, t, 1.0) - likely).abs() < 1e-9, "{tg} {t}");
            assert!((left(tg, t, 0.3) - low).abs() < 0.12, "{tg} {t}");
            assert!((left(tg, t, 3.0) - high).abs() < 0.12, "{tg} {t}");
        }
        assert!(stiffness_left(350.0, 900.0, 1.0).is_err());
        assert!(stiffness_left(350.0, 300.0, 0.0).is_err());
    }
}
