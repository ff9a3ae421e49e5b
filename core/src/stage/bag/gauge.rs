//! What this gauge can tell: its step, how far its level may be off, and the bag's pressure on every other kind.

use super::test::Tested;
use super::{MBAR, MBAR_MIN, STAGE};
use crate::plan::fields::{ALTITUDE, GAUGE_CLASS, GAUGE_STEP, ROOM_PRESSURE};
use crate::plan::{GAUGE_KINDS, GaugeKind, Words};
use crate::range::Range;
use crate::sheet::{Asked, Basis, Estimate, Grade, Law, Marked, Origin, Shown, Spread};
use crate::stage::air::Air;
use crate::stage::bench::{Bench, Fallback};
use crate::stage::needle;
use crate::units::{Unit, Units, join_unit, place_for, plain};

/// Whole scale of a vacuum gauge [Pa].
const SPAN: f64 = 1000.0 * MBAR;

/// Ten minutes, over which a rise is watched [s].
const WATCHED: f64 = 600.0;

/// A digital gauge is off by so many of its steps.
const STEPS_OFF: f64 = 4.0;

/// The gauge in hand.
pub(super) struct Gauge {
    pub(super) kind: GaugeKind,
    /// Air outside, likely [Pa].
    pub(super) local: f64,
    /// Smallest step that can be read [Pa].
    pub(super) step: Spread,
    /// How far the instrument may be off in its level [Pa].
    pub(super) off: f64,
    /// How far the level of a reading may be off, the air outside included [Pa].
    pub(super) level: f64,
    /// Whether its level means something: it counts from a vacuum, or today's air is known.
    pub(super) knows_level: bool,
    /// Accuracy class, where it is printed and typed [%].
    class: Option<f64>,
}

/// Reads what the plan says of its gauge.
pub(super) fn gauge(bench: &mut Bench<'_>, air: &Air) -> Gauge {
    let kind = bench.plan.gauge;
    let local = air.outside.likely();
    let unit = needle::unit(kind, local);
    let usual = needle::play(kind) / 4.0;
    let typed = bench.plan.given(&GAUGE_STEP).is_some();
    let step = bench
        .take_or(
            &GAUGE_STEP,
            Fallback {
                range: Range::new(0.4 * usual, usual, 2.0 * usual),
                grade: Grade::Judgement,
                sources: &["judgement_gauge"],
            },
        )
        .times(unit)
        .map(|step| step.clamp(1e-3, SPAN));
    let class = bench.plan.given(&GAUGE_CLASS).map(|class| class.likely);
    let absolute = needle::counts_from_vacuum(kind);
    let play = needle::play(kind) * unit;
    let off = match class {
        Some(class) => 0.01 * class * SPAN,
        None if absolute && typed => play.min(STEPS_OFF * step.likely()),
        None => play,
    };
    let outside = bench.desk.range(&air.outside);
    let level = if absolute {
        off
    } else {
        off.hypot(0.5 * (outside.high - outside.low))
    };
    Gauge {
        kind,
        local,
        step,
        off,
        level,
        knows_level: absolute || bench.plan.given(&ROOM_PRESSURE).is_some(),
        class,
    }
}

impl Gauge {
    /// The slowest rise that it can tell in ten minutes.
    pub(super) fn slowest_told(&self, bench: &mut Bench<'_>) -> Estimate {
        let steps = bench.desk.take(Asked {
            key: "bag.steps_told".into(),
            label: "Steps of the gauge before a rise counts".into(),
            unit: Unit::One,
            range: Range::new(1.0, 1.5, 2.0),
            limits: (0.5, 5.0),
            origin: Origin::Usual,
            grade: Grade::Judgement,
            sources: vec!["judgement_gauge".into()],
        });
        let slowest = Spread::from([&self.step, &steps], |[step, steps]| {
            step * steps / WATCHED * MBAR_MIN
        });
        bench.desk.estimate(
            "Slowest rise this gauge can tell in ten minutes",
            Unit::MillibarPerMinute,
            &slowest,
            &SLOWEST,
        )
    }

    /// A reading as the gauge shows it, with its unit.
    pub(super) fn reading(&self, value: f64) -> String {
        join_unit(&plain(value), symbol(self.kind))
    }

    pub(super) fn notes(&self, bench: &mut Bench<'_>, tested: Option<&Tested>) {
        if !self.knows_level {
            let [five, much, storm] =
                [5.0, 35.0, 30.0].map(|mbar| about(bench, Unit::Millibar, mbar));
            let mut sentence = format!(
                "Type today's air pressure in your shop, not the one reduced to sea level: your gauge compares the bag with the air around it, weather moves that by up to {storm} either way, and so it cannot tell {five} from {much}. It does show how fast the bag rises."
            );
            if bench.plan.given(&ALTITUDE).is_none() {
                let hill = about(bench, Unit::Millibar, 12.0);
                let height = about(bench, Unit::Metre, 100.0);
                sentence += &format!(
                    " The height of your shop counts too: every {height} take {hill} off."
                );
            }
            bench.advice(STAGE, sentence);
        }
        let Some(class) = self.class else { return };
        bench.desk.cite(&["memory_gauge_class"]);
        let off = about(bench, Unit::Millibar, self.off / MBAR);
        let scale = about(bench, Unit::Millibar, SPAN / MBAR);
        let class = plain(class);
        let rise = tested.map(Tested::height).filter(|rise| *rise < self.off);
        bench.advice(
            STAGE,
            match rise {
                Some(rise) => format!(
                    "Class {class} allows your gauge to be off by {off} anywhere on a scale of {scale}, more than the {} by which your readings rise. Trust the shape of the rise, straight or bending, and not its level.",
                    about(bench, Unit::Millibar, rise / MBAR)
                ),
                None => format!(
                    "Class {class} allows your gauge to be off by {off} anywhere on a scale of {scale}. It follows a rise better than that, but its level says no more."
                ),
            },
        );
    }
}

/// A figure of at most two digits in the reader's unit: "35 mbar".
pub(super) fn about(bench: &Bench<'_>, unit: Unit, value: f64) -> String {
    let units = bench.desk.units;
    let shown = unit.to_shown(value, units);
    let step = 10_f64.powi(place_for(shown, shown.abs(), 2));
    let text = plain((shown / step).round() * step);
    join_unit(&text, unit.symbol_in(units))
}

/// What the dial is marked in.
pub(super) fn symbol(kind: GaugeKind) -> &'static str {
    match kind {
        GaugeKind::MbarAbsolute | GaugeKind::MbarBelow => "mbar",
        GaugeKind::KpaAbsolute | GaugeKind::KpaBelow => "kPa",
        GaugeKind::InHgBelow => "inHg",
        GaugeKind::PercentOfLocal | GaugeKind::PercentOfStandard => "%",
    }
}

/// The bag's pressure as every kind of gauge shows it.
pub(super) fn shown_everywhere(bench: &Bench<'_>, air: &Air) -> Vec<Marked> {
    let kinds = GAUGE_KINDS
        .iter()
        .filter_map(|word| GaugeKind::from_word(word));
    kinds
        .map(|kind| {
            let value = Spread::from([&air.bag, &air.outside], |[bag, outside]| {
                needle::shown(kind, bag, outside)
            });
            let range = bench.desk.range(&value);
            // A gauge is marked in its own unit, whatever its reader prefers.
            let (range, unit, units) = match kind {
                GaugeKind::MbarAbsolute | GaugeKind::MbarBelow => {
                    (range, Unit::Millibar, Units::Metric)
                }
                GaugeKind::KpaAbsolute | GaugeKind::KpaBelow => {
                    (range, Unit::Kilopascal, Units::Metric)
                }
                GaugeKind::InHgBelow => {
                    let inch = needle::unit(kind, SPAN) / MBAR;
                    (range.map(|x| x * inch), Unit::Millibar, Units::Us)
                }
                GaugeKind::PercentOfLocal | GaugeKind::PercentOfStandard => {
                    (range, Unit::Percent, Units::Metric)
                }
            };
            let shown = Shown::of(range, unit, units);
            Marked {
                name: kind.label(),
                text: shown.with_unit(),
                range: shown.range,
            }
        })
        .collect()
}

static SLOWEST: Law = Law {
    says: "one to two steps of the gauge, over ten minutes",
    basis: Basis::Rule,
    sources: &["judgement_gauge"],
};
