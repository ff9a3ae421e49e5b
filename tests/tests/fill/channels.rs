//! Channels beside or in the cloth: against an independent fill, and against feeds along the same lines.

use super::gates;
use super::meshes::rectangle;
use bastwork::solve::front::Field;
use bastwork::solve::surface::{Channel, Tensor};
use bastwork::{Board, Shelf};
use bastwork_tests::vectors::table;
use serde_json::{Value, json};

#[test]
fn a_strip_with_a_fast_edge_fills_as_an_independent_solve_says() {
    // A strip 4 by 1 fed at one end, a channel along one side: cases/vectors/make_channels.py.
    let rows = table("fill_channels.csv");
    assert!(rows.len() >= 3);
    for row in rows {
        let mesh = rectangle(4.0, 1.0, 160, 40, 7);
        let surface = mesh.surface();
        let side: Vec<u32> = mesh.nodes(|p| p[1] < 1e-9);
        let mut along: Vec<(f64, u32)> = side
            .iter()
            .map(|&i| (mesh.points[i as usize][0], i))
            .collect();
        along.sort_by(|a, b| a.0.total_cmp(&b.0));
        let channels: Vec<Channel> = along
            .windows(2)
            .map(|two| Channel {
                ends: [two[0].1, two[1].1],
                conduct: row.x("conduct"),
                hold: row.x("hold"),
            })
            .collect();
        let one = Tensor {
            along: [1.0, 0.0, 0.0],
            first: 1.0,
            second: 1.0,
        };
        let count = mesh.corners.len();
        let mut field = Field::new(&surface, &vec![one; count], &vec![1.0; count], &channels);
        let feeds = mesh.nodes(|p| p[0] < 1e-9);
        let gates = gates(&feeds, &[]);
        let all = field.fill(&gates).time;
        let far = mesh.nearest([4.0, 0.0]) as usize;
        let end = field.arrival(&gates, 5).at[far];
        for (what, got, wanted, share) in [
            ("all", all, row.x("all"), 0.01),
            ("end of the channel", end, row.x("end"), 0.04),
        ] {
            println!(
                "{what}: {got:.4} against {wanted:.4}, {:+.2} %",
                100.0 * (got / wanted - 1.0)
            );
            // Against the whole fill, as the map says of itself.
            assert!(
                (got - wanted).abs() <= share * row.x("all"),
                "{what}: {got} against {wanted}"
            );
        }
    }
}

fn plan(lines: &Value) -> Value {
    json!({
        "format": 1, "route": "infusion",
        "part": { "shape": { "form": "rectangle", "length_mm": 400, "width_mm": 100 } },
        "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
        "resin": "infusion_epoxy_slow",
        "bag": { "feed_tube_m": 0, "spiral_m": 0, "pot_below_mm": 0 },
        "fill": { "lines": lines },
    })
}

fn board(plan: &Value) -> Board {
    let board = Board::new(plan, Shelf::generic());
    assert!(board.problems().is_empty(), "{:?}", board.problems());
    board
}

fn minutes(plan: &Value) -> f64 {
    board(plan).quick().unwrap().likely_min
}

fn end() -> Value {
    json!({ "does": "feed", "points_mm": [[0, 0], [0, 100]] })
}

/// So open that it fills at once, and so thin that it holds nothing that counts.
fn wide(points: &Value) -> Value {
    json!({ "does": "channel", "section": "gap", "width_mm": 6, "height_mm": 6, "points_mm": points })
}

fn near(got: f64, wanted: f64, share: f64, what: &str) {
    println!(
        "{what}: {got} against {wanted}, {:+.2} %",
        100.0 * (got / wanted - 1.0)
    );
    assert!(
        (got / wanted - 1.0).abs() <= share,
        "{what}: {got} against {wanted}"
    );
}

#[test]
fn a_wide_channel_feeds_like_a_feed_along_it() {
    for line in [
        json!([[0, 0], [400, 0]]),
        json!([[0, 50], [400, 50]]),
        json!([[0, 20], [400, 80]]),
    ] {
        let fed = minutes(&plan(
            &json!([end(), { "does": "feed", "points_mm": line }]),
        ));
        let ran = minutes(&plan(&json!([end(), wide(&line)])));
        near(ran, fed, 0.05, &line.to_string());
        assert!(ran >= fed * 0.999, "a channel is no better than a feed");
    }
}

#[test]
fn a_crack_that_carries_nothing_changes_nothing() {
    let plain = minutes(&plan(&json!([end()])));
    let crack = json!({ "does": "channel", "width_mm": 0.1, "height_mm": 0.1, "points_mm": [[0, 50], [400, 50]] });
    near(minutes(&plan(&json!([end(), crack]))), plain, 0.01, "crack");
}

#[test]
fn a_bridged_corner_of_a_folded_shell_runs_ahead() {
    // An angle of two strips; the fold between them runs along x.
    let points = json!([
        [0, 0, 60],
        [400, 0, 60],
        [0, 0, 0],
        [400, 0, 0],
        [0, 60, 0],
        [400, 60, 0]
    ]);
    let triangles = json!([[2, 3, 1], [2, 1, 0], [2, 4, 5], [2, 5, 3]]);
    let mut plan = plan(&json!([]));
    plan["part"]["shape"] = json!({ "form": "shell", "points_mm": points, "triangles": triangles });
    let ends = json!({ "does": "feed", "points_mm": [[0, 0, 60], [0, 0, 0], [0, 60, 0]] });
    let fold = json!([[0, 0, 0], [400, 0, 0]]);
    let with = |lines: Value| {
        let mut plan = plan.clone();
        plan["fill"]["lines"] = lines;
        minutes(&plan)
    };
    let plain = with(json!([ends]));
    let fed = with(json!([ends, { "does": "feed", "points_mm": fold }]));
    let ran = with(
        json!([ends, { "does": "channel", "section": "corner", "width_mm": 12, "points_mm": fold }]),
    );
    near(ran, fed, 0.06, "fold");
    assert!(plain > 4.0 * ran, "{plain} {ran}");
}

#[test]
fn the_board_says_that_resin_runs_ahead_and_what_it_shuts_in() {
    // Channels down both long sides and across the far end of a wider plate, where the vent is: the middle is shut in.
    let mut round = plan(&json!([
        end(),
        wide(&json!([[0, 0], [400, 0], [400, 300], [0, 300]]))
    ]));
    round["part"]["shape"]["width_mm"] = json!(300);
    round["fill"]["lines"][0] = json!({ "does": "feed", "points_mm": [[0, 0], [0, 300]] });
    let lines = round["fill"]["lines"].as_array_mut().unwrap();
    lines.push(json!({ "does": "vent", "points_mm": [[400, 0], [400, 300]] }));
    let drawn = board(&round).drawn().unwrap();
    let told: Vec<&str> = drawn
        .notes
        .iter()
        .map(|note| note.sentence.as_str())
        .collect();
    assert!(
        told.iter()
            .any(|s| s.starts_with("Resin runs ahead in channel 1")),
        "{told:?}"
    );
    assert!(
        told.iter()
            .any(|s| s.starts_with("Resin closes round about")),
        "{told:?}"
    );
    let range = |plan: &Value| {
        let time = bastwork::sheet_from(plan, Shelf::generic())
            .unwrap()
            .fill
            .unwrap()
            .time_min;
        (time.low, time.likely, time.high)
    };
    // The sheet fills it likewise.
    let (_, likely, _) = range(&round);
    near(likely, minutes(&round), 0.01, "sheet");
}

#[test]
fn what_a_channel_holds_is_mixed() {
    let resin = |lines: &Value| {
        let sheet = bastwork::sheet_from(&plan(lines), Shelf::generic()).unwrap();
        sheet.mix.resin_in_part_g.likely
    };
    let corner = json!({ "does": "channel", "section": "corner", "width_mm": 8, "points_mm": [[0, 0], [400, 0]] });
    let gap = json!({ "does": "channel", "width_mm": 2, "height_mm": 5, "points_mm": [[0, 0], [400, 0]] });
    let plain = resin(&json!([end()]));
    // (1 - pi / 4) 8^2 mm2 and 2 by 5 mm, 400 mm long; cured epoxy is 1.1 to 1.2 g/cm3.
    for (channel, cm3) in [(corner, 13.735 * 0.4), (gap, 10.0 * 0.4)] {
        let density = (resin(&json!([end(), channel])) - plain) / cm3;
        assert!((1.1..1.2).contains(&density), "{density}");
    }
}

#[test]
fn a_channel_that_is_dragged_is_one_that_was_drawn_there() {
    let there = json!([end(), wide(&json!([[0, 30], [300, 30]]))]);
    let mut dragged = board(&plan(&json!([end(), wide(&json!([[0, 80], [200, 80]]))])));
    assert!(dragged.set_lines(&there).is_empty());
    near(
        dragged.quick().unwrap().likely_min,
        minutes(&plan(&there)),
        1e-9,
        "dragged",
    );
    // And one that was taken away is gone.
    assert!(dragged.set_lines(&json!([end()])).is_empty());
    near(
        dragged.quick().unwrap().likely_min,
        minutes(&plan(&json!([end()]))),
        1e-9,
        "gone",
    );
    let told = Board::new(
        &plan(&json!([end(), wide(&json!([[0, 30]]))])),
        Shelf::generic(),
    );
    assert!(
        told.problems()
            .iter()
            .any(|p| p.field.starts_with("fill.lines.1"))
    );
}
