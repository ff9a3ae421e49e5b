//! Rust tools for those who work on the page or publish the package: built once per computer when they are asked for, at the
//! versions named here. `cargo run` and the tests do without.

use std::env::consts::EXE_SUFFIX;
use std::path::{Path, PathBuf};

use crate::{Result, Trouble, cache, run};

/// A program that cargo builds for us and the cache keeps.
#[derive(Debug)]
pub struct Tool {
    /// The crate it comes from.
    pub package: &'static str,
    /// The program's file name.
    pub program: &'static str,
    /// The one version we use.
    pub version: &'static str,
    /// Whether to build with the versions its author tried.
    pub locked: bool,
    /// How long it takes on two cores, for the line that says so.
    pub minutes: &'static str,
}

/// What trunk and wasm-pack run to bind the module; the same version as the crate, see the workspace manifest.
pub const WASM_BINDGEN: Tool = Tool {
    package: "wasm-bindgen-cli",
    program: "wasm-bindgen",
    version: "0.2.130",
    // Its lock file names a crate version that is no longer served.
    locked: false,
    minutes: "2 to 8",
};

/// Serves the page while it is being written. Later versions need a newer Rust than we ask for.
pub const TRUNK: Tool = Tool {
    package: "trunk",
    program: "trunk",
    version: "0.21.14",
    locked: true,
    minutes: "5 to 15",
};

/// Builds the npm package.
pub const WASM_PACK: Tool = Tool {
    package: "wasm-pack",
    program: "wasm-pack",
    version: "0.15.1",
    locked: true,
    minutes: "2 to 4",
};

/// The target that browsers run.
pub const WASM_TARGET: &str = "wasm32-unknown-unknown";

impl Tool {
    /// Whether this computer has it, so that it need not be built.
    #[must_use]
    pub fn is_here(&self) -> bool {
        self.place().is_ok_and(|place| self.is_ready(&place))
    }

    fn place(&self) -> Result<PathBuf> {
        let name = format!("{}-{}", self.program, self.version);
        Ok(cache::dir()?.join("tools").join(name))
    }

    fn inside(&self, place: &Path) -> PathBuf {
        let file = format!("{}{EXE_SUFFIX}", self.program);
        place.join("bin").join(file)
    }

    fn is_ready(&self, place: &Path) -> bool {
        run::ask(run::command(&self.inside(place)).arg("--version"))
            .is_some_and(|line| line.contains(self.version))
    }

    /// The program's path, after building it when this computer does not have it yet.
    ///
    /// # Errors
    /// When it cannot be built; the sentence says what to do.
    pub fn get(&self) -> Result<PathBuf> {
        let Self {
            package,
            program,
            version,
            minutes,
            ..
        } = self;
        let place = self.place()?;
        cache::once(
            &place,
            |place| self.is_ready(place),
            |part| {
                run::say(format_args!(
                    "Building {program} {version}, once for this computer: {minutes} minutes on two cores."
                ));
                let build = part.join("build");
                let mut install = run::cargo();
                install
                    .current_dir(part)
                    .args(["install", package, "--version", version, "--root"])
                    .arg(part);
                install
                    .arg("--target-dir")
                    .arg(&build)
                    .env_remove("CARGO_TARGET_DIR");
                // So that cargo does not ask for its folder to be put there.
                install.env("PATH", run::path_with(&[part.join("bin")]));
                if self.locked {
                    install.arg("--locked");
                }
                run::must(
                    &mut install,
                    &format!(
                        "{program} {version} could not be built. Connect this computer to the internet, check that a C compiler is there, and start again: what is already built is kept."
                    ),
                )?;
                cache::remove(&build)
            },
        )?;
        Ok(self.inside(&place))
    }
}

/// Makes sure that rustc can build for the browser.
///
/// # Errors
/// When the target is missing and rustup cannot add it.
pub fn wasm_target() -> Result<()> {
    let there = || {
        let mut rustc = run::command(Path::new("rustc"));
        run::ask(rustc.args(["--print", "target-libdir", "--target", WASM_TARGET]))
            .is_some_and(|folder| Path::new(&folder).is_dir())
    };
    if there() {
        return Ok(());
    }
    let _held = cache::lock_shared(WASM_TARGET)?;
    if there() {
        return Ok(());
    }
    run::say(format_args!(
        "Adding the {WASM_TARGET} target to Rust: a few seconds."
    ));
    let otherwise = format!(
        "Rust cannot build for the browser yet: connect this computer to the internet and run `rustup target add {WASM_TARGET}`."
    );
    run::must(
        run::command(Path::new("rustup")).args(["target", "add", WASM_TARGET]),
        &otherwise,
    )?;
    if there() {
        Ok(())
    } else {
        Err(Trouble::new(otherwise))
    }
}
