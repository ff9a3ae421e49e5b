//! A day and a time of day, as the clock on the workshop's wall shows it.
//!
//! No time zone: a plan is worked out where it is carried out. Does not know of the night on which clocks change.

use time::{Date, Duration, Month, PrimitiveDateTime, Time, Weekday};

/// A minute in the calendar, such as 26 November 2026, 14:05.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(PrimitiveDateTime);

impl Moment {
    /// What to do about a moment that is none.
    pub(super) const WANTED: &'static str =
        "Write day and time like 2026-11-26T08:30: year, month, day, then hours and minutes.";

    /// Reads `2026-11-26T08:30`; seconds are left out of account.
    pub fn from_text(text: &str) -> Option<Self> {
        let (day, clock) = text.trim().split_once(['T', ' '])?;
        let mut parts = day.split('-').map(|part| part.parse::<u16>().ok());
        let (year, month, date) = (parts.next()??, parts.next()??, parts.next()??);
        let mut parts = clock.split(':').map(|part| part.parse::<u8>().ok());
        let (hour, minute) = (parts.next()??, parts.next()??);
        if !(1970..=2200).contains(&year) || parts.next() == Some(None) || parts.next().is_some() {
            return None;
        }
        let month = Month::try_from(u8::try_from(month).ok()?).ok()?;
        let day =
            Date::from_calendar_date(i32::from(year), month, u8::try_from(date).ok()?).ok()?;
        let clock = Time::from_hms(hour, minute, 0).ok()?;
        Some(Self(PrimitiveDateTime::new(day, clock)))
    }

    /// This many minutes later; to the nearest minute, and no further than the calendar goes.
    pub fn after(self, minutes: f64) -> Self {
        // A cast of a rounded number; what is no number counts as none.
        let minutes = Duration::minutes(minutes.round() as i64);
        Self(self.0.saturating_add(minutes))
    }

    /// Minutes from an earlier moment to this one.
    pub fn minutes_since(self, earlier: Self) -> f64 {
        (self.0 - earlier.0).whole_minutes() as f64
    }

    /// Hour of the day with its fraction, 0 to 24.
    pub fn hour(self) -> f64 {
        f64::from(self.0.hour()) + f64::from(self.0.minute()) / 60.0
    }

    /// The weekday, in three letters.
    pub fn weekday(self) -> &'static str {
        match self.0.weekday() {
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
        let (date, hour, minute) = (self.0.date(), self.0.hour(), self.0.minute());
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
        let date = self.0.date();
        let month = months[usize::from(u8::from(date.month()) - 1)];
        format!("{} {} {month} {}", self.weekday(), date.day(), self.clock())
    }

    /// The time of day alone: `08:30`.
    pub fn clock(self) -> String {
        format!("{:02}:{:02}", self.0.hour(), self.0.minute())
    }

    /// Midnight before it.
    pub fn midnight(self) -> Self {
        Self(PrimitiveDateTime::new(self.0.date(), Time::MIDNIGHT))
    }

    /// As a calendar file writes it, in the wall's own time (RFC 5545, 3.3.5, form 1): `20261126T083000`.
    pub fn stamp(self) -> String {
        self.text().replace(['-', ':'], "") + "00"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
