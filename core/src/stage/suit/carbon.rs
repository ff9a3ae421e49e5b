//! Carbon in three lines that are never netted: fossil, held in the fibre, given off when it is burnt.

use super::build::Built;
use crate::law::LawError;
use crate::range::Range;
use crate::read::Field;
use crate::sheet::{Grade, Spread};
use crate::shelf::properties::{CARBON, CORE_CARBON, CORE_HELD, HELD_CARBON, RESIN_CARBON};
use crate::shelf::{Core, Family};
use crate::stage::bench::Bench;
use crate::stage::stack::{fibre_trait, resin_trait};

/// Fossil carbon, carbon held, and carbon given off when burnt [kg CO2e].
pub(super) struct Lines {
    pub(super) fossil: Spread,
    pub(super) stored: Spread,
    pub(super) burnt: Spread,
    /// Fossil carbon of the resin alone.
    pub(super) resin: Spread,
}

impl Lines {
    pub(super) fn none() -> Self {
        let none = || Spread::exact(0.0);
        Self {
            fossil: none(),
            stored: none(),
            burnt: none(),
            resin: none(),
        }
    }

    pub(super) fn add(&mut self, other: Self) {
        self.fossil = Spread::sum([&self.fossil, &other.fossil]);
        self.stored = Spread::sum([&self.stored, &other.stored]);
        self.burnt = Spread::sum([&self.burnt, &other.burnt]);
        self.resin = Spread::sum([&self.resin, &other.resin]);
    }
}

fn per_mass(factor: &Spread, mass: &Spread) -> Spread {
    Spread::from([factor, mass], |[factor, mass]| factor * mass)
}

/// The lines of a mass of cloth [kg, dry].
pub(super) fn of_cloth(
    bench: &mut Bench<'_>,
    fibre: &str,
    mass: &Spread,
) -> Result<Lines, LawError> {
    let shelf = bench.shelf;
    let fibre = shelf.fibre(fibre).ok_or(LawError::Unsolved {
        what: "what is known of the fibre",
    })?;
    let fossil = fibre_trait(bench, fibre, &CARBON)?;
    let stored = per_mass(&fibre_trait(bench, fibre, &HELD_CARBON)?, mass);
    // Burnt, carbon and aramid give off their own carbon; glass does not burn.
    let burns = match fibre.family {
        Family::Carbon => 3.4,
        Family::Aramid => 2.6,
        Family::Bast | Family::Glass => 0.0,
    };
    Ok(Lines {
        fossil: per_mass(&fossil, mass),
        burnt: Spread::from([&stored, mass], |[stored, mass]| stored + burns * mass),
        stored,
        resin: Spread::exact(0.0),
    })
}

/// The lines of a mass of core [kg].
pub(super) fn of_core(bench: &mut Bench<'_>, core: &Core, mass: &Spread) -> Lines {
    let mut get = |field: &Field| match core.properties.get(field) {
        Some(cited) => bench.property_of("fabrics", &core.entry, field, cited),
        None => Spread::exact(0.0),
    };
    let (fossil, stored) = (get(&CORE_CARBON), get(&CORE_HELD));
    let stored = per_mass(&stored, mass);
    Lines {
        fossil: per_mass(&fossil, mass),
        burnt: stored.clone(),
        stored,
        resin: Spread::exact(0.0),
    }
}

/// The lines of a mass of resin [kg].
pub(super) fn of_resin(bench: &mut Bench<'_>, mass: &Spread) -> Result<Lines, LawError> {
    let fossil = per_mass(&resin_trait(bench, &RESIN_CARBON)?, mass);
    let burns = bench.coefficient(
        "suit.resin_burnt",
        "Carbon dioxide per kilogram of epoxy when it is burnt",
        Range::new(2.2, 2.5, 2.8),
        Grade::Memory,
        "memory_epoxy_burnt",
    );
    Ok(Lines {
        burnt: per_mass(&burns, mass),
        stored: Spread::exact(0.0),
        resin: fossil.clone(),
        fossil,
    })
}

/// The three lines of a material.
pub(super) fn three_lines(built: &Built) -> (&Spread, &Spread, &Spread) {
    (&built.lines.fossil, &built.lines.stored, &built.lines.burnt)
}

/// What the carbon figures cover.
pub(super) fn footing() -> Vec<String> {
    vec![
        "Fossil carbon: cloth, core and resin that stay in the part, from raw material to the gate of the mill that makes them, per part that does the same job. Bag, mesh, resin in lines, offcuts, transport, heat in your shop and use are not in it.".into(),
        "Held in the fibre: carbon dioxide that the plant took up, for as long as the part lasts. It is not taken off the fossil line, and it comes back when the part is burnt or rots.".into(),
        "Years: flax cloth is built up from a published figure of 2024 for scutched fibre and a model of spinning and weaving of 2021; how that data set shares burdens with by-products is not told. Glass cloth is an industry profile of 2025, carbon fibre a scenario study of 2024, both as others quote them, epoxy an industry profile of 1999, the oldest and the heaviest figure here. Public figures for flax yarn differ tenfold, by the power of the mill and by how by-products are counted: with the highest of them cloth, not resin, would weigh most.".into(),
    ]
}
