//! Fronts that were watched: the permeability they give, against cloths that are known and a slow fill by another road.

use super::close;
use super::meshes::{even, grid};
use super::volumes;
use bastwork::{Shelf, Watched, sheet_from, watched};
use serde_json::{Value, json};

/// Permeability of the cloth that was watched, over that of the shelf.
const TRUE: f64 = 1.7;

fn plan(front: Value) -> Value {
    json!({
        "format": 1,
        "route": "infusion",
        "part": { "area_m2": 0.3, "flow_length_mm": 600 },
        "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
        // Straight from a pot that stands as high as the part.
        "bag": { "flow_mesh": false, "feed_tube_m": 0, "spiral_m": 0, "pot_below_mm": 0 },
        "resin": "infusion_epoxy_slow",
        "fill": { "front": front }
    })
}

fn with(mut plan: Value, group: &str, key: &str, value: Value) -> Value {
    plan[group][key] = value;
    plan
}

/// Permeability of the shelf's twill along it, and across it relative to that.
fn of_shelf() -> (f64, f64) {
    let shelf = Shelf::generic();
    let Some(bastwork::Fabric::Cloth(cloth)) = shelf.fabric("flax_twill_300") else {
        panic!("a cloth");
    };
    let family = shelf.fibre(&cloth.fibre).unwrap().family;
    let weave = shelf.weave(family, cloth.architecture).unwrap();
    // What the weave states holds at one areal mass, and goes with a power of it.
    let by_mass = weave
        .permeability_by_mass
        .as_ref()
        .map_or(1.0, |(at, exponent)| {
            (cloth.areal_mass_g_m2.range.likely / at).powf(exponent.range.likely)
        });
    (
        weave.permeability_m2.range.likely * by_mass,
        weave.permeability_across.range.likely,
    )
}

/// A shelf on which the twill conducts better, so many times.
fn better(times: f64) -> Shelf {
    let (k, _) = of_shelf();
    let own =
        json!({ "learned": { "cloths": { "flax_twill_300": { "permeability_m2": k * times } } } });
    Shelf::with_own(&own).unwrap()
}

fn told(plan: &Value, shelf: &Shelf) -> Watched {
    watched(plan, shelf).unwrap().unwrap()
}

/// Minutes that the sheet has for a strip of this run, from an edge.
fn minutes(run_mm: f64, shelf: &Shelf, plan: &Value) -> f64 {
    let plan = with(plan.clone(), "part", "flow_length_mm", json!(run_mm));
    sheet_from(&plan, shelf)
        .unwrap()
        .fill
        .unwrap()
        .time_min
        .likely
}

#[test]
fn a_strip_gives_its_cloth() {
    // Time goes as length squared over permeability: the squared flow front of ISO 4410:2023 (from memory).
    let shelf = better(TRUE);
    let blank = plan(json!([]));
    let marks: Vec<Value> = [150.0, 300.0, 450.0]
        .iter()
        .map(|&mm| json!({ "min": minutes(mm, &shelf, &blank), "mm": mm }))
        .collect();
    let found = told(&plan(json!(marks)), Shelf::generic());
    let [cloth] = &found.cloths[..] else {
        panic!("{found:?}");
    };
    let (k, _) = of_shelf();
    close(cloth.value.likely, k * TRUE, 0.01, "permeability");
    assert!(cloth.value.low < k * TRUE && k * TRUE < cloth.value.high);
    assert!(!cloth.kept);
    assert!(found.sentence.contains("1.7"), "{}", found.sentence);
    // When the whole part is full, told before it is.
    let full = found.full.unwrap().text;
    let whole = minutes(600.0, &shelf, &blank);
    let number: f64 = full.split_whitespace().next().unwrap().parse().unwrap();
    close(number, whole, 0.06, &full);
    // Kept, it is what the plan counts on, and there is nothing new to say.
    let value = serde_json::to_value(cloth.value).unwrap();
    let own =
        json!({ "learned": { "cloths": { "flax_twill_300": { "permeability_m2": value } } } });
    let kept = Shelf::with_own(&own).unwrap();
    let again = told(&plan(json!(marks)), &kept);
    assert!(
        again.sentence.contains("about as easily"),
        "{}",
        again.sentence
    );
    let once_more = json!({ "learned": { "cloths": { "flax_twill_300": { "permeability_m2": serde_json::to_value(again.cloths[0].value).unwrap() } } } });
    assert!(told(&plan(json!(marks)), &Shelf::with_own(&once_more).unwrap()).cloths[0].kept);
    close(
        minutes(600.0, &kept, &blank),
        whole,
        0.02,
        "time with what was kept",
    );
}

#[test]
fn a_strip_that_was_typed_gives_the_same() {
    let shelf = better(TRUE);
    let blank = plan(json!([]));
    let measured = json!({ "strip_length_mm": 300, "strip_min": minutes(300.0, &shelf, &blank) });
    let mut strip = blank.clone();
    strip["measured"] = measured;
    let (k, _) = of_shelf();
    // The strip is read as resin that has not thickened yet.
    close(
        told(&strip, Shelf::generic()).cloths[0].value.likely,
        k * TRUE,
        0.08,
        "strip",
    );
}

#[test]
fn marks_tell_it_whatever_the_feed() {
    let shelf = better(TRUE);
    let (k, _) = of_shelf();
    for feed in ["centre", "all_round", "centre_line"] {
        let blank = with(plan(json!([])), "fill", "feed", json!(feed));
        let blank = with(blank, "part", "flow_length_mm", json!(150));
        // What the tube takes is not the cloth's.
        let blank = with(blank, "bag", "feed_tube_m", json!(2));
        let blank = with(blank, "bag", "feed_tube_bore_mm", json!(6));
        let ended = minutes(150.0, &shelf, &blank);
        let mark = json!([{ "min": ended, "ended": true }]);
        let found = told(
            &with(blank.clone(), "fill", "front", mark),
            Shelf::generic(),
        );
        close(found.cloths[0].value.likely, k * TRUE, 0.01, feed);
        assert!(found.full.is_none());
        // The far end of the way is where the mark of so many millimetres is, too.
        let mark = json!([{ "min": ended, "mm": 150 }]);
        let found = told(&with(blank, "fill", "front", mark), Shelf::generic());
        close(found.cloths[0].value.likely, k * TRUE, 0.01, feed);
    }
}

#[test]
fn places_tapped_on_a_drawn_part_give_its_cloth() {
    // An L with its feed along the end of one arm, filled slowly by control volumes, in a cloth 0.6 as easy as the shelf's.
    let (_, across) = of_shelf();
    let times = 0.6;
    let mesh = grid(
        &even(0.0, 0.5, 50),
        &even(0.0, 0.4, 40),
        |u, v| u < 0.2 || v < 0.15,
        |_, _| false,
        5,
    );
    let laid = mesh.each(|_| ([1.0, 0.0], times, times * across));
    let feeds = mesh.nodes(|p| p[1] > 0.4 - 1e-9);
    let slow = volumes::fill(&mesh, &laid, &mesh.each(|_| 1.0), &feeds, &[]);
    // What a strip of one metre of the shelf's cloth takes, so that squares of lengths become minutes; resin hardly thickens.
    let resin = json!({
        "name": "slow", "hardener_per_100": 30, "density_resin_g_ml": 1.15, "density_hardener_g_ml": 0.95,
        "density_cured_g_cm3": 1.15, "viscosity_mpa_s": 60, "viscosity_at_c": 25, "pot_life_min": 3000,
        "tg_ultimate_c": 90, "modulus_gpa": 3.2
    });
    let mut blank = plan(json!([]));
    blank["resin"] = resin;
    let metre = minutes(100.0, Shelf::generic(), &blank) * 100.0;
    let places = [[100.0, 200.0], [100.0, 60.0], [300.0, 80.0], [450.0, 40.0]];
    let marks: Vec<Value> = places
        .iter()
        .map(|&[x, y]| {
            let at = slow[mesh.nearest([x / 1000.0, y / 1000.0]) as usize];
            json!({ "min": at * 2.0 * metre, "at_mm": [x, y] })
        })
        .collect();
    let outline = json!([
        [0, 0],
        [500, 0],
        [500, 150],
        [200, 150],
        [200, 400],
        [0, 400]
    ]);
    let mut drawn = blank;
    drawn["part"] = json!({ "shape": { "form": "outline", "points_mm": outline } });
    drawn["fill"] = json!({ "lines": [{ "does": "feed", "points_mm": [[0, 400], [200, 400]] }], "front": marks });
    let found = told(&drawn, Shelf::generic());
    let (k, _) = of_shelf();
    close(
        found.cloths[0].value.likely,
        k * times,
        0.04,
        &found.sentence,
    );
}

#[test]
fn marks_that_scatter_are_less_sure() {
    let shelf = better(TRUE);
    let blank = plan(json!([]));
    let width = |off: f64| {
        let marks: Vec<Value> = [150.0, 250.0, 350.0, 450.0]
            .iter()
            .zip([1.0 + off, 1.0 - off, 1.0 + off, 1.0 - off])
            .map(|(&mm, off)| json!({ "min": minutes(mm, &shelf, &blank) * off, "mm": mm }))
            .collect();
        let value = told(&plan(json!(marks)), Shelf::generic()).cloths[0].value;
        (value.high - value.low) / value.likely
    };
    assert!(
        width(0.4) > 1.15 * width(0.0),
        "{} {}",
        width(0.4),
        width(0.0)
    );
}

#[test]
fn what_tells_nothing_of_the_cloth_is_not_kept() {
    let shelf = Shelf::generic();
    let marks = json!([{ "min": 4, "mm": 120 }]);
    assert!(watched(&plan(json!([])), shelf).unwrap().is_none());
    let meshed = told(
        &with(plan(marks.clone()), "bag", "flow_mesh", json!(true)),
        shelf,
    );
    assert!(meshed.cloths.is_empty() && meshed.full.is_some());
    assert!(
        meshed.sentence.contains("without a mesh"),
        "{}",
        meshed.sentence
    );
    let mut mixed = plan(marks);
    mixed["stack"] = json!([{ "fabric": "flax_twill_300", "count": 2 }, { "fabric": "flax_mat_300", "count": 2 }]);
    let mixed = told(&mixed, shelf);
    assert!(mixed.cloths.is_empty());
    assert!(
        mixed.sentence.contains("more than one cloth"),
        "{}",
        mixed.sentence
    );
    // A slip of the hour: hundreds of times too quick, or too slow.
    for minute in [0.005, 200.0] {
        let slip = told(&plan(json!([{ "min": minute, "mm": 60 }])), shelf);
        assert!(slip.cloths.is_empty(), "{slip:?}");
        assert!(
            slip.sentence.contains("look at the minutes"),
            "{}",
            slip.sentence
        );
    }
    // Past the gel, further than the part is, or at nought: said, not computed with.
    for mark in [
        json!({ "min": 9000, "mm": 120 }),
        json!({ "min": 4, "mm": 5000 }),
        json!({ "min": 0, "mm": 120 }),
    ] {
        let nothing = told(&plan(json!([mark])), shelf);
        assert!(nothing.cloths.is_empty() && nothing.full.is_none());
        assert!(
            nothing.sentence.contains("None of the marks"),
            "{}",
            nothing.sentence
        );
    }
}

#[test]
fn a_mark_on_the_feed_tells_nothing() {
    let drawn = |front: Value| {
        let plan = with(
            plan(front),
            "part",
            "shape",
            json!({ "form": "rectangle", "length_mm": 600, "width_mm": 300 }),
        );
        let feed = json!([{ "does": "feed", "points_mm": [[0, 0], [0, 300]] }]);
        told(&with(plan, "fill", "lines", feed), Shelf::generic())
    };
    let on_feed = json!({ "min": 4, "at_mm": [0, 100] });
    let alone = drawn(json!([on_feed]));
    assert!(alone.cloths.is_empty() && alone.full.is_none(), "{alone:?}");
    // Beside a good mark it changes nothing.
    let good = json!({ "min": 4, "at_mm": [200, 100] });
    let (one, both) = (drawn(json!([good])), drawn(json!([on_feed, good])));
    assert_eq!(one.cloths.len(), 1);
    assert_eq!(one, both);
}

#[test]
fn marks_that_cannot_all_be_right_are_told() {
    let said = |front: Value| told(&plan(front), Shelf::generic()).sentence;
    let odd = "do not fit together";
    let back = json!([{ "min": 1, "mm": 300 }, { "min": 9, "mm": 100 }]);
    assert!(said(back).contains(odd));
    let full_too_soon = json!([{ "min": 4, "ended": true }, { "min": 9, "mm": 300 }]);
    assert!(said(full_too_soon).contains(odd));
    // Slower or faster than the plan, by whatever course, but onwards.
    let on = json!([{ "min": 1, "mm": 100 }, { "min": 2, "mm": 200 }, { "min": 40, "mm": 300 }]);
    assert!(!said(on).contains(odd));
}

#[test]
fn a_front_that_stands_is_told_and_does_not_make_the_cloth_slow() {
    let shelf = &better(TRUE);
    let going = plan(json!([]));
    // As it came along the strip, by the plan of a shelf that is right; then it stood.
    let [first, second, third] = [100.0, 200.0, 300.0].map(|mm| minutes(mm, shelf, &going));
    let marks = |stood: &[f64]| {
        let mut marks = vec![
            json!({ "mm": 100, "min": first }),
            json!({ "mm": 200, "min": second }),
            json!({ "mm": 300, "min": third }),
        ];
        marks.extend(stood.iter().map(|min| json!({ "mm": 301, "min": min })));
        plan(json!(marks))
    };
    let runs = told(&marks(&[]), Shelf::generic());
    let stands = told(&marks(&[2.2 * third]), Shelf::generic());
    assert!(!runs.sentence.contains("hardly moves"), "{}", runs.sentence);
    assert!(
        stands.sentence.contains("hardly moves"),
        "{}",
        stands.sentence
    );
    assert!(runs.full.is_some() && stands.full.is_none());
    close(
        stands.cloths[0].value.likely,
        runs.cloths[0].value.likely,
        1e-9,
        "the marks before it set the cloth's own value",
    );
}
