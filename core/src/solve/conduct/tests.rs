//! Heat against the series solution, the critical values of a self-heating body, and its own halving.

use super::*;

const FINE: Fineness = Fineness {
    heat: 1e-6,
    progress: 1e-6,
    stride: 1.0,
    longest: 0.5,
    corner: 1.0,
    most: 200_000,
};

fn still(_: f64, _: f64) -> Pace {
    Pace {
        rate: 0.0,
        by_heat: 0.0,
        by_progress: 0.0,
    }
}

fn uniform(nodes: usize, heat: f64) -> State {
    State {
        heat: vec![heat; nodes],
        progress: vec![0.0; nodes],
    }
}

/// Middle and face of a slab of half-thickness 1 that cools from 1 to 0 through films of this Biot number.
fn cooled(shape: Shape, biot: f64, fourier: f64, nodes: usize) -> (f64, f64) {
    let shells = Shells::new(shape, 1.0, nodes);
    let through = Through {
        diffusivity: 1.0,
        films: [0.0, biot],
        rise: 0.0,
    };
    let mut end = (0.0, 0.0);
    let done = conduct(
        Heated {
            shells: &shells,
            through: &through,
        },
        uniform(nodes, 1.0),
        (0.0, fourier),
        still,
        |_| [0.0, 0.0],
        FINE,
        |_, now| {
            end = (now.heat[0], now.heat[nodes - 1]);
            false
        },
    );
    assert!(done);
    end
}

/// The series of a slab: sum of C cos(z x) exp(-z^2 Fo), with z tan z = Bi (Carslaw and Jaeger 1959, from memory).
fn series(biot: f64, fourier: f64, x: f64) -> f64 {
    (0..40)
        .map(|n| {
            let (mut low, mut high) = (
                f64::from(n) * std::f64::consts::PI + 1e-12,
                (f64::from(n) + 0.5) * std::f64::consts::PI - 1e-12,
            );
            for _ in 0..200 {
                let z = 0.5 * (low + high);
                if z * z.tan() < biot {
                    low = z;
                } else {
                    high = z;
                }
            }
            let z = 0.5 * (low + high);
            let c = 4.0 * z.sin() / (2.0 * z + (2.0 * z).sin());
            c * (z * x).cos() * (-z * z * fourier).exp()
        })
        .sum()
}

#[test]
fn a_slab_cools_as_the_series_says() {
    for biot in [0.1, 1.0, 10.0] {
        for fourier in [0.05, 0.2, 1.0, 3.0] {
            let (middle, face) = cooled(Shape::Slab, biot, fourier, 81);
            assert!(
                (middle - series(biot, fourier, 0.0)).abs() < 1e-3,
                "{biot} {fourier}"
            );
            assert!(
                (face - series(biot, fourier, 1.0)).abs() < 1e-3,
                "{biot} {fourier}"
            );
        }
    }
}

#[test]
fn cylinder_and_sphere_cool_as_the_first_term_says() {
    // One-term coefficients for Bi = 1 (Incropera et al., table 5.1, from memory): z 1.2558, C 1.2071; z 1.5708, C 1.2732.
    for (shape, z, c) in [
        (Shape::Cylinder, 1.2558_f64, 1.2071),
        (Shape::Sphere, std::f64::consts::FRAC_PI_2, 1.2732),
    ] {
        let (middle, _) = cooled(shape, 1.0, 0.8, 81);
        assert!(
            (middle - c * (-z * z * 0.8).exp()).abs() < 5e-4,
            "{shape:?} {middle}"
        );
    }
}

#[test]
fn halving_the_shells_quarters_what_is_off() {
    let off = |nodes| (cooled(Shape::Slab, 1.0, 0.3, nodes).0 - series(1.0, 0.3, 0.0)).abs();
    let (coarse, fine) = (off(11), off(21));
    assert!(
        coarse / fine > 3.6 && coarse / fine < 4.4,
        "{coarse} {fine}"
    );
}

#[test]
fn third_order_in_time() {
    // Fixed steps: everything accepted, the stride alone counts.
    let after = |h: f64| {
        let shells = Shells::new(Shape::Slab, 1.0, 5);
        let through = Through {
            diffusivity: 0.3,
            films: [0.2, 1.0],
            rise: 0.7,
        };
        let fixed = Fineness {
            heat: 1e9,
            progress: 1e9,
            stride: 1e9,
            longest: h,
            ..FINE
        };
        let pace = |u: f64, w: f64| Pace {
            rate: (1.0 - w) * (0.4 * u).exp(),
            by_heat: 0.4 * (1.0 - w) * (0.4 * u).exp(),
            by_progress: -(0.4 * u).exp(),
        };
        let mut end = 0.0;
        // Begin with full steps.
        let mut start = uniform(5, 0.5);
        start.progress = vec![0.1; 5];
        conduct(
            Heated {
                shells: &shells,
                through: &through,
            },
            start,
            (0.0, 1.0),
            pace,
            |t| [t, 0.0],
            fixed,
            |_, now| {
                end = now.heat[2] + now.progress[2];
                false
            },
        );
        end
    };
    let best = after(0.001);
    let (coarse, fine) = (after(0.1) - best, after(0.05) - best);
    let ratio = (coarse / fine).abs();
    assert!(ratio > 6.0 && ratio < 10.5, "{ratio}: {coarse} {fine}");
}

/// Whether a body that makes heat as delta exp(theta) runs away.
fn runs_away(shape: Shape, delta: f64, film: f64, nodes: usize) -> bool {
    let shells = Shells::new(shape, 1.0, nodes);
    let through = Through {
        diffusivity: 1.0,
        films: [0.0, film],
        rise: 1.0,
    };
    let pace = |theta: f64, _: f64| {
        let rate = delta * theta.min(50.0).exp();
        Pace {
            rate,
            by_heat: rate,
            by_progress: 0.0,
        }
    };
    let fine = Fineness {
        heat: 1e-4,
        progress: 1e-3,
        stride: 1e9,
        longest: 5.0 / film.min(1.0),
        ..FINE
    };
    // Slow where the film is all that holds heat back.
    let slow = 1.0 / film.min(1.0);
    let mut away = false;
    conduct(
        Heated {
            shells: &shells,
            through: &through,
        },
        uniform(nodes, 0.0),
        (0.0, 400.0 * slow),
        pace,
        |_| [0.0, 0.0],
        fine,
        |_, now| {
            // Beyond the hottest steady state of all shapes (1.61 in the sphere, from memory) there is no way back.
            away = now.heat[0] > 4.0;
            away
        },
    );
    away
}

fn critical(away: impl Fn(f64) -> bool, mut low: f64, mut high: f64) -> f64 {
    for _ in 0..14 {
        let delta = 0.5 * (low + high);
        if away(delta) {
            high = delta;
        } else {
            low = delta;
        }
    }
    0.5 * (low + high)
}

#[test]
fn finds_the_critical_values_of_frank_kamenetskii() {
    // 0.878, 2.00 and 3.32 for slab, cylinder and sphere with their face at ambient (Frank-Kamenetskii; two papers quote them).
    for (shape, known) in [
        (Shape::Slab, 0.878),
        (Shape::Cylinder, 2.00),
        (Shape::Sphere, 3.32),
    ] {
        let found = |nodes| {
            critical(
                |d| runs_away(shape, d, 1e6, nodes),
                0.5 * known,
                2.0 * known,
            )
        };
        let (coarse, fine) = (found(11), found(41));
        assert!((fine / known - 1.0).abs() < 0.005, "{shape:?} {fine}");
        assert!(
            (fine - known).abs() <= (coarse - known).abs() + 0.002 * known,
            "{coarse} {fine}"
        );
    }
}

#[test]
fn finds_semenovs_limit_when_the_film_is_all_that_holds_heat_back() {
    // psi = delta / (Bi S/V) = 1/e; for a slab of half-thickness 1, S/V is 1.
    let film = 1e-3;
    let found = critical(|d| runs_away(Shape::Slab, d, film, 5), 0.1 * film, film);
    let psi = found / film;
    assert!((psi * std::f64::consts::E - 1.0).abs() < 0.01, "{psi}");
}

#[test]
fn what_is_shut_in_keeps_its_heat() {
    let shells = Shells::new(Shape::Slab, 1.0, 9);
    let through = Through {
        diffusivity: 1.0,
        films: [0.0, 0.0],
        rise: 50.0,
    };
    let pace = |_: f64, w: f64| Pace {
        rate: 1.0 - w,
        by_heat: 0.0,
        by_progress: -1.0,
    };
    let mut end = uniform(9, 0.0);
    assert!(conduct(
        Heated {
            shells: &shells,
            through: &through
        },
        uniform(9, 20.0),
        (0.0, 20.0),
        pace,
        |_| [0.0; 2],
        FINE,
        |_, now| {
            end = now.clone();
            false
        }
    ));
    for i in 0..9 {
        assert!((end.heat[i] - 70.0).abs() < 1e-3 && (end.progress[i] - 1.0).abs() < 1e-5);
    }
}

#[test]
fn no_short_spell_outside_is_stepped_over() {
    let shells = Shells::new(Shape::Slab, 1.0, 3);
    let through = Through {
        diffusivity: 1.0,
        films: [1.0, 1.0],
        rise: 0.0,
    };
    let spell = |t: f64| {
        if (700.0..701.0).contains(&t) {
            [100.0; 2]
        } else {
            [0.0; 2]
        }
    };
    let fine = Fineness {
        longest: 3.0,
        ..FINE
    };
    let mut most = 0.0_f64;
    let done = conduct(
        Heated {
            shells: &shells,
            through: &through,
        },
        uniform(3, 0.0),
        (0.0, 1000.0),
        still,
        spell,
        fine,
        |_, now| {
            most = most.max(now.heat[0]);
            false
        },
    );
    assert!(done);
    assert!(most > 40.0, "{most}");
}

#[test]
fn gives_up_rather_than_go_on_for_ever() {
    let shells = Shells::new(Shape::Slab, 1.0, 3);
    let through = Through {
        diffusivity: 1.0,
        films: [1.0, 1.0],
        rise: 0.0,
    };
    let few = Fineness { most: 3, ..FINE };
    assert!(!conduct(
        Heated {
            shells: &shells,
            through: &through
        },
        uniform(3, 1.0),
        (0.0, 1e3),
        still,
        |_| [0.0; 2],
        few,
        |_, _| false
    ));
    let lost = |_: f64, _: f64| Pace {
        rate: f64::NAN,
        by_heat: 0.0,
        by_progress: 0.0,
    };
    assert!(!conduct(
        Heated {
            shells: &shells,
            through: &through
        },
        uniform(3, 1.0),
        (0.0, 1.0),
        lost,
        |_| [0.0; 2],
        few,
        |_, _| false
    ));
}

#[test]
fn shells_fill_the_body() {
    use std::f64::consts::PI;
    // Volumes of slab, cylinder and sphere per unit of area, of angle and length, of solid angle.
    for (shape, whole) in [
        (Shape::Slab, 2.0),
        (Shape::Cylinder, PI * 4.0 / (2.0 * PI)),
        (Shape::Sphere, 4.0 / 3.0 * PI * 8.0 / (4.0 * PI)),
    ] {
        for nodes in [3, 4, 11, 40] {
            let volume = Shells::new(shape, 2.0, nodes).volume();
            assert!((volume / whole - 1.0).abs() < 1e-12, "{shape:?} {nodes}");
        }
    }
}
