//! The sorption curve of wood and its inverse, without range checks, fast enough to sit inside a rate.
//!
//! Hailwood and Horrobin's two-hydrate form with the coefficients of the Wood Handbook (USDA Forest
//! Products Laboratory), eq. 4-5. The checked faces of it are in `sorption`.

/// The wood curve at one temperature: M = unit * (x/(1-x) + (a x + 2 b x^2)/(1 + a x + b x^2)), x = k h.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Hydrate {
    unit: f64,
    k: f64,
    a: f64,
    b: f64,
}

impl Hydrate {
    /// Coefficients; held constant below -20 °C and above 115 °C, where the fit would turn over.
    pub(crate) fn at(temperature: f64) -> Self {
        let t = (temperature - 273.15).clamp(-20.0, 115.0);
        let k1 = 6.27 - 9.38e-3 * t - 3.03e-4 * t * t;
        let k2 = 1.91 + 4.07e-2 * t - 2.93e-4 * t * t;
        Self {
            unit: 18.0 / (349.0 + 1.29 * t + 1.35e-2 * t * t),
            k: 0.805 + 7.36e-4 * t - 2.73e-6 * t * t,
            a: k1,
            b: k1 * k2,
        }
    }

    /// Regain of wood at an activity.
    pub(crate) fn regain(&self, activity: f64) -> f64 {
        let x = self.k * activity;
        let (ax, bx) = (self.a * x, self.b * x * x);
        self.unit * (x / (1.0 - x) + (ax + 2.0 * bx) / (1.0 + ax + bx))
    }

    /// Activity over wood of a regain: the one root in 0..1 of a cubic in x; 1 where the wood drips.
    pub(crate) fn activity(&self, regain: f64) -> f64 {
        let m = (regain / self.unit).max(0.0);
        let (a, b) = (self.a, self.b);
        let c = [
            -m,
            (1.0 + a) - m * (a - 1.0),
            2.0 * b - m * (b - a),
            b * (m - 1.0),
        ];
        // The cubic is -m at 0 and 1 + a + b at 1, so Newton's step is kept inside a closing bracket.
        let (mut low, mut high) = (0.0, 1.0);
        let mut x = m / (1.0 + a + m);
        for _ in 0..60 {
            let value = ((c[3] * x + c[2]) * x + c[1]) * x + c[0];
            let slope = (3.0 * c[3] * x + 2.0 * c[2]) * x + c[1];
            if value > 0.0 {
                high = x;
            } else {
                low = x;
            }
            let newton = x - value / slope;
            let next = if newton >= low && newton <= high {
                newton
            } else {
                0.5 * (low + high)
            };
            let moved = (next - x).abs();
            x = next;
            if moved <= 1e-14 {
                break;
            }
        }
        (x / self.k).min(1.0)
    }
}
