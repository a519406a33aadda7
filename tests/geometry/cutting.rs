//! Folding and tracing through, and cutting along lines.

use crate::common::{bodice, endless, line, near, near_point};
use kurbo::Point;
use oaktag_geometry::edit::End;
use oaktag_geometry::fold::{CutFault, UnfoldFault, cut_along, unfold};
use oaktag_geometry::path::Path;

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
}
