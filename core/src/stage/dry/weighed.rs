//! The maker's own weighings during drying: they narrow the band at once and correct the end.

use super::curve::Passed;
use super::heat::{LONGEST_OVEN, Oven};
use super::{Damp, STAGE};
use crate::law::{LawError, weighings};
use crate::plan::fields::{SCALE_STEP, TRAY};
use crate::range::Range;
use crate::sheet::{Asked, Basis, DrySheet, Grade, Law, Origin, Spread, Weighed, WeighedLine};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// From this many times the target on nobody is sent to look whether the cloth is dry.
const NEARLY: f64 = 1.2;

/// One weighing as the curve shows it.
pub(super) struct Point {
    /// Since the cloth went in [s].
    pub(super) time: f64,
    /// Cloth without the tray [kg].
    mass: f64,
    /// Water in it, by the dry mass that all weighings together tell [-].
    pub(super) regain: f64,
    /// Mass expected from all weighings together [kg].
    expected: f64,
    /// Whether it stands far off the others.
    pub(super) doubtful: bool,
}

/// What the weighings leave open.
pub(super) struct Narrow {
    found: weighings::Narrowed,
    pub(super) points: Vec<Point>,
    /// Likely dry mass [kg].
    pub(super) dry_mass: f64,
    /// Tray on the scale with it [kg].
    pub(super) tray: f64,
}

impl Narrow {
    /// When the cloth passes certain regains; it is damper before, at either end of the band.
    pub(super) fn course(&self) -> Vec<Passed> {
        let mut after = [f64::INFINITY; 3];
        let mut course: Vec<Passed> = self
            .found
            .course
            .iter()
            .rev()
            .map(|&(regain, time)| {
                for (later, now) in after.iter_mut().zip(time) {
                    *later = now.min(*later);
                }
                Passed {
                    regain,
                    time: range(after),
                }
            })
            .collect();
        course.reverse();
        course
    }

    fn last(&self) -> f64 {
        self.points.iter().map(|p| p.time).fold(0.0, f64::max)
    }
}

fn range([low, likely, high]: [f64; 3]) -> Range {
    Range::new(low, likely, high)
}

/// Narrows the oven's ranges by the weighings of the plan; none without any.
pub(super) fn narrow(
    bench: &mut Bench<'_>,
    damp: &Damp,
    oven: &Oven,
    target: &Spread,
) -> Result<Option<Narrow>, LawError> {
    if bench.plan.weighings.is_empty() {
        return Ok(None);
    }
    let tray = bench
        .plan
        .given(&TRAY)
        .map_or(0.0, |tray| tray.likely / 1000.0);
    let step = bench.take(&SCALE_STEP).likely() / 1000.0;
    let (heavier, lighter): (Vec<_>, Vec<_>) = bench
        .plan
        .weighings
        .iter()
        .map(|line| weighings::Weighing {
            time: line.minute * 60.0,
            mass: line.value / 1000.0 - tray,
        })
        .partition(|weighing| weighing.mass > 0.0);
    if !lighter.is_empty() {
        bench.problem(
            STAGE,
            "A weighing shows no more than the tray. Check the tray's mass and that weighing; until then it is left out.",
        );
    }
    if heavier.is_empty() {
        return Ok(None);
    }
    let of = |spread: &Spread| {
        let range = bench.desk.range(spread);
        [range.low, range.likely, range.high]
    };
    let ranges = weighings::OvenRanges {
        dry_mass: of(&damp.dry),
        scale: of(&damp.scale),
        start: of(&damp.start),
        areal: of(&damp.areal),
        height: of(&damp.height),
        film: of(&oven.film),
        resistance: of(&oven.resistance),
        room_activity: of(&damp.room.1),
        oven_temperature: of(&oven.temperature),
        heat_up: of(&oven.heat_up),
        factor: of(&oven.factor),
        room_temperature: damp.room.0.likely(),
        faces_open: oven.faces,
        room_per_area: (oven.closed.likely() > 0.0).then(|| oven.closed.likely()),
    };
    let mut found = weighings::narrow(&ranges, &heavier, target.likely(), step)?;
    if found.surprising {
        bench.problem(
            STAGE,
            "No oven within these ranges dries like your weighings say, so they are kept and not used. Check the tray, the time of each weighing, and that the cloth on the scale is the whole stack of this plan.",
        );
        return Ok(None);
    }
    found.end = found.end.map(|end| end.min(LONGEST_OVEN));
    let dry_mass = found.dry_mass[1];
    let points = heavier
        .iter()
        .zip(&found.fitted)
        .enumerate()
        .map(|(i, (weighing, &expected))| Point {
            time: weighing.time,
            mass: weighing.mass,
            regain: weighing.mass / dry_mass - 1.0,
            expected,
            doubtful: found.doubtful.contains(&i),
        })
        .collect();
    Ok(Some(Narrow {
        found,
        points,
        dry_mass,
        tray,
    }))
}

/// Puts what the weighings tell on the sheet: the end of drying is theirs from now on.
pub(super) fn tell(bench: &mut Bench<'_>, narrow: &Narrow, target: &Spread, sheet: &mut DrySheet) {
    let found = &narrow.found;
    let mut own = |key: &str, label: &str, unit, values: [f64; 3], factor: f64| {
        bench.desk.take(Asked {
            key: key.into(),
            label: label.into(),
            unit,
            range: range(values.map(|x| x * factor)),
            limits: (0.0, f64::MAX),
            origin: Origin::Measured,
            grade: Grade::Own,
            sources: vec!["judgement_weighings".into()],
        })
    };
    let end = own(
        "dry.weighings",
        "End of drying, by your weighings",
        Unit::Minute,
        found.end,
        1.0 / 60.0,
    );
    let now = own(
        "dry.weighings_now",
        "Water at the last weighing",
        Unit::Percent,
        found.now,
        100.0,
    );
    let dry_mass = own(
        "dry.weighings_mass",
        "Dry mass, by your weighings",
        Unit::Gram,
        found.dry_mass,
        1000.0,
    );
    let last = narrow.last() / 60.0;
    if let Some(way) = sheet.ways.iter_mut().find(|way| way.key == "oven")
        && way.time.is_some()
    {
        way.time = Some(bench.desk.cell(Unit::Minute, &end));
    }
    let left = end.map(|end| (end - last).max(0.0));
    let law = if found.dry { &REACHED } else { &NARROWED };
    sheet.oven_min = bench
        .desk
        .estimate("Time in the oven", Unit::Minute, &end, law);
    let weigh = Spread::from([&dry_mass, target], |[dry, target]| dry * (1.0 + target));
    sheet.weigh_target_g = bench.desk.estimate(
        "The cloth on the scale when it is dry enough",
        Unit::Gram,
        &weigh,
        law,
    );
    let sentence = words(bench, narrow, target, &now, &left, &weigh);
    sheet.head.answer = format!(
        "{sentence} By your weighings it takes {} in all.",
        bench.desk.say(Unit::Minute, &end)
    );
    let desk = &bench.desk;
    let lines = narrow
        .points
        .iter()
        .map(|point| WeighedLine {
            minute: desk.say_plain(Unit::Minute, (point.time / 6.0).round() / 10.0),
            mass: desk.say_plain(Unit::Gram, 1000.0 * point.mass),
            regain: desk.say_plain(Unit::Percent, (1000.0 * point.regain).round() / 10.0),
            expected: desk.say_plain(Unit::Gram, (1e4 * point.expected).round() / 10.0),
            doubtful: point.doubtful,
        })
        .collect();
    let desk = &mut bench.desk;
    sheet.weighed = Some(Weighed {
        sentence,
        now_pct: desk.estimate("Water at the last weighing", Unit::Percent, &now, law),
        left_min: desk.estimate("Time left from then", Unit::Minute, &left, law),
        dry_mass_g: desk.estimate("Dry mass of the cloth", Unit::Gram, &dry_mass, law),
        lines,
    });
    if narrow.points.iter().any(|point| point.doubtful) {
        bench.problem(
            STAGE,
            "One weighing stands far off the others. Was it mistyped? It counts for little until you mend it or take it out.",
        );
    }
}

fn words(
    bench: &Bench<'_>,
    narrow: &Narrow,
    target: &Spread,
    now: &Spread,
    left: &Spread,
    weigh: &Spread,
) -> String {
    let desk = &bench.desk;
    let held = desk.say(Unit::Percent, now);
    let last = desk.say_plain(Unit::Minute, (narrow.last() / 60.0).round());
    let tray = if narrow.tray > 0.0 {
        " without the tray"
    } else {
        ""
    };
    let until = format!(
        "until the scale shows {}{tray}",
        desk.say(Unit::Gram, weigh)
    );
    if narrow.last() <= 0.0 {
        return format!(
            "You weighed it as it went in. Weigh again after a quarter of an hour: each weighing narrows the time. Dry it {until}."
        );
    }
    if narrow.found.dry {
        return format!(
            "After {last} the cloth held {held}, and it no longer loses weight: dry enough. Take it out, and lay it up while it is warm."
        );
    }
    if narrow.found.now[1] <= NEARLY * target.likely().max(0.005) {
        return format!(
            "After {last} the cloth held about {held}. {}",
            again(bench, narrow)
        );
    }
    format!(
        "After {last} the cloth held {held}. Leave it in for about {} more, {until}. {}",
        desk.say(Unit::Minute, left),
        again(bench, narrow)
    )
}

/// The two weighings that show it.
fn again(bench: &Bench<'_>, narrow: &Narrow) -> String {
    let desk = &bench.desk;
    let equal = desk.say_plain(Unit::Gram, (1e4 * narrow.found.equal).round() / 10.0);
    match narrow.found.pause.map(whole_minutes) {
        Some(minutes) => format!(
            "It is dry when two weighings {} apart differ by no more than {equal}; until then leave it in.",
            desk.say_plain(Unit::Minute, minutes)
        ),
        None => format!(
            "This scale cannot show that it is dry, because what is left weighs little against {equal}: weigh more cloth at once or to a finer step, and give it the long end of the time."
        ),
    }
}

/// A pause that a kitchen timer has, never shorter than asked for.
fn whole_minutes(seconds: f64) -> f64 {
    let minutes = seconds / 60.0;
    let step = if minutes > 60.0 { 15.0 } else { 5.0 };
    step * (minutes / step).ceil().max(1.0)
}

static NARROWED: Law = Law {
    says: "the drying equations, many paces, and a fast and a slow store, with every input free within its range, each counted by how well it explains your weighings",
    basis: Basis::Rule,
    sources: &[
        "fourt_harris_1947",
        "ghazanfari_2006",
        "xie_2011",
        "judgement_weighings",
    ],
};

static REACHED: Law = Law {
    says: "two equal weighings far enough apart, and the dry mass that all of them tell",
    basis: Basis::Firm,
    sources: &["law_regain_definition", "judgement_weighings"],
};
