//! Vents for a way, and what the board would say of it: nothing may be left to mend.

use super::part::{Axis, dot, vent};
use crate::law::LawError;
use crate::law::front_map::LEVELS;
use crate::plan::Line;
use crate::shape::over_skin::{length, thinned};
use crate::solve::sort::sort_by;
use crate::solve::surface::Triangles;
use crate::stage::fill::board::air::{Air, EARLY, air, first_wet, longest, stores};
use crate::stage::fill::board::lines::level_lines;
use crate::stage::fill::board::pockets::Pocket;
use crate::stage::fill::drawn::{Laid, Placed, far, runs_of};
use crate::stage::fill::ground::Ground;
use crate::stage::fill::pace::Pace;

/// Vents lie where resin comes later than this share of the fill.
const LATE: f64 = 0.92;
/// A vent shorter than this is a point [m].
const SHORT: f64 = 0.06;
/// Of an edge that is wet late, pieces beyond a corner are left out when they are this much shorter.
const ROUND_A_CORNER: f64 = 0.35;
/// An edge of the part turns a corner by more than this [rad].
const CORNER: f64 = 0.5;
/// How often vents are added and the part filled again.
const ROUNDS: usize = 4;
/// Most vents of a way.
const MOST: usize = 24;

/// What a plan brings to every way: the part on the triangles of the board, and its area [m2].
pub(super) struct Given<'a> {
    pub(super) laid: &'a Laid,
    pub(super) flat: bool,
    pub(super) area: f64,
}

/// A way with its vents, as the board sees it.
pub(super) struct Vented {
    pub(super) lines: Vec<Line>,
    pub(super) laid: Laid,
    /// Vents that are wet before the part is full: their number, and when [min].
    pub(super) early: Vec<(usize, f64)>,
    /// What the board would have mended: air with no vent, or a part that is not reached.
    pub(super) left: usize,
    pub(super) solves: usize,
}

/// One filling of a part.
struct Seen {
    laid: Laid,
    placed: Placed,
    /// When each point is wet, and when the front comes there on top [min].
    minutes: Vec<f64>,
    on_top: Vec<f64>,
    holds: Vec<f64>,
    last: Option<usize>,
}

fn seen(given: &Given<'_>, ground: &Ground, pace: &Pace, lines: &[Line]) -> Result<Seen, LawError> {
    let mut laid = given.laid.clone();
    let placed = laid.place(lines);
    let mut map = laid.map(ground, 1.0)?;
    let arrival = placed.arrival(&mut map, LEVELS);
    let filled = placed.fill(&mut map);
    let soaked = laid.soaked(ground, &placed, &filled);
    let minutes = pace.likely_minutes(&laid.wet(ground, pace, (&map, &arrival, soaked)));
    let on_top = pace.likely_minutes(&runs_of(&arrival));
    let last = laid.ends_of(ground, &placed, (&filled, &map)).1;
    let (holds, _) = stores(&map, minutes.len());
    Ok(Seen {
        laid,
        placed,
        minutes,
        on_top,
        holds,
        last,
    })
}

/// The edge of a part, as rings of points.
fn rings(rim: &[[u32; 2]]) -> Vec<Vec<u32>> {
    let mut near: std::collections::BTreeMap<u32, Vec<u32>> = std::collections::BTreeMap::new();
    for &[a, b] in rim {
        near.entry(a).or_default().push(b);
        near.entry(b).or_default().push(a);
    }
    let mut rings = Vec::new();
    while let Some((&first, _)) = near.iter().find(|(_, next)| !next.is_empty()) {
        let mut ring = vec![first];
        let mut here = first;
        while let Some(next) = near.get_mut(&here).and_then(Vec::pop) {
            if let Some(back) = near.get_mut(&next)
                && let Some(at) = back.iter().position(|&i| i == here)
            {
                back.swap_remove(at);
            }
            if next == first {
                break;
            }
            ring.push(next);
            here = next;
        }
        rings.push(ring);
    }
    rings
}

/// Stretches of a ring where all is wet late, without its corners' short ends.
fn late_stretches(surface: &Triangles, ring: &[u32], late: impl Fn(u32) -> bool) -> Vec<Vec<u32>> {
    let count = ring.len();
    let place = |i: u32| surface.points[i as usize];
    let Some(start) = (0..count).find(|&k| !late(ring[k])) else {
        let mut round = ring.to_vec();
        round.extend(ring.first());
        return vec![round];
    };
    let mut found: Vec<Vec<u32>> = Vec::new();
    let mut run: Vec<u32> = Vec::new();
    for k in 1..=count {
        let i = ring[(start + k) % count];
        if late(i) {
            run.push(i);
        } else if !run.is_empty() {
            found.extend(straightened(&run, place));
            run.clear();
        }
    }
    found
}

/// A run along an edge, split at corners, without what is short against the rest.
fn straightened(run: &[u32], place: impl Fn(u32) -> [f64; 3]) -> Vec<Vec<u32>> {
    let mut pieces: Vec<Vec<u32>> = Vec::new();
    for &i in run {
        let turns = |piece: &Vec<u32>| match piece[..] {
            [.., a, b] => {
                let (u, v) = (
                    [0, 1, 2].map(|k| place(b)[k] - place(a)[k]),
                    [0, 1, 2].map(|k| place(i)[k] - place(b)[k]),
                );
                let size = (dot(u, u) * dot(v, v)).sqrt();
                size > 0.0 && (dot(u, v) / size).clamp(-1.0, 1.0).acos() > CORNER
            }
            _ => false,
        };
        match pieces.last_mut() {
            Some(piece) if !turns(piece) => piece.push(i),
            Some(piece) => {
                let corner = piece[piece.len() - 1];
                pieces.push(vec![corner, i]);
            }
            None => pieces.push(vec![i]),
        }
    }
    let long = |piece: &Vec<u32>| length(&piece.iter().map(|&i| place(i)).collect::<Vec<_>>());
    let most = pieces.iter().map(long).fold(0.0, f64::max);
    pieces.retain(|piece| long(piece) > SHORT && long(piece) >= ROUND_A_CORNER * most);
    pieces
}

/// Vents along the edges that are wet last.
fn along_edges(seen: &Seen, flat: bool) -> Vec<(Line, Vec<u32>)> {
    let surface = seen.laid.surface();
    let late_from = LATE * longest(&seen.on_top);
    let mut fed = vec![false; seen.on_top.len()];
    seen.placed
        .feeds
        .iter()
        .for_each(|&i| fed[i as usize] = true);
    let late = |i: u32| !fed[i as usize] && seen.on_top[i as usize] >= late_from;
    let within = if flat { 1e-6 } else { 3e-4 };
    let runs = rings(&seen.laid.mesh.rim)
        .into_iter()
        .flat_map(|ring| late_stretches(surface, &ring, late));
    let mut vents: Vec<(Line, Vec<u32>)> = runs
        .map(|run| {
            let line: Vec<[f64; 3]> = run.iter().map(|&i| surface.points[i as usize]).collect();
            let laid = vent(if line[0] == line[line.len() - 1] {
                // Round all of an opening: two halves, so that none of it is lost.
                let half = line.len() / 2;
                let mut whole = thinned(&line[..=half], within);
                whole.extend(thinned(&line[half..], within).into_iter().skip(1));
                whole
            } else {
                thinned(&line, within)
            });
            (laid, run)
        })
        .collect();
    sort_by(&mut vents, |(a, _), (b, _)| {
        length(&b.points).total_cmp(&length(&a.points))
    });
    vents.truncate(MOST / 2);
    vents
}

/// A vent where fronts close round a place: along the line where they meet, else at its last point.
fn where_fronts_meet(seen: &Seen, at: usize, axis: Option<&Axis>) -> Line {
    let surface = seen.laid.surface();
    let here = surface.points[at];
    let alone = vent(vec![here]);
    let Some(axis) = axis else {
        return alone;
    };
    let late_from = LATE * longest(&seen.on_top);
    let values: Vec<f64> = surface.points.iter().map(|p| dot(*p, axis.along)).collect();
    let nearest = |p: [f64; 3]| {
        let all = 0..surface.points.len();
        all.min_by(|&i, &j| far(surface.points[i], p).total_cmp(&far(surface.points[j], p)))
    };
    let mut best: Option<(f64, Vec<[f64; 3]>)> = None;
    for stroke in level_lines(surface, &values, dot(here, axis.along) + 1e-7) {
        let line: Vec<[f64; 3]> = stroke
            .chunks_exact(3)
            .map(|p| [p[0] / 1e3, p[1] / 1e3, p[2] / 1e3])
            .collect();
        let wet_late = |p: &[f64; 3]| nearest(*p).is_some_and(|i| seen.on_top[i] >= late_from);
        for run in line.chunk_by(|a, b| wet_late(a) == wet_late(b)) {
            if !wet_late(&run[0]) {
                continue;
            }
            let away = run
                .iter()
                .map(|p| far(*p, here))
                .fold(f64::INFINITY, f64::min);
            if best.as_ref().is_none_or(|(known, _)| away < *known) {
                best = Some((away, run.to_vec()));
            }
        }
    }
    let side = seen.laid.mesh.side;
    match best {
        Some((away, run)) if away < 2.0 * side && length(&run) > SHORT => vent(thinned(&run, 3e-4)),
        _ => alone,
    }
}

/// Vents still to be laid for what a fill leaves.
fn missing(seen: &Seen, left: &Air, axis: Option<&Axis>) -> Vec<Line> {
    let points = &seen.laid.surface().points;
    let mut vents: Vec<Line> = Vec::new();
    let reach = 3.0 * seen.laid.mesh.side;
    let places = left.large.iter().map(|pocket: &Pocket| pocket.at);
    for at in places.chain(left.last) {
        let near = |line: &Line| {
            line.points.windows(2).any(|pair| {
                let steps = (far(pair[0], pair[1]) / reach).ceil().max(1.0) as usize;
                (0..=steps).any(|k| {
                    let t = k as f64 / steps as f64;
                    let p = [0, 1, 2].map(|n| pair[0][n] + (pair[1][n] - pair[0][n]) * t);
                    far(p, points[at]) < reach
                })
            })
        };
        if !vents.iter().any(near) {
            vents.push(where_fronts_meet(seen, at, axis));
        }
    }
    vents
}

/// Rounds places to what a plan holds, a tenth of a millimetre.
pub(super) fn rounded(lines: &mut [Line]) {
    for p in lines.iter_mut().flat_map(|line| &mut line.points) {
        *p = p.map(|x| (x * 1e4).round() / 1e4);
    }
}

/// Lays vents until nothing is left that the board would have mended.
pub(super) fn vented(
    given: &Given<'_>,
    (ground, pace): (&Ground, &Pace),
    feeds: &[Line],
    axis: Option<&Axis>,
) -> Result<Vented, LawError> {
    let mut lines = feeds.to_vec();
    rounded(&mut lines);
    let mut now = seen(given, ground, pace, &lines)?;
    // Vents along edges lie on points of the triangles: the first filling serves to see what else is left.
    let (edges, points): (Vec<Line>, Vec<Vec<u32>>) =
        along_edges(&now, given.flat).into_iter().unzip();
    lines.extend(edges);
    rounded(&mut lines);
    now.placed.vents = points;
    let mut solves = 1;
    let area = given.area;
    let left_of = |now: &Seen| {
        air(
            &now.laid,
            &now.placed,
            (&now.minutes, now.last),
            &now.holds,
            area,
        )
    };
    for round in 0..ROUNDS {
        let mut more = missing(&now, &left_of(&now), axis);
        rounded(&mut more);
        // An edge that is wet early after all is no place for a vent of its own.
        let drop: Vec<usize> = early(&now)
            .iter()
            .map(|(n, _)| feeds.len() + n)
            .filter(|&n| lines[n].points.len() > 1)
            .collect();
        if round > 0 && more.is_empty() && drop.is_empty() {
            break;
        }
        for n in drop.into_iter().rev() {
            lines.remove(n);
        }
        more.truncate((feeds.len() + MOST).saturating_sub(lines.len()));
        lines.extend(more);
        now = seen(given, ground, pace, &lines)?;
        solves += 1;
    }
    let left = left_of(&now);
    let never = now
        .minutes
        .iter()
        .zip(&now.holds)
        .any(|(t, hold)| t.is_nan() && *hold > 0.0);
    Ok(Vented {
        early: early(&now),
        left: left.large.len() + usize::from(left.last.is_some()) + usize::from(never),
        laid: now.laid,
        lines,
        solves,
    })
}

/// Vents that are wet before the part is nearly full.
fn early(seen: &Seen) -> Vec<(usize, f64)> {
    let most = longest(&seen.on_top);
    let vents = seen.placed.vents.iter().enumerate();
    vents
        .map(|(n, points)| (n, first_wet(points, &seen.on_top)))
        .filter(|(_, first)| *first < EARLY * most)
        .collect()
}
