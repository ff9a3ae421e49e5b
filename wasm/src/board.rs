//! The drawing board of a fill, kept between calls so that a line can be dragged.

use super::{Refusal, document, give, shelf};
use serde::Serialize;
use wasm_bindgen::prelude::{JsValue, wasm_bindgen};

/// A plan on the drawing board. Nothing throws; what stands in the way is told by `problems`.
#[wasm_bindgen]
pub struct Board {
    board: Option<bastwork::Board>,
    problems: Vec<bastwork::Problem>,
}

#[wasm_bindgen]
impl Board {
    /// Puts a plan on the board.
    #[wasm_bindgen(constructor)]
    #[must_use]
    pub fn new(plan: &JsValue, own: &JsValue) -> Self {
        match shelf(own) {
            Ok(shelf) => {
                let board = bastwork::Board::new(&document(plan), &shelf);
                Self {
                    problems: board.problems().to_vec(),
                    board: Some(board),
                }
            }
            Err(problems) => Self {
                board: None,
                problems,
            },
        }
    }

    /// What stands in the way of a picture; empty when nothing does.
    #[must_use]
    pub fn problems(&self) -> JsValue {
        give(&self.problems)
    }

    /// Points of the triangles, x, y and z one after another, in millimetres.
    #[must_use]
    pub fn points(&self) -> Vec<f32> {
        self.board
            .as_ref()
            .map(bastwork::Board::points)
            .unwrap_or_default()
    }

    /// The sides of a flat part, each a list of corners with x and y in millimetres.
    #[must_use]
    pub fn sides(&self) -> JsValue {
        give(
            &self
                .board
                .as_ref()
                .map(bastwork::Board::sides)
                .unwrap_or_default(),
        )
    }

    /// Corners of the triangles, three each.
    #[must_use]
    pub fn triangles(&self) -> Vec<u32> {
        self.board
            .as_ref()
            .map(bastwork::Board::triangles)
            .unwrap_or_default()
    }

    /// Replaces the lines; problems where they cannot be read, and then the old ones stay.
    pub fn set_lines(&mut self, lines: &JsValue) -> JsValue {
        let lines = document(lines);
        give(
            &self
                .board
                .as_mut()
                .map(|board| board.set_lines(&lines))
                .unwrap_or_default(),
        )
    }

    /// The time to fill and the last place, from one solve.
    pub fn quick(&mut self) -> JsValue {
        told(self.board.as_mut().and_then(bastwork::Board::quick))
    }

    /// Minutes until resin comes to each point; not a number where it never does.
    pub fn arrival(&mut self) -> Vec<f32> {
        self.board
            .as_mut()
            .map(bastwork::Board::arrival)
            .unwrap_or_default()
    }

    /// When it gels in the part, low, likely and high, in minutes.
    #[must_use]
    pub fn gel(&self) -> Vec<f64> {
        self.board
            .as_ref()
            .map(|board| board.gel().to_vec())
            .unwrap_or_default()
    }

    /// The drawn fill in words and figures; null when there is none.
    pub fn drawn(&mut self) -> JsValue {
        told(self.board.as_mut().and_then(bastwork::Board::drawn))
    }

    /// The best ways to feed the part; null when there is none.
    pub fn layouts(&mut self) -> JsValue {
        told(self.board.as_mut().and_then(bastwork::Board::layouts))
    }
}

/// What fronts that were watched say of the cloth: `{ sentence, full, cloths }`, null when none was, or `{ problems }`.
#[wasm_bindgen]
#[must_use]
pub fn learn(plan: &JsValue, own: &JsValue) -> JsValue {
    let worked = shelf(own).and_then(|shelf| bastwork::watched(&document(plan), &shelf));
    match worked {
        Ok(found) => told(found),
        Err(problems) => give(&Refusal { problems }),
    }
}

fn told(found: Option<impl Serialize>) -> JsValue {
    found.map_or(JsValue::NULL, |found| give(&found))
}

/// All that a drawing file holds, and the shape of the part as it is wished: a reading, or `{ problems }`.
///
/// `wish` says what was chosen so far, `{}` at first: `unit` (`mm`, `cm`, `m`, `in`, `ft`, `px`, `pt`), `measure`
/// (`{ side, mm }`), `pick`, `up`, `turns`, `mirror`.
#[wasm_bindgen]
#[must_use]
pub fn read_file(name: &str, bytes: &[u8], wish: &JsValue) -> JsValue {
    use bastwork::shape::import;
    // What is no wish asks for nothing.
    let wish = serde_json::from_value(document(wish)).unwrap_or_default();
    match import::read_file(name, bytes, &wish) {
        Ok(reading) => give(&reading),
        Err(problems) => give(&Refusal { problems }),
    }
}
