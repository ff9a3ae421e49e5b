//! A range over a factor of ten is told in words, with what narrows it: two bare figures that far apart say nothing.

use crate::units::{Unit, join_unit};

/// From this ratio of high to low on, two figures are no answer.
const TOO_WIDE: f64 = 10.0;

/// Whether two ends are too far apart to be shown as figures.
pub(crate) fn is_wide(low: f64, high: f64) -> bool {
    low > 0.0 && high > TOO_WIDE * low * (1.0 + 1e-9)
}

/// The words for a range, from its ends as text in a unit; none where the two figures will do.
pub(super) fn in_words(low: &str, high: &str, unit: Unit, symbol: &str) -> Option<String> {
    // Temperature counts from no true zero, so its ends have no ratio.
    if unit == Unit::Celsius {
        return None;
    }
    let [from, to] = [low, high].map(|text| text.parse::<f64>().unwrap_or(0.0));
    if from == 0.0 && to > 0.0 {
        return Some(format!("up to {high}"));
    }
    if !is_wide(from, to) {
        return None;
    }
    let narrow = match unit {
        Unit::Permeability => "try a strip first",
        _ => "measure first",
    };
    let minutes = match unit {
        Unit::Minute => 1.0,
        Unit::Hour => 60.0,
        _ => {
            let low = join_unit(low, symbol);
            return Some(format!("from {low} to {}: {narrow}", times(to / from)));
        }
    };
    let (from, to) = (duration(from * minutes), duration(to * minutes));
    Some(format!("between {from} and {to}: {narrow}"))
}

/// How many times as much, in words.
fn times(ratio: f64) -> &'static str {
    match ratio {
        ..15.0 => "over ten times that",
        ..30.0 => "some twenty times that",
        ..70.0 => "some fifty times that",
        ..150.0 => "some hundred times that",
        ..1000.0 => "hundreds of times that",
        _ => "thousands of times that",
    }
}

/// A length of time as people say it.
pub(crate) fn duration(minutes: f64) -> &'static str {
    match minutes {
        ..0.7 => "seconds",
        ..3.0 => "a minute or two",
        ..8.0 => "five minutes",
        ..12.5 => "ten minutes",
        ..18.0 => "a quarter of an hour",
        ..25.0 => "twenty minutes",
        ..38.0 => "half an hour",
        ..52.0 => "three quarters of an hour",
        ..75.0 => "an hour",
        ..105.0 => "an hour and a half",
        ..150.0 => "two hours",
        ..210.0 => "three hours",
        ..300.0 => "four hours",
        ..480.0 => "six hours",
        ..840.0 => "ten hours",
        ..1800.0 => "a day",
        ..3600.0 => "two days",
        ..10_000.0 => "several days",
        ..20_000.0 => "a week or two",
        _ => "weeks",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_within_ten_stay_and_wider_ones_are_told() {
        let words = |low, high, unit| in_words(low, high, unit, "mm");
        assert_eq!(words("2.5", "25", Unit::Millimetre), None);
        assert_eq!(words("-20", "300", Unit::Celsius), None);
        assert_eq!(words("-1", "20", Unit::Millimetre), None);
        assert_eq!(words("0", "3", Unit::Millimetre).unwrap(), "up to 3");
        assert_eq!(
            words("2", "92", Unit::Millimetre).unwrap(),
            "from 2\u{a0}mm to some fifty times that: measure first"
        );
        assert_eq!(
            words("16", "920", Unit::Minute).unwrap(),
            "between a quarter of an hour and a day: measure first"
        );
        assert_eq!(
            words("0.5", "6.1", Unit::Hour).unwrap(),
            "between half an hour and six hours: measure first"
        );
    }

    #[test]
    fn times_and_lengths_never_shrink() {
        let mut last = 0;
        let all = [
            "seconds",
            "a minute or two",
            "five minutes",
            "ten minutes",
            "a quarter of an hour",
            "twenty minutes",
            "half an hour",
            "three quarters of an hour",
            "an hour",
            "an hour and a half",
            "two hours",
            "three hours",
            "four hours",
            "six hours",
            "ten hours",
            "a day",
            "two days",
            "several days",
            "a week or two",
            "weeks",
        ];
        for k in 0..2000 {
            let word = duration(0.1 * 1.01_f64.powi(k));
            let at = all.iter().position(|known| *known == word).unwrap();
            assert!(at >= last);
            last = at;
        }
        assert_eq!(last, all.len() - 1);
    }
}
