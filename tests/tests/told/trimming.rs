//! What a maker is told of a tool's speed, its marking and the heat at the edge.

use super::{plan, says};
use bastwork::{Estimate, Shelf, TrimSheet, sheet_from};
use bastwork_tests::draw;
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::{Value, json};

const TURNING: [&str; 7] = [
    "cutting_disc_75",
    "cutting_disc_125",
    "flap_disc_115",
    "flap_wheel_60",
    "sanding_disc_150",
    "router_6",
    "burr_6",
];

fn trimmed(trim: &Value) -> TrimSheet {
    let plan = plan(&json!({ "trim": trim }));
    sheet_from(&plan, Shelf::generic()).unwrap().trim
}

fn likely(figure: Option<&Estimate>) -> f64 {
    figure.map_or(f64::NAN, |figure| figure.likely)
}

#[test]
fn without_a_marking_there_is_no_limit() {
    for tool in TURNING {
        let found = trimmed(&json!({ "tool": tool }));
        assert!(found.max_rpm.is_none(), "{tool}");
        let answer = &found.head.answer;
        assert!(
            answer.contains("Read the speed marked") && answer.contains("type it"),
            "{answer}"
        );
        assert!(!answer.contains("never above"), "{answer}");
        // The headline is a figure that is there.
        assert_eq!(found.head.main, "oversize_mm");
        let refused = trimmed(&json!({ "tool": tool, "unmarked": true }));
        assert!(refused.max_rpm.is_none() && refused.set_rpm.is_none());
        assert!(refused.head.answer.contains("Do not run this tool"));
    }
    let unmarked = json!({ "trim": { "tool": "router_6", "unmarked": true, "rpm": 9000, "marked_rpm": 9000 } });
    let sheet = sheet_from(&plan(&unmarked), Shelf::generic()).unwrap();
    assert!(sheet.trim.max_rpm.is_none() && says(&sheet, "put this tool away"));
}

#[test]
fn a_marking_that_was_typed_rules() {
    let found = trimmed(&json!({ "tool": "router_6", "marked_rpm": 24000 }));
    assert_eq!(likely(found.max_rpm.as_ref()), 24_000.0);
    assert_eq!(found.head.main, "max_rpm");
    // 60 v / (pi d) by hand: 75 mm at 50 m/s.
    let slow = trimmed(&json!({ "tool": "cutting_disc_75", "marked_m_s": 50 }));
    assert_eq!(likely(slow.max_rpm.as_ref()), 12_730.0);
    // More than the class bears is told, and not believed.
    let wild = plan(&json!({ "trim": { "tool": "cutting_disc_75", "marked_rpm": 60000 } }));
    let sheet = sheet_from(&wild, Shelf::generic()).unwrap();
    assert_eq!(likely(sheet.trim.max_rpm.as_ref()), 20_370.0);
    assert!(says(&sheet, "read the marking again"));
    let fast =
        plan(&json!({ "trim": { "tool": "cutting_disc_75", "marked_rpm": 9000, "rpm": 11000 } }));
    assert!(says(
        &sheet_from(&fast, Shelf::generic()).unwrap(),
        "turns faster than this tool may"
    ));
}

#[test]
fn a_shop_writes_its_own_tool_down_with_its_marking() {
    let own = json!({ "format": 1, "tools": { "ours": {
        "name": "Our disc", "action": "cutting_wheel", "diameter_mm": 100, "marked_m_s": 60,
    } } });
    let shelf = Shelf::with_own(&own).unwrap();
    let sheet = sheet_from(&plan(&json!({ "trim": { "tool": "ours" } })), &shelf).unwrap();
    // 60 v / (pi d) by hand: 11 459, down to a step of a dial.
    assert_eq!(likely(sheet.trim.max_rpm.as_ref()), 11_450.0);
}

#[test]
fn words_tell_of_scorching_where_no_law_has_a_number() {
    let flax = sheet_from(&plan(&json!({})), Shelf::generic()).unwrap();
    assert!(says(&flax, "Flax begins to scorch just above 160\u{a0}°C"));
    assert!(flax.trim.heat_ratio.is_none() && flax.trim.feed_mm_s.is_none());
    let glass = json!({ "stack": [{ "fabric": "glass_twill_280", "count": 4 }] });
    let glass = sheet_from(&plan(&glass), Shelf::generic()).unwrap();
    assert!(!says(&glass, "Flax begins to scorch") && says(&glass, "this resin smears"));
    let slow = json!({ "trim": { "tool": "router_6", "marked_rpm": 30000, "rpm": 25000, "feed_mm_s": 8 } });
    assert!(says(
        &sheet_from(&plan(&slow), Shelf::generic()).unwrap(),
        "rubs rather than cuts"
    ));
}

proptest! {
    #![proptest_config(draw::config(24))]

    #[test]
    fn a_faster_tool_is_hotter_a_faster_hand_cooler_a_blunt_one_hotter(
        tool in select(TURNING.to_vec()),
        rpm in 2000.0..20000.0_f64,
        feed in 2.0..95.0_f64,
        more in 1.1..3.0_f64,
    ) {
        let at = |rpm: f64, feed: f64, sharp: bool| {
            let trim = json!({ "tool": tool, "rpm": rpm, "feed_mm_s": feed, "sharp": sharp });
            let ratio = trimmed(&trim).heat_ratio.unwrap();
            [ratio.low, ratio.likely, ratio.high]
        };
        let base = at(rpm, feed, true);
        let (faster, quicker, blunt) = (at(rpm * more, feed, true), at(rpm, feed * more, true), at(rpm, feed, false));
        for k in 0..3 {
            prop_assert!(faster[k] > base[k] && quicker[k] < base[k] && blunt[k] > base[k], "{base:?} {faster:?} {quicker:?} {blunt:?}");
        }
        // At least as the speed, at most as its power of 1.5: the share that enters the part grows with its root.
        let grew = faster[1] / base[1];
        prop_assert!(grew > 0.99 * more && grew < 1.01 * more.powf(1.5), "{grew} for {more}");
        // A range that still says something.
        prop_assert!(base[2] / base[0] < 4.0, "{base:?}");
    }
}
