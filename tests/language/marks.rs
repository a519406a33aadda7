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

/// A piece with a dart in its upper edge, of 30 mm and 100 mm deep, its mouth in a curved or straight line.
fn darted(dart: &str, after: &str) -> (Pattern, Vec<String>) {
    let draft = format!(
        "draft \"Dart\"
unit mm
panel back {{
  point a = origin right 100mm
  point b = origin right 130mm
  point t = origin right 115mm down 100mm
  point u = origin right 115mm up 2mm
  curve before = from (origin up 4mm) to a leaving right arriving 8deg below right
  line after = from b to (origin right 230mm {after})
  line right_side = from end of after to (origin right 230mm down 200mm)
  line lower = from end of right_side toward left for 230mm
  line left_side = from end of lower to start of before
}}
piece back {{
  outline before, after, right_side, lower, left_side
  cut 2
  grain along left_side
  allow 10mm
  finish before, after, right_side, lower, left_side \"bound\"
  {dart}
}}
"
    );
    let outcome = Run::of(&draft).drawn().1;
    let codes = outcome.diagnostics.iter().filter(|d| d.is_error());
    let codes = codes.map(|d| d.code.name().to_owned()).collect();
    (outcome.pattern, codes)
}

/// Folded over the leg it is pressed to, the mouth lies on the edge beside it (common practice; mirrored here by hand).
#[test]
fn a_folded_dart_lies_on_the_edge_it_is_pressed_to() {
    for (pressed, edge, leg) in [
        ("origin", "before", Point::new(100.0, 0.0)),
        ("(origin right 230mm)", "after", Point::new(130.0, 0.0)),
    ] {
        let dart = format!("dart a to b at t pressed toward {pressed}");
        let (pattern, errors) = darted(&dart, "down 9mm");
        assert!(errors.is_empty(), "{errors:?}");
        let piece = &pattern.pieces[0];
        assert_eq!(piece.darts[0].pressed, edge);
        let mouth = piece
            .edges
            .iter()
            .find(|edge| edge.mouth.is_some())
            .unwrap();
        let beside = piece.edge(edge).unwrap();
        let apex = Point::new(115.0, -100.0);
        let along = (leg - apex).normalize();
        let mut held = 0;
        for step in 1..20 {
            let at = mouth
                .path
                .point_at(mouth.length * f64::from(step) / 20.0)
                .unwrap();
            // Only the half beside the leg: what lies on its side of the middle.
            if (at.x - 115.0) * (leg.x - 115.0) <= 0.0 {
                continue;
            }
            let from = at - apex;
            let folded = apex + along * (2.0 * along.dot(from)) - from;
            let off = beside.path.nearest(folded).distance;
            assert!(off < 0.01, "{edge}: {folded:?} lies {off} off");
            held += 1;
        }
        assert!(held > 4, "{held}");
    }
}

#[test]
fn a_dart_is_notched_at_both_legs_and_drilled_inside_its_apex() {
    let (pattern, errors) = darted("dart a to b at t drill 10mm", "down 9mm");
    assert!(errors.is_empty(), "{errors:?}");
    let piece = &pattern.pieces[0];
    let places: Vec<Point> = piece
        .notches
        .iter()
        .map(|notch| notch.marks[0].sewing)
        .collect();
    assert_eq!(places.len(), 2);
    for end in [Point::new(100.0, 0.0), Point::new(130.0, 0.0)] {
        assert!(places.iter().any(|at| (*at - end).hypot() < 1e-6));
    }
    assert_eq!(piece.darts[0].drills, [Point::new(115.0, -90.0)]);
    let legs = piece.darts[0].legs;
    let wanted = f64::hypot(15.0, 100.0);
    assert!((legs.0 - wanted).abs() < 1e-9 && (legs.1 - wanted).abs() < 1e-9);
    // Said of no seam and no finish, the mouth is nobody's to walk.
    assert!(pattern.unwalked.is_empty());
}

#[test]
fn legs_that_differ_and_a_mouth_that_is_none_are_told() {
    let (_, errors) = darted("dart a to b at (t right 1mm)", "down 9mm");
    assert!(
        errors.is_empty(),
        "0.3 mm is within the tolerance: {errors:?}"
    );
    let (_, errors) = darted("dart a to b at (t right 3mm)", "down 9mm");
    assert_eq!(errors, ["dart-differs"]);
    let (_, errors) = darted("dart a to u at t", "down 9mm");
    assert!(errors.contains(&"dart-differs".to_owned()), "{errors:?}");
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

/// A mouth said from its other end is the same mouth: the same notches, drill, legs and cutting line.
#[test]
fn a_dart_is_the_same_from_either_end_of_its_mouth() {
    let [(one, first), (other, second)] = ["dart a to b", "dart b to a"].map(|dart| {
        darted(
            &format!("{dart} at t pressed toward (origin) drill 10mm"),
            "down 9mm",
        )
    });
    assert!(
        first.is_empty() && second.is_empty(),
        "{first:?} {second:?}"
    );
    let (one, other) = (&one.pieces[0], &other.pieces[0]);
    let places = |piece: &oaktag_language::pattern::Piece| -> Vec<Point> {
        let marks = piece.notches.iter().flat_map(|notch| &notch.marks);
        marks.map(|mark| mark.sewing).collect()
    };
    assert_eq!(places(one), places(other));
    assert_eq!(one.darts[0].drills, other.darts[0].drills);
    let mouth = |piece: &oaktag_language::pattern::Piece| {
        let mouth = piece
            .edges
            .iter()
            .find(|edge| edge.mouth.is_some())
            .unwrap();
        [0.0, 0.3, 0.6, 1.0].map(|share| mouth.path.point_at(share * mouth.length).unwrap())
    };
    for (a, b) in mouth(one).into_iter().zip(mouth(other)) {
        assert!((a - b).hypot() < 1e-6, "{a:?} {b:?}");
    }
    let (a, b) = (one.cut_area.unwrap(), other.cut_area.unwrap());
    assert!((a - b).abs() < 1e-6, "{a} {b}");
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
                Shape::Stroke(path, Pen::Mark) => Some(path.clone()),
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
