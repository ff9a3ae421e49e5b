//! Prints the sheet of a plan as JSON: `cargo run -q --release --example sheet -- examples/hive_roof.json`.
//!
//! `-` reads the plan from standard input; `--shelf FILE` lays the shop's own shelf over the generic one; `--back`
//! prints the stacks that do what the plan's `target` and `load` ask of the part, instead of the sheet.
//! A plan with problems prints them all as JSON on standard error and exits 2.

use bastwork::{Problem, Shelf, sheet_from, work_back};
use serde_json::Value;
use std::io::{Read, Write};
use std::process::ExitCode;

fn main() -> ExitCode {
    match run() {
        Ok(text) => {
            // A reader that closed the pipe early has read what it wanted.
            let _ = writeln!(std::io::stdout(), "{text}");
            ExitCode::SUCCESS
        }
        Err(problems) => {
            let text = serde_json::to_string_pretty(&problems).unwrap_or_default();
            let _ = writeln!(std::io::stderr(), "{text}");
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<String, Vec<Problem>> {
    let mut plan = None;
    let mut own = Value::Null;
    let mut back = false;
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        if argument == "--shelf" {
            own = document(&arguments.next().unwrap_or_default())?;
        } else if argument == "--back" {
            back = true;
        } else {
            plan = Some(argument);
        }
    }
    let name = plan.ok_or_else(|| {
        vec![Problem::new(
            "plan",
            "nothing",
            "Name a plan file, for example examples/hive_roof.json, or - to read one from standard input.",
        )]
    })?;
    let shelf = Shelf::with_own(&own)?;
    let plan = document(&name)?;
    let text = if back {
        serde_json::to_string_pretty(&work_back(&plan, &shelf)?)
    } else {
        serde_json::to_string_pretty(&sheet_from(&plan, &shelf)?)
    };
    text.map_err(|why| vec![unreadable("sheet", &why.to_string())])
}

fn document(name: &str) -> Result<Value, Vec<Problem>> {
    let text = if name == "-" {
        let mut text = String::new();
        std::io::stdin().read_to_string(&mut text).map(|_| text)
    } else {
        std::fs::read_to_string(name)
    }
    .map_err(|why| vec![unreadable(name, &why.to_string())])?;
    serde_json::from_str(&text).map_err(|why| vec![unreadable(name, &why.to_string())])
}

fn unreadable(name: &str, why: &str) -> Problem {
    Problem::new(
        "file",
        name,
        format!(
            "This file could not be read as a document: {why}. Check its name, and that it is JSON."
        ),
    )
}
