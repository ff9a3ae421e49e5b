//! Hardness of thin layers, what is typed of it, pots in the cold, post-cures and their ways out, the part in service.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{Sheet, Shelf, sheet_from};
use serde_json::{Value, json};

fn plan(more: &Value) -> Value {
    let mut plan = json!({
        "part": { "area_m2": 0.5, "flow_length_mm": 250 },
        "bag": { "flow_mesh": true },
        "room": { "temperature_c": 23 },
        "stack": [{ "fabric": "flax_twill_300", "count": 3 }],
    });
    for (key, value) in more.as_object().unwrap() {
        plan[key] = value.clone();
    }
    plan
}

fn sheet(more: &Value) -> Sheet {
    sheet_from(&plan(more), Shelf::generic()).unwrap()
}

/// A resin by its pot life [min] at 25 degrees.
fn resin(minutes: f64) -> Value {
    json!({
        "name": "One of ours", "hardener_per_100": 28, "density_resin_g_ml": 1.14, "density_hardener_g_ml": 0.96,
        "density_cured_g_cm3": 1.15, "viscosity_mpa_s": 310, "viscosity_at_c": 25, "pot_life_min": minutes,
        "pot_life_g": 100, "pot_life_c": 25, "pot_life_meaning": "gel", "tg_ultimate_c": 92, "modulus_gpa": 3.2,
    })
}

fn with(resin: &Value, more: &Value) -> Value {
    let mut resin = resin.clone();
    for (key, value) in more.as_object().unwrap() {
        resin[key] = value.clone();
    }
    resin
}

#[test]
fn a_fast_hardener_is_not_off_its_mould_too_soon() {
    // Data sheets of hardeners with pot lives of 10 to 40 minutes, from memory: 30 to 45 times the pot life. What set
    // the prior is no evidence for it: this holds it to having arrived on the sheet, fast and slow in order.
    let mut before = 0.0;
    for minutes in [10.0, 20.0, 39.0, 115.0, 240.0] {
        let found = sheet(&json!({ "resin": resin(minutes), "room": { "temperature_c": 25 } }));
        let demould = found.cure.unwrap().demould_h;
        let ratio = 60.0 * demould.likely / minutes;
        if minutes < 40.0 {
            assert!(ratio > 28.0 && ratio < 45.0, "{minutes}: {ratio}");
            assert!(
                60.0 * demould.high / minutes > 44.0,
                "{minutes}: {demould:?}"
            );
        }
        assert!(demould.likely > before * 0.97, "{minutes}: {demould:?}");
        before = demould.likely;
    }
}

#[test]
fn what_its_own_sheet_says_of_a_thin_layer_wins() {
    for (minutes, hours, celsius) in [
        (12.0, 5.0, 25.0),
        (12.0, 9.0, 20.0),
        (25.0, 16.0, 23.0),
        (40.0, 8.0, 25.0),
        (90.0, 24.0, 23.0),
        (90.0, 60.0, 20.0),
        (200.0, 30.0, 20.0),
    ] {
        let typed = json!({ "film_off_h": hours, "film_c": celsius });
        let in_plan =
            json!({ "resin": resin(minutes), "room": { "temperature_c": celsius }, "cure": typed });
        let in_resin =
            json!({ "resin": with(&resin(minutes), &typed), "room": { "temperature_c": celsius } });
        for more in [in_plan, in_resin] {
            let found = sheet(&more);
            let demould = found.cure.unwrap().demould_h;
            // Its own heat brings a fast one forward a little, even at two millimetres.
            assert!(
                demould.likely < 1.06 * hours && demould.likely > 0.86 * hours,
                "{minutes} {hours}: {demould:?}"
            );
            assert!(demould.low < hours && demould.high > hours);
            // A stated time carries no more doubt than its reading and the warmth of the shop.
            assert!(
                demould.high / demould.low < 2.2,
                "{minutes} {hours}: {demould:?}"
            );
        }
        // Set, or hard enough to walk on, comes before the mould.
        let set = json!({ "film_set_h": hours, "film_c": celsius });
        let later = sheet(
            &json!({ "resin": resin(minutes), "room": { "temperature_c": celsius }, "cure": set }),
        );
        assert!(later.cure.unwrap().demould_h.likely > 1.02 * hours);
    }
}

#[test]
fn typed_or_not_warmth_makes_it_sooner_and_harder() {
    for (minutes, more) in [
        (12.0, json!({})),
        (30.0, json!({})),
        (110.0, json!({})),
        (12.0, json!({ "film_off_h": 30, "film_c": 20 })),
        (60.0, json!({ "film_off_h": 9, "film_c": 23 })),
        (200.0, json!({ "film_set_h": 20, "film_c": 20 })),
    ] {
        let (mut gel, mut off, mut tg) = (f64::MAX, f64::MAX, f64::MIN);
        for celsius in (0..=40).step_by(10) {
            let found = sheet(&json!({
                "resin": with(&resin(minutes), &more), "room": { "temperature_c": celsius },
            }));
            let cure = found.cure.unwrap();
            let fill = found.fill.unwrap();
            assert!(fill.gel_min.likely < gel, "{minutes} {celsius}");
            assert!(cure.demould_h.likely < off + 1e-6, "{minutes} {celsius}");
            assert!(cure.tg_c.likely > tg, "{minutes} {celsius}");
            (gel, off, tg) = (fill.gel_min.likely, cure.demould_h.likely, cure.tg_c.likely);
        }
    }
}

#[test]
fn it_says_that_figures_agree_only_where_they_do() {
    for celsius in [14, 19, 24, 32] {
        for key in [
            "infusion_epoxy_slow",
            "infusion_epoxy_medium",
            "infusion_epoxy_fast",
        ] {
            let found = sheet(&json!({ "resin": key, "room": { "temperature_c": celsius } }));
            let off = found.cure.unwrap().demould_h.likely;
            let said = found.notes.iter().any(|note| {
                note.sentence.contains("on the mould")
                    && note.sentence.contains("these figures agree")
            });
            assert_eq!(said, (18.0..=30.0).contains(&off), "{key} {celsius}: {off}");
        }
    }
}

#[test]
fn a_pot_in_the_cold_slows_down_about_sixfold() {
    // Gel of 100 g from 35 to 10 degrees: about sixfold in room-temperature systems, second-hand.
    for key in [
        "infusion_epoxy_slow",
        "infusion_epoxy_medium",
        "infusion_epoxy_fast",
    ] {
        let gel = |celsius: f64| {
            let found = sheet(&json!({
                "resin": key, "room": { "temperature_c": celsius }, "bag": { "feed_tube_m": 0.2, "spiral_m": 0.2 },
                "part": { "area_m2": 0.03, "flow_length_mm": 100 },
            }));
            let pot = found.pots.unwrap().pot;
            assert!(
                pot.mass_g.likely > 60.0 && pot.mass_g.likely < 180.0,
                "{:?}",
                pot.mass_g.likely
            );
            pot.gel_min.likely
        };
        let fold = gel(10.0) / gel(35.0);
        assert!(fold > 4.5 && fold < 11.0, "{key}: {fold}");
    }
}

#[test]
fn pot_lives_that_end_at_a_temperature_are_read() {
    for (meaning, minutes) in [("at_50_c", 40.0), ("at_40_c_less", 30.0), ("doubled", 30.0)] {
        let told = with(
            &resin(minutes),
            &json!({ "pot_life_meaning": meaning, "pot_life_c": 20 }),
        );
        let found = sheet(&json!({ "resin": told }));
        let says_no = found
            .notes
            .iter()
            .any(|note| note.sentence.starts_with("No hardener of this kind"));
        assert!(!says_no, "{meaning}");
    }
}

/// The first number before a unit in a sentence, after some words.
fn number_after(sentence: &str, words: &str, unit: &str) -> Option<f64> {
    let rest = &sentence[sentence.find(words)? + words.len()..];
    let words: Vec<&str> = rest.split([' ', '\u{a0}', ',', ';']).collect();
    let place = words
        .iter()
        .position(|word| word.trim_end_matches('.') == unit)?;
    words.get(place.checked_sub(1)?)?.parse().ok()
}

#[test]
fn every_way_out_of_a_post_cure_that_softens_leads_out() {
    let mut followed = 0;
    for key in [
        "infusion_epoxy_slow",
        "infusion_epoxy_fast",
        "laminating_epoxy",
    ] {
        for (top, ramp, after, room) in [
            (120.0, None, 24.0, 20.0),
            (120.0, Some(5.0), 72.0, 23.0),
            (70.0, Some(60.0), 24.0, 21.0),
            (60.0, None, 8.0, 20.0),
            (80.0, None, 24.0, 16.0),
            (95.0, Some(2.0), 24.0, 25.0),
            (50.0, None, 24.0, 18.0),
        ] {
            let mut cure = json!({ "post_c": top, "post_h": 8, "post_after_h": after });
            if let Some(ramp) = ramp {
                cure["post_ramp_k_h"] = json!(ramp);
            }
            let more = |cure: &Value| json!({ "resin": key, "room": { "temperature_c": room }, "cure": cure });
            let post = sheet(&more(&cure)).setting.unwrap().post.unwrap();
            let said = &post.sentence;
            assert_eq!(
                said.contains("you typed"),
                said.contains("Warm more slowly") && ramp.is_some()
            );
            if !post.softens {
                continue;
            }
            if top > 100.0 {
                assert!(
                    said.contains("hotter than this resin ever stands"),
                    "{said}"
                );
            }
            let mut ways = vec![("post_on_mould", json!(true), None)];
            if let Some(slow) = number_after(said, "by no more than about", "K/h") {
                ways.push(("post_ramp_k_h", json!(0.9 * slow), None));
            }
            if let (Some(cool), Some(slow)) = (
                number_after(said, "at no more than", "°C"),
                number_after(said, "warmed by no more than", "K"),
            ) {
                ways.push(("post_c", json!(cool), Some(slow)));
            }
            for (name, value, slow) in ways {
                let mut other = cure.clone();
                other[name] = value;
                if let Some(slow) = slow {
                    other["post_ramp_k_h"] = json!(slow);
                }
                let found = sheet(&more(&other));
                let still = found.notes.iter().any(|note| {
                    note.sentence.starts_with("The post-cure softens")
                        || note.sentence.starts_with("The part is still too soft")
                        || note.sentence.starts_with("The post-cure is hotter")
                });
                let after = found.setting.unwrap().post.unwrap();
                assert!(
                    !still && (name == "post_on_mould" || !after.softens),
                    "{key} {said}\n{other}\n{}",
                    after.sentence
                );
                followed += 1;
            }
        }
    }
    assert!(followed > 15, "{followed}");
}

#[test]
fn post_cures_take_as_long_as_the_warming_beside_them() {
    for (key, room) in [
        ("infusion_epoxy_slow", 18),
        ("infusion_epoxy_fast", 21),
        ("infusion_epoxy_slow", 25),
    ] {
        let found = sheet(&json!({ "resin": key, "room": { "temperature_c": room } }));
        for (row, (top, hours)) in found.setting.unwrap().posts.iter().zip([
            (40.0, 24.0),
            (50.0, 16.0),
            (60.0, 8.0),
            (70.0, 5.0),
        ]) {
            let rise = top - f64::from(room);
            let least = rise / row.fastest.likely + hours;
            assert!(
                row.takes.text == "not yet" || row.takes.likely > least - 0.6,
                "{row:?}"
            );
        }
    }
}

#[test]
fn nothing_is_said_of_service_before_it_is_asked() {
    let silent = sheet(&json!({ "service": { "air_c": 30, "wet": true } }));
    assert!(silent.setting.unwrap().service.is_none());
    let typed = sheet(&json!({ "service": { "temperature_c": 25 } }));
    let service = typed.setting.unwrap().service.unwrap();
    assert!(
        (service.part_c.likely - 25.0).abs() < 0.01
            && (service.needed_c.likely - 45.0).abs() < 0.01
    );
}

#[test]
fn darker_stiller_and_wetter_want_more() {
    let wants = |service: Value| {
        let found = sheet(&json!({ "service": service }));
        found.setting.unwrap().service.unwrap().needed_c.likely
    };
    let mut before = 0.0;
    for colour in ["white", "light_grey", "clear_flax", "grey", "black"] {
        let now = wants(json!({ "colour": colour }));
        assert!(now > before, "{colour}");
        before = now;
    }
    assert!(wants(json!({ "colour": "black", "wind": "breeze" })) < before);
    assert!(wants(json!({ "colour": "black", "back": "open" })) < before);
    assert!(wants(json!({ "colour": "black", "facing": "wall" })) < before);
    assert!((wants(json!({ "colour": "black", "wet": true })) - before - 15.0).abs() < 0.1);
}

#[test]
fn the_way_out_of_too_much_sun_leads_out() {
    let mut posted = 0;
    for key in [
        "infusion_epoxy_slow",
        "infusion_epoxy_medium",
        "laminating_epoxy",
    ] {
        for celsius in [30.0, 38.0, 44.0, 50.0, 56.0, 75.0] {
            let found = sheet(&json!({ "resin": key, "service": { "temperature_c": celsius } }));
            let warned = found
                .notes
                .iter()
                .any(|note| note.sentence.starts_with("In service the part gets"));
            let service = found.setting.unwrap().service.unwrap();
            let four_weeks = service
                .rows
                .iter()
                .find(|row| row.name.contains("four weeks"))
                .unwrap();
            assert_eq!(warned, four_weeks.stands == "no", "{}", service.sentence);
            let Some((_, named)) = service.sentence.split_once("it must be post-cured, ") else {
                continue;
            };
            if named.starts_with("hotter") {
                continue;
            }
            let top: f64 = named.split('\u{a0}').next().unwrap().parse().unwrap();
            let hours = number_after(named, "for ", "h").unwrap();
            let cure = json!({ "post_c": top, "post_h": hours, "post_ramp_k_h": 3 });
            let cured = sheet(
                &json!({ "resin": key, "service": { "temperature_c": celsius }, "cure": cure }),
            );
            let service = cured.setting.unwrap().service.unwrap();
            let row = service
                .rows
                .iter()
                .find(|row| row.name.contains("you ask for"))
                .unwrap();
            assert_ne!(row.stands, "no", "{key} {celsius}: {}", service.sentence);
            posted += 1;
        }
    }
    assert!(posted > 3, "{posted}");
}
