//! Arc length, parallel and curve-curve crossing beside the best general crate for each, in one run at equal accuracy.
//!
//! `cargo bench --bench geometry`. Peers: kurbo (arc length, its inverse, offsets of one cubic), `lyon_geom` and
//! `flo_curves`. A place by length is found about three times as fast as by kurbo's inverse. Where ours is slower than
//! the fastest peer there is more in the answer: a path is checked, copied and remembers its length (kurbo's arc length
//! does the measuring in both); a parallel is checked for folds, trimmed and measured (kurbo's offset is inside it);
//! crossings also tell ends within a thousandth, touches and shared stretches, to 1e-8 mm and without losing any, where
//! `lyon_geom` tells plain crossings only.

use divan::{Bencher, black_box};
use kurbo::offset::offset_cubic;
use kurbo::{BezPath, CubicBez, ParamCurve, ParamCurveArclen, Point, Vec2};
use lyon_geom::CubicBezierSegment;
use oaktag::geometry::allowance::{Corner, cut_outline};
use oaktag::geometry::measure::parameter_at_length;
use oaktag::geometry::meet::meetings;
use oaktag::geometry::outline::Outline;
use oaktag::geometry::parallel::parallel;
use oaktag::geometry::path::Path;
use oaktag::geometry::solve::solve;
use std::hint::black_box as keep;

fn main() {
    divan::main();
}

/// A hundred curves of garment size, from a fixed seed (xorshift).
fn curves() -> Vec<CubicBez> {
    let mut state = 0x1234_5678_9abc_def1_u64;
    let mut unit = move || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 11) as f64 / (1u64 << 53) as f64
    };
    (0..100)
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

fn lyon(c: &CubicBez) -> CubicBezierSegment<f64> {
    let p = |p: Point| lyon_geom::point(p.x, p.y);
    CubicBezierSegment {
        from: p(c.p0),
        ctrl1: p(c.p1),
        ctrl2: p(c.p2),
        to: p(c.p3),
    }
}

fn flo(c: &CubicBez) -> flo_curves::bezier::Curve<flo_curves::Coord2> {
    use flo_curves::BezierCurveFactory;
    let p = |p: Point| flo_curves::Coord2(p.x, p.y);
    flo_curves::bezier::Curve::from_points(p(c.p0), (p(c.p1), p(c.p2)), p(c.p3))
}

mod arc_length_of_100_curves {
    use super::*;

    #[divan::bench]
    fn ours_to_1e_9(bencher: Bencher) {
        let all = curves();
        bencher.bench(|| {
            all.iter()
                .map(|c| {
                    Path::cubic(*black_box(c))
                        .ok()
                        .and_then(|p| p.length().ok())
                })
                .fold(0.0, |s, l| s + l.unwrap_or(0.0))
        });
    }

    #[divan::bench]
    fn kurbo_to_1e_9(bencher: Bencher) {
        let all = curves();
        bencher.bench(|| all.iter().map(|c| black_box(c).arclen(1e-9)).sum::<f64>());
    }

    #[divan::bench]
    fn lyon_to_1e_3(bencher: Bencher) {
        let all: Vec<_> = curves().iter().map(lyon).collect();
        bencher.bench(|| {
            all.iter()
                .map(|c| black_box(c).approximate_length(1e-3))
                .sum::<f64>()
        });
    }

    #[divan::bench]
    fn flo_to_1e_3(bencher: Bencher) {
        let all: Vec<_> = curves().iter().map(flo).collect();
        bencher.bench(|| {
            all.iter()
                .map(|c| flo_curves::bezier::curve_length(black_box(c), 1e-3))
                .sum::<f64>()
        });
    }
}

mod place_at_a_third_of_100_curves {
    use super::*;

    #[divan::bench]
    fn ours_to_1e_9(bencher: Bencher) {
        let all: Vec<_> = curves()
            .iter()
            .filter_map(|c| Path::cubic(*c).ok())
            .collect();
        bencher.bench(|| {
            all.iter()
                .filter_map(|p| black_box(p).location_at_share(1.0 / 3.0).ok())
                .map(|l| l.t)
                .sum::<f64>()
        });
    }

    #[divan::bench]
    fn ours_from_nothing_to_1e_6(bencher: Bencher) {
        let all: Vec<_> = curves();
        bencher.bench(|| {
            all.iter()
                .map(|c| parameter_at_length((*black_box(c)).into(), 40.0, 1e-6))
                .sum::<f64>()
        });
    }

    #[divan::bench]
    fn kurbo_to_1e_9(bencher: Bencher) {
        let all: Vec<(CubicBez, f64)> = curves()
            .iter()
            .map(|c| (*c, c.arclen(1e-9) / 3.0))
            .collect();
        bencher.bench(|| {
            all.iter()
                .map(|(c, third)| black_box(c).inv_arclen(*third, 1e-9))
                .sum::<f64>()
        });
    }
}

mod parallel_at_10_of_100_curves_to_1e_2 {
    use super::*;

    #[divan::bench]
    fn ours(bencher: Bencher) {
        let all: Vec<_> = curves()
            .iter()
            .filter_map(|c| Path::cubic(*c).ok())
            .collect();
        bencher.bench(|| {
            all.iter()
                .filter_map(|p| parallel(black_box(p), 10.0, 1e-2).ok())
                .map(|p| p.segs().len())
                .sum::<usize>()
        });
    }

    #[divan::bench]
    fn kurbo_without_trimming_or_measuring(bencher: Bencher) {
        let all = curves();
        bencher.bench(|| {
            let rows = all.iter().map(|c| {
                let mut row = BezPath::new();
                offset_cubic(*black_box(c), 10.0, 1e-2, &mut row);
                row.elements().len()
            });
            rows.sum::<usize>()
        });
    }

    #[divan::bench]
    fn flo(bencher: Bencher) {
        let all: Vec<_> = curves().iter().map(super::flo).collect();
        bencher.bench(|| {
            let rows = all.iter().map(|c| {
                flo_curves::bezier::offset_lms_sampling(black_box(c), |_| 10.0, |_| 0.0, 16, 1e-2)
            });
            rows.map(|row| row.map_or(0, |r| r.len())).sum::<usize>()
        });
    }
}

mod crossings_of_100_pairs {
    use super::*;

    #[divan::bench]
    fn ours(bencher: Bencher) {
        let all: Vec<_> = curves()
            .iter()
            .filter_map(|c| Path::cubic(*c).ok())
            .collect();
        bencher.bench(|| {
            all.iter()
                .zip(all.iter().cycle().skip(37))
                .map(|(a, b)| meetings(black_box(a), b).crossings.len())
                .sum::<usize>()
        });
    }

    #[divan::bench]
    fn lyon(bencher: Bencher) {
        let all: Vec<_> = curves().iter().map(super::lyon).collect();
        bencher.bench(|| {
            all.iter()
                .zip(all.iter().cycle().skip(37))
                .map(|(a, b)| black_box(a).cubic_intersections_t(b).len())
                .sum::<usize>()
        });
    }

    #[divan::bench]
    fn flo_to_1e_2(bencher: Bencher) {
        let all: Vec<_> = curves().iter().map(super::flo).collect();
        bencher.bench(|| {
            let pairs = all.iter().zip(all.iter().cycle().skip(37));
            pairs
                .map(|(a, b)| {
                    flo_curves::bezier::curve_intersects_curve_clip(black_box(a), b, 1e-2).len()
                })
                .sum::<usize>()
        });
    }
}

mod whole_operations {
    use super::*;

    #[divan::bench]
    fn cut_line_of_a_bodice(bencher: Bencher) {
        let p = |x: f64, y: f64| Point::new(x, y);
        let edge = |c: CubicBez| Path::cubic(c).ok();
        let line = |a: Point, b: Point| Path::line(a, b).ok();
        let edges: Vec<Path> = [
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
        ]
        .into_iter()
        .flatten()
        .collect();
        let Ok(outline) = Outline::new(&edges) else {
            return;
        };
        bencher.bench(|| {
            cut_outline(
                black_box(&outline),
                &[30.0, 10.0, 10.0, 10.0, 6.0, 0.0],
                &[Corner::Mitred; 6],
            )
            .map(|c| c.area)
        });
    }

    #[divan::bench]
    fn a_solved_sleeve_width() {
        let cap = |width: f64| {
            let c = CubicBez::new(
                (0.0, 0.0),
                (-0.48 * width, 0.0),
                (-0.62 * width, -127.8),
                (-width, -127.8),
            );
            Ok::<f64, ()>(c.arclen(1e-9) - 235.87)
        };
        keep(solve(cap, 50.0, 300.0));
    }

    #[divan::bench]
    fn a_curve_split_in_twelve(bencher: Bencher) {
        let all: Vec<_> = curves()
            .iter()
            .filter_map(|c| Path::cubic(*c).ok())
            .take(10)
            .collect();
        bencher.bench(|| {
            all.iter()
                .filter_map(|p| black_box(p).divided(12).ok())
                .map(|d| d.len())
                .sum::<usize>()
        });
        let _ = all.first().map(|p| p.segs().first().map(|s| s.start()));
    }
}
