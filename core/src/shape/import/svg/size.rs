//! What one unit of an SVG drawing is, from its size, its view box, or what the maker says.

use super::LengthUnit;
use crate::units::plain;
use kurbo::Affine;
use roxmltree::Node;
use std::str::FromStr;
use svgtypes::{Length, LengthUnit as Suffix, ViewBox};

/// Pixels of an inch (W3C, CSS Values and Units Module Level 3, section 5.2).
const PX_OF_INCH: f64 = 96.0;
const MM_OF_INCH: f64 = 25.4;

/// From the units of a drawing to mm.
pub(super) struct Scale {
    pub(super) to_mm: Affine,
    /// What one unit is and who says so; none where nobody does.
    pub(super) told: Option<String>,
}

/// The scale of a drawing; y of the result runs up.
pub(super) fn of(root: Node<'_, '_>, unit: Option<LengthUnit>) -> Scale {
    let own = own(root);
    let (sx, sy) = match (unit, own) {
        (Some(unit), _) => (unit.mm(), unit.mm()),
        (None, Some(own)) => own,
        (None, None) => (1.0, 1.0),
    };
    let mm = |(x, y): (f64, f64)| {
        if (x / y - 1.0).abs() < 1e-6 {
            format!("{} mm", plain(x))
        } else {
            format!("{} mm across and {} mm down", plain(x), plain(y))
        }
    };
    let told = match (unit, own) {
        (Some(unit), Some(own)) if (own.0 / unit.mm() - 1.0).abs() > 1e-6 => Some(format!(
            "One unit of the drawing is taken as 1 {}, as you say; its own size says {}.",
            unit.symbol(),
            mm(own)
        )),
        (Some(unit), _) => Some(format!(
            "One unit of the drawing is taken as 1 {}, as you say.",
            unit.symbol()
        )),
        (None, Some(own)) => Some(format!(
            "One unit of the drawing is {}, from the size the file gives.",
            mm(own)
        )),
        (None, None) => None,
    };
    Scale {
        to_mm: Affine::scale_non_uniform(sx, -sy),
        told,
    }
}

/// Size of one unit across and down from the file alone [mm].
fn own(root: Node<'_, '_>) -> Option<(f64, f64)> {
    let width = root.attribute("width").and_then(physical);
    let height = root.attribute("height").and_then(physical);
    if width.is_none() && height.is_none() {
        return None;
    }
    let Some(text) = root.attribute("viewBox") else {
        let px = MM_OF_INCH / PX_OF_INCH;
        return Some((px, px));
    };
    let view = ViewBox::from_str(text).ok()?;
    let across = width.map(|mm| mm / view.w);
    let down = height.map(|mm| mm / view.h);
    let (x, y) = (across.or(down)?, down.or(across)?);
    let fit = root.attribute("preserveAspectRatio").unwrap_or("");
    let scale = if fit.contains("none") {
        (x, y)
    } else if fit.contains("slice") {
        (x.max(y), x.max(y))
    } else {
        (x.min(y), x.min(y))
    };
    let sane = |mm: f64| mm.is_finite() && (1e-9..=1e9).contains(&mm);
    (sane(scale.0) && sane(scale.1)).then_some(scale)
}

/// A length that a ruler could measure [mm].
fn physical(text: &str) -> Option<f64> {
    let length = Length::from_str(text.trim()).ok()?;
    let mm = match length.unit {
        Suffix::Mm => 1.0,
        Suffix::Cm => 10.0,
        Suffix::In => MM_OF_INCH,
        Suffix::Pt => MM_OF_INCH / 72.0,
        Suffix::Pc => MM_OF_INCH / 6.0,
        Suffix::None | Suffix::Px | Suffix::Em | Suffix::Ex | Suffix::Percent => return None,
    };
    Some(length.number * mm).filter(|mm| *mm > 0.0 && mm.is_finite())
}

/// A length of a shape, in units of the drawing; none where it depends on a font or on the size of the page.
pub(super) fn user_length(text: &str) -> Option<f64> {
    let length = Length::from_str(text.trim()).ok()?;
    let px = match length.unit {
        Suffix::None | Suffix::Px => 1.0,
        Suffix::Mm => PX_OF_INCH / MM_OF_INCH,
        Suffix::Cm => 10.0 * PX_OF_INCH / MM_OF_INCH,
        Suffix::In => PX_OF_INCH,
        Suffix::Pt => PX_OF_INCH / 72.0,
        Suffix::Pc => PX_OF_INCH / 6.0,
        Suffix::Em | Suffix::Ex | Suffix::Percent => return None,
    };
    Some(length.number * px)
}
