//! The stack as the laws of strength see it: the fibres of every layer, direction by direction.

use super::{POISSON, Stacked};
use crate::law::LawError;
use crate::law::failure::{Laid, Strengths};
use crate::law::micromechanics::Ply;
use crate::law::strand::{self, Bears, Strand};
use crate::shelf::{Architecture, Family};

/// How the fibres of a cloth lie.
pub(crate) fn laid_as(architecture: Architecture) -> Laid {
    match architecture {
        Architecture::Mat => Laid::Random,
        woven if woven.is_woven() => Laid::Woven,
        _ => Laid::Straight,
    }
}

/// Whether pushed fibres kink and hold their stress; glass and carbon snap.
pub(crate) fn kinks(family: Family) -> bool {
    matches!(family, Family::Bast | Family::Aramid)
}

/// Figures that [`bears`] is read from.
pub(crate) const FIGURES: usize = 10;

/// What a strand bears, from one draw of a cloth's qualities.
pub(crate) fn bears(values: &[f64], kinks: bool) -> Bears {
    let at = |i: usize| values.get(i).copied().unwrap_or(1.0);
    let after = at(6).clamp(0.05, 1.0);
    Bears {
        strengths: Strengths {
            along_tension: at(0),
            along_compression: at(1),
            across_tension: at(2),
            across_compression: at(3),
            shear: at(4),
        },
        // A straight line has no knee, whatever strain is written beside it.
        knee: if after < 0.999 { at(5).max(0.0) } else { 0.0 },
        after,
        breaks: at(7).clamp(0.001, 0.2),
        kinks: kinks.then(|| (at(8), at(9))),
    }
}

/// One layer of cloth or core, as far as its strands go.
#[derive(Clone, Copy)]
pub(crate) struct Layered {
    /// None for a core.
    pub(crate) architecture: Option<Architecture>,
    pub(crate) angle_deg: f64,
    /// Thickness of one ply [m], and how many.
    pub(crate) thickness: f64,
    pub(crate) count: u32,
    /// Modulus of a mat or core in its plane [Pa].
    pub(crate) modulus: f64,
    /// Straight ply, and the share of stiffness left by crimp.
    pub(crate) ply: Option<(Ply, f64)>,
    pub(crate) bears: Option<Bears>,
}

impl Layered {
    /// The same with a share of the stiffness along its fibres.
    pub(crate) fn worn(&self, left: f64) -> Self {
        Self {
            modulus: self.modulus * left,
            ply: self.ply.map(|(ply, crimp)| {
                let worn = Ply {
                    modulus_along: ply.modulus_along * left,
                    ..ply
                };
                (worn, crimp)
            }),
            ..*self
        }
    }
}

/// Adds the strands of a layer that begins at a height; returns where it ends.
pub(crate) fn push(out: &mut Vec<Strand>, layer: &Layered, from: f64) -> Result<f64, LawError> {
    let whole = layer.thickness * f64::from(layer.count);
    let angle = layer.angle_deg.to_radians();
    let (Some(architecture), Some((ply, crimp))) = (layer.architecture, &layer.ply) else {
        let ply = Ply {
            modulus_along: layer.modulus,
            modulus_across: layer.modulus,
            poisson: POISSON.0,
            shear_modulus: layer.modulus / (2.0 * (1.0 + POISSON.0)),
        };
        out.push(Strand {
            ply,
            angle,
            below: from,
            above: from + whole,
            share: 1.0,
            bears: None,
        });
        return Ok(from + whole);
    };
    let laid = laid_as(architecture);
    let ply = strand::straightened(laid, ply, *crimp, layer.modulus)?;
    let mut add = |angle: f64, below: f64, thickness: f64| {
        for &(turn, share) in strand::directions(laid) {
            out.push(Strand {
                ply,
                angle: angle + turn,
                below,
                above: below + thickness,
                share,
                bears: layer.bears,
            });
        }
    };
    if architecture == Architecture::Biaxial {
        let half = 0.5 * layer.thickness;
        for k in 0..2 * layer.count {
            let turn = if k % 2 == 0 { 45.0_f64 } else { -45.0 };
            add(angle + turn.to_radians(), from + f64::from(k) * half, half);
        }
    } else {
        add(angle, from, whole);
    }
    Ok(from + whole)
}

/// The strands of a stack, the row each belongs to, and the stiffness that each row has left at first cracking.
pub(super) struct Strands {
    pub(super) strands: Vec<Strand>,
    /// The same with the stiffness that is left at first cracking.
    pub(super) worn: Vec<Strand>,
    pub(super) rows: Vec<usize>,
    pub(super) left: Vec<f64>,
}

/// Reads one draw of the ingredients back; `bears` holds what the strands of each row bear.
pub(super) fn strands(
    stacked: &Stacked,
    values: &[f64],
    bears: &[Option<Bears>],
) -> Result<Strands, LawError> {
    let mut out = Strands {
        strands: Vec::new(),
        worn: Vec::new(),
        rows: Vec::new(),
        left: Vec::new(),
    };
    let mut values = values.iter().copied();
    let mut next = || values.next().unwrap_or(0.0);
    let mut top = 0.0;
    for (i, row) in stacked.rows.iter().enumerate() {
        let (thickness, modulus) = (next(), next());
        let ply = row.cloth.as_ref().map(|_| {
            let (along, across, shear, crimp) = (next(), next(), next(), next());
            let ply = Ply {
                modulus_along: along,
                modulus_across: across,
                poisson: POISSON.0,
                shear_modulus: shear,
            };
            (ply, crimp.clamp(0.1, 1.0))
        });
        let layer = Layered {
            architecture: row.cloth.as_ref().map(|cloth| cloth.architecture),
            angle_deg: row.angle_deg,
            thickness,
            count: row.count,
            modulus,
            ply,
            bears: bears.get(i).copied().flatten(),
        };
        let first = out.strands.len();
        let end = push(&mut out.strands, &layer, top)?;
        out.rows.resize(out.strands.len(), i);
        let left = left(&out.strands[first..])?;
        push(&mut out.worn, &layer.worn(left), top)?;
        out.left.push(left);
        top = end;
    }
    for strand in out.strands.iter_mut().chain(&mut out.worn) {
        strand.below -= 0.5 * top;
        strand.above -= 0.5 * top;
    }
    Ok(out)
}

/// Stiffness along the fibres of a layer that is left at first cracking, over that at small strain.
pub(crate) fn left(strands: &[Strand]) -> Result<f64, LawError> {
    strands
        .first()
        .map_or(Ok(1.0), |strand| match &strand.bears {
            Some(bears) => strand::secant(bears, &strand.ply),
            None => Ok(1.0),
        })
}
