//! What stands between a fresh clone and a page in the browser: tools, build, server.
//!
//! [`page::build`] makes `site/dist`, [`npm::package`] makes the npm package, and [`serve::serve_dir`] serves a folder.
//! What they need besides Rust is fetched once per computer, into a cache that all clones share ([`cache`]).

// A test may tell a longer story.
#![cfg_attr(not(test), warn(clippy::too_many_lines))]

pub mod bare;
pub mod cache;
mod content;
pub mod files;
pub mod lan;
pub mod module;
pub mod node;
pub mod notices;
pub mod npm;
pub mod offline;
pub mod page;
mod places;
pub mod policy;
pub mod run;
pub mod serve;
pub mod system;
pub mod tools;
pub mod trouble;
pub mod watch;

use std::path::{Path, PathBuf};

pub use trouble::{Result, Trouble};

/// The folder of the workspace.
#[must_use]
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here).to_path_buf()
}
