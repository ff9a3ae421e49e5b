//! What the post-cure that the plan asks for does to the part, in words.

use super::{Green, HOUR, SLOWEST, cooler};
use crate::law::LawError;
use crate::plan::fields::POST_RAMP;
use crate::sheet::Spread;
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::cure::STAGE;
use crate::stage::cure::programme::Post;
use crate::units::Unit;

/// The post-cure that the plan asks for, worked out.
pub(super) struct Asked<'a> {
    pub(super) green: &'a Green<'a>,
    pub(super) post: Post,
    /// Temperature of the oven, likely [K].
    pub(super) top: f64,
    pub(super) on_mould: bool,
    /// Smallest lead of the glass transition over the oven [K].
    pub(super) lead: Spread,
    /// Glass transition at its end [K].
    pub(super) tg: Spread,
    /// Fastest warming that the part bears [K/s].
    pub(super) fastest: Spread,
}

impl Asked<'_> {
    pub(super) fn softens(&self) -> bool {
        self.lead.likely() < 0.0
    }

    /// Whether an oven can warm slowly enough for it.
    fn slower_helps(&self) -> bool {
        self.fastest.likely() > 1.2 * SLOWEST / HOUR
    }

    /// Whether the oven is hotter than the resin ever stands.
    fn too_hot(&self) -> bool {
        self.top > self.green.tg_ultimate.likely() + self.green.offset
    }

    /// Fastest warming that the part bears, in words.
    fn quick(&self, bench: &Bench<'_>) -> String {
        let fastest = self.fastest.times(HOUR);
        bench.desk.say(Unit::KelvinPerHour, &fastest)
    }

    pub(super) fn sentence(&self, bench: &Bench<'_>) -> Result<String, LawError> {
        let desk = &bench.desk;
        let ends = desk.say(Unit::Celsius, &self.tg.map(|t| t - ZERO_C));
        let quick = self.quick(bench);
        let cooler = self.cooler_oven(bench)?;
        Ok(match (self.softens(), self.on_mould) {
            (false, _) if self.lead.share(|x| x < 0.0) > 0.1 => format!(
                "It ends with a glass transition of about {ends}. On the way the oven may catch up with it: at up to {surely} it would not, or leave the part supported.",
                surely = desk.say_low(Unit::KelvinPerHour, &self.fastest.times(HOUR)),
            ),
            (false, _) => format!(
                "It ends with a glass transition of about {ends}, and the part stays harder than the oven is hot{}.",
                if self.fastest.likely() * HOUR < 100.0 {
                    format!("; it would stand warming by up to about {quick}")
                } else {
                    String::new()
                }
            ),
            (true, false) if self.slower_helps() => format!(
                "Warm more slowly, by no more than about {quick}: {} the oven gets ahead of the glass transition, and a part off its mould sags. In the end it reaches about {ends}.",
                self.warming(bench)
            ),
            (true, false) if self.too_hot() => format!(
                "That oven is hotter than this resin ever stands, about {} when fully cured: a part off its mould sags in it, however slowly it warms. Keep it on the mould{}.",
                self.most(bench),
                cooler.map_or_else(String::new, |cooler| format!(", or {cooler}")),
            ),
            (true, false) => format!(
                "It goes into that oven too soft for any warming: keep it on the mould, or {}. In the end it would reach about {ends}.",
                cooler
                    .as_deref()
                    .unwrap_or("leave it longer at the shop's temperature first"),
            ),
            (true, true) => format!(
                "The oven gets ahead of the glass transition and the part softens, but the mould holds its shape; let it cool on the mould. It ends with a glass transition of about {ends}."
            ),
        })
    }

    /// At what warming the oven was taken.
    fn warming(&self, bench: &Bench<'_>) -> String {
        if bench.plan.given(&POST_RAMP).is_some() {
            return "at the warming you typed".to_owned();
        }
        let ramp = self.post.ramp * HOUR;
        format!(
            "at the usual {} each hour",
            bench.desk.say_plain(Unit::Kelvin, ramp)
        )
    }

    /// The most that the resin ever stands.
    fn most(&self, bench: &Bench<'_>) -> String {
        let green = self.green;
        let most = green.tg_ultimate.map(|t| t + green.offset - ZERO_C);
        bench.desk.say(Unit::Celsius, &most)
    }

    /// A cooler oven for a free part that no slower warming helps; none where there is none, or none is wanted.
    fn cooler_oven(&self, bench: &Bench<'_>) -> Result<Option<String>, LawError> {
        if !self.softens() || self.slower_helps() || self.on_mould {
            return Ok(None);
        }
        let found = cooler(self.green, self.green.air, self.top)?;
        let desk = &bench.desk;
        Ok(found.map(|(top, ramp)| {
            format!(
                "post-cure at no more than {}, warmed by no more than {} each hour",
                desk.say_plain(Unit::Celsius, top),
                desk.say_plain(Unit::Kelvin, ramp),
            )
        }))
    }

    /// What a part off its mould is in for; `off` is from when on it may leave it [s].
    pub(super) fn notes(&self, bench: &mut Bench<'_>, off: &Spread) {
        if self.on_mould {
            return;
        }
        if self.softens() {
            let sentence = if self.slower_helps() {
                format!(
                    "The post-cure softens the part: warm by no more than about {}, or keep it on the mould.",
                    self.quick(bench)
                )
            } else if self.too_hot() {
                "The post-cure is hotter than this resin ever stands: choose a cooler one, or keep the part on the mould.".to_owned()
            } else {
                "The part is still too soft for that oven: begin later, choose a cooler one, or keep the part on the mould.".to_owned()
            };
            bench.problem(STAGE, sentence);
        }
        let from = self.post.from;
        let late = off.share(|t| t > from);
        if off.likely() <= from && late > 0.1 {
            bench.advice(
                STAGE,
                "Test how hard the part is before the post-cure: it may not be ready to leave its mould by then. If so, let the oven wait, or keep the part on the mould.",
            );
        }
        if off.likely() > from {
            bench.problem(
                STAGE,
                "The part is not hard enough to leave its mould when the post-cure begins. Begin it later, or keep the part on the mould.",
            );
        }
    }
}
