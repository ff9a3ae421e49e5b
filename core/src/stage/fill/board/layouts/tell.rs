//! What is told of the best ways: why they are, what they take, and what it costs to be wrong.

use super::rank::Tried;
use super::{Bed, OFF, Standing};
use crate::plan::Line;
use crate::sheet::{Desk, LaidLine, Layout, Layouts, Reach};
use crate::units::Unit;

/// A share of the time that is not worth a word.
const LITTLE: f64 = 0.03;

fn laid_line(line: &Line) -> LaidLine {
    LaidLine {
        does: if line.feeds { "feed" } else { "vent" },
        points_mm: line
            .points
            .iter()
            .map(|p| p.map(|x| (x * 1e4).round() / 10.0))
            .collect(),
    }
}

/// A list in words.
fn listed(words: &[String]) -> String {
    words.join(" and ")
}

/// "1 way is", "3 ways are".
fn are(count: usize) -> String {
    if count == 1 {
        "1 is".to_owned()
    } else {
        format!("{count} are")
    }
}

/// What was tried, and what came of it.
fn sentence(tried: &[Tried], best: &[Standing], wants: &[String]) -> String {
    let count = tried.len();
    let sure = |meshed: bool| {
        let sure = tried.iter().filter(|one| one.reach == Reach::Will);
        sure.filter(|one| one.meshed == meshed).count()
    };
    let (bare, meshed) = (sure(false), sure(true));
    if bare + meshed == 0 {
        return format!(
            "{count} ways were tried and none is sure to fill the part before the resin gels. Take a slower hardener, keep shop and resin cooler, or make the part in two; these come nearest."
        );
    }
    if !wants.is_empty() && best.first().is_some_and(|one| one.meshed) {
        let also = if bare == 0 {
            String::new()
        } else {
            format!(", though by the figures {bare} would fill in time")
        };
        return format!(
            "{count} ways were tried; under a flow mesh {} sure to fill the part before the resin gels. Ways without one are left out: the trade lays a mesh on {} (common practice, no source){also}.",
            are(meshed),
            listed(wants)
        );
    }
    match (bare, meshed) {
        (0, meshed) => format!(
            "{count} ways were tried. Without a flow mesh none is sure; with one {}.",
            are(meshed)
        ),
        (bare, 0) => format!(
            "{count} ways were tried; {} sure to fill the part before the resin gels.",
            are(bare)
        ),
        (bare, meshed) => format!(
            "{count} ways were tried. Without a flow mesh {} sure to fill the part before the resin gels, with one {}.",
            are(bare),
            are(meshed)
        ),
    }
}

/// Likely minutes when the cloth lets resin through as little as its range allows.
fn slow(bed: &Bed, way: &Standing, desk: &Desk) -> Option<f64> {
    let pace = &bed.paced.pace;
    let low = desk.range(&pace.permeability).low;
    let share = pace.permeability.likely() / low;
    // The time with resin that stays thin goes as one over the permeability, but for the tube's share.
    let thin = pace.likely_thin(way.time.likely());
    let tube = pace.tube().min(thin);
    let minutes = pace.likely_clock(tube + (thin - tube) * share) / 60.0;
    (share > 1.0 && minutes.is_finite()).then_some(minutes)
}

/// What it costs to be wrong: a line that lies a little off, a slow cloth, a vent that is wet early.
fn costs(bed: &Bed, way: &Standing, desk: &Desk) -> Vec<String> {
    let likely = way.time.likely() / 60.0;
    let mut costs = Vec::new();
    let off_by = desk.say_plain(Unit::Millimetre, OFF * 1e3);
    let one = way.feeds.len() == 1 && way.feeds[0].points.len() == 1;
    let what = if one {
        "A feed"
    } else if way.meets {
        "Lines"
    } else {
        "A line"
    };
    match way.off.map(|off| off / 60.0) {
        Some(more) if more > LITTLE * likely => costs.push(format!(
            "{what} {off_by} off {} {} more.",
            if what == "Lines" { "take" } else { "takes" },
            desk.say_about(Unit::Minute, more)
        )),
        Some(_) => costs.push(format!("{off_by} to either side hardly matters.")),
        None => {}
    }
    if let Some(minutes) = slow(bed, way, desk) {
        let gel = bed.paced.pace.gel.likely() / 60.0;
        costs.push(if minutes < gel {
            format!(
                "Cloth at the slow end of its range takes {}.",
                desk.say_about(Unit::Minute, minutes)
            )
        } else {
            "With cloth at the slow end of its range the resin gels first.".to_owned()
        });
    }
    for (n, at) in way.vented.early.iter().take(2) {
        costs.push(format!(
            "Clamp vent {} when it is wet, after about {}: it is early.",
            n + 1,
            desk.say_about(Unit::Minute, *at)
        ));
    }
    costs
}

pub(super) fn told(
    beds: &[Bed],
    (tried, best, wants): (&[Tried], &[Standing], &[String]),
    desk: &Desk,
    solves: usize,
) -> Layouts {
    let least_tube = best
        .iter()
        .map(|one| one.tube)
        .fold(f64::INFINITY, f64::min);
    let likely = best.iter().map(|one| one.time.likely());
    let least_time = likely.fold(f64::INFINITY, f64::min);
    let mut layouts = Vec::new();
    for way in best {
        let bed = &beds[way.bed];
        let cell = desk.cell(Unit::Minute, &way.time.times(1.0 / 60.0));
        let mut why = Vec::new();
        match way.reach {
            Reach::Will => {}
            Reach::MayNot => why.push("it may not fill in time"),
            Reach::WillNot => why.push("it will not fill in time"),
        }
        if best.len() > 1 && way.time.likely() <= least_time {
            why.push("the quickest of these");
        }
        if best.len() > 1 && way.tube <= least_tube {
            why.push("the shortest feed line of these");
        }
        why.push(if way.vented.left > 0 {
            "fronts close round more places than can be vented"
        } else if way.meets {
            "fronts meet, and vents stand where they do"
        } else {
            "one front that drives the air before it"
        });
        let why = why.join("; ");
        let mut said = vec![format!("{}{}.", why[..1].to_ascii_uppercase(), &why[1..])];
        said.extend(costs(bed, way, desk));
        layouts.push(Layout {
            title: if way.meshed {
                format!("{}, under a flow mesh", way.title)
            } else {
                way.title.clone()
            },
            why: said.join(" "),
            lines: way.vented.lines.iter().map(laid_line).collect(),
            flow_mesh: way.meshed,
            time_text: cell.text,
            time_range: cell.range,
            reach: way.reach,
            tube_text: desk.say_about(Unit::Metre, way.tube),
        });
    }
    Layouts {
        sentence: sentence(tried, best, wants),
        tried: tried.len(),
        solved: solves,
        best: layouts,
    }
}
