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
    "Price of a square metre of cloth or core, or of a kilogram of resin",
    "18",
    Unit::One,
    (0.0, 1e7),
    Play::None,
);
const LEFT: Field = Field::new(
    "left",
    "What is left, in square metres of cloth or core or in kilograms of resin,",
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
pub(super) fn read(reader: &Reader<'_>, most: usize) -> (Vec<Stock>, String) {
    let group = reader.group("stock");
    if group.entries().nth(most).is_some() {
        reader.missing(
            "stock",
            format!("Your stock holds more than {most} materials; take those out that you no longer use."),
        );
    }
    let stock = group
        .entries()
        .take(most)
        .map(|(key, value)| {
            let row = group.below(key, value);
            let found = Stock {
                key: key.to_owned(),
                price: row.range(&PRICE),
                left: row.number(&LEFT),
            };
            // A price under a misspelt name would be missed without a word.
            for (name, value) in row.surplus() {
                row.problem(
                    name,
                    value,
                    format!("`{name}` is not known in the stock of {key}; it holds a `price` and what is `left`."),
                );
            }
            found
        })
        .collect();
    (stock, currency(reader).unwrap_or_default())
}

/// The name of the shop's money.
fn currency(reader: &Reader<'_>) -> Option<String> {
    let name = reader.text("currency")?;
    if name.chars().count() > LONGEST {
        reader.problem(
            "currency",
            &name.clone().into(),
            format!("Write the name of your money in at most {LONGEST} letters, for example EUR."),
        );
    }
    Some(name.chars().take(LONGEST).collect())
}
