//! Finds and runs the programs of other people.

use std::env;
use std::ffi::OsString;
use std::fmt::Display;
use std::io::Write;
use std::panic::resume_unwind;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread::ScopedJoinHandle;

use crate::{Result, Trouble};

/// Tells the person at the keyboard, in tests too (their standard error is only kept from `eprintln!`).
pub fn say(line: impl Display) {
    // Nobody to tell is no reason to stop.
    let _unheard = writeln!(std::io::stderr(), "{line}");
}

/// The first of `names` that is a file on `PATH`.
#[must_use]
pub fn find(names: &[&str]) -> Option<PathBuf> {
    let folders: Vec<PathBuf> =
        env::split_paths(&env::var_os("PATH").unwrap_or_default()).collect();
    let endings: &[&str] = if cfg!(windows) {
        &[".exe", ".cmd"]
    } else {
        &[""]
    };
    names
        .iter()
        .flat_map(|name| endings.iter().map(move |ending| format!("{name}{ending}")))
        .flat_map(|file| folders.iter().map(move |folder| folder.join(&file)))
        .find(|path| path.is_file())
}

/// A command without the variables that cargo sets for the program it runs, so that an inner cargo starts clean.
#[must_use]
pub fn command(program: &Path) -> Command {
    let mut command = Command::new(program);
    for (name, _) in env::vars_os() {
        let name_text = name.to_string_lossy();
        let about_us = [
            "CARGO_PKG_",
            "CARGO_MANIFEST_",
            "CARGO_BIN_",
            "CARGO_CRATE_",
            "CARGO_PRIMARY_",
            "OUT_DIR",
        ];
        if about_us.iter().any(|start| name_text.starts_with(start)) {
            command.env_remove(&name);
        }
    }
    command.stdin(Stdio::null());
    command
}

/// The cargo that runs us, or the one on `PATH`.
#[must_use]
pub fn cargo() -> Command {
    command(&env::var_os("CARGO").map_or_else(|| PathBuf::from("cargo"), PathBuf::from))
}

/// Runs the command with its words sent to standard error; `otherwise` is the sentence for when it does not succeed.
///
/// # Errors
/// `otherwise`, with the cause when the program could not be started at all.
pub fn must(command: &mut Command, otherwise: &str) -> Result<()> {
    let status = command
        .stdout(std::io::stderr())
        .status()
        .map_err(|cause| {
            Trouble::new(format!(
                "{otherwise} ({}: {cause})",
                command.get_program().display()
            ))
        })?;
    if status.success() {
        Ok(())
    } else {
        Err(Trouble::new(otherwise))
    }
}

/// As [`must`], for a command that runs beside another: its words come with the sentence, in one piece, when it does not
/// succeed.
///
/// # Errors
/// As for [`must`].
pub fn must_in_one_go(command: &mut Command, otherwise: &str) -> Result<()> {
    let output = command
        .stdout(Stdio::null())
        .output()
        .map_err(|cause| Trouble::new(format!("{otherwise} ({cause})")))?;
    if output.status.success() {
        return Ok(());
    }
    let words = String::from_utf8_lossy(&output.stderr);
    Err(Trouble::new(format!("{words}{otherwise}")))
}

/// What a thread of ours gave; where it stopped half way, so do we.
pub fn joined<T>(thread: ScopedJoinHandle<'_, T>) -> T {
    thread.join().unwrap_or_else(|why| resume_unwind(why))
}

/// What the command prints, when it succeeds.
#[must_use]
pub fn ask(command: &mut Command) -> Option<String> {
    let output = command.stderr(Stdio::null()).output().ok()?;
    let text = String::from_utf8_lossy(&output.stdout).trim().to_owned();
    output.status.success().then_some(text)
}

/// `PATH` with `folders` put first.
#[must_use]
pub fn path_with(folders: &[PathBuf]) -> OsString {
    let usual = env::var_os("PATH").unwrap_or_default();
    let all = folders.iter().cloned().chain(env::split_paths(&usual));
    env::join_paths(all).unwrap_or(usual)
}
