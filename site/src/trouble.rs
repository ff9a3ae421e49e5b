//! What stopped us, as one sentence for a person that also says the way forward.

use std::fmt::{self, Display};
use std::io;
use std::path::Path;

/// One sentence for a person: what could not be had or done, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trouble(String);

/// A value, or the sentence that says why there is none.
pub type Result<T> = std::result::Result<T, Trouble>;

impl Trouble {
    /// Trouble told in one sentence.
    pub fn new(sentence: impl Into<String>) -> Self {
        Self(sentence.into())
    }

    /// Turns a failed file operation into a sentence: `fs::read(p).map_err(Trouble::file("read", p))`.
    pub fn file(verb: &str, path: &Path) -> impl FnOnce(io::Error) -> Self {
        move |cause| {
            Self(format!(
                "Could not {verb} {}: {cause}. Check that the folder is yours and the disk is not full.",
                path.display()
            ))
        }
    }
}

impl Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Trouble {}
