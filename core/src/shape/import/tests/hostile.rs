//! Files made to take for ever, to fill the memory, or to bring the core down.

use super::*;

/// Whatever comes, it comes as a sentence; that it comes at all is what the caps on counts and work are for.
fn soon(name: &str, bytes: impl AsRef<[u8]>) -> Result<Answer, String> {
    shape_from_file(name, bytes.as_ref(), Some(LengthUnit::Mm))
        .map_err(|problems| problems[0].sentence.clone())
}

fn full(head: &str, piece: &str, tail: &str) -> String {
    let count = ((8 << 20) - head.len() - tail.len()) / piece.len();
    format!("{head}{}{tail}", piece.repeat(count))
}

#[test]
fn entities_do_not_expand() {
    let mut text = String::from("<!DOCTYPE svg [<!ENTITY a0 \"ha\">");
    for i in 1..9 {
        text += &format!("<!ENTITY a{i} \"{}\">", format!("&a{};", i - 1).repeat(10));
    }
    text += "]><svg><text>&a8;</text></svg>";
    assert!(soon("a.svg", &text).unwrap_err().contains("plain SVG"));
    // A long one, many times over.
    let long = format!(
        "<!DOCTYPE svg [<!ENTITY a \"{}\">]><svg>{}</svg>",
        "x".repeat(16_000),
        "<g b=\"&a;\"/>".repeat(100_000)
    );
    assert!(soon("a.svg", &long).unwrap_err().contains("plain SVG"));
    // The kind that drawing programs once wrote is read.
    let old = "<!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" \"svg11.dtd\" [<!ENTITY ns \"http://www.w3.org/2000/svg\">]><svg xmlns=\"&ns;\" width=\"100mm\" viewBox=\"0 0 100 100\"><rect width=\"90\" height=\"50\"/></svg>";
    assert_eq!(area(&given("a.svg", old, None)), 4500.0);
}

#[test]
fn deep_wide_and_crowded_svg_ends() {
    let deep = full("<svg>", "<g>", "");
    assert!(soon("a.svg", &deep).is_err());
    let levels = 400_000;
    let closed = format!(
        "<svg>{}<rect width=\"90\" height=\"50\"/>{}</svg>",
        "<g>".repeat(levels),
        "</g>".repeat(levels)
    );
    assert!(matches!(soon("a.svg", &closed), Ok(Answer::Read(_))));
    assert!(soon("a.svg", full("<svg>", "<g xmlns:a=\"b\">", "</svg>")).is_err());
    let crowded: String = (0..300_000).map(|i| format!(" a{i}=\"\"")).collect();
    assert!(soon("a.svg", format!("<svg{crowded}/>")).is_err());
    assert!(
        soon(
            "a.svg",
            full("<svg><path d=\"M0 0", " 1 1 9 9", "\"/></svg>")
        )
        .is_err()
    );
    assert!(
        soon(
            "a.svg",
            full("<svg><path d=\"M0 0", "C9 9 0 9 1 1", "z\"/></svg>")
        )
        .is_err()
    );
    assert!(
        soon(
            "a.svg",
            full("<svg>", "<rect width=\"9\" height=\"9\"/>", "</svg>")
        )
        .is_err()
    );
    assert!(
        soon(
            "a.svg",
            full(
                "<svg><g transform=\"",
                "rotate(1)",
                "\"><rect width=\"90\" height=\"50\"/></g></svg>"
            )
        )
        .is_ok()
    );
}

#[test]
fn numbers_beyond_all_measure_are_left_out() {
    let part = "<rect width=\"90\" height=\"50\"/>";
    for bad in [
        "<circle r=\"1e308\"/>",
        "<circle r=\"1e-308\"/>",
        "<ellipse rx=\"1e300\" ry=\"1e-300\"/>",
        "<path d=\"M0 0 C 1e300 1e300 -1e300 1e300 1 1 Z\"/>",
        "<path d=\"M0 0 Q 1e308 1 -1e308 1e308 Z\"/>",
        "<path d=\"M0 0 A 1e-4 1e300 45 1 1 1e-200 1e-200 Z\"/>",
        "<path d=\"M0 0 A 1e300 1e-3 1e300 1 0 5 5 Z\"/>",
        "<path d=\"M1e300 0 a 5 5 0 1 0 1e300 0 Z\"/>",
        "<rect x=\"1e308\" width=\"1e308\" height=\"1\"/>",
        "<rect width=\"1e999\" height=\"NaN\"/>",
        "<g transform=\"scale(1e200) scale(1e200)\"><rect width=\"9\" height=\"9\"/></g>",
        "<g transform=\"skewX(90) matrix(0 0 0 0 0 0)\"><circle r=\"9\"/></g>",
    ] {
        let text = format!("<svg>{part}{bad}</svg>");
        match soon("a.svg", &text) {
            Ok(Answer::Read(found)) => assert_eq!(area(&found), 4500.0, "{bad}"),
            other => panic!("{bad}: {other:?}"),
        }
    }
    let head = "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n70\n1\n10\n0\n20\n0\n10\n90\n20\n0\n10\n90\n20\n50\n10\n0\n20\n50\n";
    for bad in [
        "CIRCLE 10 0 20 0 40 1e308",
        "CIRCLE 10 NaN 20 0 40 5",
        "ARC 10 0 20 0 40 5 50 1e308 51 -1e308",
        "ARC 10 0 20 0 40 inf 50 0 51 9",
        "LWPOLYLINE 70 1 10 0 20 0 42 1e308 10 5 20 5",
        "LWPOLYLINE 70 1 10 0 20 0 42 NaN 10 5 20 5",
        "ELLIPSE 10 0 20 0 11 1e308 21 1e308 40 1e308",
        "ELLIPSE 10 0 20 0 11 5 21 0 40 -0.5 41 NaN 42 1",
        "SPLINE 71 1 40 0 40 0 40 1e308 40 1e308 10 -1e308 20 0 10 1e308 20 0",
        "SPLINE 71 999999999999 40 1",
        "INSERT 2 X 10 1e308 20 0 70 999999999 71 999999999",
        "LINE 10 1e7 20 0 11 1 21 1",
    ] {
        let text = format!("{head}0\n{}\n", bad.replace(' ', "\n"));
        match soon("a.dxf", &text) {
            Ok(Answer::Read(found)) => assert_eq!(area(&found), 4500.0, "{bad}"),
            other => panic!("{bad}: {other:?}"),
        }
    }
}

#[test]
fn blocks_that_hold_themselves_end() {
    let lines = |words: &str| words.replace(' ', "\n");
    let block = |inside: &str| {
        lines(&format!(
            "0 SECTION 2 BLOCKS 0 BLOCK 2 A 10 0 20 0 0 LINE 10 0 20 0 11 5 21 5 {inside} 0 ENDBLK 0 ENDSEC 0 SECTION 2 ENTITIES 0 INSERT 2 A 10 0 20 0 0 ENDSEC"
        ))
    };
    assert!(
        soon("a.dxf", block("0 INSERT 2 A 10 1 20 1"))
            .unwrap_err()
            .contains("more than 8 deep")
    );
    assert!(
        soon("a.dxf", block(&["0 INSERT 2 A 10 1 20 1"; 20].join(" ")))
            .unwrap_err()
            .contains("blocks")
    );
    assert!(soon("a.dxf", block("0 INSERT 2 A 10 1 20 1 70 30000 71 30000")).is_err());
    // One fat block put in thousands of times.
    let fat = format!(
        "{}{}{}",
        lines("0 SECTION 2 BLOCKS 0 BLOCK 2 A 10 0 20 0 0 LINE 10 0 20 0 11 5 21 5 "),
        "1\nx\n".repeat(1_000_000),
        lines("0 ENDBLK 0 ENDSEC 0 SECTION 2 ENTITIES 0 INSERT 2 A 70 100 71 100 0 ENDSEC")
    );
    assert!(soon("a.dxf", fat).unwrap_err().contains("too large"));
}

#[test]
fn crowded_dxf_and_stl_end() {
    let lines = "0\nLINE\n10\n0\n20\n0\n11\n9\n21\n9\n";
    assert!(soon("a.dxf", full("0\nSECTION\n2\nENTITIES\n", lines, "")).is_err());
    let mut star = String::from("0\nSECTION\n2\nENTITIES\n");
    for i in 0..150_000 {
        star += &format!("0\nLINE\n10\n0\n20\n0\n11\n{}\n21\n{}\n", i % 400, i / 400);
    }
    assert!(soon("a.dxf", star).is_err());
    assert!(soon("a.dxf", full("0\nSECTION\n", "0\nSECTION\n", "")).is_err());
    assert!(soon("a.dxf", full("", "0\nx\n", "")).is_err());
    // A triangle written as often as the file may be long, and as many different ones.
    let piece = "facet\nouter loop\nvertex 0 0 0\nvertex 90 0 0\nvertex 0 90 0\nendloop\n";
    assert!(soon("a.stl", full("solid\n", piece, "")).is_ok());
    let mut many = vec![0; 80];
    let count = 160_000_u32;
    many.extend(count.to_le_bytes());
    for i in 0..count {
        many.extend([0; 12]);
        let (x, y) = ((i / 2 % 400) as f32, (i / 800) as f32);
        let (corner_x, corner_y) = if i % 2 == 0 {
            (x, y)
        } else {
            (x + 1.0, y + 1.0)
        };
        for number in [corner_x, corner_y, 0.0, x + 1.0, y, 0.0, x, y + 1.0, 0.0] {
            many.extend(number.to_le_bytes());
        }
        many.extend([0; 2]);
    }
    assert!(soon("a.stl", &many).is_ok());
    // All corners within a hair of one another.
    let mut dust = many.clone();
    for (i, four) in dust[84..].chunks_exact_mut(50).enumerate() {
        for number in four[12..48].chunks_exact_mut(4) {
            let x = f32::from_le_bytes(number.try_into().unwrap()) * 1e-7;
            number.copy_from_slice(&(if i == 0 { x * 1e9 } else { x }).to_le_bytes());
        }
    }
    let _ = soon("a.stl", &dust);
}
