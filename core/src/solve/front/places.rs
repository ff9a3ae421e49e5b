//! The places of points in the matrix.

use super::NONE;

/// Gives the points that are joined an order in which neighbours stand near each other.
pub(super) fn in_order(points: usize, edges: &[(u32, u32, f64)]) -> (Vec<u32>, Vec<u32>) {
    let mut start = vec![0_u32; points + 1];
    for &(a, b, w) in edges {
        if w != 0.0 && a != b {
            start[a as usize + 1] += 1;
            start[b as usize + 1] += 1;
        }
    }
    for i in 0..points {
        start[i + 1] += start[i];
    }
    let mut next = start.clone();
    let mut near = vec![0_u32; start[points] as usize];
    for &(a, b, w) in edges {
        if w != 0.0 && a != b {
            for (from, to) in [(a, b), (b, a)] {
                near[next[from as usize] as usize] = to;
                next[from as usize] += 1;
            }
        }
    }
    let mut place = vec![NONE; points];
    let mut point: Vec<u32> = Vec::with_capacity(points);
    for first in 0..points {
        if place[first] != NONE || start[first] == start[first + 1] {
            continue;
        }
        place[first] = point.len() as u32;
        point.push(first as u32);
        let mut at = point.len() - 1;
        while at < point.len() {
            let i = point[at] as usize;
            for &j in &near[start[i] as usize..start[i + 1] as usize] {
                if place[j as usize] == NONE {
                    place[j as usize] = point.len() as u32;
                    point.push(j);
                }
            }
            at += 1;
        }
    }
    (place, point)
}
