//! What is kept of a search: small inputs that make the core say or do different things.

use super::hold::Answer;
use super::kind::Kind;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// What is handed to the core.
#[derive(Debug, Clone, PartialEq)]
pub enum Input {
    /// A plan or an own shelf.
    Document(Value),
    /// A drawing file.
    File(Vec<u8>),
}

impl Input {
    /// It as bytes of a file.
    #[must_use]
    pub fn bytes(&self) -> Vec<u8> {
        match self {
            Self::Document(document) => serde_json::to_vec(document).unwrap_or_default(),
            Self::File(bytes) => bytes.clone(),
        }
    }

    /// The bytes of a file as a kind reads them; what is no document counts as nothing, as at the module's edge.
    #[must_use]
    pub fn of(kind: Kind, bytes: Vec<u8>) -> Self {
        if kind.is_document() {
            Self::Document(serde_json::from_slice(&bytes).unwrap_or(Value::Null))
        } else {
            Self::File(bytes)
        }
    }
}

/// The folder of a kind.
#[must_use]
pub fn corpus_dir(kind: Kind) -> PathBuf {
    crate::cases_dir().join("corpus").join(kind.name())
}

/// What is kept of a kind, each with the path of its file.
#[must_use]
pub fn corpus(kind: Kind) -> Vec<(PathBuf, Input)> {
    let folder = corpus_dir(kind);
    if !folder.exists() {
        return Vec::new();
    }
    let read = |path: PathBuf| {
        let bytes = std::fs::read(&path).unwrap();
        (path, Input::of(kind, bytes))
    };
    crate::files(&folder, "").into_iter().map(read).collect()
}

/// Hands one file to the core again.
///
/// # Errors
/// What is wrong with the answer.
pub fn replay(kind: Kind, path: &Path) -> Result<Answer, String> {
    let bytes = std::fs::read(path).map_err(|why| format!("{}: {why}", path.display()))?;
    kind.ask(&Input::of(kind, bytes))
}
