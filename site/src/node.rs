//! What comes from npm: the optimiser of the page, and the packages of the browser tests.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::{Result, Trouble, cache, files, run, system};

/// The version of the npm package `binaryen`, which carries wasm-opt.
pub const BINARYEN: &str = "132.0.0";

/// What a module is to be above all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aim {
    /// Small: somebody waits for it.
    Small,
    /// Fast: it comes when the page is already at work.
    Fast,
}

/// What rustc's modules already need, no more.
const FLAGS: [&str; 9] = [
    "--strip-debug",
    "--strip-producers",
    "--strip-target-features",
    "--enable-bulk-memory",
    "--enable-sign-ext",
    "--enable-nontrapping-float-to-int",
    "--enable-mutable-globals",
    "--enable-reference-types",
    "--enable-multivalue",
];

/// Makes the module at `path` smaller, and faster if that is the aim, where wasm-opt can be had, and says so where not.
///
/// # Errors
/// When wasm-opt is there and does not accept the module.
pub fn shrink(path: &Path, aim: Aim) -> Result<()> {
    let Some(mut wasm_opt) = wasm_opt() else {
        run::say(
            "The page works but is larger than it need be: install Node 20, or the package `binaryen`, to shrink it.",
        );
        return Ok(());
    };
    let small = path.with_extension("small");
    // Functions that one other calls stay functions: told apart, they squeeze to a twentieth less.
    let level: &[&str] = match aim {
        Aim::Small => &["-Oz", "--one-caller-inline-max-function-size=10", "-Oz"],
        Aim::Fast => &["-O3"],
    };
    wasm_opt
        .args(level)
        .args(FLAGS)
        .arg(path)
        .arg("-o")
        .arg(&small);
    run::must(
        &mut wasm_opt,
        "wasm-opt did not accept the module: its words are above.",
    )?;
    fs::rename(&small, path).map_err(Trouble::file("write", path))
}

/// Whether something that can shrink the page is on this computer.
#[must_use]
pub fn can_shrink() -> bool {
    run::find(&["npm", "wasm-opt"]).is_some()
}

/// wasm-opt: npm's (the newest), else the system's, else none.
fn wasm_opt() -> Option<Command> {
    from_npm().or_else(|| {
        let path = system::program(&["wasm-opt"], "binaryen", "").ok()?;
        Some(run::command(&path))
    })
}

fn from_npm() -> Option<Command> {
    let (npm, node) = (run::find(&["npm"])?, run::find(&["node"])?);
    let place = cache::dir()
        .ok()?
        .join("npm")
        .join(format!("binaryen-{BINARYEN}"));
    let inside = |place: &Path| place.join("node_modules/binaryen/bin/wasm-opt");
    let fill = |part: &Path| {
        run::say(format_args!(
            "Fetching wasm-opt {BINARYEN}, once for this computer: seconds."
        ));
        fs::write(part.join("package.json"), "{}").map_err(Trouble::file("write", part))?;
        let package = format!("binaryen@{BINARYEN}");
        let mut install = run::command(&npm);
        install.current_dir(part).args([
            "install",
            "--ignore-scripts",
            "--no-audit",
            "--no-fund",
            &package,
        ]);
        run::must(
            &mut install,
            "npm could not fetch wasm-opt; trying the system's own.",
        )
    };
    match cache::once(&place, |place| inside(place).is_file(), fill) {
        Ok(()) => {
            let mut command = run::command(&node);
            command.arg(inside(&place));
            Some(command)
        }
        Err(trouble) => {
            run::say(trouble);
            None
        }
    }
}

/// Node itself, for the tests.
///
/// # Errors
/// When it is not on `PATH`.
pub fn node() -> Result<PathBuf> {
    run::find(&["node"]).ok_or_else(|| {
        Trouble::new("The tests need Node 20 or newer: install it and run `cargo test` again.")
    })
}

/// Puts the packages that `folder/package-lock.json` names at `folder/node_modules`, from the cache.
///
/// # Errors
/// When npm is missing or cannot fetch them.
pub fn packages(folder: &Path) -> Result<()> {
    let lock_file = folder.join("package-lock.json");
    let key = files::hash_file(&lock_file)?;
    let place = cache::dir()?.join("npm").join(format!("tests-{key}"));
    cache::once(
        &place,
        |place| place.join("node_modules").is_dir(),
        |part| {
            run::say(
                "Fetching the packages of the browser tests, once for this computer: seconds.",
            );
            for name in ["package.json", "package-lock.json"] {
                fs::copy(folder.join(name), part.join(name))
                    .map_err(Trouble::file("copy", &folder.join(name)))?;
            }
            let npm = run::find(&["npm"]).unwrap_or_else(|| PathBuf::from("npm"));
            let mut install = run::command(&npm);
            install
                .current_dir(part)
                .args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"]);
            run::must(
                &mut install,
                "The packages of the browser tests could not be fetched: install Node 20 with npm, connect this computer to the internet, and run `cargo test` again.",
            )
        },
    )?;
    link(&place.join("node_modules"), &folder.join("node_modules"))
}

/// Makes `link` lead to the folder `target`.
fn link(target: &Path, link: &Path) -> Result<()> {
    if fs::canonicalize(link).ok() == fs::canonicalize(target).ok() {
        return Ok(());
    }
    if fs::symlink_metadata(link).is_ok_and(|data| data.is_dir()) {
        cache::remove(link)?;
    } else {
        let _none_is_fine = fs::remove_file(link);
    }
    #[cfg(unix)]
    return std::os::unix::fs::symlink(target, link).map_err(Trouble::file("link", link));
    #[cfg(not(unix))]
    return {
        let mut junction = run::command(Path::new("cmd"));
        junction.args(["/c", "mklink", "/J"]).arg(link).arg(target);
        run::must(
            &mut junction,
            "The packages of the browser tests could not be linked into tests/browser.",
        )
    };
}
