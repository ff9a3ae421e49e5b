//! Drying in an oven and under a bag against integrations made elsewhere, the trade and handbooks; and what always holds.

use super::ovens::Draws;
use bastwork::law::bag_drying::{Bagged, VapourPath, bag_track, lines};
use bastwork::law::oven::{Air, Layup, drying_time, drying_track, heated_activity};
use bastwork::law::{sorption, water_vapour};
use bastwork_tests::vectors::{Row, table};

fn layup(dry_areal_mass: f64, height: f64) -> Layup {
    Layup {
        dry_areal_mass,
        height,
        faces_open: 2,
        resistance_factor: 3.0,
        cover: 0.0,
        scale: 0.70,
        start_temperature: 293.15,
    }
}

fn air(celsius: f64, room_humidity: f64, film_coefficient: f64) -> Air {
    let temperature = celsius + 273.15;
    Air {
        temperature,
        activity: heated_activity(293.15, room_humidity, temperature).unwrap(),
        film_coefficient,
        room_per_area: None,
    }
}

const LEVELS: [(&str, f64); 4] = [("s_3", 0.03), ("s_2", 0.02), ("s_15", 0.015), ("s_1", 0.01)];

#[test]
fn an_oven_meets_an_integration_made_elsewhere() {
    let (mut seen, mut never) = (0, 0);
    for row in table("drying_oven.csv") {
        let stack = Layup {
            faces_open: if row.x("faces_open") > 1.5 { 2 } else { 1 },
            cover: row.x("cover"),
            ..layup(row.x("dry_areal_mass"), row.x("height"))
        };
        let room = row.x("room_per_area");
        let around = Air {
            room_per_area: (room > 0.0).then_some(room),
            ..air(row.x("oven_c"), row.x("room_humidity"), row.x("film"))
        };
        let track = drying_track(&stack, &around, row.x("start_regain"), 3e5).unwrap();
        for (column, level) in LEVELS {
            let (wanted, got) = (row.x(column), drying_time(&track, level));
            match got {
                Some(got) => {
                    seen += 1;
                    assert!((got / wanted - 1.0).abs() < 3e-3, "{column} {got}: {row:?}");
                }
                None => {
                    never += 1;
                    assert!(wanted < 0.0, "{column}: {row:?}");
                }
            }
        }
        // A track ends a five hundredth before its balance.
        let near = 2.5e-3 * row.x("start_regain");
        for (column, time) in [("m_1800", 1800.0), ("m_7200", 7200.0)] {
            let (wanted, got) = (row.x(column), track.at(time)[0]);
            assert!((got - wanted).abs() < near, "{column} {got}: {row:?}");
        }
    }
    assert!(seen > 50 && never > 10, "{seen} {never}");
}

#[test]
fn a_bag_meets_an_integration_made_elsewhere() {
    let mut seen = 0;
    for row in table("drying_bag.csv") {
        let track = bag_track(&bag_of(&row), row.x("start_regain"), 0.0, 1.5e6).unwrap();
        for (column, level) in LEVELS {
            let (wanted, got) = (row.x(column), drying_time(&track, level));
            match got {
                Some(got) => {
                    seen += 1;
                    assert!((got / wanted - 1.0).abs() < 6e-3, "{column} {got}: {row:?}");
                }
                None => assert!(wanted < 0.0, "{column}: {row:?}"),
            }
        }
    }
    assert!(seen > 60, "{seen}");
}

fn bag_of(row: &Row) -> Bagged {
    let transmissivity = row.x("transmissivity");
    Bagged {
        bleed: row.x("bleed"),
        pump_ultimate: row.x("ultimate"),
        path: (transmissivity > 0.0).then(|| VapourPath {
            transmissivity,
            width: 1.0,
            length: row.x("length"),
        }),
        ..bag(row.x("celsius"))
    }
}

fn bag(celsius: f64) -> Bagged {
    Bagged {
        dry_mass: 2.77,
        area: 1.0,
        scale: 0.70,
        temperature: celsius + 273.15,
        heat_coefficient: 10.0,
        pump_speed: 10.0 / 3600.0,
        pump_ultimate: 100.0,
        path: None,
        bleed: 0.0,
    }
}

#[test]
fn saturation_meets_the_reference_equation_closely() {
    let mut seen = 0;
    for row in table("saturation_pressure.csv") {
        if row.x("t_c") <= 105.0 && row.source.contains("IAPWS-95") {
            let got = water_vapour::saturation_pressure(row.x("t_c") + 273.15).unwrap();
            assert!((got / row.x("p_pa") - 1.0).abs() < 2e-4, "{got}: {row:?}");
            seen += 1;
        }
    }
    assert!(seen > 20, "{seen}");
}

#[test]
fn nothing_that_helps_ever_slows_an_oven() {
    let mut draws = Draws::new(5);
    for _ in 0..200 {
        let (plies, celsius) = (draws.between(1.0, 16.0), draws.between(50.0, 95.0));
        let (humidity, film) = (draws.between(0.25, 0.6), draws.between(5.0, 30.0));
        let stack = layup(0.277 * plies, 0.7e-3 * plies);
        let around = air(celsius, humidity, film);
        let time = |stack: &Layup, air: &Air| {
            let track = drying_track(stack, air, 0.065, 1e6).unwrap();
            drying_time(&track, 0.025).unwrap_or(f64::INFINITY)
        };
        let as_it_is = time(&stack, &around);
        let at_most = |other: f64, what: &str| {
            assert!(
                other <= as_it_is * (1.0 + 1e-4),
                "{what}: {other} for {as_it_is}"
            );
        };
        at_most(
            time(&stack, &air(celsius, 0.8 * humidity, film)),
            "drier air",
        );
        at_most(time(&stack, &air(celsius + 5.0, humidity, film)), "hotter");
        at_most(
            time(&stack, &air(celsius, humidity, 1.2 * film)),
            "more wind",
        );
        at_most(
            time(&layup(0.25 * plies, 0.65e-3 * plies), &around),
            "thinner",
        );
        let one_face = Layup {
            faces_open: 1,
            ..stack
        };
        let covered = Layup {
            cover: draws.between(0.0, 0.1),
            ..stack
        };
        let shut = Air {
            room_per_area: Some(draws.between(0.3, 30.0)),
            ..around
        };
        for (slower, what) in [
            (time(&one_face, &around), "one face"),
            (time(&covered, &around), "a film over it"),
            (time(&stack, &shut), "shut"),
        ] {
            assert!(
                slower >= as_it_is * (1.0 - 1e-4),
                "{what}: {slower} for {as_it_is}"
            );
        }
    }
}

#[test]
fn nothing_that_helps_ever_slows_a_bag() {
    let mut draws = Draws::new(6);
    let between = |draws: &mut Draws, low: f64, high: f64| draws.between(low.ln(), high.ln()).exp();
    for _ in 0..150 {
        let area = draws.between(0.2, 2.0);
        let (run, easy) = (draws.between(0.2, 1.5), between(&mut draws, 1e-12, 1e-10));
        let count = draws.between(1.0, 4.0) as u32;
        let base = Bagged {
            dry_mass: 2.77 * area,
            area,
            pump_ultimate: between(&mut draws, 50.0, 1000.0),
            path: Some(lines(easy, run, area, count).unwrap()),
            bleed: if draws.chance(0.5) {
                0.0
            } else {
                between(&mut draws, 1e-3, 1.0)
            },
            ..bag(draws.between(35.0, 75.0))
        };
        let time = |bagged: &Bagged| {
            let track = bag_track(bagged, 0.065, 0.0, 1e7).unwrap();
            drying_time(&track, 0.02).unwrap_or(f64::INFINITY)
        };
        let as_it_is = time(&base);
        let path = |run: f64, count: u32| Some(lines(easy, run, area, count).unwrap());
        for (better, what) in [
            (
                Bagged {
                    path: path(0.8 * run, count),
                    ..base
                },
                "a shorter path",
            ),
            (
                Bagged {
                    path: path(run, count + 1),
                    ..base
                },
                "one more line",
            ),
            (Bagged { path: None, ..base }, "no path"),
            (
                Bagged {
                    bleed: base.bleed + 0.05,
                    ..base
                },
                "more bleed",
            ),
            (
                Bagged {
                    temperature: base.temperature + 5.0,
                    ..base
                },
                "warmer",
            ),
            (
                Bagged {
                    pump_ultimate: 0.8 * base.pump_ultimate,
                    ..base
                },
                "a deeper pump",
            ),
        ] {
            let faster = time(&better);
            assert!(
                faster <= as_it_is * 1.003,
                "{what}: {faster} for {as_it_is}: {base:?}"
            );
        }
    }
}

#[test]
fn a_bleed_dries_below_what_the_pump_alone_allows() {
    // 20 mbar in the bag at 30 °C hold the cloth at 6 %; with dry air swept through the pressure stays, the water goes.
    let tight = Bagged {
        pump_ultimate: 2_000.0,
        ..bag(30.0)
    };
    let track = bag_track(&tight, 0.065, 0.0, 1e6).unwrap();
    assert!(drying_time(&track, 0.055).is_none());
    let swept = Bagged {
        bleed: 3.0,
        ..tight
    };
    let track = bag_track(&swept, 0.065, 0.0, 1e6).unwrap();
    assert!(drying_time(&track, 0.01).is_some());
    // A bleed so small that it does not matter is none.
    let hardly = Bagged {
        bleed: 1e-9,
        ..bag(40.0)
    };
    let time = |b: &Bagged| drying_time(&bag_track(b, 0.065, 0.0, 1e6).unwrap(), 0.02).unwrap();
    assert!((time(&hardly) / time(&bag(40.0)) - 1.0).abs() < 2e-3);
}

#[test]
fn a_shut_oven_keeps_its_water() {
    // Where it settles, the air holds what it had and what the cloth lost, at most all it can, and the isotherm at that
    // humidity is the cloth's regain.
    let mut draws = Draws::new(7);
    for _ in 0..100 {
        let (mass, room) = (draws.between(0.2, 4.0), draws.between(0.2, 20.0));
        let stack = layup(mass, 2.5e-3 * mass);
        let around = Air {
            room_per_area: Some(room),
            ..air(draws.between(40.0, 95.0), 0.5, 20.0)
        };
        let start = 0.065;
        let track = drying_track(&stack, &around, start, 3e6).unwrap();
        let regain = track.end().1[0];
        let full = water_vapour::vapour_density(around.temperature, 1.0).unwrap();
        let holds = (around.activity + mass * (start - regain) / (full * room)).min(1.0);
        let balance = sorption::flax_regain(0.70, around.temperature, holds).unwrap();
        // The track stops a five hundredth of its way before its balance, up to 0.2 K too cold.
        let near = 2.2e-3 * (start - balance).abs() + 1.5e-4;
        assert!(
            (regain - balance).abs() < near,
            "{regain} {balance} {around:?}"
        );
        // And along the way no water is made: the air never holds more than its cloth gave.
        for pair in track.y.windows(2) {
            assert!(pair[1][0] <= pair[0][0] + 1e-4, "{pair:?}");
        }
    }
}

#[test]
fn the_cotton_slab_of_the_handbook_lies_between_one_face_and_two() {
    // Morton and Hearle 2008, Table 9.5: cotton, 2.5 cm, 7 % at 18 °C: half of the change in 12 h. Bulk density 0.5 g/cm3
    // (from memory). D = D_air / f * rho_sat / (rho_bulk dM/dh); half of it at D t / l^2 = 0.1967 (diffusion, textbook).
    let t = 291.15;
    let regain = |h: f64| sorption::flax_regain(0.70, t, h).unwrap();
    let h = sorption::activity(0.70, t, 0.07).unwrap();
    let steep = (regain(h + 0.01) - regain(h - 0.01)) / 0.02;
    let spreads = water_vapour::diffusivity_in_air(t).unwrap() / 3.0;
    let d = spreads * water_vapour::vapour_density(t, 1.0).unwrap() / (500.0 * steep);
    let half = |depth: f64| 0.1967 * depth * depth / d / 3600.0;
    let (two, one) = (half(0.0125), half(0.025));
    assert!(two < 12.0 && 12.0 < one, "{two} {one}");
    assert!(
        (two / 3.7 - 1.0).abs() < 0.1 && (one / 15.0 - 1.0).abs() < 0.1,
        "{two} {one}"
    );
}

#[test]
fn the_trade_agrees_where_it_should() {
    // Common practice, no source: two hours at 60 °C take nearly all of it; five hours under vacuum most of it.
    let start = sorption::flax_regain(0.70, 293.15, 0.5).unwrap();
    let left = |plies: f64, hours: f64| {
        let stack = layup(0.277 * plies, 0.7e-3 * plies);
        drying_track(&stack, &air(60.0, 0.5, 6.0), start, 1e6)
            .unwrap()
            .at(3600.0 * hours)[0]
    };
    assert!(left(10.0, 2.0) < 0.01, "ten plies open both sides");
    assert!(left(40.0, 2.0) > 0.02, "not a thick stack in still air");
    let under = |bagged: &Bagged| bag_track(bagged, start, 0.0, 1e6).unwrap().at(5.0 * 3600.0)[0];
    let mesh = lines(3e-12, 0.5, 0.5, 1).unwrap();
    assert!(under(&bag(20.0)) < 0.02, "an open path");
    assert!(
        under(&Bagged {
            path: Some(mesh),
            ..bag(20.0)
        }) > 0.04,
        "a cold mould and a mesh"
    );
    assert!(
        under(&Bagged {
            path: Some(mesh),
            ..bag(40.0)
        }) < 0.025,
        "a warm one"
    );
}

#[test]
fn heat_of_wetting_out_of_the_isotherm() {
    // Clausius and Clapeyron: q = -R_v d ln h / d (1 / T) at one regain. Arithmetic check, 20 to 40 °C, kJ/kg of water.
    let heat = |regain: f64| {
        let ln = |t: f64| sorption::activity(0.70, t, regain).unwrap().ln();
        let (cold, warm) = (293.15, 313.15);
        -461.523 * (ln(warm) - ln(cold)) / (1.0 / warm - 1.0 / cold) / 1e3
    };
    for (regain, wanted) in [(0.01, 280.0), (0.05, 210.0), (0.10, 100.0)] {
        let got = heat(regain);
        assert!(
            (got - wanted).abs() < 0.08 * wanted + 5.0,
            "{regain}: {got}"
        );
    }
    // Morton and Hearle 2008, Table 8.1: 55 J/g of flax from dry to wet; the isotherm knows less than half of it.
    let whole: f64 = (0..200)
        .map(|i| 1e-3 * heat(1e-3 * (f64::from(i) + 0.5)).max(0.0))
        .sum();
    assert!((10.0..55.0).contains(&whole), "{whole} J/g");
}
