//! How fast the fill time comes right as the mesh grows finer: twice as fine, four times as near.

use super::gates;
use super::meshes::{Mesh, disc, rectangle, ring};
use bastwork::solve::front::Field;
use bastwork::solve::surface::Tensor;

/// Slope of a straight line through points.
fn slope(points: &[(f64, f64)]) -> f64 {
    let count = points.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
    let (x, y) = (mean(|p| p.0), mean(|p| p.1));
    let over: f64 = points.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
    over / points.iter().map(|p| (p.0 - x).powi(2)).sum::<f64>()
}

/// Error against fineness in logarithms: the mean square over a few shakings of the same mesh.
fn order(steps: &[usize], of: impl Fn(usize, u64) -> (f64, f64)) -> f64 {
    const SHAKINGS: u64 = 4;
    let points: Vec<(f64, f64)> = steps
        .iter()
        .map(|&n| {
            let squares: f64 = (0..SHAKINGS)
                .map(|seed| {
                    let (got, exact) = of(n, seed);
                    (got / exact - 1.0).powi(2)
                })
                .sum();
            ((n as f64).ln(), -(squares / SHAKINGS as f64).sqrt().ln())
        })
        .collect();
    let order = slope(&points);
    println!("order {order:.2}: {points:.3?}");
    order
}

fn time(mesh: &Mesh, tensor: Tensor, feeds: &[u32]) -> f64 {
    let count = mesh.corners.len();
    let mut field = Field::new(
        &mesh.surface(),
        &vec![tensor; count],
        &vec![1.0; count],
        &[],
    );
    field.fill(&gates(feeds, &[])).time
}

fn round(r: f64, inner: f64) -> f64 {
    r * r * (r / inner).ln() / 2.0 - (r * r - inner * inner) / 4.0
}

#[test]
fn out_from_a_ring() {
    // t = r^2 ln(r / r0) / 2 - (r^2 - r0^2) / 4 for conductance and store of one.
    let found = order(&[10, 20, 40, 80], |n, seed| {
        let mesh = ring(0.05, 1.0, n, n * 3 / 5, 0.25, 20 + seed);
        let feeds = mesh.nodes(|p| p[0].hypot(p[1]) < 0.05 + 1e-9);
        (time(&mesh, Tensor::even(1.0), &feeds), round(1.0, 0.05))
    });
    assert!(found >= 1.8, "{found}");
}

#[test]
fn out_from_an_ellipse_across_fibres() {
    // The same in coordinates stretched by the roots of the conductances, 2 and 1/2.
    let found = order(&[8, 16, 32, 64], |n, seed| {
        let flat = ring(0.05, 1.0, n, n * 5 / 2, 1.0, 30 + seed);
        let feeds = flat.nodes(|p| p[0].hypot(p[1]) < 0.05 + 1e-9);
        let root = 2.0_f64.sqrt();
        let mesh = flat.moved(|p| [p[0] * root, p[1] / root, 0.0]);
        let fibres = Tensor {
            along: [1.0, 0.0, 0.0],
            first: 2.0,
            second: 0.5,
        };
        (time(&mesh, fibres, &feeds), round(1.0, 0.05))
    });
    assert!(found >= 1.8, "{found}");
}

#[test]
fn in_from_an_ellipse_across_fibres() {
    // 1 / (2 (K1 / a^2 + K2 / b^2)).
    let found = order(&[6, 12, 24, 48], |n, seed| {
        let mesh = disc(1.0, n, 40 + seed).moved(|p| [0.3 * p[0], 0.2 * p[1], 0.0]);
        let rim = mesh.rim();
        let feeds: Vec<u32> = (0..rim.len() as u32).filter(|&i| rim[i as usize]).collect();
        let fibres = Tensor {
            along: [1.0, 0.0, 0.0],
            first: 4.0,
            second: 1.0,
        };
        (time(&mesh, fibres, &feeds), 0.5 / (4.0 / 0.09 + 1.0 / 0.04))
    });
    assert!(found >= 1.8, "{found}");
}

#[test]
fn along_a_strip() {
    // L^2 / 2. Regular cells would be exact; all that is left is what shaking does.
    let found = order(&[10, 20, 40, 80], |n, seed| {
        let mesh = rectangle(1.0, 0.5, n, n / 2, 50 + seed);
        let feeds = mesh.nodes(|p| p[0] < 1e-9);
        (time(&mesh, Tensor::even(1.0), &feeds), 0.5)
    });
    assert!(found >= 1.8, "{found}");
}
