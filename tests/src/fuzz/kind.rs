//! The doors that a document or file comes in by.

use super::dice::{Dice, mark_of};
use super::hold::{self, Answer};
use super::kept::Input;
use super::{bytes, slips};
use crate::{cases, cases_dir, files, fingers, json, plans, root};
use bastwork::shape::import::{LengthUnit, Measure, Up, Wish, read_file};
use bastwork::{Board, Plan, Shelf, catalogue, sheet_from};
use serde_json::{Map, Value, json};

/// What is searched.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// A plan through reading and its checks alone.
    Check,
    /// A plan through the whole sheet.
    Plan,
    /// A plan whose part is drawn, through the board and the whole sheet.
    Drawn,
    /// An own shelf through its checks, the catalogue, and now and then a sheet of what stands in it.
    Shelf,
    /// A drawing.
    Svg,
    /// A drawing.
    Dxf,
    /// A skin.
    Stl,
    /// A skin.
    Obj,
    /// A skin.
    Ply,
}

impl Kind {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::Check,
        Self::Plan,
        Self::Drawn,
        Self::Shelf,
        Self::Svg,
        Self::Dxf,
        Self::Stl,
        Self::Obj,
        Self::Ply,
    ];

    /// Its name, and that of its folder.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Check => "check",
            Self::Plan => "plan",
            Self::Drawn => "drawn",
            Self::Shelf => "shelf",
            Self::Svg => "svg",
            Self::Dxf => "dxf",
            Self::Stl => "stl",
            Self::Obj => "obj",
            Self::Ply => "ply",
        }
    }

    /// The kind of this name.
    #[must_use]
    pub fn of(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }

    /// Whether it is JSON.
    #[must_use]
    pub fn is_document(self) -> bool {
        matches!(self, Self::Check | Self::Plan | Self::Drawn | Self::Shelf)
    }

    /// How often the core is asked to make one input smaller: what takes longer is asked less.
    pub(super) fn patience(self) -> usize {
        match self {
            Self::Plan => 300,
            Self::Drawn => 150,
            _ => 1500,
        }
    }

    /// Inputs to begin with, besides what is kept; `count` of the drawn ones.
    #[must_use]
    pub fn seeds(self, count: usize) -> Vec<Input> {
        match self {
            Self::Check | Self::Plan => {
                let mut plans = examples();
                plans.extend(cases::plans());
                plans.extend(plans::seeded(count, 11));
                if self == Self::Check {
                    plans.extend(fingers::seeded(count, 11));
                }
                plans.into_iter().map(Input::Document).collect()
            }
            Self::Drawn => {
                let mut plans = examples();
                plans.retain(|plan| plan["part"]["shape"].is_object());
                plans.push(watched());
                plans.extend(fingers::seeded(count, 12));
                plans.into_iter().map(Input::Document).collect()
            }
            Self::Shelf => vec![Input::Document(own_shelf()), Input::Document(json!({}))],
            _ => {
                let ending = format!(".{}", self.name());
                let mut found = Vec::new();
                for folder in ["drawn", "outlines"] {
                    for path in files(&cases_dir().join(folder), &ending) {
                        found.push(Input::File(std::fs::read(path).unwrap()));
                    }
                }
                found
            }
        }
    }

    /// A draw that owes nothing to what is kept.
    #[must_use]
    pub fn fresh(self, dice: &mut Dice) -> Option<Input> {
        // One strategy a call costs more than its draws: they come in small lots from the seeds instead.
        match self {
            Self::Plan | Self::Check => {
                let seed = dice.below(256) as u8;
                plans::seeded(1, seed).pop().map(Input::Document)
            }
            Self::Drawn => {
                let seed = dice.below(256) as u8;
                fingers::seeded(1, seed).pop().map(Input::Document)
            }
            _ => None,
        }
    }

    /// An input with slips.
    #[must_use]
    pub fn slipped(self, dice: &mut Dice, input: &Input, other: &Input) -> Input {
        match (input, other) {
            (Input::Document(one), Input::Document(other)) => {
                Input::Document(slips::slipped(dice, one, other))
            }
            (one, other) => Input::File(bytes::slipped(dice, &one.bytes(), &other.bytes())),
        }
    }

    /// Hands an input to the core and holds the answer to what every answer is held to.
    ///
    /// # Errors
    /// What is wrong with the answer.
    pub fn ask(self, input: &Input) -> Result<Answer, String> {
        match (self, input) {
            (Self::Check, Input::Document(plan)) => {
                let read = Plan::read(plan, Shelf::generic());
                let mut answer = Answer::to(plan);
                if read.plan.is_none() {
                    hold::problems(&read.problems, &mut answer)?;
                }
                for path in &read.astray {
                    answer.mark(&["astray", &hold::bones(path)]);
                }
                Ok(answer)
            }
            (Self::Plan, Input::Document(plan)) => sheet(plan, Shelf::generic(), Answer::to(plan)),
            (Self::Drawn, Input::Document(plan)) => {
                let answer = board(plan)?;
                sheet(plan, Shelf::generic(), answer)
            }
            (Self::Shelf, Input::Document(own)) => shelf(own),
            (_, Input::File(bytes)) => self.file(bytes),
            (_, Input::Document(_)) => Err("a document is no file".into()),
        }
    }

    fn file(self, bytes: &[u8]) -> Result<Answer, String> {
        // What the maker wishes follows from the file, so that a file alone says what was asked.
        let mut dice = Dice::new(mark_of(bytes));
        let wish = wish(&mut dice);
        let mut answer = Answer::default();
        let name = format!("a.{}", self.name());
        let reading = match read_file(&name, bytes, &wish) {
            Err(problems) => {
                hold::problems(&problems, &mut answer)?;
                return Ok(answer);
            }
            Ok(reading) => reading,
        };
        hold::reading(&reading, &mut answer)?;
        if !reading.picture.areas.is_empty() {
            // A tap on one of the areas.
            let area = dice.of(&reading.picture.areas);
            let hole = area.as_hole.clone().filter(|_| dice.once_in(2));
            let pick = hole.unwrap_or_else(|| area.as_part.clone());
            match read_file(&name, bytes, &Wish { pick, ..wish }) {
                Ok(reading) => hold::reading(&reading, &mut answer)?,
                Err(problems) => hold::problems(&problems, &mut answer)?,
            }
        }
        if let Some(shape) = &reading.shape
            && dice.once_in(16)
        {
            let plan = json!({
                "part": { "shape": shape }, "resin": "infusion_epoxy_slow",
                "stack": [{ "fabric": "flax_twill_300", "count": 3 }],
            });
            answer.also(board(&plan)?);
            answer.also(sheet(&plan, Shelf::generic(), Answer::to(&plan))?);
        }
        Ok(answer)
    }
}

fn wish(dice: &mut Dice) -> Wish {
    if dice.once_in(3) {
        return Wish::default();
    }
    let measure = |dice: &mut Dice| Measure {
        side: dice.below(4),
        mm: [90.0, 900.0, 0.0, -1.0, 1e300, 1e-300][dice.below(6)],
    };
    Wish {
        unit: dice.once_in(2).then(|| *dice.of(&LengthUnit::ALL)),
        measure: if dice.once_in(4) {
            Some(measure(dice))
        } else {
            None
        },
        up: dice.of(&Up::ALL).0,
        turns: dice.below(5) as u8,
        mirror: dice.once_in(2),
        ..Wish::default()
    }
}

fn sheet(plan: &Value, shelf: &Shelf, mut answer: Answer) -> Result<Answer, String> {
    match sheet_from(plan, shelf) {
        Ok(sheet) => {
            let sheet = serde_json::to_value(&sheet).map_err(|why| why.to_string())?;
            hold::sheet(&sheet, &mut answer)?;
        }
        Err(problems) => hold::problems(&problems, &mut answer)?,
    }
    Ok(answer)
}

/// Most triangles that a drawing may lead to: the work of every later step goes with their number.
const MOST_TRIANGLES: usize = 60_000;

fn board(plan: &Value) -> Result<Answer, String> {
    let mut answer = Answer::to(plan);
    let mut board = Board::new(plan, Shelf::generic());
    let count = board.triangles().len() / 3;
    if count > MOST_TRIANGLES {
        return Err(format!("{count} triangles"));
    }
    let arrival = board.arrival();
    if let Some(time) = arrival.iter().find(|t| **t < 0.0 || t.is_infinite()) {
        return Err(format!("the front comes after {time} min"));
    }
    if let Some(at) = board.points().iter().find(|x| !x.is_finite()) {
        return Err(format!("a point of the board lies at {at}"));
    }
    let dry = arrival.iter().any(|t| t.is_nan());
    let size = usize::BITS - count.leading_zeros();
    answer.mark(&[
        "board",
        if dry { "dry places" } else { "wet" },
        &size.to_string(),
    ]);
    if board.drawn().is_none() {
        hold::problems(board.problems(), &mut answer)?;
    } else if arrival.len() != board.points().len() / 3 {
        return Err(format!(
            "{} times of {} points",
            arrival.len(),
            board.points().len() / 3
        ));
    }
    Ok(answer)
}

fn shelf(own: &Value) -> Result<Answer, String> {
    let mut answer = Answer::to(own);
    match Shelf::with_own(own) {
        Err(problems) => hold::problems(&problems, &mut answer)?,
        Ok(shelf) => {
            let told = serde_json::to_value(catalogue(&shelf)).map_err(|why| why.to_string())?;
            hold::numbers(&told)?;
            // A sheet costs a hundred times what the checks do.
            if mark_of(own.to_string().as_bytes()).is_multiple_of(8) {
                answer = sheet(&plan_on(own), &shelf, answer)?;
            }
        }
    }
    Ok(answer)
}

/// A plan that uses what stands in an own shelf.
fn plan_on(own: &Value) -> Value {
    let keys = |table: &str| -> Vec<String> {
        own[table]
            .as_object()
            .map(Map::keys)
            .into_iter()
            .flatten()
            .cloned()
            .collect()
    };
    let row = |fabric: &String| json!({ "fabric": fabric, "count": 2 });
    let mut stack: Vec<Value> = keys("fabrics").iter().take(3).map(row).collect();
    stack.push(json!({ "fabric": "flax_twill_300", "count": 2 }));
    let mut plan = json!({ "part": { "area_m2": 0.8, "flow_length_mm": 300 }, "stack": stack, "resin": "infusion_epoxy_slow" });
    if let Some(resin) = keys("resins").first() {
        plan["resin"] = json!(resin);
    }
    if let Some(tool) = keys("tools").first() {
        plan["trim"] = json!({ "tool": tool });
    }
    plan
}

fn examples() -> Vec<Value> {
    let folder = root().join("examples");
    let mut found = files(&folder, ".json");
    found.extend(files(&folder.join("wrong"), ".json"));
    found.iter().map(|path| json(path)).collect()
}

/// A drawn part whose front was watched in every way there is.
fn watched() -> Value {
    json!({
        "part": { "shape": { "form": "ell", "length_mm": 500, "width_mm": 400, "arm_mm": 150 } },
        "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
        "resin": "infusion_epoxy_slow",
        "fill": {
            "lines": [{ "does": "feed", "points_mm": [[0, 0], [0, 400]] }, { "does": "vent", "points_mm": [[500, 0]] }],
            "zones": [{ "lies": "plies", "count": 1, "points_mm": [[100, 0], [200, 0], [200, 100]] }],
            "front": [{ "min": 4, "mm": 120 }, { "min": 9, "at_mm": [200, 60] }, { "min": 70, "ended": true }]
        }
    })
}

/// An own shelf with something of every table.
fn own_shelf() -> Value {
    json!({
        "format": 1,
        "fabrics": {
            "sail": { "name": "Old sail", "kind": "cloth", "fibre": "hemp", "architecture": "plain",
                      "areal_mass_g_m2": { "low": 380, "likely": 400, "high": 420 }, "mass_basis": "dry",
                      "fibre_fraction_at_1_bar": 0.33, "compaction_exponent": 0.1, "permeability_m2": 3e-11 },
            "plank": { "name": "Paulownia", "kind": "core", "thickness_mm": 6, "density_g_cm3": 0.28,
                       "modulus_gpa": 0.3, "resin_uptake_g_m2": 250 }
        },
        "resins": { "can": { "name": "From the can", "hardener_per_100": 33, "density_resin_g_ml": 1.13,
                     "density_hardener_g_ml": 0.98, "density_cured_g_cm3": 1.14, "viscosity_mpa_s": 420,
                     "viscosity_at_c": 20, "second_viscosity_mpa_s": 260, "second_viscosity_at_c": 25,
                     "pot_life_min": 70, "pot_life_g": 150, "pot_life_c": 20, "pot_life_meaning": "ten_degrees",
                     "tg_ultimate_c": 84, "modulus_gpa": 3.0 } },
        "tools": { "blade": { "name": "Diamond blade", "action": "cutting_wheel", "diameter_mm": 76,
                     "advised_m_s": 25, "kerf_mm": 1.1, "wander_mm": 0.8 } },
        "stock": { "flax_twill_300": { "price": 18, "left": 3 } },
        "learned": { "moisture_scale": 0.66, "drying_factor": 1.4, "cloths": { "flax_twill_300": { "permeability_m2": 5e-11 } } }
    })
}
