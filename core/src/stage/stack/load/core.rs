//! How the cores of a stack shear, and what they bear.

use super::super::{STAGE, Stacked};
use crate::law::{LawError, sandwich};
use crate::sheet::Spread;
use crate::shelf::Fabric;
use crate::shelf::traits::{CORE_PUSHED, CORE_SHEAR, CORE_SHEAR_STRENGTH};
use crate::stage::bench::Bench;

/// The core of a sandwich, as far as its shear goes.
pub(crate) struct CoreShear {
    /// One over the shear stiffness [m/N]; nothing without a core.
    pub(super) softness: Spread,
    /// Between the middles of the faces [m].
    pub(super) between: Spread,
    /// Shear strength of the weakest core [Pa], and its name.
    pub(super) strength: Option<(Spread, String)>,
    /// Moduli of the core, through its thickness and in shear [Pa].
    pub(super) moduli: Option<(Spread, Spread)>,
    /// Thickness of one face [m].
    pub(super) face: Spread,
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

impl CoreShear {
    /// Shear stiffness with everything likely [N/m]; endless without a core.
    pub(crate) fn stiffness(&self) -> f64 {
        1.0 / self.softness.likely()
    }
}
