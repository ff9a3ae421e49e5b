//! Bending of a straight strip under a force: on two supports, or held at one end.
//!
//! Small deflections, shear included. Does not cover strips on more than two supports, nor wide ones that are held
//! along their sides: see the plate.

use super::{LawError, positive, within};

/// A strip alike all along.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// Between the supports, or from the held end to the tip [m].
    pub span: f64,
    /// Across the span [m].
    pub width: f64,
    /// Bending stiffness EI of the whole width [N m2].
    pub bending: f64,
    /// Stiffness against shear through the thickness, of the whole width; infinite for a thin strip [N].
    pub shear: f64,
}

/// How a strip is held and where the force lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Held {
    /// On two supports, the force in the middle.
    MiddleForce,
    /// On two supports, the force spread evenly between them.
    EvenLoad,
    /// Held at one end, the force at the free tip.
    TipForce,
}

/// How a strip bends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BentStrip {
    /// Largest deflection, from bending alone [m].
    pub by_bending: f64,
    /// The same from shear alone; the strip sinks by the sum [m].
    pub by_shear: f64,
    /// Largest moment per width [N m/m].
    pub moment: f64,
    /// Largest shear force per width [N/m].
    pub shear: f64,
}

/// Deflection, moment and shear of a strip under a force.
///
/// two supports, force in the middle: w = F L^3 / (48 EI) + F L / (4 S), M = F L / 4, Q = F / 2;
/// spread evenly: w = 5 F L^3 / (384 EI) + F L / (8 S), M = F L / 8, Q = F / 2;
/// held at one end, force at the tip: w = F L^3 / (3 EI) + F L / S, M = F L, Q = F
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `strip` | L and width [m], EI [N m2], S | [N] |
/// | `held` | supports and place of the force | [-] |
/// | `force` | F, all of it | [N] |
///
/// # Returns
/// Deflections [m], largest moment [N m/m] and shear force [N/m] per width.
/// # Valid for
/// Deflections below about a tenth of the span; the load is not so local that it dents the strip.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::beam::{Held, Strip, bent};
/// // A steel ruler 30 mm by 1 mm, EI = 210e9 * 30e-3 * 1e-9 / 12 = 0.525 N m2, 0.3 m between supports, 10 N.
/// let ruler = Strip { span: 0.3, width: 0.03, bending: 0.525, shear: f64::INFINITY };
/// let b = bent(&ruler, Held::MiddleForce, 10.0)?;
/// assert!((b.by_bending - 10.714e-3).abs() < 1e-6 && b.by_shear == 0.0);
/// assert!((b.moment - 25.0).abs() < 1e-9 && (b.shear - 166.667).abs() < 1e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook beam theory with Timoshenko's shear; sandwich strips: Allen 1969, Analysis and Design of Structural
/// Sandwich Panels, chapter 2 (from memory).
pub fn bent(strip: &Strip, held: Held, force: f64) -> Result<BentStrip, LawError> {
    let span = positive("span", strip.span)?;
    let width = positive("width", strip.width)?;
    let bending = positive("bending", strip.bending)?;
    let soft = 1.0 / within("shear", strip.shear, f64::MIN_POSITIVE, f64::INFINITY)?;
    let force = within("force", force, f64::MIN, f64::MAX)?;
    let (bend, slip, moment, shear) = match held {
        Held::MiddleForce => (1.0 / 48.0, 0.25, 0.25, 0.5),
        Held::EvenLoad => (5.0 / 384.0, 0.125, 0.125, 0.5),
        Held::TipForce => (1.0 / 3.0, 1.0, 1.0, 1.0),
    };
    Ok(BentStrip {
        by_bending: bend * force * span.powi(3) / bending,
        by_shear: slip * force * span * soft,
        moment: moment * force * span / width,
        shear: shear * force / width,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Held; 3] = [Held::MiddleForce, Held::EvenLoad, Held::TipForce];

    /// A solid strip of Young's modulus 1e9 and Poisson ratio 0.25, 10 mm by 20 mm, shear factor 5/6.
    fn solid(span: f64) -> Strip {
        Strip {
            span,
            width: 0.01,
            bending: 1e9 * 0.01 * 0.02_f64.powi(3) / 12.0,
            shear: 5.0 / 6.0 * 0.4e9 * 0.01 * 0.02,
        }
    }

    /// Deflection and moment by stepping along the strip: w' = Q / S - psi, psi' = M / EI.
    fn stepped(strip: &Strip, held: Held, force: f64) -> (f64, f64) {
        let n = 20_000;
        let h = strip.span / f64::from(n);
        let at = |x: f64| -> (f64, f64) {
            let l = strip.span;
            match held {
                // Half the strip from the middle outwards, as a strip held in its middle.
                Held::MiddleForce => (
                    0.5 * force * (0.5 * l - x).max(0.0),
                    if x < 0.5 * l { 0.5 * force } else { 0.0 },
                ),
                Held::EvenLoad => {
                    let rest = (0.5 * l - x).max(0.0);
                    (
                        0.5 * force * rest * (1.0 - rest / l),
                        if x < 0.5 * l { force * x / l } else { 0.0 },
                    )
                }
                Held::TipForce => (force * (l - x), force),
            }
        };
        let (mut w, mut slope, mut largest) = (0.0, 0.0, 0.0_f64);
        for k in 0..n {
            let x = (f64::from(k) + 0.5) * h;
            if held != Held::TipForce && x > 0.5 * strip.span {
                break;
            }
            let (m, q) = at(x);
            w += h * (slope + 0.5 * h * m / strip.bending + q / strip.shear);
            slope += h * m / strip.bending;
            largest = largest.max(m);
        }
        (w, largest / strip.width)
    }

    #[test]
    fn meets_stepping_along_the_strip() {
        for held in ALL {
            let strip = solid(0.1);
            let b = bent(&strip, held, 7.0).unwrap();
            let (w, m) = stepped(&strip, held, 7.0);
            assert!(
                ((b.by_bending + b.by_shear) / w - 1.0).abs() < 1e-3,
                "{held:?}"
            );
            assert!((b.moment / m - 1.0).abs() < 1e-3, "{held:?}");
        }
    }

    #[test]
    fn shear_matters_in_short_strips() {
        // Timoshenko's cantilever: by_shear / by_bending = 3 EI / (S L^2) = 3 E h^2 / (12 * 5/6 G L^2) = 0.75 (h / L)^2
        // for E / G = 2.5.
        for span in [0.02, 0.1, 1.0] {
            let b = bent(&solid(span), Held::TipForce, 1.0).unwrap();
            let wanted = 0.75 * (0.02 / span).powi(2);
            assert!((b.by_shear / b.by_bending / wanted - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn refuses_what_it_cannot_answer() {
        for bad in [0.0, -1.0, f64::NAN] {
            assert!(
                bent(
                    &Strip {
                        span: bad,
                        ..solid(0.1)
                    },
                    ALL[0],
                    1.0
                )
                .is_err()
            );
            assert!(
                bent(
                    &Strip {
                        width: bad,
                        ..solid(0.1)
                    },
                    ALL[0],
                    1.0
                )
                .is_err()
            );
            assert!(
                bent(
                    &Strip {
                        bending: bad,
                        ..solid(0.1)
                    },
                    ALL[0],
                    1.0
                )
                .is_err()
            );
            assert!(
                bent(
                    &Strip {
                        shear: bad,
                        ..solid(0.1)
                    },
                    ALL[0],
                    1.0
                )
                .is_err()
            );
        }
        assert!(bent(&solid(0.1), ALL[0], f64::INFINITY).is_err());
    }
}
