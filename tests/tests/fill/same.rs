//! What must not change the answer: where the part lies, folds, numbering, scale, and the order of questions.

use super::meshes::{Draws, Mesh, even, grid};
use super::{close, gates};
use bastwork::law::flow::strip_fill_time;
use bastwork::solve::front::Field;
use bastwork::solve::surface::Tensor;

/// An L with a hole, two cloths of different fibres, fed at a corner.
struct Part {
    mesh: Mesh,
    tensors: Vec<Tensor>,
    hold: Vec<f64>,
    feeds: Vec<u32>,
    vents: Vec<u32>,
}

fn part(seed: u64) -> Part {
    let lines = even(0.0, 0.6, 30);
    let keep = |x: f64, y: f64| (x < 0.3 || y < 0.3) && (x - 0.15).hypot(y - 0.4) > 0.06;
    // Lines at x 0.2 and 0.4 stay straight: folds and the seam between cloths lie there.
    let still = |x: f64, _| (x - 0.2).abs() < 1e-9 || (x - 0.4).abs() < 1e-9;
    let mesh = grid(&lines, &lines, keep, still, seed);
    let tensors = mesh.each(|p| {
        let (s, c) = if p[0] < 0.2 {
            (0.6, 0.8)
        } else {
            (-0.28, 0.96)
        };
        Tensor {
            along: [c, s, 0.0],
            first: 2.0,
            second: if p[0] < 0.2 { 0.5 } else { 1.0 },
        }
    });
    let hold = mesh.each(|p| if p[0] < 0.2 { 1.0 } else { 0.7 });
    let feeds = mesh.nodes(|p| p[0] < 1e-9 && p[1] < 0.2);
    let vents = mesh.nodes(|p| p[1] < 1e-9 && (p[0] - 0.45).abs() < 0.05);
    Part {
        mesh,
        tensors,
        hold,
        feeds,
        vents,
    }
}

impl Part {
    fn field(&self) -> Field {
        Field::new(&self.mesh.surface(), &self.tensors, &self.hold, &[])
    }

    /// Every time there is: the bound and arrival of each point, with the vent shut and open.
    fn times(&self) -> Vec<f64> {
        let mut field = self.field();
        let mut all = Vec::new();
        for vents in [&[][..], &self.vents] {
            let filled = field.fill(&gates(&self.feeds, vents));
            all.push(filled.time);
            all.extend(filled.bound);
            all.extend(field.arrival(&gates(&self.feeds, vents), 5).at);
        }
        all
    }
}

fn same(one: &[f64], other: &[f64], share: f64, what: &str) {
    assert_eq!(one.len(), other.len());
    let most = one
        .iter()
        .copied()
        .filter(|t| t.is_finite())
        .fold(0.0, f64::max);
    for (i, (a, b)) in one.iter().zip(other).enumerate() {
        assert_eq!(a.is_nan(), b.is_nan(), "{what}, {i}: {a} and {b}");
        assert!(
            a.is_nan() || (a - b).abs() <= share * most,
            "{what}, {i}: {a} and {b} of {most}"
        );
    }
}

/// A turn about a random axis (Rodrigues' formula), and a shift.
#[allow(clippy::type_complexity, reason = "two ways of moving a point")]
fn somewhere(seed: u64) -> (impl Fn([f64; 3]) -> [f64; 3], impl Fn([f64; 3]) -> [f64; 3]) {
    let mut draws = Draws(seed);
    let raw = [0; 3].map(|_| draws.between(-1.0, 1.0));
    let size = raw.iter().map(|x| x * x).sum::<f64>().sqrt();
    let axis = raw.map(|x| x / size);
    let (s, c) = draws.between(0.5, 5.5).sin_cos();
    let shift = [0; 3].map(|_| draws.between(-3.0, 3.0));
    let turn = move |p: [f64; 3]| {
        let along: f64 = (0..3).map(|k| axis[k] * p[k]).sum();
        let cross = [0, 1, 2].map(|k| {
            let (l, m) = ((k + 1) % 3, (k + 2) % 3);
            axis[l] * p[m] - axis[m] * p[l]
        });
        [0, 1, 2].map(|k| c * p[k] + s * cross[k] + (1.0 - c) * along * axis[k])
    };
    (turn, move |p| {
        let q = turn(p);
        [0, 1, 2].map(|k| q[k] + shift[k])
    })
}

#[test]
fn a_part_may_lie_anywhere() {
    let here = part(80);
    let times = here.times();
    for seed in [1, 2, 3] {
        let (turn, place) = somewhere(seed);
        let mut there = part(80);
        there.mesh = there.mesh.moved(place);
        for tensor in &mut there.tensors {
            tensor.along = turn(tensor.along);
        }
        same(&times, &there.times(), 1e-9, "moved");
    }
    let mut mirrored = part(80);
    mirrored.mesh = mirrored.mesh.moved(|p| [p[0], -p[1], p[2]]);
    for tensor in &mut mirrored.tensors {
        tensor.along[1] = -tensor.along[1];
    }
    same(&times, &mirrored.times(), 1e-9, "seen from below");
}

#[test]
fn a_part_may_be_folded() {
    // A right angle at x 0.2 and half of one back at x 0.4: lengths in the surface stay.
    let flat = part(81);
    let mut folded = part(81);
    let middles = folded.mesh.each(|p| p[0]);
    let half = 0.5_f64.sqrt();
    folded.mesh = folded.mesh.moved(|p| {
        let (first, second) = ((p[0] - 0.2).clamp(0.0, 0.2), (p[0] - 0.4).max(0.0));
        [p[0].min(0.2) + second * half, p[1], first + second * half]
    });
    for (tensor, x) in folded.tensors.iter_mut().zip(middles) {
        let [c, s, _] = tensor.along;
        tensor.along = if x < 0.2 {
            [c, s, 0.0]
        } else if x < 0.4 {
            [0.0, s, c]
        } else {
            [c * half, s, c * half]
        };
    }
    let spread = folded.mesh.points.iter().map(|p| p[2]).fold(0.0, f64::max);
    assert!(spread > 0.3, "not folded");
    same(&flat.times(), &folded.times(), 1e-9, "folded");
}

#[test]
fn squares_cut_in_two_may_be_folded() {
    // Across the cut of a square nothing flows: rounding must not make a joint of it on one side of a fold only.
    let lines = even(0.0, 0.9, 60);
    let flat = grid(&lines, &lines[..21], |_, _| true, |_, _| true, 83);
    let folded = grid(&lines, &lines[..21], |_, _| true, |_, _| true, 83).moved(|[x, y, _]| {
        // Three faces of a box.
        if x < 0.3 {
            [0.0, y, 0.3 - x]
        } else if x < 0.6 {
            [x - 0.3, y, 0.0]
        } else {
            [0.3, y, x - 0.6]
        }
    });
    for feeds in [flat.nodes(|p| p[0] < 1e-9), vec![17], vec![0, 333]] {
        let [one, two] = [&flat, &folded].map(|mesh| {
            let mut field = super::cloth(mesh, 3e-11, 0.65);
            field.arrival(&gates(&feeds, &[]), 8).at
        });
        // A tie may group points otherwise: the map's own closeness. A joint too many would be off by a thousandth.
        same(&one, &two, 1e-4, "folded");
    }
}

#[test]
fn numbering_does_not_matter() {
    let plain = part(82);
    let mut mixed = part(82);
    let mut draws = Draws(82);
    let count = plain.mesh.points.len();
    let mut order: Vec<usize> = (0..count).collect();
    for i in (1..count).rev() {
        order.swap(i, draws.between(0.0, i as f64 + 1.0) as usize);
    }
    let mut place = vec![0_u32; count];
    for (new, &old) in order.iter().enumerate() {
        place[old] = new as u32;
    }
    mixed.mesh.points = order.iter().map(|&old| plain.mesh.points[old]).collect();
    for (t, corners) in mixed.mesh.corners.iter_mut().enumerate() {
        *corners = corners.map(|i| place[i as usize]);
        corners.rotate_left(t % 3);
        if t % 5 == 0 {
            corners.swap(0, 1);
        }
    }
    for list in [&mut mixed.feeds, &mut mixed.vents] {
        for i in list.iter_mut() {
            *i = place[*i as usize];
        }
        list.reverse();
    }
    let (one, other) = (plain.field(), mixed.field());
    close(one.capacity(), other.capacity(), 1e-12, "capacity");
    let (mut one, mut other) = (one, other);
    for (a, b) in [(&[][..], &[][..]), (&plain.vents[..], &mixed.vents[..])] {
        let first = one.arrival(&gates(&plain.feeds, a), 5);
        let second = other.arrival(&gates(&mixed.feeds, b), 5);
        let back: Vec<f64> = place.iter().map(|&i| second.at[i as usize]).collect();
        // Ties between equally good flips and groups fall elsewhere: the map's own closeness, a hundredth of what it is
        // good to, not bits.
        same(&first.at, &back, 1e-4, "renumbered");
        close(first.time, second.time, 1e-9, "renumbered");
    }
}

#[test]
fn time_goes_as_store_over_conductance_and_as_length_squared() {
    let plain = part(83);
    let times = plain.times();
    for (conduct, hold, length) in [
        (3.7, 1.0, 1.0),
        (1.0, 0.21, 1.0),
        (1.0, 1.0, 2.9),
        (1e-13, 2e-3, 0.31),
    ] {
        let mut scaled = part(83);
        scaled.mesh = scaled.mesh.moved(|p| p.map(|x| x * length));
        for tensor in &mut scaled.tensors {
            tensor.first *= conduct;
            tensor.second *= conduct;
        }
        for h in &mut scaled.hold {
            *h *= hold;
        }
        let factor = conduct / (hold * length * length);
        let back: Vec<f64> = scaled.times().iter().map(|t| t * factor).collect();
        same(&times, &back, 1e-9, "scaled");
    }
}

#[test]
fn a_strip_as_the_law_of_strips_has_it() {
    for (mu, phi, length, k, dp) in [(0.3, 0.65, 0.5, 3e-11, 9e4), (0.12, 0.7, 1.3, 4e-10, 8.2e4)] {
        let mesh = super::meshes::rectangle(length, 0.2, 80, 12, 84);
        let feeds = mesh.nodes(|p| p[0] < 1e-9);
        let found = super::cloth(&mesh, k, phi).fill(&gates(&feeds, &[])).time * mu / dp;
        close(
            found,
            strip_fill_time(mu, phi, length, k, dp).unwrap(),
            1e-3,
            "strip",
        );
    }
}

#[test]
fn the_order_of_questions_does_not_matter() {
    let part = part(85);
    let mut used = part.field();
    let whole = used.fill(&gates(&part.feeds, &part.vents)).time;
    let mut shares = [0.9, 0.05, 0.5, 0.99, 0.2, 0.7, 0.01, 0.35];
    let ask = |field: &mut Field, share: f64| {
        field.wet_at(&gates(&part.feeds, &part.vents), share * whole)
    };
    let fresh: Vec<_> = shares.map(|share| ask(&mut part.field(), share)).into();
    let again: Vec<_> = shares.map(|share| ask(&mut used, share)).into();
    assert_eq!(fresh, again);
    shares.sort_by(f64::total_cmp);
    // Other questions between: another feed, the shut vent, a map.
    let other = [part.vents[0]];
    for share in shares {
        used.fill(&gates(&other, &[]));
        used.arrival(&gates(&part.feeds, &[]), 3);
        let at = fresh.iter().position(|wet| *wet == ask(&mut used, share));
        assert!(at.is_some(), "{share}");
    }
}
