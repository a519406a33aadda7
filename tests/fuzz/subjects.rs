//! What the fuzzer feeds, and what must hold whatever it feeds: one function for each subject. The fuzzing package and the
//! test that replays its corpus both take them from here, so a finding fails the same assertion in both.

use crate::chance::Chance;
use crate::kinded;
use oaktag_language::draft::inputs::Inputs;
use oaktag_language::draft::{self, Outcome};
use oaktag_language::library;
use oaktag_language::report::{Diagnostic, SourceMap};
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::syntax::{meaning, parse, prepare, tidy};
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use oaktag_output::drawing::compose::compose;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::sheet::Sheet;
use oaktag_output::{dxf, json, pages, pdf, svg};

/// Letters as they come: every token lies in the text, in order, and its letters can be cut out.
pub fn tokens(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let mut sources = SourceMap::new();
    let file = sources.add("fuzz.draft", text);
    let mut messages = Messages::default();
    let (tokens, _) = prepare(text, file, &mut messages);
    let mut before = 0;
    for (_, span) in &tokens {
        let range = span.range();
        assert!(
            range.start >= before && range.end >= range.start,
            "{range:?} after {before}"
        );
        assert!(sources.text(file).get(range.clone()).is_some(), "{range:?}");
        before = range.start;
    }
    well_placed(&sources, &messages.finish());
}

/// A text laid out means the same where it can be read; laid out again, it stays as it is.
pub fn text(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let mut sources = SourceMap::new();
    let file = sources.add("fuzz.draft", text);
    let parsed = parse(&sources, file);
    well_placed(&sources, &parsed.diagnostics);
    let told = tidy(text);
    let once = told.text;
    assert_eq!(tidy(&once).text, once, "not a fixed point: {text:?}");
    if !told.diagnostics.is_empty() {
        return;
    }
    let mut again = SourceMap::new();
    let second = again.add("fuzz.draft", &once);
    assert_eq!(
        meaning(&parsed.tree),
        meaning(&parse(&again, second).tree),
        "of {text:?}\nas {once:?}"
    );
}

/// Any text is checked, drawn and written without a panic.
pub fn draft(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let project = loaded(text);
    let outcome = draft::make(&project, &Inputs::default());
    well_placed(&project.sources, &outcome.diagnostics);
    well_written(&outcome, Files::of(data));
}

/// A draft that means something gets past the checker, and is drawn and written, twice the same.
pub fn kinded(data: &[u8]) {
    let text = kinded::draft(&mut Chance::of_bytes(data.to_vec()));
    let project = loaded(&text);
    let checked = oaktag_language::check::check(&project);
    let wrong: Vec<Diagnostic> = checked
        .diagnostics
        .iter()
        .filter(|told| told.is_error())
        .cloned()
        .collect();
    if !wrong.is_empty() {
        let shown = oaktag_language::report::terminal::render(&project.sources, &wrong, MM, false);
        panic!("{shown}\n{text}");
    }
    let outcome = draft::draw(&project, &checked, &Inputs::default());
    well_placed(&project.sources, &outcome.diagnostics);
    let files = Files::of(data);
    let written = well_written(&outcome, files);
    // Read and checked again as well, now and then; the drawing itself always, as the JSON has every figure of it.
    let again = if files == Files::All {
        draft::make(&loaded(&text), &Inputs::default())
    } else {
        draft::draw(&project, &checked, &Inputs::default())
    };
    let same = match files {
        Files::All => well_written(&again, files) == written,
        Files::Lines | Files::Figures => {
            written.first() == Some(&json::write(&again.pattern).unwrap())
        }
    };
    assert!(same, "drawn twice, two drawings of\n{text}");
}

/// Any table of bodies is read for a draft, and what is wrong is told at its cell.
pub fn table(data: &[u8]) {
    const DRAFT: &str = "draft \"Table\"\nunit cm\nbody bust_girth = 92cm between 60cm and 150cm\nbody shoulder_slope = 22deg between 5deg and 40deg\nchoose ease = 8cm between 0cm and 20cm\npoint a = origin right bust_girth\n";
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let mut project = Project::load("fuzz.draft", DRAFT, &NoFiles, &library::module);
    let checked = oaktag_language::check::check(&project);
    let file = project.sources.add("bodies.csv", text);
    match draft::bodies::read(&project.sources, file, &checked.program) {
        Err(told) => {
            assert!(!told.is_empty());
            well_placed(&project.sources, &told);
        }
        Ok(rows) => {
            for row in rows {
                match row {
                    Err(told) => well_placed(&project.sources, &told),
                    Ok(body) => {
                        let inputs = Inputs {
                            body: Some(body),
                            ..Inputs::default()
                        };
                        let told = draft::draw(&project, &checked, &inputs).diagnostics;
                        well_placed(&project.sources, &told);
                    }
                }
            }
        }
    }
}

fn loaded(text: &str) -> Project {
    Project::load("fuzz.draft", text, &NoFiles, &library::module)
}

/// Which files are written of a drawing: most inputs are for the drawing itself, some for its files.
#[derive(Clone, Copy, PartialEq)]
enum Files {
    /// The JSON only.
    Figures,
    /// The drawing and the cutting room's file besides.
    Lines,
    /// The paper besides.
    All,
}

impl Files {
    /// Chosen by the input, so that a finding stays one.
    fn of(data: &[u8]) -> Files {
        let sum = data.iter().fold(0_u8, |sum, byte| sum.wrapping_add(*byte));
        match sum % 8 {
            0 => Files::All,
            1 | 2 => Files::Lines,
            _ => Files::Figures,
        }
    }
}

/// Every message says something, at places that are in its text.
fn well_placed(sources: &SourceMap, told: &[Diagnostic]) {
    for diagnostic in told {
        assert!(
            !diagnostic.message.in_unit(MM).trim().is_empty(),
            "{diagnostic:?}"
        );
        let others = diagnostic.see.iter().map(|(span, _)| *span);
        for span in std::iter::once(diagnostic.place).chain(others) {
            let text = sources.text(span.file);
            assert!(text.get(span.range()).is_some(), "{diagnostic:?}");
        }
    }
    let shown = oaktag_language::report::terminal::render(sources, told, MM, false);
    assert!(told.is_empty() || !shown.is_empty());
}

/// What the writers make of it; no number in it is infinite or none.
fn well_written(outcome: &Outcome, files: Files) -> Vec<String> {
    let pattern = &outcome.pattern;
    let mut written = Vec::new();
    let json = json::write(pattern).unwrap();
    assert!(
        serde_json::from_str::<serde_json::Value>(&json).is_ok(),
        "{json}"
    );
    written.push(json);
    if pattern.pieces.is_empty() || files == Files::Figures {
        return written;
    }
    let svg = svg::of_drawing(&compose(pattern));
    assert!(!svg.contains("NaN") && !svg.contains("inf "), "{svg}");
    let tree = roxmltree::Document::parse(&svg);
    assert!(tree.is_ok(), "{tree:?}\n{svg}");
    written.push(svg);
    let dxf = dxf::write(pattern, "base");
    assert!(
        dxf.ends_with("EOF\n") || dxf.ends_with("EOF\r\n"),
        "{}",
        dxf.len()
    );
    written.push(dxf);
    if files == Files::All
        && let Ok(document) = pages::lay_out(pattern, Sheet::default(), Scale::Full)
        && document.pages.len() < 40
    {
        let bytes = pdf::write(&document, &[]).bytes;
        assert!(bytes.starts_with(b"%PDF-") && bytes.len() > 500);
        written.push(bytes.iter().map(|byte| char::from(*byte)).collect());
    }
    written
}
