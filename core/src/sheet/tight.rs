//! What the bag stage says: pressures, volume, pump, gauge, and the drop test.

use super::chart::Chart;
use super::estimate::Estimate;
use super::stages::Head;
use serde::Serialize;

/// Whether the bag is tight, and what its gauge says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BagSheet {
    /// Question and answer.
    pub head: Head,
    /// Air pressure in the shop.
    pub air_outside_mbar: Estimate,
    /// What the gauge's reading means, above a perfect vacuum.
    pub bag_pressure_mbar: Estimate,
    /// Free volume of bag, hoses and pot.
    pub free_volume_l: Estimate,
    /// Time the pump needs to get there over dry cloth in a tight bag.
    pub pump_down_min: Estimate,
    /// Slowest rise that this gauge can tell in ten minutes.
    pub slowest_told_mbar_min: Estimate,
    /// The leak as a rise of the gauge.
    pub leak_mbar_min: Option<Estimate>,
    /// The leak as throughput, whatever the size of the bag.
    pub leak_throughput_mbar_l_s: Option<Estimate>,
    /// Air of the shop that comes in every minute.
    pub leak_ml_each_min: Option<Estimate>,
    /// One round hole that lets as much in.
    pub hole_um: Option<Estimate>,
    /// Air of the shop that comes in until the resin gels.
    pub air_until_gel_ml: Option<Estimate>,
    /// Lowest pressure that pump and leak allow.
    pub lowest_with_leak_mbar: Option<Estimate>,
    /// How far vapour alone raises the gauge.
    pub vapour_rise_mbar: Option<Estimate>,
    /// Where the gauge comes to rest with the pump shut off.
    pub plateau_mbar: Option<Estimate>,
    /// Relative humidity in the bag at rest.
    pub humidity_pct: Option<Estimate>,
    /// Water left in the cloth, told by the gauge.
    pub regain_left_pct: Option<Estimate>,
    /// The drop test; none without a reading.
    pub test: Option<TestSheet>,
    /// The bag's pressure as other gauges show it.
    pub gauges: Vec<Marked>,
}

/// What the readings of a drop test say.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TestSheet {
    /// One word: `too_few`, `tight`, `leak`, `vapour`, `both` or `open`.
    pub verdict: &'static str,
    /// How sure, between 0 and 1.
    pub sure: f64,
    /// The verdict in words, with how sure it is.
    pub sentence: String,
    /// Whether it passes the limit; none while that is open.
    pub passes: Option<bool>,
    /// What it means for this part.
    pub means: Vec<String>,
    /// What to do next, first things first.
    pub next: Vec<String>,
    /// How much each explanation is worth, together 1.
    pub shares: Vec<Share>,
    /// The readings with the fits.
    pub chart: Chart,
}

/// One explanation of the readings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Share {
    /// Its name.
    pub name: &'static str,
    /// Its share, between 0 and 1.
    pub share: f64,
    /// The same in words, "62%".
    pub text: String,
}

/// A pressure on some gauge.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Marked {
    /// What the gauge counts.
    pub name: &'static str,
    /// What it shows.
    pub text: String,
    /// The range in words; may be empty.
    pub range: String,
}
