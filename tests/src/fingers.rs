//! Parts as they are drawn by hand: lines as a finger makes them, and skins as drawing programs leave them.

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::{Value, json};
use std::f64::consts::TAU;

type Points = Vec<[f64; 2]>;

/// A number of millimetres as a screen gives it.
fn mm(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

fn listed(points: &[[f64; 2]]) -> Value {
    points.iter().map(|p| json!([mm(p[0]), mm(p[1])])).collect()
}

/// A size, even in the logarithm.
fn size(low: f64, high: f64) -> impl Strategy<Value = f64> + Clone {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

/// One movement of a finger over a part that is one wide and one high, in shares of it; some leave the part.
fn stroke() -> BoxedStrategy<Points> {
    let place = || (-0.15..1.15_f64, -0.15..1.15_f64).prop_map(|(x, y)| [x, y]);
    let rim = select(vec![
        [0.0, 0.0],
        [1.0, 0.0],
        [0.0, 1.0],
        [1.0, 1.0],
        [0.5, 0.0],
        [0.0, 0.5],
        [1.0, 0.5],
        [0.5, 1.0],
    ]);
    let tap = place().prop_map(|at| vec![at]);
    // Taps on one spot, as a heavy thumb makes them.
    let taps = (place(), 2..30_usize, size(1e-6, 1e-2)).prop_map(|(at, count, off)| {
        (0..count)
            .map(|k| {
                [
                    at[0] + off * (k as f64 * 2.4).cos(),
                    at[1] + off * (k as f64 * 2.4).sin(),
                ]
            })
            .collect()
    });
    let straight = (place(), place()).prop_map(|(a, b)| vec![a, b]);
    let edge = (rim.clone(), rim).prop_map(|(a, b)| vec![a, b]);
    let zigzag = (
        place(),
        size(0.003, 0.3),
        size(0.003, 0.3),
        2..60_usize,
        any::<bool>(),
    )
        .prop_map(|(at, wide, pitch, count, turned)| {
            (0..count)
                .map(|k| {
                    let (x, y) = (if k % 2 == 0 { 0.0 } else { wide }, pitch * k as f64);
                    if turned {
                        [at[0] + y, at[1] + x]
                    } else {
                        [at[0] + x, at[1] + y]
                    }
                })
                .collect()
        });
    let spiral =
        (place(), size(0.01, 0.6), 0.5..9.0_f64, 6..200_usize).prop_map(|(at, r, turns, count)| {
            (0..count)
                .map(|k| {
                    let t = k as f64 / count as f64;
                    let (sin, cos) = (TAU * turns * t).sin_cos();
                    [at[0] + r * t * cos, at[1] + r * t * sin]
                })
                .collect()
        });
    let scribble = vec(place(), 3..40_usize);
    // A slow finger along the rim: many points, a little beside it.
    let along = (
        0..4_usize,
        3..120_usize,
        size(1e-5, 2e-2),
        vec(-1.0..1.0_f64, 120),
    )
        .prop_map(|(side, count, off, shakes)| {
            (0..=count)
                .map(|k| {
                    let (t, o) = (k as f64 / count as f64, off * shakes[k % shakes.len()]);
                    match side {
                        0 => [t, o],
                        1 => [1.0 + o, t],
                        2 => [t, 1.0 + o],
                        _ => [o, t],
                    }
                })
                .collect()
        });
    // Back and forth over the same way.
    let again = (place(), place(), 2..9_usize)
        .prop_map(|(a, b, count)| (0..count).map(|k| if k % 2 == 0 { a } else { b }).collect());
    prop_oneof![2 => tap, 1 => taps, 3 => straight, 2 => edge, 4 => zigzag, 2 => spiral, 2 => scribble, 2 => along, 1 => again].boxed()
}

/// A closed line without crossings round the middle, in shares of the part.
fn blob() -> BoxedStrategy<Points> {
    (
        0.05..0.95_f64,
        0.05..0.95_f64,
        size(0.02, 0.6),
        vec(0.3..1.0_f64, 3..14),
    )
        .prop_map(|(x, y, r, far)| {
            let count = far.len() as f64;
            far.iter()
                .enumerate()
                .map(|(k, far)| {
                    let (sin, cos) = (TAU * k as f64 / count).sin_cos();
                    [x + r * far * cos, y + r * far * sin]
                })
                .collect()
        })
        .boxed()
}

/// A form, and the box that it fills [mm].
#[derive(Debug, Clone)]
struct Part {
    shape: Value,
    size: [f64; 2],
    /// Height over a place; nothing for a flat part.
    bulge: f64,
}

fn flat(shape: Value, size: [f64; 2]) -> Part {
    Part {
        shape,
        size,
        bulge: 0.0,
    }
}

fn forms() -> BoxedStrategy<Part> {
    let plate = (size(30.0, 6000.0), size(20.0, 3000.0)).prop_map(|(l, w)| {
        flat(
            json!({ "form": "rectangle", "length_mm": mm(l), "width_mm": mm(w) }),
            [l, w],
        )
    });
    let disc = size(40.0, 2500.0)
        .prop_map(|d| flat(json!({ "form": "disc", "diameter_mm": mm(d) }), [d, d]));
    let ell = (size(60.0, 3000.0), size(60.0, 3000.0), 0.03..0.97_f64).prop_map(|(l, w, share)| {
        flat(json!({ "form": "ell", "length_mm": mm(l), "width_mm": mm(w), "arm_mm": mm((share * l.min(w)).max(6.0)) }), [l, w])
    });
    let frame = (size(100.0, 3000.0), size(100.0, 2000.0), 0.03..0.47_f64).prop_map(|(l, w, share)| {
        flat(json!({ "form": "frame", "length_mm": mm(l), "width_mm": mm(w), "border_mm": mm((share * l.min(w)).max(6.0)) }), [l, w])
    });
    let taper = (size(60.0, 3000.0), size(30.0, 1500.0), size(6.0, 1500.0))
        .prop_map(|(l, w, far)| flat(json!({ "form": "taper", "length_mm": mm(l), "width_mm": mm(w), "far_width_mm": mm(far) }), [l, w]));
    let outline = (blob(), prop::option::of(blob()), size(100.0, 4000.0), size(60.0, 3000.0)).prop_map(|(edge, hole, l, w)| {
        let scaled = |line: &Points| -> Points { line.iter().map(|p| [p[0] * l, p[1] * w]).collect() };
        let holes: Vec<Value> = hole.iter().map(|hole| listed(&scaled(hole))).collect();
        flat(json!({ "form": "outline", "points_mm": listed(&scaled(&edge)), "holes_mm": holes }), [l, w])
    });
    prop_oneof![3 => plate, 1 => disc, 2 => ell, 1 => frame, 1 => taper, 2 => outline, 3 => skin()]
        .boxed()
}

/// A bulged skin as drawing programs leave them: rows of uneven width, needles, points twice over, triangles apart, holes.
fn skin() -> BoxedStrategy<Part> {
    let sizes = (size(60.0, 3000.0), size(60.0, 1500.0), -0.8..0.8_f64);
    let rows = (1..14_usize, 1..14_usize, 0.25..4.0_f64);
    let ways = (
        any::<bool>(),
        prop::option::weighted(0.2, size(1e-4, 1e-2)),
        prop::option::weighted(0.2, 0..40_usize),
        any::<bool>(),
    );
    (sizes, rows, ways)
        .prop_map(
            |((l, w, bulge), (across, along, uneven), (apart, off, missing, turned))| {
                let place = |i: usize, k: usize| {
                    let (u, v) = (
                        (i as f64 / across as f64).powf(uneven),
                        k as f64 / along as f64,
                    );
                    let high = bulge
                        * w
                        * (1.0 - (2.0 * u - 1.0).powi(2))
                        * (1.0 - (2.0 * v - 1.0).powi(2));
                    [u * l, v * w, high]
                };
                let mut points: Vec<[f64; 3]> = Vec::new();
                let mut triangles: Vec<[usize; 3]> = Vec::new();
                let mut three = |corners: [[f64; 3]; 3]| {
                    let first = points.len();
                    points.extend(corners);
                    triangles.push([first, first + 1, first + 2]);
                };
                for i in 0..across {
                    for k in 0..along {
                        let [a, b, c, d] = [
                            place(i, k),
                            place(i + 1, k),
                            place(i + 1, k + 1),
                            place(i, k + 1),
                        ];
                        if missing == Some(i * along + k) {
                            continue;
                        }
                        if turned && (i + k) % 2 == 1 {
                            three([a, b, d]);
                            three([b, c, d]);
                        } else {
                            three([a, b, c]);
                            three([a, c, d]);
                        }
                    }
                }
                if !apart {
                    // As programs that weld do: each point once.
                    let mut known: Vec<[f64; 3]> = Vec::new();
                    let places: Vec<usize> = points
                        .iter()
                        .map(|p| {
                            known.iter().position(|q| q == p).unwrap_or_else(|| {
                                known.push(*p);
                                known.len() - 1
                            })
                        })
                        .collect();
                    triangles.iter_mut().for_each(|three| {
                        three
                            .iter_mut()
                            .for_each(|corner| *corner = places[*corner])
                    });
                    points = known;
                }
                if let Some(off) = off {
                    // Rounded by another program: points that should be one lie a little apart.
                    for (k, p) in points.iter_mut().enumerate() {
                        p[k % 3] += off * (k as f64 * 2.4).sin();
                    }
                }
                Part {
                    shape: json!({ "form": "shell", "points_mm": points, "triangles": triangles }),
                    size: [l, w],
                    bulge: bulge * w,
                }
            },
        )
        .boxed()
}

/// Lines and zones on a part, in its own millimetres.
fn drawn_on(part: Part, strokes: &[(Points, u8)], zones: &[(Points, u8)], counts: &[i32]) -> Value {
    let [l, w] = part.size;
    let at = |p: &[f64; 2]| {
        let low = if part.shape["form"] == "disc" {
            [-0.5 * l, -0.5 * w]
        } else if part.shape["form"] == "taper" {
            [0.0, -0.5 * w]
        } else {
            [0.0, 0.0]
        };
        let (x, y) = (low[0] + p[0] * l, low[1] + p[1] * w);
        if part.bulge == 0.0 {
            json!([mm(x), mm(y)])
        } else {
            let high = part.bulge
                * (1.0 - (2.0 * p[0] - 1.0).powi(2))
                * (1.0 - (2.0 * p[1] - 1.0).powi(2));
            json!([mm(x), mm(y), mm(high)])
        }
    };
    let lines: Vec<Value> = strokes
        .iter()
        .map(|(points, kind)| {
            let points: Vec<Value> = points.iter().take(400).map(at).collect();
            match kind {
                0..=3 => json!({ "does": "feed", "points_mm": points }),
                4 => json!({ "does": "feed", "opens": "when_wet", "points_mm": points }),
                5..=7 => json!({ "does": "vent", "points_mm": points }),
                8 => json!({ "does": "vent", "closed": false, "points_mm": points }),
                9 => json!({ "does": "channel", "section": "gap", "width_mm": 2.0, "height_mm": 4.0, "points_mm": points }),
                _ => json!({ "does": "channel", "section": "corner", "width_mm": 5.0, "points_mm": points }),
            }
        })
        .collect();
    let zones: Vec<Value> = zones
        .iter()
        .zip(counts)
        .map(|((edge, kind), count)| {
            let edge: Vec<Value> = edge.iter().map(|p| json!([mm(p[0] * l), mm(p[1] * w)])).collect();
            match kind {
                0 => json!({ "lies": "mesh", "points_mm": edge }),
                1 => json!({ "lies": "plies", "count": count, "angle_deg": 45, "points_mm": edge }),
                2 => json!({ "lies": "insert", "points_mm": edge }),
                3 => json!({ "lies": "break", "points_mm": edge }),
                _ => json!({ "lies": "stack", "stack": [{ "fabric": "glass_twill_300", "count": count.abs() + 1 }], "points_mm": edge }),
            }
        })
        .collect();
    json!({ "shape": part.shape, "lines": lines, "zones": zones })
}

/// A plan whose part is drawn by hand.
pub fn plan() -> BoxedStrategy<Value> {
    let cloths = select(vec![
        "flax_twill_300",
        "flax_unidirectional_150",
        "flax_biaxial_300",
        "flax_mat_350",
        "glass_twill_300",
        "hemp_plain_300",
    ]);
    let drawing = (
        forms(),
        vec((stroke(), 0..11_u8), 0..6),
        vec((blob(), 0..5_u8), 0..4),
        vec(-3..4_i32, 4),
    )
        .prop_map(|(part, strokes, zones, counts)| drawn_on(part, &strokes, &zones, &counts));
    let rest = (
        cloths,
        1..9_u32,
        select(vec![0.0, 30.0, 45.0, 90.0]),
        any::<bool>(),
        any::<bool>(),
        select(vec!["infusion", "bagged_wet"]),
    );
    (drawing, rest)
        .prop_map(|(drawing, (cloth, count, angle, mesh, us, route))| {
            let mut plan = json!({
                "part": { "shape": drawing["shape"] },
                "stack": [{ "fabric": cloth, "count": count, "angle_deg": angle }],
                "resin": "infusion_epoxy_slow", "route": route, "bag": { "flow_mesh": mesh },
                "fill": { "lines": drawing["lines"], "zones": drawing["zones"] },
            });
            if us {
                plan["units"] = json!("us");
            }
            plan
        })
        .boxed()
}

/// Some of them, the same every time.
#[must_use]
pub fn seeded(count: usize, seed: u8) -> Vec<Value> {
    crate::draw::some(&plan(), count, seed)
}
