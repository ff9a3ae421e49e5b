//! What comes from npm: the optimiser of the page, and the packages of the browser tests.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::{Result, Trouble, cache, files, run, system};

/// The version of the npm package `binaryen`, which carries wasm-opt.
pub const BINARYEN: &str = "132.0.0";

/// What wasm-opt is asked for: small, since somebody waits for it.
///
/// Functions that one other calls stay functions: told apart, they squeeze to a twentieth less. By name, copies of
/// one generic function lie side by side, and that squeezes away another twenty-fifth.
const LEVEL: [&str; 4] = [
    "-Oz",
    "--one-caller-inline-max-function-size=10",
    "-Oz",
    "--reorder-functions-by-name",
];

/// What rustc's modules already need, no more; and away with the names.
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

/// wasm-opt, as this computer has it.
#[derive(Debug)]
pub struct Shrinker {
    program: PathBuf,
    /// What the program is to run, where it is Node.
    script: Option<PathBuf>,
}

impl Shrinker {
    /// Finds or fetches wasm-opt, npm's (the newest), else the system's; says so where there is none.
    #[must_use]
    pub fn get() -> Option<Self> {
        let found = from_npm().or_else(|| {
            let program = system::program(&["wasm-opt"], "binaryen", "").ok()?;
            Some(Self {
                program,
                script: None,
            })
        });
        if found.is_none() {
            run::say(
                "The page works but is larger than it need be: install Node 20, or the package `binaryen`, to shrink it.",
            );
        }
        found
    }

    fn command(&self) -> Command {
        let mut command = run::command(&self.program);
        command.args(&self.script);
        command
    }

    /// Makes the module at `path` smaller. What came of it is kept under the name `keep`, so
    /// that the same module need not be shrunk again.
    ///
    /// # Errors
    /// When wasm-opt does not accept the module, or a file cannot be written.
    pub fn shrink(&self, path: &Path, keep: &Path) -> Result<()> {
        let module = fs::read(path).map_err(Trouble::file("read", path))?;
        let version = run::ask(self.command().arg("--version")).unwrap_or_default();
        let asked = format!("{} {version} {:?} {FLAGS:?}\n", files::hash(&module), LEVEL);
        let (small, of) = (keep.with_extension("wasm"), keep.with_extension("of"));
        if fs::read_to_string(&of).is_ok_and(|was| was == asked) && small.is_file() {
            fs::copy(&small, path).map_err(Trouble::file("copy", &small))?;
            return Ok(());
        }
        let _none_is_fine = fs::remove_file(&of);
        let mut wasm_opt = self.command();
        wasm_opt.args(LEVEL).args(FLAGS).arg(path);
        run::must(
            wasm_opt.arg("-o").arg(&small),
            "wasm-opt did not accept the module: its words are above.",
        )?;
        fs::copy(&small, path).map_err(Trouble::file("write", path))?;
        fs::write(&of, asked).map_err(Trouble::file("write", &of))
    }
}

/// Whether something that can shrink the page is on this computer.
#[must_use]
pub fn can_shrink() -> bool {
    run::find(&["npm", "wasm-opt"]).is_some()
}

fn from_npm() -> Option<Shrinker> {
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
        Ok(()) => Some(Shrinker {
            program: node,
            script: Some(inside(&place)),
        }),
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
