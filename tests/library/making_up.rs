//! How seams are sewn, and in which order: the allowances this gives both sides, the corners it shapes, and buttons with their
//! holes. Widths are common practice for a shirt: felled 6 mm covered by 16 mm, bound 7 mm, faced 6 mm, plain 10 mm; a
//! buttonhole is as long as its button is wide and thick.

use crate::drawing;
use crate::example_drafts;

use drawing::Run;
use geo::{Distance, Euclidean, Intersects, Validation};
use oaktag_language::pattern::spec::{CornerTreatment, SeamKind};
use oaktag_language::pattern::{Pattern, Piece};

/// Two panels whose shoulders slant against their sides, so that the treatments of a corner differ.
const VEST: &str = "draft \"Vest\"
unit mm
panel back {
  point nape = origin
  point tip = origin left 200mm down 60mm
  line upper = from nape to tip
  line side = from tip to (origin left 220mm down 400mm)
  line hem = from end of side to (origin down 400mm)
  line centre = from end of hem to nape
}
panel front {
  point nape = origin
  point tip = origin right 200mm down 60mm
  line upper = from nape to tip
  line side = from tip to (origin right 220mm down 400mm)
  line hem = from end of side to (origin down 400mm)
  line centre = from end of hem to nape
}
piece back { outline upper, side, hem, centre
  cut 1 on fold at centre
  grain along centre
  allow 8mm
  finish hem \"turned twice\"
  PIECE
}
piece front { outline upper, side, hem, centre
  cut 2
  grain along centre
  allow 8mm
  finish hem, centre \"turned up\"
}
seam shoulder joins front.upper to back.upper { allow 1cm }
seam side joins front.side to back.side { SEAM }
";

fn drawn(piece: &str, seam: &str, order: &str) -> Pattern {
    let text = VEST.replace("PIECE", piece).replace("SEAM", seam) + order;
    let (_, outcome) = Run::of(&text).drawn();
    let errors: Vec<_> = outcome
        .diagnostics
        .iter()
        .filter(|d| d.is_error())
        .collect();
    let only_allowances = errors
        .iter()
        .all(|d| d.code.name() == "allowances-differ" || d.code.name() == "fold-not-square");
    assert!(only_allowances, "{errors:?}");
    outcome.pattern.clone()
}

fn width(pattern: &Pattern, piece: &str, edge: &str) -> f64 {
    pattern
        .piece(piece)
        .unwrap()
        .edge(edge)
        .unwrap()
        .allowance
        .as_ref()
        .unwrap()
        .width
        .start
}

/// The way a seam is sewn gives both sides their allowance; `allow` in the seam, and then in the piece, is stronger.
#[test]
fn a_kind_of_seam_gives_both_sides_their_allowance() {
    for (said, kind, front, back) in [
        ("sewn plain", SeamKind::Plain, 10.0, 10.0),
        ("sewn felled 6mm, 16mm", SeamKind::Felled, 6.0, 16.0),
        ("sewn felled", SeamKind::Felled, 6.0, 16.0),
        ("sewn felled 18mm, 7mm", SeamKind::Felled, 18.0, 7.0),
        ("sewn french", SeamKind::French, 12.0, 12.0),
        ("sewn bound 9mm", SeamKind::Bound, 9.0, 9.0),
        ("sewn bound", SeamKind::Bound, 7.0, 7.0),
        ("sewn faced", SeamKind::Faced, 6.0, 6.0),
    ] {
        let pattern = drawn("", said, "");
        assert_eq!(
            pattern.seam("side").unwrap().sewn.unwrap().kind,
            kind,
            "{said}"
        );
        assert_eq!(width(&pattern, "front", "side"), front, "{said}");
        assert_eq!(width(&pattern, "back", "side"), back, "{said}");
        assert_eq!(width(&pattern, "back", "upper"), 10.0, "{said}");
        assert_eq!(width(&pattern, "back", "hem"), 8.0, "{said}");
    }
    let pattern = drawn("", "sewn plain\n  allow 15mm", "");
    assert_eq!(
        (
            width(&pattern, "front", "side"),
            width(&pattern, "back", "side")
        ),
        (15.0, 15.0)
    );
    let pattern = drawn("allow 20mm on side", "sewn plain", "");
    assert_eq!(
        (
            width(&pattern, "front", "side"),
            width(&pattern, "back", "side")
        ),
        (10.0, 20.0)
    );
    let told = pattern.pieces.iter().flat_map(|piece| &piece.cautions);
    let sheet = pattern.cautions.iter();
    assert!(
        told.chain(sheet)
            .any(|caution| caution.contains("allowances 10 mm and 20 mm"))
    );
}

/// The cut area of a piece grows by the added strip, within what its corners take: a check of the drawn line, not of the figure.
#[test]
fn a_wider_allowance_is_a_wider_strip_of_cloth() {
    for (said, wide) in [
        ("sewn plain", 10.0),
        ("sewn felled 6mm, 16mm", 16.0),
        ("allow 3mm", 3.0),
        ("allow 17mm", 17.0),
    ] {
        let found = drawn("", said, "").piece("back").unwrap().cut_area.unwrap();
        let wanted = cut_by_hand([10.0, wide, 8.0, 0.0]);
        assert!(
            (found - wanted).abs() < 0.1,
            "{said}: {found}, wanted {wanted}"
        );
    }
}

/// The area inside the back's four edges laid outward by so much each, corners mitred: where two lines meet, by Cramer's rule, and
/// the area by the shoelace formula.
fn cut_by_hand(widths: [f64; 4]) -> f64 {
    let corners = [(0.0, 0.0), (-200.0, -60.0), (-220.0, -400.0), (0.0, -400.0)];
    // A line as a·x + b·y = c, its normal outward: the outline runs anticlockwise.
    let lines: Vec<(f64, f64, f64)> = (0..4)
        .map(|n| {
            let ((x, y), (u, v)): ((f64, f64), (f64, f64)) = (corners[n], corners[(n + 1) % 4]);
            let long = (u - x).hypot(v - y);
            let (a, b) = ((v - y) / long, (x - u) / long);
            (a, b, a * x + b * y + widths[n])
        })
        .collect();
    let meet = |n: usize| {
        let ((a, b, c), (d, e, f)) = (lines[(n + 3) % 4], lines[n % 4]);
        let by = a * e - b * d;
        ((c * e - b * f) / by, (a * f - c * d) / by)
    };
    let twice = (0..4).map(|n| {
        let ((x, y), (u, v)) = (meet(n), meet(n + 1));
        x * v - u * y
    });
    twice.sum::<f64>() / 2.0
}

fn treatments(piece: &Piece) -> Vec<(String, String, CornerTreatment)> {
    let name = |edge: usize| piece.edges[edge].name.clone();
    let corners = piece.corners.iter();
    let mut found: Vec<_> = corners
        .map(|(a, b, how)| (name(*a), name(*b), *how))
        .collect();
    found.sort_by(|a, b| (&a.0, &a.1).cmp(&(&b.0, &b.1)));
    found
}

/// Without an order all corners are mitred. With one, a corner is cut square to the seam that is sewn first, a turned hem lies on
/// the side it is turned over, and what `corner` says stands.
#[test]
fn the_order_shapes_the_corners() {
    let of = |piece: &str, order: &str| {
        treatments(drawn(piece, "sewn plain", order).piece("back").unwrap())
    };
    let row = |a: &str, b: &str, how| (a.to_owned(), b.to_owned(), how);
    assert_eq!(of("", ""), []);
    let hem = row("hem", "side", CornerTreatment::TurnedBack);
    assert_eq!(
        of("", "order shoulder, side"),
        [hem.clone(), row("upper", "side", CornerTreatment::Squared)]
    );
    assert_eq!(
        of("", "order side, shoulder"),
        [hem.clone(), row("side", "upper", CornerTreatment::Squared)]
    );
    assert_eq!(of("", "order side"), std::slice::from_ref(&hem));
    let own = of(
        "corner upper, side mitred\n  corner side, hem mitred",
        "order side, shoulder",
    );
    assert_eq!(own.len(), 2);
    assert!(
        own.iter().all(|(.., how)| *how == CornerTreatment::Mitred),
        "{own:?}"
    );
}

/// What a squared corner is, on the drawn line: the cutting line leaves it at a right angle to the seam that is sewn first, and
/// begins where that seam ends.
#[test]
fn a_squared_corner_is_square_to_the_seam_sewn_first() {
    for (order, first) in [
        ("order shoulder, side", "upper"),
        ("order side, shoulder", "side"),
    ] {
        let pattern = drawn("", "sewn plain", order);
        let piece = pattern.piece("back").unwrap();
        let edge = piece.edge(first).unwrap();
        let tip = {
            let upper = piece.edge("upper").unwrap();
            let ends = [upper.path.start().unwrap(), upper.path.end().unwrap()];
            let side = piece.edge("side").unwrap();
            let others = [side.path.start().unwrap(), side.path.end().unwrap()];
            ends.into_iter()
                .find(|p| others.iter().any(|q| (*p - *q).hypot() < 1e-6))
                .unwrap()
        };
        let along = edge.path.direction_of_straight().unwrap();
        let square = piece
            .cutting
            .as_ref()
            .unwrap()
            .segs()
            .iter()
            .filter_map(|seg| {
                let (a, b) = (kurbo::ParamCurve::start(seg), kurbo::ParamCurve::end(seg));
                let way = b - a;
                let near = (a - tip).hypot().min((b - tip).hypot()) < 40.0;
                let beside = (a - tip).dot(along).abs() < 15.0;
                (near && beside && way.hypot() > 3.0).then(|| way.dot(along).abs() / way.hypot())
            });
        let best = square.fold(f64::INFINITY, f64::min);
        assert!(
            best < 1e-6,
            "{order}: nothing square to {first} near the corner, at best {best}"
        );
    }
}

/// The order is printed on the sheet and with the cut list, with how each seam is sewn.
#[test]
fn the_order_is_printed_with_how_each_seam_is_sewn() {
    let pattern = drawn("", "sewn felled 6mm, 16mm", "order shoulder, side");
    let ticket = oaktag_output::ticket::text(&pattern, 0.0);
    let lines: Vec<&str> = ticket.lines().map(str::trim).collect();
    assert!(lines.contains(&"1  shoulder  10 mm"), "{ticket}");
    assert!(
        lines.contains(&"2  side      felled, front 6 mm, back 16 mm"),
        "{ticket}"
    );
    let drawing = oaktag_output::drawing::compose::compose(&pattern);
    let words: Vec<&str> = drawing.texts().map(|text| text.letters.as_str()).collect();
    for wanted in [
        "Making up, in this order",
        "1 shoulder",
        "2 side",
        "felled",
        "front 6 mm",
        "back 16 mm",
    ] {
        assert!(
            words.contains(&wanted),
            "{wanted} is not on the sheet: {words:?}"
        );
    }
}

/// Where the two sides have allowances of their own, each is told with its piece, on the ticket, on the sheet and in the lesson.
#[test]
fn an_allowance_of_each_side_is_told_where_they_differ() {
    for (front, back) in [(10, 25), (16, 6), (12, 12)] {
        let seam = format!("allow {front}mm on front.side\n  allow {back}mm on back.side");
        let pattern = drawn("", &seam, "order side");
        let wanted = if front == back {
            format!("{front} mm")
        } else {
            format!("front {front} mm, back {back} mm")
        };
        assert_eq!(pattern.making_up()[0].how(), wanted);
        let ticket = oaktag_output::ticket::text(&pattern, 0.0);
        let line = |line: &str| line.contains(" side ") && line.ends_with(&format!(" {wanted}"));
        assert!(ticket.lines().any(line), "{ticket}");
        let drawing = oaktag_output::drawing::compose::compose(&pattern);
        assert!(drawing.texts().any(|text| text.letters == wanted));
    }
}

/// A button is as wide as it is said to be, its hole as long as it is wide and thick, upright along the grain, and reaches
/// 3 mm above the button.
#[test]
fn buttons_and_buttonholes_are_drawn_to_size() {
    let marked = |words: &str| {
        let pattern = drawn(
            &format!(
                "mark (origin left 50mm down 200mm) \"{words}\" with diameter 12mm, thickness 3mm"
            ),
            "sewn plain",
            "",
        );
        let piece = pattern.piece("back").unwrap();
        let mark = piece.marks[0].clone();
        (
            mark.sewn_button().map(|button| 2.0 * button.radius),
            piece.buttonhole(&mark),
        )
    };
    assert_eq!(marked("button"), (Some(12.0), None));
    assert_eq!(marked("drill"), (None, None));
    let (button, hole) = marked("buttonhole");
    assert_eq!(button, None);
    let (top, foot) = hole.unwrap();
    assert!(((top - foot).hypot() - 15.0).abs() < 1e-9);
    assert!(
        (top - kurbo::Point::new(-50.0, -197.0)).hypot() < 1e-9,
        "{top:?}"
    );
    assert!(
        (foot - kurbo::Point::new(-50.0, -212.0)).hypot() < 1e-9,
        "{foot:?}"
    );
    let (button, hole) = marked("buttonholes on the right, buttons on the left");
    assert!(button.is_some() && hole.is_some());
}

/// The same button has the same hole on a front, where it is marked at a point, and on a stand or a cuff, where a line says
/// how it lies: as long as the button is wide and thick (common practice), whatever the line's own length.
#[test]
fn the_same_button_has_the_same_hole_on_every_piece() {
    let marked = |what: &str| {
        let sentence = format!("mark {what} \"buttonhole\" with diameter 11mm, thickness 2mm");
        let pattern = drawn(&sentence, "sewn plain", "");
        let piece = pattern.piece("back").unwrap();
        let (from, to) = piece.buttonhole(&piece.marks[0]).unwrap();
        (from, (to - from).hypot())
    };
    let (_, upright) = marked("(origin left 50mm down 200mm)");
    let (from, level) =
        marked("(from (origin left 50mm down 200mm) to (origin left 60mm down 200mm))");
    assert!((upright - 13.0).abs() < 1e-9 && (level - 13.0).abs() < 1e-9);
    assert!(
        (from - kurbo::Point::new(-50.0, -200.0)).hypot() < 1e-9,
        "{from:?}"
    );

    let shirt = example_drafts::example("womens-crew-shirt.draft", &[]).pattern;
    let mut holes: Vec<(String, f64)> = Vec::new();
    for piece in &shirt.pieces {
        for (from, to) in piece.marks.iter().filter_map(|mark| piece.buttonhole(mark)) {
            holes.push((piece.name.clone(), (to - from).hypot()));
        }
    }
    for name in ["front", "cuff", "collar_stand"] {
        assert!(holes.iter().any(|(of, _)| of == name), "{name}: {holes:?}");
    }
    assert!(
        holes.iter().all(|(_, long)| (long - 13.0).abs() < 1e-6),
        "{holes:?}"
    );
}

/// Chords within 0.01 mm.
fn polygon(path: &oaktag_geometry::path::Path) -> geo::Polygon<f64> {
    let mut points: Vec<(f64, f64)> = Vec::new();
    let mut bez = kurbo::BezPath::new();
    for (index, seg) in path.segs().iter().enumerate() {
        if index == 0 {
            bez.move_to(kurbo::ParamCurve::start(seg));
        }
        bez.push(seg.as_path_el());
    }
    kurbo::flatten(&bez, 0.01, |element| {
        if let kurbo::PathEl::MoveTo(p) | kurbo::PathEl::LineTo(p) = element {
            points.push((p.x, p.y));
        }
    });
    geo::Polygon::new(geo::LineString::from(points), Vec::new())
}

/// The crew shirt with its order, plain and with felled sides: every cutting line is simple and holds the whole sewing line, by an
/// independent polygon crate; and corners are treated.
#[test]
fn cutting_lines_of_the_crew_shirt_are_simple_and_hold_the_sewing_lines() {
    let examples = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let text = std::fs::read_to_string(examples.join("womens-crew-shirt.draft")).unwrap();
    let hem = "panel shirt = forward_yoke";
    let felled = text.replacen(
        hem,
        &format!("panel shirt = felled_sides on shirt\n{hem}"),
        1,
    );
    assert_ne!(text, felled);
    for (text, sides) in [(text, (10.0, 10.0)), (felled, (6.0, 16.0))] {
        let pattern = Run::of(&text).within(&examples).drawn().1.pattern;
        assert_eq!(pattern.pieces.len(), 14);
        assert!(pattern.holds());
        assert_eq!(
            (
                width(&pattern, "front", "side"),
                width(&pattern, "back", "side")
            ),
            sides
        );
        let mut treated = 0;
        for piece in &pattern.pieces {
            let cutting = polygon(piece.cutting.as_ref().unwrap());
            assert!(cutting.is_valid(), "{} is not simple", piece.name);
            for point in polygon(piece.sewing.as_ref().unwrap()).exterior().points() {
                let held = cutting.intersects(&point)
                    || Euclidean.distance(&point, cutting.exterior()) < 0.03;
                assert!(
                    held,
                    "{}: {point:?} lies outside the cutting line",
                    piece.name
                );
            }
            treated += piece.corners.len();
        }
        assert!(treated > 12, "{treated} corners are treated");
    }
}
