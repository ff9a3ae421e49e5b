//! Joins loose lines into closed loops by their ends.
//!
//! First the ends that are as good as one, then those with a small gap between what is still open. Where lines meet
//! three or more at a point nobody can say which way the outline goes: they are left out, and the place is told.
//! Ends are found through a grid, so that the work grows with the number of lines and not with its square.

mod nodes;

use super::pen::Stroke;
use kurbo::Point;
use nodes::Nodes;
use std::collections::{HashMap, VecDeque};

/// Ends this close are one [mm].
const SAME_MM: f64 = 0.01;
/// Gaps up to this are closed [mm]: about what trimming by hand wanders anyway.
pub(super) const GAP_MM: f64 = 0.3;

/// What became of the lines.
#[derive(Debug, Default)]
pub(super) struct Joined {
    /// Closed loops.
    pub(super) loops: Vec<Vec<Point>>,
    /// Lines that close nothing.
    pub(super) open: usize,
    /// Lines drawn twice.
    pub(super) doubled: usize,
    /// Lines of figures where three or more meet, and one such place.
    pub(super) branched: Option<(usize, Point)>,
    /// Loops that had a gap to close.
    pub(super) gaps: usize,
}

/// Loops from strokes: closed ones as they are, open ones joined.
pub(super) fn joined(strokes: Vec<Stroke>) -> Joined {
    let mut done = Joined::default();
    let mut open = Vec::new();
    for stroke in strokes {
        if stroke.closed {
            done.loops.push(stroke.points);
        } else {
            open.push(stroke.points);
        }
    }
    let chains = Pass::over(open, SAME_MM).into(&mut done);
    let before = done.loops.len();
    let still_open = Pass::over(chains, GAP_MM).into(&mut done);
    done.gaps = done.loops.len() - before;
    done.open = still_open.len();
    done
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    /// Part of a figure without dead ends.
    Core,
    /// Leads to a dead end.
    Spur,
    /// Used, or of no use.
    Gone,
}

/// A line from node to node.
struct Piece {
    points: Vec<Point>,
    ends: [usize; 2],
    state: State,
}

/// One round of joining with one tolerance.
struct Pass {
    pieces: Vec<Piece>,
    nodes: Vec<Point>,
    /// Lines at each node.
    at: Vec<Vec<usize>>,
    loops: Vec<Vec<Point>>,
    doubled: usize,
}

impl Pass {
    fn over(lines: Vec<Vec<Point>>, tolerance: f64) -> Self {
        let mut nodes = Nodes::new(tolerance);
        let mut pass = Self {
            pieces: Vec::new(),
            nodes: Vec::new(),
            at: Vec::new(),
            loops: Vec::new(),
            doubled: 0,
        };
        let mut seen: HashMap<[usize; 2], Vec<usize>> = HashMap::new();
        for points in lines {
            let (Some(&first), Some(&last)) = (points.first(), points.last()) else {
                continue;
            };
            let ends = [nodes.of(first), nodes.of(last)];
            if ends[0] == ends[1] {
                // Its own loop, unless it is no longer than the tolerance lets it be for nothing.
                if length(&points) > 4.0 * tolerance {
                    pass.loops.push(points);
                }
                continue;
            }
            let twins = seen
                .entry([ends[0].min(ends[1]), ends[0].max(ends[1])])
                .or_default();
            let twin = twins.iter().any(|&other| {
                pass.pieces
                    .get(other)
                    .is_some_and(|piece| same_line(&piece.points, &points, tolerance))
            });
            if twin {
                pass.doubled += 1;
                continue;
            }
            // A few are enough to tell doubles by; more between two points is no outline anyway.
            if twins.len() < 8 {
                twins.push(pass.pieces.len());
            }
            pass.pieces.push(Piece {
                points,
                ends,
                state: State::Core,
            });
        }
        pass.at = vec![Vec::new(); nodes.at.len()];
        for (i, piece) in pass.pieces.iter().enumerate() {
            for end in piece.ends {
                if let Some(list) = pass.at.get_mut(end) {
                    list.push(i);
                }
            }
        }
        pass.nodes = nodes.at;
        pass
    }

    /// Adds what closed to `done`; the chains that stay open come back.
    fn into(mut self, done: &mut Joined) -> Vec<Vec<Point>> {
        let mut degree: Vec<usize> = self.at.iter().map(Vec::len).collect();
        let full = degree.clone();
        self.prune(&mut degree);
        for figure in self.figures() {
            let branch = figure
                .iter()
                .flat_map(|&i| self.ends(i))
                .find(|&node| degree.get(node).is_some_and(|&d| d > 2));
            if let Some(node) = branch {
                for &i in &figure {
                    self.set(i, State::Gone);
                }
                let place = self.nodes.get(node).copied().unwrap_or_default();
                let before = done.branched.map_or(0, |(count, _)| count);
                done.branched = Some((before + figure.len(), place));
            } else if let Some(&start) = figure.first() {
                let chain = self.walk(start, State::Core, &degree);
                let mut points = self.laid(&chain);
                if points.len() > 1 {
                    let last = points.pop().unwrap_or_default();
                    if let Some(first) = points.first_mut() {
                        *first = first.midpoint(last);
                    }
                }
                self.loops.push(points);
            }
        }
        let mut chains = Vec::new();
        for i in 0..self.pieces.len() {
            if self.state(i) == State::Spur {
                let chain = self.walk(i, State::Spur, &full);
                chains.push(self.laid(&chain));
            }
        }
        done.doubled += self.doubled;
        done.loops.append(&mut self.loops);
        chains
    }

    fn state(&self, i: usize) -> State {
        self.pieces.get(i).map_or(State::Gone, |piece| piece.state)
    }

    fn set(&mut self, i: usize, state: State) {
        if let Some(piece) = self.pieces.get_mut(i) {
            piece.state = state;
        }
    }

    fn ends(&self, i: usize) -> [usize; 2] {
        self.pieces.get(i).map_or([0, 0], |piece| piece.ends)
    }

    /// Lines of a state at a node.
    fn live(&self, node: usize, state: State) -> impl Iterator<Item = usize> {
        self.at
            .get(node)
            .into_iter()
            .flatten()
            .copied()
            .filter(move |&i| self.state(i) == state)
    }

    /// Marks everything that leads to a dead end; `degree` then counts what remains at each node.
    fn prune(&mut self, degree: &mut [usize]) {
        let mut ends: Vec<usize> = (0..degree.len())
            .filter(|&n| degree.get(n) == Some(&1))
            .collect();
        while let Some(node) = ends.pop() {
            let Some(i) = self.live(node, State::Core).next() else {
                continue;
            };
            self.set(i, State::Spur);
            for end in self.ends(i) {
                if let Some(count) = degree.get_mut(end) {
                    *count -= 1;
                    if *count == 1 {
                        ends.push(end);
                    }
                }
            }
        }
    }

    /// The lines without dead ends, grouped by what hangs together.
    fn figures(&self) -> Vec<Vec<usize>> {
        let mut seen = vec![false; self.pieces.len()];
        let mut entered = vec![false; self.nodes.len()];
        let mut figures = Vec::new();
        for start in 0..self.pieces.len() {
            let mut figure = Vec::new();
            let mut next = vec![start];
            while let Some(i) = next.pop() {
                let fresh = seen
                    .get_mut(i)
                    .is_some_and(|seen| !std::mem::replace(seen, true));
                if !fresh || self.state(i) != State::Core {
                    continue;
                }
                figure.push(i);
                for end in self.ends(i) {
                    if entered
                        .get_mut(end)
                        .is_some_and(|seen| !std::mem::replace(seen, true))
                    {
                        next.extend(self.live(end, State::Core));
                    }
                }
            }
            if !figure.is_empty() {
                figures.push(figure);
            }
        }
        figures
    }

    /// From a line both ways, through nodes where just two meet; each with whether it is taken backwards.
    fn walk(&mut self, start: usize, state: State, degree: &[usize]) -> VecDeque<(usize, bool)> {
        let mut chain = VecDeque::from([(start, false)]);
        self.set(start, State::Gone);
        let [mut back, mut front] = self.ends(start);
        for forwards in [true, false] {
            loop {
                let node = if forwards { front } else { back };
                if degree.get(node) != Some(&2) {
                    break;
                }
                let Some(i) = self.live(node, state).next() else {
                    break;
                };
                self.set(i, State::Gone);
                let [from, to] = self.ends(i);
                if forwards {
                    chain.push_back((i, from != node));
                    front = if from == node { to } else { from };
                } else {
                    chain.push_front((i, to != node));
                    back = if to == node { from } else { to };
                }
            }
        }
        chain
    }

    /// One line out of a chain: where two meet, half way between their ends.
    fn laid(&mut self, chain: &VecDeque<(usize, bool)>) -> Vec<Point> {
        let mut points: Vec<Point> = Vec::new();
        for &(i, backwards) in chain {
            let mut next = self
                .pieces
                .get_mut(i)
                .map(|piece| std::mem::take(&mut piece.points))
                .unwrap_or_default();
            if backwards {
                next.reverse();
            }
            if let (Some(last), Some(first)) = (points.pop(), next.first_mut()) {
                *first = first.midpoint(last);
            }
            points.append(&mut next);
        }
        points
    }
}

fn length(points: &[Point]) -> f64 {
    points
        .windows(2)
        .map(|pair| match pair {
            [a, b] => a.distance(*b),
            _ => 0.0,
        })
        .sum()
}

/// Whether two lines between the same nodes are one drawn twice: as long, and the same half way.
fn same_line(a: &[Point], b: &[Point], tolerance: f64) -> bool {
    let (long_a, long_b) = (length(a), length(b));
    (long_a - long_b).abs() <= 4.0 * tolerance
        && half_way(a, long_a).distance(half_way(b, long_b)) <= 4.0 * tolerance
}

fn half_way(points: &[Point], long: f64) -> Point {
    let mut to_go = long / 2.0;
    for pair in points.windows(2) {
        if let [a, b] = pair {
            let step = a.distance(*b);
            if step >= to_go && step > 0.0 {
                return a.lerp(*b, to_go / step);
            }
            to_go -= step;
        }
    }
    points.last().copied().unwrap_or_default()
}

#[cfg(test)]
mod tests;
