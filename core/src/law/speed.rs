//! How fast a disc, cutter or blade runs, how fast it may run, and how thick a chip each tooth takes.
//!
//! Does not say whether the edge will scorch: see [`super::cut_heat`].

use super::{LawError, within};
use std::f64::consts::PI;

/// One foot a minute [m/s], exact.
const FOOT_PER_MINUTE: f64 = 0.3048 / 60.0;

/// Kinds of rotating tool with a customary top surface speed.
///
/// All from memory of editions before EN 12413:2019, EN 13236:2019 and EN 13743:2017; the speed printed on the tool goes before any of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ToolClass {
    /// Bonded cutting or grinding disc with glass-cloth reinforcement, hand-held.
    ReinforcedDisc,
    /// Vitrified wheel.
    VitrifiedWheel,
    /// Mounted point; also limited by its overhang.
    MountedPoint,
    /// Diamond-rim cut-off disc, hand-held.
    DiamondDisc,
    /// Flap disc or fibre disc.
    FlapDisc,
    /// Flap wheel.
    FlapWheel,
}

fn checked_diameter(diameter: f64) -> Result<f64, LawError> {
    within("diameter", diameter, 5e-4, 2.0)
}

/// Surface speed of a turning tool.
///
/// v = pi d n / 60
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `diameter` | d, outside | [m] |
/// | `rpm` | n, turns a minute | [1/min] |
///
/// # Returns
/// Surface speed [m/s].
/// # Valid for
/// Any rotating tool.
/// # Errors
/// [`LawError::OutOfRange`] for a diameter outside 0.5 mm..2 m or turns outside 0..1e6.
/// # Example
/// ```
/// // The trap: a 150 mm disc on an 11 000 rpm grinder passes 80 m/s.
/// let v = bastwork::law::speed::surface_speed(0.150, 11_000.0)?;
/// assert!((v - 86.4).abs() < 0.05, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Geometry.
pub fn surface_speed(diameter: f64, rpm: f64) -> Result<f64, LawError> {
    Ok(PI * checked_diameter(diameter)? * within("rpm", rpm, 0.0, 1e6)? / 60.0)
}

/// Turns a minute that give a surface speed: [`surface_speed`] solved for n.
///
/// n = 60 v / (pi d)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `diameter` | d, outside | [m] |
/// | `speed` | v | [m/s] |
///
/// # Returns
/// Turns a minute [1/min].
/// # Valid for
/// Any rotating tool.
/// # Errors
/// [`LawError::OutOfRange`] for a diameter outside 0.5 mm..2 m or a speed outside 0..500 m/s.
/// # Example
/// ```
/// // An abrasives supplier's table: 125 mm at 80 m/s, 12 200 rpm, rounded.
/// let n = bastwork::law::speed::turns_for_speed(0.125, 80.0)?;
/// assert!((n - 12_223.0).abs() < 0.5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Geometry; check line of an abrasives supplier's guide to speeds.
pub fn turns_for_speed(diameter: f64, speed: f64) -> Result<f64, LawError> {
    Ok(60.0 * within("speed", speed, 0.0, 500.0)? / (PI * checked_diameter(diameter)?))
}

/// Surface speed in metres a second as American surface feet a minute.
///
/// sfpm = 60 v / 0.3048
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `speed` | v | [m/s] |
///
/// # Returns
/// Surface feet a minute [ft/min].
/// # Valid for
/// Any speed.
/// # Errors
/// [`LawError::OutOfRange`] for a speed outside 0..500 m/s.
/// # Example
/// ```
/// let sfpm = bastwork::law::speed::surface_feet_per_minute(81.28)?;
/// assert!((sfpm - 16_000.0).abs() < 1e-6, "reinforced cut-off, ANSI B7.1, from memory");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of the foot, 0.3048 m exactly.
pub fn surface_feet_per_minute(speed: f64) -> Result<f64, LawError> {
    Ok(within("speed", speed, 0.0, 500.0)? / FOOT_PER_MINUTE)
}

/// American surface feet a minute as metres a second.
///
/// v = 0.3048 sfpm / 60
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `sfpm` | surface feet a minute | [ft/min] |
///
/// # Returns
/// Surface speed [m/s].
/// # Valid for
/// Any speed.
/// # Errors
/// [`LawError::OutOfRange`] for feet a minute outside 0..1e5.
/// # Example
/// ```
/// let v = bastwork::law::speed::from_surface_feet_per_minute(14_200.0)?;
/// assert!((v - 72.136).abs() < 1e-6, "depressed-centre disc, ANSI B7.1, from memory");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of the foot, 0.3048 m exactly.
pub fn from_surface_feet_per_minute(sfpm: f64) -> Result<f64, LawError> {
    Ok(within("sfpm", sfpm, 0.0, 1e5)? * FOOT_PER_MINUTE)
}

/// Customary top surface speed of a kind of tool.
///
/// Equation: none, a table: 80, 40, 50, 80, 80, 50 m/s in the order of [`ToolClass`].
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `class` | kind of tool | |
///
/// # Returns
/// Surface speed [m/s].
/// # Valid for
/// Hand-held tools; the speed marked on the tool goes before this.
/// # Errors
/// None.
/// # Example
/// ```
/// use bastwork::law::speed::{ToolClass, class_limit};
/// assert_eq!(class_limit(ToolClass::VitrifiedWheel), 40.0);
/// ```
/// # Source
/// EN 12413:2019, EN 13236:2019, EN 13743:2017 (limits from memory of the editions before; flap wheels doubtful).
pub fn class_limit(class: ToolClass) -> f64 {
    match class {
        ToolClass::ReinforcedDisc | ToolClass::DiamondDisc | ToolClass::FlapDisc => 80.0,
        ToolClass::VitrifiedWheel => 40.0,
        ToolClass::MountedPoint | ToolClass::FlapWheel => 50.0,
    }
}

/// Most turns a minute at which a marked tool may run.
///
/// n = min(n_marked, 60 min(v_marked, v_class)/(pi d))
///
/// There is no limit for a tool without a marked speed: such a tool is not to be run.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `diameter` | d, outside, as new | [m] |
/// | `marked_rpm` | n_marked, printed on the tool | [1/min] |
/// | `marked_speed` | v_marked, printed on the tool, if it is | [m/s] |
/// | `class` | kind of tool, for v_class | |
///
/// # Returns
/// Turns a minute [1/min].
/// # Valid for
/// Sound tools within their date, guards on.
/// # Errors
/// [`LawError::OutOfRange`] for a diameter outside 0.5 mm..2 m, marked turns outside 1..1e6, a marked speed
/// outside 1..500 m/s.
/// # Example
/// ```
/// use bastwork::law::speed::{ToolClass, permitted_turns};
/// let n = permitted_turns(0.125, 12_200.0, Some(80.0), ToolClass::ReinforcedDisc)?;
/// assert_eq!(n, 12_200.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// EN 12413, EN 13743: a product is marked with its maximum operating speed; see [`class_limit`].
pub fn permitted_turns(
    diameter: f64,
    marked_rpm: f64,
    marked_speed: Option<f64>,
    class: ToolClass,
) -> Result<f64, LawError> {
    let marked_rpm = within("marked_rpm", marked_rpm, 1.0, 1e6)?;
    let speed = match marked_speed {
        Some(marked) => within("marked_speed", marked, 1.0, 500.0)?.min(class_limit(class)),
        None => class_limit(class),
    };
    Ok(marked_rpm.min(turns_for_speed(diameter, speed)?))
}

/// Advance of the tool for each tooth that passes.
///
/// f_z = v_f / (z n), with v_f in metres a minute
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `feed` | v_f, how fast the tool is moved along | [m/s] |
/// | `teeth` | z | [-] |
/// | `rpm` | n, turns a minute | [1/min] |
///
/// # Returns
/// Chip load [m].
/// # Valid for
/// Routers, burrs, saws.
/// # Errors
/// [`LawError::OutOfRange`] for a feed below zero, no teeth or no turns.
/// # Example
/// ```
/// // A palm router at 25 000 rpm moved by hand at 10 mm/s: 0.024 mm a turn. It rubs.
/// let load = bastwork::law::speed::chip_load(0.010, 1.0, 25_000.0)?;
/// assert!((load * 1e3 - 0.024).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition.
pub fn chip_load(feed: f64, teeth: f64, rpm: f64) -> Result<f64, LawError> {
    let v = within("feed", feed, 0.0, 10.0)?;
    Ok(60.0 * v / (within("teeth", teeth, 1.0, 500.0)? * within("rpm", rpm, 1.0, 1e6)?))
}

/// How fast to move a tool for a chip load: [`chip_load`] solved for the feed.
///
/// v_f = z f_z n / 60
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `chip_load` | f_z | [m] |
/// | `teeth` | z | [-] |
/// | `rpm` | n, turns a minute | [1/min] |
///
/// # Returns
/// Feed [m/s].
/// # Valid for
/// Routers, burrs, saws.
/// # Errors
/// [`LawError::OutOfRange`] for a chip load outside 0..5 mm, no teeth or no turns.
/// # Example
/// ```
/// // A machine supplier's worked example: two flutes, 0.1 mm, 18 000 rpm, 3600 mm/min.
/// let feed = bastwork::law::speed::feed_for_chip_load(0.1e-3, 2.0, 18_000.0)?;
/// assert!((feed * 60e3 - 3600.0).abs() < 1e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition; worked example of a machine supplier's page on feeds and speeds.
pub fn feed_for_chip_load(chip_load: f64, teeth: f64, rpm: f64) -> Result<f64, LawError> {
    let f = within("chip_load", chip_load, 0.0, 5e-3)?;
    Ok(f * within("teeth", teeth, 1.0, 500.0)? * within("rpm", rpm, 1.0, 1e6)? / 60.0)
}

/// Share of the usual chip load to take in a deep cut.
///
/// 1 up to one diameter deep, 0.75 at two, 0.50 at three, straight lines between
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `depth` | of the cut | [m] |
/// | `diameter` | of the cutter | [m] |
///
/// # Returns
/// Factor on the chip load [-].
/// # Valid for
/// Router cutters up to three diameters deep.
/// # Errors
/// [`LawError::OutOfRange`] for a cut deeper than three diameters or a depth below zero.
/// # Example
/// ```
/// let factor = bastwork::law::speed::depth_factor(0.012, 0.006)?;
/// assert!((factor - 0.75).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// A tool supplier's speed and feed charts: a quarter less at two diameters, half at three.
pub fn depth_factor(depth: f64, diameter: f64) -> Result<f64, LawError> {
    let deep = within("depth", depth, 0.0, f64::MAX)? / checked_diameter(diameter)?;
    // 18 mm over 6 mm is a hair over three in floating point.
    let deep = within("depth over diameter", deep, 0.0, 3.0 + 1e-9)?;
    Ok(1.0 - 0.25 * (deep - 1.0).max(0.0))
}

/// Mean speed of a jigsaw blade.
///
/// v = 2 s n / 60
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stroke` | s, length of the stroke | [m] |
/// | `strokes_per_minute` | n, up and down counted once | [1/min] |
///
/// # Returns
/// Mean blade speed [m/s]; the highest in the stroke is pi/2 times that.
/// # Valid for
/// Saws that go to and fro.
/// # Errors
/// [`LawError::OutOfRange`] for a stroke outside 1..200 mm or strokes outside 1..10 000.
/// # Example
/// ```
/// let v = bastwork::law::speed::jigsaw_speed(0.026, 3000.0)?;
/// assert!((v - 2.6).abs() < 1e-12, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Geometry.
pub fn jigsaw_speed(stroke: f64, strokes_per_minute: f64) -> Result<f64, LawError> {
    let s = within("stroke", stroke, 1e-3, 0.2)?;
    Ok(2.0 * s * within("strokes_per_minute", strokes_per_minute, 1.0, 1e4)? / 60.0)
}

#[cfg(test)]
mod tests;
