//! Readings put in order and on one scale, so that all that follows works with numbers near one.

use super::{Conditions, Reading};
use crate::law::{LawError, positive, within};
use crate::solve::sort::sort_by;

/// A rise that needs a start without any vapour counts as this likely (our judgement).
const LEAST_ROOM: f64 = 0.02;

/// Most readings that are taken.
const MOST: usize = 10_000;

/// Readings in order of time: time in spans, pressure from their mean in units of their range.
#[derive(Debug, Clone)]
pub(super) struct Log {
    /// First time [s].
    pub(super) origin: f64,
    /// From the first to the last time [s].
    pub(super) span: f64,
    /// Mean pressure [Pa].
    pub(super) mean: f64,
    /// Range of the pressure, or the step where that is larger [Pa].
    pub(super) unit: f64,
    /// Times, 0 to 1.
    pub(super) u: Vec<f64>,
    /// Pressures.
    pub(super) y: Vec<f64>,
    /// Places of the readings in the list that was given.
    pub(super) index: Vec<usize>,
    /// Step of the gauge.
    pub(super) step: f64,
    /// Largest rise that vapour can make: all that the air can hold, where none of it was vapour at the start.
    pub(super) most_rise: f64,
    /// What an absolute gauge shows where `y` is zero.
    pub(super) level: f64,
}

/// Looks at every number once; the order is that of time, then of pressure, whatever order they came in.
pub(super) fn ordered(
    readings: &[Reading],
    conditions: &Conditions,
) -> Result<Vec<(usize, Reading)>, LawError> {
    positive("step", within("step", conditions.step, 0.0, 1e6)?)?;
    within("saturation", conditions.saturation, 1.0, 1e7)?;
    within("saturation_play", conditions.saturation_play, 0.0, 100.0)?;
    within("readings", readings.len() as f64, 0.0, MOST as f64)?;
    for reading in readings {
        within("time", reading.time, -1e12, 1e12)?;
        within("pressure", reading.pressure, -1e6, 1e8)?;
    }
    let mut list: Vec<(usize, Reading)> = readings.iter().copied().enumerate().collect();
    sort_by(&mut list, |(_, a), (_, b)| {
        let pressure = a.pressure.total_cmp(&b.pressure);
        a.time.total_cmp(&b.time).then(pressure)
    });
    Ok(list)
}

impl Log {
    /// Of readings in order of time; none where they span no time or are fewer than three.
    pub(super) fn of(list: &[(usize, Reading)], conditions: &Conditions) -> Option<Self> {
        let (first, last) = (list.first()?.1, list.last()?.1);
        let span = last.time - first.time;
        // Below this share of the clock's own size the times say nothing.
        let told = span > 1e-12 * first.time.abs().max(last.time.abs());
        if list.len() < 3 || !told {
            return None;
        }
        let pressures = || list.iter().map(|(_, reading)| reading.pressure);
        let mean = pressures().sum::<f64>() / list.len() as f64;
        let low = pressures().fold(f64::INFINITY, f64::min);
        let high = pressures().fold(f64::NEG_INFINITY, f64::max);
        let unit = (high - low).max(conditions.step);
        Some(Self {
            origin: first.time,
            span,
            mean,
            unit,
            u: list
                .iter()
                .map(|(_, reading)| (reading.time - first.time) / span)
                .collect(),
            y: pressures().map(|p| (p - mean) / unit).collect(),
            index: list.iter().map(|(index, _)| *index).collect(),
            step: conditions.step / unit,
            most_rise: conditions.ceiling() / unit,
            level: mean / unit,
        })
    }

    /// Number of readings.
    pub(super) fn len(&self) -> usize {
        self.u.len()
    }

    /// Scatter that rounding to the step makes by itself.
    pub(super) fn floor(&self) -> f64 {
        self.step / 12_f64.sqrt()
    }

    /// How likely it is that the start leaves room for a rise of vapour: what stands in the bag at the start may be air
    /// or vapour in any share, and vapour stays below saturation whatever air stands beside it.
    pub(super) fn room_for(&self, start: f64, rise: f64) -> f64 {
        let stood = (self.level + start).max(self.step);
        ((self.most_rise - rise) / stood).clamp(LEAST_ROOM, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROOM: Conditions = Conditions {
        step: 50.0,
        saturation: 2339.0,
        saturation_play: 0.0,
        outside: 101_325.0,
    };

    fn reading(time: f64, pressure: f64) -> Reading {
        Reading { time, pressure }
    }

    #[test]
    fn puts_readings_in_order_and_on_scale() {
        let list = ordered(
            &[
                reading(90.0, 900.0),
                reading(30.0, 300.0),
                reading(60.0, 600.0),
            ],
            &ROOM,
        )
        .unwrap();
        let log = Log::of(&list, &ROOM).unwrap();
        assert_eq!(log.index, [1, 2, 0]);
        assert_eq!(log.u, [0.0, 0.5, 1.0]);
        assert_eq!(log.y, [-0.5, 0.0, 0.5]);
        assert!((log.most_rise * 600.0 - 2339.0).abs() < 1e-9);
        // 300 Pa at the start: a rise of 2189 Pa leaves room for 150 Pa of vapour in it, one of 1000 for all.
        assert!((log.room_for(-0.5, 2189.0 / 600.0) - 0.5).abs() < 1e-9);
        assert_eq!(log.room_for(-0.5, 1000.0 / 600.0), 1.0);
    }

    #[test]
    fn names_what_it_cannot_take() {
        let named = |readings: &[Reading], conditions| match ordered(readings, conditions) {
            Err(LawError::OutOfRange(out)) => out.field,
            _ => "",
        };
        assert_eq!(named(&[reading(f64::NAN, 1.0)], &ROOM), "time");
        assert_eq!(named(&[reading(0.0, f64::INFINITY)], &ROOM), "pressure");
        assert_eq!(named(&[], &Conditions { step: 0.0, ..ROOM }), "step");
        assert_eq!(named(&vec![reading(0.0, 1.0); MOST + 1], &ROOM), "readings");
        let list = ordered(&[reading(5.0, 1.0); 9], &ROOM).unwrap();
        assert!(Log::of(&list, &ROOM).is_none(), "one time says nothing");
    }
}
