//! Which ways come first: sure ones, as the trade lays them, soon, with little tube, with nothing left to mend.

use super::Standing;
use crate::law::LawError;
use crate::sheet::{Reach, Spread};
use crate::solve::sort::sort_by;

/// A way that takes less than this share longer than another does as well.
const AS_WELL: f64 = 1.1;
/// A part that is full so soon need not be full sooner [s].
const SOON: f64 = 300.0;
/// How many are told.
pub(super) const TOLD: usize = 3;
/// What each line more costs, to be joined to the pot.
const BRANCH: f64 = 0.06;
/// Most ways that are put on the board's own triangles.
const MOST_PUT: usize = 7;
/// Most ways of the other bed that are.
const MOST_OTHERS: usize = 3;
/// From so many triangles on, no more than are told.
const LARGE: usize = 20_000;

/// A way in one bed, tried on coarse triangles.
#[derive(Clone)]
pub(super) struct Tried {
    pub(super) way: usize,
    pub(super) bed: usize,
    pub(super) meshed: bool,
    pub(super) time: Spread,
    pub(super) reach: Reach,
    pub(super) chance: f64,
    pub(super) tube: f64,
    pub(super) meets: bool,
    /// How many lines feed.
    pub(super) lines: usize,
}

/// What ways are held against.
struct Scale {
    tube: f64,
    quickest: f64,
    /// Whether the plan has a mesh, and whether the trade lays one on these cloths.
    plans_mesh: bool,
    wants_mesh: bool,
}

impl Scale {
    fn cost(
        &self,
        (reach, chance): (Reach, f64),
        time: f64,
        (tube, meets): (f64, bool),
        meshed: bool,
    ) -> f64 {
        let slower = (time.max(SOON) / self.quickest.max(SOON)).ln();
        let sure = match reach {
            Reach::Will => 2.0 * (1.0 - chance),
            Reach::MayNot => 10.0 + 10.0 * (1.0 - chance),
            Reach::WillNot => 30.0 + slower,
        };
        // A mesh costs cloth and resin; to do without one where the trade lays it costs more than any tube.
        let laid = match (meshed, self.wants_mesh) {
            (false, true) => 100.0,
            (true, true) => 0.0,
            (meshed, false) => {
                if meshed == self.plans_mesh {
                    0.0
                } else {
                    0.6
                }
            }
        };
        sure + laid + tube / self.tube + if meets { 0.35 } else { 0.0 } + 0.2 * slower
    }

    fn of_tried(&self, one: &Tried) -> f64 {
        let time = one.time.likely();
        BRANCH * one.lines.saturating_sub(1) as f64
            + self.cost(
                (one.reach, one.chance),
                time,
                (one.tube, one.meets),
                one.meshed,
            )
    }

    fn of_standing(&self, one: &Standing) -> f64 {
        let early = one.vented.early.len();
        let early = if early > 0 {
            1.5 + 0.3 * early as f64
        } else {
            0.0
        };
        let left = 40.0 * f64::from(u8::from(one.vented.left > 0));
        // Half of what it takes longer when a hand lays it a little off counts.
        let time = one.time.likely() + 0.5 * one.off.unwrap_or(0.0);
        early
            + left
            + BRANCH * one.feeds.len().saturating_sub(1) as f64
            + self.cost(
                (one.reach, one.chance),
                time,
                (one.tube, one.meets),
                one.meshed,
            )
    }
}

/// Ways that come to the same.
fn alike(a: (bool, &Spread, f64), b: (bool, &Spread, f64), longest: f64) -> bool {
    a.0 == b.0
        && (a.1.likely() / b.1.likely() - 1.0).abs() < 1e-2
        && (a.2 - b.2).abs() < 0.02 * longest
}

/// The best ways, put on the board one after the other until enough of them stand with nothing left to mend.
pub(super) fn chosen(
    mut tried: Vec<Tried>,
    (plans_mesh, wants_mesh): (bool, bool),
    triangles: usize,
    mut put: impl FnMut(&Tried) -> Result<Standing, LawError>,
) -> Result<Vec<Standing>, LawError> {
    let likely = tried.iter().map(|one| one.time.likely());
    let scale = Scale {
        tube: tried.iter().map(|one| one.tube).fold(0.1, f64::max),
        quickest: likely.fold(f64::INFINITY, f64::min),
        plans_mesh,
        wants_mesh,
    };
    // What the trade does not do is not offered while there is another way.
    if wants_mesh && tried.iter().any(|one| one.meshed) {
        tried.retain(|one| one.meshed);
    }
    sort_by(&mut tried, |a, b| {
        scale.of_tried(a).total_cmp(&scale.of_tried(b))
    });
    let mut queue: Vec<Tried> = Vec::new();
    for one in tried {
        let same = |known: &Tried| {
            alike(
                (one.meshed, &one.time, one.tube),
                (known.meshed, &known.time, known.tube),
                scale.tube,
            )
        };
        if !queue.iter().any(same) {
            queue.push(one);
        }
    }
    let mut standing: Vec<Standing> = Vec::new();
    let mut done = vec![false; queue.len()];
    // A large shell takes its time for each.
    let most_put = if triangles > LARGE { TOLD } else { MOST_PUT };
    let mut take =
        |n: usize, standing: &mut Vec<Standing>, done: &mut Vec<bool>| -> Result<(), LawError> {
            done[n] = true;
            standing.push(put(&queue[n])?);
            Ok(())
        };
    for n in 0..queue.len().min(most_put) {
        if standing.iter().filter(|one| one.is_clean()).count() >= TOLD {
            break;
        }
        take(n, &mut standing, &mut done)?;
    }
    // The best sure one of the other bed, and the quickest sure one of this, are worth a look as well.
    let told_meshed = standing.first().is_some_and(|one| one.meshed);
    let sure = |one: &Tried| one.reach == Reach::Will;
    let others = (0..queue.len()).filter(|&n| queue[n].meshed != told_meshed && sure(&queue[n]));
    for n in others.take(MOST_OTHERS) {
        if standing
            .iter()
            .any(|one| one.meshed != told_meshed && one.is_clean())
        {
            break;
        }
        if !done[n] {
            take(n, &mut standing, &mut done)?;
        }
    }
    let quickest = (0..queue.len())
        .filter(|&n| queue[n].meshed == told_meshed && sure(&queue[n]))
        .min_by(|&a, &b| queue[a].time.likely().total_cmp(&queue[b].time.likely()));
    if let Some(n) = quickest.filter(|&n| !done[n]) {
        take(n, &mut standing, &mut done)?;
    }
    sort_by(&mut standing, |a, b| {
        scale.of_standing(a).total_cmp(&scale.of_standing(b))
    });
    Ok(best_of(standing))
}

/// The first three, with the best of the other bed and the quickest among them where they stand as surely.
fn best_of(mut standing: Vec<Standing>) -> Vec<Standing> {
    let Some(first) = standing.first() else {
        return standing;
    };
    let stands = |one: &Standing| one.reach == Reach::Will && one.is_clean();
    let meshed = first.meshed;
    let keep = TOLD.min(standing.len());
    let in_three = |standing: &[Standing], n: usize| n < keep.min(standing.len());
    let quickest = standing
        .iter()
        .enumerate()
        .filter(|(_, one)| one.meshed == meshed && stands(one))
        .min_by(|a, b| a.1.time.likely().total_cmp(&b.1.time.likely()))
        .map(|(n, one)| (n, one.time.likely()));
    if let Some((n, least)) = quickest
        && !in_three(&standing, n)
        && standing[..keep]
            .iter()
            .all(|one| one.meshed != meshed || one.time.likely() > AS_WELL * least.max(SOON))
    {
        let one = standing.remove(n);
        standing.insert(keep.saturating_sub(2), one);
    }
    let other = standing
        .iter()
        .position(|one| one.meshed != meshed && stands(one));
    if let Some(n) = other
        && !in_three(&standing, n)
    {
        let one = standing.remove(n);
        standing.insert(keep - 1, one);
    }
    standing.truncate(keep);
    standing
}
