//! The double sine series of a plate: its waves, how each answers, and their sum at the places that count.

use super::{Bent, Moments, Plate};
use crate::solve::sin_cos;
use std::f64::consts::{FRAC_PI_2, PI};

/// One sine wave along a side. Only odd ones: load and plate are alike about the middle.
pub(super) struct Wave {
    /// m pi / a [1/m].
    pub(super) number: f64,
    /// sin(m pi / 2): 1 or -1 in turn.
    pub(super) middle: f64,
    /// sin(m pi / 4).
    quarter: f64,
    /// Cosine of the wave at the rim of the patch.
    rim: f64,
    /// Its share of an even load of one on the patch.
    pub(super) load: f64,
}

/// The first `count` odd waves along a side, with a patch of length `patch` in its middle.
pub(super) fn waves(side: f64, patch: f64, count: usize) -> Vec<Wave> {
    // sin(m x) for m = 1, 3, 5, .. by turning through 2 x each time.
    let half = FRAC_PI_2 * patch / side;
    let (mut sin, mut cos) = sin_cos(half);
    let (sin2, cos2) = (2.0 * sin * cos, cos * cos - sin * sin);
    (0..count)
        .map(|k| {
            let number = (2 * k + 1) as f64 * PI / side;
            let middle = if k % 2 == 0 { 1.0 } else { -1.0 };
            let quarter = if k % 4 < 2 { 1.0 } else { -1.0 };
            let rim = middle * sin;
            (sin, cos) = (sin * cos2 + cos * sin2, cos * cos2 - sin * sin2);
            Wave {
                number,
                middle,
                quarter: quarter * std::f64::consts::FRAC_1_SQRT_2,
                rim,
                load: 4.0 * rim / (number * side),
            }
        })
        .collect()
}

/// How one wave of the plate answers a load q and moments on its two rotations.
///
/// With rotations X and Y, sagging curvatures are -aX and -bY; every value is to be multiplied by `share`.
pub(super) struct Mode {
    pub(super) share: f64,
    ww: f64,
    pub(super) xw: f64,
    pub(super) yw: f64,
    pub(super) xx: f64,
    pub(super) xy: f64,
    pub(super) yy: f64,
    /// Shear forces of a load.
    gx: f64,
    gy: f64,
    /// The same for rigid shear, which is also what moments make.
    thin_x: f64,
    thin_y: f64,
}

impl Mode {
    /// The answer of the wave with numbers a along x and b along y; `soft` are the shear compliances.
    pub(super) fn new(plate: &Plate, soft: (f64, f64), a: f64, b: f64) -> Self {
        let (sx, sy) = soft;
        let (aa, bb, ab) = (a * a, b * b, a * b);
        let kxx = plate.d11 * aa + plate.d66 * bb;
        let kyy = plate.d66 * aa + plate.d22 * bb;
        let kxy = (plate.d12 + plate.d66) * ab;
        let det = kxx * kyy - kxy * kxy;
        let thin_x = a * kxx + b * kxy;
        let thin_y = a * kxy + b * kyy;
        let slip = bb * sx + aa * sy;
        Self {
            share: 1.0 / (a * thin_x + b * thin_y + det * slip),
            ww: 1.0 + sx * kxx + sy * kyy + det * sx * sy,
            xw: sx * b * kxy - a - sy * a * kyy,
            yw: sy * a * kxy - b - sx * b * kxx,
            xx: aa + slip * kyy,
            xy: ab - slip * kxy,
            yy: bb + slip * kxx,
            gx: thin_x + a * det * sy,
            gy: thin_y + b * det * sx,
            thin_x,
            thin_y,
        }
    }
}

/// Shear compliances of a plate; none when it is rigid in shear.
pub(super) fn soft(plate: &Plate) -> (f64, f64) {
    (1.0 / plate.shear_x, 1.0 / plate.shear_y)
}

/// A plate with its waves, loaded by one unit of pressure on the patch.
pub(super) struct Field<'a> {
    pub(super) plate: &'a Plate,
    pub(super) patch: (f64, f64),
    pub(super) x: Vec<Wave>,
    pub(super) y: Vec<Wave>,
}

/// Sums of one line of waves: deflection, then both curvatures, for sines in the middle and at the quarter.
#[derive(Default, Clone, Copy)]
struct Sums {
    w: f64,
    middle: (f64, f64),
    quarter: (f64, f64),
}

impl Field<'_> {
    /// Sum of all waves under the pressure `p`, with edge moments `at_x` (one a wave along y) and `at_y`.
    pub(super) fn bent(&self, p: f64, at_x: &[f64], at_y: &[f64]) -> Bent {
        let plate = self.plate;
        let soft = soft(plate);
        let mut total = Sums::default();
        let mut beside = (0.0, 0.0);
        let mut twist = 0.0;
        let (mut edge, mut rim) = ([0.0; 2], [0.0; 2]);
        for (wx, bm) in self.x.iter().zip(at_y) {
            let a = wx.number;
            let mut line = Sums::default();
            let (mut edge_x, mut rim_x) = (0.0, 0.0);
            for (wy, an) in self.y.iter().zip(at_x) {
                let b = wy.number;
                let mode = Mode::new(plate, soft, a, b);
                let h = mode.share;
                let q = p * wx.load * wy.load;
                let x = h * (mode.xw * q + mode.xx * an + mode.xy * bm);
                let y = h * (mode.yw * q + mode.xy * an + mode.yy * bm);
                line.w += wy.middle * h * (mode.ww * q + mode.xw * an + mode.yw * bm);
                // Less the pure bending of a long strip, which is added in closed form below.
                let (cx, cy) = (a * x - an / (plate.d11 * a), b * y - bm / (plate.d22 * b));
                line.middle.0 += wy.middle * cx;
                line.middle.1 += wy.middle * cy;
                line.quarter.0 += wy.quarter * cx;
                line.quarter.1 += wy.quarter * cy;
                twist += b * x + a * y;
                let round = mode.thin_y * an - mode.thin_x * bm;
                let shear_x = wy.middle * (h * (mode.gx * q + b * round) - q / a);
                let shear_y = wx.middle * (h * (mode.gy * q - a * round) - q / b);
                edge_x += shear_x;
                rim_x += shear_x;
                edge[1] += shear_y;
                rim[1] += shear_y * wy.rim;
            }
            total.w += wx.middle * line.w;
            total.middle.0 += wx.middle * line.middle.0;
            total.middle.1 += wx.middle * line.middle.1;
            total.quarter.0 += wx.middle * line.quarter.0;
            total.quarter.1 += wx.middle * line.quarter.1;
            beside.0 += wx.quarter * line.middle.0;
            beside.1 += wx.quarter * line.middle.1;
            edge[0] += edge_x;
            rim[0] += wx.rim * rim_x;
        }
        // Closed sums: a strip bent by its edge moments, and the shear of a strip under the patch.
        let sum = |waves: &[Wave], of: &[f64], at: fn(&Wave) -> f64| -> f64 {
            waves.iter().zip(of).map(|(w, v)| at(w) * v).sum()
        };
        let load = |waves: &[Wave]| -> f64 { waves.iter().map(|w| w.middle * w.load).sum() };
        let (ax, ay) = (0.25 * plate.length, 0.25 * plate.width);
        let moment_x = -ax * sum(&self.y, at_x, |w| w.middle);
        let moment_y = -ay * sum(&self.x, at_y, |w| w.middle);
        let moment_x_off = -ax * sum(&self.y, at_x, |w| w.quarter);
        let moment_y_off = -ay * sum(&self.x, at_y, |w| w.quarter);
        let moments = |(cx, cy): (f64, f64), mx: f64, my: f64| {
            let (kx, ky) = (mx / plate.d11 - cx, my / plate.d22 - cy);
            Moments {
                x: plate.d11 * kx + plate.d12 * ky,
                y: plate.d12 * kx + plate.d22 * ky,
                xy: 0.0,
            }
        };
        let strip_x = 0.5 * p * self.patch.0 * load(&self.y);
        let strip_y = 0.5 * p * self.patch.1 * load(&self.x);
        let largest = |edge: f64, rim: f64| edge.abs().max(rim.abs());
        Bent {
            deflection: total.w,
            places: [
                moments(total.middle, moment_x, moment_y),
                Moments {
                    x: moment_x,
                    y: moment_x * plate.d12 / plate.d11,
                    xy: 0.0,
                },
                Moments {
                    x: moment_y * plate.d12 / plate.d22,
                    y: moment_y,
                    xy: 0.0,
                },
                Moments {
                    x: 0.0,
                    y: 0.0,
                    xy: plate.d66 * twist,
                },
                moments(beside, moment_x, moment_y_off),
                moments(total.quarter, moment_x_off, moment_y),
            ],
            shear_x: largest(strip_x + edge[0], strip_x + rim[0]),
            shear_y: largest(strip_y + edge[1], strip_y + rim[1]),
        }
    }
}

/// How many waves along the longer and the shorter side, sides counted in lengths of their own bending.
pub(super) fn counts(plate: &Plate, patch: (f64, f64)) -> (usize, usize) {
    let slender = plate.length / plate.width * (plate.d22 / plate.d11).sqrt().sqrt();
    let fine = |side: f64, patch: f64| FINE * side / patch;
    let short = fine(plate.width, patch.1).clamp(LEAST, MOST_SHORT);
    let long = fine(plate.length, patch.0).max(short * slender.min(8.0));
    (long.min(MOST_LONG) as usize, short as usize)
}

/// Waves for a patch: this many for each time it fits into the side.
const FINE: f64 = 2.0;
/// Fewest waves along the shorter side.
const LEAST: f64 = 12.0;
/// Most waves along the shorter side.
const MOST_SHORT: f64 = 32.0;
/// Most waves along the longer side.
const MOST_LONG: f64 = 48.0;
