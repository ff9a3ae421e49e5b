//! Programs that the system provides: taken from `PATH`, else from Debian's packages when we may install them.

use std::env;
use std::path::{Path, PathBuf};

use crate::{Result, Trouble, cache, run};

/// The first of `names` on `PATH`, after installing Debian's `package` when none is there and we are root.
///
/// # Errors
/// `otherwise`, when the program cannot be had.
pub fn program(names: &[&str], package: &str, otherwise: &str) -> Result<PathBuf> {
    if let Some(found) = run::find(names) {
        return Ok(found);
    }
    if may_install() {
        let _held = cache::lock_shared("apt")?;
        if run::find(names).is_none() {
            run::say(format_args!(
                "Installing Debian's {package}: about a minute."
            ));
            apt(&["update", "-q"], otherwise)?;
            apt(
                &["install", "-q", "-y", "--no-install-recommends", package],
                otherwise,
            )?;
        }
    }
    run::find(names).ok_or_else(|| Trouble::new(otherwise))
}

/// A Chromium for the browser tests: `CHROMIUM` names it, else the first one found.
///
/// # Errors
/// When there is none and we may not install one.
pub fn chromium() -> Result<PathBuf> {
    if let Some(named) = env::var_os("CHROMIUM")
        .map(PathBuf::from)
        .filter(|path| path.is_file())
    {
        return Ok(named);
    }
    let usual = [
        "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
        "/Applications/Chromium.app/Contents/MacOS/Chromium",
        "C:/Program Files/Google/Chrome/Application/chrome.exe",
    ];
    if let Some(found) = usual.iter().map(Path::new).find(|path| path.is_file()) {
        return Ok(found.to_path_buf());
    }
    program(
        &[
            "chromium",
            "chromium-browser",
            "google-chrome-stable",
            "google-chrome",
        ],
        "chromium",
        "The browser tests need Chromium: install the package `chromium`, or set CHROMIUM to the program's path, and run `cargo test` again.",
    )
}

fn may_install() -> bool {
    let root = || run::ask(run::command(Path::new("id")).arg("-u")).is_some_and(|id| id == "0");
    cfg!(target_os = "linux") && run::find(&["apt-get"]).is_some() && root()
}

fn apt(words: &[&str], otherwise: &str) -> Result<()> {
    let mut apt = run::command(Path::new("apt-get"));
    apt.args(["-o", "DPkg::Lock::Timeout=300"])
        .args(words)
        .env("DEBIAN_FRONTEND", "noninteractive");
    run::must(&mut apt, otherwise)
}
