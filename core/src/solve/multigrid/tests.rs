use super::product::{Coarse, Scratch};
use super::{Hierarchy, Matrix, Reduced, Room};

/// A square of points, each joined to its neighbours by something between one and two.
fn square(side: u32) -> Matrix {
    let mut edges = Vec::new();
    for i in 0..side {
        for j in 0..side {
            let own = i * side + j;
            let weight = 1.0 + f64::from(own * 7 % 11) / 11.0;
            if j + 1 < side {
                edges.push((own, own + 1, weight));
            }
            if i + 1 < side {
                edges.push((own, own + side, weight));
            }
        }
    }
    Matrix::of((side * side) as usize, &edges)
}

#[test]
fn points_taken_in_and_out_leave_the_coarse_network_as_if_made_anew() {
    let matrix = square(30);
    let hierarchy = Hierarchy::of(&matrix);
    let step = &hierarchy.steps[0];
    let mut room = Scratch::default();
    let mut kept = Coarse::default();
    kept.whole(step);
    let mut was_free = vec![true; matrix.len()];
    for turn in 0..6_usize {
        let is_free: Vec<bool> = (0..matrix.len()).map(|i| i % 30 >= 5 * turn).collect();
        let differ = |&i: &u32| was_free[i as usize] != is_free[i as usize];
        let changed: Vec<u32> = (0..matrix.len() as u32).filter(differ).collect();
        assert!(turn == 0 || changed.len() == 150);
        kept.update(step, &matrix, &changed, &mut was_free, &mut room);
        assert_eq!(was_free, is_free);
        let mut anew = Coarse::default();
        anew.fresh(step, (&matrix, &matrix.value), &is_free, &mut room);
        assert_eq!(kept.is_free, anew.is_free);
        for (a, b) in kept.value.iter().zip(&anew.value) {
            assert!((a - b).abs() < 1e-12, "{a} {b}");
        }
    }
}

#[test]
fn a_solve_leaves_nothing_over_in_few_steps() {
    for side in [5, 30, 120] {
        let matrix = square(side);
        let hierarchy = Hierarchy::of(&matrix);
        let mut room = Room::default();
        // The left edge is held at one, and then the right half at nought as well.
        for half in [false, true] {
            let column = |i: usize| i as u32 % side;
            let is_free: Vec<bool> = (0..matrix.len())
                .map(|i| column(i) > 0 && (!half || column(i) < side / 2))
                .collect();
            let mut x: Vec<f64> = (0..matrix.len())
                .map(|i| f64::from(u8::from(column(i) == 0)))
                .collect();
            let mut reduced = Reduced::of(&matrix, &hierarchy, &is_free, &mut room);
            let steps = reduced.solve(|_| 0.5, &mut x, (1e-10, 1.0), 100);
            assert!(steps < 25, "{side}: {steps}");
            let most = (0..matrix.len())
                .filter(|&i| is_free[i])
                .map(|i| (matrix.times(i, &x) - 0.5).abs())
                .fold(0.0, f64::max);
            assert!(most < 1e-8, "{side}: {most}");
        }
    }
}
