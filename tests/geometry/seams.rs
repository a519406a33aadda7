//! Chains, walks, outlines, and edges that flow across a seam.

use crate::common::{arc, bodice, cubic, line, near, near_point, sides};
use kurbo::{Point, Vec2};
use oaktag_geometry::outline::{Outline, OutlineFault};
use oaktag_geometry::path::{Path, PathFault};
use oaktag_geometry::seam::{Chain, SeamFault, carried, walk};
use oaktag_geometry::truing::flow;

#[test]
fn edges_are_turned_so_that_they_chain() {
    let a = line((0.0, 0.0), (30.0, 40.0));
    let b = cubic((100.0, 40.0), (80.0, 20.0), (50.0, 20.0), (30.0, 40.0));
    let c = line((100.0, 40.0), (100.0, 90.0));
    let chain = Chain::new(&[a.clone(), b.clone(), c.clone()]).unwrap();
    let turned: Vec<bool> = chain.edges().iter().map(|edge| edge.reversed).collect();
    assert_eq!(turned, [false, true, false]);
    near(chain.length(), 50.0 + b.length().unwrap() + 50.0, 1e-9);
    near_point(chain.place_at(50.0).unwrap().point, (30.0, 40.0), 1e-9);
    near_point(
        chain.place_from_end(20.0).unwrap().point,
        (100.0, 70.0),
        1e-9,
    );
    assert_eq!(chain.joints().len(), 2);
    let back = chain.from_end(Point::new(100.0, 90.0)).unwrap();
    near_point(back.place_at(20.0).unwrap().point, (100.0, 70.0), 1e-9);
    near_point(back.end(), (0.0, 0.0), 1e-12);
    let (along, off) = chain.length_to(Point::new(103.0, 60.0));
    near(along, chain.length() - 30.0, 1e-9);
    near(off, 3.0, 1e-12);
    // The first edge is turned toward the second.
    let chain = Chain::new(&[a.reversed(), b, c.reversed()]).unwrap();
    near_point(chain.start(), (0.0, 0.0), 1e-12);
    match Chain::new(&[a, line((32.0, 40.0), (90.0, 40.0))]) {
        Err(SeamFault::Gap {
            before: 0,
            after: 1,
            gap,
            ..
        }) => near(gap, 2.0, 1e-12),
        other => panic!("{other:?}"),
    }
    assert!(matches!(
        chain.from_end(Point::new(50.0, 50.0)),
        Err(SeamFault::NotAnEnd { .. })
    ));
    assert!(matches!(
        chain.place_at(chain.length() + 1.0),
        Err(SeamFault::Path(PathFault::PastTheEnd { .. }))
    ));
}

#[test]
fn a_seam_walked_with_itself_has_no_ease() {
    let edges = bodice();
    let chain = Chain::new(&edges[1..3]).unwrap();
    let notches = [(40.0, 40.0), (120.0, 120.0), (200.0, 200.0)];
    for other in [chain.clone(), chain.reversed()] {
        for interval in walk(&chain, &other, &notches).unwrap() {
            near(interval.ease(), 0.0, 1e-12);
        }
    }
    // The same points, met from the other end, are at the rest of the length.
    let p = chain.place_at(40.0).unwrap().point;
    near(chain.reversed().length_to(p).0, chain.length() - 40.0, 1e-8);
}

#[test]
fn ease_is_told_interval_by_interval() {
    let cap = Chain::new(&[line((0.0, 0.0), (300.0, 0.0))]).unwrap();
    let armhole = Chain::new(&[arc((0.0, 0.0), 100.0, 0.0, 2.92, 1e-9)]).unwrap();
    let found = walk(&cap, &armhole, &[(85.0, 85.0), (210.0, 205.0)]).unwrap();
    let ease: Vec<f64> = found.iter().map(|i| i.ease()).collect();
    near(ease[0], 0.0, 1e-9);
    near(ease[1], 5.0, 1e-9);
    near(ease[2], 300.0 - 292.0 - 5.0, 1e-6);
    near(found[1].ease_share(), 5.0 / 120.0, 1e-9);
    near(
        carried(&cap, &armhole, &[(85.0, 85.0), (210.0, 205.0)], 147.5).unwrap(),
        145.0,
        1e-9,
    );
    near(carried(&cap, &armhole, &[], 150.0).unwrap(), 146.0, 1e-6);
    let crossed = walk(&cap, &armhole, &[(85.0, 205.0), (210.0, 85.0)]);
    assert!(matches!(
        crossed,
        Err(SeamFault::NotchOrder { notch: 1, .. })
    ));
}

#[test]
fn outlines_close_or_say_where_they_do_not() {
    let edges = bodice();
    let outline = Outline::new(&edges).unwrap();
    assert!(outline.crossing().is_none());
    assert!(!outline.was_clockwise());
    assert!(outline.contains(Point::new(100.0, 100.0)));
    assert!(!outline.contains(Point::new(230.0, 320.0)));
    let turned: Vec<Path> = edges
        .iter()
        .rev()
        .enumerate()
        .map(|(n, e)| if n % 2 == 0 { e.clone() } else { e.reversed() })
        .collect();
    let other = Outline::new(&turned).unwrap();
    assert!(other.was_clockwise());
    near(other.area(), outline.area(), 1e-9);
    assert_eq!(other.edges()[0].index, 5);
    let mut open = edges.clone();
    open[4] = line((70.0, 372.0), (0.0, 303.0));
    match Outline::new(&open) {
        Err(OutlineFault::Gap {
            before, after, gap, ..
        }) => {
            assert_eq!((before, after), (4, 5));
            near(gap, 3.0, 1e-12);
        }
        other => panic!("{other:?}"),
    }
    let bow = Outline::new(&sides(&[
        (0.0, 0.0),
        (100.0, 80.0),
        (100.0, 0.0),
        (0.0, 90.0),
    ]));
    assert!(matches!(
        bow.unwrap().crossing(),
        Some(OutlineFault::Crosses {
            first: 0,
            second: 2,
            ..
        })
    ));
    assert_eq!(
        Outline::new(&sides(&[(0.0, 0.0), (100.0, 0.0)])),
        Err(OutlineFault::NoArea)
    );
    assert_eq!(Outline::new(&[]), Err(OutlineFault::Empty));
    let disc = Outline::new(&[arc((5.0, 5.0), 80.0, 1.0, std::f64::consts::TAU, 1e-9)]).unwrap();
    assert!(disc.crossing().is_none());
    near(disc.area(), std::f64::consts::PI * 6400.0, 1e-4);
}

#[test]
fn the_kink_across_a_shoulder_is_the_sum_of_its_angles() {
    // Back and front shoulder 130 long; necks leave them at 80° and 95°: joined, the neckline kinks by 5°.
    let side = |degrees: f64| Vec2::from_angle(degrees.to_radians());
    let back_seam = line((0.0, 0.0), (130.0, 0.0));
    let back_neck = Path::line(Point::ORIGIN, Point::ORIGIN - side(80.0) * 60.0).unwrap();
    let corner = Point::new(500.0, 300.0);
    let front_seam = Path::line(corner, corner + side(200.0) * 130.0).unwrap();
    let front_neck = Path::line(corner + side(105.0) * 70.0, corner).unwrap();
    let joined = flow(&back_neck, &back_seam, &front_neck, &front_seam).unwrap();
    // Back: from the seam (0°) down to 260°, 100° clockwise. Front: 105° is 95° clockwise of 200°, in the joined
    // position 95° above... measured from the seam both together leave 5° or 175° to a straight line.
    near(
        (joined.kink.degrees().abs() - 5.0)
            .abs()
            .min((joined.kink.degrees().abs() - 175.0).abs()),
        0.0,
        1e-9,
    );
    near_point(joined.after.start().unwrap(), (0.0, 0.0), 1e-9);
    let shoulder_end = joined.joined_by * (corner + side(200.0) * 130.0);
    near_point(shoulder_end, (130.0, 0.0), 1e-9);
    // A mirrored twin joins without a kink when the edge is square to the seam.
    let square = line((0.0, 0.0), (0.0, -60.0));
    let twin = line((0.0, 0.0), (0.0, 50.0));
    let smooth = flow(&square, &back_seam, &twin, &back_seam).unwrap();
    near(smooth.kink.degrees(), 0.0, 1e-9);
}

#[test]
fn blending_across_a_seam_leaves_one_smooth_line() {
    let seam = line((0.0, 0.0), (130.0, 0.0));
    let back = cubic((0.0, 0.0), (-4.0, -30.0), (-30.0, -60.0), (-60.0, -62.0));
    let front = cubic((0.0, 0.0), (12.0, 40.0), (-10.0, 80.0), (-60.0, 90.0));
    let joined = flow(&back, &seam, &front, &seam).unwrap();
    assert!(joined.kink.degrees().abs() > 5.0);
    let (before, after) = joined.blended(30.0, Vec2::new(1.0, 0.0)).unwrap();
    let again = oaktag_geometry::angle::Angle::between(
        before.end_tangent(),
        after.transformed(joined.joined_by).start_tangent(),
    );
    near(again.degrees(), 0.0, 1e-6);
    near(before.end().unwrap().y, 0.0, 1e-9);
    near(
        before.end().unwrap().distance(after.start().unwrap()),
        0.0,
        1e-9,
    );
    near_point(before.start().unwrap(), (-60.0, -62.0), 1e-9);
    near_point(after.end().unwrap(), (-60.0, 90.0), 1e-9);
}
