//! Every word that can begin a sentence of the language has its words in a lesson: the grammar's own list of them is held
//! against what the lessons of the examples say.

use crate::lesson::{example, taught};
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::syntax::tree::SentenceKind;
use oaktag_studio::lesson::told::{self, Told};
use oaktag_studio::lesson::{Options, page};
use regex::Regex;
use std::collections::BTreeMap;
use std::fs;

/// The rules of the grammar whose alternatives begin sentences.
const RULES: [&str; 13] = [
    "edition",
    "head_sentence",
    "measure",
    "claim",
    "drawing",
    "kind",
    "plain_kind",
    "grouping",
    "remark",
    "operation",
    "pattern",
    "piece_sentence",
    "seam_sentence",
];

/// What a word gives a lesson; nothing where the reason beside it says so.
const WORDS: [(&str, &str); 62] = [
    ("edition", ""), // of the file, not of the pattern
    ("draft", "Ferry crew shirt, body"),
    ("unit", "Figures are in centimetres"),
    ("import", "House bust ease"),
    ("use", "Follow this act"),
    ("body", "Measures of the body"),
    ("choose", "Choices"),
    ("require", ""), // where it does not hold there is no lesson
    ("check", "armhole balance"),
    ("redraw", "Redraw the|Mark anew the"),
    ("guide", ""), // as what it draws
    ("cloth", "Cloth: poplin, 150 cm wide"),
    ("carry", "For the next time, work out "),
    ("give", ""), // by what is given
    ("point", "Mark the "),
    ("line", "Draw the [a-z ]+, a straight line"),
    ("curve", "Draw the [a-z ]+, a (smooth|hollow) curve"),
    ("length", "Work out the quarter: .* cm"),
    ("angle", "Work out the dart angle: .*°"),
    ("area", "Work out the surface: .* cm²"),
    ("number", "Work out the "),
    ("direction", "Take the [a-z ]+: the way "),
    ("text", ""), // by what is written with it
    ("list", "of them, each from the"),
    ("panel", "On the sheet: back"),
    ("answer", "Decide the [a-z ]+: (yes|no)"),
    ("step", "Widen the neck, lengthen the shoulder"),
    ("try", "Find the [a-z ]+ between .* so that"),
    ("if", ""), // by what is done in it
    ("note", "drawn with the shoulder dart closed"),
    ("why", "Why\\. The hem meets"),
    ("caution", "Caution\\. Keep this away from fire"),
    ("slip", "Is the quarter 51 cm"),
    ("terms", "Terms: scye"),
    ("operation", "The \\d+ steps inside"),
    ("piece", "Trace the outline off"),
    ("pieces", "Collar stand"),
    ("seams", ""), // walked as any other
    ("seam", "Walk the seams"),
    ("order", "Sew the shoulder"),
    ("outline", "Trace the outline off: the "),
    ("cut", "Cut 2, a mirrored pair"),
    ("grain", "Draw the grain arrow along the"),
    ("corner", "Where the [a-z ]+ meets the"),
    ("finish", "turned twice, 5 mm and 5 mm"),
    ("fold", "Fold along fold 1"),
    ("mark", "a button 1.1 cm across and .* thick wants a hole"),
    (
        "interline",
        "Trace the sewing line of Flap off, 0.2 cm inside it",
    ),
    ("ease", "Ease the [A-Za-z ]+ in by [\\d.]+ (cm|mm)"),
    ("gather", "Gather the [A-Za-z ]+ [\\d.]+ to 1"),
    ("stretch", "Stretch the [A-Za-z ]+ by [\\d.]+ (cm|mm)"),
    ("start", ""), // `start of A meets …`, told with the seam
    ("end", ""),
    ("of", ""),
    ("meets", ""), // told by its section's lengths
    ("open", "Open for the "),
    ("sewn", "Sewn (felled|French|plain|bound|faced): "),
    ("tolerance", "within 0.1 cm"),
    ("allow", "Add outside the sewing line: "),
    ("notch", "Notch (once|twice) on the armhole"),
    ("allowance", ""), // a rule, told with `allow`
    ("mirrored", ""),  // told with the seam's edges
];

/// Sentences that no example has.
const RARE: &str = r#"draft "Rare"
unit cm
panel flap {
  step "Square" {
    point a = origin
    point b = a right 10cm
    point c = b down 10cm
    point d = a down 10cm
    line top = from a to b
    line side = from b to c
    line low = from c to d
    line edge = from d to a
    area surface = length of top * length of side
    caution "Keep this away from fire."
    terms scye, grain
  }
}
panel flank traced from flap {
}
piece flap "Flap" {
  outline top, side, low, edge
  cut 1
  interline 1 from fusible by 2mm
  grain along side
  finish top, low, edge "bound"
}
piece flank "Flank" {
  outline top, side, low, edge
  cut 1
  grain along side
  finish top, low, side "bound"
}
seam middle joins flap.side to flank.edge { sewn felled 6mm, 16mm }
"#;

/// Words that begin the alternatives of the rules.
fn beginning() -> Vec<String> {
    let path = format!("{}/grammar/oaktag.ebnf", env!("CARGO_MANIFEST_DIR"));
    let grammar = fs::read_to_string(path).unwrap();
    let rule = Regex::new(r"(?m)^([a-z_]+)\s+::=((?:.*\n(?:\s{8,}.*\n)*))").unwrap();
    let word = Regex::new(r"'([a-z]+)'").unwrap();
    let mut found = Vec::new();
    for rule in rule.captures_iter(&grammar) {
        if !RULES.contains(&&rule[1]) {
            continue;
        }
        let (mut depth, mut start) = (0, true);
        for piece in rule[2].split_whitespace() {
            match piece {
                "(" => depth += 1,
                ")" | ")?" | ")*" | ")+" => depth -= 1,
                "|" if depth == 0 => start = true,
                "|" => {}
                _ => {
                    if start && let Some(one) = word.captures(piece) {
                        found.push(one[1].to_owned());
                    }
                    start = start && depth > 0;
                }
            }
        }
    }
    found
}

#[test]
fn every_word_that_begins_a_sentence_is_told_in_a_lesson() {
    let words: BTreeMap<&str, &str> = WORDS.into_iter().collect();
    assert_eq!(words.len(), WORDS.len());
    let options = Options {
        unfold: true,
        ..Options::default()
    };
    let mut pages = String::new();
    for text in [
        example("ferry-shirt.draft"),
        example("womens-crew-shirt.draft"),
        example("fitted-blouse.draft"),
        example("puff-sleeve.draft"),
        example("trousers.draft"),
        example("deck-skirt.draft"),
        RARE.to_owned(),
    ] {
        pages.push_str(&page::html(&taught(&text, &options).0));
    }
    let tags = Regex::new(r"<style>(?s:.*?)</style>|<[^>]*>").unwrap();
    let said = tags.replace_all(&pages, " ");
    let said = Regex::new(r"\s+").unwrap().replace_all(&said, " ");
    let said = said.replace(" .", ".");
    let begin = beginning();
    assert!(begin.len() > 40, "{begin:?}");
    for word in begin {
        let Some(wanted) = words.get(word.as_str()) else {
            panic!("sentences beginning with `{word}` have no words in a lesson");
        };
        let found = Regex::new(wanted).unwrap().is_match(&said);
        assert!(found, "`{word}`: nothing like {wanted} is said");
    }
}

/// A sentence that is something to do has a sentence in the lesson, in every example.
#[test]
fn every_deed_of_an_example_is_said() {
    for name in ["first-steps.draft", "house-block.draft"] {
        let text = example(name);
        let project = Project::load(name, &text, &NoFiles, &oaktag_language::library::module);
        let mut deeds = 0;
        count(&project.files[0].tree.sentences, &mut deeds);
        let (lesson, _) = taught(&text, &Options::default());
        let said: usize = lesson.steps.iter().map(|step| step.does.len()).sum();
        assert_eq!(said, deeds, "{name}");
    }
}

fn count(sentences: &[oaktag_language::syntax::tree::Sentence], deeds: &mut usize) {
    for sentence in sentences {
        if told::of(&sentence.kind) == Told::AsDeed {
            *deeds += 1;
        }
        match &sentence.kind {
            SentenceKind::Panel(panel) => count(&panel.body.sentences, deeds),
            SentenceKind::Step(step) => count(&step.body.sentences, deeds),
            SentenceKind::Try(tried) => count(&tried.body.sentences, deeds),
            _ => {}
        }
    }
}

/// A notch of a piece is told by its distance from the corner where its edge begins, whichever way its line was drawn.
#[test]
fn a_notch_is_told_from_the_corner_it_is_measured_from() {
    for (line, outline) in [
        ("from a to b", "top, slant, low"),
        ("from b to a", "top, slant, low"),
        ("from a to b", "low, slant, top"),
    ] {
        let text = format!(
            "draft \"Notch\"\nunit mm\npanel back {{\n  point a = origin\n  point b = origin right 200mm\n  point c = origin right 200mm down 100mm\n  line top = {line}\n  line slant = from b to c\n  line low = from c to a\n  point n = origin right 50mm\n}}\npiece back \"Back\" {{\n  outline {outline}\n  cut 1\n  grain along top\n  allow 1cm\n  notch single at n\n  finish top, slant, low \"bound\"\n}}\n"
        );
        let (lesson, _) = taught(&text, &Options::default());
        let said: Vec<&String> = lesson.pieces[0]
            .does
            .iter()
            .filter(|said| said.starts_with("Notch"))
            .collect();
        // From (0, 0), where the top meets the low edge, it is 50 mm; from (200, 0), where it meets the slant, 150 mm.
        let either = [
            "Notch once on the top, at the n, 50 mm from the corner with the low.",
            "Notch once on the top, at the n, 150 mm from the corner with the slant.",
        ];
        assert!(
            said.len() == 1 && either.contains(&&**said[0]),
            "{line}, {outline}: {said:?}"
        );
    }
}
