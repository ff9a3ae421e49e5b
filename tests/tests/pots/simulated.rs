//! A pot of resin followed in its depth and width, by a model that shares no law with the core: kinetics of another
//! form with diffusion control, a heat capacity that grows, air that takes heat as it gets warm, a bench under it.

/// Draws that are the same on every machine (SplitMix64).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Even on a scale of ratios.
    pub(crate) fn ratio(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.unit())
    }
}

const GAS: f64 = 8.314;
const ZERO_C: f64 = 273.15;
const STEFAN: f64 = 5.67e-8;
/// Where the rates are written down [K].
const WARM_ROOM: f64 = 298.15;
/// Cells from the axis to the wall, and from the bottom to the top.
const WIDE: usize = 7;
const DEEP: usize = 10;
/// Longest that a pot is followed [s].
const LONGEST: f64 = 1.5 * 86_400.0;

/// A resin as it truly is.
#[derive(Clone, Copy)]
pub(crate) struct Resin {
    /// Rates at 25 °C without and with what has reacted [1/s], and their energies [J/mol].
    k: [f64; 2],
    e: [f64; 2],
    m: f64,
    n: f64,
    heat: f64,
    /// Heat capacity at 25 °C [J/(kg K)], and how much of it comes with every kelvin.
    capacity: f64,
    conductivity: f64,
    density: f64,
    gel: f64,
    tg_ultimate: f64,
}

impl Resin {
    /// One of many: energies as published for amines that cure in a room, 44 to 66 kJ/mol.
    pub(crate) fn drawn(dice: &mut Dice) -> Self {
        let fast = dice.ratio(4e-5, 6e-4);
        Self {
            k: [fast * dice.ratio(0.03, 0.25), fast],
            e: [dice.between(50e3, 66e3), dice.between(44e3, 62e3)],
            m: dice.between(0.4, 1.1),
            n: dice.between(1.2, 1.8),
            heat: dice.between(380e3, 480e3),
            capacity: dice.between(1700.0, 2000.0),
            conductivity: dice.between(0.17, 0.22),
            density: dice.between(1080.0, 1150.0),
            gel: dice.between(0.55, 0.65),
            tg_ultimate: dice.between(343.0, 378.0),
        }
    }

    /// Rate of reaction [1/s]: chemistry and diffusion one after the other.
    fn rate(&self, reacted: f64, kelvin: f64) -> f64 {
        let warmth = (1.0 / WARM_ROOM - 1.0 / kelvin) / GAS;
        let [k1, k2] = [0, 1].map(|i| self.k[i] * (self.e[i] * warmth).exp());
        let chemical = (k1 + k2 * reacted.powf(self.m)) * (1.0 - reacted).powf(self.n);
        // Glass transition by DiBenedetto, diffusion by free volume above and below it.
        let tg = 223.0 + (self.tg_ultimate - 223.0) * 0.4 * reacted / (1.0 - 0.6 * reacted);
        let diffusion = 1e-3 * (0.25 * (kelvin - tg)).clamp(-60.0, 40.0).exp();
        chemical * diffusion / (chemical + diffusion)
    }
}

/// What it stands in.
#[derive(Clone, Copy)]
pub(crate) enum Vessel {
    /// A cup, a bucket or a dish, on a bench.
    OnBench,
    /// A cup to its rim in a bath of this temperature [K].
    InBath(f64),
}

/// A pot as it truly is.
#[derive(Clone, Copy)]
pub(crate) struct Pot {
    pub(crate) mass: f64,
    /// Inside [m].
    pub(crate) diameter: f64,
    pub(crate) vessel: Vessel,
    /// Resin when it is mixed, and the room [K].
    pub(crate) start: f64,
    pub(crate) room: f64,
    /// Heat that the bench takes [W/(m2 K)].
    pub(crate) bench: f64,
}

/// What became of it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Truth {
    /// Hottest place at its hottest [K].
    pub(crate) peak: f64,
    /// When its hottest place was at 60 °C, and when it gelled there [s].
    pub(crate) sixty: Option<f64>,
    pub(crate) gel: Option<f64>,
    /// When half of it had gelled: what a stick in the middle feels [s].
    pub(crate) set: Option<f64>,
}

/// Heat that still air and the walls of the room take from a surface [W/(m2 K)].
fn air(surface: f64, room: f64, size: f64, factor: f64) -> f64 {
    let over = (surface - room).abs();
    let mean = 0.5 * (surface + room);
    factor * (over / size).powf(0.25) + 0.9 * 4.0 * STEFAN * mean.powi(3)
}

/// Wall of a plastic cup [W/(m2 K)], and the water around it.
const WALL: f64 = 200.0;
const WATER: f64 = 250.0;

type Cells = [[f64; WIDE]; DEEP];

struct Grid {
    dr: f64,
    dz: f64,
    depth: f64,
    reacted: Cells,
    kelvin: Cells,
}

/// Follows a pot until it has set and begun to cool.
pub(crate) fn follow(resin: &Resin, pot: &Pot) -> Truth {
    let radius = 0.5 * pot.diameter;
    let base = std::f64::consts::PI * radius * radius;
    let depth = pot.mass / resin.density / base;
    let mut grid = Grid {
        dr: radius / WIDE as f64,
        dz: depth / DEEP as f64,
        depth,
        reacted: [[0.0; WIDE]; DEEP],
        kelvin: [[pot.start; WIDE]; DEEP],
    };
    let mut truth = Truth {
        peak: pot.start,
        sixty: None,
        gel: None,
        set: None,
    };
    let (mut t, mut steepest) = (0.0, 0.0_f64);
    while t < LONGEST {
        let (fastest, gone) = step(resin, pot, &mut grid);
        t += gone;
        let hot = grid.kelvin.iter().flatten().copied().fold(0.0, f64::max);
        truth.peak = truth.peak.max(hot);
        let first = |at: &mut Option<f64>, now: bool| {
            if now && at.is_none() {
                *at = Some(t);
            }
        };
        first(&mut truth.sixty, hot >= ZERO_C + 60.0);
        let gelled = grid
            .reacted
            .iter()
            .flatten()
            .filter(|&&a| a >= resin.gel)
            .count();
        first(&mut truth.gel, gelled > 0);
        first(&mut truth.set, 2 * gelled > WIDE * DEEP);
        // It has set, and reacts no longer half as fast as it did.
        steepest = steepest.max(fastest);
        if 2 * gelled > WIDE * DEEP && fastest < 0.4 * steepest {
            break;
        }
    }
    truth
}

/// One step of the reaction and the conduction that goes with it; gives the fastest rate [1/s] and its length [s].
fn step(resin: &Resin, pot: &Pot, grid: &mut Grid) -> (f64, f64) {
    let mut rates: Cells = [[0.0; WIDE]; DEEP];
    let mut fastest = 0.0_f64;
    for (i, row) in rates.iter_mut().enumerate() {
        for (j, rate) in row.iter_mut().enumerate() {
            *rate = resin.rate(grid.reacted[i][j], grid.kelvin[i][j]);
            fastest = fastest.max(*rate);
        }
    }
    // Half a kelvin of heating in one step, and two thousandths of the reaction.
    let rise = resin.heat / resin.capacity;
    let most = (0.5 / (rise * fastest)).min(0.002 / fastest).min(120.0);
    let surface = surfaces(resin, pot, grid);
    conduct(resin, grid, &rates, &surface, most);
    for (row, rates) in grid.reacted.iter_mut().zip(&rates) {
        for (reacted, rate) in row.iter_mut().zip(rates) {
            *reacted = (*reacted + most * rate).min(0.9999);
        }
    }
    (fastest, most)
}

/// What takes heat from the middle of the outermost cells: bottom, top, wall; each how much [W/(m2 K)], and at what
/// temperature [K].
struct Surface {
    bottom: [(f64, f64); WIDE],
    top: [(f64, f64); WIDE],
    wall: [(f64, f64); DEEP],
}

fn surfaces(resin: &Resin, pot: &Pot, grid: &Grid) -> Surface {
    let behind = |h: f64, half: f64| 1.0 / (1.0 / h + half / resin.conductivity);
    let (half_r, half_z) = (0.5 * grid.dr, 0.5 * grid.dz);
    let bath = match pot.vessel {
        Vessel::InBath(bath) => Some(bath),
        Vessel::OnBench => None,
    };
    let wet = 1.0 / (1.0 / WALL + 1.0 / WATER);
    let bottom = [match bath {
        Some(bath) => (behind(wet, half_z), bath),
        None => (behind(pot.bench, half_z), pot.room),
    }; WIDE];
    let top = grid.kelvin[DEEP - 1].map(|t| {
        let h = air(t, pot.room, pot.diameter, 1.32);
        (behind(h, half_z), pot.room)
    });
    let wall = grid.kelvin.map(|row| match bath {
        Some(bath) => (behind(wet, half_r), bath),
        None => {
            let h = air(row[WIDE - 1], pot.room, grid.depth.max(0.01), 1.42);
            (behind(1.0 / (1.0 / WALL + 1.0 / h), half_r), pot.room)
        }
    });
    Surface { bottom, top, wall }
}

/// Heat made and conducted in one step: up and down by columns, then in and out by rings, each solved implicitly.
fn conduct(resin: &Resin, grid: &mut Grid, rates: &Cells, surface: &Surface, dt: f64) {
    let k = resin.conductivity;
    let (dr, dz) = (grid.dr, grid.dz);
    let store = |t: f64| resin.density * resin.capacity * (1.0 + 1.5e-3 * (t - WARM_ROOM)) / dt;
    for j in 0..WIDE {
        let line: [Row; DEEP] = std::array::from_fn(|i| {
            let here = grid.kelvin[i][j];
            let made = resin.density * resin.heat * rates[i][j];
            let mut row = Row::held(store(here), here, made);
            row.passes(
                0,
                if i > 0 {
                    Ok(k / (dz * dz))
                } else {
                    Err(surface.bottom[j])
                },
                1.0 / dz,
            );
            row.passes(
                1,
                if i + 1 < DEEP {
                    Ok(k / (dz * dz))
                } else {
                    Err(surface.top[j])
                },
                1.0 / dz,
            );
            row
        });
        for (i, t) in solved(line).into_iter().enumerate() {
            grid.kelvin[i][j] = t;
        }
    }
    for i in 0..DEEP {
        let line: [Row; WIDE] = std::array::from_fn(|j| {
            let here = grid.kelvin[i][j];
            let mut row = Row::held(store(here), here, 0.0);
            // Rings: what passes a radius counts with that radius.
            let middle = j as f64 + 0.5;
            let outward = (j as f64 + 1.0) / middle;
            if j > 0 {
                row.passes(0, Ok(k / (dr * dr) * j as f64 / middle), 0.0);
            }
            let outer = if j + 1 < WIDE {
                Ok(k / (dr * dr) * outward)
            } else {
                Err(surface.wall[i])
            };
            row.passes(1, outer, outward / dr);
            row
        });
        grid.kelvin[i] = solved(line);
    }
}

/// One line of a tridiagonal system: before, on and after the diagonal, and the right side.
#[derive(Clone, Copy)]
struct Row([f64; 4]);

impl Row {
    fn held(store: f64, here: f64, made: f64) -> Self {
        Self([0.0, store, 0.0, store * here + made])
    }

    /// Heat passes to a neighbour on this side, or to the outside with so much surface over volume.
    fn passes(&mut self, side: usize, to: Result<f64, (f64, f64)>, surface: f64) {
        match to {
            Ok(conductance) => {
                self.0[1] += conductance;
                self.0[2 * side] = -conductance;
            }
            Err((h, around)) => {
                self.0[1] += h * surface;
                self.0[3] += h * surface * around;
            }
        }
    }
}

/// Solves a tridiagonal system.
fn solved<const N: usize>(mut line: [Row; N]) -> [f64; N] {
    for i in 1..N {
        let share = line[i].0[0] / line[i - 1].0[1];
        line[i].0[1] -= share * line[i - 1].0[2];
        line[i].0[3] -= share * line[i - 1].0[3];
    }
    let mut found = [0.0; N];
    for i in (0..N).rev() {
        let next = if i + 1 < N { found[i + 1] } else { 0.0 };
        found[i] = (line[i].0[3] - line[i].0[2] * next) / line[i].0[1];
    }
    found
}
