//! Filling.

use super::{Entry, one, several};
use crate::given::Given;
use bastwork::law::flow::{self, Perimeter, Rise, Stretch};
use bastwork::law::flow_mesh::{self, Meshed};
use bastwork::law::permeability::{self, Packing};

pub(super) const LAWS: &[Entry] = &[
    ("strip_fill_time", |g| {
        one(flow::strip_fill_time(
            g.x("viscosity"),
            g.x("porosity"),
            g.x("length"),
            g.x("permeability"),
            g.x("pressure"),
        ))
    }),
    ("strip_reach", |g| {
        one(flow::strip_reach(
            g.x("viscosity"),
            g.x("porosity"),
            g.x("time"),
            g.x("permeability"),
            g.x("pressure"),
        ))
    }),
    ("series_fill_time", |g| {
        // Rows of length, permeability, porosity and thickness, from the feed on.
        let stretches: Vec<Stretch> = g
            .rows("stretches")
            .iter()
            .map(|row| Stretch {
                length: row[0],
                permeability: row[1],
                porosity: row[2],
                thickness: row[3],
            })
            .collect();
        one(flow::series_fill_time(
            g.x("viscosity"),
            g.x("pressure"),
            &stretches,
        ))
    }),
    ("constant_flow_fill_time", |g| {
        one(flow::constant_flow_fill_time(
            g.x("porosity"),
            g.x("length"),
            g.x("section"),
            g.x("flow"),
        ))
    }),
    ("constant_flow_pressure", |g| {
        one(flow::constant_flow_pressure(
            g.x("viscosity"),
            g.x("length"),
            g.x("permeability"),
            g.x("section"),
            g.x("flow"),
        ))
    }),
    ("radial_out_fill_time", |g| {
        one(flow::radial_out_fill_time(
            g.x("viscosity"),
            g.x("porosity"),
            g.x("inner"),
            g.x("outer"),
            g.x("permeability"),
            g.x("pressure"),
        ))
    }),
    ("radial_in_fill_time", |g| {
        one(flow::radial_in_fill_time(
            g.x("viscosity"),
            g.x("porosity"),
            g.x("inner"),
            g.x("outer"),
            g.x("permeability"),
            g.x("pressure"),
        ))
    }),
    ("rectangle_fill_time", |g| {
        one(flow::rectangle_fill_time(&perimeter(g)))
    }),
    ("ellipse_fill_time", |g| {
        one(flow::ellipse_fill_time(&perimeter(g)))
    }),
    ("rise_over_level", |g| {
        let (viscosity, porosity) = (g.x("viscosity"), g.x("porosity"));
        let (length, permeability) = (g.x("length"), g.x("permeability"));
        let pressure = g.x("pressure");
        let up = flow::rise_fill_time(&Rise {
            viscosity,
            porosity,
            length,
            permeability,
            pressure,
            resin_density: g.x("resin_density"),
            slope: g.x("slope"),
        })?;
        let level = flow::strip_fill_time(viscosity, porosity, length, permeability, pressure)?;
        one(Ok(up / level))
    }),
    ("mesh", |g| {
        let stack = Meshed {
            mesh_thickness: g.x("mesh_thickness"),
            mesh_permeability: g.x("mesh_permeability"),
            mesh_porosity: g.x("mesh_porosity"),
            laminate_thickness: g.x("laminate_thickness"),
            laminate_permeability: g.x("laminate_permeability"),
            through_permeability: g.x("through_permeability"),
            laminate_porosity: g.x("laminate_porosity"),
        };
        let (k, phi) = flow_mesh::as_one_layer(&stack)?;
        let front =
            flow::strip_fill_time(g.x("viscosity"), phi, g.x("length"), k, g.x("pressure"))?;
        several([("front", front), ("lag", flow_mesh::lag(&stack)?)])
    }),
    ("equalisation_time", |g| {
        one(flow::equalisation_time(
            g.x("viscosity"),
            g.x("length"),
            g.x("permeability"),
            g.x("load"),
            g.x("exponent"),
            g.x("left"),
        ))
    }),
    ("gebart", |g| {
        let packing = match g.word("packing") {
            "square" => Packing::Square,
            "hexagonal" => Packing::Hexagonal,
            other => panic!("there is no packing {other}"),
        };
        let (along, across) = permeability::gebart(g.x("radius"), g.x("fibre_fraction"), packing)?;
        several([("along", along), ("across", across)])
    }),
    ("from_strip_test", |g| {
        one(permeability::from_strip_test(
            g.x("slope"),
            g.x("viscosity"),
            g.x("porosity"),
            g.x("pressure"),
        ))
    }),
    ("turned", |g| {
        let k = permeability::turned(g.x("along"), g.x("across"), g.x("angle"))?;
        several([("xx", k.xx), ("yy", k.yy), ("xy", k.xy)])
    }),
];

fn perimeter(g: &Given<'_>) -> Perimeter {
    Perimeter {
        viscosity: g.x("viscosity"),
        porosity: g.x("porosity"),
        pressure: g.x("pressure"),
        length: g.x("length"),
        width: g.x("width"),
        permeability_along: g.x("permeability_along"),
        permeability_across: g.x("permeability_across"),
    }
}
