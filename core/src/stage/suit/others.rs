//! What a part could be made of instead.

/// Key of the material that every figure is compared with.
pub(super) const GLASS: &str = "woven_glass";

/// Key of the cloth of this house.
pub(super) const FLAX: &str = "woven_flax";
/// Key of the lightest one.
pub(super) const CARBON: &str = "woven_carbon";

/// A material beside the part.
pub(super) struct Other {
    pub(super) key: &'static str,
    pub(super) name: &'static str,
    /// The cloth of which there are as many plies as it takes.
    pub(super) cloth: &'static str,
    /// What stays as it is in the middle or on the faces.
    pub(super) beside: Beside,
}

/// What goes with the cloth.
pub(super) enum Beside {
    /// Nothing: one cloth all through.
    Nothing,
    /// One ply of another cloth on each face.
    OnTheFaces(&'static str),
    /// A core in the middle.
    InTheMiddle(&'static str),
}

/// Side by side, from the fibre of this house to those it is compared with.
pub(super) static OTHERS: &[Other] = &[
    Other {
        key: FLAX,
        name: "Woven flax",
        cloth: "flax_twill_300",
        beside: Beside::Nothing,
    },
    Other {
        key: "unidirectional_flax",
        name: "Unidirectional flax, all along the part",
        cloth: "flax_unidirectional_220",
        beside: Beside::Nothing,
    },
    Other {
        key: "woven_hemp",
        name: "Woven hemp",
        cloth: "hemp_plain_300",
        beside: Beside::Nothing,
    },
    Other {
        key: "woven_jute",
        name: "Woven jute",
        cloth: "jute_plain_300",
        beside: Beside::Nothing,
    },
    Other {
        key: "flax_and_glass",
        name: "Woven flax with a ply of glass on each face",
        cloth: "flax_twill_300",
        beside: Beside::OnTheFaces("glass_twill_300"),
    },
    Other {
        key: "flax_on_cork",
        name: "Woven flax on a cork core",
        cloth: "flax_twill_300",
        beside: Beside::InTheMiddle("cork_5"),
    },
    Other {
        key: GLASS,
        name: "Woven glass",
        // Light enough that rounding up to whole plies hardly adds to it.
        cloth: "glass_twill_200",
        beside: Beside::Nothing,
    },
    Other {
        key: CARBON,
        name: "Woven carbon",
        cloth: "carbon_twill_200",
        beside: Beside::Nothing,
    },
];
