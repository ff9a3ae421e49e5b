//! Ways to feed a part, tried one after the other and ranked by time, risk and the tube they need.

use super::Scene;
use crate::law::LawError;
use crate::plan::Line;
use crate::shape::{Shape, inside};
use crate::sheet::{Desk, LaidLine, Layout, Layouts, Reach, Spread};
use crate::stage::fill::drawn::{Laid, far};
use crate::stage::fill::pace::Pace;
use crate::units::Unit;

/// From this length on ribs are worth their tube [m].
const BIG: f64 = 0.9;
/// A way that takes less than this share longer than another does as well.
const AS_WELL: f64 = 1.1;

/// A side all of which is wet later than this share of the fill is where air leaves.
const LATE: f64 = 0.9;

/// One way, tried.
struct Tried {
    title: String,
    lines: Vec<Line>,
    meshed: bool,
    time: Spread,
    reach: Reach,
    chance: f64,
    tube: f64,
    /// Whether fronts close on the middle, so that a vent must stand there.
    closes: bool,
}

fn feed(points: Vec<[f64; 3]>) -> Line {
    Line {
        feeds: true,
        points,
        when_wet: false,
        clamped: true,
    }
}

fn vent(points: Vec<[f64; 3]>) -> Line {
    Line {
        feeds: false,
        ..feed(points)
    }
}

/// Stretches of a straight line that lie on a flat part.
fn on_part(shape: &Shape, a: [f64; 2], b: [f64; 2]) -> Vec<Line> {
    let Shape::Flat { outline, holes } = shape else {
        return vec![feed(vec![[a[0], a[1], 0.0], [b[0], b[1], 0.0]])];
    };
    const PIECES: usize = 400;
    let at = |k: usize| {
        let t = (k as f64).clamp(0.02, PIECES as f64 - 0.02) / PIECES as f64;
        [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t]
    };
    let on = |p: [f64; 2]| inside(outline, p) && !holes.iter().any(|hole| inside(hole, p));
    let mut lines = Vec::new();
    let mut from: Option<usize> = None;
    for k in 0..=PIECES + 1 {
        let here = k <= PIECES && on(at(k));
        match (from, here) {
            (None, true) => from = Some(k),
            (Some(start), false) => {
                let (p, q) = (at(start), at(k - 1));
                if (q[0] - p[0]).hypot(q[1] - p[1]) > 0.02 {
                    lines.push(feed(vec![[p[0], p[1], 0.0], [q[0], q[1], 0.0]]));
                }
                from = None;
            }
            _ => {}
        }
    }
    lines
}

/// The straight edges of an outline that are long enough to feed from, joined where they run on.
fn long_edges(outline: &[[f64; 2]], least: f64) -> Vec<Line> {
    let mut edges: Vec<Vec<[f64; 2]>> = Vec::new();
    let direction = |a: [f64; 2], b: [f64; 2]| (b[1] - a[1]).atan2(b[0] - a[0]);
    for (n, &a) in outline.iter().enumerate() {
        let b = outline[(n + 1) % outline.len()];
        if let Some(run) = edges.last_mut()
            && let [.., p, q] = run[..]
        {
            let turn = (direction(a, b) - direction(p, q)).rem_euclid(std::f64::consts::TAU);
            if turn.min(std::f64::consts::TAU - turn) < 0.2 {
                run.push(b);
                continue;
            }
        }
        edges.push(vec![a, b]);
    }
    let long = |run: &Vec<[f64; 2]>| {
        let length: f64 = run
            .windows(2)
            .map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]))
            .sum();
        length >= least
    };
    edges.retain(long);
    edges.sort_by(|a, b| {
        let length = |run: &Vec<[f64; 2]>| {
            run.windows(2)
                .map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]))
                .sum::<f64>()
        };
        length(b).total_cmp(&length(a))
    });
    edges.truncate(if least > 0.0 { 8 } else { 200 });
    edges
        .iter()
        .map(|run| feed(run.iter().map(|p| [p[0], p[1], 0.0]).collect()))
        .collect()
}

/// The sides of a flat part, holes included [mm].
pub(super) fn sides(shape: &Shape) -> Vec<Vec<[f64; 2]>> {
    let Shape::Flat { outline, holes } = shape else {
        return Vec::new();
    };
    let lines = std::iter::once(outline)
        .chain(holes)
        .flat_map(|line| long_edges(line, 0.0));
    lines
        .map(|line| {
            line.points
                .iter()
                .map(|p| [p[0] * 1e3, p[1] * 1e3])
                .collect()
        })
        .collect()
}

/// Every way that is tried.
fn ways(shape: &Shape) -> Vec<(String, Vec<Line>, bool)> {
    let (low, high) = shape.bounds();
    let (l, w) = (high[0] - low[0], high[1] - low[1]);
    let mut ways: Vec<(String, Vec<Line>, bool)> = Vec::new();
    let cross = |k: usize, t: f64| {
        // Across x at a share of the length for 0, across y for 1.
        let at = low[k] + (high[k] - low[k]) * t;
        let other = 1 - k;
        let mut a = [at; 2];
        let mut b = [at; 2];
        a[other] = low[other];
        b[other] = high[other];
        on_part(shape, a, b)
    };
    let long = usize::from(l >= w);
    if let Shape::Flat { outline, holes } = shape {
        let least = 0.25 * l.max(w);
        for edge in long_edges(outline, least) {
            let points = &edge.points;
            let side = match (points.first(), points.last()) {
                (Some(a), Some(b)) => {
                    let m = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
                    let off = [
                        (m[0] - (low[0] + high[0]) / 2.0) / l,
                        (m[1] - (low[1] + high[1]) / 2.0) / w,
                    ];
                    match (off[0].abs() > off[1].abs(), off[0] > 0.0, off[1] > 0.0) {
                        (true, true, _) => "right",
                        (true, false, _) => "left",
                        (false, _, true) => "upper",
                        (false, _, false) => "lower",
                    }
                }
                _ => "one",
            };
            ways.push((format!("Along the {side} edge"), vec![edge], false));
        }
        let mut round: Vec<[f64; 3]> = outline.iter().map(|p| [p[0], p[1], 0.0]).collect();
        round.extend(round.first().copied());
        ways.push(("All round the edge".into(), vec![feed(round)], true));
        for hole in holes.iter().take(2) {
            let mut round: Vec<[f64; 3]> = hole.iter().map(|p| [p[0], p[1], 0.0]).collect();
            round.extend(round.first().copied());
            ways.push(("All round the opening".into(), vec![feed(round)], false));
        }
        let centre = [(low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0];
        if inside(outline, centre) && !holes.iter().any(|hole| inside(hole, centre)) {
            ways.push((
                "One point in the middle".into(),
                vec![feed(vec![[centre[0], centre[1], 0.0]])],
                false,
            ));
        }
    }
    for (k, name) in [(long, "lengthways"), (1 - long, "crossways")] {
        ways.push((
            format!("A line through the middle, {name}"),
            cross(k, 0.5),
            false,
        ));
        ways.push((
            format!("Two lines, {name}"),
            [cross(k, 0.25), cross(k, 0.75)].concat(),
            true,
        ));
        ways.push((
            format!("Three lines, {name}"),
            [cross(k, 1.0 / 6.0), cross(k, 0.5), cross(k, 5.0 / 6.0)].concat(),
            true,
        ));
        ways.push((
            format!("Both edges, {name}"),
            [cross(k, 0.0), cross(k, 1.0)].concat(),
            true,
        ));
    }
    if l.max(w) >= BIG {
        // A spine with ribs to both sides.
        let spine = cross(long, 0.5);
        for ribs in [3, 5] {
            let mut lines = spine.clone();
            for n in 0..ribs {
                let t = (f64::from(n) + 0.5) / f64::from(ribs);
                let at = low[1 - long] + (high[1 - long] - low[1 - long]) * t;
                let place = |share: f64| {
                    let mut p = [at; 2];
                    p[long] = low[long] + (high[long] - low[long]) * share;
                    p
                };
                lines.extend(on_part(shape, place(0.2), place(0.8)));
            }
            ways.push((
                format!("A spine with {ribs} ribs, like a herringbone"),
                lines,
                true,
            ));
        }
    }
    ways.retain(|(_, lines, _)| !lines.is_empty());
    ways
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
    let mut plain = Laid::of(&drawing, &shape, &[], gap, super::FOR_BOARD / 2);
    for (title, lines, closes) in ways(&shape) {
        let single = lines.iter().any(|line| line.points.len() == 1);
        let mut own = single.then(|| Laid::of(&drawing, &shape, &lines, gap, super::FOR_BOARD / 2));
        let laid = own.as_mut().unwrap_or(&mut plain);
        let vents: Vec<Line> = sides(&shape)
            .iter()
            .map(|line| vent(line.iter().map(|p| [p[0] / 1e3, p[1] / 1e3, 0.0]).collect()))
            .collect();
        // The vents do not move a point: they lie on the edge.
        let sides: Vec<(Vec<u32>, Line)> =
            laid.place(&vents).vents.into_iter().zip(vents).collect();
        let placed = laid.place(&lines);
        for (meshed, pace, ground) in &paces {
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
    let told = best.iter().map(|t| {
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
        if t.closes {
            why.push("fronts meet, so a vent must stand where they do".to_owned());
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
            lines: t.lines.iter().map(line).collect(),
            flow_mesh: t.meshed,
            time_text: cell.text,
            time_range: cell.range,
            reach: t.reach,
            tube_text: desk.say(Unit::Metre, &Spread::exact(t.tube)),
        }
    });
    Ok(Layouts {
        sentence,
        tried: count,
        best: told.collect(),
    })
}
