//! The pots in depth: vessels, batches, what was weighed, equivalents, and resins with odd data sheets.

use crate::{PotTemper, PotsSheet, Sheet, Shelf, sheet_from};
use serde_json::{Value, json};

fn plan(mix: &Value) -> Value {
    json!({
        "format": 1, "name": "Test", "part": { "area_m2": 0.6, "flow_length_mm": 300 }, "route": "infusion",
        "stack": [{ "fabric": "flax_twill_300", "count": 4, "angle_deg": 0 }],
        "room": { "temperature_c": 20, "humidity_pct": 55 },
        "bag": { "pressure_mbar_abs": 15, "flow_mesh": false }, "resin": "infusion_epoxy_slow", "mix": mix,
    })
}

fn sheet(mix: &Value) -> Sheet {
    sheet_from(&plan(mix), Shelf::generic()).unwrap()
}

fn pots(mix: &Value) -> PotsSheet {
    sheet(mix).pots.unwrap()
}

fn says(sheet: &Sheet, words: &str) -> bool {
    sheet.notes.iter().any(|note| note.sentence.contains(words))
}

fn grams(text: &str) -> f64 {
    text.split('\u{a0}').next().unwrap().parse().unwrap()
}

#[test]
fn the_vessel_in_hand_counts_everywhere() {
    let cup = sheet(&json!({}));
    let tray = sheet(&json!({ "pot_kind": "tray" }));
    let (a, b) = (cup.pots.unwrap(), tray.pots.unwrap());
    assert!(b.pot.use_by_min.likely > 1.5 * a.pot.use_by_min.likely);
    assert_eq!(tray.mix.use_within_min, b.pot.use_by_min);
    assert_eq!(
        (tray.mix.pot_temper, cup.mix.pot_temper),
        (PotTemper::Calm, PotTemper::Dangerous)
    );
    assert_eq!(b.vessels.iter().filter(|vessel| vessel.this).count(), 1);
    let deep = pots(&json!({ "pot_kind": "tray", "pot_mm": 80, "pot_length_mm": 80 }));
    assert!(
        deep.pot.depth_mm.likely > 40.0 && deep.pot.use_by_min.likely < b.pot.use_by_min.likely
    );
}

#[test]
fn warm_resin_and_a_water_bath_pull_the_other_way() {
    let life = |mix: Value| pots(&mix).pot.use_by_min.likely;
    let usual = life(json!({}));
    assert!(life(json!({ "resin_c": 34 })) < usual);
    assert!(
        life(json!({ "pot_kind": "bath", "bath_c": 8 }))
            > life(json!({ "pot_kind": "bath", "bath_c": 20 }))
    );
    assert!(life(json!({ "pot_kind": "bath" })) > usual);
    assert!(says(
        &sheet(&json!({ "resin_c": 45 })),
        "Resin warmed above 35"
    ));
}

#[test]
fn no_pot_shows_a_peak() {
    // The hazard is a class: nothing in the part of the pot is hotter than what hands can hold.
    let sheet = pots(&json!({ "largest_pot_g": 5000 }));
    assert_eq!(sheet.pot.temper, PotTemper::Dangerous);
    for [_, up] in sheet.pot.chart.lines.iter().flat_map(|line| &line.points) {
        assert!(*up <= 60.0, "{up}");
    }
    assert!(!serde_json::to_string(&sheet.pot).unwrap().contains("peak"));
}

#[test]
fn a_contained_hundred_grams_is_never_safer_than_published() {
    // A maker's safety page: 100 g contained can reach 204 C.
    let sheet = pots(&json!({ "largest_pot_g": 110 }));
    assert_eq!(sheet.pot.temper, PotTemper::Dangerous, "{}", sheet.pot.name);
}

#[test]
fn batches_come_to_the_whole_in_steps_of_the_scale() {
    for (step, most) in [(1.0, 500.0), (5.0, 300.0), (0.1, 130.0)] {
        let sheet = sheet(&json!({ "scale_step_g": step, "largest_pot_g": most }));
        let pots = sheet.pots.unwrap();
        assert_eq!(pots.batches.len(), sheet.mix.pots.len());
        let (mut resin, mut hardener) = (0.0, 0.0);
        for batch in &pots.batches {
            let (r, h) = (grams(&batch.resin), grams(&batch.hardener));
            for mass in [r, h] {
                assert!(
                    (mass / step - (mass / step).round()).abs() < 1e-6,
                    "{mass} {step}"
                );
            }
            assert!((grams(&batch.total) - r - h).abs() < 1e-6);
            resin += r;
            hardener += h;
        }
        assert!((resin - sheet.mix.resin_g.likely).abs() <= 0.5 * step + 1e-6);
        assert!((hardener - sheet.mix.hardener_g.likely).abs() <= 0.5 * step + 1e-6);
    }
}

#[test]
fn the_feed_never_runs_dry() {
    let pots = pots(&json!({ "largest_pot_g": 200, "stir_min": 5 }));
    assert!(pots.batches.len() > 5);
    for pair in pots.batches.windows(2) {
        assert!(
            pair[0].mix_at.likely + 5.0 <= pair[1].mix_at.likely + 1e-6,
            "one pair of hands"
        );
        assert!(
            pair[1].mix_at.likely + 6.0 <= pair[1].pour_at.likely + 1e-6,
            "ready when it is wanted, though hands are slow"
        );
    }
    assert!(pots.fill_in_turn_min.is_some());
    let mut quick = plan(&json!({ "largest_pot_g": 5000 }));
    quick["bag"]["flow_mesh"] = json!(true);
    let one = sheet_from(&quick, Shelf::generic()).unwrap();
    assert!(one.mix.pots.len() == 1 && one.pots.unwrap().fill_in_turn_min.is_none());
}

#[test]
fn what_must_stand_when_the_feed_opens_is_told_with_its_number() {
    let quick = sheet(&json!({ "largest_pot_g": 300 }));
    let pots = quick.pots.as_ref().unwrap();
    let ready = pots
        .batches
        .iter()
        .filter(|batch| batch.mix_at.likely + 7.0 <= 1e-6)
        .count();
    assert!(ready > 1, "{:?}", pots.batches);
    assert!(
        pots.turn
            .iter()
            .any(|told| told.starts_with(&format!("{ready} of them must stand mixed"))),
        "{:?}",
        pots.turn
    );
    assert!(!says(&quick, "Do not mix the pots at once"));
    let few = sheet(&json!({ "largest_pot_g": 5000 }));
    assert!(
        !few.pots
            .unwrap()
            .turn
            .iter()
            .any(|told| told.contains("must stand mixed"))
    );
}

#[test]
fn too_light_for_the_scale_is_put_right_in_scale_and_vessel_at_once() {
    let light = sheet(&json!({ "largest_pot_g": 60 }));
    assert!(says(&light, "steps of 0.2\u{a0}g") && says(&light, "where it stays calm"));
    let fine = sheet(&json!({ "largest_pot_g": 60, "scale_step_g": 0.2 }));
    assert!(!says(&fine, "your scale weighs well enough"));
}

#[test]
fn what_flows_in_while_the_feed_stays_open_is_mixed_too() {
    let drawn = |minutes: f64| {
        let mut job = plan(&json!({}));
        job["bag"]["feed_open_min"] = json!(minutes);
        let mix = sheet_from(&job, Shelf::generic()).unwrap().mix;
        let row = mix
            .losses
            .iter()
            .find(|loss| loss.key == "drawn_after")
            .unwrap();
        (row.grams.likely, mix.resin_to_mix_g.likely)
    };
    let (none, short, long) = (drawn(0.0), drawn(5.0), drawn(60.0));
    assert!(
        none.0 == 0.0 && short.0 > 20.0 && long.0 > short.0,
        "{none:?} {short:?} {long:?}"
    );
    assert!(short.1 - none.1 >= short.0 && long.1 > short.1);
}

#[test]
fn fresh_batches_fill_sooner_than_one_that_ages() {
    // A run so long that resin has time to age on its way.
    let long = |mix: &Value| {
        let mut plan = plan(mix);
        plan["part"]["flow_length_mm"] = json!(700);
        sheet_from(&plan, Shelf::generic()).unwrap()
    };
    let one = long(&json!({ "largest_pot_g": 5000 })).fill.unwrap();
    let one = one.time_min.likely;
    let turn = long(&json!({ "largest_pot_g": 400, "stir_min": 2 }))
        .pots
        .unwrap();
    let turn = turn.fill_in_turn_min.unwrap().likely;
    assert!(turn < one && turn > 0.5 * one, "{turn} {one}");
}

#[test]
fn what_was_weighed_is_put_right_by_what_it_says() {
    let weighed = |resin: f64, hardener: f64| {
        pots(&json!({ "weighed_resin_g": resin, "weighed_hardener_g": hardener }))
            .weighed
            .unwrap()
    };
    let good = weighed(385.0, 116.0);
    assert_eq!(good.verdict, "within");
    // Two and five percent to the last digit.
    assert_eq!(weighed(500.0, 153.0).verdict, "within");
    assert_eq!(weighed(500.0, 157.5).verdict, "care");
    assert!(good.off_pct.low < good.off_pct.likely && good.off_pct.likely < good.off_pct.high);
    for (resin, hardener, verdict) in [
        (385.0, 111.0, "care"),
        (385.0, 130.0, "outside"),
        (385.0, 80.0, "outside"),
        (385.0, 20.0, "outside"),
    ] {
        let off = weighed(resin, hardener);
        assert_eq!(off.verdict, verdict, "{}", off.sentence);
        let add = off.sentence.split("stir in ").nth(1).unwrap();
        let mass = grams(add);
        let (r, h) = if add.split("of ").nth(1).unwrap().starts_with("resin") {
            (resin + mass, hardener)
        } else {
            (resin, hardener + mass)
        };
        assert_eq!(weighed(r, h).verdict, "within", "{}", off.sentence);
    }
    assert!(weighed(385.0, 20.0).sentence.contains("not set throughout"));
    // Too much to put right, and the two swapped: neither is added to, nor hardened in its pot.
    for (resin, hardener, words) in [
        (300.0, 300.0, "not set throughout"),
        (90.0, 300.0, "look swapped"),
    ] {
        let off = weighed(resin, hardener);
        assert!(off.sentence.contains(words) && off.sentence.contains("Do not add to it"));
        assert!(!off.sentence.contains("stir in"), "{}", off.sentence);
    }
    assert!(weighed(385.0, 130.0).sentence.contains("harms skin"));
    assert!(weighed(385.0, 111.0).sentence.contains("never reacts"));
    assert!(pots(&json!({})).weighed.is_none());
    let half = sheet_from(&plan(&json!({ "weighed_resin_g": 385 })), Shelf::generic()).unwrap_err();
    assert_eq!(half[0].field, "mix.weighed_hardener_g");
}

#[test]
fn equivalents_of_the_published_example() {
    // Resin-chemistry blog, How to calculate epoxy equivalent, May 2022: 209 g/eq, 20.6 parts with an amine of 43.
    let blend = json!({ "eew_g_eq": 189, "diluent_eew_g_eq": 183, "diluent_pct": 10, "filler_pct": 10, "ahew_g_eq": 43 });
    let before = sheet(&json!({}));
    let after = sheet(&blend);
    let formula = after.pots.as_ref().unwrap().formula.clone().unwrap();
    assert!(
        (formula.eew_g_eq.likely - 209.0).abs() < 0.5
            && (formula.per_hundred.likely - 20.6).abs() < 0.06
    );
    assert_eq!(
        before.mix.hardener_g, after.mix.hardener_g,
        "a stated ratio is never reckoned anew"
    );
    // Teaching page on hardeners: 20.6 over 200 asks for 10.3 parts.
    let amine = pots(&json!({ "eew_g_eq": 200, "ahew_g_eq": 20.6 }))
        .formula
        .unwrap();
    assert!((amine.per_hundred.likely - 10.3).abs() < 0.01);
    // Arithmetic: 60/40 of 60 and 42.6 is 51.6; over 190 that is 27.1 parts.
    let two = pots(
        &json!({ "eew_g_eq": 190, "ahew_g_eq": 42.6, "second_ahew_g_eq": 60, "second_pct": 60 }),
    )
    .formula
    .unwrap();
    assert!(
        (two.ahew_g_eq.likely - 51.6).abs() < 0.06 && (two.per_hundred.likely - 27.1).abs() < 0.06
    );
    // A typed range comes through; a part typed by half is told and left out.
    let ranged =
        pots(&json!({ "eew_g_eq": { "low": 180, "likely": 190, "high": 200 }, "ahew_g_eq": 43 }))
            .formula
            .unwrap();
    assert!(ranged.per_hundred.low < 22.2 && ranged.per_hundred.high > 23.0);
    let half = sheet(&json!({ "eew_g_eq": 190, "ahew_g_eq": 43, "diluent_pct": 20 }));
    assert!(says(&half, "count only together"));
    let half = half.pots.unwrap().formula.unwrap();
    assert!((half.per_hundred.likely - 100.0 * 43.0 / 190.0).abs() < 0.01);
    let much = sheet(
        &json!({ "eew_g_eq": 189, "ahew_g_eq": 43, "filler_pct": 60, "diluent_eew_g_eq": 150, "diluent_pct": 50 }),
    );
    assert!(says(&much, "less than 100 percent") && much.pots.unwrap().formula.is_none());
}

#[test]
fn degassing_counts_against_the_pot() {
    let long = sheet(&json!({ "degas_min": 90 }));
    assert!(says(
        &long,
        "past its time before it is stirred and degassed"
    ));
    assert!(!says(&sheet(&json!({ "degas_min": 5 })), "vacuum pot take"));
}

#[test]
fn odd_data_sheets_still_give_a_sheet() {
    for meaning in ["gel", "ten_degrees", "doubled"] {
        for life in [3.0, 40.0, 3000.0] {
            for mass in [20.0, 5000.0] {
                for celsius in [5.0, 40.0] {
                    let resin = json!({
                        "name": "Odd", "hardener_per_100": 30, "density_resin_g_ml": 1.15, "density_hardener_g_ml": 0.95,
                        "density_cured_g_cm3": 1.15, "viscosity_mpa_s": 300, "pot_life_min": life, "pot_life_g": mass,
                        "pot_life_c": celsius, "pot_life_meaning": meaning, "tg_ultimate_c": 90, "modulus_gpa": 3.2,
                    });
                    let mut odd = plan(&json!({}));
                    odd["resin"] = resin;
                    let sheet = sheet_from(&odd, Shelf::generic());
                    let sheet = sheet
                        .unwrap_or_else(|why| panic!("{meaning} {life} {mass} {celsius}: {why:?}"));
                    assert!(
                        sheet.pots.is_some() && sheet.setting.is_some() && sheet.day.is_some(),
                        "{meaning} {life} {mass} {celsius}: {:?}",
                        sheet.notes
                    );
                }
            }
        }
    }
}

#[test]
fn curves_pass_through_what_they_mark() {
    let pots = pots(&json!({}));
    for (chart, names) in [
        (&pots.thickens, vec!["fill ends", "pot to be used up"]),
        (
            &pots.converts,
            vec!["fill ends", "pot to be used up", "gel"],
        ),
    ] {
        let found: Vec<&str> = chart.marks.iter().map(|mark| mark.name.as_str()).collect();
        assert_eq!(found, names);
        let points = &chart.lines[0].points;
        for mark in &chart.marks {
            let after = points.iter().position(|p| p[0] >= mark.at[0]).unwrap();
            let (a, b) = (points[after.saturating_sub(1)], points[after]);
            let share = if b[0] > a[0] {
                (mark.at[0] - a[0]) / (b[0] - a[0])
            } else {
                0.0
            };
            let on = a[1] + share * (b[1] - a[1]);
            assert!(
                (on / mark.at[1] - 1.0).abs() < 0.03,
                "{}: {on} {}",
                mark.name,
                mark.at[1]
            );
        }
        assert!(points.windows(2).all(|pair| pair[1][1] >= pair[0][1]));
    }
}

#[test]
fn the_class_and_the_largest_calm_batch_agree() {
    // A pot is called calm only if it is no larger than what stays calm with the fastest hardener it may be.
    for (room, most) in [(15, 200.0), (20, 450.0), (30, 450.0), (30, 90.0)] {
        let mut job = plan(&json!({ "largest_pot_g": most }));
        job["room"]["temperature_c"] = json!(room);
        let pots = sheet_from(&job, Shelf::generic()).unwrap().pots.unwrap();
        for vessel in &pots.vessels {
            if vessel.temper != PotTemper::Calm {
                assert!(
                    pots.pot.mass_g.likely > 0.8 * vessel.largest_calm.low,
                    "{room} {most} {}: {:?}",
                    vessel.name,
                    vessel.largest_calm
                );
            } else {
                assert!(
                    pots.pot.mass_g.likely < 1.6 * vessel.largest_calm.high,
                    "{room} {most} {}: {:?}",
                    vessel.name,
                    vessel.largest_calm
                );
            }
        }
        let this = pots.vessels.iter().find(|vessel| vessel.this).unwrap();
        assert_eq!(this.temper, pots.pot.temper);
        assert_eq!(this.use_by.low, pots.pot.use_by_min.low);
    }
}

#[test]
fn nothing_is_said_twice_about_the_pot() {
    let cup = sheet(&json!({}));
    assert!(says(&cup, "pour it into a wide tray at once"));
    assert!(says(&cup, "Put no lid on mixed resin"));
    assert!(!says(&cup, "pour it out in time"));
    let bucket = sheet(&json!({ "pot_kind": "bucket", "pot_mm": 120 }));
    assert!(says(&bucket, "in a bucket can smoke and burn"));
    assert!(!says(&bucket, "A cup of"));
    // A hundred grams is where nobody leaves a pot alone.
    let little = sheet(&json!({ "largest_pot_g": 80 }));
    assert!(!says(&little, "Put no lid on mixed resin"));
}

#[test]
fn odd_amounts_still_give_pots() {
    for mix in [
        json!({ "weighed_resin_g": 0.1, "weighed_hardener_g": 0.1, "scale_step_g": 50 }),
        json!({ "weighed_resin_g": 1e6, "weighed_hardener_g": 0.1, "scale_step_g": 0.01 }),
        json!({ "weighed_resin_g": 0.1, "weighed_hardener_g": 1e6 }),
        json!({ "eew_g_eq": 5000, "ahew_g_eq": 10, "filler_pct": 90 }),
        json!({ "eew_g_eq": 50, "ahew_g_eq": 1000, "second_ahew_g_eq": 1000, "second_pct": 100 }),
        json!({ "pot_kind": "tray", "pot_mm": 30, "pot_length_mm": 30, "largest_pot_g": 20000 }),
        json!({ "pot_kind": "bath", "bath_c": 0, "resin_c": 5 }),
        json!({ "resin_c": 60, "stir_min": 60, "degas_min": 240 }),
        json!({ "scale_step_g": 50, "largest_pot_g": 20 }),
    ] {
        let sheet = sheet_from(&plan(&mix), Shelf::generic());
        let sheet = sheet.unwrap_or_else(|why| panic!("{mix}: {why:?}"));
        let pots = sheet.pots.as_ref();
        assert!(pots.is_some(), "{mix}: {:?}", sheet.notes);
        assert!(pots.is_some_and(|pots| !pots.batches.is_empty()), "{mix}");
    }
}

#[test]
fn a_fast_hardener_is_told_before_it_is_met() {
    // Near its limit a tray is calm as is likely, and not where the hardener is quicker.
    let mut job = plan(
        &json!({ "largest_pot_g": 700, "pot_kind": "tray", "pot_mm": 220, "pot_length_mm": 250 }),
    );
    job["resin"] = json!("infusion_epoxy_medium");
    job["room"]["temperature_c"] = json!(17);
    let sheet = sheet_from(&job, Shelf::generic()).unwrap();
    let pots = sheet.pots.as_ref().unwrap();
    assert_eq!(pots.pot.temper, PotTemper::Warm);
    assert!(
        pots.pot.sentence.contains("quicker than its sheet says"),
        "{}",
        pots.pot.sentence
    );
    assert!(says(
        &sheet,
        "Never leave more than 100\u{a0}g of mixed resin alone"
    ));
    // A tray that has no size yet is taken as shallow as stays calm.
    job["mix"] = json!({ "largest_pot_g": 700, "pot_kind": "tray" });
    let shallow = sheet_from(&job, Shelf::generic()).unwrap().pots.unwrap();
    assert_eq!(shallow.pot.temper, PotTemper::Calm);
    assert!(shallow.pot.depth_mm.likely < pots.pot.depth_mm.likely);
    job["resin"] = json!("infusion_epoxy_slow");
    let slow = sheet_from(&job, Shelf::generic()).unwrap().pots.unwrap();
    assert!(
        !slow.pot.sentence.contains("quicker"),
        "{}",
        slow.pot.sentence
    );
}

#[test]
fn a_fill_quicker_than_the_mixing_asks_for_other_ways_than_a_slow_one() {
    let mut quick = plan(&json!({ "largest_pot_g": 150, "stir_min": 10 }));
    quick["bag"]["flow_mesh"] = json!(true);
    let quick = sheet_from(&quick, Shelf::generic()).unwrap();
    assert!(says(&quick, "weigh all of it out beforehand"));
    assert!(!says(&quick, "mix smaller batches"));
    let notes: Vec<_> = quick.pots.unwrap().batches;
    assert!(
        notes
            .iter()
            .any(|batch| batch.note.contains("longer than it should"))
    );
}
