//! The nested drawing and the rules, on a box whose corners move by known figures.

use crate::sizes::{BOX, set_of};
use oaktag_output::drawing::style::Pen;
use oaktag_output::drawing::{Layer, Shape};
use oaktag_output::svg;
use oaktag_studio::sizes::set::rules::{Steadiness, rules};
use oaktag_studio::sizes::set::stack::Stack;
use oaktag_studio::sizes::set::{constant, ladder, nest};
use std::collections::BTreeSet;

const TABLE: &str = "size,chest,long\nS,80,38\nM,88,40\nL,96,42\nXL,104,44\n";

fn corner(name: &str, stacks: &[Stack]) -> Vec<(f64, f64)> {
    let set = set_of(BOX, TABLE, 1);
    let (rules, _) = rules(&set, stacks);
    let rule = rules
        .iter()
        .find(|rule| rule.piece == "back" && rule.corner == name)
        .unwrap();
    assert!(
        matches!(rule.steadiness(), Steadiness::Constant(_)),
        "{rule:?}"
    );
    rule.steps().iter().map(|step| (step.x, step.y)).collect()
}

/// A quarter of 80 mm of chest is 20, and 20 of length: by hand.
#[test]
fn rules_are_what_the_measures_make_them() {
    let near = |steps: &[(f64, f64)], x: f64, y: f64| {
        steps
            .iter()
            .all(|s| (s.0 - x).abs() < 1e-6 && (s.1 - y).abs() < 1e-6)
    };
    // Zero at the nape, where the outline begins.
    assert!(near(&corner("nape", &[]), 0.0, 0.0));
    assert!(near(&corner("low", &[]), 0.0, -20.0));
    assert!(near(&corner("hem and side", &[]), 20.0, -20.0));
    // Zero at the foot: the nape goes up.
    let low: Stack = "back.low".parse().unwrap();
    assert!(near(&corner("nape", std::slice::from_ref(&low)), 0.0, 20.0));
    assert!(near(&corner("hem and side", &[low]), 20.0, 0.0));
}

#[test]
fn a_step_that_breaks_is_not_constant_and_a_jump_is_called_one() {
    let steadiness = |table: &str| {
        let set = set_of(BOX, table, 0);
        let (rules, _) = rules(&set, &[]);
        let rule = rules
            .into_iter()
            .find(|r| r.piece == "back" && r.corner == "hem and side")
            .unwrap();
        rule.steadiness()
    };
    assert_eq!(
        steadiness("size,chest,long\n1,80,40\n2,84,40\n3,88,40\n4,94,40\n"),
        Steadiness::Varies
    );
    assert_eq!(
        steadiness("size,chest,long\n1,80,40\n2,84,40\n3,100,40\n4,104,40\n5,108,40\n"),
        Steadiness::Jumps(2)
    );
}

/// Every size has a line of its own that differs by more than its colour, and the base is the heaviest.
#[test]
fn lines_are_told_apart_without_colour() {
    let set = set_of(BOX, TABLE, 1);
    let drawing = nest::draw(&set, &[], &[]);
    let mut pens: Vec<(String, Pen)> = Vec::new();
    for item in drawing
        .layer(Layer::Cut)
        .filter(|item| item.piece.as_deref() == Some("back"))
    {
        if let (Some(size), Shape::Stroke(_, pen)) = (&item.name, &item.shape) {
            pens.push((size.clone(), *pen));
        }
    }
    assert_eq!(pens.len(), 4, "{pens:?}");
    let looks: BTreeSet<String> = pens
        .iter()
        .map(|(_, pen)| format!("{} {:?}", pen.width(), pen.dashes()))
        .collect();
    assert_eq!(looks.len(), 4);
    let heaviest = pens
        .iter()
        .max_by(|a, b| a.1.width().total_cmp(&b.1.width()))
        .unwrap();
    assert_eq!(heaviest.0, "M");
    let all: BTreeSet<String> = (0..Pen::NESTED_STYLES)
        .map(|n| format!("{:?}", Pen::Nested(n).dashes()))
        .collect();
    assert_eq!(all.len(), usize::from(Pen::NESTED_STYLES));
}

/// Outlines share the zero point: those of a box differ from the base's by whole steps, measured on the sheet.
#[test]
fn sizes_lie_on_their_zero_point_at_true_size() {
    let set = set_of(BOX, TABLE, 1);
    let stack: Stack = "back.low".parse().unwrap();
    let drawing = nest::draw(&set, &[stack], &["back".to_owned()]);
    let boxes: Vec<kurbo::Rect> = drawing
        .layer(Layer::Cut)
        .filter_map(|item| match &item.shape {
            Shape::Stroke(path, _) => Some(kurbo::Shape::bounding_box(path)),
            _ => None,
        })
        .collect();
    assert_eq!(boxes.len(), 4);
    let mut wide: Vec<f64> = boxes.iter().map(kurbo::Rect::width).collect();
    wide.sort_by(f64::total_cmp);
    // A quarter of the chest and one allowance: 200 + 10, and 20 more a size.
    for (found, wanted) in wide.iter().zip([210.0, 230.0, 250.0, 270.0]) {
        assert!((found - wanted).abs() < 1e-6, "{wide:?}");
    }
    // The fold and, stacked on its foot, the hem are one line for all.
    assert!(
        boxes
            .iter()
            .all(|b| (b.x0 - boxes[0].x0).abs() < 1e-6 && (b.y1 - boxes[0].y1).abs() < 1e-6)
    );
}

#[test]
fn the_same_set_is_the_same_bytes() {
    let once = || svg::of_drawing(&nest::draw(&set_of(BOX, TABLE, 1), &[], &[]));
    let (first, second) = (once(), once());
    assert_eq!(first, second);
    let tree = roxmltree::Document::parse(&first).unwrap();
    let sizes: BTreeSet<&str> = tree
        .descendants()
        .filter_map(|node| node.attribute("data-name"))
        .collect();
    assert!(
        ["S", "M", "L", "XL"]
            .iter()
            .all(|size| sizes.contains(size))
    );
}

#[test]
fn a_notch_left_ungraded_and_an_allowance_that_grows_are_told() {
    let grows = BOX.replace(
        "allow 1cm\n  finish hem, upper\n}\nseam",
        "allow chest / 80\n  finish hem, upper\n}\nseam",
    );
    let set = set_of(&grows, TABLE, 1);
    let changed = constant::allowances(&set);
    assert!(
        changed
            .iter()
            .any(|c| c.words.contains("front side") && c.words.contains("1.1 cm")),
        "{changed:?}"
    );
    let lost = BOX.replace(
        "seam side joins front.side to back.side from (end of front.hem), (end of back.hem) {\n",
        "if chest < 100cm { length at_notch = long / 2 } otherwise { length at_notch = long / 2 + 4cm }\nseam side joins front.side to back.side from (end of front.hem), (end of back.hem) {\n  notch single at at_notch from (end of back.hem)\n",
    );
    let set = set_of(
        &lost,
        "size,chest,long\n1,80,40\n2,88,40\n3,104,40\n4,112,40\n",
        1,
    );
    let (_, faults) = ladder::ladders(&set);
    assert!(!faults.is_empty(), "a rung four centimetres off its ladder");
    assert!(faults.iter().all(|fault| !fault.is_error()));
}

/// A figure that shrinks from size to size grows by less than nothing.
#[test]
fn what_a_row_grows_by_has_its_sign() {
    let draft =
        format!("{BOX}length finished_half = chest / 2\nlength finished_rest = 150cm - chest\n");
    let set = set_of(&draft, "name,chest,long\nS,84,40\nM,88,40\nL,92,40\n", 1);
    let told =
        oaktag_studio::sizes::set::table::text(&set, &oaktag_studio::sizes::set::table::rows(&set));
    let row = |name: &str| {
        let line = told
            .lines()
            .find(|line| line.trim().starts_with(name))
            .unwrap_or_else(|| panic!("{told}"));
        line.split_whitespace()
            .skip(2)
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert_eq!(row("finished half"), ["42", "44", "46", "2"]);
    assert_eq!(row("finished rest"), ["66", "62", "58", "-4"]);
}

/// What each size is written as and named, of a set in which some are not well.
fn nested(sizes: &str, ending: &str) -> (Option<i32>, String, Option<String>) {
    let folder = tempfile::tempdir().unwrap();
    let out = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (draft, table, nest) = (
        out("box.draft"),
        out("sizes.csv"),
        out(&format!("nest.{ending}")),
    );
    std::fs::write(&draft, crate::sizes::BOX).unwrap();
    std::fs::write(&table, sizes).unwrap();
    std::fs::write(&nest, "the last good one").unwrap();
    let run = crate::sizes::oaktag(&[
        "sizes",
        &draft,
        "--bodies",
        &table,
        "-o",
        &nest,
        "--csv",
        &out("table.csv"),
    ]);
    let said = format!(
        "{}{}",
        crate::sizes::text(&run.stdout),
        crate::sizes::text(&run.stderr)
    );
    let table = std::fs::read_to_string(out("table.csv")).ok();
    assert_eq!(
        table.is_some(),
        std::fs::read(&nest).unwrap() != b"the last good one"
    );
    let bytes = std::fs::read(&nest).unwrap();
    (
        run.status.code(),
        said,
        table.map(|_| String::from_utf8_lossy(&bytes).into_owned()),
    )
}

/// Where no size is well nothing is written: the last good file stays, and one line says so.
#[test]
fn nothing_is_nested_where_no_size_is_well() {
    for ending in ["svg", "pdf", "png", "dxf", "json"] {
        let (status, said, nest) = nested("name,chest,long\nS,300,40\nM,310,40\n", ending);
        assert_eq!((status, nest), (Some(1), None), "{ending}: {said}");
        let lines = said
            .lines()
            .filter(|line| line.contains("none of them well"));
        assert_eq!(lines.count(), 1, "{said}");
        assert!(!said.contains("rules are constant"), "{said}");
    }
}

/// A size that is not well is left out of the nest, and named on it; the others are held against one that is well.
#[test]
fn a_size_that_is_not_well_is_left_out_and_named() {
    let table = "name,chest,long\nS,84,40\nM,300,40\nL,92,40\n";
    for ending in ["svg", "dxf"] {
        let (status, said, nest) = nested(table, ending);
        let nest = nest.unwrap();
        assert_eq!(status, Some(1), "{said}");
        assert!(
            said.contains("size M is not well; the others are held against S"),
            "{said}"
        );
        assert!(nest.contains("LEFT OUT, not well: M."), "{ending}");
        let drawn = |size: &str| match ending {
            "dxf" => nest.contains(&format!("BACK-{size}\n")),
            _ => nest.contains(&format!("\n{size}\n")),
        };
        assert!(drawn("S") && drawn("L") && !drawn("M"), "{ending}");
    }
    let (_, _, json) = nested(table, "json");
    let json: serde_json::Value = serde_json::from_str(&json.unwrap()).unwrap();
    for piece in json["nest"].as_array().unwrap() {
        let sizes = piece["sizes"].as_array().unwrap();
        let names: Vec<&str> = sizes
            .iter()
            .map(|one| one["size"].as_str().unwrap())
            .collect();
        assert_eq!(names, ["S", "L"]);
    }
}
