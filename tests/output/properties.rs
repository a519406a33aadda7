//! Drafts made by chance from fixed seeds: those that mean something are checked, laid out, drawn twice and written, and
//! every file is read back by a reader that is not ours (JSON Schema 2020-12 by `boon`, XML by `roxmltree`, PDF by `lopdf`,
//! DXF by `dxf`, PNG by `png`). Real drafts, damaged by chance, bring nothing down.
#![allow(
    clippy::indexing_slicing,
    clippy::unwrap_used,
    clippy::expect_used,
    missing_docs,
    dead_code,
    reason = "a test that fails should say so where it does"
)]

use crate::chance;
use crate::kinded;

use chance::Chance;
use oaktag_language::draft::{self, Inputs, Outcome};
use oaktag_language::library;
use oaktag_language::pattern::Pattern;
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::syntax::{meaning, parse, tidy};
use oaktag_output::drawing::compose::compose;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::sheet::Sheet;
use oaktag_output::{dxf as cutting_room, json, pages, pdf, png as picture, svg};
use std::path::Path;

/// Drafts made of so many seeds.
const SEEDS: u64 = 120;

fn drafted(seed: u64) -> String {
    let mut bytes = Chance::new(seed);
    let count = 150 + bytes.below(900);
    let bytes = (0..count).map(|_| u8::try_from(bytes.below(256)).unwrap());
    kinded::draft(&mut Chance::of_bytes(bytes.collect()))
}

fn drawn(text: &str) -> (Project, Outcome) {
    let project = Project::load("chance.draft", text, &NoFiles, &library::module);
    let outcome = draft::make(&project, &Inputs::default());
    (project, outcome)
}

/// The shares of drafts that reach what is hard. They are counted, so that a generator grown shy is noticed.
#[test]
fn drafts_that_mean_something_reach_geometry_and_pieces() {
    let texts: Vec<String> = (0..SEEDS).map(drafted).collect();
    let share = |holds: &dyn Fn(&str) -> bool| {
        let count = texts.iter().filter(|text| holds(text)).count();
        100 * count / texts.len()
    };
    for (word, least) in [
        ("point ", 90),
        ("line ", 60),
        ("curve ", 40),
        ("panel ", 60),
        ("piece ", 30),
        ("seam ", 10),
        ("try ", 10),
        ("each ", 10),
        ("operation ", 10),
        ("if ", 10),
    ] {
        let begins = |text: &str| text.lines().any(|line| line.contains(word));
        let share = share(&begins);
        println!("{word}: {share} of 100");
        assert!(share >= least, "{word}: only {share} of 100 drafts");
    }
}

#[test]
fn the_check_passes_them_and_tidy_keeps_their_meaning() {
    for seed in 0..SEEDS {
        let text = drafted(seed);
        let (project, outcome) = drawn(&text);
        let checked = oaktag_language::check::check(&project);
        let wrong = checked.diagnostics.iter().find(|told| told.is_error());
        assert!(wrong.is_none(), "seed {seed}: {wrong:?}\n{text}");
        let laid_out = tidy(&text).text;
        let file = project.files[0].id;
        let mut sources = oaktag_language::report::SourceMap::new();
        let again = sources.add("chance.draft", &laid_out);
        assert_eq!(
            meaning(&parse(&project.sources, file).tree),
            meaning(&parse(&sources, again).tree),
            "seed {seed}\n{text}"
        );
        // Lines differ, since the layout may part blank ones; what is drawn does not.
        let tidied = drawn(&laid_out).1;
        let lengths = |outcome: &Outcome| {
            let pieces = outcome.pattern.pieces.iter();
            let edges = pieces.flat_map(|piece| piece.edges.iter().map(|edge| edge.length));
            edges.collect::<Vec<f64>>()
        };
        assert_eq!(lengths(&tidied), lengths(&outcome), "seed {seed}\n{text}");
        assert_eq!(
            tidied.has_errors(),
            outcome.has_errors(),
            "seed {seed}\n{text}"
        );
    }
}

#[test]
fn what_is_drawn_twice_is_the_same_and_every_file_is_sound() {
    let schema: serde_json::Value = serde_json::from_str(json::SCHEMA).unwrap();
    let (mut schemas, mut compiler) = (boon::Schemas::new(), boon::Compiler::new());
    compiler.set_default_draft(boon::Draft::V2020_12);
    compiler.add_resource("pattern.json", schema).unwrap();
    let schema = compiler.compile("pattern.json", &mut schemas).unwrap();
    let mut with_pieces = 0;
    for seed in 0..SEEDS {
        let text = drafted(seed);
        let (first, second) = (drawn(&text).1.pattern, drawn(&text).1.pattern);
        let figures = json::write(&first).unwrap();
        assert_eq!(
            figures,
            json::write(&second).unwrap(),
            "seed {seed}\n{text}"
        );
        let value = serde_json::from_str(&figures).unwrap();
        if let Err(error) = schemas.validate(&value, schema) {
            panic!("seed {seed}: {error}\n{text}");
        }
        if first.pieces.is_empty() {
            continue;
        }
        with_pieces += 1;
        svg_is_sound(&first, &second, seed);
        dxf_is_sound(&first, seed);
        if with_pieces % 4 == 0 {
            paper_is_sound(&first, &second, seed);
            picture_is_sound(&first, &second, seed);
        }
    }
    assert!(with_pieces > 30, "only {with_pieces} drafts have pieces");
}

fn svg_is_sound(first: &Pattern, second: &Pattern, seed: u64) {
    let text = svg::of_drawing(&compose(first));
    assert_eq!(text, svg::of_drawing(&compose(second)), "seed {seed}");
    let tree = roxmltree::Document::parse(&text).unwrap_or_else(|fault| panic!("{seed}: {fault}"));
    let mut paths = 0;
    for node in tree.descendants().filter(|node| node.has_tag_name("path")) {
        let data = node.attribute("d").unwrap();
        let path = kurbo::BezPath::from_svg(data).unwrap();
        assert!(path.is_finite(), "seed {seed}: {data}");
        paths += 1;
    }
    assert!(paths >= first.pieces.len(), "seed {seed}: {paths} paths");
}

fn dxf_is_sound(pattern: &Pattern, seed: u64) {
    let text = cutting_room::write(pattern, "base");
    let read = dxf::Drawing::load(&mut text.as_bytes());
    let read = read.unwrap_or_else(|fault| panic!("seed {seed}: {fault}"));
    assert!(
        read.blocks().count() >= pattern.pieces.len(),
        "seed {seed}: a block a piece"
    );
}

fn paper_is_sound(first: &Pattern, second: &Pattern, seed: u64) {
    let paper = |pattern: &Pattern| pages::lay_out(pattern, Sheet::default(), Scale::Quarter);
    let Ok(document) = paper(first) else { return };
    let bytes = pdf::write(&document, &[]).bytes;
    assert_eq!(
        bytes,
        pdf::write(&paper(second).unwrap(), &[]).bytes,
        "seed {seed}"
    );
    let read = lopdf::Document::load_mem(&bytes).unwrap();
    assert_eq!(read.get_pages().len(), document.pages.len(), "seed {seed}");
    for (_, page) in read.get_pages() {
        let content = read.get_page_content(page);
        lopdf::content::Content::decode(&content).unwrap();
    }
}

fn picture_is_sound(first: &Pattern, second: &Pattern, seed: u64) {
    let dots = |pattern: &Pattern| picture::write(&compose(pattern), 36.0, &[]).ok();
    let Some(made) = dots(first) else { return };
    assert!(Some(&made) == dots(second).as_ref(), "seed {seed}");
    let bytes = made.bytes;
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes))
        .read_info()
        .unwrap();
    let mut frame = vec![0; reader.output_buffer_size().unwrap()];
    reader.next_frame(&mut frame).unwrap();
}

/// Letters taken out, put in, doubled and changed about in drafts that people could have written.
#[test]
fn damaged_drafts_are_answered() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let texts: Vec<String> = [
        "examples/ferry-shirt.draft",
        "examples/house-block.draft",
        "examples/deck-smock.draft",
        "tests/data/drafts/sleeve.draft",
    ]
    .iter()
    .map(|file| std::fs::read_to_string(root.join(file)).unwrap())
    .collect();
    let mut told = 0;
    for seed in 0..240 {
        let mut chance = Chance::new(seed);
        let mut letters: Vec<char> = chance.one_of(&texts).chars().collect();
        for _ in 0..=chance.below(4) {
            damage(&mut letters, &mut chance);
        }
        let text: String = letters.into_iter().collect();
        let (project, outcome) = drawn(&text);
        told += usize::from(outcome.has_errors());
        for diagnostic in &outcome.diagnostics {
            let span = diagnostic.place;
            let place = project.sources.text(span.file).get(span.range());
            assert!(place.is_some(), "seed {seed}: {diagnostic:?}");
        }
        let laid_out = tidy(&text).text;
        assert_eq!(tidy(&laid_out).text, laid_out, "seed {seed}");
    }
    assert!(told > 120, "only {told} were told of");
}

fn damage(letters: &mut Vec<char>, chance: &mut Chance) {
    let at = chance.below(letters.len());
    let end = (at + 1 + chance.below(12)).min(letters.len());
    match chance.below(5) {
        0 => drop(letters.drain(at..end)),
        1 => {
            let copy: Vec<char> = letters[at..end].to_vec();
            letters.splice(at..at, copy);
        }
        2 => letters[at..end].reverse(),
        3 => {
            let other = *chance.one_of(&['(', '}', '"', '\n', '9', '½', '\u{0}', 'x', ',', '–']);
            letters.insert(at, other);
        }
        _ => {
            let other = chance.below(letters.len());
            letters.swap(at, other);
        }
    }
}
