//! The laws of the core by name, so that a case file can ask them.

mod bending;
mod flow;
mod laminate;
mod resin;
mod strength;
mod trim;
mod vacuum;
mod water;

use crate::cases::Figures;
use crate::compare::Got;
use crate::given::Given;
use bastwork::law::LawError;

/// What a law gives for the inputs of a case.
type Answer = Result<Figures, LawError>;
/// A law by its name.
type Entry = (&'static str, fn(&Given<'_>) -> Answer);

/// One figure, called `value`.
fn one(value: Result<f64, LawError>) -> Answer {
    Ok(vec![("value", Got::Number(value?))])
}

/// Several figures by name.
fn several<const N: usize>(figures: [(&'static str, f64); N]) -> Answer {
    Ok(figures
        .into_iter()
        .map(|(name, value)| (name, Got::Number(value)))
        .collect())
}

/// One word, called `value`.
fn word(value: impl std::fmt::Debug) -> Answer {
    Ok(vec![("value", Got::Text(format!("{value:?}")))])
}

fn entries() -> impl Iterator<Item = &'static Entry> {
    [
        water::LAWS,
        laminate::LAWS,
        bending::LAWS,
        strength::LAWS,
        resin::LAWS,
        flow::LAWS,
        trim::LAWS,
        vacuum::LAWS,
    ]
    .into_iter()
    .flatten()
}

/// Names of the laws that can be asked.
#[must_use]
pub fn names() -> Vec<&'static str> {
    entries().map(|(name, _)| *name).collect()
}

/// The answer of a law, or nothing when there is no law of this name.
pub(crate) fn ask(name: &str, given: &Given<'_>) -> Option<Answer> {
    entries()
        .find(|(known, _)| *known == name)
        .map(|(_, law)| law(given))
}

#[cfg(test)]
mod tests {
    #[test]
    fn every_name_is_there_once() {
        let mut names = super::names();
        let all = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), all);
    }
}
