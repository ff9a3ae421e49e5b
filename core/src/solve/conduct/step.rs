//! One step of heat and reaction: three cuts of it, each a chain of tridiagonal systems, extrapolated.

use super::{Fineness, Pace, Shells, State, Through};

/// Room to work in, kept from step to step.
pub(super) struct Work {
    pub(super) here: Vec<Pace>,
    pub(super) next: State,
    coarse: [State; 3],
    off: Vec<f64>,
    diagonal: Vec<f64>,
    right: Vec<f64>,
}

impl Work {
    pub(super) fn new(nodes: usize) -> Self {
        let empty = State {
            heat: vec![0.0; nodes],
            progress: vec![0.0; nodes],
        };
        Self {
            here: vec![
                Pace {
                    rate: 0.0,
                    by_heat: 0.0,
                    by_progress: 0.0
                };
                nodes
            ],
            next: empty.clone(),
            coarse: [empty.clone(), empty.clone(), empty],
            off: vec![0.0; nodes],
            diagonal: vec![0.0; nodes],
            right: vec![0.0; nodes],
        }
    }

    /// Three cuts of one step, extrapolated into `next`; the error over what is allowed.
    #[allow(
        clippy::too_many_arguments,
        reason = "the same body and how to follow it"
    )]
    pub(super) fn extrapolate(
        &mut self,
        shells: &Shells,
        through: &Through,
        now: &State,
        t: f64,
        h: f64,
        pace: &impl Fn(f64, f64) -> Pace,
        outside: &impl Fn(f64) -> [f64; 2],
        fine: &Fineness,
    ) -> f64 {
        for cut in 0..3 {
            let mut state = std::mem::replace(
                &mut self.coarse[cut],
                State {
                    heat: Vec::new(),
                    progress: Vec::new(),
                },
            );
            state.heat.copy_from_slice(&now.heat);
            state.progress.copy_from_slice(&now.progress);
            let part = h / (cut + 1) as f64;
            for k in 0..=cut {
                let end = t + part * (k + 1) as f64;
                self.euler(
                    shells,
                    through,
                    &mut state,
                    part,
                    outside(end),
                    |i, state: &State| {
                        if k == 0 {
                            None
                        } else {
                            Some(pace(state.heat[i], state.progress[i]).rate)
                        }
                    },
                );
            }
            self.coarse[cut] = state;
        }
        // Aitken-Neville for the cuts 1, 2, 3.
        let mut worst = 0.0_f64;
        let third = |a: f64, b: f64, c: f64| {
            let (low, high) = (2.0 * b - a, 3.0 * c - 2.0 * b);
            let best = high + 0.5 * (high - low);
            (best, best - high)
        };
        for i in 0..now.heat.len() {
            let [a, b, c] = &self.coarse;
            let (heat, gap) = third(a.heat[i], b.heat[i], c.heat[i]);
            let (progress, slip) = third(a.progress[i], b.progress[i], c.progress[i]);
            worst = worst
                .max((gap / fine.heat).abs())
                .max((slip / fine.progress).abs());
            if !heat.is_finite() || !progress.is_finite() {
                return f64::INFINITY;
            }
            self.next.heat[i] = heat;
            self.next.progress[i] = progress;
        }
        if worst.is_nan() { f64::INFINITY } else { worst }
    }

    /// One linearly implicit step, with the slopes at the start of the whole one. `rate` gives the rate where it has moved on.
    fn euler(
        &mut self,
        shells: &Shells,
        through: &Through,
        state: &mut State,
        h: f64,
        ends: [f64; 2],
        rate: impl Fn(usize, &State) -> Option<f64>,
    ) {
        let nodes = shells.nodes();
        let last = nodes - 1;
        for i in 0..nodes {
            let here = self.here[i];
            let rate = rate(i, state).unwrap_or(here.rate);
            // Progress eliminated: dp = h (r + r_T dT) / (1 - h r_p).
            let eased = 1.0 / (1.0 - h * here.by_progress);
            let volume = shells.volume[i];
            let made = volume * through.rise * eased;
            let mut diagonal = volume / h - made * here.by_heat;
            let mut flow = 0.0;
            if i > 0 {
                let link = through.diffusivity * shells.link[i - 1];
                diagonal += link;
                flow += link * (state.heat[i - 1] - state.heat[i]);
            }
            if i < last {
                let link = through.diffusivity * shells.link[i];
                diagonal += link;
                flow += link * (state.heat[i + 1] - state.heat[i]);
            }
            for (at, k) in [(0, 0), (last, 1)] {
                if i == at {
                    let film = through.films[k] * shells.face[k];
                    diagonal += film;
                    flow += film * (ends[k] - state.heat[i]);
                }
            }
            self.diagonal[i] = diagonal;
            self.right[i] = flow + made * rate;
            // Kept for the way back.
            self.off[i] = h * rate * eased;
        }
        // Down: the links are the same on both sides of the diagonal.
        for i in 1..nodes {
            let link = through.diffusivity * shells.link[i - 1];
            let factor = link / self.diagonal[i - 1];
            self.diagonal[i] -= factor * link;
            self.right[i] += factor * self.right[i - 1];
        }
        // And up.
        let mut above = 0.0;
        for i in (0..nodes).rev() {
            let link = if i < last {
                through.diffusivity * shells.link[i]
            } else {
                0.0
            };
            let rise = (self.right[i] + link * above) / self.diagonal[i];
            let here = self.here[i];
            let eased = 1.0 / (1.0 - h * here.by_progress);
            state.heat[i] += rise;
            state.progress[i] += self.off[i] + h * here.by_heat * rise * eased;
            above = rise;
        }
    }
}
