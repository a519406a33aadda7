//! Marks on the cloth: each form of notch as it is cut and on its own layer, lines to match, and the way a fold is laid. The
//! layers are those of ASTM D6673, from memory: 4 notches, 80 T-notches, 8 internal lines, 9 stripe and 10 plaid reference.

use crate::drawing;

use drawing::Run;
use dxf::entities::EntityType;
use kurbo::{PathEl, Point, Shape as _};
use oaktag_language::pattern::Pattern;
use oaktag_language::pattern::spec::NotchForm;
use oaktag_output::drawing::compose::compose;
use oaktag_output::drawing::style::Pen;
use oaktag_output::drawing::{Layer, Shape};
use oaktag_output::{dxf as cutting_room, json};

/// A square of 30 cm with an allowance of 10 mm, and room for a sentence.
fn square(sentences: &str) -> Pattern {
    square_with("", sentences)
}

/// The same with a further line of its panel.
fn square_with(line: &str, sentences: &str) -> Pattern {
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
  {line}
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

/// A piece's own notch may be said by its distance from a corner, along the edge there that no seam takes: closed forms on
/// the square, for edges that begin and that end at the corner.
#[test]
fn a_notch_so_far_from_a_corner_stands_on_the_edge_that_no_seam_takes() {
    let pair = |free: &str, seamed: &str, corner: &str, far: u32, form: &str| {
        let draft = format!(
            "draft \"Pair\"
unit mm
panel one {{
  line upper = from origin toward right for 300mm
  line right_side = from end of upper toward down for 300mm
  line lower = from end of right_side toward left for 300mm
  line left_side = from end of lower to origin
  point a = origin
  point b = end of upper
}}
panel other traced from one {{
}}
piece one {{
  outline upper, right_side, lower, left_side
  cut 2
  grain along left_side
  allow 10mm
  finish {free}, lower \"bound\"
  notch {form} at {far}mm from {corner}
}}
piece other {{
  outline upper, right_side, lower, left_side
  cut 2
  grain along left_side
  allow 10mm
  finish {free}, lower \"bound\"
}}
seam joining joins one.{seamed} to other.{seamed} from one.{corner}, other.{corner} {{ allow 10mm }}
seam second joins one.{second} to other.{second} {{ allow 10mm }}
",
            second = if seamed == "left_side" {
                "right_side"
            } else {
                "left_side"
            },
        );
        let outcome = Run::of(&draft).drawn().1;
        let errors: Vec<_> = outcome
            .diagnostics
            .iter()
            .filter(|d| d.is_error())
            .collect();
        assert!(errors.is_empty(), "{errors:?}");
        let notches = outcome.pattern.pieces[0].notches.clone();
        assert_eq!(notches.len(), 1, "{notches:?}");
        let marks = notches[0].marks.iter().map(|mark| mark.sewing);
        marks.collect::<Vec<Point>>()
    };
    let is = |found: Vec<Point>, wanted: &[(f64, f64)]| {
        assert_eq!(found.len(), wanted.len());
        for (found, (x, y)) in found.iter().zip(wanted) {
            assert!(
                (*found - Point::new(*x, *y)).hypot() < 1e-6,
                "{found:?} {x} {y}"
            );
        }
    };
    for far in [1, 80, 123, 290] {
        let (at, back) = (f64::from(far), 300.0 - f64::from(far));
        is(pair("upper", "left_side", "a", far, "single"), &[(at, 0.0)]);
        is(
            pair("upper", "right_side", "b", far, "single"),
            &[(back, 0.0)],
        );
    }
    // The second mark of a double stands farther from the corner.
    is(
        pair("upper", "left_side", "a", 80, "double"),
        &[(80.0, 0.0), (90.0, 0.0)],
    );
    is(
        pair("upper", "right_side", "b", 80, "double"),
        &[(220.0, 0.0), (210.0, 0.0)],
    );
}

/// A double that has no room farther along stands the other way; notches of one form at one place are one, of two forms two.
#[test]
fn a_double_has_its_second_mark_on_the_edge_and_equal_notches_are_one() {
    let notches = |sentences: &str| square(sentences).pieces[0].notches.clone();
    // Whichever way the outline runs, one of the two has no room ahead.
    for (at, second) in [(295.0, 285.0), (5.0, 15.0)] {
        let found = notches(&format!("notch double at (origin right {at}mm)"));
        let along: Vec<f64> = found[0].marks.iter().map(|mark| mark.sewing.x).collect();
        assert!((along[0] - at).abs() < 1e-6 && (along[1] - second).abs() < 1e-6);
    }
    let at = "at (origin right 100mm)";
    for (forms, count) in [
        (["tee", "tee"], 1),
        (["double", "double"], 1),
        (["single", "slit"], 1),
        (["single", "tee"], 2),
        (["tee", "vee"], 2),
    ] {
        let said = forms.map(|form| format!("notch {form} {at}\n"));
        assert_eq!(notches(&said.concat()).len(), count, "{forms:?}");
    }
}

/// A fold that runs out over an edge at 60 degrees has its cut along itself, one at 20 degrees square to the edge.
#[test]
fn the_notch_of_a_fold_runs_along_it_unless_it_is_too_slanted_to_be_cut() {
    for (degrees, carried) in [(60.0_f64, true), (20.0, false)] {
        let (x, y) = (
            100.0 - 60.0 * degrees.to_radians().cos(),
            60.0 * degrees.to_radians().sin(),
        );
        for fold in [
            format!("from (origin right {x}mm down {y}mm) to (origin right 100mm)"),
            format!("from (origin right 100mm) to (origin right {x}mm down {y}mm)"),
        ] {
            let pattern = square_with(&format!("line slanted = {fold}"), "fold slanted");
            let mark = pattern.pieces[0].notches[0].marks[0];
            let way = if carried { degrees } else { 90.0 }.to_radians();
            let wanted = Point::new(100.0 + 10.0 / way.tan(), 10.0);
            assert!((mark.sewing - Point::new(100.0, 0.0)).hypot() < 1e-6);
            assert!((mark.cut - wanted).hypot() < 1e-6, "{degrees}: {mark:?}");
            assert!(mark.outward.y > 0.0, "out of the cloth: {mark:?}");
        }
    }
}

/// In a hollow corner the cut goes to where both cutting lines meet, whichever of the two edges the corner is counted to.
#[test]
fn a_notch_in_a_hollow_corner_goes_to_where_the_cutting_lines_meet() {
    let draft = |outline: &str| {
        format!(
            "draft \"Step\"
unit mm
panel back {{
  point inner = origin right 100mm down 100mm
  line upper = from origin toward right for 100mm
  line down_in = from end of upper to inner
  line level = from inner toward right for 100mm
  line right_side = from end of level toward down for 100mm
  line lower = from end of right_side toward left for 200mm
  line left_side = from end of lower to origin
}}
piece back {{
  outline {outline}
  cut 2
  grain along left_side
  allow 10mm
  finish upper, down_in, level, right_side, lower, left_side \"bound\"
  notch single at inner
}}
"
        )
    };
    for outline in [
        "upper, down_in, level, right_side, lower, left_side",
        "level, right_side, lower, left_side, upper, down_in",
        "left_side, lower, right_side, level, down_in, upper",
        "down_in, level, right_side, lower, left_side, upper",
        "down_in, upper, left_side, lower, right_side, level",
    ] {
        let (_, outcome) = Run::of(&draft(outline)).drawn();
        let notches = &outcome.pattern.pieces[0].notches;
        assert_eq!(notches.len(), 1, "{outline}");
        let mark = notches[0].marks[0];
        assert!((mark.sewing - Point::new(100.0, -100.0)).hypot() < 1e-6);
        assert!(
            (mark.cut - Point::new(110.0, -90.0)).hypot() < 1e-6,
            "{outline}: {mark:?}"
        );
    }
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

/// A fold is as long as it is drawn: an end within 10 mm of an edge is carried on to it and notched, one farther inside not.
#[test]
fn a_fold_that_ends_near_an_edge_is_carried_on_to_it() {
    for (short, notches) in [(0.0, 1), (9.0, 1), (11.0, 0)] {
        let draft = format!(
            "draft \"Fold\"
unit mm
panel back {{
  line upper = from origin toward right for 300mm
  line right_side = from end of upper toward down for 300mm
  line lower = from end of right_side toward left for 300mm
  line left_side = from end of lower to origin
  line stub = from (origin right 100mm down 150mm) to (origin right 100mm down {short}mm)
}}
piece back {{
  outline upper, right_side, lower, left_side
  cut 2
  grain along left_side
  allow 10mm
  finish upper, right_side, lower, left_side \"bound\"
  fold stub
}}
"
        );
        let outcome = Run::of(&draft).drawn().1;
        let piece = &outcome.pattern.pieces[0];
        assert_eq!(piece.notches.len(), notches, "{short} mm short");
        if notches == 1 {
            let at = piece.notches[0].marks[0].sewing;
            assert!((at - Point::new(100.0, 0.0)).hypot() < 1e-6, "{at:?}");
        }
    }
}

/// Half a bag, its left half shown, the fold at its left.
fn bag(sentences: &str) -> Pattern {
    let draft = format!(
        "draft \"Bag\"
unit mm
panel bag {{
  text shown_half = \"left\"
  point inner_place = origin right 50mm down 60mm
  point outer_place = origin right 120mm down 60mm
  point on_fold = origin down 100mm
  line upper = from origin toward right for 200mm
  line outer = from end of upper toward down for 300mm
  line lower = from end of outer toward left for 200mm
  line centre = from end of lower to origin
}}
piece bag \"Bag\" {{
  outline upper, outer, lower, centre
  cut 1 on fold at centre
  grain along centre
  allow 10mm
  finish upper, outer, lower \"bound\"
  {sentences}
}}
"
    );
    let outcome = Run::of(&draft).drawn().1;
    assert!(!outcome.has_errors(), "{:?}", outcome.diagnostics);
    outcome.pattern
}

/// Places of marked points, left to right.
fn marked(pattern: &Pattern) -> Vec<(f64, f64)> {
    let marks = pattern.pieces[0].marks.iter();
    let mut places: Vec<(f64, f64)> = marks
        .filter_map(|mark| match &mark.shape {
            oaktag_language::pattern::spec::Value::Point(p) => Some((p.x, p.y)),
            _ => None,
        })
        .collect();
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    places
}

#[test]
fn what_one_side_has_stands_on_that_half_of_a_piece_drawn_whole() {
    let whole = |sentence: &str| marked(&bag(sentence).unfolded());
    let places = "mark inner_place, outer_place \"drill for the pocket\"";
    let both = [
        (-120.0, -60.0),
        (-50.0, -60.0),
        (50.0, -60.0),
        (120.0, -60.0),
    ];
    assert_eq!(whole(places), both);
    assert_eq!(whole(&format!("{places} on left")), both[2..]);
    assert_eq!(whole(&format!("{places} on right")), both[..2]);
    // What lies on the fold belongs to either side.
    for side in ["left", "right"] {
        let on_fold = whole(&format!("mark on_fold \"button\" on {side}"));
        assert_eq!(on_fold, [(0.0, -100.0)]);
    }
}

/// A hole has a ring round its cross, another point has none; the words beside them say which side has it.
#[test]
fn a_hole_is_drawn_unlike_a_mark() {
    let rings = |sentence: &str| {
        let drawing = compose(&bag(sentence));
        let strokes = drawing
            .layer(Layer::Marks)
            .filter_map(|item| match &item.shape {
                Shape::Stroke(path, Pen::Mark | Pen::Drill) => Some(path.clone()),
                _ => None,
            });
        let strokes: Vec<kurbo::BezPath> = strokes.collect();
        assert_eq!(strokes.len(), 1, "{sentence}");
        let is_round = |e: &PathEl| matches!(e, PathEl::CurveTo(..) | PathEl::QuadTo(..));
        let said = [Layer::Text, Layer::Title]
            .into_iter()
            .flat_map(|layer| drawing.layer(layer))
            .filter_map(|item| match &item.shape {
                Shape::Text(text) => Some(text.letters.clone()),
                _ => None,
            });
        (
            strokes[0].elements().iter().any(is_round),
            said.collect::<Vec<String>>(),
        )
    };
    let (ring, said) = rings("mark inner_place \"drill for the pocket\" on right");
    assert!(
        ring && said
            .iter()
            .any(|s| s == "drill for the pocket, wearer's right alone"),
        "{said:?}"
    );
    assert!(
        said.iter().any(|s| s == "hole to drill"),
        "in the key: {said:?}"
    );
    let (ring, said) = rings("mark inner_place \"bust point\"");
    assert!(!ring && said.iter().any(|s| s == "bust point"), "{said:?}");
    assert!(!said.iter().any(|s| s == "hole to drill"), "{said:?}");
}
