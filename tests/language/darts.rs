//! Darts: the mouth that lies on the edge it is pressed to, legs, notches, drills, and what a dart comes to that says nothing.

use crate::drawing;

use drawing::Run;
use kurbo::Point;
use oaktag_language::pattern::Pattern;
use oaktag_language::pattern::spec::{NotchForm, Value};
use oaktag_language::report::Code;

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
    let mut on: Vec<&str> = piece
        .notches
        .iter()
        .map(|notch| piece.edges[notch.edge].name.as_str())
        .collect();
    on.sort_unstable();
    assert_eq!(
        on,
        ["after", "before"],
        "not on the mouth, which is folded away"
    );
    assert_eq!(piece.darts[0].drills, [Point::new(115.0, -90.0)]);
    let legs = piece.darts[0].legs;
    let wanted = f64::hypot(15.0, 100.0);
    assert!((legs.0 - wanted).abs() < 1e-9 && (legs.1 - wanted).abs() < 1e-9);
    // Said of no seam and no finish, the mouth is nobody's to walk.
    assert!(pattern.unwalked.is_empty());
}

/// A dart may be sewn for a part of its legs; farther than they are long is all of them.
#[test]
fn a_dart_is_marked_as_far_as_it_is_sewn() {
    let leg = f64::hypot(15.0, 100.0);
    for (said, wanted) in [("", leg), (" sewn 60mm", 60.0), (" sewn 200mm", leg)] {
        let (pattern, _) = darted(&format!("dart a to b at t{said}"), "down 9mm");
        let marks = pattern.pieces[0].marks.iter().filter_map(|mark| {
            let Value::Curve(path) = &mark.shape else {
                return None;
            };
            (mark.text == "dart").then(|| path.length().unwrap())
        });
        let found: Vec<f64> = marks.collect();
        assert_eq!(found.len(), 2, "{said}");
        let all = found.iter().all(|length| (length - wanted).abs() < 1e-6);
        assert!(all, "{said}: {found:?}, wanted {wanted}");
    }
}

/// Said nothing, an upright dart is pressed toward the centre and one that lies level down (common practice).
#[test]
fn a_dart_that_says_nothing_is_pressed_toward_the_centre_or_down() {
    let (pattern, errors) = darted("dart a to b at t", "down 9mm");
    assert!(errors.is_empty(), "{errors:?}");
    assert_eq!(pattern.pieces[0].darts[0].pressed, "before");
    let level = "draft \"Dart\"
unit mm
panel front {
  point a = origin down 100mm
  point b = origin down 130mm
  point t = origin left 100mm down 115mm
  line high = from origin to a
  line low = from b to (origin down 400mm)
  line hem = from end of low toward left for 230mm
  line centre = from end of hem toward up for 400mm
  line top = from end of centre to origin
}
piece front {
  outline high, low, hem, centre, top
  cut 2
  grain along centre
  allow 10mm
  dart a to b at t
  finish high, low, hem, centre, top \"bound\"
}
";
    let (_, outcome) = Run::of(level).drawn();
    assert_eq!(outcome.pattern.pieces[0].darts[0].pressed, "low");
    // Without a fold or an edge along the grain the centre is to the left.
    let slanted = "draft \"Dart\"
unit mm
panel back {
  point a = origin right 100mm
  point b = origin right 130mm
  point t = origin right 115mm down 100mm
  line before = from origin to a
  line after = from b to (origin right 230mm)
  line side = from end of after to (origin right 180mm down 200mm)
  line hem = from end of side to (origin right 50mm down 200mm)
  line other_side = from end of hem to origin
  line grain_line = from (origin right 115mm down 120mm) toward down for 60mm
}
piece back {
  outline before, after, side, hem, other_side
  cut 2
  grain along grain_line
  allow 10mm
  dart a to b at t
  finish before, after, side, hem, other_side \"bound\"
}
";
    let (_, outcome) = Run::of(slanted).drawn();
    assert_eq!(outcome.pattern.pieces[0].darts[0].pressed, "before");
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

/// At a corner of a dart's mouth one edge alone ends, since the mouth is folded away: a piece's own notch measured from there stands
/// on that edge, which a seam takes (and warns that it has no partner there).
#[test]
fn a_notch_measured_from_a_mouth_stands_on_the_edge_beside_it() {
    for (corner, x) in [("a", 80.0), ("b", 150.0)] {
        let draft = format!(
            "draft \"Dart\"
unit mm
panel back {{
  point o = origin
  point a = origin right 100mm
  point b = origin right 130mm
  point t = origin right 115mm down 100mm
  line before = from o to a
  line after = from b to (origin right 230mm)
  line right_side = from end of after toward down for 200mm
  line lower = from end of right_side toward left for 230mm
  line left_side = from end of lower to o
}}
panel facing {{
  point o = origin down 500mm
  line upper = from o toward right for 200mm
  line right_side = from end of upper toward down for 50mm
  line lower = from end of right_side toward left for 200mm
  line left_side = from end of lower to o
}}
piece back {{
  outline before, after, right_side, lower, left_side
  cut 2
  allow 10mm
  finish right_side, lower, left_side \"bound\"
  dart a to b at t
  notch double at 20mm from {corner}
}}
piece facing {{
  outline upper, right_side, lower, left_side
  cut 2
  allow 10mm
  finish right_side, lower, left_side \"bound\"
}}
seam upper joins back.before, back.after to facing.upper from back.o, facing.o
"
        );
        let (_, outcome) = Run::of(&draft).drawn();
        let told: Vec<Code> = outcome.diagnostics.iter().map(|told| told.code).collect();
        assert_eq!(told, [Code::NotchOffSeam], "{:?}", outcome.diagnostics);
        assert!(!outcome.has_errors(), "{:?}", outcome.diagnostics);
        let notches = &outcome.pattern.piece("back").unwrap().notches;
        let double = notches
            .iter()
            .find(|notch| notch.form == NotchForm::Double)
            .unwrap();
        let places: Vec<Point> = double.marks.iter().map(|mark| mark.sewing).collect();
        // The second mark stands farther from the mouth.
        let away = if corner == "a" { -10.0 } else { 10.0 };
        for (place, x) in places.iter().zip([x, x + away]) {
            assert!((*place - Point::new(x, 0.0)).hypot() < 1e-6, "{places:?}");
        }
        assert_eq!(places.len(), 2);
    }
}
