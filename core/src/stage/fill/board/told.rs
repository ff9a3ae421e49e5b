//! What a drawn fill comes to, in words and figures, with the lines of equal time.

mod channels;
mod notes;
mod table;
mod what_if;

use super::lines::edges;
use super::{Scene, missed};
use crate::law::LawError;
use crate::plan::Lies;
use crate::sheet::{Desk, DrawnFill, Fact, Place, Spread, wide};
use crate::shelf::Shelf;
use crate::solve::sort::sort_by;
use crate::stage::fill::pace::{OwnStack, even_out};
use crate::units::Unit;
use channels::channels;
use notes::{early_vents, notes};
use serde_json::Value;
use table::{levels, table};
use what_if::what_if;

pub(super) fn told(
    scene: &mut Scene,
    document: &Value,
    shelf: &Shelf,
) -> Result<DrawnFill, LawError> {
    let time = scene.time()?;
    let minutes = scene.minutes();
    let (chance, reach) = scene.pace.reach(&time);
    let desk = Desk::new(scene.units());
    let fact = |label: &str, unit: Unit, value: &Spread| {
        let cell = desk.cell(unit, value);
        Fact {
            label: label.into(),
            text: cell.text,
            range: cell.range,
        }
    };
    let in_minutes = time.times(1.0 / 60.0);
    if scene.arrival.is_none() {
        return Err(LawError::Unsolved {
            what: "the drawn fill",
        });
    }
    let surface = scene.laid.surface();
    let last = scene.last.map(|i| Place {
        at: surface.points[i].map(|x| x * 1000.0),
        sentence: format!(
            "Resin comes here last, after about {}.",
            desk.say(Unit::Minute, &in_minutes)
        ),
    });
    let mut facts = vec![
        Fact {
            label: "Chance that it is full before gel".into(),
            text: format!("{:.0} %", (chance * 20.0).round() * 5.0),
            range: String::new(),
        },
        dry_at_gel(scene, &time, &desk),
    ];
    facts.extend(zones(scene, &desk));
    facts.extend(what_if(scene, document, shelf, &desk)?);
    let mut notes = notes(scene, &minutes, &desk);
    notes.extend(early_vents(scene, &desk)?);
    notes.extend(channels(scene, &desk)?);
    let ends = scene.ends()?;
    let run = ends.run();
    let pace = &scene.pace;
    let of = [
        &pace.viscosity,
        &run,
        &pace.permeability,
        &pace.net,
        &scene.gives,
        &time,
        &pace.gel,
    ];
    let even = even_out(of, &pace.thickening)?;
    facts.push(fact(
        "Once clamped, thickness evens out within",
        Unit::Minute,
        &even.times(1.0 / 60.0),
    ));
    let surface = scene.laid.surface();
    let line = |feeds: bool| -> Vec<Vec<f64>> {
        let lines = scene.lines.iter().filter(|line| line.feeds == feeds);
        lines
            .map(|line| line.points.iter().flatten().map(|x| x * 1000.0).collect())
            .collect()
    };
    Ok(DrawnFill {
        answer: scene.answer(&time, reach) + &missed(ends.missed),
        reach,
        time: fact("Time to the last corner", Unit::Minute, &in_minutes),
        gel: fact(
            "Gel in the part",
            Unit::Minute,
            &scene.pace.gel.times(1.0 / 60.0),
        ),
        last,
        area: fact(
            "Area of the part",
            Unit::SquareMetre,
            &Spread::exact(scene.shape.area()),
        ),
        area_m2: scene.shape.area(),
        run_mm: run.likely() * 1000.0,
        facts,
        table: table(scene, &minutes, &desk),
        levels: levels(scene, &minutes, &desk),
        edges: edges(surface, &scene.laid.mesh.rim),
        feeds: line(true),
        vents: line(false),
        notes,
    })
}

/// How thick each zone with a stack of its own comes out, and the resin in it.
fn zones(scene: &Scene, desk: &Desk) -> Vec<Fact> {
    let stacks = scene
        .laid
        .zones()
        .iter()
        .filter_map(|zone| match zone.lies {
            Lies::Stack { number } => scene.zones.get(number),
            _ => None,
        });
    let fact = |(n, zone): (usize, &OwnStack)| {
        let grams = desk.say(Unit::GramPerSquareMetre, &zone.resin.times(1000.0));
        let cell = desk.cell(Unit::Millimetre, &zone.thickness.times(1000.0));
        Fact {
            label: format!("Other cloth {}", n + 1),
            text: format!("{} thick, {grams} of resin", cell.text),
            range: cell.range,
        }
    };
    stacks.enumerate().map(fact).collect()
}

/// What each point holds, and the whole.
fn stores(scene: &Scene) -> (Vec<f64>, f64) {
    super::air::stores(&scene.map, scene.laid.surface().points.len())
}

/// Area that is still dry when the resin gels.
fn dry_at_gel(scene: &Scene, time: &Spread, desk: &Desk) -> Fact {
    let (holds, all) = stores(scene);
    let area = scene.shape.area();
    let pace = &scene.pace;
    // Thin-resin time of each point, against that of the last.
    let thin: Vec<f64> = scene
        .wet
        .iter()
        .map(|run| pace.likely_thin_at(*run))
        .collect();
    let most = thin
        .iter()
        .copied()
        .filter(|t| t.is_finite())
        .fold(1e-9, f64::max);
    let mut by_time: Vec<(f64, f64)> = thin
        .iter()
        .zip(&holds)
        .map(|(t, hold)| (if t.is_nan() { f64::INFINITY } else { t / most }, *hold))
        .collect();
    sort_by(&mut by_time, |a, b| a.0.total_cmp(&b.0));
    let mut wet = Vec::with_capacity(by_time.len());
    let mut sum = 0.0;
    for (_, hold) in &by_time {
        sum += hold;
        wet.push(sum);
    }
    let dry = Spread::from([time, &pace.gel, &pace.film_gel], |[time, gel, film]| {
        // The share of the way, in thin-resin time, that is done at gel.
        let thin = |at: f64| pace.thickening.thin(at / film);
        let done = thin(gel.min(film)) / thin(time).max(1e-9);
        let count = by_time.partition_point(|(t, _)| *t <= done);
        let filled = if count == 0 { 0.0 } else { wet[count - 1] };
        (1.0 - filled / all).max(0.0) * area * 1e4
    });
    let range = desk.range(&dry);
    let say = |cm2: f64| desk.say_small_area(cm2.round() * 1e-4);
    let nothing = |cm2: f64| cm2 < 0.5;
    // The unit is said once.
    let low = say(range.low);
    let low = low.split('\u{a0}').next().unwrap_or_default();
    Fact {
        label: "Still dry when the resin gels".into(),
        text: if nothing(range.likely) {
            "nothing".into()
        } else {
            say(range.likely)
        },
        range: if nothing(range.high) {
            String::new()
        } else {
            if wide::is_wide(range.low, range.high) || nothing(range.low) {
                format!("up to {}", say(range.high))
            } else {
                format!("{low} to {}", say(range.high))
            }
        },
    }
}
