//! Works backwards: from what the part must do to the stacks that do it.

mod cloths;
mod quick;
mod told;

use cloths::{Laying, layings};

use super::air::{self, Air};
use super::bench::{Bench, beyond};
use super::stack::{self, Bending, Deep, Stated};
use super::{WHOLE, fill, resin_clock};
use crate::law::failure::{Strengths, tsai_hill};
use crate::law::laminate::{self, Layer};
use crate::law::{LawError, sandwich};
use crate::plan::fields::{
    LOAD_LIMIT, LOAD_RESERVE, PART_AREA, TARGET_BENDING, TARGET_COST, TARGET_FOSSIL, TARGET_MASS,
    TARGET_PLIES, TARGET_THICK, TARGET_THIN,
};
use crate::plan::{LoadCase, Plan, Route};
use crate::read::{Field, Problem};
use crate::search::{Bounds, Candidate, Goal, Middle, Outcome, Space, Wish, seek};
use crate::sheet::Back;
use crate::shelf::Shelf;
use crate::units::plain;

/// Share of the stiffness along the part that is asked for across it, so that it does not split.
const ACROSS: f64 = 0.2;
/// Steps and questions for one pair of cloths.
const STEPS: u64 = 4_000_000;
const ASKED: u64 = 200_000;

/// What a stack must do, in SI.
struct Asked {
    bounds: Bounds,
    stated: Option<Stated>,
    /// Most deflection [m].
    limit: Option<f64>,
    reserve: f64,
    /// What was asked, in words.
    said: Vec<String>,
}

/// The best stacks for each goal.
///
/// # Errors
/// Problems that only show when values meet.
pub(crate) fn work(plan: &Plan, shelf: &Shelf) -> Result<Back, Vec<Problem>> {
    let mut bench = Bench::new(plan, shelf);
    let air = air::work(&mut bench)?;
    let (both, mut sheet) = stack::work(&mut bench, &air)?;
    let deep = (WHOLE.stack)(&mut bench, &air, both.as_made(), &mut sheet)?;
    let found = search(&mut bench, &air, &both, &deep).map_err(|why| beyond("target", &why))?;
    told::told(plan, shelf, found)
}

/// What the search found, before it is told.
struct Found {
    layings: Vec<Laying>,
    cores: Vec<cloths::Cored>,
    best: Vec<(Goal, Pick)>,
    front: Vec<Pick>,
    candidates: u64,
    worked: u64,
    asked: u64,
    whole: bool,
    said: Vec<String>,
    most_plies: u32,
    cloths: usize,
    /// What would make it possible, when nothing was found.
    way_out: Option<&'static str>,
}

/// A stack, by the layings and the core of the whole list.
#[derive(Clone, PartialEq)]
struct Pick {
    half: Vec<usize>,
    middle: Middle,
    thickness: f64,
    mass: f64,
    cost: Option<f64>,
    fossil: f64,
    fill: f64,
    plies: u32,
}

fn search(
    bench: &mut Bench<'_>,
    air: &Air,
    both: &stack::Both,
    deep: &Deep,
) -> Result<Found, LawError> {
    let plan = bench.plan;
    let area = bench.take(&PART_AREA).likely();
    let most_plies = bench.take(&TARGET_PLIES).likely() as u32;
    let (layings, cores) = layings(bench, air, deep)?;
    let mut asked = asked(bench, deep, area);
    if plan.route == Route::Infusion && !plan.flow_mesh {
        let clock = resin_clock::work(bench)?;
        asked.bounds.slowest_fill = fill::slowest(bench, air, &both.full, &clock)?;
        asked
            .said
            .push("filled without a mesh before the resin gels".into());
    }
    let cloths = layings
        .iter()
        .map(|laying| laying.cloth)
        .max()
        .map_or(0, |last| last + 1);
    let left: Vec<u32> = (0..cloths)
        .map(|cloth| {
            let one = layings.iter().find(|laying| laying.cloth == cloth);
            let left = one.and_then(|laying| bench.shelf.stock(&laying.key)?.left);
            left.map_or(u32::MAX, |left| (left / area).floor() as u32)
        })
        .collect();
    let mut found = Found {
        best: Vec::new(),
        front: Vec::new(),
        candidates: 0,
        worked: 0,
        asked: 0,
        whole: true,
        said: std::mem::take(&mut asked.said),
        most_plies,
        cloths,
        way_out: None,
        layings,
        cores,
    };
    let all = Rules {
        most_plies,
        left: &left,
        balanced: !plan.allowed.unbalanced,
    };
    run(&mut found, &all, &asked)?;
    if found.best.is_empty() {
        found.way_out = way_out(&found, &all, &mut asked)?;
    }
    Ok(found)
}

struct Rules<'a> {
    most_plies: u32,
    left: &'a [u32],
    balanced: bool,
}

/// Goes through every stack of one or two cloths, each pair by itself, and keeps the best.
fn run(found: &mut Found, rules: &Rules<'_>, asked: &Asked) -> Result<(), LawError> {
    let cloths = found.cloths;
    // A pair holds the stacks of each of its cloths alone as well; those are counted once.
    let (mut mixed, mut alone) = (0_u64, 0_u64);
    for first in 0..cloths {
        for second in first..cloths {
            let (outcome, map) = pair(found, rules, asked, first, second)?;
            if first == second {
                alone = alone.saturating_add(outcome.candidates);
            } else {
                mixed = mixed.saturating_add(outcome.candidates);
            }
            found.worked += outcome.worked;
            found.asked += outcome.asked;
            found.whole &= !outcome.cut_short;
            merge(found, &outcome, &map);
        }
    }
    let others = (cloths as u64).saturating_sub(1);
    found.candidates = mixed
        .saturating_sub(others.saturating_mul(alone))
        .saturating_add(alone);
    Ok(())
}

/// Searches the stacks of two cloths, or of one.
fn pair(
    found: &Found,
    rules: &Rules<'_>,
    asked: &Asked,
    first: usize,
    second: usize,
) -> Result<(Outcome, Vec<usize>), LawError> {
    let map: Vec<usize> = (0..found.layings.len())
        .filter(|&i| [first, second].contains(&found.layings[i].cloth))
        .collect();
    let choices: Vec<_> = map
        .iter()
        .map(|&i| {
            let mut choice = found.layings[i].choice.clone();
            choice.cloth = usize::from(found.layings[i].cloth != first);
            choice
        })
        .collect();
    let left = [rules.left[first], rules.left[second]];
    let cores: Vec<_> = found.cores.iter().map(|core| core.core).collect();
    let mut space = Space::new(&choices, rules.most_plies);
    space.left = &left;
    space.balanced = rules.balanced;
    space.cores = &cores;
    let wish = Wish {
        front: Some([Goal::Thinnest, Goal::Lightest]),
        most_points: 24,
        most_steps: STEPS,
        most_asked: ASKED,
    };
    let mut failed = None;
    let mut accept = |candidate: &Candidate| {
        bears(found, &map, asked, candidate).unwrap_or_else(|why| {
            failed = Some(why);
            false
        })
    };
    let bounds = at_least(found, &map, asked)?;
    let outcome = seek(&space, &bounds, &wish, &mut accept)?;
    failed.map_or(Ok((outcome, map)), Err)
}

/// Bounds that every stack which bears the load keeps anyway; they spare the search most of its questions.
///
/// A strip needs the bending stiffness that its deflection asks for. A panel is thicker than one that was as stiff in
/// every direction as the stiffest of its layers is in any.
fn at_least(found: &Found, map: &[usize], asked: &Asked) -> Result<Bounds, LawError> {
    let mut bounds = asked.bounds;
    let (Some(stated), Some(limit)) = (&asked.stated, asked.limit) else {
        return Ok(bounds);
    };
    if stated.case == LoadCase::Edge {
        return Ok(bounds);
    }
    let layers = map.iter().flat_map(|&i| &found.layings[i].choice.layers);
    let cores = found.cores.iter().map(|core| &core.core.layer);
    let mut stiffest = [0.0_f64; 3];
    for layer in layers.chain(cores) {
        let q = &layer.stiffness;
        // Coupling of the two bendings helps by no more than it adds to each.
        let most = [q[0][0] + q[0][1].abs(), q[1][1] + q[0][1].abs(), q[2][2]];
        stiffest = std::array::from_fn(|i| stiffest[i].max(most[i]));
    }
    let [d11, d22, d66] = stiffest.map(|q| q / 12.0);
    let bent = stated.bend(&Bending {
        d11,
        d12: 0.0,
        d22,
        d66,
        strip: d11,
        shear: f64::INFINITY,
    })?;
    // A hair less, for what is cut off the series of the plate.
    let enough = 0.99 * bent.deflection / limit;
    if stated.is_panel() {
        bounds.least_thickness = bounds.least_thickness.max(enough.cbrt());
    } else {
        bounds.least_bending[0] = bounds.least_bending[0].max(enough * d11);
    }
    Ok(bounds)
}

/// Puts what a pair came to beside what is known.
fn merge(found: &mut Found, outcome: &Outcome, map: &[usize]) {
    let pick = |candidate: &Candidate| Pick {
        half: candidate.half.iter().map(|&i| map[i]).collect(),
        middle: match candidate.middle {
            Middle::Ply(i) => Middle::Ply(map[i]),
            other => other,
        },
        thickness: candidate.thickness,
        mass: candidate.mass,
        cost: candidate.cost,
        fossil: candidate.fossil,
        fill: candidate.fill,
        plies: candidate.plies,
    };
    for (goal, candidate) in &outcome.found {
        let new = pick(candidate);
        match found.best.iter_mut().find(|(known, _)| known == goal) {
            Some((_, old)) if better(*goal, &new, old) => *old = new,
            Some(_) => {}
            None => found.best.push((*goal, new)),
        }
    }
    found.front.extend(outcome.front.iter().map(pick));
    let all = std::mem::take(&mut found.front);
    let beaten = |one: &Pick| {
        all.iter().any(|other| {
            other.thickness <= one.thickness
                && other.mass <= one.mass
                && (other.thickness < one.thickness || other.mass < one.mass)
        })
    };
    let mut front: Vec<Pick> = all.iter().filter(|one| !beaten(one)).cloned().collect();
    front.sort_by(|a, b| {
        a.thickness
            .total_cmp(&b.thickness)
            .then(a.mass.total_cmp(&b.mass))
    });
    front.dedup_by(|a, b| a.thickness == b.thickness && a.mass == b.mass);
    found.front = front;
}

/// Whether one stack is better at a goal; the other goals break ties, in their order.
fn better(goal: Goal, new: &Pick, old: &Pick) -> bool {
    let of = |goal: Goal, pick: &Pick| match goal {
        Goal::Lightest => pick.mass,
        Goal::Cheapest => pick.cost.unwrap_or(f64::INFINITY),
        Goal::LowestFossil => pick.fossil,
        Goal::Thinnest => pick.thickness,
        Goal::EasiestFill => pick.fill,
    };
    std::iter::once(goal)
        .chain(Goal::ALL)
        .map(|goal| of(goal, new).total_cmp(&of(goal, old)))
        .find(|order| order.is_ne())
        .is_some_and(std::cmp::Ordering::is_lt)
}

/// Whether a stack bears the stated load and gives no more than allowed, with everything likely.
fn bears(
    found: &Found,
    map: &[usize],
    asked: &Asked,
    candidate: &Candidate,
) -> Result<bool, LawError> {
    let Some(stated) = &asked.stated else {
        return Ok(true);
    };
    if asked
        .limit
        .is_some_and(|limit| quick::surely_sinks(stated, &candidate.d) > limit)
    {
        return Ok(false);
    }
    let (layers, strengths) = laid(found, map, candidate);
    let stack = laminate::stiffness(&layers)?;
    let compliance = laminate::compliance(&stack)?;
    let core = match candidate.middle {
        Middle::Core(i) => found.cores.get(i),
        Middle::Plain | Middle::Ply(_) => None,
    };
    let c = core.map_or(0.0, |core| core.core.layer.thickness);
    let between = (0.5 * (candidate.thickness + c)).clamp(c, (3.0 * c).max(c + 1e-9));
    let shear = match core.and_then(|core| core.shear) {
        Some((modulus, _)) => sandwich::shear_stiffness(modulus, c, between)?,
        None => f64::INFINITY,
    };
    let (places, pull, across) = if stated.case == LoadCase::Edge {
        (vec![[0.0; 3]], stated.edge, 0.0)
    } else {
        let bent = stated.bend(&Bending {
            d11: stack.d[0][0],
            d12: stack.d[0][1],
            d22: stack.d[1][1],
            d66: stack.d[2][2],
            strip: 1.0 / compliance[3][3],
            shear,
        })?;
        if asked.limit.is_some_and(|limit| bent.deflection > limit) {
            return Ok(false);
        }
        (bent.moments.to_vec(), 0.0, bent.shear)
    };
    if let Some(core) = core.filter(|_| stated.case != LoadCase::Edge) {
        let face = 0.5 * (candidate.thickness - c);
        if let Some((modulus, strength)) = core.shear {
            let along = 1.0 / (compliance[0][0] * 2.0 * face);
            let wrinkles = sandwich::wrinkling_stress(along, core.through, modulus)?;
            let pressed = places[0][0].abs() / (between * face);
            let sheared = sandwich::core_shear_stress(across, between)?.abs();
            if sheared * asked.reserve > strength || pressed * asked.reserve > wrinkles {
                return Ok(false);
            }
        }
    }
    for m in places {
        for turn in [1.0, -1.0] {
            let forces = [pull, 0.0, 0.0, m[0], m[1], turn * m[2]];
            let strains = laminate::strains(&compliance, &forces);
            for (stresses, bears) in laminate::ply_stresses(&layers, &strains)?
                .iter()
                .zip(&strengths)
            {
                let Some(bears) = bears else { continue };
                for stress in stresses {
                    if tsai_hill(bears, stress)? < asked.reserve {
                        return Ok(false);
                    }
                }
            }
        }
    }
    Ok(true)
}

/// Every layer of a candidate with what it bears, from face to face; a core bears by its shear alone.
fn laid(
    found: &Found,
    map: &[usize],
    candidate: &Candidate,
) -> (Vec<Layer>, Vec<Option<Strengths>>) {
    let of = |i: usize| {
        let laying = &found.layings[map[i]];
        let bears = Some(laying.strengths);
        laying.layers.iter().map(move |&layer| (layer, bears))
    };
    let outer: Vec<_> = candidate.half.iter().flat_map(|&i| of(i)).collect();
    let middle: Vec<_> = match candidate.middle {
        Middle::Plain => Vec::new(),
        Middle::Ply(i) => of(i).collect(),
        Middle::Core(i) => vec![(found.cores[i].layer, None)],
    };
    outer
        .iter()
        .chain(&middle)
        .chain(outer.iter().rev())
        .copied()
        .unzip()
}

/// Reads what was asked off the plan; a part that asks for nothing is to be as stiff as it is now.
fn asked(bench: &mut Bench<'_>, deep: &Deep, area: f64) -> Asked {
    let plan = bench.plan;
    let given = |field: &Field| plan.given(field).map(|range| range.likely);
    let mut bounds = Bounds::default();
    let mut said = Vec::new();
    let desk = &bench.desk;
    let mut say = |field: &Field, words: &str| {
        if let Some(value) = given(field) {
            said.push(format!("{words} {}", desk.say_plain(field.unit, value)));
        }
    };
    say(&TARGET_THIN, "at least");
    say(&TARGET_THICK, "at most");
    say(&TARGET_BENDING, "bending stiffness of at least");
    say(&TARGET_MASS, "mass of at most");
    say(&TARGET_FOSSIL, "fossil carbon of at most");
    say(&TARGET_COST, "cost of at most");
    if let Some(thin) = given(&TARGET_THIN) {
        bounds.least_thickness = thin * 1e-3;
    }
    if let Some(thick) = given(&TARGET_THICK) {
        bounds.most_thickness = thick * 1e-3;
    }
    if let Some(mass) = given(&TARGET_MASS) {
        bounds.most_mass = mass * 1e-3 / area;
    }
    if let Some(fossil) = given(&TARGET_FOSSIL) {
        bounds.most_fossil = fossil / area;
    }
    if let Some(cost) = given(&TARGET_COST) {
        bounds.most_cost = cost / area;
    }
    let stated = Stated::of(bench);
    let limit = given(&LOAD_LIMIT).map(|limit| limit * 1e-3);
    let reserve = bench.take(&LOAD_RESERVE);
    if let Some(stated) = &stated {
        if let (Some(limit), false) = (given(&LOAD_LIMIT), stated.case == LoadCase::Edge) {
            said.push(format!(
                "giving no more than {} under your load",
                bench.desk.say_plain(LOAD_LIMIT.unit, limit)
            ));
        }
        said.push(format!(
            "{} times your load before first damage",
            plain(reserve.likely())
        ));
    }
    match given(&TARGET_BENDING) {
        Some(bending) => bounds.least_bending = [bending, ACROSS * bending, 0.0],
        None if stated.is_none() && given(&TARGET_THIN).is_none() => {
            let d = &deep.likely;
            // A hair less, so that the stack itself is not lost to rounding.
            bounds.least_bending =
                [d.d11, ACROSS.min(d.d22 / d.d11) * d.d11, 0.0].map(|d| d * (1.0 - 1e-9));
            said.push("as stiff in bending along the part as the stack you have".into());
        }
        None => {}
    }
    Asked {
        bounds,
        stated,
        limit,
        reserve: reserve.likely(),
        said,
    }
}

/// Which one thing, let go, makes the rest possible.
fn way_out(
    found: &Found,
    rules: &Rules<'_>,
    asked: &mut Asked,
) -> Result<Option<&'static str>, LawError> {
    let open = Bounds::default();
    let strict = asked.bounds;
    let trials: [(&'static str, Bounds); 6] = [
        (
            "Allow it to be thicker.",
            Bounds {
                most_thickness: open.most_thickness,
                ..strict
            },
        ),
        (
            "Allow it to be heavier.",
            Bounds {
                most_mass: open.most_mass,
                ..strict
            },
        ),
        (
            "Allow more fossil carbon.",
            Bounds {
                most_fossil: open.most_fossil,
                ..strict
            },
        ),
        (
            "Allow it to cost more, or type the prices that are missing.",
            Bounds {
                most_cost: open.most_cost,
                ..strict
            },
        ),
        (
            "Lay a flow mesh.",
            Bounds {
                slowest_fill: open.slowest_fill,
                ..strict
            },
        ),
        (
            "Ask for less stiffness.",
            Bounds {
                least_bending: open.least_bending,
                ..strict
            },
        ),
    ];
    for (way, bounds) in trials {
        if bounds == strict {
            continue;
        }
        asked.bounds = bounds;
        let mut tried = Found {
            best: Vec::new(),
            front: Vec::new(),
            layings: found.layings.clone(),
            cores: found.cores.clone(),
            said: Vec::new(),
            ..*found
        };
        run(&mut tried, rules, asked)?;
        if !tried.best.is_empty() {
            return Ok(Some(way));
        }
    }
    Ok(None)
}
