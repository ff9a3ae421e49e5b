//! Longest sides cut in half until none is too long: no angle becomes less than half the least there was (Rivara 1984).

use super::{Side, Skin, far, nearest_on};

/// How long sides near a bore are, as a share of its radius or of the distance from it.
const NEAR: f64 = 0.4;

impl Skin {
    /// The longest side of a face; of two that are alike, always the same one.
    fn longest(&self, face: u32) -> Side {
        let mut best = (face, 0);
        let mut most = (f64::NEG_INFINITY, [0; 2]);
        for k in 0..3 {
            let [a, b] = self.ends((face, k));
            // The same to the last bit from either face.
            let (a, b) = (a.min(b), a.max(b));
            let own = (far(self.place(a), self.place(b)), [a, b]);
            if own > most {
                (best, most) = ((face, k), own);
            }
        }
        best
    }

    /// Cuts the longest side of a face, after the longer ones of its neighbours.
    fn halve(&mut self, face: u32) {
        let mut side = self.longest(face);
        loop {
            let others = self.round(side).into_iter();
            let longer = others
                .map(|(face, k)| ((face, k), self.longest(face)))
                .find(|(own, longest)| own != longest);
            match longer {
                // Each is longer than the one before it, so that this ends.
                Some((_, longest)) => side = longest,
                None => break,
            }
        }
        let [a, b] = self.ends(side);
        let (p, q) = (self.place(a), self.place(b));
        self.split_side(side, [0, 1, 2].map(|k| f64::midpoint(p[k], q[k])));
    }

    /// Cuts faces until each has no side longer than `size` says of its corners, or there are `most`.
    pub(crate) fn refine(&mut self, size: impl Fn([[f64; 3]; 3]) -> f64, most: usize) {
        loop {
            let mut found = false;
            let mut face = 0;
            while face < self.corners.len() as u32 {
                while self.length(self.longest(face)) > size(self.triangle(face)) {
                    if self.corners.len() >= most {
                        return;
                    }
                    self.halve(face);
                    found = true;
                }
                face += 1;
            }
            if !found {
                return;
            }
        }
    }

    /// Cuts faces round a place until a bore of this radius is resolved, ever less with the distance.
    pub(crate) fn refine_round(&mut self, middle: [f64; 3], radius: f64, most: usize) {
        let size = |triangle: [[f64; 3]; 3]| {
            let away = far(middle, nearest_on(middle, triangle));
            NEAR * away.max(radius)
        };
        self.refine(size, most);
    }
}
