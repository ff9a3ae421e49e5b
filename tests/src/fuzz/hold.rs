//! What every answer is held to, and the marks that tell one answer from another.

use super::dice::mark_of;
use crate::sane::{every_figure_is_sane, sentences_are_good};
use crate::sheets::walk;
use bastwork::Problem;
use bastwork::shape::import::Reading;
use serde_json::Value;

/// What an answer showed.
#[derive(Debug, Clone, Default)]
pub struct Answer {
    /// What the core said or left out, in what order of size: one number for each.
    pub marks: Vec<u64>,
    /// The same for sentences alone.
    pub said: Vec<u64>,
    /// Whether a whole sheet came of it.
    pub sheets: u32,
    /// Names in the document that are words which the house does not use to people.
    names: Vec<String>,
}

/// Words that are not used to people.
const UNUSED: [&str; 6] = ["nan", "inf", "infinity", "error", "invalid", "null"];

/// The first of the words that are not used to people.
fn unused(text: &str) -> Option<&str> {
    text.split(|c: char| !c.is_alphanumeric() && c != '_')
        .find(|word| UNUSED.contains(&word.to_lowercase().as_str()))
}

impl Answer {
    /// An answer to a document: what it gives names to is called by them, whatever they are.
    pub(super) fn to(document: &Value) -> Self {
        let mut names = Vec::new();
        walk(document, &mut |path, value| {
            let name = value.as_str().unwrap_or_default().trim();
            if (path == "name" || path.ends_with(".name")) && unused(name).is_some() {
                names.push(name.to_owned());
            }
        });
        Self {
            names,
            ..Self::default()
        }
    }

    /// Notes a mark made of words.
    pub(super) fn mark(&mut self, words: &[&str]) -> u64 {
        let mark = mark_of(words.join("\u{1}").as_bytes());
        self.marks.push(mark);
        mark
    }

    fn say(&mut self, words: &[&str]) {
        let mark = self.mark(words);
        self.said.push(mark);
    }

    pub(super) fn also(&mut self, other: Self) {
        self.marks.extend(other.marks);
        self.said.extend(other.said);
        self.sheets += other.sheets;
    }
}

/// A text without its numbers and without what is quoted in it.
pub(super) fn bones(text: &str) -> String {
    let mut out = String::new();
    let mut quoted = false;
    for c in text.chars() {
        match c {
            '"' => {
                quoted = !quoted;
                out.push('"');
            }
            _ if quoted => {}
            '0'..='9' => {
                if !out.ends_with('#') {
                    out.push('#');
                }
            }
            '.' | ',' if out.ends_with('#') => {}
            c => out.push(c),
        }
    }
    out
}

/// Holds problems to what a person can act on.
pub(super) fn problems(problems: &[Problem], answer: &mut Answer) -> Result<(), String> {
    sentences_are_good(problems)?;
    for problem in problems {
        // What was typed is told as it was typed.
        let said = without(&problem.sentence, &problem.value);
        sentence(&said, answer).map_err(|what| format!("{what}: {problem:?}"))?;
        if problem.field.is_empty() && !says_what_to_do(&problem.sentence) {
            return Err(format!("neither a field nor what to do: {problem:?}"));
        }
        for end in [problem.low, problem.high].into_iter().flatten() {
            if !end.is_finite() {
                return Err(format!("a permitted end of {end}: {problem:?}"));
            }
        }
        let field = bones(&problem.field);
        answer.say(&[&field, &bones(&problem.sentence)]);
    }
    let many = usize::BITS - problems.len().leading_zeros();
    answer.mark(&["problems", &many.to_string()]);
    Ok(())
}

/// A sentence without what was found in the document.
fn without(sentence: &str, found: &str) -> String {
    if found.is_empty() {
        sentence.to_owned()
    } else {
        sentence.replace(found, "")
    }
}

/// Whether a sentence begins with what to do, or holds it.
fn says_what_to_do(text: &str) -> bool {
    let verbs = [
        "Choose", "Type", "Draw", "Leave", "Use", "Give", "Make", "Take", "Save", "Export", "Load",
        "Set", "Add", "Say", "Open", "Write", "Put", "Ask", "Check", "Dry", "Pick",
    ];
    text.contains("belong")
        || text.split(['.', ':', ';', ',']).any(|part| {
            let first = part.split_whitespace().next().unwrap_or_default();
            verbs.iter().any(|verb| verb.eq_ignore_ascii_case(first))
        })
}

/// Holds a sentence to what the house says to people.
fn sentence(text: &str, answer: &Answer) -> Result<(), String> {
    if text.chars().count() > 600 {
        return Err("a sentence of more than 600 letters".into());
    }
    if !text.trim_end().ends_with(['.', '?', ')', '"']) {
        return Err("a sentence without an end".into());
    }
    // What was typed or stands in a file may be quoted; what it names is called by its name.
    let names = answer.names.iter();
    let own = names.fold(unquoted(text), |own, name| own.replace(name.as_str(), ""));
    if let Some(word) = unused(&own) {
        return Err(format!("{word:?} in a sentence"));
    }
    Ok(())
}

/// A text without what is quoted in it.
fn unquoted(text: &str) -> String {
    text.split('"').step_by(2).collect()
}

/// Holds every number of a document to be one.
pub(super) fn numbers(document: &Value) -> Result<(), String> {
    let mut wrong = Ok(());
    walk(document, &mut |path, value| {
        if value.as_f64().is_some_and(|x| !x.is_finite()) {
            wrong = Err(format!("{path} is {value}"));
        }
    });
    wrong
}

/// Holds what was read of a file to numbers and sentences.
pub(super) fn reading(reading: &Reading, answer: &mut Answer) -> Result<(), String> {
    for text in &reading.told {
        sentence(text, answer).map_err(|what| format!("{what}: {text:?}"))?;
        answer.say(&["told", &bones(text)]);
    }
    if !reading.problems.is_empty() {
        problems(&reading.problems, answer)?;
    }
    if reading.shape.is_none() && !reading.asks_unit && reading.problems.is_empty() {
        return Err("no shape, and nothing said".into());
    }
    let picture = &reading.picture;
    if picture.size.iter().any(|x| !x.is_finite() || *x < 0.0) {
        return Err(format!("a picture of {:?}", picture.size));
    }
    for area in &picture.areas {
        if area.path.contains("NaN") || area.path.contains("inf") {
            return Err(format!("an edge in the picture: {}", area.path));
        }
        if let Some(word) = unreadable(&area.words) {
            return Err(format!("{word:?} in {:?}", area.words));
        }
    }
    let size = |count: usize| (usize::BITS - count.leading_zeros()).to_string();
    answer.mark(&["areas", &size(picture.areas.len())]);
    for mm in picture.sides.iter().filter_map(|side| side.mm) {
        if !mm.is_finite() || mm < 0.0 {
            return Err(format!("a side of {mm} mm"));
        }
        answer.mark(&["side", &format!("{:.0}", mm.max(1e-9).log10())]);
    }
    if let Some(shape) = &reading.shape {
        numbers(shape)?;
        answer.mark(&["shape", shape["form"].as_str().unwrap_or_default()]);
        let rows = |name: &str| size(shape[name].as_array().map_or(0, Vec::len));
        answer.mark(&["points", &rows("points_mm"), &rows("holes_mm")]);
    }
    Ok(())
}

fn unreadable(text: &str) -> Option<&str> {
    text.split(|c: char| !c.is_alphanumeric())
        .find(|word| matches!(*word, "NaN" | "inf"))
}

/// Holds a sheet to figures in order, sentences, and mass that is neither made nor lost.
pub(super) fn sheet(sheet: &Value, answer: &mut Answer) -> Result<(), String> {
    every_figure_is_sane(sheet)?;
    mass_is_kept(sheet)?;
    answer.sheets += 1;
    for note in sheet["notes"].as_array().into_iter().flatten() {
        let text = note["sentence"].as_str().unwrap_or_default();
        sentence(text, answer).map_err(|what| format!("{what}: {text:?}"))?;
        answer.say(&[
            "note",
            note["stage"].as_str().unwrap_or_default(),
            &bones(text),
        ]);
    }
    walk(sheet, &mut |path, value| {
        let outside = ["sources", "inputs", "notes"]
            .iter()
            .any(|part| path.starts_with(part));
        if outside || path.contains(".shown.") {
            return;
        }
        let place = bones(path);
        match value {
            Value::Null => {
                answer.mark(&["nothing", &place]);
            }
            Value::Object(map) if map.contains_key("likely") => {
                if let Some(x) = value["likely"].as_f64() {
                    let power = format!("{:.0}", x.abs().max(1e-30).log10());
                    answer.mark(&[
                        &place,
                        &power,
                        value["rests_on"].as_str().unwrap_or_default(),
                    ]);
                }
            }
            Value::String(text) if path.ends_with("answer") || path.ends_with("sentence") => {
                answer.say(&["answer", &place, &bones(text)]);
            }
            _ => {}
        }
    });
    Ok(())
}

/// Resin and hardener are the mix, and what stays in the part and what is lost are the mix too.
fn mass_is_kept(sheet: &Value) -> Result<(), String> {
    let of = |name: &str| sheet["mix"][name]["likely"].as_f64();
    let (Some(resin), Some(hardener), Some(mix), Some(part)) = (
        of("resin_g"),
        of("hardener_g"),
        of("resin_to_mix_g"),
        of("resin_in_part_g"),
    ) else {
        return Ok(());
    };
    if mix == 0.0 {
        return Ok(());
    }
    let losses = sheet["mix"]["losses"].as_array().into_iter().flatten();
    let lost: f64 = losses
        .filter_map(|loss| loss["grams"]["likely"].as_f64())
        .sum();
    for (a, what) in [
        (resin + hardener, "resin and hardener"),
        (part + lost, "part and losses"),
    ] {
        if (a - mix).abs() > 1e-9 * mix.max(1e-3) {
            return Err(format!("{what} are {a} g, the mix {mix} g"));
        }
    }
    Ok(())
}
