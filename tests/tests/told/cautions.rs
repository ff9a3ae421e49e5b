//! The cautions that must stand and those that must not, by fibre and by way of moulding.

use super::plan;
use bastwork::{Sheet, Shelf, StageName, Weight, sheet_from};
use serde_json::{Value, json};

const ROUTES: [&str; 4] = ["infusion", "bagged_wet", "open_wet", "prepreg"];

fn made(route: &str, fabrics: &[&str]) -> Sheet {
    let stack: Vec<Value> = fabrics
        .iter()
        .map(|fabric| json!({ "fabric": fabric, "count": 2 }))
        .collect();
    sheet_from(
        &plan(&json!({ "route": route, "stack": stack })),
        Shelf::generic(),
    )
    .unwrap()
}

fn cautions(sheet: &Sheet, stage: StageName) -> Vec<&str> {
    sheet
        .notes
        .iter()
        .filter(|note| note.stage == stage && note.weight == Weight::Caution)
        .map(|note| note.sentence.as_str())
        .collect()
}

/// All that warns: the cautions of the stages and the care of each step.
fn warnings(sheet: &Sheet) -> String {
    let notes = sheet
        .notes
        .iter()
        .filter(|note| note.weight == Weight::Caution);
    let steps = sheet.day.iter().flat_map(|day| &day.steps);
    notes
        .map(|note| note.sentence.as_str())
        .chain(steps.map(|step| step.care.as_str()))
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn dust_is_that_of_the_fibres_in_the_stack() {
    // Fabrics; what must be named where it is cut; and what must not be named anywhere.
    let rows: [(&[&str], &[&str], &[&str]); 7] = [
        (
            &["flax_twill_300"],
            &["Dust of flax harms", "flax dust in the air can explode"],
            &["Carbon dust", "Aramid frays", "of glass"],
        ),
        (
            &["carbon_twill_200"],
            &["Dust of carbon harms", "Carbon dust conducts"],
            &["flax", "Flax", "explode", "sparks", "of glass"],
        ),
        (
            &["glass_twill_280"],
            &["Dust of glass harms"],
            &["flax", "Flax", "explode", "Carbon"],
        ),
        (
            &["aramid_twill_170"],
            &["Dust of aramid harms", "Aramid frays"],
            &["flax", "explode", "Carbon"],
        ),
        (
            &["flax_twill_300", "carbon_twill_200"],
            &[
                "Dust of flax and carbon harms",
                "flax dust in the air can explode",
                "Carbon dust conducts",
            ],
            &["Aramid"],
        ),
        (
            &["glass_twill_280", "balsa_10", "glass_twill_280"],
            &[
                "Dust of glass and balsa harms",
                "balsa dust in the air can explode",
            ],
            &["flax", "Carbon"],
        ),
        (
            &["hemp_plain_300", "cork_5", "pet_foam_10"],
            &["Dust of hemp, cork and foam harms", "hemp dust"],
            &["flax dust", "Carbon"],
        ),
    ];
    for (fabrics, told, never) in rows {
        for route in ROUTES {
            if route == "prepreg" && fabrics.len() > 1 {
                continue;
            }
            let sheet = made(route, fabrics);
            let cut = cautions(&sheet, StageName::Stack).join("\n");
            for words in told {
                assert!(cut.contains(words), "{route} {fabrics:?}: {words}\n{cut}");
            }
            let trim = cautions(&sheet, StageName::Trim).join("\n");
            for words in ["P3 mask", "goggles", "ear defenders", "resin"] {
                assert!(trim.contains(words), "{route} {fabrics:?}: {words}\n{trim}");
            }
            let dusty = format!(
                "{cut}\n{trim}\n{}",
                sheet
                    .day
                    .iter()
                    .flat_map(|day| &day.steps)
                    .filter(|step| step.key == "trim")
                    .map(|step| step.care.as_str())
                    .collect::<String>()
            );
            for words in never {
                assert!(
                    !dusty.contains(words),
                    "{route} {fabrics:?}: {words}\n{dusty}"
                );
            }
        }
    }
}

#[test]
fn each_way_of_moulding_has_its_cautions_once() {
    let wet = [
        "never solvent",
        "rinse with water for 15 minutes",
        "never a jet of water",
        "closed metal bin",
        "by your local rules",
        "Nitrile gloves",
        "cured edges are sharp",
    ];
    for route in ROUTES {
        let sheet = made(route, &["flax_twill_300"]);
        let all = warnings(&sheet);
        if route == "prepreg" {
            assert!(
                all.contains("never solvent") && !all.contains("closed metal bin"),
                "{all}"
            );
        } else {
            for words in wet {
                assert!(all.contains(words), "{route}: {words}\n{all}");
            }
        }
        assert_eq!(
            all.contains("Bag wet resin"),
            route == "bagged_wet",
            "{route}"
        );
        assert!(all.contains("fresh blade") && all.contains("release carries solvent"));
        // Nothing warns twice in the same words.
        let mut said: Vec<&str> = sheet
            .notes
            .iter()
            .map(|note| note.sentence.as_str())
            .collect();
        said.sort_unstable();
        let before = said.len();
        said.dedup();
        assert_eq!(said.len(), before, "{route}: the same note stands twice");
        assert!(
            sheet.comes_first.contains("safety sheet") && sheet.comes_first.contains("marking")
        );
    }
}

#[test]
fn a_turning_tool_warns_of_what_it_does() {
    for (tool, words) in [
        ("cutting_disc_75", "can burst"),
        ("flap_disc_115", "can burst"),
        ("router_6", "can break and fly"),
        ("jigsaw_grit", ""),
        ("hand_sanding_block", ""),
    ] {
        let sheet = sheet_from(
            &plan(&json!({ "trim": { "tool": tool } })),
            Shelf::generic(),
        )
        .unwrap();
        let found = cautions(&sheet, StageName::Trim).join("\n");
        assert!(found.contains(words), "{tool}: {found}");
        if words.is_empty() {
            assert!(!found.contains("burst") && !found.contains("fly"), "{tool}");
        } else {
            assert!(found.contains("guard") && found.contains("mark"), "{tool}");
        }
    }
}
