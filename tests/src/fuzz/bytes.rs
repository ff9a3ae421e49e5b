//! Slips in files: bytes, numbers, words and lines that are changed, doubled, moved, cut off or taken from another file.

use super::dice::{Dice, EDGES};

/// Most bytes of a file that is made here; larger ones only take longer.
const MOST: usize = 48 << 10;

/// Pieces that mean something in drawing files.
const PIECES: &[&str] = &[
    "<g>",
    "</g>",
    "<svg>",
    "</svg>",
    "<g transform=\"scale(-1)\">",
    "<g transform=\"matrix(1 0 0 0 0 0)\">",
    "<rect width=\"90\" height=\"50\"/>",
    "<circle r=\"30\"/>",
    "<use href=\"#a\"/>",
    "<symbol id=\"a\">",
    "<defs>",
    "<path d=\"M0 0H90V50H0z\"/>",
    "<!-- ",
    " -->",
    "<![CDATA[",
    "&#x41;",
    "&lt;",
    "viewBox=\"0 0 0 0\"",
    "viewBox=\"0 0 100 100\"",
    "width=\"1e999mm\"",
    "width=\"100%\"",
    "style=\"display:none\"",
    "a 0 0 0 0 0 0 0 ",
    "A 30 50 0 1 1 162 162",
    "c 0 0 0 0 0 0 ",
    "q 1 1 2 2 t 3 3 ",
    "z",
    "m",
    "L",
    " 0\nLINE\n",
    " 0\nLWPOLYLINE\n",
    " 0\nPOLYLINE\n",
    " 0\nVERTEX\n",
    " 0\nSEQEND\n",
    " 0\nINSERT\n 2\nA\n",
    " 0\nBLOCK\n 2\nA\n",
    " 0\nENDBLK\n",
    " 0\nSECTION\n",
    " 0\nENDSEC\n",
    " 2\nENTITIES\n",
    " 0\nSPLINE\n",
    " 0\nHATCH\n",
    " 0\nARC\n",
    " 0\nELLIPSE\n",
    " 0\nCIRCLE\n",
    " 42\n1e9\n",
    " 70\n1\n",
    " 90\n4294967295\n",
    " 9\n$INSUNITS\n 70\n99\n",
    " 0\nEOF\n",
    "solid a\n",
    "facet normal 0 0 0\n",
    "outer loop\n",
    "vertex 0 0 0\n",
    "endloop\n",
    "endfacet\n",
    "endsolid\n",
    "f 1 2 3\n",
    "f -1 -2 -3\n",
    "f 1/1/1 2//2 999999999\n",
    "v 0 0 0\n",
    "v nan inf 1e400\n",
    "element vertex 4294967295\n",
    "element face 0\n",
    "property list uchar int vertex_indices\n",
    "property float x\n",
    "format binary_little_endian 1.0\n",
    "format ascii 1.0\n",
    "end_header\n",
    "\u{0}",
    "\u{feff}",
    "\u{202e}",
    "\u{1f33f}",
    "\r\n",
    "NaN",
    "inf",
    "1e400",
    "-",
    "e",
    ",",
    ";",
];

/// A piece of a file: whole lines of a text, or any bytes.
fn piece(dice: &mut Dice, file: &[u8]) -> (usize, usize) {
    if file.is_empty() {
        return (0, 0);
    }
    let length = dice.many(file.len());
    let from = dice.below(file.len());
    let to = (from + length).min(file.len());
    if dice.once_in(3) {
        return (from, to);
    }
    let starts = |at: usize| {
        let found = file[..at].iter().rposition(|b| *b == b'\n' || *b == b'<');
        found.map_or(0, |k| k + usize::from(file[k] == b'\n'))
    };
    let (from, end) = (starts(from), starts(to));
    if end > from { (from, end) } else { (from, to) }
}

/// Where numbers stand in a text.
fn numbers(file: &[u8]) -> Vec<(usize, usize)> {
    let part = |b: u8| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+');
    let mut found = Vec::new();
    let mut at = 0;
    while at < file.len() {
        let from = at;
        while at < file.len() && (part(file[at]) || (at > from && matches!(file[at], b'e' | b'E')))
        {
            at += 1;
        }
        if file[from..at].iter().any(u8::is_ascii_digit) {
            found.push((from, at));
        }
        at = at.max(from + 1);
    }
    found
}

fn replace(file: &mut Vec<u8>, from: usize, to: usize, by: &[u8]) {
    file.splice(from..to, by.iter().copied());
}

/// Another number in the place of one.
fn number(dice: &mut Dice, file: &mut Vec<u8>) {
    let all = numbers(file);
    if all.is_empty() {
        return;
    }
    let (from, to) = *dice.of(&all);
    let was = String::from_utf8_lossy(&file[from..to]).into_owned();
    let new = match dice.below(5) {
        0 => (*dice.of(EDGES)).to_owned(),
        1 => {
            // The number of another place: what should differ is now the same.
            let (a, b) = *dice.of(&all);
            String::from_utf8_lossy(&file[a..b]).into_owned()
        }
        2 => format!("{}{}", was, dice.below(10)),
        _ => match was.parse::<f64>() {
            Ok(x) => {
                let new = match dice.below(5) {
                    0 => -x,
                    1 => x * 10_f64.powi(dice.below(13) as i32 - 6),
                    2 => x + 1.0,
                    3 => x * (1.0 + 1e-9 * dice.share()),
                    _ => x + 200.0 * (dice.share() - 0.5),
                };
                if was.contains('.') {
                    format!("{new}")
                } else {
                    format!("{}", new.round())
                }
            }
            Err(_) => "0".to_owned(),
        },
    };
    replace(file, from, to, new.as_bytes());
}

/// Four bytes of another meaning: a count, an index, a coordinate.
fn word(dice: &mut Dice, file: &mut [u8]) {
    if file.len() < 4 {
        return;
    }
    let at = if dice.once_in(3) && file.len() >= 84 {
        80
    } else {
        dice.below(file.len() - 3)
    };
    let new: [u8; 4] = match dice.below(6) {
        0 => u32::MAX.to_le_bytes(),
        1 => (dice.below(1000) as u32).to_le_bytes(),
        2 => f32::NAN.to_le_bytes(),
        3 => f32::INFINITY.to_le_bytes(),
        4 => ((dice.share() as f32 - 0.5) * 2000.0).to_le_bytes(),
        _ => [file[0], file[1], file[2], file[3]],
    };
    file[at..at + 4].copy_from_slice(&new);
}

/// A file with a few slips, perhaps with a piece of another one.
pub(super) fn slipped(dice: &mut Dice, file: &[u8], other: &[u8]) -> Vec<u8> {
    let mut file = file.to_vec();
    for _ in 0..dice.few() {
        slip(dice, &mut file, other);
    }
    file.truncate(MOST);
    file
}

fn slip(dice: &mut Dice, file: &mut Vec<u8>, other: &[u8]) {
    let (from, to) = piece(dice, file);
    match dice.below(16) {
        0..=4 => number(dice, file),
        5 => {
            file.drain(from..to);
        }
        6 => {
            // Doubled, now and then very often.
            let part = file[from..to].to_vec();
            let times = dice.many(1000).min(MOST / part.len().max(1));
            replace(file, to, to, &part.repeat(times));
        }
        7 => {
            let part: Vec<u8> = file.drain(from..to).collect();
            let at = dice.below(file.len() + 1);
            replace(file, at, at, &part);
        }
        8 | 9 => {
            let (a, b) = piece(dice, other);
            let by = other[a..b].to_vec();
            let to = if dice.once_in(2) { from } else { to };
            replace(file, from, to, &by);
        }
        10 | 11 => {
            let by = *dice.of(PIECES);
            let times = if dice.once_in(8) { dice.many(2000) } else { 1 };
            replace(file, from, from, by.repeat(times).as_bytes());
        }
        12 => file.truncate(from),
        13 => word(dice, file),
        14 => {
            if let Some(byte) = file.get_mut(from) {
                *byte ^= 1 << dice.below(8);
            }
        }
        _ => {
            if let Some(byte) = file.get_mut(from) {
                *byte = dice.any() as u8;
            }
        }
    }
}
