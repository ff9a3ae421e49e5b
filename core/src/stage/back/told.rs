//! Tells what the search found: each stack worked out with its ranges, and the trade-off as points.

use super::sure::{Misses, Wished, misses};
use super::{Found, Pick};
use crate::plan::{Plan, Row};
use crate::read::Problem;
use crate::search::{Goal, Middle};
use crate::sheet::{Back, BackPoint, BackRow, BackStack, Cell, Estimate};
use crate::shelf::{Architecture, Fabric, Shelf};
use crate::solve::sort::sort_by_key;
use crate::stage::bench::Bench;
use crate::stage::pipeline;

/// Letters that mark the stacks in table and plot.
const LETTERS: &[&str] = &["A", "B", "C", "D", "E"];

/// One stack that is best at something, with its sheet told and held against what was asked.
pub(super) struct Judged {
    pub(super) goals: Vec<Goal>,
    pub(super) pick: Pick,
    stack: BackStack,
    /// Wishes that it does not keep often enough.
    pub(super) misses: Misses,
}

/// Works out the stacks that are best at the goals still open, each once.
pub(super) fn judge(
    plan: &Plan,
    shelf: &Shelf,
    found: &Found,
    open: &dyn Fn(&Goal) -> bool,
    sure: f64,
) -> Result<Vec<Judged>, Vec<Problem>> {
    let mut unique: Vec<(Pick, Vec<Goal>)> = Vec::new();
    for (goal, pick) in found.best.iter().filter(|(goal, _)| open(goal)) {
        match unique.iter_mut().find(|(known, _)| known == pick) {
            Some((_, goals)) => goals.push(*goal),
            None => unique.push((pick.clone(), vec![*goal])),
        }
    }
    let judged = unique.into_iter().map(|(pick, goals)| {
        let (stack, misses) = stack(plan, shelf, found, &pick, sure)?;
        Ok(Judged {
            goals,
            pick,
            stack,
            misses,
        })
    });
    judged.collect()
}

/// Tells the search: what was covered, and the stacks that keep everything as surely as asked.
pub(super) fn told(
    found: Found,
    mut kept: Vec<Judged>,
    sure: f64,
    missed: &[(Wished, f64)],
) -> Back {
    sort_by_key(&mut kept, |one| {
        one.goals.iter().map(|goal| *goal as usize).min()
    });
    let same = |pick: &Pick, point: &Pick| pick.half == point.half && pick.middle == point.middle;
    let front = found
        .front
        .iter()
        .map(|point| BackPoint {
            thickness_mm: point.thickness * 1000.0,
            mass_g_m2: point.mass * 1000.0,
            fossil_kg_m2: point.fossil,
            plies: point.plies,
            found: kept
                .iter()
                .zip(LETTERS)
                .find(|(one, _)| same(&one.pick, point))
                .map(|(_, letter)| *letter),
        })
        .collect();
    let sentence = sentence(&found, kept.is_empty(), sure, missed);
    let stacks = kept.into_iter().zip(LETTERS).map(|(mut one, letter)| {
        sort_by_key(&mut one.goals, |goal| *goal as usize);
        BackStack {
            letter,
            titles: one.goals.into_iter().map(title).collect(),
            ..one.stack
        }
    });
    Back {
        sentence,
        asked_for: found.said.clone(),
        found: stacks.collect(),
        front,
        candidates: found.candidates,
        worked: found.worked,
        asked: found.asked,
        whole: found.whole,
    }
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

fn sentence(found: &Found, nothing: bool, sure: f64, missed: &[(Wished, f64)]) -> String {
    if found.cloths == 0 {
        return "There is nothing to lay. Write what is left under prices and stock, allow the whole shelf, or lay a flow mesh.".into();
    }
    let covered = crate::units::plain(found.candidates as f64);
    let space = format!(
        "{covered} symmetric stacks of one or two of {} cloths, up to {} plies, were covered",
        found.cloths, found.most_plies
    );
    let often = format!("{} times in a hundred", crate::units::plain(100.0 * sure));
    let asked = if found.said.is_empty() {
        String::new()
    } else {
        format!(" Asked for, {often}: {}.", found.said.join("; "))
    };
    if nothing && !missed.is_empty() {
        let mut doubts: Vec<&str> = Vec::new();
        for (wished, _) in missed {
            if !doubts.contains(&wished.words()) {
                doubts.push(wished.words());
            }
        }
        return format!(
            "{space}. Some would do all of this with everything likely, but none so surely: what misses is {}. Ask for less of it, or be content with less sure.{asked}",
            doubts.join(" and ")
        );
    }
    if nothing {
        let way = found
            .way_out
            .unwrap_or("Allow more plies, other cloths or a core.");
        return format!("{space}, and none does all of this. {way}{asked}");
    }
    let whole = if found.whole {
        "these are the best of them, with room to spare for what may come out otherwise than likely"
    } else {
        "the search was cut short, so better ones may be left"
    };
    format!("{space}; {whole}.{asked}")
}

/// The angle at which a cloth lies in the upper half so that its layers mirror those of the lower: the two layers of
/// stitched cloth swap places when it is turned by a quarter.
fn mirrored(fabric: &Fabric, angle: f64) -> f64 {
    match fabric {
        Fabric::Cloth(cloth) if cloth.architecture == Architecture::Biaxial => {
            if angle > 0.0 {
                angle - 90.0
            } else {
                angle + 90.0
            }
        }
        _ => angle,
    }
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
    let outer = half.iter().rev();
    let outer = outer.map(|&(fabric, angle)| (fabric, mirrored(fabric, angle)));
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
    sure: f64,
) -> Result<(BackStack, Misses), Vec<Problem>> {
    let rows = rows(found, pick);
    let laid = plan.with_stack(rows.clone());
    let sheet = pipeline::work(&mut Bench::new(&laid, shelf), &[])?;
    let misses = misses(plan, &sheet, sure);
    let cell = |estimate: &Estimate| Cell {
        low: estimate.low,
        likely: estimate.likely,
        high: estimate.high,
        tenths: estimate.tenths,
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
    let quarter = if pick.half.iter().any(|&i| {
        let laying = &found.layings[i];
        mirrored(&laying.fabric, 0.0) != 0.0
    }) {
        " Stitched cloth lies a quarter turn apart in the two halves, which mirrors its layers."
    } else {
        ""
    };
    let told = BackStack {
        letter: "",
        titles: Vec::new(),
        build: format!("From the mould up: {}.{quarter}", build.join(", then ")),
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
        chance: load.map_or_else(String::new, |load| load.sentence.clone()),
    };
    Ok((told, misses))
}
