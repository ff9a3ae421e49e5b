//! Ways in which water leaves cloth in an oven, each as the share that is still to leave.
//!
//! The law has one regain for the whole stack. Thin layers of flax dry faster at first and slower later than any one
//! store (Ghazanfari et al. 2006), and single fibres take water up and give it off at two paces (Xie et al. 2011). So
//! the law's course, bent or not, stands beside stores of many paces and beside a fast store with a slow one.

/// Powers of time that bend the law's course: below 1 it is faster at first and slower later.
const BENT: [f64; 5] = [1.15, 1.0, 0.85, 0.7, 0.55];
/// Powers of stretched exponentials.
const STRETCHED: [f64; 4] = [1.0, 0.8, 0.65, 0.5];
/// Share of the water in a slow store, and by how many times it is slower.
const SLOW_SHARES: [f64; 4] = [0.1, 0.2, 0.35, 0.5];
const SLOWER: [f64; 3] = [3.5, 7.0, 14.0];
/// How likely the three kinds are beforehand (our judgement).
const LIKELY: [f64; 3] = [0.5, 0.2, 0.3];

/// Times of the table, in half times: from the first to the last, evenly in their logarithm.
const FIRST: f64 = 0.01;
const LAST: f64 = 3000.0;
const POINTS: usize = 240;

/// How water leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// As the oven law has it, perhaps bent.
    Law,
    /// Stores of many paces.
    Stretched,
    /// A fast store and a slow one.
    TwoPace,
}

/// The share still to leave against time, as a table.
pub(super) struct Shape {
    pub(super) kind: Kind,
    /// How likely it is beforehand [-].
    pub(super) weight: f64,
    left: Vec<f64>,
}

/// Where a time lies in the tables, which all shapes share: between which rows, or before the first.
pub(super) struct Place {
    row: Option<usize>,
    part: f64,
}

impl Place {
    pub(super) fn of(x: f64) -> Self {
        if x <= FIRST {
            return Self {
                row: None,
                part: (x / FIRST).max(0.0),
            };
        }
        let place = (x / FIRST).ln() / step();
        let row = (place as usize).min(POINTS - 2);
        Self {
            row: Some(row),
            part: (place - row as f64).min(1.0),
        }
    }
}

impl Shape {
    fn new(kind: Kind, weight: f64, left: impl Fn(f64) -> f64) -> Self {
        let mut least = 1.0_f64;
        let left = (0..POINTS)
            .map(|k| {
                least = least.min(left(time(k as f64)).clamp(0.0, 1.0));
                least
            })
            .collect();
        Self { kind, weight, left }
    }

    /// Share still to leave after a time [half times].
    pub(super) fn left(&self, x: f64) -> f64 {
        self.left_at(&Place::of(x))
    }

    /// Share still to leave at a place in the table.
    pub(super) fn left_at(&self, place: &Place) -> f64 {
        let Some(k) = place.row else {
            // From one at the start on a straight line.
            return 1.0 - (1.0 - self.left[0]) * place.part;
        };
        self.left[k] + place.part * (self.left[k + 1] - self.left[k])
    }

    /// When no more than a share is still to leave [half times].
    pub(super) fn when(&self, left: f64) -> f64 {
        let k = self.left.partition_point(|there| *there > left);
        if k == 0 {
            let first = (1.0 - self.left[0]).max(1e-12);
            return FIRST * ((1.0 - left) / first).clamp(0.0, 1.0);
        }
        if k == POINTS {
            return LAST;
        }
        let (before, after) = (self.left[k - 1], self.left[k]);
        let part = ((before - left) / (before - after).max(1e-15)).clamp(0.0, 1.0);
        time((k - 1) as f64 + part)
    }
}

fn step() -> f64 {
    (LAST / FIRST).ln() / (POINTS - 1) as f64
}

fn time(place: f64) -> f64 {
    FIRST * (place * step()).exp()
}

/// Half of it gone at 1.
fn one_store(x: f64) -> f64 {
    (-std::f64::consts::LN_2 * x).exp()
}

/// Every shape that is tried; `course` is the law's own.
pub(super) fn shapes(course: &[(f64, f64)]) -> Vec<Shape> {
    let law = |x: f64| {
        let k = course.partition_point(|(there, _)| *there <= x);
        match (k.checked_sub(1).and_then(|k| course.get(k)), course.get(k)) {
            (Some((a, left)), Some((b, next))) => left + (next - left) * (x - a) / (b - a),
            // Beyond the end of the track it fades at the pace of its last part.
            (Some((end, left)), None) => left * one_store(2.0 * (x - end)),
            _ => 1.0,
        }
    };
    let mut all: Vec<Shape> = BENT
        .iter()
        .map(|&power| {
            let weight = LIKELY[0] / BENT.len() as f64;
            Shape::new(Kind::Law, weight, |x| law(x.powf(power)))
        })
        .collect();
    all.extend(STRETCHED.iter().map(|&power| {
        let weight = LIKELY[1] / STRETCHED.len() as f64;
        Shape::new(Kind::Stretched, weight, |x| one_store(x.powf(power)))
    }));
    let each = LIKELY[2] / (2 * SLOW_SHARES.len() * SLOWER.len()) as f64;
    for share in SLOW_SHARES {
        for slower in SLOWER {
            let with = |fast: f64, x: f64| (1.0 - share) * fast + share * one_store(x / slower);
            all.push(Shape::new(Kind::TwoPace, each, |x| with(law(x), x)));
            all.push(Shape::new(Kind::TwoPace, each, |x| with(one_store(x), x)));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_meet_the_curves_both_ways() {
        let course: Vec<(f64, f64)> = (0..100)
            .map(|k| 0.1 * f64::from(k))
            .map(|x| (x, one_store(x)))
            .collect();
        for shape in shapes(&course) {
            for left in [0.97, 0.7, 0.3, 0.1, 0.03] {
                let x = shape.when(left);
                assert!(
                    (shape.left(x) - left).abs() < 1e-6,
                    "{:?} {left}",
                    shape.kind
                );
            }
            assert_eq!(shape.left(0.0), 1.0);
            assert!(shape.left(1e9) >= 0.0);
        }
        let plain = &shapes(&course)[BENT.len()];
        assert!((plain.left(3.0) - 0.125).abs() < 1e-3);
        let all: f64 = shapes(&course).iter().map(|shape| shape.weight).sum();
        assert!((all - 1.0).abs() < 1e-12);
    }

    #[test]
    fn two_paces_are_two_stores_side_by_side() {
        // Two stores that empty in parallel, dy/dt = -k y, followed in fine steps: half times of 1 and 7.
        let course = [(0.0, 1.0), (1e-9, 0.0)];
        let share = 0.2;
        let (mut fast, mut slow) = (1.0 - share, share);
        let (step, mut x) = (1e-4, 0.0);
        let all = shapes(&course);
        let shape = all
            .iter()
            .filter(|shape| shape.kind == Kind::TwoPace)
            .nth(2 * (SLOWER.len() + 1) + 1)
            .unwrap();
        for _ in 0..80_000 {
            fast -= step * std::f64::consts::LN_2 * fast;
            slow -= step * std::f64::consts::LN_2 / 7.0 * slow;
            x += step;
        }
        assert!(
            (shape.left(x) - fast - slow).abs() < 1e-3,
            "{}",
            shape.left(x)
        );
    }
}
