//! What a stated load does to the part: how far it gives, and how far it is from first damage.

use super::deepen::Tested;
use super::{STAGE, Stacked};
use crate::law::failure::{self, Mode};
use crate::law::plate::{self, Plate};
use crate::law::{LawError, beam, laminate, sandwich};
use crate::plan::fields::{
    LOAD_EDGE, LOAD_FORCE, LOAD_LENGTH, LOAD_LIMIT, LOAD_PATCH, LOAD_PRESSURE, LOAD_RESERVE,
    LOAD_WIDTH,
};
use crate::plan::{Held, LoadCase};
use crate::sheet::{Basis, Law, LoadSheet, Spread};
use crate::shelf::Fabric;
use crate::shelf::traits::{CORE_PUSHED, CORE_SHEAR, CORE_SHEAR_STRENGTH};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// The stated load, in SI.
pub(crate) struct Stated {
    pub(crate) case: LoadCase,
    pub(crate) held: Held,
    pub(crate) length: f64,
    pub(crate) width: f64,
    pub(crate) pressure: f64,
    pub(crate) force: f64,
    pub(crate) patch: f64,
    pub(crate) edge: f64,
}

impl CoreShear {
    /// Shear stiffness with everything likely [N/m]; endless without a core.
    pub(super) fn stiffness(&self) -> f64 {
        1.0 / self.softness.likely()
    }
}

impl Stated {
    /// How far a panel or strip of the given stiffness gives, times its bending stiffness along the part; none for a
    /// pull along the part.
    pub(crate) fn give(&self, d: &Bending) -> Result<Option<f64>, LawError> {
        if self.case == LoadCase::Edge {
            return Ok(None);
        }
        Ok(Some(self.bend(d)?.deflection * d.strip))
    }

    /// What the plan states; none when it states no load.
    pub(crate) fn of(bench: &mut Bench<'_>) -> Option<Self> {
        let case = bench.plan.load_case?;
        let patch = bench.take(&LOAD_PATCH).likely() * 1e-3;
        let given = |field, factor: f64| {
            let range = bench.plan.given(field);
            range.map_or(0.0, |range| range.likely * factor)
        };
        let length = given(&LOAD_LENGTH, 1e-3);
        let width = given(&LOAD_WIDTH, 1e-3);
        Some(Self {
            case,
            held: bench.plan.held,
            length,
            // A strip pressed evenly is worked out per metre of width.
            width: if width > 0.0 { width } else { 1.0 },
            pressure: given(&LOAD_PRESSURE, 1e3),
            force: given(&LOAD_FORCE, 1.0),
            patch,
            edge: given(&LOAD_EDGE, 1e3),
        })
    }

    pub(crate) fn is_panel(&self) -> bool {
        matches!(self.case, LoadCase::Pressure | LoadCase::Point)
    }

    /// Bends a panel or strip of the given stiffness: deflection [m], six moments per width [N], shear [N/m].
    pub(crate) fn bend(&self, d: &Bending) -> Result<Bent, LawError> {
        if self.is_panel() {
            let coupling = 0.99 * (d.d11 * d.d22).sqrt();
            let plate = Plate {
                length: self.length,
                width: self.width,
                d11: d.d11,
                d12: d.d12.clamp(-coupling, coupling),
                d22: d.d22,
                d66: d.d66,
                shear_x: d.shear,
                shear_y: d.shear,
            };
            let side = |whole: f64| self.patch.clamp(0.02 * whole, whole);
            let load = match self.case {
                LoadCase::Pressure => plate::Load::Pressure(self.pressure),
                _ => plate::Load::Patch {
                    force: self.force,
                    length: side(self.length),
                    width: side(self.width),
                },
            };
            let bent = match self.held {
                Held::Resting => plate::resting(&plate, &load)?,
                Held::Clamped => plate::clamped(&plate, &load)?,
            };
            return Ok(Bent {
                deflection: bent.deflection,
                moments: bent.places.map(|m| [m.x, m.y, m.xy]),
                shear: bent.shear_x.abs().max(bent.shear_y.abs()),
            });
        }
        let strip = beam::Strip {
            span: self.length,
            width: self.width,
            bending: d.strip * self.width,
            shear: d.shear * self.width,
        };
        let (held, force) = match self.case {
            LoadCase::StripEnd => (beam::Held::TipForce, self.force),
            LoadCase::StripEven => (
                beam::Held::EvenLoad,
                self.pressure * self.length * self.width,
            ),
            _ => (beam::Held::MiddleForce, self.force),
        };
        let bent = beam::bent(&strip, held, force)?;
        let mut moments = [[0.0; 3]; 6];
        moments[0][0] = bent.moment;
        Ok(Bent {
            deflection: bent.by_bending + bent.by_shear,
            moments,
            shear: bent.shear,
        })
    }
}

/// Bending stiffness as a plate and as a strip [N m], and shear stiffness [N/m].
#[derive(Clone, Copy)]
pub(crate) struct Bending {
    pub(crate) d11: f64,
    pub(crate) d12: f64,
    pub(crate) d22: f64,
    pub(crate) d66: f64,
    /// Of a narrow strip, free to curl across.
    pub(crate) strip: f64,
    pub(crate) shear: f64,
}

/// How a panel or strip bends.
pub(crate) struct Bent {
    pub(crate) deflection: f64,
    /// At the places where they can govern: along, across, twist [N].
    pub(crate) moments: [[f64; 3]; 6],
    pub(crate) shear: f64,
}

/// Names of the places, as the plate law orders them.
const PLACES: [&str; 6] = [
    "in the middle",
    "at the middle of the edge across the part",
    "at the middle of the edge along the part",
    "in the corners",
    "a quarter of the length in",
    "a quarter of the width in",
];

/// The core of a sandwich, as far as its shear goes.
pub(crate) struct CoreShear {
    /// One over the shear stiffness [m/N]; nothing without a core.
    softness: Spread,
    /// Between the middles of the faces [m].
    between: Spread,
    /// Shear strength of the weakest core [Pa], and its name.
    strength: Option<(Spread, String)>,
    /// Moduli of the core, through its thickness and in shear [Pa].
    moduli: Option<(Spread, Spread)>,
    /// Thickness of one face [m].
    face: Spread,
}

/// Works out how the cores of a stack shear.
pub(crate) fn core_shear(bench: &mut Bench<'_>, stacked: &Stacked) -> Result<CoreShear, LawError> {
    let nothing = Spread::exact(0.0);
    let mut found = CoreShear {
        softness: nothing.clone(),
        between: nothing.clone(),
        strength: None,
        moduli: None,
        face: nothing,
    };
    let plan = bench.plan;
    for (i, row) in plan.stack.iter().enumerate() {
        let Fabric::Core(core) = &row.fabric else {
            continue;
        };
        let traits = &core.traits;
        let (Some(shear), Some(strength)) =
            (traits.get(&CORE_SHEAR), traits.get(&CORE_SHEAR_STRENGTH))
        else {
            bench.problem(
                STAGE,
                format!(
                    "Nothing is known about how {} shears, so give and strength under load are those of a core that does not. Write its shear modulus and strength into your own core.",
                    core.entry.name
                ),
            );
            continue;
        };
        let shear = bench
            .trait_of("fabrics", &core.entry, &CORE_SHEAR, shear)
            .times(1e6);
        let strength = bench
            .trait_of("fabrics", &core.entry, &CORE_SHEAR_STRENGTH, strength)
            .times(1e6);
        let Some(laid) = stacked.rows.get(i) else {
            continue;
        };
        let thickness = laid.thickness.times(f64::from(laid.count));
        let between = Spread::from([&stacked.thickness, &thickness], |[whole, core]| {
            (0.5 * (whole + core)).clamp(core, 3.0 * core)
        });
        let one = Spread::of([&shear, &thickness, &between], |[g, c, d]| {
            sandwich::shear_stiffness(g, c, d)
        })?;
        found.softness = Spread::from([&found.softness, &one], |[softness, one]| {
            softness + 1.0 / one
        });
        found.face = Spread::from([&stacked.thickness, &thickness], |[whole, core]| {
            0.5 * (whole - core)
        });
        found.between = between;
        // A face wrinkles into the core, through its thickness; a core that does not say is as soft there as in its plane.
        let through = match traits.get(&CORE_PUSHED) {
            Some(cited) => bench
                .trait_of("fabrics", &core.entry, &CORE_PUSHED, cited)
                .times(1e6),
            None => laid.modulus.clone(),
        };
        found.moduli = Some((through, shear));
        let weaker = found
            .strength
            .as_ref()
            .is_none_or(|(known, _)| strength.likely() < known.likely());
        if weaker {
            found.strength = Some((strength, core.entry.name.clone()));
        }
    }
    Ok(found)
}

/// Works the stated load out.
pub(super) fn load(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    tested: &Tested,
    core: &CoreShear,
) -> Result<Option<LoadSheet>, LawError> {
    let Some(stated) = Stated::of(bench) else {
        return Ok(None);
    };
    let edge = stated.case == LoadCase::Edge;
    let (deflection, moments, shear) = if edge {
        let none = Spread::exact(0.0);
        (None, vec![none.clone(); 18], none)
    } else {
        let d = &tested.bending;
        let inputs = [&d[0], &d[1], &d[2], &d[3], &d[4], &core.softness];
        let [w, s, m @ ..]: [Spread; 20] =
            Spread::heavy(inputs, |[d11, d12, d22, d66, strip, softness]| {
                let bent = stated.bend(&Bending {
                    d11,
                    d12,
                    d22,
                    d66,
                    strip,
                    shear: 1.0 / softness.max(0.0),
                })?;
                let mut out = [0.0; 20];
                out[0] = bent.deflection;
                out[1] = bent.shear;
                for (slot, moment) in out[2..].iter_mut().zip(bent.moments.iter().flatten()) {
                    *slot = *moment;
                }
                Ok(out)
            })?;
        (Some(w), m.to_vec(), s)
    };
    // First damage and strain, draw by draw.
    let mut parts: Vec<&Spread> = tested.parts(stacked);
    let layers_end = parts.len();
    parts.extend(&moments);
    let mut weakest = None;
    let mut tagged = super::layers::Tagged::new();
    let half = 0.5;
    let [reserve, strain, face_stress] = Spread::many(&parts, |values| {
        super::layers::lay(stacked, values, &|_| 1.0, &mut tagged)?;
        let stack = laminate::stiffness(&tagged.layers)?;
        let bears = tested.bears(stacked, values);
        let mut least = f64::INFINITY;
        let mut largest = 0.0_f64;
        for (place, moment) in values[layers_end..].chunks_exact(3).enumerate() {
            // A corner twists one way or the other; a moment of nothing damages nothing.
            if moment.iter().all(|m| m.abs() < 1e-12) && !(edge && place == 0) {
                continue;
            }
            let pull = if edge { stated.edge } else { 0.0 };
            for turn in [1.0, -1.0] {
                let forces = [pull, 0.0, 0.0, moment[0], moment[1], turn * moment[2]];
                let strains = laminate::response(&stack, &forces)?;
                for side in [half, -half] {
                    let at = strains[0] + side * stack.thickness * strains[3];
                    largest = largest.max(at.abs());
                }
                let stresses = laminate::ply_stresses(&tagged.layers, &strains)?;
                for ((both, &row), strengths) in stresses.iter().zip(&tagged.rows).zip(
                    tagged
                        .rows
                        .iter()
                        .map(|&row| bears.get(row).and_then(Option::as_ref)),
                ) {
                    let Some(strengths) = strengths else { continue };
                    for stress in both {
                        let factor = failure::tsai_hill(strengths, stress)?;
                        if factor < least {
                            least = factor;
                            if weakest.is_none_or(|(_, _, _, likely)| likely) {
                                let mode = failure::maximum_stress(strengths, stress)?.1;
                                weakest = Some((place, row, mode, true));
                            }
                        }
                    }
                }
                if moment[2].abs() < 1e-12 {
                    break;
                }
            }
        }
        // Only the first pass, with everything likely, names the weakest place.
        if let Some(found) = &mut weakest {
            found.3 = false;
        }
        let steepest = values[layers_end].abs();
        Ok([least.min(1e6), largest, steepest])
    })?;
    let core_reserve = match (&core.strength, edge) {
        (Some((strength, _)), false) => Some(Spread::of(
            [strength, &shear, &core.between],
            |[strength, shear, between]| {
                let stress = sandwich::core_shear_stress(shear, between)?;
                Ok((strength / stress.abs().max(1e-3)).min(1e6))
            },
        )?),
        _ => None,
    };
    let wrinkling = match (&core.moduli, edge) {
        (Some((through, shear_modulus)), false) => Some(Spread::of(
            [
                &tested.along,
                &stacked.thickness,
                through,
                shear_modulus,
                &face_stress,
                &core.between,
                &core.face,
            ],
            |[
                along,
                whole,
                core_modulus,
                core_shear,
                moment,
                between,
                face,
            ]| {
                // What the core adds to the stiffness along is left to the faces; it is next to nothing.
                let modulus = along * whole / (2.0 * face).max(1e-6);
                let wrinkles = sandwich::wrinkling_stress(modulus, core_modulus, core_shear)?;
                let stress = moment / (between * face).max(1e-9);
                Ok((wrinkles / stress.max(1e-3)).min(1e6))
            },
        )?),
        _ => None,
    };
    let weak = weakest.map(|(place, row, mode, _)| (place, row, mode));
    Ok(Some(told(
        bench,
        stacked,
        tested,
        &stated,
        Found {
            deflection,
            reserve,
            strain,
            core_reserve,
            wrinkling,
            weak,
        },
    )))
}

struct Found {
    deflection: Option<Spread>,
    reserve: Spread,
    strain: Spread,
    core_reserve: Option<Spread>,
    wrinkling: Option<Spread>,
    weak: Option<(usize, usize, Mode)>,
}

fn told(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    tested: &Tested,
    stated: &Stated,
    found: Found,
) -> LoadSheet {
    let wanted = bench.take(&LOAD_RESERVE).likely();
    let limit = bench.plan.given(&LOAD_LIMIT).map(|range| range.likely);
    let least = [
        Some(&found.reserve),
        found.core_reserve.as_ref(),
        found.wrinkling.as_ref(),
    ]
    .into_iter()
    .flatten()
    .fold(None::<Spread>, |least, next| {
        Some(match least {
            None => next.clone(),
            Some(least) => Spread::from([&least, next], |[a, b]| a.min(b)),
        })
    })
    .unwrap_or_else(|| found.reserve.clone());
    let desk = &bench.desk;
    let mut sentence = String::new();
    if let Some(deflection) = &found.deflection {
        let mm = deflection.times(1000.0);
        sentence = format!("It gives {}", desk.say(Unit::Millimetre, &mm));
        if let Some(limit) = limit {
            let chance = mm.share(|w| w <= limit);
            sentence += &format!(
                ": {} the {} you allow",
                likelihood(
                    chance,
                    [
                        "within",
                        "probably within",
                        "perhaps beyond",
                        "probably beyond",
                        "beyond"
                    ]
                ),
                desk.say_plain(Unit::Millimetre, limit)
            );
        }
        sentence += ". ";
    }
    let chance = least.share(|r| r >= wanted);
    sentence += &format!(
        "First damage would come at {} times this load: {} the reserve of {} that you want.",
        desk.say(Unit::One, &least),
        likelihood(
            chance,
            [
                "it keeps",
                "it probably keeps",
                "it may not keep",
                "it probably does not keep",
                "it does not keep"
            ]
        ),
        crate::units::plain(wanted),
    );
    let weaker = |other: &Option<Spread>| {
        other
            .as_ref()
            .is_some_and(|other| other.likely() <= least.likely() * (1.0 + 1e-9))
    };
    let weakest = if weaker(&found.core_reserve) {
        "The core, in shear.".to_owned()
    } else if weaker(&found.wrinkling) {
        "A face, wrinkling into the core.".to_owned()
    } else {
        found.weak.map_or_else(String::new, |(place, row, mode)| {
            format!(
                "{}, {}, {}.",
                stacked
                    .rows
                    .get(row)
                    .map_or("the laminate", |row| &row.name),
                mode_in_words(mode, is_woven(stacked, row)),
                match stated.case {
                    LoadCase::Edge => "all along",
                    _ if stated.is_panel() => PLACES[place.min(5)],
                    _ => "where the moment is largest",
                }
            )
        })
    };
    if chance < 0.5 {
        bench.problem(
            STAGE,
            "The stack is too weak for the stated load and reserve. Add plies on the faces, lay a core, or shorten the span.",
        );
    }
    if let (Some(limit), Some(deflection)) = (limit, &found.deflection)
        && deflection.share(|w| w * 1000.0 <= limit) < 0.5
    {
        bench.problem(
            STAGE,
            "The part gives more than you allow. Thickness helps most: a third more of it makes a panel more than twice as stiff.",
        );
    }
    if let Some(deflection) = &found.deflection
        && stated.is_panel()
        && deflection.likely() > 0.5 * stacked.thickness.likely()
    {
        bench.advice(
            STAGE,
            "The panel gives more than half its thickness: it then also carries by stretching, and really gives less than shown.",
        );
    }
    if let Some(deflection) = &found.deflection
        && !stated.is_panel()
        && deflection.likely() > 0.1 * stated.length
    {
        bench.advice(
            STAGE,
            "The strip gives more than a tenth of its length: the figures are too rough there. Shorten it, make it thicker, or try a sample.",
        );
    }
    if found.strain.likely() > tested.least_knee && tested.least_knee > 0.0 {
        bench.advice(
            STAGE,
            "Under this load the flax works beyond its knee: it gives more than shown, and does not spring back all the way.",
        );
    }
    bench.caution(
        STAGE,
        "Load figures are for planning. Where a part carries people or could hurt somebody when it breaks, ask a qualified engineer and break a sample first.",
    );
    let desk = &mut bench.desk;
    LoadSheet {
        sentence,
        weakest,
        deflection_mm: found.deflection.as_ref().map(|w| {
            desk.estimate(
                "Gives under the load",
                Unit::Millimetre,
                &w.times(1000.0),
                law_of(stated),
            )
        }),
        reserve: desk.estimate("First damage over the load", Unit::One, &least, &DAMAGE),
        laminate_reserve: found.core_reserve.is_some().then(|| {
            desk.estimate(
                "Damage of a ply over the load",
                Unit::One,
                &found.reserve,
                &DAMAGE,
            )
        }),
        core_reserve: found.core_reserve.as_ref().map(|r| {
            desk.estimate(
                "Shear strength of the core over the shear in it",
                Unit::One,
                r,
                &CORE,
            )
        }),
        wrinkling_reserve: found.wrinkling.as_ref().map(|r| {
            desk.estimate(
                "Wrinkling of the face over the stress in it",
                Unit::One,
                r,
                &WRINKLING,
            )
        }),
        strain_pct: desk.estimate(
            "Largest strain along the part",
            Unit::Percent,
            &found.strain.times(100.0),
            &STRAIN,
        ),
        rests_on: format!(
            "Bonded flat plies, small give, {}; damage by the criterion of Azzi, Tsai and Hill in each ply, short time, dry, at room temperature. Holes, inserts, impact and years of use are not in it.",
            if stated.is_panel() {
                "coupling of bending with twist left out"
            } else {
                "a strip free to curl across"
            }
        ),
    }
}

fn law_of(stated: &Stated) -> &'static Law {
    if stated.is_panel() { &PANEL } else { &STRIP }
}

/// A chance in words, from nine in ten to one in ten.
fn likelihood(chance: f64, words: [&'static str; 5]) -> &'static str {
    let [sure, likely, open, unlikely, no] = words;
    match chance {
        c if c >= 0.9 => sure,
        c if c >= 0.7 => likely,
        c if c >= 0.3 => open,
        c if c > 0.1 => unlikely,
        _ => no,
    }
}

fn is_woven(stacked: &Stacked, row: usize) -> bool {
    let cloth = stacked.rows.get(row).and_then(|row| row.cloth.as_ref());
    cloth.is_some_and(|cloth| cloth.architecture.is_woven())
}

fn mode_in_words(mode: Mode, woven: bool) -> &'static str {
    match (mode, woven) {
        (Mode::AlongTension, false) => "pulled along its fibres",
        (Mode::AlongCompression, false) => "pushed along its fibres",
        (Mode::AcrossTension, false) => "pulled across its fibres",
        (Mode::AcrossCompression, false) => "pushed across its fibres",
        (Mode::AlongTension, true) => "pulled along its warp",
        (Mode::AlongCompression, true) => "pushed along its warp",
        (Mode::AcrossTension, true) => "pulled along its weft",
        (Mode::AcrossCompression, true) => "pushed along its weft",
        (Mode::Shear, _) => "in shear",
    }
}

static PANEL: Law = Law {
    says: "plate on four edges: double sine series in D11, D12, D22, D66, with shear of a core",
    basis: Basis::Firm,
    sources: &["timoshenko_plates", "law_laminate_theory"],
};

static STRIP: Law = Law {
    says: "beam: F L³ / (48 EI), 5 F L³ / (384 EI) or F L³ / (3 EI), and the shear of a core",
    basis: Basis::Firm,
    sources: &["law_beam", "law_laminate_theory"],
};

static DAMAGE: Law = Law {
    says: "(σ1/X)² - σ1 σ2/X² + (σ2/Y)² + (τ/S)² = 1 in the first ply, with the strengths of pull or push",
    basis: Basis::Published,
    sources: &["azzi_tsai_1965", "law_laminate_theory"],
};

static CORE: Law = Law {
    says: "τ = Q / d, shear force over the distance between the faces",
    basis: Basis::Firm,
    sources: &["law_sandwich"],
};

static WRINKLING: Law = Law {
    says: "σ = 0.5 (E_f E_c G_c)^(1/3) over M / (d t_f)",
    basis: Basis::Published,
    sources: &["law_sandwich"],
};

static STRAIN: Law = Law {
    says: "ε = ε0 + z κ at the faces, by classical laminate theory",
    basis: Basis::Firm,
    sources: &["law_laminate_theory"],
};
