//! Checks of speeds and feeds.

use super::*;

#[test]
fn the_table_of_turns() {
    // Arithmetic check: mm, m/s, turns a minute.
    for (mm, speed, turns) in [
        (20.0, 10.0, 9_549.0),
        (50.0, 32.0, 12_223.0),
        (100.0, 63.0, 12_032.0),
        (115.0, 80.0, 13_286.0),
        (230.0, 80.0, 6_643.0),
        (4.0, 16.0, 76_394.0),
    ] {
        let got = turns_for_speed(mm / 1e3, speed).unwrap();
        assert!((got - turns).abs() < 0.6, "{mm} mm {speed} m/s: {got}");
        assert!((surface_speed(mm / 1e3, got).unwrap() - speed).abs() < 1e-9);
    }
    assert!((surface_speed(0.03, 25_000.0).unwrap() - 39.3).abs() < 0.05);
    assert!(
        surface_speed(125.0, 11_000.0).is_err(),
        "millimetres given for metres"
    );
}

#[test]
fn feet_and_metres() {
    // pi D n / 12 with D in inches: the American form of the same law.
    let sfpm = PI * 5.0 * 11_000.0 / 12.0;
    let v = surface_speed(5.0 * 0.0254, 11_000.0).unwrap();
    assert!((surface_feet_per_minute(v).unwrap() - sfpm).abs() < 1e-6);
    assert!((from_surface_feet_per_minute(sfpm).unwrap() - v).abs() < 1e-12);
    // ANSI B7.1, from memory: 6500 sfpm is 33 m/s.
    assert!((from_surface_feet_per_minute(6_500.0).unwrap() - 33.0).abs() < 0.05);
}

#[test]
fn the_lowest_limit_wins() {
    let disc = ToolClass::ReinforcedDisc;
    assert_eq!(
        permitted_turns(0.15, 10_000.0, Some(80.0), disc).unwrap(),
        10_000.0
    );
    let by_class = permitted_turns(0.15, 30_000.0, Some(100.0), disc).unwrap();
    assert!((by_class - 10_186.0).abs() < 0.6, "{by_class}");
    let by_mark = permitted_turns(0.15, 30_000.0, Some(50.0), disc).unwrap();
    assert!((by_mark - 6_366.0).abs() < 0.6, "{by_mark}");
    let wheel = permitted_turns(0.05, 30_000.0, None, ToolClass::FlapWheel).unwrap();
    assert!((wheel - 19_099.0).abs() < 0.6, "{wheel}");
    assert!(permitted_turns(0.15, 0.0, None, disc).is_err(), "unmarked");
}

#[test]
fn chips_and_feeds() {
    // Worked: 6 mm, two flutes, 120 m/min, 0.12 mm a turn: 6366 rpm, 764 mm/min (arithmetic on a tool
    // catalogue's speed and feed for glass-fibre laminate).
    let n = turns_for_speed(0.006, 2.0).unwrap();
    assert!((n - 6_366.0).abs() < 0.6);
    let feed = feed_for_chip_load(0.06e-3, 2.0, n).unwrap();
    assert!((feed * 60e3 - 764.0).abs() < 0.5);
    assert!((chip_load(feed, 2.0, n).unwrap() - 0.06e-3).abs() < 1e-15);
    assert!((depth_factor(0.003, 0.006).unwrap() - 1.0).abs() < 1e-12);
    assert!((depth_factor(0.018, 0.006).unwrap() - 0.5).abs() < 1e-12);
    assert!(depth_factor(0.019, 0.006).is_err());
    assert!((jigsaw_speed(0.018, 500.0).unwrap() - 0.3).abs() < 1e-12);
    assert!(
        jigsaw_speed(18.0, 500.0).is_err(),
        "millimetres given for metres"
    );
}
