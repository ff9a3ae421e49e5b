//! The page of an SVG drawing, and what is drawn to stand for it: a white rectangle as large as it.

use super::super::Left;
use super::super::pen::{Pen, Stroke, extent};
use super::size::{user_length, view_of};
use crate::shape::{Loop, area};
use kurbo::{Affine, Rect};
use roxmltree::Node;

/// How far a rectangle may lie off the edge of the page, as a share of the longer side of the page.
const OFF: f64 = 0.005;

/// The page.
pub(super) struct Page {
    /// Its edge [mm]; none where the file gives no size.
    edge: Option<Rect>,
    /// What was drawn to stand for it.
    sheets: Vec<Stroke>,
}

impl Page {
    pub(super) fn of(root: Node<'_, '_>, to_mm: Affine) -> Self {
        let view = view_of(root);
        let length = |key: &str| root.attribute(key).and_then(|text| user_length(text, None));
        let edge = match (view, length("width"), length("height")) {
            (Some(view), _, _) => Some(Rect::new(view.x, view.y, view.x + view.w, view.y + view.h)),
            (None, Some(w), Some(h)) => Some(Rect::new(0.0, 0.0, w, h)),
            _ => None,
        };
        Self {
            edge: edge.map(|edge| to_mm.transform_rect_bbox(edge)),
            sheets: Vec::new(),
        }
    }

    /// Keeps what was just drawn in white aside, where it is a rectangle as large as the page; else hands it back.
    pub(super) fn aside(&mut self, mut drawn: Vec<Stroke>) -> Vec<Stroke> {
        if let (Some(edge), [only]) = (self.edge, drawn.as_slice()) {
            let (low, high) = extent(only.points.iter());
            let off = OFF * edge.width().max(edge.height());
            let apart = [
                low.x - edge.x0,
                low.y - edge.y0,
                high.x - edge.x1,
                high.y - edge.y1,
            ];
            let ring: Loop = only
                .points
                .iter()
                .map(|p| [p.x - low.x, p.y - low.y])
                .collect();
            let whole = (high.x - low.x) * (high.y - low.y);
            // Anything but a rectangle holds less than its box.
            if apart.iter().all(|x| x.abs() <= off) && area(&ring).abs() >= whole * (1.0 - OFF) {
                self.sheets.append(&mut drawn);
            }
        }
        drawn
    }

    /// Puts what was kept aside back where it is no page but all there is; else it is counted as left out.
    pub(super) fn close(self, pen: &mut Pen, left: &mut Left) {
        if pen.count() == 0 {
            return pen.add(self.sheets);
        }
        left.some(
            self.sheets.len(),
            "white page behind the drawing",
            "white pages behind the drawing",
        );
    }
}
