//! Ways to feed a part, tried one after the other and ranked by time, risk and the tube they need.

mod ways;

pub(super) use ways::sides;

use super::Scene;
use super::pockets::{Pocket, SMALL, pockets};
use crate::law::LawError;
use crate::plan::Line;
use crate::sheet::{Desk, LaidLine, Layout, Layouts, Reach, Spread};
use crate::stage::fill::drawn::{Laid, TRIANGLES, far, runs_of};
use crate::stage::fill::pace::Pace;
use crate::units::Unit;
use ways::{vent, ways};

/// A way that takes less than this share longer than another does as well.
const AS_WELL: f64 = 1.1;

/// Most vents that are laid where fronts close round a place.
const MOST_VENTS: usize = 12;
/// A side all of which is wet later than this share of the fill is where air leaves.
const LATE: f64 = 0.9;

/// One way, tried.
struct Tried {
    title: String,
    lines: Vec<Line>,
    meshed: bool,
    /// Which of the paces it stands on.
    pace: usize,
    time: Spread,
    reach: Reach,
    chance: f64,
    tube: f64,
    /// Whether fronts close on the middle, so that a vent must stand there.
    closes: bool,
}

fn tube(lines: &[Line]) -> f64 {
    lines
        .iter()
        .flat_map(|line| line.points.windows(2))
        .map(|w| far(w[0], w[1]))
        .sum()
}

pub(super) fn layouts(scene: &mut Scene) -> Result<Layouts, LawError> {
    let desk = Desk::new(scene.units());
    let zones_mesh = scene
        .plan
        .deep
        .drawing()
        .zones
        .iter()
        .any(|z| z.lies == crate::plan::Lies::Mesh);
    // With and without a mesh: the other pace comes from the same plan.
    let mut paces: Vec<(bool, Pace, crate::stage::fill::ground::Ground)> = Vec::new();
    for meshed in [false, true] {
        if zones_mesh && meshed {
            continue;
        }
        let mut plan = scene.plan.clone();
        if !zones_mesh {
            plan.flow_mesh = meshed;
        }
        if let Ok(super::Paced { ground, pace, .. }) = super::paced(&plan, scene.shelf()) {
            paces.push((meshed, pace, ground));
        }
    }
    let (drawing, shape, gap) = (
        scene.plan.deep.drawing().clone(),
        scene.shape.clone(),
        scene.gap(),
    );
    let mut tried: Vec<Tried> = Vec::new();
    let mut plain = Laid::of(&drawing, &shape, gap, TRIANGLES);
    for (title, lines, closes) in ways(&shape) {
        let laid = &mut plain;
        let vents: Vec<Line> = sides(&shape)
            .iter()
            .map(|line| vent(line.iter().map(|p| [p[0] / 1e3, p[1] / 1e3, 0.0]).collect()))
            .collect();
        // With the vents, which draw nothing, so that their points are known by the same numbers.
        let placed = laid.place(&[lines.as_slice(), &vents].concat());
        let sides: Vec<(&Vec<u32>, Line)> = placed.vents.iter().zip(vents).collect();
        for (n, (meshed, pace, ground)) in paces.iter().enumerate() {
            let mut map = laid.map(ground, 1.0)?;
            let filled = placed.fill(&mut map);
            if filled.last.is_none() {
                continue;
            }
            let run = Spread::exact((2.0 * filled.time).sqrt());
            let Ok(thin) = pace.thin(&run) else {
                continue;
            };
            let time = pace.clock(&thin);
            let (chance, reach) = pace.reach(&time);
            // Air leaves along the sides that are wet last; where fronts close on the middle, at the last point.
            let mut all = lines.clone();
            let late = sides.iter().filter(|(nodes, _)| {
                !nodes.is_empty()
                    && nodes
                        .iter()
                        .all(|&i| filled.bound[i as usize] >= LATE * filled.time)
            });
            all.extend(late.map(|(_, line)| line.clone()));
            if all.len() == lines.len()
                && let Some(last) = filled.last
            {
                all.push(vent(vec![laid.surface().points[last]]));
            }
            tried.push(Tried {
                title: title.clone(),
                tube: tube(&lines),
                lines: all,
                meshed: *meshed,
                pace: n,
                time,
                reach,
                chance,
                closes,
            });
        }
    }
    let count = tried.len();
    let sure = tried.iter().filter(|t| t.reach == Reach::Will).count();
    // Sure ones first, without a mesh before with one, then by how much tube and time they take.
    let bare_will = tried.iter().any(|t| t.reach == Reach::Will && !t.meshed);
    tried.retain(|t| !bare_will || !t.meshed || t.reach != Reach::Will);
    let length = tried.iter().map(|t| t.tube).fold(0.1, f64::max);
    let quickest = tried
        .iter()
        .map(|t| t.time.likely())
        .fold(f64::INFINITY, f64::min);
    let cost = |t: &Tried| {
        let sure = match t.reach {
            Reach::Will => 0.0,
            Reach::MayNot => 10.0 + 10.0 * (1.0 - t.chance),
            Reach::WillNot => 30.0 + (t.time.likely() / quickest).ln(),
        };
        sure + t.tube / length
            + if t.closes { 0.35 } else { 0.0 }
            + 0.12 * (t.time.likely() / quickest).ln()
    };
    tried.sort_by(|a, b| cost(a).total_cmp(&cost(b)));
    let mut best: Vec<&Tried> = Vec::new();
    for t in &tried {
        let same = best.iter().any(|b| {
            b.meshed == t.meshed
                && (b.title == t.title
                    || ((b.time.likely() / t.time.likely() - 1.0).abs() < 1e-2
                        && (b.tube - t.tube).abs() < 0.02 * length))
        });
        if !same && best.len() < 3 {
            best.push(t);
        }
    }
    // The quickest sure one belongs to the three.
    let fastest = tried
        .iter()
        .filter(|t| t.reach == Reach::Will)
        .min_by(|a, b| a.time.likely().total_cmp(&b.time.likely()));
    if let Some(fastest) = fastest
        && best.len() == 3
        && best
            .iter()
            .all(|b| b.time.likely() > AS_WELL * fastest.time.likely())
    {
        best[2] = fastest;
    }
    // Where fronts close round a place, or end, air must get out.
    let mut airy: Vec<(Vec<Line>, bool)> = Vec::new();
    let area = shape.area();
    for t in &best {
        let (_, pace, ground) = &paces[t.pace];
        let mut laid = Laid::of(&drawing, &shape, gap, TRIANGLES);
        let placed = laid.place(&t.lines);
        let mut map = laid.map(ground, 1.0)?;
        let arrival = placed.arrival(&mut map, super::LEVELS);
        let minutes = pace.likely_minutes(&runs_of(&arrival));
        let surface = laid.surface();
        let holds: Vec<f64> = (0..minutes.len())
            .map(|i| map.field_ref().hold_of(i))
            .collect();
        let found = pockets(surface, &minutes, &holds, &placed.vents);
        let all: f64 = holds.iter().sum();
        let large = |pocket: &&Pocket| pocket.store / all * area >= SMALL;
        let mut closed: Vec<usize> = found.iter().filter(large).map(|pocket| pocket.at).collect();
        let every_one = closed.len() <= MOST_VENTS;
        closed.truncate(MOST_VENTS);
        let last = arrival.last.filter(|&last| !laid.is_vented(&placed, last));
        closed.extend(last.filter(|last| !closed.contains(last)));
        let vents = closed.iter().map(|&i| vent(vec![surface.points[i]]));
        airy.push((t.lines.iter().cloned().chain(vents).collect(), every_one));
    }
    let needs_mesh = !bare_will && tried.iter().any(|t| t.reach == Reach::Will && t.meshed);
    let sentence = if sure == 0 {
        format!(
            "{count} ways were tried and none is sure to fill the part before the resin gels. Take a slower hardener, keep shop and resin cooler, or make the part in two; these come nearest."
        )
    } else if needs_mesh {
        format!("{count} ways were tried. Without a flow mesh none is sure; with one {sure} are.")
    } else {
        format!("{count} ways were tried; {sure} are sure to fill the part before the resin gels.")
    };
    let least_tube = best.iter().map(|t| t.tube).fold(f64::INFINITY, f64::min);
    let least_time = best
        .iter()
        .map(|t| t.time.likely())
        .fold(f64::INFINITY, f64::min);
    let told = best.iter().zip(&airy).map(|(t, (lines, every_one))| {
        let cell = desk.cell(Unit::Minute, &t.time.times(1.0 / 60.0));
        let mut why = Vec::new();
        match t.reach {
            Reach::Will => {}
            Reach::MayNot => why.push("it may not fill in time".to_owned()),
            Reach::WillNot => why.push("it will not fill in time".to_owned()),
        }
        if t.time.likely() <= least_time {
            why.push("the quickest of the three".to_owned());
        }
        if t.tube <= least_tube {
            why.push("the shortest feed line of the three".to_owned());
        }
        if !every_one {
            why.push("fronts close round more places than can be vented".to_owned());
        } else if t.closes {
            why.push("fronts meet, and a vent stands where they do".to_owned());
        } else {
            why.push("one front that drives the air before it".to_owned());
        }
        let why = why.join("; ");
        let line = |line: &Line| LaidLine {
            does: if line.feeds { "feed" } else { "vent" },
            points_mm: line
                .points
                .iter()
                .map(|p| p.map(|x| (x * 1e4).round() / 10.0))
                .collect(),
        };
        Layout {
            title: if t.meshed {
                format!("{}, under a flow mesh", t.title)
            } else {
                t.title.clone()
            },
            why: format!("{}{}.", why[..1].to_uppercase(), &why[1..]),
            lines: lines.iter().map(line).collect(),
            flow_mesh: t.meshed,
            time_text: cell.text,
            time_range: cell.range,
            reach: t.reach,
            tube_text: desk.say_about(Unit::Metre, t.tube),
        }
    });
    Ok(Layouts {
        sentence,
        tried: count,
        best: told.collect(),
    })
}
