//! The thin boundary between the core and whoever runs WebAssembly: the page, Node, a script.

use wasm_bindgen::prelude::wasm_bindgen;

/// The version of Bastwork this module was built from.
#[wasm_bindgen]
#[must_use]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}
