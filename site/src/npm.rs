//! Builds the npm package of the core with wasm-pack.

use std::path::{Path, PathBuf};

use crate::module::Core;
use crate::node::Shrinker;
use crate::tools::{WASM_BINDGEN, WASM_PACK};
use crate::{Result, cache, module, root, run, tools};

/// What the package's module and script are called.
const NAME: &str = "bastwork";

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

    /// Where its module is kept when it has been shrunk; that of the web is the page's own.
    const fn keep(self) -> &'static str {
        match self {
            Self::Node => "node",
            Self::Web => "whole",
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
            Core::Whole.profile(),
            "--target",
            host.name(),
            "--out-name",
            NAME,
            "--out-dir",
        ])
        .arg(&folder);
    run::must(
        build.env("PATH", run::path_with(&beside)),
        "The npm package could not be built: the words above say where.",
    )?;
    shrink(host, &folder)?;
    Ok(folder)
}

/// Builds what the package for `host` is about, the module and its script, without wasm-pack, and gives the script.
///
/// # Errors
/// When the core does not compile or a file cannot be written.
pub fn script(host: Host) -> Result<PathBuf> {
    module::prepare()?;
    let work = root().join("site").join(".build");
    let _held = cache::lock(&work, "npm")?;
    let compiled = module::compile(Core::Whole)?;
    let folder = work.join(host.name());
    cache::empty(&folder)?;
    module::bind(&compiled, host, NAME, &folder)?;
    shrink(host, &folder)?;
    Ok(folder.join(format!("{NAME}.js")))
}

fn shrink(host: Host, folder: &Path) -> Result<()> {
    let keep = root().join("site").join(".build").join(host.keep());
    let file = folder.join(format!("{NAME}_bg.wasm"));
    Shrinker::get().map_or(Ok(()), |shrinker| {
        shrinker.shrink(&file, Core::Whole.aim(), &keep)
    })
}
