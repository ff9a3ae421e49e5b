//! Thickness, composition and stiffness of the laminate.

use super::{Answer, Entry, one, several};
use crate::given::Given;
use bastwork::law::micromechanics::{Constituents, Ply};
use bastwork::law::{compaction, composition, laminate, micromechanics, thickness};

pub(super) const LAWS: &[Entry] = &[
    ("ply_thickness", |g| {
        one(thickness::ply_thickness(
            g.x("dry"),
            g.x("fibre_density"),
            g.x("fibre_fraction"),
        ))
    }),
    ("volume_fraction", |g| {
        one(thickness::volume_fraction(
            g.x("mass_fraction"),
            g.x("fibre_density"),
            g.x("matrix_density"),
            g.maybe("porosity").unwrap_or(0.0),
        ))
    }),
    ("mass_fraction", |g| {
        one(thickness::mass_fraction(
            g.x("fibre_fraction"),
            g.x("fibre_density"),
            g.x("matrix_density"),
            g.maybe("porosity").unwrap_or(0.0),
        ))
    }),
    ("resin_per_fibre", |g| {
        one(thickness::resin_per_fibre(
            g.x("fibre_fraction"),
            g.x("fibre_density"),
            g.x("matrix_density"),
            g.maybe("porosity").unwrap_or(0.0),
        ))
    }),
    ("scantling_thickness", |g| {
        one(thickness::scantling_thickness(
            g.x("dry"),
            g.x("mass_fraction"),
            g.x("fibre_density"),
            g.x("matrix_density"),
        ))
    }),
    ("iso_12215_5_thickness", |g| {
        one(thickness::iso_12215_5_thickness(
            g.x("dry"),
            g.x("mass_fraction"),
        ))
    }),
    ("fibre_fraction_by_thickness", |g| {
        one(thickness::fibre_fraction_by_thickness(
            g.x("dry"),
            g.x("fibre_density"),
            g.x("thickness"),
        ))
    }),
    ("void_content", |g| {
        one(thickness::void_content(
            g.x("density"),
            g.x("mass_fraction"),
            g.x("fibre_density"),
            g.x("matrix_density"),
        ))
    }),
    ("density_by_immersion", |g| {
        one(thickness::density_by_immersion(
            g.x("in_air"),
            g.x("in_liquid"),
            g.x("liquid_density"),
        ))
    }),
    ("mass_balance", |g| {
        let found = thickness::mass_balance(
            g.x("areal_mass"),
            g.x("dry"),
            g.x("thickness"),
            g.x("fibre_density"),
            g.x("matrix_density"),
        )?;
        several([
            ("fibre", found.fibre),
            ("matrix", found.matrix),
            ("porosity", found.porosity),
            ("fibre_mass_fraction", found.fibre_mass_fraction),
        ])
    }),
    ("composition", |g| {
        let assembly = composition::Assembly {
            fibre_density: g.x("fibre_density"),
            matrix_density: g.x("matrix_density"),
            fibre_porosity: g.x("fibre_porosity"),
            matrix_porosity: g.x("matrix_porosity"),
            most_fibre: g.x("most_fibre"),
        };
        let turn = composition::transition(&assembly)?;
        let at = g.maybe("mass_fraction").unwrap_or(turn);
        let found = composition::at_mass_fraction(&assembly, at)?;
        several([
            ("transition", turn),
            ("fibre", found.fibre),
            ("matrix", found.matrix),
            ("porosity", found.porosity),
            ("structural_porosity", found.structural_porosity),
            ("density", found.density),
        ])
    }),
    ("fibre_fraction", |g| {
        one(compaction::fibre_fraction(
            g.x("at_one_bar"),
            g.x("exponent"),
            g.x("net_pressure"),
        ))
    }),
    ("mixture_modulus", |g| {
        one(micromechanics::mixture_modulus(
            g.maybe("efficiency").unwrap_or(1.0),
            g.x("fibre_modulus"),
            g.x("matrix_modulus"),
            g.x("fibre_fraction"),
            g.maybe("porosity").unwrap_or(0.0),
        ))
    }),
    ("halpin_tsai", |g| {
        one(micromechanics::halpin_tsai(
            g.x("fibre_modulus"),
            g.x("matrix_modulus"),
            g.x("fibre_fraction"),
            g.x("xi"),
        ))
    }),
    ("orientation", |g| {
        let directions: Vec<(f64, f64)> = g
            .rows("share_and_degrees")
            .iter()
            .map(|row| (row[0], row[1].to_radians()))
            .collect();
        one(micromechanics::orientation(&directions))
    }),
    ("twist", |g| {
        let (strength, stiffness) = micromechanics::twist(g.x("angle"))?;
        several([("strength", strength), ("stiffness", stiffness)])
    }),
    ("laminate", stack),
    ("crossed_from_constituents", |g| {
        let parts = Constituents {
            fibre_along: g.x("fibre_along"),
            fibre_across: g.x("fibre_across"),
            fibre_shear: g.x("fibre_shear"),
            fibre_poisson: 0.3,
            matrix_modulus: g.x("matrix_modulus"),
            matrix_poisson: 0.35,
        };
        let porosity = g.maybe("porosity").unwrap_or(0.0);
        let ply = micromechanics::unidirectional(&parts, g.x("fibre_fraction"), porosity)?;
        let weave = laminate::woven_ply(&ply, 0.5, g.maybe("crimp").unwrap_or(1.0))?;
        several([
            ("modulus", weave.modulus_along),
            ("unidirectional", ply.modulus_along),
            ("across", ply.modulus_across),
            ("shear", ply.shear_modulus),
        ])
    }),
];

/// Equal plies at the angles given, first ply first.
fn stack(g: &Given<'_>) -> Answer {
    let ply = Ply {
        modulus_along: g.x("modulus_along"),
        modulus_across: g.x("modulus_across"),
        poisson: g.x("poisson"),
        shear_modulus: g.x("shear_modulus"),
    };
    let thickness = g.x("thickness");
    let layers: Vec<laminate::Layer> = g
        .rows("angles_deg")
        .concat()
        .iter()
        .map(|degrees| laminate::Layer {
            ply,
            angle: degrees.to_radians(),
            thickness,
        })
        .collect();
    let stiffness = laminate::stiffness(&layers)?;
    let apparent = laminate::apparent(&stiffness)?;
    // Answer of the stack to 1000 N/m along x and along y.
    let c = laminate::compliance(&stiffness)?;
    let pulled = |row: usize| 1000.0 * (c[row][0] + c[row][1]);
    several([
        ("a11", stiffness.a[0][0]),
        ("a12", stiffness.a[0][1]),
        ("a16", stiffness.a[0][2]),
        ("a22", stiffness.a[1][1]),
        ("a26", stiffness.a[1][2]),
        ("a66", stiffness.a[2][2]),
        ("b11", stiffness.b[0][0]),
        ("b12", stiffness.b[0][1]),
        ("b16", stiffness.b[0][2]),
        ("b22", stiffness.b[1][1]),
        ("d11", stiffness.d[0][0]),
        ("d12", stiffness.d[0][1]),
        ("d22", stiffness.d[1][1]),
        ("d66", stiffness.d[2][2]),
        ("strain_x", pulled(0)),
        ("strain_y", pulled(1)),
        ("shear_xy", pulled(2)),
        ("bend_x", pulled(3)),
        ("bend_y", pulled(4)),
        ("twist_xy", pulled(5)),
        ("modulus_x", apparent.modulus_x),
        ("modulus_y", apparent.modulus_y),
        ("shear", apparent.shear_modulus),
        ("poisson_xy", apparent.poisson),
        ("bending_modulus_x", apparent.bending_modulus_x),
    ])
}
