//! Tells what a load does: figures, words and cautions.

use super::super::deepen::Tested;
use super::super::{Laid, STAGE, Stacked};
use super::core::Cores;
use super::figures::figures;
use super::{Buckles, Stated};
use crate::law::LawError;
use crate::law::failure::Mode;
use crate::plan::fields::{LOAD_LIMIT, LOAD_RESERVE};
use crate::plan::{Held, LoadCase, Sides};
use crate::sheet::{Desk, LoadSheet, Spread};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Names of the places, as the plate law orders them.
const PLACES: [&str; 6] = [
    "in the middle",
    "at the middle of the edge across the part",
    "at the middle of the edge along the part",
    "in the corners",
    "a quarter of the length in",
    "a quarter of the width in",
];

pub(super) struct Found {
    pub(super) deflection: Option<Spread>,
    pub(super) ply: Spread,
    pub(super) core: Option<Spread>,
    pub(super) wrinkling: Option<Spread>,
    pub(super) crush: Option<Spread>,
    pub(super) buckles: Option<Buckles>,
    pub(super) rings: Option<Spread>,
    pub(super) strain: Spread,
    pub(super) weak: Option<Weak>,
}

/// The weakest places with everything likely, by row of the stack.
pub(super) struct Weak {
    pub(super) ply: Option<(usize, usize, Mode)>,
    pub(super) core: usize,
    /// The core, and whether the face lies above it.
    pub(super) wrinkles: (usize, bool),
}

/// What gives way first.
#[derive(Clone, Copy, PartialEq)]
enum First {
    Ply,
    Core,
    Wrinkling,
    Crush,
    Buckling,
}

pub(super) fn told(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    tested: &Tested,
    stated: &Stated,
    cores: &Cores,
    found: Found,
) -> Result<LoadSheet, LawError> {
    let wanted = bench.take(&LOAD_RESERVE).likely();
    let limit = bench.plan.given(&LOAD_LIMIT).map(|range| range.likely);
    let (least, first) = weakest(&found);
    let short = if stated.is_panel() {
        stated.length.min(stated.width)
    } else {
        stated.length
    };
    let give = found.deflection.as_ref().map_or(0.0, Spread::likely);
    // Where it sinks by half its width nothing of the theory of plates is left, and a figure would only look like one.
    let hangs = give > 0.5 * short;
    let large = stated.is_panel() && !hangs && give > 0.5 * stacked.thickness.likely();
    let desk = &bench.desk;
    let mut sentence = match &found.deflection {
        _ if hangs => hanging(stated).to_owned(),
        Some(deflection) => gives(desk, deflection, limit, large),
        None => String::new(),
    };
    let chance = least.share(|r| r >= wanted);
    if !hangs {
        let keeps = likelihood(
            chance,
            [
                "it keeps",
                "it probably keeps",
                "it may not keep",
                "it probably does not keep",
                "it does not keep",
            ],
        );
        let space = if sentence.is_empty() { "" } else { " " };
        sentence += &format!(
            "{space}{} at {} times this load: {keeps} the reserve of {} that you want.",
            match first {
                First::Buckling => "It would buckle",
                _ => "First damage would come",
            },
            desk.say(Unit::One, &least),
            crate::units::plain(wanted),
        );
    }
    if let Some(buckles) = &found.buckles {
        sentence += &format!(" {}", push_in_words(desk, stated, buckles));
    }
    let weakest = if hangs {
        String::new()
    } else {
        weakest_in_words(first, stacked, stated, found.weak.as_ref())
    };
    advise(
        bench,
        &Told {
            chance,
            first,
            hangs,
            limit,
        },
        &found,
    );
    doubts(bench, stated, (give, short), (large, hangs));
    if !large && !hangs && found.strain.likely() > tested.least_knee && tested.least_knee > 0.0 {
        bench.advice(
            STAGE,
            "Under this load the flax works beyond its knee: it gives more than shown, and does not spring back all the way.",
        );
    }
    if stated.case == LoadCase::Point && cores.any() && !cores.crush_known {
        bench.advice(
            STAGE,
            "Whether the force crushes the core is not known: write the strength pressed through its thickness into your own core.",
        );
    }
    bench.caution(
        STAGE,
        "Load figures are for planning. Where a part carries people or could hurt somebody when it breaks, ask a qualified engineer and break a sample first.",
    );
    Ok(figures(
        bench,
        stated,
        hangs,
        &least,
        (sentence, weakest),
        &found,
    ))
}

/// That it is far too thin, in words.
fn hanging(stated: &Stated) -> &'static str {
    if stated.is_panel() {
        "It is too thin for this load to be worked out as a plate: it hangs between its edges like a cloth. Lay more plies or a core until a give is shown."
    } else {
        "It is too thin for this load: the strip folds up rather than bends. Lay more plies or a core, or shorten the span."
    }
}

/// How far it gives, and how likely that is within what is allowed.
fn gives(desk: &Desk, deflection: &Spread, limit: Option<f64>, large: bool) -> String {
    let mm = deflection.times(1000.0);
    // Beyond half its thickness a panel also carries by stretching.
    let at_most = if large { "at most " } else { "" };
    let mut sentence = format!("It gives {at_most}{}", desk.say(Unit::Millimetre, &mm));
    if let Some(limit) = limit {
        let chance = mm.share(|w| w <= limit);
        sentence += &format!(
            ": {} the {} you allow",
            likelihood(
                chance,
                [
                    "within",
                    "probably within",
                    "perhaps beyond",
                    "probably beyond",
                    "beyond"
                ]
            ),
            desk.say_plain(Unit::Millimetre, limit)
        );
    }
    sentence + "."
}

/// What gives way first, and where.
fn weakest_in_words(
    first: First,
    stacked: &Stacked,
    stated: &Stated,
    weak: Option<&Weak>,
) -> String {
    match first {
        First::Buckling => "All of it, by buckling.".to_owned(),
        First::Crush => "The core under the force, crushed.".to_owned(),
        First::Core => {
            let row = weak.map_or(0, |weak| weak.core);
            let core = core_in_words(stacked, row);
            format!("{}, in shear.", core.as_deref().unwrap_or("The core"))
        }
        First::Wrinkling => {
            let (row, above) = weak.map_or((0, true), |weak| weak.wrinkles);
            format!(
                "The face {} {}, wrinkling into it.",
                if above { "above" } else { "below" },
                core_in_words(stacked, row).as_deref().unwrap_or("the core")
            )
        }
        First::Ply => ply_in_words(stacked, stated, weak.and_then(|weak| weak.ply)),
    }
}

/// Where bending alone no longer tells how far it gives.
fn doubts(
    bench: &mut Bench<'_>,
    stated: &Stated,
    (give, short): (f64, f64),
    (large, hangs): (bool, bool),
) {
    if large {
        bench.advice(
            STAGE,
            if give > 0.1 * short {
                "The panel gives more than a tenth of its width by bending alone: figures of bending say little there. Lay more plies or a core; if it may sag, try a sample."
            } else {
                "The panel gives more than half its thickness: it then also carries by stretching, and really gives less than shown."
            },
        );
    }
    if !hangs && !stated.is_panel() && give > 0.1 * stated.length {
        bench.advice(
            STAGE,
            "The strip gives more than a tenth of its length: the figures are too rough there. Shorten it, make it thicker, or try a sample.",
        );
    }
}

/// The least of all reserves in every draw, and which is least with everything likely.
fn weakest(found: &Found) -> (Spread, First) {
    let others = [
        (First::Core, found.core.as_ref()),
        (First::Wrinkling, found.wrinkling.as_ref()),
        (First::Crush, found.crush.as_ref()),
        (
            First::Buckling,
            found.buckles.as_ref().map(|buckles| &buckles.reserve),
        ),
    ];
    let (mut least, mut first) = (found.ply.clone(), First::Ply);
    for (which, other) in others {
        let Some(other) = other else { continue };
        if other.likely() < least.likely() {
            first = which;
        }
        least = Spread::from([&least, other], |[a, b]| a.min(b));
    }
    (least, first)
}

fn push_in_words(desk: &Desk, stated: &Stated, buckles: &Buckles) -> String {
    let say = |load: &Spread| desk.say(Unit::NewtonPerMillimetre, &load.times(1e-3));
    let mut words = match (stated.sides, stated.held) {
        (Sides::Free, Held::Resting) => "A flat, even strip whose ends may turn buckles at ",
        (Sides::Free, Held::Clamped) => "A flat, even strip whose ends cannot turn buckles at ",
        (Sides::Held, Held::Resting) => {
            "A flat, even panel whose four edges may turn but not move out buckles at "
        }
        (Sides::Held, Held::Clamped) => {
            "A flat, even panel whose four edges may neither turn nor move out buckles at "
        }
    }
    .to_owned();
    words += &say(&buckles.load);
    words += "; a real one at about half of that.";
    if let Some(four) = &buckles.on_four {
        words += &format!(
            " It is taken as a strip; if something keeps its long edges from moving out as well, say so, and a flat one buckles at {}.",
            say(four)
        );
    }
    words
}

/// A core by its name and place where there are several.
fn core_in_words(stacked: &Stacked, row: usize) -> Option<String> {
    let cores = |rows: &[Laid]| rows.iter().filter(|row| row.cloth.is_none()).count();
    let laid = stacked.rows.get(row).filter(|_| cores(&stacked.rows) > 1)?;
    let place = cores(stacked.rows.get(..=row)?);
    Some(format!("{}, core {place} from the mould", laid.name))
}

fn ply_in_words(stacked: &Stacked, stated: &Stated, weak: Option<(usize, usize, Mode)>) -> String {
    weak.map_or_else(String::new, |(place, row, mode)| {
        format!(
            "{}, {}, {}.",
            stacked
                .rows
                .get(row)
                .map_or("the laminate", |row| &row.name),
            mode_in_words(mode),
            match stated.case {
                LoadCase::Edge => "all along",
                _ if stated.is_panel() => PLACES[place.min(5)],
                _ => "where the moment is largest",
            }
        )
    })
}

struct Told {
    chance: f64,
    first: First,
    hangs: bool,
    limit: Option<f64>,
}

fn advise(bench: &mut Bench<'_>, told: &Told, found: &Found) {
    if told.chance < 0.5 || told.hangs {
        bench.problem(
            STAGE,
            match told.first {
                First::Buckling => "It buckles too soon for the stated push and reserve. Thickness helps most: a quarter more nearly doubles what it bears. A core does as well, or a stiffener that keeps its edges or its middle from moving out.",
                First::Crush => "The core crushes under the stated force and reserve. Spread the force over a wider patch, or lay thicker faces or a harder core there.",
                _ => "The stack is too weak for the stated load and reserve. Add plies on the faces, lay a core, or shorten the span.",
            },
        );
    }
    if let (Some(limit), Some(deflection)) = (told.limit, &found.deflection)
        && deflection.share(|w| w * 1000.0 <= limit) < 0.5
    {
        bench.problem(
            STAGE,
            "The part gives more than you allow. Thickness helps most: a third more of it makes a panel more than twice as stiff.",
        );
    }
}

/// A chance in words, from nine in ten to one in ten.
fn likelihood(chance: f64, words: [&'static str; 5]) -> &'static str {
    let [sure, likely, open, unlikely, no] = words;
    match chance {
        c if c >= 0.9 => sure,
        c if c >= 0.7 => likely,
        c if c >= 0.3 => open,
        c if c > 0.1 => unlikely,
        _ => no,
    }
}

fn mode_in_words(mode: Mode) -> &'static str {
    match mode {
        Mode::AlongTension => "pulled along its fibres",
        Mode::AlongCompression => "pushed along its fibres",
        Mode::AcrossTension => "cracking between its fibres",
        Mode::AcrossCompression => "pushed across its fibres",
        Mode::Shear => "in shear",
    }
}
