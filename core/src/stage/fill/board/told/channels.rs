//! How far resin runs ahead in channels that were drawn.

use super::notes::note;
use crate::law::LawError;
use crate::law::front_map::LEVELS;
use crate::sheet::{Desk, Note, Weight};
use crate::stage::fill::board::Scene;
use crate::stage::fill::drawn::runs_of;
use crate::units::Unit;

/// A channel whose end is wet in less than this share of the time that it takes without it runs ahead.
const AHEAD: f64 = 0.9;

/// When the end of each channel is wet, with channels and without.
pub(super) fn channels(scene: &Scene, desk: &Desk) -> Result<Vec<Note>, LawError> {
    let Some(arrival) = &scene.arrival else {
        return Ok(Vec::new());
    };
    if scene.laid.channels().next().is_none() {
        return Ok(Vec::new());
    }
    let mut bare = scene.laid.clone();
    bare.stop();
    let mut map = bare.map(&scene.ground, 1.0)?;
    let without = scene.placed.arrival(&mut map, LEVELS);
    let minutes = |of| scene.pace.likely_minutes(&runs_of(of));
    let (with, without) = (minutes(arrival), minutes(&without));
    let mut notes = Vec::new();
    for (n, (_, points)) in scene.laid.channels().enumerate() {
        let points = points.into_iter().map(|i| i as usize);
        let wet = points.filter(|&i| with[i].is_finite() && without[i].is_finite());
        let Some(end) = wet.max_by(|&i, &j| without[i].total_cmp(&without[j])) else {
            continue;
        };
        let say = |minutes: f64| desk.say_about(Unit::Minute, minutes);
        notes.push(if with[end] < AHEAD * without[end] {
            let (ahead, late) = (say(with[end]), say(without[end]));
            note(Weight::Advice, format!("Resin runs ahead in channel {}: its end is wet after about {ahead}, without the channel after {late}. Where that shuts dry cloth in, close the gap with cloth or tape, or put a vent there.", n + 1))
        } else {
            note(Weight::Advice, format!("Channel {} hardly moves the front: its end is wet after about {} with it or without.", n + 1, say(with[end])))
        });
    }
    Ok(notes)
}
