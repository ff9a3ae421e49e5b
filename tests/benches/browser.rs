//! Times the sheet in desktop Chromium and weighs the first load: builds the page and has Node run `browser/bench.mjs`.

use std::path::Path;

use bastwork_site::{Result, node, page, run, system};

fn main() -> Result<()> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("browser");
    let dist = page::build()?;
    node::packages(&folder)?;
    let mut bench = run::command(&node::node()?);
    bench
        .arg(folder.join("bench.mjs"))
        .env("SITE_DIR", &dist)
        .env("CHROMIUM", system::chromium()?);
    run::must(&mut bench, "The benchmark stopped: its words are above.")
}
