//! Speeds, grits and heat.

use super::{Entry, one, several};
use crate::compare::Got;
use bastwork::law::grit::{self, Series};
use bastwork::law::{cut_heat, speed, trim_allowance};

pub(super) const LAWS: &[Entry] = &[
    ("turns_for_speed", |g| {
        one(speed::turns_for_speed(g.x("diameter"), g.x("speed")))
    }),
    ("surface_speed", |g| {
        one(speed::surface_speed(g.x("diameter"), g.x("rpm")))
    }),
    ("from_surface_feet_per_minute", |g| {
        one(speed::from_surface_feet_per_minute(g.x("sfpm")))
    }),
    ("feed_for_chip_load", |g| {
        one(speed::feed_for_chip_load(
            g.x("chip_load"),
            g.x("teeth"),
            g.x("rpm"),
        ))
    }),
    ("depth_factor", |g| {
        one(speed::depth_factor(g.x("depth"), g.x("diameter")))
    }),
    ("grain", |g| {
        let series = match g.word("series") {
            "P" => Series::P,
            "F" => Series::F,
            "D" => Series::D,
            other => panic!("there is no series {other}"),
        };
        // Grit numbers are small and whole.
        let found = grit::grit(series, g.x("number") as u32)?;
        one(Ok(found.grain))
    }),
    ("grit_sequence", |g| {
        let steps = grit::sequence(g.x("start") as u32, g.x("finish") as u32)?;
        let text: Vec<String> = steps.iter().map(u32::to_string).collect();
        Ok(vec![("value", Got::Text(text.join(" ")))])
    }),
    ("coarse_tolerance", |g| {
        one(trim_allowance::coarse_tolerance(g.x("size")))
    }),
    ("band_peak", |g| {
        let length = g.x("half_length");
        several([
            ("value", cut_heat::band_peak(length)?),
            ("position", cut_heat::band_peak_position(length)?),
        ])
    }),
    ("heat_share", |g| {
        one(cut_heat::heat_share(
            g.x("grain_conductivity"),
            g.x("effusivity"),
            g.x("grain_contact"),
            g.x("surface_speed"),
        ))
    }),
    ("contact_length", |g| {
        one(cut_heat::contact_length(g.x("depth"), g.x("diameter")))
    }),
    ("longest_contact", |g| {
        one(cut_heat::longest_contact(
            g.x("flux"),
            g.x("rise"),
            g.x("effusivity"),
        ))
    }),
];
