//! What a person must be told about a drawn fill besides its figures.

use super::stores;
use crate::law::LawError;
use crate::plan::Feed;
use crate::plan::fields::{POT_BELOW, WARP_TURN, WARP_X, WARP_Y};
use crate::sheet::{Desk, Note, StageName, Weight};
use crate::solve::front::Filled;
use crate::stage::fill::board::Scene;
use crate::stage::fill::board::air::{EARLY, air, first_wet, longest};
use crate::stage::fill::board::pockets::{Pocket, SMALL};
use crate::stage::fill::drawn::Placed;
use crate::units::Unit;

/// How high a part may be before the weight of the resin is spoken of [m].
const TALL: f64 = 0.15;

/// The share of time a mesh takes longer when a vent stays open, and vents that are wet early.
pub(super) fn early_vents(scene: &mut Scene, desk: &Desk) -> Result<Vec<Note>, LawError> {
    // Resin comes to a vent on top, whatever is dry below.
    let on_top = scene.pace.likely_minutes(&scene.runs_on_top());
    let most = longest(&on_top);
    let mut notes = Vec::new();
    let vents: Vec<(usize, Vec<u32>)> = scene.placed.vents.iter().cloned().enumerate().collect();
    let clamped: Vec<bool> = scene
        .lines
        .iter()
        .filter(|l| !l.feeds)
        .map(|l| l.clamped)
        .collect();
    for (n, points) in vents {
        let first = first_wet(&points, &on_top);
        if !first.is_finite() {
            notes.push(note(
                Weight::Problem,
                format!(
                    "Resin never comes to vent {}: no feed is joined to it.",
                    n + 1
                ),
            ));
        } else if first < EARLY * most {
            let when = desk.say_about(Unit::Minute, first);
            if clamped.get(n) == Some(&false) {
                notes.push(note(Weight::Problem, format!("Vent {} is wet after about {when} and stays open: it draws resin from then on, and the corners fill later for it. Clamp it then, or lay a resin break before it.", n + 1)));
            } else {
                let open = crate::solve::front::Gates {
                    feeds: &scene.placed.feeds,
                    vents: &points,
                };
                let longer = if scene.placed.turns.is_empty() {
                    let filled = scene.placed.fill(&mut scene.map);
                    let shut = thin(scene, &scene.placed, &filled)?;
                    let filled = scene.map.field().fill(&open);
                    let placed = Placed {
                        open_vents: points.clone(),
                        ..scene.placed.clone()
                    };
                    let open = thin(scene, &placed, &filled)?;
                    (open > 1.02 * shut && shut > 0.0).then(|| (open / shut - 1.0) * 100.0)
                } else {
                    None
                };
                let left = longer.map_or_else(String::new, |more| {
                    format!(" Left open, it makes the fill about {more:.0} % longer.")
                });
                notes.push(note(Weight::Advice, format!("Vent {} is wet after about {when}, before the part is full: clamp it then, or lay a resin break before it.{left}", n + 1)));
            }
        }
    }
    Ok(notes)
}

/// Time of thin resin until all is wet, likely [s].
fn thin(scene: &Scene, placed: &Placed, filled: &Filled) -> Result<f64, LawError> {
    let (ends, _) = scene
        .laid
        .ends_of(&scene.ground, placed, (filled, &scene.map));
    Ok(ends.thin(&scene.pace, Feed::Edge, true)?.likely())
}

pub(super) fn note(weight: Weight, sentence: String) -> Note {
    Note {
        stage: StageName::Fill,
        weight,
        sentence,
    }
}

pub(super) fn notes(scene: &Scene, minutes: &[f64], desk: &Desk) -> Vec<Note> {
    let mut notes = vec![note(
        Weight::Caution,
        "Resin and hardener sensitise skin and lungs for life: wear nitrile gloves and goggles, air the room, and read the product's own safety sheet first.".into(),
    )];
    let (holds, all) = stores(scene);
    let never: f64 = minutes
        .iter()
        .zip(&holds)
        .filter(|(t, _)| t.is_nan())
        .map(|(_, h)| h)
        .sum();
    if never > 1e-6 * all {
        notes.push(note(Weight::Problem, format!("Resin never comes to {:.0} % of the part: no feed is joined to it, or an open vent cuts it off.", (never / all * 100.0).max(1.0))));
    }
    notes.extend(shut_in(scene, minutes, &holds, all, desk));
    let turns = &scene.placed.turns;
    if let Some(arrival) = &scene.arrival {
        // Feeds are told apart by their number, as they stand in the plan.
        let drawn = scene.plan.drawing.lines.iter();
        let waits = drawn.filter(|line| line.feeds).enumerate();
        let numbers = waits.filter(|(_, line)| line.when_wet).map(|(n, _)| n + 1);
        for (n, (turn, opened)) in numbers.zip(turns.iter().zip(&arrival.opened)) {
            notes.push(if opened.is_nan() || turn.points.is_empty() {
                note(Weight::Problem, format!("Resin never comes to all of feed {n}, which waits for it, so it stays shut."))
            } else {
                let at = scene.pace.likely_at((2.0 * opened).sqrt()) / 60.0;
                note(Weight::Advice, format!("Open feed {n} when the front has come to all of it, after about {}.", desk.say_about(Unit::Minute, at)))
            });
        }
    }
    let (low, high) = scene.shape.bounds();
    let tall = high[2] - low[2];
    if tall > TALL {
        let share = scene.ground.weight() * tall * 100.0;
        let high = desk.say_plain(Unit::Millimetre, (tall * 1000.0).round());
        notes.push(note(Weight::Advice, if turns.is_empty() {
            format!("The part is {high} high, z pointing up: the weight of the resin is counted, and takes up to {share:.0} % of the pressure. The pot is counted {}; a metre lower costs {:.0} % more.", pot(scene, desk), scene.ground.weight() * 100.0)
        } else {
            format!("The part is {high} high. With feeds that wait, the weight of the resin is not counted: what rises so far loses up to {share:.0} % of the pressure, and what falls gains as much.")
        }));
    }
    if scene.laid.is_shell() && !scene.ground.is_even() {
        let given = [&WARP_X, &WARP_Y, &WARP_TURN].map(|field| scene.plan.given(field).is_some());
        notes.push(note(Weight::Advice, if given.contains(&true) {
            "The warp is carried over the skin from where you lay the cloth first, without shear.".into()
        } else {
            "The warp is taken to run along x in the middle of the shell and is carried over the skin from there, without shear. If you start elsewhere or turn the cloth, type where and by how much.".into()
        }));
    }
    let backward = scene.map.field_ref().backward();
    if backward > 0 {
        notes.push(note(Weight::Advice, format!("In {backward} places the triangles are too coarse for how differently this cloth conducts along and across; times near them are less sure.")));
    }
    if scene.pace.lag.likely() > 0.0 {
        notes.push(note(Weight::Advice, format!("Under the mesh the bottom of the stack is wet about {} behind the front you see, and last of all where it has soaked through at the end; the times count both.", desk.say(Unit::Millimetre, &scene.pace.lag.times(1000.0)))));
    }
    if scene.zones.iter().any(|zone| zone.cored) {
        notes.push(note(Weight::Advice, "No resin runs in the core of a zone or through it: the times count the plies on both sides of it as one. Drill the core, or see that both sides are fed at its edge.".into()));
    }
    notes.push(note(Weight::Advice, "The picture shows likely values. Air that is left in a place that resin closes round, and a bag that gives way unevenly, are not in it.".into()));
    notes
}

/// Where the pot is counted to stand.
fn pot(scene: &Scene, desk: &Desk) -> String {
    let usual = POT_BELOW.usual.map_or(0.0, |usual| usual.range.likely);
    let below = scene.plan.given(&POT_BELOW).map_or(usual, |mm| mm.likely);
    let apart = desk.say_plain(Unit::Millimetre, below.abs());
    if below > 0.0 {
        format!("{apart} below the lowest feed")
    } else if below < 0.0 {
        format!("{apart} above the lowest feed")
    } else {
        "level with the lowest feed".to_owned()
    }
}

/// Most places that are told one by one.
const MOST_TOLD: usize = 5;

/// Places that resin closes round, with no vent in them.
fn shut_in(scene: &Scene, minutes: &[f64], holds: &[f64], all: f64, desk: &Desk) -> Vec<Note> {
    let surface = scene.laid.surface();
    let area = scene.shape.area();
    let left = air(
        &scene.laid,
        &scene.placed,
        (minutes, scene.last),
        holds,
        area,
    );
    let size = |pocket: &Pocket| pocket.store / all * area;
    let large = &left.large;
    let mut notes: Vec<Note> = large
        .iter()
        .take(MOST_TOLD)
        .map(|pocket| {
            let wide = desk.say_small_area(size(pocket));
            let place = desk.say_place(surface.points[pocket.at]);
            let shut = if pocket.closes > 0.0 {
                format!(
                    "Resin closes round about {wide} near {place} after {}",
                    desk.say_about(Unit::Minute, pocket.closes)
                )
            } else {
                format!("Feeds shut in about {wide} near {place} from the start")
            };
            note(
                Weight::Problem,
                format!(
                    "{shut}, with no vent there: the air in it is squeezed to {} that stays dry, more if the bag leaks or the cloth is damp. Put a vent there, or move a feed so that the fronts do not meet around it.",
                    desk.say_small_area(size(pocket) * scene.trapped),
                ),
            )
        })
        .collect();
    if large.len() > MOST_TOLD {
        notes.push(note(
            Weight::Problem,
            format!(
                "Resin closes round {} more such places. Fewer feeds leave fewer of them.",
                large.len() - MOST_TOLD
            ),
        ));
    }
    if left.small > 0 {
        notes.push(note(
            Weight::Advice,
            format!(
                "Resin also closes round {} smaller than {}: too small for a vent, and it leaves a bubble.",
                if left.small == 1 { "a place".to_owned() } else { format!("{} places", left.small) },
                desk.say_small_area(SMALL)
            ),
        ));
    }
    if let Some(last) = left.last {
        let here = surface.points[last];
        notes.push(note(
            Weight::Advice,
            format!(
                "Put a vent where resin comes last, near {}.",
                desk.say_place(here)
            ),
        ));
    }
    notes
}
