//! What gives way first under a load, and how far off it is: one judge for the sheet and for the search.

use super::core::{CoreBears, Skin, skins};
use crate::law::failure::Mode;
use crate::law::laminate::{self, Layer};
use crate::law::strand::{self, Strand};
use crate::law::{LawError, sandwich};

/// A stack under a load, in one draw.
pub(crate) struct Loaded<'a> {
    pub(crate) layers: &'a [Layer],
    /// The layers and their fibres with the stiffness that is left at first cracking.
    pub(crate) worn: &'a [Layer],
    pub(crate) fibres: &'a [Strand],
    /// What each core bears; none for a ply.
    pub(crate) cores: &'a [Option<CoreBears>],
    /// Shear stress in each layer per shear force [1/m].
    pub(crate) sheared: &'a [f64],
    /// Moments at the places where they can govern [N].
    pub(crate) places: &'a [[f64; 3]],
    /// Pull along the part, minus for a push [N/m].
    pub(crate) pull: f64,
    /// Shear force [N/m].
    pub(crate) shear: f64,
    /// Force and radius of what presses on one spot [N], [m].
    pub(crate) heel: Option<(f64, f64)>,
}

/// How many times the load each thing bears; endless where nothing is asked of it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reserves {
    pub(crate) ply: f64,
    pub(crate) core: f64,
    pub(crate) wrinkling: f64,
    pub(crate) crush: f64,
    /// Largest strain along the part at a face [-].
    pub(crate) strain: f64,
    /// Place, strand and manner of the first damage.
    pub(crate) weak: Option<(usize, usize, Mode)>,
    /// Layer of the core that shears first.
    pub(crate) core_at: usize,
    /// The core that a face wrinkles into first, and whether the face lies above it.
    pub(crate) wrinkles_at: (usize, bool),
}

/// The corners of the plate, which twist one way and the other.
const CORNER: usize = 3;

/// Most that any reserve is told as.
const MOST: f64 = 1e6;

pub(crate) fn judge(loaded: &Loaded<'_>) -> Result<Reserves, LawError> {
    let stack = laminate::stiffness(loaded.layers)?;
    let compliance = laminate::compliance(&stack)?;
    // Flax is past its knee when the first fibres crack apart.
    let worn = laminate::compliance(&laminate::stiffness(loaded.worn)?)?;
    // A stack that is not the same from both faces may be pressed from either.
    let ways: &[f64] = if laminate::apparent(&stack)?.unsymmetric {
        &[1.0, -1.0]
    } else {
        &[1.0]
    };
    let cored = loaded.cores.iter().any(Option::is_some);
    let faces = if cored {
        skins(loaded.layers, loaded.cores)?
    } else {
        Vec::new()
    };
    let limits = wrinkles(loaded, &faces)?;
    let mut found = Reserves {
        ply: MOST,
        core: MOST,
        wrinkling: MOST,
        crush: MOST,
        strain: 0.0,
        weak: None,
        core_at: 0,
        wrinkles_at: (0, false),
    };
    for (place, moment) in loaded.places.iter().enumerate() {
        // A moment of nothing damages nothing.
        if loaded.pull == 0.0 && moment.iter().all(|m| m.abs() < 1e-12) {
            continue;
        }
        let turns: &[f64] = if place == CORNER {
            &[1.0, -1.0]
        } else {
            &[1.0]
        };
        for (way, turn) in ways.iter().flat_map(|w| turns.iter().map(move |t| (w, t))) {
            let [x, y, xy] = moment.map(|m| m * way);
            let forces = [loaded.pull, 0.0, 0.0, x, y, turn * xy];
            let strains = laminate::strains(&compliance, &forces);
            for side in [0.5, -0.5] {
                let at = strains[0] + side * stack.thickness * strains[3];
                found.strain = found.strain.max(at.abs());
            }
            let first = strand::first_damage(loaded.fibres, &laminate::strains(&worn, &forces))?;
            if first.factor < found.ply {
                found.ply = first.factor;
                found.weak = Some((place, first.strand, first.mode));
            }
            for limit in &limits {
                let pressed = limit.pressed(&faces, &strains, loaded.pull != 0.0);
                if pressed > 0.0 && 1.0 / pressed < found.wrinkling {
                    found.wrinkling = 1.0 / pressed;
                    found.wrinkles_at = (limit.core, limit.above);
                }
            }
        }
    }
    for (i, (core, per)) in loaded.cores.iter().zip(loaded.sheared).enumerate() {
        let Some(core) = core else { continue };
        let reserve = core.strength / (loaded.shear * per).abs().max(1e-3);
        if reserve < found.core {
            (found.core, found.core_at) = (reserve, i);
        }
    }
    if let Some((force, radius)) = loaded.heel {
        found.crush = dents(loaded.layers, loaded.cores, radius)?.min(MOST * force) / force;
    }
    Ok(found)
}

/// The stress at which one face wrinkles into or off one core, along and across [Pa].
struct Wrinkle {
    face: usize,
    core: usize,
    above: bool,
    stress: [f64; 2],
}

fn wrinkles(loaded: &Loaded<'_>, faces: &[Skin]) -> Result<Vec<Wrinkle>, LawError> {
    let mut found = Vec::new();
    for (face, skin) in faces.iter().enumerate() {
        for (side, core) in skin.beside.iter().enumerate() {
            let Some((at, core)) = core.and_then(|at| Some((at, loaded.cores[at]?))) else {
                continue;
            };
            let moduli = laminate::apparent(&skin.stiffness)?;
            let stress = |along| sandwich::wrinkling_stress(along, core.through, core.modulus);
            found.push(Wrinkle {
                face,
                core: at,
                above: side == 0,
                stress: [stress(moduli.modulus_x)?, stress(moduli.modulus_y)?],
            });
        }
    }
    Ok(found)
}

impl Wrinkle {
    /// Stress that presses the face together, over the one at which it wrinkles. A panel may be pressed from either
    /// side; a push along the part presses one way.
    fn pressed(&self, faces: &[Skin], strains: &[f64; 6], pushed: bool) -> f64 {
        let skin = &faces[self.face];
        let here = [0, 1, 2].map(|i| strains[i] + skin.z * strains[i + 3]);
        let mut most = 0.0_f64;
        for (row, limit) in skin.stiffness.a.iter().zip(self.stress) {
            let force: f64 = row.iter().zip(here).map(|(a, e)| a * e).sum();
            let stress = -force / skin.thickness;
            let stress = if pushed { stress } else { stress.abs() };
            most = most.max(stress / limit);
        }
        most
    }
}

/// Force on a round heel that first crushes a core under either face [N]; endless where no crushing strength is known.
pub(crate) fn dents(
    layers: &[Layer],
    cores: &[Option<CoreBears>],
    radius: f64,
) -> Result<f64, LawError> {
    let mut least = f64::INFINITY;
    let mut press = |core: &CoreBears, thickness: f64, bending: Option<f64>| {
        if core.crush.is_finite() {
            let force = match bending {
                Some(d) => sandwich::first_dent(core.crush, d, core.through, thickness, radius)?,
                // Nothing lies on the core to spread the force.
                None => core.crush * std::f64::consts::PI * radius * radius,
            };
            least = least.min(force);
        }
        Ok::<(), LawError>(())
    };
    for skin in skins(layers, cores)?.iter().filter(|skin| skin.outer) {
        let d = laminate::free_bending(&skin.stiffness)?;
        for at in skin.beside.into_iter().flatten() {
            if let Some(core) = &cores[at] {
                let bending = (d[0][0] * d[1][1]).sqrt();
                press(core, layers[at].thickness, Some(bending))?;
            }
        }
    }
    for (layer, core) in [
        layers.first().zip(cores.first()),
        layers.last().zip(cores.last()),
    ]
    .into_iter()
    .flatten()
    {
        if let Some(core) = core {
            press(core, layer.thickness, None)?;
        }
    }
    Ok(least)
}
