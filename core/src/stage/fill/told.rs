//! What a person must be told about a fill by closed form besides its figures.

use super::ends::Ends;
use super::pace::Pace;
use super::{Ready, STAGE};
use crate::law::{LawError, flow_mesh};
use crate::plan::Feed;
use crate::plan::fields::{FEED_TUBE, FEED_TUBE_BORE, FLOW_LENGTH};
use crate::sheet::{Reach, Spread};
use crate::shelf::{Architecture, Family};
use crate::stage::bench::Bench;
use crate::stage::stack::Stacked;
use crate::units::Unit;

/// A tube that takes less of the time than this is not spoken of; one that takes more than that is a problem where the
/// fill is not in time.
const TUBE_TELLS: f64 = 0.08;
const TUBE_RULES: f64 = 0.5;
/// A mesh that ends before the edge does so by at least this [m]: common practice, 25 to 50 mm.
const LEAST_END: f64 = 0.025;

/// A share of the part that is dry only by the rounding of triangles.
pub(super) const MISSED: f64 = 1e-4;

/// What was worked out.
pub(super) struct Told<'a> {
    pub(super) ready: &'a Ready,
    pub(super) stacked: &'a Stacked,
    pub(super) pace: &'a Pace,
    pub(super) run: &'a Spread,
    pub(super) feed: Feed,
    pub(super) is_drawn: bool,
    pub(super) time: &'a Spread,
    /// Longest run that is safely filled without a mesh, and with one [m].
    pub(super) without: &'a Spread,
    pub(super) with: &'a Spread,
    /// Share of the draws in which it reaches its end before gel [-].
    pub(super) chance: f64,
    pub(super) reach: Reach,
}

/// From where the run is counted.
pub(super) fn from_feed(feed: Feed) -> &'static str {
    match feed {
        Feed::Edge => "from a feed line along one edge",
        Feed::CentreLine => "from a feed line through the middle",
        Feed::Centre => "from a feed point in the middle",
        Feed::AllRound => "in from a feed all round",
    }
}

/// What resin never comes to, for the answer; a share that is there is a problem too.
pub(super) fn missed(bench: &mut Bench<'_>, share: f64) -> String {
    if share <= MISSED {
        return String::new();
    }
    let percent = (share * 100.0).max(1.0);
    bench.problem(
        STAGE,
        format!("Resin never comes to {percent:.0} % of the part as drawn: no feed is joined to it, or an open vent cuts it off. Put a feed there."),
    );
    format!(" But {percent:.0} % of the part is never reached.")
}

impl Told<'_> {
    /// Whether resin reaches the end of its way, and when.
    pub(super) fn answer(&self, bench: &Bench<'_>) -> String {
        let desk = &bench.desk;
        let minutes = |x: &Spread| desk.say(Unit::Minute, &x.times(1.0 / 60.0));
        let gel = &self.pace.gel;
        let (took, gels) = (minutes(self.time), minutes(gel));
        let end = if self.is_drawn {
            "the last corner of the part as drawn".to_owned()
        } else {
            let distance = desk.say(Unit::Millimetre, &self.run.times(1000.0));
            format!("the far edge, {distance} {}", from_feed(self.feed))
        };
        match self.reach {
            Reach::Will => format!(
                "Resin will reach {end}{} in about {took}; it gels after about {gels}.",
                if self.is_drawn { "" } else { "," },
            ),
            Reach::MayNot if self.time.likely() <= gel.likely() => format!(
                "Resin may not reach {end}: likely after {took}, but it could be far slower, and it gels after about {gels}."
            ),
            Reach::MayNot => {
                format!("Resin may not reach {end}: it likely gels first, after about {gels}.")
            }
            Reach::WillNot => {
                format!("Resin will not reach {end}: it gels after about {gels}, long before.")
            }
        }
    }

    /// What is assumed of the run where nobody said, for the answer itself.
    pub(super) fn assumed(&self, bench: &Bench<'_>) -> String {
        if self.is_drawn || bench.plan.given(&FLOW_LENGTH).is_some() {
            String::new()
        } else {
            " You have not said how far resin must run: this is the side of a square of your area. Type the distance.".into()
        }
    }

    pub(super) fn notes(&self, bench: &mut Bench<'_>) -> Result<(), LawError> {
        bench.caution(
            STAGE,
            "Keep nitrile gloves and goggles on at feed and vent, and air the room: resin and hardener sensitise skin and lungs for life.",
        );
        if self.is_drawn
            && let Some(typed) = bench.plan.given(&FLOW_LENGTH)
        {
            let typed = bench.desk.say_plain(Unit::Millimetre, typed.likely);
            bench.advice(
                STAGE,
                format!(
                    "The part is drawn, so the fill goes by its lines and not by the {typed} you typed."
                ),
            );
        }
        self.mesh(bench);
        if bench.plan.flow_mesh && !bench.plan.mesh_in_zones {
            self.mesh_end(bench)?;
        }
        self.tube(bench);
        bench.advice(
            STAGE,
            "Half the way takes a quarter of the time. Do not clamp early because the front has slowed.",
        );
        Ok(())
    }

    /// Whether a mesh is wanted.
    fn mesh(&self, bench: &mut Bench<'_>) {
        if bench.plan.flow_mesh {
            return;
        }
        let (wants, goes) = (kinds(self.stacked, false), kinds(self.stacked, true));
        if !wants.is_empty() && self.reach == Reach::Will {
            bench.advice(
                STAGE,
                format!(
                    "The trade lays a flow mesh on {} (common practice, no source). By the figures here it fills without: try a strip before you trust that.",
                    wants.join(" and ")
                ),
            );
        } else if !wants.is_empty() {
            bench.problem(
                STAGE,
                format!(
                    "Lay a flow mesh: {} hardly lets resin through without one (common practice, no source).",
                    wants.join(" and ")
                ),
            );
        } else if self.reach != Reach::Will {
            bench.problem(
                STAGE,
                format!(
                    "Without a mesh a fill from a line is safe only up to about {}. Lay a mesh, move the feed line nearer, or measure how your own cloth fills on a strip.",
                    bench.desk.say_low(Unit::Millimetre, &self.without.times(1000.0)),
                ),
            );
        } else if !goes.is_empty() {
            let goes = goes.join(" and ");
            bench.advice(
                STAGE,
                format!(
                    "{}{} may go without a flow mesh (common practice, no source), and here the figures agree.",
                    goes[..1].to_ascii_uppercase(),
                    &goes[1..]
                ),
            );
        }
    }

    /// Where the mesh ends, and what that costs on a strip of the same run.
    fn mesh_end(&self, bench: &mut Bench<'_>) -> Result<(), LawError> {
        let mesh = &self.ready.mesh;
        let (run, pace) = (self.run.likely(), self.pace);
        let end = mesh.lag.likely().max(LEAST_END).min(run / 2.0);
        let (mu, drive) = (pace.viscosity.likely(), pace.drive.likely());
        let short = flow_mesh::short_mesh(&mesh.stack, mu, run, end, drive)? * pace.bag.likely();
        let short = short + pace.tube();
        let whole = Ends::strip(Spread::exact(run), true)
            .thin(pace, Feed::Edge, true)?
            .likely();
        let strip = matches!(self.feed, Feed::Edge | Feed::CentreLine) && !self.is_drawn;
        let minutes = |thin: f64| pace.likely_clock(thin) / 60.0;
        let desk = &bench.desk;
        let behind = desk.say(Unit::Millimetre, &mesh.lag.times(1000.0));
        let cost = if short > 1.02 * whole {
            let of = if strip { "" } else { " on a strip of that run" };
            format!(
                "Ending it about {} before the edge holds resin back from a vent that stays open, and the bare cloth after it takes time: about {} in place of {}{of}.",
                desk.say_about(Unit::Millimetre, end * 1000.0),
                desk.say_about(Unit::Minute, minutes(short)),
                desk.say_about(Unit::Minute, minutes(whole)),
            )
        } else {
            "Ending it a little before the edge holds resin back from a vent that stays open."
                .to_owned()
        };
        let sentence = format!(
            "The bottom of the stack is wet about {behind} behind the front you see. Run the mesh to the far edge and clamp the vent when resin comes to it: the bottom then soaks from above. {cost}"
        );
        bench.advice(STAGE, sentence);
        Ok(())
    }

    /// What the tube takes, and a pot that stands too low.
    fn tube(&self, bench: &mut Bench<'_>) {
        let pace = self.pace;
        if self.ready.line.too_low {
            bench.problem(
                STAGE,
                "The pot stands so low that the vacuum cannot lift the resin to the part. Set it higher.",
            );
        }
        let (thin, whole) = (pace.tube(), self.time.likely());
        let alone = pace.likely_thin(whole) - thin;
        let share = thin / (alone.max(0.0) + thin).max(1e-9);
        if share < TUBE_TELLS {
            return;
        }
        let tubes = [&FEED_TUBE, &FEED_TUBE_BORE].map(|field| bench.take(field).likely());
        let desk = &bench.desk;
        let sentence = format!(
            "The feed tube, {} of {} bore, takes about {:.0} % of that time. A bore a fifth wider halves what it takes.",
            desk.say_plain(Unit::Metre, tubes[0]),
            desk.say_plain(Unit::Millimetre, tubes[1]),
            share * 100.0,
        );
        // A fill that is in time needs no remedy, whatever takes most of it.
        if share < TUBE_RULES || self.reach == Reach::Will {
            bench.advice(STAGE, sentence);
        } else {
            bench.problem(STAGE, sentence);
        }
    }
}

/// Kinds of cloth in the stack that the trade infuses without a mesh, or such as it does not.
pub(super) fn kinds(stacked: &Stacked, without: bool) -> Vec<String> {
    let mut kinds = Vec::new();
    for (_, cloth) in stacked.cloths() {
        if cloth.may_go_without_mesh != without {
            continue;
        }
        let fibre = match cloth.family {
            Family::Glass => "glass",
            Family::Carbon => "carbon",
            Family::Aramid => "aramid",
            Family::Bast => &cloth.fibre,
        };
        let kind = match cloth.architecture {
            Architecture::Twill | Architecture::Plain => format!("woven {fibre}"),
            Architecture::Unidirectional => format!("unidirectional {fibre}"),
            Architecture::Biaxial => format!("stitched {fibre}"),
            Architecture::Mat => format!("{fibre} mat"),
        };
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    kinds
}
