//! What one unit of an SVG drawing is, from its size, its view box, or what the maker says.

use super::super::Scale as Asked;
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
pub(super) fn of(root: Node<'_, '_>, asked: Asked) -> Scale {
    let (own, unit) = (own(root), asked.unit);
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
        to_mm: Affine::scale_non_uniform(sx * asked.times, -sy * asked.times),
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

/// A length of a shape, in units of the drawing; a share is one of `whole`. None where it depends on a font.
pub(super) fn user_length(text: &str, whole: Option<f64>) -> Option<f64> {
    let length = Length::from_str(text.trim()).ok()?;
    let px = match length.unit {
        Suffix::None | Suffix::Px => 1.0,
        Suffix::Mm => PX_OF_INCH / MM_OF_INCH,
        Suffix::Cm => 10.0 * PX_OF_INCH / MM_OF_INCH,
        Suffix::In => PX_OF_INCH,
        Suffix::Pt => PX_OF_INCH / 72.0,
        Suffix::Pc => PX_OF_INCH / 6.0,
        Suffix::Percent => whole? / 100.0,
        Suffix::Em | Suffix::Ex => return None,
    };
    Some(length.number * px)
}

/// The size of what a drawing, or one within it, is seen through [units inside].
pub(super) fn view_of(node: Node<'_, '_>) -> Option<ViewBox> {
    let text = node.attribute("viewBox")?;
    ViewBox::from_str(text)
        .ok()
        .filter(|view| view.w > 0.0 && view.h > 0.0)
}

/// Where a drawing within the drawing puts what it holds, and the size of its own view; `whole` is that of the drawing
/// about it, `size` what a copy says in its stead.
pub(super) fn within(
    node: Node<'_, '_>,
    whole: Option<[f64; 2]>,
    size: [Option<f64>; 2],
) -> (Affine, Option<[f64; 2]>) {
    let length = |key: &str, side: usize| {
        let whole = whole.map(|whole| whole[side]);
        node.attribute(key)
            .and_then(|text| user_length(text, whole))
    };
    let at = (length("x", 0).unwrap_or(0.0), length("y", 1).unwrap_or(0.0));
    let wide = size[0]
        .or(length("width", 0))
        .or(whole.map(|whole| whole[0]));
    let tall = size[1]
        .or(length("height", 1))
        .or(whole.map(|whole| whole[1]));
    let moved = Affine::translate(at);
    let Some(view) = view_of(node) else {
        return (moved, wide.zip(tall).map(|(w, h)| [w, h]).or(whole));
    };
    let inside = Some([view.w, view.h]);
    let (Some(wide), Some(tall)) = (wide, tall) else {
        return (moved * Affine::translate((-view.x, -view.y)), inside);
    };
    let (x, y) = (wide / view.w, tall / view.h);
    let fit = node.attribute("preserveAspectRatio").unwrap_or("");
    let (sx, sy) = if fit.contains("none") {
        (x, y)
    } else if fit.contains("slice") {
        (x.max(y), x.max(y))
    } else {
        (x.min(y), x.min(y))
    };
    let share = |low: &str, high: &str| match () {
        () if fit.contains(low) => 0.0,
        () if fit.contains(high) => 1.0,
        () => 0.5,
    };
    let off = (
        (wide - sx * view.w) * share("xMin", "xMax"),
        (tall - sy * view.h) * share("YMin", "YMax"),
    );
    let placed = moved
        * Affine::translate(off)
        * Affine::scale_non_uniform(sx, sy)
        * Affine::translate((-view.x, -view.y));
    (placed, inside)
}
