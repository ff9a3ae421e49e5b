//! Fibres that lie across the mesh: ten to one at thirty degrees, where plain elements pull the wrong way.

use super::meshes::{Mesh, disc, even, grid, rectangle};
use super::{close, gates};
use bastwork::solve::front::Field;
use bastwork::solve::surface::Tensor;

fn fibres(degrees: f64, ratio: f64) -> Tensor {
    let (s, c) = degrees.to_radians().sin_cos();
    Tensor {
        along: [c, s, 0.0],
        first: ratio,
        second: 1.0,
    }
}

fn laid(mesh: &Mesh, tensor: Tensor) -> Field {
    let count = mesh.corners.len();
    Field::new(
        &mesh.surface(),
        &vec![tensor; count],
        &vec![1.0; count],
        &[],
    )
}

#[test]
fn nothing_falls_below_nought() {
    for (degrees, seed) in [(30.0, 70), (-30.0, 71), (75.0, 72)] {
        for mesh in [
            rectangle(0.4, 0.3, 40, 30, seed),
            grid(
                &even(0.0, 0.4, 40),
                &even(0.0, 0.4, 40),
                |x, y| x < 0.2 || y < 0.2,
                |_, _| false,
                seed,
            ),
            disc(0.2, 20, seed),
        ] {
            let mut field = laid(&mesh, fibres(degrees, 10.0));
            let feeds = [mesh.nearest([0.1, 0.1])];
            let filled = field.fill(&gates(&feeds, &[]));
            assert!(filled.bound.iter().all(|&t| t >= 0.0 && t <= filled.time));
            let mut before = vec![0.0; mesh.points.len()];
            for share in [0.02, 0.1, 0.3, 0.6, 0.9] {
                let wet = field.wet_at(&gates(&feeds, &[]), share * filled.time);
                let most = share * filled.time;
                for (i, (&u, &less)) in wet.u.iter().zip(&before).enumerate() {
                    assert!(u > -1e-9 * most && u <= most * (1.0 + 1e-9), "{i}: {u}");
                    assert!(u >= less - 1e-9 * most, "{i}: {less} then {u}");
                }
                let balance = (wet.inflow - wet.filled) / wet.filled;
                assert!(balance.abs() < 1e-8, "{balance}");
                before = wet.u;
            }
            let arrival = field.arrival(&gates(&feeds, &[]), 6);
            assert!(
                arrival
                    .at
                    .iter()
                    .all(|&t| t >= 0.0 && t <= filled.time * (1.0 + 1e-9))
            );
        }
    }
}

#[test]
fn an_ellipse_fed_all_round_with_fibres_across_it() {
    // w = (1 - x M x) / (2 tr(K M)) for x M x <= 1, so t = 1 / (2 tr(K M)), whichever way the fibres lie in the ellipse.
    let (a, b) = (0.3, 0.2);
    for degrees in [0.0_f64, 30.0, 58.0, 90.0, 140.0] {
        let mesh = disc(1.0, 29, 73).moved(|p| [a * p[0], b * p[1], 0.0]);
        let rim = mesh.rim();
        let feeds: Vec<u32> = (0..rim.len() as u32).filter(|&i| rim[i as usize]).collect();
        let found = laid(&mesh, fibres(degrees, 10.0))
            .fill(&gates(&feeds, &[]))
            .time;
        let (s, c) = degrees.to_radians().sin_cos();
        let (kxx, kyy) = (10.0 * c * c + s * s, 10.0 * s * s + c * c);
        close(
            found,
            0.5 / (kxx / (a * a) + kyy / (b * b)),
            1.5e-3,
            "ellipse",
        );
    }
}

#[test]
fn a_point_feed_spreads_along_the_fibres() {
    // Far from a small inlet the front's axes go as the root of the conductances (Adams, Russel and Rebenfeld 1988, from memory);
    // its second moments are those of an ellipse turned with the fibres.
    let mesh = rectangle(0.4, 0.4, 120, 120, 74).moved(|p| [p[0] - 0.2, p[1] - 0.2, 0.0]);
    let feed = [mesh.nearest([0.0, 0.0])];
    let mut field = laid(&mesh, fibres(30.0, 10.0));
    let time = field.fill(&gates(&feed, &[])).time;
    let mut wet = field.wet_at(&gates(&feed, &[]), 0.1 * time);
    for share in [0.08, 0.06, 0.04, 0.03, 0.02, 0.015, 0.01] {
        if wet.filled < 0.03 {
            break;
        }
        wet = field.wet_at(&gates(&feed, &[]), share * time);
    }
    assert!(wet.filled > 0.008 && wet.filled < 0.03, "{}", wet.filled);
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for (i, p) in mesh.points.iter().enumerate().filter(|(i, _)| wet.wet[*i]) {
        assert!(
            p[0].abs() < 0.19 && p[1].abs() < 0.19,
            "the front has met the edge"
        );
        let hold = field.hold_of(i);
        xx += hold * p[0] * p[0];
        xy += hold * p[0] * p[1];
        yy += hold * p[1] * p[1];
    }
    let angle = (0.5 * (2.0 * xy).atan2(xx - yy)).to_degrees();
    assert!((angle - 30.0).abs() < 1.0, "{angle}");
    let (half, apart) = ((xx + yy) / 2.0, ((xx - yy) / 2.0).hypot(xy));
    close(
        (half + apart) / (half - apart),
        10.0,
        0.05,
        "squares of the axes",
    );
}
