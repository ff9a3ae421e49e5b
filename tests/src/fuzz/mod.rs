//! Searches for documents and files that do harm: changes what is kept, holds each answer to what every answer is held to,
//! and keeps an input when it makes the core say or do something not seen before.
//!
//! No instrumentation: what the core says is what guides the search. A sentence without its numbers, a figure that is there or
//! not, and its power of ten are marks; an input with a new mark is changed further.

mod bytes;
mod dice;
mod hold;
mod hunt;
mod kept;
mod kind;
mod slips;
mod smaller;

pub use dice::Dice;
pub use hunt::{Found, Hunt, Tally};
pub use kept::{Input, corpus, corpus_dir, replay};
pub use kind::Kind;
