//! The clock on the wall, and when it is set forward or back.
//!
//! A moment is counted by a clock that nobody sets, and shown by the one on the wall. The core knows no zones: the plan
//! says how the clock is set in these days.

/// Most settings of the clock that a plan may state.
pub(super) const MOST_CHANGES: usize = 8;

/// One setting of the clock on the wall.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Change {
    /// What a clock shows then that nobody sets [minutes from midnight of 1 January 1970].
    at: i64,
    /// Minutes by which the wall is ahead of that clock from then on.
    ahead: i64,
}

/// How the clock on the wall is set in the days of a plan.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct WallClock {
    changes: [Change; MOST_CHANGES],
    count: usize,
    /// Minutes ahead of UTC before the first change, where that is known.
    utc: Option<i64>,
}

impl WallClock {
    /// A clock that is ahead of UTC by so many minutes before it is set; none where nobody said.
    pub(super) fn ahead_of_utc(utc: Option<i64>) -> Self {
        Self {
            utc,
            ..Self::default()
        }
    }

    /// The same clock, set on by so many minutes when the wall shows `wall`; minus for back. None where that comes before
    /// an earlier change, or where the plan has stated too many.
    pub(super) fn set(mut self, wall: i64, by: i64) -> Option<Self> {
        let before = self.count.checked_sub(1).map(|last| self.changes[last]);
        let ahead = before.map_or(0, |change| change.ahead);
        let at = wall - ahead;
        if before.is_some_and(|change| change.at >= at) {
            return None;
        }
        *self.changes.get_mut(self.count)? = Change {
            at,
            ahead: ahead + by,
        };
        self.count += 1;
        Some(self)
    }

    fn changes(&self) -> &[Change] {
        &self.changes[..self.count]
    }

    /// What the wall shows when a clock that nobody sets shows `steady`.
    pub(super) fn wall(&self, steady: i64) -> i64 {
        let last = self
            .changes()
            .iter()
            .rev()
            .find(|change| change.at <= steady);
        steady + last.map_or(0, |change| change.ahead)
    }

    /// What a clock shows that nobody sets, from what the wall shows. Of an hour that comes twice it takes the first; an
    /// hour that is left out is told by the clock as it was before (RFC 5545, 3.3.5, as browsers have it too).
    pub(super) fn steady(&self, wall: i64) -> i64 {
        let mut ahead = 0;
        for change in self.changes() {
            if wall - ahead < change.at || wall - change.ahead < change.at {
                break;
            }
            ahead = change.ahead;
        }
        wall - ahead
    }

    /// The same for the end of a span: an hour that is left out ends as it begins, so that no span ends before it begins.
    pub(super) fn counted(&self, wall: f64) -> f64 {
        let mut ahead = 0;
        for change in self.changes() {
            let at = change.at as f64;
            if wall - (ahead as f64) < at {
                break;
            }
            if wall - (change.ahead as f64) < at {
                return at;
            }
            ahead = change.ahead;
        }
        wall - ahead as f64
    }

    /// What the wall shows then, in minutes.
    pub(super) fn shown(&self, counted: f64) -> f64 {
        let last = self
            .changes()
            .iter()
            .rev()
            .find(|change| change.at as f64 <= counted);
        counted + last.map_or(0.0, |change| change.ahead as f64)
    }

    /// The steady minute of a wall minute whose distance from UTC is known, where the wall really shows it then.
    pub(super) fn at_offset(&self, wall: i64, ahead_of_utc: i64) -> Option<i64> {
        let steady = wall - (ahead_of_utc - self.utc?);
        (self.wall(steady) == wall).then_some(steady)
    }

    /// Minutes from midnight of 1 January 1970 in UTC, where the distance is known.
    pub(super) fn in_utc(&self, steady: i64) -> Option<i64> {
        Some(steady - self.utc?)
    }

    /// The settings between two steady minutes: when, and the minutes by which each is set on.
    pub(super) fn between(&self, from: i64, to: i64) -> impl Iterator<Item = (i64, i64)> {
        let before = [0]
            .into_iter()
            .chain(self.changes().iter().map(|change| change.ahead));
        let all: Vec<_> = self
            .changes()
            .iter()
            .zip(before)
            .filter(|(change, _)| change.at > from && change.at <= to)
            .map(|(change, before)| (change.at, change.ahead - before))
            .collect();
        all.into_iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Spring and autumn, months apart, by wall minutes.
    fn clock() -> WallClock {
        let clock = WallClock::ahead_of_utc(Some(60));
        clock.set(10_000, 60).unwrap().set(50_000, -60).unwrap()
    }

    #[test]
    fn the_wall_is_a_count_that_jumps_where_it_is_set() {
        // By brute force: a wall that is moved on minute by minute.
        let clock = clock();
        let mut wall = 9_000;
        for steady in 9_000..51_000 {
            if wall == 10_000 {
                wall += 60;
            }
            if steady == 49_940 {
                assert_eq!(wall, 50_000);
                wall -= 60;
            }
            assert_eq!(clock.wall(steady), wall, "{steady}");
            assert_eq!(clock.shown(steady as f64), wall as f64);
            assert_eq!(clock.in_utc(steady), Some(steady - 60));
            let twice = (49_880..50_000).contains(&steady);
            let first = steady < 49_940;
            let back = if twice && !first { steady - 60 } else { steady };
            assert_eq!(clock.steady(wall), back, "{steady}");
            let offset = if (10_000..49_940).contains(&steady) {
                120
            } else {
                60
            };
            assert_eq!(clock.at_offset(wall, offset), Some(steady));
            wall += 1;
        }
        // An hour that is left out.
        for wall in 10_000..10_060 {
            assert_eq!(clock.steady(wall), wall);
            assert_eq!(clock.wall(wall), wall + 60);
            assert_eq!(clock.counted(wall as f64), 10_000.0);
            assert_eq!(clock.at_offset(wall, 60), None);
        }
    }

    #[test]
    fn spans_of_the_wall_never_end_before_they_begin() {
        let clock = clock();
        let mut last = f64::NEG_INFINITY;
        for half in 18_000..102_000 {
            let counted = clock.counted(f64::from(half) / 2.0);
            assert!(counted >= last, "{half}");
            last = counted;
        }
    }

    #[test]
    fn settings_come_one_after_the_other_and_not_too_many() {
        assert_eq!(clock().set(49_940, 60), None);
        assert_eq!(clock().set(9_000, 60), None);
        let mut clock = WallClock::default();
        for k in 0..MOST_CHANGES {
            clock = clock.set(1_000 * (k as i64 + 1), 0).unwrap();
        }
        assert_eq!(clock.set(100_000, 60), None);
        let found: Vec<_> = self::clock().between(0, 20_000).collect();
        assert_eq!(found, [(10_000, 60)]);
        let found: Vec<_> = self::clock().between(10_000, 60_000).collect();
        assert_eq!(found, [(49_940, -60)]);
    }
}
