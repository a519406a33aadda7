//! A whole shirt put together: areas, seams and notches against figures worked out outside this program.

use crate::pattern_fixture;

use kurbo::Point;
use oaktag_language::pattern::{Pattern, build};
use pattern_fixture::{Reference, shirt};

fn built() -> Pattern {
    let (pattern, faults) = build(&shirt());
    let said: Vec<_> = faults
        .iter()
        .map(|fault| fault.message.in_unit(pattern.unit))
        .collect();
    assert!(faults.is_empty(), "{said:#?}");
    pattern
}

#[test]
fn areas_are_those_worked_out_by_quadrature() {
    let (pattern, r) = (built(), Reference::read());
    for (piece, measure) in [
        ("yoke", "area_yoke_half"),
        ("back", "area_back_half_with_pleat"),
        ("front", "area_front"),
        ("sleeve", "area_sleeve"),
        ("stand", "area_stand_half"),
        ("fall", "area_fall_half"),
    ] {
        let piece = pattern.piece(piece).unwrap();
        let (found, wanted) = (piece.drawn_area.unwrap(), r.measure(measure));
        assert!(
            (found - wanted).abs() < 2.0,
            "{measure}: {found} against {wanted}"
        );
        let halves = if piece.on_fold() { 2.0 } else { 1.0 };
        assert!((piece.area().unwrap() - halves * found).abs() < 1e-9);
    }
}

#[test]
fn seams_are_as_long_as_worked_out_and_fit() {
    let (pattern, r) = (built(), Reference::read());
    let seam = |name: &str| pattern.seam(name).unwrap();
    let near = |found: f64, wanted: f64| {
        assert!((found - wanted).abs() < 0.01, "{found} against {wanted}")
    };
    near(seam("side").first.length, r.measure("side_seam_front"));
    near(seam("side").second.length, r.measure("side_seam_back"));
    near(seam("armhole").second.length, r.measure("armhole_total"));
    near(seam("armhole").ease(), r.measure("cap_ease"));
    near(
        seam("neck").first.length,
        r.measure("stand_lower_edge_total"),
    );
    near(
        seam("neck").second.length,
        r.measure("half_neckline_cb_to_stand_edge"),
    );
    assert!(pattern.holds());
    assert!(pattern.unwalked.is_empty(), "{:?}", pattern.unwalked);
}

/// Where the worked example sets notches, and where the program sets them.
#[test]
fn notches_stand_where_the_worked_example_has_them() {
    let (pattern, r) = (built(), Reference::read());
    let has = |piece: &str, point: &str| {
        let wanted: Point = r.point(point);
        let marks = pattern
            .piece(piece)
            .unwrap()
            .notches
            .iter()
            .flat_map(|notch| &notch.marks);
        let nearest = marks
            .map(|mark| (mark.sewing - wanted).hypot())
            .fold(f64::INFINITY, f64::min);
        assert!(
            nearest < 0.01,
            "{piece} {point}: nearest notch is {nearest} off"
        );
    };
    for (piece, point) in [
        ("sleeve", "cap_b1"),
        ("sleeve", "cap_b2"),
        ("sleeve", "cap_f"),
        ("sleeve", "T"),
        ("sleeve", "cap_yoke_b"),
        ("sleeve", "cap_yoke_f"),
        ("back", "notch_b1"),
        ("back", "notch_b2"),
        ("front", "notch_f"),
        ("yoke", "sf_y"),
        ("stand", "c_yokeseam"),
        ("stand", "c_CF"),
    ] {
        has(piece, point);
    }
}

/// Walking notch by notch: the ease of a shirt's cap lies above the lower notches (common practice).
#[test]
fn ease_lies_between_the_notches_and_the_crown() {
    let pattern = built();
    let seam = pattern.seam("armhole").unwrap();
    let eases: Vec<f64> = seam
        .intervals
        .iter()
        .map(|interval| interval.ease())
        .collect();
    let (first, last) = (eases.first().unwrap(), eases.last().unwrap());
    assert!(first.abs() < 1e-6 && last.abs() < 1e-6, "{eases:?}");
    assert!((eases.iter().sum::<f64>() - seam.ease()).abs() < 1e-9);
}

/// A piece sewn to its own pair: both are walked from the same end, so notches stand at the same distance.
#[test]
fn a_twin_is_walked_from_the_same_end() {
    use oaktag_language::pattern::spec::{NotchForm, SeamNotchPlace, SeamNotchSpec, Tag};
    use pattern_fixture::Tags;
    let mut drawn = shirt();
    let mut seam = drawn.seams[0].clone();
    seam.name = "centre_back".to_owned();
    let centre = drawn.pieces[2].edges[0].clone();
    seam.first.edges = vec![pattern_fixture::edge(&mut Tags(900), &centre.line)];
    seam.second = seam.first.clone();
    seam.second.edges[0].mirrored = true;
    seam.notches = vec![SeamNotchSpec {
        tag: Tag(800),
        form: NotchForm::Single,
        place: SeamNotchPlace::Measured {
            distance: 30.0,
            from: pattern_fixture::at("yoke.cb_yoke", centre.path.end().unwrap()),
        },
    }];
    drawn.pieces[2].cut.fold_edge = None;
    drawn.seams = vec![seam];
    let (pattern, _) = build(&drawn);
    let seam = pattern.seam("centre_back").unwrap();
    assert!(seam.ok);
    let (first, second) = (&seam.first.edges[0].path, &seam.second.edges[0].path);
    assert_eq!(first.start().unwrap(), second.start().unwrap());
    let notch = &pattern.piece("yoke").unwrap().notches[0];
    let wanted = centre.path.end().unwrap() + kurbo::Vec2::new(0.0, 30.0);
    assert!((notch.marks[0].sewing - wanted).hypot() < 1e-6);
}

/// Notches are carried square to the cut edge and cut no deeper than half the allowance (common practice).
#[test]
fn notches_reach_from_the_sewing_line_to_the_cut_edge() {
    let pattern = built();
    for piece in &pattern.pieces {
        let cutting = piece.cutting.as_ref().unwrap();
        for notch in &piece.notches {
            let edge = &piece.edges[notch.edge];
            let width = edge.allowance.as_ref().unwrap().width.start;
            for mark in &notch.marks {
                assert!(edge.path.nearest(mark.sewing).distance < 1e-6);
                assert!(
                    cutting.nearest(mark.cut).distance < 0.01,
                    "{} {notch:?}",
                    piece.name
                );
                assert!(mark.depth <= width / 2.0 + 1e-12 && mark.depth <= 4.0);
                if notch.seam.is_some() {
                    assert!(mark.outward.dot(mark.along).abs() < 1e-9);
                    assert!(((mark.cut - mark.sewing).hypot() - width).abs() < 0.01);
                }
            }
        }
    }
}

/// Every allowance lies outside the sewing line, as wide as stated away from corners: the cut area exceeds the sewn one by
/// about width times length (Steiner), and every sewing point stays inside.
#[test]
fn cutting_lines_go_round_sewing_lines() {
    use kurbo::Shape;
    let pattern = built();
    for piece in &pattern.pieces {
        let strip: f64 = piece
            .edges
            .iter()
            .map(|edge| edge.length * edge.allowance.as_ref().unwrap().width.start)
            .sum();
        let more = piece.cut_area.unwrap() - piece.drawn_area.unwrap();
        assert!(
            (more - strip).abs() < 0.12 * strip,
            "{}: {more} against {strip}",
            piece.name
        );
        let mut cut = kurbo::BezPath::from_path_segments(
            piece.cutting.as_ref().unwrap().segs().iter().copied(),
        );
        cut.close_path();
        let sewing = piece.sewing.as_ref().unwrap();
        for n in 0..200 {
            let at = sewing
                .location_at(sewing.length().unwrap() * f64::from(n) / 200.0)
                .unwrap();
            let inside = sewing.point(at) + sewing.normal_at(at) * 0.01;
            assert!(cut.contains(inside), "{} at {inside:?}", piece.name);
        }
    }
}
