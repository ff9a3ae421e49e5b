//! The air around the part from the moment resin is in: shop, night, warmth, post-cure.

use crate::plan::fields::{
    CURE_HOURS, CURE_TEMPERATURE, NIGHT, POST, POST_AFTER, POST_HOURS, POST_RAMP, WARM, WARM_AFTER,
    WARM_HOURS,
};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::solve::sort::sort_numbers;
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::resin_clock::cure_temperature;
use crate::units::Unit;

const HOUR: f64 = 3600.0;
const DAY: f64 = 24.0;
/// Hour of the day at which a shop is coldest.
const COLDEST: f64 = 5.0;
/// Hour at which resin is taken to go in when no start of the day is given.
pub(super) const USUAL_HOUR: f64 = 14.0;
/// Warmth takes so long to come, and twice as long to go [s].
const COMES: f64 = 0.5 * HOUR;
/// An oven that is switched off likely cools at least this fast [K/s].
const COOLS: f64 = 20.0 / HOUR;

/// Temperatures that a solve needs, in kelvin; those that the plan does not name stay unused.
#[derive(Clone, Copy)]
pub(super) struct Warmths {
    /// The shop by day, or where the part cures.
    pub(super) day: f64,
    pub(super) night: f64,
    pub(super) warm: f64,
    pub(super) post: f64,
    /// How slowly warmth comes and goes, over what is usual [-].
    pub(super) lag: f64,
}

/// When what happens, in seconds from the moment resin is in.
pub(super) struct Programme {
    /// Whether the shop cools at night, and the hour of the day at which resin goes in.
    night: Option<f64>,
    /// Warmth while it sets: from, until.
    warm: Option<(f64, f64)>,
    /// Post-cure: from, warming [K/s], time at the top.
    pub(super) post: Option<Post>,
}

/// A post-cure.
#[derive(Clone, Copy)]
pub(super) struct Post {
    pub(super) from: f64,
    pub(super) ramp: f64,
    pub(super) hold: f64,
}

impl Post {
    /// How fast it cools when the oven is off [K/s].
    fn falls(&self, heat: &Warmths) -> f64 {
        self.ramp.max(COOLS) / heat.lag
    }
}

/// The spreads behind [`Warmths`].
pub(super) struct Heats {
    pub(super) day: Spread,
    pub(super) night: Spread,
    pub(super) warm: Spread,
    pub(super) post: Spread,
    pub(super) lag: Spread,
}

impl Heats {
    /// Everything likely.
    pub(super) fn likely(&self) -> Warmths {
        Warmths {
            day: self.day.likely(),
            night: self.night.likely(),
            warm: self.warm.likely(),
            post: self.post.likely(),
            lag: self.lag.likely(),
        }
    }
}

/// Reads the plan.
pub(super) fn programme(bench: &mut Bench<'_>, hour: Option<f64>) -> (Programme, Heats) {
    let kelvin = |x: Spread| x.map(|c| c + ZERO_C);
    let day = kelvin(cure_temperature(bench)).map(|t| t.clamp(273.15, 345.0));
    let mut taken = |field| bench.plan.given(field).map(|_| kelvin(bench.take(field)));
    let (night, warm, post) = (taken(&NIGHT), taken(&WARM), taken(&POST));
    let hours = |bench: &mut Bench<'_>, field| bench.take(field).likely() * HOUR;
    let lasts = warm.is_some().then(|| {
        let from = hours(bench, &WARM_AFTER);
        (from, from + hours(bench, &WARM_HOURS))
    });
    let cured = post.is_some().then(|| {
        let from = match bench.plan.given(&POST_AFTER) {
            Some(_) => hours(bench, &POST_AFTER),
            None => hours(bench, &CURE_HOURS),
        };
        Post {
            from,
            ramp: bench.take(&POST_RAMP).likely() / HOUR,
            hold: hours(bench, &POST_HOURS),
        }
    });
    let programme = Programme {
        night: night.as_ref().map(|_| hour.unwrap_or(USUAL_HOUR)),
        warm: lasts,
        post: cured,
    };
    let unused = || Spread::exact(ZERO_C);
    let lag = if lasts.is_some() || cured.is_some() {
        bench.coefficient(
            "cure.warmth_lags",
            "How slowly warmth comes and goes, over what is usual",
            Range::new(0.5, 1.0, 2.0),
            Grade::Judgement,
            "judgement_warmth",
        )
    } else {
        Spread::exact(1.0)
    };
    let heats = Heats {
        night: night.unwrap_or_else(unused),
        warm: warm.unwrap_or_else(unused),
        post: post.unwrap_or_else(unused),
        day,
        lag,
    };
    (programme, heats)
}

impl Programme {
    /// Whether the air is that of the shop, day and night.
    pub(super) fn plain(&self) -> bool {
        self.night.is_none() && self.warm.is_none() && self.post.is_none()
    }

    /// Whether the shop's own air swings.
    pub(super) fn swings(&self) -> bool {
        self.night.is_some()
    }

    /// The same without a post-cure.
    pub(super) fn without_post(&self) -> Self {
        Self {
            night: self.night,
            warm: self.warm,
            post: None,
        }
    }

    /// The air of the shop [K].
    pub(super) fn shop(&self, t: f64, heat: &Warmths) -> f64 {
        let Some(hour) = self.night else {
            return heat.day;
        };
        let turn = (hour + t / HOUR - COLDEST) / DAY * std::f64::consts::TAU;
        heat.night + (heat.day - heat.night) * 0.5 * (1.0 - turn.cos())
    }

    /// The air around the part [K].
    pub(super) fn air(&self, t: f64, heat: &Warmths) -> f64 {
        let mut air = self.shop(t, heat);
        if let Some((from, until)) = self.warm {
            let come = ((t - from) / (heat.lag * COMES)).clamp(0.0, 1.0);
            let gone = ((t - until) / (2.0 * heat.lag * COMES)).clamp(0.0, 1.0);
            air += (heat.warm - air) * (come - gone).max(0.0);
        }
        if let Some(post) = self.post
            && t > post.from
        {
            let top = post.from + self.climb(&post, heat);
            let down = top + post.hold;
            let oven = if t < down {
                (self.shop(post.from, heat) + post.ramp * (t - post.from)).min(heat.post)
            } else {
                heat.post - post.falls(heat) * (t - down)
            };
            air = if t < down { oven } else { oven.max(air) };
        }
        air
    }

    fn climb(&self, post: &Post, heat: &Warmths) -> f64 {
        (heat.post - self.shop(post.from, heat)).max(0.0) / post.ramp
    }

    /// When the part is cold again after the post-cure [s]; none without one.
    pub(super) fn post_ends(&self, heat: &Warmths) -> Option<f64> {
        let post = self.post?;
        let fall = (heat.post - heat.day).max(0.0) / post.falls(heat);
        Some(post.from + self.climb(&post, heat) + post.hold + fall)
    }

    /// When the air turns a corner [s], in order.
    pub(super) fn corners(&self, heat: &Warmths) -> Vec<f64> {
        let mut corners = Vec::new();
        if let Some((from, until)) = self.warm {
            let comes = heat.lag * COMES;
            corners.extend([from, from + comes, until, until + 2.0 * comes]);
        }
        if let Some(post) = self.post {
            let top = post.from + self.climb(&post, heat);
            let end = self.post_ends(heat).unwrap_or(top);
            corners.extend([post.from, top, top + post.hold, end]);
        }
        corners.retain(|&t| t > 0.0);
        sort_numbers(&mut corners);
        corners
    }

    /// What was taken, in words.
    pub(super) fn told(&self, bench: &Bench<'_>, heats: &Heats, given: bool) -> Vec<String> {
        let desk = &bench.desk;
        let celsius = |x: &Spread| desk.say(Unit::Celsius, &x.map(|t| t - ZERO_C));
        let after = |seconds: f64| {
            if seconds < 60.0 {
                "from the moment resin is in".to_owned()
            } else {
                format!("from {} after the fill", hours_said(seconds))
            }
        };
        let mut said = vec![match self.night {
            None => format!("The air around the part stays at {}.", celsius(&heats.day)),
            Some(hour) => format!(
                "By day {}, at night down to {}, coldest at five in the morning; resin goes in at about {}{}.",
                celsius(&heats.day),
                celsius(&heats.night),
                clock(hour),
                if given {
                    ""
                } else {
                    ", which is assumed: type when the job begins"
                },
            ),
        }];
        if let Some((from, until)) = self.warm {
            said.push(format!(
                "Warmth of {} around it {} for {}; half an hour to come, an hour to go.",
                celsius(&heats.warm),
                after(from),
                hours_said(until - from),
            ));
        }
        if let Some(post) = self.post {
            said.push(format!(
                "Post-cure {}: warming by {} each hour to {}, {} there, then down{}.",
                after(post.from),
                desk.say_plain(Unit::Kelvin, post.ramp * HOUR),
                celsius(&heats.post),
                hours_said(post.hold),
                if bench.plan.post_on_mould {
                    ", on the mould"
                } else {
                    ", off the mould"
                },
            ));
        }
        said
    }
}

/// "8 h", "1.5 h".
pub(super) fn hours_said(seconds: f64) -> String {
    let hours = (seconds / HOUR * 10.0).round() / 10.0;
    crate::units::join_unit(&crate::units::plain(hours), Unit::Hour.symbol())
}

/// Time of day: "14:00".
fn clock(hour: f64) -> String {
    // A cast of a number of minutes in a day.
    let minutes = (hour.rem_euclid(DAY) * 60.0).round() as u32 % 1440;
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// Whether the part cures where the shop's thermometer does not hang.
pub(super) fn elsewhere(bench: &Bench<'_>) -> bool {
    bench.plan.given(&CURE_TEMPERATURE).is_some()
}
