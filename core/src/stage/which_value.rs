//! Which of the typed values leads outside what can be computed.
//!
//! A law that cannot answer knows its own argument, such as a count of pots, and not what was typed. So the job is
//! worked out again with one typed value at a time moved to the middle of what may be typed there: those that mend it
//! are told.

use super::bench::{Bench, TOGETHER};
use super::pipeline;
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{Grade, Input, Origin, Sheet, StageName};
use crate::solve::sort::sort_by;
use crate::units::{Units, entry, join_unit};

/// Jobs worked out to find the values, at most.
const MOST_TRIED: usize = 8;
/// Values that are told, at most.
const MOST_TOLD: usize = 3;
/// A field whose ends lie this far apart is looked at in its logarithm.
const DECADES: f64 = 100.0;

/// A typed value that mends the job when it is moved.
struct Mends {
    /// Its field, where it is one of the plan's.
    key: Option<String>,
    /// The value as typed, with its name and the way it has to go.
    words: String,
    /// Stages that still cannot be computed then.
    left: Vec<StageName>,
}

/// The sheet or the problems, with the values that lead outside named in them.
///
/// # Errors
/// Those of `found`.
pub(super) fn told(
    bench: &Bench<'_>,
    surplus: &[String],
    found: Result<Sheet, Vec<Problem>>,
) -> Result<Sheet, Vec<Problem>> {
    match found {
        Ok(mut sheet) if sheet.notes.iter().any(|note| note.sentence == TOGETHER) => {
            let stages = stuck(&sheet);
            let mends = mends(bench, surplus, &sheet.inputs, &stages);
            name(&mut sheet, &mends);
            Ok(sheet)
        }
        Err(mut problems) if problems.iter().any(|problem| problem.sentence == TOGETHER) => {
            let mends = mends(bench, surplus, bench.desk.inputs(), &[]);
            for problem in &mut problems {
                if problem.sentence == TOGETHER {
                    let (sentence, key) = sentence(mends.iter());
                    let field = key.unwrap_or_else(|| problem.field.clone());
                    *problem = Problem::new(field, "", sentence);
                }
            }
            Err(problems)
        }
        as_it_is => as_it_is,
    }
}

/// Names in the note of each stage that could not be computed the values that mend this very stage.
fn name(sheet: &mut Sheet, mends: &[Mends]) {
    for note in &mut sheet.notes {
        if note.sentence == TOGETHER {
            let these = mends.iter().filter(|one| !one.left.contains(&note.stage));
            note.sentence = sentence(these).0;
        }
    }
}

/// What to change, and the key of the first that is named.
fn sentence<'a>(mends: impl Iterator<Item = &'a Mends>) -> (String, Option<String>) {
    let these: Vec<&Mends> = mends.take(MOST_TOLD).collect();
    let Some(first) = these.first() else {
        return (TOGETHER.to_owned(), None);
    };
    let words: Vec<&str> = these.iter().map(|one| one.words.as_str()).collect();
    let one_of = if words.len() > 1 {
        "One of these has to change"
    } else {
        "This has to change"
    };
    let sentence = format!(
        "These values together lie outside what can be computed. {one_of}: {}.",
        words.join("; ")
    );
    (sentence, first.key.clone())
}

/// Stages of a sheet that could not be computed.
fn stuck(sheet: &Sheet) -> Vec<StageName> {
    let notes = sheet.notes.iter();
    notes
        .filter(|note| note.sentence == TOGETHER)
        .map(|note| note.stage)
        .collect()
}

/// Moves the typed values one at a time, those nearest to an end of what may be typed first. What mends none of the
/// stages that could not be computed is left out; without such stages the job as a whole has none.
fn mends(
    bench: &Bench<'_>,
    surplus: &[String],
    inputs: &[Input],
    stages: &[StageName],
) -> Vec<Mends> {
    let typed = |input: &&Input| {
        let open = input.limits.0 < input.limits.1 && input.limits.1 < f64::MAX;
        open && matches!(input.origin, Origin::Plan | Origin::Measured) && input.grade == Grade::Own
    };
    let mut typed: Vec<&Input> = inputs.iter().filter(typed).collect();
    sort_by(&mut typed, |a, b| from_end(a).total_cmp(&from_end(b)));
    let mut found: Vec<Mends> = Vec::new();
    for input in typed.into_iter().take(MOST_TRIED) {
        if found.len() == MOST_TOLD {
            break;
        }
        let value = middle(input);
        let mut again = Bench::new(bench.plan, bench.shelf);
        again.desk.try_instead(&input.key, Range::exact(value));
        let Ok(sheet) = pipeline::work(&mut again, surplus) else {
            continue;
        };
        let left = stuck(&sheet);
        if !stages.is_empty() && stages.iter().all(|stage| left.contains(stage)) {
            continue;
        }
        found.push(Mends {
            key: (input.origin == Origin::Plan).then(|| input.key.clone()),
            words: words(input, value, bench.plan.units),
            left,
        });
    }
    found
}

fn words(input: &Input, value: f64, units: Units) -> String {
    let typed = input.range.likely;
    let shown = entry(input.unit.to_shown(typed, units));
    let way = if value < typed { "less" } else { "more" };
    format!(
        "{}, {}, to {way}",
        input.label,
        join_unit(&shown, input.unit.symbol_in(units))
    )
}

/// Whether a field spans so much that it is looked at in its logarithm.
fn in_logarithm(input: &Input) -> bool {
    let (low, high) = input.limits;
    low > 0.0 && high / low > DECADES
}

/// How far a value lies from the nearer end of what may be typed, as a share of the whole [-].
fn from_end(input: &Input) -> f64 {
    let (low, high) = input.limits;
    let scale = |x: f64| if in_logarithm(input) { x.ln() } else { x };
    let span = scale(high) - scale(low);
    let at = scale(input.range.likely.clamp(low, high)) - scale(low);
    (at / span).min(1.0 - at / span)
}

/// The middle of what may be typed.
fn middle(input: &Input) -> f64 {
    let (low, high) = input.limits;
    if in_logarithm(input) {
        (low * high).sqrt()
    } else {
        (low + high) / 2.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Plan;
    use crate::sheet::{Note, Weight};
    use crate::shelf::Shelf;
    use serde_json::json;

    fn plan() -> Plan {
        let document = json!({
            "part": { "area_m2": 0.62, "flow_length_mm": 300 },
            "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
            "resin": "infusion_epoxy_slow",
            "room": { "temperature_c": 44.5 },
        });
        Plan::read(&document, Shelf::generic()).plan.unwrap()
    }

    /// The sheet of a plan, in which some stages are said to lie outside what can be computed.
    fn with_stuck(bench: &mut Bench<'_>, stages: &[StageName]) -> Sheet {
        let mut sheet = pipeline::work(bench, &[]).unwrap();
        assert!(stuck(&sheet).is_empty());
        sheet.notes.extend(stages.iter().map(|&stage| Note {
            stage,
            weight: Weight::Problem,
            sentence: TOGETHER.into(),
        }));
        sheet
    }

    #[test]
    fn a_stage_alone_is_told_by_the_value_nearest_to_an_end() {
        let plan = plan();
        let mut bench = Bench::new(&plan, Shelf::generic());
        let sheet = with_stuck(&mut bench, &[StageName::Trim]);
        let others = sheet.notes.len() - 1;
        let sheet = told(&bench, &[], Ok(sheet)).unwrap();
        assert_eq!(sheet.notes.len(), others + 1);
        let note = &sheet.notes[others];
        let first = "One of these has to change: Temperature in the shop, 44.5\u{a0}°C, to less; ";
        assert!(
            note.stage == StageName::Trim && note.sentence.contains(first),
            "{}",
            note.sentence
        );
        let named = |note: &Note| note.sentence.contains("has to change");
        assert!(!sheet.notes[..others].iter().any(named));
    }

    #[test]
    fn each_stage_is_told_by_what_mends_it() {
        let plan = plan();
        let mut bench = Bench::new(&plan, Shelf::generic());
        let mut sheet = with_stuck(
            &mut bench,
            &[StageName::Trim, StageName::Day, StageName::Bag],
        );
        let mend = |words: &str, left: &[StageName]| Mends {
            key: None,
            words: words.into(),
            left: left.into(),
        };
        let mends = [
            mend("this, to less", &[StageName::Trim, StageName::Bag]),
            mend("that, to more", &[StageName::Bag]),
        ];
        name(&mut sheet, &mends);
        let [trim, day, bag] = sheet.notes.last_chunk::<3>().unwrap();
        assert!(
            trim.sentence
                .ends_with("This has to change: that, to more.")
        );
        let both = "One of these has to change: this, to less; that, to more.";
        assert!(day.sentence.ends_with(both));
        // Nothing that was tried mends it: no value is blamed.
        assert_eq!(bag.sentence, TOGETHER);
    }
}
