//! How warm this way of working makes the edge against a calm one, and how fast to move along it.

use super::{Speeds, property};
use crate::law::cut_heat::{FLAX_EPOXY_EFFUSIVITY, Rubbing, relative_rise};
use crate::law::{LawError, speed};
use crate::plan::fields::{HAND_FEED, TOOL_RPM};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::shelf::{Action, Tool};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// How many times as warm the edge gets as with a sharp tool at the speed that suits and an easy pace; none where nothing
/// was said of how the tool is used.
pub(super) fn heat(
    bench: &mut Bench<'_>,
    tool: &Tool,
    speeds: &Speeds,
) -> Result<Option<Spread>, LawError> {
    let plan = bench.plan;
    let turned = plan.given(&TOOL_RPM).is_some() && speeds.used.is_some();
    let moved = plan.given(&HAND_FEED).is_some();
    let Some(contact) = &tool.contact_mm else {
        return Ok(None);
    };
    if !(turned || moved || !plan.sharp) {
        return Ok(None);
    }
    let contact = property(
        bench,
        tool,
        "contact_mm",
        "Length of contact",
        Unit::Millimetre,
        contact,
    );
    let wear = if plan.sharp {
        Spread::exact(1.0)
    } else {
        bench.coefficient(
            "trim.blunt_factor",
            "How much more heat a worn tool makes",
            Range::new(1.5, 2.5, 4.0),
            Grade::Judgement,
            "burr_trimming",
        )
    };
    let grain = bench.coefficient(
        "trim.grain_w_mk",
        "Heat conductivity of grain or edge, W/mK",
        Range::new(10.0, 35.0, 100.0),
        Grade::Memory,
        "rowe_heat_share",
    );
    let conductivity = bench.coefficient(
        "trim.conductivity_w_mk",
        "Heat conductivity of the laminate, W/mK",
        Range::new(0.2, 0.3, 0.45),
        Grade::Memory,
        "memory_laminate_heat",
    );
    let effusivity = bench.coefficient(
        "trim.effusivity",
        "How fast the laminate soaks up heat, W s½/m²K",
        Range::new(590.0, FLAX_EPOXY_EFFUSIVITY, 900.0),
        Grade::Memory,
        "memory_laminate_heat",
    );
    // Against one likely speed and pace, so that the range is of the ratio alone.
    let suits = speeds.suits.likely();
    let easy = easy_pace();
    let now = if turned {
        speeds.surface.clone()
    } else {
        Spread::exact(suits)
    };
    let travel = if moved {
        bench.take(&HAND_FEED).times(1e-3)
    } else {
        Spread::exact(easy)
    };
    let parts = [
        &now,
        &travel,
        &contact,
        &wear,
        &grain,
        &conductivity,
        &effusivity,
    ];
    Spread::of(parts, |[now, travel, contact, wear, grain, k, e]| {
        let way = Rubbing {
            surface_speed: now.max(1e-3),
            length: contact / 1000.0,
            travel: travel.max(1e-5),
            wear,
        };
        let calm = Rubbing {
            surface_speed: suits,
            travel: easy,
            wear: 1.0,
            ..way
        };
        relative_rise(&way, &calm, grain, k, e)
    })
    .map(Some)
}

/// An easy pace along the edge [m/s].
pub(super) fn easy_pace() -> f64 {
    HAND_FEED.usual.map_or(20.0, |usual| usual.range.likely) / 1000.0
}

/// Slowest good travel [m/s] and advance per cutting edge [m]; none for a tool without a good advance per turn.
pub(super) fn feeds(
    bench: &mut Bench<'_>,
    tool: &Tool,
    speeds: &Speeds,
) -> Result<Option<(Spread, Spread)>, LawError> {
    let (Action::Router, Some(bite), Some(used)) =
        (tool.action, &tool.bite_mm_per_rev, &speeds.used)
    else {
        return Ok(None);
    };
    let bite = property(
        bench,
        tool,
        "bite_mm_per_rev",
        "Advance per turn",
        Unit::Millimetre,
        bite,
    );
    let hand = bench.take(&HAND_FEED).times(1e-3);
    let edges = tool.edges.unwrap_or(2.0);
    // Half of the good advance already rubs more than it cuts.
    let feed = Spread::from([&bite, used], |[bite, rpm]| {
        0.5 * bite / 1000.0 * rpm / 60.0
    });
    let chip = Spread::of([&hand, used], |[travel, rpm]| {
        speed::chip_load(travel, edges, rpm.max(1.0))
    })?;
    Ok(Some((feed, chip)))
}
