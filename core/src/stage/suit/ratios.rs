//! Flax over glass: what is computed here, what was published, and what common practice says.

use super::build::Built;
use super::others::{FLAX, GLASS};
use crate::law::failure::{self, Constituents, Laid};
use crate::law::micromechanics::{self, Constituents as OfPly};
use crate::law::panel::{self, Held, Material, Piece};
use crate::law::strand::{self, Bears, Strand};
use crate::law::{LawError, laminate, last_load};
use crate::sheet::{Desk, Spread, SuitRatio};
use crate::shelf::properties::{
    ACROSS, ACROSS_PUSHED, AFTER_KNEE, BREAKS, KNEE, RESIN_STRENGTH, SHEAR_STRENGTH, STRENGTH,
};
use crate::stage::bench::Bench;
use crate::stage::stack::{POISSON, fibre_trait, resin_density, resin_modulus, resin_trait};
use crate::units::Unit;

/// Common practice, no source: flax does about half as well as glass, even allowing for its density. One workshop's
/// word deserves a wide range.
const HALF: (f64, f64) = (0.35, 0.65);
/// Fibre content of the pressed laminates that were published side by side [-].
const PRESSED: f64 = 0.43;
const GIGA: f64 = 1e9;
const MEGA: f64 = 1e6;

/// Stiffness [Pa], strength when pulled [Pa] and density [kg/m3] of one laminate.
struct Laminate([Spread; 3]);

struct Compared {
    label: &'static str,
    published: &'static str,
    /// What was published, from and to [-].
    value: (f64, f64),
    /// Whether the half of common practice speaks about it.
    half: bool,
    of: Ratio,
}

/// One property over another, flax over glass.
type Ratio = fn(&Material, &Material) -> Result<f64, LawError>;

fn stiffness(flax: &Material, glass: &Material) -> Result<f64, LawError> {
    Ok(flax.modulus / glass.modulus)
}

fn strength(flax: &Material, glass: &Material) -> Result<f64, LawError> {
    Ok(flax.strength / glass.strength)
}

fn stiffness_per_density(flax: &Material, glass: &Material) -> Result<f64, LawError> {
    Ok(flax.modulus / flax.density / (glass.modulus / glass.density))
}

fn strength_per_density(flax: &Material, glass: &Material) -> Result<f64, LawError> {
    Ok(flax.strength / flax.density / (glass.strength / glass.density))
}

fn panel_thickness(flax: &Material, glass: &Material) -> Result<f64, LawError> {
    Ok(panel::instead(Piece::Panel, Held::Stiffness, glass, flax)?.section)
}

fn panel_mass(flax: &Material, glass: &Material) -> Result<f64, LawError> {
    Ok(panel::instead(Piece::Panel, Held::Stiffness, glass, flax)?.mass)
}

/// Two cloths in one bag: a bag packs flax to less fibre than glass.
const IN_ONE_BAG: &[Compared] = &[
    Compared {
        label: "Stiffness, woven, both from one bag",
        published: "0.45 as infused, nominal; common practice, no source: half",
        value: (0.4, 0.5),
        half: true,
        of: stiffness,
    },
    Compared {
        label: "Stiffness per density, woven, both from one bag",
        published: "0.67 as infused, nominal; common practice, no source: half even so",
        value: (0.6, 0.74),
        half: true,
        of: stiffness_per_density,
    },
    Compared {
        label: "Strength, woven, both from one bag",
        published: "a third to a half (laminates of equal process, from memory); common practice, no source: half",
        value: (0.33, 0.5),
        half: true,
        of: strength,
    },
    Compared {
        label: "Mass of a panel of the same bending stiffness, woven, both from one bag",
        published: "0.85 to 0.88 by the panel index (arithmetic on the nominal rows)",
        value: (0.85, 0.88),
        half: false,
        of: panel_mass,
    },
    Compared {
        label: "Thickness of that panel",
        published: "1.26 to 1.30 by the panel index (arithmetic on the nominal rows)",
        value: (1.26, 1.30),
        half: false,
        of: panel_thickness,
    },
];

/// Crossed plies pressed to the same fibre content, as they were tested side by side.
const PRESSED_ALIKE: &[Compared] = &[
    Compared {
        label: "Stiffness, crossed plies, equal fibre content",
        published: "0.65 (Liang and others 2012, from memory)",
        value: (0.62, 0.68),
        half: true,
        of: stiffness,
    },
    Compared {
        label: "Strength, crossed plies, equal fibre content",
        published: "0.45 (Liang and others 2012, from memory)",
        value: (0.42, 0.48),
        half: true,
        of: strength,
    },
    Compared {
        label: "Stiffness per density, crossed plies, equal fibre content",
        published: "0.91 (Liang and others 2012, from memory); comparable (Duc and others 2014); able to compete (Goutianos and others 2006)",
        value: (0.85, 1.0),
        half: true,
        of: stiffness_per_density,
    },
    Compared {
        label: "Strength per density, crossed plies, equal fibre content",
        published: "0.63 (Liang and others 2012, from memory)",
        value: (0.6, 0.66),
        half: true,
        of: strength_per_density,
    },
    Compared {
        label: "Mass of a panel of the same bending stiffness, equal fibre content",
        published: "0.82 (arithmetic on the rows above)",
        value: (0.8, 0.85),
        half: false,
        of: panel_mass,
    },
];

/// The ratios, with where they agree and where not.
pub(super) fn ratios(bench: &mut Bench<'_>, built: &[Built]) -> Result<Vec<SuitRatio>, LawError> {
    let aside = Desk::new(bench.desk.units);
    let kept = std::mem::replace(&mut bench.desk, aside);
    let found = found(bench, built);
    bench.desk = kept;
    found
}

fn found(bench: &mut Bench<'_>, built: &[Built]) -> Result<Vec<SuitRatio>, LawError> {
    let bagged = |key: &str| {
        let one = built.iter().find(|one| one.key == key);
        one.and_then(|one| one.alone.clone()).map(Laminate)
    };
    let bagged = bagged(FLAX).zip(bagged(GLASS)).map(<[Laminate; 2]>::from);
    let pressed = [pressed(bench, "flax")?, pressed(bench, "glass")?];
    let mut out = Vec::new();
    for (pair, list) in [
        (bagged.as_ref(), IN_ONE_BAG),
        (Some(&pressed), PRESSED_ALIKE),
    ] {
        let Some([flax, glass]) = pair else { continue };
        let ([a, b, c], [d, e, f]) = (&flax.0, &glass.0);
        for one in list {
            let ratio = Spread::of([a, b, c, d, e, f], |[a, b, c, d, e, f]| {
                (one.of)(&material(a, b, c), &material(d, e, f))
            })?;
            out.push(told(bench, one, &ratio));
        }
    }
    Ok(out)
}

fn material(modulus: f64, strength: f64, density: f64) -> Material {
    Material {
        modulus,
        strength,
        density,
    }
}

fn told(bench: &Bench<'_>, one: &Compared, ratio: &Spread) -> SuitRatio {
    let cell = bench.desk.cell(Unit::One, ratio);
    let mut agrees = agreement((cell.low, cell.high), one.value).to_owned();
    if one.half {
        agrees += if cell.low > HALF.1 {
            " Half, as common practice has it, is too hard on flax."
        } else if cell.high < HALF.0 {
            " Half, as common practice has it, is too kind to flax."
        } else {
            " Half, as common practice has it, may be so."
        };
    }
    SuitRatio {
        label: one.label,
        low: cell.low,
        likely: cell.likely,
        high: cell.high,
        text: cell.text,
        range: cell.range,
        published: one.published,
        agrees,
    }
}

/// Two ranges agree when they share at least half of the narrower one; one published value, when it lies inside.
/// Ranges that only touch say nothing.
fn agreement(ours: (f64, f64), published: (f64, f64)) -> &'static str {
    let shared = ours.1.min(published.1) - ours.0.max(published.0);
    let narrower = (ours.1 - ours.0).min(published.1 - published.0);
    if shared >= 0.5 * narrower && shared >= 0.0 {
        "Agrees with what was published."
    } else if ours.0 + ours.1 < published.0 + published.1 {
        "Less here than published."
    } else {
        "More here than published."
    }
}

/// Straight crossed plies of one fibre, pressed to the same content, without voids.
fn pressed(bench: &mut Bench<'_>, fibre: &str) -> Result<Laminate, LawError> {
    let shelf = bench.shelf;
    let fibre = shelf.fibre(fibre).ok_or(LawError::Unsolved {
        what: "what is known of the fibre",
    })?;
    let holder = format!("fibres.{}", fibre.entry.key);
    let mut get = |name: &str, label: &str, unit, cited| {
        bench.property(&holder, name, label, unit, &fibre.entry, cited)
    };
    let gpa = Unit::Gigapascal;
    let along = get(
        "modulus_gpa",
        "Stiffness along the fibre",
        gpa,
        &fibre.modulus_gpa,
    );
    let across = get(
        "transverse_modulus_gpa",
        "Stiffness across the fibre",
        gpa,
        &fibre.transverse_modulus_gpa,
    );
    let shear = get(
        "shear_modulus_gpa",
        "Shear stiffness of the fibre",
        gpa,
        &fibre.shear_modulus_gpa,
    );
    let density = get(
        "density_g_cm3",
        "Density of the fibre",
        Unit::GramPerMillilitre,
        &fibre.density_g_cm3,
    );
    let bears = [
        fibre_trait(bench, fibre, &STRENGTH)?,
        fibre_trait(bench, fibre, &ACROSS)?,
        fibre_trait(bench, fibre, &ACROSS_PUSHED)?,
        fibre_trait(bench, fibre, &SHEAR_STRENGTH)?,
        fibre_trait(bench, fibre, &KNEE)?,
        fibre_trait(bench, fibre, &AFTER_KNEE)?,
        fibre_trait(bench, fibre, &BREAKS)?,
    ];
    let resin = [
        resin_modulus(bench),
        resin_trait(bench, &RESIN_STRENGTH)?,
        resin_density(bench),
    ];
    let inputs = [
        &along, &across, &shear, &density, &bears[0], &bears[1], &bears[2], &bears[3], &bears[4],
        &bears[5], &bears[6], &resin[0], &resin[1], &resin[2],
    ];
    Spread::several(inputs, crossed).map(Laminate)
}

/// Stiffness along crossed plies pressed to the same content, the stress at their last load, and their density.
fn crossed(values: [f64; 14]) -> Result<[f64; 3], LawError> {
    let [
        e1,
        e2,
        g,
        rho,
        xt,
        yt,
        yc,
        s,
        knee,
        after,
        breaks,
        em,
        xm,
        rho_m,
    ] = values;
    let after = after.clamp(0.05, 1.0);
    let knee = if after < 0.999 { knee } else { 0.0 };
    let ply = micromechanics::unidirectional(
        &OfPly {
            fibre_along: e1 * GIGA,
            fibre_across: e2 * GIGA,
            fibre_shear: g * GIGA,
            fibre_poisson: POISSON.0,
            matrix_modulus: em * GIGA,
            matrix_poisson: POISSON.1,
        },
        PRESSED,
        0.0,
    )?;
    let parts = Constituents {
        fibre_tension: xt * MEGA,
        fibre_compression: xt * MEGA,
        fibre_modulus: e1 * GIGA,
        matrix_modulus: em * GIGA,
        matrix_strength: xm * MEGA,
        fibre_fraction: PRESSED,
        porosity: 0.0,
    };
    let across = (yt * MEGA, yc * MEGA);
    let strengths = failure::strengths(&parts, (1.0, 1.0), across, s * MEGA)?;
    let bears = Bears {
        strengths,
        knee: knee * 0.01,
        after,
        breaks: breaks * 0.01,
        kinks: None,
    };
    let crossed = strand::directions(Laid::Woven)
        .iter()
        .map(|&(angle, share)| Strand {
            ply,
            angle,
            below: 0.0,
            above: 1.0,
            share,
            bears: Some(bears),
        });
    let crossed: Vec<Strand> = crossed.collect();
    Ok([
        laminate::woven_ply(&ply, 0.5, 1.0)?.modulus_along,
        last_load::course(&crossed, false)?.last,
        PRESSED * rho * 1000.0 + (1.0 - PRESSED) * rho_m,
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_that_touch_do_not_agree() {
        let yes = "Agrees with what was published.";
        for (ours, published, says) in [
            ((0.5, 0.9), (0.85, 0.88), yes),
            ((0.5, 0.9), (0.6, 0.6), yes),
            ((0.5, 0.6), (0.59, 0.7), "Less here than published."),
            ((0.69, 0.9), (0.59, 0.7), "More here than published."),
            ((0.5, 0.6), (0.54, 0.7), yes),
            ((0.5, 0.6), (0.7, 0.7), "Less here than published."),
            ((0.6, 0.6), (0.5, 0.7), yes),
        ] {
            assert_eq!(agreement(ours, published), says, "{ours:?} {published:?}");
        }
    }
}
