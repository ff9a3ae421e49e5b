//! Where resin stays that does not stay in the part.

use crate::law::{LawError, flow, holdup};
use crate::plan::fields::{
    BRANCH_LENGTH, BRANCHES, CATCH_SHARE, FEED_OPEN, FEED_TUBE, FEED_TUBE_BORE, FEED_TUBES, SPIRAL,
    SPIRAL_BORE,
};
use crate::plan::{Feed, Route};
use crate::range::Range;
use crate::sheet::{Basis, Grade, Law, Spread};
use crate::stage::bench::{Bench, Fallback};
use crate::stage::dry::flow_run;
use crate::stage::fill::wet_exponent;
use crate::stage::stack::Stacked;
use crate::units::Unit;

/// Peel ply is cut larger than the part, a flow mesh smaller.
pub(super) const PEEL_PLY_OVERSIZE: f64 = 1.1;

pub(super) const MESH_UNDERSIZE: f64 = 0.9;

/// Resin that stays somewhere: key, where in words, how much [kg], by what law.
type Part = (&'static str, &'static str, Spread, &'static Law);

/// Resin that is lost, before and after it is known how much is mixed.
pub(super) struct Lost {
    pub(super) parts: Vec<Part>,
    /// Share of the batch that stays in the pots, and the least that does [kg].
    pub(super) dregs_share: Spread,
    pub(super) dregs_least: Spread,
}

pub(super) fn losses(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    density: &Spread,
    fill_time: Option<&Spread>,
) -> Result<Lost, LawError> {
    let route = bench.plan.route;
    let mut parts = Vec::new();
    if route == Route::Infusion {
        parts.push(in_the_feed_tube(bench, density)?);
        parts.push(in_the_spiral(bench, stacked, density)?);
        if bench.plan.flow_mesh {
            parts.push(in_the_mesh(bench, stacked)?);
        }
    }
    if route == Route::BaggedWet {
        parts.push(squeezed_out(stacked));
    }
    if bench.plan.peel_ply && bench.bagged() {
        parts.push(in_the_peel_ply(bench, stacked)?);
    }
    if route == Route::Infusion {
        let caught = in_the_catch_pot(bench, stacked, &parts);
        parts.push(caught);
        if let Some(time) = fill_time {
            let after = drawn_after(bench, stacked, density, time)?;
            parts.push((
                "drawn_after",
                "flows in while the feed stays open after the fill",
                after,
                &AFTER,
            ));
        }
    } else {
        parts.push(drips(bench, stacked));
    }
    Ok(Lost {
        parts,
        dregs_share: bench.coefficient(
            "mix.dregs_share",
            "Share of a batch that stays in the pots",
            Range::new(0.02, holdup::DREGS_SHARE, 0.05),
            Grade::Memory,
            "memory_dregs",
        ),
        dregs_least: bench
            .coefficient(
                "mix.dregs_least_g",
                "Grams that stay in any pot however small the batch",
                Range::new(10.0, 1000.0 * holdup::DREGS_LEAST, 35.0),
                Grade::Memory,
                "memory_dregs",
            )
            .times(1e-3),
    })
}

/// The tubes with their branches.
fn in_the_feed_tube(bench: &mut Bench<'_>, density: &Spread) -> Result<Part, LawError> {
    let [tube, bore, tubes, branches, branch] = [
        &FEED_TUBE,
        &FEED_TUBE_BORE,
        &FEED_TUBES,
        &BRANCHES,
        &BRANCH_LENGTH,
    ]
    .map(|field| bench.take(field));
    let held = Spread::of(
        [&bore, &tube, density, &tubes, &branches, &branch],
        |[bore, length, density, tubes, branches, branch]| {
            let split = if branches > 1.0 {
                branches * branch
            } else {
                0.0
            };
            holdup::tube_resin(bore / 1000.0, tubes * (length + split), density)
        },
    )?;
    Ok(("feed_tube", "stays in the feed tube", held, &TUBE))
}

fn in_the_spiral(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    density: &Spread,
) -> Result<Part, LawError> {
    let length = spiral_length(bench, stacked);
    let bore = bench.take(&SPIRAL_BORE);
    let open = bench.coefficient(
        "mix.spiral_factor",
        "What the open turns of a spiral hold beyond its bore",
        Range::new(1.05, holdup::SPIRAL_FACTOR, 1.25),
        Grade::Memory,
        "memory_spiral",
    );
    let held = Spread::of(
        [&bore, &length, density, &open],
        |[bore, length, density, open]| {
            holdup::spiral_resin(bore / 1000.0, length, density, open.clamp(1.0, 2.0))
        },
    )?;
    Ok(("spiral", "stays in the spiral or feed channel", held, &TUBE))
}

fn in_the_mesh(bench: &mut Bench<'_>, stacked: &Stacked) -> Result<Part, LawError> {
    let held = sheet_holds(bench, "flow_mesh")?;
    let mesh = Spread::from([&stacked.area, &held], |[area, held]| {
        area * MESH_UNDERSIZE * held
    });
    Ok(("flow_mesh", "stays in the flow mesh", mesh, &SHEET))
}

fn in_the_peel_ply(bench: &mut Bench<'_>, stacked: &Stacked) -> Result<Part, LawError> {
    let held = sheet_holds(bench, "peel_ply")?;
    let peel = Spread::from([&stacked.area, &held], |[area, held]| {
        area * PEEL_PLY_OVERSIZE * held
    });
    Ok(("peel_ply", "stays in the peel ply", peel, &SHEET))
}

/// What hands roll into the cloth beyond what the bag leaves there.
fn squeezed_out(stacked: &Stacked) -> Part {
    let loose: Vec<Spread> = stacked
        .cloths()
        .filter_map(|(row, cloth)| {
            let count = f64::from(row.count);
            Some(Spread::from(
                [cloth.resin_by_hand.as_ref()?, &row.resin, &stacked.area],
                |[rolled, stays, area]| (rolled - stays).max(0.0) * count * area,
            ))
        })
        .collect();
    (
        "squeezed_out",
        "is rolled into the cloth, then pressed into the bleeder",
        Spread::sum(&loose),
        &SQUEEZED,
    )
}

/// A share of all that is drawn: what stays in the part, and what is lost on the way.
fn in_the_catch_pot(bench: &mut Bench<'_>, stacked: &Stacked, parts: &[Part]) -> Part {
    let share = bench.take(&CATCH_SHARE).times(0.01);
    let drawn =
        Spread::sum(std::iter::once(&stacked.resin).chain(parts.iter().map(|part| &part.2)));
    let caught = Spread::from([&drawn, &share], |[drawn, share]| drawn * share.min(0.9));
    (
        "catch_pot",
        "is drawn on into the catch pot",
        caught,
        &CATCH,
    )
}

fn drips(bench: &mut Bench<'_>, stacked: &Stacked) -> Part {
    let share = bench.coefficient(
        "mix.drips_share",
        "Rollers, drips and the table in hand work, as a share of the resin in the part",
        Range::new(0.03, 0.08, 0.15),
        Grade::Judgement,
        "suppliers_hand_waste",
    );
    let drips = Spread::from([&stacked.resin, &share], |[resin, share]| resin * share);
    ("drips", "stays on rollers, table and floor", drips, &CATCH)
}

/// Share of the outside air's pressure that the feed brings: its pot stands lower than the part.
const BROUGHT: f64 = 0.95;

/// Resin that flows in behind a clamped vent until the feed is clamped too [kg].
fn drawn_after(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    density: &Spread,
    time: &Spread,
) -> Result<Spread, LawError> {
    let open = bench.take(&FEED_OPEN).times(60.0);
    let exponent = wet_exponent(bench);
    // Where nobody said how long it stays open, it is likely clamped at once, as one weighed hull was.
    let come = match bench.plan.given(&FEED_OPEN) {
        Some(_) => Range::new(0.3, 0.7, 1.0),
        None => Range::new(0.0, 0.0, 0.6),
    };
    let come = bench.coefficient(
        "mix.comes_after",
        "Share that really flows in after the fill of what the bag could take",
        come,
        Grade::Judgement,
        "judgement_comes_after",
    );
    let mut cloth = Vec::new();
    let mut free = Vec::new();
    for (row, laid) in stacked.cloths() {
        let thick = row.thickness.times(f64::from(row.count));
        free.push(Spread::from([&thick, &laid.fraction], |[t, f]| {
            t * (1.0 - f)
        }));
        cloth.push(thick);
    }
    let (cloth, free) = (Spread::sum(&cloth), Spread::sum(&free));
    let porosity = Spread::from([&free, &cloth], |[free, all]| {
        (free / all.max(1e-9)).clamp(0.1, 0.99)
    });
    let gain = Spread::of(
        [&open, time, &porosity, &exponent],
        |[open, time, phi, b]| {
            flow::gained_while_open(
                open.clamp(0.0, 1e7),
                time.max(1.0),
                phi,
                b.clamp(0.001, 0.2),
                BROUGHT,
            )
        },
    )?;
    let area = &stacked.area;
    Ok(Spread::from(
        [&gain, &come, &cloth, area, density],
        |[gain, come, thick, area, density]| gain * come * thick * area * density,
    ))
}

/// Length of the spiral [m]: as given, or along the edge that feeds the part; that of a square where the part is drawn,
/// so that it is the same for every way to lay the lines.
pub(crate) fn spiral_length(bench: &mut Bench<'_>, stacked: &Stacked) -> Spread {
    let drawn = bench.plan.drawing.shape.is_some();
    let area = stacked.area.likely();
    let line = match bench.plan.feed {
        Feed::Centre => 0.0,
        Feed::AllRound => 4.0 * area.sqrt(),
        Feed::Edge | Feed::CentreLine if drawn => area.sqrt(),
        Feed::Edge => area / flow_run(bench, stacked).likely(),
        Feed::CentreLine => area / (2.0 * flow_run(bench, stacked).likely()),
    };
    let line = line.min(SPIRAL.high / 1.4);
    bench.take_or(
        &SPIRAL,
        Fallback {
            range: Range::new(0.8 * line, line, 1.3 * line),
            grade: Grade::Judgement,
            sources: &["judgement_square_part"],
        },
    )
}

/// Resin held by a sheet laid over the stack [kg/m2].
pub(super) fn sheet_holds(bench: &mut Bench<'_>, key: &str) -> Result<Spread, LawError> {
    let sundry = bench.shelf.sundry(key).ok_or(LawError::Unsolved {
        what: "the resin in mesh or peel ply",
    })?;
    Ok(bench
        .property(
            &format!("sundries.{key}"),
            "holds_g_m2",
            "Resin held",
            Unit::GramPerSquareMetre,
            &sundry.entry,
            &sundry.holds_g_m2,
        )
        .times(1e-3))
}

pub(super) static TUBE: Law = Law {
    says: "m = ρ π d² L / 4, with a little more for the open turns of a spiral",
    basis: Basis::Firm,
    sources: &["law_holdup"],
};

pub(super) static SHEET: Law = Law {
    says: "area times what a square metre of it holds",
    basis: Basis::Firm,
    sources: &["law_holdup"],
};

pub(super) static SQUEEZED: Law = Law {
    says: "resin of the cloth as it is rolled, less what the bag leaves in it",
    basis: Basis::Rule,
    sources: &["madsen_2007"],
};

pub(super) static CATCH: Law = Law {
    says: "a share of what is drawn or rolled",
    basis: Basis::Rule,
    sources: &["judgement_usual"],
};

static AFTER: Law = Law {
    says: "the bag gives as the feed's pressure spreads behind the clamped vent: h = h_0 (p/p_0)^-B, by diffusion of pressure",
    basis: Basis::Rule,
    sources: &[
        "practice_feed_open",
        "memory_wet_exponent",
        "judgement_comes_after",
    ],
};
