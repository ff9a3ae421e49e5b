//! Serves the page while it is being written: trunk builds it anew as its files change.
//!
//! For those who work on the page; nothing else needs trunk. Its page is not kept for offline.

use std::process::Command;

use crate::tools::{TRUNK, WASM_BINDGEN};
use crate::{Result, module, root, run};

/// Serves at `port` until the program is ended.
///
/// # Errors
/// When a tool cannot be had or trunk stops.
pub fn serve(port: u16) -> Result<()> {
    let mut trunk = trunk()?;
    trunk.args(["serve", "--port"]).arg(port.to_string());
    run::must(&mut trunk, "trunk stopped: its words are above.")
}

/// trunk, ready to be told what to do, in the folder of its settings and with wasm-bindgen where it looks for it.
///
/// # Errors
/// When a tool cannot be had.
pub fn trunk() -> Result<Command> {
    let tools = [TRUNK.get()?, WASM_BINDGEN.get()?];
    // Trunk works offline, and so does its cargo: fetch what that one may read first.
    module::prepare()?;
    let beside: Vec<_> = tools
        .iter()
        .filter_map(|tool| tool.parent().map(std::path::Path::to_path_buf))
        .collect();
    let mut trunk = run::command(&tools[0]);
    trunk
        .current_dir(root().join("site"))
        .args(["--offline", "--skip-version-check", "--log", "warn"])
        .env("PATH", run::path_with(&beside))
        // This trunk reads only `true` or `false` from it and stops at the usual `1`.
        .env_remove("NO_COLOR");
    Ok(trunk)
}
