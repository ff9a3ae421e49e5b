//! Published laminates against the sheet: a table that is shown in the documentation, and how much of it holds.
//!
//! `BASTWORK_WRITE=1 cargo test -p bastwork-tests --test published` writes the table anew.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{Shelf, sheet_from};
use bastwork_tests::root;
use bastwork_tests::sheets::figure_at;
use serde::Deserialize;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::fmt::Write;

/// Share of the values that count that should lie inside the range of the sheet.
const AIM: f64 = 0.8;
/// What has been reached so far: less is a step back.
const REACHED: f64 = 0.8;
/// No range is wider than this where three rows or more are held to it: high over low.
const WIDEST: f64 = 2.2;

#[derive(Deserialize)]
struct Published {
    row: Vec<Row>,
    left_out: Vec<LeftOut>,
}

#[derive(Deserialize)]
struct LeftOut {
    what: String,
    why: String,
}

type Stack = Vec<(String, u32, f64)>;

#[derive(Deserialize)]
struct Row {
    what: String,
    source: String,
    grade: String,
    process: String,
    stack: Stack,
    of: Option<Stack>,
    fraction: Option<f64>,
    /// Modulus of the row's own resin [GPa].
    resin: Option<f64>,
    /// What of the shelf it helped to set.
    used: Option<String>,
    /// Whether its resin is a thermoplastic: the shelf's resins are epoxies.
    #[serde(default)]
    thermoplastic: bool,
    figure: String,
    published: f64,
}

impl Row {
    fn counts(&self) -> bool {
        let seen = ["read", "abstract", "quoted"].contains(&self.grade.as_str());
        seen && self.used.is_none() && !self.thermoplastic
    }
}

/// The parts of `fibre:architecture:areal mass`; none for a key of the shelf.
fn cloth(key: &str) -> Option<(&str, &str, f64)> {
    let mut parts = key.split(':');
    let (fibre, architecture) = (parts.next()?, parts.next()?);
    Some((fibre, architecture, parts.next()?.parse().ok()?))
}

/// Dry areal mass [g/m2] and density [g/cm3] of a cloth; damp as it lies in a room of 65 percent humidity.
fn dry(fibre: &str, mass: f64) -> (f64, f64) {
    let fibre = Shelf::generic().fibre(fibre).unwrap();
    // Flax holds 8.4 percent there with a scale of 0.70.
    let damp = 1.0 + 0.12 * fibre.moisture_scale.range.likely;
    (mass / damp, fibre.density_g_cm3.range.likely)
}

/// Thickness at which a stack of cloth has a fibre content [mm].
fn thickness(stack: &Stack, fraction: f64) -> f64 {
    let fibre: f64 = stack
        .iter()
        .map(|(key, count, _)| {
            let (fibre, _, mass) = cloth(key).unwrap();
            let (mass, density) = dry(fibre, mass);
            f64::from(*count) * mass / density
        })
        .sum();
    fibre / fraction / 1000.0
}

fn fabric(key: &str) -> Value {
    let Some((fibre, architecture, mass)) = cloth(key) else {
        return json!(key);
    };
    json!({ "name": key.replace(':', " "), "kind": "cloth", "fibre": fibre, "architecture": architecture, "areal_mass_g_m2": mass,
        "mass_basis": "conditioned" })
}

fn range(stack: &Stack, row: &Row) -> [f64; 3] {
    let rows: Vec<Value> = stack
        .iter()
        .map(|(key, count, angle)| json!({ "fabric": fabric(key), "count": count, "angle_deg": angle }))
        .collect();
    let mut plan = json!({
        "part": { "area_m2": 0.1, "flow_length_mm": 200 },
        "bag": { "pressure_mbar_abs": 10, "flow_mesh": true },
        "stack": rows,
    });
    if let Some(fraction) = row.fraction {
        plan["measured"] = json!({ "thickness_mm": thickness(stack, fraction) });
    }
    let mut own = json!({});
    if let Some(modulus) = row.resin {
        let modulus = json!({ "low": 0.93 * modulus, "likely": modulus, "high": 1.07 * modulus });
        own = json!({ "resins": { "of_the_row": {
            "hardener_per_100": 30, "density_resin_g_ml": 1.15, "density_hardener_g_ml": 0.95,
            "density_cured_g_cm3": 1.15, "viscosity_mpa_s": 300, "viscosity_at_c": 25,
            "pot_life_min": 90, "tg_ultimate_c": 90, "modulus_gpa": modulus } } });
        plan["resin"] = json!("of_the_row");
    }
    let shelf = Shelf::with_own(&own).unwrap();
    let sheet = sheet_from(&plan, &shelf).unwrap_or_else(|why| panic!("{}: {why:?}", row.what));
    let sheet = serde_json::to_value(&sheet).unwrap();
    // Glass and carbon have no knee: tests read what the sheet says at small strain.
    let as_tested = |figure: &str| {
        sheet
            .pointer(&format!("/{}", figure.replace('.', "/")))
            .is_some_and(|v| !v.is_null())
    };
    let figure = match row.figure.as_str() {
        "stack.modulus_as_tested_gpa" if !as_tested(&row.figure) => "stack.tensile_modulus_gpa",
        other => other,
    };
    figure_at(&sheet, figure)
}

/// The range of one figure over another whose inputs are half its own: their logarithms are correlated by a half.
fn over(one: [f64; 3], other: [f64; 3]) -> [f64; 3] {
    let likely = one[1] / other[1];
    let wide = |a: f64, b: f64| (a * a + b * b - a * b).sqrt().exp();
    let up = wide((one[2] / one[1]).ln(), (other[1] / other[0]).ln());
    let down = wide((one[1] / one[0]).ln(), (other[2] / other[1]).ln());
    [likely / down, likely, likely * up]
}

fn number(x: f64) -> String {
    if x.abs() >= 10.0 {
        format!("{x:.0}")
    } else {
        format!("{x:.2}")
    }
}

#[test]
fn published_laminates_against_the_sheet() {
    let text = std::fs::read_to_string(root().join("tests/published.toml")).unwrap();
    let Published {
        row: rows,
        left_out,
    } = toml::from_str(&text).unwrap();
    let mut table = String::new();
    let (mut counted, mut inside_counted) = (0_u32, 0_u32);
    let (mut used, mut beside) = (0_u32, 0_u32);
    let mut widths: BTreeMap<&str, Vec<(f64, &str)>> = BTreeMap::new();
    for row in &rows {
        let mut found = range(&row.stack, row);
        if let Some(of) = &row.of {
            found = over(found, range(of, row));
        }
        let [low, likely, high] = found;
        let inside = (low..=high).contains(&row.published);
        if row.counts() {
            counted += 1;
            inside_counted += u32::from(inside);
            let kind = if row.of.is_some() {
                "ratio"
            } else {
                &row.figure
            };
            widths
                .entry(kind)
                .or_default()
                .push((high / low, &row.what));
        } else if row.used.is_some() {
            used += 1;
        } else {
            beside += 1;
        }
        let verdict = if inside {
            "inside".to_owned()
        } else if row.published > high {
            format!("above, {:.2} of the high end", row.published / high)
        } else {
            format!("below, {:.2} of the low end", row.published / low)
        };
        let resin = row
            .resin
            .map_or_else(|| "as shelf".to_owned(), |modulus| format!("{modulus} GPa"));
        let fraction = row
            .fraction
            .map_or_else(|| "bag".to_owned(), |fraction| fraction.to_string());
        writeln!(
            table,
            "| {} | {} | {} ({} to {}) | {verdict} | {} | {fraction} | {resin} | {} | {}: {} |",
            row.what,
            number(row.published),
            number(likely),
            number(low),
            number(high),
            row.process,
            row.used.as_deref().map_or_else(
                || if row.counts() {
                    "no".to_owned()
                } else {
                    "not counted".to_owned()
                },
                |what| format!("yes: {what}")
            ),
            row.grade,
            row.source,
        )
        .unwrap();
    }
    let mut out = String::new();
    for row in &left_out {
        writeln!(out, "- {}: {}.", row.what, row.why).unwrap();
    }
    let share = f64::from(inside_counted) / f64::from(counted);
    let aim = if share >= AIM {
        "which meets"
    } else {
        "which misses"
    };
    let page = format!(
        "Published laminates against the sheet.\n\nOf {counted} values that were read and set nothing on the shelf, {inside_counted} lie inside the range of the sheet ({:.0} percent, {aim} the aim of {:.0}). {used} more helped to set a value of the shelf, so they are no evidence for it; {beside} are shown beside them and do not count: from memory, from an estimate, without a source, or in a thermoplastic, while the sheet knows epoxies. Moduli of bast are compared as tests read them, across the knee; strengths are the last load of a test. A plan cannot tell a cloth, a process or a resin better than the source did, so some rows compare like with merely alike. Made by `tests/tests/published.rs`.\n\n| laminate | published | sheet: likely (10th to 90th percentile) | | process | fibre content | resin | used to set a value | grade and source |\n|---|---|---|---|---|---|---|---|---|\n{table}\nRead, and not compared:\n\n{out}",
        share * 100.0,
        AIM * 100.0,
    );
    let path = root().join("core/published.md");
    if std::env::var_os("BASTWORK_WRITE").is_some() {
        std::fs::write(&path, &page).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == page,
        "core/published.md is out of date: run this test with BASTWORK_WRITE=1 and look at what changed"
    );
    assert!(share >= REACHED, "{share}");
    for (figure, rows) in widths.iter().filter(|(_, rows)| rows.len() >= 3) {
        for (width, what) in rows {
            assert!(*width <= WIDEST, "{figure}, {what}: {width}");
        }
    }
}
