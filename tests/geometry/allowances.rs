use crate::common::{near, polygon};
use kurbo::{BezPath, ParamCurve, Point, Shape};
use oaktag_geometry::allowance::{Corner, Width, cut_outline};
use oaktag_geometry::angle::Angle;
use oaktag_geometry::arc::arc;
use oaktag_geometry::outline::Outline;
use oaktag_geometry::path::Path;

#[test]
fn a_square_with_one_width_grows_by_it_all_round() {
    let square = polygon(&[(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]);
    let cut = cut_outline(&square, &[10.0; 4], &[Corner::Mitred; 4]).unwrap();
    near(cut.area, 120.0 * 120.0, 1e-9);
    println!("{cut:#?}");
    let cut = cut_outline(&square, &[10.0, 20.0, 0.0, 5.0], &[Corner::Mitred; 4]).unwrap();
    near(cut.area, 125.0 * 110.0, 1e-9);
}

#[test]
fn a_slot_narrower_than_its_allowances_closes() {
    let slot = polygon(&[
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 200.0),
        (105.0, 200.0),
        (105.0, 50.0),
        (95.0, 50.0),
        (95.0, 200.0),
        (0.0, 200.0),
    ]);
    let cut = cut_outline(&slot, &[10.0; 8], &[Corner::Mitred; 8]).unwrap();
    near(cut.area, 220.0 * 220.0, 1e-6);
    assert!(cut.curved);
}

fn tapered(start: f64, end: f64) -> Width {
    Width { start, end }
}

/// The line runs through (0, -25) and (100, -10) and on to the lines beside it, 10 mm off: a trapezium (closed form).
#[test]
fn a_width_that_tapers_is_a_straight_line_that_joins_its_neighbours() {
    let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)];
    let even = Width::from(10.0);
    let wanted = [
        (-10.0, -26.5),
        (110.0, -8.5),
        (110.0, 110.0),
        (-10.0, 110.0),
    ];
    let widths = [tapered(25.0, 10.0), even, even, even];
    // The same outline listed clockwise: each edge then runs the other way.
    let mut turned = corners;
    turned.reverse();
    let turned_widths = [even, even, tapered(10.0, 25.0), even];
    for (corners, widths) in [(corners, widths), (turned, turned_widths)] {
        let cut = cut_outline(&polygon(&corners), &widths, &[Corner::Mitred; 4]).unwrap();
        near(cut.area, 120.0 * 127.5, 1e-6);
        for (x, y) in wanted {
            let mut ends = cut
                .segments()
                .map(|seg| (seg.start() - Point::new(x, y)).hypot());
            assert!(ends.any(|off| off < 1e-6), "{x}, {y}: {cut:?}");
        }
    }
    // Squared to the side on the right: its width goes down to where that side, run on, meets the slanting line.
    let mut corners_made = [Corner::Mitred; 4];
    corners_made[0] = Corner::Squared { first: 1 };
    let cut = cut_outline(&polygon(&corners), &widths, &corners_made).unwrap();
    near(cut.area, 120.0 * 127.5 + 10.0 * 1.5 / 2.0, 1e-6);
    // Stepped: the side's 10 mm run on round the corner, and the slanting line begins at 10 mm there.
    corners_made[0] = Corner::Stepped { edge: 0, at: 0.0 };
    let cut = cut_outline(&polygon(&corners), &widths, &corners_made).unwrap();
    near(cut.area, 120.0 * 127.5 + 10.0 * 1.5 / 2.0, 1e-6);
    // Turned back at the foot of the side on the left, whose own line is plumb: so is its mirror image.
    corners_made[0] = Corner::Mitred;
    corners_made[3] = Corner::TurnedBack { hem: 0 };
    let cut = cut_outline(&polygon(&corners), &widths, &corners_made).unwrap();
    near(cut.area, 120.0 * 127.5, 1e-6);
}

/// Beside a circle it is a spiral of Archimedes, whose area is that of its sectors: ½∫(r + w)² dφ (closed form).
#[test]
fn a_width_that_tapers_along_an_arc_is_a_spiral() {
    let (radius, quarter) = (200.0_f64, std::f64::consts::FRAC_PI_2);
    let tip = Point::new(radius, 0.0);
    let bow = arc(Point::ORIGIN, tip, Angle::from_degrees(-90.0)).unwrap();
    let end = bow.end().unwrap();
    let sides = [
        Path::line(Point::ORIGIN, tip).unwrap(),
        bow,
        Path::line(end, Point::ORIGIN).unwrap(),
    ];
    let outline = Outline::new(&sides).unwrap();
    for (from, to) in [(25.0, 10.0), (0.0, 18.0), (12.0, 0.0)] {
        let widths = [Width::from(0.0), tapered(from, to), Width::from(0.0)];
        let cut = cut_outline(&outline, &widths, &[Corner::Mitred; 3]).unwrap();
        let cubes = (radius + to).powi(3) - (radius + from).powi(3);
        near(cut.area, quarter * cubes / (6.0 * (to - from)), 0.5);
        let bow = cut.edges.iter().find(|edge| edge.edge == 1).unwrap();
        let long = bow.path.length().unwrap();
        for n in 1..100 {
            let p = bow.path.point_at(long * f64::from(n) / 100.0).unwrap();
            let share = p.to_vec2().atan2() / quarter;
            if (0.0..=1.0).contains(&share) && p.x > 1e-3 && p.y > 1e-3 {
                near(
                    p.to_vec2().hypot(),
                    radius + from + (to - from) * share,
                    0.003,
                );
            }
        }
    }
}

/// A hollow is as far off as it is wide there, and where it bends more tightly than that the line still goes round the piece.
#[test]
fn a_width_that_tapers_in_a_hollow() {
    for (radius, from, to) in [(100.0, 10.0, 25.0), (100.0, 25.0, 0.0), (20.0, 10.0, 30.0)] {
        let corner = Point::new(0.0, 0.0);
        let hollow = arc(corner, Point::new(radius, 0.0), Angle::from_degrees(-90.0)).unwrap();
        let (start, end) = (hollow.start().unwrap(), hollow.end().unwrap());
        let mut sides = vec![hollow.reversed()];
        for (a, b) in [
            (start, Point::new(300.0, 0.0)),
            (Point::new(300.0, 0.0), Point::new(300.0, 300.0)),
            (Point::new(300.0, 300.0), Point::new(0.0, 300.0)),
            (Point::new(0.0, 300.0), end),
        ] {
            sides.push(Path::line(a, b).unwrap());
        }
        let outline = Outline::new(&sides).unwrap();
        let mut widths = [Width::from(10.0); 5];
        widths[0] = tapered(from, to);
        let cut = cut_outline(&outline, &widths, &[Corner::Mitred; 5]).unwrap();
        assert!(cut.area > outline.area(), "{radius}");
        let round = BezPath::from_path_segments(cut.segments().copied());
        for (_, seg) in outline.segments() {
            for t in [0.0, 0.3, 0.5, 0.8] {
                let inside = round.contains(seg.eval(t))
                    || cut
                        .edges
                        .iter()
                        .any(|edge| edge.path.passes(seg.eval(t), 0.004));
                assert!(inside, "{radius}: {:?}", seg.eval(t));
            }
        }
        if radius > 50.0 {
            // From its end at the top the width grows with the angle down to the right.
            let line = cut.edges.iter().find(|edge| edge.edge == 0).unwrap();
            let p = line.path.nearest(Point::new(60.0, 60.0)).point;
            let share = 1.0 - p.to_vec2().atan2() / std::f64::consts::FRAC_PI_2;
            near(
                p.to_vec2().hypot(),
                radius - from - (to - from) * share,
                0.003,
            );
        }
    }
}
