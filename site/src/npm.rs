//! Builds the npm package of the core with wasm-pack.

use std::path::PathBuf;

use crate::node::Aim;
use crate::tools::{WASM_BINDGEN, WASM_PACK};
use crate::{Result, cache, node, root, run, tools, whole};

/// Where the package will run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Host {
    /// Node: loads the module as it is required.
    Node,
    /// A browser without a bundler: `await init()` first.
    Web,
}

impl Host {
    /// wasm-pack's word for it, and the package's folder in `wasm/pkg`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Node => "nodejs",
            Self::Web => "web",
        }
    }
}

/// Builds the package for `host` and gives its folder.
///
/// # Errors
/// When a tool cannot be had or the build does not succeed.
pub fn package(host: Host) -> Result<PathBuf> {
    tools::wasm_target()?;
    let (pack, bindgen) = (WASM_PACK.get()?, WASM_BINDGEN.get()?);
    let folder = root().join("wasm").join("pkg").join(host.name());
    let _held = cache::lock(&root().join("site").join(".build"), "npm")?;
    let beside: Vec<PathBuf> = bindgen.parent().map(PathBuf::from).into_iter().collect();
    let mut build = run::command(&pack);
    build.current_dir(root()).args([
        "--log-level",
        "error",
        "build",
        "wasm",
        "--mode",
        "no-install",
        "--no-opt",
    ]);
    build
        .args([
            "--profile",
            whole::PROFILE,
            "--target",
            host.name(),
            "--out-name",
            "bastwork",
            "--out-dir",
        ])
        .arg(&folder);
    run::must(
        build.env("PATH", run::path_with(&beside)),
        "The npm package could not be built: the words above say where.",
    )?;
    node::shrink(&folder.join("bastwork_bg.wasm"), Aim::Fast)?;
    Ok(folder)
}
