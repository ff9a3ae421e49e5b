use super::*;
use crate::shape::meshed;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;
use serde_json::json;

const COUNT: usize = 3_000;

fn flat(document: &serde_json::Value, count: usize) -> (Skin, f64) {
    let made = meshed(&crate::shape::read(document).unwrap(), &[], count);
    (Skin::of(&made.surface, made.side), made.side)
}

fn area(skin: &Skin) -> f64 {
    let surface = Triangles {
        points: skin.points.clone(),
        corners: skin.corners.clone(),
    };
    surface.area()
}

/// Rings are what the corners say, every face has an area, and no two points are one.
fn sound(skin: &Skin, area_before: f64) {
    let mut sides: BTreeMap<[u32; 2], Vec<Side>> = BTreeMap::new();
    for t in 0..skin.corners.len() as u32 {
        for k in 0..3 {
            let [a, b] = skin.ends((t, k));
            assert_ne!(a, b);
            sides.entry([a.min(b), a.max(b)]).or_default().push((t, k));
        }
    }
    for (ends, group) in &sides {
        let mut ring = skin.round(group[0]);
        ring.sort_unstable();
        assert_eq!(&ring, group, "{ends:?}");
        let [a, b] = ends.map(|i| skin.place(i));
        assert!(far(a, b) > 0.5 * skin.floor, "{}", far(a, b) / skin.floor);
    }
    for (i, &face) in skin.at.iter().enumerate() {
        let used = skin.corners.iter().any(|c| c.contains(&(i as u32)));
        assert_eq!(used, face != NONE);
        assert!(!used || skin.corners[face as usize].contains(&(i as u32)));
    }
    for face in 0..skin.corners.len() as u32 {
        let [a, b, c] = skin.triangle(face);
        let n = cross(minus(b, a), minus(c, a));
        let longest = (0..3).map(|k| skin.length((face, k))).fold(0.0, f64::max);
        let height = dot(n, n).sqrt() / longest;
        assert!(height > 1e-3 * skin.floor, "{}", height / skin.floor);
    }
    assert!((area(skin) / area_before - 1.0).abs() < 1e-9);
}

/// A line of several corners in and about a box, some of them twice, some on its edge.
fn scribble(draws: &mut Pcg64Mcg, size: [f64; 2]) -> Vec<[f64; 3]> {
    let count = draws.random_range(2..12);
    let step = if draws.random_bool(0.5) { 0.03 } else { 1.0 };
    let mut at = size.map(|x| x * draws.random_range(-0.2..1.2));
    let mut line = Vec::new();
    for _ in 0..count {
        for k in 0..2 {
            at[k] += step * size[k] * draws.random_range(-0.6..0.6);
            if draws.random_bool(0.2) {
                at[k] = if at[k] < size[k] / 2.0 { 0.0 } else { size[k] };
            }
        }
        line.push([at[0], at[1], 0.0]);
        if draws.random_bool(0.2) {
            line.push([at[0], at[1], 0.0]);
        }
        if draws.random_bool(0.1) {
            line.push(line[0]);
        }
    }
    line
}

#[test]
fn scribbles_leave_a_flat_part_whole() {
    let mut draws = Pcg64Mcg::seed_from_u64(11);
    let parts = [
        (
            json!({ "form": "rectangle", "length_mm": 900, "width_mm": 600 }),
            [0.9, 0.6],
        ),
        (
            json!({ "form": "frame", "length_mm": 600, "width_mm": 400, "border_mm": 40 }),
            [0.6, 0.4],
        ),
        (
            json!({ "form": "ell", "length_mm": 600, "width_mm": 500, "arm_mm": 120 }),
            [0.6, 0.5],
        ),
    ];
    for n in 0..60 {
        let (document, size) = &parts[n % 3];
        let (mut skin, side) = flat(document, 400);
        let before = area(&skin);
        if n % 4 == 0 {
            let at = size.map(|x| x * draws.random_range(0.1..0.6));
            let wide = size.map(|x| x * draws.random_range(0.05..0.3));
            skin.fence(&[
                at,
                [at[0] + wide[0], at[1]],
                [at[0] + wide[0], at[1] + wide[1]],
                [at[0], at[1] + wide[1]],
            ]);
        }
        for number in 0..8 {
            let line = scribble(&mut draws, *size);
            let _ = skin.line_on_flat(&line, side, number);
        }
        sound(&skin, before);
    }
}

#[test]
fn a_finger_that_goes_to_and_fro_leaves_no_two_points_in_one_place() {
    let (mut skin, side) = flat(
        &json!({ "form": "rectangle", "length_mm": 1800, "width_mm": 800 }),
        COUNT,
    );
    let before = area(&skin);
    let line: Vec<[f64; 3]> = (0..8)
        .map(|k| {
            [
                if k % 2 == 0 { 0.2608 } else { 0.3808 },
                0.2538 + 0.0075 * f64::from(k),
                0.0,
            ]
        })
        .collect();
    let found = skin.line_on_flat(&line, side, 0);
    sound(&skin, before);
    // Every stretch is there, to within what a cut may bend.
    for pair in line.windows(2) {
        for k in 0..=50 {
            let at = between(pair[0], pair[1], f64::from(k) / 50.0);
            let nearest = found
                .iter()
                .map(|&i| far(skin.place(i), at))
                .fold(f64::INFINITY, f64::min);
            assert!(nearest < 0.7 * side, "{nearest}");
        }
    }
    for &i in &found {
        let off = line.windows(2).map(|pair| {
            let p = skin.place(i);
            far(
                p,
                between(pair[0], pair[1], share_along(p, pair[0], pair[1])),
            )
        });
        assert!(off.fold(f64::INFINITY, f64::min) < 1.1 * BEND * side);
    }
}

/// A cap of a ball of radius one, over a square, its cells cut either way.
fn cap(cells: usize, draws: &mut Pcg64Mcg) -> Skin {
    let at = |i: usize, j: usize| {
        let [x, y] = [i, j].map(|n| 1.2 * (n as f64 / cells as f64 - 0.5));
        [x, y, (1.0 - x * x - y * y).sqrt()]
    };
    let points = (0..=cells)
        .flat_map(|i| (0..=cells).map(move |j| at(i, j)))
        .collect();
    let mut corners = Vec::new();
    for i in 0..cells {
        for j in 0..cells {
            let k = |i: usize, j: usize| (i * (cells + 1) + j) as u32;
            let (a, b, c, d) = (k(i, j), k(i + 1, j), k(i + 1, j + 1), k(i, j + 1));
            if draws.random_bool(0.5) {
                corners.extend([[a, b, c], [a, c, d]]);
            } else {
                corners.extend([[a, b, d], [b, c, d]]);
            }
        }
    }
    let surface = Triangles::new(points, corners).unwrap();
    let side = (surface.area() / (0.433 * surface.corners.len() as f64)).sqrt();
    Skin::of(&surface, side)
}

#[test]
fn a_stretch_over_a_ball_is_a_great_circle() {
    let mut draws = Pcg64Mcg::seed_from_u64(12);
    for cells in [6, 20] {
        for _ in 0..20 {
            let mut skin = cap(cells, &mut draws);
            let before = area(&skin);
            let mut end = || {
                let [x, y]: [f64; 2] = [0, 1].map(|_| draws.random_range(-0.55..0.55));
                [x, y, (1.0 - x * x - y * y).sqrt()]
            };
            let (a, b) = (end(), end());
            let feet = [a, b].map(|p| skin.foot(p).unwrap());
            let from = skin.point_at(&feet[0]);
            let foot = skin.foot(b).unwrap();
            let to = skin.point_at(&foot);
            let plain = Triangles {
                points: skin.points.clone(),
                corners: skin.corners.clone(),
            };
            let ready = crate::shape::over_skin::Skin::of(&plain);
            let way = skin.over(from, to, &|a, b| ready.way(a, b));
            sound(&skin, before);
            let length: f64 = way
                .windows(2)
                .map(|w| far(skin.place(w[0]), skin.place(w[1])))
                .sum();
            for w in way.windows(2) {
                assert!(skin.joining(w[0], w[1]).is_some());
            }
            let (p, q) = (skin.place(from), skin.place(to));
            let arc = 2.0 * (far(p, q) / 2.0).asin();
            // A skin of flats lies within the ball: a little shorter; bends of a few hundredths of a side make it longer.
            let share = length / arc;
            assert!((0.96..1.03).contains(&share), "{cells} {share}");
        }
    }
}

#[test]
fn a_bore_is_round_and_of_its_size_on_any_skin() {
    let mut draws = Pcg64Mcg::seed_from_u64(13);
    let (plate, _) = flat(
        &json!({ "form": "rectangle", "length_mm": 1200, "width_mm": 1200 }),
        COUNT,
    );
    for n in 0..10 {
        let mut skin = if n % 2 == 0 {
            plate.clone()
        } else {
            cap(20, &mut draws)
        };
        let before = area(&skin);
        let mid = if n % 2 == 0 { 0.6 } else { 0.0 };
        let at = [
            mid + 0.3 * draws.random_range(-1.0..1.0),
            mid + 0.3 * draws.random_range(-1.0..1.0),
            1.0 - mid,
        ];
        let foot = skin.foot(at).unwrap();
        let middle = skin.point_at(&foot);
        let centre = skin.place(middle);
        skin.refine_round(centre, 0.01, 20_000);
        let found: BTreeSet<u32> = skin.bore(middle, 0.01).into_iter().collect();
        sound(&skin, before);
        let held = skin
            .corners
            .iter()
            .filter(|c| c.iter().all(|i| found.contains(i)));
        let held: f64 = held
            .map(|c| {
                let [a, b, c] = c.map(|i| skin.place(i));
                let n = cross(minus(b, a), minus(c, a));
                dot(n, n).sqrt() / 2.0
            })
            .sum();
        let share = held / (std::f64::consts::PI * 1e-4);
        assert!((0.95..1.01).contains(&share), "{share}");
        assert!(found.iter().all(|&i| far(skin.place(i), centre) < 0.0102));
    }
}

#[test]
fn three_faces_on_one_side_are_cut_together() {
    // A rib that stands on a plate.
    let points = vec![
        [0.0, 0.0, 0.0],
        [1.0, 0.0, 0.0],
        [0.5, 1.0, 0.0],
        [0.5, -1.0, 0.0],
        [0.5, 0.0, 1.0],
    ];
    let rib = Triangles::new(points, vec![[0, 1, 2], [1, 0, 3], [0, 1, 4]]).unwrap();
    let mut skin = Skin::of(&rib, 0.1);
    let before = area(&skin);
    assert_eq!(skin.round((0, 2)).len(), 3);
    skin.refine(|_| 0.2, 100_000);
    sound(&skin, before);
    let _ = skin.line_over(&[[0.5, 0.8, 0.0], [0.5, 0.0, 0.8]], 0.1, 0, &|_, _| None);
    sound(&skin, before);
    assert!(skin.corners.len() > 100);
}

#[test]
fn the_warp_on_a_ball_keeps_its_angle_to_the_way_from_the_start() {
    // From the top of a ball every shortest way is a meridian; carried along it, the warp keeps its angle to it.
    let mut draws = Pcg64Mcg::seed_from_u64(14);
    for cells in [21, 41] {
        let skin = cap(cells, &mut draws);
        let all = frames(
            &skin,
            &Laying {
                from: [None; 2],
                turn: 0.3,
            },
        );
        let mut worst: f64 = 0.0;
        for (face, [warp, weft]) in all.iter().enumerate() {
            assert!(dot(*warp, *weft).abs() < 1e-9);
            let p = skin.middle(face as u32);
            let r = p[0].hypot(p[1]);
            if r < 3.0 / cells as f64 {
                continue;
            }
            let round = [-p[1] / r, p[0] / r, 0.0];
            let down = cross(round, p);
            let angle = dot(*warp, round).atan2(dot(*warp, down));
            let off = angle - (0.3 - p[1].atan2(p[0]));
            worst = worst.max(off.sin().abs());
            assert!(off.cos() > 0.0);
        }
        println!("{cells}: {worst}");
        assert!(worst < if cells == 21 { 0.08 } else { 0.04 }, "{worst}");
    }
}
