//! The table of limits in the reference, row by row the constants of the source.

use std::collections::BTreeMap;

/// A row's words, and where its figure stands in the source.
pub const ROWS: [(&str, &str, &str); 37] = [
    (
        "bytes in a file",
        "crates/language/src/syntax/project.rs",
        "LARGEST_TEXT",
    ),
    (
        "files of a draft, itself among them",
        "crates/language/src/syntax/project.rs",
        "MOST_FILES",
    ),
    (
        "imports checked, a file under two names twice",
        "crates/language/src/check/import.rs",
        "MOST_IMPORTS",
    ),
    (
        "brackets inside one another",
        "crates/language/src/syntax/brackets.rs",
        "DEEPEST",
    ),
    (
        "words and signs in a sentence",
        "crates/language/src/syntax/lines.rs",
        "LONGEST_SENTENCE",
    ),
    (
        "signs chained in one expression",
        "crates/language/src/syntax/parser/context.rs",
        "DEEPEST_CHAIN",
    ),
    (
        "measures and choices",
        "crates/language/src/check/measure.rs",
        "MOST_MEASURES",
    ),
    (
        "acts declared or brought in",
        "crates/language/src/check/declaration.rs",
        "MOST_OPERATIONS",
    ),
    (
        "sets of panels with which acts are called",
        "crates/language/src/check/operation.rs",
        "MOST_ROUTINES",
    ),
    (
        "names that an act gives on a panel",
        "crates/language/src/check/panel.rs",
        "MOST_GIVEN",
    ),
    (
        "names carried from sheet to sheet and into branches",
        "crates/language/src/check/panel.rs",
        "MOST_COPIED",
    ),
    (
        "work in a run, trials included",
        "crates/language/src/draft/machine.rs",
        "MOST_WORK",
    ),
    (
        "pairs of pieces looked at for one parallel",
        "crates/geometry/src/parallel.rs",
        "MOST_PAIRS",
    ),
    (
        "rounds of an `each`",
        "crates/language/src/draft/machine.rs",
        "MOST_ITEMS",
    ),
    (
        "copies that an `each` lays out",
        "crates/language/src/check/lay_out.rs",
        "MOST_COPIES",
    ),
    (
        "items of lists and pieces of line in one value",
        "crates/language/src/draft/machine.rs",
        "MOST_PARTS",
    ),
    (
        "acts at work inside one another",
        "crates/language/src/draft/machine.rs",
        "MOST_CALLS",
    ),
    (
        "coordinates and lengths",
        "crates/geometry/src/lib.rs",
        "LARGEST",
    ),
    (
        "pieces of line in one outline",
        "crates/language/src/draft/handover.rs",
        "MOST_IN_OUTLINE",
    ),
    (
        "pieces traced one from another",
        "crates/language/src/check/piece.rs",
        "MOST_TRACED",
    ),
    (
        "a button's diameter or thickness",
        "crates/language/src/draft/handover.rs",
        "LARGEST_BUTTON",
    ),
    (
        "tiles of a drawing",
        "crates/output/src/drawing/tiles.rs",
        "MOST_TILES",
    ),
    (
        "length of a page",
        "crates/output/src/sheet.rs",
        "LONGEST_PAGE",
    ),
    ("dots of a picture", "crates/output/src/png.rs", "MOST_DOTS"),
    (
        "bodies of a search held at once",
        "crates/studio/src/sizes/search/mod.rs",
        "CHUNK",
    ),
    (
        "sizes in a set",
        "crates/studio/src/sizes/set/mod.rs",
        "MOST",
    ),
    (
        "pieces laid on one cloth",
        "crates/output/src/lay/mod.rs",
        "MOST_LAID",
    ),
    (
        "messages of one file's reading",
        "crates/language/src/syntax/messages.rs",
        "MOST_SHOWN",
    ),
    (
        "messages of a check",
        "crates/language/src/check/checker.rs",
        "MOST_SHOWN",
    ),
    (
        "messages of a table's headings",
        "crates/language/src/draft/bodies/mod.rs",
        "MOST_SHOWN",
    ),
    (
        "messages of a run",
        "crates/language/src/draft/mod.rs",
        "MOST_SHOWN",
    ),
    (
        "letters of a message",
        "crates/language/src/voice/say.rs",
        "LONGEST",
    ),
    (
        "letters of a word in a message",
        "crates/language/src/voice/say.rs",
        "LONGEST_WORD",
    ),
    (
        "letters of a text in the DXF",
        "crates/output/src/dxf/groups.rs",
        "LONGEST",
    ),
    (
        "bytes of a body's name in a file's name",
        "src/cli/draw_bodies.rs",
        "LONGEST_NAME",
    ),
    (
        "letters of a revision's name",
        "src/cli/git/mod.rs",
        "LONGEST_REVISION",
    ),
    (
        "links followed to a file that is written",
        "src/cli/disk.rs",
        "MOST_LINKS",
    ),
];

fn read(path: &str) -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    std::fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

/// The figure of a constant, as its source works it out.
fn constant(file: &str, name: &str) -> f64 {
    let text = read(file);
    let line = text
        .lines()
        .find(|line| line.contains(&format!("const {name}: ")));
    let line = line.unwrap_or_else(|| panic!("{file} has no {name}"));
    let value = line.split(" = ").nth(1).unwrap().trim_end_matches(';');
    let factors = value
        .split('*')
        .map(|factor| factor.trim().replace('_', ""));
    factors
        .map(|factor| factor.parse::<f64>().unwrap())
        .product()
}

/// A figure as a page writes it, lengths in millimetres.
fn figure(text: &str) -> f64 {
    let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
    let factor = match unit {
        "" | "mm" => 1.0,
        "m" => 1e3,
        "km" => 1e6,
        other => panic!("{other}"),
    };
    number.replace(',', "").parse::<f64>().unwrap() * factor
}

#[test]
fn the_reference_states_the_limits_of_the_source() {
    let page = read("docs/reference.md");
    let table = page.split("| | at most | beyond it |\n").nth(1).unwrap();
    let mut stated: BTreeMap<String, f64> = BTreeMap::new();
    for line in table
        .lines()
        .skip(1)
        .take_while(|line| line.starts_with('|'))
    {
        let cells: Vec<&str> = line.trim_matches('|').split(" | ").map(str::trim).collect();
        assert_eq!(cells.len(), 3, "{line}");
        stated.insert(cells[0].to_owned(), figure(cells[1]));
    }
    let known: BTreeMap<String, f64> = ROWS
        .into_iter()
        .map(|(words, file, name)| (words.to_owned(), constant(file, name)))
        .collect();
    assert_eq!(known.len(), ROWS.len());
    assert_eq!(stated, known);
}
