//! The cache that every clone on this computer shares, and the locks that keep two clones apart.

use std::env;
use std::ffi::OsStr;
use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};

use crate::{Result, Trouble, run};

/// The cache folder: `BASTWORK_CACHE`, else `bastwork` in the place where this system keeps caches.
///
/// # Errors
/// When no home folder is known.
pub fn dir() -> Result<PathBuf> {
    let given = |name: &str| {
        env::var_os(name)
            .filter(|value| !value.is_empty())
            .map(PathBuf::from)
    };
    given("BASTWORK_CACHE")
        .or_else(|| given("XDG_CACHE_HOME").map(|cache| cache.join("bastwork")))
        .or_else(|| given("LOCALAPPDATA").map(|local| local.join("bastwork")))
        .or_else(|| env::home_dir().map(|home| home.join(".cache").join("bastwork")))
        .ok_or_else(|| {
            Trouble::new("No home folder is known: set BASTWORK_CACHE to a folder that may hold the build tools.")
        })
}

/// Waits for, and holds, the lock named `name` in `folder`; it is let go when the file is dropped.
///
/// # Errors
/// When the lock file cannot be made.
pub fn lock(folder: &Path, name: &str) -> Result<File> {
    let path = folder.join(format!("{name}.lock"));
    fs::create_dir_all(folder).map_err(Trouble::file("make", folder))?;
    let file = File::create(&path).map_err(Trouble::file("make", &path))?;
    match file.try_lock() {
        Ok(()) => return Ok(file),
        Err(TryLockError::WouldBlock) => {
            run::say(format_args!(
                "Another run is busy with {name}; waiting for it."
            ));
        }
        Err(TryLockError::Error(cause)) => return Err(Trouble::file("lock", &path)(cause)),
    }
    file.lock().map_err(Trouble::file("lock", &path))?;
    Ok(file)
}

/// Holds the lock named `name` in the cache.
///
/// # Errors
/// As for [`dir`] and [`lock`].
pub fn lock_shared(name: &str) -> Result<File> {
    lock(&dir()?.join("locks"), name)
}

/// Fills `place` once for all clones: `fill` works in a folder beside it, which is then moved into place whole.
///
/// # Errors
/// Whatever stopped `fill`, or a folder that could not be moved.
pub fn once(
    place: &Path,
    ready: impl Fn(&Path) -> bool,
    fill: impl FnOnce(&Path) -> Result<()>,
) -> Result<()> {
    if ready(place) {
        return Ok(());
    }
    let name = place
        .file_name()
        .unwrap_or(OsStr::new("tool"))
        .to_string_lossy();
    let _held = lock(place.parent().unwrap_or(place), &name)?;
    if ready(place) {
        return Ok(());
    }
    let part = place.with_file_name(format!("{name}.part"));
    empty(&part)?;
    fill(&part)?;
    remove(place)?;
    fs::rename(&part, place).map_err(Trouble::file("move into place", place))
}

/// Makes `folder` exist and be empty.
///
/// # Errors
/// When the folder cannot be removed or made.
pub fn empty(folder: &Path) -> Result<()> {
    remove(folder)?;
    fs::create_dir_all(folder).map_err(Trouble::file("make", folder))
}

/// Removes `folder` and all in it; fine when it is not there.
///
/// # Errors
/// When the folder cannot be removed.
pub fn remove(folder: &Path) -> Result<()> {
    if folder.exists() {
        fs::remove_dir_all(folder).map_err(Trouble::file("remove", folder))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::thread;
    use std::time::Duration;

    fn scratch(name: &str) -> PathBuf {
        let folder = env::temp_dir().join(format!("bastwork-{name}-{}", std::process::id()));
        empty(&folder).unwrap();
        folder
    }

    #[test]
    fn two_at_once_fill_a_place_once() {
        let folder = scratch("once");
        let place = folder.join("tool-1.0");
        let fills = AtomicUsize::new(0);
        let get = || {
            once(
                &place,
                |place| place.join("made").is_file(),
                |part| {
                    fills.fetch_add(1, Ordering::SeqCst);
                    thread::sleep(Duration::from_millis(100));
                    fs::write(part.join("made"), "whole").map_err(Trouble::file("write", part))
                },
            )
        };
        thread::scope(|scope| {
            let both = [scope.spawn(get), scope.spawn(get)];
            both.into_iter()
                .for_each(|one| one.join().unwrap().unwrap());
        });
        assert_eq!(fills.load(Ordering::SeqCst), 1);
        assert_eq!(fs::read_to_string(place.join("made")).unwrap(), "whole");
        remove(&folder).unwrap();
    }

    #[test]
    fn what_was_not_finished_is_not_there_and_can_be_tried_again() {
        let folder = scratch("again");
        let place = folder.join("tool-1.0");
        let ready = |place: &Path| place.is_dir();
        let half = once(&place, ready, |part| {
            fs::write(part.join("half"), "").unwrap();
            Err(Trouble::new("The network went away."))
        });
        assert_eq!(half.unwrap_err().to_string(), "The network went away.");
        assert!(!place.exists());
        once(&place, ready, |part| {
            assert!(!part.join("half").exists(), "left over from the first try");
            Ok(())
        })
        .unwrap();
        assert!(place.is_dir());
        remove(&folder).unwrap();
    }
}
