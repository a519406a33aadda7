//! Marks on the cloth: each form of notch as it is cut and on its own layer, lines to match, and the way a fold is laid. The
//! layers are those of ASTM D6673, from memory: 4 notches, 80 T-notches, 8 internal lines, 9 stripe and 10 plaid reference.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    missing_docs,
    reason = "a test that fails here should stop at once"
)]

mod drawing;

use drawing::Run;
use dxf::entities::EntityType;
use kurbo::{PathEl, Point, Shape as _};
use oaktag::output::drawing::compose::compose;
use oaktag::output::drawing::ink::Pen;
use oaktag::output::drawing::{Layer, Shape};
use oaktag::output::{dxf as cutting_room, json};
use oaktag::pattern::Pattern;
use oaktag::pattern::spec::NotchForm;

/// A square of 30 cm with an allowance of 10 mm, and room for a sentence.
fn square(sentences: &str) -> Pattern {
    let draft = format!(
        "draft \"Square\"
unit mm
panel back {{
  line upper = from origin toward right for 300mm
  line right_side = from end of upper toward down for 300mm
  line lower = from end of right_side toward left for 300mm
  line left_side = from end of lower to origin
  line level = from (origin right 10mm down 150mm) toward right for 280mm
  line upright = from (origin right 100mm down 250mm) toward down for 50mm
  line beside = from (origin right 80mm down 250mm) toward down for 50mm
}}
piece back {{
  outline upper, right_side, lower, left_side
  cut 2
  grain along left_side
  allow 10mm
  finish upper, right_side, lower, left_side \"bound\"
  {sentences}
}}
"
    );
    let outcome = Run::of(&draft).drawn().1;
    assert!(
        outcome.diagnostics.iter().all(|d| !d.is_error()),
        "{:?}",
        outcome.diagnostics
    );
    outcome.pattern
}

/// Strokes of the notches on the sheet, each as its straight parts.
fn cuts(pattern: &Pattern) -> Vec<Vec<(Point, Point)>> {
    let drawing = compose(pattern);
    let strokes = drawing
        .layer(Layer::Notches)
        .filter_map(|item| match &item.shape {
            Shape::Stroke(path, Pen::Notch) => Some(path.clone()),
            _ => None,
        });
    strokes
        .map(|path| {
            let mut at = Point::ZERO;
            let mut lines = Vec::new();
            for element in path.elements() {
                match *element {
                    PathEl::MoveTo(p) => at = p,
                    PathEl::LineTo(p) => {
                        lines.push((at, p));
                        at = p;
                    }
                    _ => panic!("a notch is straight"),
                }
            }
            lines
        })
        .collect()
}

/// Each form on the upper edge, whose cut edge lies 10 mm out: depth 4 mm (slit 3 to 4 mm, common practice).
#[test]
fn each_form_of_notch_is_cut_as_it_is_called() {
    let of = |form: &str| {
        let pattern = square(&format!("notch {form} at (origin right 100mm)"));
        assert_eq!(pattern.pieces[0].notches.len(), 1);
        (pattern.pieces[0].notches[0].form, cuts(&pattern))
    };
    let long = |line: &(Point, Point)| (line.1 - line.0).hypot();
    let upright = |line: &(Point, Point)| (line.1.x - line.0.x).abs() < 1e-6;
    for form in ["single", "slit"] {
        let (_, cut) = of(form);
        assert!(cut.len() == 1 && cut[0].len() == 1, "{form}: {cut:?}");
        assert!(upright(&cut[0][0]) && (long(&cut[0][0]) - 4.0).abs() < 1e-6);
    }
    let (form, cut) = of("double");
    assert_eq!((form, cut.len()), (NotchForm::Double, 2));
    assert!(
        ((cut[0][0].0 - cut[1][0].0).hypot() - 10.0).abs() < 1e-6,
        "10 mm apart"
    );
    let (form, cut) = of("tee");
    assert_eq!((form, cut[0].len()), (NotchForm::Tee, 2));
    assert!(
        upright(&cut[0][0]) && !upright(&cut[0][1]),
        "a bar across its foot"
    );
    assert!((cut[0][1].0.midpoint(cut[0][1].1) - cut[0][0].1).hypot() < 1e-6);
    let (form, cut) = of("vee");
    assert_eq!((form, cut[0].len()), (NotchForm::Vee, 2));
    let (a, b) = (cut[0][0], cut[0][1]);
    assert!((a.1 - b.0).hypot() < 1e-6, "its sides meet at the tip");
    assert!(((a.0 - b.1).hypot() - 4.0).abs() < 1e-6 && (a.0.y - b.1.y).abs() < 1e-6);
}

fn on_layer(pattern: &Pattern, layer: &str) -> Vec<EntityType> {
    let text = cutting_room::write(pattern, "base");
    let read = dxf::Drawing::load(&mut text.as_bytes()).unwrap();
    let entities = read.blocks().flat_map(|block| &block.entities);
    entities
        .filter(|entity| entity.common.layer == layer)
        .map(|entity| entity.specific.clone())
        .collect()
}

#[test]
fn notches_and_lines_to_match_are_on_their_layers() {
    for (form, layer, marks) in [
        ("single", "4", 1),
        ("slit", "4", 1),
        ("vee", "4", 1),
        ("double", "4", 2),
        ("tee", "80", 1),
    ] {
        let pattern = square(&format!("notch {form} at (origin right 100mm)"));
        assert_eq!(on_layer(&pattern, layer).len(), marks, "{form}");
    }
    for (words, layer) in [
        ("match this stripe", "9"),
        ("bar of the plaid", "10"),
        ("balance line", "8"),
        ("stitch", "8"),
    ] {
        let pattern = square(&format!("mark level \"{words}\""));
        let found = on_layer(&pattern, layer);
        assert_eq!(found.len(), 1, "{words}");
        for other in ["8", "9", "10"].into_iter().filter(|other| *other != layer) {
            assert!(on_layer(&pattern, other).is_empty(), "{words} on {other}");
        }
    }
}

/// A line to match is drawn across the piece in dashes of its own, with its words along it.
#[test]
fn a_balance_line_is_drawn_from_side_to_side_and_named() {
    let drawing = compose(&square("mark level \"balance line\""));
    let lines: Vec<_> = drawing
        .layer(Layer::Marks)
        .filter_map(|item| match &item.shape {
            Shape::Stroke(path, Pen::Match) => Some(path.bounding_box()),
            _ => None,
        })
        .collect();
    assert_eq!(lines.len(), 1);
    assert!((lines[0].width() - 280.0).abs() < 1e-6 && lines[0].height() < 1e-6);
    assert!(drawing.texts().any(|text| text.letters == "balance line"));
    assert!(
        ![Pen::Fold, Pen::Sew]
            .iter()
            .any(|pen| pen.dashes() == Pen::Match.dashes())
    );
}

/// `fold A onto B`: an arrow of 20 mm from the one to the other, and the same said to other tools.
#[test]
fn a_fold_says_which_way_it_is_laid() {
    let plain = square("fold upright, beside");
    let laid = square("fold upright onto beside");
    let arrows = |pattern: &Pattern| -> Vec<Point> {
        let drawing = compose(pattern);
        let ways = drawing
            .layer(Layer::Fold)
            .filter_map(|item| match &item.shape {
                Shape::Stroke(path, Pen::Grain)
                    if item.name.as_deref() == Some("way of the fold") =>
                {
                    path.elements()
                        .iter()
                        .take(2)
                        .map(PathEl::end_point)
                        .collect::<Option<Vec<_>>>()
                }
                _ => None,
            });
        ways.flatten().collect()
    };
    assert!(arrows(&plain).is_empty());
    let ends = arrows(&laid);
    assert!(
        ((ends[0].x - ends[1].x) - 20.0).abs() < 1e-6,
        "toward the left: {ends:?}"
    );
    assert!((ends[0].y - ends[1].y).abs() < 1e-6);
    assert_eq!(laid.pieces[0].fold_lines.len(), 2);
    assert_eq!(laid.pieces[0].notches.len(), plain.pieces[0].notches.len());
    let told: serde_json::Value = serde_json::from_str(&json::write(&laid).unwrap()).unwrap();
    let folds = told["pieces"][0]["folds"].as_array().unwrap();
    assert_eq!(folds[0]["name"], "upright");
    assert_eq!(folds[0]["onto"], "beside");
    assert!(folds[1]["onto"].is_null());
    let words = cutting_room::write(&laid, "base");
    assert!(words.contains("Lay upright onto beside"));
}
