//! Reads the case files and asks the core each row's question.

use crate::compare::{Closeness, Got, against};
use crate::given::{Given, bare, number, to_si};
use crate::{files, laws, sheets};
use bastwork::Shelf;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::path::Path;
use toml::{Table, Value};

/// How the expected value came to us.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// Seen in the source named.
    Read,
    /// Seen where the source named is quoted.
    Quoted,
    /// Recalled from the source named.
    Memory,
    /// Common practice of the trade, no source.
    Practice,
    /// Follows from a definition.
    Definition,
    /// Worked out elsewhere from the same equation.
    Arithmetic,
}

/// One row of a case file.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Case {
    /// What is checked, in words.
    pub name: String,
    /// Where the expected value comes from.
    pub source: String,
    /// How it came to us.
    pub grade: Grade,
    /// Name of a law, or `sheet`.
    pub ask: String,
    /// Inputs of the law, each in the unit its name ends in, or the plan.
    pub input: Table,
    /// The shop's own shelf, for a sheet.
    pub own: Option<Table>,
    /// Figures by path. A law's single figure is `value`, with a unit ending where it is not in SI.
    pub expect: BTreeMap<String, Value>,
    /// Allowed departure, relative.
    pub rel_tol: Option<f64>,
    /// Allowed departure, in the figure's own unit.
    pub abs_tol: Option<f64>,
    /// The expected figure lies between low and high of the sheet.
    #[serde(default)]
    pub within: bool,
    /// The likely figure of the sheet lies in the expected span.
    #[serde(default)]
    pub meets: bool,
    /// Anything worth knowing.
    #[serde(default)]
    pub note: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    case: Vec<Case>,
}

/// The rows of one file.
#[must_use]
pub fn read(path: &Path) -> Vec<Case> {
    let text =
        std::fs::read_to_string(path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
    let file: File =
        toml::from_str(&text).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
    file.case
}

/// The rows of every case file but the known gaps, each with the name of its file.
#[must_use]
pub fn all() -> Vec<(String, Case)> {
    let mut rows = Vec::new();
    for path in files(&crate::cases_dir(), ".toml") {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if matches!(name.as_str(), "known_gaps.toml" | "demo.toml") {
            continue;
        }
        rows.extend(read(&path).into_iter().map(|case| (name.clone(), case)));
    }
    rows
}

/// The plans that the rows hand to `sheet`.
#[must_use]
pub fn plans() -> Vec<serde_json::Value> {
    all()
        .into_iter()
        .filter(|(_, case)| case.ask == "sheet" && case.own.is_none())
        .map(|(_, case)| serde_json::to_value(&case.input).unwrap())
        .collect()
}

impl Case {
    /// Everything that is wrong with this row; nothing when the core gives what is expected.
    #[must_use]
    pub fn run(&self) -> Vec<String> {
        let mut wrong = self.slips();
        if self.ask == "sheet" {
            wrong.extend(self.ask_sheet());
        } else {
            wrong.extend(self.ask_law());
        }
        wrong
    }

    /// Slips in the row itself.
    fn slips(&self) -> Vec<String> {
        let mut slips = Vec::new();
        let mut need = |good: bool, what: &str| {
            if !good {
                slips.push(what.to_owned());
            }
        };
        need(!self.expect.is_empty(), "nothing is expected");
        need(!self.source.trim().is_empty(), "no source is named");
        let from_memory = self.source.contains("from memory");
        let second_hand = ["quoted", "quoting", "second-hand", "as printed", "citing"]
            .iter()
            .any(|word| self.source.contains(word));
        match self.grade {
            Grade::Memory => need(from_memory, "say 'from memory' in the source"),
            Grade::Practice => need(
                self.source.starts_with("common practice, no source"),
                "a practice row begins 'common practice, no source'",
            ),
            Grade::Read => {
                need(!from_memory, "a row that was read is not from memory");
                need(!second_hand, "what was seen second-hand is `quoted`");
            }
            Grade::Quoted => need(second_hand, "say where it is quoted, or 'second-hand'"),
            Grade::Definition | Grade::Arithmetic => {}
        }
        slips
    }

    fn closeness(&self, name: &str) -> Closeness {
        // A tolerance is in the unit of the name: offsets of temperature do not count.
        let scale = to_si(name, 1.0) - to_si(name, 0.0);
        Closeness {
            rel: self.rel_tol,
            abs: self.abs_tol.map(|abs| abs * scale),
            within: self.within,
            meets: self.meets,
        }
    }

    fn ask_law(&self) -> Vec<String> {
        let given = Given::new(&self.input);
        let Some(answer) = laws::ask(&self.ask, &given) else {
            return vec![format!("there is no law called {}", self.ask)];
        };
        let unasked = given.unasked();
        if !unasked.is_empty() {
            return vec![format!("inputs that the law does not take: {unasked:?}")];
        }
        let answer = match answer {
            Ok(answer) => answer,
            Err(why) => return vec![format!("the law refused: {why}")],
        };
        let mut wrong = Vec::new();
        for (path, expected) in &self.expect {
            let found = answer
                .iter()
                .find(|(name, _)| *name == path || *name == bare(path));
            let Some((_, got)) = found else {
                let names: Vec<_> = answer.iter().map(|(name, _)| *name).collect();
                wrong.push(format!("no figure {path}; there are {names:?}"));
                continue;
            };
            let in_si =
                number(expected).map_or_else(|| expected.clone(), |x| Value::Float(to_si(path, x)));
            let told = against(got, &in_si, self.closeness(path));
            wrong.extend(told.map(|what| format!("{path}: {what}")));
        }
        wrong
    }

    fn ask_sheet(&self) -> Vec<String> {
        let own = self.own.as_ref().map(serde_json::to_value);
        let shelf = match own {
            None => Shelf::generic().clone(),
            Some(own) => match Shelf::with_own(&own.unwrap()) {
                Ok(shelf) => shelf,
                Err(problems) => return vec![format!("the own shelf has problems: {problems:?}")],
            },
        };
        let plan = serde_json::to_value(&self.input).unwrap();
        let sheet = match bastwork::sheet_from(&plan, &shelf) {
            Ok(sheet) => serde_json::to_value(&sheet).unwrap(),
            Err(problems) => return vec![format!("no sheet: {problems:?}")],
        };
        let mut wrong = Vec::new();
        for (path, expected) in &self.expect {
            let told = match sheets::figure(&sheet, path) {
                None => Some("no such figure".to_owned()),
                Some(got) => against(&got, expected, self.closeness("")),
            };
            wrong.extend(told.map(|what| format!("{path}: {what}")));
        }
        wrong
    }
}

/// A row that failed, as a person reads it.
#[must_use]
pub fn told(file: &str, case: &Case, wrong: &[String]) -> String {
    format!(
        "{file}: {}\n    {}\n    source: {} ({:?})\n",
        case.name,
        wrong.join("\n    "),
        case.source,
        case.grade
    )
}

pub(crate) type Figures = Vec<(&'static str, Got)>;
