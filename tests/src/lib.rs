//! What the outside checks share: cases read from files, a table of laws by name, and plans drawn at random.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "this crate exists for tests, and a test that cannot go on should stop loudly"
)]

pub mod cases;
mod compare;
pub mod draw;
pub mod fingers;
pub mod fuzz;
mod given;
pub mod laws;
pub mod noise;
pub mod plans;
pub mod sane;
pub mod sheets;
pub mod vectors;

use std::path::{Path, PathBuf};

/// The folder of the workspace.
#[must_use]
pub fn root() -> PathBuf {
    bastwork_site::root()
}

/// The folder of the cases.
#[must_use]
pub fn cases_dir() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("cases")
}

/// Files of a folder with this ending, in order of name.
#[must_use]
pub fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap_or_else(|why| panic!("{}: {why}", folder.display()))
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.to_string_lossy().ends_with(ending))
        .collect();
    found.sort();
    found
}

/// A JSON document from a file.
#[must_use]
pub fn json(path: &Path) -> serde_json::Value {
    let text =
        std::fs::read_to_string(path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
    serde_json::from_str(&text).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}
