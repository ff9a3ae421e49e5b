//! Lists the files of a folder and takes the fingerprint of what they hold.

use std::fs;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use crate::{Result, Trouble};

/// Every file below `folder`, sorted, as paths relative to it; names that start with a dot are left out.
///
/// # Errors
/// When a folder cannot be read.
pub fn list(folder: &Path) -> Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    walk(folder, Path::new(""), &mut found)?;
    found.sort();
    Ok(found)
}

fn walk(folder: &Path, below: &Path, found: &mut Vec<PathBuf>) -> Result<()> {
    let here = folder.join(below);
    for entry in fs::read_dir(&here).map_err(Trouble::file("read", &here))? {
        let entry = entry.map_err(Trouble::file("read", &here))?;
        if entry.file_name().to_string_lossy().starts_with('.') {
            continue;
        }
        let path = below.join(entry.file_name());
        if entry.path().is_dir() {
            walk(folder, &path, found)?;
        } else {
            found.push(path);
        }
    }
    Ok(())
}

/// The path as a link writes it, with `/` on every system.
#[must_use]
pub fn as_link(path: &Path) -> String {
    let parts: Vec<_> = path
        .components()
        .map(|part| part.as_os_str().to_string_lossy())
        .collect();
    parts.join("/")
}

/// The first 16 hexadecimal digits of the SHA-256 of `bytes`: enough to tell our own files apart.
#[must_use]
pub fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .take(8)
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// The fingerprint of one file.
///
/// # Errors
/// When the file cannot be read.
pub fn hash_file(path: &Path) -> Result<String> {
    Ok(hash(&fs::read(path).map_err(Trouble::file("read", path))?))
}

/// One fingerprint for the names and contents of `paths` below `folder`.
///
/// # Errors
/// When a file cannot be read.
pub fn hash_all(folder: &Path, paths: &[PathBuf]) -> Result<String> {
    let mut all = String::new();
    for path in paths {
        all += &format!("{} {}\n", as_link(path), hash_file(&folder.join(path))?);
    }
    Ok(hash(all.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hash_is_the_standard_one() {
        // SHA-256 of "abc": FIPS 180-4, example of its annex, first 64 bits.
        assert_eq!(hash(b"abc"), "ba7816bf8f01cfea");
    }

    #[test]
    fn a_list_is_sorted_and_hashes_tell_names_apart() {
        let folder = std::env::temp_dir().join(format!("bastwork-files-{}", std::process::id()));
        fs::create_dir_all(folder.join("b")).unwrap();
        for name in ["z.txt", "b/a.txt", ".hidden"] {
            fs::write(folder.join(name), "same").unwrap();
        }
        let found = list(&folder).unwrap();
        let links: Vec<_> = found.iter().map(|path| as_link(path)).collect();
        assert_eq!(links, ["b/a.txt", "z.txt"]);
        assert_ne!(
            hash_all(&folder, &found[..1]).unwrap(),
            hash_all(&folder, &found[1..]).unwrap()
        );
        fs::remove_dir_all(folder).unwrap();
    }
}
