//! Curves as rows of points, by kurbo.

use kurbo::{ParamCurve, PathEl, PathSeg, Point};

/// Points along segments that follow one another, both ends included, on chords within `tolerance` of them.
pub fn chords<'s>(segs: impl IntoIterator<Item = &'s PathSeg>, tolerance: f64) -> Vec<Point> {
    let mut points = Vec::new();
    for seg in segs {
        if points.is_empty() {
            points.push(seg.start());
        }
        let drawn = [PathEl::MoveTo(seg.start()), seg.as_path_el()];
        kurbo::flatten(drawn, tolerance, |el| {
            if let PathEl::LineTo(p) = el {
                points.push(p);
            }
        });
    }
    points
}
