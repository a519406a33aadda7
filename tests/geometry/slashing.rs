//! Slash and spread, held to closed forms: what a slash opens is added to what it crosses, and a turn opens 2 r sin(a / 2).

use crate::common::{arc, line, near, near_point};
use kurbo::{Point, Vec2};
use oaktag_geometry::angle::Angle;
use oaktag_geometry::moves::mouth;
use oaktag_geometry::path::Path;
use oaktag_geometry::slash::{Slash, SlashFault, without_stretch};

const RIGHT: Vec2 = Vec2::new(1.0, 0.0);
const DOWN: Vec2 = Vec2::new(0.0, -1.0);

fn length(path: &Path) -> f64 {
    path.length().unwrap()
}

#[test]
fn a_sheet_slashed_and_spread_is_longer_by_what_opened() {
    let plumb = Path::endless(Point::new(40.0, 0.0), DOWN).unwrap();
    let slash = Slash::sliding(&plumb, RIGHT, 30.0).unwrap();
    let hem = line((0.0, 0.0), (100.0, 0.0));
    let opened = slash.path(&hem).unwrap();
    near(length(&opened), 130.0, 1e-9);
    assert!(opened.is_straight());
    // A curve is bridged straight: two parts of the quarter circle as they were, and the bridge.
    let round = arc((0.0, 0.0), 100.0, 0.0, std::f64::consts::FRAC_PI_2, 1e-6);
    near(
        length(&slash.path(&round).unwrap()),
        length(&round) + 30.0,
        1e-6,
    );
    near_point(slash.point(Point::new(40.0, 7.0)), (40.0, 7.0), 0.0);
    near_point(slash.point(Point::new(39.0, 7.0)), (39.0, 7.0), 0.0);
    near_point(slash.point(Point::new(41.0, 7.0)), (71.0, 7.0), 1e-12);
    // What lies on the slash stays, what runs beside it beyond goes with the sheet, ends or none.
    assert_eq!(slash.path(&plumb).unwrap(), plumb);
    let beside = Path::endless(Point::new(60.0, 0.0), DOWN).unwrap();
    let (through, _) = slash.path(&beside).unwrap().endless_line().unwrap();
    near(through.x, 90.0, 1e-12);
    assert_eq!(
        Slash::sliding(&plumb, DOWN, 5.0).unwrap_err(),
        SlashFault::AlongItself
    );
}

#[test]
fn a_strip_that_is_folded_out_lands_on_the_slash() {
    let level = Path::endless(Point::new(0.0, -20.0), RIGHT).unwrap();
    let slash = Slash::sliding(&level, DOWN, -8.0).unwrap();
    let side = line((0.0, 0.0), (0.0, -60.0));
    let shorter = slash.path(&side).unwrap();
    near(length(&shorter), 52.0, 1e-9);
    near_point(shorter.end().unwrap(), (0.0, -52.0), 1e-9);
    near_point(slash.point(Point::new(3.0, -24.0)), (3.0, -20.0), 1e-12);
    near_point(slash.point(Point::new(3.0, -30.0)), (3.0, -22.0), 1e-12);
    // A line that lies in the strip is nothing then; one that ends in it ends on the slash.
    assert!(
        slash
            .path(&line((5.0, -22.0), (5.0, -26.0)))
            .unwrap()
            .is_nothing()
    );
    let stops = slash.path(&line((5.0, 0.0), (5.0, -25.0))).unwrap();
    near(length(&stops), 20.0, 1e-9);
}

#[test]
fn a_slash_to_a_point_opens_as_a_dart_does() {
    // A square of 100 about its middle: slashed to the right, what lies from there up to the top turns anticlockwise.
    let by = Angle::from_degrees(-20.0);
    let (middle, right, top) = (Point::ORIGIN, Point::new(50.0, 0.0), Point::new(0.0, 50.0));
    let slash = Slash::turning(middle, by, right, top).unwrap();
    let side = line((50.0, -50.0), (50.0, 50.0));
    let opened = slash.path(&side).unwrap();
    near(length(&opened), 100.0 + mouth(by, 50.0), 1e-9);
    near_point(opened.start().unwrap(), (50.0, -50.0), 0.0);
    let turned = by.about(middle) * Point::new(50.0, 50.0);
    near_point(opened.end().unwrap(), (turned.x, turned.y), 1e-9);
    near_point(slash.point(right), (50.0, 0.0), 0.0);
    let last = by.about(middle) * top;
    near_point(slash.point(top), (last.x, last.y), 1e-12);
    near_point(slash.point(Point::new(-1.0, 50.0)), (-1.0, 50.0), 0.0);
    // The other way round all but that quarter turns.
    let rest = Slash::turning(middle, Angle::from_degrees(20.0), right, top).unwrap();
    near_point(rest.point(Point::new(30.0, 30.0)), (30.0, 30.0), 0.0);
    assert!(
        rest.point(Point::new(-30.0, -30.0))
            .distance(Point::new(-30.0, -30.0))
            > 10.0
    );
    assert!(Slash::turning(middle, by, middle, top).is_err());
}

#[test]
fn a_stretch_is_taken_off_what_runs_through_both_its_ends() {
    let side = line((0.0, 0.0), (0.0, -60.0));
    let (hem, vent) = (Point::new(0.0, -60.0), Point::new(0.0, -45.0));
    let left = without_stretch(&side, hem, vent, Point::ORIGIN)
        .unwrap()
        .unwrap();
    near(length(&left), 45.0, 1e-9);
    let middle = Point::new(0.0, -20.0);
    let low = without_stretch(&side, middle, vent, hem).unwrap().unwrap();
    near(length(&low), 15.0, 1e-9);
    let across = line((0.0, -60.0), (80.0, -60.0));
    assert_eq!(
        without_stretch(&across, hem, vent, Point::ORIGIN).unwrap(),
        None
    );
    // All of it, or nothing of it, is no stretch.
    assert_eq!(
        without_stretch(&side, Point::ORIGIN, hem, hem).unwrap(),
        None
    );
    assert_eq!(without_stretch(&side, vent, vent, hem).unwrap(), None);
}

/// A skirt 200 wide and 600 long, its waist at the top: three slashes of 30 open its hem by 90, the outermost line turns by
/// 2 asin(30 / 1200) each time, and the waist keeps its length.
#[test]
fn slashes_that_fan_open_one_edge_and_leave_the_other() {
    let (waist, hem) = (
        line((0.0, 0.0), (200.0, 0.0)),
        line((0.0, -600.0), (200.0, -600.0)),
    );
    let side = line((200.0, 0.0), (200.0, -600.0));
    let at = |x: f64| (Point::new(x, -600.0), Point::new(x, 0.0), 30.0);
    // In whatever order they are named.
    for slashes in [
        [at(50.0), at(100.0), at(150.0)],
        [at(150.0), at(50.0), at(100.0)],
    ] {
        let row = Slash::fan(&slashes, RIGHT).unwrap();
        let through = |path: &Path| {
            let moved = row
                .iter()
                .try_fold(path.clone(), |path, slash| slash.path(&path));
            moved.unwrap()
        };
        near(length(&through(&waist)), 200.0, 1e-9);
        near(length(&through(&hem)), 290.0, 1e-9);
        let turned = -3.0 * 2.0 * (30.0_f64 / 1200.0).asin();
        let side = through(&side);
        let way = side.start().unwrap() - side.end().unwrap();
        near(way.atan2() - std::f64::consts::FRAC_PI_2, -turned, 1e-9);
        near(way.hypot(), 600.0, 1e-9);
        // What meets still meets.
        near(
            (side.end().unwrap() - through(&hem).end().unwrap()).hypot(),
            0.0,
            1e-9,
        );
        near(
            (side.start().unwrap() - through(&waist).end().unwrap()).hypot(),
            0.0,
            1e-9,
        );
        // What lies before the first slash stays.
        let before = line((0.0, 0.0), (40.0, -600.0));
        assert_eq!(through(&before), before);
    }
    let crossing = [
        (Point::new(50.0, -600.0), Point::new(150.0, 0.0), 30.0),
        (Point::new(100.0, -600.0), Point::new(50.0, 0.0), 30.0),
    ];
    assert_eq!(
        Slash::fan(&crossing, RIGHT).unwrap_err(),
        SlashFault::Cross(0, 1)
    );
    assert_eq!(
        Slash::fan(&[at(50.0)], DOWN).unwrap_err(),
        SlashFault::AlongItself
    );
    assert!(Slash::fan(&[(Point::new(5.0, 0.0), Point::new(5.0, 9.0), 30.0)], RIGHT).is_err());
    // Two that share their hinge, as the slashes of a godet.
    let shared = [
        (Point::new(80.0, -600.0), Point::new(100.0, 0.0), 20.0),
        (Point::new(120.0, -600.0), Point::new(100.0, 0.0), 20.0),
    ];
    let row = Slash::fan(&shared, RIGHT).unwrap();
    let hem = row
        .iter()
        .try_fold(hem, |path, slash| slash.path(&path))
        .unwrap();
    near(length(&hem), 240.0, 1e-9);
}

#[test]
fn slashes_in_a_row_open_evenly() {
    let plumb = |x: f64| Path::endless(Point::new(x, 0.0), DOWN).unwrap();
    let (one, two) = (plumb(40.0), line((70.0, 10.0), (70.0, -90.0)));
    let row = Slash::row(&[(&two, 10.0), (&one, 25.0)], RIGHT).unwrap();
    for y in [0.0, -50.0] {
        let edge = line((0.0, y), (100.0, y));
        let edge = row
            .iter()
            .try_fold(edge, |path, slash| slash.path(&path))
            .unwrap();
        near(length(&edge), 135.0, 1e-9);
    }
    let leaning = line((30.0, 0.0), (60.0, -90.0));
    assert_eq!(
        Slash::row(&[(&leaning, 10.0), (&one, 10.0)], RIGHT).unwrap_err(),
        SlashFault::Cross(0, 1)
    );
}
