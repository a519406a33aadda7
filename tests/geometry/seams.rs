//! Edges that chain, and outlines.

use crate::common::{arc, bodice, cubic, endless, line, near, sides};
use kurbo::Point;
use oaktag_geometry::MEETING;
use oaktag_geometry::outline::{Outline, OutlineFault};
use oaktag_geometry::path::{Path, PathFault};
use oaktag_geometry::seam::{SeamFault, orientations};

#[test]
fn edges_are_turned_so_that_they_chain() {
    let a = line((0.0, 0.0), (30.0, 40.0));
    let b = cubic((100.0, 40.0), (80.0, 20.0), (50.0, 20.0), (30.0, 40.0));
    let c = line((100.0, 40.0), (100.0, 90.0));
    let turned = |edges: &[Path]| orientations(edges, MEETING);
    assert_eq!(
        turned(&[a.clone(), b.clone(), c.clone()]),
        Ok(vec![false, true, false])
    );
    // The first edge is turned toward the second.
    assert_eq!(
        turned(&[a.reversed(), b, c.reversed()]),
        Ok(vec![true, true, true])
    );
    assert_eq!(turned(&[]), Err(SeamFault::Empty));
    assert_eq!(
        turned(&[endless((0.0, 0.0), (1.0, 0.0))]),
        Err(SeamFault::Path(PathFault::Endless))
    );
    let short = [a, line((32.0, 40.0), (90.0, 40.0))];
    match turned(&short) {
        Err(SeamFault::Gap(gap)) => {
            assert_eq!((gap.before, gap.after), (0, 1));
            near(gap.width, 2.0, 1e-12);
        }
        other => panic!("{other:?}"),
    }
    assert!(orientations(&short, 2.0 + 1e-9).is_ok());
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
        Err(OutlineFault::Gap(gap)) => {
            assert_eq!((gap.before, gap.after), (4, 5));
            near(gap.width, 3.0, 1e-12);
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
