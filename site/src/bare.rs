//! Leaves whole-line comments and indentation out of scripts and styles: they are for readers of the source,
//! not for phones.
//!
//! Only lines that hold nothing but a comment go, so nothing has to be parsed. Line numbers therefore differ
//! from the source; names do not. A text in backquotes must not run over several lines; a test holds the page
//! to that.

use std::fs;
use std::path::Path;

use crate::{Result, Trouble, files};

/// Goes through every script and style in `folder`.
///
/// # Errors
/// When a file cannot be read or written.
pub fn strip(folder: &Path) -> Result<()> {
    for path in files::list(folder)? {
        let is_code = path
            .extension()
            .is_some_and(|ending| ending == "js" || ending == "css");
        if is_code {
            let path = folder.join(path);
            let text = fs::read_to_string(&path).map_err(Trouble::file("read", &path))?;
            fs::write(&path, bare(&text)).map_err(Trouble::file("write", &path))?;
        }
    }
    Ok(())
}

fn bare(code: &str) -> String {
    let mut out = String::with_capacity(code.len());
    let mut inside = false;
    for line in code.lines() {
        let text = line.trim();
        if inside {
            inside = !text.ends_with("*/");
        } else if text.starts_with("/*") {
            // A comment that something follows on its own line stays: it may be a place to fill in.
            inside = !text.contains("*/");
            if !inside && !text.ends_with("*/") {
                out += text;
                out += "\n";
            }
        } else if !text.is_empty() && !text.starts_with("//") {
            out += text;
            out += "\n";
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn drops_comment_lines_and_indentation_and_nothing_else() {
        let code = "// one\n/** two\n * three */\nconst a = /*FILES*/[]; // stays\n\n  /* four */\n  b('//');\n/*VERSION*/'';\n";
        assert_eq!(
            bare(code),
            "const a = /*FILES*/[]; // stays\nb('//');\n/*VERSION*/'';\n"
        );
    }

    #[test]
    fn no_text_in_backquotes_runs_over_a_line() {
        let page = crate::root().join("site").join("page");
        let mut seen = 0;
        for path in files::list(&page).unwrap() {
            if path.extension().is_some_and(|ending| ending == "js") {
                let text = fs::read_to_string(page.join(&path)).unwrap();
                for line in text.lines() {
                    let even = line.matches('`').count() % 2 == 0;
                    assert!(even, "{}: {line}", path.display());
                }
                seen += 1;
            }
        }
        assert!(seen > 20, "{seen} scripts");
    }
}
