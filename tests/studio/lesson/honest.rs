//! Nothing in a lesson is told that is not so: lines by the names that the draft has for them, measures by where they come
//! from, notches from where the draft measures them, acts by what they do. What is so is taken from the drafts' own text and
//! from the JSON.

use crate::lesson::{every_step, example};
use oaktag_language::draft::{self, Inputs, Outcome};
use oaktag_language::library;
use oaktag_language::syntax::project::Project;
use oaktag_language::voice::LengthUnit;
use oaktag_output::json;
use oaktag_studio::lesson::{self, Lesson, Options, page};
use regex::Regex;
use serde_json::Value as Json;
use std::fs;

/// Every example, and every example of the library: its name, its text, the lesson, the JSON.
fn all(unfold: bool) -> Vec<(String, String, Lesson, Json)> {
    let mut found = Vec::new();
    for folder in ["examples", "stdlib/examples"] {
        let path = format!("{}/{folder}", env!("CARGO_MANIFEST_DIR"));
        for entry in fs::read_dir(path).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "draft") {
                let text = fs::read_to_string(&path).unwrap();
                let name = path.file_name().unwrap().to_str().unwrap().to_owned();
                let (lesson, json) = taught(&text, unfold);
                found.push((name, text, lesson, json));
            }
        }
    }
    found.sort_by(|a, b| a.0.cmp(&b.0));
    assert!(found.len() > 60, "{}", found.len());
    found
}

fn taught(text: &str, unfold: bool) -> (Lesson, Json) {
    let (_, _, lesson, json) = drawn(text, unfold);
    (lesson, json)
}

fn drawn(text: &str, unfold: bool) -> (Project, Outcome, Lesson, Json) {
    let project = Project::load(
        "lesson.draft",
        text,
        &crate::lesson::Examples,
        &library::module,
    );
    let outcome = draft::make(&project, &Inputs::default());
    let options = Options {
        unfold,
        ..Options::default()
    };
    let lesson = lesson::lesson(&project, &outcome, LengthUnit::Centimetre, &options);
    let json = serde_json::from_str(&json::write(&outcome.pattern).unwrap()).unwrap();
    (project, outcome, lesson, json)
}

fn spoken(name: &str) -> String {
    name.replace(['_', '.'], " ")
}

/// What is said of the pieces and seams.
fn said_of_pieces(lesson: &Lesson) -> Vec<String> {
    let pieces = lesson.pieces.iter().flat_map(|work| &work.does);
    let seams = lesson.seams.iter().flat_map(|(check, how)| {
        let mut words = vec![check.text.clone()];
        words.extend(how.iter().cloned());
        words
    });
    pieces.cloned().chain(seams).collect()
}

/// The list of which a name of the JSON is an item, if it is one.
fn list_of<'j>(json: &'j Json, name: &'j str) -> Option<&'j str> {
    let (list, number) = name.rsplit_once('_')?;
    number.parse::<u32>().ok()?;
    (json["values"][list]["kind"] == "list").then_some(list)
}

/// A piece's grain is told by the name of a line of the draft that lies there, and no piece or seam names a line by its place
/// in a list, where the draft has not given it that name itself.
#[test]
fn a_line_is_told_by_the_name_that_the_draft_has_for_it() {
    let arrow = Regex::new(r"^Draw the grain arrow along the (.+)\.$").unwrap();
    let mut arrows = 0;
    for (file, text, lesson, json) in all(false) {
        let values = json["values"].as_object().unwrap();
        for (piece, work) in json["pieces"]
            .as_array()
            .unwrap()
            .iter()
            .zip(&lesson.pieces)
        {
            let told = work.does.iter().find_map(|said| arrow.captures(said));
            let grain = piece["grain"]["path"].as_str();
            assert_eq!(told.is_some(), grain.is_some(), "{file}: {:?}", work.does);
            let (Some(told), Some(grain)) = (told, grain) else {
                continue;
            };
            arrows += 1;
            let is_there = values.iter().any(|(name, value)| {
                let member = name.rsplit('.').next().unwrap();
                [told[1].to_owned(), told[1].replace(" line", "")].contains(&spoken(member))
                    && list_of(&json, name).is_none()
                    && value["path"].as_str() == Some(grain)
            });
            assert!(is_there, "{file}: {}: {}", work.title, &told[0]);
        }
        for (name, _) in values {
            let member = name.rsplit('.').next().unwrap();
            if list_of(&json, name).is_none() || text.contains(&format!(" {member} = ")) {
                continue;
            }
            let item = Regex::new(&format!(r"\b{}\b", regex::escape(&spoken(member)))).unwrap();
            for said in said_of_pieces(&lesson) {
                // What the library's list holds may bear a name of that form itself, as a fold line does.
                let own = library_names().contains(&member.to_owned());
                assert!(own || !item.is_match(&said), "{file}: {member}: {said}");
            }
        }
    }
    assert!(arrows > 100, "{arrows}");
}

/// Names that the library's own sentences draw.
fn library_names() -> &'static Vec<String> {
    static NAMES: std::sync::OnceLock<Vec<String>> = std::sync::OnceLock::new();
    NAMES.get_or_init(|| {
        let drawn = Regex::new(r"(?m)^\s*(?:line|curve|point) ([a-z0-9_, ]+) =").unwrap();
        let folder = format!("{}/stdlib", env!("CARGO_MANIFEST_DIR"));
        let files = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path());
        let texts = files
            .filter(|path| path.is_file())
            .map(|path| fs::read_to_string(path).unwrap());
        let mut names = Vec::new();
        for text in texts {
            for row in drawn.captures_iter(&text) {
                names.extend(row[1].split(", ").map(str::to_owned));
            }
        }
        names
    })
}

/// What a list gathers has its own name already, and is told by that in the figures too.
#[test]
fn no_figure_names_a_line_by_its_place_in_a_list() {
    for (file, text, lesson, json) in all(false) {
        let values = json["values"].as_object().unwrap();
        let path = |value: &Json| value["path"].as_str().map(str::to_owned);
        let named = values
            .iter()
            .filter(|(name, _)| list_of(&json, name).is_none());
        let named: Vec<String> = named.filter_map(|(_, value)| path(value)).collect();
        let items = values.iter().filter(|(name, value)| {
            list_of(&json, name).is_some() && path(value).is_some_and(|path| named.contains(&path))
        });
        let items: Vec<String> = items
            .map(|(name, _)| spoken(name.rsplit('.').next().unwrap()))
            .collect();
        let mut steps = Vec::new();
        every_step(&lesson.steps, &mut steps);
        for (name, _) in steps.iter().flat_map(|step| &step.measures) {
            let member = name.to_lowercase().replace(' ', "_");
            let own = library_names().contains(&member) || text.contains(&format!(" {member} = "));
            assert!(
                own || !items.contains(&name.to_lowercase()),
                "{file}: {name}"
            );
        }
    }
}

/// The grain of the crew shirt's front lies along its centre, whatever else has been drawn on it since.
#[test]
fn the_grain_is_named_as_the_piece_names_it() {
    let text = example("ferry-shirt.draft");
    let (lesson, _) = taught(&text, false);
    let written = Regex::new(r"(?m)^piece (\w+) (?s:.*?)^  grain along (\w+)$").unwrap();
    let mut count = 0;
    for found in written.captures_iter(&text) {
        let work = lesson
            .pieces
            .iter()
            .find(|work| work.title.to_lowercase() == found[1]);
        let wanted = format!("Draw the grain arrow along the {}.", spoken(&found[2]));
        assert!(work.unwrap().does.contains(&wanted), "{wanted}");
        count += 1;
    }
    assert_eq!(count, 3);
}

/// "Measured" stands beside what was measured alone: the JSON says of every measure where it comes from.
#[test]
fn where_a_measure_comes_from_is_told_as_the_json_has_it() {
    let mut counted = std::collections::BTreeMap::new();
    for (file, _, lesson, json) in all(true) {
        let measures = json["measures"].as_object().unwrap();
        let provenance = |name: &str| {
            let own = measures.iter().filter(|(full, _)| {
                let member = full.rsplit('.').next().unwrap();
                spoken(member) == name || spoken(full) == name
            });
            let word = |measure: &Json| {
                if measure["worked_out"] == true {
                    "worked out"
                } else if measure["example"] == true {
                    "the library's example"
                } else if measure["of_body"] == true {
                    "measured"
                } else {
                    "chosen"
                }
            };
            own.map(|(_, measure)| word(measure)).collect::<Vec<_>>()
        };
        let mut steps = Vec::new();
        every_step(&lesson.steps, &mut steps);
        let words = ["measured", "worked out", "the library's example", "chosen"];
        for figure in steps.iter().flat_map(|step| &step.figures) {
            if !words.contains(&figure.formula.as_str()) {
                continue;
            }
            let name = figure.name.to_lowercase();
            let own = provenance(&name);
            assert!(!own.is_empty(), "{file}: {name} is no measure");
            assert!(
                own.contains(&figure.formula.as_str()),
                "{file}: {name}: {own:?}, told {}",
                figure.formula
            );
            *counted.entry(figure.formula.clone()).or_insert(0) += 1;
        }
    }
    assert_eq!(counted.len(), 4, "{counted:?}");
}

/// What is called figures draws nothing, and what stands outside a step is headed by what it makes.
#[test]
fn no_step_called_figures_draws() {
    let numbered = Regex::new(r"^[A-Z][a-z ]+ \d+ is ").unwrap();
    for (file, _, lesson, _) in all(true) {
        let mut steps = Vec::new();
        every_step(&lesson.steps, &mut steps);
        for step in steps {
            assert!(!step.title.is_empty(), "{file}: {}", step.number);
            if step.title == "Figures" {
                assert!(step.plates.is_empty(), "{file}: {:?}", step.does);
                for said in &step.does {
                    let begins = [
                        "Work out",
                        "The ",
                        "Decide",
                        "Take ",
                        "Find ",
                        "For the next",
                    ];
                    let begun = begins.iter().any(|word| said.starts_with(word));
                    // What is numbered has no article.
                    let sum = begun || numbered.is_match(said);
                    assert!(sum, "{file}: {said}");
                }
            }
        }
    }
    let (lesson, _) = taught(&example("deck-vest.draft"), false);
    let titles: Vec<&str> = lesson
        .steps
        .iter()
        .map(|step| step.title.as_str())
        .collect();
    assert!(
        titles.contains(&"Front: mirror the back over the between sides"),
        "{titles:?}"
    );
    assert!(page::html(&lesson).contains("Front: mirror the back over the between sides</h2>"));
}

/// A notch that the draft measures from a point is told by that figure and that point, in pieces and in seams.
#[test]
fn a_notch_is_told_from_where_the_draft_measures_it() {
    let own =
        Regex::new(r"(?m)^\s*notch .*?\((\d+(?:\.\d+)?)(cm|mm) along (\w+) from (\w+)\)").unwrap();
    let of_seam =
        Regex::new(r"(?m)^\s*notch \w+ at (\d+(?:\.\d+)?)(cm|mm) from (\w+)\.(\w+)$").unwrap();
    let printed = |figure: &str, unit: &str| {
        let figure: f64 = figure.parse().unwrap();
        let cm = if unit == "mm" { figure / 10.0 } else { figure };
        format!("{cm} cm")
    };
    let mut count = 0;
    for (file, text, lesson, _) in all(false) {
        let said = said_of_pieces(&lesson);
        let has = |wanted: &Regex| said.iter().any(|said| wanted.is_match(said));
        for found in own.captures_iter(&text) {
            let far = printed(&found[1], &found[2]);
            let (edge, point) = (spoken(&found[3]), spoken(&found[4]));
            let wanted = format!("on the {edge}, {far}( and [0-9.]+ cm)? from the {point}");
            assert!(
                has(&Regex::new(&wanted).unwrap()),
                "{file}: {wanted}: {said:#?}"
            );
            count += 1;
        }
        for found in of_seam.captures_iter(&text) {
            let (far, point) = (printed(&found[1], &found[2]), spoken(&found[4]));
            let wanted = format!("{far}( and [0-9.]+ cm)? from the {point}");
            assert!(
                has(&Regex::new(&wanted).unwrap()),
                "{file}: {wanted}: {said:#?}"
            );
            count += 1;
        }
    }
    assert!(count >= 3, "{count}");
}

/// The same for figures drawn by chance, along edges that begin and that end at the corner, on both sides of a seam.
#[test]
fn a_notch_by_chance_is_told_by_its_own_figure() {
    for (tenths, other) in [(15, 241), (77, 130), (133, 8), (299, 60)] {
        let text = format!(
            r#"draft "Two strips"
unit cm
panel strip {{
  point head = origin
  point corner = head right 40cm
  line top = from head to corner
  line side = from corner toward down for 40cm
  line hem = from end of side to (head down 40cm)
  line centre = from end of hem to head
}}
piece strip "Strip" {{
  outline top, side, hem, centre
  cut 2
  allow 1cm
  notch single at {own}mm from corner
  finish top, hem, centre "bound"
}}
seam joining joins strip.side to mirrored strip.side {{
  notch double at {other}mm from strip.corner
}}
"#,
            own = tenths,
        );
        let (lesson, json) = taught(&text, false);
        let said = said_of_pieces(&lesson);
        let cm = |mm: i32| format!("{} cm", f64::from(mm) / 10.0);
        let own = format!("Notch once on the top, {} from the corner.", cm(tenths));
        assert!(said.contains(&own), "{own}: {said:#?}");
        let sewn = format!(
            "Notch twice on both sides {} and {} from the corner.",
            cm(other),
            cm(other + 10)
        );
        assert!(said.contains(&sewn), "{sewn}: {said:#?}");
        // The top ends at the corner, 400 mm from its start; the outline runs the other way round.
        let notch = json["pieces"][0]["notches"].as_array().unwrap().iter();
        let mut own = notch.filter(|notch| notch["seam"].is_null());
        let mark = &own.next().unwrap()["marks"][0];
        let off = mark["x"].as_f64().unwrap() - (400.0 - f64::from(tenths));
        assert!(off.abs() < 0.01, "{mark}");
    }
}

/// No act goes nowhere, no notch is told twice, and one at a corner is told by the corner.
#[test]
fn nothing_void_or_twice_is_told() {
    let void =
        Regex::new(r"(measure|, then) 0(\.0+)? cm|[^0-9.]0(\.0+)? cm (along|from)|\(\([^()]*\)\)")
            .unwrap();
    for (file, _, lesson, _) in all(true) {
        let mut steps = Vec::new();
        every_step(&lesson.steps, &mut steps);
        let done = steps.iter().flat_map(|step| step.does.iter().cloned());
        for said in done.chain(said_of_pieces(&lesson)) {
            let eased = said.starts_with("Open")
                || said.contains(" eased ")
                || said.contains("stretched")
                || said.contains("gathered");
            assert!(eased || !void.is_match(&said), "{file}: {said}");
        }
        for work in &lesson.pieces {
            let mut notches: Vec<&String> = work
                .does
                .iter()
                .filter(|said| said.contains("otch"))
                .collect();
            notches.sort();
            let all = notches.len();
            notches.dedup();
            assert_eq!(
                all,
                notches.len(),
                "{file}: {}: {:#?}",
                work.title,
                work.does
            );
        }
    }
}

/// Two sheets in one step: each act says on which it is done, and a condition gives its figures beside their names.
#[test]
fn a_step_over_two_sheets_says_which() {
    let (lesson, _) = taught(
        r#"draft "Two sheets"
unit cm
choose back_smaller = 5mm between 0mm and 2cm "the front shoulder is so much shorter"
step "Shoulders" {
  panel back {
    point neck = origin
    point tip = neck right 12cm down 5cm
    line shoulder = from neck to tip
  }
  panel front {
    point neck = origin
    try long between 5cm and 20cm {
      point tip = neck left long down 0cm
      line shoulder = from neck to tip
    } until length of shoulder is back_smaller shorter than (length of back.shoulder)
  }
}
"#,
        false,
    );
    let step = &lesson.steps[0];
    assert_eq!(step.panel, "back and front");
    // The back's shoulder is the longest side of 5, 12, 13.
    let wanted = [
        "On the back: mark the neck: it is the starting point of the sheet, and everything is measured from here.",
        "On the back: mark the tip: from the neck, measure 12 cm to the right, then 5 cm down.",
        "On the back: draw the shoulder, a straight line from the neck to the tip.",
        "On the front: mark the neck: it is the starting point of the sheet, and everything is measured from here.",
        "On the front: find the long between 5 cm and 20 cm, so that the length of the shoulder (12.5 cm) is back smaller (0.5 cm) shorter than the length of the shoulder of the back (13 cm). Here it is 12.5 cm; with it, do the following.",
        "On the front: mark the tip: from the neck, measure 12.5 cm (long) to the left.",
        "On the front: draw the shoulder, a straight line from the neck to the tip.",
    ];
    assert_eq!(step.does, wanted);
}
