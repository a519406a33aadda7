//! What the figures of a lesson show to whoever looks at them, and tell whoever cannot.

use crate::lesson::{drawn, every_step, example};
use kurbo::{ParamCurve, ParamCurveArclen};
use oaktag_language::draft::Outcome;
use oaktag_language::voice::{self, LengthUnit};
use oaktag_output::drawing::Shape;
use oaktag_studio::lesson::{self, Lesson, Options, Plate, Step};

const DRAFTS: [&str; 4] = [
    "ferry-shirt.draft",
    "womens-crew-shirt.draft",
    "house-block.draft",
    "deck-vest.draft",
];

fn lessons() -> impl Iterator<Item = (Lesson, Outcome)> {
    DRAFTS.into_iter().map(|name| {
        let (project, outcome) = drawn(&example(name));
        let options = Options {
            unfold: true,
            ..Options::default()
        };
        let lesson = lesson::lesson(&project, &outcome, LengthUnit::Centimetre, &options);
        (lesson, outcome)
    })
}

/// Does something with each picture of each step.
fn each_plate(mut look: impl FnMut(&Step, &Plate)) {
    let mut seen = 0;
    for (lesson, _) in lessons() {
        let mut steps = Vec::new();
        every_step(&lesson.steps, &mut steps);
        for step in steps {
            for plate in &step.plates {
                look(step, plate);
                seen += 1;
            }
        }
    }
    assert!(seen > 80, "{seen}");
}

#[test]
fn every_edge_of_a_piece_is_named_on_its_figure() {
    let mut seen = 0;
    for (lesson, outcome) in lessons() {
        for (work, piece) in lesson.pieces.iter().zip(&outcome.pattern.pieces) {
            assert_eq!(work.title, piece.label);
            let Some((figure, key)) = &work.plate else {
                continue;
            };
            let written = |name: &str| figure.texts().any(|text| text.letters.contains(name));
            for edge in piece.edges.iter().filter(|edge| !edge.mirrored) {
                let name = voice::own_name(&edge.name);
                let mut keyed = key.iter();
                let is_keyed =
                    keyed.any(|(number, words)| words.contains(&name) && written(number));
                assert!(written(&name) || is_keyed, "{}: {name}", piece.label);
                seen += 1;
            }
        }
    }
    assert!(seen > 60, "{seen}");
}

#[test]
fn a_figure_tells_by_name_what_is_new_in_it() {
    each_plate(|step, plate| {
        let said = &plate.drawing.words;
        let new = plate.drawing.items().filter(|item| {
            let style = item.shape.style();
            ["new", "new-dot", "guide"].contains(&style)
        });
        for name in new.filter_map(|item| item.name.as_deref()) {
            let name = voice::own_name(name);
            assert!(said.contains(&name), "{}: no {name} in: {said}", step.title);
        }
    });
}

#[test]
fn the_figure_of_a_scale_bar_is_clear_of_the_drawing() {
    each_plate(|step, plate| {
        let mut texts = plate.drawing.texts();
        let Some(text) = texts.find(|text| text.hand.name() == "scale") else {
            return;
        };
        let frame = text.frame().bounds().inset(-0.3);
        for item in plate.drawing.items() {
            let Shape::Stroke(path, pen) = &item.shape else {
                continue;
            };
            let mut strikes = path.segments().filter(|seg| {
                let looks = (seg.arclen(0.1) / 0.2).ceil().max(1.0);
                (0..=looks as u32).any(|at| frame.contains(seg.eval(f64::from(at) / looks)))
            });
            assert!(
                strikes.next().is_none(),
                "{}: {:?} ({}) through {}",
                step.title,
                item.name,
                pen.name(),
                text.letters
            );
        }
    });
}

/// A telephone held upright is 360 px wide or more, and the page keeps some 16 px free on either side (both from memory).
#[test]
fn letters_can_be_read_on_a_telephone() {
    let mut least = f64::MAX;
    each_plate(|step, plate| {
        let wide = plate.drawing.width;
        for text in plate.drawing.texts() {
            let letters = text.hand.size() * 328.0 / wide;
            least = least.min(letters);
            assert!(
                letters >= 10.0,
                "{}: {letters:.1} px: {}",
                step.title,
                text.letters
            );
        }
    });
    println!("{least:.1} px");
}
