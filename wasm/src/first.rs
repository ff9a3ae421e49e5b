//! The first sheet on its way to the page: without the code that writes the parts it never has.

use bastwork::{
    CureSheet, DrySheet, FillSheet, Input, MeasureFirst, MixSheet, Note, Sheet, Source, StackSheet,
    StripItem, TrimSheet, Units,
};
use serde::{Serialize, Serializer};

/// The fields of [`Sheet`] in their order; a browser test compares them with those of the whole one.
#[derive(Serialize)]
struct First<'a> {
    format: u64,
    name: &'a str,
    units: Units,
    strip: &'a [StripItem],
    suit: Option<()>,
    stack: &'a StackSheet,
    dry: &'a DrySheet,
    mix: &'a MixSheet,
    fill: &'a Option<FillSheet>,
    cure: &'a Option<CureSheet>,
    trim: &'a TrimSheet,
    measure_first: &'a Option<MeasureFirst>,
    inputs: &'a [Input],
    notes: &'a [Note],
    sources: &'a [Source],
}

/// Writes a sheet that was worked out without the comparison of materials.
pub(crate) fn write<S: Serializer>(sheet: &Sheet, to: S) -> Result<S::Ok, S::Error> {
    First {
        format: sheet.format,
        name: &sheet.name,
        units: sheet.units,
        strip: &sheet.strip,
        suit: None,
        stack: &sheet.stack,
        dry: &sheet.dry,
        mix: &sheet.mix,
        fill: &sheet.fill,
        cure: &sheet.cure,
        trim: &sheet.trim,
        measure_first: &sheet.measure_first,
        inputs: &sheet.inputs,
        notes: &sheet.notes,
        sources: &sheet.sources,
    }
    .serialize(to)
}
