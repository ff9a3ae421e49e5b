//! How many connections are open, in all and to one address: nobody in the network can take them all.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};

/// Most connections at once.
pub(crate) const ALL: usize = 512;
/// Most of them to one address: a browser opens six, and several may sit behind one.
pub(crate) const ONE: usize = 64;

/// The connections that are open, by address.
#[derive(Clone, Default)]
pub(crate) struct Places(Arc<Mutex<HashMap<IpAddr, usize>>>);

/// One of them; dropping it frees it.
pub(crate) struct Place {
    places: Places,
    address: IpAddr,
}

impl Places {
    /// A place for a connection to an address, while there is one.
    pub(crate) fn take(&self, address: IpAddr) -> Option<Place> {
        let mut open = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let all: usize = open.values().sum();
        let here = open.get(&address).copied().unwrap_or_default();
        if all >= ALL || here >= ONE {
            return None;
        }
        open.insert(address, here + 1);
        let places = self.clone();
        Some(Place { places, address })
    }

    /// How many are taken.
    #[cfg(test)]
    pub(crate) fn taken(&self) -> usize {
        self.0.lock().unwrap().values().sum()
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut open = self.places.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(here) = open.get_mut(&self.address) {
            *here -= 1;
            if *here == 0 {
                open.remove(&self.address);
            }
        }
    }
}
