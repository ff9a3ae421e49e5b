//! Checks of the plate against handbook tables, limits and itself; finite elements are among the case files.

use super::*;

fn isotropic(length: f64, width: f64) -> Plate {
    Plate {
        length,
        width,
        d11: 1.0,
        d12: 0.3,
        d22: 1.0,
        d66: 0.35,
        shear_x: f64::INFINITY,
        shear_y: f64::INFINITY,
    }
}

const EVEN: Load = Load::Pressure(1.0);

fn close(got: f64, wanted: f64, abs: f64, what: &str) {
    assert!(
        (got - wanted).abs() <= abs,
        "{what}: {got}, wanted {wanted}"
    );
}

#[test]
fn resting_meets_the_handbook() {
    // Timoshenko and Woinowsky-Krieger 1959, table 8, Poisson ratio 0.3 (from memory): b/a, w, Mx, My, Qx, Qy.
    for (ratio, w, mx, my, qx, qy) in [
        (1.0, 0.00406, 0.0479, 0.0479, 0.338, 0.338),
        (1.5, 0.00772, 0.0812, 0.0498, 0.424, 0.363),
        (2.0, 0.01013, 0.1017, 0.0464, 0.465, 0.370),
        (4.0, 0.01282, 0.1235, 0.0384, 0.496, 0.372),
    ] {
        let b = resting(&isotropic(1.0, ratio), &EVEN).unwrap();
        close(b.deflection, w, 6e-6, "w");
        close(b.places[0].x, mx, 1e-4, "Mx");
        close(b.places[0].y, my, 1e-4, "My");
        close(b.shear_x, qx, 0.01 * qx, "Qx");
        close(b.shear_y, qy, 0.01 * qy, "Qy");
    }
    // Corner force R = 2 Mxy = 0.065 q a^2 of the square, same table.
    let b = resting(&isotropic(1.0, 1.0), &EVEN).unwrap();
    close(2.0 * b.places[3].xy.abs(), 0.065, 2e-4, "corner");
}

#[test]
fn clamped_meets_the_handbook() {
    // Table 35, Poisson ratio 0.3 (from memory): b/a, w, Mx and My at the middle of the long and short edge, Mx, My inside.
    for (ratio, w, edge_x, edge_y, mx, my) in [
        (1.0, 0.00126, -0.0513, -0.0513, 0.0231, 0.0231),
        (1.5, 0.00220, -0.0757, -0.0570, 0.0368, 0.0203),
        (2.0, 0.00254, -0.0829, -0.0571, 0.0412, 0.0158),
    ] {
        let b = clamped(&isotropic(1.0, ratio), &EVEN).unwrap();
        close(b.deflection, w, 1e-5, "w");
        close(b.places[1].x, edge_x, 2e-4, "edge x");
        close(b.places[2].y, edge_y, 2e-4, "edge y");
        close(b.places[0].x, mx, 3e-4, "Mx");
        close(b.places[0].y, my, 3e-4, "My");
        close(b.places[3].xy, 0.0, 1e-4, "no twist in a held corner");
    }
}

#[test]
fn a_force_in_the_middle_meets_the_handbook() {
    // Timoshenko and Woinowsky-Krieger 1959, tables 23 and 37: w = alpha P a^2 / D under a point force (from memory).
    let small = Load::Patch {
        force: 1.0,
        length: 0.02,
        width: 0.02,
    };
    for (ratio, rests, held) in [(1.0, 0.01160, 0.00560), (2.0, 0.01651, 0.00722)] {
        let plate = isotropic(1.0, ratio);
        let small = if ratio > 1.0 {
            Load::Patch {
                force: 1.0,
                length: 0.04,
                width: 0.04,
            }
        } else {
            small
        };
        let w = resting(&plate, &small).unwrap().deflection;
        close(w / rests, 1.0, 0.005, "resting");
        let w = clamped(&plate, &small).unwrap().deflection;
        close(w / held, 1.0, 0.005, "held");
    }
    // Table 20: Mx = 0.284 P under a square patch of a tenth of the side (from memory).
    let tenth = Load::Patch {
        force: 1.0,
        length: 0.1,
        width: 0.1,
    };
    let b = resting(&isotropic(1.0, 1.0), &tenth).unwrap();
    close(b.places[0].x, 0.284, 0.002, "patch moment");
}

/// A weave that shears.
fn soft(length: f64, width: f64) -> Plate {
    Plate {
        length,
        width,
        d11: 40.0,
        d12: 8.0,
        d22: 15.0,
        d66: 7.0,
        shear_x: 3e3,
        shear_y: 2e3,
    }
}

fn patch(share: f64) -> Load {
    Load::Patch {
        force: 200.0,
        length: share * 0.6,
        width: share * 0.4,
    }
}

#[test]
fn a_long_plate_is_a_strip() {
    // Across the narrow side, the beam's formulas: q b^4 / D, q b^2 / 8, q b^2 / 12 at held edges, shear q b^2 / 8 S.
    let p = Plate {
        shear_x: 30.0,
        shear_y: 20.0,
        ..isotropic(8.0, 1.0)
    };
    let b = resting(&p, &EVEN).unwrap();
    close(b.deflection, 5.0 / 384.0 + 1.0 / 160.0, 2e-5, "rests");
    close(b.places[0].y, 0.125, 1e-3, "moment");
    let b = clamped(&p, &EVEN).unwrap();
    close(b.deflection, 1.0 / 384.0 + 1.0 / 160.0, 2e-5, "held");
    close(b.places[0].y, 1.0 / 24.0, 5e-4, "moment");
    close(b.places[2].y, -1.0 / 12.0, 5e-4, "edge");
    close(b.shear_y, 0.5, 5e-3, "shear");
}

#[test]
fn turning_the_plate_turns_the_answer() {
    let p = soft(0.6, 0.4);
    let back = turned(&p);
    for bend in [resting, clamped] {
        for (load, other) in [
            (EVEN, EVEN),
            (
                patch(0.2),
                Load::Patch {
                    force: 200.0,
                    length: 0.08,
                    width: 0.12,
                },
            ),
        ] {
            let one = bend(&p, &load).unwrap();
            let two = turned_back(bend(&back, &other).unwrap());
            close(two.deflection / one.deflection, 1.0, 1e-9, "w");
            close(two.shear_x / one.shear_x, 1.0, 1e-9, "Qx");
            close(two.shear_y / one.shear_y, 1.0, 1e-9, "Qy");
            let scale = one.places[0].x;
            for (m, n) in one.places.iter().zip(&two.places) {
                close(m.x / scale, n.x / scale, 1e-9, "Mx");
                close(m.y / scale, n.y / scale, 1e-9, "My");
                close(m.xy / scale, n.xy / scale, 1e-9, "Mxy");
            }
        }
    }
}

#[test]
fn a_patch_all_over_is_a_pressure() {
    let p = soft(0.6, 0.4);
    for bend in [resting, clamped] {
        let all = bend(&p, &patch(1.0)).unwrap();
        let even = bend(&p, &Load::Pressure(200.0 / 0.24)).unwrap();
        close(all.deflection / even.deflection, 1.0, 1e-12, "same");
    }
}

#[test]
fn stiffer_sinks_less_and_held_less_than_resting() {
    for load in [EVEN, patch(0.3), patch(0.1)] {
        let base = soft(0.6, 0.4);
        for bend in [resting, clamped] {
            let w = bend(&base, &load).unwrap().deflection;
            let better = |p: Plate| assert!(bend(&p, &load).unwrap().deflection < w);
            better(Plate { d11: 44.0, ..base });
            better(Plate { d22: 16.5, ..base });
            better(Plate {
                shear_x: 6e3,
                ..base
            });
            better(Plate {
                shear_y: 4e3,
                ..base
            });
            better(Plate {
                length: 0.58,
                ..base
            });
            better(Plate {
                width: 0.38,
                ..base
            });
        }
        better_twist(&base, &load);
        let (rests, held) = (
            resting(&base, &load).unwrap(),
            clamped(&base, &load).unwrap(),
        );
        assert!(held.deflection < rests.deflection && held.places[0].x < rests.places[0].x);
        assert!(held.places[1].x < 0.0 && held.places[2].y < 0.0);
    }
}

fn better_twist(base: &Plate, load: &Load) {
    let stiff = Plate { d66: 8.0, ..*base };
    assert!(resting(&stiff, load).unwrap().deflection < resting(base, load).unwrap().deflection);
}

#[test]
fn answers_grow_with_the_load_and_sizes_scale() {
    let p = soft(0.6, 0.4);
    let twice = Plate {
        length: 1.2,
        width: 0.8,
        shear_x: p.shear_x / 4.0,
        shear_y: p.shear_y / 4.0,
        ..p
    };
    for bend in [resting, clamped] {
        let one = bend(&p, &EVEN).unwrap();
        let ten = bend(&p, &Load::Pressure(-10.0)).unwrap();
        close(ten.deflection / one.deflection, -10.0, 1e-9, "load");
        close(ten.shear_x / one.shear_x, 10.0, 1e-9, "shear is a size");
        let large = bend(&twice, &EVEN).unwrap();
        close(large.deflection / one.deflection, 16.0, 1e-9, "w");
        close(large.places[0].x / one.places[0].x, 4.0, 1e-9, "M");
    }
}

#[test]
fn refuses_what_it_cannot_answer() {
    let p = soft(0.6, 0.4);
    for bad in [
        Plate { length: 0.0, ..p },
        Plate { d11: f64::NAN, ..p },
        Plate { d12: 30.0, ..p },
        Plate { d66: -1.0, ..p },
        Plate { shear_y: 0.0, ..p },
    ] {
        assert!(resting(&bad, &EVEN).is_err() && clamped(&bad, &EVEN).is_err());
    }
    assert!(resting(&p, &patch(1.1)).is_err() && clamped(&p, &patch(0.01)).is_err());
    assert!(resting(&p, &Load::Pressure(f64::NAN)).is_err());
}
