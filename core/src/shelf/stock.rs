//! What the shop pays for its materials, and how much of them is left.

use crate::range::Range;
use crate::read::{Field, Play, Reader};
use crate::units::Unit;

/// Price and store of one cloth, core or resin.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// Key of the material on the shelf.
    pub key: String,
    /// Price per square metre of cloth or core, per kilogram of resin, in the shop's own money.
    pub price: Option<Range>,
    /// Square metres or kilograms left.
    pub left: Option<f64>,
}

const PRICE: Field = Field::new(
    "price",
    "Price, per square metre of cloth or core or per kilogram of resin",
    "18",
    Unit::One,
    (0.0, 1e7),
    Play::None,
);
const LEFT: Field = Field::new(
    "left",
    "Left in the shop, square metres of cloth or core or kilograms of resin",
    "12",
    Unit::One,
    (0.0, 1e7),
    Play::None,
);

/// Fields of the shop's stock, for its entries.
pub(super) const FIELDS: &[Field] = &[PRICE, LEFT];

/// Longest name of a currency.
const LONGEST: usize = 6;

/// Reads the shop's stock and the name of its money.
pub(super) fn read(reader: &Reader<'_>) -> (Vec<Stock>, String) {
    let group = reader.group("stock");
    let stock = group
        .entries()
        .map(|(key, value)| {
            let row = group.below(key, value);
            let found = Stock {
                key: key.to_owned(),
                price: row.range(&PRICE),
                left: row.number(&LEFT),
            };
            row.finish();
            found
        })
        .collect();
    let currency = reader.text("currency").unwrap_or_default();
    (stock, currency.chars().take(LONGEST).collect())
}
