//! What a drawn fill comes to, in words and figures, with the lines of equal time.

use super::lines::{edges, level_lines};
use super::{Paced, Scene, paced};
use crate::law::LawError;
use crate::plan::Plan;
use crate::sheet::{
    Desk, DrawnFill, Fact, FillTable, FrontLine, Note, Place, Spread, StageName, Weight,
};
use crate::shelf::Shelf;
use crate::units::Unit;
use serde_json::{Value, json};

/// Times between the lines of equal time [min].
const STEPS: &[f64] = &[
    0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0, 240.0, 480.0, 1440.0,
];
/// About so many lines.
const LINES: f64 = 7.0;

/// Shares of the fill time that the table tells.
const SHARES: &[f64] = &[0.1, 0.25, 0.5, 0.75, 1.0];

/// A place that the front closes round counts when it stays dry for this share of the fill time.
const STAYS: f64 = 0.04;

/// A vent that is wet before this share of the fill time is early.
const EARLY: f64 = 0.9;

/// How high a part may be before the weight of the resin is spoken of [m].
const TALL: f64 = 0.15;

pub(super) fn told(
    scene: &mut Scene,
    document: &Value,
    shelf: &Shelf,
) -> Result<DrawnFill, LawError> {
    let time = scene.time()?;
    let minutes = scene.minutes();
    let (chance, reach) = scene.pace.reach(&time);
    let desk = Desk::new(scene.units());
    let fact = |label: &str, unit: Unit, value: &Spread| {
        let cell = desk.cell(unit, value);
        Fact {
            label: label.into(),
            text: cell.text,
            range: cell.range,
        }
    };
    let in_minutes = time.times(1.0 / 60.0);
    let arrival = scene.arrival.as_ref().ok_or(LawError::Unsolved {
        what: "the drawn fill",
    })?;
    let surface = scene.laid.surface();
    let last = arrival.last.map(|i| Place {
        at: surface.points[i].map(|x| x * 1000.0),
        sentence: format!(
            "Resin comes here last, after about {}.",
            desk.say(Unit::Minute, &in_minutes)
        ),
    });
    let mut facts = vec![
        Fact {
            label: "Chance that it is full before gel".into(),
            text: format!("{:.0} %", (chance * 20.0).round() * 5.0),
            range: String::new(),
        },
        dry_at_gel(scene, &time, &desk),
    ];
    facts.extend(what_if(scene, document, shelf, &desk)?);
    let mut notes = notes(scene, &minutes, &desk);
    notes.extend(early_vents(scene, &minutes, &desk)?);
    let run = scene
        .laid
        .run(&scene.ground, &scene.lines, &scene.gain)?
        .likely();
    let surface = scene.laid.surface();
    let line = |feeds: bool| -> Vec<Vec<f64>> {
        let lines = scene.lines.iter().filter(|line| line.feeds == feeds);
        lines
            .map(|line| line.points.iter().flatten().map(|x| x * 1000.0).collect())
            .collect()
    };
    Ok(DrawnFill {
        answer: scene.answer(&time, reach),
        reach,
        time: fact("Time to the last corner", Unit::Minute, &in_minutes),
        gel: fact(
            "Gel in the part",
            Unit::Minute,
            &scene.pace.gel.times(1.0 / 60.0),
        ),
        last,
        area: fact(
            "Area of the part",
            Unit::SquareMetre,
            &Spread::exact(scene.shape.area()),
        ),
        area_m2: scene.shape.area(),
        run_mm: run * 1000.0,
        facts,
        table: table(scene, &minutes, &desk),
        levels: levels(scene, &minutes, &desk),
        edges: edges(surface, &scene.laid.mesh.rim),
        feeds: line(true),
        vents: line(false),
        notes,
    })
}

/// What each point holds, and the whole.
fn stores(scene: &Scene) -> (Vec<f64>, f64) {
    let field = scene.map.field_ref();
    let holds: Vec<f64> = (0..scene.laid.surface().points.len())
        .map(|i| field.hold_of(i))
        .collect();
    let all = holds.iter().sum();
    (holds, all)
}

/// Area that is still dry when the resin gels.
fn dry_at_gel(scene: &Scene, time: &Spread, desk: &Desk) -> Fact {
    let (holds, all) = stores(scene);
    let area = scene.shape.area();
    let pace = &scene.pace;
    // Thin-resin time of each point, against that of the last.
    let thin: Vec<f64> = match &scene.arrival {
        Some(arrival) => arrival
            .at
            .iter()
            .map(|g| pace.likely_thin_at((2.0 * g.max(0.0)).sqrt()))
            .collect(),
        None => Vec::new(),
    };
    let most = thin
        .iter()
        .copied()
        .filter(|t| t.is_finite())
        .fold(1e-9, f64::max);
    let mut by_time: Vec<(f64, f64)> = thin
        .iter()
        .zip(&holds)
        .map(|(t, hold)| (if t.is_nan() { f64::INFINITY } else { t / most }, *hold))
        .collect();
    by_time.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut wet = Vec::with_capacity(by_time.len());
    let mut sum = 0.0;
    for (_, hold) in &by_time {
        sum += hold;
        wet.push(sum);
    }
    let dry = Spread::from([time, &pace.gel], |[time, gel]| {
        // The share of the way, in thin-resin time, that is done at gel.
        let done = pace.thickening.thin(1.0) / pace.thickening.thin(time / gel).max(1e-9);
        let count = by_time.partition_point(|(t, _)| *t <= done);
        let filled = if count == 0 { 0.0 } else { wet[count - 1] };
        (1.0 - filled / all).max(0.0) * area * 1e4
    });
    let range = desk.range(&dry);
    let cm2 = |x: f64| {
        let step = if x >= 1000.0 {
            100.0
        } else if x >= 100.0 {
            10.0
        } else {
            1.0
        };
        format!("{:.0}", (x / step).round() * step)
    };
    Fact {
        label: "Still dry when the resin gels".into(),
        text: if range.likely < 0.5 {
            "nothing".into()
        } else {
            format!("{} cm\u{b2}", cm2(range.likely))
        },
        range: if range.high < 0.5 {
            String::new()
        } else {
            format!("{} to {} cm\u{b2}", cm2(range.low), cm2(range.high))
        },
    }
}

/// The same fill a little warmer, at less vacuum, and with or without a mesh.
fn what_if(
    scene: &mut Scene,
    document: &Value,
    shelf: &Shelf,
    desk: &Desk,
) -> Result<Vec<Fact>, LawError> {
    let run = scene.laid.run(&scene.ground, &scene.lines, &scene.gain)?;
    let plan = &scene.plan;
    let mut facts = Vec::new();
    let mut other = |label: String, group: &str, key: &str, value: f64| {
        let mut changed = document.clone();
        if let Some(document) = changed.as_object_mut() {
            let group = document.entry(group).or_insert_with(|| json!({}));
            if let Some(group) = group.as_object_mut() {
                group.insert(key.into(), json!(value));
                // A reading of the gauge would outvote the pressure.
                group.remove("gauge_reading");
            }
        }
        let Some(plan) = Plan::read(&changed, shelf).plan else {
            return;
        };
        if let Ok(Paced { pace, .. }) = paced(&plan, shelf)
            && let Ok(thin) = pace.thin(&run)
        {
            let time = pace.clock(&thin);
            let cell = desk.cell(Unit::Minute, &time.times(1.0 / 60.0));
            let gels = desk.say(Unit::Minute, &pace.gel.times(1.0 / 60.0));
            facts.push(Fact {
                label,
                text: cell.text,
                range: format!("{}; gels after {gels}", cell.range),
            });
        }
    };
    let room = plan
        .given(&crate::plan::fields::ROOM_TEMPERATURE)
        .map_or(20.0, |t| t.likely);
    let three = desk.say_plain(Unit::Kelvin, 3.0);
    other(
        format!("In a shop {three} warmer"),
        "room",
        "temperature_c",
        room + 3.0,
    );
    other(
        format!("In a shop {three} cooler"),
        "room",
        "temperature_c",
        room - 3.0,
    );
    let mbar = scene.pace.net.likely();
    let bag = plan
        .given(&crate::plan::fields::BAG_PRESSURE)
        .map_or(20.0, |p| p.likely);
    if mbar > 3e4 {
        other(
            format!(
                "With {} more left in the bag",
                desk.say_plain(Unit::Millibar, 100.0)
            ),
            "bag",
            "pressure_mbar_abs",
            bag + 100.0,
        );
    }
    let meshed = plan.flow_mesh;
    if !scene
        .plan
        .deep
        .drawing()
        .zones
        .iter()
        .any(|z| matches!(z.lies, crate::plan::Lies::Mesh | crate::plan::Lies::Break))
    {
        let mut changed = document.clone();
        if let Some(document) = changed.as_object_mut() {
            let bag = document.entry("bag").or_insert_with(|| json!({}));
            if let Some(bag) = bag.as_object_mut() {
                bag.insert("flow_mesh".into(), json!(!meshed));
            }
        }
        if let Some(plan) = Plan::read(&changed, shelf).plan
            && let Ok(Paced {
                ground, gain, pace, ..
            }) = paced(&plan, shelf)
        {
            let run = scene.laid.run(&ground, &scene.lines, &gain)?;
            let time = pace.clock(&pace.thin(&run)?);
            let cell = desk.cell(Unit::Minute, &time.times(1.0 / 60.0));
            facts.push(Fact {
                label: if meshed {
                    "Without the flow mesh"
                } else {
                    "With a flow mesh on the whole part"
                }
                .into(),
                text: cell.text,
                range: cell.range,
            });
        }
    }
    Ok(facts)
}

fn levels(scene: &Scene, minutes: &[f64], desk: &Desk) -> Vec<FrontLine> {
    let most = minutes
        .iter()
        .copied()
        .filter(|t| t.is_finite())
        .fold(0.0, f64::max);
    let step = STEPS
        .iter()
        .copied()
        .find(|step| most / step <= LINES)
        .unwrap_or(1440.0);
    let mut lines = Vec::new();
    let mut at = step;
    while at < most && lines.len() < 20 {
        lines.push(FrontLine {
            min: at,
            text: desk.say_plain(
                if at >= 180.0 {
                    Unit::Hour
                } else {
                    Unit::Minute
                },
                if at >= 180.0 { at / 60.0 } else { at },
            ),
            strokes: level_lines(scene.laid.surface(), minutes, at),
        });
        at += step;
    }
    lines
}

fn table(scene: &Scene, minutes: &[f64], desk: &Desk) -> FillTable {
    let (holds, all) = stores(scene);
    let most = minutes
        .iter()
        .copied()
        .filter(|t| t.is_finite())
        .fold(0.0, f64::max);
    let litres = scene.ground.depth() * all;
    let surface = scene.laid.surface();
    let rows = SHARES
        .iter()
        .map(|share| {
            let at = most * share;
            let wet: f64 = minutes
                .iter()
                .zip(&holds)
                .filter(|(t, _)| **t <= at)
                .map(|(_, h)| h)
                .sum();
            // One over the slope of the arrival time, where the front runs through a triangle.
            let mut speeds = Vec::new();
            for corners in &surface.corners {
                let t = corners.map(|i| minutes[i as usize]);
                if t.iter().any(|t| t.is_nan())
                    || t.iter().all(|t| *t < at * 0.999)
                    || t.iter().all(|t| *t >= at * 0.999)
                {
                    continue;
                }
                if let Some(slope) = slope(corners.map(|i| surface.points[i as usize]), t) {
                    speeds.push(1000.0 / slope);
                }
            }
            speeds.sort_by(f64::total_cmp);
            let speed = speeds.get(speeds.len() / 2).map_or_else(String::new, |s| {
                format!("{} a minute", desk.say(Unit::Millimetre, &about(*s)))
            });
            vec![
                desk.say(Unit::Minute, &about(at)),
                format!("{:.0} %", wet / all * 100.0),
                desk.say(Unit::Gram, &about(wet / all * litres * scene.density * 1e3)),
                speed,
            ]
        })
        .collect();
    FillTable {
        caption: "How far resin has come, with likely values".into(),
        head: ["After", "Wet", "Resin in the part", "The front moves"]
            .map(String::from)
            .to_vec(),
        rows,
    }
}

/// A likely value to two figures.
fn about(x: f64) -> Spread {
    let step = 10_f64.powf(x.abs().max(1e-9).log10().floor() - 1.0);
    Spread::exact((x / step).round() * step)
}

/// Slope of a quantity on a triangle.
fn slope(p: [[f64; 3]; 3], t: [f64; 3]) -> Option<f64> {
    let edge = |a: usize, b: usize| [0, 1, 2].map(|k| p[b][k] - p[a][k]);
    let dot = |a: [f64; 3], b: [f64; 3]| (0..3).map(|k| a[k] * b[k]).sum::<f64>();
    let (e, f) = (edge(0, 1), edge(0, 2));
    let (ee, ef, ff) = (dot(e, e), dot(e, f), dot(f, f));
    let det = ee * ff - ef * ef;
    let (de, df) = (t[1] - t[0], t[2] - t[0]);
    let square = (ff * de * de - 2.0 * ef * de * df + ee * df * df) / det;
    (det > 0.0 && square > 0.0).then(|| square.sqrt())
}

/// The share of time a mesh takes longer when a vent stays open, and vents that are wet early.
fn early_vents(scene: &mut Scene, minutes: &[f64], desk: &Desk) -> Result<Vec<Note>, LawError> {
    let most = minutes
        .iter()
        .copied()
        .filter(|t| t.is_finite())
        .fold(0.0, f64::max);
    let mut notes = Vec::new();
    let vents: Vec<(usize, Vec<u32>)> = scene.placed.vents.iter().cloned().enumerate().collect();
    let clamped: Vec<bool> = scene
        .lines
        .iter()
        .filter(|l| !l.feeds)
        .map(|l| l.clamped)
        .collect();
    for (n, points) in vents {
        let first = points
            .iter()
            .map(|&i| minutes[i as usize])
            .filter(|t| t.is_finite())
            .fold(f64::INFINITY, f64::min);
        if !first.is_finite() {
            notes.push(note(
                Weight::Problem,
                format!(
                    "Resin never comes to vent {}: no feed is joined to it.",
                    n + 1
                ),
            ));
        } else if first < EARLY * most {
            let when = desk.say(Unit::Minute, &about(first));
            if clamped.get(n) == Some(&false) {
                notes.push(note(Weight::Problem, format!("Vent {} is wet after about {when} and stays open: it draws resin from then on, and the corners fill later for it. Clamp it then, or lay a resin break before it.", n + 1)));
            } else {
                let open = crate::solve::front::Gates {
                    feeds: &scene.placed.feeds,
                    vents: &points,
                };
                let longer = if scene.placed.turns.is_empty() {
                    let shut = scene.placed.fill(&mut scene.map).time;
                    let open = scene.map.field().fill(&open).time;
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

fn note(weight: Weight, sentence: String) -> Note {
    Note {
        stage: StageName::Fill,
        weight,
        sentence,
    }
}

fn notes(scene: &Scene, minutes: &[f64], desk: &Desk) -> Vec<Note> {
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
        let drawn = scene.plan.deep.drawing().lines.iter();
        let waits = drawn.filter(|line| line.feeds).enumerate();
        let numbers = waits.filter(|(_, line)| line.when_wet).map(|(n, _)| n + 1);
        for (n, (turn, opened)) in numbers.zip(turns.iter().zip(&arrival.opened)) {
            notes.push(if opened.is_nan() || turn.points.is_empty() {
                note(Weight::Problem, format!("Resin never comes to all of feed {n}, which waits for it, so it stays shut."))
            } else {
                let at = scene.pace.likely_at((2.0 * opened).sqrt()) / 60.0;
                note(Weight::Advice, format!("Open feed {n} when the front has come to all of it, after about {}.", desk.say(Unit::Minute, &about(at))))
            });
        }
    }
    let (low, high) = scene.shape.bounds();
    let tall = high[2] - low[2];
    if tall > TALL {
        let weight = scene.density * 9.81 * tall;
        let share = weight / scene.pace.net.likely() * 100.0;
        notes.push(note(Weight::Advice, format!("The part is {} high. The weight of the resin is not counted: what rises so far loses up to {share:.0} % of the pressure, and what falls gains as much.", desk.say_plain(Unit::Millimetre, (tall * 1000.0).round()))));
    }
    let backward = scene.map.field_ref().backward();
    if backward > 0 {
        notes.push(note(Weight::Advice, format!("In {backward} places the triangles are too coarse for how differently this cloth conducts along and across; times near them are less sure.")));
    }
    if scene.pace.lag.likely() > 0.0 {
        notes.push(note(Weight::Advice, format!("Under the mesh the bottom of the stack is wet about {} behind the front you see; the times count it.", desk.say(Unit::Millimetre, &scene.pace.lag.times(1000.0)))));
    }
    notes.push(note(Weight::Advice, "The picture shows likely values. Air that is left in a place that resin closes round, and a bag that gives way unevenly, are not in it.".into()));
    notes
}

/// Places that the front closes round, with no vent in them.
fn shut_in(scene: &Scene, minutes: &[f64], holds: &[f64], all: f64, desk: &Desk) -> Vec<Note> {
    let surface = scene.laid.surface();
    let most = minutes
        .iter()
        .copied()
        .filter(|t| t.is_finite())
        .fold(0.0, f64::max);
    let count = minutes.len();
    let mut near: Vec<Vec<u32>> = vec![Vec::new(); count];
    for corners in &surface.corners {
        for k in 0..3 {
            near[corners[k] as usize].push(corners[(k + 1) % 3]);
            near[corners[k] as usize].push(corners[(k + 2) % 3]);
        }
    }
    let mut vented = vec![false; count];
    for i in scene.placed.vents.iter().flatten() {
        vented[*i as usize] = true;
    }
    let mut order: Vec<usize> = (0..count)
        .filter(|&i| minutes[i].is_finite() && minutes[i] > 0.0)
        .collect();
    order.sort_by(|a, b| minutes[*b].total_cmp(&minutes[*a]));
    // Dry places grow together backwards in time; each knows its last point, its store and whether a vent is in it.
    let mut root: Vec<usize> = (0..count).collect();
    fn find(root: &mut [usize], mut i: usize) -> usize {
        while root[i] != i {
            root[i] = root[root[i]];
            i = root[i];
        }
        i
    }
    let mut seen = vec![false; count];
    let mut store = holds.to_vec();
    let mut found = Vec::new();
    for i in order {
        seen[i] = true;
        for &j in &near[i] {
            let j = j as usize;
            if !seen[j] {
                continue;
            }
            let (a, b) = (find(&mut root, i), find(&mut root, j));
            if a == b {
                continue;
            }
            // The one that is wet later lives on.
            let (keep, end) = if minutes[a] >= minutes[b] {
                (a, b)
            } else {
                (b, a)
            };
            if minutes[end] - minutes[i] > STAYS * most && !vented[end] {
                found.push((end, store[end], minutes[i]));
            }
            root[end] = keep;
            store[keep] += store[end];
            vented[keep] |= vented[end];
        }
    }
    let area = scene.shape.area();
    let mut notes: Vec<Note> = found
        .iter()
        .take(5)
        .map(|(at, store, closes)| {
            let p = surface.points[*at].map(|x| x * 1000.0);
            note(
                Weight::Problem,
                format!(
                    "Resin closes round about {:.0} cm\u{b2} near x {:.0} mm, y {:.0} mm after {}, with no vent there. Put a vent there, or move a feed so that the fronts do not meet around it.",
                    (store / all * area * 1e4).max(1.0),
                    p[0],
                    p[1],
                    desk.say(Unit::Minute, &about(*closes)),
                ),
            )
        })
        .collect();
    if let Some(last) = scene.arrival.as_ref().and_then(|arrival| arrival.last) {
        let reach = 4.0 * scene.laid.mesh.side;
        let here = surface.points[last];
        let by_a_vent = scene
            .placed
            .vents
            .iter()
            .flatten()
            .any(|&i| super::super::drawn::far(surface.points[i as usize], here) <= reach);
        if !by_a_vent {
            let p = here.map(|x| x * 1000.0);
            notes.push(note(
                Weight::Advice,
                format!(
                    "Put a vent where resin comes last, near x {:.0} mm, y {:.0} mm.",
                    p[0], p[1]
                ),
            ));
        }
    }
    notes
}
