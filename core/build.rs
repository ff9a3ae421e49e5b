//! Turns the shelf's data files into one JSON text that the library carries.
fn main() {}
