//! Bending of plates, strips and sandwiches.

use super::{Answer, Entry, one, several};
use crate::given::Given;
use bastwork::law::beam::{self, Held, Strip};
use bastwork::law::plate::{self, Load, Plate};
use bastwork::law::thin_plate::{Thin, buckles, swings};
use bastwork::law::{buckling, ring, sandwich};

pub(super) const LAWS: &[Entry] = &[
    ("plate_resting", |g| bent(g, plate::resting)),
    ("plate_clamped", |g| bent(g, plate::clamped)),
    ("strip", |g| {
        let strip = Strip {
            span: g.x("span"),
            width: g.x("width"),
            bending: g.x("bending"),
            shear: g.maybe("shear").unwrap_or(f64::INFINITY),
        };
        let held = match g.word("held") {
            "middle force" => Held::MiddleForce,
            "even load" => Held::EvenLoad,
            "tip force" => Held::TipForce,
            other => panic!("no strip is held by {other}"),
        };
        let found = beam::bent(&strip, held, g.x("force"))?;
        several([
            ("deflection", found.by_bending + found.by_shear),
            ("by_bending", found.by_bending),
            ("by_shear", found.by_shear),
            ("moment", found.moment),
            ("shear", found.shear),
        ])
    }),
    ("sandwich_shear_stiffness", |g| {
        one(sandwich::shear_stiffness(
            g.x("core_shear"),
            g.x("core_thickness"),
            g.x("between"),
        ))
    }),
    ("core_shear_stress", |g| {
        one(sandwich::core_shear_stress(g.x("shear"), g.x("between")))
    }),
    ("wrinkling_stress", |g| {
        one(sandwich::wrinkling_stress(
            g.x("skin_modulus"),
            g.x("core_modulus"),
            g.x("core_shear"),
        ))
    }),
    ("plate_buckles", |g| {
        let plate = thin(g);
        let unit = (std::f64::consts::PI / plate.width).powi(2) * plate.d[0][0];
        several([("k", buckles(&plate)? / unit)])
    }),
    ("plate_rings", |g| {
        one(ring::hertz(swings(&thin(g))?, g.x("mass")))
    }),
    ("strip_buckles", |g| {
        let held = g.maybe("held").is_some();
        one(buckling::strip(g.x("bending"), g.x("length"), held))
    }),
    ("buckles_with_core", |g| {
        one(buckling::with_core(
            g.x("rigid"),
            g.x("skins"),
            g.x("shear"),
        ))
    }),
    ("first_dent", |g| {
        one(sandwich::first_dent(
            g.x("crush"),
            g.x("skin"),
            g.x("core_modulus"),
            g.x("core_thickness"),
            g.x("radius"),
        ))
    }),
];

fn thin(g: &Given<'_>) -> Thin {
    let slant = |name: &str| g.maybe(name).unwrap_or(0.0);
    let (d16, d26) = (slant("d16"), slant("d26"));
    let (d12, d66) = (g.x("d12"), g.x("d66"));
    Thin {
        length: g.x("length"),
        width: g.x("width"),
        d: [
            [g.x("d11"), d12, d16],
            [d12, g.x("d22"), d26],
            [d16, d26, d66],
        ],
        held: g.maybe("held").is_some(),
    }
}

type Bend = fn(&Plate, &Load) -> Result<plate::Bent, bastwork::law::LawError>;

/// A thin plate unless shear stiffnesses are given, under a pressure unless there is a force.
fn bent(g: &Given<'_>, bend: Bend) -> Answer {
    let stiffness = |name: &str| g.maybe(name).unwrap_or(f64::INFINITY);
    let plate = Plate {
        length: g.x("length"),
        width: g.x("width"),
        d11: g.x("d11"),
        d12: g.x("d12"),
        d22: g.x("d22"),
        d66: g.x("d66"),
        shear_x: stiffness("shear_x"),
        shear_y: stiffness("shear_y"),
    };
    let load = match g.maybe("force") {
        Some(force) => Load::Patch {
            force,
            length: g.x("patch_length"),
            width: g.x("patch_width"),
        },
        None => Load::Pressure(g.x("pressure")),
    };
    let found = bend(&plate, &load)?;
    let [middle, edge_x, edge_y, corner, ..] = found.places;
    several([
        ("deflection", found.deflection),
        ("middle_x", middle.x),
        ("middle_y", middle.y),
        ("edge_x", edge_x.x),
        ("edge_y", edge_y.y),
        ("corner_xy", corner.xy),
        ("shear_x", found.shear_x),
        ("shear_y", found.shear_y),
    ])
}
