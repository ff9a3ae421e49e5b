//! The same part in other materials, against a plan of each of them: laid as its row says, every one must weigh what
//! the row says and give no more than the part it stands in for. Nothing of the comparison is used but its rows.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{Sheet, Shelf, SuitRow, sheet_from};
use serde_json::{Value, json};

/// The stack that a row of the comparison stands for, from the mould up.
fn stack_of(row: &SuitRow) -> Value {
    let lay = |fabric: &str, count: u32| json!({ "fabric": fabric, "count": count });
    match &row.fabrics[..] {
        [cloth] => json!([lay(cloth, row.plies)]),
        [cloth, faces] if row.key == "flax_and_glass" => {
            json!([lay(faces, 1), lay(cloth, row.plies - 2), lay(faces, 1)])
        }
        [cloth, core] => {
            let half = (row.plies - 1) / 2;
            json!([lay(cloth, half), lay(core, 1), lay(cloth, half)])
        }
        other => unreachable!("{other:?}"),
    }
}

fn gives(sheet: &Sheet) -> f64 {
    let load = sheet.stack.load.as_ref().unwrap();
    load.deflection_mm.as_ref().unwrap().likely
}

#[test]
fn every_row_laid_as_a_plan_weighs_and_gives_what_it_promises() {
    let loads = [
        json!({ "case": "strip_even", "length_mm": 400, "pressure_kpa": 0.3 }),
        json!({ "case": "strip_middle", "length_mm": 250, "width_mm": 80, "force_n": 10 }),
        json!({ "case": "pressure", "held": "resting", "length_mm": 500, "width_mm": 350, "pressure_kpa": 0.5 }),
        json!({ "case": "point", "held": "clamped", "length_mm": 400, "width_mm": 400, "force_n": 40, "patch_mm": 60 }),
    ];
    let parts = [
        json!([{ "fabric": "flax_twill_300", "count": 4 }]),
        json!([{ "fabric": "flax_twill_300", "count": 9 }]),
        json!([{ "fabric": "flax_twill_300", "count": 2 }, { "fabric": "cork_5", "count": 1 }, { "fabric": "flax_twill_300", "count": 2 }]),
    ];
    let mut cored = 0;
    for (i, load) in loads.iter().enumerate() {
        for (j, part) in parts.iter().enumerate() {
            {
                let equal = ["deflection", "stiffness"][(i + j) % 2];
                let plan = json!({
                    "part": { "area_m2": 0.3, "flow_length_mm": 300 },
                    "bag": { "pressure_mbar_abs": 15, "flow_mesh": true },
                    "stack": part, "load": load, "suit": { "equal": equal },
                });
                let sheet = sheet_from(&plan, Shelf::generic()).unwrap();
                let most = gives(&sheet);
                for row in sheet
                    .suit
                    .as_ref()
                    .unwrap()
                    .rows
                    .iter()
                    .filter(|row| !row.this)
                {
                    // The core everywhere, the others once for each load.
                    if j > 0 && row.key != "flax_on_cork" {
                        continue;
                    }
                    let mut laid = plan.clone();
                    laid["stack"] = stack_of(row);
                    let other = sheet_from(&laid, Shelf::generic()).unwrap();
                    let told = format!("{equal} {} {} for {part} under {load}", row.key, row.build);
                    let mass = row.mass.likely / other.stack.part_mass_g.likely;
                    assert!((mass - 1.0).abs() < 0.02, "{told}: mass {mass}");
                    let thick = row.thickness.likely / other.stack.thickness_mm.likely;
                    assert!((thick - 1.0).abs() < 0.02, "{told}: thickness {thick}");
                    // Equal bending stiffness along says nothing of what a panel of another cloth does across.
                    let alike = equal == "deflection"
                        || load["case"] != "pressure" && load["case"] != "point";
                    if alike || row.key == "flax_on_cork" {
                        let more = gives(&other) / most;
                        assert!(more < 1.03, "{told}: gives {more} times as much");
                        cored += u32::from(row.key == "flax_on_cork");
                    }
                }
            }
        }
    }
    assert!(cored >= 10, "the core was seen {cored} times");
}
