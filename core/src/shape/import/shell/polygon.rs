//! Cuts a face of many corners into triangles: ears off a polygon, seen along its own normal.

use super::Triangle;

/// The triangles of a polygon in space. Ears are cut off one after another; what has none is cut as a fan.
pub(in super::super) fn triangles_of(corners: &[[f64; 3]]) -> Vec<Triangle> {
    let normal = normal_of(corners);
    // Along the axis it faces most.
    let axis = (0..3)
        .max_by(|&a, &b| normal[a].abs().total_cmp(&normal[b].abs()))
        .unwrap_or(2);
    let flip = normal[axis] < 0.0;
    let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
    let flat = |p: [f64; 3]| if flip { [p[v], p[u]] } else { [p[u], p[v]] };
    let turn = |a: [f64; 3], b: [f64; 3], c: [f64; 3]| {
        let [a, b, c] = [a, b, c].map(flat);
        (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    };
    let mut left = corners.to_vec();
    let mut all = Vec::new();
    while left.len() > 3 {
        let count = left.len();
        let ear = (0..count).find(|&i| {
            let [a, b, c] = [(i + count - 1) % count, i, (i + 1) % count].map(|i| left[i]);
            let within = |p: &[f64; 3]| {
                turn(a, b, *p) >= 0.0 && turn(b, c, *p) >= 0.0 && turn(c, a, *p) >= 0.0
            };
            turn(a, b, c) > 0.0
                && !left
                    .iter()
                    .any(|p| *p != a && *p != b && *p != c && within(p))
        });
        let i = ear.unwrap_or(1);
        all.push([
            left[(i + count - 1) % count],
            left[i],
            left[(i + 1) % count],
        ]);
        left.remove(i);
    }
    if let &[a, b, c] = left.as_slice() {
        all.push([a, b, c]);
    }
    all
}

/// Newell's normal of a polygon (Sutherland and others 1974, from memory).
fn normal_of(corners: &[[f64; 3]]) -> [f64; 3] {
    let mut normal = [0.0; 3];
    for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        for (k, to) in normal.iter_mut().enumerate() {
            let (u, v) = ((k + 1) % 3, (k + 2) % 3);
            *to += (a[u] - b[u]) * (a[v] + b[v]);
        }
    }
    normal
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_polygon_that_bends_in_keeps_its_area() {
        let ell = [[0, 0], [2, 0], [2, 1], [1, 1], [1, 2], [0, 2]].map(|p| p.map(f64::from));
        for (place, turned) in [false, true, false, true].into_iter().enumerate() {
            let mut corners: Vec<[f64; 3]> = ell
                .iter()
                .map(|[x, y]| {
                    if place < 2 {
                        [*x, *y, 5.0]
                    } else {
                        [*y, 7.0 + *x, *x]
                    }
                })
                .collect();
            if turned {
                corners.reverse();
            }
            let sum: f64 = triangles_of(&corners)
                .iter()
                .map(|[a, b, c]| {
                    let (u, v) = (
                        [0, 1, 2].map(|k| b[k] - a[k]),
                        [0, 1, 2].map(|k| c[k] - a[k]),
                    );
                    0.5 * [(1, 2), (2, 0), (0, 1)]
                        .map(|(i, j)| u[i] * v[j] - u[j] * v[i])
                        .into_iter()
                        .fold(0.0, f64::hypot)
                })
                .sum();
            let wanted = if place < 2 { 3.0 } else { 3.0 * 2.0_f64.sqrt() };
            assert!((sum - wanted).abs() < 1e-12, "{sum}");
        }
    }
}
