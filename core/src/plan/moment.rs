//! A day and a time of day, as the clock on the workshop's wall shows it.
//!
//! No time zone: a plan is worked out where it is carried out. The one night on which clocks change is told by the plan;
//! then a moment is counted by a clock that nobody sets, and shown by the one on the wall.

use time::{Date, Duration, Month, PrimitiveDateTime, Time, Weekday};

/// When the clock on the wall is set forward or back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct ClockChange {
    /// What it shows just before.
    at: PrimitiveDateTime,
    /// Minutes by which it is set on; minus for back.
    by: i64,
}

impl ClockChange {
    /// The change at a moment that the clock shows just before it is set.
    pub fn new(at: Moment, forward: bool) -> Self {
        Self {
            at: at.steady,
            by: if forward { 60 } else { -60 },
        }
    }

    /// What a clock shows that is not set, from what the wall shows. Of an hour that comes twice it takes the first; an
    /// hour that is left out ends as it begins.
    fn steady(self, wall: PrimitiveDateTime) -> PrimitiveDateTime {
        if wall < self.at {
            wall
        } else {
            wall.saturating_sub(Duration::minutes(self.by)).max(self.at)
        }
    }

    fn wall(self, steady: PrimitiveDateTime) -> PrimitiveDateTime {
        if steady < self.at {
            steady
        } else {
            steady.saturating_add(Duration::minutes(self.by))
        }
    }
}

/// A minute in the calendar, such as 26 November 2026, 14:05.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment {
    /// As a clock shows it that nobody sets.
    steady: PrimitiveDateTime,
    change: Option<ClockChange>,
}

/// Days from 1 January 1970 to a date such as 2026-11-26.
pub(super) fn day_of(text: &str) -> Option<i64> {
    let mut parts = text.split('-').map(|part| part.parse::<u16>().ok());
    let (year, month, date) = (parts.next()??, parts.next()??, parts.next()??);
    if !(1970..=2200).contains(&year) || parts.next().is_some() {
        return None;
    }
    let month = Month::try_from(u8::try_from(month).ok()?).ok()?;
    let day = Date::from_calendar_date(i32::from(year), month, u8::try_from(date).ok()?).ok()?;
    Some(i64::from(day.to_julian_day() - EPOCH))
}

/// Julian day of 1 January 1970.
const EPOCH: i32 = 2_440_588;

impl Moment {
    /// What to do about a moment that is none.
    pub(super) const WANTED: &'static str =
        "Write day and time like 2026-11-26T08:30: year, month, day, then hours and minutes.";

    /// Reads `2026-11-26T08:30`; seconds are left out of account.
    pub fn from_text(text: &str) -> Option<Self> {
        let (day, clock) = text.trim().split_once(['T', ' '])?;
        let days = i32::try_from(day_of(day)?).ok()?;
        let day = Date::from_julian_day(days + EPOCH).ok()?;
        let mut parts = clock.split(':').map(|part| part.parse::<u8>().ok());
        let (hour, minute) = (parts.next()??, parts.next()??);
        if parts.next() == Some(None) || parts.next().is_some() {
            return None;
        }
        let clock = Time::from_hms(hour, minute, 0).ok()?;
        Some(Self {
            steady: PrimitiveDateTime::new(day, clock),
            change: None,
        })
    }

    /// The same moment by the wall, where the clock there changes.
    pub(crate) fn under(self, change: Option<ClockChange>) -> Self {
        let wall = self.wall();
        Self {
            steady: change.map_or(wall, |change| change.steady(wall)),
            change,
        }
    }

    fn wall(self) -> PrimitiveDateTime {
        let change = self.change;
        change.map_or(self.steady, |change| change.wall(self.steady))
    }

    /// Minutes from midnight of 1 January 1970, by a clock that nobody sets.
    pub(crate) fn counted(self) -> f64 {
        minutes(self.steady)
    }

    /// What a clock that nobody sets has counted when the wall shows so many minutes since midnight of 1 January 1970.
    pub(crate) fn counted_at(self, wall: f64) -> f64 {
        match self.change {
            Some(change) if wall >= minutes(change.at) => {
                (wall - change.by as f64).max(minutes(change.at))
            }
            _ => wall,
        }
    }

    /// What the wall shows then, in the same minutes.
    pub(crate) fn shown_at(self, counted: f64) -> f64 {
        match self.change {
            Some(change) if counted >= minutes(change.at) => counted + change.by as f64,
            _ => counted,
        }
    }

    /// This many minutes later; to the nearest minute, and no further than the calendar goes.
    pub fn after(self, minutes: f64) -> Self {
        // A cast of a rounded number; what is no number counts as none.
        let minutes = Duration::minutes(minutes.round() as i64);
        Self {
            steady: self.steady.saturating_add(minutes),
            change: self.change,
        }
    }

    /// Minutes from an earlier moment to this one.
    pub fn minutes_since(self, earlier: Self) -> f64 {
        (self.steady - earlier.steady).whole_minutes() as f64
    }

    /// Hour of the day with its fraction, 0 to 24.
    pub fn hour(self) -> f64 {
        let wall = self.wall();
        f64::from(wall.hour()) + f64::from(wall.minute()) / 60.0
    }

    /// The weekday, in three letters.
    pub fn weekday(self) -> &'static str {
        match self.wall().weekday() {
            Weekday::Monday => "Mon",
            Weekday::Tuesday => "Tue",
            Weekday::Wednesday => "Wed",
            Weekday::Thursday => "Thu",
            Weekday::Friday => "Fri",
            Weekday::Saturday => "Sat",
            Weekday::Sunday => "Sun",
        }
    }

    /// As in the document: `2026-11-26T08:30`.
    pub fn text(self) -> String {
        let wall = self.wall();
        let (date, hour, minute) = (wall.date(), wall.hour(), wall.minute());
        let month = u8::from(date.month());
        format!(
            "{:04}-{month:02}-{:02}T{hour:02}:{minute:02}",
            date.year(),
            date.day()
        )
    }

    /// As a person reads it: `Thu 26 Nov 08:30`.
    pub fn spoken(self) -> String {
        let months = [
            "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
        ];
        let date = self.wall().date();
        let month = months[usize::from(u8::from(date.month()) - 1)];
        format!("{} {} {month} {}", self.weekday(), date.day(), self.clock())
    }

    /// The time of day alone: `08:30`.
    pub fn clock(self) -> String {
        let wall = self.wall();
        format!("{:02}:{:02}", wall.hour(), wall.minute())
    }

    /// Midnight before it.
    pub fn midnight(self) -> Self {
        let midnight = PrimitiveDateTime::new(self.wall().date(), Time::MIDNIGHT);
        Self {
            steady: midnight,
            change: None,
        }
        .under(self.change)
    }

    /// As a calendar file writes it, in the wall's own time (RFC 5545, 3.3.5, form 1): `20261126T083000`.
    pub fn stamp(self) -> String {
        self.text().replace(['-', ':'], "") + "00"
    }
}

/// Minutes from midnight of 1 January 1970.
fn minutes(at: PrimitiveDateTime) -> f64 {
    let days = f64::from(at.date().to_julian_day() - EPOCH);
    1440.0 * days + 60.0 * f64::from(at.hour()) + f64::from(at.minute())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_night_of_the_change_is_an_hour_longer_or_shorter() {
        // 25 October 2026, 03:00 back to 02:00; 29 March 2026, 02:00 forward to 03:00.
        for (at, forward, before, after, long) in [
            (
                "2026-10-25T03:00",
                false,
                "2026-10-24T20:00",
                "2026-10-25T08:00",
                780.0,
            ),
            (
                "2026-03-29T02:00",
                true,
                "2026-03-28T20:00",
                "2026-03-29T08:00",
                660.0,
            ),
            (
                "2026-10-25T03:00",
                false,
                "2026-10-25T01:30",
                "2026-10-25T02:30",
                60.0,
            ),
            (
                "2026-10-25T03:00",
                false,
                "2026-10-25T02:30",
                "2026-10-25T03:30",
                120.0,
            ),
            (
                "2026-10-25T03:00",
                false,
                "2026-10-25T04:00",
                "2026-10-25T05:00",
                60.0,
            ),
        ] {
            let change = Some(ClockChange::new(moment(at), forward));
            let (before, after) = (moment(before).under(change), moment(after).under(change));
            assert_eq!(after.minutes_since(before), long, "{at}");
            assert_eq!(before.after(long).text(), after.text(), "{at}");
        }
        // Every wall time but those of the hour that is left out is shown again as it was typed.
        let change = Some(ClockChange::new(moment("2026-03-29T02:00"), true));
        for minute in 0..(2 * 1440) {
            let at = moment("2026-03-28T12:00").after(f64::from(minute));
            let shown = at.under(change).text();
            let left_out = (840..900).contains(&minute);
            assert_eq!(shown == at.text(), !left_out, "{shown}");
            if left_out {
                assert_eq!(shown, "2026-03-29T03:00");
            }
        }
    }

    fn moment(text: &str) -> Moment {
        Moment::from_text(text).unwrap()
    }

    #[test]
    fn knows_the_calendar() {
        // Weekdays from a wall calendar.
        assert_eq!(moment("2026-11-25T08:30").spoken(), "Wed 25 Nov 08:30");
        assert_eq!(moment("2000-02-29T00:00").weekday(), "Tue");
        assert_eq!(
            moment("2026-12-31T23:59").after(1.4).text(),
            "2027-01-01T00:00"
        );
        assert_eq!(
            moment("2028-02-28T12:00").after(1440.0).text(),
            "2028-02-29T12:00"
        );
        assert_eq!(moment("2026-11-25T08:30:59").stamp(), "20261125T083000");
        let (start, end) = (moment("2026-11-25T08:30"), moment("2026-11-27T07:00"));
        assert_eq!(end.minutes_since(start), 2790.0);
        assert_eq!(start.after(2790.0), end);
        assert!((start.hour() - 8.5).abs() < 1e-12);
        assert_eq!(end.midnight().text(), "2026-11-27T00:00");
    }

    #[test]
    fn refuses_what_is_no_moment() {
        for text in [
            "",
            "tomorrow",
            "2026-11-25",
            "2026-13-01T08:00",
            "2026-02-30T08:00",
            "2026-11-25T24:00",
            "2026-11-25T08:60",
            "0000-01-01T00:00",
            "2026-11-25T08:30:xx",
            "2026-11-25T08:30:00:00",
        ] {
            assert_eq!(Moment::from_text(text), None, "{text}");
        }
        assert_eq!(moment("2026-11-25T08:30").after(f64::NAN).clock(), "08:30");
    }
}
