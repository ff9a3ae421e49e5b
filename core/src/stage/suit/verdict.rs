//! The verdict in plain sentences, with its reasons.

use super::build::{Built, Job};
use super::others::{CARBON, GLASS};
use crate::plan::{Equal, Matters};
use crate::sheet::{Spread, SuitRow};
use crate::stage::bench::Bench;
use crate::units::plain;

/// Below this share of the strength of glass, strength speaks against a material.
const WEAKER: f64 = 0.9;
/// Below this share of its mass, carbon is worth naming to somebody who counts grams.
const LIGHTER: f64 = 0.9;

/// The verdict; its first sentence answers the question.
pub(super) fn verdict(
    bench: &Bench<'_>,
    built: &[Built],
    rows: &[SuitRow],
    job: &Job,
) -> Vec<String> {
    let find = |key: &str| built.iter().find(|one| one.key == key);
    let text = |key: &str, pick: &dyn Fn(&SuitRow) -> String| {
        let row = rows.iter().find(|row| row.key == key);
        row.map_or_else(String::new, pick)
    };
    let this = &built[0];
    let Some(glass) = find(GLASS) else {
        return vec!["Woven glass cannot do this job, so there is nothing to compare with.".into()];
    };
    let held = match job.equal {
        Equal::Stiffness => "at the same bending stiffness",
        Equal::Strength => "at the same strength in bending",
        Equal::Deflection => "giving no more under your load",
    };
    let over = |a: &Spread, b: &Spread| a.likely() / b.likely();
    let mass = over(&this.mass, &glass.mass);
    let strength = over(&this.moment, &glass.moment);
    let fossil = over(&this.lines.fossil, &glass.lines.fossil);
    let resin = over(&this.lines.resin, &this.lines.fossil);
    let quiet = over(&this.loss, &glass.loss);
    let carbon = find(CARBON).map(|carbon| over(&carbon.mass, &this.mass));
    let carbon = carbon.filter(|&share| share < LIGHTER);
    let weighs = format!("{held}, this stack weighs {} woven glass", as_much(mass));
    let weak = job.equal != Equal::Strength && strength < WEAKER;
    let matters = bench.plan.matters;

    let mut said = vec![match (matters, carbon) {
        (Matters::Weight, Some(share)) if this.is_bast => format!(
            "No: where every gram counts, bast fibre is the wrong choice. Woven carbon weighs {} of this stack, {held}.",
            percent(share)
        ),
        (Matters::Strength, _) if this.is_bast && weak => format!(
            "No: where strength decides, bast fibre is the wrong choice. {} it breaks at {} times the bending moment of woven glass.",
            capital(held) + ",",
            two(strength)
        ),
        (Matters::Strength, _) if this.is_bast && job.equal == Equal::Strength && mass > 1.0 => {
            format!(
                "No: where strength decides, bast fibre is the wrong choice. {}.",
                capital(&weighs)
            )
        }
        (Matters::Footprint, _) => format!(
            "{}, its materials stand for {} times the fossil carbon of woven glass.",
            capital(held),
            two(fossil)
        ),
        (Matters::Quiet, _) => format!(
            "{}, it loses {} times as much of a vibration as woven glass.",
            capital(held),
            two(quiet)
        ),
        _ if this.is_bast => {
            format!("Yes, where stiffness, quiet and looks count more than strength: {weighs}.")
        }
        _ => format!("{}.", capital(&weighs)),
    }];
    said.push(format!(
        "It comes out {} thick and weighs {}; woven glass {} and {}.",
        rows[0].thickness.text,
        rows[0].mass.text,
        text(GLASS, &|row| row.thickness.text.clone()),
        text(GLASS, &|row| row.mass.text.clone()),
    ));
    if weak && !(matters == Matters::Strength && this.is_bast) {
        said.push(format!(
            "It breaks at {} times the bending moment of that glass: where strength decides, choose glass, or put a ply of glass on each face.",
            two(strength)
        ));
    }
    if let (Some(share), true) = (carbon, matters != Matters::Weight) {
        said.push(format!(
            "Woven carbon would weigh {} of this stack: where every gram counts, it is the better choice.",
            percent(share)
        ));
    }
    said.push(format!(
        "Fossil carbon of its materials: {} ({}), {} of it resin; woven glass {} ({}). Less resin saves more than another fibre.",
        rows[0].fossil.text,
        rows[0].fossil.range,
        percent(resin),
        text(GLASS, &|row| row.fossil.text.clone()),
        text(GLASS, &|row| row.fossil.range.clone()),
    ));
    if matters != Matters::Quiet {
        said.push(format!(
            "It damps vibration {} times as well as woven glass.",
            two(quiet)
        ));
    }
    said
}

/// "about as much as", "0.8 times as much as".
fn as_much(ratio: f64) -> String {
    if (ratio - 1.0).abs() < 0.05 {
        "about as much as".into()
    } else {
        format!("{} times as much as", two(ratio))
    }
}

/// A ratio to two figures.
fn two(x: f64) -> String {
    let step = match x {
        x if x < 1.0 => 100.0,
        x if x < 10.0 => 10.0,
        _ => 1.0,
    };
    plain((x * step).round() / step)
}

/// A share: "about 60%".
fn percent(share: f64) -> String {
    format!("about {}%", (share * 100.0).round())
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        format!("{}{}", first.to_ascii_uppercase(), letters.as_str())
    })
}
