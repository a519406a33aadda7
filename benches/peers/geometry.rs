//! Arc length, parallel and curve-curve crossing beside the best general crate for each, in one run at equal accuracy.
//!
//! `cargo bench -p oaktag-peers --bench geometry`. Peers: kurbo (arc length, its inverse, offsets of one cubic),
//! `lyon_geom` and `flo_curves`. A place by length is found about three times as fast as by kurbo's inverse. Where
//! ours is slower than the fastest peer there is more in the answer: a path is checked, copied and remembers its
//! length (kurbo's arc length does the measuring in both); a parallel is checked for folds, trimmed and measured
//! (kurbo's offset is inside it); crossings also tell ends within a thousandth, touches and shared stretches, to
//! 1e-8 mm and without losing any, where `lyon_geom` tells plain crossings only.

#![allow(unreachable_pub, reason = "a bench is a program of its own")]

#[path = "../support/mod.rs"]
mod support;

#[path = "../../tests/support/lyon.rs"]
mod lyon;

use kurbo::offset::offset_cubic;
use kurbo::{BezPath, CubicBez, ParamCurveArclen, Point, Vec2};
use lyon::lyon;
use oaktag_geometry::allowance::{Corner, cut_outline};
use oaktag_geometry::meet::meetings;
use oaktag_geometry::outline::Outline;
use oaktag_geometry::parallel::parallel;
use oaktag_geometry::path::Path;
use oaktag_geometry::solve::{MISS, solve};
use std::hint::black_box;
use support::chance::Chance;
use support::table::{Table, seconds};
use support::time::time;
use support::{Asked, asked};

/// How many curves each work is done on.
const CURVES: usize = 100;

fn main() {
    let Some(asked) = asked() else { return };
    arc_length(asked);
    place(asked);
    parallels(asked);
    crossings(asked);
    whole(asked);
}

/// A hundred curves of garment size, from a fixed seed.
fn curves() -> Vec<CubicBez> {
    let mut chance = Chance::new(0x1234_5678_9abc_def1);
    let mut unit = move || chance.share();
    (0..CURVES)
        .map(|_| {
            let p = Point::new(unit() * 300.0, unit() * 300.0);
            let (turn, length) = (unit() * std::f64::consts::TAU, 80.0 + unit() * 250.0);
            let q = p + Vec2::from_angle(turn) * length;
            let (u, v) = (unit() * 2.0 - 1.0, unit() * 2.0 - 1.0);
            let (a, b) = (
                length * (0.25 + 0.2 * unit()),
                length * (0.25 + 0.2 * unit()),
            );
            CubicBez::new(
                p,
                p + Vec2::from_angle(turn + u) * a,
                q - Vec2::from_angle(turn + v) * b,
                q,
            )
        })
        .collect()
}

fn flo(c: &CubicBez) -> flo_curves::bezier::Curve<flo_curves::Coord2> {
    use flo_curves::BezierCurveFactory;
    let p = |p: Point| flo_curves::Coord2(p.x, p.y);
    flo_curves::bezier::Curve::from_points(p(c.p0), (p(c.p1), p(c.p2)), p(c.p3))
}

/// The same as paths that know their length.
fn paths() -> Vec<Path> {
    let all = curves().into_iter();
    all.filter_map(|c| Path::cubic(c).ok()).collect()
}

/// Rows of works done on all the curves: each with the time for one.
struct Works {
    patience: f64,
    table: Table,
    first: Option<f64>,
}

impl Works {
    fn new(asked: Asked) -> Self {
        Self {
            patience: asked.patience(),
            table: Table::new(&["", "one", "to the first"]),
            first: None,
        }
    }

    fn row<T>(&mut self, name: &str, of: usize, work: impl FnMut() -> T) {
        let taken = time(self.patience, work).best / of as f64;
        let first = *self.first.get_or_insert(taken);
        let times = format!("{:.2}", taken / first);
        self.table.row([name.to_owned(), seconds(taken), times]);
    }
}

fn arc_length(asked: Asked) {
    let all = curves();
    let mut works = Works::new(asked);
    works.row("ours, to 1e-9", CURVES, || {
        let lengths = all
            .iter()
            .map(|c| Path::cubic(*black_box(c)).ok()?.length().ok());
        lengths.map(|length| length.unwrap_or(0.0)).sum::<f64>()
    });
    works.row("kurbo, to 1e-9", CURVES, || {
        all.iter().map(|c| black_box(c).arclen(1e-9)).sum::<f64>()
    });
    let theirs: Vec<_> = all.iter().map(lyon).collect();
    works.row("lyon_geom, to 1e-3", CURVES, || {
        let lengths = theirs.iter().map(|c| black_box(c).approximate_length(1e-3));
        lengths.sum::<f64>()
    });
    let theirs: Vec<_> = all.iter().map(flo).collect();
    works.row("flo_curves, to 1e-3", CURVES, || {
        let lengths = theirs.iter();
        lengths
            .map(|c| flo_curves::bezier::curve_length(black_box(c), 1e-3))
            .sum::<f64>()
    });
    works.table.print("Arc length");
}

fn place(asked: Asked) {
    let (all, drawn) = (curves(), paths());
    let mut works = Works::new(asked);
    works.row("ours, to 1e-9", CURVES, || {
        let places = drawn
            .iter()
            .filter_map(|p| black_box(p).location_at_share(1.0 / 3.0).ok());
        places.map(|place| place.t).sum::<f64>()
    });
    works.row("ours from nothing, to 1e-9", CURVES, || {
        let places = all.iter();
        let place = |c: &CubicBez| Path::cubic(*black_box(c)).ok()?.location_at(40.0).ok();
        places.filter_map(place).map(|place| place.t).sum::<f64>()
    });
    let measured: Vec<_> = all.iter().map(|c| (*c, c.arclen(1e-9) / 3.0)).collect();
    works.row("kurbo, to 1e-9", CURVES, || {
        let places = measured
            .iter()
            .map(|(c, third)| black_box(c).inv_arclen(*third, 1e-9));
        places.sum::<f64>()
    });
    works.table.print("The place at a third of the length");
}

fn parallels(asked: Asked) {
    let (all, drawn) = (curves(), paths());
    let mut works = Works::new(asked);
    works.row("ours", CURVES, || {
        let rows = drawn
            .iter()
            .filter_map(|p| parallel(black_box(p), 10.0, 1e-2).ok());
        rows.map(|row| row.segs().len()).sum::<usize>()
    });
    works.row("kurbo, neither trimmed nor measured", CURVES, || {
        let rows = all.iter().map(|c| {
            let mut row = BezPath::new();
            offset_cubic(*black_box(c), 10.0, 1e-2, &mut row);
            row.elements().len()
        });
        rows.sum::<usize>()
    });
    let theirs: Vec<_> = all.iter().map(flo).collect();
    works.row("flo_curves", CURVES, || {
        let rows = theirs.iter().map(|c| {
            flo_curves::bezier::offset_lms_sampling(black_box(c), |_| 10.0, |_| 0.0, 16, 1e-2)
        });
        rows.map(|row| row.map_or(0, |r| r.len())).sum::<usize>()
    });
    works.table.print("The parallel at 10 mm, to 0.01 mm");
}

fn crossings(asked: Asked) {
    let (all, drawn) = (curves(), paths());
    let mut works = Works::new(asked);
    works.row("ours", CURVES, || {
        let pairs = drawn.iter().zip(drawn.iter().cycle().skip(37));
        pairs
            .map(|(a, b)| meetings(black_box(a), b).crossings.len())
            .sum::<usize>()
    });
    let theirs: Vec<_> = all.iter().map(lyon).collect();
    works.row("lyon_geom", CURVES, || {
        let pairs = theirs.iter().zip(theirs.iter().cycle().skip(37));
        pairs
            .map(|(a, b)| black_box(a).cubic_intersections_t(b).len())
            .sum::<usize>()
    });
    let theirs: Vec<_> = all.iter().map(flo).collect();
    works.row("flo_curves, to 0.01", CURVES, || {
        let pairs = theirs.iter().zip(theirs.iter().cycle().skip(37));
        let found = pairs.map(|(a, b)| {
            flo_curves::bezier::curve_intersects_curve_clip(black_box(a), b, 1e-2).len()
        });
        found.sum::<usize>()
    });
    works.table.print("Where two curves cross");
}

fn whole(asked: Asked) {
    let mut works = Works::new(asked);
    if let Some(outline) = bodice() {
        works.row("the cutting line of a bodice", 1, || {
            let widths = [30.0, 10.0, 10.0, 10.0, 6.0, 0.0];
            cut_outline(black_box(&outline), &widths, &[Corner::Mitred; 6]).map(|c| c.area)
        });
    }
    works.row("a sleeve's width, solved", 1, || {
        let cap = |width: f64| {
            let c = CubicBez::new(
                (0.0, 0.0),
                (-0.48 * width, 0.0),
                (-0.62 * width, -127.8),
                (-width, -127.8),
            );
            Ok::<f64, ()>(c.arclen(1e-9) - 235.87)
        };
        solve(cap, 50.0, 300.0, MISS)
    });
    let drawn = paths();
    works.row("a curve split in twelve", CURVES, || {
        let share = |path: &Path, n: u32| path.location_at_share(f64::from(n) / 12.0).ok();
        let parts = drawn.iter().map(black_box);
        let places = parts.flat_map(|p| (1..12).filter_map(move |n| share(p, n)));
        places.map(|place| place.t).sum::<f64>()
    });
    works.table.print("Whole operations");
}

/// Half a bodice: hem, side, armhole, shoulder, neck and centre.
fn bodice() -> Option<Outline> {
    let p = |x: f64, y: f64| Point::new(x, y);
    let edge = |c: CubicBez| Path::cubic(c).ok();
    let line = |a: Point, b: Point| Path::line(a, b).ok();
    let edges = [
        line(p(0.0, 0.0), p(240.0, 0.0)),
        edge(CubicBez::new(
            (240.0, 0.0),
            (228.0, 70.0),
            (232.0, 130.0),
            (250.0, 200.0),
        )),
        edge(CubicBez::new(
            (250.0, 200.0),
            (214.0, 203.0),
            (187.0, 255.0),
            (185.0, 330.0),
        )),
        line(p(185.0, 330.0), p(70.0, 372.0)),
        edge(CubicBez::new(
            (70.0, 372.0),
            (67.6, 329.0),
            (26.0, 300.0),
            (0.0, 300.0),
        )),
        line(p(0.0, 300.0), p(0.0, 0.0)),
    ];
    let edges: Vec<Path> = edges.into_iter().flatten().collect();
    Outline::new(&edges).ok()
}
