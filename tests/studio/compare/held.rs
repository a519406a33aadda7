//! How two sides are laid over each other where the author or the piece says so, what a sheet shows of them, and how they read
//! in a review.

use super::moved::APRON;
use super::{compared, drawn};
use kurbo::Point;
use oaktag_output::drawing::{Layer, Shape};
use oaktag_output::sheet::Sheet;
use oaktag_studio::compare::card::{self, Heading};
use oaktag_studio::compare::report::{Detail, report};
use oaktag_studio::compare::{Verdict, overlay, text};

/// The back with a balance line, 20 cm below the nape, and the whole sheet moved 3 cm right and 5 cm down: everything but the
/// line moves with the sheet, and the line stays 20 cm below the nape.
#[test]
fn a_piece_is_laid_by_its_balance_line() {
    let marked = |nape: &str, depth: &str, tail: &str| {
        let line = format!(
            "    point nape = {nape}\n    line level = from (nape down {depth}) to (nape right 15cm down {depth})\n"
        );
        let text = APRON.replace("    point nape = origin\n", &line);
        let text = text.replace("choose tail = 40cm", &format!("choose tail = {tail}"));
        text.replace(
            "  finish hem, top \"turned\"\n  allow 1cm\n}\npiece front",
            "  finish hem, top \"turned\"\n  allow 1cm\n  mark level \"balance line\"\n}\npiece front",
        )
    };
    let old = drawn(&marked("origin", "20cm", "40cm"));
    let new = drawn(&marked("origin right 3cm down 5cm", "22cm", "39cm"));
    let comparison = compared(&old, &new);
    let back = comparison
        .pieces
        .iter()
        .find(|piece| piece.name == "back")
        .unwrap();
    assert_eq!(back.verdict, Verdict::Recut);
    // The old balance line lies under the new one: 3 cm right, 5 cm and 2 cm down.
    let laid = back.frame * Point::new(0.0, -200.0);
    assert!((laid - Point::new(30.0, -270.0)).hypot() < 1e-6, "{laid:?}");
}

#[test]
fn a_sheet_shows_the_pieces_that_changed() {
    let old = drawn(APRON);
    let new = drawn(&APRON.replace(
        "right for 8cm arriving right",
        "right for 10cm arriving right",
    ));
    let comparison = compared(&old, &new);
    let keeps: Vec<&str> = comparison.labels(Verdict::Keep);
    assert_eq!(keeps, ["Front"]);
    let sheet = overlay::drawing(&comparison, old.side("old"), new.side("new"), Sheet::Fit);
    let pieces = sheet.items().filter_map(|item| item.piece.as_deref());
    let pieces: Vec<&str> = pieces.collect();
    assert!(pieces.contains(&"back") && !pieces.contains(&"front"));
    let words: Vec<&str> = sheet.texts().map(|text| text.letters.as_str()).collect();
    assert!(
        words
            .iter()
            .any(|line| line.contains("Pieces that are kept are not drawn")),
        "{words:?}"
    );
    // Where nothing changed all are drawn.
    let same = compared(&old, &old);
    let sheet = overlay::drawing(&same, old.side("old"), old.side("old"), Sheet::Fit);
    assert!(
        sheet
            .items()
            .any(|item| item.piece.as_deref() == Some("front"))
    );
}

#[test]
fn a_review_reads_what_to_do_first_and_the_text_as_one_difference() {
    let old = drawn(APRON);
    let new = drawn(&APRON.replace(
        "right for 8cm arriving right for 6cm",
        "right for 10cm arriving right for 5cm",
    ));
    let written = text::markdown(&report(&compared(&old, &new), Detail::Outline));
    let at = |part: &str| {
        written
            .find(part)
            .unwrap_or_else(|| panic!("{part}: {written}"))
    };
    assert!(written.starts_with("## Galley apron, Lower Sound Ferries: what changed\n"));
    assert!(at("**Recut: Back.") < at("### What changed in the pattern"));
    assert!(at("### What changed in the pattern") < at("### What the author wrote"));
    assert!(at("### What the author wrote") < at("### What stayed"));
    let difference = "```diff\n@@ Back, step “Back”, line 19 @@";
    assert!(
        written.contains(difference) || written.contains("```diff\n@@ Back, step “Back”"),
        "{written}"
    );
    assert_eq!(written.matches("```").count(), 2, "{written}");
}

/// Every piece that changed is named on the card, with its verdict and its lines, on one page and inside its margins; its
/// pictures show both sides.
#[test]
fn a_card_tells_every_piece_that_changed_on_one_page() {
    let old = drawn(APRON);
    let new = drawn(&APRON.replace("tail = 40cm", "tail = 42cm"));
    let comparison = compared(&old, &new);
    for page in [(210.0, 297.0), (215.9, 279.4)] {
        let heading = Heading {
            old: "HEAD~1:apron.draft (4a7c1f2, 2026-11-30)".to_owned(),
            new: "apron.draft".to_owned(),
            revision: Some("C".to_owned()),
            body: None,
        };
        let sides = (old.side("old"), new.side("new"));
        let card = card::drawing(&comparison, sides, &heading, page.into());
        assert_eq!((card.width, card.height), page);
        let words: Vec<&str> = card.texts().map(|text| text.letters.as_str()).collect();
        let all = words.join("\n");
        for said in [
            "Galley apron, Lower Sound Ferries",
            "2026-11-30",
            "Recut: Back and Front.",
            "tail: 40 cm → 42 cm (+2 cm)",
            "side: 40 cm → 42 cm, 2 cm longer",
            "Revision",
            "C",
        ] {
            assert!(all.contains(said), "{said}: {all}");
        }
        for name in ["Back", "Front"] {
            assert!(words.contains(&name), "{name}: {all}");
        }
        let bounds = card.bounds().unwrap();
        assert!(
            bounds.x0 > 5.0
                && bounds.y0 > 5.0
                && bounds.x1 < page.0 - 5.0
                && bounds.y1 < page.1 - 5.0,
            "{bounds:?}"
        );
        let pens: Vec<&str> = card
            .layer(Layer::Sew)
            .map(|item| item.shape.style())
            .collect();
        for pen in ["held", "guide"] {
            assert!(pens.contains(&pen), "{pen}: {pens:?}");
        }
        // No words on each other.
        let texts: Vec<kurbo::Rect> = card
            .texts()
            .map(|text| text.frame().bounds().inset(-0.6))
            .collect();
        for (at, one) in texts.iter().enumerate() {
            for other in &texts[at + 1..] {
                let lies = one.intersect(*other);
                assert!(
                    lies.width() <= 0.0 || lies.height() <= 0.0,
                    "{one:?} {other:?}"
                );
            }
        }
        let strokes = card
            .shapes()
            .filter(|shape| matches!(shape, Shape::Stroke(..)));
        assert!(strokes.count() > 10);
    }
}

/// A shirt of many pieces, all of which change: what has no room is named.
#[test]
fn a_card_of_many_pieces_leaves_none_unsaid() {
    let text = super::shirt();
    let old = drawn(&text);
    let new = drawn(&text.replace("bust_ease = 10cm", "bust_ease = 12cm"));
    let comparison = compared(&old, &new);
    let sides = (old.side("old"), new.side("new"));
    let card = card::drawing(
        &comparison,
        sides,
        &Heading::default(),
        (210.0, 297.0).into(),
    );
    let words: Vec<&str> = card.texts().map(|text| text.letters.as_str()).collect();
    let all = words.join(" ");
    for piece in comparison
        .pieces
        .iter()
        .filter(|piece| piece.verdict != Verdict::Keep)
    {
        assert!(all.contains(&piece.label), "{}: {all}", piece.label);
    }
    let bounds = card.bounds().unwrap();
    assert!(bounds.y1 < 292.0, "{bounds:?}");
}
