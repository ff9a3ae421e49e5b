//! The steps of the job, in order, each with what it waits for and how long it takes.

use super::Job;
use super::hands::{Hands, hands};
use crate::law::LawError;
use crate::law::batches::{Draw, mixing_starts};
use crate::plan::Route;
use crate::plan::fields::{
    CURE_HOURS, DEGAS, FEED_OPEN, POST, POST_AFTER, POST_HOURS, POST_RAMP, ROOM_TEMPERATURE, STIR,
    TARGET_REGAIN, TEST_MINUTES, VACUUM_HOURS,
};
use crate::sheet::{Spread, StageName};
use crate::stage::bench::Bench;

/// Most pots that get a step of their own; more are mixed in turn without one.
const MOST_POTS: u32 = 12;
/// An oven that is switched off cools at least this fast [K/h].
const COOLS: f64 = 20.0;

/// Who is needed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Needs {
    /// Hands.
    Hands,
    /// Eyes: somebody stays beside it.
    Watch,
    /// Nobody.
    Nobody,
}

/// When a step begins.
pub(super) enum Begins {
    /// When all of these have ended.
    After(Vec<usize>),
    /// So many minutes after another has begun (minus for before).
    From(usize, Spread),
    /// When these have ended, but not before so many minutes after the end of another.
    NotBefore(Vec<usize>, usize, Spread),
}

/// One step.
pub(super) struct Step {
    pub(super) key: String,
    pub(super) name: String,
    pub(super) stage: StageName,
    pub(super) needs: Needs,
    pub(super) begins: Begins,
    /// Minutes.
    pub(super) takes: Spread,
    /// Minutes of it that hands are at work, where that is not all or nothing.
    pub(super) work: Option<Spread>,
    /// It can wait until the shop opens.
    pub(super) can_wait: bool,
    pub(super) ends_when: &'static str,
    pub(super) care: &'static str,
}

/// The list as it grows.
struct List(Vec<Step>);

impl List {
    fn add(
        &mut self,
        key: &str,
        name: impl Into<String>,
        stage: StageName,
        needs: Needs,
        begins: Begins,
        takes: Spread,
    ) -> usize {
        self.0.push(Step {
            key: key.to_owned(),
            name: name.into(),
            stage,
            needs,
            begins,
            takes,
            work: None,
            can_wait: false,
            ends_when: "",
            care: "",
        });
        self.0.len() - 1
    }

    fn says(&mut self, step: usize, ends_when: &'static str, care: &'static str) {
        self.0[step].ends_when = ends_when;
        self.0[step].care = care;
    }
}

pub(super) fn steps(bench: &mut Bench<'_>, job: &Job<'_>) -> Result<Vec<Step>, LawError> {
    let hands = hands(bench, job.stacked);
    let mut list = List(Vec::new());
    let ready = before_resin(bench, job, &hands, &mut list);
    match (bench.plan.route, job.clock, job.mixed) {
        (Route::Infusion, Some(_), Some(_)) => infuse(bench, job, &hands, &mut list, ready)?,
        (Route::BaggedWet | Route::OpenWet, Some(_), Some(_)) => {
            wet_out(bench, job, &hands, &mut list, ready)?;
        }
        _ => {}
    }
    Ok(list.0)
}

/// Cloth and mould; the steps after which resin may come.
fn before_resin(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    hands: &Hands,
    list: &mut List,
) -> Vec<usize> {
    let none = || Begins::After(Vec::new());
    let cut = list.add(
        "cut",
        "Cut the cloth",
        StageName::Stack,
        Needs::Hands,
        none(),
        hands.cut.clone(),
    );
    list.says(cut, "all pieces lie numbered", "");
    let mut ready = vec![cut];
    if hands.coats >= 1.0 {
        let name = if hands.coats > 1.5 {
            format!("Put {:.0} coats of release on the mould", hands.coats)
        } else {
            "Put a coat of release on the mould".to_owned()
        };
        let after = Begins::After(vec![cut]);
        let release = list.add(
            "release",
            name,
            StageName::Stack,
            Needs::Hands,
            after,
            hands.release.clone(),
        );
        list.says(
            release,
            "tape pulls off it without holding; the release's own sheet rules",
            "Air the room: release carries solvent.",
        );
        list.0[release].work = Some(hands.coating.clone());
        ready.push(release);
    }
    let target = bench.take(&TARGET_REGAIN).likely() / 100.0;
    let under_vacuum = bench.bagged() && bench.plan.given(&VACUUM_HOURS).is_some();
    if let Some(dried) = job.dried.filter(|dried| {
        !under_vacuum && dried.damp.start.likely() > target && dried.oven_time.likely() > 60.0
    }) {
        let takes = dried.oven_time.times(1.0 / 60.0);
        // Out of the oven when the mould is ready, so that it does not lie about.
        let waits = Spread::from([&hands.release, &takes], |[release, oven]| {
            (release - oven).max(0.0)
        });
        let begins = Begins::NotBefore(vec![cut], cut, waits);
        let oven = list.add(
            "dry",
            "Dry the cloth in the oven",
            StageName::Dry,
            Needs::Watch,
            begins,
            takes,
        );
        list.says(
            oven,
            "the cloth weighs what the drying stage says, or loses nothing more between two weighings",
            "Stay near an oven full of dry fibre: it can catch fire.",
        );
        ready.push(oven);
    }
    if matches!(bench.plan.route, Route::BaggedWet | Route::OpenWet) {
        return ready;
    }
    let lay = list.add(
        "lay",
        "Lay the stack",
        StageName::Stack,
        Needs::Hands,
        Begins::After(ready),
        hands.lay.clone(),
    );
    list.says(lay, "every ply lies as the stack says", "");
    vec![bagged(bench, job, hands, list, lay, under_vacuum)]
}

/// Bag, pump and test; the step after which resin may come.
fn bagged(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    hands: &Hands,
    list: &mut List,
    before: usize,
    under_vacuum: bool,
) -> usize {
    let bag = list.add(
        "bag",
        "Mesh, lines and bag",
        StageName::Bag,
        Needs::Hands,
        Begins::After(vec![before]),
        hands.bag.clone(),
    );
    list.says(bag, "the tape sits all round, corners pleated", "");
    let Some(pumped) = job.pumped else {
        return bag;
    };
    let takes = Spread::sum([&pumped.time.times(1.0 / 60.0), &hands.hunt]);
    let pump = list.add(
        "pump",
        "Pump the bag down, press the tape, listen for leaks",
        StageName::Bag,
        Needs::Hands,
        Begins::After(vec![bag]),
        takes,
    );
    list.says(
        pump,
        "the gauge falls no further",
        "A glass or thin pot under vacuum can implode: use one made for it, behind a guard.",
    );
    let minutes = bench.take(&TEST_MINUTES);
    let test = list.add(
        "test",
        "Drop test: pump shut off, read the gauge",
        StageName::Bag,
        Needs::Watch,
        Begins::After(vec![pump]),
        minutes,
    );
    list.says(test, "the bag stage tells leak from water", "");
    if !under_vacuum {
        return test;
    }
    let hours = bench.take(&VACUUM_HOURS).times(60.0);
    let vacuum = list.add(
        "vacuum",
        "Dry under the bag, pump running",
        StageName::Dry,
        Needs::Nobody,
        Begins::After(vec![test]),
        hours,
    );
    list.says(vacuum, "the gauge stands as low as over dry cloth", "");
    vacuum
}

/// Infusion: pots, fill, clamps, and all that follows.
fn infuse(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    hands: &Hands,
    list: &mut List,
    ready: Vec<usize>,
) -> Result<(), LawError> {
    let (Some(clock), Some(mixed), Some(time)) = (job.clock, job.mixed, job.fill_time) else {
        return Ok(());
    };
    // Beyond gel nothing flows.
    let fill_min = Spread::from([time, &clock.gel], |[fill, gel]| fill.min(gel) / 60.0);
    let into = (
        "fill",
        "Open the feed and fill",
        StageName::Fill,
        Needs::Watch,
    );
    let fill = mixes(bench, mixed.count, list, ready, &fill_min, Draw::Fill, into)?;
    list.says(
        fill,
        "resin has reached the far edge, clear and without bubbles",
        "Nitrile gloves and goggles, and air the room; wipe drips at once.",
    );
    let open = bench.take(&FEED_OPEN);
    let clamp = list.add(
        "clamp",
        "Clamp the vent, leave the feed open, then clamp it",
        StageName::Cure,
        Needs::Watch,
        Begins::After(vec![fill]),
        open.clone(),
    );
    list.says(clamp, "both are clamped, feed last", "");
    let gel = Spread::from([&clock.cure_gel, &open], |[gel, open]| {
        (gel / 60.0 - open).max(0.0)
    });
    cure(bench, job, hands, list, clamp, fill, gel);
    Ok(())
}

/// Wet layup: pots, wetting out, bag, and all that follows.
fn wet_out(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    hands: &Hands,
    list: &mut List,
    ready: Vec<usize>,
) -> Result<(), LawError> {
    let (Some(clock), Some(mixed)) = (job.clock, job.mixed) else {
        return Ok(());
    };
    let work = mixed.busy.times(1.0 / 60.0);
    let into = (
        "wet",
        "Wet out and lay ply by ply",
        StageName::Stack,
        Needs::Hands,
    );
    let wet = mixes(bench, mixed.count, list, ready, &work, Draw::Hands, into)?;
    list.says(
        wet,
        "no ply shows dry or milky",
        "Nitrile gloves, long sleeves and goggles, and air the room.",
    );
    let mut last = wet;
    let mut gone = work;
    if bench.bagged() {
        last = bagged(bench, job, hands, list, wet, false);
        let since: Vec<Spread> = list.0[wet + 1..=last]
            .iter()
            .filter(|step| !step.key.starts_with("mix"))
            .map(|step| step.takes.clone())
            .collect();
        gone = Spread::sum(std::iter::once(&gone).chain(&since));
    }
    // The clock of gel runs from the first pot.
    let gel = Spread::from([&clock.cure_gel, &gone], |[gel, gone]| {
        (gel / 60.0 - gone).max(0.0)
    });
    cure(bench, job, hands, list, last, wet, gel);
    Ok(())
}

/// The pots, one pair of hands, each ready when the ones before it are used up; and what they go into.
///
/// The first begins when resin may come; feed or hands follow as soon as the others allow.
fn mixes(
    bench: &mut Bench<'_>,
    count: u32,
    list: &mut List,
    ready: Vec<usize>,
    busy: &Spread,
    draw: Draw,
    into: (&str, &str, StageName, Needs),
) -> Result<usize, LawError> {
    let takes = mixing(bench);
    let shown = count.clamp(1, MOST_POTS);
    let first = list.add(
        "mix_1",
        "Weigh, stir and degas the first pot",
        StageName::Mix,
        Needs::Hands,
        Begins::After(ready),
        takes.clone(),
    );
    list.says(first, "no streaks at the wall of the pot", POT_CARE);
    let since_first = |pot: u32| {
        Spread::of([busy, &takes], |[busy, takes]| {
            let begins = mixing_starts(draw, busy.max(1e-6), count.clamp(1, 1000), takes.max(0.0))?;
            let at = begins.get(pot as usize).copied().unwrap_or(0.0);
            Ok(at - begins.first().copied().unwrap_or(0.0))
        })
    };
    // The one that stands for the opened feed is the end of the list, at zero.
    let opens = since_first(count.clamp(1, 1000))?;
    let (key, name, stage, needs) = into;
    let step = list.add(
        key,
        name,
        stage,
        needs,
        Begins::From(first, opens),
        busy.clone(),
    );
    for pot in 1..shown {
        let name = format!("Weigh, stir and degas pot {}", pot + 1);
        let key = format!("mix_{}", pot + 1);
        let begins = Begins::From(first, since_first(pot)?);
        let step = list.add(
            &key,
            name,
            StageName::Mix,
            Needs::Hands,
            begins,
            takes.clone(),
        );
        list.says(
            step,
            "it stands at the feed before the one before it is empty",
            POT_CARE,
        );
    }
    Ok(step)
}

const POT_CARE: &str = "Nitrile gloves, goggles and air. A pot that warms goes into a wide tray and outdoors; never seal it.";

/// Time to weigh, stir and degas one pot [min].
fn mixing(bench: &mut Bench<'_>) -> Spread {
    Spread::sum(&[bench.take(&STIR), bench.take(&DEGAS)])
}

/// Gel, cure, the mould, post-cure and trimming.
fn cure(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    hands: &Hands,
    list: &mut List,
    after: usize,
    resin_in: usize,
    gel: Spread,
) {
    let Some(clock) = job.clock else {
        return;
    };
    let gels = list.add(
        "gel",
        "Until it gels: look at gauge and bag now and then",
        StageName::Cure,
        Needs::Nobody,
        Begins::After(vec![after]),
        gel,
    );
    list.says(
        gels,
        "a drop of the same resin beside the part no longer draws a thread",
        "",
    );
    let off = Spread::from([&clock.demould, &clock.cure_gel], |[off, gel]| {
        ((off - gel) / 60.0).max(0.0)
    });
    let sets = list.add(
        "cure",
        "Sets on the mould",
        StageName::Cure,
        Needs::Nobody,
        Begins::After(vec![gels]),
        off,
    );
    list.says(sets, "a thin film kept beside the part snaps cleanly", "");
    let post = post_cure(bench);
    let on_mould = bench.plan.deep.post_on_mould;
    let mut before_off = vec![sets];
    if let (Some((from, takes)), true) = (&post, on_mould) {
        let oven = list.add(
            "post",
            "Post-cure on the mould",
            StageName::Cure,
            Needs::Watch,
            Begins::NotBefore(vec![gels], resin_in, from.clone()),
            takes.clone(),
        );
        list.says(
            oven,
            "it has cooled to the shop, still on the mould",
            OVEN_CARE,
        );
        before_off.push(oven);
    }
    let demould = list.add(
        "demould",
        "Strip the bag and lift the part",
        StageName::Cure,
        Needs::Hands,
        Begins::After(before_off),
        hands.demould.clone(),
    );
    list.says(
        demould,
        "",
        "Gloves and goggles: cured edges are sharp and splinter.",
    );
    list.0[demould].can_wait = true;
    let mut hard = vec![demould];
    if let (Some((from, takes)), false) = (post, on_mould) {
        let oven = list.add(
            "post",
            "Post-cure in the oven",
            StageName::Cure,
            Needs::Watch,
            Begins::NotBefore(vec![demould], resin_in, from),
            takes,
        );
        list.says(
            oven,
            "it has cooled to the shop, still supported",
            OVEN_CARE,
        );
        list.0[oven].can_wait = true;
        hard.push(oven);
    }
    let hours = bench.take(&CURE_HOURS).times(60.0);
    let trim = list.add(
        "trim",
        "Trim and sand the edge",
        StageName::Trim,
        Needs::Hands,
        Begins::NotBefore(hard, resin_in, hours),
        hands.trim.clone(),
    );
    list.says(
        trim,
        "",
        "Mask, goggles and suction: the dust harms lungs and can explode.",
    );
    list.0[trim].can_wait = true;
}

const OVEN_CARE: &str =
    "Stay near an oven with a part in it, and put nothing wet with solvent inside.";

/// Post-cure: not before, and how long, in minutes; none when none is asked for.
fn post_cure(bench: &mut Bench<'_>) -> Option<(Spread, Spread)> {
    bench.plan.given(&POST)?;
    let from = match bench.plan.given(&POST_AFTER) {
        Some(_) => bench.take(&POST_AFTER),
        None => bench.take(&CURE_HOURS),
    };
    let parts = [
        &bench.take(&POST),
        &bench.take(&ROOM_TEMPERATURE),
        &bench.take(&POST_RAMP),
        &bench.take(&POST_HOURS),
    ];
    let takes = Spread::from(parts, |[top, shop, ramp, hold]| {
        let rise = (top - shop).max(0.0);
        60.0 * (rise / ramp + hold + rise / ramp.max(COOLS))
    });
    Some((from.times(60.0), takes))
}
