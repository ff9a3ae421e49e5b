//! Joins loose lines into closed loops by their ends.
//!
//! First the ends that are as good as one, then those with a gap between what is still open, small gaps before wider
//! ones. Where lines meet three or more at a point their ends are put together there, and what they enclose is left to
//! the map of the drawing (`net.rs`). Ends are found through a grid, so that the work grows with the number of lines
//! and not with its square.

use super::nodes::Nodes;
use super::pen::{Mark, Stroke};
use kurbo::Point;
use std::collections::{HashMap, VecDeque};

/// Ends this close are one [mm].
const SAME_MM: f64 = 0.01;
/// Gaps up to these are closed [mm]: about what trimming by hand wanders anyway, then what a hurried hand leaves.
const GAPS_MM: [f64; 2] = [0.3, 1.0];
/// None of them is more than this share of the drawing.
const GAP_SHARE: f64 = 0.01;
/// Ends of one long line that are farther apart are still closed: up to this share of its length, and so far [mm].
const LONG_SHARE: f64 = 0.005;
const LONG_MM: f64 = 3.0;

/// A line with what is known of it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Line {
    pub(super) points: Vec<Point>,
    pub(super) mark: Mark,
}

/// What became of the lines.
#[derive(Debug, Default)]
pub(super) struct Joined {
    /// Closed loops.
    pub(super) loops: Vec<Line>,
    /// Lines that close nothing by their ends.
    pub(super) open: Vec<Line>,
    /// Lines of figures where three or more meet.
    pub(super) tangled: Vec<Line>,
    /// Lines drawn twice.
    pub(super) doubled: usize,
    /// Loops that had a gap to close, and the widest [mm].
    pub(super) gaps: usize,
    pub(super) widest: f64,
}

/// Loops from strokes: closed ones as they are, open ones joined. `size` is the longer side of the drawing [mm].
pub(super) fn joined(strokes: Vec<Stroke>, size: f64) -> Joined {
    let mut done = Joined::default();
    let mut open = Vec::new();
    for Stroke {
        points,
        closed,
        mark,
    } in strokes
    {
        let line = Line { points, mark };
        if closed {
            done.loops.push(line);
        } else {
            open.push(line);
        }
    }
    let mut open = Pass::over(open, SAME_MM).into(&mut done);
    let before = done.loops.len();
    for gap in GAPS_MM {
        open = Pass::over(open, gap.min(GAP_SHARE * size).max(SAME_MM)).into(&mut done);
    }
    done.gaps = done.loops.len() - before;
    for line in open {
        let ends = line.points.first().zip(line.points.last());
        let apart = ends.map_or(f64::INFINITY, |(a, b)| a.distance(*b));
        // Paint closes what it fills, however far its ends are apart.
        if line.mark.filled && line.points.len() > 2 {
            done.loops.push(line);
        } else if apart <= LONG_MM && apart <= LONG_SHARE * length(&line.points) {
            done.widest = done.widest.max(apart);
            done.gaps += 1;
            done.loops.push(line);
        } else {
            done.open.push(line);
        }
    }
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
    mark: Mark,
    ends: [usize; 2],
    state: State,
}

/// One round of joining with one tolerance.
struct Pass {
    pieces: Vec<Piece>,
    nodes: Vec<Point>,
    /// Lines at each node.
    at: Vec<Vec<usize>>,
    loops: Vec<Line>,
    doubled: usize,
    widest: f64,
}

impl Pass {
    fn over(lines: Vec<Line>, tolerance: f64) -> Self {
        let mut nodes = Nodes::new(tolerance);
        let mut pass = Self {
            pieces: Vec::new(),
            nodes: Vec::new(),
            at: Vec::new(),
            loops: Vec::new(),
            doubled: 0,
            widest: 0.0,
        };
        let mut seen: HashMap<[usize; 2], Vec<usize>> = HashMap::new();
        for Line { points, mark } in lines {
            let (Some(&first), Some(&last)) = (points.first(), points.last()) else {
                continue;
            };
            let ends = [nodes.of(first), nodes.of(last)];
            if ends[0] == ends[1] {
                // Its own loop, unless it is no longer than the tolerance lets it be for nothing.
                if length(&points) > 4.0 * tolerance {
                    pass.widest = pass.widest.max(first.distance(last));
                    pass.loops.push(Line { points, mark });
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
                mark,
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
    fn into(mut self, done: &mut Joined) -> Vec<Line> {
        let mut degree: Vec<usize> = self.at.iter().map(Vec::len).collect();
        let full = degree.clone();
        self.prune(&mut degree);
        for figure in self.figures() {
            let branch = figure
                .iter()
                .flat_map(|&i| self.ends(i))
                .find(|&node| degree.get(node).is_some_and(|&d| d > 2));
            if branch.is_some() {
                for &i in &figure {
                    self.set(i, State::Gone);
                    let line = self.led(i);
                    done.tangled.extend(line);
                }
            } else if let Some(&start) = figure.first() {
                let chain = self.walk(start, State::Core, &degree);
                let mut line = self.laid(&chain);
                if line.points.len() > 1 {
                    let last = line.points.pop().unwrap_or_default();
                    if let Some(first) = line.points.first_mut() {
                        self.widest = self.widest.max(first.distance(last));
                        *first = first.midpoint(last);
                    }
                }
                self.loops.push(line);
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
        if !self.loops.is_empty() {
            done.widest = done.widest.max(self.widest);
        }
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

    /// A line with its ends where those of the others are.
    fn led(&mut self, i: usize) -> Option<Line> {
        let [from, to] = self.ends(i).map(|node| self.nodes.get(node).copied());
        let piece = self.pieces.get_mut(i)?;
        let mut points = std::mem::take(&mut piece.points);
        *points.first_mut()? = from?;
        *points.last_mut()? = to?;
        Some(Line {
            points,
            mark: piece.mark,
        })
    }

    /// One line out of a chain: where two meet, half way between their ends.
    fn laid(&mut self, chain: &VecDeque<(usize, bool)>) -> Line {
        let mut points: Vec<Point> = Vec::new();
        let mark = chain
            .front()
            .and_then(|&(i, _)| self.pieces.get(i))
            .map_or_else(Mark::default, |piece| piece.mark);
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
                self.widest = self.widest.max(first.distance(last));
                *first = first.midpoint(last);
            }
            points.append(&mut next);
        }
        Line { points, mark }
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
