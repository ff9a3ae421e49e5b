//! Places that resin closes round: two discs joined by a neck, fed all round, have one in each.

use bastwork::{Board, Shelf};
use serde_json::{Value, json};

/// Radius of the large disc, round nought, and of the small one [mm], and how far apart they are.
const LARGE: f64 = 150.0;
const SMALL: f64 = 100.0;
const APART: f64 = 400.0;
/// Half the width of the neck.
const NECK: f64 = 30.0;

fn outline() -> Vec<[f64; 2]> {
    let arc = |x: f64, r: f64, from: f64, to: f64| {
        (0..=40).map(move |i| {
            let a = from + (to - from) * f64::from(i) / 40.0;
            [x + r * a.cos(), r * a.sin()]
        })
    };
    let (a, b) = ((NECK / LARGE).asin(), (NECK / SMALL).asin());
    let turn = std::f64::consts::PI;
    arc(0.0, LARGE, a, 2.0 * turn - a)
        .chain(arc(APART, SMALL, turn + b, 3.0 * turn - b))
        .collect()
}

fn sentences(vents: &[[f64; 2]]) -> Vec<String> {
    let mut round = outline();
    round.push(round[0]);
    let mut lines: Vec<Value> = vec![json!({ "does": "feed", "points_mm": round })];
    lines.extend(
        vents
            .iter()
            .map(|vent| json!({ "does": "vent", "points_mm": [vent] })),
    );
    let plan = json!({
        "format": 1, "route": "infusion",
        "part": { "shape": { "form": "outline", "points_mm": outline() } },
        "stack": [{ "fabric": "flax_twill_300", "count": 2 }, { "fabric": "flax_twill_300", "count": 2, "angle_deg": 90 }],
        "bag": { "pressure_mbar_abs": 20, "flow_mesh": false }, "resin": "infusion_epoxy_slow",
        "fill": { "lines": lines }
    });
    let told = Board::new(&plan, Shelf::generic()).drawn().unwrap();
    told.notes
        .into_iter()
        .map(|note| note.sentence.replace('\u{a0}', " "))
        .collect()
}

/// x and y in a sentence [mm].
fn place(sentence: &str) -> [f64; 2] {
    let after = |mark: &str| -> f64 {
        let rest = &sentence[sentence.find(mark).unwrap() + mark.len()..];
        rest.split(' ').next().unwrap().parse().unwrap()
    };
    [after(" x "), after(", y ")]
}

#[test]
fn a_place_with_no_vent_is_told_and_a_vent_there_is_the_cure() {
    let close = |sentences: &[String]| -> Vec<String> {
        sentences
            .iter()
            .filter(|s| s.starts_with("Resin closes round"))
            .cloned()
            .collect()
    };
    let told = sentences(&[]);
    let [pocket] = &close(&told)[..] else {
        panic!("{told:?}");
    };
    // By symmetry in the middle of the small disc, a little towards the neck.
    let [x, y] = place(pocket);
    assert!(
        (APART - 25.0..APART + 5.0).contains(&x) && y.abs() < 8.0,
        "{pocket}"
    );
    // 20 mbar of about 1013: a fiftieth, by Boyle's law.
    let area: Vec<f64> = pocket
        .split(" cm\u{b2}")
        .filter_map(|part| part.split(' ').next_back()?.parse().ok())
        .collect();
    let [round, dry] = area[..] else {
        panic!("{pocket}");
    };
    assert!((dry / round - 20.0 / 1013.0).abs() < 0.003, "{pocket}");
    assert!(
        (SMALL / 10.0).powi(2) * std::f64::consts::PI > round,
        "{pocket}"
    );
    // The last place of all is told apart.
    let last = told
        .iter()
        .find(|s| s.starts_with("Put a vent where resin comes last"))
        .unwrap();
    let [x, y] = place(last);
    assert!((-5.0..25.0).contains(&x) && y.abs() < 8.0, "{last}");
    let cured = sentences(&[[x, y], [place(pocket)[0], 0.0]]);
    assert!(close(&cured).is_empty(), "{cured:?}");
    assert!(!cured.iter().any(|s| s.contains("comes last")), "{cured:?}");
}

#[test]
fn lines_that_are_suggested_leave_no_air_shut_in() {
    let dumbbell = json!({ "form": "outline", "points_mm": outline() });
    let ell = json!({ "form": "ell", "length_mm": 1200, "width_mm": 800, "arm_mm": 300 });
    let frame = json!({ "form": "frame", "length_mm": 900, "width_mm": 600, "border_mm": 120 });
    let plain = json!({ "form": "rectangle", "length_mm": 1000, "width_mm": 500 });
    for shape in [dumbbell, ell, frame, plain] {
        let mut plan = json!({
            "format": 1, "route": "infusion", "part": { "shape": shape },
            "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
            "bag": { "pressure_mbar_abs": 20, "flow_mesh": false }, "resin": "infusion_epoxy_slow", "fill": {}
        });
        let best = Board::new(&plan, Shelf::generic()).layouts().unwrap().best;
        assert_eq!(best.len(), 3);
        for way in best {
            plan["fill"]["lines"] = serde_json::to_value(&way.lines).unwrap();
            plan["bag"]["flow_mesh"] = json!(way.flow_mesh);
            let mut board = Board::new(&plan, Shelf::generic());
            let told = board.drawn().unwrap();
            // What is offered is what comes of it.
            // The points of its vents make a mesh of their own: the same to two in a hundred, and to what is rounded.
            let minutes = |text: &str| -> f64 {
                let number = text.split('\u{a0}').next().unwrap();
                number.parse().unwrap_or(f64::NAN)
            };
            let (offered, came) = (minutes(&way.time_text), minutes(&told.time.text));
            assert!(
                told.time.text == way.time_text || (offered / came - 1.0).abs() < 0.02,
                "{}: {} {}",
                way.title,
                way.time_text,
                told.time.text
            );
            for note in told.notes {
                let said = &note.sentence;
                assert!(
                    !said.starts_with("Resin closes round") && !said.starts_with("Feeds shut in"),
                    "{}: {said}",
                    way.title
                );
                assert!(
                    !said.starts_with("Put a vent where resin comes last"),
                    "{}: {said}",
                    way.title
                );
            }
        }
    }
}

#[test]
fn a_zone_that_feeds_wall_in_is_told_until_it_has_a_vent() {
    let told = |vents: &[Value]| -> Vec<String> {
        let across = |x: f64| json!([[x, 0], [x, 500]]);
        let mut lines: Vec<Value> = [250.0, 750.0]
            .map(|x| json!({ "does": "feed", "points_mm": across(x) }))
            .into();
        lines.extend([0.0, 1000.0].map(|x| json!({ "does": "vent", "points_mm": across(x) })));
        lines.extend(
            vents
                .iter()
                .map(|at| json!({ "does": "vent", "points_mm": at })),
        );
        let plan = json!({
            "format": 1, "route": "infusion",
            "part": { "shape": { "form": "rectangle", "length_mm": 1000, "width_mm": 500 } },
            "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
            "bag": { "pressure_mbar_abs": 20, "flow_mesh": false }, "resin": "infusion_epoxy_slow",
            "fill": { "lines": lines }
        });
        let drawn = Board::new(&plan, Shelf::generic()).drawn().unwrap();
        let notes = drawn.notes.into_iter();
        notes
            .map(|note| note.sentence.replace('\u{a0}', " "))
            .filter(|said| said.starts_with("Feeds shut in") || said.starts_with("Resin closes"))
            .collect()
    };
    let shut = told(&[]);
    let [zone] = &shut[..] else {
        panic!("{shut:?}");
    };
    // Half the part less what the feeds cover, and its last point lies midway between them.
    let area: f64 = zone
        .split(" cm²")
        .next()
        .and_then(|part| part.split(' ').next_back()?.parse().ok())
        .unwrap();
    assert!((2300.0..=2500.0).contains(&area), "{zone}");
    assert!((place(zone)[0] - 500.0).abs() < 25.0, "{zone}");
    let line = json!([[500, 0], [500, 500]]);
    assert!(told(&[line]).is_empty());
}
