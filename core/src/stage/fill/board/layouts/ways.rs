//! The ways to feed a part that are worth a try.

use crate::plan::Line;
use crate::shape::{Shape, inside};

/// From this length on ribs are worth their tube [m].
const BIG: f64 = 0.9;

fn feed(points: Vec<[f64; 3]>) -> Line {
    Line {
        feeds: true,
        points,
        when_wet: false,
        clamped: true,
    }
}

pub(super) fn vent(points: Vec<[f64; 3]>) -> Line {
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
pub(in crate::stage::fill::board) fn sides(shape: &Shape) -> Vec<Vec<[f64; 2]>> {
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
pub(super) fn ways(shape: &Shape) -> Vec<(String, Vec<Line>, bool)> {
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
