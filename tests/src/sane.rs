//! What every sheet and every refusal is held to, whatever was asked.

use crate::sheets::walk;
use bastwork::Problem;
use serde_json::Value;

/// Whether a refusal says something that a person can read.
///
/// # Errors
/// The sentence that does not.
pub fn sentences_are_good(problems: &[Problem]) -> Result<(), String> {
    if problems.is_empty() {
        return Err("neither a sheet nor a problem".into());
    }
    for problem in problems {
        let text = problem.sentence.as_str();
        // A law's own words for its arguments are no words for a person.
        let of_a_law = text.contains(" is between ") && text.contains("; it was ");
        // What was typed may hold anything.
        let own = if problem.value.is_empty() {
            text.to_owned()
        } else {
            text.replace(&problem.value, "")
        };
        let unreadable = own.contains("NaN") || own.contains('\u{2014}');
        if text.trim().len() < 10 || unreadable || of_a_law {
            return Err(format!("{problem:?}"));
        }
    }
    Ok(())
}

/// A text with a number in it that no person can read.
fn unreadable(text: &str) -> bool {
    let word = text
        .split(|c: char| !c.is_alphanumeric())
        .any(|word| matches!(word, "NaN" | "inf"));
    let bytes = text.as_bytes();
    let power = bytes
        .windows(3)
        .any(|three| three[0].is_ascii_digit() && &three[1..] == b"e-");
    word || power
}

/// Two bare figures over a factor of ten apart: such a range is told in words.
fn too_far_apart(range: &str) -> bool {
    let Some((low, high)) = range.split_once(" to ") else {
        return false;
    };
    let high = high.split('\u{a0}').next().unwrap_or_default();
    let [low, high] = [low, high].map(|text| text.parse::<f64>().unwrap_or(f64::NAN));
    high > 10.0 * low * (1.0 + 1e-6) && low >= 0.0
}

/// Amounts that may fall short as well as be too much: a lead that is lost, hardener that is missing.
const BOTH_WAYS: &[&str] = &["setting.post.lead_k", "pots.weighed.off_pct"];

/// Every stack has them; what lies too far out for them still has a thickness and a mass, and a note says so.
const STRENGTHS: &[&str] = &[
    "stack.first_cracking_mpa",
    "stack.tensile_strength_mpa",
    "stack.compressive_strength_mpa",
    "stack.bending_strength_mpa",
];

/// Parts of a sheet that a plan may do without: no knee in glass, no warp of what is alike from both faces.
const MAY_BE_NOTHING: &[&str] = &[
    "fill",
    "cure",
    "measure_first",
    "suit",
    "stack.thickness_at_feed_mm",
    "stack.modulus_after_knee_gpa",
    "stack.modulus_as_tested_gpa",
    "stack.knee_stress_mpa",
    "stack.warp_mm",
    "stack.coats_g",
    "dry.dew_point_c",
    "stack.bending_as_tested_gpa",
    "stack.heel_n",
    "stack.load",
    "stack.load.deflection_mm",
    "stack.load.damp_mm",
    "stack.load.soaked_mm",
    "stack.load.years_dry_mm",
    "stack.load.years_damp_mm",
    "stack.load.ring_hz",
    "stack.load.buckling_n_mm",
    "stack.load.buckling_reserve",
    "stack.load.crush_reserve",
    "stack.load.core_reserve",
    "stack.load.laminate_reserve",
    "stack.load.wrinkling_reserve",
    "bag",
    "bag.leak_mbar_min",
    "bag.leak_throughput_mbar_l_s",
    "bag.leak_ml_each_min",
    "bag.hole_um",
    "bag.air_until_gel_ml",
    "bag.lowest_with_leak_mbar",
    "bag.vapour_rise_mbar",
    "bag.plateau_mbar",
    "bag.humidity_pct",
    "bag.regain_left_pct",
    "bag.test",
    "bag.test.passes",
    "dry.largest_regain_pct",
    "dry.vapour_at_hottest_mbar",
    "dry.after_vacuum_pct",
    "dry.isotherm",
    "dry.curve",
    "dry.weighed",
    "pots",
    "pots.pot.ten_degrees_min",
    "pots.weighed",
    "pots.formula",
    "pots.fill_in_turn_min",
    "setting",
    "setting.post",
    "setting.service",
    "setting.service.stiffness_left_pct",
    "setting.service.gives_mm",
    "setting.after_fill",
    "trim.max_rpm",
    "trim.set_rpm",
    "trim.feed_mm_s",
    "trim.chip_load_mm",
    "trim.heat_ratio",
    "day.until_off_h",
    "day.start",
    "day.latest_start",
];

/// Whether a note says that the stack cannot be computed for these values, and which to change.
fn stack_is_told_to_be_out_of_reach(sheet: &Value) -> bool {
    let mut notes = sheet["notes"].as_array().into_iter().flatten();
    notes.any(|note| {
        note["stage"] == "stack"
            && note["weight"] == "problem"
            && note["sentence"]
                .as_str()
                .is_some_and(|text| text.contains("lie outside what can be computed"))
    })
}

/// Whether a part of a sheet may be missing, where the stack is `told` to be out of reach or not.
fn may_be_nothing(path: &str, told: bool) -> bool {
    let ends = [".year", ".cost", ".stored", ".time"];
    MAY_BE_NOTHING.contains(&path)
        || ends.iter().any(|end| path.ends_with(end))
        || told && STRENGTHS.contains(&path)
}

/// Whether each figure of a sheet is finite, in order, not below nothing, and readable.
///
/// # Errors
/// What is wrong, the first five.
pub fn every_figure_is_sane(sheet: &Value) -> Result<(), String> {
    let mut wrong = Vec::new();
    let mut figures = 0;
    let told = stack_is_told_to_be_out_of_reach(sheet);
    walk(sheet, &mut |path, value| {
        match value {
            Value::Number(number) if number.as_f64().is_none_or(|x| !x.is_finite()) => {
                wrong.push(format!("{path} is {number}"));
            }
            // What is not finite is written as nothing.
            Value::Null if !may_be_nothing(path, told) => {
                wrong.push(format!("{path} is missing"));
            }
            Value::String(text) => {
                // Titles of sources may hold anything; numbers are looked at with their unit below.
                let elsewhere = path.starts_with("sources.") || path.contains(".shown.");
                if unreadable(text) && !elsewhere {
                    wrong.push(format!("{path} says {text:?}"));
                }
            }
            Value::Object(map) if map.contains_key("whisker") => {
                // Permeability, and coefficients without a unit, are told in powers of ten.
                let unit = map["unit"].as_str().unwrap_or_default();
                let powers = path.contains("permeability")
                    || path.starts_with("inputs.") && matches!(unit, "" | "m²");
                for text in ["likely", "range"].map(|name| map[name].as_str().unwrap()) {
                    if unreadable(text) && !powers {
                        wrong.push(format!("{path} shows {text:?}"));
                    }
                }
                for place in map["whisker"].as_array().unwrap() {
                    if !(0.0..=1.0).contains(&place.as_f64().unwrap_or(f64::NAN)) {
                        wrong.push(format!("{path} has a whisker of {place}"));
                    }
                }
            }
            _ => {}
        }
        let words = |name: &str| value.get(name).and_then(Value::as_str);
        if let Some(range) = words("range") {
            // Temperature counts from no true zero.
            let degrees = ["unit", "text"]
                .map(words)
                .iter()
                .flatten()
                .any(|text| text.contains('°'));
            if too_far_apart(range) && !degrees {
                wrong.push(format!("{path} shows {range:?}"));
            }
        }
        let part = |name: &str| value.get(name).and_then(Value::as_f64);
        if let (Some(low), Some(likely), Some(high)) = (part("low"), part("likely"), part("high")) {
            figures += 1;
            if !(low <= likely && likely <= high) {
                wrong.push(format!("{path}: {low}, {likely}, {high} out of order"));
            }
            let amount = value.get("unit").is_some_and(|unit| unit != "°C");
            if amount && low < 0.0 && !BOTH_WAYS.contains(&path) {
                wrong.push(format!("{path} is {low}, below nothing"));
            }
        }
        if path.ends_with(".share") || path.ends_with("chance") {
            let share = value.as_f64().unwrap_or(f64::NAN);
            if !(0.0..=1.0).contains(&share) {
                wrong.push(format!("{path} is {share}"));
            }
        }
    });
    if figures < 30 {
        wrong.push(format!("only {figures} figures"));
    }
    if wrong.is_empty() {
        Ok(())
    } else {
        wrong.truncate(5);
        Err(wrong.join("\n"))
    }
}
