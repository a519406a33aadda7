//! Folding and tracing through, cutting along lines, slashing and spreading, and the measures of darts.

use crate::common::{bodice, cubic, endless, line, near, near_point};
use kurbo::Point;
use oaktag_geometry::angle::Angle;
use oaktag_geometry::dart::Dart;
use oaktag_geometry::edit::End;
use oaktag_geometry::fold::{CutFault, UnfoldFault, cut_along, to_meet, unfold};
use oaktag_geometry::path::Path;
use oaktag_geometry::spread::{Slash, Spread, spread};

/// The neck edge of the reference body's shirt front, y up: `nf` to `fn`, then straight to fold 1.
fn neck() -> Path {
    let (nf, fnp, corner) = (
        Point::new(436.12, -1.07),
        Point::new(510.0, -86.73),
        Point::new(472.48, -86.73),
    );
    let curve = oaktag_geometry::curves::hollow(nf, corner, fnp, 0.6).unwrap();
    Path::joined(&[curve, line((510.0, -86.73), (525.0, -86.73))]).unwrap()
}

#[test]
fn a_button_stand_folded_twice_has_the_neck_on_every_layer() {
    // Source: tests/data/reference_body_a.json, points m_n, s1n, s2n and s3n (printed to a hundredth in its tables).
    let fold = |x: f64| endless((x, 0.0), (0.0, 1.0));
    let made = unfold(&neck(), &[fold(525.0), fold(555.0)], &fold(585.0)).unwrap();
    assert_eq!(made.layers.len(), 3);
    near_point(made.points[0], (525.0, -86.73), 0.01);
    near_point(made.points[1], (555.0, -82.34), 0.02);
    near_point(made.points[2], (585.0, -86.73), 0.01);
    // Folded up again, every layer lies on the neck.
    let first = made.layers[1].transformed(oaktag_geometry::moves::mirror(&fold(525.0)).unwrap());
    for n in 0..=20 {
        let p = first.point(first.location_at_share(f64::from(n) / 20.0).unwrap());
        near(neck().nearest(p).distance, 0.0, 1e-9);
    }
    // Drawn the other way round, or run past the fold, it is the same.
    let other = unfold(
        &neck().reversed(),
        &[fold(525.0), fold(555.0)],
        &fold(585.0),
    )
    .unwrap();
    near(
        other.path.length().unwrap(),
        made.path.length().unwrap(),
        1e-9,
    );
    let past = neck().extended(End::End, 8.0).unwrap();
    near(
        unfold(&past, &[fold(525.0), fold(555.0)], &fold(585.0))
            .unwrap()
            .path
            .length()
            .unwrap(),
        made.path.length().unwrap(),
        1e-9,
    );
    // What is kept is the longer part, whichever end runs past: it begins where the neck does.
    for past in [past.clone(), past.reversed()] {
        let made = unfold(&past, &[fold(525.0), fold(555.0)], &fold(585.0)).unwrap();
        near_point(made.layers[0].start().unwrap(), (436.12, -1.07), 1e-9);
        near_point(made.layers[0].end().unwrap(), (525.0, -86.73), 1e-9);
    }
    // Too short, or not at the fold: by how much.
    match unfold(
        &line((510.0, 0.0), (525.0, 0.0)),
        &[fold(525.0), fold(555.0)],
        &fold(585.0),
    ) {
        Err(UnfoldFault::TooShort { fold: 0, gap, .. }) => near(gap, 15.0, 1e-9),
        other => panic!("{other:?}"),
    }
    match unfold(
        &line((480.0, 0.0), (520.0, 0.0)),
        &[fold(525.0)],
        &fold(585.0),
    ) {
        Err(UnfoldFault::NotAtFold { gap, .. }) => near(gap, 5.0, 1e-9),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_path_cut_along_a_line_keeps_the_asked_side() {
    let level = endless((0.0, 150.0), (1.0, 0.0));
    let kept: Vec<Path> = bodice()
        .iter()
        .flat_map(|edge| cut_along(edge, &level, Point::new(100.0, 0.0)).unwrap())
        .collect();
    assert_eq!(kept.len(), 3);
    assert!(
        kept.iter()
            .all(|part| part.bounds().unwrap().y1 <= 150.0 + 1e-9)
    );
    let above: Vec<Path> = bodice()
        .iter()
        .flat_map(|edge| cut_along(edge, &level, Point::new(100.0, 200.0)).unwrap())
        .collect();
    let length = |parts: &[Path]| parts.iter().map(|part| part.length().unwrap()).sum::<f64>();
    near(length(&kept) + length(&above), length(&bodice()), 1e-7);
    assert_eq!(
        cut_along(&bodice()[0], &level, Point::new(7.0, 150.0)),
        Err(CutFault::NoSide {
            at: Point::new(7.0, 150.0)
        })
    );
    let grown = to_meet(&line((0.0, 0.0), (30.0, 30.0)), End::End, &level).unwrap();
    near_point(grown.end().unwrap(), (150.0, 150.0), 1e-9);
    let shorter = to_meet(&line((0.0, 300.0), (0.0, 0.0)), End::Start, &level);
    near_point(shorter.unwrap().start().unwrap(), (0.0, 150.0), 1e-9);
}

#[test]
fn three_slashes_spread_a_hem_and_leave_the_top() {
    let slash = |x: f64| Slash {
        hinge: Point::new(x, 100.0),
        mouth: Point::new(x, 0.0),
        spread: Spread::Mouth(20.0),
    };
    let part = spread(
        &[slash(30.0), slash(60.0), slash(90.0)],
        Point::new(0.0, 50.0),
    )
    .unwrap();
    let (top, hem) = (
        line((0.0, 100.0), (120.0, 100.0)),
        line((0.0, 0.0), (120.0, 0.0)),
    );
    let top_parts = part.path(&top).unwrap();
    let hem_parts = part.path(&hem).unwrap();
    assert_eq!(hem_parts.len(), 4);
    for (before, after) in hem_parts.iter().zip(&hem_parts[1..]) {
        near(
            after.1.start().unwrap().distance(before.1.end().unwrap()),
            20.0,
            1e-9,
        );
    }
    for (before, after) in top_parts.iter().zip(&top_parts[1..]) {
        near(
            after.1.start().unwrap().distance(before.1.end().unwrap()),
            0.0,
            1e-9,
        );
    }
    let kept: f64 = top_parts
        .iter()
        .map(|(_, path)| path.length().unwrap())
        .sum();
    near(kept, 120.0, 1e-9);
    assert!(
        part.point(Point::new(120.0, 0.0)).x > 150.0,
        "it opens outward"
    );
    let even = Slash {
        spread: Spread::Even(25.0),
        ..slash(60.0)
    };
    let moved = spread(&[even], Point::new(0.0, 50.0)).unwrap();
    near_point(moved.point(Point::new(70.0, 10.0)), (95.0, 10.0), 1e-12);
    near_point(moved.point(Point::new(50.0, 10.0)), (50.0, 10.0), 1e-12);
}

#[test]
fn spreading_and_closing_again_is_nothing() {
    let hinge = Point::new(40.0, 100.0);
    let mouth = Point::new(55.0, -20.0);
    let curve = cubic((0.0, 0.0), (30.0, -25.0), (80.0, -25.0), (130.0, 5.0));
    for spread_by in [
        Spread::Mouth(18.0),
        Spread::Turn(Angle::from_degrees(7.0)),
        Spread::Even(30.0),
    ] {
        let open = spread(
            &[Slash {
                hinge,
                mouth,
                spread: spread_by,
            }],
            Point::new(0.0, 30.0),
        )
        .unwrap();
        let back = match spread_by {
            Spread::Mouth(w) => Spread::Mouth(-w),
            Spread::Turn(a) => Spread::Turn(-a),
            Spread::Even(w) => Spread::Even(-w),
        };
        let close = spread(
            &[Slash {
                hinge,
                mouth,
                spread: back,
            }],
            Point::new(0.0, 30.0),
        )
        .unwrap();
        let identity = close.moves()[1] * open.moves()[1];
        for p in [Point::new(1.0, 2.0), Point::new(10_000.0, -300.0)] {
            near_point(identity * p, p.into(), 1e-9);
        }
        let parts = open.path(&curve).unwrap();
        let closed: Vec<Path> = parts
            .iter()
            .map(|(piece, path)| path.transformed(close.moves()[*piece]))
            .collect();
        let whole = Path::joined(&closed).unwrap();
        near(whole.length().unwrap(), curve.length().unwrap(), 1e-8);
    }
}

#[test]
fn a_dart_keeps_its_angle_when_it_moves() {
    let apex = Point::new(100.0, 200.0);
    let dart = Dart::new(apex, Point::new(90.0, 330.0), Point::new(120.0, 326.0)).unwrap();
    assert!(
        dart.angle().degrees() > 0.0,
        "from the left leg to the right is clockwise"
    );
    let trued = dart.trued();
    near(trued.legs().0, trued.legs().1, 1e-9);
    near(trued.angle().degrees(), dart.angle().degrees(), 1e-9);
    near(
        trued.mouth(),
        oaktag_geometry::moves::mouth(dart.angle(), trued.legs().0),
        1e-9,
    );
    let short = trued.shortened(20.0).unwrap();
    near(short.apex.distance(apex), 20.0, 1e-9);
    near(short.legs().0, short.legs().1, 1e-9);
    assert!(short.angle().degrees() > trued.angle().degrees());
    // The cap, built by reflection, lies on the bisector and the mirrored seams meet there.
    let cap = trued.cap(true, kurbo::Vec2::new(-1.0, -0.05)).unwrap();
    near((cap - apex).cross(trued.bisector()), 0.0, 1e-9);
    assert!(cap.distance(apex) > trued.legs().0 - 5.0);
}
