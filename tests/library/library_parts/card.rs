//! The body of the card, drawn with further lines, and readers of what came out.

pub use kurbo::Point;
pub use oaktag_language::draft::Outcome;
pub use oaktag_language::report::Code;
pub use serde_json::Value as Json;
pub use std::f64::consts::PI;

use oaktag_language::draft::{self, Inputs, inputs};
use oaktag_language::pattern::Piece;
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_output::json;

/// With a yoke and a button stand, the contract's fullest body.
pub const YOKED: &str = "panel shirt = card_shirt with stand_width 15mm";
/// Without either.
pub const PLAIN: &str = "panel shirt = card_body with length_cb 720mm";
pub const CAP: &str = "panel sleeve = sleeve_cap for shirt";
pub const TOWER: &str = "panel sleeve = tower_placket on sleeve";
pub const CUFF: &str = "panel cuff = single_cuff for sleeve";
pub const COLLAR: &str = "panel collar = stand_and_fall for shirt";

pub fn folder(path: &str) -> String {
    let path = format!("{}/{path}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap()
}

/// The card body, then these lines, then `pieces of` everything they draw.
pub fn drawn(lines: &[&str]) -> Outcome {
    drawn_with(lines, &[])
}

pub fn drawn_with(lines: &[&str], set: &[&str]) -> Outcome {
    let mut draft = folder("tests/data/library/card_body.draft");
    let mut panels: Vec<&str> = Vec::new();
    for line in lines {
        draft += &format!("\n{line}");
        let name = line.split_whitespace().nth(1).unwrap();
        if line.starts_with("panel") && !panels.contains(&name) {
            panels.push(name);
        }
    }
    for panel in panels {
        draft += &format!("\npieces of {panel}");
    }
    let draft = draft + "\n";
    let mut project = Project::load(
        "card.draft",
        &draft,
        &NoFiles,
        &oaktag_language::library::module,
    );
    let set = set
        .iter()
        .map(|one| inputs::setting(&mut project.sources, one).unwrap())
        .collect();
    let inputs = Inputs {
        set,
        ..Inputs::default()
    };
    draft::make(&project, &inputs)
}

/// Drawn, and nothing wrong with it: outlines close and are simple, every seam and check holds.
pub fn sound(lines: &[&str]) -> Outcome {
    let outcome = drawn(lines);
    assert_sound(&outcome, &format!("{lines:?}"));
    outcome
}

pub fn assert_sound(outcome: &Outcome, what: &str) {
    let wrong: Vec<&oaktag_language::report::Diagnostic> = outcome
        .diagnostics
        .iter()
        .filter(|d| d.is_error())
        .collect();
    assert!(wrong.is_empty(), "{what}: {wrong:#?}");
    for seam in &outcome.pattern.seams {
        assert!(seam.ok, "{what}: seam {}", seam.name);
    }
    for piece in &outcome.pattern.pieces {
        assert!(
            piece.sewing.is_some() && piece.cutting.is_some() && piece.grain.is_some(),
            "{what}: {}",
            piece.name
        );
        // The card leaves its armholes and neck to sleeve and collar, a placket its hem to the cuff.
        let whole = outcome.pattern.seam("cuff").is_some() || !what.contains("placket");
        for edge in piece.edges.iter().filter(|_| whole) {
            assert!(
                edge.is_walked() || ["back", "front", "yoke"].contains(&piece.name.as_str()),
                "{what}: nothing accounts for {} of {}",
                edge.name,
                piece.name
            );
            assert!(
                edge.allowance.is_some() || edge.on_fold,
                "{what}: {} {}",
                piece.name,
                edge.name
            );
        }
    }
}

pub fn names(outcome: &Outcome) -> Vec<&str> {
    let pieces = outcome.pattern.pieces.iter();
    pieces.map(|piece| piece.name.as_str()).collect()
}

pub fn piece<'a>(outcome: &'a Outcome, name: &str) -> &'a Piece {
    outcome
        .pattern
        .piece(name)
        .unwrap_or_else(|| panic!("no piece {name}: {:?}", names(outcome)))
}

/// A figure by its full name, in millimetres, degrees or as a number.
pub fn figure(values: &Json, name: &str) -> f64 {
    let value = &values[name];
    ["mm", "length_mm", "deg", "value"]
        .iter()
        .find_map(|unit| value[*unit].as_f64())
        .unwrap_or_else(|| panic!("no figure {name}"))
}

pub fn point(values: &Json, name: &str) -> Point {
    let at = |axis: &str| {
        values[name][axis]
            .as_f64()
            .unwrap_or_else(|| panic!("no point {name}"))
    };
    Point::new(at("x"), at("y"))
}

/// Every value by its full name, as the machine's view writes it.
pub fn values(outcome: &Outcome) -> Json {
    let view: Json = serde_json::from_str(&json::write(&outcome.pattern).unwrap()).unwrap();
    view["values"].clone()
}

pub fn reference() -> Json {
    serde_json::from_str(&folder("tests/data/reference_body_a.json")).unwrap()
}

pub fn measure(reference: &Json, name: &str) -> f64 {
    let value = &reference["measures"][name];
    ["mm", "deg", "mm2", "value"]
        .iter()
        .find_map(|unit| value[*unit].as_f64())
        .unwrap_or_else(|| panic!("no measure {name}"))
}

/// Its y points down.
pub fn reference_point(reference: &Json, name: &str) -> Point {
    let at = &reference["points"][name];
    Point::new(at[0].as_f64().unwrap(), -at[1].as_f64().unwrap())
}

#[track_caller]
pub fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found} against {wanted}");
}

#[track_caller]
pub fn same_place(found: Point, wanted: Point, within: f64) {
    assert!(
        (found - wanted).hypot() <= within,
        "{found:?} against {wanted:?}"
    );
}
