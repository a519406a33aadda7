//! Crossings, touches and shared stretches with known answers.

use crate::common::{Chance, arc, cubic, endless, line, near, near_point, through};
use kurbo::{CubicBez, Line, ParamCurve, PathSeg, Point};
use oaktag_geometry::meet::{MeetFault, Meeting, closest_approach, meetings};
use oaktag_geometry::path::Path;
use oaktag_geometry::self_meet::self_meetings;
use std::f64::consts::PI;

#[test]
fn lines_meet_where_they_should_and_only_there() {
    let a = line((0.0, 0.0), (100.0, 0.0));
    let found = meetings(&a, &line((30.0, -10.0), (30.0, 10.0)));
    near_point(found.crossings[0].point, (30.0, 0.0), 1e-12);
    assert_eq!(found.crossings.len(), 1);
    // Within a thousandth of an end is the end; beyond it is not.
    let at_end = meetings(&a, &line((100.0005, -10.0), (100.0005, 10.0)));
    assert_eq!(at_end.crossings[0].on_a, a.end_location());
    assert!(
        meetings(&a, &line((100.002, -10.0), (100.002, 10.0)))
            .crossings
            .is_empty()
    );
    let never = meetings(&a, &line((120.0, 0.0), (120.0, 50.0)))
        .only(&a, &line((120.0, 0.0), (120.0, 50.0)));
    assert!(
        matches!(never, Err(MeetFault::NeverMeet { gap, at_first, at_second })
        if gap == 20.0 && at_first == Point::new(100.0, 0.0) && at_second == Point::new(120.0, 0.0))
    );
}

#[test]
fn endless_lines_meet_beyond_any_drawing() {
    let found = meetings(
        &endless((0.0, 0.0), (1.0, 0.0)),
        &endless((0.0, 10.0), (100.0, -1.0)),
    );
    near_point(found.crossings[0].point, (1000.0, 0.0), 1e-9);
    let apart = closest_approach(
        &endless((0.0, 0.0), (1.0, 0.0)),
        &endless((5.0, 7.0), (-1.0, 0.0)),
    );
    near(apart.gap, 7.0, 1e-12);
    let one = meetings(
        &endless((0.0, 0.0), (1.0, 0.0)),
        &endless((5.0, 0.0), (-1.0, 0.0)),
    );
    assert_eq!(one.overlaps.len(), 1);
    let circle = arc((50.0, 40.0), 41.0, 0.0, 2.0 * PI, 1e-9);
    let both = meetings(&endless((0.0, 0.0), (1.0, 0.0)), &circle);
    assert_eq!(both.crossings.len(), 2);
    near_point(both.crossings[0].point, (41.0, 0.0), 1e-6);
    near_point(both.crossings[1].point, (59.0, 0.0), 1e-6);
}

#[test]
fn two_circles_meet_in_the_points_of_their_radical_axis() {
    let a = arc((0.0, 0.0), 100.0, 0.5, 2.0 * PI, 1e-9);
    for (distance, radius) in [(150.0, 80.0), (120.0, 30.0), (60.0, 159.9), (100.0, 0.5)] {
        let b = arc((distance, 0.0), radius, 2.0, 2.0 * PI, 1e-9);
        let x = (distance * distance + 100.0 * 100.0 - radius * radius) / (2.0 * distance);
        let y = (100.0f64 * 100.0 - x * x).sqrt();
        let found = meetings(&a, &b);
        assert_eq!(
            found.crossings.len(),
            2,
            "distance {distance}, radius {radius}"
        );
        // The walk begins at 0.5 rad: the lower point may come first or last.
        for m in &found.crossings {
            near(m.point.x, x, 1e-5);
            near(m.point.y.abs(), y, 1e-5);
        }
        let along: Vec<f64> = found
            .crossings
            .iter()
            .map(|m| a.length_to(m.on_a))
            .collect();
        assert!(along[0] < along[1]);
    }
}

#[test]
fn circles_and_lines_that_touch_say_so() {
    // A cubic circle lies outside the true one by up to 2.7e-4 of its radius: the quadrant points are exact.
    let a = arc((0.0, 0.0), 100.0, PI / 4.0, 2.0 * PI, 1e-9);
    let top = line((-80.0, 100.0), (90.0, 100.0));
    let touch = meetings(&top, &a);
    assert_eq!(touch.crossings.len(), 1, "{touch:?}");
    assert!(touch.crossings[0].tangent);
    near_point(touch.crossings[0].point, (0.0, 100.0), 1e-3);
    let b = arc((170.0, 0.0), 70.0, 3.0, 2.0 * PI, 1e-9);
    let touch = meetings(&a, &b);
    assert_eq!(touch.crossings.len(), 1, "{touch:?}");
    assert!(touch.crossings[0].tangent);
    near_point(touch.crossings[0].point, (100.0, 0.0), 0.2);
    // A tenth of a millimetre in or out is two crossings or none.
    for (shift, count) in [(-0.1, 2), (0.1, 0)] {
        let moved = b.transformed(kurbo::Affine::translate((shift, 0.0)));
        assert_eq!(meetings(&a, &moved).crossings.len(), count);
    }
    // Inside one another.
    let inner = arc((30.0, 0.0), 70.0, 2.0, 2.0 * PI, 1e-9);
    assert!(meetings(&a, &inner).crossings.iter().all(|m| m.tangent));
    let touch = meetings(&a, &inner);
    assert_eq!(touch.crossings.len(), 1, "{touch:?}");
}

#[test]
fn paths_that_run_along_each_other_are_not_a_row_of_crossings() {
    let whole = cubic((0.0, 0.0), (0.0, 60.0), (40.0, 100.0), (100.0, 100.0));
    let part = whole.part_between(30.0, 90.0).unwrap();
    for other in [part.clone(), part.reversed(), whole.clone()] {
        let found = meetings(&whole, &other);
        assert!(found.crossings.is_empty(), "{found:?}");
        assert_eq!(found.overlaps.len(), 1);
        let o = found.overlaps[0];
        near(
            whole.length_to(o.on_a.1) - whole.length_to(o.on_a.0),
            other.length().unwrap(),
            1e-6,
        );
    }
    let found = meetings(
        &line((0.0, 0.0), (100.0, 0.0)),
        &line((150.0, 0.0), (60.0, 0.0)),
    );
    near_point(found.overlaps[0].from, (60.0, 0.0), 1e-12);
    near_point(found.overlaps[0].to, (100.0, 0.0), 1e-12);
    assert!(matches!(
        found.only(
            &line((0.0, 0.0), (100.0, 0.0)),
            &line((150.0, 0.0), (60.0, 0.0))
        ),
        Err(MeetFault::RunTogether { .. })
    ));
}

#[test]
fn nine_crossings_of_two_cubics_are_all_found_in_order() {
    // Two Chebyshev polynomials of degree three laid crosswise meet nine times, the most that Bézout's theorem allows.
    let a = cubic(
        (0.0, 150.0),
        (100.0 / 3.0, -450.0),
        (200.0 / 3.0, 550.0),
        (100.0, -50.0),
    );
    let b = cubic(
        (150.0, 0.0),
        (-450.0, 100.0 / 3.0),
        (550.0, 200.0 / 3.0),
        (-50.0, 100.0),
    );
    let found = meetings(&a, &b);
    assert_eq!(found.crossings.len(), 9, "{found:#?}");
    let along: Vec<f64> = found
        .crossings
        .iter()
        .map(|m| a.length_to(m.on_a))
        .collect();
    assert!(along.windows(2).all(|w| w[0] < w[1]));
    for m in &found.crossings {
        near(a.point(m.on_a).distance(b.point(m.on_b)), 0.0, 1e-7);
    }
    let nearest = found.nearest_to(found.crossings[4].point, &a, &b).unwrap();
    assert_eq!(nearest, found.crossings[4]);
    assert!(
        matches!(found.only(&a, &b), Err(MeetFault::SeveralAnswers { points }) if points.len() == 9)
    );
}

#[test]
fn a_shared_end_is_one_meeting_at_both_ends() {
    let a = cubic((0.0, 0.0), (50.0, 0.0), (100.0, 50.0), (100.0, 100.0));
    for b in [
        line((100.0, 100.0), (100.0, 200.0)),
        line((100.0, 100.0), (200.0, 100.0)),
        cubic((100.0, 100.0), (100.0, 150.0), (50.0, 200.0), (0.0, 200.0)),
        cubic(
            (100.0, 100.0),
            (100.0, 100.0),
            (150.0, 100.0),
            (200.0, 120.0),
        ),
    ] {
        let found = meetings(&a, &b);
        assert_eq!(found.crossings.len(), 1, "{found:?}");
        assert_eq!(found.crossings[0].on_a, a.end_location());
        assert_eq!(found.crossings[0].on_b, b.start_location());
    }
}

#[test]
fn a_corner_that_just_touches_a_line_is_met_once() {
    let roof = through(&[(0.0, 0.0), (50.0, 40.0), (100.0, 0.0)]);
    let found = meetings(&line((0.0, 40.0), (100.0, 40.0)), &roof);
    assert_eq!(found.crossings.len(), 1, "{found:?}");
    near_point(found.crossings[0].point, (50.0, 40.0), 1e-9);
}

fn crossings(path: &Path) -> Vec<Meeting> {
    self_meetings(path.segs(), path.is_closed()).0
}

#[test]
fn a_loop_crosses_itself_where_its_closed_form_says() {
    // The folium-like cubic symmetric about the y axis: x(t) odd about 1/2, so it crosses itself on the axis.
    let path = cubic((-10.0, 0.0), (120.0, 130.0), (-120.0, 130.0), (10.0, 0.0));
    let found = crossings(&path);
    assert_eq!(found.len(), 1);
    near(found[0].point.x, 0.0, 1e-9);
    near(
        path.point(found[0].on_b).distance(found[0].point),
        0.0,
        1e-9,
    );
    assert!(crossings(&arc((0.0, 0.0), 50.0, 0.0, 2.0 * PI, 1e-6)).is_empty());
    let bow = through(&[(0.0, 0.0), (100.0, 100.0), (100.0, 0.0), (0.0, 100.0)]);
    let found = crossings(&bow);
    assert_eq!(found.len(), 1);
    near_point(found[0].point, (50.0, 50.0), 1e-9);
}

#[test]
fn the_closest_approach_is_no_farther_than_any_two_sampled_points() {
    let mut chance = Chance::seeded(31);
    for _ in 0..200 {
        let (a, b) = (chance.gentle(), chance.gentle());
        let shift =
            kurbo::Affine::translate((chance.between(-500.0, 500.0), chance.between(300.0, 600.0)));
        let (pa, pb) = (Path::cubic(a).unwrap(), Path::cubic(shift * b).unwrap());
        let found = closest_approach(&pa, &pb);
        near(found.gap, (found.at_second - found.at_first).hypot(), 1e-12);
        near(pa.nearest(found.at_first).distance, 0.0, 1e-9);
        let mut least = f64::INFINITY;
        for i in 0..=60 {
            let p = a.eval(f64::from(i) / 60.0);
            least = least.min(pb.nearest(p).distance);
        }
        assert!(found.gap <= least + 1e-6, "{} against {least}", found.gap);
        assert!(meetings(&pa, &pb).crossings.is_empty() == (found.gap > 1e-3) || found.gap < 2e-3);
    }
}

#[test]
fn crossings_of_a_line_with_a_cubic_are_the_roots_of_its_distance() {
    // x = t, y = 400(t - 1/5)(t - 1/2)(t - 9/10) + 7, scaled: the line y = 7 is met at the three roots.
    let roots = [0.2, 0.5, 0.9];
    let y = |t: f64| 400.0 * roots.iter().map(|r| t - r).product::<f64>() + 7.0;
    // Interpolating Bernstein coefficients from four values.
    let at = [y(0.0), y(1.0 / 3.0), y(2.0 / 3.0), y(1.0)];
    let c1 = (-5.0 * at[0] + 18.0 * at[1] - 9.0 * at[2] + 2.0 * at[3]) / 6.0;
    let c2 = (2.0 * at[0] - 9.0 * at[1] + 18.0 * at[2] - 5.0 * at[3]) / 6.0;
    let c = CubicBez::new((0.0, at[0]), (100.0, c1), (200.0, c2), (300.0, at[3]));
    let path = Path::cubic(c).unwrap();
    let found = meetings(&path, &line((-10.0, 7.0), (310.0, 7.0)));
    assert_eq!(found.crossings.len(), 3);
    for (m, root) in found.crossings.iter().zip(roots) {
        near_point(m.point, (300.0 * root, 7.0), 1e-9);
    }
    let by_kurbo = PathSeg::Cubic(c).intersect_line(Line::new((-10.0, 7.0), (310.0, 7.0)));
    assert_eq!(by_kurbo.len(), 3);
}

#[test]
fn curves_that_almost_run_along_each_other_are_one_stretch_or_a_few_places() {
    let a = cubic((0.0, 0.0), (30.0, 20.0), (70.0, 20.0), (100.0, 0.0));
    for lift in [0.0004, 0.0009, 0.0011, 0.004] {
        let b = cubic(
            (-5.0, -3.6),
            (28.0, 20.0 + lift),
            (72.0, 20.0 + lift),
            (105.0, -3.6),
        );
        let found = meetings(&a, &b);
        assert!(
            found.crossings.len() + found.overlaps.len() <= 6,
            "{lift}: {}",
            found.crossings.len()
        );
    }
    // The same curve a little lifted, its ends carried on: along each other all the way, or not at all.
    for (lift, along) in [(0.0005, true), (0.002, false)] {
        let raised = a.transformed(kurbo::Affine::translate((0.0, lift)));
        let longer = raised
            .extended(oaktag_geometry::edit::End::Start, 9.0)
            .unwrap();
        let found = meetings(&a, &longer);
        assert_eq!(found.overlaps.len() == 1, along, "{found:?}");
        assert!(found.crossings.len() <= 2);
    }
}
