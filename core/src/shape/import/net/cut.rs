//! Cuts lines where they cross or touch.

use super::super::nodes::Nodes;
use super::{SAME_MM, Way};
use crate::solve::sort::sort_by;
use kurbo::Point;
use std::collections::HashMap;

/// Most pairs of pieces that are held against each other, and most places in cells of the grid.
const MOST_PAIRS: usize = 30_000_000;
const MOST_PLACES: usize = 4_000_000;
/// Most cuts.
const MOST_CUTS: usize = 300_000;

/// A straight piece of a line between two nodes.
#[derive(Debug, Clone, Copy)]
struct Piece {
    ends: [usize; 2],
    line: usize,
}

/// Lines as chains of nodes.
pub(super) struct Cut {
    /// Number of the line, and its nodes.
    pub(super) chains: Vec<(usize, Vec<usize>)>,
    pub(super) short: usize,
    pub(super) crossing: Option<Point>,
}

/// Pieces by the cells of a grid that they run through.
struct Grid {
    low: Point,
    cell: f64,
    count: [usize; 2],
    held: HashMap<usize, Vec<u32>>,
}

impl Grid {
    fn new(pieces: &[Piece], at: &[Point]) -> Option<Self> {
        let (low, high) = super::super::pen::extent(at.iter());
        let size = high - low;
        let long: f64 = pieces.iter().map(|piece| piece.long(at)).sum();
        let mut side = (size.x.max(size.y) / (pieces.len().max(1) as f64).sqrt()).max(0.01);
        // A long piece runs through many cells: wider ones where that would fill the memory.
        while pieces.len() as f64 * 3.0 + 2.0 * long / side > MOST_PLACES as f64 {
            side *= 1.5;
            if !side.is_finite() {
                return None;
            }
        }
        let count = [size.x, size.y].map(|x| (x / side).floor() as usize + 1);
        let mut grid = Self {
            low,
            cell: side,
            count,
            held: HashMap::new(),
        };
        for (i, piece) in pieces.iter().enumerate() {
            grid.add(u32::try_from(i).ok()?, *piece, at);
        }
        Some(grid)
    }

    fn row(&self, y: f64) -> usize {
        (((y - self.low.y) / self.cell).floor().max(0.0) as usize).min(self.count[1] - 1)
    }

    fn column(&self, x: f64) -> usize {
        (((x - self.low.x) / self.cell).floor().max(0.0) as usize).min(self.count[0] - 1)
    }

    /// Row by row, so that a slanted piece fills no more cells than it runs through.
    fn add(&mut self, i: u32, piece: Piece, at: &[Point]) {
        let [a, b] = piece.at(at);
        let (a, b) = if a.y <= b.y { (a, b) } else { (b, a) };
        for row in self.row(a.y - SAME_MM)..=self.row(b.y + SAME_MM) {
            let under = self.low.y + self.cell * row as f64 - SAME_MM;
            let over = under + self.cell + 2.0 * SAME_MM;
            let x = |y: f64| {
                let share = ((y - a.y) / (b.y - a.y)).clamp(0.0, 1.0);
                if share.is_finite() {
                    a.x + (b.x - a.x) * share
                } else {
                    a.x
                }
            };
            let (from, to) = if b.y - a.y <= 2.0 * SAME_MM {
                (a.x, b.x)
            } else {
                (x(under.max(a.y)), x(over.min(b.y)))
            };
            let (from, to) = (from.min(to), from.max(to));
            for column in self.column(from - SAME_MM)..=self.column(to + SAME_MM) {
                self.held
                    .entry(row * self.count[0] + column)
                    .or_default()
                    .push(i);
            }
        }
    }

    /// How many pairs share a cell.
    fn pairs(&self) -> usize {
        self.held
            .values()
            .map(|held| held.len() * held.len() / 2)
            .sum()
    }

    /// Pieces within a distance of a point, and perhaps some beyond.
    fn near(&self, p: Point, within: f64) -> impl Iterator<Item = u32> {
        let rows = self.row(p.y - within)..=self.row(p.y + within);
        let columns = self.column(p.x - within)..=self.column(p.x + within);
        rows.flat_map(move |row| columns.clone().map(move |column| (row, column)))
            .filter_map(|(row, column)| self.held.get(&(row * self.count[0] + column)))
            .flatten()
            .copied()
    }
}

impl Piece {
    fn at(self, at: &[Point]) -> [Point; 2] {
        self.ends
            .map(|node| at.get(node).copied().unwrap_or_default())
    }

    fn long(self, at: &[Point]) -> f64 {
        let [a, b] = self.at(at);
        a.distance(b)
    }
}

/// Chains of nodes, cut wherever lines cross or touch; none where that is too often.
pub(super) fn cut(ways: &[Way<'_>], reach: f64, nodes: &mut Nodes) -> Option<Cut> {
    let mut pieces: Vec<Piece> = Vec::new();
    let mut ends: Vec<(usize, usize)> = Vec::new();
    for (line, way) in ways.iter().enumerate() {
        let all: Vec<usize> = way.points.iter().map(|p| nodes.of(*p)).collect();
        let back = way.closed.then(|| all.first().copied()).flatten();
        let chain: Vec<usize> = all.iter().copied().chain(back).collect();
        if !way.closed {
            ends.extend(chain.first().map(|&end| (end, line)));
            ends.extend(chain.last().map(|&end| (end, line)));
        }
        for pair in chain.windows(2) {
            if let &[a, b] = pair
                && a != b
            {
                pieces.push(Piece { ends: [a, b], line });
            }
        }
    }
    let mut grid = Grid::new(&pieces, &nodes.at)?;
    if grid.pairs() > MOST_PAIRS {
        return None;
    }
    let links = links(&pieces, &ends, &grid, nodes, reach);
    let short = links.len();
    for link in links {
        grid.add(u32::try_from(pieces.len()).ok()?, link, &nodes.at);
        pieces.push(link);
    }
    let (mut cuts, crossing) = cuts(&pieces, &grid, nodes)?;
    let mut chains: Vec<(usize, Vec<usize>)> = Vec::new();
    for (i, piece) in pieces.iter().enumerate() {
        let mut between = cuts.remove(&(i as u32)).unwrap_or_default();
        sort_by(&mut between, |p, q| p.0.total_cmp(&q.0));
        let [from, to] = piece.ends;
        let nodes = std::iter::once(from)
            .chain(between.into_iter().map(|(_, node)| node))
            .chain(std::iter::once(to));
        match chains.last_mut() {
            Some((line, chain)) if *line == piece.line && chain.last() == Some(&from) => {
                chain.extend(nodes.skip(1));
            }
            _ => chains.push((piece.line, nodes.collect())),
        }
    }
    for (_, chain) in &mut chains {
        chain.dedup();
    }
    Some(Cut {
        chains,
        short,
        crossing,
    })
}

/// Short pieces from ends that stop just before another line.
fn links(
    pieces: &[Piece],
    ends: &[(usize, usize)],
    grid: &Grid,
    nodes: &mut Nodes,
    reach: f64,
) -> Vec<Piece> {
    let mut meets: HashMap<usize, usize> = HashMap::new();
    for end in pieces.iter().flat_map(|piece| piece.ends) {
        *meets.entry(end).or_default() += 1;
    }
    let mut links = Vec::new();
    for &(end, line) in ends {
        let Some(&p) = nodes.at.get(end) else {
            continue;
        };
        if meets.get(&end) != Some(&1) {
            continue;
        }
        let mut best: Option<(f64, Point)> = None;
        for i in grid.near(p, reach) {
            let Some(piece) = pieces
                .get(i as usize)
                .filter(|piece| !piece.ends.contains(&end))
            else {
                continue;
            };
            // Its own line comes near it by bending, not by meaning to close.
            if piece.line == line {
                continue;
            }
            let [a, b] = piece.at(&nodes.at);
            let foot = foot(p, a, b);
            let off = foot.distance(p);
            if off <= reach && best.is_none_or(|(least, _)| off < least) {
                best = Some((off, foot));
            }
        }
        if let Some((off, foot)) = best
            && off > SAME_MM
        {
            let to = nodes.of(foot);
            links.push(Piece {
                ends: [end, to],
                line,
            });
        }
    }
    links
}

fn foot(p: Point, a: Point, b: Point) -> Point {
    let along = b - a;
    let t = (p - a).dot(along) / along.hypot2();
    if t.is_finite() {
        a + along * t.clamp(0.0, 1.0)
    } else {
        a
    }
}

type Cuts = HashMap<u32, Vec<(f64, usize)>>;

/// Where each piece is cut: how far along, and at which node; and a place where two cross, if any do.
fn cuts(pieces: &[Piece], grid: &Grid, nodes: &mut Nodes) -> Option<(Cuts, Option<Point>)> {
    let mut cuts: Cuts = HashMap::new();
    let mut crossing: Option<Point> = None;
    let mut done = 0;
    let mut cells: Vec<&usize> = grid.held.keys().collect();
    cells.sort_unstable();
    for held in cells.into_iter().filter_map(|cell| grid.held.get(cell)) {
        for (n, &i) in held.iter().enumerate() {
            for &j in held.get(n + 1..).unwrap_or(&[]) {
                let (Some(&one), Some(&other)) = (pieces.get(i as usize), pieces.get(j as usize))
                else {
                    continue;
                };
                let mut put = |at: u32, t: f64, node: usize| {
                    cuts.entry(at).or_default().push((t, node));
                    done += 1;
                };
                if let Some(place) = meet((i, one), (j, other), nodes, &mut put) {
                    crossing = crossing.or(Some(place));
                }
                if done > MOST_CUTS {
                    return None;
                }
            }
        }
    }
    Some((cuts, crossing))
}

/// Cuts two pieces where they touch or cross; where they cross the place is handed back.
fn meet(
    (i, one): (u32, Piece),
    (j, other): (u32, Piece),
    nodes: &mut Nodes,
    put: &mut impl FnMut(u32, f64, usize),
) -> Option<Point> {
    let ([a, b], [c, d]) = (one.at(&nodes.at), other.at(&nodes.at));
    let beyond = |p: f64, q: f64, r: f64, s: f64| {
        p.max(q) < r.min(s) - SAME_MM || r.max(s) < p.min(q) - SAME_MM
    };
    if beyond(a.x, b.x, c.x, d.x) || beyond(a.y, b.y, c.y, d.y) {
        return None;
    }
    let mut touched = one.ends.iter().any(|end| other.ends.contains(end));
    for (at, piece, [from, to], ends) in
        [(i, one, [a, b], other.ends), (j, other, [c, d], one.ends)]
    {
        for node in ends {
            if piece.ends.contains(&node) {
                continue;
            }
            let p = nodes.at.get(node).copied()?;
            if foot(p, from, to).distance(p) <= SAME_MM {
                let along = to - from;
                put(at, (p - from).dot(along) / along.hypot2(), node);
                touched = true;
            }
        }
    }
    if touched {
        return None;
    }
    let (along, across) = (b - a, d - c);
    let turn = along.cross(across);
    let t = (c - a).cross(across) / turn;
    let u = (c - a).cross(along) / turn;
    if !(0.0..=1.0).contains(&t) || !(0.0..=1.0).contains(&u) {
        return None;
    }
    let place = a + along * t;
    let node = nodes.of(place);
    if !one.ends.contains(&node) {
        put(i, t, node);
    }
    if !other.ends.contains(&node) {
        put(j, u, node);
    }
    Some(place)
}
