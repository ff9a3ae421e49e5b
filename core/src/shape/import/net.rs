//! Makes a map of a drawing: cuts lines where they cross, trims what runs over, and finds what they enclose.
//!
//! The lines become the edges of a plane graph. An edge that ends nowhere, or that has the same country on both sides,
//! encloses nothing and goes. What remains is walked with the country on the left hand: each cell by its edge, and each
//! group of cells that hang together by the edge of all of it.

mod cut;
mod walk;

use super::nodes::Nodes;
use kurbo::Point;
use std::collections::HashMap;

/// Points this close are one [mm].
const SAME_MM: f64 = 2e-3;

/// A line to be laid into the map.
pub(super) struct Way<'a> {
    pub(super) points: &'a [Point],
    pub(super) closed: bool,
}

/// A closed way along edges of the map, counter-clockwise.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ring {
    pub(super) nodes: Vec<usize>,
    /// Which line lies on its first edge.
    pub(super) line: usize,
    pub(super) kind: RingKind,
}

/// What a ring is the edge of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RingKind {
    /// All that hangs together.
    Whole,
    /// One cell of it.
    Cell,
    /// A closed line as it was drawn, where others cross it.
    Drawn,
}

/// The map.
pub(super) struct Net {
    pub(super) points: Vec<Point>,
    pub(super) rings: Vec<Ring>,
    /// Lines of which nothing encloses anything.
    pub(super) idle: usize,
    /// Lines whose ends ran over and were trimmed.
    pub(super) over: usize,
    /// Ends that stopped short of another line and were led to it.
    pub(super) short: usize,
    /// A place where two lines cross, if any do.
    pub(super) crossing: Option<Point>,
}

/// An edge and the line that it is of.
#[derive(Debug, Clone, Copy)]
struct Edge {
    ends: [usize; 2],
    line: usize,
}

/// The map of some lines; ends that stop up to `reach` short of another line are led to it. None where lines cross so
/// often that it would take too long.
pub(super) fn net(ways: &[Way<'_>], reach: f64) -> Option<Net> {
    let mut nodes = Nodes::new(SAME_MM);
    let cut = cut::cut(ways, reach, &mut nodes)?;
    let mut edges: Vec<Edge> = Vec::new();
    let mut seen: HashMap<[usize; 2], ()> = HashMap::new();
    let mut drawn: Vec<Vec<usize>> = vec![Vec::new(); ways.len()];
    for (line, chain) in &cut.chains {
        for pair in chain.windows(2) {
            let &[a, b] = pair else { continue };
            if a != b && seen.insert([a.min(b), a.max(b)], ()).is_none() {
                edges.push(Edge {
                    ends: [a, b],
                    line: *line,
                });
            }
        }
        if let Some(all) = drawn.get_mut(*line) {
            all.extend(chain.iter().take(chain.len().saturating_sub(1)));
        }
    }
    let before = edges.len();
    let mut of_line = vec![0_usize; ways.len()];
    for edge in &edges {
        if let Some(count) = of_line.get_mut(edge.line) {
            *count += 1;
        }
    }
    prune(&mut edges, nodes.at.len());
    let mut rings = walk::rings(&edges, &nodes.at);
    let bridges = walk::bridges(&edges, &nodes.at);
    if bridges.iter().any(|bridge| *bridge) {
        let mut kept = bridges.iter().map(|bridge| !bridge);
        edges.retain(|_| kept.next().unwrap_or(true));
        rings = walk::rings(&edges, &nodes.at);
    }
    let mut left = vec![0_usize; ways.len()];
    for edge in &edges {
        if let Some(count) = left.get_mut(edge.line) {
            *count += 1;
        }
    }
    let lost = |some: bool| {
        of_line
            .iter()
            .zip(&left)
            .filter(|(had, has)| **had > 0 && (**has > 0) == some && *has < *had)
            .count()
    };
    let (idle, over) = (lost(false), lost(true));
    debug_assert!(edges.len() <= before, "edges only go");
    drawn_too(&mut rings, ways, drawn);
    Some(Net {
        points: nodes.at,
        rings,
        idle,
        over,
        short: cut.short,
        crossing: cut.crossing,
    })
}

/// Takes away what ends nowhere, and what that leaves without an end.
fn prune(edges: &mut Vec<Edge>, nodes: usize) {
    let mut at: Vec<Vec<usize>> = vec![Vec::new(); nodes];
    for (i, edge) in edges.iter().enumerate() {
        for end in edge.ends {
            if let Some(list) = at.get_mut(end) {
                list.push(i);
            }
        }
    }
    let mut degree: Vec<usize> = at.iter().map(Vec::len).collect();
    let mut gone = vec![false; edges.len()];
    let mut next: Vec<usize> = (0..nodes).filter(|&n| degree.get(n) == Some(&1)).collect();
    while let Some(node) = next.pop() {
        let edge = at
            .get(node)
            .into_iter()
            .flatten()
            .copied()
            .find(|&i| gone.get(i) == Some(&false));
        let Some(i) = edge else { continue };
        if let Some(mark) = gone.get_mut(i) {
            *mark = true;
        }
        for end in edges.get(i).map_or([node; 2], |edge| edge.ends) {
            if let Some(count) = degree.get_mut(end) {
                *count = count.saturating_sub(1);
                if *count == 1 {
                    next.push(end);
                }
            }
        }
    }
    let mut kept = gone.iter().map(|gone| !gone);
    edges.retain(|_| kept.next().unwrap_or(true));
}

/// Adds closed lines as they were drawn, where they are no ring already.
fn drawn_too(rings: &mut Vec<Ring>, ways: &[Way<'_>], drawn: Vec<Vec<usize>>) {
    let key = |nodes: &[usize]| {
        let mut key = nodes.to_vec();
        key.sort_unstable();
        key
    };
    let mut known: HashMap<Vec<usize>, ()> =
        rings.iter().map(|ring| (key(&ring.nodes), ())).collect();
    for (line, (way, mut nodes)) in ways.iter().zip(drawn).enumerate() {
        nodes.dedup();
        if nodes.len() > 1 && nodes.first() == nodes.last() {
            nodes.pop();
        }
        let sorted = key(&nodes);
        let simple = sorted.windows(2).all(|pair| pair.first() != pair.last());
        if way.closed && simple && nodes.len() > 2 && known.insert(sorted, ()).is_none() {
            rings.push(Ring {
                nodes,
                line,
                kind: RingKind::Drawn,
            });
        }
    }
}

/// The rings along these closed ways with what two of them share taken out: a part with what lies on its edge cut off.
pub(super) fn apart(rings: &[&[usize]], points: &[Point]) -> Vec<Vec<usize>> {
    let mut count: HashMap<[usize; 2], (usize, usize)> = HashMap::new();
    for (place, ring) in rings.iter().enumerate() {
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let side = count.entry([*a.min(b), *a.max(b)]).or_insert((0, place));
            side.0 += 1;
        }
    }
    let mut edges: Vec<Edge> = count
        .into_iter()
        .filter(|(_, (times, _))| times % 2 == 1)
        .map(|(ends, (_, line))| Edge { ends, line })
        .collect();
    // A map of numbers has no order of its own.
    edges.sort_unstable_by_key(|edge| edge.ends);
    walk::rings(&edges, points)
        .into_iter()
        .filter(|ring| ring.kind == RingKind::Whole)
        .map(|ring| ring.nodes)
        .collect()
}
