//! What the edge and its tool are asked.

use super::row::{Group, OneOf, Place, Shelved, Switch, from_shelf, number, one_of, switch};
use super::rows;
use crate::plan::words::FinishGrit;
use crate::read::{Field, ReadingError};
use crate::units::Unit::{MetrePerSecond, Millimetre, MillimetrePerSecond, Rpm};

rows! {
    Place::at("trim") => {
        TOOL: Shelved = from_shelf("trim.tool", "Tool for the edge", "tools", "cutting_disc_75");
        TOOL_DIAMETER: Field = number("trim.diameter_mm", "Diameter of the tool in hand", "75", Millimetre, (0.5, 400.0), ReadingError::None);
        TOOL_RPM: Field = number("trim.rpm", "Speed the machine is set to", "8000", Rpm, (10.0, 60000.0), ReadingError::Share(0.03));
        MARKED_RPM: Field = number("trim.marked_rpm", "Speed marked on the tool, in rpm", "12200", Rpm, (10.0, 200000.0), ReadingError::None);
        MARKED_SPEED: Field = number("trim.marked_m_s", "Speed marked on the tool, in m/s", "80", MetrePerSecond, (0.5, 150.0), ReadingError::None);
        UNMARKED: Switch = switch("trim.unmarked", "The tool carries no marking of its speed", false);
        SHARP: Switch = switch("trim.sharp", "The tool is sharp", true);
        HAND_FEED: Field = number("trim.feed_mm_s", "How fast you move along the edge", "15", MillimetrePerSecond, (0.2, 300.0), ReadingError::Share(0.25)).guess(10.0, 20.0, 35.0);
        FINISH_GRIT: OneOf<FinishGrit> = one_of("trim.finish_grit", "Grit to finish with", FinishGrit("P240"));
    }
}
