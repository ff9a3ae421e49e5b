//! A table of shelf entries, looked up by key.

use super::entry::Entry;

/// Something that lies on the shelf under a key.
pub(super) trait Keyed {
    /// The head of the entry.
    fn entry(&self) -> &Entry;
}

/// Entries in the order of the data files, the shop's own last; a later entry replaces one of the same key.
///
/// A plain list: the shelf holds a few dozen of each kind, and one small search serves them all.
#[derive(Debug, Clone)]
pub(super) struct Table<T>(Vec<T>);

impl<T> Default for Table<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T: Keyed> Table<T> {
    pub(super) fn get(&self, key: &str) -> Option<&T> {
        self.0.iter().find(|item| item.entry().key == key)
    }

    pub(super) fn put(&mut self, item: T) {
        match self
            .0
            .iter_mut()
            .find(|old| old.entry().key == item.entry().key)
        {
            Some(old) => *old = item,
            None => self.0.push(item),
        }
    }

    pub(super) fn iter(&self) -> std::slice::Iter<'_, T> {
        self.0.iter()
    }
}
