//! Reads the style sheets of an SVG (W3C, Selectors Level 3, 2018): names, classes and keys, and one inside another.
//!
//! Of at-rules the media that a screen has is taken; what a rule asks beyond that is not read, and told where it may hide
//! or move something.

use crate::solve::sort::sort_by_key;
use roxmltree::Node;
use std::collections::HashMap;

/// Most rules, and most elements times rules that are held against each other.
const MOST_RULES: usize = 4000;
const MOST_WORK: usize = 30_000_000;

/// What may hide or move a shape.
const MOVES: [&str; 4] = ["display", "visibility", "transform", "clip-path"];

/// The style sheets of a drawing.
#[derive(Debug, Default)]
pub(super) struct Sheets {
    rules: Vec<Rule>,
    /// Rules that are not understood and may hide or move something.
    pub(super) strange: usize,
}

#[derive(Debug)]
struct Rule {
    /// From the outermost to what it is for.
    steps: Vec<Step>,
    weight: [usize; 3],
    says: Vec<(String, String)>,
}

/// One element of a selector.
#[derive(Debug, Default, PartialEq)]
struct Step {
    name: Option<String>,
    id: Option<String>,
    classes: Vec<String>,
    /// Right inside the one before.
    child: bool,
}

impl Sheets {
    /// Those of a document.
    pub(super) fn of(root: Node<'_, '_>) -> Self {
        let mut sheets = Self::default();
        let mut elements = 0;
        for node in root.descendants().filter(Node::is_element) {
            elements += 1;
            if node.tag_name().name() == "style" {
                let text: String = node
                    .descendants()
                    .filter(Node::is_text)
                    .filter_map(|below| below.text())
                    .collect();
                sheets.read(&without_comments(&text), 0);
            }
        }
        if sheets.rules.len() * elements > MOST_WORK || sheets.rules.len() > MOST_RULES {
            sheets.rules.clear();
            sheets.strange += 1;
        }
        // Heavier rules speak last; of equal ones the later.
        sort_by_key(&mut sheets.rules, |rule| rule.weight);
        sheets
    }

    fn read(&mut self, text: &str, depth: usize) {
        let mut rest = text;
        while let Some((head, after)) = rest.split_once('{') {
            let Some(end) = closing(after) else { break };
            let (body, next) = after.split_at(end);
            rest = next.get(1..).unwrap_or("");
            // What stands before the last semicolon is a line by itself, such as the name of a file to bring in.
            let head = head.rsplit(';').next().unwrap_or("").trim();
            if let Some(at) = head.strip_prefix('@') {
                let shown = at.starts_with("media") && !at.contains("print");
                if shown && depth < 4 {
                    self.read(body, depth + 1);
                }
                continue;
            }
            let says: Vec<(String, String)> = declarations(body)
                .map(|(key, value)| (key.to_owned(), value.to_owned()))
                .collect();
            for selector in head.split(',') {
                match steps(selector.trim()) {
                    Some(steps) if self.rules.len() <= MOST_RULES => self.rules.push(Rule {
                        weight: weight(&steps),
                        steps,
                        says: says.clone(),
                    }),
                    _ => {
                        let may = says.iter().any(|(key, _)| MOVES.contains(&key.as_str()));
                        self.strange += usize::from(may);
                    }
                }
            }
        }
    }

    /// What the sheets say of an element, what counts most last.
    pub(super) fn say(&self, node: Node<'_, '_>) -> impl Iterator<Item = (&str, &str)> {
        self.rules
            .iter()
            .filter(move |rule| rule.is_for(node))
            .flat_map(|rule| &rule.says)
            .map(|(key, value)| (key.as_str(), value.as_str()))
    }
}

/// The properties of a body or of a style attribute.
pub(super) fn declarations(body: &str) -> impl Iterator<Item = (&str, &str)> {
    body.split(';')
        .filter_map(|part| part.split_once(':'))
        .map(|(key, value)| {
            let value = value.trim();
            (
                key.trim(),
                value.strip_suffix("!important").unwrap_or(value).trim(),
            )
        })
}

fn without_comments(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("/*") {
        out += before;
        rest = after.split_once("*/").map_or("", |(_, after)| after);
    }
    out += rest;
    out.replace("<!--", " ").replace("-->", " ")
}

/// Where the bracket closes that was open before this text.
fn closing(text: &str) -> Option<usize> {
    let mut depth = 1;
    for (at, c) in text.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return Some(at);
        }
    }
    None
}

fn weight(steps: &[Step]) -> [usize; 3] {
    let count = |of: &dyn Fn(&Step) -> usize| steps.iter().map(of).sum();
    [
        count(&|step| usize::from(step.id.is_some())),
        count(&|step| step.classes.len()),
        count(&|step| usize::from(step.name.is_some())),
    ]
}

fn steps(selector: &str) -> Option<Vec<Step>> {
    let spaced = selector.replace('>', " > ");
    let mut steps: Vec<Step> = Vec::new();
    let mut child = false;
    for word in spaced.split_ascii_whitespace() {
        if word == ">" {
            child = true;
            continue;
        }
        let mut step = Step {
            child: std::mem::take(&mut child),
            ..Step::default()
        };
        let mut rest = word;
        while !rest.is_empty() {
            let end = rest
                .char_indices()
                .skip(1)
                .find(|(_, c)| matches!(c, '.' | '#'))
                .map_or(rest.len(), |(at, _)| at);
            let (piece, next) = rest.split_at(end);
            rest = next;
            let plain = |name: &str| {
                !name.is_empty()
                    && name
                        .chars()
                        .all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'))
            };
            let (kind, name) = match (piece.strip_prefix('.'), piece.strip_prefix('#')) {
                (Some(class), _) => ('.', class),
                (_, Some(id)) => ('#', id),
                _ => (' ', piece),
            };
            if kind == ' ' && name == "*" {
                continue;
            }
            // What it asks beyond names is not understood.
            if !plain(name) {
                return None;
            }
            match kind {
                '.' => step.classes.push(name.to_owned()),
                '#' => step.id = Some(name.to_owned()),
                _ => step.name = Some(name.rsplit('|').next().unwrap_or(name).to_owned()),
            }
        }
        steps.push(step);
    }
    (!steps.is_empty() && steps.len() <= 16).then_some(steps)
}

impl Rule {
    fn is_for(&self, node: Node<'_, '_>) -> bool {
        let Some((last, outer)) = self.steps.split_last() else {
            return false;
        };
        if !last.fits(node) {
            return false;
        }
        let mut at = node;
        let mut right_above = last.child;
        for step in outer.iter().rev() {
            loop {
                let Some(above) = at.parent_element() else {
                    return false;
                };
                at = above;
                if step.fits(at) {
                    break;
                }
                if right_above {
                    return false;
                }
            }
            right_above = step.child;
        }
        true
    }
}

impl Step {
    fn fits(&self, node: Node<'_, '_>) -> bool {
        let name = self.name.as_deref();
        let classes = || {
            node.attribute("class")
                .unwrap_or("")
                .split_ascii_whitespace()
        };
        name.is_none_or(|name| node.tag_name().name() == name)
            && self
                .id
                .as_deref()
                .is_none_or(|id| node.attribute("id") == Some(id))
            && self
                .classes
                .iter()
                .all(|class| classes().any(|one| one == class))
    }
}

/// Elements by their id.
pub(super) fn by_id<'a, 'input>(root: Node<'a, 'input>) -> HashMap<&'a str, Node<'a, 'input>> {
    root.descendants()
        .filter_map(|node| Some((node.attribute("id")?, node)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_weigh_and_nest_as_selectors_say() {
        let text = r##"<svg><style>/* a */ @media print { .a { fill: red } } @import "x"; g .a, #b { fill: green }
            .a { fill: blue; stroke: none !important } rect { fill: white } g > rect.c { display: none } a:hover { display: none }</style>
            <g><rect class="a z" id="r"/></g><rect class="c"/><g><rect class="c"/><a><rect class="c"/></a></g></svg>"##;
        let document = roxmltree::Document::parse(text).unwrap();
        let sheets = Sheets::of(document.root_element());
        assert_eq!(sheets.strange, 1);
        let last = |node: Node<'_, '_>, key: &str| {
            sheets
                .say(node)
                .filter(|(name, _)| *name == key)
                .last()
                .map(|(_, value)| value.to_owned())
        };
        let all: Vec<Node<'_, '_>> = document
            .descendants()
            .filter(|node| node.has_tag_name("rect"))
            .collect();
        assert_eq!(last(all[0], "fill").as_deref(), Some("green"));
        assert_eq!(last(all[0], "stroke").as_deref(), Some("none"));
        let hidden: Vec<bool> = all
            .iter()
            .map(|node| last(*node, "display").is_some())
            .collect();
        assert_eq!(hidden, [false, false, true, false]);
    }
}
