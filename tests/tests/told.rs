//! What a maker is told when something is short or not said yet; the rest of the sheet stands all the same.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop loudly"
)]

#[path = "told/cautions.rs"]
mod cautions;
#[path = "told/trimming.rs"]
mod trimming;
#[path = "told/which_value.rs"]
mod which_value;

use bastwork::{Sheet, Shelf, sheet_from};
use serde_json::{Value, json};

fn plan(more: &Value) -> Value {
    let mut plan = json!({
        "part": { "area_m2": 0.62, "flow_length_mm": 300 },
        "bag": { "flow_mesh": true },
        "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
        "resin": "infusion_epoxy_slow",
    });
    for (key, value) in more.as_object().unwrap() {
        plan[key] = value.clone();
    }
    plan
}

fn says(sheet: &Sheet, words: &str) -> bool {
    sheet.notes.iter().any(|note| note.sentence.contains(words))
}

#[test]
fn a_load_that_is_half_stated_waits_and_stops_nothing() {
    let half = json!({ "load": { "case": "point", "length_mm": 500 } });
    let sheet = sheet_from(&plan(&half), Shelf::generic()).unwrap();
    assert!(sheet.stack.load.is_none() && sheet.suit.is_some());
    assert!(says(
        &sheet,
        "still needs: Span or width across the part; Force on it"
    ));
    let whole =
        json!({ "load": { "case": "point", "length_mm": 500, "width_mm": 400, "force_n": 50 } });
    let sheet = sheet_from(&plan(&whole), Shelf::generic()).unwrap();
    assert!(sheet.stack.load.is_some() && !says(&sheet, "still needs"));
}

#[test]
fn a_batch_too_small_is_told_with_what_can_be_missing() {
    let needed = sheet_from(&plan(&json!({})), Shelf::generic())
        .unwrap()
        .mix
        .resin_in_part_g
        .likely;
    for (on_hand, words) in [
        (1100.0, "would be missing in the part"),
        (50.0, "none of it reaches the part"),
    ] {
        let sheet = sheet_from(
            &plan(&json!({ "mix": { "on_hand_g": on_hand } })),
            Shelf::generic(),
        )
        .unwrap();
        let note = sheet
            .notes
            .iter()
            .find(|note| note.sentence.contains(words))
            .unwrap();
        let grams: Vec<f64> = note
            .sentence
            .split(['\u{a0}', ' '])
            .filter_map(|word| word.parse().ok())
            .collect();
        assert!(grams[1] <= needed * 1.01, "{}", note.sentence);
        let full = sheet_from(&plan(&json!({})), Shelf::generic()).unwrap();
        assert!(sheet.stack.porosity.likely > 2.0 * full.stack.porosity.likely);
        assert!(
            (sheet.stack.thickness_mm.likely / full.stack.thickness_mm.likely - 1.0).abs() < 1e-12,
            "thickness stays"
        );
    }
}

#[test]
fn what_is_left_in_the_shop_is_held_against_the_part() {
    let short = json!({ "stock": { "flax_twill_300": { "left": 1.0 }, "infusion_epoxy_slow": { "left": 0.3 } } });
    let sheet = sheet_from(&plan(&json!({})), &Shelf::with_own(&short).unwrap()).unwrap();
    assert!(says(&sheet, "this stack takes 2.48\u{a0}m²") && says(&sheet, "the mix takes about"));
    let plenty = json!({ "stock": { "flax_twill_300": { "left": 9.0 }, "infusion_epoxy_slow": { "left": 5 } } });
    let sheet = sheet_from(&plan(&json!({})), &Shelf::with_own(&plenty).unwrap()).unwrap();
    assert!(!says(&sheet, "this stack takes") && !says(&sheet, "the mix takes about"));
}

#[test]
fn faces_of_a_held_panel_wrinkle_where_they_are_held() {
    // Timoshenko and Woinowsky-Krieger (from memory): the middle of a resting square panel bears 0.048 q a², the edge of
    // a held one 0.051; its own middle only 0.023. So holding the edges hardly helps against wrinkling.
    let wrinkles = |held: &str| {
        let load = json!({
            "stack": [
                { "fabric": "flax_twill_300", "count": 2 },
                { "fabric": "balsa_10", "count": 1 },
                { "fabric": "flax_twill_300", "count": 2 },
            ],
            "load": { "case": "pressure", "held": held, "length_mm": 800, "width_mm": 800, "pressure_kpa": 2 },
        });
        let sheet = sheet_from(&plan(&load), Shelf::generic()).unwrap();
        sheet.stack.load.unwrap().wrinkling_reserve.unwrap().likely
    };
    let ratio = wrinkles("clamped") / wrinkles("resting");
    assert!((0.7..=1.4).contains(&ratio), "{ratio}");
}
