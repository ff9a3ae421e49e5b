//! Builds the whole core for the page: the module that takes the place of the first one once the page is at work.

use std::path::{Path, PathBuf};

use crate::tools::{WASM_BINDGEN, WASM_TARGET};
use crate::{Result, Trouble, root, run};

/// The profile of the workspace manifest that it is built with; the npm package is the same module.
pub const PROFILE: &str = "page-whole";

/// Puts the module and its JavaScript into `folder`, under the names that trunk gives to those of the first.
///
/// # Errors
/// When a tool cannot be had or the build does not succeed.
pub fn build(folder: &Path) -> Result<()> {
    let mut build = run::cargo();
    build.current_dir(root()).args([
        "build",
        "--quiet",
        "--offline",
        "--package",
        "bastwork-wasm",
        "--lib",
        "--target",
        WASM_TARGET,
        "--profile",
        PROFILE,
    ]);
    run::must(
        &mut build,
        "The whole core could not be built: the words above say where.",
    )?;
    let made = target()?
        .join(WASM_TARGET)
        .join(PROFILE)
        .join("bastwork_wasm.wasm");
    let mut bindgen = run::command(&WASM_BINDGEN.get()?);
    bindgen.args(["--target", "web", "--no-typescript"]);
    bindgen.args(["--out-name", "bastwork-wasm", "--out-dir"]);
    run::must(
        bindgen.arg(folder).arg(&made),
        "The whole core could not be made ready for the page: the words above say where.",
    )
}

/// Where cargo puts what it builds.
fn target() -> Result<PathBuf> {
    let mut metadata = run::cargo();
    metadata.current_dir(root()).args([
        "metadata",
        "--no-deps",
        "--offline",
        "--format-version",
        "1",
    ]);
    run::ask(&mut metadata)
        .as_deref()
        .and_then(target_in)
        .ok_or_else(|| Trouble::new("cargo does not say where it builds: run `cargo metadata` in this folder and look at its words."))
}

/// The folder of target files that `cargo metadata` names.
fn target_in(metadata: &str) -> Option<PathBuf> {
    let (_, rest) = metadata.split_once(r#""target_directory":""#)?;
    let (path, _) = rest.split_once('"')?;
    // The only character of a path that JSON writes otherwise and paths do hold.
    Some(PathBuf::from(path.replace(r"\\", r"\")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_folder_in_the_words_of_cargo() {
        let words = r#"{"packages":[],"target_directory":"C:\\work\\target","version":1}"#;
        assert_eq!(target_in(words), Some(PathBuf::from(r"C:\work\target")));
        assert_eq!(target_in("{}"), None);
    }
}
