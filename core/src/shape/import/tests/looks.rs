//! What shows in an SVG, and what does not.

use super::svg::{drawn, sheet};
use super::*;

const PART: &str = r#"<rect x="100" y="100" width="300" height="200"/>"#;

#[test]
fn what_a_hidden_group_shows_again_is_taken() {
    for (hide, show) in [
        (r#"visibility="hidden""#, r#"visibility="visible""#),
        (
            r#"style="visibility: hidden""#,
            r#"style="visibility:visible""#,
        ),
    ] {
        let found = drawn(&format!(
            r#"<g {hide}><rect width="900" height="700"/><g><g {show}>{PART}</g><text>a</text></g></g>"#
        ));
        assert_eq!((area(&found), holes(&found)), (6e4, 0));
        says(&found, "2 hidden shapes or groups");
    }
    // What is not displayed stays away.
    let gone = sheet(&format!(
        r#"<g display="none"><g visibility="visible">{PART}</g></g>"#
    ));
    assert!(refused("a.svg", gone, None).contains("1 hidden shape or group"));
}

const PAGE: &str = r#"width="1000" height="800""#;

#[test]
fn what_shows_nothing_is_left_out() {
    for look in [
        r#"fill="none""#,
        r#"fill="none" stroke="none""#,
        r#"style="fill:none;stroke:none""#,
        r#"fill="transparent""#,
        r#"fill="rgba(255, 0, 0, 0)""#,
        r#"fill-opacity="0""#,
        r#"opacity="0" stroke="black""#,
        r#"style="opacity:0%""#,
        r#"fill="none" stroke="red" stroke-width="0""#,
        r#"fill="none" stroke="red" stroke-opacity="0""#,
    ] {
        for size in [PAGE, r#"width="500" height="400""#] {
            for held in [
                format!("<rect {size} {look}/>"),
                format!("<g {look}><rect {size}/></g>"),
            ] {
                let found = drawn(&format!("{held}{PART}"));
                assert_eq!((area(&found), holes(&found)), (6e4, 0), "{held}");
                says(&found, "1 shape without fill or line, which shows nothing");
            }
        }
    }
    // What a group leaves off, its shape may put on; and an outline without a fill is a part.
    for shown in [
        r#"<g fill="none"><rect width="500" height="400" stroke="red"/></g>"#,
        r#"<g fill="none" stroke="none"><rect width="500" height="400" fill="black"/></g>"#,
        r##"<rect width="500" height="400" fill="none" stroke="#000" stroke-width="0.1mm"/>"##,
        r#"<rect width="500" height="400" fill="url(#wood)" stroke="black"/>"#,
        r#"<rect width="500" height="400"/>"#,
    ] {
        let found = drawn(&format!("{shown}{PART}"));
        assert_eq!((area(&found), holes(&found)), (2e5 - 6e4, 1), "{shown}");
    }
    // A rectangle of another colour without a line lies behind what is drawn on it.
    for behind in [
        r#"<g fill="none" stroke="none"><rect width="500" height="400" fill="blue"/></g>"#,
        r#"<rect width="500" height="400" fill="url(#wood)"/>"#,
        r#"<rect width="900" height="700" fill="white"/>"#,
        r##"<rect width="100%" height="100%" fill="#eee"/>"##,
    ] {
        let found = drawn(&format!("{behind}{PART}"));
        assert_eq!((area(&found), holes(&found)), (6e4, 0), "{behind}");
        says(&found, "is taken for the sheet");
    }
}

#[test]
fn a_white_page_is_no_part() {
    for page in [
        format!(r#"<rect {PAGE} fill="white"/>"#),
        format!(r##"<rect {PAGE} style="fill:#FFF"/>"##),
        r#"<g fill="rgb(255,255,255)"><path d="M0 0H1000V800H0Z"/></g>"#.to_owned(),
        r#"<rect x="-1" y="-1" width="1002" height="802" fill="white"/>"#.to_owned(),
    ] {
        let found = drawn(&format!("{page}{PART}"));
        assert_eq!((area(&found), holes(&found)), (6e4, 0), "{page}");
        says(&found, "1 white page behind the drawing");
    }
    // By the width and height alone, in pixels; and by a view box that begins elsewhere.
    for (head, page) in [
        (
            r#"width="100mm" height="50mm""#,
            r#"width="100mm" height="50mm""#,
        ),
        (
            r#"width="100mm" height="50mm" viewBox="-10 -5 100 50""#,
            r#"x="-10" y="-5" width="100" height="50""#,
        ),
    ] {
        let text = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" {head}><rect fill="white" {page}/><rect width="80" height="40"/></svg>"#
        );
        let found = given("a.svg", &text, None);
        assert_eq!(holes(&found), 0, "{head}");
        says(&found, "1 white page");
    }
    // White with a line, black, or no rectangle: a part.
    for part in [
        format!(r#"<rect {PAGE} fill="white" stroke="black"/>"#),
        format!("<rect {PAGE}/>"),
        r#"<ellipse cx="500" cy="400" rx="500" ry="400" fill="white"/>"#.to_owned(),
    ] {
        assert_eq!(
            holes(&drawn(&format!(
                r#"{part}<g transform="translate(200 200)">{PART}</g>"#
            ))),
            1,
            "{part}"
        );
    }
    // Alone it is the part.
    assert_eq!(
        area(&drawn(&format!(r#"<rect {PAGE} fill="white"/>"#))),
        8e5
    );
}

#[test]
fn what_a_style_sheet_may_paint_stays() {
    let part = r#"<rect class="part" fill="none" width="500" height="400"/>"#;
    let sheet = "<style>.part{stroke:red}</style>";
    assert_eq!(area(&drawn(&format!("{sheet}{part}"))), 2e5);
    assert_eq!(area(&drawn(&format!("{part}<defs>{sheet}</defs>"))), 2e5);
    // Its own style goes before the sheet.
    let blank = r#"<rect class="part" style="fill:none;stroke:none" width="500" height="400"/>"#;
    assert_eq!(area(&drawn(&format!("{sheet}{blank}{PART}"))), 6e4);
}
