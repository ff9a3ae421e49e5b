//! What an SVG element shows, from its style and attributes and from the groups it stands in.

use roxmltree::Node;
use svgtypes::{Color, Paint};

/// The colours that a style sheet may set, beside what it may hide.
const PAINTS: [&str; 3] = ["fill", "stroke", "opacity"];

/// What fills a shape, or draws its edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ink {
    Nothing,
    White,
    Colour,
}

/// What is handed down from a group to what it holds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    /// Not hidden by `visibility`, which what stands inside may undo.
    pub(super) visible: bool,
    /// Whether a style sheet may paint: then only what an element says in its own style is sure.
    sheet: bool,
    fill: Ink,
    fill_clear: bool,
    stroke: Ink,
    stroke_clear: bool,
    stroke_thin: bool,
    /// Clear as a whole, with all that it holds.
    clear: bool,
}

impl Look {
    /// Of a drawing as a whole: black, without lines.
    pub(super) fn new(root: Node<'_, '_>) -> Self {
        let sheet = has_sheet(root);
        Self {
            visible: true,
            sheet,
            fill: Ink::Colour,
            fill_clear: false,
            stroke: if sheet { Ink::Colour } else { Ink::Nothing },
            stroke_clear: false,
            stroke_thin: false,
            clear: false,
        }
    }

    /// Of an element in a group that looks like this.
    pub(super) fn of(self, node: Node<'_, '_>) -> Self {
        let mut look = self;
        if self.sheet {
            // The sheet may say otherwise of each element; what a group wears as a whole stays.
            look = Self {
                visible: self.visible,
                clear: self.clear,
                sheet: true,
                fill: Ink::Colour,
                fill_clear: false,
                stroke: Ink::Colour,
                stroke_clear: false,
                stroke_thin: false,
            };
        }
        for attribute in node.attributes() {
            if attribute.namespace().is_none() {
                look.take(attribute.name(), attribute.value(), !self.sheet);
            }
        }
        let style = node.attribute("style").unwrap_or("");
        for (key, value) in style.split(';').filter_map(|part| part.split_once(':')) {
            let value = value.trim();
            let value = value.strip_suffix("!important").unwrap_or(value);
            look.take(key.trim(), value, true);
        }
        look
    }

    /// One property; what paints only where that is `sure`.
    fn take(&mut self, key: &str, value: &str, sure: bool) {
        let value = value.trim();
        match key {
            "visibility" => match value {
                "hidden" | "collapse" => self.visible = false,
                "visible" => self.visible = true,
                _ => {}
            },
            _ if !sure => {}
            "fill" => self.fill = ink(value).unwrap_or(self.fill),
            "stroke" => self.stroke = ink(value).unwrap_or(self.stroke),
            "fill-opacity" => self.fill_clear = nought(value).unwrap_or(self.fill_clear),
            "stroke-opacity" => self.stroke_clear = nought(value).unwrap_or(self.stroke_clear),
            "stroke-width" => self.stroke_thin = nought(value).unwrap_or(self.stroke_thin),
            "opacity" => self.clear |= nought(value).unwrap_or(false),
            _ => {}
        }
    }

    fn is_drawn(self) -> bool {
        self.stroke != Ink::Nothing && !self.stroke_clear && !self.stroke_thin
    }

    fn is_filled(self) -> bool {
        self.fill != Ink::Nothing && !self.fill_clear
    }

    /// Whether a shape that looks like this shows nothing at all.
    pub(super) fn is_blank(self) -> bool {
        self.clear || !(self.is_drawn() || self.is_filled())
    }

    /// Whether it is white and no more, as paper is.
    pub(super) fn is_white(self) -> bool {
        self.fill == Ink::White && !self.is_drawn()
    }
}

/// What a paint puts down; none where it is handed down or not understood.
fn ink(value: &str) -> Option<Ink> {
    match Paint::from_str(value).ok()? {
        Paint::None => Some(Ink::Nothing),
        Paint::Inherit => None,
        Paint::Color(Color { alpha: 0, .. }) => Some(Ink::Nothing),
        Paint::Color(color) if [color.red, color.green, color.blue] == [255; 3] => Some(Ink::White),
        _ => Some(Ink::Colour),
    }
}

/// Whether an opacity or a width is nought; none where it is no number.
fn nought(value: &str) -> Option<bool> {
    let number = value.trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == '%');
    number.trim().parse::<f64>().ok().map(|x| x <= 0.0)
}

/// Whether a style sheet may paint shapes.
fn has_sheet(root: Node<'_, '_>) -> bool {
    let whole = root.document().root();
    whole.descendants().any(|node| {
        let linked = node.pi().is_some_and(|pi| pi.target == "xml-stylesheet");
        let paints = |below: Node<'_, '_>| {
            let text = below.text().unwrap_or("");
            below.is_text() && PAINTS.iter().any(|word| text.contains(word))
        };
        linked || (node.tag_name().name() == "style" && node.descendants().any(paints))
    })
}

/// A property, from the style of an element or its own attribute.
pub(super) fn property<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    let styled = node.attribute("style").and_then(|style| {
        style
            .split(';')
            .filter_map(|part| part.split_once(':'))
            .find(|(key, _)| key.trim() == name)
            .map(|(_, value)| value.trim())
    });
    styled.or_else(|| node.attribute(name).map(str::trim))
}
