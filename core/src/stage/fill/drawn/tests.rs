//! How well a part as drawn stands for itself: however it is cut, turned, folded or refined.

use super::*;
use crate::law::flow;
use crate::sheet::Spread;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;
use serde_json::json;

fn line(points: &[[f64; 3]]) -> Line {
    Line {
        feeds: true,
        points: points.to_vec(),
        when_wet: false,
        clamped: true,
    }
}

fn flat(document: serde_json::Value) -> Shape {
    crate::shape::read(&document).unwrap()
}

fn close(got: f64, wanted: f64, share: f64, what: &str) {
    let off = got / wanted - 1.0;
    println!("{what}: {:+.3} %", 100.0 * off);
    assert!(off.abs() <= share, "{what}: {got} against {wanted}");
}

/// Time to fill in squares of metres, cloth that conducts `across` of x across it, with its warp turned.
fn time(shape: &Shape, lines: &[Line], across: f64, laying: Laying, count: usize) -> f64 {
    let drawing = Drawing {
        shape: None,
        lines: Vec::new(),
        channels: Vec::new(),
        zones: Vec::new(),
        stacks: Vec::new(),
        front: Vec::new(),
    };
    let set = Set { gap: 0.0, laying };
    let mut laid = Laid::of(&drawing, shape, set, count);
    let ends = laid.ends(&Ground::of_ratio(across), lines, &Spread::exact(2.0));
    ends.unwrap().run().likely().powi(2) / 2.0
}

fn turned(turn: f64) -> Laying {
    Laying {
        turn,
        ..Laying::default()
    }
}

#[test]
fn a_point_feed_has_its_bore_on_any_disc() {
    for diameter in [200.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0] {
        let disc = flat(json!({ "form": "disc", "diameter_mm": diameter }));
        let found = time(&disc, &[line(&[[0.0; 3]])], 1.0, turned(0.0), TRIANGLES);
        // Radial flow out of a bore, the closed form of the law.
        let wanted =
            flow::radial_out_fill_time(1.0, 0.5, FEED_POINT, diameter / 2000.0, 1e-6, 5e5).unwrap();
        close(found, wanted, 0.01, &format!("{diameter} mm"));
    }
}

#[test]
fn a_drawn_line_is_as_good_as_an_edge_of_the_part() {
    // A slanted line over a plate against each side of it as a part of its own, fed along its edge.
    let [near, far] = [0.31, 0.47];
    let plate = flat(json!({ "form": "rectangle", "length_mm": 900, "width_mm": 600 }));
    let own = [[near, 0.0, 0.0], [far, 0.6, 0.0]];
    let (n, f) = (near * 1e3, far * 1e3);
    let sides = [
        json!([[0, 0], [n, 0], [f, 600], [0, 600]]),
        json!([[n, 0], [900, 0], [900, 600], [f, 600]]),
    ];
    for across in [1.0, 0.2] {
        let turn = turned(0.4);
        let found = time(&plate, &[line(&own)], across, turn, TRIANGLES);
        let parts = sides.iter().map(|points| {
            let part = flat(json!({ "form": "outline", "points_mm": points }));
            time(&part, &[line(&own)], across, turn, TRIANGLES)
        });
        close(found, parts.fold(0.0, f64::max), 0.005, "slanted line");
    }
}

/// A lid: its top and four walls, two triangles each.
fn lid() -> Triangles {
    let at = |k: usize, z: f64| {
        let [x, y] = [[0.0, 0.0], [0.6, 0.0], [0.6, 0.4], [0.0, 0.4]][k];
        [x, y, z]
    };
    let points = (0..8).map(|k| at(k % 4, if k < 4 { 0.0 } else { 0.1 }));
    let mut corners = vec![[4, 5, 6], [4, 6, 7]];
    for i in 0..4_u32 {
        let j = (i + 1) % 4;
        corners.extend([[i, j, j + 4], [i, j + 4, i + 4]]);
    }
    Triangles::new(points.collect(), corners).unwrap()
}

/// Each triangle in four.
fn quartered(surface: &Triangles) -> Triangles {
    let mut points = surface.points.clone();
    let mut known = std::collections::BTreeMap::new();
    let mut corners = Vec::new();
    for &[a, b, c] in &surface.corners {
        let mut middle = |i: u32, j: u32| {
            *known.entry([i.min(j), i.max(j)]).or_insert_with(|| {
                let (p, q) = (points[i as usize], points[j as usize]);
                points.push([0, 1, 2].map(|k| f64::midpoint(p[k], q[k])));
                points.len() as u32 - 1
            })
        };
        let (ab, bc, ca) = (middle(a, b), middle(b, c), middle(c, a));
        corners.extend([[a, ab, ca], [ab, b, bc], [ca, bc, c], [ab, bc, ca]]);
    }
    Triangles::new(points, corners).unwrap()
}

#[test]
fn a_shell_is_the_same_however_fine_it_was_given() {
    let mut given = vec![lid()];
    for _ in 0..4 {
        given.push(quartered(&given[given.len() - 1]));
    }
    for (lines, what) in [
        (line(&[[0.0, 0.0, 0.0], [0.0, 0.4, 0.0]]), "edge"),
        (line(&[[0.3, 0.2, 0.1]]), "point"),
        (line(&[[0.3, 0.0, 0.0], [0.3, 0.4, 0.0]]), "line over"),
    ] {
        let times: Vec<f64> = given
            .iter()
            .map(|surface| {
                let shape = Shape::Shell(surface.clone());
                time(
                    &shape,
                    std::slice::from_ref(&lines),
                    1.0,
                    turned(0.0),
                    TRIANGLES,
                )
            })
            .collect();
        for time in &times[1..] {
            close(*time, times[0], 0.01, what);
        }
    }
}

/// Cells of a sheet between columns, cut by either diagonal, with points moved to where they belong.
fn sheet([columns, rows]: [usize; 2], seed: u64, place: impl Fn(f64, f64) -> [f64; 3]) -> Shape {
    let mut draws = Pcg64Mcg::seed_from_u64(seed);
    let at = |i: usize, j: usize| (i * (rows + 1) + j) as u32;
    let mut points = Vec::new();
    for i in 0..=columns {
        for j in 0..=rows {
            let shake = if j > 0 && j < rows {
                draws.random_range(-0.3..0.3)
            } else {
                0.0
            };
            points.push(place(
                i as f64 / columns as f64,
                (j as f64 + shake) / rows as f64,
            ));
        }
    }
    let mut corners = Vec::new();
    for i in 0..columns {
        for j in 0..rows {
            let (a, b, c, d) = (at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1));
            if draws.random_bool(0.5) {
                corners.extend([[a, b, c], [a, c, d]]);
            } else {
                corners.extend([[a, b, d], [d, b, c]]);
            }
        }
    }
    Shape::Shell(Triangles::new(points, corners).unwrap())
}

/// A turn of space: about z, then about x.
fn moved(p: [f64; 3], about_z: f64, about_x: f64) -> [f64; 3] {
    let (s, c) = about_z.sin_cos();
    let [x, y, z] = [c * p[0] - s * p[1], s * p[0] + c * p[1], p[2]];
    let (s, c) = about_x.sin_cos();
    [x, c * y - s * z, s * y + c * z]
}

/// How the warp must be told turned so that it runs along a direction on a skin with this normal.
fn told(normal: [f64; 3], warp: [f64; 3]) -> f64 {
    let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    let x = [0, 1, 2].map(|k| f64::from(u8::from(k == 0)) - normal[0] * normal[k]);
    let y = [
        normal[1] * x[2] - normal[2] * x[1],
        normal[2] * x[0] - normal[0] * x[2],
        normal[0] * x[1] - normal[1] * x[0],
    ];
    dot(warp, y).atan2(dot(warp, x))
}

#[test]
fn a_rolled_sheet_fills_as_the_flat_one_whatever_its_fibres() {
    // A sheet of 0.6 m by 0.4 m bent in steps along its columns: every column stays a flat of its own width.
    let (columns, turn) = (12, 0.5);
    let (length, width) = (0.6, 0.4);
    let rolled = |x: f64| {
        let step = length / f64::from(columns);
        let (mut at, mut left) = ([0.0, 0.0], x);
        for k in 0..columns {
            let angle = 0.15 * (f64::from(k) - 5.5);
            let run = left.min(step);
            at = [at[0] + run * angle.cos(), at[1] - run * angle.sin()];
            left -= run;
        }
        at
    };
    let plate = flat(json!({ "form": "rectangle", "length_mm": 600, "width_mm": 400 }));
    for (lines, what) in [
        (vec![[0.0, 0.0], [0.0, 0.4]], "edge"),
        (vec![[0.27, 0.13]], "point"),
        (vec![[0.1, 0.05], [0.5, 0.35]], "across"),
    ] {
        for across in [0.25, 0.1] {
            let on_flat: Vec<[f64; 3]> = lines.iter().map(|p| [p[0], p[1], 0.0]).collect();
            let wanted = time(&plate, &[line(&on_flat)], across, turned(turn), TRIANGLES);
            for (seed, about_z, about_x) in
                [(1, 0.0, 0.0), (2, 0.7, 0.0), (3, -0.4, 0.5), (4, 2.0, -0.6)]
            {
                let space = |u: f64, v: f64| {
                    let [x, z] = rolled(u);
                    moved([x, v, z], about_z, about_x)
                };
                let shell = sheet([12, 9], seed, |u, v| space(length * u, width * v));
                // A stretch that is straight on the flat, in short pieces.
                let pieces = lines.windows(2).flat_map(|w| {
                    (0..=24).map(move |k| {
                        let t = f64::from(k) / 24.0;
                        space(
                            w[0][0] + (w[1][0] - w[0][0]) * t,
                            w[0][1] + (w[1][1] - w[0][1]) * t,
                        )
                    })
                });
                let on_shell: Vec<[f64; 3]> = if lines.len() == 1 {
                    vec![space(lines[0][0], lines[0][1])]
                } else {
                    pieces.collect()
                };
                // The cloth starts in the seventh column, which leans by its own angle.
                let angle: f64 = 0.15 * 0.5;
                let start = space(0.325, 0.2);
                let along = [
                    turn.cos() * angle.cos(),
                    turn.sin(),
                    -turn.cos() * angle.sin(),
                ];
                let normal = moved([angle.sin(), 0.0, angle.cos()], about_z, about_x);
                let laying = Laying {
                    from: [Some(start[0]), Some(start[1])],
                    turn: told(normal, moved(along, about_z, about_x)),
                };
                let found = time(&shell, &[line(&on_shell)], across, laying, TRIANGLES);
                close(found, wanted, 0.01, &format!("{what} {across} {seed}"));
            }
        }
    }
}

#[test]
fn a_cone_fills_as_its_sector() {
    // Rays from the apex, each at the same angle to the next as on the flat.
    let (steps, step, turn) = (16_u32, 0.1_f64, 0.3);
    let (inner, outer) = (0.2, 0.6);
    let half: f64 = 0.5;
    let round = ((step.cos() - half.cos().powi(2)) / half.sin().powi(2)).acos();
    let on_flat = |ray: f64, r: f64| [r * (step * ray).cos(), r * (step * ray).sin()];
    let on_cone = |ray: f64, r: f64| {
        // Between two rays, the place on the chord.
        let k = ray.floor().min(f64::from(steps) - 1.0);
        let share =
            (step * (ray - k)).sin() / ((step * (ray - k)).sin() + (step * (k + 1.0 - ray)).sin());
        let place = |k: f64| {
            let (s, c) = (round * k).sin_cos();
            [half.sin() * c, half.sin() * s, -half.cos()]
        };
        let (p, q) = (place(k), place(k + 1.0));
        let chord = [0, 1, 2].map(|n| p[n] + (q[n] - p[n]) * share);
        let length = chord.iter().map(|x| x * x).sum::<f64>().sqrt();
        chord.map(|x| x / length * r)
    };
    let mut outline: Vec<[f64; 2]> = (0..=steps).map(|k| on_flat(f64::from(k), inner)).collect();
    outline.extend((0..=steps).rev().map(|k| on_flat(f64::from(k), outer)));
    let outline: Vec<[f64; 2]> = outline.iter().map(|p| p.map(|x| x * 1e3)).collect();
    let sector = flat(json!({ "form": "outline", "points_mm": outline }));
    let own = Laying {
        from: [Some(on_cone(8.5, 0.4)[0]), Some(on_cone(8.5, 0.4)[1])],
        turn: {
            // Along the middle of the ninth flat and across it, as on the sector.
            let unit = |v: [f64; 3]| {
                let length = v.iter().map(|x| x * x).sum::<f64>().sqrt();
                v.map(|x| x / length)
            };
            let radial = unit(on_cone(8.5, 1.0));
            let (p, q) = (on_cone(8.0, 1.0), on_cone(9.0, 1.0));
            let tangent = unit([0, 1, 2].map(|k| q[k] - p[k]));
            let normal = [
                radial[1] * tangent[2] - radial[2] * tangent[1],
                radial[2] * tangent[0] - radial[0] * tangent[2],
                radial[0] * tangent[1] - radial[1] * tangent[0],
            ];
            let (s, c) = (turn - step * 8.5).sin_cos();
            told(normal, [0, 1, 2].map(|k| c * radial[k] + s * tangent[k]))
        },
    };
    let point = (4.3, 0.37);
    for across in [0.25, 0.1] {
        let [x, y] = on_flat(point.0, point.1);
        let wanted = time(
            &sector,
            &[line(&[[x, y, 0.0]])],
            across,
            turned(turn),
            TRIANGLES,
        );
        for seed in [5, 6] {
            let rays = f64::from(steps);
            let cone = sheet([16, 7], seed, |u, v| {
                on_cone(rays * u, inner + (outer - inner) * v)
            });
            let lines = [line(&[on_cone(point.0, point.1)])];
            let found = time(&cone, &lines, across, own, TRIANGLES);
            close(found, wanted, 0.01, &format!("cone {across} {seed}"));
        }
    }
}

#[test]
fn a_dome_fills_the_same_from_any_triangles_turned_or_mirrored() {
    let dome = |cells: usize, seed: u64, about_z: f64, mirror: f64| {
        sheet([cells, cells], seed, |u, v| {
            let (x, y) = (u - 0.5, v - 0.5);
            moved([x, mirror * y, (1.0 - x * x - y * y).sqrt()], about_z, 0.0)
        })
    };
    for (points, what) in [
        (vec![[0.1_f64, 0.05, 1.0]], "point"),
        (vec![[-0.5, -0.5, 0.7], [-0.5, 0.5, 0.7]], "edge"),
    ] {
        let of = |cells: usize, seed: u64, about_z: f64, mirror: f64| {
            let points: Vec<[f64; 3]> = points
                .iter()
                .map(|p| {
                    let z = f64::sqrt(1.0 - p[0] * p[0] - p[1] * p[1]);
                    moved([p[0], mirror * p[1], z], about_z, 0.0)
                })
                .collect();
            // Nought is where a cell ends: a start beside it, in the same face from any side.
            let start = moved([0.011, mirror * 0.007, 1.0], about_z, 0.0);
            let laying = Laying {
                from: [Some(start[0]), Some(start[1])],
                turn: mirror * 0.6 + about_z,
            };
            let shape = dome(cells, seed, about_z, mirror);
            time(&shape, &[line(&points)], 0.1, laying, TRIANGLES)
        };
        let wanted = of(40, 7, 0.0, 1.0);
        for (cells, seed, about_z, mirror) in [
            (40, 8, 0.0, 1.0),
            (30, 9, 0.0, 1.0),
            (41, 9, 0.9, 1.0),
            (36, 10, -2.0, -1.0),
        ] {
            let found = of(cells, seed, about_z, mirror);
            close(found, wanted, 0.01, &format!("{what} {cells} {seed}"));
        }
    }
}
