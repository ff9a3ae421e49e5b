//! What the layers of a row bear, damp, and shrink by.

use super::cloth::resin_modulus;
use super::strands::{kinks, laid_as};
use super::{GIGA, LaidCloth, POISSON};
use crate::law::LawError;
use crate::law::expansion::{self, Shrinking};
use crate::law::failure::{self, Constituents, Laid};
use crate::plan::fields::ROOM_TEMPERATURE;
use crate::range::Range;
use crate::read::Field;
use crate::sheet::{Grade, Spread};
use crate::shelf::properties::{
    ACROSS, ACROSS_PUSHED, AFTER_KNEE, BREAKS, GROWS_ACROSS, GROWS_ALONG, KEPT, KNEE, LOSS_ACROSS,
    LOSS_ALONG, PUSHED, RESIN_GROWS, RESIN_STRENGTH, SHEAR_STRENGTH, SHRINKS, STRENGTH,
};
use crate::shelf::{Family, Fibre};
use crate::stage::bench::Bench;
use crate::stage::resin_clock::cure_temperature;

const MEGA: f64 = 1e6;

/// What the layers of one cloth bear, damp and shrink by.
pub(crate) struct Qualities {
    /// Strengths of its straight fibres [Pa]: along in tension and compression, across in both, shear.
    pub(crate) strengths: [Spread; 5],
    /// Strain at which its fibres break [-].
    pub(crate) breaks: Spread,
    /// What resin adds once pushed fibres kink: modulus [Pa], and the strain at which it gives way too [-].
    pub(crate) kinked: [Spread; 2],
    /// Whether pushed fibres kink and hold.
    pub(crate) kinks: bool,
    /// Loss factors of a layer along, across and in shear [-].
    pub(crate) losses: [Spread; 3],
    /// Strain that a free layer takes on as it cures and cools, along and across [-].
    pub(crate) free: [Spread; 2],
    /// Stiffness along the fibres beyond the knee, over that before it [-].
    pub(crate) after_knee: Spread,
    /// Strain of the knee [-].
    pub(crate) knee: Spread,
}

impl Qualities {
    /// What [`bears`](super::strands::bears) is read from.
    pub(crate) fn figures(&self) -> [&Spread; super::strands::FIGURES] {
        let [along, pushed, across, crushed, shear] = &self.strengths;
        let [rest, end] = &self.kinked;
        [
            along,
            pushed,
            across,
            crushed,
            shear,
            &self.knee,
            &self.after_knee,
            &self.breaks,
            rest,
            end,
        ]
    }
}

/// What the resin brings to it.
pub(crate) struct OfResin {
    strength: Spread,
    modulus: Spread,
    /// Free strain from gel to use: shrinking, and cooling from the temperature of cure [-].
    free: Spread,
    /// Warming from cure to the shop, less than nothing when it cools [K].
    change: Spread,
}

/// A trait of the plan's resin; of a generic one where a resin of one's own leaves it out.
pub(crate) fn resin_trait(bench: &mut Bench<'_>, field: &Field) -> Result<Spread, LawError> {
    let (plan, shelf) = (bench.plan, bench.shelf);
    let found = [Some(&plan.resin), shelf.resin("infusion_epoxy_slow")]
        .into_iter()
        .flatten()
        .find_map(|resin| Some((&resin.entry, resin.properties.get(field)?)));
    let (entry, cited) = found.ok_or(LawError::Unsolved {
        what: "what is known of the resin",
    })?;
    Ok(bench.property_of("resins", entry, field, cited))
}

/// A trait of a fibre; of the generic one of its family where a fibre of one's own leaves it out.
pub(crate) fn fibre_trait(
    bench: &mut Bench<'_>,
    fibre: &Fibre,
    field: &Field,
) -> Result<Spread, LawError> {
    let shelf = bench.shelf;
    let generic = shelf.fibre(match fibre.family {
        Family::Bast => "flax",
        other => other.word(),
    });
    let found = [Some(fibre), generic]
        .into_iter()
        .flatten()
        .find_map(|fibre| Some((&fibre.entry, fibre.properties.get(field)?)));
    let (entry, cited) = found.ok_or(LawError::Unsolved {
        what: "what is known of the fibre",
    })?;
    Ok(bench.property_of("fibres", entry, field, cited))
}

/// Works out what the resin brings.
pub(crate) fn of_resin(bench: &mut Bench<'_>) -> Result<OfResin, LawError> {
    let expansion = resin_trait(bench, &RESIN_GROWS)?.times(1e-6);
    let shrinkage = resin_trait(bench, &SHRINKS)?.times(0.01);
    let cure = cure_temperature(bench);
    let room = bench.take(&ROOM_TEMPERATURE);
    let warming = bench.coefficient(
        "stack.self_warming_k",
        "Warming of the laminate by itself as it gels, kelvin",
        Range::new(1.0, 4.0, 15.0),
        Grade::Judgement,
        "judgement_usual",
    );
    let change = Spread::from([&cure, &room, &warming], |[cure, room, warming]| {
        room - cure - warming
    });
    Ok(OfResin {
        strength: resin_trait(bench, &RESIN_STRENGTH)?.times(MEGA),
        modulus: resin_modulus(bench).times(GIGA),
        free: Spread::from(
            [&expansion, &shrinkage, &change],
            |[expansion, shrinkage, change]| expansion * change - shrinkage,
        ),
        change,
    })
}

/// Works the qualities of one cloth out.
pub(crate) fn qualities(
    bench: &mut Bench<'_>,
    cloth: &LaidCloth,
    resin: &OfResin,
) -> Result<Qualities, LawError> {
    let shelf = bench.shelf;
    let fibre = shelf.fibre(&cloth.fibre).ok_or(LawError::Unsolved {
        what: "what is known of the fibre",
    })?;
    let modulus = bench
        .property(
            &format!("fibres.{}", fibre.entry.key),
            "modulus_gpa",
            "Stiffness along the fibre",
            crate::units::Unit::Gigapascal,
            &fibre.entry,
            &fibre.modulus_gpa,
        )
        .times(GIGA);
    let mut of = |field: &Field| fibre_trait(bench, fibre, field);
    let strong = [
        of(&STRENGTH)?,
        of(&PUSHED)?,
        of(&ACROSS)?,
        of(&ACROSS_PUSHED)?,
        of(&SHEAR_STRENGTH)?,
    ];
    let (loss_along, loss_across) = (of(&LOSS_ALONG)?, of(&LOSS_ACROSS)?);
    let grows = [
        of(&GROWS_ALONG)?.times(1e-6),
        of(&GROWS_ACROSS)?.times(1e-6),
    ];
    let (after_knee, knee) = (of(&AFTER_KNEE)?, of(&KNEE)?.times(0.01));
    let breaks = of(&BREAKS)?.times(0.01);
    let weave = shelf.weave(cloth.family, cloth.architecture);
    // A weave of one's own that says nothing of strength keeps as much of it as of stiffness.
    let kept = match weave.and_then(|weave| Some((weave, weave.properties.get(&KEPT)?))) {
        Some((weave, cited)) => bench.property_of("weaves", &weave.entry, &KEPT, cited),
        None => cloth.crimp.clone(),
    };
    let laid = laid_as(cloth.architecture);
    Ok(Qualities {
        losses: losses(cloth, laid, [&loss_along, &loss_across])?,
        strengths: strengths(cloth, resin, &modulus, &strong, &kept)?,
        breaks,
        free: free_strain(cloth, resin, laid, &modulus, &grows)?,
        kinked: kinked(bench, cloth, resin)?,
        kinks: kinks(cloth.family),
        after_knee,
        knee,
    })
}

/// What the ply loses of the energy that goes into it, along, across and in shear.
fn losses(cloth: &LaidCloth, laid: Laid, of_fibre: [&Spread; 2]) -> Result<[Spread; 3], LawError> {
    let [along, across, _] = &cloth.ply;
    let [loss_along, loss_across] = of_fibre;
    Spread::several(
        [along, across, loss_along, loss_across],
        |[along, across, l1, l2]| {
            // Crossed fibres share the energy by their stiffness.
            let both = (along * l1 + across * l2) / (along + across);
            Ok(match laid {
                Laid::Straight => [l1, l2, l2],
                Laid::Woven | Laid::Random => [both, both, l2],
            })
        },
    )
}

/// Strengths of the ply along, across and in shear, pulled and pushed [Pa].
fn strengths(
    cloth: &LaidCloth,
    resin: &OfResin,
    modulus: &Spread,
    of_fibre: &[Spread; 5],
    kept: &Spread,
) -> Result<[Spread; 5], LawError> {
    let [tension, compression, across, across_pushed, shear] = of_fibre;
    let parts = [
        tension,
        compression,
        across,
        across_pushed,
        shear,
        modulus,
        &resin.modulus,
        &resin.strength,
        &cloth.fraction,
        &cloth.beyond,
        kept,
        &cloth.crimp,
    ];
    Spread::several(parts, |values| {
        let [xt, xc, yt, yc, s, ef, em, xm, v, void, kept, crimp] = values;
        let parts = Constituents {
            fibre_tension: xt * MEGA,
            fibre_compression: xc * MEGA,
            fibre_modulus: ef,
            matrix_modulus: em,
            matrix_strength: xm,
            fibre_fraction: v,
            porosity: void.min(super::cloth::MOST_VOID),
        };
        let across = (yt * MEGA, yc * MEGA);
        // Pushed, a cloth keeps what it keeps of its stiffness.
        let kept = (kept.clamp(0.1, 1.0), crimp.clamp(0.1, 1.0));
        let found = failure::strengths(&parts, kept, across, s * MEGA)?;
        Ok([
            found.along_tension,
            found.along_compression,
            found.across_tension,
            found.across_compression,
            found.shear,
        ])
    })
}

/// Strain of the free ply when it has cooled and its resin has shrunk, along and across.
fn free_strain(
    cloth: &LaidCloth,
    resin: &OfResin,
    laid: Laid,
    modulus: &Spread,
    grows: &[Spread; 2],
) -> Result<[Spread; 2], LawError> {
    let [grows_along, grows_across] = grows;
    Spread::several(
        [
            &cloth.fraction,
            &cloth.void,
            modulus,
            &resin.modulus,
            grows_along,
            grows_across,
            &resin.free,
            &resin.change,
        ],
        |[v, void, ef, em, along, across, matrix, change]| {
            let parts = Shrinking {
                fibre_fraction: v,
                matrix_fraction: (1.0 - v - void).max(0.01),
                fibre_modulus: ef,
                matrix_modulus: em,
                fibre_poisson: POISSON.0,
                matrix_poisson: POISSON.1,
            };
            let (one, two) =
                expansion::free_strain(&parts, along * change, across * change, matrix)?;
            // Crossed fibres hold each other: the same both ways, weighed by their stiffness.
            let (stiff, soft) = (v * ef + em, em);
            let both = (stiff * one + soft * two) / (stiff + soft);
            Ok(match laid {
                Laid::Straight => [one, two],
                Laid::Woven | Laid::Random => [both, both],
            })
        },
    )
}

/// What the resin still bears between fibres that kinked: stiffness [Pa], and the strain to which it does.
fn kinked(
    bench: &mut Bench<'_>,
    cloth: &LaidCloth,
    resin: &OfResin,
) -> Result<[Spread; 2], LawError> {
    let [stiff, strained] = [
        (
            "stack.kinked_stiffness",
            "Share of its stiffness that resin still brings between fibres that kinked",
            Range::new(0.1, 0.3, 0.6),
        ),
        (
            "stack.kinked_strain",
            "Share of its own strain that resin reaches between fibres that kinked",
            Range::new(0.45, 0.7, 1.0),
        ),
    ]
    .map(|(key, label, range)| {
        bench.coefficient(key, label, range, Grade::Judgement, "judgement_kinked")
    });
    Spread::several(
        [
            &resin.modulus,
            &resin.strength,
            &cloth.fraction,
            &stiff,
            &strained,
        ],
        |[em, xm, v, stiff, strained]| {
            let whole = failure::strain_at_strength(xm, em)?;
            Ok([stiff * (1.0 - v) * em, strained.clamp(0.2, 1.5) * whole])
        },
    )
}
