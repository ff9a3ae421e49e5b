//! What counts of a fibre, and the stiffness of the ply that it makes with the resin.

use super::cloth::{MOST_VOID, resin_modulus};
use super::{GIGA, POISSON};
use crate::law::micromechanics::Constituents;
use crate::law::{LawError, micromechanics};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::shelf::Fibre;
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Share of a random mat's fibres that counts along any direction in its plane (Krenchel).
pub(super) const RANDOM_IN_PLANE: f64 = 0.375;

/// What counts of a fibre, whatever cloth it lies in.
pub(super) struct OfFibre {
    /// [kg/m3]
    pub(super) density: Spread,
    pub(super) void_per_fibre: Spread,
    /// Moduli along, across and in shear [GPa].
    along: Spread,
    across: Spread,
    shear: Spread,
}

pub(super) fn of_fibre(bench: &mut Bench<'_>, fibre: &Fibre) -> OfFibre {
    let holder = format!("fibres.{}", fibre.entry.key);
    let mut get =
        |name, label, unit, cited| bench.property(&holder, name, label, unit, &fibre.entry, cited);
    let density = get(
        "density_g_cm3",
        "Density of the fibre",
        Unit::GramPerMillilitre,
        &fibre.density_g_cm3,
    )
    .times(1000.0);
    let void_per_fibre = get(
        "void_per_fibre",
        "Void that comes with the fibre",
        Unit::One,
        &fibre.void_per_fibre,
    );
    let along = get(
        "modulus_gpa",
        "Stiffness along the fibre",
        Unit::Gigapascal,
        &fibre.modulus_gpa,
    );
    let across = get(
        "transverse_modulus_gpa",
        "Stiffness across the fibre",
        Unit::Gigapascal,
        &fibre.transverse_modulus_gpa,
    );
    let shear = get(
        "shear_modulus_gpa",
        "Shear stiffness of the fibre",
        Unit::Gigapascal,
        &fibre.shear_modulus_gpa,
    );
    OfFibre {
        density,
        void_per_fibre,
        along,
        across,
        shear,
    }
}

/// Moduli of the ply along, across and in shear, and that of a mat of it [Pa].
pub(super) fn stiffness(
    bench: &mut Bench<'_>,
    own: &OfFibre,
    fraction: &Spread,
    beyond: &Spread,
) -> Result<([Spread; 3], Spread), LawError> {
    let resin_modulus = resin_modulus(bench);
    let [across_miss, shear_miss] = misses(bench);
    let ply = Spread::several(
        [
            &own.along,
            &own.across,
            &own.shear,
            &resin_modulus,
            fraction,
            beyond,
            &across_miss,
            &shear_miss,
        ],
        |[
            along,
            across,
            shear,
            resin,
            v,
            void,
            across_miss,
            shear_miss,
        ]| {
            let parts = Constituents {
                fibre_along: along * GIGA,
                fibre_across: across * GIGA,
                fibre_shear: shear * GIGA,
                fibre_poisson: POISSON.0,
                matrix_modulus: resin * GIGA,
                matrix_poisson: POISSON.1,
            };
            let ply = micromechanics::unidirectional(&parts, v, void.min(MOST_VOID))?;
            Ok([
                ply.modulus_along,
                ply.modulus_across * across_miss,
                ply.shear_modulus * shear_miss,
            ])
        },
    )?;
    let modulus = Spread::of(
        [&own.along, &resin_modulus, fraction, beyond],
        |[along, resin, v, void]| {
            let void = void.min(MOST_VOID);
            micromechanics::mixture_modulus(RANDOM_IN_PLANE, along * GIGA, resin * GIGA, v, void)
        },
    )?;
    Ok((ply, modulus))
}

/// How far published moduli across and in shear lie off the law of Halpin and Tsai [-].
fn misses(bench: &mut Bench<'_>) -> [Spread; 2] {
    [
        (
            "stack.across_over_law",
            "Modulus across the fibres over the law of Halpin and Tsai",
        ),
        (
            "stack.shear_over_law",
            "Shear modulus of a ply over the law of Halpin and Tsai",
        ),
    ]
    .map(|(key, label)| {
        let range = Range::new(0.8, 1.0, 1.25);
        bench.coefficient(key, label, range, Grade::Judgement, "judgement_halpin_tsai")
    })
}
