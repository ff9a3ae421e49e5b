//! What a page, a frame and a worker may load and ask: only their own files. Sent with every file, since a worker heeds no
//! policy but the one its own script came with.

use std::fs;
use std::path::Path;

use crate::{Result, Trouble};

/// The policy, as a host sends it with every file. The one script that stands in a page itself looks whether the page starts;
/// it is named by its SHA-256.
pub const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval' 'sha256-Im3HacuqRvgVWuHKngqGJ21nKvjv1QbS+W0Zhr6c0fM='; style-src 'self'; connect-src 'self'; img-src 'self' data:; manifest-src 'self'; worker-src 'self'; frame-src 'self'; base-uri 'none'; form-action 'none'";

/// What is sent besides: nobody may show the page inside another one, where a tap could be led astray.
pub const ALONE: &str = "frame-ancestors 'none'";

/// The file in which hosts that read one look for headers.
const HEADERS: &str = "_headers";

/// Whether a file may be shown inside another page: the frame is made for it.
#[must_use]
pub fn may_be_framed(link: &str) -> bool {
    link.starts_with("frame.")
}

/// Writes the file that tells a host which headers to send.
///
/// # Errors
/// When it cannot be written.
pub fn write_headers(folder: &Path) -> Result<()> {
    let path = folder.join(HEADERS);
    fs::write(&path, headers()).map_err(Trouble::file("write", &path))
}

fn headers() -> String {
    let mut text = format!(
        "/*\n  Content-Security-Policy: {POLICY}\n  X-Content-Type-Options: nosniff\n  Referrer-Policy: no-referrer\n"
    );
    // Whole once more: some hosts join the two, some take the last.
    for page in ["/", "/index.html", "/examples/*"] {
        text += &format!("{page}\n  Content-Security-Policy: {POLICY}; {ALONE}\n");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use sha2::{Digest, Sha256};
    use std::collections::BTreeMap;

    /// RFC 4648, section 4.
    fn base64(bytes: &[u8]) -> String {
        const DIGITS: &[u8; 64] =
            b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
        let mut text = String::new();
        for three in bytes.chunks(3) {
            let bits = three
                .iter()
                .fold(0_u32, |bits, byte| bits << 8 | u32::from(*byte))
                << (8 * (3 - three.len()));
            for place in 0..4 {
                let digit = char::from(DIGITS[(bits >> (18 - 6 * place) & 63) as usize]);
                text.push(if place <= three.len() { digit } else { '=' });
            }
        }
        text
    }

    #[test]
    fn base64_is_the_standard_one() {
        // RFC 4648, section 10.
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    fn rules(policy: &str) -> BTreeMap<&str, Vec<&str>> {
        policy
            .split(';')
            .map(|rule| {
                let mut words = rule.split_whitespace();
                (words.next().unwrap_or_default(), words.collect())
            })
            .collect()
    }

    #[test]
    fn what_is_sent_allows_what_the_pages_allow_and_names_the_one_script_within() {
        let root = crate::root();
        for page in [
            "site/page/index.html",
            "site/page/frame.html",
            "examples/handout.html",
        ] {
            let html = fs::read_to_string(root.join(page)).unwrap();
            let start = html.find("Security-Policy\" content=\"").unwrap() + 26;
            let own = &html[start..start + html[start..].find('"').unwrap()];
            let (own, sent) = (rules(own), rules(POLICY));
            for (name, values) in &own {
                let wide = &sent[name];
                assert!(
                    values.iter().all(|value| wide.contains(value)),
                    "{page}: {name} {values:?}"
                );
            }
            assert_eq!(own["default-src"], ["'none'"]);
            if let Some((_, rest)) = html.split_once("<script>") {
                let (script, _) = rest.split_once("</script>").unwrap();
                let name = format!("'sha256-{}'", base64(&Sha256::digest(script.as_bytes())));
                assert!(POLICY.contains(&name), "the script in {page} is now {name}");
                assert!(own["script-src"].contains(&name.as_str()), "{page}: {name}");
            }
        }
    }

    #[test]
    fn a_host_is_told_to_let_nobody_frame_the_page() {
        let text = headers();
        let (all, pages) = text.split_once("/\n").unwrap();
        assert!(all.contains(POLICY) && !all.contains(ALONE));
        assert_eq!(pages.matches(ALONE).count(), 3);
        assert!(!pages.contains("frame.html"));
        assert!(may_be_framed("frame.html") && !may_be_framed("index.html"));
    }
}
