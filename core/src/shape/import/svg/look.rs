//! What an SVG element shows, from its style and attributes and from the groups it stands in.

use roxmltree::Node;

/// What is handed down from a group to what it holds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    /// Not hidden by `visibility`, which what stands inside may undo.
    pub(super) visible: bool,
}

impl Look {
    /// Of a drawing as a whole.
    pub(super) fn new() -> Self {
        Self { visible: true }
    }

    /// Of an element in a group that looks like this.
    pub(super) fn of(self, node: Node<'_, '_>) -> Self {
        let mut look = self;
        match property(node, "visibility") {
            Some("hidden" | "collapse") => look.visible = false,
            Some("visible") => look.visible = true,
            _ => {}
        }
        look
    }
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
