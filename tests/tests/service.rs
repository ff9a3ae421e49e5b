//! The part in service: wet, warm, under a load that stays, and with its coats.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork_tests::sheets::{figure_at, likely, sheet};
use serde_json::{Value, json};

fn plan(cloth: &str) -> Value {
    json!({
        "format": 1, "name": "shelf", "part": { "area_m2": 0.5, "flow_length_mm": 400 },
        "stack": [{ "fabric": cloth, "count": 6 }], "resin": "infusion_epoxy_slow",
        "load": { "case": "strip_middle", "length_mm": 300, "width_mm": 50, "force_n": 5 }
    })
}

fn with(group: &str, fields: Value) -> Value {
    let mut plan = plan("flax_twill_300");
    plan[group] = fields;
    plan
}

const NEW: &str = "stack.load.deflection_mm";
const DAMP: &str = "stack.load.damp_mm";
const SOAKED: &str = "stack.load.soaked_mm";
const YEARS: &str = "stack.load.years_dry_mm";
const DAMP_YEARS: &str = "stack.load.years_damp_mm";

#[test]
fn wetter_and_longer_never_gives_less() {
    let dry = sheet(&plan("flax_twill_300")).unwrap();
    let wet = sheet(&with("service", json!({ "wet": true }))).unwrap();
    let at = |path| likely(&dry, path);
    assert!(at(NEW) < at(DAMP) && at(DAMP) < at(SOAKED));
    assert!(at(NEW) < at(YEARS) && at(YEARS) < at(DAMP_YEARS));
    assert!(at(DAMP_YEARS) < likely(&wet, DAMP_YEARS));
    // EN 1995-1-1 (from memory): 1 + k_def is 1.6, 1.8 and 3.0 for solid timber in service classes 1, 2 and 3.
    let [low, _, high] = figure_at(&dry, YEARS);
    assert!(low < 1.6 * at(NEW) && 1.6 * at(NEW) < high);
    assert!((likely(&wet, DAMP_YEARS) / at(NEW) - 3.0).abs() < 1e-9);
    // Hemp fabric and vinyl ester, saturated, lost 39 % of its modulus at most (as quoted): 1/0.61.
    let mut kept = dry["inputs"].as_array().unwrap().iter();
    let kept = kept.find(|i| i["key"] == "load.soaked_left");
    let range = &kept.unwrap()["range"];
    assert!(range["low"].as_f64().unwrap() < 0.61 && range["high"].as_f64().unwrap() > 0.61);
    assert!((at(SOAKED) / at(NEW) - 1.0 / range["likely"].as_f64().unwrap()).abs() < 1e-9);
}

#[test]
fn nothing_is_said_where_nothing_was_asked() {
    let mut bare = plan("flax_twill_300");
    bare.as_object_mut().unwrap().remove("load");
    let bare = sheet(&bare).unwrap();
    assert!(bare["stack"]["load"].is_null() && bare["stack"]["coats_g"].is_null());
    assert!(
        !bare["stack"]["head"]["answer"]
            .as_str()
            .unwrap()
            .contains("on one face")
    );
    let mut pulled = plan("flax_twill_300");
    pulled["load"] = json!({ "case": "edge", "edge_n_mm": 20 });
    let pulled = sheet(&pulled).unwrap();
    assert_eq!(pulled["stack"]["load"]["lasting"], "");
    // Glass neither loses like flax nor creeps like it.
    let glass = sheet(&plan("glass_twill_300")).unwrap();
    assert!(glass["stack"]["load"]["soaked_mm"].is_null());
    assert!(
        glass["stack"]["load"]["lasting"]
            .as_str()
            .unwrap()
            .contains("sample")
    );
}

#[test]
fn warmer_never_stiffer_and_harder_never_softer() {
    let left = |celsius: f64, post: bool| {
        let mut plan = with("service", json!({ "temperature_c": celsius }));
        if post {
            plan["cure"] = json!({ "post_c": 70, "post_h": 12 });
        }
        let sheet = sheet(&plan).unwrap();
        let gives = likely(&sheet, "setting.service.gives_mm");
        let pct = likely(&sheet, "setting.service.stiffness_left_pct");
        assert!((gives * pct / 100.0 / likely(&sheet, NEW) - 1.0).abs() < 1e-9);
        pct
    };
    assert!((left(20.0, false) - 100.0).abs() < 1e-9);
    assert!(left(35.0, false) > left(45.0, false) && left(45.0, false) > left(55.0, false));
    assert!(left(45.0, true) > left(45.0, false));
}

#[test]
fn coats_are_a_mass_of_their_own() {
    let bare = sheet(&plan("flax_twill_300")).unwrap();
    let coated = sheet(&with("finish", json!({ "gelcoat_mm": 0.5 }))).unwrap();
    // 600 g/m² for half a millimetre at 1.2 g/cm³ (from memory).
    assert!((likely(&coated, "stack.coats_g") - 300.0).abs() < 1e-6);
    let both = json!({ "gelcoat_mm": 0.5, "paint_um": 50 });
    let both = sheet(&with("finish", both)).unwrap();
    assert!((likely(&both, "stack.coats_g") - 332.5).abs() < 1e-6);
    let mass = |sheet| likely(sheet, "stack.part_mass_g");
    assert!((mass(&bare) - mass(&both)).abs() < 1e-9);
}
