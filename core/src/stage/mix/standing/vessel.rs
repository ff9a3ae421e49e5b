//! Vessels for resin: how the resin stands in them, what takes its heat away, and what becomes of it when left.

use crate::law::LawError;
use crate::law::pot::{self, Body, CUP_IN_AIR, CUP_IN_WATER, Pot};
use crate::plan::PotKind;
use crate::sheet::Spread;
use crate::stage::bench::Bench;
use crate::stage::mix::pots::{POTS, on_a_bad_day};
use crate::stage::resin_clock::{self, ResinClock};

/// Shallowest and deepest that somebody pours resin into a tray [m].
const TRAY_DEPTHS: (f64, f64) = (0.003, 0.010);
/// Width of a usual bucket [m].
const BUCKET: f64 = 0.22;

/// A vessel and the resin that goes into it.
#[derive(Clone, Copy)]
pub(in crate::stage::mix) struct Holder {
    pub(in crate::stage::mix) kind: PotKind,
    /// Width, and length where it is a tray; none for the usual [m].
    pub(super) size: (Option<f64>, Option<f64>),
    /// Density of the mix [kg/m3].
    pub(super) density: f64,
    /// How deep it stands in a tray that has no size yet [m].
    pub(super) tray_depth: f64,
}

impl Holder {
    /// The resin in it.
    pub(in crate::stage::mix) fn body(&self, mass: f64) -> Result<Body, LawError> {
        let mass = mass.clamp(POTS.0, POTS.1);
        let (width, length) = self.size;
        match self.kind {
            PotKind::Cup | PotKind::Bath => {
                let width = width.unwrap_or(pot::cup_diameter(mass)?);
                match self.kind {
                    PotKind::Bath => pot::cup_in_water(mass, self.density, width),
                    _ => pot::cylinder(mass, self.density, width),
                }
            }
            PotKind::Bucket => pot::cylinder(mass, self.density, width.unwrap_or(BUCKET)),
            PotKind::Tray => {
                let area = mass / self.density / self.tray_depth;
                let (length, width) = match (length, width) {
                    (Some(length), Some(width)) => (length, width),
                    (Some(length), None) => (length, area / length),
                    (None, Some(width)) => (width, width),
                    (None, None) => (area.sqrt(), area.sqrt()),
                };
                pot::tray(mass, self.density, length, width)
            }
        }
    }

    /// As shallow in a tray as stays calm, within what anybody pours.
    pub(super) fn poured(depth: f64) -> f64 {
        ((depth * 1000.0).floor() / 1000.0).clamp(TRAY_DEPTHS.0, TRAY_DEPTHS.1)
    }

    /// What it is called.
    pub(in crate::stage::mix) fn word(&self) -> &'static str {
        match self.kind {
            PotKind::Cup => "a cup",
            PotKind::Bucket => "a bucket",
            PotKind::Tray => "a flat tray",
            PotKind::Bath => "a cup in a water bath",
        }
    }
}

/// Temperatures and heat transfer around the pots.
pub(in crate::stage::mix) struct Around {
    /// Resin when it is mixed [K].
    pub(super) start: Spread,
    /// The shop [K].
    pub(super) room: Spread,
    /// The bath [K].
    pub(super) bath: Spread,
    /// Heat transfer over the usual [-].
    pub(super) leaves: Spread,
    /// Largest calm batch over what the heat balance and the rules of spreading give [-].
    pub(super) calm: Spread,
}

impl Around {
    /// Temperature around a vessel [K], and the usual heat transfer to there [W/(m2 K)].
    pub(super) fn of(&self, kind: PotKind) -> (&Spread, f64) {
        match kind {
            PotKind::Bath => (&self.bath, CUP_IN_WATER),
            _ => (&self.room, CUP_IN_AIR),
        }
    }
}

/// A pot of this mass for the laws.
pub(super) fn pot_of(
    holder: &Holder,
    around: f64,
    transfer: f64,
    mass: f64,
    start: f64,
) -> Result<Pot, LawError> {
    Ok(Pot {
        body: holder.body(mass)?,
        density: holder.density,
        start_temperature: start,
        room_temperature: around,
        heat_transfer: transfer,
        ..Pot::default()
    })
}

/// Whether so much stays calm when it is left, on a bad day too: what a remedy may propose.
pub(in crate::stage::mix) fn stays_calm(
    bench: &Bench<'_>,
    clock: &ResinClock,
    holder: &Holder,
    around: &Around,
    mass: f64,
) -> Result<bool, LawError> {
    let (air, transfer) = around.of(holder.kind);
    let pot = pot_of(holder, air.likely(), transfer, mass, around.start.likely())?;
    let (resin, pot) = on_a_bad_day(bench, clock, &pot);
    // Heavier than the heat balance is used for is never proposed.
    Ok(mass <= POTS.1 && pot::heat_share(&resin, &pot)? <= 1.0)
}

/// The most that [`stays_calm`] in a vessel, down to two figures [kg]; none where not even the least does.
pub(super) fn most_calm(
    bench: &Bench<'_>,
    clock: &ResinClock,
    holder: &Holder,
    around: &Around,
) -> Result<Option<f64>, LawError> {
    let (mut calm, mut not) = POTS;
    if !stays_calm(bench, clock, holder, around, calm)? {
        return Ok(None);
    }
    while not / calm > 1.01 {
        let middle = (calm * not).sqrt();
        if stays_calm(bench, clock, holder, around, middle)? {
            calm = middle;
        } else {
            not = middle;
        }
    }
    Ok(Some(two_figures_down(calm)))
}

/// How deep resin may stand in a wide tray and stay calm on a bad day too [m].
pub(super) fn tray_depth(
    bench: &Bench<'_>,
    clock: &ResinClock,
    around: &Around,
    density: f64,
) -> Result<f64, LawError> {
    let usual = Pot {
        density,
        start_temperature: around.start.likely(),
        room_temperature: around.room.likely(),
        ..Pot::default()
    };
    let (resin, pot) = on_a_bad_day(bench, clock, &usual);
    let warmest = pot.start_temperature.max(pot.room_temperature);
    pot::calm_depth(&resin, warmest, density, pot.heat_transfer)
}

/// The largest batch that stays calm when it is left [kg], down to two figures.
pub(super) fn largest_calm(
    clock: &ResinClock,
    holder: &Holder,
    around: &Around,
    body: Body,
) -> Result<Spread, LawError> {
    // As wide as the vessel in hand; a tray as wide as a dish of the same area.
    let area = body.volume / body.depth;
    let diameter = (4.0 * area / std::f64::consts::PI)
        .sqrt()
        .clamp(0.031, 1.99);
    let tg_ultimate = clock.tg_ultimate.likely();
    let (air, transfer) = around.of(holder.kind);
    let [calm] = Spread::heavy(
        [&clock.speed, air, &around.leaves],
        |[speed, air, leaves]| {
            let resin = resin_clock::resin(speed, tg_ultimate);
            let most = pot::largest_calm_pot(
                &resin,
                air.clamp(263.15, 343.15),
                holder.density,
                transfer * leaves,
                diameter,
            )?;
            Ok([most])
        },
    )?;
    Ok(Spread::from([&calm, &around.calm], |[most, share]| {
        two_figures_down((most * share).max(0.0))
    }))
}

/// A limit is never rounded up.
fn two_figures_down(value: f64) -> f64 {
    if value <= 0.0 {
        return 0.0;
    }
    let step = 10_f64.powf(value.log10().floor() - 1.0);
    (value / step + 1e-9).floor() * step
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_goes_down_to_two_figures() {
        for (kilograms, shown) in [
            (0.1259, 0.12),
            (0.0991, 0.099),
            (1.0, 1.0),
            (0.3, 0.3),
            (2.39, 2.3),
        ] {
            assert!(
                (two_figures_down(kilograms) - shown).abs() < 1e-12,
                "{kilograms}"
            );
        }
        assert_eq!(two_figures_down(0.0), 0.0);
    }

    #[test]
    fn a_tray_stands_as_deep_as_it_is_told_unless_both_sides_are_typed() {
        let tray = |size| Holder {
            kind: PotKind::Tray,
            size,
            density: 1100.0,
            tray_depth: 0.010,
        };
        for size in [(None, None), (None, Some(0.4))] {
            let depth = tray(size).body(1.1).unwrap().depth;
            assert!((depth - 0.010).abs() < 1e-12, "{size:?}: {depth}");
        }
        let typed = tray((Some(0.2), Some(0.25))).body(1.1).unwrap();
        assert!((typed.depth - 0.020).abs() < 1e-12);
        // Only one side: a square tray of that width.
        assert!((tray((Some(0.2), None)).body(1.1).unwrap().depth - 0.025).abs() < 1e-12);
    }
}
