//! Fronts whose course is known in closed form: strips, discs and rings, two cloths in a row, shapes fed all round.
//!
//! Darcy flow at constant pressure, textbook (Advani and Sozer, Process Modeling in Composites Manufacturing; Adams,
//! Russel and Rebenfeld 1988, Int. J. Multiphase Flow 14:203, from memory); worked figures are arithmetic from the equation beside them. Figures for K 3e-11 m2,
//! phi 0.65 where nothing else is said.

use super::meshes::{Draws, Mesh, disc, equilateral, even, grid, rectangle, ring};
use super::{MU_OVER_DP, THICK, close, cloth, gates, rms};
use bastwork::solve::front::Field;
use bastwork::solve::surface::Tensor;

const K: f64 = 3e-11;
const PHI: f64 = 0.65;

fn rim(mesh: &Mesh) -> Vec<u32> {
    let rim = mesh.rim();
    (0..rim.len() as u32).filter(|&i| rim[i as usize]).collect()
}

#[test]
fn a_strip_from_its_end() {
    // t = mu phi L^2 / (2 K dp): 0.5 m in 9027.78 s, 0.3 m in 3250 s; wet to sqrt(2 K dp t / (mu phi)) before.
    for (length, seconds, seed) in [(0.5, 9027.78, 1), (0.3, 3250.0, 2)] {
        let mesh = rectangle(length, length / 4.0, 100, 25, seed);
        let feeds = mesh.nodes(|p| p[0] < 1e-9);
        let mut field = cloth(&mesh, K, PHI);
        let found = field.fill(&gates(&feeds, &[]));
        close(found.time * MU_OVER_DP, seconds, 1e-3, "strip");
        let last = mesh.points[found.last.unwrap()];
        assert!(last[0] > 0.999 * length, "{last:?}");
        let arrival = field.arrival(&gates(&feeds, &[]), 6);
        let exact = |p: &[f64; 3]| PHI * p[0] * p[0] / (2.0 * K);
        let off = rms(&arrival.at, mesh.points.iter().map(exact)) / found.time;
        assert!(off < 5e-3, "{off}");
        for share in [0.05_f64, 0.3, 0.7] {
            let wet = field.wet_at(&gates(&feeds, &[]), share * found.time);
            let volume = THICK * PHI * share.sqrt() * length * length / 4.0;
            close(wet.filled, volume, 2e-3, "volume");
        }
    }
}

#[test]
fn out_from_a_ring_in_the_middle() {
    // t = mu phi / (K dp) (r^2 ln(r / r0) / 2 - (r^2 - r0^2) / 4): from 10 mm to 0.3 m in 9430.70 s.
    let at = |r: f64| PHI / K * (r * r * (r / 0.01).ln() / 2.0 - (r * r - 1e-4) / 4.0);
    close(at(0.3) * MU_OVER_DP, 9430.70, 1e-6, "the equation itself");
    for (mesh, share) in [
        // 4,992 triangles, and four times as many all round.
        (ring(0.01, 0.3, 52, 48, 0.25, 3), 1e-3),
        (ring(0.01, 0.3, 52, 192, 1.0, 4), 1e-3),
    ] {
        let feeds = mesh.nodes(|p| p[0].hypot(p[1]) < 0.01 + 1e-9);
        let mut field = cloth(&mesh, K, PHI);
        let found = field.fill(&gates(&feeds, &[]));
        close(found.time, at(0.3), share, "radial out");
        let arrival = field.arrival(&gates(&feeds, &[]), 6);
        let exact = |p: &[f64; 3]| at(p[0].hypot(p[1]).max(0.01));
        let off = rms(&arrival.at, mesh.points.iter().map(exact)) / found.time;
        assert!(off < 1.5e-2, "{off}");
    }
}

#[test]
fn in_from_all_round() {
    // t = mu phi / (K dp) ((R^2 - r^2) / 4 - r^2 ln(R / r) / 2): 0.3 m to its middle in 1625.00 s, half of a strip.
    let at = |r: f64| {
        let inner = if r > 1e-6 {
            r * r * (0.3 / r).ln() / 2.0
        } else {
            0.0
        };
        PHI / K * ((0.09 - r * r) / 4.0 - inner)
    };
    let whole = disc(0.3, 29, 5);
    let found = cloth(&whole, K, PHI).fill(&gates(&rim(&whole), &[]));
    close(found.time * MU_OVER_DP, 1625.0, 1e-3, "disc");
    close(found.time, at(0.0), 1e-3, "disc");
    assert_eq!(
        found
            .last
            .map(|i| whole.points[i][0].hypot(whole.points[i][1]) < 0.015),
        Some(true)
    );
    // With a hole in the middle the front takes as long to its rim as if nothing had been cut out.
    let holed = ring(0.05, 0.3, 40, 160, 1.0, 6);
    let feeds = holed.nodes(|p| p[0].hypot(p[1]) > 0.3 - 1e-9);
    let mut field = cloth(&holed, K, PHI);
    close(field.fill(&gates(&feeds, &[])).time, at(0.05), 1e-3, "ring");
    let arrival = field.arrival(&gates(&feeds, &[]), 6);
    let exact = |p: &[f64; 3]| at(p[0].hypot(p[1]));
    let off = rms(&arrival.at, holed.points.iter().map(exact)) / at(0.05);
    assert!(off < 1.5e-2, "{off}");
}

/// A strip of two cloths one after the other; where they meet no point is shaken.
fn in_a_row(
    first: (f64, f64, f64),
    second: (f64, f64, f64),
    nx: usize,
    seed: u64,
) -> (Mesh, Field, f64) {
    let (length, meet) = (first.0 + second.0, first.0);
    let per = length / nx as f64;
    let mut xs = even(0.0, meet, (meet / per).round() as usize);
    xs.pop();
    xs.extend(even(meet, length, (second.0 / per).round() as usize));
    let ys = even(0.0, 0.1, (nx / 5).max(2));
    let mesh = grid(&xs, &ys, |_, _| true, |x, _| (x - meet).abs() < 1e-9, seed);
    let of = |x: f64| if x < meet { first } else { second };
    let conduct = mesh.each(|p| Tensor::even(THICK * of(p[0]).1));
    let hold = mesh.each(|p| THICK * of(p[0]).2);
    let field = Field::new(&mesh.surface(), &conduct, &hold, &[]);
    (mesh, field, meet)
}

#[test]
fn two_cloths_in_a_row_either_way_round() {
    // t = t1 + mu / dp (phi2 x^2 / (2 K2) + phi2 x L1 / K1), t1 = mu phi1 L1^2 / (2 K1 dp).
    // 0.2 m of K 1e-10, phi 0.8 then 0.3 m of K 2e-11, phi 0.65: 533.3 s and 6708.3 s; the other way 4875 s and 13408.3 s.
    let (open, tight) = ((0.2, 1e-10, 0.8), (0.3, 2e-11, 0.65));
    for (first, second, joined, full) in [
        (open, tight, 533.33, 6708.33),
        (tight, open, 4875.0, 13408.33),
    ] {
        let (mesh, mut field, meet) = in_a_row(first, second, 100, 7);
        let feeds = mesh.nodes(|p| p[0] < 1e-9);
        let found = field.fill(&gates(&feeds, &[]));
        close(found.time * MU_OVER_DP, full, 1e-3, "both");
        let arrival = field.arrival(&gates(&feeds, &[]), 8);
        for (p, t) in mesh.points.iter().zip(&arrival.at) {
            let x = (p[0] - meet).max(0.0);
            let exact = if p[0] <= meet + 1e-9 {
                first.2 * p[0] * p[0] / (2.0 * first.1)
            } else {
                first.2 * meet * meet / (2.0 * first.1)
                    + second.2 * x * x / (2.0 * second.1)
                    + second.2 * x * meet / first.1
            };
            let off = (t - exact).abs() / found.time;
            // Between two times the front moves as along one cloth, which these are not.
            assert!(off < 0.04, "{p:?}: {t} {exact}, off by {off}");
            if (p[0] - meet).abs() < 1e-9 {
                assert!((t * MU_OVER_DP - joined).abs() < 0.02 * full, "{t}");
            }
        }
    }
}

#[test]
fn a_square_fed_all_round() {
    // Torsion function of a square: 0.0736713 s^2 (Timoshenko and Goodier, from memory): 0.5 m in 1330 s.
    let mesh = rectangle(0.5, 0.5, 50, 50, 8);
    let found = cloth(&mesh, K, PHI).fill(&gates(&rim(&mesh), &[]));
    close(found.time * K / (PHI * 0.25), 0.073_671_3, 1e-3, "square");
    close(found.time * MU_OVER_DP, 1330.2, 1e-3, "square");
}

#[test]
fn an_ellipse_fed_all_round_with_fibres_along_it() {
    // w = (1 - x^2 / a^2 - y^2 / b^2) / (2 (K1 / a^2 + K2 / b^2)): 0.3 by 0.2 m, 4e-11 and 1e-11, 1560 s.
    let mesh = disc(1.0, 29, 9).moved(|p| [0.3 * p[0], 0.2 * p[1], 0.0]);
    let fibres = Tensor {
        along: [1.0, 0.0, 0.0],
        first: THICK * 4e-11,
        second: THICK * 1e-11,
    };
    let count = mesh.corners.len();
    let mut field = Field::new(
        &mesh.surface(),
        &vec![fibres; count],
        &vec![THICK * PHI; count],
        &[],
    );
    let found = field.fill(&gates(&rim(&mesh), &[]));
    close(found.time * MU_OVER_DP, 1560.0, 1e-3, "ellipse");
}

#[test]
fn a_triangle_fed_all_round() {
    // w = product of the three heights over 2 h, h the height: t = mu phi s^2 / (36 K dp).
    let mesh = equilateral(0.4, 70, 10);
    let found = cloth(&mesh, K, PHI).fill(&gates(&rim(&mesh), &[]));
    close(found.time, PHI * 0.16 / (36.0 * K), 1e-3, "triangle");
}

#[test]
fn an_ellipse_of_flow_from_an_inlet_of_its_own_shape() {
    // Axes as sqrt(K1 / K2); with Ke = sqrt(K1 K2) and rho^2 = x^2 Ke / K1 + y^2 Ke / K2 it is radial flow:
    // rho 10 mm to 0.2 m at 4e-11 and 1e-11 in 5410.13 s.
    let (k1, k2): (f64, f64) = (4e-11, 1e-11);
    let ke = (k1 * k2).sqrt();
    let at = |r: f64| PHI / ke * (r * r * (r / 0.01).ln() / 2.0 - (r * r - 1e-4) / 4.0);
    close(at(0.2) * MU_OVER_DP, 5410.13, 1e-6, "the equation itself");
    let stretch = [(k1 / ke).sqrt(), (k2 / ke).sqrt()];
    // Turned at random, so that neither the mesh nor the axes know of it.
    for turn in [0.0, Draws(11).between(0.3, 1.2)] {
        let (s, c) = f64::sin_cos(turn);
        let flat = ring(0.01, 0.2, 60, 150, 1.0, 11);
        let mesh = flat.clone().moved(|p| {
            let (x, y) = (p[0] * stretch[0], p[1] * stretch[1]);
            [c * x - s * y, s * x + c * y, 0.0]
        });
        let feeds = flat.nodes(|p| p[0].hypot(p[1]) < 0.01 + 1e-9);
        let count = mesh.corners.len();
        let fibres = Tensor {
            along: [c, s, 0.0],
            first: THICK * k1,
            second: THICK * k2,
        };
        let mut field = Field::new(
            &mesh.surface(),
            &vec![fibres; count],
            &vec![THICK * PHI; count],
            &[],
        );
        close(
            field.fill(&gates(&feeds, &[])).time,
            at(0.2),
            1e-3,
            "ellipse",
        );
        let arrival = field.arrival(&gates(&feeds, &[]), 6);
        let exact = |p: &[f64; 3]| at(p[0].hypot(p[1]).max(0.01));
        let off = rms(&arrival.at, flat.points.iter().map(exact)) / at(0.2);
        assert!(off < 1.5e-2, "{off}");
    }
}
