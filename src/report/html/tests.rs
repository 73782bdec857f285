//! The small pieces.

use super::*;

#[test]
fn a_long_title_is_cut_at_the_top() {
    assert_eq!(cut("short"), "short");
    assert_eq!(cut(&"x".repeat(10_000)).chars().count(), TITLE + 1);
}

#[test]
fn what_steers_text_is_left_out() {
    assert_eq!(scrub("a\u{202e}b\u{7}c\nd"), "abc\nd");
}

#[test]
fn blocks_become_lists() {
    let mut page = Page::default();
    page.heading("A & b");
    page.item("<one>");
    page.item("two");
    page.say("end");
    assert_eq!(
        blocks(&page, 3).into_string(),
        "<h3>A &amp; b</h3><ul><li>&lt;one&gt;</li><li>two</li></ul><p>end</p>"
    );
}
