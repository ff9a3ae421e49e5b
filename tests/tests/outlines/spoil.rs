//! Spoils a file the way broken programs, disks and hands do, the same every time.

/// Dice that fall the same for the same seed: SplitMix64 (Steele, Lea and Flood 2014, OOPSLA, from memory).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number below `end`.
    fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }
}

const NUMBERS: [&str; 18] = [
    "7",
    "12.5",
    "250",
    "0.001",
    "-90",
    "3e2",
    "NaN",
    "1e999",
    "-0",
    "1e308",
    "-1e308",
    "99999999999999999999",
    "1e-320",
    "inf",
    "",
    "4294967295",
    "-1",
    "0.1e",
];

/// The file with one to six things wrong.
pub(crate) fn spoilt(dice: &mut Dice, file: &[u8]) -> Vec<u8> {
    let mut bytes = file.to_vec();
    // One more often than six: a file with little wrong gets further in.
    let most = 1 + dice.below(6);
    for _ in 0..=dice.below(most) {
        let (from, to) = stretch(dice, bytes.len());
        match dice.below(10) {
            0 => {
                for _ in 0..=dice.below(4) {
                    let at = dice.below(bytes.len());
                    if let Some(byte) = bytes.get_mut(at) {
                        *byte ^= 1 << dice.below(8);
                    }
                }
            }
            1 => drop(bytes.drain(from..to)),
            2 => {
                let copy = bytes[from..to].to_vec();
                let at = dice.below(bytes.len() + 1);
                for _ in 0..=dice.below(3) {
                    bytes.splice(at..at, copy.iter().copied());
                }
            }
            // Rarely, or little else would be left to try.
            3 if dice.below(4) == 0 => bytes.truncate(from),
            4..8 => number(dice, &mut bytes),
            _ => swap(dice, &mut bytes),
        }
    }
    bytes
}

fn stretch(dice: &mut Dice, length: usize) -> (usize, usize) {
    let from = dice.below(length);
    (from, (from + dice.below(60)).min(length))
}

/// Where the words of a file stand.
fn words(bytes: &[u8], of: impl Fn(u8) -> bool) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut start = None;
    for (at, byte) in bytes.iter().enumerate() {
        match (of(*byte), start) {
            (true, None) => start = Some(at),
            (false, Some(from)) => {
                found.push((from, at));
                start = None;
            }
            _ => {}
        }
    }
    found
}

/// Puts another number where one stands; in a file of bytes, four bytes that are none.
fn number(dice: &mut Dice, bytes: &mut Vec<u8>) {
    let is_number = |byte: u8| byte.is_ascii_digit() || matches!(byte, b'.' | b'-');
    if bytes.contains(&0) {
        let bad = [f32::NAN, f32::INFINITY, -0.0, 1e38, 1e-45, 7.0, 0.25, 300.0][dice.below(8)]
            .to_le_bytes();
        let at = 80 + 4 * dice.below(bytes.len().saturating_sub(84) / 4);
        if let Some(four) = bytes.get_mut(at..at + 4) {
            four.copy_from_slice(&bad);
        }
        return;
    }
    let all = words(bytes, is_number);
    if let Some(&(from, to)) = all.get(dice.below(all.len())) {
        bytes.splice(from..to, NUMBERS[dice.below(NUMBERS.len())].bytes());
    }
}

/// Exchanges two words of a file.
fn swap(dice: &mut Dice, bytes: &mut Vec<u8>) {
    let all = words(bytes, |byte| {
        byte.is_ascii_alphanumeric() || matches!(byte, b'.' | b'-' | b'$')
    });
    let (a, b) = (dice.below(all.len()), dice.below(all.len()));
    if let (Some(&first), Some(&second)) = (all.get(a.min(b)), all.get(a.max(b))) {
        if first == second {
            return;
        }
        let (one, two) = (
            bytes[first.0..first.1].to_vec(),
            bytes[second.0..second.1].to_vec(),
        );
        bytes.splice(second.0..second.1, one);
        bytes.splice(first.0..first.1, two);
    }
}
