//! Works backwards: from what the part must do to the stacks that do it.

mod asked;
mod bears;
mod cloths;
mod pick;
mod quick;
mod sure;
mod told;

use crate::solve::sort::sort_by;
use asked::{Asked, asked};
use bears::{at_least, bears};
use cloths::{Laying, layings};
use pick::Pick;
use sure::{Margins, Wished};
use told::Judged;

use super::air::{self, Air};
use super::bench::{Bench, beyond};
use super::stack::{self, Deep};
use super::{fill, resin_clock};
use crate::law::LawError;
use crate::plan::fields::{PART_AREA, TARGET_PLIES};
use crate::plan::{Plan, Route};
use crate::read::Problem;
use crate::search::{Bounds, Candidate, Goal, Outcome, Space, Wish, seek};
use crate::sheet::Back;
use crate::shelf::Shelf;

/// Searches with growing margins, at most.
const ROUNDS: usize = 5;
/// From this search on the margins grow in haste.
const HASTE: usize = 2;

/// Steps and questions for one pair of cloths.
const STEPS: u64 = 4_000_000;
const ASKED: u64 = 200_000;

/// The best stacks for each goal.
///
/// # Errors
/// Problems that only show when values meet.
pub(crate) fn work(plan: &Plan, shelf: &Shelf) -> Result<Back, Vec<Problem>> {
    let mut bench = Bench::new(plan, shelf);
    let air = air::work(&mut bench)?;
    let (both, mut sheet) = stack::work_plain(&mut bench, &air)?;
    let deep = stack::deepen(&mut bench, &air, both.as_made(), &mut sheet)?;
    let sure = sure::wanted(plan);
    let mut margins = Margins::none();
    // A stack that is best with a smaller margin and keeps everything is best with a greater one as well.
    let mut kept: Vec<Judged> = Vec::new();
    // One that falls short by a hair can still look good with the margins grown by it: it is not found twice.
    let mut short: Vec<Pick> = Vec::new();
    let mut missed: Vec<(Wished, f64)> = Vec::new();
    let mut round = 0;
    loop {
        let found = search(&mut bench, &air, &both, &deep, (&margins, &short))
            .map_err(|why| beyond("target", &why))?;
        let open = |goal: &Goal| kept.iter().all(|one| !one.goals.contains(goal));
        let judged = told::judge(plan, shelf, &found, &open, sure)?;
        let mut misses = Vec::new();
        for one in judged {
            if !one.misses.is_empty() {
                misses.extend(one.misses);
                short.push(one.pick);
                continue;
            }
            match kept.iter_mut().find(|known| known.pick == one.pick) {
                Some(known) => known.goals.extend(one.goals),
                None => kept.push(one),
            }
        }
        round += 1;
        if misses.is_empty() || round == ROUNDS {
            let missed = if kept.is_empty() { missed } else { Vec::new() };
            return Ok(told::told(found, kept, sure, &missed));
        }
        margins.grow(&misses, round >= HASTE);
        missed = misses;
    }
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

fn search(
    bench: &mut Bench<'_>,
    air: &Air,
    both: &stack::Both,
    deep: &Deep,
    (margins, short): (&Margins, &[Pick]),
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
    margins.lay_on(&mut asked);
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
        short,
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
    /// Stacks that are known to fall short.
    short: &'a [Pick],
    balanced: bool,
}

/// Goes through every stack of one or two cloths, each pair by itself, and keeps the best.
fn run(found: &mut Found, rules: &Rules<'_>, asked: &Asked) -> Result<(), LawError> {
    let cloths = found.cloths;
    // A pair holds the stacks of each of its cloths alone as well; those are counted once.
    let (mut mixed, mut alone) = (0_u64, 0_u64);
    // What one cloth does by itself comes first: most pairs do not come up to it.
    let single = (0..cloths).map(|cloth| (cloth, cloth));
    let pairs =
        (0..cloths).flat_map(|first| (first + 1..cloths).map(move |second| (first, second)));
    for (first, second) in single.chain(pairs) {
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
    let picks = found.best.iter().map(|(_, pick)| pick);
    let known: Vec<_> = picks.chain(&found.front).map(Pick::figures).collect();
    let wish = Wish {
        front: Some([Goal::Thinnest, Goal::Lightest]),
        known: &known,
        most_points: 24,
        most_steps: STEPS,
        most_asked: ASKED,
    };
    let mut failed = None;
    let mut accept = |candidate: &Candidate| {
        let known = rules.short.iter().any(|short| short.is(candidate, &map));
        !known
            && bears(found, &map, asked, candidate).unwrap_or_else(|why| {
                failed = Some(why);
                false
            })
    };
    let bounds = at_least(found, &map, asked)?;
    let outcome = seek(&space, &bounds, &wish, &mut accept)?;
    failed.map_or(Ok((outcome, map)), Err)
}

/// Puts what a pair came to beside what is known.
fn merge(found: &mut Found, outcome: &Outcome, map: &[usize]) {
    let pick = |candidate: &Candidate| Pick::of(candidate, map);
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
    sort_by(&mut front, |a, b| {
        a.thickness
            .total_cmp(&b.thickness)
            .then(a.mass.total_cmp(&b.mass))
    });
    front.dedup_by(|a, b| a.thickness == b.thickness && a.mass == b.mass);
    found.front = front;
}

/// Whether one stack is better at a goal; the other goals break ties, in their order.
fn better(goal: Goal, new: &Pick, old: &Pick) -> bool {
    let (new, old) = (new.figures(), old.figures());
    std::iter::once(goal)
        .chain(Goal::ALL)
        .map(|goal| new[goal as usize].total_cmp(&old[goal as usize]))
        .find(|order| order.is_ne())
        .is_some_and(std::cmp::Ordering::is_lt)
}

/// Which one thing, let go, makes the rest possible.
fn way_out(
    found: &Found,
    rules: &Rules<'_>,
    asked: &mut Asked,
) -> Result<Option<&'static str>, LawError> {
    let open = Bounds::default();
    let strict = asked.bounds;
    let strip = asked.strip;
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
        asked.strip = if bounds.least_bending == open.least_bending {
            0.0
        } else {
            strip
        };
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
