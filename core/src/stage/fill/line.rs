//! The way of the resin from its pot to the feed: what drives it, and what the tube takes.

use crate::law::{LawError, flow};
use crate::plan::fields::{
    BRANCH_LENGTH, BRANCHES, FEED_TUBE, FEED_TUBE_BORE, FEED_TUBES, POT_BELOW, SPIRAL_BORE,
};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::mix::spiral_length;
use crate::stage::stack::Stacked;

/// A pot so low takes all but this share of the pressure; lower ones are told as this.
const LEAST_DRIVE: f64 = 0.02;

/// From the pot to the feed.
#[derive(Clone)]
pub(crate) struct FeedLine {
    /// What drives the resin: the net pressure less the height that it is lifted [Pa].
    pub(super) drive: Spread,
    /// Resistance of tube and spiral over viscosity [1/m3].
    pub(super) resistance: Spread,
    /// Whether the pot stands too low for the bag to lift any resin.
    pub(super) too_low: bool,
}

/// Works it out; `heavy` is the weight of a cubic metre of resin [N/m3].
pub(super) fn feed_line(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    heavy: &Spread,
) -> Result<FeedLine, LawError> {
    let below = bench.take(&POT_BELOW);
    let drive = Spread::from([&air.net, heavy, &below], |[net, heavy, below]| {
        (net - heavy * below / 1000.0).max(LEAST_DRIVE * net)
    });
    let too_low = drive.likely() <= LEAST_DRIVE * air.net.likely() * 1.001;
    let spiral = spiral_length(bench, stacked);
    let share = bench.coefficient(
        "fill.spiral_share",
        "What a spiral lets through, relative to a smooth tube of its bore",
        Range::new(0.3, 0.6, 0.9),
        Grade::Judgement,
        "judgement_spiral_flow",
    );
    let taken = [
        &FEED_TUBE,
        &FEED_TUBE_BORE,
        &FEED_TUBES,
        &BRANCHES,
        &BRANCH_LENGTH,
        &SPIRAL_BORE,
    ]
    .map(|field| bench.take(field));
    let [length, bore, tubes, branches, branch, spiral_bore] = &taken;
    let resistance = Spread::of(
        [
            length,
            bore,
            tubes,
            branches,
            branch,
            &spiral,
            spiral_bore,
            &share,
        ],
        |[
            length,
            bore,
            tubes,
            branches,
            branch,
            spiral,
            spiral_bore,
            share,
        ]| {
            flow::feed_line_resistance(&flow::FeedLine {
                length,
                bore: bore / 1000.0,
                tubes: tubes.max(1.0),
                branches: branches.max(1.0),
                branch,
                spiral,
                spiral_bore: spiral_bore / 1000.0,
                spiral_share: share.max(0.01),
            })
        },
    )?;
    Ok(FeedLine {
        drive,
        resistance,
        too_low,
    })
}
