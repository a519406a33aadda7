//! Lessons drawn again from their own words: whoever has the page alone comes out where the drawing is.

mod class;
mod hand;
mod honest;
mod making;
mod paper;
mod redrawn;
mod seen;
#[allow(
    dead_code,
    reason = "shared with the tests of printed patterns, which read more of a page"
)]
use crate::reader;
mod told;

use hand::redraw;
use oaktag_language::draft::{self, Inputs, Outcome};
use oaktag_language::library;
use oaktag_language::syntax::project::{Project, ReadFault, Reader};
use oaktag_language::voice::LengthUnit;
use oaktag_output::drawing::{Drawing, Shape};
use oaktag_output::json;
use oaktag_studio::lesson::{self, Lesson, Options, Plate, Step};
use serde_json::Value as Json;
use std::fs;
use std::process::Command;

struct Examples;

impl Reader for Examples {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        Ok(example(path))
    }
}

fn example(name: &str) -> String {
    fs::read_to_string(format!("{}/examples/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

/// The crew shirt without its pocket: what is taught is body, sleeve and collar.
fn crew_shirt() -> String {
    let lines = example("womens-crew-shirt.draft");
    lines
        .lines()
        .filter(|line| !line.contains("pocket"))
        .map(|line| format!("{line}\n"))
        .collect()
}

fn drawn(text: &str) -> (Project, Outcome) {
    let project = Project::load("lesson.draft", text, &Examples, &library::module);
    let outcome = draft::make(&project, &Inputs::default());
    (project, outcome)
}

fn taught(text: &str, options: &Options) -> (Lesson, Json) {
    let (project, outcome) = drawn(text);
    let lesson = lesson::lesson(&project, &outcome, LengthUnit::Centimetre, options);
    (
        lesson,
        serde_json::from_str(&json::write(&outcome.pattern).unwrap()).unwrap(),
    )
}

/// Every sentence of the first lesson, of the house block and of the ferry crew's shirt can be done by a hand that has nothing
/// but the sentences, the tables and an empty table to work on, the block that the shirt is traced from included; none comes out
/// otherwise than it was drawn.
#[test]
fn every_sentence_is_redrawn_from_its_words_alone() {
    for name in [
        "first-steps.draft",
        "house-block.draft",
        "ferry-shirt.draft",
    ] {
        let (project, outcome) = drawn(&example(name));
        let options = Options {
            unfold: true,
            ..Options::default()
        };
        let lesson = lesson::lesson(&project, &outcome, LengthUnit::Centimetre, &options);
        let done = redraw(&lesson, &outcome);
        let farthest = done.steps.iter().map(|(_, off)| *off);
        println!(
            "{name}: {} of {} sentences in {} steps, the farthest place {:.2} mm off",
            done.held,
            done.all,
            done.steps.len(),
            farthest.fold(0.0, f64::max)
        );
        assert!(done.left.is_empty(), "{name}: {:#?}", done.left);
        assert!(done.wrong.is_empty(), "{name}: {:#?}", done.wrong);
        assert!(done.held >= 10);
    }
}

/// Ten steps by chance, of the ferry crew's shirt with its block and of the women's shirt by its cards, from an empty table: how
/// far the farthest place of each lies from the drawing.
#[test]
fn ten_steps_by_chance_are_redrawn_from_an_empty_table() {
    let (project, outcome) = drawn(&example("ferry-shirt.draft"));
    let options = Options {
        unfold: true,
        ..Options::default()
    };
    let ferry = lesson::lesson(&project, &outcome, LengthUnit::Centimetre, &options);
    let done = redraw(&ferry, &outcome);
    assert!(done.left.is_empty() && done.wrong.is_empty());
    let mut steps: Vec<(String, f64)> = done.steps;
    let (project, outcome) = drawn(&example("womens-crew-shirt.draft"));
    let options = Options::default();
    let women = lesson::lesson(&project, &outcome, LengthUnit::Centimetre, &options);
    let cards = hand::cards(&women, &outcome);
    assert_eq!(cards.len(), women.steps.len());
    println!(
        "{} steps of the ferry shirt, {} cards",
        steps.len(),
        cards.len()
    );
    steps.extend(cards);
    assert!(steps.len() > 35, "{}", steps.len());
    // Numerical Recipes' linear congruence (from memory), so that the same steps are drawn anywhere.
    let mut chance: u32 = 20_261_201;
    let mut drawn: Vec<usize> = Vec::new();
    while drawn.len() < 10 {
        chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let at = (chance >> 8) as usize % steps.len();
        if !drawn.contains(&at) {
            drawn.push(at);
        }
    }
    for at in drawn {
        let (step, off) = &steps[at];
        println!("{step}: {off:.2} mm");
        assert!(*off < 0.6, "{step}: {off}");
    }
}

/// The library's acts as cards: all that an act leaves for the others can be drawn from its page alone, in few sentences.
#[test]
fn every_card_of_the_examples_is_drawn_from_its_tables() {
    for name in [
        "womens-crew-shirt.draft",
        "mens-crew-shirt.draft",
        "fitted-blouse.draft",
        "hooded-smock.draft",
        "puff-sleeve.draft",
    ] {
        let (project, outcome) = drawn(&example(name));
        let options = Options::default();
        let lesson = lesson::lesson(&project, &outcome, LengthUnit::Centimetre, &options);
        for (step, off) in hand::cards(&lesson, &outcome) {
            println!("{name}, {step}: {off:.2} mm");
            assert!(off < 0.6, "{name}, {step}: {off}");
        }
        for step in lesson.steps.iter().filter(|step| step.is_card()) {
            assert!(step.does.len() <= 12, "{name}: {:#?}", step.does);
            assert!(step.inside.is_empty());
        }
    }
}

/// The women's crew shirt is one line an operation; its steps stand inside them, in the library.
#[test]
fn every_sentence_of_the_librarys_shirt_is_redrawn_from_what_lay_there_before() {
    let (project, outcome) = drawn(&example("womens-crew-shirt.draft"));
    let options = Options {
        unfold: true,
        ..Options::default()
    };
    let lesson = lesson::lesson(&project, &outcome, LengthUnit::Centimetre, &options);
    let mut steps = Vec::new();
    every_step(&lesson.steps, &mut steps);
    let done = hand::redraw_each_alone(&steps, &outcome);
    println!("{} of {}, not: {:#?}", done.held, done.all, done.left);
    // What is left are names that two sheets share (a front and the front it is traced from), which a sentence taken out
    // of its step cannot tell apart.
    assert!(done.all > 400 && done.held * 100 >= done.all * 93);
}

fn every_step<'a>(steps: &'a [Step], found: &mut Vec<&'a Step>) {
    for step in steps {
        found.push(step);
        every_step(&step.inside, found);
    }
}

/// Whatever has a length on the drawing has it on the page, and no sentence that measures leaves its figure out.
#[test]
fn every_figure_that_is_needed_stands_on_the_page() {
    for text in [
        example("house-block.draft"),
        example("ferry-shirt.draft"),
        crew_shirt(),
    ] {
        let (lesson, json) = taught(
            &text,
            &Options {
                unfold: true,
                ..Options::default()
            },
        );
        let mut steps = Vec::new();
        every_step(&lesson.steps, &mut steps);
        for said in steps.iter().flat_map(|step| &step.does) {
            let said = said.split(" If none will do: ").next().unwrap();
            for (at, _) in said.match_indices("measure ") {
                let rest = &said[at + "measure ".len()..];
                assert!(rest.starts_with(|c: char| c.is_ascii_digit()), "{said}");
            }
            assert!(!said.contains("_") && !said.contains("  "), "{said}");
        }
        let on_page: Vec<&(String, String)> =
            steps.iter().flat_map(|step| &step.measures).collect();
        for (name, value) in json["values"].as_object().unwrap() {
            let Some(length) = value["length_mm"].as_f64() else {
                continue;
            };
            if value["file"] != "lesson.draft" {
                continue;
            }
            let printed = LengthUnit::Centimetre.length(length);
            assert!(
                on_page
                    .iter()
                    .any(|(_, one)| one.ends_with(&format!(", {printed}"))),
                "{name}, {printed}"
            );
        }
    }
}

/// Whatever is new or used in a figure has its name there, or a number that the key explains; what found no room stands in
/// the key alone.
fn hold_names_told(step: &Step) {
    for plate in &step.plates {
        hold_names_told_in(step, plate);
    }
}

fn hold_names_told_in(step: &Step, shown: &Plate) {
    let plate = &shown.drawing;
    let numbers: Vec<&String> = shown.key.iter().map(|(number, _)| number).collect();
    for number in numbers.iter().filter(|number| !number.is_empty()) {
        assert!(
            plate.texts().any(|text| text.letters == **number),
            "{}: number {number} is not in the figure",
            step.number
        );
    }
    let drawn: std::collections::BTreeSet<&String> = plate
        .items()
        .filter(|item| ["new", "guide", "new-dot", "ring"].contains(&item.shape.style()))
        .filter_map(|item| item.name.as_ref())
        .collect();
    let said = |name: &str| {
        plate
            .items()
            .filter(|item| ["fresh", "used"].contains(&item.shape.style()))
            .any(|item| item.name.as_deref() == Some(name))
    };
    let silent = drawn.iter().filter(|name| !said(name)).count();
    let in_key = shown
        .key
        .iter()
        .filter(|(number, _)| number.is_empty())
        .count();
    assert!(silent <= in_key, "{}: {silent} without a name", step.number);
}

fn hold_labels_apart(plate: &Drawing) {
    let frames: Vec<_> = plate
        .texts()
        .map(|text| (text.letters.clone(), text.frame()))
        .collect();
    for (at, (letters, frame)) in frames.iter().enumerate() {
        let bounds = frame.bounds();
        let inside = bounds.x0 >= -0.01
            && bounds.y0 >= -0.01
            && bounds.x1 <= plate.width + 0.01
            && bounds.y1 <= plate.height + 0.01;
        assert!(inside, "{}: {letters} leaves the figure", plate.title);
        for (others, other) in frames.iter().skip(at + 1) {
            assert!(
                !frame.overlaps(other),
                "{}: {letters} and {others}",
                plate.title
            );
        }
    }
}

#[test]
fn no_label_touches_another_or_leaves_its_figure_and_none_is_dropped_in_silence() {
    let folder = format!("{}/examples", env!("CARGO_MANIFEST_DIR"));
    let mut texts: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "draft"))
        .map(|path| fs::read_to_string(path).unwrap())
        .collect();
    texts.sort();
    assert!(texts.len() >= 9);
    for text in texts {
        let a4 = Some(oaktag_output::sheet::PageSize::A4.size());
        for (scale, paper) in [(None, None), (None, a4), (Some(4.0), a4)] {
            let options = Options {
                unfold: true,
                scale,
                paper,
                ..Options::default()
            };
            let (lesson, _) = taught(&text, &options);
            let mut steps = Vec::new();
            every_step(&lesson.steps, &mut steps);
            steps.iter().for_each(|step| hold_names_told(step));
            let plates = steps.iter().flat_map(|step| &step.plates);
            let plates =
                plates.flat_map(|plate| std::iter::once(&plate.drawing).chain(&plate.locator));
            let pieces = lesson.pieces.iter();
            let pieces = pieces.filter_map(|work| work.plate.as_ref().map(|(plate, _)| plate));
            let whole = lesson
                .midway
                .iter()
                .map(|(_, plate)| plate)
                .chain(&lesson.last)
                .chain(pieces);
            plates.chain(whole).for_each(hold_labels_apart);
        }
    }
}

/// At half scale a line on the figure is half as long as on the body: the figure itself can be measured.
#[test]
fn a_figure_at_half_scale_measures_half() {
    let (lesson, json) = taught(
        &example("first-steps.draft"),
        &Options {
            unfold: false,
            scale: Some(2.0),
            paper: None,
            ..Options::default()
        },
    );
    let plates = &lesson.steps[0].plates;
    let length = |name: &str| {
        let item = plates
            .iter()
            .flat_map(|plate| plate.drawing.items())
            .find(|item| item.name.as_deref() == Some(name) && item.shape.style() == "new")
            .unwrap();
        match &item.shape {
            Shape::Stroke(path, _) => path
                .segments()
                .map(|seg| kurbo::ParamCurveArclen::arclen(&seg, 1e-6))
                .sum::<f64>(),
            other => panic!("{other:?}"),
        }
    };
    for edge in ["back.hem", "back.neck", "back.centre"] {
        let drawn = json["values"][edge]["length_mm"].as_f64().unwrap();
        assert!((length(edge) * 2.0 - drawn).abs() < 0.001, "{edge}");
    }
}

#[test]
fn the_author_and_the_library_are_both_heard() {
    let (lesson, _) = taught(&example("ferry-shirt.draft"), &Options::default());
    let armhole = lesson
        .steps
        .iter()
        .find(|step| step.title == "Armhole")
        .unwrap();
    assert_eq!(armhole.slips[0].figure, "51 cm");
    let quarter = armhole
        .figures
        .iter()
        .find(|figure| figure.name == "Quarter")
        .unwrap();
    assert_eq!(quarter.value, "25.5 cm");
    assert_eq!(quarter.formula, "(bust girth + bust ease) ÷ 4");
    assert!(lesson.terms.iter().any(|(term, _)| *term == "Yoke"));
    assert!(lesson.midway.is_some() && lesson.last.is_some());
    let (folded, _) = taught(&crew_shirt(), &Options::default());
    let (unfolded, _) = taught(
        &crew_shirt(),
        &Options {
            unfold: true,
            ..Options::default()
        },
    );
    assert!(folded.steps.iter().all(|step| step.inside.is_empty()));
    assert!(
        unfolded
            .steps
            .iter()
            .map(|step| step.inside.len())
            .sum::<usize>()
            > 30
    );
}

#[test]
fn the_same_draft_gives_the_same_bytes() {
    let page = || {
        lesson::page::html(
            &taught(
                &crew_shirt(),
                &Options {
                    unfold: true,
                    ..Options::default()
                },
            )
            .0,
        )
    };
    assert_eq!(page(), page());
}

fn oaktag(arguments: &[&str]) -> (i32, String, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(arguments)
        .output()
        .unwrap();
    (
        out.status.code().unwrap(),
        String::from_utf8(out.stdout).unwrap(),
        String::from_utf8(out.stderr).unwrap(),
    )
}

#[test]
fn the_command_writes_a_page_in_the_unit_asked_for_and_spares_the_draft() {
    let folder = tempfile::TempDir::new().unwrap();
    let draft = folder.path().join("back.draft");
    fs::write(&draft, example("first-steps.draft")).unwrap();
    let (draft, out) = (draft.to_str().unwrap(), folder.path().join("back.html"));
    let out = out.to_str().unwrap();
    let (status, _, err) = oaktag(&["lesson", draft, "-o", out, "--unit", "in"]);
    assert_eq!(status, 0, "{err}");
    let page = fs::read_to_string(out).unwrap();
    // 42 cm is 16.535 inches, to the nearest sixteenth 16 9/16.
    assert!(page.contains("16 9/16 in") && !page.contains("42 cm"));
    let (status, _, err) = oaktag(&["lesson", draft, "-o", "back.doc"]);
    assert_eq!(status, 2, "{err}");
    let same = folder.path().join("same.html");
    fs::copy(draft, &same).unwrap();
    let same = same.to_str().unwrap();
    assert_eq!(oaktag(&["lesson", same, "-o", same]).0, 2);
    assert_eq!(
        fs::read_to_string(same).unwrap(),
        example("first-steps.draft")
    );
    fs::write(draft, "point a = b right 2cm\n").unwrap();
    fs::remove_file(out).unwrap();
    assert_eq!(oaktag(&["lesson", draft, "-o", out]).0, 1);
    let page = fs::read_to_string(out).unwrap();
    assert!(
        page.contains("UNFINISHED: line 1 cannot be drawn"),
        "what can be drawn is written, and says so"
    );
}
