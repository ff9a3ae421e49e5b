//! Plans drawn at random: every field in its range, every choice, with a taste for the extremes.

use std::ops::Range;

use bastwork::plan::fields;
use bastwork::plan::{
    BACKS, CLOCK_GOES, COLOURS, FACES, FACINGS, FEEDS, FINISH_GRITS, GAUGE_KINDS, MOULD_KINDS,
    POT_KINDS, ROUTES, WINDS,
};
use bastwork::{EntryKind, Field, Shelf, Unit, Units, catalogue, own_entries};
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::{Map, Value, json};

/// A number in the range of a field, its ends often, as one number or as three.
pub fn in_range(field: &'static Field) -> BoxedStrategy<Value> {
    let (low, high) = (field.low, field.high);
    if field.unit == Unit::Count {
        return (low as u32..=(high as u32).min(100))
            .prop_map(Value::from)
            .boxed();
    }
    // Even in the logarithm where the range spans decades, so that small values come up too.
    let spread = move |u: f64| {
        if low > 0.0 && high / low > 100.0 {
            low * (high / low).powf(u)
        } else {
            low + u * (high - low)
        }
        .clamp(low, high)
    };
    let one = (0.0..=1.0_f64).prop_map(move |u| json!(spread(u)));
    let three = prop::array::uniform3(0.0..=1.0_f64).prop_map(move |mut u| {
        u.sort_by(f64::total_cmp);
        json!({ "low": spread(u[0]), "likely": spread(u[1]), "high": spread(u[2]) })
    });
    prop_oneof![
        8 => one,
        1 => Just(json!(low)),
        1 => Just(json!(high)),
        1 => three,
    ]
    .boxed()
}

fn keys(kind: fn(&bastwork::Catalogue) -> &Vec<bastwork::Item>) -> Vec<String> {
    kind(&catalogue(Shelf::generic()))
        .iter()
        .map(|item| item.key.clone())
        .collect()
}

/// A cloth or core written out in full.
fn own_fabric() -> BoxedStrategy<Value> {
    let fibres = keys(|shelf| &shelf.fibres);
    let bast: Vec<String> = fibres
        .into_iter()
        .filter(|key| {
            Shelf::generic()
                .fibre(key)
                .is_some_and(|fibre| fibre.family == bastwork::Family::Bast)
        })
        .collect();
    let cloth = (
        select(bast),
        select(vec!["twill", "plain", "unidirectional", "biaxial", "mat"]),
        10.0..5000.0_f64,
        select(vec!["dry", "conditioned", "commercial"]),
        prop::option::of(0.1..0.6_f64),
        prop::option::of(-13.0..-8.0_f64),
    )
        .prop_map(|(fibre, architecture, mass, basis, fraction, log_k)| {
            let mut cloth = json!({
                "name": "Own cloth", "kind": "cloth", "fibre": fibre, "architecture": architecture,
                "areal_mass_g_m2": mass, "mass_basis": basis,
            });
            if let Some(fraction) = fraction {
                cloth["fibre_fraction_at_1_bar"] = json!(fraction);
            }
            if let Some(log_k) = log_k {
                cloth["permeability_m2"] = json!(10_f64.powf(log_k));
            }
            cloth
        });
    let core = (0.2..200.0_f64, 0.01..2.0_f64, 0.0001..50.0_f64, 0.0..5000.0_f64).prop_map(
        |(thickness, density, modulus, uptake)| {
            json!({
                "name": "Own core", "kind": "core", "thickness_mm": thickness, "density_g_cm3": density,
                "modulus_gpa": modulus, "resin_uptake_g_m2": uptake,
            })
        },
    );
    prop_oneof![3 => cloth, 1 => core].boxed()
}

/// A resin written out in full.
fn own_resin() -> BoxedStrategy<Value> {
    (
        (1.0..150.0_f64, 0.7..2.0_f64, 0.7..2.0_f64, 0.8..2.0_f64),
        (10.0..20_000.0_f64, 0.0..80.0_f64, 3.0..3000.0_f64),
        (20.0..5000.0_f64, 5.0..40.0_f64, 40.0..200.0_f64, 0.5..8.0_f64),
        select(vec!["gel", "ten_degrees", "doubled", "at_50_c", "at_40_c_less"]),
    )
        .prop_map(|((ratio, resin, hardener, cured), (mu, mu_c, life), (g, c, tg, e), meaning)| {
            json!({
                "name": "Own resin", "hardener_per_100": ratio, "density_resin_g_ml": resin,
                "density_hardener_g_ml": hardener, "density_cured_g_cm3": cured,
                "viscosity_mpa_s": mu, "viscosity_at_c": mu_c, "pot_life_min": life, "pot_life_g": g,
                "pot_life_c": c, "pot_life_meaning": meaning, "tg_ultimate_c": tg, "modulus_gpa": e,
            })
        })
        .boxed()
}

fn row() -> BoxedStrategy<Value> {
    let fabric = prop_oneof![
        5 => select(keys(|shelf| &shelf.fabrics)).prop_map(Value::from),
        1 => own_fabric(),
    ];
    (fabric, 1..=12_u32, prop_oneof![2 => Just(0.0), 1 => -180.0..=180.0_f64])
        .prop_map(|(fabric, count, angle)| json!({ "fabric": fabric, "count": count, "angle_deg": angle }))
        .boxed()
}

/// The numbers of a plan: each field given or left out.
fn numbers() -> BoxedStrategy<Vec<(&'static str, Option<Value>)>> {
    // These mean something on a drawn part only; those are plans of their own.
    let on_drawn = [
        fields::EDGE_GAP.key,
        fields::WARP_TURN.key,
        fields::WARP_X.key,
        fields::WARP_Y.key,
    ];
    fields::all()
        .filter(|field| !on_drawn.contains(&field.key))
        .map(|field| {
            let value = if field.key == "part.area_m2" {
                in_range(field).prop_map(Some).boxed()
            } else {
                prop::option::weighted(0.35, in_range(field)).boxed()
            };
            value.prop_map(move |value| (field.key, value))
        })
        .collect::<Vec<_>>()
        .boxed()
}

/// A log of readings at any times, in any order.
fn log(name: &'static str, values: Range<f64>) -> BoxedStrategy<Value> {
    let line = (0.0..90.0_f64, values).prop_map(move |(min, x)| json!({ "min": min, name: x }));
    prop::collection::vec(line, 0..14)
        .prop_map(Value::from)
        .boxed()
}

/// What a plan chooses besides its numbers.
fn choices() -> BoxedStrategy<Vec<(&'static str, Option<Value>)>> {
    let words =
        |list: &'static [&'static str]| prop::option::of(select(list).prop_map(Value::from));
    let switch = || prop::option::of(any::<bool>().prop_map(Value::from));
    let resin = prop_oneof![
        4 => select(keys(|shelf| &shelf.resins)).prop_map(Value::from),
        1 => own_resin(),
    ];
    let tool = select(keys(|shelf| &shelf.tools)).prop_map(Value::from);
    let named = |name: &'static str, value: BoxedStrategy<Option<Value>>| {
        value.prop_map(move |value| (name, value)).boxed()
    };
    vec![
        named("route", words(ROUTES).boxed()),
        named("fill.feed", words(FEEDS).boxed()),
        named("bag.gauge_kind", words(GAUGE_KINDS).boxed()),
        named("dry.faces", words(FACES).boxed()),
        named("trim.finish_grit", words(FINISH_GRITS).boxed()),
        named("units", words(&["metric", "us"]).boxed()),
        named("resin", prop::option::of(resin).boxed()),
        named("trim.tool", prop::option::of(tool).boxed()),
        named("bag.flow_mesh", switch().boxed()),
        named("bag.peel_ply", switch().boxed()),
        named("dry.fan", switch().boxed()),
        named("dry.closed", switch().boxed()),
        named(
            "bag.test",
            prop::option::of(log("reading", 0.0..60.0)).boxed(),
        ),
        named(
            "dry.weighings",
            prop::option::of(log("g", 1.0..5000.0)).boxed(),
        ),
        named("mix.pot_kind", words(POT_KINDS).boxed()),
        named("cure.mould_kind", words(MOULD_KINDS).boxed()),
        named("cure.post_on_mould", switch().boxed()),
        named(
            "day.closed",
            words(&["", "Sun", "Sat, Sun, 2026-02-09 to 2026-02-12"]).boxed(),
        ),
        named("day.clock_at", prop::option::of(moment()).boxed()),
        named("day.clock_goes", words(CLOCK_GOES).boxed()),
        named("service.colour", words(COLOURS).boxed()),
        named("service.facing", words(FACINGS).boxed()),
        named("service.wind", words(WINDS).boxed()),
        named("service.back", words(BACKS).boxed()),
        named("service.wet", switch().boxed()),
        named("day.start", prop::option::of(moment()).boxed()),
        named("day.out_by", prop::option::of(moment()).boxed()),
        named(
            "day.began",
            prop::option::of(
                (
                    select(&["cut", "lay", "fill", "wet", "demould"][..]),
                    moment(),
                )
                    .prop_map(|(step, at)| json!({ step: at })),
            )
            .boxed(),
        ),
        named("trim.sharp", switch().boxed()),
        named("trim.unmarked", switch().boxed()),
    ]
    .boxed()
}

/// A moment in one month.
fn moment() -> BoxedStrategy<Value> {
    (1..=28_u8, 0..24_u8, 0..60_u8)
        .prop_map(|(day, hour, minute)| {
            Value::from(format!("2026-02-{day:02}T{hour:02}:{minute:02}"))
        })
        .boxed()
}

/// Writes a value at a path such as `room.humidity_pct`, making groups on the way.
///
/// # Panics
/// When something on the way is not a group.
pub fn put(document: &mut Value, path: &str, value: Value) {
    let (group, name) = path.split_once('.').unwrap_or(("", path));
    let object = document.as_object_mut().unwrap();
    if group.is_empty() {
        object.insert(name.to_owned(), value);
        return;
    }
    let inside = object
        .entry(group)
        .or_insert_with(|| Value::Object(Map::new()));
    inside
        .as_object_mut()
        .unwrap()
        .insert(name.to_owned(), value);
}

/// A plan whose every field lies in its range; values that only clash with each other may still occur.
pub fn plan() -> BoxedStrategy<Value> {
    (prop::collection::vec(row(), 1..6), numbers(), choices())
        .prop_map(|(stack, numbers, choices)| {
            let mut plan = json!({ "format": 1, "name": "Drawn", "stack": stack });
            for (path, value) in numbers.into_iter().chain(choices) {
                if let Some(value) = value {
                    put(&mut plan, path, value);
                }
            }
            // Readings that only make sense in pairs.
            for (group, pair) in [
                ("dry", ["swatch_kept_g", "swatch_dried_g"]),
                ("measured", ["strip_length_mm", "strip_min"]),
                ("bag", ["syringe_ml", "syringe_rise_mbar"]),
                ("mix", ["weighed_resin_g", "weighed_hardener_g"]),
                ("day", ["from_h", "to_h"]),
                ("day", ["clock_at", "clock_goes"]),
            ] {
                if let Some(group) = plan.get_mut(group).and_then(Value::as_object_mut)
                    && pair.iter().any(|name| !group.contains_key(*name))
                {
                    pair.iter().for_each(|name| {
                        group.remove(*name);
                    });
                }
            }
            // The thinnest that will do is no thicker than the thickest that fits.
            let bound = |name: &str| {
                let value = &plan["target"][name];
                value.as_f64().or_else(|| value["likely"].as_f64())
            };
            let (thin, thick) = ("least_thickness_mm", "most_thickness_mm");
            if let (Some(least), Some(most)) = (bound(thin), bound(thick))
                && least > most
            {
                let target = plan["target"].as_object_mut().unwrap();
                let (a, b) = (target.remove(thin), target.remove(thick));
                target.extend([(thin.into(), b.unwrap()), (thick.into(), a.unwrap())]);
            }
            // A workshop closes after it opens.
            let hour = |name: &str| {
                let value = &plan["day"][name];
                value.as_f64().or_else(|| value["likely"].as_f64())
            };
            if let (Some(from), Some(to)) = (hour("from_h"), hour("to_h")) {
                put(&mut plan, "day.from_h", json!(0.5 * from.min(to)));
                put(&mut plan, "day.to_h", json!(from.max(to).max(0.1)));
            }
            // A swatch loses what cloth can hold.
            let kept = plan["dry"]["swatch_kept_g"].as_f64();
            let dried = plan["dry"]["swatch_dried_g"].as_f64();
            if let (Some(kept), Some(dried)) = (kept, dried) {
                let share = 1.01 + 0.25 * (dried / 5000.0);
                put(
                    &mut plan,
                    "dry.swatch_dried_g",
                    json!((kept / share).max(0.1)),
                );
            }
            // A dial counts to its own end.
            let kind = plan["bag"]["gauge_kind"]
                .as_str()
                .unwrap_or_default()
                .to_owned();
            if let Some(reading) = plan["bag"]["gauge_reading"].as_f64() {
                let most = match kind.as_str() {
                    "kpa_absolute" | "kpa_below" => 90.0,
                    "inhg_below" => 29.0,
                    "percent_of_local" | "percent_of_standard" => 99.0,
                    _ => 950.0,
                };
                put(
                    &mut plan,
                    "bag.gauge_reading",
                    json!(reading / 1100.0 * most),
                );
            }
            plan
        })
        .boxed()
}

/// An ordinary plan of woven flax, on which one thing at a time can be changed.
pub fn ordinary() -> BoxedStrategy<Value> {
    (
        select(vec![
            "flax_twill_220",
            "flax_twill_300",
            "flax_twill_500",
            "flax_plain_300",
        ]),
        1..=8_u32,
        0.05..3.0_f64,
        100.0..900.0_f64,
        16.0..30.0_f64,
        30.0..70.0_f64,
        any::<bool>(),
    )
        .prop_map(|(fabric, count, area, run, room, humidity, mesh)| {
            json!({
                "format": 1,
                "part": { "area_m2": area, "flow_length_mm": run },
                "stack": [{ "fabric": fabric, "count": count }],
                "room": { "temperature_c": room, "humidity_pct": humidity, "altitude_m": 200 },
                "bag": { "pressure_mbar_abs": 20, "flow_mesh": mesh },
                "resin": "infusion_epoxy_slow",
            })
        })
        .boxed()
}

/// Every key that `read_entry` and `show_entry` know, and whether it counts things.
#[must_use]
pub fn entry_keys() -> Vec<(String, bool)> {
    let form = bastwork::form(Units::Metric).into_iter();
    let own = ["fabrics", "cores", "resins", "tools"]
        .into_iter()
        .flat_map(|table| own_entries(table, Units::Metric));
    form.flat_map(|group| group.entries)
        .chain(own)
        .filter_map(|entry| match entry.kind {
            EntryKind::Count => Some((entry.key, true)),
            EntryKind::Number => Some((entry.key, false)),
            _ => None,
        })
        .collect()
}

/// The same plans every time: `count` of them from a seed.
///
/// # Panics
/// When a plan cannot be drawn.
#[must_use]
pub fn seeded(count: usize, seed: u8) -> Vec<Value> {
    crate::draw::some(&plan(), count, seed)
}
