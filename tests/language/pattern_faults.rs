//! What is said when a pattern does not fit: the sentence, the figures and the places, in each unit.

use crate::pattern_fixture;

use expect_test::{Expect, expect};
use kurbo::{Point, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::*;
use oaktag_language::pattern::{Fault, Pattern, build};
use oaktag_language::report::{Code, Severity};
use oaktag_language::voice::{LengthUnit, Words};
use pattern_fixture::{at, shirt, stretched};

fn told(fault: &Fault, unit: LengthUnit) -> String {
    let grave = if fault.severity == Severity::Error {
        "error"
    } else {
        "warning"
    };
    let mut lines = vec![format!(
        "{grave}[{}] {}",
        fault.code,
        fault.message.in_unit(unit)
    )];
    let label = fault.label.in_unit(unit);
    if !label.is_empty() {
        lines.push(format!("  here: {label}"));
    }
    let said = |before: &str, words: &Words| format!("  {before}{}", words.in_unit(unit));
    lines.extend(fault.see.iter().map(|(_, words)| said("there: ", words)));
    lines.extend(fault.notes.iter().map(|note| said("", note)));
    lines.extend(fault.help.iter().map(|help| said("help: ", help)));
    lines.join("\n") + "\n"
}

fn of_code(drawn: &Drawn, code: Code) -> (Pattern, Vec<Fault>) {
    let (pattern, faults) = build(drawn);
    let found: Vec<Fault> = faults
        .into_iter()
        .filter(|fault| fault.code == code)
        .collect();
    assert!(!found.is_empty(), "{code} is not said");
    (pattern, found)
}

fn says(drawn: &Drawn, code: Code, wanted: Expect) -> Pattern {
    let (pattern, faults) = of_code(drawn, code);
    let all: String = faults
        .iter()
        .map(|fault| told(fault, pattern.unit))
        .collect();
    wanted.assert_eq(&all);
    pattern
}

fn edge<'a>(drawn: &'a mut Drawn, line: &str) -> &'a mut EdgeSpec {
    drawn
        .pieces
        .iter_mut()
        .flat_map(|piece| &mut piece.edges)
        .find(|edge| edge.line == line)
        .unwrap()
}

fn seam<'a>(drawn: &'a mut Drawn, name: &str) -> &'a mut SeamSpec {
    drawn
        .seams
        .iter_mut()
        .find(|seam| seam.name == name)
        .unwrap()
}

#[test]
fn an_outline_with_two_gaps_says_both() {
    let mut drawn = shirt();
    let shift = kurbo::Affine::translate(Vec2::new(0.0, -12.5));
    let low = edge(&mut drawn, "yoke.low");
    low.path = low.path.transformed(shift);
    let pattern = says(
        &drawn,
        Code::OutlineOpen,
        expect![[r#"
            error[outline-open] piece yoke does not close: between centre and low there is a gap of 1.25 cm
              here: low begins 1.25 cm from the end of centre
              there: centre ends here
              help: Draw low from the end of centre, or name the edge that lies between them in the outline.
            error[outline-open] piece yoke does not close: between low and armhole there is a gap of 1.25 cm
              here: armhole begins 1.25 cm from the end of low
              there: low ends here
              help: Draw armhole from the end of low, or name the edge that lies between them in the outline.
        "#]],
    );
    let yoke = pattern.piece("yoke").unwrap();
    assert!(yoke.sewing.is_none() && yoke.area().is_none() && yoke.edges.len() == 5);
    assert!(
        yoke.cautions
            .iter()
            .any(|caution| caution.contains("Outline open"))
    );
}

#[test]
fn an_edge_left_out_of_the_outline_is_a_gap_between_its_neighbours() {
    let mut drawn = shirt();
    drawn.pieces[2].edges.remove(3);
    says(
        &drawn,
        Code::OutlineOpen,
        expect![[r#"
        error[outline-open] piece yoke does not close: between armhole and neck there is a gap of 13.72 cm
          here: neck begins 13.72 cm from the end of armhole
          there: armhole ends here
          help: Draw neck from the end of armhole, or name the edge that lies between them in the outline.
    "#]],
    );
}

#[test]
fn an_outline_that_crosses_itself_names_both_edges() {
    let mut drawn = shirt();
    let stand = edge(&mut drawn, "sleeve.hem");
    let (from, to) = (stand.path.start().unwrap(), stand.path.end().unwrap());
    let off = Point::new(170.0, -300.0);
    let sides = [(from, off), (off, to)].map(|(a, b)| Path::line(a, b).unwrap());
    stand.path = Path::joined(&sides).unwrap();
    says(
        &drawn,
        Code::OutlineCrosses,
        expect![[r#"
        error[outline-crosses] piece sleeve: hem crosses seam front
          there: the edge it crosses
          It happens 35.64 cm from the start of hem.
    "#]],
    );
}

#[test]
fn an_endless_line_is_no_edge() {
    let mut drawn = shirt();
    edge(&mut drawn, "sleeve.hem").path =
        Path::endless(Point::new(0.0, -530.0), Vec2::new(1.0, 0.0)).unwrap();
    says(
        &drawn,
        Code::LineIsEndless,
        expect![[r#"
        error[line-is-endless] piece sleeve: hem is endless, so it cannot be an edge
    "#]],
    );
}

#[test]
fn a_seam_whose_sides_differ_gives_both_lengths_and_a_way_out() {
    let mut drawn = stretched(&shirt(), "front.side", 1.02);
    seam(&mut drawn, "side").last_changed =
        vec![(Tag(900), "front.side was last drawn in step 4".to_owned())];
    let pattern = says(
        &drawn,
        Code::SeamDiffers,
        expect![[r#"
            error[seam-differs] seam side: front side is 42.16 cm, back side is 41.34 cm
              here: front side is 0.83 cm longer than back side
              there: front.side was last drawn in step 4
              Wanted: both the same length, within 0.05 cm
              help: Make front side shorter by that, or, if it is to be eased in, write `ease 0.83cm on front.side`
        "#]],
    );
    let side = pattern.seam("side").unwrap();
    assert!(!side.ok && (side.excess() - side.ease()).abs() < 1e-12);
    drawn.unit = LengthUnit::Inch;
    says(
        &drawn,
        Code::SeamDiffers,
        expect![[r#"
            error[seam-differs] seam side: front side is 16 5/8 in, back side is 16 1/4 in
              here: front side is 5/16 in longer than back side
              there: front.side was last drawn in step 4
              Wanted: both the same length, within less than 1/16 in (0.5 mm)
              help: Make front side shorter by that, or, if it is to be eased in, write `ease 5/16in on front.side`
        "#]],
    );
}

#[test]
fn ease_outside_what_was_stated_is_told_with_what_was_wanted() {
    let mut drawn = shirt();
    let armhole = &mut seam(&mut drawn, "armhole").eases[0];
    (armhole.low, armhole.high) = (Amount::Length(10.0), Amount::Length(20.0));
    says(
        &drawn,
        Code::SeamDiffers,
        expect![[r#"
            error[seam-differs] seam armhole: sleeve cap back and sleeve cap front are together 46.45 cm, back armhole, yoke armhole and front armhole are together 45.65 cm
              here: the first side is 0.8 cm longer than the second side
              Wanted: the first side longer by 1 cm to 2 cm
              help: Change one side by 0.2 cm, or say another amount.
        "#]],
    );
    let armhole = &mut seam(&mut drawn, "armhole").eases[0];
    armhole.how = EaseHow::Stretch;
    (armhole.low, armhole.high) = (Amount::Length(6.0), Amount::Length(6.0));
    says(
        &drawn,
        Code::SeamDiffers,
        expect![[r#"
            error[seam-differs] seam armhole: sleeve cap back and sleeve cap front are together 46.45 cm, back armhole, yoke armhole and front armhole are together 45.65 cm
              here: the first side is 0.8 cm longer than the second side
              Wanted: the second side longer by 0.6 cm, within 0.05 cm
              help: Change one side by 1.4 cm, or say another amount.
        "#]],
    );
}

/// Tolerances ("plain seam pair 0.5; eased seam ± 0.5": common practice).
#[test]
fn a_seam_may_differ_by_its_tolerance_and_no_more() {
    let differs = |by: f64, ease: Option<(f64, f64)>, length: f64, tolerance: Option<f64>| {
        let mut drawn = Drawn {
            pieces: vec![strip("a", length + by), strip("b", length)],
            ..Drawn::default()
        };
        let mut spec = shirt().seams.remove(3);
        let mut tags = pattern_fixture::Tags(900);
        spec.first.edges = vec![pattern_fixture::edge(&mut tags, "a.x")];
        spec.second.edges = vec![pattern_fixture::edge(&mut tags, "b.x")];
        spec.from = vec![at("a.start", Point::ZERO), at("b.start", Point::ZERO)];
        spec.notches = Vec::new();
        spec.tolerance = tolerance;
        let amounts = ease.map(|(low, high)| EaseSpec {
            tag: Tag(899),
            how: EaseHow::Ease,
            low: Amount::Length(low),
            high: Amount::Length(high),
            on: vec![pattern_fixture::edge(&mut tags, "a.x").name],
            between: None,
        });
        spec.eases = amounts.into_iter().collect();
        drawn.seams = vec![spec];
        !build(&drawn).0.seams[0].ok
    };
    assert!(!differs(0.49, None, 400.0, None) && differs(0.51, None, 400.0, None));
    assert!(!differs(-0.49, None, 600.0, None) && differs(-0.51, None, 600.0, None));
    assert!(
        !differs(6.49, Some((6.0, 6.0)), 400.0, None)
            && differs(6.51, Some((6.0, 6.0)), 400.0, None)
    );
    assert!(
        !differs(12.0, Some((4.0, 12.0)), 400.0, None)
            && differs(12.01, Some((4.0, 12.0)), 400.0, None)
    );
    assert!(!differs(1.9, None, 400.0, Some(2.0)) && differs(2.1, None, 400.0, Some(2.0)));
}

/// A strip of cloth with its lower edge to sew.
fn strip(name: &str, length: f64) -> PieceSpec {
    let mut tags = pattern_fixture::Tags(match name {
        "a" => 700,
        _ => 800,
    });
    let up = 50.0;
    let corners = [
        Point::ZERO,
        Point::new(length, 0.0),
        Point::new(length, up),
        Point::new(0.0, up),
        Point::ZERO,
    ];
    let sides = corners.windows(2).zip(["x", "end", "top", "start"]);
    let edges = sides.map(|(ends, edge)| (edge, Path::line(ends[0], ends[1]).unwrap()));
    let cut = CutSpec {
        count: 1,
        cloth: Some("main".to_owned()),
        ..CutSpec::default()
    };
    pattern_fixture::piece(&mut tags, name, name, cut, edges.collect())
}

#[test]
fn sides_as_long_with_notches_apart_are_told() {
    let mut drawn = shirt();
    let r = pattern_fixture::Reference::read();
    let place = SeamNotchPlace::Pair(
        at("front.side_waist", r.point("wf")),
        at("back.side_hip", r.point("hb")),
    );
    seam(&mut drawn, "side").notches = vec![SeamNotchSpec {
        tag: Tag(901),
        form: NotchForm::Single,
        place,
    }];
    says(
        &drawn,
        Code::SeamDiffers,
        expect![[r#"
            error[seam-differs] seam side: the sides are the same length, but not from place to place: 23.26 cm on front side against 2.5 cm on back side
              here: from 18.07 cm to 41.34 cm
              Wanted: both the same length, within 0.05 cm
              help: Move one place of a pair, or, if it is to be eased in there, write `ease 20.76cm on front.side between front.side_waist and front.side_hem`
        "#]],
    );
}

#[test]
fn a_walk_that_starts_nowhere_says_how_far_off_it_is() {
    let mut drawn = shirt();
    seam(&mut drawn, "armhole").from = vec![at("back.cb_waist", Point::new(0.0, -410.0))];
    says(
        &drawn,
        Code::SeamBroken,
        expect![[r#"
            error[seam-broken] seam armhole: the walk is to start from back CB waist, where neither side ends
              there: back CB waist is 33.41 cm from its nearer end
              there: back CB waist is 31.21 cm from its nearer end
              help: Name an end of either side: sleeve.under_front, sleeve.under_back, back.underarm and front.underarm.
        "#]],
    );
}

/// The yoke seams and the centre tell the neck; of a sleeve only the draft tells which way round it is set in.
#[test]
fn which_ends_meet_is_read_from_the_seams_beside() {
    let mut drawn = shirt();
    seam(&mut drawn, "neck").from = Vec::new();
    let (pattern, faults) = build(&drawn);
    assert!(faults.is_empty() && pattern.seam("neck").unwrap().ok);
    seam(&mut drawn, "armhole").from = Vec::new();
    says(
        &drawn,
        Code::SeamUnsure,
        expect![[r#"
            error[seam-unsure] seam armhole: nothing says which ends meet
              If sleeve under front meets back underarm, and sleeve under back meets front underarm: 8.5 cm to 8.5 cm, 7.9 cm to 8.07 cm, 6.47 cm to 6.61 cm, 2.15 cm to 2 cm, 13.94 cm to 12.96 cm, 7.5 cm to 7.5 cm.
              If sleeve under front meets front underarm, and sleeve under back meets back underarm: 7.5 cm to 7.5 cm, 13.31 cm to 12.96 cm, 2.05 cm to 2 cm, 6.79 cm to 6.61 cm, 8.29 cm to 8.07 cm, 8.5 cm to 8.5 cm.
              help: Write after the edges `from sleeve.under_front, back.underarm` or `from sleeve.under_front, front.underarm`
        "#]],
    );
}

#[test]
fn notches_off_the_seam_are_told_with_figures() {
    let mut drawn = shirt();
    let r = pattern_fixture::Reference::read();
    let places = [
        SeamNotchPlace::Measured {
            distance: 500.0,
            from: at("back.underarm", r.point("ub")),
        },
        SeamNotchPlace::Measured {
            distance: 50.0,
            from: at("back.cb_waist", r.point("B2")),
        },
        SeamNotchPlace::One(at("front.bust_point", r.point("BP"))),
        SeamNotchPlace::Pair(
            at("front.side_waist", r.point("wf")),
            at("front.side_hip", r.point("hf")),
        ),
    ];
    let notches = places
        .into_iter()
        .enumerate()
        .map(|(n, place)| SeamNotchSpec {
            tag: Tag(910 + n as u32),
            form: NotchForm::Single,
            place,
        });
    seam(&mut drawn, "side").notches = notches.collect();
    says(
        &drawn,
        Code::NotchOffSeam,
        expect![[r#"
            error[notch-off-seam] seam side: a notch at 50 cm falls off the seam, which is 41.34 cm long
              help: Give a distance within the shorter side.
            error[notch-off-seam] seam side: a notch is measured from back CB waist, where the seam neither begins nor ends
              It lies 26.99 cm from front side.
              It lies 24 cm from back side.
              help: Measure from an end of the seam, or name the point itself: `notch single at POINT`
            error[notch-off-seam] seam side: front side waist and front side hip lie on the same side, where a pair has one on each
            error[notch-off-seam] seam side: front bust point lies on neither side
              It lies 14.98 cm from front side.
              It lies 15.01 cm from back side.
        "#]],
    );
}

#[test]
fn a_piece_notch_off_the_outline_or_on_a_seam_is_told() {
    let mut drawn = shirt();
    let r = pattern_fixture::Reference::read();
    let notch = |tag: u32, at: Point| PieceNotchSpec {
        tag: Tag(tag),
        form: NotchForm::Single,
        place: SeamPlace::At(SeamPoint {
            point: at,
            name: String::new(),
            panel: None,
        }),
        along_from: None,
    };
    drawn.pieces[1].notches = vec![notch(920, r.point("BP")), notch(921, r.point("wf"))];
    says(
        &drawn,
        Code::NotchOffSeam,
        expect![[r#"
        error[notch-off-seam] piece front: a notch lies 9.42 cm from the outline
          help: Notches stand on an edge. Inside the piece, write a mark instead.
        warning[notch-off-seam] piece front: a notch of this piece alone stands on side, which seam side sews
          The other side of the seam gets no partner for it.
          help: Write the notch in the seam side, which sets it on both sides.
    "#]],
    );
}

#[test]
fn a_seam_line_that_no_piece_outlines_is_told_and_its_seam_is_not_walked() {
    let mut drawn = shirt();
    drawn.pieces.remove(3);
    let pattern = says(
        &drawn,
        Code::SeamNotTaken,
        expect![[r#"
            warning[seam-not-taken] seam armhole: no piece outlines sleeve cap back
              here: in no piece's outline
              The seam is not walked, so nothing shows that it fits. The side that is here has only the notches that it can place by itself.
              help: Outline sleeve.cap_back in a piece, or take the piece that does.
            warning[seam-not-taken] seam armhole: no piece outlines sleeve cap front
              here: in no piece's outline
              The seam is not walked, so nothing shows that it fits. The side that is here has only the notches that it can place by itself.
              help: Outline sleeve.cap_front in a piece, or take the piece that does.
            warning[seam-not-taken] seam underarm: no piece outlines sleeve seam front
              here: in no piece's outline
              The seam is not walked, so nothing shows that it fits. The side that is here has only the notches that it can place by itself.
              help: Outline sleeve.seam_front in a piece, or take the piece that does.
            warning[seam-not-taken] seam underarm: no piece outlines sleeve seam back
              here: in no piece's outline
              The seam is not walked, so nothing shows that it fits. The side that is here has only the notches that it can place by itself.
              help: Outline sleeve.seam_back in a piece, or take the piece that does.
        "#]],
    );
    assert!(pattern.seam("armhole").is_none());
}

#[test]
fn an_edge_that_nobody_walks_is_said() {
    let mut drawn = shirt();
    edge(&mut drawn, "sleeve.hem").finish = None;
    let pattern = says(
        &drawn,
        Code::EdgeNotWalked,
        expect![[r#"
        warning[edge-not-walked] piece sleeve: nothing accounts for hem
          here: in no seam, on no fold, without a finish
          help: Join it in a seam, or say how it is finished.
    "#]],
    );
    assert_eq!(pattern.unwalked, [("sleeve".to_owned(), "hem".to_owned())]);
}

#[test]
fn edges_without_an_allowance_are_said_once_a_piece() {
    let mut drawn = shirt();
    seam(&mut drawn, "collar").allowance = None;
    edge(&mut drawn, "fall.out").allowance = None;
    says(
        &drawn,
        Code::NoAllowance,
        expect![[r#"
            warning[no-allowance] piece stand: no allowance on top
              here: no sentence of the piece or of a seam gives it a width
              help: Write `allow 1cm on top` in the piece, or the width in the seam that sews it; `allow nothing on top` says that there is none.
            warning[no-allowance] piece fall: no allowance on sew, out
              here: no sentence of the piece or of a seam gives it a width
              help: Write `allow 1cm on sew, out` in the piece, or the width in the seam that sews it; `allow nothing on sew, out` says that there is none.
        "#]],
    );
}

/// The strongest sentence wins: edge, then the seam's side, then the seam, then the piece.
#[test]
fn allowances_go_by_the_strongest_sentence() {
    let width = |drawn: &Drawn, piece: &str, edge: &str| {
        build(drawn)
            .0
            .piece(piece)
            .unwrap()
            .edge(edge)
            .unwrap()
            .allowance
            .as_ref()
            .map(|allowance| allowance.width.start)
    };
    let mut drawn = shirt();
    seam(&mut drawn, "side").allowance = None;
    assert_eq!(width(&drawn, "back", "side"), None);
    drawn.pieces[0].default_allowance = Some(12.0);
    assert_eq!(width(&drawn, "back", "side"), Some(12.0));
    seam(&mut drawn, "side").allowance = Some(10.0);
    assert_eq!(width(&drawn, "back", "side"), Some(10.0));
    seam(&mut drawn, "side").allowance_on = vec![(
        pattern_fixture::edge(&mut pattern_fixture::Tags(980), "back.side").name,
        16.0,
    )];
    assert_eq!(width(&drawn, "back", "side"), Some(16.0));
    assert_eq!(width(&drawn, "front", "side"), Some(10.0));
    edge(&mut drawn, "back.side").allowance = Some(7.0.into());
    assert_eq!(width(&drawn, "back", "side"), Some(7.0));
    assert_eq!(width(&drawn, "back", "centre"), Some(0.0));
}

#[test]
fn a_fold_that_is_not_met_squarely_is_told_with_its_angle() {
    let mut drawn = shirt();
    let low = edge(&mut drawn, "yoke.low");
    let (a, b) = (low.path.start().unwrap(), low.path.end().unwrap());
    let dip = kurbo::CubicBez::new(a, Point::new(50.0, -95.0), Point::new(120.0, -89.04), b);
    low.path = Path::cubic(dip).unwrap();
    says(
        &drawn,
        Code::FoldNotSquare,
        expect![[r#"
        error[fold-not-square] piece yoke: low meets the fold centre at 96.8°, wanted 90° within 0.5°
          there: the fold
          Unfolded, the piece would show a dent there.
          help: Draw low so that it leaves square to centre.
    "#]],
    );
}

/// 0.5 degrees may pass (common practice).
#[test]
fn the_fold_is_square_within_half_a_degree() {
    let told = |degrees: f64| {
        let mut drawn = shirt();
        let low = edge(&mut drawn, "yoke.low");
        let (a, b) = (low.path.start().unwrap(), low.path.end().unwrap());
        let leaving = a + Vec2::from_angle(-degrees.to_radians()) * 60.0;
        low.path = Path::cubic(kurbo::CubicBez::new(
            a,
            leaving,
            Point::new(120.0, -89.04),
            b,
        ))
        .unwrap();
        build(&drawn)
            .1
            .iter()
            .any(|fault| fault.code == Code::FoldNotSquare)
    };
    assert!(!told(0.49) && told(0.51) && !told(-0.49) && told(-0.51));
}

#[test]
fn a_corner_of_edges_that_do_not_meet_is_told() {
    let mut drawn = shirt();
    let corner = |a: &str, b: &str| CornerSpec {
        tag: Tag(930),
        edges: (a.to_owned(), b.to_owned()),
        treatment: CornerTreatment::TurnedBack,
    };
    drawn.pieces[1].corners = vec![
        corner("hem", "shoulder"),
        corner("hemm", "side"),
        corner("hem", "side"),
    ];
    let pattern = says(
        &drawn,
        Code::UnknownEdge,
        expect![[r#"
        error[unknown-edge] piece front: hem and shoulder do not meet in a corner
        error[unknown-edge] piece front has no edge hemm
    "#]],
    );
    assert_eq!(pattern.piece("front").unwrap().corners.len(), 1);
}

#[test]
fn nothing_at_all_builds_nothing_at_all() {
    let (pattern, faults) = build(&Drawn::default());
    assert!(faults.is_empty() && pattern.pieces.is_empty() && pattern.holds());
    let mut drawn = shirt();
    for piece in &mut drawn.pieces {
        piece.edges.clear();
        piece.cut.fold_edge = Some(7);
    }
    let (pattern, faults) = build(&drawn);
    assert!(pattern.pieces.iter().all(|piece| piece.sewing.is_none()));
    assert_eq!(
        faults
            .iter()
            .filter(|fault| fault.code == Code::OutlineOpen)
            .count(),
        6
    );
}
