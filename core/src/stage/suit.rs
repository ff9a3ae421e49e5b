//! Does bast fibre suit the part? The same job in other materials, side by side.

mod build;
mod carbon;
mod instead;
mod others;
mod ratios;
mod ready;
mod verdict;
mod words;

use build::{Built, Job};
use others::OTHERS;

use super::air::Air;
use super::bench::Bench;
use super::stack::{Deep, Stacked};
use crate::law::LawError;
use crate::plan::Equal;
use crate::read::Problem;
use crate::sheet::{Basis, Desk, Head, Law, Spread, StageName, SuitRow, SuitSheet};
use crate::units::Unit;

const STAGE: StageName = StageName::Suit;

/// Works the comparison out.
pub(crate) fn work(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    deep: &Deep,
) -> Result<SuitSheet, Vec<Problem>> {
    compare(bench, air, stacked, deep).map_err(|why| super::bench::beyond("suit", &why))
}

fn compare(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    deep: &Deep,
) -> Result<SuitSheet, LawError> {
    let job = Job::of(bench, stacked, deep)?;
    let this = build::this(bench, stacked, deep)?;
    // Woven glass is worked out with the sheet's own inputs, so that the figure above all can be traced; the others
    // on a desk of their own, because their hundred inputs are nobody's business here.
    let mut built = vec![this];
    let notes = bench.desk.notes_so_far();
    for other in OTHERS {
        let traced = other.key == others::GLASS;
        let desk = (!traced).then(|| {
            let aside = Desk::new(bench.desk.units);
            std::mem::replace(&mut bench.desk, aside)
        });
        let found = instead::other(bench, air, &job, deep, other);
        if let Some(desk) = desk {
            bench.desk = desk;
        }
        // A material that cannot do the job at any thickness is left out.
        if let Ok(found) = found {
            built.push(found);
        }
    }
    bench.desk.forget_notes_after(notes);
    let glass = built.iter().find(|one| one.key == others::GLASS);
    let over_glass = match glass {
        Some(glass) => Spread::from([&built[0].mass, &glass.mass], |[this, glass]| this / glass),
        None => Spread::exact(1.0),
    };
    let rows: Vec<SuitRow> = built
        .iter()
        .map(|one| row(bench, one, &built[0], &job))
        .collect();
    let verdict = verdict::verdict(bench, &built, &rows, &job);
    let ratios = ratios::ratios(bench, &built)?;
    let answer = verdict.first().cloned().unwrap_or_default();
    Ok(SuitSheet {
        head: Head::new(STAGE, answer, "mass_over_glass"),
        mass_over_glass: bench.desk.estimate(
            "Mass of this part over the same part in woven glass",
            Unit::One,
            &over_glass,
            &OVER_GLASS,
        ),
        basis: job.basis(),
        verdict,
        rows,
        ratios,
        footing: carbon::footing(),
    })
}

fn row(bench: &Bench<'_>, one: &Built, this: &Built, job: &Job) -> SuitRow {
    let desk = &bench.desk;
    let grams = |x: &Spread| desk.cell(Unit::Gram, &x.times(1000.0));
    let strength = match job.equal {
        Equal::Strength => Spread::from([&one.stiffness, &this.stiffness], |[a, b]| a / b),
        _ => Spread::from([&one.moment, &this.moment], |[a, b]| a / b),
    };
    let (fossil, stored, end) = carbon::three_lines(one);
    SuitRow {
        key: one.key,
        fabrics: one.fabrics.clone(),
        name: one.name.clone(),
        this: one.key == build::THIS,
        build: one.says(bench),
        plies: one.whole_plies(),
        thickness: desk.cell(Unit::Millimetre, &one.thickness.times(1000.0)),
        mass: grams(&one.mass),
        fibre: grams(&one.fibre),
        resin: grams(&one.resin),
        fossil: desk.cell(Unit::KilogramCo2, fossil),
        stored: (stored.largest() > 0.0).then(|| desk.cell(Unit::KilogramCo2, stored)),
        end_of_life: desk.cell(Unit::KilogramCo2, end),
        cost: one.cost.as_ref().map(|cost| {
            let mut cell = desk.cell(Unit::One, cost);
            let currency = bench.shelf.currency();
            if !currency.is_empty() {
                cell.text = format!("{}\u{a0}{currency}", cell.text);
            }
            cell
        }),
        damping: desk.cell(Unit::Percent, &one.loss.times(100.0)),
        strength: desk.cell(Unit::One, &strength),
        looks: words::looks(&one.families),
        damp: words::damp(&one.families),
    }
}

static OVER_GLASS: Law = Law {
    says: "m = A (fibre + resin + core) at the thickness that reaches the same D = E t³ / 12",
    basis: Basis::Firm,
    sources: &["law_panel_index"],
};
