//! How a figure of the core is held against a figure from outside.

use crate::given::number;
use toml::Value as Expected;

/// A figure that the core gave.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Got {
    /// A plain number.
    Number(f64),
    /// Low, likely and high.
    Range(f64, f64, f64),
    /// A word or a sentence.
    Text(String),
    /// Yes or no.
    Switch(bool),
    /// Several sentences, of which one must hold the words expected.
    Sentences(Vec<String>),
}

/// How close is close enough.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Closeness {
    pub(crate) rel: Option<f64>,
    pub(crate) abs: Option<f64>,
    pub(crate) within: bool,
    pub(crate) meets: bool,
}

/// Nothing when the figure is as expected, otherwise what is wrong.
pub(crate) fn against(got: &Got, expected: &Expected, by: Closeness) -> Option<String> {
    if let Some(bounds) = expected.as_table() {
        return bounded(got, bounds);
    }
    if let Some(pair) = expected.as_array() {
        let pair: Vec<f64> = pair.iter().filter_map(number).collect();
        return match pair[..] {
            [low, high] if low <= high => pair_against(got, (low, high), by),
            _ => Some("expected two numbers, the smaller first".into()),
        };
    }
    match (got, expected) {
        (Got::Switch(got), Expected::Boolean(wanted)) => {
            (got != wanted).then(|| format!("got {got}, expected {wanted}"))
        }
        (Got::Text(got), Expected::String(wanted)) => {
            (got != wanted).then(|| format!("got {got:?}, expected {wanted:?}"))
        }
        (Got::Sentences(all), Expected::String(wanted)) => {
            (!all.iter().any(|one| one.contains(wanted.as_str())))
                .then(|| format!("no sentence holds {wanted:?} among {all:#?}"))
        }
        _ => match number(expected) {
            Some(wanted) => value_against(got, wanted, by),
            None => Some(format!("{got:?} cannot be held against {expected}")),
        },
    }
}

fn bounded(got: &Got, bounds: &toml::Table) -> Option<String> {
    let (Got::Number(likely) | Got::Range(_, likely, _)) = got else {
        return Some(format!("{got:?} has no bounds"));
    };
    let bound = |name: &str| bounds.get(name).and_then(number);
    let (least, most) = (bound("min"), bound("max"));
    if least.is_none() && most.is_none() {
        return Some("bounds name neither min nor max".into());
    }
    let outside = least.is_some_and(|least| *likely < least)
        || most.is_some_and(|most| *likely > most)
        || likely.is_nan();
    outside.then(|| format!("got {likely}, expected {least:?} to {most:?}"))
}

/// A published span: with `meets`, our likely value lies in it; with `within`, it lies in our range.
fn pair_against(got: &Got, (a, b): (f64, f64), by: Closeness) -> Option<String> {
    let Got::Range(low, likely, high) = got else {
        return Some(format!("{got:?} is no range"));
    };
    let told = || format!("got {likely} ({low} to {high}), expected {a} to {b}");
    let good = match (by.meets, by.within) {
        (true, false) => a <= *likely && *likely <= b,
        (false, true) => *low <= a && b <= *high,
        _ => return Some("a span needs either `meets` or `within`".into()),
    };
    (!good).then(told)
}

fn value_against(got: &Got, wanted: f64, by: Closeness) -> Option<String> {
    if by.within {
        let Got::Range(low, likely, high) = got else {
            return Some(format!("{got:?} is no range"));
        };
        let inside = *low <= wanted && wanted <= *high;
        return (!inside)
            .then(|| format!("{wanted} lies outside {low} to {high} (likely {likely})"));
    }
    let (Got::Number(likely) | Got::Range(_, likely, _)) = got else {
        return Some(format!("{got:?} is no number"));
    };
    if by.rel.is_none() && by.abs.is_none() {
        return Some("the case names no tolerance".into());
    }
    let off = (likely - wanted).abs();
    let allowed = by.rel.unwrap_or(0.0) * wanted.abs() + by.abs.unwrap_or(0.0);
    // Written so that a NaN counts as wrong.
    let close = off <= allowed;
    (!close).then(|| {
        format!("got {likely}, expected {wanted}: off by {off:.3e}, allowed {allowed:.3e}")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const CLOSE: Closeness = Closeness {
        rel: Some(0.01),
        abs: None,
        within: false,
        meets: false,
    };
    const WITHIN: Closeness = Closeness {
        rel: None,
        abs: None,
        within: true,
        meets: false,
    };

    #[test]
    fn tells_good_from_bad() {
        let range = Got::Range(1.0, 2.0, 3.0);
        assert_eq!(
            against(&Got::Number(1.0), &Expected::Float(1.009), CLOSE),
            None
        );
        assert!(against(&Got::Number(1.0), &Expected::Float(1.02), CLOSE).is_some());
        assert!(against(&Got::Number(f64::NAN), &Expected::Float(1.0), CLOSE).is_some());
        assert_eq!(against(&range, &Expected::Float(2.9), WITHIN), None);
        assert!(against(&range, &Expected::Float(3.1), WITHIN).is_some());
        assert!(against(&Got::Number(1.0), &Expected::Float(1.0), WITHIN).is_some());
        let bound: toml::Table = "a = { min = 2.5 }".parse().unwrap();
        assert!(against(&range, &bound["a"], WITHIN).is_some());
    }
}
