//! Builds the core as a WebAssembly module: compiles it, and writes the JavaScript that belongs to it.

use std::path::{Path, PathBuf};

use serde_json::Value;
use wasm_bindgen_cli_support::Bindgen;

use crate::npm::Host;
use crate::tools::{self, WASM_TARGET};
use crate::{Result, Trouble, node, root, run};

/// The profile of the workspace manifest that the module is built with.
pub const PROFILE: &str = "page";

/// Makes sure that everything the core is compiled from is on this computer.
///
/// # Errors
/// When something is missing and cannot be fetched.
pub fn prepare() -> Result<()> {
    tools::wasm_target()?;
    run::must(
        run::cargo()
            .current_dir(root())
            .args(["fetch", "--quiet", "--target", WASM_TARGET]),
        "The libraries could not be fetched: connect this computer to the internet and start again.",
    )
}

/// Compiles the core, and gives the file.
///
/// # Errors
/// When it does not compile.
pub fn compile() -> Result<PathBuf> {
    let mut build = run::cargo();
    build.current_dir(root()).args(["build", "--lib"]);
    build.args(["--package", "bastwork-wasm", "--target", WASM_TARGET]);
    run::must(
        build.args(["--profile", PROFILE]),
        "The core could not be built: the words above say where.",
    )?;
    let folder = target()?.join(WASM_TARGET).join(PROFILE);
    Ok(folder.join("bastwork_wasm.wasm"))
}

/// Puts the module of `compiled` and its JavaScript into `folder`, as `NAME_bg.wasm` and `NAME.js`.
///
/// The names of its functions stay in it only where wasm-opt will use and drop them.
///
/// # Errors
/// When the file is not what rustc makes, or the folder cannot be written.
pub fn bind(compiled: &Path, host: Host, name: &str, folder: &Path) -> Result<()> {
    let bound = || {
        let mut bindgen = Bindgen::new();
        match host {
            Host::Node => bindgen.nodejs(true)?,
            Host::Web => bindgen.web(true)?,
        };
        // As the program of the same name does, unasked: the script knows where its module lies.
        bindgen.omit_default_module_path(false);
        bindgen.remove_name_section(!node::can_shrink());
        bindgen.typescript(false).out_name(name);
        bindgen.input_path(compiled).generate(folder)
    };
    bound().map_err(|cause| {
        Trouble::new(format!(
            "The core could not be made ready for JavaScript: {cause:#}. Remove the folder {} and start again.",
            compiled.parent().unwrap_or(compiled).display()
        ))
    })
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
    let metadata: Value = serde_json::from_str(metadata).ok()?;
    Some(PathBuf::from(metadata["target_directory"].as_str()?))
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

    #[test]
    fn what_is_no_module_is_refused_in_words() {
        let file = std::env::temp_dir().join(format!("bastwork-module-{}", std::process::id()));
        std::fs::write(&file, "words").unwrap();
        let told = bind(&file, Host::Web, "core", &std::env::temp_dir()).unwrap_err();
        std::fs::remove_file(&file).unwrap();
        assert!(told.to_string().starts_with("The core could not"), "{told}");
    }
}
