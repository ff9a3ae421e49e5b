//! Tells what the search found: each stack worked out with its ranges, and the trade-off as points.

use super::{Found, Pick};
use crate::plan::fields::{
    TARGET_BENDING, TARGET_COST, TARGET_FOSSIL, TARGET_MASS, TARGET_THICK, TARGET_THIN,
};
use crate::plan::{Plan, Row};
use crate::read::Problem;
use crate::search::{Goal, Middle};
use crate::sheet::{Back, BackPoint, BackRow, BackStack, Cell, Estimate, Sheet};
use crate::shelf::{Fabric, Shelf};
use crate::stage::bench::Bench;
use crate::stage::{WHOLE, outline};

/// Letters that mark the stacks in table and plot.
const LETTERS: &[&str] = &["A", "B", "C", "D", "E"];

pub(super) fn told(plan: &Plan, shelf: &Shelf, found: Found) -> Result<Back, Vec<Problem>> {
    // A stack that is best at several things is told once.
    let mut unique: Vec<(Pick, Vec<&'static str>)> = Vec::new();
    for (goal, pick) in &found.best {
        let title = title(*goal);
        match unique
            .iter_mut()
            .find(|(known, _)| known.half == pick.half && known.middle == pick.middle)
        {
            Some((_, titles)) => titles.push(title),
            None => unique.push((pick.clone(), vec![title])),
        }
    }
    let mut stacks = Vec::new();
    for ((pick, titles), letter) in unique.iter().zip(LETTERS) {
        stacks.push(stack(plan, shelf, &found, pick, titles, letter)?);
    }
    let front = found
        .front
        .iter()
        .map(|point| BackPoint {
            thickness_mm: point.thickness * 1000.0,
            mass_g_m2: point.mass * 1000.0,
            fossil_kg_m2: point.fossil,
            plies: point.plies,
            found: unique
                .iter()
                .zip(LETTERS)
                .find(|((pick, _), _)| pick.half == point.half && pick.middle == point.middle)
                .map(|(_, letter)| *letter),
        })
        .collect();
    Ok(Back {
        sentence: sentence(&found),
        asked_for: found.said.clone(),
        found: stacks,
        front,
        candidates: found.candidates,
        worked: found.worked,
        asked: found.asked,
        whole: found.whole,
    })
}

fn title(goal: Goal) -> &'static str {
    match goal {
        Goal::Lightest => "lightest",
        Goal::Cheapest => "cheapest",
        Goal::LowestFossil => "least fossil carbon",
        Goal::Thinnest => "thinnest",
        Goal::EasiestFill => "easiest to fill",
    }
}

fn sentence(found: &Found) -> String {
    if found.cloths == 0 {
        return "There is nothing to lay. Write what is left under prices and stock, allow the whole shelf, or lay a flow mesh.".into();
    }
    let covered = crate::units::plain(found.candidates as f64);
    let space = format!(
        "{covered} symmetric stacks of one or two of {} cloths, up to {} plies, were covered",
        found.cloths, found.most_plies
    );
    let asked = if found.said.is_empty() {
        String::new()
    } else {
        format!(" Asked for: {}.", found.said.join("; "))
    };
    if found.best.is_empty() {
        let way = found
            .way_out
            .unwrap_or("Allow more plies, other cloths or a core.");
        return format!("{space}, and none does all of this. {way}{asked}");
    }
    let whole = if found.whole {
        "these are the best of all of them"
    } else {
        "the search was cut short, so better ones may be left"
    };
    format!("{space}; {whole}, with every input at its likely value.{asked}")
}

/// The plies of a pick, from the mould up, equal neighbours in one row.
fn rows(found: &Found, pick: &Pick) -> Vec<Row> {
    let plies = |i: usize| {
        let laying = &found.layings[i];
        laying.angles.iter().map(|&angle| (&laying.fabric, angle))
    };
    let half: Vec<(&Fabric, f64)> = pick.half.iter().flat_map(|&i| plies(i)).collect();
    let middle: Vec<(&Fabric, f64)> = match pick.middle {
        Middle::Plain => Vec::new(),
        Middle::Ply(i) => plies(i).collect(),
        Middle::Core(i) => vec![(&found.cores[i].fabric, 0.0)],
    };
    let outer = half.iter().rev().copied();
    let mut rows: Vec<Row> = Vec::new();
    for (fabric, angle) in half.iter().copied().chain(middle).chain(outer) {
        match rows.last_mut() {
            Some(row) if row.fabric == *fabric && row.angle_deg == angle => row.count += 1,
            _ => rows.push(Row {
                fabric: fabric.clone(),
                count: 1,
                angle_deg: angle,
            }),
        }
    }
    rows
}

fn stack(
    plan: &Plan,
    shelf: &Shelf,
    found: &Found,
    pick: &Pick,
    titles: &[&'static str],
    letter: &'static str,
) -> Result<BackStack, Vec<Problem>> {
    let rows = rows(found, pick);
    let laid = plan.with_stack(rows.clone());
    let sheet = outline::work(Bench::new(&laid, shelf), &[], Some(&WHOLE))?;
    let cell = |estimate: &Estimate| Cell {
        low: estimate.low,
        likely: estimate.likely,
        high: estimate.high,
        text: estimate.shown.with_unit(),
        range: estimate.shown.range.clone(),
    };
    let load = sheet.stack.load.as_ref();
    let this = sheet
        .suit
        .as_ref()
        .and_then(|suit| suit.rows.iter().find(|row| row.this));
    let build: Vec<String> = rows
        .iter()
        .map(|row| {
            let name = &row.fabric.entry().name;
            match &row.fabric {
                Fabric::Core(_) => name.clone(),
                Fabric::Cloth(_) => format!("{} × {name} at {}°", row.count, row.angle_deg),
            }
        })
        .collect();
    Ok(BackStack {
        letter,
        titles: titles.to_vec(),
        build: format!("From the mould up: {}.", build.join(", then ")),
        rows: rows
            .iter()
            .map(|row| BackRow {
                fabric: row.fabric.entry().key.clone(),
                name: row.fabric.entry().name.clone(),
                count: row.count,
                angle_deg: row.angle_deg,
            })
            .collect(),
        plies: rows.iter().map(|row| row.count).sum(),
        thickness: cell(&sheet.stack.thickness_mm),
        mass: cell(&sheet.stack.part_mass_g),
        bending: sheet.stack.bending_stiffness_n_m.as_ref().map(cell),
        fossil: this.map(|row| row.fossil.clone()),
        cost: this.and_then(|row| row.cost.clone()),
        fill: sheet.fill.as_ref().map(|fill| cell(&fill.time_min)),
        deflection: load.and_then(|load| load.deflection_mm.as_ref().map(cell)),
        reserve: load.map(|load| cell(&load.reserve)),
        chance: chance(plan, &sheet),
    })
}

/// What the load does to it, and which wishes it may miss by its range, in words.
fn chance(plan: &Plan, sheet: &Sheet) -> String {
    let this = sheet
        .suit
        .as_ref()
        .and_then(|suit| suit.rows.iter().find(|row| row.this));
    let thickness = &sheet.stack.thickness_mm;
    let doubts: Vec<&str> = [
        (
            "stiffness in bending",
            &TARGET_BENDING,
            sheet
                .stack
                .bending_stiffness_n_m
                .as_ref()
                .map(|e| (e.low, f64::INFINITY)),
        ),
        (
            "least thickness",
            &TARGET_THIN,
            Some((thickness.low, f64::INFINITY)),
        ),
        (
            "most thickness",
            &TARGET_THICK,
            Some((f64::NEG_INFINITY, thickness.high)),
        ),
        (
            "mass",
            &TARGET_MASS,
            Some((f64::NEG_INFINITY, sheet.stack.part_mass_g.high)),
        ),
        (
            "fossil carbon",
            &TARGET_FOSSIL,
            this.map(|row| (f64::NEG_INFINITY, row.fossil.high)),
        ),
        (
            "cost",
            &TARGET_COST,
            this.and_then(|row| Some((f64::NEG_INFINITY, row.cost.as_ref()?.high))),
        ),
    ]
    .into_iter()
    .filter_map(|(words, field, range)| {
        let wish = plan.given(field)?.likely;
        let (low, high) = range?;
        let missed = if low.is_finite() {
            low < wish
        } else {
            high > wish
        };
        missed.then_some(words)
    })
    .collect();
    let mut said = sheet
        .stack
        .load
        .as_ref()
        .map_or_else(String::new, |load| load.sentence.clone());
    if !doubts.is_empty() {
        if !said.is_empty() {
            said.push(' ');
        }
        said += &format!(
            "By its range it may miss your wish for {}.",
            doubts.join(" and ")
        );
    }
    said
}
