//! Moments along held edges, chosen so that the edges do not turn.

use super::series::{Field, Mode, soft};
use crate::solve::solve_symmetric;

/// Edge moments of each wave: along y on the edges across x, and along x on the edges across y.
pub(super) type Along = (Vec<f64>, Vec<f64>);

/// The edge moments under the pressure `p` on the patch, or `None` when the plate is not positive.
///
/// The edges across x turn by the sum over m of X; it must vanish for each n, and likewise across y. The
/// unknowns across y, one for each wave along the longer side, meet only themselves and are eliminated.
pub(super) fn moments(field: &Field<'_>, p: f64) -> Option<Along> {
    let plate = field.plate;
    let soft = soft(plate);
    let (long, short) = (field.x.len(), field.y.len());
    // A strip under edge moments alone, of which the sum over all waves is known: sum 1/a^2 = side^2 / 8.
    let strip = |side: f64, d: f64| side * side / (8.0 * d);
    let mut turn_x = vec![0.0; short];
    let mut own_x = vec![strip(plate.length, plate.d11); short];
    let mut both = vec![0.0; short];
    let mut matrix = vec![0.0; short * short];
    let mut kept = Vec::with_capacity(long * (short + 2));
    for wx in &field.x {
        let a = wx.number;
        let mut own = strip(plate.width, plate.d22);
        let mut turn = 0.0;
        for (n, wy) in field.y.iter().enumerate() {
            let b = wy.number;
            let mode = Mode::new(plate, soft, a, b);
            let q = p * wx.load * wy.load;
            own_x[n] += mode.share * mode.xx - 1.0 / (plate.d11 * a * a);
            own += mode.share * mode.yy - 1.0 / (plate.d22 * b * b);
            turn_x[n] -= mode.share * mode.xw * q;
            turn -= mode.share * mode.yw * q;
            both[n] = mode.share * mode.xy;
        }
        for n in 0..short {
            let share = both[n] / own;
            turn_x[n] -= share * turn;
            for (sum, other) in matrix[n * short..].iter_mut().zip(&both[..=n]) {
                *sum -= share * other;
            }
        }
        kept.push(turn);
        kept.push(own);
        kept.extend_from_slice(&both);
    }
    for (n, own) in own_x.iter().enumerate() {
        matrix[n * short + n] += own;
    }
    if !solve_symmetric(&mut matrix, &mut turn_x) {
        return None;
    }
    let across = kept
        .chunks_exact(short + 2)
        .map(|row| {
            let known: f64 = row[2..].iter().zip(&turn_x).map(|(c, x)| c * x).sum();
            (row[0] - known) / row[1]
        })
        .collect();
    Some((turn_x, across))
}
