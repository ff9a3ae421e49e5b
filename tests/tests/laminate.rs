//! Laminate theory against an oracle that integrates tensors with numpy.

use bastwork::law::laminate::{Layer, ply_stresses, response, stiffness};
use bastwork::law::micromechanics::Ply;
use bastwork_tests::vectors::table;

/// Agreement of two double-precision programs on ten printed digits.
const CLOSE: f64 = 1e-7;

#[test]
fn stiffness_strains_and_stresses_of_random_stacks() {
    for row in table("laminate.csv") {
        let layers: Vec<Layer> = (0..6)
            .filter(|i| row.x(&format!("t_{i}")) > 0.0)
            .map(|i| {
                let x = |name: &str| row.x(&format!("{name}_{i}"));
                Layer {
                    ply: Ply {
                        modulus_along: x("e1") * 1e9,
                        modulus_across: x("e2") * 1e9,
                        poisson: x("nu"),
                        shear_modulus: x("g") * 1e9,
                    },
                    angle: x("angle").to_radians(),
                    thickness: x("t") * 1e-3,
                }
            })
            .collect();
        let stack = stiffness(&layers).unwrap();
        let close = |found: f64, name: &str, scale: f64| {
            let expected = row.x(name);
            assert!(
                (found - expected).abs() <= CLOSE * scale.abs().max(expected.abs()),
                "{name}: {found} and {expected} by {}",
                row.source
            );
        };
        for (block, matrix, scale) in [
            ("a", &stack.a, stack.a[0][0]),
            ("b", &stack.b, stack.a[0][0] * stack.thickness),
            ("d", &stack.d, stack.d[0][0]),
        ] {
            for (i, j, name) in [
                (0, 0, "11"),
                (0, 1, "12"),
                (0, 2, "16"),
                (1, 1, "22"),
                (1, 2, "26"),
                (2, 2, "66"),
            ] {
                close(matrix[i][j], &format!("{block}{name}"), scale);
            }
        }
        let forces = ["nx", "ny", "nxy", "mx", "my", "mxy"].map(|name| row.x(name));
        let strains = response(&stack, &forces).unwrap();
        let largest = strains[..3].iter().fold(0.0_f64, |m, e| m.max(e.abs()));
        for (found, name) in strains.iter().zip(["ex", "ey", "exy", "kx", "ky", "kxy"]) {
            let scale = if name.starts_with('k') {
                largest / stack.thickness
            } else {
                largest
            };
            close(*found, name, scale);
        }
        let stresses = ply_stresses(&layers, &strains).unwrap();
        let (first, last) = (stresses[0][0], stresses[stresses.len() - 1][1]);
        for (stress, place) in [(first, "first"), (last, "last")] {
            let scale = stress.along.abs() + stress.across.abs() + stress.shear.abs();
            close(stress.along, &format!("{place}_1"), scale);
            close(stress.across, &format!("{place}_2"), scale);
            close(stress.shear, &format!("{place}_3"), scale);
        }
    }
}
