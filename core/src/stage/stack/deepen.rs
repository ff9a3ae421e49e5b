//! The rest of the stack's sheet: stiffness in every direction, beyond the knee, strength, damping, warp and loads.

mod beyond;
mod elastic;

pub(crate) use beyond::rises;
use beyond::{beyond_the_knee, strength, warp};
pub(crate) use elastic::core_loss;
use elastic::elastic;

use super::Stacked;
use super::coats::coats;
use super::layers::ingredients;
use super::load::{cores, heel, load};
use super::packing::wet_exponent;
use super::qualities::{OfResin, Qualities, of_resin, qualities};
use super::strands::{self, Strands};
use crate::law::strand::Bears;
use crate::law::{LawError, compaction};
use crate::plan::Route;
use crate::read::Problem;
use crate::sheet::{Basis, Estimate, Law, Spread, StackSheet};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::units::Unit;

/// What the comparison of materials needs to know of the stack.
pub(crate) struct Deep {
    /// Bending stiffness along the part, per width [N m].
    pub(crate) stiffness: Spread,
    /// Bending moment that it bears before it breaks, per width [N].
    pub(crate) moment: Spread,
    /// Loss factor in bending [-].
    pub(crate) loss: Spread,
    /// How far plies without a core give under the stated load [m].
    pub(crate) gives: Option<Spread>,
    /// Bending stiffness with everything likely, and shear.
    pub(crate) likely: super::load::Bending,
    /// What the resin brings.
    pub(crate) resin: OfResin,
}

/// What was found in the first pass and the second needs again.
pub(super) struct Tested {
    /// D11, D12, D22, D66, D16, D26 of a stack free to stretch, and the stiffness of a narrow strip [N m].
    pub(super) bending: [Spread; 7],
    /// Qualities by row; none for a core.
    qualities: Vec<Option<Qualities>>,
    /// Least likely strain of a knee in the stack [-]; zero when there is none.
    pub(super) least_knee: f64,
}

impl Tested {
    /// Ingredients of the layers, then of what they bear.
    pub(super) fn parts<'a>(&'a self, stacked: &'a Stacked) -> Vec<&'a Spread> {
        let mut parts = ingredients(stacked);
        for qualities in self.qualities.iter().flatten() {
            parts.extend(qualities.figures());
        }
        parts
    }

    /// The strands of the stack, read back from one draw of [`Tested::parts`].
    pub(super) fn strands(&self, stacked: &Stacked, values: &[f64]) -> Result<Strands, LawError> {
        let mut rest = values[ingredients(stacked).len()..].chunks(strands::FIGURES);
        let bears: Vec<Option<Bears>> = self
            .qualities
            .iter()
            .map(|qualities| {
                let qualities = qualities.as_ref()?;
                Some(strands::bears(rest.next()?, qualities.kinks))
            })
            .collect();
        strands::strands(stacked, values, &bears)
    }
}

/// Adds to the sheet what the first, short one does without.
pub(crate) fn deepen(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    sheet: &mut StackSheet,
) -> Result<Deep, Vec<Problem>> {
    fill(bench, &air.net, stacked, sheet).map_err(|why| crate::stage::bench::beyond("stack", &why))
}

fn fill(
    bench: &mut Bench<'_>,
    net: &Spread,
    stacked: &Stacked,
    sheet: &mut StackSheet,
) -> Result<Deep, LawError> {
    sheet.thickness_at_feed_mm = at_the_feed(bench, stacked, net)?;
    let resin = of_resin(bench)?;
    let mut by_row = Vec::new();
    for row in &stacked.rows {
        by_row.push(match &row.cloth {
            Some(cloth) => Some(qualities(bench, cloth, &resin)?),
            None => None,
        });
    }
    let elastic = elastic(bench, stacked, &by_row, sheet)?;
    let knees = beyond_the_knee(bench, stacked, &by_row, &elastic, sheet)?;
    warp(bench, stacked, &by_row, &elastic, sheet)?;
    let tested = Tested {
        bending: elastic.bending,
        qualities: by_row,
        least_knee: knees,
    };
    let moment = strength(bench, stacked, &tested, sheet)?;
    let cores = cores(bench, stacked)?;
    sheet.heel_n = heel(bench, stacked, &cores)?;
    let gives;
    (sheet.load, gives) = load(bench, stacked, &tested, &cores)?;
    coats(bench, stacked, sheet)?;
    let [d11, d12, d22, d66, d16, d26, strip] = &tested.bending;
    Ok(Deep {
        likely: super::load::Bending {
            d11: d11.likely(),
            d12: d12.likely(),
            d22: d22.likely(),
            d66: d66.likely(),
            d16: d16.likely(),
            d26: d26.likely(),
            strip: strip.likely(),
            shear: cores.stiffness(),
            skins: cores.skins(),
        },
        stiffness: strip.clone(),
        moment,
        loss: elastic.loss,
        gives,
        resin,
    })
}

/// Thickness at the feed while resin still runs in and the vent pulls [mm]; only an infusion has one.
fn at_the_feed(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    net: &Spread,
) -> Result<Option<Estimate>, LawError> {
    if bench.plan.route != Route::Infusion {
        return Ok(None);
    }
    let lets_go = wet_exponent(bench);
    let cloth: Vec<Spread> = stacked
        .cloths()
        .map(|(row, _)| row.thickness.times(f64::from(row.count)))
        .collect();
    let cloth = Spread::sum(&cloth);
    let swollen = Spread::of(
        [&stacked.thickness, &cloth, net, &lets_go],
        |[whole, cloth, net, exponent]| {
            Ok(whole + cloth * (compaction::swollen(net, net, exponent.min(0.3))? - 1.0))
        },
    )?;
    Ok(Some(bench.desk.estimate(
        "Thickness at the feed while resin still runs in",
        Unit::Millimetre,
        &swollen.times(1000.0),
        &SWOLLEN,
    )))
}

static SWOLLEN: Law = Law {
    says: "h = h₀ (p / σ)^B where resin takes the pressure off the cloth; it evens out once feed and vent are shut",
    basis: Basis::Published,
    sources: &["correia_2005"],
};
