//! What to do when the front stops, or the pot ran dry: checks in order, then what helps.

use crate::stage::bench::Bench;

/// Says both, in the order of the hands.
pub(super) fn stalled(bench: &mut Bench<'_>) -> Vec<&'static str> {
    bench.desk.cite(&["practice_front_stops"]);
    vec![
        "The front that slows is as it should be: twice the way takes four times as long. If it stops, look in this order: a pot that is empty, a line shut or kinked; the vacuum at the far end; a cup of the same mix, which thickens or warms when gel is near; a mesh that is missing, a bag that bridges (common practice, no source).",
        "If the pot ran dry, clamp the feed at once, so that no air follows, and open it again when fresh resin stands over its end. Open another feed only where resin has already passed. Warm the bag gently only while gel is far, and clamp vents that draw resin (common practice, no source).",
        "Once it has gelled with a dry place in it, pour nothing after: let it cure under vacuum, mark the dry place and cut it out. A patched dry place carries no load (common practice, no source).",
    ]
}
