//! Divides a skin into faces, and tells which of them are likely the moulded one.
//!
//! A face ends where the skin is creased, where it has a rim, and where three triangles meet. A closed solid that is thin
//! has two skins with narrow strips between: leave the strips out, and what still hangs together is a skin. One that is
//! thick has a base to stand on.

use super::weld::{Sides, Skin, minus, size};
use crate::solve::sort::sort_by;

/// Skins that fold by more than this have a crease [rad]; more where that makes too many faces.
const CREASES: [f64; 4] = [0.6, 0.9, 1.3, 4.0];
const MOST_FACES: usize = 120;
/// A strip is no wider than so many times the thickness.
const STRIP: f64 = 1.3;
/// A solid is thin whose thickness is less than this share of the root of the area of one side.
const THIN: f64 = 0.12;

/// A face.
pub(super) struct Face {
    pub(super) triangles: Vec<u32>,
    /// [mm2]
    pub(super) area: f64,
    /// Which piece of what hangs together it is of.
    pub(super) piece: usize,
    /// Which skin of it; none of a strip between two.
    pub(super) skin: Option<usize>,
    /// Its areas as vectors, outwards, added up [mm2].
    out: [f64; 3],
    /// Length of its edge [mm].
    around: f64,
    key: [f64; 4],
}

/// A skin in faces, the largest first.
pub(super) struct Faces {
    pub(super) all: Vec<Face>,
    /// Of each piece: whether it is closed all round.
    pub(super) closed: Vec<bool>,
}

fn cross(u: [f64; 3], v: [f64; 3]) -> [f64; 3] {
    [
        u[1] * v[2] - u[2] * v[1],
        u[2] * v[0] - u[0] * v[2],
        u[0] * v[1] - u[1] * v[0],
    ]
}

fn dot(u: [f64; 3], v: [f64; 3]) -> f64 {
    u[0] * v[0] + u[1] * v[1] + u[2] * v[2]
}

/// By how much a skin folds at a side [rad]: nothing where it lies flat. It does not matter how triangles are wound.
fn fold(skin: &Skin, side: [u32; 2], at: [u32; 2]) -> f64 {
    let (a, b) = (skin.at(side[0]), skin.at(side[1]));
    let along = minus(b, a);
    let wing = |triangle: u32| {
        let corners = skin.triangles.get(triangle as usize).copied();
        let tip = corners
            .into_iter()
            .flatten()
            .find(|corner| !side.contains(corner));
        let to = minus(skin.at(tip.unwrap_or(side[0])), a);
        let share = dot(to, along) / dot(along, along);
        [0, 1, 2].map(|k| to[k] - along[k] * share)
    };
    let (u, v) = (wing(at[0]), wing(at[1]));
    let turn = dot(u, v) / (size(u) * size(v));
    std::f64::consts::PI - turn.clamp(-1.0, 1.0).acos()
}

/// Groups of triangles that hang together across sides that `crosses` lets pass.
fn groups(
    skin: &Skin,
    sides: &Sides,
    crosses: impl Fn([u32; 2], &[u32]) -> bool,
) -> (Vec<usize>, usize) {
    let count = skin.triangles.len();
    let mut of = vec![usize::MAX; count];
    let mut number = 0;
    for start in 0..count {
        if of.get(start) != Some(&usize::MAX) {
            continue;
        }
        let mut next = vec![start];
        while let Some(i) = next.pop() {
            let (Some(mark), Some(triangle)) = (of.get_mut(i), skin.triangles.get(i)) else {
                continue;
            };
            if *mark != usize::MAX {
                continue;
            }
            *mark = number;
            for side in super::weld::sides(*triangle) {
                if let Some(at) = sides.get(&side)
                    && at.len() > 1
                    && crosses(side, at)
                {
                    next.extend(at.iter().map(|&other| other as usize));
                }
            }
        }
        number += 1;
    }
    (of, number)
}

impl Faces {
    /// The faces of a skin whose box has this diagonal.
    pub(super) fn of(skin: &Skin) -> Self {
        let sides = skin.sides();
        let (piece_of, pieces) = groups(skin, &sides, |_, _| true);
        let mut closed = vec![true; pieces];
        for at in sides.values().filter(|at| at.len() == 1) {
            let piece = at
                .first()
                .and_then(|&i| piece_of.get(i as usize))
                .and_then(|&piece| closed.get_mut(piece));
            if let Some(closed) = piece {
                *closed = false;
            }
        }
        let (face_of, count) = CREASES
            .into_iter()
            .map(|crease| {
                groups(skin, &sides, |side, at| match at {
                    &[one, other] => fold(skin, side, [one, other]) < crease,
                    _ => false,
                })
            })
            .find(|(_, count)| *count <= MOST_FACES.max(pieces))
            .unwrap_or((piece_of.clone(), pieces));
        let mut faces = Self {
            all: measured(skin, &face_of, &piece_of, count),
            closed,
        };
        for (side, at) in &sides {
            let long = size(minus(skin.at(side[0]), skin.at(side[1])));
            let of: Vec<usize> = at
                .iter()
                .filter_map(|&i| face_of.get(i as usize).copied())
                .collect();
            if of.len() == 1 || of.iter().any(|face| of.first() != Some(face)) {
                for face in of {
                    if let Some(face) = faces.all.get_mut(face) {
                        face.around += long;
                    }
                }
            }
        }
        faces.skins(skin, &sides, &face_of);
        sort_by(&mut faces.all, |a, b| b.area.total_cmp(&a.area));
        faces
    }

    /// Tells the skins of each piece apart.
    fn skins(&mut self, skin: &Skin, sides: &Sides, face_of: &[usize]) {
        let mut area = vec![0.0; self.closed.len()];
        let mut volume = vec![0.0; self.closed.len()];
        for face in &self.all {
            for &i in &face.triangles {
                let Some(&[a, b, c]) = skin.triangles.get(i as usize) else {
                    continue;
                };
                let six = dot(skin.at(a), cross(skin.at(b), skin.at(c)));
                if let (Some(area), Some(volume)) =
                    (area.get_mut(face.piece), volume.get_mut(face.piece))
                {
                    *area += skin.areas.get(i as usize).copied().unwrap_or(0.0);
                    *volume += six / 6.0;
                }
            }
        }
        for face in &mut self.all {
            let (Some(&area), Some(&volume)) = (area.get(face.piece), volume.get(face.piece))
            else {
                continue;
            };
            // Wound inside out: what it says of outwards is turned round.
            if volume < 0.0 {
                face.out = face.out.map(|x| -x);
            }
            let thick = 2.0 * volume.abs() / area;
            let thin = thick < THIN * (0.5 * area).sqrt();
            let strip = 2.0 * face.area / face.around.max(1e-9) <= STRIP * thick;
            let is_closed = self.closed.get(face.piece) == Some(&true);
            face.skin = (!(is_closed && thin && strip)).then_some(usize::MAX);
        }
        // What hangs together without the strips.
        let mut next_to: Vec<Vec<usize>> = vec![Vec::new(); self.all.len()];
        for at in sides.values() {
            let of: Vec<usize> = at
                .iter()
                .filter_map(|&i| face_of.get(i as usize).copied())
                .collect();
            for &one in &of {
                if let Some(list) = next_to.get_mut(one) {
                    list.extend(of.iter().copied().filter(|&other| other != one));
                }
            }
        }
        let mut number = 0;
        for start in 0..self.all.len() {
            let mut next = vec![start];
            let mut any = false;
            while let Some(i) = next.pop() {
                let Some(face) = self.all.get_mut(i) else {
                    continue;
                };
                if face.skin == Some(usize::MAX) {
                    face.skin = Some(number);
                    any = true;
                    next.extend(next_to.get(i).into_iter().flatten());
                }
            }
            number += usize::from(any);
        }
    }

    /// The faces that are likely the part: of the largest piece all, of a solid the side that looks up.
    pub(super) fn likely(&self, up: impl Fn([f64; 3]) -> [f64; 3]) -> Vec<usize> {
        let mut area = vec![0.0; self.closed.len()];
        for face in &self.all {
            if let Some(sum) = area.get_mut(face.piece) {
                *sum += face.area;
            }
        }
        let piece = (0..area.len())
            .max_by(|&a, &b| {
                let of = |i: usize| area.get(i).copied().unwrap_or(0.0);
                of(a).total_cmp(&of(b))
            })
            .unwrap_or(0);
        self.likely_of(piece, up)
    }

    /// The faces of a piece that are likely the part.
    fn likely_of(&self, piece: usize, up: impl Fn([f64; 3]) -> [f64; 3]) -> Vec<usize> {
        let mine = |i: &usize| self.all.get(*i).is_some_and(|face| face.piece == piece);
        let all: Vec<usize> = (0..self.all.len()).filter(mine).collect();
        if self.closed.get(piece) != Some(&true) {
            return all;
        }
        let face = |i: usize| self.all.get(i);
        let skin_of = |i: usize| face(i).and_then(|face| face.skin);
        // How much of each skin looks up.
        let mut looks: Vec<(usize, f64, f64)> = Vec::new();
        for &i in &all {
            if let (Some(skin), Some(face)) = (skin_of(i), face(i)) {
                let lift = up(face.out)[2];
                match looks.iter_mut().find(|(number, _, _)| *number == skin) {
                    Some((_, sum, area)) => {
                        *sum += lift;
                        *area += face.area;
                    }
                    None => looks.push((skin, lift, face.area)),
                }
            }
        }
        let most = looks.iter().map(|(_, _, area)| *area).fold(0.0, f64::max);
        looks.retain(|(_, _, area)| *area >= 0.3 * most);
        if looks.len() > 1 {
            let best = looks
                .iter()
                .max_by(|a, b| a.1.total_cmp(&b.1))
                .map(|one| one.0);
            return all.into_iter().filter(|&i| skin_of(i) == best).collect();
        }
        // All but what it stands on.
        let lies_under =
            |i: &usize| face(*i).is_some_and(|face| up(face.out)[2] < -0.9 * face.area);
        let rest: Vec<usize> = all.iter().copied().filter(|i| !lies_under(i)).collect();
        if rest.is_empty() || rest.len() == all.len() {
            return all.into_iter().take(1).collect();
        }
        rest
    }

    /// Which faces are picked once one is tapped.
    pub(super) fn tapped(
        &self,
        picked: &[usize],
        face: usize,
        up: impl Fn([f64; 3]) -> [f64; 3],
    ) -> Vec<usize> {
        let group = |i: usize| {
            self.all
                .get(i)
                .map_or((usize::MAX, None), |face| (face.piece, face.skin))
        };
        let mut next = picked.to_vec();
        if let Some(place) = next.iter().position(|&i| i == face) {
            if next.len() > 1 {
                next.remove(place);
            }
            return next;
        }
        let (piece, skin) = group(face);
        let same_piece = picked.iter().any(|&i| group(i).0 == piece);
        let same_skin = picked.iter().any(|&i| group(i) == (piece, skin));
        if same_piece && (same_skin || skin.is_none()) {
            next.push(face);
            next.sort_unstable();
            return next;
        }
        if self.closed.get(piece) != Some(&true) {
            return self.likely_of(piece, up);
        }
        (0..self.all.len())
            .filter(|&i| group(i) == (piece, skin) || i == face)
            .collect()
    }

    /// The faces that keys mean.
    pub(super) fn meant(&self, keys: &[String]) -> Vec<usize> {
        let mut found: Vec<usize> = keys.iter().filter_map(|key| self.one(key)).collect();
        found.sort_unstable();
        found.dedup();
        found
    }

    fn one(&self, key: &str) -> Option<usize> {
        let wanted: Vec<f64> = key
            .split(' ')
            .filter_map(|word| word.parse().ok())
            .collect();
        let off = |face: &Face| -> f64 {
            face.key
                .iter()
                .zip(&wanted)
                .map(|(a, b)| (a - b).abs())
                .sum()
        };
        (wanted.len() == 4)
            .then(|| {
                (0..self.all.len())
                    .filter_map(|i| Some((off(self.all.get(i)?), i)))
                    .min_by(|a, b| a.0.total_cmp(&b.0))
                    .filter(|(off, _)| *off <= 0.02)
                    .map(|(_, i)| i)
            })
            .flatten()
    }
}

impl Face {
    /// Its name in a pick: where its middle lies in the file, and its size, so that it means the same in any unit.
    pub(super) fn key(&self) -> String {
        let [x, y, z, size] = self.key;
        format!("{x:.5} {y:.5} {z:.5} {size:.5}")
    }
}

fn measured(skin: &Skin, face_of: &[usize], piece_of: &[usize], count: usize) -> Vec<Face> {
    let (_, high) = super::box_of(skin.points.iter());
    let long = size(high).max(1e-9);
    let mut faces: Vec<Face> = (0..count)
        .map(|_| Face {
            triangles: Vec::new(),
            area: 0.0,
            piece: 0,
            skin: None,
            out: [0.0; 3],
            around: 0.0,
            key: [0.0; 4],
        })
        .collect();
    for (i, triangle) in skin.triangles.iter().enumerate() {
        let face = face_of.get(i).and_then(|&face| faces.get_mut(face));
        let Some(face) = face else { continue };
        let [a, b, c] = triangle.map(|corner| skin.at(corner));
        let area = skin.areas.get(i).copied().unwrap_or(0.0);
        face.triangles.push(i as u32);
        face.area += area;
        face.piece = piece_of.get(i).copied().unwrap_or(0);
        let out = cross(minus(b, a), minus(c, a));
        for k in 0..3 {
            face.out[k] += out[k] / 2.0;
            face.key[k] += (a[k] + b[k] + c[k]) / 3.0 * area;
        }
    }
    for face in &mut faces {
        for k in 0..3 {
            face.key[k] /= face.area.max(1e-300) * long;
        }
        face.key[3] = face.area.sqrt() / long;
    }
    faces
}
