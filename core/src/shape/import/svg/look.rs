//! What an SVG element shows, from its style and attributes and from the groups it stands in.

use super::super::left::names_sheet;
use super::super::pen::Mark;
use super::css::{Sheets, declarations};
use roxmltree::Node;
use std::hash::{Hash, Hasher};
use svgtypes::{Color, Paint};

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
    /// Whether a sheet in another file may paint: then only what an element says in its own style is sure.
    sheet: bool,
    fill: Ink,
    fill_clear: bool,
    stroke: Ink,
    stroke_clear: bool,
    stroke_thin: bool,
    /// Drawn in long and short dashes by turns.
    dashed: bool,
    /// Clear as a whole, with all that it holds.
    clear: bool,
    /// Named as the paper or a frame on it.
    named: bool,
    paint: [u64; 2],
}

/// What an element says of its look, what counts most last: attributes, style sheets, its own style.
pub(super) fn said<'a>(node: Node<'a, '_>, sheets: &'a Sheets) -> (Vec<(&'a str, &'a str)>, usize) {
    let mut all: Vec<(&str, &str)> = node
        .attributes()
        .filter(|attribute| attribute.namespace().is_none())
        .map(|attribute| (attribute.name(), attribute.value().trim()))
        .collect();
    let unsure = all.len();
    all.extend(sheets.say(node));
    all.extend(declarations(node.attribute("style").unwrap_or("")));
    (all, unsure)
}

/// One property of an element, of what it says.
pub(super) fn property<'a>(said: &[(&'a str, &'a str)], name: &str) -> Option<&'a str> {
    said.iter()
        .rev()
        .find(|(key, _)| *key == name)
        .map(|(_, value)| *value)
}

impl Look {
    /// Of a drawing as a whole: black, without lines.
    pub(super) fn new(root: Node<'_, '_>) -> Self {
        let sheet = has_other_sheet(root);
        Self {
            visible: true,
            sheet,
            fill: Ink::Colour,
            fill_clear: false,
            stroke: if sheet { Ink::Colour } else { Ink::Nothing },
            stroke_clear: false,
            stroke_thin: false,
            dashed: false,
            clear: false,
            named: false,
            paint: [number_of("black"), number_of("none")],
        }
    }

    /// Of an element that says this, in a group that looks like this; attributes, which a sheet in another file may
    /// overrule, come first, `unsure` of them.
    pub(super) fn of(self, said: &[(&str, &str)], unsure: usize) -> Self {
        let mut look = self;
        if self.sheet {
            // The sheet may say otherwise of each element; what a group wears as a whole stays.
            look = Self {
                visible: self.visible,
                clear: self.clear,
                named: self.named,
                sheet: true,
                fill: Ink::Colour,
                fill_clear: false,
                stroke: Ink::Colour,
                stroke_clear: false,
                stroke_thin: false,
                dashed: false,
                paint: [0; 2],
            };
        }
        for (i, (key, value)) in said.iter().enumerate() {
            look.take(key, value, i >= unsure || !self.sheet);
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
            "fill" => {
                self.fill = ink(value).unwrap_or(self.fill);
                self.paint[0] = number_of(value);
            }
            "stroke" => {
                self.stroke = ink(value).unwrap_or(self.stroke);
                self.paint[1] = number_of(value);
            }
            "stroke-dasharray" => {
                let numbers = value.split([',', ' ']).filter(|word| !word.is_empty());
                self.dashed = numbers.count() >= 4;
            }
            "id" | "class" | "label" => self.named |= names_sheet(value),
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

    /// What is to be known of a line that looks like this.
    pub(super) fn mark(self) -> Mark {
        let mut hasher = std::hash::DefaultHasher::new();
        (self.paint, self.is_filled(), self.is_drawn()).hash(&mut hasher);
        Mark {
            filled: self.is_filled(),
            lined: self.is_drawn(),
            white: self.fill == Ink::White,
            sheet: self.named,
            axis: self.dashed && !self.is_filled(),
            face: false,
            paint: hasher.finish(),
        }
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

/// Whether a sheet in another file may paint shapes.
fn has_other_sheet(root: Node<'_, '_>) -> bool {
    let mut whole = root.document().root().children();
    whole.any(|node| node.pi().is_some_and(|pi| pi.target == "xml-stylesheet"))
}

/// A number for a paint, the same for the same colour however it is written.
fn number_of(text: &str) -> u64 {
    let mut hasher = std::hash::DefaultHasher::new();
    match Paint::from_str(text) {
        Ok(Paint::None) => 0.hash(&mut hasher),
        Ok(Paint::Color(c)) => (c.red, c.green, c.blue, c.alpha).hash(&mut hasher),
        _ => text.hash(&mut hasher),
    }
    hasher.finish()
}
