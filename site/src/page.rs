//! Builds the page into `site/dist`, once for each state of its sources.

use std::fs;
use std::num::NonZeroU64;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;
use std::thread;

use zopfli::Format;

use crate::node::Shrinker;
use crate::npm::Host;
use crate::{
    Result, Trouble, bare, cache, files, module, node, notices, offline, policy, root, run,
};

/// What the page is made from, relative to the workspace.
const SOURCES: [&str; 9] = [
    "LICENSE-APACHE",
    "LICENSE-MIT",
    "Cargo.toml",
    "Cargo.lock",
    "core",
    "wasm/Cargo.toml",
    "wasm/src",
    "site/page",
    "site/src",
];

/// What the module and its script are called.
const NAME: &str = "bastwork-wasm";

/// How hard the module is packed: more passes take as long again for a thousandth less.
const PACKING: zopfli::Options = zopfli::Options {
    iteration_count: NonZeroU64::MIN,
    iterations_without_improvement: NonZeroU64::MIN,
    maximum_block_splits: 60,
};

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
    cache::empty(&stage)?;
    lay_out(&stage)?;
    put_core(&stage, &work)?;
    copy_examples(&stage.join("examples"))?;
    write(&stage.join(notices::FILE), &notices::text()?)?;
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

/// Copies the page's own files; out of the first page go the lines that only trunk reads.
fn lay_out(stage: &Path) -> Result<()> {
    let page = root().join("site").join("page");
    for path in files::list(&page)? {
        let (from, to) = (page.join(&path), stage.join(&path));
        let folder = to.parent().unwrap_or(stage);
        fs::create_dir_all(folder).map_err(Trouble::file("make", folder))?;
        fs::copy(&from, &to).map_err(Trouble::file("copy", &from))?;
    }
    let index = stage.join("index.html");
    let html = fs::read_to_string(&index).map_err(Trouble::file("read", &index))?;
    write(&index, &without_trunk(&html))
}

/// The page without the links that tell trunk what to do.
fn without_trunk(html: &str) -> String {
    html.split_inclusive('\n')
        .filter(|line| !line.trim_start().starts_with("<link data-trunk "))
        .collect()
}

/// Puts the core where the page looks for it.
fn put_core(stage: &Path, work: &Path) -> Result<()> {
    module::prepare()?;
    run::say("Building the page.");
    // Fetched while the core is compiled.
    let shrinker = LazyLock::new(Shrinker::get);
    let compiled = thread::scope(|scope| {
        scope.spawn(|| shrinker.is_some());
        module::compile()
    })?;
    module::bind(&compiled, Host::Web, NAME, stage)?;
    let module = stage.join(format!("{NAME}_bg.wasm"));
    if let Some(shrinker) = shrinker.as_ref() {
        shrinker.shrink(&module, &work.join("web"))?;
    }
    pack(&module, &work.join("packed"))
}

/// Puts a packed file, `NAME.bin`, in the place of `NAME.wasm`: hosts that do not compress send it no slower than others.
///
/// Packing takes its time, so what came of it is kept under the name `keep`, as [`Shrinker::shrink`] does.
///
/// # Errors
/// When a file cannot be read or written.
pub fn pack(module: &Path, keep: &Path) -> Result<()> {
    let bytes = fs::read(module).map_err(Trouble::file("read", module))?;
    let asked = format!("{} {PACKING:?}\n", files::hash(&bytes));
    let (kept, of) = (keep.with_extension("bin"), keep.with_extension("of"));
    if !(fs::read_to_string(&of).is_ok_and(|was| was == asked) && kept.is_file()) {
        let _none_is_fine = fs::remove_file(&of);
        let mut packed = Vec::new();
        zopfli::compress(PACKING, Format::Gzip, bytes.as_slice(), &mut packed)
            .and_then(|()| fs::write(&kept, packed))
            .map_err(Trouble::file("write", &kept))?;
        write(&of, &asked)?;
    }
    let packed = module.with_extension("bin");
    fs::copy(&kept, &packed).map_err(Trouble::file("write", &packed))?;
    fs::remove_file(module).map_err(Trouble::file("remove", module))
}

fn write(path: &Path, text: &str) -> Result<()> {
    fs::write(path, text).map_err(Trouble::file("write", path))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_loses_what_only_trunk_reads_and_nothing_else() {
        let page = root().join("site/page/index.html");
        let html = fs::read_to_string(page).unwrap();
        let plain = without_trunk(&html);
        assert!(html.contains("data-trunk") && !plain.contains("data-trunk"));
        let gone = html.lines().filter(|line| !plain.contains(line));
        assert_eq!(gone.count(), 2);
        assert_eq!(html.lines().count(), plain.lines().count() + 2);
    }
}
