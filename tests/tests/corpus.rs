//! What the long searches kept is handed in again, and each kind is searched a little further: always the same inputs for a seed.
//!
//! `BASTWORK_SEED=7 BASTWORK_CASES=5000` searches elsewhere and longer; `cargo run --profile fuzz -p bastwork-tests --example fuzz`
//! searches as long as it is let.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork_tests::fuzz::{Hunt, Kind, corpus};

fn from_environment(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}

#[test]
fn what_is_kept_does_no_harm() {
    let mut count = 0;
    for kind in Kind::ALL {
        let kept = corpus(kind);
        assert!(kept.len() >= 5, "{} of {}", kept.len(), kind.name());
        for (path, input) in kept {
            count += 1;
            if let Err(what) = kind.ask(&input) {
                panic!("{}: {what}", path.display());
            }
        }
    }
    assert!(count > 100, "{count}");
}

/// Searches a kind until `count` inputs were tried, those that it begins with among them.
fn search(kind: Kind, count: u64, least_marks: usize) {
    let seed = from_environment("BASTWORK_SEED").unwrap_or(1);
    let count = from_environment("BASTWORK_CASES").unwrap_or(count);
    let mut hunt = Hunt::new(kind, seed, 5);
    hunt.go(count.saturating_sub(hunt.tally().tried) as usize);
    let found = hunt.found();
    let told: Vec<String> = found
        .iter()
        .map(|found| {
            format!(
                "{}\nwith\n{}",
                found.what,
                String::from_utf8_lossy(&found.input.bytes())
            )
        })
        .collect();
    assert!(found.is_empty(), "{}", told.join("\n\n"));
    let tally = hunt.tally();
    assert!(tally.tried >= count, "{} tried", tally.tried);
    assert!(
        tally.marks > least_marks,
        "only {} different answers",
        tally.marks
    );
}

#[test]
fn plans_through_reading_and_checks() {
    search(Kind::Check, 2000, 300);
}

#[test]
fn plans_through_the_whole_sheet() {
    search(Kind::Plan, 300, 500);
}

#[test]
fn drawn_plans_through_the_board_and_the_whole_sheet() {
    search(Kind::Drawn, 45, 300);
}

#[test]
fn own_shelves() {
    search(Kind::Shelf, 1000, 100);
}

#[test]
fn drawings() {
    search(Kind::Svg, 600, 50);
    search(Kind::Dxf, 400, 50);
}

#[test]
fn skins() {
    search(Kind::Stl, 200, 20);
    search(Kind::Obj, 300, 20);
    search(Kind::Ply, 300, 20);
}
