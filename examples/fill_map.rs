//! Reads a mesh with its feeds from a file or standard input, and prints when resin reaches each of its points.

use bastwork::law::front_map::{Bed, FrontMap};
use bastwork::solve::surface::Triangles;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::Write;
use std::process::ExitCode;
use std::time::Instant;

/// What the program ends with where resin does not come to all of the part.
const PARTLY: u8 = 3;

/// A mesh, what lies in it, and where resin enters.
struct Asked {
    vertices_m: Vec<[f64; 3]>,
    triangles: Vec<[u32; 3]>,
    feed_nodes: Vec<u32>,
    vent_nodes: Vec<u32>,
    vents_open: bool,
    bed: Bed,
    viscosity_pa_s: f64,
    driving_pressure_pa: f64,
}

fn main() -> ExitCode {
    match run() {
        Ok(told) => {
            // Whoever reads may have enough and close the pipe: then there is nothing left to tell.
            let _ = writeln!(std::io::stdout(), "{told}");
            match told["problems"].as_array() {
                Some(problems) if !problems.is_empty() => {
                    eprintln!("{}", told["problems"]);
                    ExitCode::from(PARTLY)
                }
                _ => ExitCode::SUCCESS,
            }
        }
        Err(problems) => {
            let problems: Vec<Value> = problems.iter().map(|p| json!({ "sentence": p })).collect();
            eprintln!("{}", Value::from(problems));
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<Value, Vec<String>> {
    let path = std::env::args().nth(1).unwrap_or_else(|| "-".into());
    let text = if path == "-" {
        std::io::read_to_string(std::io::stdin())
    } else {
        std::fs::read_to_string(&path)
    };
    let text = text.map_err(|_| vec![format!("The file {path} could not be read. Give a mesh in a JSON file, or - and the mesh on standard input.")])?;
    let document: Value = serde_json::from_str(&text).map_err(|why| {
        vec![format!(
            "This is not JSON from line {}, column {} on. Write the mesh anew, or mend that place.",
            why.line(),
            why.column()
        )]
    })?;
    let asked = read(&document)?;
    let one = |why: &dyn std::fmt::Display| vec![why.to_string()];
    let vents: &[u32] = if asked.vents_open {
        &asked.vent_nodes
    } else {
        &[]
    };
    let began = Instant::now();
    let surface = Triangles::new(asked.vertices_m, asked.triangles).map_err(|why| one(&why))?;
    let shares = shares(&surface);
    let mut map = FrontMap::even(&surface, &asked.bed).map_err(|why| one(&why))?;
    let gates = map
        .gates(&asked.feed_nodes, vents)
        .map_err(|why| one(&why))?;
    let (mu, dp) = (asked.viscosity_pa_s, asked.driving_pressure_pa);
    let filled = map.fill_time(&gates, mu, dp).map_err(|why| one(&why))?;
    let first = began.elapsed();
    let (arrival, off) = map
        .arrival_with_off(&gates, mu, dp)
        .map_err(|why| one(&why))?;
    let whole = began.elapsed();
    if arrival.iter().all(|t| t.is_nan()) {
        return Err(vec!["No feed lies on a corner of a triangle, so resin comes nowhere. Put feed_nodes on the part.".into()]);
    }
    let seconds: Vec<Option<f64>> = arrival
        .iter()
        .map(|t| t.is_finite().then_some(*t))
        .collect();
    let left = |(share, second): &(&f64, &Option<f64>)| **share > 0.0 && second.is_none();
    let dry: Vec<f64> = shares
        .iter()
        .zip(&seconds)
        .filter(left)
        .map(|(share, _)| *share)
        .collect();
    let reached = 1.0 - dry.iter().sum::<f64>();
    let mut problems = Vec::new();
    if !dry.is_empty() {
        problems.push(json!({ "sentence": format!(
            "Resin comes to {} of the part, in {:.3} s, and never to {} of its {} points: they are joined to no feed, or an open vent cuts them off. If the triangles came without shared corners, join corners that lie on one spot, or name a feed on every piece.",
            percent(reached), filled.time, dry.len(), shares.iter().filter(|share| **share > 0.0).count(),
        ) }));
    }
    Ok(json!({
        "fill_time_s": filled.time,
        "last_node": filled.last,
        "reached_share": reached,
        "problems": problems,
        "arrival_s": seconds,
        "off_share": { "rms": off.rms, "worst": off.worst },
        "feeds_of_one_node": lone_feeds(&surface, &asked.feed_nodes),
        "milliseconds": {
            "fill_time": first.as_secs_f64() * 1e3,
            "map": whole.as_secs_f64() * 1e3,
        },
    }))
}

/// Feeds that stand alone, each with the radius of the hole that it stands for: a lone corner of a mesh feeds as a hole of
/// a fifth of a cell does, so a finer mesh has a smaller one. On squares it is e^-gamma / sqrt(8) of a side, textbook.
fn lone_feeds(surface: &Triangles, feeds: &[u32]) -> Vec<Value> {
    const OF_A_CELL: f64 = 0.2;
    let mut is_feed = vec![false; surface.points.len()];
    feeds.iter().for_each(|&i| is_feed[i as usize] = true);
    // Around each lone feed: area that belongs to it, and angle over a whole turn.
    let mut around: BTreeMap<u32, (f64, f64)> = BTreeMap::new();
    let mut joined = vec![false; surface.points.len()];
    for (t, corners) in surface.corners.iter().enumerate() {
        let fed: Vec<usize> = (0..3).filter(|&k| is_feed[corners[k] as usize]).collect();
        for &k in &fed {
            let [own, a, b] = [k, (k + 1) % 3, (k + 2) % 3].map(|k| corners[k]);
            joined[own as usize] |= fed.len() > 1;
            let [p, q, r] = [own, a, b].map(|i| surface.points[i as usize]);
            let side = |to: [f64; 3]| [0, 1, 2].map(|k| to[k] - p[k]);
            let (u, v) = (side(q), side(r));
            let dot: f64 = u.iter().zip(v).map(|(a, b)| a * b).sum();
            let double = 2.0 * surface.area_of(t);
            let sum = around.entry(own).or_default();
            sum.0 += double / 6.0;
            sum.1 += double.atan2(dot) / std::f64::consts::TAU;
        }
    }
    around
        .into_iter()
        .filter(|&(i, (area, turn))| !joined[i as usize] && area > 0.0 && turn > 0.0)
        .map(|(i, (area, turn))| json!({ "node": i, "hole_radius_m": OF_A_CELL * (area / turn).sqrt() }))
        .collect()
}

/// A share as a percentage that is never rounded to all or nothing.
fn percent(share: f64) -> String {
    let hundredths = share * 100.0;
    if hundredths > 99.9 {
        "all but a trace".into()
    } else if hundredths < 0.1 {
        "less than 0.1 %".into()
    } else {
        format!("{hundredths:.1} %")
    }
}

/// Share of the area that belongs to each point; nought for points of no triangle.
fn shares(surface: &Triangles) -> Vec<f64> {
    let mut shares = vec![0.0; surface.points.len()];
    for corners in &surface.corners {
        let [a, b, c] = corners.map(|i| surface.points[i as usize]);
        let side = |p: [f64; 3]| [0, 1, 2].map(|k| p[k] - a[k]);
        let (u, v) = (side(b), side(c));
        let cross = [1, 2, 0]
            .into_iter()
            .zip([2, 0, 1])
            .map(|(j, k)| u[j] * v[k] - u[k] * v[j]);
        let area = cross.map(|x| x * x).sum::<f64>().sqrt();
        for &i in corners {
            shares[i as usize] += area;
        }
    }
    let all = shares.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    shares.iter().map(|share| share / all).collect()
}

/// The mesh of a document, or every problem with it at once.
fn read(document: &Value) -> Result<Asked, Vec<String>> {
    let mut problems = Vec::new();
    let vertices_m = list(
        document,
        "vertices_m",
        "corners as [x, y, z] in metres",
        &mut problems,
        |v| row::<3, _>(v, Value::as_f64),
    );
    let given = document.get("vertices_m").and_then(Value::as_array);
    let count = given.map_or(0, Vec::len) as u64;
    let node = |v: &Value| {
        v.as_u64()
            .filter(|i| *i < count)
            .and_then(|i| u32::try_from(i).ok())
    };
    let triangles = list(
        document,
        "triangles",
        "three numbers of corners each, from 0 on",
        &mut problems,
        |v| row::<3, _>(v, node),
    );
    let feed_nodes = list(
        document,
        "feed_nodes",
        "numbers of corners, from 0 on",
        &mut problems,
        node,
    );
    let vent_nodes = if document.get("vent_nodes").is_some() {
        list(
            document,
            "vent_nodes",
            "numbers of corners, from 0 on",
            &mut problems,
            node,
        )
    } else {
        Vec::new()
    };
    if feed_nodes.is_empty()
        && document
            .get("feed_nodes")
            .is_some_and(|list| list == &json!([]))
    {
        problems.push(
            "feed_nodes is empty: resin has to come in somewhere. Name at least one corner.".into(),
        );
    }
    let mut number = |key: &str, unit: &str, most: f64| {
        let found = document
            .get(key)
            .and_then(Value::as_f64)
            .filter(|x| *x > 0.0 && *x <= most);
        if found.is_none() {
            problems.push(format!("{key} needs a number above nought [{unit}]."));
        }
        found.unwrap_or(1.0)
    };
    let bed = Bed {
        permeability: number("permeability_m2", "m2", f64::MAX),
        porosity: number("porosity", "a share, up to 1", 1.0),
        thickness: number("thickness_m", "m", f64::MAX),
    };
    let viscosity_pa_s = number("viscosity_pa_s", "Pa s", f64::MAX);
    let driving_pressure_pa = number("driving_pressure_pa", "Pa", f64::MAX);
    if !problems.is_empty() {
        return Err(problems);
    }
    Ok(Asked {
        vertices_m,
        triangles,
        feed_nodes,
        vent_nodes,
        vents_open: document["vents_open"] == true,
        bed,
        viscosity_pa_s,
        driving_pressure_pa,
    })
}

/// A list of which every entry is as it should be; the first that is not is told.
fn list<T>(
    document: &Value,
    key: &str,
    holds: &str,
    problems: &mut Vec<String>,
    read: impl Fn(&Value) -> Option<T>,
) -> Vec<T> {
    let Some(found) = document.get(key).and_then(Value::as_array) else {
        problems.push(format!("{key} needs a list: {holds}."));
        return Vec::new();
    };
    let mut good = Vec::with_capacity(found.len());
    for (i, value) in found.iter().enumerate() {
        let Some(value) = read(value) else {
            problems.push(format!(
                "{key}, entry {i}, cannot be used: it holds {holds}."
            ));
            break;
        };
        good.push(value);
    }
    good
}

/// So many values in a list of just as many.
fn row<const N: usize, T>(value: &Value, read: impl Fn(&Value) -> Option<T>) -> Option<[T; N]> {
    let list = value.as_array().filter(|list| list.len() == N)?;
    let read: Vec<T> = list.iter().filter_map(read).collect();
    read.try_into().ok()
}
