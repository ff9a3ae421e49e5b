//! The product that makes a coarser network of a finer one, whole or for the points whose state has changed.

use super::Matrix;
use super::hierarchy::{Rows, Step};

/// Room for one product.
#[derive(Debug, Clone, Default)]
pub(super) struct Scratch {
    half: Vec<f64>,
    place: Vec<u32>,
    /// Finer rows that are needed, and whether each is.
    needed: Vec<u32>,
    is_needed: Vec<bool>,
}

/// The values of a coarse network, on the pattern of the one with nothing held.
#[derive(Debug, Clone, Default)]
pub(super) struct Coarse {
    pub(super) value: Vec<f64>,
    /// How many free points of the finer level each group reaches.
    reach: Vec<u32>,
    /// Which groups reach any.
    pub(super) is_free: Vec<bool>,
    /// Rows whose values may have changed, and whether each did.
    pub(super) touched: Vec<u32>,
    is_touched: Vec<bool>,
}

/// Some rows of the product of restriction, fine and prolongation, with the rows of held points left out.
pub(super) fn product(
    fine: (&Matrix, &[f64]),
    (prolongation, restriction, between): (&Rows, &Rows, &Rows),
    (start, column): (&[u32], &[u32]),
    value: &mut [f64],
    is_free: impl Fn(usize) -> bool,
    rows: impl Iterator<Item = usize> + Clone,
    room: &mut Scratch,
) {
    let (matrix, values) = fine;
    let groups = start.len() - 1;
    room.is_needed.clear();
    room.is_needed.resize(matrix.len(), false);
    room.needed.clear();
    for i in rows.clone() {
        for &k in restriction.row(i).0 {
            let is_needed = &mut room.is_needed[k as usize];
            if !*is_needed && is_free(k as usize) {
                *is_needed = true;
                room.needed.push(k);
            }
        }
    }
    room.half.resize(between.column.len(), 0.0);
    room.place.resize(groups.max(room.place.len()), 0);
    for i in room.needed.iter().map(|&i| i as usize) {
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
            let (to, weight) = prolongation.row(j as usize);
            for (&to, w) in to.iter().zip(weight) {
                half[room.place[to as usize] as usize] += a * w;
            }
        }
    }
    for i in rows {
        let range = start[i] as usize..start[i + 1] as usize;
        for (at, &j) in (0_u32..).zip(&column[range.clone()]) {
            room.place[j as usize] = at;
        }
        let own = &mut value[range];
        own.fill(0.0);
        let (from, weight) = restriction.row(i);
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
        let ends = step.restriction.start.windows(2);
        self.reach.extend(ends.map(|ends| ends[1] - ends[0]));
        self.count();
        self.touch_all();
    }

    /// Everything anew from a finer level.
    pub(super) fn fresh(
        &mut self,
        step: &Step,
        fine: (&Matrix, &[f64]),
        is_free: &[bool],
        room: &mut Scratch,
    ) {
        let all: Vec<u32> = (0..is_free.len() as u32).collect();
        self.renew(step, fine, (is_free, &all), room);
    }

    /// What follows from some rows of the finer level.
    pub(super) fn renew(
        &mut self,
        step: &Step,
        fine: (&Matrix, &[f64]),
        (is_free, rows): (&[bool], &[u32]),
        room: &mut Scratch,
    ) {
        self.is_touched.resize(step.coarse.len(), false);
        self.begin();
        for &k in rows {
            for &i in step.prolongation.row(k as usize).0 {
                self.touch(i);
            }
        }
        self.value.resize(step.coarse.column.len(), 0.0);
        product(
            fine,
            (&step.prolongation, &step.restriction, &step.between),
            (&step.coarse.start, &step.coarse.column),
            &mut self.value,
            |i| is_free[i],
            self.touched.iter().map(|&i| i as usize),
            room,
        );
        self.reach.clear();
        self.reach.resize(step.coarse.len(), 0);
        for (i, _) in is_free.iter().enumerate().filter(|&(_, &free)| free) {
            for &to in step.prolongation.row(i).0 {
                self.reach[to as usize] += 1;
            }
        }
        self.count();
    }

    /// Forgets which rows may have changed.
    pub(super) fn begin(&mut self) {
        for &i in &self.touched {
            self.is_touched[i as usize] = false;
        }
        self.touched.clear();
    }

    fn touch(&mut self, row: u32) {
        if !self.is_touched[row as usize] {
            self.is_touched[row as usize] = true;
            self.touched.push(row);
        }
    }

    fn touch_all(&mut self) {
        self.touched.clear();
        self.touched.extend(0..self.reach.len() as u32);
        self.is_touched.clear();
        self.is_touched.resize(self.reach.len(), true);
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
            let (own, weights) = step.prolongation.row(i);
            for &to in own {
                let reach = &mut self.reach[to as usize];
                *reach = if comes { *reach + 1 } else { *reach - 1 };
                self.touch(to);
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
                let (to, weight) = step.prolongation.row(j as usize);
                for (&to, w) in to.iter().zip(weight) {
                    room.half[room.place[to as usize] as usize] += a * w;
                }
            }
            for (&to, &half) in reached.iter().zip(&room.half) {
                if half == 0.0 {
                    continue;
                }
                self.touch(to);
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
