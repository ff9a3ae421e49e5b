//! Sentences for a person: cautions, advice and problems, each at the stage where the hands are.

use serde::Serialize;

/// A step of the job that this version computes, in shop order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StageName {
    /// Whether bast fibre suits the part.
    Suit,
    /// Plies, thickness, fibre and resin.
    Stack,
    /// Whether the bag is tight, and what its gauge says.
    Bag,
    /// How wet the cloth is and how to dry it.
    Dry,
    /// How much resin to mix.
    Mix,
    /// Whether resin reaches the far edge.
    Fill,
    /// Gel, hardness, off the mould.
    Cure,
    /// Cutting and sanding.
    Trim,
    /// The whole job on a clock.
    Day,
}

/// How heavily a note weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Weight {
    /// Something that can hurt a person.
    Caution,
    /// Something that spoils the part unless it is dealt with.
    Problem,
    /// Something worth knowing.
    Advice,
}

/// One sentence with its stage, its weight and the way forward in it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Note {
    /// Where it belongs.
    pub stage: StageName,
    /// How heavily it weighs.
    pub weight: Weight,
    /// What to do, then why.
    pub sentence: String,
}
