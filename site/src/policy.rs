//! What a page, a frame and a worker may load and ask: only their own files. Sent with every file, since a worker heeds no
//! policy but the one its own script came with.

use std::fs;
use std::path::Path;

use crate::{Result, Trouble};

/// The policy, as a host sends it with every file.
pub const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; connect-src 'self'; img-src 'self' data:; manifest-src 'self'; worker-src 'self'; frame-src 'self'; base-uri 'none'; form-action 'none'";

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
