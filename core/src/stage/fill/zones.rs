//! The stacks of zones that have their own, and what zones and channels add to fibre and resin of the part.

use super::drawn::{Laid, Set, far};
use crate::law::{LawError, flow};
use crate::plan::{Channel, Drawing, Lies, Section};
use crate::shape::{Shape, inside};
use crate::sheet::Spread;
use crate::solve::surface::Triangles;
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::stack::{Laid as Row, More, Stacked, lay_zone, resin_density};

/// Triangles of a part whose zones are measured: they are cut along the zones.
const TRIANGLES: usize = 500;

/// Lays the stacks of zones, and adds what zones hold beyond the stack of the part.
pub(crate) fn lay_zones(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &mut Stacked,
) -> Result<(), LawError> {
    let plan = bench.plan;
    let drawing = &plan.drawing;
    for (number, rows) in drawing.stacks.iter().enumerate() {
        let zone = lay_zone(bench, air, stacked, (number, rows))?;
        stacked.zones.push(zone);
    }
    let Some(shape) = &drawing.shape else {
        return Ok(());
    };
    let changes = |lies: Lies| !matches!(lies, Lies::Mesh | Lies::Break);
    if drawing.zones.iter().any(|zone| changes(zone.lies)) {
        let more = more(drawing, shape, stacked);
        stacked.with(more);
    }
    if !drawing.channels.is_empty() {
        let mut volume = 0.0;
        for channel in &drawing.channels {
            volume += of_channel(channel, stacked)?;
        }
        let resin = resin_density(bench).times(volume);
        stacked.with(More {
            resin,
            ..More::nothing()
        });
    }
    Ok(())
}

/// What a channel holds [m3].
fn of_channel(channel: &Channel, stacked: &Stacked) -> Result<f64, LawError> {
    let section = match channel.section {
        Section::Gap { width, height } => {
            let cloths = stacked.cloths();
            let stack = cloths.map(|(row, _)| row.thickness.likely() * f64::from(row.count));
            width * height.unwrap_or_else(|| stack.sum())
        }
        Section::Corner { radius } => flow::corner_gap(radius)?.0,
    };
    let length: f64 = channel
        .points
        .windows(2)
        .map(|two| far(two[0], two[1]))
        .sum();
    Ok(section * length)
}

/// What zones add to a part.
fn more(drawing: &Drawing, shape: &Shape, stacked: &Stacked) -> More {
    let laid = Laid::of(drawing, shape, Set::default(), TRIANGLES);
    // How many plies of each row lie on the part more than in its own stack, on the mean.
    let mut part = counts(stacked).map(|n| -n).collect::<Vec<f64>>();
    let mut own: Vec<Vec<f64>> = stacked
        .zones
        .iter()
        .map(|zone| vec![0.0; zone.rows.len()])
        .collect();
    let all = shape.area();
    for corners in &laid.surface().corners {
        let share = area(laid.surface(), corners) / all;
        let middle = laid.middle(corners);
        let there = || drawing.zones.iter().filter(|z| inside(&z.outline, middle));
        let mut number = there().filter_map(|zone| match zone.lies {
            Lies::Stack { number } => Some(number),
            _ => None,
        });
        let number = number.next_back().filter(|n| *n < stacked.zones.len());
        let (to, of) = match number {
            Some(n) => (&mut own[n], &stacked.zones[n]),
            None => (&mut part, stacked),
        };
        for (to, count) in to.iter_mut().zip(left(of, fewer(there().map(|z| z.lies)))) {
            *to += share * count;
        }
        let more = there().map(|zone| match zone.lies {
            Lies::Plies { count, .. } => count.max(0.0),
            _ => 0.0,
        });
        let first = stacked.rows.iter().position(|row| row.cloth.is_some());
        if let Some(first) = first {
            part[first] += share * more.sum::<f64>();
        }
    }
    let rows = stacked.rows.iter().zip(&part);
    let zones = stacked.zones.iter().zip(&own);
    let zones = zones.flat_map(|(zone, counts)| zone.rows.iter().zip(counts));
    let changed: Vec<(&Row, f64)> = rows.chain(zones).map(|(row, n)| (row, *n)).collect();
    let sum = |each: &dyn Fn(&Row) -> Option<Spread>| {
        let parts = changed
            .iter()
            .filter_map(|(row, n)| Some(each(row)?.times(*n)));
        let per_area = Spread::sum(&parts.collect::<Vec<Spread>>());
        Spread::from([&per_area, &stacked.area], |[x, area]| x * area)
    };
    More {
        fibre: sum(&|row| Some(row.cloth.as_ref()?.dry.clone())),
        resin: sum(&|row| Some(row.resin.clone())),
        solid: sum(&|row| Some(row.solid.clone())),
    }
}

/// How many plies each row has.
fn counts(stacked: &Stacked) -> impl Iterator<Item = f64> {
    stacked.rows.iter().map(|row| f64::from(row.count))
}

/// How many plies zones leave out.
fn fewer(lies: impl Iterator<Item = Lies>) -> f64 {
    lies.map(|lies| match lies {
        Lies::Plies { count, .. } => (-count).max(0.0),
        _ => 0.0,
    })
    .sum()
}

/// How many plies are left of each row when the last laid are left out; a core stays.
fn left(stacked: &Stacked, mut fewer: f64) -> Vec<f64> {
    let mut left: Vec<f64> = counts(stacked).collect();
    for (count, row) in left.iter_mut().zip(&stacked.rows).rev() {
        if row.cloth.is_some() {
            let take = fewer.min(*count);
            *count -= take;
            fewer -= take;
        }
    }
    left
}

/// Area of a triangle in space [m2].
fn area(surface: &Triangles, corners: &[u32; 3]) -> f64 {
    let [a, b, c] = corners.map(|i| surface.points[i as usize]);
    let to = |p: [f64; 3]| [0, 1, 2].map(|k| p[k] - a[k]);
    let (u, v) = (to(b), to(c));
    let across = [(1, 2), (2, 0), (0, 1)].map(|(j, k): (usize, usize)| u[j] * v[k] - u[k] * v[j]);
    0.5 * across.iter().map(|x| x * x).sum::<f64>().sqrt()
}
