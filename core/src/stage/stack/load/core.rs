//! How the cores of a stack shear, and what they bear.

use super::super::layers::{Tagged, ingredients, lay};
use super::super::{STAGE, Stacked};
use crate::law::laminate::{Layer, reduced_stiffness, turned};
use crate::law::sandwich::{Slab, Through, through};
use crate::law::{LawError, laminate};
use crate::sheet::Spread;
use crate::shelf::Fabric;
use crate::shelf::properties::{CORE_CRUSH, CORE_PUSHED, CORE_SHEAR, CORE_SHEAR_STRENGTH};
use crate::stage::bench::Bench;

/// What one core bears, with everything likely or in one draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CoreBears {
    /// Shear modulus [Pa].
    pub(crate) modulus: f64,
    /// Shear strength [Pa].
    pub(crate) strength: f64,
    /// Modulus through its thickness [Pa].
    pub(crate) through: f64,
    /// Strength pressed through its thickness [Pa]; endless where it is not known.
    pub(crate) crush: f64,
}

/// The cores of a stack by row; none for a cloth, or for a core of which too little is known.
pub(crate) struct Cores {
    rows: Vec<Option<[Spread; 4]>>,
    /// One over the shear stiffness [m/N]; nothing without a core.
    pub(super) softness: Spread,
    /// Share of the skins' own bending in the whole [-].
    pub(super) skins: Spread,
    /// Whether the crushing strength of every core is known.
    pub(super) crush_known: bool,
}

/// Works out how the cores of a stack shear.
pub(crate) fn cores(bench: &mut Bench<'_>, stacked: &Stacked) -> Result<Cores, LawError> {
    let plan = bench.plan;
    let mut rows = Vec::new();
    let mut crush_known = true;
    for (laid, row) in stacked.rows.iter().zip(&plan.stack) {
        let Fabric::Core(core) = &row.fabric else {
            rows.push(None);
            continue;
        };
        let properties = &core.properties;
        let (Some(shear), Some(strength)) = (
            properties.get(&CORE_SHEAR),
            properties.get(&CORE_SHEAR_STRENGTH),
        ) else {
            bench.problem(
                STAGE,
                format!(
                    "Nothing is known about how {} shears, so give and strength under load are those of a core that does not. Write its shear modulus and strength into your own core.",
                    core.entry.name
                ),
            );
            crush_known = false;
            rows.push(None);
            continue;
        };
        let mut of = |field, cited| {
            bench
                .property_of("fabrics", &core.entry, field, cited)
                .times(1e6)
        };
        let (shear, strength) = (of(&CORE_SHEAR, shear), of(&CORE_SHEAR_STRENGTH, strength));
        // A core that does not say is as soft through its thickness as in its plane.
        let pressed = match properties.get(&CORE_PUSHED) {
            Some(cited) => of(&CORE_PUSHED, cited),
            None => laid.modulus.clone(),
        };
        let crush = match properties.get(&CORE_CRUSH) {
            Some(cited) => of(&CORE_CRUSH, cited),
            None => Spread::exact(f64::INFINITY),
        };
        crush_known &= crush.likely().is_finite();
        rows.push(Some([shear, strength, pressed, crush]));
    }
    let mut found = Cores {
        softness: Spread::exact(0.0),
        skins: Spread::exact(1.0),
        crush_known: crush_known && rows.iter().any(Option::is_some),
        rows,
    };
    if found.any() {
        let mut parts = ingredients(stacked);
        let start = parts.len();
        parts.extend(found.parts());
        let mut tagged = Tagged::new();
        [found.softness, found.skins] = Spread::many(&parts, |values| {
            lay(stacked, values, &|_| 1.0, &mut tagged)?;
            let bears = found.bears(&values[start..]);
            let by_layer: Vec<_> = tagged.rows.iter().map(|&row| bears[row]).collect();
            let through = shears(&tagged.layers, &by_layer)?;
            Ok([1.0 / through.shear, through.skins])
        })?;
    }
    Ok(found)
}

impl Cores {
    pub(super) fn any(&self) -> bool {
        self.rows.iter().any(Option::is_some)
    }

    /// Shear stiffness with everything likely [N/m]; endless without a core.
    pub(crate) fn stiffness(&self) -> f64 {
        1.0 / self.softness.likely()
    }

    /// Share of the skins' own bending with everything likely.
    pub(crate) fn skins(&self) -> f64 {
        self.skins.likely()
    }

    /// What the cores bear, core by core; [`Cores::bears`] reads one draw of it back.
    pub(super) fn parts(&self) -> impl Iterator<Item = &Spread> {
        self.rows.iter().flatten().flatten()
    }

    /// What the cores bear by row, from one draw of [`Cores::parts`].
    pub(super) fn bears(&self, values: &[f64]) -> Vec<Option<CoreBears>> {
        let mut values = values.iter().copied();
        let mut next = || values.next().unwrap_or(1.0);
        self.rows
            .iter()
            .map(|row| {
                row.as_ref().map(|_| CoreBears {
                    modulus: next(),
                    strength: next(),
                    through: next(),
                    crush: next(),
                })
            })
            .collect()
    }
}

/// How layers shear through their thickness; `cores` says which of them are cores.
pub(crate) fn shears(layers: &[Layer], cores: &[Option<CoreBears>]) -> Result<Through, LawError> {
    let slabs: Vec<Slab> = layers
        .iter()
        .zip(cores)
        .map(|(layer, core)| {
            let q = turned(&reduced_stiffness(&layer.ply)?, layer.angle);
            Ok(Slab {
                modulus: 0.5 * (q[0][0] + q[1][1]),
                thickness: layer.thickness,
                core_shear: core.map(|core| core.modulus),
            })
        })
        .collect::<Result<_, LawError>>()?;
    through(&slabs)
}

/// A skin beside a core: plies without a core between them.
pub(super) struct Skin {
    /// Of its middle, from mid thickness of the stack [m].
    pub(super) z: f64,
    pub(super) thickness: f64,
    pub(super) stiffness: laminate::Stiffness,
    /// Whether it is a face of the stack.
    pub(super) outer: bool,
    /// Cores below and above it, by layer.
    pub(super) beside: [Option<usize>; 2],
}

/// The skins of a stack with cores.
pub(super) fn skins(layers: &[Layer], cores: &[Option<CoreBears>]) -> Result<Vec<Skin>, LawError> {
    let mut found = Vec::new();
    let mut below = -0.5 * layers.iter().map(|layer| layer.thickness).sum::<f64>();
    let mut start = 0;
    while start < layers.len() {
        if cores[start].is_some() {
            below += layers[start].thickness;
            start += 1;
            continue;
        }
        let plies = cores[start..].iter().take_while(|core| core.is_none());
        let end = start + plies.count();
        let stiffness = laminate::stiffness(&layers[start..end])?;
        let thickness = stiffness.thickness;
        let above = (end < layers.len()).then_some(end);
        found.push(Skin {
            z: below + 0.5 * thickness,
            thickness,
            stiffness,
            outer: start == 0 || above.is_none(),
            beside: [start.checked_sub(1), above],
        });
        below += thickness;
        start = end;
    }
    Ok(found)
}
