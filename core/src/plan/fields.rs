//! Every number a plan may hold: one line a field.
//!
//! The page builds its entries from them, the reader checks against them, and the stages ask by them.

use crate::range::Range;
use crate::read::{Field, Play, Usual};
use crate::sheet::Grade;
use crate::units::Unit;

const fn usual(
    low: f64,
    likely: f64,
    high: f64,
    grade: Grade,
    sources: &'static [&'static str],
) -> Option<Usual> {
    Some(Usual {
        range: Range { low, likely, high },
        grade,
        sources,
    })
}

const fn guess(low: f64, likely: f64, high: f64) -> Option<Usual> {
    usual(low, likely, high, Grade::Judgement, &["judgement_usual"])
}

macro_rules! fields {
    ($($name:ident = $key:literal, $label:literal, $hint:literal, $unit:ident, $low:literal .. $high:literal, $play:expr, $usual:expr;)*) => {
        $(
            #[doc = concat!("`", $key, "`: ", $label, ".")]
            pub const $name: Field = Field {
                key: $key,
                label: $label,
                hint: $hint,
                unit: Unit::$unit,
                low: $low,
                high: $high,
                play: $play,
                usual: $usual,
            };
        )*
        const FIELDS: &[&Field] = &[$(&$name),*];
    };
}

fields! {
    PART_AREA = "part.area_m2", "Area of the part", "0.62", SquareMetre, 0.001 .. 500.0, Play::Share(0.01), None;
    FLOW_LENGTH = "part.flow_length_mm", "How far resin must run", "420", Millimetre, 5.0 .. 20000.0, Play::None, None;
    ROOM_TEMPERATURE = "room.temperature_c", "Temperature in the shop", "19", Celsius, -5.0 .. 45.0, Play::Plus(1.0), guess(17.0, 20.0, 23.0);
    ROOM_HUMIDITY = "room.humidity_pct", "Humidity in the shop", "62", Percent, 0.0 .. 100.0, Play::Plus(4.0), guess(40.0, 55.0, 70.0);
    ALTITUDE = "room.altitude_m", "Height above the sea", "240", Metre, -430.0 .. 5000.0, Play::None, guess(0.0, 100.0, 400.0);
    ROOM_PRESSURE = "room.pressure_mbar", "Air pressure in the shop", "985", Millibar, 500.0 .. 1100.0, Play::Plus(1.0), None;
    BAG_PRESSURE = "bag.pressure_mbar_abs", "Pressure left in the bag", "15", Millibar, 0.1 .. 1100.0, Play::Plus(3.0), guess(10.0, 20.0, 50.0);
    GAUGE_READING = "bag.gauge_reading", "Reading of the gauge", "28", One, 0.0 .. 1100.0, Play::None, None;
    FEED_TUBE = "bag.feed_tube_m", "Feed tube, from the pot to the part", "1.5", Metre, 0.0 .. 100.0, Play::Share(0.1), guess(1.0, 1.5, 2.5);
    FEED_TUBE_BORE = "bag.feed_tube_bore_mm", "Bore of the feed tube", "8", Millimetre, 1.0 .. 50.0, Play::None, guess(6.0, 8.0, 10.0);
    SPIRAL = "bag.spiral_m", "Spiral or feed channel", "1.5", Metre, 0.0 .. 200.0, Play::Share(0.1), None;
    SPIRAL_BORE = "bag.spiral_bore_mm", "Bore of the spiral", "10", Millimetre, 1.0 .. 50.0, Play::None, guess(8.0, 10.0, 12.0);
    CATCH_SHARE = "bag.catch_pot_pct", "Resin drawn on into the catch pot", "4", Percent, 0.0 .. 60.0, Play::Share(0.5), guess(1.0, 4.0, 9.0);
    FEED_OPEN = "bag.feed_open_min", "Time the feed stays open after the vent is clamped", "5", Minute, 0.0 .. 600.0, Play::Share(0.2), usual(3.0, 5.0, 10.0, Grade::Practice, &["practice_feed_open"]);
    PUMP = "dry.pump_m3_h", "Pump", "5", CubicMetrePerHour, 0.1 .. 500.0, Play::Share(0.2), guess(3.0, 5.0, 9.0);
    PUMP_LOWEST = "bag.pump_lowest_mbar", "Lowest pressure the pump reaches alone", "2", Millibar, 0.01 .. 300.0, Play::Share(0.3), usual(0.5, 2.0, 5.0, Grade::Judgement, &["judgement_pump"]);
    STORE_TEMPERATURE = "store.temperature_c", "Temperature where the cloth is kept", "16", Celsius, -20.0 .. 60.0, Play::Plus(1.0), None;
    STORE_HUMIDITY = "store.humidity_pct", "Humidity where the cloth is kept", "65", Percent, 0.0 .. 100.0, Play::Plus(4.0), None;
    TARGET_REGAIN = "dry.target_regain_pct", "Dry enough: water per dry fibre", "2", Percent, 0.2 .. 20.0, Play::None, usual(2.0, 2.0, 2.0, Grade::Judgement, &["judgement_target_regain", "moudood_2019"]);
    LIMIT_REGAIN = "dry.limit_regain_pct", "Too wet again: water per dry fibre", "4", Percent, 0.3 .. 25.0, Play::None, usual(4.0, 4.0, 4.0, Grade::Judgement, &["judgement_target_regain"]);
    OVEN = "dry.oven_c", "Temperature of the oven", "60", Celsius, 25.0 .. 140.0, Play::Plus(3.0), usual(57.0, 60.0, 63.0, Grade::Practice, &["practice_oven"]);
    HEAT_UP = "dry.heat_up_min", "Minutes until oven and trays are hot again", "10", Minute, 0.0 .. 600.0, Play::Share(0.3), usual(5.0, 10.0, 20.0, Grade::Judgement, &["judgement_drying_time"]);
    OVEN_VOLUME = "dry.oven_l", "Air in the oven", "120", Litre, 5.0 .. 1000000.0, Play::Share(0.1), guess(60.0, 120.0, 300.0);
    PLIES_DRIED_TOGETHER = "dry.plies_together", "Plies dried on top of each other", "4", Count, 1.0 .. 200.0, Play::None, None;
    SWATCH_KEPT = "dry.swatch_kept_g", "A swatch as it was kept", "10.8", Gram, 0.1 .. 5000.0, Play::None, None;
    SWATCH_DRIED = "dry.swatch_dried_g", "The same swatch, oven dry", "10.0", Gram, 0.1 .. 5000.0, Play::None, None;
    BAG_TEMPERATURE = "dry.bag_c", "Temperature of the mould and bag while drying", "35", Celsius, 0.0 .. 100.0, Play::Plus(2.0), None;
    VACUUM_LINES = "dry.vacuum_lines", "Vacuum lines on the bag", "1", Count, 1.0 .. 20.0, Play::None, usual(1.0, 1.0, 1.0, Grade::Judgement, &["judgement_usual"]);
    BLEED = "dry.bleed_l_min", "Dry air let in through a needle valve", "0.5", LitrePerMinute, 0.001 .. 500.0, Play::Share(0.2), None;
    RESIN_CONTENT = "prepreg.resin_pct", "Resin in the prepreg, by mass", "50", Percent, 15.0 .. 80.0, Play::Plus(2.0), None;
    BLED = "prepreg.bled_pct", "Share of its resin that a bleeder takes, weighed", "10", Percent, 0.0 .. 90.0, Play::Share(0.2), usual(0.0, 0.0, 0.0, Grade::Judgement, &["judgement_usual"]);
    SCALE_STEP = "mix.scale_step_g", "Smallest step of the scale", "1", Gram, 0.001 .. 100.0, Play::None, usual(1.0, 1.0, 1.0, Grade::Judgement, &["judgement_usual"]);
    TOLERANCE = "mix.tolerance_pct", "How far the hardener may be off", "2", Percent, 0.1 .. 10.0, Play::None, usual(2.0, 2.0, 2.0, Grade::Memory, &["memory_tolerance"]);
    LARGEST_POT = "mix.largest_pot_g", "Largest pot you want to mix", "500", Gram, 20.0 .. 50000.0, Play::None, usual(500.0, 500.0, 500.0, Grade::Judgement, &["judgement_usual"]);
    RESIN_ON_HAND = "mix.on_hand_g", "Mixed resin you have for this part, if it is short", "900", Gram, 1.0 .. 1000000.0, Play::None, None;
    WORK_MINUTES = "mix.work_min", "Time to wet the stack out by hand", "40", Minute, 1.0 .. 1000.0, Play::Share(0.2), None;
    CURE_TEMPERATURE = "cure.temperature_c", "Temperature of the part while it cures", "21", Celsius, -5.0 .. 70.0, Play::Plus(1.0), None;
    CURE_HOURS = "cure.hours_h", "Time it may lie before you trim it", "24", Hour, 1.0 .. 2000.0, Play::None, usual(24.0, 24.0, 24.0, Grade::Practice, &["practice_demould"]);
    FILM_OFF = "cure.film_off_h", "A thin layer may leave its mould after, on the resin's own sheet", "12", Hour, 0.3 .. 1000.0, Play::Share(0.15), None;
    FILM_SET = "cure.film_set_h", "Or it is set, or hard enough to walk on, after", "6", Hour, 0.3 .. 1000.0, Play::Share(0.15), None;
    FILM_AT = "cure.film_c", "At the temperature of", "23", Celsius, 5.0 .. 45.0, Play::None, usual(23.0, 23.0, 23.0, Grade::Judgement, &["judgement_usual"]);
    TOOL_DIAMETER = "trim.diameter_mm", "Diameter of the tool in hand", "75", Millimetre, 0.5 .. 400.0, Play::None, None;
    TOOL_RPM = "trim.rpm", "Speed the machine is set to", "8000", Rpm, 10.0 .. 60000.0, Play::Share(0.03), None;
    MARKED_RPM = "trim.marked_rpm", "Speed marked on the tool, in rpm", "12200", Rpm, 10.0 .. 200000.0, Play::None, None;
    MARKED_SPEED = "trim.marked_m_s", "Speed marked on the tool, in m/s", "80", MetrePerSecond, 0.5 .. 150.0, Play::None, None;
    HAND_FEED = "trim.feed_mm_s", "How fast you move along the edge", "15", MillimetrePerSecond, 0.2 .. 300.0, Play::Share(0.25), guess(10.0, 20.0, 35.0);
    STRIP_LENGTH = "measured.strip_length_mm", "A strip of this stack without a mesh filled so far", "300", Millimetre, 10.0 .. 5000.0, Play::Plus(5.0), None;
    STRIP_MINUTES = "measured.strip_min", "The strip took", "25", Minute, 0.05 .. 2000.0, Play::Share(0.03), None;
    MEASURED_THICKNESS = "measured.thickness_mm", "Thickness measured on such a part", "2.7", Millimetre, 0.05 .. 300.0, Play::Plus(0.1), None;
    EDGE_GAP = "fill.edge_gap_mm", "Gap along the edge where resin can run ahead", "1.5", Millimetre, 0.05 .. 20.0, Play::None, None;
    FEED_TUBES = "bag.feed_tubes", "Feed tubes side by side, each from the pot", "1", Count, 1.0 .. 40.0, Play::None, usual(1.0, 1.0, 1.0, Grade::Judgement, &["judgement_usual"]);
    BRANCHES = "bag.feed_branches", "Branches that each tube splits into, 1 for none", "2", Count, 1.0 .. 40.0, Play::None, usual(1.0, 1.0, 1.0, Grade::Judgement, &["judgement_usual"]);
    BRANCH_LENGTH = "bag.feed_branch_m", "Length of a branch, of the same bore", "0.4", Metre, 0.0 .. 50.0, Play::Share(0.1), None;
    POT_BELOW = "bag.pot_below_mm", "Resin in the pot stands below the feed by; minus for above", "300", Millimetre, -5000.0 .. 5000.0, Play::Plus(30.0), guess(0.0, 300.0, 800.0);
    WARP_TURN = "fill.warp_deg", "Warp of ply angle 0 on the drawn part, turned from x", "90", Degree, -180.0 .. 180.0, Play::None, None;
    WARP_X = "fill.warp_from_x_mm", "On a shell, x where the cloth is laid first", "300", Millimetre, -20000.0 .. 20000.0, Play::None, None;
    WARP_Y = "fill.warp_from_y_mm", "On a shell, y where the cloth is laid first", "200", Millimetre, -20000.0 .. 20000.0, Play::None, None;
    FREE_VOLUME = "bag.free_volume_l", "Free volume of bag, hoses and pot, if you know it", "6", Litre, 0.01 .. 10000.0, Play::Share(0.2), None;
    CATCH_POT = "bag.catch_pot_l", "Catch pot on the bag's side of the clamp, 0 if it is shut off", "3", Litre, 0.0 .. 1000.0, Play::Share(0.1), guess(0.0, 2.0, 5.0);
    SYRINGE = "bag.syringe_ml", "Air let in with a syringe", "100", Millilitre, 0.5 .. 100000.0, Play::Share(0.03), None;
    SYRINGE_RISE = "bag.syringe_rise_mbar", "The syringe raised the pressure by", "16", Millibar, 0.05 .. 1000.0, Play::None, None;
    PUMP_DOWN = "bag.pump_down_min", "Time the pump took to get there", "6", Minute, 0.02 .. 5000.0, Play::Share(0.1), None;
    GAUGE_STEP = "bag.gauge_step", "Smallest step you can read on the gauge", "0.5", One, 0.0001 .. 200.0, Play::None, None;
    GAUGE_CLASS = "bag.gauge_class_pct", "Accuracy class of the gauge", "1.6", Percent, 0.001 .. 10.0, Play::None, None;
    LEAK_LIMIT = "bag.leak_limit_mbar_min", "Fastest rise you pass", "1", MillibarPerMinute, 0.001 .. 200.0, Play::None, usual(1.0, 1.0, 1.0, Grade::Practice, &["practice_leak_limit"]);
    TEST_TEMPERATURE = "bag.test_c", "Temperature of the mould when the test began", "19", Celsius, 0.0 .. 100.0, Play::Plus(1.0), None;
    TEST_END_TEMPERATURE = "bag.test_end_c", "Temperature of the mould when it ended", "19", Celsius, 0.0 .. 100.0, Play::Plus(1.0), None;
    TRAY = "dry.tray_g", "Tray or rack on the scale with the cloth", "350", Gram, 0.0 .. 100000.0, Play::None, None;
    VACUUM_HOURS = "dry.vacuum_h", "Time under full vacuum before resin", "5", Hour, 0.1 .. 500.0, Play::None, usual(5.0, 5.0, 5.0, Grade::Practice, &["practice_bag_drying"]);
    HOTTEST = "cure.hottest_c", "Hottest the part gets before it gels", "35", Celsius, 0.0 .. 150.0, Play::Plus(3.0), None;
    RESIN_WARMTH = "mix.resin_c", "Temperature of resin and hardener when you mix them", "24", Celsius, 0.0 .. 60.0, Play::Plus(1.0), None;
    POT_WIDTH = "mix.pot_mm", "Width of the pot, or short side of the tray", "90", Millimetre, 20.0 .. 2000.0, Play::Share(0.05), None;
    POT_LENGTH = "mix.pot_length_mm", "Long side of the tray", "350", Millimetre, 20.0 .. 3000.0, Play::Share(0.05), None;
    BATH = "mix.bath_c", "Temperature of the water bath", "15", Celsius, 0.0 .. 40.0, Play::Plus(1.0), None;
    STIR = "mix.stir_min", "Time to weigh and stir one pot", "4", Minute, 0.5 .. 60.0, Play::Share(0.25), guess(3.0, 4.0, 7.0);
    DEGAS = "mix.degas_min", "Time in the vacuum pot after mixing, 0 for none", "10", Minute, 0.0 .. 240.0, Play::Share(0.1), usual(0.0, 0.0, 0.0, Grade::Judgement, &["judgement_usual"]);
    WEIGHED_RESIN = "mix.weighed_resin_g", "Resin you really weighed in", "385", Gram, 0.1 .. 1000000.0, Play::None, None;
    WEIGHED_HARDENER = "mix.weighed_hardener_g", "Hardener you really weighed in", "116", Gram, 0.1 .. 1000000.0, Play::None, None;
    EEW = "mix.eew_g_eq", "Epoxy equivalent weight of the resin", "189", GramPerEquivalent, 50.0 .. 5000.0, Play::None, None;
    DILUENT_EEW = "mix.diluent_eew_g_eq", "Epoxy equivalent weight of a diluent in it", "183", GramPerEquivalent, 50.0 .. 5000.0, Play::None, None;
    DILUENT_SHARE = "mix.diluent_pct", "Share of the diluent, by weight", "10", Percent, 0.0 .. 90.0, Play::None, None;
    FILLER_SHARE = "mix.filler_pct", "Share of filler that does not react, by weight", "10", Percent, 0.0 .. 90.0, Play::None, None;
    AHEW = "mix.ahew_g_eq", "Amine hydrogen equivalent weight of the hardener", "43", GramPerEquivalent, 10.0 .. 1000.0, Play::None, None;
    SECOND_AHEW = "mix.second_ahew_g_eq", "The same of a second amine in it", "60", GramPerEquivalent, 10.0 .. 1000.0, Play::None, None;
    SECOND_SHARE = "mix.second_pct", "Share of the second amine, by weight", "60", Percent, 0.0 .. 100.0, Play::None, None;
    NIGHT = "cure.night_c", "Coldest at night where it cures", "12", Celsius, -15.0 .. 45.0, Play::Plus(1.5), None;
    WARM = "cure.warm_c", "Air around it under a lamp, a blanket or in the oven while it sets", "40", Celsius, 0.0 .. 120.0, Play::Plus(3.0), None;
    WARM_AFTER = "cure.warm_after_h", "That warmth begins, after the fill", "1", Hour, 0.0 .. 500.0, Play::None, usual(0.0, 0.0, 0.0, Grade::Judgement, &["judgement_usual"]);
    WARM_HOURS = "cure.warm_h", "And lasts", "8", Hour, 0.1 .. 500.0, Play::None, usual(8.0, 8.0, 8.0, Grade::Judgement, &["judgement_usual"]);
    POST = "cure.post_c", "Post-cure at", "60", Celsius, 20.0 .. 150.0, Play::Plus(3.0), None;
    POST_RAMP = "cure.post_ramp_k_h", "Oven warms up by, each hour", "10", KelvinPerHour, 0.5 .. 600.0, Play::None, usual(10.0, 10.0, 10.0, Grade::Quoted, &["laminating_epoxy_tg"]);
    POST_HOURS = "cure.post_h", "Time at that temperature", "8", Hour, 0.1 .. 500.0, Play::None, usual(8.0, 8.0, 8.0, Grade::Judgement, &["judgement_usual"]);
    POST_AFTER = "cure.post_after_h", "Post-cure begins, after the fill", "24", Hour, 0.0 .. 5000.0, Play::None, None;
    SERVICE = "service.temperature_c", "Hottest the part gets in service", "60", Celsius, -40.0 .. 250.0, Play::Plus(3.0), None;
    SERVICE_AIR = "service.air_c", "Hottest air around it in service", "35", Celsius, -20.0 .. 60.0, Play::Plus(2.0), usual(30.0, 33.0, 37.0, Grade::Judgement, &["judgement_usual"]);
    GELCOAT = "finish.gelcoat_mm", "Gelcoat on one face, when cured", "0.4", Millimetre, 0.01 .. 5.0, Play::Share(0.2), None;
    PAINT = "finish.paint_um", "Primer and paint on one face, when dry", "110", Micrometre, 1.0 .. 5000.0, Play::Share(0.2), None;
    OPEN_FROM = "day.from_h", "The workshop opens", "8", HourOfDay, 0.0 .. 23.9, Play::None, usual(8.0, 8.0, 8.0, Grade::Judgement, &["judgement_usual"]);
    OPEN_TO = "day.to_h", "And closes, past midnight too", "20", HourOfDay, 0.1 .. 24.0, Play::None, usual(20.0, 20.0, 20.0, Grade::Judgement, &["judgement_usual"]);
    HANDS = "day.hands", "Pairs of hands there", "2", Count, 1.0 .. 20.0, Play::None, usual(1.0, 1.0, 1.0, Grade::Judgement, &["judgement_usual"]);
    RELEASE_COATS = "day.release_coats", "Coats of release on the mould, 0 for none", "6", Count, 0.0 .. 30.0, Play::None, usual(6.0, 6.0, 6.0, Grade::Practice, &["practice_release"]);
    RELEASE_WAIT = "day.release_wait_min", "Wait after each coat", "12", Minute, 0.0 .. 2000.0, Play::Share(0.2), usual(10.0, 12.0, 15.0, Grade::Practice, &["practice_release"]);
    CUT_MINUTES = "day.cut_min", "Time to cut the cloth", "30", Minute, 0.0 .. 5000.0, Play::Share(0.25), None;
    LAY_MINUTES = "day.lay_min", "Time to lay the stack", "30", Minute, 0.0 .. 5000.0, Play::Share(0.25), None;
    BAG_MINUTES = "day.bag_min", "Time for mesh, lines and bag", "45", Minute, 0.0 .. 5000.0, Play::Share(0.25), None;
    TEST_MINUTES = "day.test_min", "Length of the drop test", "15", Minute, 0.0 .. 2000.0, Play::None, usual(15.0, 15.0, 15.0, Grade::Practice, &["practice_leak_limit"]);
    THAW = "prepreg.thaw_h", "Time the sealed prepreg takes to warm up from the freezer, 0 for none", "6", Hour, 0.0 .. 200.0, Play::Share(0.3), usual(2.0, 6.0, 24.0, Grade::Practice, &["practice_prepreg"]);
    DEBULK = "prepreg.debulk_min", "Time under vacuum for each debulk, 0 for none", "10", Minute, 0.0 .. 240.0, Play::Share(0.2), usual(5.0, 10.0, 20.0, Grade::Practice, &["practice_prepreg"]);
    OVEN_CURE = "prepreg.cure_h", "Cure in the oven by its own sheet, warming and cooling counted", "6", Hour, 0.1 .. 200.0, Play::Share(0.1), guess(3.0, 6.0, 12.0);
    DEMOULD_MINUTES = "day.demould_min", "Time to strip the bag and lift the part", "20", Minute, 0.0 .. 2000.0, Play::Share(0.3), guess(10.0, 20.0, 40.0);
    TRIM_MINUTES = "day.trim_min", "Time to trim and sand the edge", "40", Minute, 0.0 .. 5000.0, Play::Share(0.3), None;
    LOAD_LENGTH = "load.length_mm", "Span along the part", "600", Millimetre, 5.0 .. 20000.0, Play::None, None;
    LOAD_WIDTH = "load.width_mm", "Span or width across the part", "500", Millimetre, 5.0 .. 20000.0, Play::None, None;
    LOAD_PRESSURE = "load.pressure_kpa", "Even pressure on it", "1", Kilopascal, 0.0001 .. 10000.0, Play::None, None;
    LOAD_FORCE = "load.force_n", "Force on it", "200", Newton, 0.01 .. 1000000.0, Play::None, None;
    LOAD_PATCH = "load.patch_mm", "Width of the patch that the force presses on", "60", Millimetre, 1.0 .. 5000.0, Play::None, guess(40.0, 60.0, 90.0);
    LOAD_EDGE = "load.edge_n_mm", "Pull along the part, per width; minus for a push", "20", NewtonPerMillimetre, -100000.0 .. 100000.0, Play::None, None;
    LOAD_HEEL = "load.heel_mm", "Width of a heel or tool end that may press on it", "20", Millimetre, 1.0 .. 500.0, Play::None, usual(20.0, 20.0, 20.0, Grade::Judgement, &["judgement_heel"]);
    LOAD_LIMIT = "load.limit_mm", "Most it may give", "5", Millimetre, 0.01 .. 1000.0, Play::None, None;
    LOAD_RESERVE = "load.reserve", "Reserve you want against first damage", "3", One, 1.0 .. 50.0, Play::None, usual(3.0, 3.0, 3.0, Grade::Judgement, &["judgement_reserve"]);
    TARGET_BENDING = "target.bending_n_m", "Least bending stiffness along the part, per width", "15", NewtonMetre, 0.0001 .. 1e8, Play::None, None;
    TARGET_THIN = "target.least_thickness_mm", "Thinnest that will do", "2", Millimetre, 0.05 .. 500.0, Play::None, None;
    TARGET_THICK = "target.most_thickness_mm", "Thickest that fits", "4", Millimetre, 0.05 .. 500.0, Play::None, None;
    TARGET_MASS = "target.most_mass_g", "Heaviest the part may be", "2500", Gram, 1.0 .. 10000000.0, Play::None, None;
    TARGET_FOSSIL = "target.most_fossil_kg", "Most fossil carbon for cloth, core and resin", "12", KilogramCo2, 0.001 .. 1000000.0, Play::None, None;
    TARGET_COST = "target.most_cost", "Most that cloth, core and resin may cost, in your prices", "80", One, 0.01 .. 100000000.0, Play::None, None;
    TARGET_SURE = "target.sure_pct", "How sure to be that every wish is kept", "80", Percent, 50.0 .. 90.0, Play::None, usual(80.0, 80.0, 80.0, Grade::Judgement, &["judgement_usual"]);
    TARGET_PLIES = "target.most_plies", "Most plies to lay", "12", Count, 1.0 .. 20.0, Play::None, usual(12.0, 12.0, 12.0, Grade::Judgement, &["judgement_usual"]);
    TARGET_DRAPE = "target.heaviest_g_m2", "Heaviest cloth that drapes over your shape", "300", GramPerSquareMetre, 10.0 .. 5000.0, Play::None, None;
}

/// Every numeric field of a plan.
pub fn all() -> impl Iterator<Item = &'static Field> {
    FIELDS.iter().copied()
}

/// The field with this key.
pub fn field(key: &str) -> Option<&'static Field> {
    all().find(|f| f.key == key)
}
