//! The order of the stages, and what the sheet says beyond them.

use super::bench::{Bench, beyond};
use super::cure::Settling;
use super::day::{self, Job};
use super::{air, bag, cure, dry, fill, mix, resin_clock, stack, stock, suit, trim};
use crate::plan::{Plan, Route};
use crate::read::Problem;
use crate::sheet::{
    COMES_FIRST, Estimate, Input, MeasureFirst, Origin, SHEET_FORMAT, Sheet, Source, StageName,
    StripItem,
};

/// Works every stage out, in the order in which they need each other.
pub(crate) fn work(bench: &mut Bench<'_>, surplus: &[String]) -> Result<Sheet, Vec<Problem>> {
    let plan = bench.plan;
    let air = air::work(bench)?;
    let (both, mut stack) = stack::work(bench, &air)?;
    // What lies too far out for strength and loads still has a thickness and a mass.
    let found = stack::deepen(bench, &air, both.as_made(), &mut stack);
    let deep = told(bench, StageName::Stack, found);
    let stacked = &both.full;
    let (dried, mut dry) = dry::work(bench, &air, stacked)?;
    let mut clock = match plan.route {
        Route::Prepreg => None,
        _ => Some(resin_clock::work(bench).map_err(|why| beyond("resin", &why))?),
    };
    if let Some(clock) = clock.as_mut() {
        let found = cure::own_heat(bench, stacked, clock);
        told(bench, StageName::Cure, found);
    }
    let (filled, fill) = match &clock {
        Some(clock) if plan.route == Route::Infusion => {
            Some(fill::work(bench, &air, stacked, clock)?)
        }
        _ => None,
    }
    .unzip();
    let fill_time = filled.as_ref().map(|filled| &filled.time);
    let (mut mixed, mut mix) = mix::work(bench, stacked, clock.as_ref(), fill_time)?;
    stock::check(bench, stacked, &mix);
    let pots = clock
        .as_ref()
        .zip(mixed.as_mut())
        .and_then(|(clock, mixed)| {
            let found = mix::deepen(bench, clock, mixed, fill_time, &mut mix);
            told(bench, StageName::Mix, found)
        });
    let setting = clock.as_mut().and_then(|clock| {
        let settling = Settling {
            air: &air,
            filled: filled.as_ref(),
            hour: day::fill_hour(bench, dried.as_ref()),
            gives: deep.as_ref().and_then(|deep| deep.gives.as_ref()),
        };
        let found = cure::deepen(bench, stacked, &settling, clock);
        told(bench, StageName::Cure, found)
    });
    let cure = clock.as_ref().map(|clock| cure::work(bench, clock));
    cured_by_its_own_sheet(bench);
    let trim = trim::work(bench, stacked, clock.as_ref())?;
    not_used(bench, surplus);
    if let Some(dried) = &dried {
        let found = dry::deepen(bench, &air, stacked, dried, &mut dry);
        told(bench, StageName::Dry, found);
    }
    let damp = dried.as_ref().map(|dried| &dried.damp);
    let bagged = bench.bagged().then(|| {
        let found = bag::work(bench, &air, stacked, damp, clock.as_ref());
        told(bench, StageName::Bag, found)
    });
    let (pumped, bag) = bagged.flatten().unzip();
    let job = Job {
        stacked,
        dried: dried.as_ref(),
        pumped: pumped.as_ref(),
        clock: clock.as_ref(),
        mixed: mixed.as_ref(),
        fill_time,
        meshed: filled.as_ref().and_then(|filled| filled.meshed.as_ref()),
    };
    let found = day::work(bench, &job);
    let day = told(bench, StageName::Day, found);
    let suit = deep.as_ref().and_then(|deep| {
        let found = suit::work(bench, &air, both.as_made(), deep);
        told(bench, StageName::Suit, found)
    });
    let units = bench.desk.units;
    let (inputs, notes, cited) = bench.desk.finish();
    let cited = cited.iter().filter_map(|key| bench.shelf.source(key));
    let sources: Vec<Source> = cited.cloned().collect();
    let mut sheet = Sheet {
        format: SHEET_FORMAT,
        name: plan.name.clone(),
        units,
        comes_first: COMES_FIRST,
        strip: Vec::new(),
        suit,
        stack,
        bag,
        dry,
        mix,
        pots,
        fill,
        cure,
        setting,
        trim,
        day,
        measure_first: None,
        inputs,
        notes,
        sources,
    };
    sheet.strip = strip(plan, &sheet);
    sheet.measure_first = measure_first(&sheet);
    Ok(sheet)
}

/// A prepreg brings a resin of its own.
fn cured_by_its_own_sheet(bench: &mut Bench<'_>) {
    if bench.plan.route == Route::Prepreg {
        bench.advice(
            StageName::Stack,
            "Cure it as its own sheet says, bag and mould made for that heat: its resin is not one that these kinetics know.",
        );
    }
}

/// Says what the stock and the plan hold that is kept and not used.
fn not_used(bench: &mut Bench<'_>, surplus: &[String]) {
    for row in bench.shelf.idle_stock() {
        bench.advice(
            StageName::Suit,
            format!(
                "The stock names `{}`, which is not on the shelf. It is kept and not used.",
                row.key
            ),
        );
    }
    for path in surplus {
        bench.advice(
            StageName::Stack,
            format!("The plan holds `{path}`, which this version does not know. It is kept and not used."),
        );
    }
}

/// What was found; or, where these values are beyond it, a note that says so.
fn told<T>(bench: &mut Bench<'_>, stage: StageName, found: Result<T, Vec<Problem>>) -> Option<T> {
    found
        .map_err(|problems| {
            for problem in problems {
                bench.problem(stage, problem.sentence);
            }
        })
        .ok()
}

/// The few figures that stay in view.
fn strip(plan: &Plan, sheet: &Sheet) -> Vec<StripItem> {
    let item = |stage, label, estimate: &Estimate| StripItem {
        stage,
        label,
        text: estimate.shown.with_unit(),
        range: estimate.shown.range.clone(),
    };
    let plies: u32 = plan.stack.iter().map(|row| row.count).sum();
    let mut items = vec![
        StripItem {
            stage: StageName::Stack,
            label: "plies",
            text: plies.to_string(),
            range: String::new(),
        },
        item(StageName::Stack, "thick", &sheet.stack.thickness_mm),
    ];
    // A prepreg is neither dried nor mixed for.
    if plan.route != Route::Prepreg {
        items.push(item(StageName::Dry, "dry", &sheet.dry.oven_min));
        items.push(item(StageName::Mix, "mix", &sheet.mix.resin_to_mix_g));
    }
    if let Some(fill) = &sheet.fill {
        items.push(item(StageName::Fill, "fill", &fill.time_min));
    }
    if let Some(cure) = &sheet.cure {
        items.push(item(StageName::Cure, "off the mould", &cure.demould_h));
    }
    items
}

/// The input that drives the figures of the strip most, leaving out what only we can improve.
fn measure_first(sheet: &Sheet) -> Option<MeasureFirst> {
    let mut figures: Vec<&Estimate> = vec![
        &sheet.stack.thickness_mm,
        &sheet.mix.resin_to_mix_g,
        &sheet.dry.oven_min,
    ];
    figures.extend(sheet.fill.as_ref().map(|fill| &fill.time_min));
    figures.extend(sheet.cure.as_ref().map(|cure| &cure.demould_h));
    let mut best: Option<(&Input, f64)> = None;
    for (at, input) in sheet.inputs.iter().enumerate() {
        if input.origin == Origin::Measured || way_to_measure(&input.key).is_none() {
            continue;
        }
        // A driver weighs by how wide the figure is, relative to its size.
        let weight: f64 = figures
            .iter()
            .map(|figure| {
                let width = (figure.high - figure.low) / figure.likely.abs().max(1e-9);
                let share = figure
                    .drivers
                    .iter()
                    .find(|driver| usize::from(driver.input) == at)
                    .map_or(0.0, |driver| driver.share);
                width.min(4.0) * share
            })
            .sum();
        if weight > 0.02 && best.is_none_or(|(_, most)| weight > most) {
            best = Some((input, weight));
        }
    }
    let (input, _) = best?;
    Some(MeasureFirst {
        input: input.key.clone(),
        label: input.label.clone(),
        sentence: way_to_measure(&input.key)?.to_owned(),
    })
}

/// How a person in a workshop can measure an input; none for what they cannot.
fn way_to_measure(key: &str) -> Option<&'static str> {
    Some(match key {
        "part.area_m2" => "Measure the area of the part again: it moves every mass on the sheet.",
        "part.flow_length_mm" => {
            "Measure how far resin must run from the feed line to the far edge."
        }
        "room.temperature_c" => "Hang a thermometer beside the mould and type what it shows.",
        "room.humidity_pct" | "store.humidity_pct" => {
            "Lay a humidity meter beside the cloth for an hour and type what it shows."
        }
        "store.temperature_c" => "Measure the temperature where the cloth is kept.",
        "bag.pressure_mbar_abs" | "bag.gauge_reading" => {
            "Read an absolute gauge at the bag, not at the pump."
        }
        "bag.catch_pot_pct" => "Weigh the catch pot before and after one fill.",
        "bag.feed_tube_m" | "bag.feed_tube_bore_mm" | "bag.spiral_m" | "bag.spiral_bore_mm" => {
            "Measure the feed tube and the spiral, length and bore."
        }
        "mix.work_min" => "Time yourself wetting out one ply.",
        _ if key.ends_with("moisture_scale") => {
            "Weigh a swatch as it lies in store and again after drying at 105\u{a0}°C until it stays the same, and type both."
        }
        _ if key.ends_with("fibre_fraction_at_1_bar")
            || key.ends_with("fibre_fraction_by_hand") =>
        {
            "Measure the thickness of one finished part with this cloth and type it."
        }
        _ if key.ends_with("permeability_m2") && !key.starts_with("sundries") => {
            "Infuse a strip of this stack without a mesh, about 10 cm wide, and type how far resin ran in what time."
        }
        _ if key.ends_with("areal_mass_g_m2") => {
            "Cut and weigh a piece of the cloth of known area, dry, and write it as a cloth of your own."
        }
        _ if key.ends_with("pot_life_min") => {
            "Mix 100 g, note the temperature, and time it until it gels; write it as a resin of your own."
        }
        "cure.film_over_pot" => {
            "Look up on the resin's own sheet when a thin layer is set or may leave its mould, and type it."
        }
        _ if key.ends_with("viscosity_mpa_s") => {
            "Look up the viscosity of the fresh mix on your resin's data sheet and write it as a resin of your own."
        }
        _ if key.ends_with("holds_g_m2") => {
            "Weigh a used piece of mesh or peel ply, 10 cm by 10 cm, against a clean one."
        }
        _ => return None,
    })
}
