//! Strength, knee, damping, warp and carbon of the laminate, and one material in place of another.

use super::{Answer, Entry, one, several};
use crate::compare::Got;
use crate::given::Given;
use bastwork::law::damping::{self, Losses};
use bastwork::law::expansion::{Shrinking, free_strain};
use bastwork::law::failure::{self, Constituents, Strengths, Stress};
use bastwork::law::knee::{self, Knee};
use bastwork::law::laminate::{self, Layer};
use bastwork::law::micromechanics::Ply;
use bastwork::law::panel::{self, Held, Material, Piece};
use bastwork::law::{LawError, compaction, footprint};

pub(super) const LAWS: &[Entry] = &[
    ("ply_damage", |g| {
        let (strengths, stress) = loaded(g);
        let (factor, mode) = failure::maximum_stress(&strengths, &stress)?;
        Ok(vec![
            (
                "tsai_hill",
                Got::Number(failure::tsai_hill(&strengths, &stress)?),
            ),
            ("maximum_stress", Got::Number(factor)),
            ("mode", Got::Text(format!("{mode:?}"))),
        ])
    }),
    ("first_ply", first_ply),
    ("strength_along", |g| {
        let fibre = g.x("fibre_strength");
        let parts = Constituents {
            fibre_tension: fibre,
            fibre_compression: fibre,
            fibre_modulus: g.x("fibre_modulus"),
            matrix_modulus: g.x("matrix_modulus"),
            matrix_strength: g.x("matrix_strength"),
            fibre_fraction: g.x("fibre_fraction"),
            porosity: g.maybe("porosity").unwrap_or(0.0),
        };
        one(failure::along(
            &parts,
            g.maybe("efficiency").unwrap_or(1.0),
            false,
        ))
    }),
    ("knee", |g| {
        let knee = Knee {
            initial: g.x("initial"),
            after: g.x("after"),
            strain: g.x("strain"),
        };
        several([
            ("stress", knee::stress(&knee, knee.strain)?),
            ("chord", knee::chord_modulus(&knee, 0.0005, 0.0025)?),
        ])
    }),
    ("loss_factor", |g| {
        let layers = layers(g);
        let losses = vec![
            Losses {
                along: g.x("loss_along"),
                across: g.x("loss_across"),
                shear: g.x("loss_shear"),
            };
            layers.len()
        ];
        several([
            ("pulled", damping::in_tension(&layers, &losses)?),
            ("bent", damping::in_bending(&layers, &losses)?),
        ])
    }),
    ("expansion", |g| {
        let fraction = g.x("fibre_fraction");
        let parts = Shrinking {
            fibre_fraction: fraction,
            matrix_fraction: 1.0 - fraction,
            fibre_modulus: g.x("fibre_modulus"),
            matrix_modulus: g.x("matrix_modulus"),
            fibre_poisson: g.x("fibre_poisson"),
            matrix_poisson: g.x("matrix_poisson"),
        };
        let fibre = g.x("fibre");
        let (along, across) = free_strain(&parts, fibre, fibre, g.x("matrix"))?;
        several([("along", along), ("across", across)])
    }),
    ("warp", |g| {
        let layers = layers(g);
        let free = vec![(g.x("free_along"), g.x("free_across")); layers.len()];
        let shape = laminate::free_shape(&layers, &free)?;
        several([
            ("strain_x", shape[0]),
            ("strain_y", shape[1]),
            ("bend_x", shape[3]),
            ("bend_y", shape[4]),
            ("twist_xy", shape[5]),
            ("rise", laminate::rise(shape[3], g.x("length"))),
        ])
    }),
    ("nesting", |g| {
        one(compaction::nesting(g.x("plies"), g.x("gain")))
    }),
    ("swollen", |g| {
        one(compaction::swollen(
            g.x("net_pressure"),
            g.x("resin_pressure"),
            g.x("exponent"),
        ))
    }),
    ("instead", |g| {
        let piece = match g.word("piece") {
            "panel" => Piece::Panel,
            "beam" => Piece::Beam,
            "tie" => Piece::Tie,
            other => panic!("no piece is called {other}"),
        };
        let held = match g.word("held") {
            "stiffness" => Held::Stiffness,
            "strength" => Held::Strength,
            other => panic!("{other} is not held equal"),
        };
        let of = |row: usize| {
            let figures = &g.rows("modulus_strength_density")[row];
            Material {
                modulus: figures[0],
                strength: figures[1],
                density: figures[2],
            }
        };
        let found = panel::instead(piece, held, &of(0), &of(1))?;
        several([("section", found.section), ("mass", found.mass)])
    }),
    ("stored_co2", |g| {
        one(footprint::stored_co2(
            g.x("fibre_mass"),
            g.x("carbon"),
            g.maybe("moisture").unwrap_or(0.0),
        ))
    }),
    ("woven_cloth_co2e", |g| {
        let yarn = 1e-6 * g.x("tex");
        several([
            ("electricity", footprint::mill_electricity(yarn)?),
            (
                "cloth",
                footprint::woven_cloth(g.x("fibre"), yarn, g.x("grid"))?,
            ),
        ])
    }),
    ("fossil", |g| {
        let parts: Vec<(f64, f64)> = g
            .rows("mass_and_factor")
            .iter()
            .map(|row| (row[0], row[1]))
            .collect();
        one(footprint::fossil(&parts))
    }),
];

fn strengths(g: &Given<'_>) -> Strengths {
    Strengths {
        along_tension: g.x("along_tension"),
        along_compression: g.x("along_compression"),
        across_tension: g.x("across_tension"),
        across_compression: g.x("across_compression"),
        shear: g.x("shear"),
    }
}

/// Strengths of a ply and the stress in it, turned from the axes of the load.
fn loaded(g: &Given<'_>) -> (Strengths, Stress) {
    let (s, c) = g.x("angle").sin_cos();
    let [x, y, xy] = [g.x("stress_x"), g.x("stress_y"), g.x("stress_xy")];
    let stress = Stress {
        along: c * c * x + s * s * y + 2.0 * s * c * xy,
        across: s * s * x + c * c * y - 2.0 * s * c * xy,
        shear: s * c * (y - x) + (c * c - s * s) * xy,
    };
    (strengths(g), stress)
}

/// Equal plies at the angles given, first ply first.
fn layers(g: &Given<'_>) -> Vec<Layer> {
    let ply = Ply {
        modulus_along: g.x("modulus_along"),
        modulus_across: g.x("modulus_across"),
        poisson: g.x("poisson"),
        shear_modulus: g.x("shear_modulus"),
    };
    let thickness = g.x("thickness");
    g.rows("angles_deg")
        .concat()
        .iter()
        .map(|degrees| Layer {
            ply,
            angle: degrees.to_radians(),
            thickness,
        })
        .collect()
}

/// Pull along x per width at which the first ply of a stack is damaged, by both criteria.
fn first_ply(g: &Given<'_>) -> Answer {
    let layers = layers(g);
    let strengths = strengths(g);
    let pull = [1.0, 0.0, 0.0, 0.0, 0.0, 0.0];
    let strains = laminate::response(&laminate::stiffness(&layers)?, &pull)?;
    let stresses = laminate::ply_stresses(&layers, &strains)?.concat();
    let least = |criterion: &dyn Fn(&Stress) -> Result<f64, LawError>| {
        stresses.iter().try_fold(f64::INFINITY, |least, stress| {
            Ok::<f64, LawError>(least.min(criterion(stress)?))
        })
    };
    several([
        (
            "tsai_hill",
            least(&|stress| failure::tsai_hill(&strengths, stress))?,
        ),
        (
            "maximum_stress",
            least(&|stress| Ok(failure::maximum_stress(&strengths, stress)?.0))?,
        ),
    ])
}
