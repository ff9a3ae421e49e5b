//! Steps that were noted to have begun: what follows is reckoned from them.

use super::{conflict, day, plan, step, with};
use bastwork::{DaySheet, Shelf, sheet_from};
use serde_json::json;

#[test]
fn what_has_begun_moves_the_rest() {
    let start = ("day.start", json!("2026-11-26T08:00"));
    let before = day(&with(plan(), std::slice::from_ref(&start)));
    let late = day(&with(
        plan(),
        &[
            start.clone(),
            ("day.began", json!({ "fill": "2026-11-26T15:00" })),
        ],
    ));
    assert!(late.replanned && !before.replanned);
    assert_eq!(step(&late, "fill").at, "2026-11-26T15:00");
    assert_eq!(step(&late, "fill").began, "2026-11-26T15:00");
    assert_eq!(
        step(&late, "lay").at,
        step(&before, "lay").at,
        "what came before stays"
    );
    let gel = |day: &DaySheet| step(day, "gel").ends_min - step(day, "fill").begins_min;
    assert!((gel(&late) - gel(&before)).abs() < 1.0);
    // No start typed: reckoned back from the mark.
    let bare = day(&with(
        plan(),
        &[("day.began", json!({ "fill": "2026-11-26T15:00" }))],
    ));
    assert_eq!(step(&bare, "fill").at, "2026-11-26T15:00");
    // What does not fit is kept and told.
    let odd = with(
        plan(),
        &[
            start,
            (
                "day.began",
                json!({ "polish": "2026-11-26T15:00", "lay": "2026-11-26T12:00", "fill": "2026-11-26T11:00" }),
            ),
        ],
    );
    let sheet = sheet_from(&odd, Shelf::generic()).unwrap();
    let told: Vec<&str> = sheet
        .notes
        .iter()
        .map(|note| note.sentence.as_str())
        .filter(|s| s.contains("has begun"))
        .collect();
    assert_eq!(told.len(), 2, "{told:?}");
}

#[test]
fn what_is_over_was_over_in_time_and_stands_in_no_way() {
    let start = ("day.start", json!("2026-11-26T05:00"));
    // Cutting before the shop opens stands in the way until the stack lies.
    let before = day(&with(plan(), std::slice::from_ref(&start)));
    assert_eq!(conflict(&before, "out_of_hours").unwrap().step, "cut");
    // The fill began sooner than reckoned: all before it was over by then, pots and all.
    let soon = day(&with(
        plan(),
        &[start, ("day.began", json!({ "fill": "2026-11-26T06:30" }))],
    ));
    for key in [
        "cut", "release", "dry", "lay", "bag", "pump", "test", "mix_1",
    ] {
        assert!(step(&soon, key).ends_min <= 90.0 + 1e-9, "{key}");
        assert!(
            step(&soon, key).begins_min <= step(&soon, key).ends_min,
            "{key}"
        );
    }
    assert_eq!(step(&soon, "fill").begins_min, 90.0);
    assert!(step(&soon, "clamp").begins_min >= step(&soon, "fill").ends_min - 1e-9);
    let told = conflict(&soon, "out_of_hours");
    assert!(
        told.is_none_or(|told| !["cut", "release", "lay"].contains(&told.step.as_str())),
        "{told:?}"
    );
    assert!(conflict(&soon, "damp_again").is_none());
}

#[test]
fn pots_follow_the_fill_and_each_other() {
    let changes = [
        ("bag.flow_mesh", json!(false)),
        ("mix.largest_pot_g", json!(200)),
        ("day.start", json!("2026-11-26T08:00")),
    ];
    let before = day(&with(plan(), &changes));
    let filled = with(plan(), &changes);
    let filled = with(
        filled,
        &[("day.began", json!({ "fill": "2026-11-26T16:00" }))],
    );
    let late = day(&filled);
    let shift = 480.0 - step(&before, "fill").begins_min;
    assert!(shift > 60.0);
    let moved = step(&late, "mix_4").begins_min - step(&before, "mix_4").begins_min;
    assert!((moved - shift).abs() < 1.0, "{moved} {shift}");
    // A pot that is begun late holds up the next, not the fill.
    let held = with(
        filled,
        &[(
            "day.began",
            json!({ "fill": "2026-11-26T16:00", "mix_3": "2026-11-26T19:00" }),
        )],
    );
    let held = day(&held);
    assert!(step(&held, "mix_4").begins_min >= step(&held, "mix_3").ends_min - 1e-9);
    assert_eq!(step(&held, "fill").begins_min, 480.0);
}

#[test]
fn a_note_before_it_is_hard_is_told() {
    let start = ("day.start", json!("2026-11-26T08:00"));
    let soft = |began: serde_json::Value| {
        let found = day(&with(plan(), &[start.clone(), ("day.began", began)]));
        conflict(&found, "too_soft").cloned()
    };
    let told = soft(json!({ "fill": "2026-11-26T12:00", "demould": "2026-11-26T17:00" })).unwrap();
    assert_eq!(told.step, "demould");
    let told = soft(
        json!({ "fill": "2026-11-26T12:00", "demould": "2026-11-27T17:00", "trim": "2026-11-26T18:00" }),
    );
    assert!(told.is_none(), "out of order, and not used: {told:?}");
    let told = soft(json!({ "fill": "2026-11-26T12:00", "trim": "2026-11-27T08:00" })).unwrap();
    assert_eq!(told.step, "trim");
    assert!(soft(json!({ "fill": "2026-11-26T12:00", "demould": "2026-11-28T17:00", "trim": "2026-11-28T18:00" })).is_none());
}
