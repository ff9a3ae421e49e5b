//! Writes into the service worker which files it keeps, so that everything works without a network.

use std::fs;
use std::path::Path;

use crate::{Result, Trouble, files, policy};

/// The service worker's file name; it is not in its own list.
const WORKER: &str = "sw.js";
/// What the page itself does without: fetched once the page works, and kept for offline like the rest.
///
/// What is for the host alone, the worker itself, what only a tap or the printer asks for, the handout element and its
/// frame, the examples, the icons and what an installation asks for. A test holds this list to what the scripts import.
const LATER: &[&str] = &[
    "_headers",
    "bast-work.",
    "board-paper.js",
    "board-worker.js",
    "door.js",
    "examples/",
    "files.js",
    "frame.",
    "handout.",
    "icons/",
    "licences.txt",
    "manifest.",
    "materials.js",
    "mend.js",
    "offline.js",
    "ownshelf.js",
    "paper.js",
    "plans.js",
    "print.css",
    "share.js",
    WORKER,
];
/// Becomes the list of files: `[["index.html","0123456789abcdef",0],...]`, 1 for those that come later.
const FILES: &str = "/*FILES*/[]";
/// Becomes the fingerprint of the whole list.
const VERSION: &str = "/*VERSION*/''";
/// Become what every file is kept with.
const POLICY: &str = "/*POLICY*/''";
const ALONE: &str = "/*ALONE*/''";

/// Whether a file, by its link, is fetched after the page works.
#[must_use]
pub fn is_later(link: &str) -> bool {
    LATER.iter().any(|start| link.starts_with(start))
}

/// Fills the two places in `folder/sw.js`.
///
/// # Errors
/// When the worker is missing or lacks one of the places.
pub fn fill(folder: &Path) -> Result<()> {
    let path = folder.join(WORKER);
    let worker = fs::read_to_string(&path).map_err(Trouble::file("read", &path))?;
    fs::write(&path, filled(&worker, &entries(folder)?)?).map_err(Trouble::file("write", &path))
}

fn entries(folder: &Path) -> Result<Vec<(String, String)>> {
    let kept = files::list(folder)?
        .into_iter()
        .filter(|path| path != Path::new(WORKER));
    kept.map(|path| {
        Ok((
            files::as_link(&path),
            files::hash_file(&folder.join(&path))?,
        ))
    })
    .collect()
}

fn filled(worker: &str, entries: &[(String, String)]) -> Result<String> {
    for place in [FILES, VERSION, POLICY, ALONE] {
        if !worker.contains(place) {
            return Err(Trouble::new(format!(
                "site/page/{WORKER} must hold the text {place} exactly as written here."
            )));
        }
    }
    let rows: Vec<_> = entries
        .iter()
        .map(|(link, hash)| format!("[{link:?},{hash:?},{}]", u8::from(is_later(link))))
        .collect();
    let list = format!("[{}]", rows.join(","));
    let version = format!("'{}'", files::hash(list.as_bytes()));
    Ok(worker
        .replacen(FILES, &list, 1)
        .replacen(VERSION, &version, 1)
        .replacen(POLICY, &format!("{:?}", policy::POLICY), 1)
        .replacen(ALONE, &format!("{:?}", policy::ALONE), 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: &str = "const files = /*FILES*/[];\nconst version = /*VERSION*/'';\nconst policy = /*POLICY*/'';\nconst alone = /*ALONE*/'';";

    fn row(link: &str, hash: &str) -> (String, String) {
        (link.to_owned(), hash.to_owned())
    }

    #[test]
    fn list_and_version_are_filled() {
        let rows = [row("index.html", "aa"), row("examples/b.html", "bb")];
        let text = filled(PLAIN, &rows).unwrap();
        assert!(
            text.starts_with(
                r#"const files = [["index.html","aa",0],["examples/b.html","bb",1]];"#
            ),
            "{text}"
        );
        assert!(!text.contains("/*"), "{text}");
        assert!(text.contains(policy::POLICY), "{text}");
    }

    #[test]
    fn another_content_is_another_version() {
        assert_ne!(
            filled(PLAIN, &[row("a", "aa")]).unwrap(),
            filled(PLAIN, &[row("a", "ab")]).unwrap()
        );
    }

    #[test]
    fn a_worker_without_the_places_is_refused() {
        assert!(
            filled("const files = [];", &[])
                .unwrap_err()
                .to_string()
                .contains(FILES)
        );
    }
}
