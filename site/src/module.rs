//! Builds the core as a WebAssembly module: compiles it, and writes the JavaScript that belongs to it.

use std::path::{Path, PathBuf};

use serde_json::Value;
use wasm_bindgen_cli_support::Bindgen;

use crate::node::Aim;
use crate::npm::Host;
use crate::tools::{self, WASM_TARGET};
use crate::{Result, Trouble, root, run};

/// Which of the two cores.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Core {
    /// What the page shows first.
    First,
    /// All of it: takes the place of the first one once the page is at work, and is the npm package.
    Whole,
}

impl Core {
    /// The profile of the workspace manifest that it is built with.
    #[must_use]
    pub const fn profile(self) -> &'static str {
        match self {
            Self::First => "page",
            Self::Whole => "page-whole",
        }
    }

    /// What it is to be above all.
    #[must_use]
    pub const fn aim(self) -> Aim {
        match self {
            Self::First => Aim::Small,
            Self::Whole => Aim::Fast,
        }
    }
}

/// Makes sure that everything the cores are compiled from is on this computer.
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

/// The command that compiles a core; two of them may run side by side, since each profile has a folder of its own.
fn compiler(core: Core) -> std::process::Command {
    let mut build = run::cargo();
    build.current_dir(root()).args(["build", "--lib"]);
    build.args(["--package", "bastwork-wasm", "--target", WASM_TARGET]);
    build.args(["--profile", core.profile()]);
    if core == Core::First {
        build.arg("--no-default-features");
    }
    build
}

/// Compiles both cores side by side, and gives the files of the first and the whole one. [`prepare`] comes first.
///
/// # Errors
/// When one does not compile. What both say is said once.
pub fn compile_both() -> Result<[PathBuf; 2]> {
    let otherwise = "The core could not be built: the words above say where.";
    let mut whole = compiler(Core::Whole);
    let (first, whole) = std::thread::scope(|scope| {
        let whole = scope.spawn(move || run::must_in_one_go(whole.arg("--quiet"), otherwise));
        let first = run::must(&mut compiler(Core::First), otherwise);
        (first, run::joined(whole))
    });
    first.and(whole)?;
    let target = target()?;
    Ok([Core::First, Core::Whole].map(|core| made(&target, core)))
}

/// Compiles one core, and gives the file.
///
/// # Errors
/// When it does not compile.
pub fn compile(core: Core) -> Result<PathBuf> {
    run::must(
        compiler(core).arg("--quiet"),
        "The core could not be built: the words above say where.",
    )?;
    Ok(made(&target()?, core))
}

fn made(target: &Path, core: Core) -> PathBuf {
    let folder = target.join(WASM_TARGET).join(core.profile());
    folder.join("bastwork_wasm.wasm")
}

/// Puts the module of `compiled` and its JavaScript into `folder`, as `NAME_bg.wasm` and `NAME.js`.
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
