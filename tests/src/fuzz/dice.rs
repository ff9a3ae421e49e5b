//! Draws that are the same for a seed.

/// A source of draws (Steele, Lea and Flood 2014, Fast splittable pseudorandom number generators, the mixing of SplitMix64).
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// The source of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Any number.
    pub fn any(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `count`; nothing below one.
    pub fn below(&mut self, count: usize) -> usize {
        (self.any() % (count.max(1) as u64)) as usize
    }

    /// Between nothing and one.
    pub fn share(&mut self) -> f64 {
        (self.any() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Yes, once in `times`.
    pub fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    /// One of a list that holds something.
    pub fn of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }

    /// A small count: one half of the time one, a quarter two, and so on.
    pub fn few(&mut self) -> usize {
        1 + self.any().trailing_ones().min(6) as usize
    }

    /// A count that is small, and now and then large.
    pub fn many(&mut self, most: usize) -> usize {
        let power = self.below(usize::BITS as usize - most.leading_zeros() as usize + 1);
        (1 + self.below(1 << power)).min(most)
    }
}

/// A number of its own for some bytes (Fowler, Noll and Vo, FNV-1a, 64 bits).
pub(super) fn mark_of(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// Numbers at which readers and laws have their edges, as they are written.
pub(super) const EDGES: &[&str] = &[
    "0",
    "-0",
    "1",
    "-1",
    "0.5",
    "1e-9",
    "1e-300",
    "5e-324",
    "1e9",
    "1e15",
    "1e300",
    "1.7976931348623157e308",
    "-1.7976931348623157e308",
    "127",
    "128",
    "255",
    "256",
    "400",
    "401",
    "32767",
    "65536",
    "2147483647",
    "2147483648",
    "4294967295",
    "4294967296",
    "9007199254740993",
    "9223372036854775807",
    "18446744073709551615",
    "-2147483649",
    "0.1",
    "100",
    "1000",
    "90",
    "180",
    "360",
];
