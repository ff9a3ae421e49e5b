//! Lines that are suggested: they stand on the board with nothing left to mend, as the trade lays them, and on the skin.

use bastwork::shape::over_skin::{Skin, foot, length};
use bastwork::solve::surface::Triangles;
use bastwork::{Board, Shelf, Weight, sheet_from};
use serde_json::{Value, json};

fn plan(shape: &Value, fabric: &str, mesh: bool) -> Value {
    json!({
        "format": 1, "route": "infusion", "part": { "shape": shape },
        "stack": [{ "fabric": fabric, "count": 4 }], "room": { "temperature_c": 20, "humidity_pct": 50 },
        "bag": { "pressure_mbar_abs": 20, "flow_mesh": mesh }, "resin": "infusion_epoxy_slow", "fill": {}
    })
}

/// A sheet of cells, bent, without those left out [mm].
fn sheet(n: [u32; 2], bend: impl Fn(f64, f64) -> [f64; 3]) -> Value {
    let [nx, ny] = n;
    let places = (0..=nx).flat_map(|i| (0..=ny).map(move |j| (i, j)));
    let points: Vec<[f64; 3]> = places
        .map(|(i, j)| bend(f64::from(i) / f64::from(nx), f64::from(j) / f64::from(ny)))
        .collect();
    let mut triangles: Vec<[u32; 3]> = Vec::new();
    for i in 0..nx {
        for j in 0..ny {
            let k = |i: u32, j: u32| i * (ny + 1) + j;
            let (a, b, c, d) = (k(i, j), k(i + 1, j), k(i + 1, j + 1), k(i, j + 1));
            if (i + j) % 2 == 0 {
                triangles.extend([[a, b, d], [b, c, d]]);
            } else {
                triangles.extend([[a, b, c], [a, c, d]]);
            }
        }
    }
    json!({ "form": "shell", "points_mm": points, "triangles": triangles })
}

fn saddle() -> Value {
    sheet([36, 28], |s, t| {
        let up = 800.0 * ((s - 0.5).powi(2) - (t - 0.5).powi(2));
        [800.0 * s, 600.0 * t, up]
    })
}

/// A bowl turned over, round in plan: a square drawn to a disc.
fn dome() -> Value {
    sheet([30, 30], |s, t| {
        let (x, y) = (2.0 * s - 1.0, 2.0 * t - 1.0);
        let (u, v) = (
            x * (1.0 - y * y / 2.0).sqrt(),
            y * (1.0 - x * x / 2.0).sqrt(),
        );
        [350.0 * u, 350.0 * v, 180.0 * (1.0 - u * u - v * v)]
    })
}

/// A flat top with walls on all sides, in ten triangles.
fn lid() -> Value {
    let (l, w, h) = (600, 400, 120);
    let points = json!([
        [0, 0, 0],
        [l, 0, 0],
        [l, w, 0],
        [0, w, 0],
        [0, 0, h],
        [l, 0, h],
        [l, w, h],
        [0, w, h]
    ]);
    let triangles = json!([
        [4, 5, 6],
        [4, 6, 7],
        [0, 1, 5],
        [0, 5, 4],
        [1, 2, 6],
        [1, 6, 5],
        [2, 3, 7],
        [2, 7, 6],
        [3, 0, 4],
        [3, 4, 7]
    ]);
    json!({ "form": "shell", "points_mm": points, "triangles": triangles })
}

fn outline(points: &[[i32; 2]]) -> Value {
    json!({ "form": "outline", "points_mm": points })
}

fn letter_u() -> Value {
    outline(&[
        [0, 0],
        [900, 0],
        [900, 600],
        [700, 600],
        [700, 200],
        [200, 200],
        [200, 600],
        [0, 600],
    ])
}

fn counter() -> Value {
    let text = std::fs::read_to_string(bastwork_tests::root().join("examples/counter_drawn.json"))
        .unwrap();
    let mut plan: Value = serde_json::from_str(&text).unwrap();
    plan["fill"] = json!({});
    plan
}

fn minutes(text: &str) -> f64 {
    let (number, unit) = text.split_once('\u{a0}').unwrap();
    number.parse::<f64>().unwrap() * if unit == "h" { 60.0 } else { 1.0 }
}

/// Puts every suggestion on the board, as a finger does, and holds it to what was said of it.
fn stand(name: &str, plan: &Value, early_too: bool) {
    let found = Board::new(plan, Shelf::generic()).layouts().unwrap();
    assert_eq!(found.best.len(), 3, "{name}: {}", found.sentence);
    // On a phone a filling of these triangles takes some ten thousandths of a second.
    assert!(found.solved < 200, "{name}: {}", found.solved);
    for way in found.best {
        let mut plan = plan.clone();
        plan["fill"]["lines"] = serde_json::to_value(&way.lines).unwrap();
        plan["bag"]["flow_mesh"] = json!(way.flow_mesh);
        let mut board = Board::new(&plan, Shelf::generic());
        assert!(
            board.problems().is_empty(),
            "{name}: {:?}",
            board.problems()
        );
        let told = board.drawn().unwrap();
        let said = format!("{name}, {}: {}", way.title, way.why);
        let (offered, came) = (minutes(&way.time_text), minutes(&told.time.text));
        assert!(
            (offered / came - 1.0).abs() < 0.02,
            "{said} {offered} {came}"
        );
        assert_eq!(way.reach, told.reach, "{said}");
        for note in &told.notes {
            let words = &note.sentence;
            assert!(note.weight != Weight::Problem, "{said}: {words}");
            assert!(!words.starts_with("Put a vent"), "{said}: {words}");
            if words.starts_with("Vent ") {
                // Where fronts come to vents one after the other, the way itself says so.
                assert!(
                    early_too && way.why.contains("Clamp vent"),
                    "{said}: {words}"
                );
            }
        }
        let sheet = sheet_from(&plan, Shelf::generic()).unwrap();
        let lay = |note: &&bastwork::Note| note.sentence.starts_with("Lay a flow mesh");
        assert!(sheet.notes.iter().find(lay).is_none(), "{said}");
        assert!(way.why.ends_with('.') && !way.tube_text.is_empty());
    }
}

#[test]
fn a_counter_a_saddle_a_dome_a_lid_and_a_u_have_lines_that_stand() {
    stand("counter", &counter(), false);
    for (name, shape) in [
        ("saddle", saddle()),
        ("dome", dome()),
        ("lid", lid()),
        ("U", letter_u()),
    ] {
        stand(name, &plan(&shape, "flax_twill_300", false), false);
    }
}

#[test]
fn plates_with_arms_points_and_openings_have_lines_that_stand() {
    let triangle = outline(&[[0, 0], [1000, 0], [300, 700]]);
    let tee = outline(&[
        [0, 0],
        [900, 0],
        [900, 200],
        [550, 200],
        [550, 700],
        [350, 700],
        [350, 200],
        [0, 200],
    ]);
    let ell = json!({ "form": "ell", "length_mm": 1000, "width_mm": 700, "arm_mm": 250 });
    let disc = json!({ "form": "disc", "diameter_mm": 800 });
    let ring = json!({ "form": "frame", "length_mm": 900, "width_mm": 600, "border_mm": 120 });
    for (name, shape) in [
        ("triangle", triangle),
        ("T", tee),
        ("L", ell),
        ("disc", disc),
        ("ring", ring),
    ] {
        stand(name, &plan(&shape, "flax_twill_300", false), true);
    }
}

#[test]
fn bare_and_meshed_ways_agree_with_what_the_sheet_says_of_the_cloth() {
    let shape = json!({ "form": "rectangle", "length_mm": 1000, "width_mm": 500 });
    // What the trade lays a mesh on is offered with one, whether the plan has it or not.
    for fabric in [
        "glass_twill_300",
        "carbon_twill_300",
        "flax_unidirectional_300",
        "flax_biaxial_300",
    ] {
        for mesh in [false, true] {
            let plan = plan(&shape, fabric, mesh);
            let found = Board::new(&plan, Shelf::generic()).layouts().unwrap();
            assert!(
                found.best.iter().all(|way| way.flow_mesh),
                "{fabric}: {}",
                found.sentence
            );
            assert!(
                found.sentence.contains("the trade lays a mesh on"),
                "{}",
                found.sentence
            );
            let bare = sheet_from(&plan, Shelf::generic()).unwrap();
            let said = |start: &str| {
                bare.notes
                    .iter()
                    .any(|note| note.sentence.starts_with(start))
            };
            let told = said("Lay a flow mesh") || said("The trade lays a flow mesh on");
            assert_eq!(told, !mesh, "{fabric}");
        }
    }
    // Woven flax goes either way: both are shown, what the plan has first.
    for mesh in [false, true] {
        let found = Board::new(&plan(&shape, "flax_twill_300", mesh), Shelf::generic())
            .layouts()
            .unwrap();
        assert_eq!(found.best[0].flow_mesh, mesh, "{}", found.sentence);
        assert!(
            found.best.iter().any(|way| way.flow_mesh != mesh),
            "{}",
            found.sentence
        );
    }
}

/// The skin of a shell, in metres.
fn skin(shape: &Value) -> Triangles {
    let points: Vec<[f64; 3]> = serde_json::from_value(shape["points_mm"].clone()).unwrap();
    let corners: Vec<[u32; 3]> = serde_json::from_value(shape["triangles"].clone()).unwrap();
    Triangles::new(points.iter().map(|p| p.map(|x| x / 1e3)).collect(), corners).unwrap()
}

#[test]
fn lines_on_a_shell_lie_on_its_skin_and_go_the_short_way() {
    for (name, shape) in [("saddle", saddle()), ("dome", dome()), ("lid", lid())] {
        let surface = skin(&shape);
        let over = Skin::of(&surface);
        let found = Board::new(&plan(&shape, "flax_twill_300", false), Shelf::generic())
            .layouts()
            .unwrap();
        for line in found.best.iter().flat_map(|way| &way.lines) {
            let points: Vec<[f64; 3]> = line
                .points_mm
                .iter()
                .map(|p| p.map(|mm| mm / 1e3))
                .collect();
            for pair in points.windows(2) {
                for share in [0.0, 0.3, 0.7] {
                    let p = [0, 1, 2].map(|k| pair[0][k] + (pair[1][k] - pair[0][k]) * share);
                    let on = foot(&surface, p).unwrap().at;
                    let off = (0..3).map(|k| (on[k] - p[k]).powi(2)).sum::<f64>().sqrt();
                    assert!(off < 6e-4, "{name}: {off} {p:?}");
                }
            }
            // From end to end by way of its own middle there is no shorter way.
            if line.does == "feed" && points.len() > 2 && points[0] != points[points.len() - 1] {
                let whole = length(&points);
                let mut run = 0.0;
                let middle = points.windows(2).find_map(|pair| {
                    let step = length(pair);
                    let share = (whole / 2.0 - run) / step;
                    run += step;
                    (share <= 1.0)
                        .then(|| [0, 1, 2].map(|k| pair[0][k] + (pair[1][k] - pair[0][k]) * share))
                });
                let taut = over
                    .through(&[points[0], middle.unwrap(), points[points.len() - 1]])
                    .unwrap();
                // Edges of the part are fed along the edge, however it runs.
                let on_edge = name != "saddle" && points.iter().all(|p| p[2].abs() < 1e-9);
                assert!(
                    on_edge || whole < 1.01 * length(&taut),
                    "{name}: {whole} {}",
                    length(&taut)
                );
            }
        }
    }
}
