//! The drop test in words: the verdict and how sure it is, whether it passes, and what it means for this part.

use super::gauge::{Gauge, about};
use super::test::Tested;
use super::{Job, MBAR, MBAR_MIN, STAGE, chart, next};
use crate::law::drop_test::{Course, Judged, Verdict};
use crate::plan::Logged;
use crate::plan::Route;
use crate::plan::fields::LEAK_LIMIT;
use crate::sheet::{BagSheet, Estimate, Head, Share, Spread, TestSheet};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// What the words are made from.
pub(super) struct Facts<'a> {
    pub(super) job: &'a Job<'a>,
    pub(super) gauge: &'a Gauge,
    pub(super) tested: &'a Tested,
    /// The readings as they were typed.
    pub(super) lines: &'a [Logged],
    /// The sheet so far: its figures.
    pub(super) sheet: &'a BagSheet,
    /// Air until gel over the part's resin, by volume [-].
    pub(super) share_of_resin: Option<Spread>,
    /// What the gauge would need to tell the water left.
    pub(super) refused: Option<String>,
}

/// Head and test.
pub(super) struct Said {
    pub(super) head: Head,
    pub(super) test: TestSheet,
}

pub(super) fn tell(bench: &mut Bench<'_>, facts: &Facts<'_>) -> Said {
    let judged = &facts.tested.judged;
    let limit = bench.take(&LEAK_LIMIT);
    let passes = passes(facts, &limit);
    let limit = bench.desk.say(Unit::MillibarPerMinute, &limit);
    let main = main(facts);
    let core = core(bench, facts);
    let mut means = means(bench, facts);
    if facts.tested.is_told() {
        means.insert(0, against(bench, facts, passes, &limit));
    }
    Said {
        head: Head::new(
            STAGE,
            format!("{core}{}", verdict_on_limit(facts, passes, &limit)),
            main,
        ),
        test: TestSheet {
            verdict: word(judged.verdict),
            sure: judged.sure.clamp(0.0, 1.0),
            sentence: format!("{core}{}", how_sure(facts)),
            passes,
            means,
            next: next::next(bench, facts, passes),
            shares: shares(judged),
            chart: chart::draw(bench, facts),
        },
    }
}

fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::TooFew => "too_few",
        Verdict::Tight => "tight",
        Verdict::Leak => "leak",
        Verdict::Vapour => "vapour",
        Verdict::Both => "both",
        Verdict::Open => "open",
    }
}

/// Whether the whole range of the leak lies on one side of the limit.
fn passes(facts: &Facts<'_>, limit: &Spread) -> Option<bool> {
    let leak = facts.sheet.leak_mbar_min.as_ref()?;
    let limit = limit.likely();
    let judged = &facts.tested.judged;
    // Too few readings to be sure of anything send nobody to search for a leak.
    let may_fail = judged.verdict != Verdict::TooFew || judged.above_saturation;
    if judged.falling {
        None
    } else if leak.high < limit {
        Some(true)
    } else if leak.low > limit && may_fail {
        Some(false)
    } else {
        None
    }
}

/// Field of the figure that matters most.
fn main(facts: &Facts<'_>) -> &'static str {
    let sheet = facts.sheet;
    if facts.tested.judged.falling || sheet.leak_mbar_min.is_none() {
        "pump_down_min"
    } else if facts.tested.course() == Some(Course::Vapour) && sheet.vapour_rise_mbar.is_some() {
        "vapour_rise_mbar"
    } else {
        "leak_mbar_min"
    }
}

fn figure(estimate: Option<&Estimate>) -> String {
    estimate.map_or_else(String::new, |estimate| estimate.shown.with_unit())
}

/// The verdict with its main figure.
fn core(bench: &Bench<'_>, facts: &Facts<'_>) -> String {
    let (tested, sheet) = (facts.tested, facts.sheet);
    let judged = &tested.judged;
    let rate = figure(sheet.leak_mbar_min.as_ref());
    let rise = figure(sheet.vapour_rise_mbar.as_ref());
    let pump = sheet.pump_down_min.shown.with_unit();
    if !tested.is_told() {
        return format!(
            "{} A tight bag over dry cloth is pumped down in about {pump}.",
            why_nothing(tested)
        );
    }
    if judged.falling {
        return format!(
            "The pressure in the bag falls, which neither a leak nor water does: let the bag come to an even temperature, with the pump shut off, and read again. A tight bag over dry cloth is pumped down in about {pump}."
        );
    }
    let looks = match tested.course() {
        Some(Course::Leak) => format!("It looks like a leak of about {rate}"),
        Some(Course::Vapour) => format!("It looks like water, a rise of about {rise}"),
        Some(Course::Both) => {
            format!("It looks like water and a leak of about {rate} together")
        }
        None => format!("Nothing stands out yet; a leak would be about {rate}"),
    };
    match judged.verdict {
        Verdict::Leak => format!("It leaks: air makes the gauge rise by about {rate}."),
        Verdict::Both => {
            format!("It is water and a leak: the leak alone makes the gauge rise by about {rate}.")
        }
        Verdict::Vapour => {
            format!("It is water, not a leak: the gauge rises by about {rise} and comes to rest.")
        }
        Verdict::Tight => format!(
            "The gauge tells no rise: a leak is about {rate}, and no more than {}.",
            about(bench, Unit::MillibarPerMinute, judged.rate[2] * MBAR_MIN)
        ),
        Verdict::Open => format!("{looks}, but your readings do not settle it yet."),
        Verdict::TooFew => format!("{looks}, but {} to be sure.", too_little(bench, tested)),
    }
}

/// Why there is no fit.
fn why_nothing(tested: &Tested) -> &'static str {
    match tested.kept.readings.len() {
        0 => "None of your readings can be used: check them, and what the gauge counts.",
        1 | 2 => "Take more readings: eight over ten minutes or longer tell a leak from water.",
        _ => "Your readings all carry the same time: write the minute of each beside it.",
    }
}

fn too_little(bench: &Bench<'_>, tested: &Tested) -> String {
    let count = tested.kept.readings.len() - tested.judged.doubtful.len();
    if count < 8 {
        format!("{count} readings are too few")
    } else {
        let span = bench.desk.say_plain(Unit::Minute, minutes(tested.span()));
        format!("{span} are too short")
    }
}

/// Whole minutes, or one figure of less than one.
pub(super) fn minutes(seconds: f64) -> f64 {
    let minutes = seconds / 60.0;
    if minutes < 1.0 {
        (10.0 * minutes).ceil() / 10.0
    } else {
        minutes.round()
    }
}

/// How sure the verdict is, and until when to read on.
fn how_sure(facts: &Facts<'_>) -> String {
    let tested = facts.tested;
    let judged = &tested.judged;
    if !tested.is_told() || judged.falling {
        return String::new();
    }
    let sure = (100.0 * judged.sure).floor().clamp(1.0, 99.0);
    let unsettled = matches!(judged.verdict, Verdict::TooFew | Verdict::Open);
    let mut said = if !unsettled {
        format!(" That is about {sure:.0}% sure.")
    } else if judged.leaning.is_some() {
        format!(" So far this is about {sure:.0}% sure.")
    } else {
        String::new()
    };
    if judged.above_saturation {
        said +=
            " The gauge has risen by more than water can lift it at this temperature: that is air.";
    }
    if unsettled {
        match tested.worth_reading_until() {
            Some(until) => {
                said += &format!(" Take a few more, until about minute {:.0}.", until / 60.0);
            }
            None if judged.settle_after.is_some() => {
                said += " It takes hours until this gauge tells: use a finer one, or repeat the test as told below.";
            }
            None => {
                said +=
                    " More readings of this kind may not settle it; repeat the test as told below.";
            }
        }
    }
    said
}

/// The limit, as the short answer has it.
fn verdict_on_limit(facts: &Facts<'_>, passes: Option<bool>, limit: &str) -> String {
    let sure = matches!(
        facts.tested.judged.verdict,
        Verdict::Leak | Verdict::Both | Verdict::Tight | Verdict::Vapour
    );
    match passes {
        Some(true) if sure => format!(" That passes your limit of {limit}."),
        Some(false) => format!(" That does not pass your limit of {limit}: find the leak first."),
        None if sure => format!(" Whether it passes your limit of {limit} is open."),
        Some(true) => format!(" Either way a leak lies below your limit of {limit}."),
        None => String::new(),
    }
}

/// The same in full.
fn against(bench: &Bench<'_>, facts: &Facts<'_>, passes: Option<bool>, limit: &str) -> String {
    let Some(leak) = &facts.sheet.leak_mbar_min else {
        return format!(
            "Whether it passes your limit of {limit} cannot be told while the pressure falls."
        );
    };
    let shown = &leak.shown;
    let leak = if leak.low < 0.05 * leak.high {
        let most = about(bench, Unit::MillibarPerMinute, leak.high);
        format!("no more than {most}")
    } else if shown.range.is_empty() {
        shown.with_unit()
    } else {
        shown.range_with_unit()
    };
    match passes {
        Some(true) => format!("It passes: a leak of {leak} lies below your limit of {limit}."),
        Some(false) => {
            format!("It does not pass: a leak of {leak} lies above your limit of {limit}.")
        }
        None if facts.tested.judged.falling => {
            format!(
                "Whether it passes your limit of {limit} cannot be told while the pressure falls."
            )
        }
        None => {
            format!("Whether it passes is open: a leak of {leak} against your limit of {limit}.")
        }
    }
}

/// What it means for this part.
fn means(bench: &Bench<'_>, facts: &Facts<'_>) -> Vec<String> {
    let (tested, sheet) = (facts.tested, facts.sheet);
    let mut out = Vec::new();
    if !tested.is_told() || tested.judged.falling {
        return out;
    }
    if matches!(tested.course(), Some(Course::Leak | Course::Both)) {
        if let (Some(air), Some(share)) = (&sheet.air_until_gel_ml, &facts.share_of_resin) {
            out.push(format!(
                "Until the resin gels, about {} of shop air come in, {} the part's resin by volume. What of it passes through wet cloth leaves voids there.",
                air.shown.with_unit(),
                times(bench, share)
            ));
        }
        if let Some(lowest) = &sheet.lowest_with_leak_mbar {
            let bag = facts.job.air.bag.likely() / MBAR;
            out.push(if lowest.likely > 1.05 * bag {
                format!(
                    "With this leak the pump gets no lower than about {}, and not to the {} you count on.",
                    lowest.shown.with_unit(),
                    sheet.bag_pressure_mbar.shown.with_unit()
                )
            } else {
                format!(
                    "With this leak the pump still gets to about {}, because it carries off what comes in; a good gauge at the pump hides a leak.",
                    lowest.shown.with_unit()
                )
            });
        }
        if let (Some(throughput), Some(hole)) = (&sheet.leak_throughput_mbar_l_s, &sheet.hole_um) {
            out.push(format!(
                "As a throughput that is {}, whatever the size of the bag: one round hole of about {} lets as much in.",
                throughput.shown.with_unit(),
                hole.shown.with_unit()
            ));
        }
    }
    if tested.has_vapour() {
        out.push(water(bench.plan.route, facts));
    }
    if let Some(regain) = &sheet.regain_left_pct {
        out.push(format!(
            "By the gauge about {} of water is left in the cloth, counted on its dry mass.",
            regain.shown.with_unit()
        ));
    }
    out
}

/// A share of something, or how many times it.
fn times(bench: &Bench<'_>, share: &Spread) -> String {
    if share.likely() < 1.0 {
        format!("{} of", bench.desk.say(Unit::Percent, &share.times(100.0)))
    } else {
        format!("{} times", about(bench, Unit::One, share.likely()))
    }
}

fn water(route: Route, facts: &Facts<'_>) -> String {
    let certain = facts.tested.judged.verdict == Verdict::Vapour;
    let seals = match (facts.job.damp, certain) {
        _ if route != Route::Infusion => {
            "Sealing does not help against water, and under its resin this cloth cannot be dried any more: hold the bag at a pressure at which nothing bubbles."
        }
        (None, _) => {
            "Look for damp under the film, since this cloth holds no water to speak of: core, breather, mould or hose."
        }
        (_, true) => "Sealing does not help: dry the cloth more.",
        (_, false) => "Sealing does not help against the water: dry the cloth more.",
    };
    match &facts.sheet.plateau_mbar {
        Some(rest) if certain && facts.sheet.humidity_pct.is_some() => format!(
            "{seals} Where resin stands below {}, the pressure at rest, this water makes bubbles in it.",
            rest.shown.with_unit()
        ),
        _ => seals.into(),
    }
}

fn shares(judged: &Judged) -> Vec<Share> {
    // Weights mean nothing before there are enough readings.
    if judged.fits.is_empty() || judged.falling || judged.verdict == Verdict::TooFew {
        return Vec::new();
    }
    ["a leak", "water", "water and a leak"]
        .into_iter()
        .zip(judged.shares)
        .map(|(name, share)| {
            let share = share.clamp(0.0, 1.0);
            Share {
                name,
                share,
                text: format!("{:.0}%", 100.0 * share),
            }
        })
        .collect()
}
