//! Zones with a stack of their own: they fill, soak and weigh as that stack does, and the rest as before.

use bastwork::{Board, Sheet, Shelf, sheet_from};
use serde_json::{Value, json};

/// A strip fed along one end, with nothing between pot and part.
fn plan(stack: &Value, mesh: bool, zones: &Value) -> Value {
    json!({
        "format": 1, "route": "infusion",
        "part": { "shape": { "form": "rectangle", "length_mm": 200, "width_mm": 100 } },
        "stack": stack,
        "resin": "infusion_epoxy_slow",
        "bag": { "feed_tube_m": 0, "spiral_m": 0, "pot_below_mm": 0, "flow_mesh": mesh },
        "fill": { "lines": [{ "does": "feed", "points_mm": [[0, 0], [0, 100]] }], "zones": zones },
    })
}

fn rows(of: &[(&str, u32)]) -> Value {
    let row = |(fabric, count): &(&str, u32)| json!({ "fabric": fabric, "count": count });
    of.iter().map(row).collect()
}

/// A zone from one length to another [mm].
fn zone(stack: &Value, from: f64, to: f64) -> Value {
    json!([{ "lies": "stack", "stack": stack, "points_mm": [[from, -1], [to, -1], [to, 101], [from, 101]] }])
}

fn minutes(plan: &Value) -> f64 {
    let mut board = Board::new(plan, Shelf::generic());
    assert!(board.problems().is_empty(), "{:?}", board.problems());
    board.quick().unwrap().likely_min
}

fn sheet(plan: &Value) -> Sheet {
    sheet_from(plan, Shelf::generic()).unwrap()
}

fn near(got: f64, wanted: f64, share: f64, what: &str) {
    let off = got / wanted - 1.0;
    println!("{what}: {got} against {wanted}, {:+.3} %", 100.0 * off);
    assert!(off.abs() <= share, "{what}: {got} against {wanted}");
}

const TWILL: &[(&str, u32)] = &[("flax_twill_300", 4)];

#[test]
fn a_zone_with_the_stack_of_the_part_changes_nothing() {
    for (stack, mesh) in [
        (rows(TWILL), false),
        (rows(TWILL), true),
        (
            rows(&[("flax_unidirectional_300", 3), ("flax_mat_350", 2)]),
            true,
        ),
    ] {
        let mut plain = plan(&stack, mesh, &json!([]));
        let mut zoned = plan(&stack, mesh, &zone(&stack, -1.0, 80.0));
        for plan in [&mut plain, &mut zoned] {
            // What was measured on this cloth holds in the zone as well.
            plan["measured"] =
                json!({ "thickness_mm": 2.6, "strip_length_mm": 200, "strip_min": 9 });
        }
        near(minutes(&zoned), minutes(&plain), 1e-3, "time");
        let (zoned, plain) = (sheet(&zoned), sheet(&plain));
        near(
            zoned.mix.resin_in_part_g.likely,
            plain.mix.resin_in_part_g.likely,
            1e-9,
            "resin",
        );
        let range = |sheet: &Sheet| {
            let time = &sheet.fill.as_ref().unwrap().time_min;
            time.high / time.low
        };
        near(range(&zoned), range(&plain), 1e-2, "range");
    }
}

#[test]
fn a_zone_over_all_of_the_part_is_that_stack() {
    // Soak, lag and pores are those of the zone's own plies, whatever the part is made of.
    let core = [
        ("flax_twill_300", 2),
        ("balsa_10", 1),
        ("flax_twill_300", 2),
    ];
    for own in [
        &[("flax_twill_300", 12)][..],
        &[("glass_mat_450", 2)],
        &[("flax_unidirectional_300", 3)],
        &core,
    ] {
        for mesh in [false, true] {
            let wanted = minutes(&plan(&rows(own), mesh, &json!([])));
            let got = minutes(&plan(&rows(TWILL), mesh, &zone(&rows(own), -1.0, 201.0)));
            near(got, wanted, 0.02, &format!("{own:?}, mesh {mesh}"));
        }
    }
}

#[test]
fn a_zone_on_the_way_is_a_stretch_in_series() {
    // t = mu / dp [ c1 m^2 / (2 a1) + c2 m (m / a1 + m / (2 a2)) ], Darcy in series, with each stack's own a / c from a
    // part made of it alone; both cloths are of one weave and pack alike, so that stores go as the masses of resin.
    let (thick, thin) = (
        rows(&[("flax_twill_300", 6)]),
        rows(&[("flax_twill_150", 3)]),
    );
    // So short that resin hardly thickens on its way.
    let short = |stack: &Value, zones: &Value| {
        let mut plan = plan(stack, false, zones);
        plan["part"]["shape"]["length_mm"] = json!(40);
        plan
    };
    let of = |stack: &Value| {
        let plan = short(stack, &json!([]));
        (minutes(&plan), sheet(&plan).mix.resin_in_part_g.likely)
    };
    let ((t1, c1), (t2, c2)) = (of(&thick), of(&thin));
    // Twice the time of a whole strip L = 2 is c L^2 / a.
    let (a1, a2) = (2.0 * c1 / t1, 2.0 * c2 / t2);
    for (first, (c1, a1), then, (c2, a2)) in [
        (&thick, (c1, a1), &thin, (c2, a2)),
        (&thin, (c2, a2), &thick, (c1, a1)),
    ] {
        let wanted = c1 / (2.0 * a1) + c2 * (1.0 / a1 + 1.0 / (2.0 * a2));
        let got = minutes(&short(then, &zone(first, -1.0, 20.0)));
        near(got, wanted, 0.02, "two stretches");
    }
}

#[test]
fn what_goes_in_is_what_the_zones_hold() {
    let own = rows(&[
        ("flax_twill_300", 2),
        ("balsa_10", 1),
        ("flax_twill_300", 2),
    ]);
    let part = |zones: &Value| sheet(&plan(&rows(TWILL), false, zones));
    let (plain, cored) = (part(&json!([])), sheet(&plan(&own, false, &json!([]))));
    // A fifth of the part, and the whole without an insert on a quarter of it.
    let mixed = part(&zone(&own, 100.0, 140.0));
    let share = |of: &dyn Fn(&Sheet) -> f64| 0.8 * of(&plain) + 0.2 * of(&cored);
    for (what, of) in [
        (
            "resin",
            (|s: &Sheet| s.mix.resin_in_part_g.likely) as fn(&Sheet) -> f64,
        ),
        ("part", |s| s.stack.part_mass_g.likely),
        ("fibre", |s| s.stack.fibre_mass_g.likely),
    ] {
        near(of(&mixed), share(&of), 1e-6, what);
    }
    let insert =
        json!([{ "lies": "insert", "points_mm": [[100, 0], [150, 0], [150, 100], [100, 100]] }]);
    let less = part(&insert);
    near(
        less.mix.resin_in_part_g.likely,
        0.75 * plain.mix.resin_in_part_g.likely,
        1e-6,
        "insert",
    );
    let more = part(
        &json!([{ "lies": "plies", "count": 2, "points_mm": [[100, 0], [150, 0], [150, 100], [100, 100]] }]),
    );
    near(
        more.mix.resin_in_part_g.likely,
        1.125 * plain.mix.resin_in_part_g.likely,
        0.01,
        "two plies more on a quarter",
    );
}

#[test]
fn a_cloth_that_is_less_sure_widens_the_time() {
    let spread = |zones: &Value| {
        let time = sheet(&plan(&rows(TWILL), false, zones))
            .fill
            .unwrap()
            .time_min;
        time.high / time.low
    };
    let other = rows(&[("glass_mat_450", 2)]);
    let alone = spread(&json!([])).ln();
    let whole = spread(&zone(&other, -1.0, 201.0)).ln();
    let time = sheet(&plan(&other, false, &json!([])))
        .fill
        .unwrap()
        .time_min;
    let of_other = (time.high / time.low).ln();
    println!("{alone} {whole} {of_other}");
    // All of the part in the other cloth is as unsure as that cloth.
    assert!(of_other > 1.5 * alone);
    near(whole, of_other, 0.1, "the other cloth");
}

#[test]
fn a_zone_without_a_stack_is_told() {
    for (stack, words) in [
        (Value::Null, "at least one cloth"),
        (json!([]), "at least one cloth"),
        (json!([{ "fabric": "balsa_10", "count": 1 }]), "core alone"),
        (
            json!([{ "fabric": "linen_sky", "count": 1 }]),
            "no cloth called linen_sky",
        ),
    ] {
        let board = Board::new(
            &plan(&rows(TWILL), false, &zone(&stack, 0.0, 50.0)),
            Shelf::generic(),
        );
        let told = board.problems();
        assert!(
            told.iter()
                .any(|p| p.sentence.contains(words) && p.field.starts_with("fill.zones.0")),
            "{stack}: {told:?}"
        );
    }
}
