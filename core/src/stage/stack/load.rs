//! What a stated load does to the part: how far it gives, and how far it is from first damage.

mod core;
mod figures;
mod heel;
mod judge;
mod lasting;
mod stated;
mod told;

pub(crate) use self::core::{CoreBears, Cores, cores, shears};
pub(super) use heel::heel;
pub(crate) use judge::{Loaded, judge};
pub(crate) use stated::{BUCKLING_LEFT, Bending, Stated};
use told::{Found, Weak, told};

use super::Stacked;
use super::deepen::Tested;
use crate::law::LawError;
use crate::plan::LoadCase;
use crate::sheet::{Grade, LoadSheet, Spread};
use crate::stage::bench::Bench;

/// Works the stated load out, and how far plies without a core give under it [m].
pub(super) fn load(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    tested: &Tested,
    cores: &Cores,
) -> Result<(Option<LoadSheet>, Option<Spread>), LawError> {
    let Some(stated) = Stated::of(bench) else {
        return Ok((None, None));
    };
    let stiff = Stiff::of(&tested.bending, cores)?;
    let bent = bends(&stated, &stiff)?;
    let buckles = buckles(bench, &stated, &stiff)?;
    let rings = rings(&stated, stacked, &stiff)?;
    let (deflection, shear, moments) = match bent {
        Some([w, s, m @ ..]) => (Some(w), s, m.to_vec()),
        None => (None, Spread::exact(0.0), vec![Spread::exact(0.0); 18]),
    };
    // First damage and strain, draw by draw.
    let mut parts: Vec<&Spread> = tested.parts(stacked);
    let plies_end = parts.len();
    parts.extend(cores.parts());
    let cores_end = parts.len();
    parts.push(&shear);
    parts.extend(&moments);
    let mut weakest = None;
    let mut tagged = super::layers::Tagged::new();
    let mut worn = super::layers::Tagged::new();
    let [ply, core, wrinkling, crush, strain] = Spread::many(&parts, |values| {
        super::layers::lay(stacked, values, &|_| 1.0, &mut tagged)?;
        let fibres = tested.strands(stacked, values)?;
        super::layers::lay(stacked, values, &|row| fibres.left[row], &mut worn)?;
        let cored = cores.bears(&values[plies_end..cores_end]);
        let cored: Vec<Option<CoreBears>> = by_layer(&tagged.rows, &cored);
        let sheared = shears(&tagged.layers, &cored)?.stress;
        let mut places = [[0.0; 3]; 6];
        for (place, moment) in places
            .iter_mut()
            .zip(values[cores_end + 1..].chunks_exact(3))
        {
            place.copy_from_slice(moment);
        }
        let edge = stated.case == LoadCase::Edge;
        let found = judge(&Loaded {
            layers: &tagged.layers,
            worn: &worn.layers,
            fibres: &fibres.worn,
            cores: &cored,
            sheared: &sheared,
            places: if edge { &places[..1] } else { &places },
            pull: if edge { stated.edge } else { 0.0 },
            shear: values[cores_end],
            heel: stated.heel(),
        })?;
        // Only the first pass, with everything likely, names the weakest place.
        weakest.get_or_insert_with(|| {
            let row = |layer: usize| tagged.rows.get(layer).copied().unwrap_or(0);
            Weak {
                ply: found.weak.map(|(place, strand, mode)| {
                    let row = fibres.rows.get(strand).copied().unwrap_or(0);
                    (place, row, mode)
                }),
                core: row(found.core_at),
                wrinkles: (row(found.wrinkles_at.0), found.wrinkles_at.1),
            }
        });
        Ok([
            found.ply,
            found.core,
            found.wrinkling,
            found.crush,
            found.strain,
        ])
    })?;
    // What is asked of nothing is not told.
    let some = |spread: Spread| (spread.likely() < 0.99e6).then_some(spread);
    let found = Found {
        deflection,
        ply,
        core: some(core),
        wrinkling: some(wrinkling),
        crush: some(crush),
        buckles,
        rings,
        strain,
        weak: weakest,
    };
    let (give, ply) = (found.deflection.clone(), found.ply.clone());
    let mut sheet = told(bench, stacked, tested, &stated, cores, found)?;
    if let Some(give) = give {
        lasting::lasting(bench, stacked, (&give, &ply), &mut sheet)?;
        // What heat adds is told where the glass transition is known.
        let known = sheet.deflection_mm.is_some() && !cores.any();
        return Ok((Some(sheet), known.then_some(give)));
    }
    Ok((Some(sheet), None))
}

fn by_layer<T: Clone>(rows: &[usize], by_row: &[Option<T>]) -> Vec<Option<T>> {
    rows.iter()
        .map(|&row| by_row.get(row).cloned().flatten())
        .collect()
}

/// Inputs of a heavy law of the stiffness, in a form in which each may move by itself and leaves a plate that can be:
/// D11, D22 and D66; D12, D16 and D26 as shares of the roots of those on either side; that of a strip as a share of
/// D11; how the core shears.
struct Stiff([Spread; 9]);

impl Stiff {
    fn of(bending: &[Spread; 7], cores: &Cores) -> Result<Self, LawError> {
        let [d11, d22, d66, s12, s16, s26, strip] = Spread::several(
            bending.each_ref(),
            |[d11, d12, d22, d66, d16, d26, strip]| {
                let share = |d: f64, one: f64, other: f64| d / (one * other).sqrt();
                Ok([
                    d11,
                    d22,
                    d66,
                    share(d12, d11, d22),
                    share(d16, d11, d66),
                    share(d26, d22, d66),
                    strip / d11,
                ])
            },
        )?;
        let (softness, skins) = (cores.softness.clone(), cores.skins.clone());
        Ok(Self([d11, d22, d66, s12, s16, s26, strip, softness, skins]))
    }

    fn inputs(&self) -> [&Spread; 9] {
        self.0.each_ref()
    }
}

fn bending([d11, d22, d66, s12, s16, s26, strip, softness, skins]: [f64; 9]) -> Bending {
    let whole = |share: f64, one: f64, other: f64| share * (one * other).sqrt();
    Bending {
        d11,
        d12: whole(s12, d11, d22),
        d22,
        d66,
        d16: whole(s16, d11, d66),
        d26: whole(s26, d22, d66),
        strip: strip * d11,
        shear: 1.0 / softness.max(0.0),
        skins: skins.clamp(0.0, 1.0),
    }
}

/// Deflection, shear force and the moments at six places; none for a load along the part.
fn bends(stated: &Stated, stiff: &Stiff) -> Result<Option<[Spread; 20]>, LawError> {
    if stated.case == LoadCase::Edge {
        return Ok(None);
    }
    let bent: [Spread; 20] = Spread::heavy(stiff.inputs(), |d| {
        let bent = stated.bend(&bending(d))?;
        let mut out = [0.0; 20];
        out[0] = bent.deflection;
        out[1] = bent.shear;
        for (slot, moment) in out[2..].iter_mut().zip(bent.moments.iter().flatten()) {
            *slot = *moment;
        }
        Ok(out)
    })?;
    Ok(Some(bent))
}

/// What a push does: the load at which the part buckles were it flat and even, and that over the push with what a real
/// part keeps of it.
pub(super) struct Buckles {
    /// Of the part as it is held [N/m].
    pub(super) load: Spread,
    /// The same with its long edges kept from moving out as well, where they are not [N/m].
    pub(super) on_four: Option<Spread>,
    /// Over the push [-].
    pub(super) reserve: Spread,
}

fn buckles(
    bench: &mut Bench<'_>,
    stated: &Stated,
    stiff: &Stiff,
) -> Result<Option<Buckles>, LawError> {
    if !stated.pushes() {
        return Ok(None);
    }
    let inputs = stiff.inputs();
    let [load] = Spread::heavy(inputs, |d| Ok([stated.buckles(&bending(d))?]))?;
    let on_four = match stated.on_four() {
        Some(four) => {
            let [load] = Spread::heavy(inputs, |d| Ok([four.buckles(&bending(d))?]))?;
            Some(load)
        }
        None => None,
    };
    let left = bench.coefficient(
        "load.buckling_left",
        "What a real part keeps of the push at which a flat, even one buckles",
        BUCKLING_LEFT,
        Grade::Judgement,
        "judgement_buckling",
    );
    let push = stated.edge.abs();
    let reserve = Spread::from([&load, &left], |[load, left]| load * left / push);
    Ok(Some(Buckles {
        load,
        on_four,
        reserve,
    }))
}

/// The note that the part rings at, held as stated [1/s].
fn rings(stated: &Stated, stacked: &Stacked, stiff: &Stiff) -> Result<Option<Spread>, LawError> {
    if stated.case == LoadCase::Edge {
        return Ok(None);
    }
    let [swings] = Spread::heavy(stiff.inputs(), |d| Ok([stated.swings(&bending(d))?]))?;
    let mut parts: Vec<&Spread> = vec![&swings];
    for row in &stacked.rows {
        parts.extend([&row.solid, &row.resin]);
    }
    let [hertz] = Spread::many(&parts, |values| {
        let rows = stacked.rows.iter().zip(values[1..].chunks_exact(2));
        let mass = rows.map(|(row, each)| f64::from(row.count) * (each[0] + each[1]));
        Ok([crate::law::ring::hertz(values[0], mass.sum())?])
    })?;
    Ok(Some(hertz))
}
