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
