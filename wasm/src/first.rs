//! The first sheet on its way to the page: without the code that writes the parts it never has.

use bastwork::{
    CureSheet, DrySheet, Estimate, FillSheet, Head, Input, MeasureFirst, MixSheet, Note, Sheet,
    Source, StackSheet, StripItem, TrimSheet, Units,
};
use serde::{Serialize, Serializer};

/// The fields of [`Sheet`] in their order; a browser test compares them with those of the whole one.
#[derive(Serialize)]
struct First<'a> {
    format: u64,
    name: &'a str,
    units: Units,
    comes_first: &'a str,
    strip: &'a [StripItem],
    suit: Option<()>,
    stack: &'a StackSheet,
    bag: Option<()>,
    dry: FirstDry<'a>,
    mix: &'a MixSheet,
    pots: Option<()>,
    fill: &'a Option<FillSheet>,
    cure: &'a Option<CureSheet>,
    setting: Option<()>,
    trim: &'a TrimSheet,
    day: Option<()>,
    measure_first: &'a Option<MeasureFirst>,
    inputs: &'a [Input],
    notes: &'a [Note],
    sources: &'a [Source],
}

/// The fields of [`DrySheet`] in their order, without what only the whole sheet says.
#[derive(Serialize)]
struct FirstDry<'a> {
    head: &'a Head,
    regain_start_pct: &'a Estimate,
    water_g: &'a Estimate,
    water_to_drive_g: &'a Estimate,
    weigh_now_g: &'a Estimate,
    weigh_target_g: &'a Estimate,
    oven_floor_pct: &'a Estimate,
    oven_min: &'a Estimate,
    bag_floor_pct: &'a Estimate,
    bag_h: &'a Estimate,
    lowest_pressure_mbar: &'a Estimate,
    lowest_pressure_dry_mbar: &'a Estimate,
    out_of_oven_min: &'a Estimate,
    dew_point_c: &'a Option<Estimate>,
    largest_regain_pct: Option<()>,
    vapour_at_hottest_mbar: Option<()>,
    after_vacuum_pct: Option<()>,
    isotherm: Option<()>,
    curve: Option<()>,
    ways: [(); 0],
    waits: [(); 0],
    weighed: Option<()>,
    published: [(); 0],
}

impl<'a> FirstDry<'a> {
    fn of(dry: &'a DrySheet) -> Self {
        Self {
            head: &dry.head,
            regain_start_pct: &dry.regain_start_pct,
            water_g: &dry.water_g,
            water_to_drive_g: &dry.water_to_drive_g,
            weigh_now_g: &dry.weigh_now_g,
            weigh_target_g: &dry.weigh_target_g,
            oven_floor_pct: &dry.oven_floor_pct,
            oven_min: &dry.oven_min,
            bag_floor_pct: &dry.bag_floor_pct,
            bag_h: &dry.bag_h,
            lowest_pressure_mbar: &dry.lowest_pressure_mbar,
            lowest_pressure_dry_mbar: &dry.lowest_pressure_dry_mbar,
            out_of_oven_min: &dry.out_of_oven_min,
            dew_point_c: &dry.dew_point_c,
            largest_regain_pct: None,
            vapour_at_hottest_mbar: None,
            after_vacuum_pct: None,
            isotherm: None,
            curve: None,
            ways: [],
            waits: [],
            weighed: None,
            published: [],
        }
    }
}

/// Writes a sheet that was worked out without the comparison of materials.
pub(crate) fn write<S: Serializer>(sheet: &Sheet, to: S) -> Result<S::Ok, S::Error> {
    First {
        format: sheet.format,
        name: &sheet.name,
        units: sheet.units,
        comes_first: sheet.comes_first,
        strip: &sheet.strip,
        suit: None,
        stack: &sheet.stack,
        bag: None,
        dry: FirstDry::of(&sheet.dry),
        mix: &sheet.mix,
        pots: None,
        fill: &sheet.fill,
        cure: &sheet.cure,
        setting: None,
        trim: &sheet.trim,
        day: None,
        measure_first: &sheet.measure_first,
        inputs: &sheet.inputs,
        notes: &sheet.notes,
        sources: &sheet.sources,
    }
    .serialize(to)
}
