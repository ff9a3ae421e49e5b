//! The drawing board: a part with its lines, kept ready so that a line can be dragged and the answer follows.

mod air;
mod layouts;
mod lines;
mod pockets;
mod sides;
mod told;

use super::drawn::{Laid, Placed, Set, TRIANGLES, lines_of, runs_of};
use super::ends::Ends;
use super::ground::Ground;
use super::pace::{OwnStack, Pace, Paced, paced};
use super::told::MISSED;
use crate::law::LawError;
use crate::law::front_map::{FrontMap, LEVELS};
use crate::plan::{Lies, Line, Plan, Route, read_lines};
use crate::read::{Problem, Reader, Shared};
use crate::shape::Shape;
use crate::sheet::{Desk, DrawnFill, Layouts, QuickFill, Reach, Spread};
use crate::shelf::Shelf;
use crate::solve::front::Arrival;
use crate::stage::bench::{UNFED, beyond};
use crate::units::{Unit, Units};
use serde_json::{Value, json};

/// Everything about a fill but its lines.
pub(super) struct Scene {
    plan: Plan,
    shape: Shape,
    lines: Vec<Line>,
    laid: Laid,
    ground: Ground,
    gain: Spread,
    pace: Pace,
    placed: Placed,
    map: FrontMap,
    arrival: Option<Arrival>,
    /// Run along a strip that takes as long as until each point is wet, once the arrival is known [m].
    wet: Vec<f64>,
    /// The place that is wet last.
    last: Option<usize>,
    /// What is wet last over the ranges of what lies there, once worked out for these lines.
    ends: Option<Ends>,
    density: f64,
    /// The stacks of zones that have their own.
    zones: Vec<OwnStack>,
    gives: Spread,
    trapped: f64,
    shelf: Shelf,
}

/// A plan on the drawing board.
pub struct Board {
    document: Value,
    shelf: Shelf,
    scene: Option<Scene>,
    problems: Vec<Problem>,
}

impl Board {
    /// Puts a plan on the board; what stands in the way is told by [`Board::problems`].
    #[must_use]
    pub fn new(document: &Value, shelf: &Shelf) -> Self {
        let mut board = Self {
            document: document.clone(),
            shelf: shelf.clone(),
            scene: None,
            problems: Vec::new(),
        };
        match board.scene_of(document) {
            Ok(scene) => {
                board.problems = scene.unfed();
                board.scene = Some(scene);
            }
            Err(problems) => board.problems = problems,
        }
        board
    }

    /// What stands in the way of a picture; empty when nothing does.
    #[must_use]
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    fn scene_of(&self, document: &Value) -> Result<Scene, Vec<Problem>> {
        let read = Plan::read(document, &self.shelf);
        let Some(plan) = read.plan else {
            return Err(read.problems);
        };
        let refuse = |field: &str, sentence: &str| vec![Problem::new(field, "", sentence)];
        if plan.route != Route::Infusion {
            return Err(refuse(
                "route",
                "Lines are drawn for an infusion. Choose vacuum-bag infusion as the way of moulding to see the fill.",
            ));
        }
        let Some(shape) = plan.drawing.shape.clone() else {
            return Err(refuse(
                "part.shape",
                "Draw the part first, or choose its form and type its sizes.",
            ));
        };
        let Paced {
            ground,
            gain,
            pace,
            density,
            gives,
            trapped,
            zones,
            ..
        } = paced(&plan, &self.shelf)?;
        let lines = lines_of(&plan.drawing, &shape, plan.feed);
        let set = Set::of(&plan);
        let mut laid = Laid::of(&plan.drawing, &shape, set, TRIANGLES);
        if laid.surface().corners.is_empty() {
            let mut bare = plan.drawing.clone();
            bare.zones.retain(|zone| zone.lies != Lies::Insert);
            let bare = Laid::of(&bare, &shape, set, TRIANGLES);
            if !bare.surface().corners.is_empty() {
                return Err(refuse(
                    "fill.zones",
                    "The inserts cover all of the part, so no resin can run in it. Make one of them smaller.",
                ));
            }
            return Err(refuse(
                "part.shape",
                "This outline could not be cut into triangles. Draw it with fewer or plainer corners.",
            ));
        }
        let placed = laid.place(&lines);
        let map = laid.map(&ground, 1.0).map_err(|why| beyond("fill", &why))?;
        Ok(Scene {
            plan,
            shape,
            lines,
            laid,
            ground,
            gain,
            pace,
            placed,
            map,
            arrival: None,
            wet: Vec::new(),
            last: None,
            ends: None,
            density,
            zones,
            gives,
            trapped,
            shelf: self.shelf.clone(),
        })
    }

    /// Replaces the lines; where they cannot be read, the old ones stay and the problems are given. Lines that do not
    /// feed the part stay, and that is told.
    pub fn set_lines(&mut self, lines: &Value) -> Vec<Problem> {
        let group = json!({ "lines": lines });
        let shared = Shared::default();
        let reader = Reader::new(&group, &shared, "fill");
        let read = read_lines(&reader);
        reader.finish();
        let problems = shared.problems.take();
        if !problems.is_empty() {
            return problems;
        }
        if let Some(fill) = self.document.get_mut("fill").and_then(Value::as_object_mut) {
            fill.insert("lines".into(), lines.clone());
        } else if let Some(document) = self.document.as_object_mut() {
            document.insert("fill".into(), group);
        }
        let Some(scene) = &mut self.scene else {
            return Vec::new();
        };
        let mut drawing = (*scene.plan.drawing).clone();
        (drawing.lines, drawing.channels) = read;
        scene.laid.carve(&drawing.channels);
        let lines = lines_of(&drawing, &scene.shape, scene.plan.feed);
        *scene.plan.drawing = drawing;
        scene.lines = lines;
        scene.placed = scene.laid.place(&scene.lines);
        scene.arrival = None;
        scene.ends = None;
        match scene.laid.map(&scene.ground, 1.0) {
            Ok(map) => scene.map = map,
            Err(why) => return beyond("fill", &why),
        }
        self.problems = scene.unfed();
        self.problems.clone()
    }

    /// Points of the triangles, x, y and z one after another [mm].
    #[must_use]
    pub fn points(&self) -> Vec<f32> {
        let points = self
            .scene
            .iter()
            .flat_map(|scene| &scene.laid.surface().points);
        points
            .flat_map(|p| p.map(|x| (x * 1000.0) as f32))
            .collect()
    }

    /// The sides of a flat part, each a line of x and y, joined where they run on [mm].
    #[must_use]
    pub fn sides(&self) -> Vec<Vec<[f64; 2]>> {
        self.scene
            .as_ref()
            .map(|scene| sides::sides(&scene.shape))
            .unwrap_or_default()
    }

    /// Corners of the triangles, three each.
    #[must_use]
    pub fn triangles(&self) -> Vec<u32> {
        let corners = self
            .scene
            .iter()
            .flat_map(|scene| &scene.laid.surface().corners);
        corners.flatten().copied().collect()
    }

    /// The time to fill, from one solve; none where no feed lies on the part, which [`Board::problems`] tells.
    pub fn quick(&mut self) -> Option<QuickFill> {
        let scene = self.scene.as_mut().filter(|scene| scene.is_fed())?;
        let filled = scene.placed.fill(&mut scene.map);
        let (ends, last) = scene
            .laid
            .ends_of(&scene.ground, &scene.placed, (&filled, &scene.map));
        let time = scene.pace.time(&ends).ok()?;
        let (_, reach) = scene.pace.reach(&time);
        let desk = Desk::new(scene.plan.units);
        let cell = desk.cell(Unit::Minute, &time.times(1.0 / 60.0));
        let at = last.map_or([0.0; 3], |i| scene.laid.surface().points[i]);
        Some(QuickFill {
            answer: scene.answer(&time, reach) + &missed(ends.missed),
            time_text: cell.text,
            time_range: cell.range,
            reach,
            last: at.map(|x| x * 1000.0),
            likely_min: cell.likely,
        })
    }

    /// When resin comes to each point [min], for a picture; not a number where it never does.
    pub fn arrival(&mut self) -> Vec<f32> {
        let Some(scene) = self.scene.as_mut() else {
            return Vec::new();
        };
        scene.settle();
        let minutes = scene.pace.likely_minutes(&scene.pictured());
        minutes.iter().map(|t| *t as f32).collect()
    }

    /// When it gels in the part, low, likely and high [min].
    #[must_use]
    pub fn gel(&self) -> [f64; 3] {
        let Some(scene) = &self.scene else {
            return [f64::NAN; 3];
        };
        let range = Desk::new(scene.plan.units).range(&scene.pace.gel);
        [range.low, range.likely, range.high].map(|t| t / 60.0)
    }

    /// Everything there is to tell.
    pub fn drawn(&mut self) -> Option<DrawnFill> {
        let (document, shelf) = (&self.document, &self.shelf);
        let scene = self.scene.as_mut()?;
        scene.settle();
        told::told(scene, document, shelf)
            .map_err(|why| self.problems = beyond("fill", &why))
            .ok()
    }

    /// Feeds that do better, the best three.
    pub fn layouts(&mut self) -> Option<Layouts> {
        layouts::layouts(self.scene.as_mut()?)
            .map_err(|why| self.problems = beyond("fill", &why))
            .ok()
    }
}

/// What resin never comes to, after the answer.
fn missed(share: f64) -> String {
    if share > MISSED {
        let percent = (share * 100.0).max(1.0);
        format!(" But {percent:.0} % of the part is never reached.")
    } else {
        String::new()
    }
}

impl Scene {
    /// Whether resin enters somewhere.
    fn is_fed(&self) -> bool {
        self.laid.is_fed(&self.placed)
    }

    /// What to tell where it does not.
    fn unfed(&self) -> Vec<Problem> {
        if self.is_fed() {
            return Vec::new();
        }
        beyond("fill", &LawError::Unsolved { what: UNFED })
    }

    /// Works out when the front comes where, once for these lines.
    fn settle(&mut self) {
        if self.arrival.is_none() {
            let arrival = self.placed.arrival(&mut self.map, LEVELS);
            let filled = self.placed.fill(&mut self.map);
            let (laid, ground) = (&self.laid, &self.ground);
            let soaked = laid.soaked(ground, &self.placed, &filled);
            self.wet = laid.wet(ground, &self.pace, (&self.map, &arrival, soaked));
            self.last = laid.ends_of(ground, &self.placed, (&filled, &self.map)).1;
            self.arrival = Some(arrival);
        }
    }

    /// The run along a strip that takes as long as until each point is wet [m]; not a number where resin never comes.
    fn runs(&self) -> Vec<f64> {
        self.wet.clone()
    }

    /// The same until the front comes, as it is seen on top.
    fn runs_on_top(&self) -> Vec<f64> {
        self.arrival.as_ref().map(runs_of).unwrap_or_default()
    }

    /// The same without steps of the size of a triangle.
    fn pictured(&self) -> Vec<f64> {
        lines::evened(self.laid.surface(), &self.runs())
    }

    /// Likely minutes at each point.
    fn minutes(&self) -> Vec<f64> {
        self.pace.likely_minutes(&self.runs())
    }

    fn shelf(&self) -> &Shelf {
        &self.shelf
    }

    fn set(&self) -> Set {
        Set::of(&self.plan)
    }

    fn units(&self) -> Units {
        self.plan.units
    }

    /// The answer in one sentence.
    fn answer(&self, time: &Spread, reach: Reach) -> String {
        let desk = Desk::new(self.units());
        let say = |x: &Spread| desk.say(Unit::Minute, &x.times(1.0 / 60.0));
        let (took, gels) = (say(time), say(&self.pace.gel));
        match reach {
            Reach::Will => format!(
                "Resin will reach every corner, the last in about {took}; it gels after about {gels}."
            ),
            Reach::MayNot if time.likely() <= self.pace.gel.likely() => {
                format!(
                    "Resin may not reach the last corner: likely after {took}, but it could be far slower, and it gels after about {gels}."
                )
            }
            Reach::MayNot => format!(
                "Resin may not reach the last corner: it likely gels first, after about {gels}."
            ),
            Reach::WillNot => format!(
                "Resin will not reach the last corner: it gels after about {gels}, long before."
            ),
        }
    }

    /// The time to fill by the clock, with the range of a mesh over part of it [s].
    fn time(&mut self) -> Result<Spread, LawError> {
        let ends = self.ends()?;
        self.pace.time(&ends)
    }

    /// What is wet last, over the ranges of what lies on the part; worked out once for these lines.
    fn ends(&mut self) -> Result<Ends, LawError> {
        if let Some(known) = &self.ends {
            return Ok(known.clone());
        }
        // This leaves the lines where they are; the map stands on the same points.
        let ends = self.laid.ends(&self.ground, &self.lines, &self.gain)?;
        Ok(self.ends.insert(ends).clone())
    }
}
