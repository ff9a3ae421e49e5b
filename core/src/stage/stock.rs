//! Whether what is left in the shop is enough for the part.

use super::bench::Bench;
use super::stack::Stacked;
use crate::sheet::{MixSheet, StageName};
use crate::units::Unit;

/// Says what is short of cloth, core and resin, where the shop wrote what is left.
pub(crate) fn check(bench: &mut Bench<'_>, stacked: &Stacked, mix: &MixSheet) {
    let (plan, shelf) = (bench.plan, bench.shelf);
    let area = stacked.area.likely();
    let mut seen: Vec<&str> = Vec::new();
    for row in &plan.stack {
        let key = row.fabric.entry().key.as_str();
        let Some(left) = shelf.stock(key).and_then(|stock| stock.left) else {
            continue;
        };
        if seen.contains(&key) {
            continue;
        }
        seen.push(key);
        let of_it = plan
            .stack
            .iter()
            .filter(|other| other.fabric.entry().key == key);
        let takes = area * f64::from(of_it.map(|other| other.count).sum::<u32>());
        if takes > left {
            let (has, wants) = (
                bench.desk.say_plain(Unit::SquareMetre, left),
                bench
                    .desk
                    .say_plain(Unit::SquareMetre, (takes * 100.0).round() / 100.0),
            );
            bench.problem(
                StageName::Stack,
                format!(
                    "{has} of {} is left; this stack takes {wants} without offcuts. Lay fewer plies, or get more.",
                    row.fabric.entry().name
                ),
            );
        }
    }
    let resin = &plan.resin.entry;
    if let Some(left) = shelf.stock(&resin.key).and_then(|stock| stock.left)
        && mix.resin_to_mix_g.likely > left * 1000.0
    {
        let has = bench.desk.say_plain(Unit::Gram, left * 1000.0);
        bench.problem(
            StageName::Mix,
            format!(
                "{has} of {} is left; the mix takes about {}. Get more before you start.",
                resin.name,
                mix.resin_to_mix_g.shown.with_unit()
            ),
        );
    }
}
