//! What the shop pays for its materials, and how much of them is left.

use crate::range::Range;
use crate::read::{Field, Reader, ReadingError};
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
    "Price (per m² of cloth or core, per kg of resin)",
    "18",
    Unit::One,
    (0.0, 1e7),
    ReadingError::None,
);
const LEFT: Field = Field::new(
    "left",
    "Amount left (m² of cloth or core, kg of resin)",
    "12",
    Unit::One,
    (0.0, 1e7),
    ReadingError::None,
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

#[cfg(test)]
mod tests {
    use crate::range::Range;
    use crate::shelf::Shelf;
    use serde_json::{Value, json};

    /// The sentences about a document, with the fields they belong to.
    fn told(own: Value) -> Vec<(String, String)> {
        let problems = Shelf::with_own(&own).err().unwrap_or_default();
        let pair = |p: crate::read::Problem| (p.field, p.sentence);
        problems.into_iter().map(pair).collect()
    }

    #[test]
    fn prices_and_stores_of_cloth_core_and_resin_are_kept() {
        let shelf = Shelf::with_own(&json!({
            "currency": "EUR",
            "fabrics": { "sail": { "name": "Sail", "areal_mass_g_m2": 260 } },
            "stock": {
                "flax_twill_300": { "price": 18.5, "left": 12 },
                "balsa_10": { "price": { "low": 25, "likely": 30, "high": 40 } },
                "infusion_epoxy_slow": { "price": "22,5", "left": 0 },
                "sail": {}
            }
        }))
        .unwrap();
        assert_eq!(shelf.currency(), "EUR");
        let twill = shelf.stock("flax_twill_300").unwrap();
        // A price is what was paid: it has no play of its own.
        assert_eq!(twill.price, Some(Range::new(18.5, 18.5, 18.5)));
        assert_eq!(twill.left, Some(12.0));
        let balsa = shelf.stock("balsa_10").unwrap();
        assert_eq!(balsa.price, Some(Range::new(25.0, 30.0, 40.0)));
        assert_eq!(balsa.left, None);
        let resin = shelf.stock("infusion_epoxy_slow").unwrap();
        assert_eq!(resin.price.map(|price| price.likely), Some(22.5));
        assert_eq!(resin.left, Some(0.0), "nothing left is not unknown");
        assert_eq!(shelf.stock("sail").map(|sail| sail.price), Some(None));
        assert!(shelf.stock("glass_twill_280").is_none());
        assert_eq!(shelf.idle_stock().count(), 0);
    }

    #[test]
    fn a_shelf_without_money_has_none() {
        assert_eq!(Shelf::generic().currency(), "");
        let bare = Shelf::with_own(&json!({ "format": 1 })).unwrap();
        assert_eq!(bare.currency(), "");
        assert!(bare.stock("flax_twill_300").is_none());
    }

    #[test]
    fn what_cannot_be_a_price_or_an_amount_is_told() {
        for (slip, field) in [
            (json!({ "price": -1 }), "price"),
            (json!({ "left": -0.5 }), "left"),
            (json!({ "price": "inf" }), "price"),
            (json!({ "left": "NaN" }), "left"),
            (json!({ "left": 1e300 }), "left"),
            (json!({ "price": true }), "price"),
            (
                json!({ "price": { "low": 3, "likely": 2, "high": 4 } }),
                "price",
            ),
            (
                json!({ "price": { "low": -3, "likely": 2, "high": 4 } }),
                "price",
            ),
        ] {
            let found = told(json!({ "stock": { "flax_twill_300": slip } }));
            assert!(!found.is_empty(), "{slip}");
            for (at, sentence) in found {
                assert_eq!(at, format!("own.stock.flax_twill_300.{field}"), "{slip}");
                assert!(sentence.ends_with('.'), "{sentence}");
            }
        }
        let rows = told(json!({ "stock": { "flax_twill_300": 18 } }));
        assert_eq!(rows.len(), 1, "{rows:?}");
        let whole = told(json!({ "stock": [18] }));
        assert_eq!(whole[0].0, "own.stock");
    }

    #[test]
    fn a_misspelt_name_is_told_and_not_dropped() {
        let found = told(json!({ "stock": { "flax_twill_300": { "prize": 18, "left": 2 } } }));
        assert_eq!(
            found,
            [(
                "own.stock.flax_twill_300.prize".to_owned(),
                "`prize` is not known in the stock of flax_twill_300; it holds a `price` and what is `left`."
                    .to_owned()
            )]
        );
    }

    #[test]
    fn stock_of_a_material_that_is_gone_stays_and_can_be_named() {
        let own =
            json!({ "stock": { "own_sail": { "price": 9 }, "jute_plain_300": { "left": 3 } } });
        let shelf = Shelf::with_own(&own).unwrap();
        let idle: Vec<&str> = shelf.idle_stock().map(|row| row.key.as_str()).collect();
        assert_eq!(idle, ["own_sail"]);
        assert!(shelf.stock("own_sail").is_some());
    }

    #[test]
    fn the_name_of_money_is_short() {
        let shelf = Shelf::with_own(&json!({ "currency": "francs" })).unwrap();
        assert_eq!(shelf.currency(), "francs");
        for long in [json!("dollars"), json!(5), json!(["EUR"])] {
            let found = told(json!({ "currency": long }));
            assert_eq!(found.len(), 1, "{long}: {found:?}");
            assert_eq!(found[0].0, "own.currency");
        }
    }

    #[test]
    fn a_stock_without_end_is_told() {
        let rows: serde_json::Map<String, Value> = (0..2001)
            .map(|i| (format!("m{i}"), json!({ "left": 1 })))
            .collect();
        let found = told(json!({ "stock": rows }));
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].0, "own.stock");
    }
}
