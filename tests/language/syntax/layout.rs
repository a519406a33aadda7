//! The canonical layout: a fixed point that keeps meaning, comments and the writer's line breaks.

use crate::syntax::support::generate::Generator;
use crate::syntax::support::{all_drafts, grammar};
use crate::syntax::{read, sound};
use expect_test::expect;
use oaktag_language::syntax::{meaning, tidy};

/// The comments of a text, in order.
fn comments(text: &str) -> Vec<String> {
    let parsed = read(text);
    let comments = parsed.trivia.comments.iter();
    comments
        .map(|comment| text[comment.span.range()].to_string())
        .collect()
}

/// Tidies a sound text and checks what must hold.
fn tidied(text: &str) -> String {
    let once = tidy(text).unwrap_or_else(|messages| panic!("{messages:?}\n{text}"));
    let twice = tidy(&once).unwrap_or_else(|messages| panic!("{messages:?}\n{once}"));
    assert_eq!(once, twice, "a fixed point of:\n{text}");
    assert_eq!(
        meaning(&sound(text).tree),
        meaning(&sound(&once).tree),
        "the meaning of:\n{text}\nas\n{once}"
    );
    assert_eq!(comments(text), comments(&once));
    for line in once.lines() {
        assert_eq!(line, line.trim_end());
    }
    assert!(!once.contains("\n\n\n") && !once.starts_with('\n') && !once.ends_with("\n\n"));
    once
}

#[test]
fn generated_drafts_keep_their_meaning() {
    let grammar = grammar();
    let generator = Generator::new(&grammar);
    for seed in 0..2000 {
        tidied(&generator.wild(seed, 4));
    }
}

#[test]
fn the_drafts_are_tidy() {
    for (name, text) in all_drafts() {
        assert_eq!(tidied(&text), text, "{name}");
    }
}

#[test]
fn carriage_returns_tabs_and_no_last_newline() {
    assert_eq!(
        tidied("draft\t\"a\"\r\n\r\n\r\nunit   cm"),
        "draft \"a\"\n\nunit cm\n"
    );
    assert_eq!(tidied(""), "");
    assert_eq!(tidied("\n# only a remark"), "# only a remark\n");
}

#[test]
fn a_text_with_slips_is_left_alone() {
    assert!(tidy("point a = = b").is_err());
}

#[test]
fn the_layout_of_every_sort_of_line() {
    let text = r#"
# above


draft   "Shirt"   # beside
unit cm
panel back   traced from house.back
{

      step "Frame"{
point a=origin   right 3 * -2cm
  point b = a # why
  left 3cm # left

  # before the brace
  }
      try lift between 0mm and 3mm{ redraw s = pivot s about p by lift clockwise }
   until length of s=3cm
   if a<b { note "x" }
   otherwise if b { note "{ a }" note "y" }
   otherwise
   {
   }
   list l=each n from 0 to 6 { point q = top
     give q }
   curve c = from a to b leaving down
 arriving down with handles [ .3mm,4cm ]
}
seam x joins a,b to c { allow 1cm }
piece y { }
"#;
    let text = text.replace(".3mm", "0.3").replace("\" note \"y\"", "\"");
    expect![[r##"
        # above

        draft "Shirt" # beside
        unit cm
        panel back traced from house.back {
          step "Frame" {
            point a = origin right 3 * -2cm
            point b = a # why
                left 3cm # left

            # before the brace
          }
          try lift between 0mm and 3mm { redraw s = pivot s about p by lift clockwise } until length of s = 3cm
          if a < b { note "x" } otherwise if b { note "{a}" } otherwise {}
          list l = each n from 0 to 6 {
            point q = top
            give q
          }
          curve c = from a to b leaving down
              arriving down with handles [0.3, 4cm]
        }
        seam x joins a, b to c { allow 1cm }
        piece y {}
    "##]]
    .assert_eq(&tidied(&text));
}
