//! The ways to feed a part that are worth a try, each with its lines where they do best.

use super::part::{Part, feed};
use super::search::{Solved, Tries, across, evenly};
use crate::law::LawError;
use crate::plan::Line;
use crate::shape::over_skin::length;
use crate::stage::fill::drawn::far;
use crate::stage::fill::ground::Ground;

/// From this size on ribs are worth their tube [m].
const BIG: f64 = 0.9;
/// An edge is worth a feed when it is this share of the part.
const LONG: f64 = 0.25;
/// Two edges face each other when both are this share of the part.
const FACING: f64 = 0.4;
/// Most edges that are tried one by one.
const MOST_EDGES: usize = 6;
/// Rounds in which lines are moved.
const ROUNDS: usize = 8;
/// From where to where on a cut a rib runs.
const RIB: [f64; 2] = [0.2, 0.8];

/// Where the lines of a way stand.
#[derive(Debug, Clone)]
pub(super) enum Places {
    /// Across one of the axes of the part, at these places on it [m].
    Across(usize, Vec<f64>),
    /// A point [m].
    Point([f64; 3]),
    /// Along edges, or as drawn.
    Fixed,
}

/// A way to feed a part.
pub(super) struct Way {
    pub(super) title: String,
    pub(super) lines: Vec<Line>,
    pub(super) places: Places,
    /// Whether fronts meet.
    pub(super) meets: bool,
    /// What came of it on coarse triangles, in the bed it was sought in.
    pub(super) solved: Solved,
}

const NAMES: [&str; 6] = [
    "A line",
    "Two lines",
    "Three lines",
    "Four lines",
    "Five lines",
    "Six lines",
];

/// So many lines across one axis, where they do best.
pub(super) fn lines_across(
    tries: &mut Tries,
    ground: &Ground,
    part: &Part,
    (n, count): (usize, usize),
) -> Result<Option<Way>, LawError> {
    let axis = &part.axes[n];
    let found = tries.evened(ground, (part, axis), &evenly(axis, count), ROUNDS)?;
    Ok(found.map(|(at, solved)| Way {
        title: format!("{} {}", NAMES[count - 1], axis.lie),
        lines: across(part, axis, &at),
        places: Places::Across(n, at),
        meets: count > 1,
        solved,
    }))
}

/// A stretch of a line from one share of its length to another.
fn stretch(line: &[[f64; 3]], [from, to]: [f64; 2]) -> Vec<[f64; 3]> {
    let all = length(line);
    let (from, to) = (from * all, to * all);
    let mut run = 0.0;
    let mut found = Vec::new();
    for pair in line.windows(2) {
        let step = far(pair[0], pair[1]);
        let place = |at: f64| {
            let share = (at - run) / step;
            [0, 1, 2].map(|k| pair[0][k] + (pair[1][k] - pair[0][k]) * share)
        };
        if found.is_empty() && step > 0.0 && run + step >= from {
            found.push(place(from));
        }
        if !found.is_empty() && step > 0.0 {
            if run + step >= to {
                found.push(place(to));
                break;
            }
            found.push(pair[1]);
        }
        run += step;
    }
    found
}

/// Along edges of the part.
fn along_edges(part: &Part) -> Vec<(String, Vec<Line>, bool)> {
    let mut ways = Vec::new();
    let closed = |line: &[[f64; 3]]| far(line[0], line[line.len() - 1]) < 1e-9;
    let Some(outer) = part
        .rims
        .iter()
        .max_by(|a, b| length(a).total_cmp(&length(b)))
    else {
        return ways;
    };
    let on_outer = |line: &&Vec<[f64; 3]>| line.iter().all(|p| outer.contains(p));
    let sides: Vec<&Vec<[f64; 3]>> = part
        .sides
        .iter()
        .filter(|side| !closed(side) && length(side) >= LONG * part.size)
        .filter(on_outer)
        .take(MOST_EDGES)
        .collect();
    let word = |side: &[[f64; 3]]| part.side_word(side);
    for side in &sides {
        ways.push((
            format!("Along the {} edge", word(side)),
            vec![feed((*side).clone())],
            false,
        ));
    }
    for (n, a) in sides.iter().enumerate().take(4) {
        for b in sides.iter().take(4).skip(n + 1) {
            let ends = |line: &[[f64; 3]]| [line[0], line[line.len() - 1]];
            let touch = ends(a)
                .iter()
                .any(|p| ends(b).iter().any(|q| far(*p, *q) < 0.05 * part.size));
            if !touch && length(b) > FACING * part.size {
                let lines = vec![feed((*a).clone()), feed((*b).clone())];
                ways.push((
                    format!("Along the {} and the {} edge", word(a), word(b)),
                    lines,
                    true,
                ));
            }
        }
    }
    ways.push(("All round the edge".into(), vec![feed(outer.clone())], true));
    let openings = part.rims.iter().filter(|rim| *rim != outer);
    for rim in openings.take(2) {
        ways.push((
            "All round the opening".into(),
            vec![feed(rim.clone())],
            false,
        ));
    }
    ways
}

/// Every way that is tried, in one bed.
pub(super) fn ways(tries: &mut Tries, ground: &Ground, part: &Part) -> Result<Vec<Way>, LawError> {
    let mut ways = Vec::new();
    for (title, lines, meets) in along_edges(part) {
        if let Some(solved) = tries.solve(ground, &lines)? {
            ways.push(Way {
                title,
                lines,
                places: Places::Fixed,
                meets,
                solved,
            });
        }
    }
    if let Some((at, solved)) = tries.point(ground, part)? {
        ways.push(Way {
            title: "One point".into(),
            lines: vec![feed(vec![at])],
            places: Places::Point(at),
            meets: false,
            solved,
        });
    }
    for n in 0..part.axes.len() {
        // Across the box up to three, across other directions two.
        for count in 1..=if n < 2 { 3 } else { 2 } {
            ways.extend(lines_across(tries, ground, part, (n, count))?);
        }
    }
    if part.size >= BIG && part.axes.len() > 1 {
        let spine = ways
            .iter()
            .find(|way| matches!(&way.places, Places::Across(0, at) if at.len() == 1));
        let spine: Vec<Line> = spine.map(|way| way.lines.clone()).unwrap_or_default();
        for ribs in [3, 5] {
            let mut lines = spine.clone();
            for at in evenly(&part.axes[1], ribs) {
                let cuts = part.cut(&part.axes[1], at);
                lines.extend(cuts.iter().map(|cut| feed(stretch(cut, RIB))));
            }
            let Some(solved) = tries.solve(ground, &lines)?.filter(|_| !spine.is_empty()) else {
                continue;
            };
            ways.push(Way {
                title: format!("A spine with {ribs} ribs"),
                lines,
                places: Places::Fixed,
                meets: true,
                solved,
            });
        }
    }
    Ok(ways)
}
