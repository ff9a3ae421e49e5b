//! Reads a mesh with its feeds from a file or standard input, and prints when resin reaches each of its points.

use bastwork::law::front_map::{Bed, FrontMap};
use bastwork::solve::surface::Triangles;
use serde::Deserialize;
use serde_json::{Value, json};
use std::error::Error;
use std::io::Read;
use std::process::ExitCode;
use std::time::Instant;

/// A mesh, what lies in it, and where resin enters.
#[derive(Deserialize)]
struct Asked {
    vertices_m: Vec<[f64; 3]>,
    triangles: Vec<[u32; 3]>,
    feed_nodes: Vec<u32>,
    #[serde(default)]
    vent_nodes: Vec<u32>,
    #[serde(default)]
    vents_open: bool,
    permeability_m2: f64,
    viscosity_pa_s: f64,
    porosity: f64,
    driving_pressure_pa: f64,
    thickness_m: f64,
}

fn main() -> ExitCode {
    match run() {
        Ok(told) => {
            println!("{told}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{}", json!([{ "sentence": why.to_string() }]));
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<Value, Box<dyn Error>> {
    let path = std::env::args().nth(1).unwrap_or_else(|| "-".into());
    let text = if path == "-" {
        let mut text = String::new();
        std::io::stdin().read_to_string(&mut text)?;
        text
    } else {
        std::fs::read_to_string(&path)?
    };
    let asked: Asked = serde_json::from_str(&text)?;
    let vents: &[u32] = if asked.vents_open {
        &asked.vent_nodes
    } else {
        &[]
    };
    let bed = Bed {
        permeability: asked.permeability_m2,
        porosity: asked.porosity,
        thickness: asked.thickness_m,
    };
    let began = Instant::now();
    let surface = Triangles::new(asked.vertices_m, asked.triangles)?;
    let mut map = FrontMap::even(&surface, &bed)?;
    let gates = map.gates(&asked.feed_nodes, vents)?;
    let filled = map.fill_time(&gates, asked.viscosity_pa_s, asked.driving_pressure_pa)?;
    let first = began.elapsed();
    let arrival = map.arrival(&gates, asked.viscosity_pa_s, asked.driving_pressure_pa)?;
    let whole = began.elapsed();
    let seconds: Vec<Option<f64>> = arrival
        .iter()
        .map(|t| t.is_finite().then_some(*t))
        .collect();
    Ok(json!({
        "fill_time_s": filled.time,
        "last_node": filled.last,
        "arrival_s": seconds,
        "milliseconds": {
            "fill_time": first.as_secs_f64() * 1e3,
            "map": whole.as_secs_f64() * 1e3,
        },
    }))
}
