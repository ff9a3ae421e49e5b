//! The outer search: how many of each choice, with figures that do not depend on the order.

use super::centre::Centre;
use super::found::Candidate;
use super::keep::{Keep, Kept, Standing};
use super::reach::Reach;
use super::space::{Middle, Space};
use super::sums::{CONDUCTANCE, PORES, Sums, THICKNESS};
use super::table::{Table, share};
use super::wish::{Bounds, Wish};

/// A coupling below this share of the stretching stiffness counts as none.
const COUPLING: f64 = 1e-3;

/// Bounds in the whole numbers of the table: most of mass, cost, fossil carbon and thickness.
struct Limits {
    most: [f64; 4],
    least_thickness: f64,
    /// Half the most thickness [m].
    most_half: f64,
    slowest_fill: f64,
}

/// A search under way.
pub(super) struct Search<'a> {
    pub(super) space: &'a Space<'a>,
    bounds: &'a Bounds,
    wish: &'a Wish<'a>,
    limits: Limits,
    pub(super) table: &'a Table,
    pub(super) centre: &'a Centre,
    /// What the choices from each on can add.
    reach: Vec<Reach>,
    pub(super) accept: &'a mut dyn FnMut(&Candidate) -> bool,
    /// The stack that is put to the expensive test.
    pub(super) told: Candidate,
    pub(super) keep: Keep,
    /// How many of each choice one half holds.
    pub(super) counts: Vec<u32>,
    left: Vec<u32>,
    pub(super) steps: u64,
    pub(super) worked: u64,
    pub(super) asked: u64,
    pub(super) cut_short: bool,
}

impl<'a> Search<'a> {
    pub(super) fn new(
        (space, bounds, wish): (&'a Space<'a>, &'a Bounds, &'a Wish<'a>),
        table: &'a Table,
        centre: &'a Centre,
        accept: &'a mut dyn FnMut(&Candidate) -> bool,
    ) -> Self {
        let most = [
            bounds.most_mass,
            bounds.most_cost,
            bounds.most_fossil,
            bounds.most_thickness,
        ];
        let whole = |i: usize, bound: f64| (bound * table.scale[i]).round_ties_even();
        let mut limits = Limits {
            most,
            least_thickness: whole(THICKNESS, bounds.least_thickness),
            most_half: 0.5 * bounds.most_thickness,
            // With room for the single precision of the fill.
            slowest_fill: bounds.slowest_fill * table.scale[PORES] / table.scale[CONDUCTANCE]
                * (1.0 + 1e-7),
        };
        for (i, most) in limits.most.iter_mut().enumerate() {
            *most = whole(i, *most);
        }
        Self {
            space,
            bounds,
            wish,
            limits,
            table,
            centre,
            reach: Reach::all(&table.lines),
            accept,
            told: Candidate {
                half: Vec::new(),
                middle: Middle::Plain,
                plies: 0,
                thickness: 0.0,
                mass: 0.0,
                cost: None,
                fossil: 0.0,
                fill: 0.0,
                a: [[0.0; 3]; 3],
                d: [[0.0; 3]; 3],
            },
            keep: Keep::new(wish, &table.scale),
            counts: vec![0; table.lines.len()],
            left: Vec::new(),
            steps: 0,
            worked: 0,
            asked: 0,
            cut_short: false,
        }
    }

    /// Every stack around one middle whose halves hold exactly this many plies.
    pub(super) fn around(&mut self, centre: &'a Centre, half_plies: u32) {
        self.centre = centre;
        self.left.clone_from(&centre.left);
        self.counts.fill(0);
        self.pick(0, half_plies, &centre.sums);
    }

    /// Counts one step; false when there are no more to spend.
    pub(super) fn step(&mut self) -> bool {
        self.steps += 1;
        self.cut_short |= self.steps > self.wish.most_steps;
        !self.cut_short
    }

    /// Whether the expensive test may be asked once more.
    pub(super) fn may_ask(&mut self) -> bool {
        self.cut_short |= self.asked >= self.wish.most_asked;
        !self.cut_short
    }

    /// All ways to make up `plies` from the choices from `i` on.
    fn pick(&mut self, i: usize, plies: u32, sums: &Sums) {
        if !self.may_lead_on(i, plies, sums) {
            return;
        }
        if plies == 0 {
            self.picked(sums);
            return;
        }
        let table = self.table;
        let Some(line) = table.lines.get(i) else {
            return;
        };
        let stock = self.left.get(line.cloth).copied().unwrap_or(u32::MAX);
        let most = plies.min(stock) / line.plies;
        for count in (0..=most).rev() {
            if !self.step() {
                break;
            }
            let taken = count * line.plies;
            self.counts[i] = count;
            if let Some(left) = self.left.get_mut(line.cloth) {
                *left -= taken;
            }
            self.pick(i + 1, plies - taken, &sums.plus(&line.both, count));
            if let Some(left) = self.left.get_mut(line.cloth) {
                *left += taken;
            }
        }
        self.counts[i] = 0;
    }

    /// Whether anything that begins like this can keep the bounds and be better than what is kept.
    /// Exact once no plies are left to pick; before that it never says no to what could still do.
    fn may_lead_on(&self, i: usize, plies: u32, sums: &Sums) -> bool {
        let reach = &self.reach[i];
        let key = reach.least_key(sums, plies);
        let within = key
            .iter()
            .zip(&self.limits.most)
            .all(|(least, most)| least <= most);
        if !within || key[4] > self.limits.slowest_fill {
            return false;
        }
        let more = f64::from(plies);
        let thickest = sums.figures[THICKNESS]
            + if plies > 0 {
                more * reach.thickness
            } else {
                0.0
            };
        if thickest < self.limits.least_thickness {
            return false;
        }
        let stiffest = |k: usize| sums.stretch[k] + more * reach.stretch[k];
        let asked = self.bounds.least_stretching;
        if (0..3).any(|k| stiffest(k) < asked[k] * (1.0 - 1e-9)) {
            return false;
        }
        if self.space.balanced {
            let free = COUPLING * stiffest(0).max(stiffest(1)).max(stiffest(2));
            let skewed = |k: usize| {
                let skew = sums.stretch[k];
                let against = if skew > 0.0 {
                    reach.skew[k - 3][0]
                } else {
                    reach.skew[k - 3][1]
                };
                skew.abs() - more * against > free
            };
            if skewed(3) || skewed(4) {
                return false;
            }
        }
        self.keep.hopes(&key)
            && (self.table.least_bend <= 0.0
                || self.stiffest(plies, reach.thickness / self.table.scale[THICKNESS])
                    >= self.table.least_bend)
    }

    /// The greatest bending score of the pick so far with the stiffest possible plies outside it.
    fn stiffest(&self, plies: u32, thickness: f64) -> f64 {
        let mut score = f64::INFINITY;
        for (need, sorted) in self.table.needs.iter().zip(&self.table.sorted) {
            let mut bend = share(need, &self.centre.d);
            let mut z = self.centre.half;
            let mut cube = z * z * z;
            for entry in sorted {
                let count = self.counts[entry.choice];
                if count > 0 {
                    z += f64::from(count) * entry.thickness;
                    bend += entry.bend * (z * z * z - cube);
                    cube = z * z * z;
                }
            }
            if let (1.., Some(best)) = (plies, sorted.last()) {
                let most =
                    (z + 0.5 * f64::from(plies) * thickness).min(self.limits.most_half.max(z));
                bend += best.bend * (most * most * most - cube);
            }
            score = score.min(bend);
        }
        score
    }

    /// A whole pick: its figures are known, its order is not.
    fn picked(&mut self, sums: &Sums) {
        self.worked += 1;
        let key = Reach::key(sums);
        let bar = match self.keep.standing(&key) {
            Standing::Behind => return,
            Standing::Level(mark) => Some(mark.clone()),
            Standing::Ahead => None,
        };
        if let Some(mark) = self.best_order(bar) {
            self.keep.put(&Kept { key, mark });
        }
    }
}
