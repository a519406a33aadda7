//! What a class is handed: every formula comes out at its figure when it is worked out by a reader of sums that knows nothing of
//! the language, a question sheet tells no answer, and every sheet has its head.

use crate::lesson::reader::Pdf;
use crate::lesson::{every_step, example, oaktag, taught};
use oaktag_studio::lesson::{Class, Lesson, Options, Step, page};
use regex::Regex;
use std::collections::BTreeMap;

const FILES: [&str; 5] = [
    "first-steps.draft",
    "house-block.draft",
    "ferry-shirt.draft",
    "straight-skirt.draft",
    "trousers.draft",
];

fn of(name: &str, class: Class) -> Lesson {
    let options = Options {
        class,
        ..Options::default()
    };
    taught(&example(name), &options).0
}

/// A reader of sums: figures in centimetres, names with their values, brackets, + − × ÷; none for whatever else it meets.
struct Sum<'a> {
    left: &'a str,
    names: &'a BTreeMap<String, f64>,
}

impl Sum<'_> {
    fn read(text: &str, names: &BTreeMap<String, f64>) -> Option<f64> {
        let mut sum = Sum { left: text, names };
        let value = sum.sum()?;
        sum.left.trim().is_empty().then_some(value)
    }

    fn take(&mut self, sign: char) -> bool {
        let found = self.left.trim_start().strip_prefix(sign);
        if let Some(rest) = found {
            self.left = rest;
        }
        found.is_some()
    }

    fn sum(&mut self) -> Option<f64> {
        let mut value = self.product()?;
        loop {
            if self.take('+') {
                value += self.product()?;
            } else if self.take('−') {
                value -= self.product()?;
            } else {
                return Some(value);
            }
        }
    }

    fn product(&mut self) -> Option<f64> {
        let mut value = self.one()?;
        loop {
            if self.take('×') {
                value *= self.one()?;
            } else if self.take('÷') || self.take('/') {
                value /= self.one()?;
            } else {
                return Some(value);
            }
        }
    }

    fn one(&mut self) -> Option<f64> {
        if self.take('−') {
            return Some(-self.one()?);
        }
        if self.take('(') {
            let value = self.sum()?;
            return self.take(')').then_some(value);
        }
        let text = self.left.trim_start();
        let figure = Regex::new(r"^([0-9.]+)( cm|°)?").unwrap();
        if let Some(found) = figure.captures(text) {
            self.left = &text[found[0].len()..];
            return found[1].parse().ok();
        }
        let name = Regex::new(r"^[a-z][a-z0-9' ]*[a-z0-9]").unwrap();
        let found = name.find(text)?.as_str();
        self.left = &text[found.len()..];
        self.names.get(found).copied()
    }
}

fn figure(text: &str) -> Option<f64> {
    let bare = text.trim_end_matches(" cm").trim_end_matches('°');
    bare.replace('−', "-").parse().ok()
}

/// The formulas are worked out out of the tables of measures and choices, and of the rows above them.
#[test]
fn every_formula_comes_out_at_its_figure() {
    let (mut plain, mut deep, mut worked) = (0, 0, 0);
    for name in FILES {
        let lesson = of(name, Class::Sheets);
        let mut names = BTreeMap::new();
        for one in lesson.body.iter().chain(&lesson.choices) {
            names.extend(figure(&one.value).map(|value| (one.name.to_lowercase(), value)));
        }
        let measures = names.clone();
        assert!(!lesson.formulas.is_empty(), "{name}");
        for row in &lesson.formulas {
            let Some(value) = figure(&row.value) else {
                continue;
            };
            let near = |found: f64| {
                // Every figure on the page is rounded to a tenth of a millimetre, and a sum has a few of them.
                assert!(
                    (found - value).abs() <= 0.03 + value.abs() * 1e-3,
                    "{name}: {row:?}: {found}"
                );
            };
            if let Some(found) = Sum::read(&row.formula, &names) {
                near(found);
                plain += 1;
            }
            let from = row.from_measures.as_ref();
            if let Some(found) = from.and_then(|deep| Sum::read(deep, &measures)) {
                near(found);
                deep += 1;
            }
            if let Some((sum, came)) = row.worked.rsplit_once(" = ") {
                assert_eq!(came, row.value);
                if let Some(found) = Sum::read(sum, &BTreeMap::new()) {
                    near(found);
                    worked += 1;
                }
            }
            names.insert(row.of.to_lowercase(), value);
        }
    }
    println!("{plain} formulas, {deep} out of measures, {worked} worked through");
    assert!(
        plain > 40 && deep > 5 && worked > 40,
        "{plain}, {deep}, {worked}"
    );
}

/// The words of the steps alone: what is asked stands nowhere as a figure beside its blank.
fn told(steps: &[Step]) -> Vec<String> {
    let mut all = Vec::new();
    every_step(steps, &mut all);
    all.iter().flat_map(|step| step.does.clone()).collect()
}

#[test]
fn a_question_stands_where_the_figure_stood_and_is_answered_with_it() {
    let blank = Regex::new(r"\[(\d+)\] _{8}").unwrap();
    let known = Regex::new(r"your \[(\d+)\]").unwrap();
    for name in FILES {
        let (with, without) = (of(name, Class::Sheets), of(name, Class::Questions));
        let answers: BTreeMap<String, String> = without
            .answers
            .iter()
            .map(|one| {
                (
                    one.question.to_string(),
                    one.worked.rsplit(" = ").next().unwrap().to_owned(),
                )
            })
            .collect();
        assert_eq!(answers.len(), without.answers.len());
        let (figures, blanks) = (told(&with.steps), told(&without.steps));
        assert_eq!(figures.len(), blanks.len(), "{name}");
        let mut asked = 0;
        for (figure, question) in figures.iter().zip(&blanks) {
            let filled = blank.replace_all(question, |found: &regex::Captures<'_>| {
                asked += 1;
                answers[&found[1]].clone()
            });
            if filled != *question {
                // "Work out the quarter: hip girth ÷ 4 = 100 cm ÷ 4 = 25 cm." loses the middle: the class works it out.
                let ends = |text: &str| {
                    (
                        text.split(" = ").next().unwrap().to_owned(),
                        text.rsplit(" = ").next().unwrap().to_owned(),
                    )
                };
                let filled = known.replace_all(&filled, |found: &regex::Captures<'_>| {
                    answers[&found[1]].clone()
                });
                assert_eq!(ends(&filled), ends(figure), "{name}");
            }
        }
        assert!(asked > 0, "{name}");
        // Numbers run through the lesson without a gap.
        let numbers: Vec<usize> = without.answers.iter().map(|one| one.question).collect();
        assert_eq!(numbers, (1..=numbers.len()).collect::<Vec<_>>());
        assert!(with.answers.is_empty() && with.class == Class::Sheets);
        // No letter of the makers' own is left on a page.
        let all = page::html(&without) + &page::html(&with);
        assert!(
            !all.contains('\u{f0000}') && !all.contains('\u{f0001}'),
            "{name}"
        );
    }
}

/// A figure inside of another: an answer tells it, a formula tells how it comes about, and neither is a letter of nobody's.
#[test]
fn what_stands_inside_of_a_question_is_told_in_its_answer_alone() {
    let options = Options {
        class: Class::Questions,
        unfold: true,
        ..Options::default()
    };
    let (lesson, _) = taught(&example("womens-crew-shirt.draft"), &options);
    let is_own = |text: &str| {
        text.chars()
            .any(|c| ('\u{e000}'..='\u{f8ff}').contains(&c) || c >= '\u{f0000}')
    };
    let shown = page::html(&lesson);
    assert!(!is_own(&shown));
    let mut nested = 0;
    for row in &lesson.formulas {
        // What the block gives is told by its name: the block as a whole is no figure.
        let from = row.from_measures.as_deref().unwrap_or_default();
        assert!(!from.contains("women's block"), "{row:?}");
        let answer = lesson
            .answers
            .iter()
            .find(|one| Some(one.question) == row.question);
        let answer = answer.unwrap_or_else(|| panic!("{row:?}"));
        assert_eq!(answer.worked, row.worked);
        // "the mouth of 5.28° (yoke share × dart angle) at …": the class works 5.28° out.
        for (figure, _) in answer
            .worked
            .match_indices(" (")
            .map(|(at, _)| answer.worked.split_at(at))
        {
            let figure = figure.rsplit(' ').next().unwrap();
            if figure.ends_with('°') {
                assert!(!row.formula.contains(figure), "{row:?}");
                nested += 1;
            }
        }
    }
    assert!(nested > 0);
}

/// Where nothing is asked, that is said.
#[test]
fn a_lesson_without_a_question_says_so() {
    let root = env!("CARGO_MANIFEST_DIR");
    let draft = format!("{root}/examples/womens-crew-shirt.draft");
    let folder = tempfile::TempDir::new().unwrap();
    for ending in ["pdf", "html"] {
        let out = folder.path().join(format!("lesson.{ending}"));
        let out = out.to_str().unwrap();
        for (form, wanted) in [("--questions", true), ("--class", false)] {
            let (status, said, err) = oaktag(&["lesson", &draft, form, "-o", out]);
            assert!(
                status == 0 && said.contains("No questions") == wanted,
                "{said}{err}"
            );
        }
    }
}

/// Without a class a lesson has the bytes that it had, and none of this in it.
#[test]
fn a_lesson_for_nobody_in_particular_has_neither_head_nor_blanks() {
    let lesson = of("ferry-shirt.draft", Class::None);
    let page = page::html(&lesson);
    for word in ["Yours", "Formula sheet", "____", "@top-left", "Answers"] {
        assert!(!page.contains(word), "{word}");
    }
    assert!(lesson.head.is_empty() && lesson.formulas.is_empty() && lesson.answers.is_empty());
}

#[test]
fn every_sheet_bears_what_was_asked_for_and_a_name_is_said_to_be_personal() {
    let folder = tempfile::TempDir::new().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let draft = format!("{}/examples/first-steps.draft", env!("CARGO_MANIFEST_DIR"));
    let table = at("crew.csv");
    std::fs::write(&table, "name,chest_girth [cm]\nmate,101\n").unwrap();
    let (paper, again, screen) = (at("one.pdf"), at("two.pdf"), at("one.html"));
    let body = format!("{table}:mate");
    let asked = [
        "--questions",
        "--revision",
        "B \"2\"",
        "--date",
        "1 December 2026",
        "--body",
        &body,
    ];
    let mut said = String::new();
    for out in [&paper, &again, &screen] {
        let all: Vec<&str> = ["lesson", &draft, "-o", out]
            .into_iter()
            .chain(asked)
            .collect();
        let (status, told, err) = oaktag(&all);
        assert_eq!(status, 0, "{err}");
        said = told;
        assert!(
            said.contains("Every sheet bears “mate”: a person's name is personal data."),
            "{said}"
        );
    }
    assert!(said.contains("answers are folded away"), "{said}");
    let bytes = std::fs::read(&paper).unwrap();
    assert!(
        bytes == std::fs::read(&again).unwrap(),
        "the same text gives the same bytes"
    );
    let pdf = Pdf::read(&bytes);
    assert!(pdf.pages.len() > 3);
    for page in 1..=pdf.pages.len() {
        let text = pdf.text(page);
        for words in [
            "Name ________",
            "body mate",
            "revision B \"2\"",
            "1 December 2026",
        ] {
            assert!(text.contains(words), "page {page}: {words}");
        }
    }
    let last = pdf.text(pdf.pages.len());
    assert!(
        last.contains("Answers") && !last.contains("Glossary"),
        "the answers have sheets of their own"
    );
    let page = std::fs::read_to_string(&screen).unwrap();
    assert!(page.contains("body mate · revision B &quot;2&quot; · 1 December 2026</p>"));
    // In a style sheet nothing that is given ends its string.
    let style = Regex::new(r#"@top-left\{content:"([^"]*)""#).unwrap();
    let content = &style.captures(&page).unwrap()[1];
    assert!(
        content.contains("revision B \\0000222\\000022"),
        "{content}"
    );
}

/// Every new line or point of a picture is drawn by one act of its step, the one whose sentence names it.
#[test]
fn the_page_knows_which_act_draws_what() {
    let mut played = 0;
    for (name, unfold) in [
        ("first-steps.draft", false),
        ("ferry-shirt.draft", false),
        ("womens-crew-shirt.draft", true),
    ] {
        let options = Options {
            unfold,
            ..Options::default()
        };
        let (lesson, _) = taught(&example(name), &options);
        let mut steps = Vec::new();
        every_step(&lesson.steps, &mut steps);
        // What is traced or shown on a card is not drawn act by act.
        for step in steps.iter().filter(|step| !step.draws.is_empty()) {
            let drawn: BTreeMap<&str, usize> = step
                .draws
                .iter()
                .map(|(name, act)| (name.as_str(), *act))
                .collect();
            let new = step.plates.iter().flat_map(|plate| plate.drawing.items());
            for item in new.filter(|item| ["new", "newdot"].contains(&item.shape.style())) {
                let Some(name) = item.name.as_deref() else {
                    continue;
                };
                let act = drawn
                    .get(name)
                    .unwrap_or_else(|| panic!("step {}: no act draws {name}", step.number));
                let said = &step.does[act - 1];
                let spoken = name
                    .rsplit('.')
                    .next()
                    .unwrap()
                    .replace('_', " ")
                    .replace("cb ", "CB ")
                    .replace("cf ", "CF ");
                let own = spoken.trim_end_matches(|c: char| c.is_ascii_digit() || c == ' ');
                if said.contains(own) {
                    played += 1;
                }
            }
        }
        let text = page::html(&lesson);
        let page = scraper::Html::parse_document(&text);
        let all = |selector: &str| {
            page.select(&scraper::Selector::parse(selector).unwrap())
                .count()
        };
        assert!(
            all(".play[hidden]") > 0 && all("li[data-draws]") > all(".play"),
            "{name}"
        );
        assert_eq!(all(".play button"), 4 * all(".play"));
    }
    assert!(played > 100, "{played}");
}

/// A film has a picture an act: what a sentence draws is there with it, and not before.
#[test]
fn a_film_draws_each_line_with_its_sentence() {
    use oaktag_output::drawing::Drawing;
    use oaktag_studio::lesson::booklet::frames::frames;
    let lesson = of("first-steps.draft", Class::None);
    let film = frames(&lesson);
    let acts: usize = lesson.steps.iter().map(|step| step.does.len() + 1).sum();
    assert_eq!(film.len(), acts + 1);
    let has = |frame: &Drawing, name: &str| {
        let mut items = frame.items();
        items.any(|item| item.name.as_deref() == Some(name))
    };
    let said = |frame: &Drawing| {
        frame
            .texts()
            .map(|text| text.letters.as_str())
            .collect::<Vec<_>>()
            .join(" ")
    };
    for (name, begins) in [
        ("back.nape", "Mark the nape"),
        ("back.shoulder", "Draw the shoulder"),
        ("back.neck", "Draw the neck, a hollow"),
        ("back.armhole", "Draw the armhole"),
        ("back.hem", "Draw the hem"),
    ] {
        let at = film
            .iter()
            .position(|frame| said(frame).contains(begins))
            .unwrap();
        // A later picture of the step shows what lies there already without its name.
        for (number, frame) in film.iter().enumerate().take(at + 1) {
            assert_eq!(has(frame, name), number >= at, "{name} in picture {number}");
        }
    }
    for frame in &film {
        assert!((frame.width, frame.height) == (240.0, 135.0));
        let bounds = frame.bounds().unwrap();
        assert!(
            bounds.x0 >= 0.0 && bounds.y0 >= 0.0 && bounds.y1 <= 135.0,
            "{bounds:?}"
        );
    }
}

#[test]
fn the_pictures_of_a_film_are_numbered_alike_wide() {
    let folder = tempfile::TempDir::new().unwrap();
    let draft = format!("{}/examples/first-steps.draft", env!("CARGO_MANIFEST_DIR"));
    let out = folder.path().join("{n}.png");
    let out = out.to_str().unwrap();
    std::fs::write(folder.path().join("13.png"), "an older film").unwrap();
    let (status, told, err) = oaktag(&["lesson", &draft, "-o", out]);
    assert_eq!(status, 0, "{err}");
    assert!(
        told.contains("12 pictures") && told.contains("13.png and what follows it"),
        "{told}"
    );
    let mut names: Vec<String> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    let wanted: Vec<String> = (1..=13).map(|number| format!("{number:02}.png")).collect();
    assert_eq!(names, wanted);
    for name in &names[..12] {
        let bytes = std::fs::read(folder.path().join(name)).unwrap();
        assert!(bytes.starts_with(b"\x89PNG"));
        // Width and height stand in the first chunk, 16 bytes on (PNG, third edition, 11.2.1).
        let size = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap());
        assert_eq!((size(16), size(20)), (1280, 720));
    }
    let plain = folder.path().join("film.png");
    let (status, _, err) = oaktag(&["lesson", &draft, "-o", plain.to_str().unwrap()]);
    assert!(
        status == 2 && err.contains("say where their numbers go") && !plain.exists(),
        "{err}"
    );
    let (status, _, err) = oaktag(&["lesson", &draft, "-o", out, "--questions"]);
    assert!(status == 2 && err.contains("a film is watched"), "{err}");
    let nowhere = folder.path().join("none/{n}.png");
    let (status, _, err) = oaktag(&["lesson", &draft, "-o", nowhere.to_str().unwrap()]);
    assert!(status != 0 && err.contains("no such folder"), "{err}");
}
