//! When cloth in air reaches a regain, drying or taking water up.

use super::{Air, DryingTrack, Layup, track};
use crate::law::{LawError, within};

/// Follows a stack in air only until it reaches a regain.
///
/// The equations of [`super::drying_track`], stopped at M = target
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `layup` | the stack | [struct] |
/// | `air` | the air around it | [struct] |
/// | `start_regain` | M_0 | [-] |
/// | `target` | regain to reach, drying or taking up | [-] |
/// | `duration` | how long to follow it at most | [s] |
///
/// # Returns
/// The track up to the first step beyond the target, or to balance [s; -, K].
/// # Valid for
/// As [`super::drying_track`].
/// # Errors
/// As [`super::drying_track`].
/// # Example
/// ```
/// use bastwork::law::oven::*;
/// let ten_plies = Layup { dry_areal_mass: 2.77, height: 7e-3, faces_open: 2,
///     resistance_factor: VAPOUR_RESISTANCE_FACTOR, cover: 0.0, scale: 0.70,
///     start_temperature: 293.15 };
/// let oven = Air { temperature: 333.15, activity: heated_activity(293.15, 0.5, 333.15)?,
///     film_coefficient: STILL_AIR_FILM, room_per_area: None };
/// let short = drying_track_to(&ten_plies, &oven, 0.0649, 0.03, 4.0 * 3600.0)?;
/// let minutes = drying_time(&short, 0.03).unwrap() / 60.0;
/// assert!((minutes - 24.0).abs() < 0.6);
/// assert!(drying_time(&short, 0.01).is_none());
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As [`super::drying_track`]; arithmetic check.
pub fn drying_track_to(
    layup: &Layup,
    air: &Air,
    start_regain: f64,
    target: f64,
    duration: f64,
) -> Result<DryingTrack, LawError> {
    let target = within("target", target, 0.0, 1.0)?;
    let falls = start_regain > target;
    track(layup, air, start_regain, duration, |regain| {
        if falls {
            regain < target
        } else {
            regain > target
        }
    })
}

/// When a stack first holds a regain, on a track it has been followed along.
///
/// t such that M(t) = target
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `track` | from [`drying_track`] | [s; -, K] |
/// | `target` | regain to reach, drying or taking up | [-] |
///
/// # Returns
/// Time from the start [s]; `None` when the track never gets there.
/// # Valid for
/// Any track.
/// # Errors
/// None.
/// # Example
/// ```
/// use bastwork::{law::oven::drying_time, solve::Track};
/// let track = Track { t: vec![0.0, 60.0], y: vec![[0.06, 300.0], [0.03, 300.0]],
///     slope: vec![[-0.0005, 0.0]; 2] };
/// assert!((drying_time(&track, 0.05).unwrap() - 20.0).abs() < 1e-6);
/// assert!(drying_time(&track, 0.02).is_none());
/// ```
/// # Source
/// Arithmetic.
pub fn drying_time(track: &DryingTrack, target: f64) -> Option<f64> {
    track.when(|y| y[0], target)
}

/// How long dried cloth stays below a regain in the room.
///
/// The equations of [`drying_track`] with the room's air, run until M = target.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `layup` | the stack as it lies in the room | [struct] |
/// | `room` | the room's air, film [`ROOM_AIR_FILM`] | [struct] |
/// | `start_regain` | regain out of the oven | [-] |
/// | `target` | regain not to pass | [-] |
///
/// # Returns
/// Time until the mean passes the target [s]; outer plies pass it sooner. `None` when it never does.
/// # Valid for
/// As [`drying_track`], within one year.
/// # Errors
/// As [`drying_track`].
/// # Example
/// ```
/// use bastwork::law::oven::*;
/// let ply_on_mould = Layup { dry_areal_mass: 0.277, height: 0.7e-3, faces_open: 1,
///     resistance_factor: VAPOUR_RESISTANCE_FACTOR, cover: 0.0, scale: 0.70,
///     start_temperature: 293.15 };
/// let room = Air { temperature: 293.15, activity: 0.5, film_coefficient: ROOM_AIR_FILM,
///     room_per_area: None };
/// let minutes = regain_time(&ply_on_mould, &room, 0.003, 0.02)?.unwrap() / 60.0;
/// assert!((minutes - 3.1).abs() < 0.1);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As [`drying_track`]; arithmetic check.
pub fn regain_time(
    layup: &Layup,
    room: &Air,
    start_regain: f64,
    target: f64,
) -> Result<Option<f64>, LawError> {
    let target = within("target", target, 0.0, 1.0)?;
    let track = drying_track_to(layup, room, start_regain, target, 3.2e7)?;
    Ok(drying_time(&track, target))
}
