//! The table of sentences: each example is drawn on the sheet of the reference, and no sentence is left out of it.

use crate::drawing;

use drawing::Run;
use oaktag_language::report::Diagnostic;
use oaktag_language::syntax::sentences::{ALL, FRAME, Of, Row};
use oaktag_language::syntax::starts::{KINDS, PIECE_SENTENCES, SEAM_SENTENCES, SENTENCES};
use std::fmt::Write;

/// The sheet with the example where its sentence stands.
fn drawn_with(row: &Row) -> String {
    let first = row.example.split_whitespace().next().unwrap_or("");
    let place = match (row.of, first) {
        (_, "edition") => return format!("{}\n{FRAME}", row.example),
        (_, "draft") => {
            return FRAME.replacen(
                "draft \"Sheet for the examples of the sentences\"",
                row.example,
                1,
            );
        }
        (_, "unit") => return FRAME.replacen("unit cm", row.example, 1),
        (Of::Head, _) => "# a sentence of the head stands here",
        (Of::Sheet, "panel") | (Of::Pattern, _) => {
            "# a sentence that makes pieces and seams stands here"
        }
        (Of::Sheet | Of::Value, _) => "# a sentence of a panel stands here",
        (Of::Piece, _) => "# a sentence of a piece stands here",
        (Of::Seam, _) => "# a sentence of a seam stands here",
    };
    assert!(FRAME.contains(place));
    let mut text = FRAME.to_owned();
    // What a piece says once is said by the example; what names its edges comes behind that.
    if row.of == Of::Piece && matches!(first, "outline" | "cut" | "grain") {
        let (before, back) = text.split_once("piece back \"Back\" {").unwrap();
        let (back, after) = back.split_once('}').unwrap();
        let gone = |line: &&str| {
            let said = line.trim();
            !(said.starts_with(first) || (first == "outline" && said.starts_with("finish")))
        };
        let kept: Vec<&str> = back.lines().filter(gone).collect();
        text = format!(
            "{before}piece back \"Back\" {{{}\n}}{after}",
            kept.join("\n")
        );
    }
    text.replacen(place, row.example, 1)
}

#[test]
fn every_example_is_drawn() {
    let mut wrong = String::new();
    for row in ALL {
        let run = Run::of(&drawn_with(row)).beside(
            "block.draft",
            "choose ease = 4cm between 2cm and 20cm\npoint start_point = origin right ease\n",
        );
        if run.told().iter().any(Diagnostic::is_error) {
            writeln!(wrong, "{}\n{}\n{}", row.form, row.example, run.shown()).unwrap();
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn every_sentence_has_a_row() {
    let has = |word: &str, of: &[Of]| {
        ALL.iter()
            .any(|row| of.contains(&row.of) && row.is_called(word))
    };
    for word in SENTENCES
        .iter()
        .chain(KINDS)
        .filter(|word| **word != "seams")
    {
        assert!(has(word, &[Of::Head, Of::Sheet, Of::Pattern]), "{word}");
    }
    for word in PIECE_SENTENCES {
        assert!(has(word, &[Of::Piece]), "{word}");
    }
    for word in SEAM_SENTENCES {
        assert!(has(word, &[Of::Seam]), "{word}");
    }
}

#[test]
fn rows_are_written_as_signatures_are() {
    for row in ALL {
        assert!(row.doc.ends_with('.'), "{}: {}", row.form, row.doc);
        assert!(
            !row.words.is_empty() && !row.example.is_empty(),
            "{}",
            row.form
        );
    }
}
