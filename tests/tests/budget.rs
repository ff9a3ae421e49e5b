//! The page's weight: what a first visit downloads stays within `budget.toml`.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use bastwork_site::{files, offline, page};
use flate2::{Compression, write::GzEncoder};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Budget {
    cap: usize,
    first_load: usize,
}

fn gzip(bytes: &[u8]) -> io::Result<usize> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(bytes)?;
    Ok(encoder.finish()?.len())
}

#[test]
fn first_load_is_within_budget() {
    let text =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("budget.toml")).unwrap();
    let budget: Budget = toml::from_str(&text).unwrap();
    let dist = page::build().unwrap();

    let mut sum = 0;
    let mut lines = String::new();
    for path in files::list(&dist).unwrap() {
        let link = files::as_link(&path);
        if offline::is_later(&link) {
            continue;
        }
        let bytes = gzip(&fs::read(dist.join(&path)).unwrap()).unwrap();
        sum += bytes;
        lines += &format!("{bytes:>8}  {link}\n");
    }
    // Straight to standard error, so that the weights are seen when the test passes too.
    writeln!(
        io::stderr(),
        "First load, bytes after gzip -9:\n{lines}{sum:>8}  in all, of {}",
        budget.first_load
    )
    .unwrap();

    assert!(
        lines.contains("index.html") && lines.contains(".wasm"),
        "the page is not whole:\n{lines}"
    );
    assert!(
        budget.first_load <= budget.cap,
        "{} is above the cap of {}",
        budget.first_load,
        budget.cap
    );
    assert!(
        sum <= budget.first_load,
        "The first load weighs {sum} bytes, above the {} of tests/budget.toml:\n{lines}",
        budget.first_load
    );
}
