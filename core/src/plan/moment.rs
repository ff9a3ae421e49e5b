//! A day and a time of day, as the clock on the workshop's wall shows it.
//!
//! No time zone: a plan is worked out where it is carried out. How the clock is set in these days is told by the plan;
//! then a moment is counted by a clock that nobody sets, and shown by the one on the wall.

use super::clock::WallClock;
use time::{Date, Duration, Month, OffsetDateTime, PrimitiveDateTime, Time, Weekday};

/// A minute in the calendar, such as 26 November 2026, 14:05.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment {
    /// As a clock shows it that nobody sets.
    steady: PrimitiveDateTime,
    clock: WallClock,
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

    /// Reads `2026-11-26T08:30`; seconds, and a distance from UTC, are left out of account.
    pub fn from_text(text: &str) -> Option<Self> {
        Self::read(text, WallClock::default())
    }

    /// Reads what a clock on the wall shows. A distance from UTC after it, `+01:00` (RFC 3339), tells which of the two hours is
    /// meant where one comes twice.
    pub(super) fn read(text: &str, clock: WallClock) -> Option<Self> {
        let (day, time) = text.trim().split_once(['T', ' '])?;
        let (time, ahead) = parted(time)?;
        let days = i32::try_from(day_of(day)?).ok()?;
        let day = Date::from_julian_day(days + EPOCH).ok()?;
        let mut parts = time.split(':').map(|part| part.parse::<u8>().ok());
        let (hour, minute) = (parts.next()??, parts.next()??);
        if parts.next() == Some(None) || parts.next().is_some() {
            return None;
        }
        let time = Time::from_hms(hour, minute, 0).ok()?;
        let wall = whole_minutes(PrimitiveDateTime::new(day, time));
        let told = ahead.and_then(|ahead| clock.at_offset(wall, ahead));
        Some(Self::counted_from(
            told.unwrap_or_else(|| clock.steady(wall)),
            clock,
        ))
    }

    fn counted_from(minutes: i64, clock: WallClock) -> Self {
        Self {
            steady: moment_of(minutes),
            clock,
        }
    }

    /// The same moment by the wall, where the clock there changes.
    #[cfg(test)]
    fn under(self, clock: WallClock) -> Self {
        Self::counted_from(clock.steady(whole_minutes(self.wall())), clock)
    }

    fn wall(self) -> PrimitiveDateTime {
        moment_of(self.clock.wall(whole_minutes(self.steady)))
    }

    /// Minutes from midnight of 1 January 1970, by a clock that nobody sets.
    pub(crate) fn counted(self) -> f64 {
        whole_minutes(self.steady) as f64
    }

    /// The same, whole.
    pub(super) fn minutes(self) -> i64 {
        whole_minutes(self.steady)
    }

    /// What a clock that nobody sets has counted when the wall shows so many minutes since midnight of 1 January 1970.
    pub(crate) fn counted_at(self, wall: f64) -> f64 {
        self.clock.counted(wall)
    }

    /// What the wall shows then, in the same minutes.
    pub(crate) fn shown_at(self, counted: f64) -> f64 {
        self.clock.shown(counted)
    }

    /// When the clock on the wall is set after this moment and up to another: what it shows just before, and just after.
    pub(crate) fn settings_until(self, end: Self) -> Vec<(Self, Self)> {
        let (from, to) = (whole_minutes(self.steady), whole_minutes(end.steady));
        let settings = self.clock.between(from, to);
        let shown = |at| Self::counted_from(self.clock.wall(at), WallClock::default());
        settings
            .map(|(at, by)| {
                let after = shown(at);
                (after.after(-(by as f64)), after)
            })
            .collect()
    }

    /// This many minutes later; to the nearest minute, and no further than the calendar goes.
    pub fn after(self, minutes: f64) -> Self {
        // A cast of a rounded number; what is no number counts as none.
        let minutes = Duration::minutes(minutes.round() as i64);
        Self {
            steady: self.steady.saturating_add(minutes),
            clock: self.clock,
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
        Self::counted_from(self.clock.steady(whole_minutes(midnight)), self.clock)
    }

    /// As a calendar file writes it, in the wall's own time (RFC 5545, 3.3.5, form 1): `20261126T083000`.
    pub fn stamp(self) -> String {
        self.text().replace(['-', ':'], "") + "00"
    }

    /// The same in UTC (form 2): `20261126T073000Z`; none where the plan does not tell the distance.
    pub(crate) fn utc_stamp(self) -> Option<String> {
        let utc = self.clock.in_utc(whole_minutes(self.steady))?;
        let utc = Self::counted_from(utc, WallClock::default());
        Some(utc.stamp() + "Z")
    }
}

/// The moment so many minutes after midnight of 1 January 1970; no further than the calendar goes.
fn moment_of(minutes: i64) -> PrimitiveDateTime {
    let first = OffsetDateTime::UNIX_EPOCH.date();
    PrimitiveDateTime::new(first, Time::MIDNIGHT).saturating_add(Duration::minutes(minutes))
}

/// Minutes from midnight of 1 January 1970.
fn whole_minutes(at: PrimitiveDateTime) -> i64 {
    let days = i64::from(at.date().to_julian_day() - EPOCH);
    1440 * days + 60 * i64::from(at.hour()) + i64::from(at.minute())
}

/// A time of day, and the minutes ahead of UTC that may stand behind it as `Z`, `+01:00` or `-05:30`.
fn parted(text: &str) -> Option<(&str, Option<i64>)> {
    if let Some(time) = text.strip_suffix('Z') {
        return Some((time, Some(0)));
    }
    let Some(at) = text.find(['+', '-']) else {
        return Some((text, None));
    };
    let (time, ahead) = text.split_at(at);
    let (hours, minutes) = ahead[1..].split_once(':')?;
    let part = |text: &str| (text.len() == 2).then(|| text.parse::<u8>().ok()).flatten();
    let ahead = 60 * i64::from(part(hours)?) + i64::from(part(minutes)?);
    let ahead = if text[at..].starts_with('-') {
        -ahead
    } else {
        ahead
    };
    Some((time, Some(ahead)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The clock of a zone an hour ahead of UTC in winter, set at 02:00 on 29 March and at 03:00 on 25 October 2026.
    fn clock() -> WallClock {
        let at = |text| whole_minutes(moment(text).steady);
        let clock = WallClock::ahead_of_utc(Some(60));
        let summer = clock.set(at("2026-03-29T02:00"), 60).unwrap();
        summer.set(at("2026-10-25T03:00"), -60).unwrap()
    }

    #[test]
    fn the_night_of_the_change_is_an_hour_longer_or_shorter() {
        for (before, after, long) in [
            ("2026-10-24T20:00", "2026-10-25T08:00", 780.0),
            ("2026-03-28T20:00", "2026-03-29T08:00", 660.0),
            ("2026-10-25T01:30", "2026-10-25T02:30", 60.0),
            ("2026-10-25T02:30", "2026-10-25T03:30", 120.0),
            ("2026-10-25T04:00", "2026-10-25T05:00", 60.0),
        ] {
            let (before, after) = (moment(before).under(clock()), moment(after).under(clock()));
            assert_eq!(after.minutes_since(before), long, "{}", after.text());
            assert_eq!(before.after(long).text(), after.text());
        }
        // Every wall time but those of the hour that is left out is shown again as it was typed.
        for minute in 0..(2 * 1440) {
            let at = moment("2026-03-28T12:00").after(f64::from(minute));
            let shown = at.under(clock()).text();
            let left_out = (840..900).contains(&minute);
            let wanted = if left_out { at.after(60.0) } else { at };
            assert_eq!(shown, wanted.text());
        }
    }

    #[test]
    fn a_distance_from_utc_tells_which_of_two_hours_is_meant() {
        let read = |text| Moment::read(text, clock()).unwrap();
        let (first, second) = (
            read("2026-10-25T02:30+02:00"),
            read("2026-10-25T02:30+01:00"),
        );
        assert_eq!(second.minutes_since(first), 60.0);
        assert_eq!(first, read("2026-10-25T02:30"));
        assert_eq!(
            (first.clock(), second.clock()),
            ("02:30".into(), "02:30".into())
        );
        // Told by arithmetic: two hours and one hour ahead of UTC.
        assert_eq!(first.utc_stamp().unwrap(), "20261025T003000Z");
        assert_eq!(second.utc_stamp().unwrap(), "20261025T013000Z");
        // What the wall does not show at that distance is read as the wall has it.
        assert_eq!(read("2026-07-01T12:00-05:30"), read("2026-07-01T12:00"));
        assert_eq!(
            read("2026-07-01T12:00Z").utc_stamp().unwrap(),
            "20260701T100000Z"
        );
        let plain = moment("2026-10-25T02:30-08:00");
        assert_eq!(
            (plain.text(), plain.utc_stamp()),
            ("2026-10-25T02:30".into(), None)
        );
    }

    #[test]
    fn the_settings_within_a_span_are_told_by_the_wall() {
        let from = moment("2026-03-01T00:00").under(clock());
        let to = moment("2026-12-01T00:00").under(clock());
        let told: Vec<_> = from
            .settings_until(to)
            .into_iter()
            .map(|(a, b)| (a.text(), b.text()))
            .collect();
        let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
        let (spring, autumn) = (
            pair("2026-03-29T02:00", "2026-03-29T03:00"),
            pair("2026-10-25T03:00", "2026-10-25T02:00"),
        );
        assert_eq!(told, [spring, autumn]);
        assert!(to.settings_until(to.after(1e6)).is_empty());
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
            "2026-11-25T08:30+1",
            "2026-11-25T08:30+01:xx",
            "2026-11-25T08:30+01:00+01:00",
        ] {
            assert_eq!(Moment::from_text(text), None, "{text}");
        }
        assert_eq!(moment("2026-11-25T08:30").after(f64::NAN).clock(), "08:30");
    }
}
