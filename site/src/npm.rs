//! Builds the npm package of the core with wasm-pack.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::node::Shrinker;
use crate::tools::{WASM_BINDGEN, WASM_PACK};
use crate::{Result, Trouble, cache, module, notices, root, run, tools};

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
            module::PROFILE,
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
    add_licences(&folder)?;
    Ok(folder)
}

/// Puts our licences and those of the libraries into a package, and into its list of what is published.
fn add_licences(folder: &Path) -> Result<()> {
    let put = |name: &str, text: &str| {
        let path = folder.join(name);
        fs::write(&path, text).map_err(Trouble::file("write", &path))
    };
    let mut added = vec![notices::FILE];
    put(notices::FILE, &notices::text()?)?;
    for name in notices::OURS {
        let from = root().join(name);
        put(
            name,
            &fs::read_to_string(&from).map_err(Trouble::file("read", &from))?,
        )?;
        added.push(name);
    }
    let path = folder.join("package.json");
    let text = fs::read_to_string(&path).map_err(Trouble::file("read", &path))?;
    put("package.json", &with_files(&text, &added)?)
}

/// A package's description with more files to publish.
fn with_files(package: &str, added: &[&str]) -> Result<String> {
    let unread = || {
        Trouble::new(
            "wasm-pack wrote a package.json of another form than ours knows: look into wasm/pkg.",
        )
    };
    let mut package: Value = serde_json::from_str(package).map_err(|_| unread())?;
    let files = package
        .get_mut("files")
        .and_then(Value::as_array_mut)
        .ok_or_else(unread)?;
    for name in added {
        if !files.iter().any(|file| file == name) {
            files.push(Value::from(*name));
        }
    }
    Ok(format!("{package:#}\n"))
}

/// Builds what the package for `host` is about, the module and its script, without wasm-pack, and gives the script.
///
/// # Errors
/// When the core does not compile or a file cannot be written.
pub fn script(host: Host) -> Result<PathBuf> {
    module::prepare()?;
    let work = root().join("site").join(".build");
    let _held = cache::lock(&work, "npm")?;
    let compiled = module::compile()?;
    let folder = work.join(host.name());
    cache::empty(&folder)?;
    module::bind(&compiled, host, NAME, &folder)?;
    shrink(host, &folder)?;
    Ok(folder.join(format!("{NAME}.js")))
}

fn shrink(host: Host, folder: &Path) -> Result<()> {
    let keep = root().join("site").join(".build").join(host.keep());
    let file = folder.join(format!("{NAME}_bg.wasm"));
    Shrinker::get().map_or(Ok(()), |shrinker| shrinker.shrink(&file, &keep))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_added_is_published_once_and_the_rest_stays() {
        let package = r#"{"name":"bastwork","files":["bastwork.js","LICENSE-MIT"]}"#;
        let told = with_files(package, &["licences.txt", "LICENSE-MIT"]).unwrap();
        let told: Value = serde_json::from_str(&told).unwrap();
        assert_eq!(
            told,
            serde_json::json!({ "name": "bastwork", "files": ["bastwork.js", "LICENSE-MIT", "licences.txt"] })
        );
        assert!(with_files("[]", &[]).is_err());
    }
}
