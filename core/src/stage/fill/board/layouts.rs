//! Ways to feed a part, each with its lines where they do best, ranked by time, risk and the tube they need.

mod part;
mod rank;
mod search;
mod tell;
mod vents;
mod ways;

use super::Scene;
use crate::law::LawError;
use crate::plan::{Lies, Line, Plan};
use crate::shape::Shape;
use crate::shape::over_skin::length;
use crate::sheet::{Desk, Layouts, Reach, Spread};
use crate::stage::bench::Bench;
use crate::stage::fill::drawn::Laid;
use crate::stage::fill::ends::Ends;
use crate::stage::fill::pace::{Paced, stood_on};
use crate::stage::fill::told::kinds;
use part::Part;
use rank::{Tried, chosen};
use search::{Tries, across};
use vents::{Given, Vented, vented};
use ways::{Places, Way, lines_across, ways};

/// Triangles on which places are sought.
const COARSE: usize = 700;
/// Most lines side by side.
const MOST_LINES: usize = 6;
/// Rounds in which lines are moved once more on the triangles of the board.
const LAST_ROUNDS: usize = 3;

/// How far a hand lays a line from where it is drawn [m].
const OFF: f64 = 0.03;

/// A bed that ways are tried in: bare, or under a mesh.
struct Bed {
    meshed: bool,
    paced: Paced,
}

/// A way as it stands on the board.
struct Standing {
    title: String,
    meshed: bool,
    bed: usize,
    feeds: Vec<Line>,
    vented: Vented,
    time: Spread,
    reach: Reach,
    chance: f64,
    tube: f64,
    meets: bool,
    /// How much longer it takes when its lines lie a little off [s]; none where they lie on an edge.
    off: Option<f64>,
}

impl Standing {
    /// Whether nothing is left to mend or to clamp early.
    fn is_clean(&self) -> bool {
        self.vented.left == 0 && self.vented.early.is_empty()
    }
}

/// Bare and under a mesh, and the cloths that the trade does not infuse bare.
fn beds(scene: &Scene) -> (Vec<Bed>, Vec<String>) {
    let zones = &scene.plan.drawing.zones;
    let by_zones = zones.iter().any(|zone| zone.lies == Lies::Mesh);
    let mut beds = Vec::new();
    let mut wants = Vec::new();
    for meshed in [false, true] {
        if by_zones && meshed {
            continue;
        }
        let mut plan: Plan = scene.plan.clone();
        if !by_zones {
            plan.flow_mesh = meshed;
        }
        if let Ok((paced, stacked)) = stood_on(&mut Bench::new(&plan, scene.shelf())) {
            // A mesh in zones is a mesh.
            wants = if by_zones {
                Vec::new()
            } else {
                kinds(&stacked, false)
            };
            beds.push(Bed { meshed, paced });
        }
    }
    (beds, wants)
}

/// How sure a way is, from its time along a strip.
fn tried(way: usize, n: usize, bed: &Bed, ends: &Ends) -> Result<Tried, LawError> {
    let pace = &bed.paced.pace;
    let time = pace.time(ends)?;
    let (chance, reach) = pace.reach(&time);
    Ok(Tried {
        way,
        bed: n,
        meshed: bed.meshed,
        time,
        reach,
        chance,
        tube: 0.0,
        meets: false,
        lines: 1,
    })
}

/// Feed line of a way [m].
fn tube(lines: &[Line]) -> f64 {
    lines.iter().map(|line| length(&line.points)).sum()
}

/// Puts a way on the board's own triangles, moves its lines once more, and lays its vents.
fn standing(
    scene: &Scene,
    (part, bed, n): (&Part, &Bed, usize),
    way: &Way,
    solves: &mut usize,
) -> Result<Standing, LawError> {
    let given = Given {
        laid: &scene.laid,
        flat: matches!(scene.shape, Shape::Flat { .. }),
        area: scene.shape.area(),
    };
    let Paced {
        ground, pace, gain, ..
    } = &bed.paced;
    let mut places = way.places.clone();
    let mut feeds = way.lines.clone();
    let mut axis = None;
    if let Places::Across(k, at) = &mut places {
        axis = Some(&part.axes[*k]);
        let mut fine = Tries::on(scene.laid.clone());
        if let Some((found, _)) = fine.evened(ground, (part, &part.axes[*k]), at, LAST_ROUNDS)? {
            *at = found;
        }
        *solves += fine.solves;
        feeds = across(part, &part.axes[*k], at);
    }
    let skin = part.skin();
    for line in &mut feeds {
        line.points = part.taut(skin.as_ref(), &line.points);
    }
    let vented = vented(&given, (ground, pace), &feeds, axis)?;
    *solves += vented.solves;
    let feeds: Vec<Line> = vented
        .lines
        .iter()
        .filter(|line| line.feeds)
        .cloned()
        .collect();
    // The same as the board tells of these lines.
    let mut laid: Laid = vented.laid.clone();
    let time = pace.time(&laid.ends(ground, &vented.lines, gain)?)?;
    *solves += 1;
    let (chance, reach) = pace.reach(&time);
    let off = off(scene, (part, bed), (&places, time.likely()), solves)?;
    Ok(Standing {
        title: way.title.clone(),
        meshed: bed.meshed,
        bed: n,
        off,
        tube: tube(&feeds),
        feeds,
        vented,
        time,
        reach,
        chance,
        meets: way.meets,
    })
}

/// How much longer the fill takes when its lines lie a little off, likely [s]; none where they lie on an edge.
fn off(
    scene: &Scene,
    (part, bed): (&Part, &Bed),
    (places, time): (&Places, f64),
    solves: &mut usize,
) -> Result<Option<f64>, LawError> {
    let moved: Vec<Vec<Line>> = match places {
        Places::Fixed => return Ok(None),
        Places::Across(n, at) => {
            let axis = &part.axes[*n];
            let shifted = |by: f64| -> Vec<Line> {
                let at: Vec<f64> = at
                    .iter()
                    .map(|x| (x + by).clamp(axis.ends[0], axis.ends[1]))
                    .collect();
                across(part, axis, &at)
            };
            vec![shifted(OFF), shifted(-OFF)]
        }
        Places::Point(at) => {
            let shifted = |along: [f64; 3]| {
                let place = [0, 1, 2].map(|k| at[k] + OFF * along[k]);
                vec![part::feed(vec![part.onto(place)])]
            };
            part.axes
                .iter()
                .take(2)
                .map(|axis| shifted(axis.along))
                .collect()
        }
    };
    let mut tries = Tries::on(scene.laid.clone());
    let Paced { ground, pace, .. } = &bed.paced;
    let mut most = time;
    for lines in moved {
        if let Some(solved) = tries.solve(ground, &lines)? {
            most = most.max(pace.time(&solved.ends)?.likely());
        }
    }
    *solves += tries.solves;
    Ok(Some(most - time))
}

pub(super) fn layouts(scene: &mut Scene) -> Result<Layouts, LawError> {
    let scene = &*scene;
    let (beds, wants) = beds(scene);
    let desk = Desk::new(scene.units());
    let drawing = &scene.plan.drawing;
    let part = Part::of(&scene.shape, scene.laid.surface(), &scene.laid.mesh.rim);
    let mut tries = Tries::of(drawing, &scene.shape, scene.set(), COARSE);
    // Places are sought in the bed that is likelier to be laid.
    let first = usize::from((scene.plan.flow_mesh || !wants.is_empty()) && beds.len() > 1);
    let Some(sought) = beds.get(first) else {
        return Err(LawError::Unsolved {
            what: "the drawn fill",
        });
    };
    let mut all = ways(&mut tries, &sought.paced.ground, &part)?;
    let mut found: Vec<Tried> = Vec::new();
    let mut known = 0;
    let mut count = 3;
    loop {
        for (k, way) in all.iter().enumerate().skip(known) {
            for (n, bed) in beds.iter().enumerate() {
                let other;
                let ends = if n == first {
                    Some(&way.solved.ends)
                } else {
                    other = tries.solve(&bed.paced.ground, &way.lines)?;
                    other.as_ref().map(|solved| &solved.ends)
                };
                if let Some(ends) = ends {
                    found.push(Tried {
                        tube: tube(&way.lines),
                        meets: way.meets,
                        lines: way.lines.len(),
                        ..tried(k, n, bed, ends)?
                    });
                }
            }
        }
        known = all.len();
        // While none is sure, more lines side by side may be.
        count += 1;
        let sure = found.iter().any(|one| one.reach == Reach::Will);
        if sure || count > MOST_LINES || part.axes.is_empty() {
            break;
        }
        for n in 0..part.axes.len().min(2) {
            all.extend(lines_across(
                &mut tries,
                &sought.paced.ground,
                &part,
                (n, count),
            )?);
        }
    }
    let mut solves = tries.solves;
    let best = chosen(
        found.clone(),
        (scene.plan.flow_mesh, !wants.is_empty()),
        scene.laid.surface().corners.len(),
        |one| {
            standing(
                scene,
                (&part, &beds[one.bed], one.bed),
                &all[one.way],
                &mut solves,
            )
        },
    )?;
    Ok(tell::told(&beds, (&found, &best, &wants), &desk, solves))
}

#[cfg(test)]
mod tests;
