//! Every switch and every choice of one word that a plan may hold: where it stands, and what it is called in a sentence.

use super::words::{
    Back, Colour, Equal, Faces, Facing, Feed, GaugeKind, Held, LoadCase, Matters, MouldKind,
    PotKind, Sides, Wind, Words,
};
use std::marker::PhantomData;

/// Yes or no.
pub(super) struct Switch {
    pub(super) group: &'static str,
    pub(super) name: &'static str,
    pub(super) label: &'static str,
    /// What it is while nothing is said.
    pub(super) usual: bool,
}

/// One of several words.
pub(super) struct OneOf<T> {
    pub(super) group: &'static str,
    pub(super) name: &'static str,
    pub(super) label: &'static str,
    words: PhantomData<T>,
}

const fn switch(
    group: &'static str,
    name: &'static str,
    label: &'static str,
    usual: bool,
) -> Switch {
    Switch {
        group,
        name,
        label,
        usual,
    }
}

const fn one_of<T: Words>(
    group: &'static str,
    name: &'static str,
    label: &'static str,
) -> OneOf<T> {
    OneOf {
        group,
        name,
        label,
        words: PhantomData,
    }
}

pub(super) const FLOW_MESH: Switch = switch("bag", "flow_mesh", "A flow mesh", false);
pub(super) const PEEL_PLY: Switch = switch("bag", "peel_ply", "A peel ply", true);
pub(super) const MASS_WITH_RESIN: Switch = switch(
    "prepreg",
    "mass_with_resin",
    "An areal mass that counts the resin",
    false,
);
pub(super) const FAN: Switch = switch("dry", "fan", "A fan in the oven", false);
pub(super) const CLOSED: Switch = switch("dry", "closed", "An oven that is shut tight", false);
pub(super) const SHARP: Switch = switch("trim", "sharp", "A sharp tool", true);
pub(super) const UNMARKED: Switch = switch("trim", "unmarked", "A tool without a marking", false);
pub(super) const POST_ON_MOULD: Switch = switch(
    "cure",
    "post_on_mould",
    "A part that stays in its mould through the post-cure",
    false,
);
pub(super) const WET: Switch = switch("service", "wet", "Wet for long in service", false);
pub(super) const GLASS: Switch = switch("target", "glass", "Cloth of glass", true);
pub(super) const CARBON: Switch = switch("target", "carbon", "Cloth of carbon or aramid", false);
pub(super) const CORE: Switch = switch("target", "core", "A core in the middle", false);
pub(super) const IN_STOCK: Switch =
    switch("target", "in_stock_only", "Only what is in stock", false);
pub(super) const UNBALANCED: Switch =
    switch("target", "unbalanced", "Stacks that pull askew", false);

pub(super) const GAUGE: OneOf<GaugeKind> = one_of("bag", "gauge_kind", "What the gauge shows");
pub(super) const FACES: OneOf<Faces> = one_of("dry", "faces", "How the plies lie");
pub(super) const FEED: OneOf<Feed> = one_of("fill", "feed", "Where resin enters");
pub(super) const EQUAL: OneOf<Equal> = one_of("suit", "equal", "What is held equal");
pub(super) const LOAD_CASE: OneOf<LoadCase> = one_of("load", "case", "What the part must carry");
pub(super) const HELD: OneOf<Held> = one_of("load", "held", "How a panel is held");
pub(super) const SIDES: OneOf<Sides> = one_of("load", "sides", "How its long edges are held");
pub(super) const MATTERS: OneOf<Matters> = one_of("part", "matters", "What counts most");
pub(super) const POT: OneOf<PotKind> = one_of("mix", "pot_kind", "What a batch stands in");
pub(super) const MOULD: OneOf<MouldKind> =
    one_of("cure", "mould_kind", "What the mould is made of");
pub(super) const COLOUR: OneOf<Colour> = one_of("service", "colour", "The colour in the sun");
pub(super) const FACING: OneOf<Facing> = one_of("service", "facing", "How it lies to the sun");
pub(super) const WIND: OneOf<Wind> = one_of("service", "wind", "What the air does there");
pub(super) const BACK: OneOf<Back> = one_of("service", "back", "What lies behind it");
