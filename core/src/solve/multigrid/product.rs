//! The product that makes a coarser network of a finer one, whole or for the points whose state has changed.

use super::Matrix;
use super::ladder::{Rows, Step};

/// Room for one product.
#[derive(Debug, Clone, Default)]
pub(super) struct Scratch {
    half: Vec<f64>,
    place: Vec<u32>,
}

/// The values of a coarse network, on the pattern of the one with nothing held.
#[derive(Debug, Clone, Default)]
pub(super) struct Coarse {
    pub(super) value: Vec<f64>,
    /// How many free points of the finer rung each group reaches.
    reach: Vec<u32>,
    /// Which groups reach any.
    pub(super) is_free: Vec<bool>,
}

/// The product of gather, fine and spread, with the rows of held points left out.
pub(super) fn product(
    fine: (&Matrix, &[f64]),
    (spread, gather, between): (&Rows, &Rows, &Rows),
    (start, column): (&[u32], &[u32]),
    value: &mut [f64],
    is_free: impl Fn(usize) -> bool,
    room: &mut Scratch,
) {
    let (matrix, values) = fine;
    let groups = start.len() - 1;
    room.half.resize(between.column.len(), 0.0);
    room.place.resize(groups.max(room.place.len()), 0);
    for i in (0..matrix.len()).filter(|&i| is_free(i)) {
        let range = between.start[i] as usize..between.start[i + 1] as usize;
        for (at, &j) in (0_u32..).zip(&between.column[range.clone()]) {
            room.place[j as usize] = at;
        }
        let half = &mut room.half[range];
        half.fill(0.0);
        let range = matrix.start[i] as usize..matrix.start[i + 1] as usize;
        for (&j, a) in matrix.column[range.clone()].iter().zip(&values[range]) {
            if !is_free(j as usize) {
                continue;
            }
            let (to, weight) = spread.row(j as usize);
            for (&to, w) in to.iter().zip(weight) {
                half[room.place[to as usize] as usize] += a * w;
            }
        }
    }
    for i in 0..groups {
        let range = start[i] as usize..start[i + 1] as usize;
        for (at, &j) in (0_u32..).zip(&column[range.clone()]) {
            room.place[j as usize] = at;
        }
        let own = &mut value[range];
        own.fill(0.0);
        let (from, weight) = gather.row(i);
        for (&k, w) in from.iter().zip(weight) {
            let k = k as usize;
            if !is_free(k) {
                continue;
            }
            let range = between.start[k] as usize..between.start[k + 1] as usize;
            for (&j, half) in between.column[range.clone()].iter().zip(&room.half[range]) {
                own[room.place[j as usize] as usize] += w * half;
            }
        }
    }
}

impl Coarse {
    /// With nothing held.
    pub(super) fn whole(&mut self, step: &Step) {
        self.value.clone_from(&step.coarse.value);
        self.reach.clear();
        let ends = step.gather.start.windows(2);
        self.reach.extend(ends.map(|ends| ends[1] - ends[0]));
        self.count();
    }

    /// Everything anew from a finer rung.
    pub(super) fn fresh(
        &mut self,
        step: &Step,
        fine: (&Matrix, &[f64]),
        is_free: &[bool],
        room: &mut Scratch,
    ) {
        self.value.resize(step.coarse.column.len(), 0.0);
        product(
            fine,
            (&step.spread, &step.gather, &step.between),
            (&step.coarse.start, &step.coarse.column),
            &mut self.value,
            |i| is_free[i],
            room,
        );
        self.reach.clear();
        self.reach.resize(step.coarse.len(), 0);
        for (i, _) in is_free.iter().enumerate().filter(|&(_, &free)| free) {
            for &to in step.spread.row(i).0 {
                self.reach[to as usize] += 1;
            }
        }
        self.count();
    }

    /// Which groups reach any free point.
    fn count(&mut self) {
        self.is_free.clear();
        self.is_free.extend(self.reach.iter().map(|&r| r > 0));
    }

    /// Takes the points `changed` in or out: `was_free` becomes what is free now.
    pub(super) fn update(
        &mut self,
        step: &Step,
        matrix: &Matrix,
        changed: &[u32],
        was_free: &mut [bool],
        room: &mut Scratch,
    ) {
        room.place
            .resize(step.coarse.len().max(room.place.len()), 0);
        for &i in changed {
            let i = i as usize;
            let comes = !was_free[i];
            was_free[i] = false;
            let sign = if comes { 1.0 } else { -1.0 };
            let (own, weights) = step.spread.row(i);
            for &to in own {
                let reach = &mut self.reach[to as usize];
                *reach = if comes { *reach + 1 } else { *reach - 1 };
            }
            // What the row gives to each group it reaches; half of the diagonal, since it counts on both sides.
            let range = step.between.start[i] as usize..step.between.start[i + 1] as usize;
            let reached = &step.between.column[range];
            for (at, &j) in (0_u32..).zip(reached) {
                room.place[j as usize] = at;
            }
            room.half.clear();
            room.half.resize(reached.len().max(room.half.len()), 0.0);
            let (columns, values) = matrix.row(i);
            for (&j, &a) in columns.iter().zip(values) {
                let a = if j as usize == i {
                    sign * a / 2.0
                } else if was_free[j as usize] {
                    sign * a
                } else {
                    continue;
                };
                let (to, weight) = step.spread.row(j as usize);
                for (&to, w) in to.iter().zip(weight) {
                    room.half[room.place[to as usize] as usize] += a * w;
                }
            }
            for (&to, &half) in reached.iter().zip(&room.half) {
                if half == 0.0 {
                    continue;
                }
                for (&group, w) in own.iter().zip(weights) {
                    for (row, column) in [(group, to), (to, group)] {
                        let from = step.coarse.start[row as usize] as usize;
                        let (columns, _) = step.coarse.row(row as usize);
                        if let Ok(at) = columns.binary_search(&column) {
                            self.value[from + at] += w * half;
                        }
                    }
                }
            }
            was_free[i] = comes;
        }
        self.count();
    }
}
