//! Builds the page into `site/dist`, once for each state of its sources.

use std::fs;
use std::path::{Path, PathBuf};

use crate::node::Aim;
use crate::tools::{TRUNK, WASM_BINDGEN};
use crate::{Result, Trouble, bare, cache, files, node, offline, policy, root, run, tools, whole};

/// What the page is made from, relative to the workspace.
const SOURCES: [&str; 8] = [
    "Cargo.toml",
    "Cargo.lock",
    "core",
    "wasm/Cargo.toml",
    "wasm/src",
    "site/page",
    "site/src",
    "site/Trunk.toml",
];

/// The folder the page is built into.
#[must_use]
pub fn dist() -> PathBuf {
    root().join("site").join("dist")
}

/// Builds the page when its sources have changed since the last build, and gives its folder.
///
/// # Errors
/// When a tool cannot be had or a step does not succeed; the page of the last build then stays as it was.
pub fn build() -> Result<PathBuf> {
    let work = root().join("site").join(".build");
    let _held = cache::lock(&work, "page")?;
    write(&work.join(".gitignore"), "*\n")?;

    let (dist, stage, stamp) = (dist(), work.join("stage"), work.join("stamp"));
    let sources = sources()?;
    if fs::read_to_string(&stamp).is_ok_and(|text| text == stamp_for(&sources, &dist)) {
        return Ok(dist);
    }
    trunk(&stage)?;
    whole::build(&stage.join(offline::WHOLE))?;
    for path in files::list(&stage)? {
        if path.extension().is_some_and(|ending| ending == "wasm") {
            let aim = if path.starts_with(offline::WHOLE) {
                Aim::Fast
            } else {
                Aim::Small
            };
            node::shrink(&stage.join(path), aim)?;
        }
    }
    copy_examples(&stage.join("examples"))?;
    bare::strip(&stage)?;
    offline::fill(&stage)?;
    // After the list is made: a host reads this file and does not hand it out.
    policy::write_headers(&stage)?;

    cache::remove(&dist)?;
    fs::rename(&stage, &dist).map_err(Trouble::file("write", &dist))?;
    write(&stamp, &stamp_for(&sources, &dist))?;
    Ok(dist)
}

/// Sources and result together: the page is fresh only while neither has changed.
fn stamp_for(sources: &str, dist: &Path) -> String {
    let made = files::list(dist)
        .and_then(|paths| files::hash_all(dist, &paths))
        .unwrap_or_default();
    format!("{sources} {made}\n")
}

/// One fingerprint of all that the page is made from.
fn sources() -> Result<String> {
    let root = root();
    let mut paths = examples()?;
    for source in SOURCES {
        if root.join(source).is_dir() {
            paths.extend(
                files::list(&root.join(source))?
                    .into_iter()
                    .map(|path| Path::new(source).join(path)),
            );
        } else {
            paths.push(PathBuf::from(source));
        }
    }
    Ok(format!(
        "{} {}",
        files::hash_all(&root, &paths)?,
        node::can_shrink()
    ))
}

/// The plans and pages of `examples`, which the page links to.
fn examples() -> Result<Vec<PathBuf>> {
    let wanted = |path: &Path| {
        path.extension()
            .is_some_and(|ending| ending == "json" || ending == "html")
    };
    let all = files::list(&root().join("examples"))?;
    Ok(all
        .into_iter()
        .filter(|path| wanted(path))
        .map(|path| Path::new("examples").join(path))
        .collect())
}

fn copy_examples(to: &Path) -> Result<()> {
    for path in examples()? {
        let goal = to.join(path.strip_prefix("examples").unwrap_or(&path));
        let folder = goal.parent().unwrap_or(to);
        fs::create_dir_all(folder).map_err(Trouble::file("make", folder))?;
        fs::copy(root().join(&path), &goal).map_err(Trouble::file("copy", &goal))?;
    }
    Ok(())
}

/// Has trunk build the module and gather the page's files in `stage`.
fn trunk(stage: &Path) -> Result<()> {
    tools::wasm_target()?;
    let (trunk, bindgen) = (TRUNK.get()?, WASM_BINDGEN.get()?);
    // Trunk works offline, and so does its cargo: fetch what that one may read first.
    run::must(
        run::cargo().current_dir(root()).args(["fetch", "--quiet"]),
        "The libraries could not be fetched: connect this computer to the internet and start again.",
    )?;
    cache::empty(stage)?;
    run::say("Building the page.");
    let beside = [bindgen, trunk.clone()]
        .iter()
        .filter_map(|tool| tool.parent().map(Path::to_path_buf))
        .collect::<Vec<_>>();
    // This trunk reads only `true` or `false` from NO_COLOR and stops at the usual `1`.
    let mut build = run::command(&trunk);
    build.current_dir(root().join("site")).args([
        "--offline",
        "--skip-version-check",
        "--log",
        "warn",
    ]);
    build
        .args(["build", "--dist"])
        .arg(stage)
        .env("PATH", run::path_with(&beside))
        .env_remove("NO_COLOR");
    run::must(
        &mut build,
        "The page could not be built: the words above say where.",
    )
}

fn write(path: &Path, text: &str) -> Result<()> {
    fs::write(path, text).map_err(Trouble::file("write", path))
}
