//! Walks along the edges of a plane graph, with what they enclose on the left hand.

use super::{Edge, Ring, RingKind};
use crate::solve::sort::sort_by;
use kurbo::Point;
use std::collections::HashSet;

/// Where to go on from each half of an edge. Half 2 i runs from the first end of edge i, half 2 i + 1 back.
fn following(edges: &[Edge], points: &[Point]) -> Vec<usize> {
    let mut out: Vec<Vec<(f64, usize)>> = vec![Vec::new(); points.len()];
    let at = |node: usize| points.get(node).copied().unwrap_or_default();
    for (i, edge) in edges.iter().enumerate() {
        let [a, b] = edge.ends;
        for (half, from, to) in [(2 * i, a, b), (2 * i + 1, b, a)] {
            if let Some(list) = out.get_mut(from) {
                list.push(((at(to) - at(from)).atan2(), half));
            }
        }
    }
    let mut next = vec![0; 2 * edges.len()];
    for list in &mut out {
        sort_by(list, |p, q| p.0.total_cmp(&q.0).then(p.1.cmp(&q.1)));
        for (place, &(_, half)) in list.iter().enumerate() {
            // Come in by the other half of this one, and leave by the next to the right of it.
            let before = (place + list.len() - 1) % list.len();
            if let (Some(to), Some(&(_, go))) = (next.get_mut(half ^ 1), list.get(before)) {
                *to = go;
            }
        }
    }
    next
}

/// The closed walks, each a list of halves.
fn walks(edges: &[Edge], points: &[Point]) -> Vec<Vec<usize>> {
    let next = following(edges, points);
    let mut seen = vec![false; next.len()];
    let mut all = Vec::new();
    for start in 0..next.len() {
        let mut walk = Vec::new();
        let mut half = start;
        while seen.get(half) == Some(&false) {
            if let Some(mark) = seen.get_mut(half) {
                *mark = true;
            }
            walk.push(half);
            half = next.get(half).copied().unwrap_or(start);
        }
        if !walk.is_empty() {
            all.push(walk);
        }
    }
    all
}

fn from_of(edges: &[Edge], half: usize) -> usize {
    edges.get(half / 2).map_or(0, |edge| edge.ends[half % 2])
}

/// Edges with the same country on both sides.
pub(super) fn bridges(edges: &[Edge], points: &[Point]) -> Vec<bool> {
    let mut walk_of = vec![usize::MAX; 2 * edges.len()];
    for (number, walk) in walks(edges, points).iter().enumerate() {
        for &half in walk {
            if let Some(of) = walk_of.get_mut(half) {
                *of = number;
            }
        }
    }
    walk_of
        .chunks_exact(2)
        .map(|pair| pair.first() == pair.last())
        .collect()
}

/// Every ring: cells, and the edge of what hangs together. One that is both is there once.
pub(super) fn rings(edges: &[Edge], points: &[Point]) -> Vec<Ring> {
    let mut rings: Vec<Ring> = Vec::new();
    let mut place = vec![usize::MAX; points.len()];
    for walk in walks(edges, points) {
        // Where a walk comes to a place again, what lies between is a ring of its own.
        let mut stack: Vec<usize> = Vec::new();
        for half in walk.iter().copied().chain(walk.first().copied()) {
            let node = from_of(edges, half);
            let before = place.get(node).copied().unwrap_or(usize::MAX);
            if before != usize::MAX {
                let loose: Vec<usize> = stack.drain(before..).collect();
                let nodes: Vec<usize> = loose.iter().map(|&half| from_of(edges, half)).collect();
                for &node in &nodes {
                    if let Some(to) = place.get_mut(node) {
                        *to = usize::MAX;
                    }
                }
                let line = loose
                    .first()
                    .and_then(|half| edges.get(half / 2))
                    .map_or(0, |edge| edge.line);
                rings.extend(ring(nodes, line, points));
            }
            if let Some(to) = place.get_mut(node) {
                *to = stack.len();
            }
            stack.push(half);
        }
        for half in stack {
            if let Some(to) = place.get_mut(from_of(edges, half)) {
                *to = usize::MAX;
            }
        }
    }
    // A loop by itself is its own cell.
    let key = |ring: &Ring| {
        let mut key = ring.nodes.clone();
        key.sort_unstable();
        key
    };
    let whole: HashSet<Vec<usize>> = rings
        .iter()
        .filter(|ring| ring.kind == RingKind::Whole)
        .map(key)
        .collect();
    rings.retain(|ring| ring.kind == RingKind::Whole || !whole.contains(&key(ring)));
    rings
}

fn ring(mut nodes: Vec<usize>, line: usize, points: &[Point]) -> Option<Ring> {
    if nodes.len() < 3 {
        return None;
    }
    let about = *points.get(*nodes.first()?)?;
    let mut twice = 0.0;
    for (a, b) in nodes.iter().zip(nodes.iter().cycle().skip(1)) {
        twice += (*points.get(*a)? - about).cross(*points.get(*b)? - about);
    }
    let kind = if twice > 0.0 {
        RingKind::Cell
    } else {
        nodes.reverse();
        RingKind::Whole
    };
    (twice != 0.0).then_some(Ring { nodes, line, kind })
}
