//! Closed lines in a plane: area, what lies inside, and where they cross.

use crate::solve::sort::sort_by;

/// A closed line, without its first point again at the end.
pub type Loop = Vec<[f64; 2]>;

/// Area inside a closed line, positive when it runs counter-clockwise.
#[must_use]
pub fn area(line: &[[f64; 2]]) -> f64 {
    sides(line)
        .map(|(a, b)| a[0] * b[1] - b[0] * a[1])
        .sum::<f64>()
        / 2.0
}

/// Length of a closed line.
#[must_use]
pub fn length(line: &[[f64; 2]]) -> f64 {
    sides(line)
        .map(|(a, b)| (b[0] - a[0]).hypot(b[1] - a[1]))
        .sum()
}

/// Whether a point lies inside a closed line.
#[must_use]
pub fn inside(line: &[[f64; 2]], point: [f64; 2]) -> bool {
    let mut odd = false;
    for (a, b) in sides(line) {
        if (a[1] > point[1]) != (b[1] > point[1])
            && point[0] < a[0] + (b[0] - a[0]) * (point[1] - a[1]) / (b[1] - a[1])
        {
            odd = !odd;
        }
    }
    odd
}

/// The sides of a closed line.
pub(super) fn sides(line: &[[f64; 2]]) -> impl Iterator<Item = ([f64; 2], [f64; 2])> {
    let next = line.iter().cycle().skip(1);
    line.iter().copied().zip(next.copied())
}

fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// Whether two sides cross or touch.
fn meet(a: [f64; 2], b: [f64; 2], c: [f64; 2], d: [f64; 2]) -> bool {
    let within = |p: [f64; 2], q: [f64; 2], r: [f64; 2]| {
        r[0] >= p[0].min(q[0])
            && r[0] <= p[0].max(q[0])
            && r[1] >= p[1].min(q[1])
            && r[1] <= p[1].max(q[1])
    };
    let (abc, abd, cda, cdb) = (turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b));
    let apart = |x: f64, y: f64| (x > 0.0 && y < 0.0) || (x < 0.0 && y > 0.0);
    (apart(abc, abd) && apart(cda, cdb))
        || (abc == 0.0 && within(a, b, c))
        || (abd == 0.0 && within(a, b, d))
        || (cda == 0.0 && within(c, d, a))
        || (cdb == 0.0 && within(c, d, b))
}

/// Where closed lines cross themselves or each other, when they do.
#[must_use]
pub fn crossing(lines: &[Loop]) -> Option<[f64; 2]> {
    let mut all = Vec::new();
    for (l, line) in lines.iter().enumerate() {
        all.extend(
            sides(line)
                .enumerate()
                .map(|(k, (a, b))| (l, k, line.len(), a, b)),
        );
    }
    // Along x, so that only sides which overlap there are held against each other.
    sort_by(&mut all, |p, q| {
        p.3[0].min(p.4[0]).total_cmp(&q.3[0].min(q.4[0]))
    });
    for (at, &(l, k, count, a, b)) in all.iter().enumerate() {
        let right = a[0].max(b[0]);
        for &(m, j, _, c, d) in &all[at + 1..] {
            if c[0].min(d[0]) > right {
                break;
            }
            let next_to = l == m && ((k + 1) % count == j || (j + 1) % count == k);
            if next_to {
                // Neighbours share a corner; they cross only when one folds back on the other.
                let (far, hinge, tip) = if (k + 1) % count == j {
                    (a, b, d)
                } else {
                    (c, a, b)
                };
                let back = turn(far, hinge, tip) == 0.0
                    && (tip[0] - hinge[0]) * (far[0] - hinge[0])
                        + (tip[1] - hinge[1]) * (far[1] - hinge[1])
                        > 0.0;
                if back {
                    return Some(hinge);
                }
            } else if meet(a, b, c, d) {
                return Some([
                    (a[0] + b[0] + c[0] + d[0]) / 4.0,
                    (a[1] + b[1] + c[1] + d[1]) / 4.0,
                ]);
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bow_tie_crosses_and_a_square_does_not() {
        let square = vec![[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
        assert_eq!(crossing(std::slice::from_ref(&square)), None);
        assert!((area(&square) - 1.0).abs() < 1e-15 && (length(&square) - 4.0).abs() < 1e-15);
        assert!(inside(&square, [0.5, 0.5]) && !inside(&square, [1.5, 0.5]));
        let tie = vec![[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.0]];
        assert!(crossing(&[tie]).is_some());
        let hole = vec![[0.5, 0.5], [1.5, 0.5], [0.5, 0.8]];
        assert!(crossing(&[square.clone(), hole]).is_some());
        let within = vec![[0.2, 0.2], [0.2, 0.4], [0.4, 0.4]];
        assert_eq!(crossing(&[square, within]), None);
        let folded = vec![[0.0, 0.0], [1.0, 0.0], [0.5, 0.0], [0.5, 1.0]];
        assert!(crossing(&[folded]).is_some());
    }
}
