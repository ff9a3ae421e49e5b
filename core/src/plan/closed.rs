//! When the workshop is closed: days of the week and dates, typed in one line.

use super::moment::day_of;

/// Days on which nobody is there.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Closed {
    /// Monday first.
    weekdays: [bool; 7],
    /// First and last day of each stretch, in days since 1 January 1970.
    dates: Vec<(i64, i64)>,
}

impl Closed {
    /// What to do about a line that is none.
    pub(super) const WANTED: &'static str =
        "Write days of the week and dates, like: Sat, Sun, 2026-12-25, 2026-12-28 to 2027-01-01.";

    /// Reads "Sat, Sun, 2026-12-24 to 2026-12-26".
    pub fn from_text(text: &str) -> Option<Self> {
        let mut closed = Self::default();
        let parts = text.split([',', ';']).map(str::trim);
        for part in parts.filter(|part| !part.is_empty()) {
            if let Some(place) = weekday(part) {
                closed.weekdays[place] = true;
                continue;
            }
            let (from, to) = part.split_once(" to ").unwrap_or((part, part));
            let (from, to) = (day_of(from.trim())?, day_of(to.trim())?);
            if to < from {
                return None;
            }
            closed.dates.push((from, to));
        }
        Some(closed)
    }

    /// Whether nobody is there on a day, counted from 1 January 1970.
    pub fn on(&self, day: i64) -> bool {
        // That day was a Thursday.
        let weekday = (day + 3).rem_euclid(7);
        // A cast of 0 to 6.
        self.weekdays[weekday as usize] || self.dates.iter().any(|(a, b)| (*a..=*b).contains(&day))
    }

    /// Whether no day of the week is left.
    pub fn always(&self) -> bool {
        self.weekdays.iter().all(|closed| *closed)
    }
}

/// The place of a weekday, Monday first: "Sat", "saturday", "Saturdays".
fn weekday(word: &str) -> Option<usize> {
    const NAMES: [&str; 7] = [
        "monday",
        "tuesday",
        "wednesday",
        "thursday",
        "friday",
        "saturday",
        "sunday",
    ];
    let word = word.to_ascii_lowercase();
    let word = word.trim_end_matches('.');
    let word = if word.len() > 6 {
        word.trim_end_matches('s')
    } else {
        word
    };
    let found = NAMES.iter().position(|name| name.starts_with(word));
    found.filter(|_| word.len() >= 3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_those_of_a_wall_calendar() {
        let closed =
            Closed::from_text("Sat, sundays, 2026-12-24 to 2026-12-26; 2027-01-01").unwrap();
        for (date, is) in [
            ("2026-11-27", false),
            ("2026-11-28", true),
            ("2026-11-29", true),
            ("2026-11-30", false),
            ("2026-12-23", false),
            ("2026-12-24", true),
            ("2026-12-25", true),
            ("2026-12-28", false),
            ("2027-01-01", true),
        ] {
            assert_eq!(closed.on(day_of(date).unwrap()), is, "{date}");
        }
        assert!(!closed.always());
        assert!(Closed::from_text("mon tue").is_none());
        assert!(
            Closed::from_text("Mon,Tue,Wed,Thu,Fri,Sat,Sun")
                .unwrap()
                .always()
        );
        for text in [
            "S",
            "Caturday",
            "2026-13-01",
            "2026-12-26 to 2026-12-24",
            "25 Dec",
        ] {
            assert_eq!(Closed::from_text(text), None, "{text}");
        }
        assert_eq!(Closed::from_text(" "), Some(Closed::default()));
    }
}
