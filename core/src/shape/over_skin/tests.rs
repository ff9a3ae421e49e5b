use super::*;

/// A sheet of cells cut by either diagonal, bent by `bend`.
fn sheet(nx: u32, ny: u32, bend: impl Fn(f64, f64) -> [f64; 3]) -> Triangles {
    let (fx, fy) = (f64::from(nx), f64::from(ny));
    let at = |i: u32, j: u32| bend(f64::from(i) / fx, f64::from(j) / fy);
    let points = (0..=nx).flat_map(|i| (0..=ny).map(move |j| (i, j)));
    let points = points.map(|(i, j)| at(i, j)).collect();
    let mut corners = Vec::new();
    for i in 0..nx {
        for j in 0..ny {
            let k = |i: u32, j: u32| i * (ny + 1) + j;
            let (a, b, c, d) = (k(i, j), k(i + 1, j), k(i + 1, j + 1), k(i, j + 1));
            // Which diagonal, by a rule that has no order.
            if (i * 7 + j * 13 + i * j) % 3 == 0 {
                corners.extend([[a, b, d], [b, c, d]]);
            } else {
                corners.extend([[a, b, c], [a, c, d]]);
            }
        }
    }
    Triangles::new(points, corners).unwrap()
}

fn long(surface: &Triangles, a: [f64; 3], b: [f64; 3]) -> f64 {
    let skin = Skin::of(surface);
    let way = skin.way(a, b).unwrap();
    // Every point of it lies on the skin, and so does the middle of every stretch.
    for pair in way.windows(2) {
        for p in [pair[0], between(pair[0], pair[1], 0.5)] {
            assert!(far(skin.foot(p).unwrap().at, p) < 1e-9, "{p:?}");
        }
    }
    length(&way)
}

fn close(found: f64, wanted: f64, within: f64) {
    assert!((found / wanted - 1.0).abs() < within, "{found} {wanted}");
}

#[test]
fn on_a_cylinder_it_is_a_helix() {
    // A prism of 24 sides unfolds to a plane, so a helix on it has its length exactly.
    let (sides, radius, height): (u32, f64, f64) = (24, 0.2, 0.7);
    let turn = std::f64::consts::TAU * 0.75;
    let pipe = sheet(sides, 9, |s, t| {
        let (sin, cos) = (turn * s).sin_cos();
        [radius * cos, radius * sin, height * t]
    });
    let chord = 2.0 * radius * (turn / f64::from(sides) / 2.0).sin();
    for (i, j, up) in [(0, 24, 1.0), (3, 20, 0.5), (0, 7, 0.9), (2, 22, 0.0)] {
        let at = |i: u32, up: f64| {
            let (sin, cos) = (turn * f64::from(i) / f64::from(sides)).sin_cos();
            [radius * cos, radius * sin, height * up]
        };
        let wanted = (chord * f64::from(j - i)).hypot(height * up);
        close(long(&pipe, at(i, 0.0), at(j, up)), wanted, 1e-12);
    }
}

/// A cube of side one.
fn cube() -> Triangles {
    let points = (0..8)
        .map(|i| {
            [
                f64::from(i & 1),
                f64::from(i >> 1 & 1),
                f64::from(i >> 2 & 1),
            ]
        })
        .collect();
    let quads = [
        [0, 1, 3, 2],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 3, 7, 6],
        [0, 2, 6, 4],
        [1, 3, 7, 5],
    ];
    let corners = quads
        .iter()
        .flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]);
    Triangles::new(points, corners.collect()).unwrap()
}

#[test]
fn round_a_corner_of_a_cube_it_is_straight_when_unfolded() {
    let cube = cube();
    close(long(&cube, [0.0; 3], [1.0; 3]), 5_f64.sqrt(), 1e-12);
    // From the floor to a wall, straight over their edge or round by the wall between: the least of three unfoldings.
    let places: [(f64, f64, f64, f64); 3] = [
        (0.9, 0.2, 0.8, 0.3),
        (0.1, 0.1, 0.9, 0.9),
        (0.5, 0.7, 0.2, 0.4),
    ];
    for (x, y, u, z) in places {
        let over = (u - y).hypot(1.0 - x + z);
        let left = (1.0 - x + u).hypot(y + z);
        let right = (1.0 - x + 1.0 - u).hypot(1.0 - y + z);
        close(
            long(&cube, [x, y, 0.0], [1.0, u, z]),
            over.min(left).min(right),
            1e-12,
        );
    }
}

#[test]
fn on_a_ball_it_is_a_great_circle() {
    // Sides of 4 degrees: the triangles lie within 0.03 % of the ball.
    let ball = sheet(90, 30, |s, t| {
        let (lon, lat) = (
            std::f64::consts::TAU * s,
            std::f64::consts::PI * (t - 0.5) * 0.8,
        );
        [lat.cos() * lon.cos(), lat.cos() * lon.sin(), lat.sin()].map(|x| 0.3 * x)
    });
    let at = |lon: f64, lat: f64| {
        let (lon, lat) = (lon.to_radians(), lat.to_radians());
        [lat.cos() * lon.cos(), lat.cos() * lon.sin(), lat.sin()].map(|x| 0.3 * x)
    };
    for (a, b) in [
        ((10.0, 50.0), (130.0, 50.0)),
        ((20.0, -40.0), (100.0, 60.0)),
        ((5.0, 0.0), (90.0, 3.0)),
    ] {
        let (p, q) = (at(a.0, a.1), at(b.0, b.1));
        let wanted = 0.3 * (dot(p, q) / 0.09).acos();
        close(long(&ball, p, q), wanted, 2e-3);
    }
}

#[test]
fn on_a_plane_it_is_straight_and_bends_only_at_inner_corners() {
    // Points moved about, an opening in the middle.
    let mut plate = sheet(20, 20, |s, t| {
        let shake =
            0.012 * (40.0 * s + 17.0 * t).sin() * (s * t * (1.0 - s) * (1.0 - t)).sqrt() * 4.0;
        [s + shake, t - shake, 0.0]
    });
    close(
        long(&plate, [0.03, 0.1, 0.0], [0.9, 0.97, 0.0]),
        0.87_f64.hypot(0.87),
        1e-12,
    );
    let points = plate.points.clone();
    plate.corners.retain(|c| {
        let middle = [0, 1].map(|k| c.iter().map(|&i| points[i as usize][k]).sum::<f64>() / 3.0);
        !middle.iter().all(|x| (0.3..0.7).contains(x))
    });
    // Round the opening: not shorter than round the square itself, and hardly longer.
    let found = long(&plate, [0.1, 0.5, 0.0], [0.9, 0.5, 0.0]);
    let wanted = 2.0 * 0.2_f64.hypot(0.2) + 0.4;
    assert!(
        found > 0.97 * wanted && found < 1.03 * wanted,
        "{found} {wanted}"
    );
}

#[test]
fn no_way_of_a_fine_graph_is_shorter() {
    // Hills without symmetry.
    let hills = |s: f64, t: f64| {
        let up = 0.25 * (7.0 * s + 1.0).sin() * (5.0 * t).cos() + 0.1 * (11.0 * s * t).sin();
        [s, 0.8 * t, up]
    };
    let coarse = sheet(14, 12, hills);
    for (a, b) in [
        ((0.05, 0.1), (0.95, 0.9)),
        ((0.5, 0.02), (0.45, 0.99)),
        ((0.9, 0.2), (0.1, 0.3)),
    ] {
        let found = long(&coarse, hills(a.0, a.1), hills(b.0, b.1));
        let fine = Skin {
            steps: 60,
            ..Skin::of(&coarse)
        };
        let (from, to) = (
            fine.foot(hills(a.0, a.1)).unwrap(),
            fine.foot(hills(b.0, b.1)).unwrap(),
        );
        let graph = graph_length(&fine, from, to);
        assert!(
            found <= graph * (1.0 + 1e-12) && found > 0.995 * graph,
            "{found} {graph}"
        );
    }
}

/// Length of the shortest way along a graph with points a sixtieth of a side apart, by relaxing until nothing changes.
fn graph_length(skin: &Skin<'_>, from: Foot, to: Foot) -> f64 {
    let count = skin.surface.points.len() + skin.ends.len() * skin.steps;
    let mut least = vec![f64::INFINITY; count];
    skin.nodes(from.triangle)
        .for_each(|n| least[n] = far(skin.place(n), from.at));
    let mut changed = true;
    while changed {
        changed = false;
        for triangle in 0..skin.surface.corners.len() as u32 {
            let nodes: Vec<usize> = skin.nodes(triangle).collect();
            let places: Vec<[f64; 3]> = nodes.iter().map(|&n| skin.place(n)).collect();
            for (i, &a) in nodes.iter().enumerate() {
                for (j, &b) in nodes.iter().enumerate() {
                    let away = least[a] + far(places[i], places[j]);
                    if away < least[b] - 1e-15 {
                        least[b] = away;
                        changed = true;
                    }
                }
            }
        }
    }
    let ends = skin.nodes(to.triangle);
    ends.map(|n| least[n] + far(skin.place(n), to.at))
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn parts_that_do_not_hang_together_have_no_way_and_a_shared_corner_is_one() {
    let two = |shared: bool| {
        let mut points = vec![
            [0.0, 0.0, 0.0],
            [1.0, 0.0, 0.0],
            [0.0, 1.0, 0.0],
            [2.0, 0.0, 0.0],
            [2.0, 1.0, 0.0],
        ];
        points.push([1.0, 0.0, 0.0]);
        Triangles::new(points, vec![[0, 1, 2], [if shared { 1 } else { 5 }, 3, 4]]).unwrap()
    };
    let (a, b) = ([0.0, 1.0, 0.0], [2.0, 1.0, 0.0]);
    assert!(Skin::of(&two(false)).way(a, b).is_none());
    close(long(&two(true), a, b), 2.0 * 2_f64.sqrt(), 1e-12);
    let line = [
        [0.0; 3],
        [0.5, 0.001, 0.0],
        [1.0, 0.0, 0.0],
        [1.0, 1.0, 0.0],
    ];
    assert_eq!(thinned(&line, 0.01), [line[0], line[2], line[3]]);
}
