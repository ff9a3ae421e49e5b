//! Reads the lines of an SVG drawing (W3C, Scalable Vector Graphics 2, 2018).
//!
//! Shapes, groups and their transforms, copies by reference, drawings within the drawing, style sheets, view box and
//! physical size. Not read: text and images.

mod css;
mod look;
mod page;
mod path;
mod size;

use super::pen::{Pen, drawn};
use super::{Drawing, Left, Scale, refuse};
use crate::read::Problem;
use css::Sheets;
use kurbo::{Affine, Point};
use look::{Look, property, said};
use page::Page;
use roxmltree::{Document, Node, ParsingOptions};
use std::collections::HashMap;
use std::f64::consts::{FRAC_PI_2, TAU};
use svgtypes::{PointsParser, TransformListParser, TransformListToken};

/// Most nodes of a file.
const MOST_NODES: u32 = 1_000_000;
/// Most attributes of one element, and most name space declarations of a file: what the parser does with them grows
/// with the square of their number.
const MOST_ATTRIBUTES: usize = 4000;
const MOST_SPACES: usize = 2000;
/// Longest document type, and most references to what it defines: they multiply.
const LONGEST_TYPE: usize = 16_384;
const MOST_REFERENCES: usize = 200;

const SVG_SPACE: &str = "http://www.w3.org/2000/svg";

/// How deep copies may stand in copies, and most of them.
const DEEPEST: usize = 8;
const MOST_COPIES: usize = 20_000;

/// The drawing in an SVG text.
pub(super) fn read(text: &str, asked: Scale) -> Result<Drawing, Problem> {
    guard(text)?;
    let options = ParsingOptions {
        allow_dtd: true,
        nodes_limit: MOST_NODES,
        ..ParsingOptions::default()
    };
    let document =
        Document::parse_with_options(text.trim_start_matches('\u{feff}').trim_start(), options)
            .map_err(|why| {
                refuse(format!(
                    "This SVG breaks off or is garbled at line {}. Save it again from the drawing.",
                    why.pos().row
                ))
            })?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(refuse("This file is XML, but no SVG drawing."));
    }
    let scale = size::of(root, asked);
    let (sheets, ids) = (Sheets::of(root), css::by_id(root));
    let (strokes, dropped, mut left) = drawn(|pen| {
        let mut reader = Reader {
            pen,
            left: Left::default(),
            page: Page::of(root, scale.to_mm),
            sheets: &sheets,
            ids: &ids,
            copies: 0,
            view: None,
        };
        reader.left.some(
            sheets.strange,
            "rule of a style sheet that may hide or move shapes",
            "rules of a style sheet that may hide or move shapes",
        );
        reader.tree(root, scale.to_mm)?;
        reader.page.close(&mut reader.pen, &mut reader.left);
        Ok((reader.pen, reader.left))
    })?;
    left.some(
        dropped,
        "line with a point that is no number or a kilometre off",
        "lines with a point that is no number or a kilometre off",
    );
    Ok(Drawing {
        strokes,
        left,
        unit: scale.told,
    })
}

/// Keeps away from the parser what it would take too long over.
fn guard(text: &str) -> Result<(), Problem> {
    let garbled = || {
        refuse(
            "This SVG is not as a drawing is saved: it holds far too many attributes or definitions. Save it again as plain SVG.",
        )
    };
    if text.matches("xmlns").count() > MOST_SPACES {
        return Err(garbled());
    }
    if text
        .split('<')
        .any(|tag| tag.matches('=').count() > MOST_ATTRIBUTES)
    {
        return Err(garbled());
    }
    if text.contains("<!ENTITY") {
        let (head, rest) = text.split_once("]>").ok_or_else(garbled)?;
        let nested = head.contains('&') || rest.contains("<!ENTITY");
        if nested || head.len() > LONGEST_TYPE || rest.matches('&').count() > MOST_REFERENCES {
            return Err(garbled());
        }
    }
    Ok(())
}

struct Reader<'a, 'input> {
    pen: Pen,
    left: Left,
    page: Page,
    sheets: &'a Sheets,
    ids: &'a HashMap<&'a str, Node<'a, 'input>>,
    copies: usize,
    /// Size of the view that shares are shares of.
    view: Option<[f64; 2]>,
}

/// An element to be drawn, with what it has from those about it.
#[derive(Clone, Copy)]
struct Next<'a, 'input> {
    node: Node<'a, 'input>,
    to_mm: Affine,
    look: Look,
    view: Option<[f64; 2]>,
    /// How deep in copies it stands, and the size that the copy gives it.
    deep: usize,
    size: Option<[Option<f64>; 2]>,
}

impl<'a, 'input> Reader<'a, 'input> {
    /// Everything under the root, without calling itself: a file may nest as deep as it likes.
    fn tree(&mut self, root: Node<'a, 'input>, to_mm: Affine) -> Result<(), Problem> {
        let length = |key: &str| {
            root.attribute(key)
                .and_then(|text| size::user_length(text, None))
        };
        let own = length("width").zip(length("height")).map(|(w, h)| [w, h]);
        let view = size::view_of(root).map(|view| [view.w, view.h]).or(own);
        let mut next = vec![Next {
            node: root,
            to_mm,
            look: Look::new(root),
            view,
            deep: 0,
            size: None,
        }];
        while let Some(one) = next.pop() {
            self.element(root, one, &mut next)?;
        }
        Ok(())
    }

    /// One element: draws it, or puts what it holds on the list.
    fn element(
        &mut self,
        root: Node<'a, 'input>,
        one: Next<'a, 'input>,
        next: &mut Vec<Next<'a, 'input>>,
    ) -> Result<(), Problem> {
        let node = one.node;
        let strange = node
            .tag_name()
            .namespace()
            .is_some_and(|space| space != SVG_SPACE);
        if !node.is_element() || strange {
            return Ok(());
        }
        let name = node.tag_name().name();
        let sheets = self.sheets;
        let (said, unsure) = said(node, sheets);
        let look = one.look.of(&said, unsure);
        // A symbol is shown where it is copied.
        let group = matches!(name, "svg" | "g" | "a" | "switch")
            || (name == "symbol" && one.size.is_some());
        // What a group hides may be shown again by what it holds; what is not displayed may not.
        let hidden = !(look.visible || group || name == "use");
        if property(&said, "display") == Some("none") || hidden {
            if !silent(name) {
                self.left
                    .one("hidden shape or group", "hidden shapes or groups");
            }
            return Ok(());
        }
        if property(&said, "clip-path").is_some_and(|clip| clip != "none") {
            self.left.one(
                "clip, so what it hides is there",
                "clips, so what they hide is there",
            );
        }
        let Some(mut to_mm) = moved(&said, one.to_mm) else {
            self.left.one(
                "shape that its style or an unreadable transform moves",
                "shapes that their style or an unreadable transform moves",
            );
            return Ok(());
        };
        let mut view = one.view;
        if matches!(name, "svg" | "symbol") && node != root {
            let (placed, inside) = size::within(node, view, one.size.unwrap_or_default());
            to_mm *= placed;
            view = inside;
        }
        match name {
            _ if group => {
                let from = next.len();
                let children = node.children().filter(Node::is_element);
                next.extend(children.map(|child| Next {
                    node: child,
                    to_mm,
                    look,
                    view,
                    deep: one.deep,
                    size: None,
                }));
                if let Some(added) = next.get_mut(from..) {
                    added.reverse();
                }
            }
            "text" => self.left.one("text", "texts"),
            "image" => self.left.one("image", "images"),
            "use" => next.extend(self.copy(node, to_mm, look, one)?),
            _ if silent(name) => {}
            _ if look.is_blank() => self.left.one(
                "shape without fill or line, which shows nothing",
                "shapes without fill or line, which show nothing",
            ),
            _ => {
                self.pen.to_mm = to_mm;
                self.pen.mark = look.mark();
                self.view = view;
                let before = self.pen.count();
                if self.shape(name, node)?.is_none() {
                    self.left.one(
                        "shape that could not be read",
                        "shapes that could not be read",
                    );
                }
                if look.is_white() {
                    let drawn = self.pen.taken_from(before);
                    let drawn = self.page.aside(drawn);
                    self.pen.add(drawn);
                }
            }
        }
        Ok(())
    }

    /// What a copy by reference puts at its place.
    fn copy(
        &mut self,
        node: Node<'a, 'input>,
        to_mm: Affine,
        look: Look,
        one: Next<'a, 'input>,
    ) -> Result<Option<Next<'a, 'input>>, Problem> {
        self.copies += 1;
        if self.copies > MOST_COPIES {
            return Err(refuse(format!(
                "This drawing puts in more than {MOST_COPIES} copies. Save the outline alone."
            )));
        }
        let link = node
            .attribute("href")
            .or_else(|| node.attribute(("http://www.w3.org/1999/xlink", "href")));
        let target = link
            .and_then(|link| link.trim().strip_prefix('#'))
            .and_then(|id| self.ids.get(id));
        let (Some(&target), true) = (target, one.deep < DEEPEST) else {
            self.left.one(
                "copy of what the file does not hold, or of itself",
                "copies of what the file does not hold, or of themselves",
            );
            return Ok(None);
        };
        let length = |key: &str, side: usize| {
            node.attribute(key)
                .and_then(|text| size::user_length(text, one.view.map(|view| view[side])))
        };
        let at = (length("x", 0).unwrap_or(0.0), length("y", 1).unwrap_or(0.0));
        Ok(Some(Next {
            node: target,
            to_mm: to_mm * Affine::translate(at),
            look,
            view: one.view,
            deep: one.deep + 1,
            size: Some([length("width", 0), length("height", 1)]),
        }))
    }

    /// One shape; none where its attributes make none.
    fn shape(&mut self, name: &str, node: Node<'_, '_>) -> Result<Option<()>, Problem> {
        let length = |key: &str| self.length(key, node.attribute(key).unwrap_or("0"));
        match name {
            "path" => return path::draw(&mut self.pen, node.attribute("d").unwrap_or("")),
            "polygon" | "polyline" => {
                for (x, y) in PointsParser::from(node.attribute("points").unwrap_or("")) {
                    self.pen.line_to(Point::new(x, y))?;
                }
                if name == "polygon" {
                    self.pen.close();
                } else {
                    self.pen.lift();
                }
            }
            "line" => {
                let ends = [length("x1"), length("y1"), length("x2"), length("y2")];
                let [Some(x1), Some(y1), Some(x2), Some(y2)] = ends else {
                    return Ok(None);
                };
                self.pen.move_to(Point::new(x1, y1))?;
                self.pen.line_to(Point::new(x2, y2))?;
                self.pen.lift();
            }
            "rect" => return self.rect(node),
            "circle" | "ellipse" => {
                let radii = if name == "circle" {
                    [length("r"), length("r")]
                } else {
                    match (node.attribute("rx"), node.attribute("ry")) {
                        (Some("auto") | None, Some(_)) => [length("ry"), length("ry")],
                        (Some(_), Some("auto") | None) => [length("rx"), length("rx")],
                        _ => [length("rx"), length("ry")],
                    }
                };
                let (Some(x), Some(y), [Some(rx), Some(ry)]) = (length("cx"), length("cy"), radii)
                else {
                    return Ok(None);
                };
                if rx <= 0.0 || ry <= 0.0 {
                    return Ok(None);
                }
                let placed = Affine::new([rx, 0.0, 0.0, ry, x, y]);
                self.pen.move_to(Point::new(x + rx, y))?;
                self.pen
                    .turn(placed, 0.0, TAU, Some(Point::new(x + rx, y)))?;
                self.pen.close();
            }
            _ => return Ok(None),
        }
        Ok(Some(()))
    }

    /// A length of a shape; a share is one of the width, the height or the root of their mean square.
    fn length(&self, key: &str, text: &str) -> Option<f64> {
        let whole = self.view.map(|[wide, tall]| match key {
            "x" | "cx" | "x1" | "x2" | "width" | "rx" => wide,
            "y" | "cy" | "y1" | "y2" | "height" | "ry" => tall,
            _ => wide.hypot(tall) * std::f64::consts::FRAC_1_SQRT_2,
        });
        size::user_length(text, whole)
    }

    fn rect(&mut self, node: Node<'_, '_>) -> Result<Option<()>, Problem> {
        let length = |key: &str| match node.attribute(key) {
            None | Some("auto") => Some(None),
            Some(text) => self.length(key, text).map(Some),
        };
        let all = [
            length("x"),
            length("y"),
            length("width"),
            length("height"),
            length("rx"),
            length("ry"),
        ];
        let [
            Some(x),
            Some(y),
            Some(Some(w)),
            Some(Some(h)),
            Some(rx),
            Some(ry),
        ] = all
        else {
            return Ok(None);
        };
        if w <= 0.0 || h <= 0.0 {
            return Ok(None);
        }
        let (x, y) = (x.unwrap_or(0.0), y.unwrap_or(0.0));
        // One radius alone counts for both; neither is longer than half its side.
        let (rx, ry) = (rx.or(ry).unwrap_or(0.0), ry.or(rx).unwrap_or(0.0));
        let (rx, ry) = (rx.clamp(0.0, w / 2.0), ry.clamp(0.0, h / 2.0));
        let (right, low) = (x + w, y + h);
        if rx == 0.0 || ry == 0.0 {
            for (px, py) in [(x, y), (right, y), (right, low), (x, low)] {
                self.pen.line_to(Point::new(px, py))?;
            }
            self.pen.close();
            return Ok(Some(()));
        }
        // Each corner: the centre of its arc, where the arc starts, and where it ends.
        let corners = [
            (
                (right - rx, y + ry),
                -FRAC_PI_2,
                (right, y + ry),
                (right - rx, y),
            ),
            (
                (right - rx, low - ry),
                0.0,
                (right - rx, low),
                (right, low - ry),
            ),
            ((x + rx, low - ry), FRAC_PI_2, (x, low - ry), (x + rx, low)),
            ((x + rx, y + ry), 2.0 * FRAC_PI_2, (x + rx, y), (x, y + ry)),
        ];
        for ((cx, cy), start, end, begin) in corners {
            self.pen.line_to(Point::new(begin.0, begin.1))?;
            self.pen.turn(
                Affine::new([rx, 0.0, 0.0, ry, cx, cy]),
                start,
                FRAC_PI_2,
                Some(Point::new(end.0, end.1)),
            )?;
        }
        self.pen.close();
        Ok(Some(()))
    }
}

/// Whether an element draws nothing by itself.
fn silent(name: &str) -> bool {
    matches!(
        name,
        "defs"
            | "style"
            | "symbol"
            | "clipPath"
            | "mask"
            | "marker"
            | "pattern"
            | "linearGradient"
            | "radialGradient"
            | "filter"
            | "script"
            | "title"
            | "desc"
            | "metadata"
            | "view"
    )
}

/// Where an element puts what it holds; none where that cannot be told.
fn moved(said: &[(&str, &str)], to_mm: Affine) -> Option<Affine> {
    let alone = ["translate", "rotate", "scale", "offset-path"];
    if alone
        .iter()
        .any(|key| property(said, key).is_some_and(|value| value != "none"))
    {
        return None;
    }
    let text = property(said, "transform").unwrap_or("");
    if matches!(text, "" | "none") {
        return Some(to_mm);
    }
    // In a style sheet numbers wear their units.
    let plain = text.replace("px", "").replace("deg", "");
    let mut whole = Affine::IDENTITY;
    for token in TransformListParser::from(plain.as_str()) {
        whole *= match token.ok()? {
            TransformListToken::Matrix { a, b, c, d, e, f } => Affine::new([a, b, c, d, e, f]),
            TransformListToken::Translate { tx, ty } => Affine::translate((tx, ty)),
            TransformListToken::Scale { sx, sy } => Affine::scale_non_uniform(sx, sy),
            TransformListToken::Rotate { angle } => Affine::rotate(angle.to_radians()),
            TransformListToken::SkewX { angle } => Affine::skew(angle.to_radians().tan(), 0.0),
            TransformListToken::SkewY { angle } => Affine::skew(0.0, angle.to_radians().tan()),
        };
    }
    let about = match property(said, "transform-origin") {
        None => (0.0, 0.0),
        Some(text) => {
            let mut lengths = text
                .split_ascii_whitespace()
                .map(|word| size::user_length(word, None));
            (lengths.next()??, lengths.next()??)
        }
    };
    Some(to_mm * Affine::translate(about) * whole * Affine::translate((-about.0, -about.1)))
}
