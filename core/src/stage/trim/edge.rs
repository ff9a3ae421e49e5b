//! Heat at the fresh edge, and how fast to move along it.

use super::{Speeds, property};
use crate::law::{LawError, cut_heat, speed};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::shelf::{Action, Tool};
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::stack::Stacked;
use crate::units::Unit;

/// Flax degrades from just above this temperature [K].
pub(super) const SCORCH: f64 = 160.0 + ZERO_C;

/// Thickness of the edge that the power on the shelf is meant for [m].
const USUAL_EDGE: f64 = 3e-3;

/// Temperature of the fresh edge [K], and the slowest travel that does not scorch it [m/s].
pub(super) fn heat(
    bench: &mut Bench<'_>,
    tool: &Tool,
    stacked: &Stacked,
    room: &Spread,
    hand: &Spread,
) -> Result<(Spread, Option<Spread>), LawError> {
    let (Some(power), Some(share), Some(contact)) = (
        &tool.contact_power_w,
        &tool.heat_into_part,
        &tool.contact_mm,
    ) else {
        return Ok((room.clone(), None));
    };
    let power = property(
        bench,
        tool,
        "contact_power_w",
        "Power into the edge",
        Unit::Watt,
        power,
    );
    let share = property(
        bench,
        tool,
        "heat_into_part",
        "Share of the heat that enters the part",
        Unit::One,
        share,
    );
    let contact = property(
        bench,
        tool,
        "contact_mm",
        "Length of contact",
        Unit::Millimetre,
        contact,
    );
    let blunt = if bench.plan.sharp {
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
    let model = bench.coefficient(
        "trim.heat_factor",
        "How far the heat estimate may be off",
        Range::new(0.5, 1.0, 2.0),
        Grade::Judgement,
        "judgement_heat_share",
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
        Range::new(590.0, cut_heat::FLAX_EPOXY_EFFUSIVITY, 900.0),
        Grade::Memory,
        "memory_laminate_heat",
    );
    let [rise, slowest] = Spread::several(
        [
            &power,
            &share,
            &contact,
            &stacked.thickness,
            &blunt,
            hand,
            &conductivity,
            &effusivity,
            room,
        ],
        |[power, share, contact, width, blunt, travel, k, e, room]| {
            let contact = cut_heat::Contact {
                // The tool's figure is for a usual edge; a thicker one takes more power, a thinner one less.
                power: (power * width / USUAL_EDGE * share.min(1.0) * blunt).max(1e-6),
                length: contact / 1000.0,
                width: width.max(1e-4),
                travel: travel.max(1e-5),
            };
            Ok([
                cut_heat::temperature_rise(&contact, k, e)?,
                cut_heat::slowest_travel(&contact, SCORCH - room, e)?,
            ])
        },
    )?;
    // Above this nothing in the estimate holds: the edge smokes and the tool clogs.
    let edge = Spread::from([room, &rise, &model], |[room, rise, model]| {
        room + (rise * model).min(600.0)
    });
    Ok((edge, Some(slowest)))
}

/// Slowest good travel [m/s] and advance per cutting edge [m].
pub(super) fn feeds(
    bench: &mut Bench<'_>,
    tool: &Tool,
    speeds: &Speeds,
    hand: &Spread,
    slowest: Option<Spread>,
) -> Result<(Spread, Spread), LawError> {
    let nothing = Spread::exact(0.0);
    if let (Action::Router, Some(bite)) = (tool.action, &tool.bite_mm_per_rev) {
        let bite = property(
            bench,
            tool,
            "bite_mm_per_rev",
            "Advance per turn",
            Unit::Millimetre,
            bite,
        );
        let edges = tool.edges.unwrap_or(2.0);
        // Half of the good advance already rubs more than it cuts.
        let feed = Spread::from([&bite, &speeds.used], |[bite, rpm]| {
            0.5 * bite / 1000.0 * rpm / 60.0
        });
        let chip = Spread::of([hand, &speeds.used], |[travel, rpm]| {
            speed::chip_load(travel, edges, rpm.max(1.0))
        })?;
        return Ok((feed, chip));
    }
    Ok((slowest.unwrap_or_else(|| nothing.clone()), nothing))
}
