//! What the search may lay: every cloth that is allowed, in every direction that makes sense.

use crate::law::laminate::{Layer, reduced_stiffness, turned};
use crate::law::micromechanics::Ply;
use crate::law::strand::{Bears, Strand};
use crate::law::{LawError, permeability};
use crate::plan::fields::TARGET_DRAPE;
use crate::plan::{Route, Row};
use crate::search::{Choice, Core, Figures, Lamina};
use crate::sheet::{Desk, Spread};
use crate::shelf::properties::{
    CARBON, CORE_CARBON, CORE_CRUSH, CORE_PUSHED, CORE_SHEAR, CORE_SHEAR_STRENGTH, RESIN_CARBON,
};
use crate::shelf::{self, Architecture, Fabric, Family};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::stack::{
    CoreBears, Deep, Given, Laid, LaidCloth, Layered, POISSON, bears, fibre_trait, lay_cloth,
    lay_core, left, likely_layers, push_strands, qualities, resin_density, resin_trait,
};

/// One cloth laid one way.
#[derive(Clone)]
pub(super) struct Laying {
    /// Number of the cloth.
    pub(super) cloth: usize,
    pub(super) key: String,
    pub(super) fabric: Fabric,
    /// Angles of its plies, from the face inwards [degrees].
    pub(super) angles: Vec<f64>,
    pub(super) choice: Choice,
    /// Its layers at small strain, and with the stiffness that is left at first cracking.
    pub(super) layers: Vec<Layer>,
    pub(super) worn: Vec<Layer>,
    /// Its worn fibres, direction by direction, from its lower side up; and its thickness [m].
    pub(super) strands: Vec<Strand>,
    pub(super) thickness: f64,
}

/// One core.
#[derive(Clone)]
pub(super) struct Cored {
    pub(super) fabric: Fabric,
    pub(super) core: Core,
    pub(super) layer: Layer,
    /// What it bears; none where too little is known of it.
    pub(super) bears: Option<CoreBears>,
}

/// Everything that may be laid.
pub(super) fn layings(
    bench: &mut Bench<'_>,
    air: &Air,
    deep: &Deep,
) -> Result<(Vec<Laying>, Vec<Cored>), LawError> {
    let aside = Desk::new(bench.desk.units);
    let desk = std::mem::replace(&mut bench.desk, aside);
    let found = gather(bench, air, deep);
    bench.desk = desk;
    found
}

fn gather(
    bench: &mut Bench<'_>,
    air: &Air,
    deep: &Deep,
) -> Result<(Vec<Laying>, Vec<Cored>), LawError> {
    let (plan, shelf) = (bench.plan, bench.shelf);
    let density = resin_density(bench);
    let given = Given {
        air,
        resin_density: &density,
        squeeze: None,
        missing: None,
        typed: true,
        plies: plan.stack.iter().map(|row| row.count).sum(),
    };
    let resin = Resin {
        carbon: resin_trait(bench, &RESIN_CARBON)?.likely(),
        price: shelf
            .stock(&plan.resin.entry.key)
            .and_then(|stock| Some(stock.price?.likely)),
    };
    let mut layings = Vec::new();
    let mut cores = Vec::new();
    let mut cloths = 0;
    let shelved = shelf.fabrics().map(|fabric| (0, fabric));
    for (at, fabric) in shelved.chain(beside_the_shelf(bench)) {
        if !allowed(bench, fabric) {
            continue;
        }
        let row = Row {
            fabric: fabric.clone(),
            count: 1,
            angle_deg: 0.0,
        };
        match fabric {
            Fabric::Core(core) => {
                if !plan.allowed.core {
                    continue;
                }
                let laid = lay_core(bench, at, &row, core);
                cores.push(resin.cored(bench, core, &laid)?);
            }
            Fabric::Cloth(cloth) => {
                let Some(fibre) = shelf.fibre(&cloth.fibre) else {
                    continue;
                };
                let laid = lay_cloth(bench, at, &row, cloth, &given)?;
                let Some(held) = &laid.cloth else { continue };
                let qualities = qualities(bench, held, &deep.resin)?;
                let bears = bears(&qualities.figures().map(Spread::likely), qualities.kinks);
                let carbon = fibre_trait(bench, fibre, &CARBON)?.likely();
                let one = OnePly {
                    number: cloths,
                    fabric,
                    laid: &laid,
                    held,
                    bears,
                    figures: resin.figures(bench, &laid, carbon),
                };
                for &angles in directions(cloth.architecture) {
                    layings.push(one.laid_at(angles)?);
                }
                cloths += 1;
            }
        }
    }
    Ok((layings, cores))
}

/// What the plan has beside the shelf, with its row: that is where its draws are filed.
fn beside_the_shelf<'a>(bench: &Bench<'a>) -> Vec<(usize, &'a Fabric)> {
    let (plan, shelf) = (bench.plan, bench.shelf);
    let offered = |key: &str| shelf.fabrics().any(|fabric| fabric.entry().key == key);
    let mut written: Vec<(usize, &Fabric)> = Vec::new();
    for (i, row) in plan.stack.iter().enumerate() {
        let known = written.iter().any(|(_, fabric)| **fabric == row.fabric);
        if !known && !offered(&row.fabric.entry().key) {
            written.push((i, &row.fabric));
        }
    }
    written
}

/// One ply of a cloth, before it is turned.
struct OnePly<'a> {
    /// Number of the cloth.
    number: usize,
    fabric: &'a Fabric,
    laid: &'a Laid,
    held: &'a LaidCloth,
    bears: Bears,
    figures: Figures,
}

impl OnePly<'_> {
    /// One ply at each of these angles [degrees].
    fn laid_at(&self, angles: &[f64]) -> Result<Laying, LawError> {
        let (laid, one) = (self.laid, &self.figures);
        let plies = angles.len() as f64;
        let (mut layers, mut worn) = (Vec::new(), Vec::new());
        let (mut strands, mut thickness) = (Vec::new(), 0.0);
        let mut conductance = 0.0;
        for &angle in angles {
            let layer = likely_strands(laid, self.held, angle, self.bears);
            let mut alone = Vec::new();
            push_strands(&mut alone, &layer, 0.0)?;
            let left = left(&alone)?;
            thickness = push_strands(&mut strands, &layer.worn(left), thickness)?;
            layers.extend(likely_layers(laid, angle, 1.0)?);
            worn.extend(likely_layers(laid, angle, left)?);
            conductance += laid.thickness.likely() * conducts(laid, angle)?;
        }
        Ok(Laying {
            cloth: self.number,
            key: self.fabric.entry().key.clone(),
            fabric: self.fabric.clone(),
            angles: angles.to_vec(),
            choice: Choice {
                cloth: self.number,
                plies: angles.len() as u32,
                layers: layers.iter().map(lamina).collect::<Result<_, _>>()?,
                figures: Figures {
                    mass: one.mass * plies,
                    cost: one.cost.map(|cost| cost * plies),
                    fossil: one.fossil * plies,
                    pores: one.pores * plies,
                    conductance,
                },
            },
            layers,
            worn,
            strands,
            thickness,
        })
    }
}

/// What a core bears; none where its shear is not told.
fn core_bears(core: &shelf::Core, layer: &Layer) -> Option<CoreBears> {
    let property_of = |field| {
        core.properties
            .get(field)
            .map(|cited| cited.range.likely * 1e6)
    };
    property_of(&CORE_SHEAR)
        .zip(property_of(&CORE_SHEAR_STRENGTH))
        .map(|(modulus, strength)| CoreBears {
            modulus,
            strength,
            through: property_of(&CORE_PUSHED).unwrap_or(layer.ply.modulus_along),
            crush: property_of(&CORE_CRUSH).unwrap_or(f64::INFINITY),
        })
}

/// One ply as the laws of strength see it, with everything likely.
fn likely_strands(laid: &Laid, held: &LaidCloth, angle_deg: f64, bears: Bears) -> Layered {
    let [along, across, shear] = held.ply.each_ref().map(Spread::likely);
    let ply = Ply {
        modulus_along: along,
        modulus_across: across,
        poisson: POISSON.0,
        shear_modulus: shear,
    };
    Layered {
        architecture: Some(held.architecture),
        angle_deg,
        thickness: laid.thickness.likely(),
        count: 1,
        modulus: laid.modulus().likely(),
        ply: Some((ply, held.crimp.likely().clamp(0.1, 1.0))),
        bears: Some(bears),
    }
}

/// Directions in which a cloth is laid; unidirectional cloth at a slant comes in mirrored pairs.
fn directions(architecture: Architecture) -> &'static [&'static [f64]] {
    match architecture {
        Architecture::Twill | Architecture::Plain | Architecture::Biaxial => &[&[0.0], &[45.0]],
        Architecture::Unidirectional => &[&[0.0], &[90.0], &[45.0, -45.0]],
        Architecture::Mat => &[&[0.0]],
    }
}

/// Whether the plan lets this be laid.
fn allowed(bench: &Bench<'_>, fabric: &Fabric) -> bool {
    let (plan, shelf) = (bench.plan, bench.shelf);
    let key = &fabric.entry().key;
    let stock = shelf.stock(key).and_then(|stock| stock.left);
    if plan.allowed.in_stock_only && stock.is_none_or(|left| left <= 0.0) {
        return false;
    }
    let Fabric::Cloth(cloth) = fabric else {
        return true;
    };
    let Some(fibre) = shelf.fibre(&cloth.fibre) else {
        return false;
    };
    let family = match fibre.family {
        Family::Bast => true,
        Family::Glass => plan.allowed.glass,
        Family::Carbon | Family::Aramid => plan.allowed.carbon,
    };
    let heaviest = plan
        .given(&TARGET_DRAPE)
        .map_or(f64::INFINITY, |range| range.likely);
    let drapes = cloth.areal_mass_g_m2.range.likely <= heaviest;
    let needs_mesh = plan.route == Route::Infusion
        && !plan.flow_mesh
        && shelf
            .weave(fibre.family, cloth.architecture)
            .is_some_and(|weave| !weave.may_go_without_mesh);
    family && drapes && !needs_mesh
}

/// What the resin adds to every ply.
struct Resin {
    carbon: f64,
    price: Option<f64>,
}

impl Resin {
    /// A core with the resin that it takes up.
    fn cored(&self, bench: &Bench<'_>, core: &shelf::Core, laid: &Laid) -> Result<Cored, LawError> {
        let layer = likely_layers(laid, 0.0, 1.0)?[0];
        let carbon = core
            .properties
            .get(&CORE_CARBON)
            .map_or(0.0, |cited| cited.range.likely);
        Ok(Cored {
            fabric: Fabric::Core(core.clone()),
            core: Core {
                layer: lamina(&layer)?,
                figures: self.figures(bench, laid, carbon),
            },
            layer,
            bears: core_bears(core, &layer),
        })
    }

    /// What a square metre of one ply or core brings along.
    fn figures(&self, bench: &Bench<'_>, laid: &Laid, carbon: f64) -> Figures {
        let (solid, resin) = (laid.solid.likely(), laid.resin.likely());
        let price = bench
            .shelf
            .stock(laid.key())
            .and_then(|stock| Some(stock.price?.likely));
        let likely = Spread::likely;
        let pores = laid.cloth.as_ref().map_or(0.0, |cloth| {
            (1.0 - likely(&cloth.fraction)) * likely(&laid.thickness)
        });
        Figures {
            mass: solid + resin,
            cost: price
                .zip(self.price)
                .map(|(cloth, kilogram)| cloth + resin * kilogram),
            fossil: solid * carbon + resin * self.carbon,
            pores,
            conductance: 0.0,
        }
    }
}

/// Permeability of a ply along the part, laid at an angle [m2].
fn conducts(laid: &Laid, angle: f64) -> Result<f64, LawError> {
    let Some(cloth) = &laid.cloth else {
        return Ok(0.0);
    };
    let (along, across) = (cloth.along.likely(), cloth.across.likely());
    let (across, angle) = (across.min(along), angle.to_radians());
    let k = match cloth.architecture {
        Architecture::Biaxial => permeability::biaxial(along, across, angle)?,
        _ => permeability::turned(along, across, angle)?,
    };
    Ok(k.xx)
}

fn lamina(layer: &Layer) -> Result<Lamina, LawError> {
    Ok(Lamina {
        stiffness: turned(&reduced_stiffness(&layer.ply)?, layer.angle),
        thickness: layer.thickness,
    })
}
