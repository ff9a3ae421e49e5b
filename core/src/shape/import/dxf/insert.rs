//! Puts a block of a DXF into the drawing, as often as its rows and columns say.

use super::super::refuse;
use super::entity::Sheet;
use super::groups::Record;
use crate::read::Problem;
use kurbo::Affine;

/// How deep blocks may stand in blocks.
const DEEPEST: usize = 8;
/// Most blocks put in, each copy counted.
const MOST_COPIES: usize = 10_000;

impl<'a> Sheet<'a> {
    /// Draws a block at its place.
    pub(super) fn insert(
        &mut self,
        record: Record<'a>,
        to_mm: Affine,
        depth: usize,
    ) -> Result<(), Problem> {
        let Some(block) = record.text(2).and_then(|name| self.file.blocks.get(name)) else {
            self.left.one(
                "block that the file does not hold",
                "blocks that the file does not hold",
            );
            return Ok(());
        };
        if depth >= DEEPEST {
            self.left.one(
                "block more than 8 deep in others",
                "blocks more than 8 deep in others",
            );
            return Ok(());
        }
        let number = |code: i32, usual: f64| record.number(code).unwrap_or(usual);
        let tilted = number(210, 0.0).hypot(number(220, 0.0)) > 1e-6;
        if tilted {
            self.left.one(
                "shape that could not be read",
                "shapes that could not be read",
            );
            return Ok(());
        }
        let mirror = Affine::scale_non_uniform(number(230, 1.0).signum(), 1.0);
        let placed = mirror
            * Affine::translate((number(10, 0.0), number(20, 0.0)))
            * Affine::rotate(number(50, 0.0).to_radians());
        let scaled = Affine::scale_non_uniform(number(41, 1.0), number(42, 1.0))
            * Affine::translate((-block.base.0, -block.base.1));
        let count = |code: i32| record.whole(code).unwrap_or(1).max(1);
        for row in 0..count(71) {
            for column in 0..count(70) {
                self.copies += 1;
                if self.copies > MOST_COPIES {
                    return Err(refuse(format!(
                        "This drawing puts in more than {MOST_COPIES} blocks. Save the outline alone."
                    )));
                }
                // Counts end at the limit above, far below where a float would lose one.
                let step = Affine::translate((
                    number(44, 0.0) * column as f64,
                    number(45, 0.0) * row as f64,
                ));
                self.draw(block.entities, to_mm * placed * step * scaled, depth + 1)?;
            }
        }
        Ok(())
    }
}
