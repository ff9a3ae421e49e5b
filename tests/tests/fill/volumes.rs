//! A slow fill by another road, to hold the map against: control volumes that fill one after the other in time.
//!
//! Linear elements, a share of each triangle to each of its corners, pressure nought where a volume is not yet full; the
//! pressure is solved anew for every volume that fills (Bruschke and Advani 1990, Polym. Compos. 11:398, from memory).
//! Nothing of the core takes part.

use super::meshes::Mesh;

/// In-plane conductance of a triangle: direction of the first, first and second.
pub(crate) type Laid = ([f64; 2], f64, f64);

struct Net {
    start: Vec<usize>,
    near: Vec<(usize, f64)>,
    diagonal: Vec<f64>,
    volume: Vec<f64>,
}

impl Net {
    /// Flat meshes only.
    fn of(mesh: &Mesh, laid: &[Laid], hold: &[f64]) -> Self {
        let count = mesh.points.len();
        let mut volume = vec![0.0; count];
        let mut pairs: Vec<(usize, usize, f64)> = Vec::new();
        for (t, corners) in mesh.corners.iter().enumerate() {
            let p = corners.map(|i| mesh.points[i as usize]);
            let double = (p[1][0] - p[0][0]) * (p[2][1] - p[0][1])
                - (p[1][1] - p[0][1]) * (p[2][0] - p[0][0]);
            let (([c, s], first, second), size) = (laid[t], double.abs());
            // Slope of each corner's hat, times the doubled area.
            let slope = [0, 1, 2].map(|k| {
                let (q, r) = (p[(k + 1) % 3], p[(k + 2) % 3]);
                [q[1] - r[1], r[0] - q[0]]
            });
            let turned = slope.map(|g| [c * g[0] + s * g[1], c * g[1] - s * g[0]]);
            for k in 0..3 {
                volume[corners[k] as usize] += hold[t] * size / 6.0;
                for l in (0..3).filter(|&l| l != k) {
                    let w =
                        first * turned[k][0] * turned[l][0] + second * turned[k][1] * turned[l][1];
                    pairs.push((corners[k] as usize, corners[l] as usize, w / (2.0 * size)));
                }
            }
        }
        pairs.sort_by_key(|&(a, b, _)| (a, b));
        let mut net = Self {
            start: vec![0; count + 1],
            near: Vec::new(),
            diagonal: vec![0.0; count],
            volume,
        };
        for group in pairs.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
            let weight: f64 = group.iter().map(|g| g.2).sum();
            let (a, b, _) = group[0];
            net.near.push((b, weight));
            net.diagonal[a] -= weight;
            net.start[a + 1] = net.near.len();
        }
        net
    }

    fn near(&self, i: usize) -> &[(usize, f64)] {
        &self.near[self.start[i]..self.start[i + 1]]
    }

    /// Net flow out of a point.
    fn out(&self, i: usize, p: &[f64]) -> f64 {
        let around: f64 = self.near(i).iter().map(|&(j, w)| w * p[j]).sum();
        self.diagonal[i] * p[i] + around
    }

    /// What the weight brings to a point along joints to those of which something holds.
    fn brought(&self, i: usize, heads: &[f64], is: impl Fn(usize) -> bool) -> f64 {
        let near = self.near(i).iter().filter(|&&(j, _)| is(j));
        near.map(|&(j, w)| -w * (heads[j] - heads[i])).sum()
    }

    /// Pressure with no net flow out of the free points: conjugate gradients over the diagonal, from what p holds.
    fn solve(&self, free: &[usize], heads: &[f64], p: &mut [f64]) {
        let mut way = vec![0.0; p.len()];
        let mut left: Vec<f64> = free
            .iter()
            .map(|&i| self.brought(i, heads, |_| true) - self.out(i, p))
            .collect();
        let mut size = 0.0;
        for turn in 0..2000 {
            let scaled: f64 = free
                .iter()
                .zip(&left)
                .map(|(&i, r)| r * r / self.diagonal[i])
                .sum();
            if turn == 0 && scaled == 0.0 || scaled < 1e-18 {
                return;
            }
            let again = if turn == 0 { 0.0 } else { scaled / size };
            size = scaled;
            for (&i, r) in free.iter().zip(&left) {
                way[i] = r / self.diagonal[i] + again * way[i];
            }
            let pull: Vec<f64> = free.iter().map(|&i| self.out(i, &way)).collect();
            let step = size
                / free
                    .iter()
                    .zip(&pull)
                    .map(|(&i, q)| way[i] * q)
                    .sum::<f64>();
            for ((&i, r), q) in free.iter().zip(&mut left).zip(&pull) {
                p[i] += step * way[i];
                *r -= step * q;
            }
        }
        panic!("the pressure did not settle");
    }
}

/// When the volume of each point is full, feeds at nought. Vents never fill.
pub(crate) fn fill(
    mesh: &Mesh,
    laid: &[Laid],
    hold: &[f64],
    feeds: &[u32],
    vents: &[u32],
) -> Vec<f64> {
    let level = vec![0.0; mesh.points.len()];
    under_weight(mesh, laid, hold, feeds, vents, &level).0
}

/// The same with the weight of the fluid at each point, as a share of the driving pressure at the lowest feed. With it,
/// when each volume is half full: about when the front passes the point in its middle.
pub(crate) fn under_weight(
    mesh: &Mesh,
    laid: &[Laid],
    hold: &[f64],
    feeds: &[u32],
    vents: &[u32],
    heads: &[f64],
) -> (Vec<f64>, Vec<f64>) {
    // Conductance of about one, so that what is close is close.
    let unit = laid.iter().map(|l| (l.1 * l.2).sqrt()).fold(0.0, f64::max);
    let laid: Vec<Laid> = laid
        .iter()
        .map(|&(d, a, b)| (d, a / unit, b / unit))
        .collect();
    let net = Net::of(mesh, &laid, hold);
    let count = mesh.points.len();
    let mut held = vec![false; count];
    let mut level = vec![0.0; count];
    let mut reached = vec![f64::NAN; count];
    let mut passed = vec![f64::NAN; count];
    let mut p = vec![0.0; count];
    let lowest = feeds
        .iter()
        .map(|&i| heads[i as usize])
        .fold(f64::INFINITY, f64::min);
    for &i in feeds {
        let i = i as usize;
        (held[i], p[i]) = (true, 1.0 - heads[i] + lowest);
        (reached[i], passed[i]) = (0.0, 0.0);
    }
    for &i in vents {
        held[i as usize] = true;
    }
    let mut free: Vec<usize> = Vec::new();
    let mut full = held.clone();
    let mut time = 0.0;
    loop {
        net.solve(&free, heads, &mut p);
        let flow: Vec<f64> = (0..count)
            .map(|i| {
                if full[i] {
                    0.0
                } else {
                    net.brought(i, heads, |j| full[j]) - net.out(i, &p)
                }
            })
            .collect();
        let step = (0..count)
            .filter(|&i| flow[i] > 1e-12)
            .map(|i| (net.volume[i] - level[i]) / flow[i])
            .fold(f64::INFINITY, f64::min);
        if !step.is_finite() {
            break;
        }
        for i in (0..count).filter(|&i| flow[i] > 0.0) {
            let lacks = net.volume[i] / 2.0 - level[i];
            if lacks > 0.0 && lacks <= flow[i] * step {
                passed[i] = time + lacks / flow[i];
            }
            level[i] += flow[i] * step;
            if level[i] >= net.volume[i] * (1.0 - 1e-9) {
                full[i] = true;
                free.push(i);
                reached[i] = time + step;
            }
        }
        time += step;
    }
    let told = |times: Vec<f64>| times.iter().map(|t| t / unit).collect();
    (told(reached), told(passed))
}

#[test]
fn the_slow_fill_knows_a_strip() {
    let mesh = super::meshes::rectangle(1.0, 0.25, 40, 10, 99);
    let feeds = mesh.nodes(|p| p[0] < 1e-9);
    let count = mesh.corners.len();
    let found = fill(
        &mesh,
        &vec![([1.0, 0.0], 2.0, 2.0); count],
        &vec![0.5; count],
        &feeds,
        &[],
    );
    let off = super::rms(&found, mesh.points.iter().map(|p| p[0] * p[0] / 8.0)) / 0.125;
    // A volume is full when the front is half a cell past its point.
    assert!(off < 0.018, "{off}");
}
