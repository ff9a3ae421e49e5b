//! Pots that are left standing, by a model that is not the judge's own, against what the sheet says of them; and what
//! the sheet proposes to mix, against its own law.
//!
//! `BASTWORK_WRITE=1 cargo test -p bastwork-tests --test pots` writes the table anew.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::needless_range_loop,
    reason = "a test that cannot go on should stop loudly; cells are numbered by place"
)]

#[path = "pots/simulated.rs"]
mod simulated;

use bastwork::law::cure::{INFUSION_AMINE, Resin as Cured};
use bastwork::law::pot::{self, Hazard};
use bastwork::{PotTemper, Sheet, Shelf, sheet_from};
use bastwork_tests::root;
use serde_json::{Value, json};
use simulated::{Dice, Pot, Resin, Truth, Vessel, follow};
use std::fmt::Write;

/// Pots in the table.
const POTS: usize = 240;
const ZERO_C: f64 = 273.15;
const KINDS: [&str; 4] = ["cup", "bucket", "tray", "bath"];
const GROUPS: [&str; 2] = ["in still air", "in a cup in water"];
const TRUE: [&str; 3] = ["below 50 °C", "50 to 100 °C", "above 100 °C"];

fn resin(life: f64) -> Value {
    json!({
        "name": "Of the table", "hardener_per_100": 30, "density_resin_g_ml": 1.15, "density_hardener_g_ml": 0.95,
        "density_cured_g_cm3": 1.15, "viscosity_mpa_s": 300, "pot_life_min": life, "pot_life_g": 100,
        "pot_life_c": 25, "pot_life_meaning": "gel", "tg_ultimate_c": 85, "modulus_gpa": 3.2,
    })
}

fn plan(mix: &Value, resin: &Value, celsius: f64, area: f64) -> Value {
    json!({
        "format": 1, "name": "Pots", "part": { "area_m2": area, "flow_length_mm": 300 }, "route": "open_wet",
        "stack": [{ "fabric": "flax_twill_300", "count": 4, "angle_deg": 0 }],
        "room": { "temperature_c": celsius, "humidity_pct": 55 }, "resin": resin, "mix": mix,
    })
}

/// What came of many pots.
#[derive(Default)]
struct Counts {
    /// By group, truth and what was said: calm, warm, can run away.
    table: [[[usize; 3]; 3]; 2],
    /// Pots; of these still liquid and below 60 °C at the likely time to use them up, and at the early end of it.
    in_time: [usize; 3],
}

fn tally(counts: &mut Counts, seed: usize) {
    let mut dice = Dice(seed as u64 * 7919 + 5);
    let resin_true = Resin::drawn(&mut dice);
    let (kind, most) = (seed % 4, dice.ratio(0.02, 1.5));
    let room = dice.between(12.0, 32.0);
    let bath = dice.between(8.0, 18.0).min(room);
    let bench = dice.between(3.0, 8.0);
    // The data sheet of this resin: 100 g in a cup at 25 °C, until half of it has gelled.
    let stated = Pot {
        mass: 0.1,
        diameter: 0.070,
        vessel: Vessel::OnBench,
        start: 25.0 + ZERO_C,
        room: 25.0 + ZERO_C,
        bench: 5.5,
    };
    let life = (follow(&resin_true, &stated).set.unwrap_or(0.0) / 60.0).round();
    if !(8.0..=300.0).contains(&life) {
        return;
    }
    let mix = json!({ "largest_pot_g": (most * 1000.0).round().max(20.0), "pot_kind": KINDS[kind], "bath_c": bath, "scale_step_g": 0.1 });
    let area = (most / 0.5).max(0.2);
    let sheet = sheet_from(&plan(&mix, &resin(life), room, area), Shelf::generic()).unwrap();
    let pots = sheet.pots.unwrap();
    let mass = pots.pot.mass_g.likely / 1000.0;
    let depth = pots.pot.depth_mm.likely / 1000.0;
    let pot = Pot {
        mass,
        diameter: (4.0 * mass / 1100.0 / depth / std::f64::consts::PI).sqrt(),
        vessel: if kind == 3 {
            Vessel::InBath(bath + ZERO_C)
        } else {
            Vessel::OnBench
        },
        start: room + ZERO_C,
        room: room + ZERO_C,
        bench,
    };
    let truth = follow(&resin_true, &pot);
    let row = usize::from(truth.peak >= 50.0 + ZERO_C) + usize::from(truth.peak >= 100.0 + ZERO_C);
    let column = match pots.pot.temper {
        PotTemper::Calm => 0,
        PotTemper::Warm => 1,
        PotTemper::Dangerous => 2,
    };
    counts.table[usize::from(kind == 3)][row][column] += 1;
    let use_by = &pots.pot.use_by_min;
    counts.in_time[0] += 1;
    counts.in_time[1] += usize::from(liquid(&truth, use_by.likely));
    counts.in_time[2] += usize::from(liquid(&truth, use_by.low));
}

/// Whether nothing of a pot had gelled or was at 60 °C after so many minutes.
fn liquid(truth: &Truth, minutes: f64) -> bool {
    [truth.sixty, truth.gel]
        .into_iter()
        .flatten()
        .all(|at| at > minutes * 60.0)
}

const WORDS: &str = "Pots of mixed resin that are left standing: what became of them, and what the sheet said.

Each pot has a resin, a vessel and a room of its own: 15 g to 1.5 kg in a cup, a bucket, a flat tray or a cup in cold water, at 12 to 32 °C. It is followed in its depth and width by a model that shares no law with the sheet's: an autocatalysed reaction with energies of 44 to 66 kJ/mol and an order of its own, slowed by diffusion as it turns to glass; heat conducted from cell to cell; a heat capacity that grows with warmth; still air that takes more from a warmer face, radiation, a plastic wall, and a bench that takes 3 to 8 W/(m² K) from below. The sheet is told what a data sheet tells: until 100 g gels at 25 °C, in the same model. No real pot is in this table, and boiling, smoke and fire are not in that model: it shows how the sheet's own heat balance holds against a finer one.
";

fn page(counts: &Counts) -> String {
    let mut text = WORDS.to_owned();
    for (group, name) in GROUPS.iter().enumerate() {
        let head = "calm | warm | can run away |\n|---|---|---|---|";
        writeln!(text, "\n| {name} | {head}").unwrap();
        for (truth, of) in TRUE.iter().enumerate() {
            let row = counts.table[group][truth]
                .map(|n| n.to_string())
                .join(" | ");
            writeln!(text, "| truly {of} | {row} |").unwrap();
        }
    }
    let told = |truth: usize, said: usize| -> usize {
        counts.table.iter().map(|group| group[truth][said]).sum()
    };
    let [all, likely, low] = counts.in_time;
    writeln!(
        text,
        "\nWhat it means. \"Warm\" is told with its doubt: most of these are called so because they can run away on a warm day or with a hardener quicker than its sheet says. From 100 g contained in air on, a pot is called one that can run away whatever its hardener, because that has been published.\n\n\
         - Of {} pots that ran away, {} had been called calm, {} warm and {} dangerous.\n\
         - Of {} pots that stayed cool, {} were called calm, {} warm and {} dangerous.\n\
         - Of {all} pots, {likely} were liquid throughout and below 60 °C at the likely end of the time to use them up, and {low} at its early end.\n\n\
         Made by `tests/tests/pots.rs`.",
        (0..3).map(|said| told(2, said)).sum::<usize>(),
        told(2, 0),
        told(2, 1),
        told(2, 2),
        (0..3).map(|said| told(0, said)).sum::<usize>(),
        told(0, 0),
        told(0, 1),
        told(0, 2),
    )
    .unwrap();
    text
}

#[test]
fn pots_of_which_the_truth_is_known() {
    let mut counts = Counts::default();
    (0..POTS).for_each(|seed| tally(&mut counts, seed));
    let page = page(&counts);
    let path = root().join("core/pots.md");
    if std::env::var_os("BASTWORK_WRITE").is_some() {
        std::fs::write(&path, &page).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == page,
        "core/pots.md is out of date: run this test with BASTWORK_WRITE=1 and look at what changed\n{page}"
    );
    let of = |truth: usize, said: std::ops::Range<usize>| -> usize {
        let rows = counts.table.iter().map(|group| &group[truth]);
        rows.map(|row| row[said.clone()].iter().sum::<usize>())
            .sum()
    };
    let ran = of(2, 0..3);
    assert!(ran > POTS / 5, "too few ran away to tell: {ran}");
    assert!(of(0, 0..3) > POTS / 8, "too few stayed cool to tell");
    // About none of what is called calm runs away.
    assert!(of(2, 0..1) * 50 <= ran, "{page}");
    // And calm is told of many that stay cool, or it would mean nothing.
    assert!(of(0, 0..1) * 2 >= of(0, 0..3), "{page}");
    let [all, likely, low] = counts.in_time;
    assert!(likely * 5 >= all * 4 && low * 20 >= all * 19, "{page}");
}

/// Grams before a place in a sentence.
fn grams_after(text: &str, words: &str) -> Option<f64> {
    let rest = text.split(words).nth(1)?;
    let number: String = rest
        .chars()
        .take_while(|c| c.is_ascii_digit() || *c == '.')
        .collect();
    let unit = rest[number.len()..].trim_start_matches('\u{a0}');
    assert!(unit.starts_with('g'), "{text}");
    number.parse().ok()
}

fn depth_in(text: &str) -> Option<f64> {
    let rest = text.split("no deeper than ").nth(1)?;
    rest.split('\u{a0}').next()?.parse().ok()
}

/// What a sheet proposes to mix: the sentence, the mass [g], and the depth in a tray [mm] where it says one.
fn proposed(sheet: &Sheet) -> Vec<(String, f64, Option<f64>)> {
    let pots = sheet.pots.as_ref().unwrap();
    let mut all: Vec<String> = sheet
        .notes
        .iter()
        .map(|note| note.sentence.clone())
        .collect();
    all.extend(pots.weighed.iter().map(|weighed| weighed.sentence.clone()));
    all.extend(pots.turn.iter().cloned());
    let conflicts = sheet.day.iter().flat_map(|day| &day.conflicts);
    all.extend(conflicts.flat_map(|conflict| conflict.ways.iter().cloned()));
    let mut found = Vec::new();
    for text in all {
        for words in ["that makes ", ": type "] {
            // Other things are typed too.
            if words == ": type " && !text.contains("as the largest pot") {
                continue;
            }
            if let Some(mass) = grams_after(&text, words) {
                found.push((text.clone(), mass, depth_in(&text)));
            }
        }
        for words in ["mix all ", " of "] {
            if text.contains("your scale weighs well enough") && text.contains("mix ") {
                let way = text.split("mix ").nth(1).unwrap();
                if let Some(mass) = grams_after(&format!("mix {way}"), words) {
                    found.push((text.clone(), mass, depth_in(&text)));
                }
            }
        }
    }
    found
}

#[test]
fn no_remedy_makes_a_hotter_pot_than_the_law_calls_calm() {
    let mut dice = Dice(77);
    let (mut seen, mut away) = (0, 0);
    for _ in 0..160 {
        let kind = KINDS[(dice.unit() * 4.0) as usize % 4];
        let room = dice.between(10.0, 33.0).round();
        let life = dice.ratio(12.0, 250.0).round();
        let weighed = dice.ratio(15.0, 900.0).round();
        let off = dice.ratio(0.1, 6.0);
        let hardener = (weighed * 0.3 * off).round().max(1.0);
        let step = [0.1, 1.0, 5.0][(dice.unit() * 3.0) as usize % 3];
        let mut mix = json!({
            "largest_pot_g": dice.ratio(20.0, 900.0).round(), "pot_kind": kind, "bath_c": 14,
            "weighed_resin_g": weighed, "weighed_hardener_g": hardener,
            "scale_step_g": step,
        });
        let width = dice.between(60.0, 300.0).round();
        let typed = kind != "tray" && dice.unit() < 0.4;
        if typed {
            mix["pot_mm"] = json!(width);
        }
        let mut job = plan(&mix, &resin(life), room, dice.ratio(0.05, 2.0));
        if dice.unit() < 0.5 {
            job["route"] = json!("infusion");
            job["bag"] = json!({ "pressure_mbar_abs": 15, "flow_mesh": false });
        }
        let sheet = sheet_from(&job, Shelf::generic()).unwrap();
        let pots = sheet.pots.as_ref().unwrap();
        let outside = pots.weighed.as_ref().unwrap();
        away += usize::from(outside.sentence.contains("Do not add to it"));
        let resin = Cured {
            kinetics: INFUSION_AMINE,
            speed: pots.speed.likely,
            tg_ultimate: 85.0 + ZERO_C,
        };
        for (text, mass, depth) in proposed(&sheet) {
            seen += 1;
            let kilograms = mass / 1000.0;
            let (body, h, around) = match (depth, kind) {
                (Some(mm), _) => (flat(kilograms, mm), 12.0, room),
                (None, "tray") => (flat(kilograms, 3.0), 12.0, room),
                (None, "bath") => {
                    let wide = if typed {
                        width / 1000.0
                    } else {
                        pot::cup_diameter(kilograms).unwrap()
                    };
                    (
                        pot::cup_in_water(kilograms, 1100.0, wide).unwrap(),
                        100.0,
                        14.0,
                    )
                }
                (None, _) => {
                    let usual = if kind == "bucket" {
                        0.22
                    } else {
                        pot::cup_diameter(kilograms).unwrap()
                    };
                    let wide = if typed { width / 1000.0 } else { usual };
                    (pot::cylinder(kilograms, 1100.0, wide).unwrap(), 12.0, room)
                }
            };
            let there = pot::Pot {
                body,
                start_temperature: room + ZERO_C,
                room_temperature: around + ZERO_C,
                heat_transfer: h,
                ..pot::Pot::default()
            };
            let class = pot::hazard(&resin, &there).unwrap();
            assert_eq!(
                class,
                Hazard::Calm,
                "{mass} g in {kind}, {room} C, life {life}: {text}"
            );
        }
    }
    assert!(seen > 25 && away > 25, "{seen} {away}");
}

fn flat(kilograms: f64, millimetres: f64) -> pot::Body {
    let area = kilograms / 1100.0 / (millimetres / 1000.0);
    pot::tray(kilograms, 1100.0, area.sqrt(), area.sqrt()).unwrap()
}
