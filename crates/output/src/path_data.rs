//! Paths as SVG path data (SVG 1.1 section 8.3), which the JSON and the SVG share. Absolute commands only, decimals from
//! [`number`]; curves stay curves.

use super::number;
use kurbo::{BezPath, PathEl, PathSeg, Point, Shape};
use oaktag_geometry::path::Path;

/// Length of the stretch that stands for an endless line, in millimetres.
pub(crate) const ENDLESS_STRETCH: f64 = 100.0;

/// Path data of a path. An endless line is given as a stretch of [`ENDLESS_STRETCH`] from the point it was drawn through.
pub(crate) fn of_path(path: &Path, decimals: usize) -> String {
    of_bez(&bez(path), decimals)
}

/// Path data of a row of elements.
pub(crate) fn of_bez(path: &BezPath, decimals: usize) -> String {
    let mut data = String::new();
    // Where the point is written at which the pencil stands.
    let mut last = 0..0;
    let mut put = |command: char, points: &[Point]| {
        let before = data.len();
        if before > 0 {
            data.push(' ');
        }
        data.push(command);
        // Readers of polygons stumble over a piece of line that goes nowhere in the figures written.
        let mut moves = points.is_empty() || command == 'M';
        let mut end = last.clone();
        for (n, p) in points.iter().enumerate() {
            if n > 0 {
                data.push(' ');
            }
            let at = data.len();
            number::push_short(&mut data, p.x, decimals);
            data.push(' ');
            number::push_short(&mut data, p.y, decimals);
            end = at..data.len();
            moves |= data.get(end.clone()) != data.get(last.clone());
        }
        if moves {
            last = end;
        } else {
            data.truncate(before);
        }
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => put('M', &[p]),
            PathEl::LineTo(p) => put('L', &[p]),
            PathEl::QuadTo(a, p) => put('Q', &[a, p]),
            PathEl::CurveTo(a, b, p) => put('C', &[a, b, p]),
            PathEl::ClosePath => put('Z', &[]),
        }
    }
    data
}

/// A path as elements, closed where it ends where it starts.
pub fn bez(path: &Path) -> BezPath {
    if let Some((through, direction)) = path.endless_line() {
        return kurbo::Line::new(through, through + direction * ENDLESS_STRETCH).to_path(0.1);
    }
    let mut bez = BezPath::new();
    let segs = path.segs();
    let Some(first) = segs.first() else {
        return bez;
    };
    bez.move_to(start_of(first));
    for (index, seg) in segs.iter().enumerate() {
        let closing = index + 1 == segs.len() && path.is_closed();
        match seg {
            // The closing command draws this line.
            PathSeg::Line(_) if closing && index > 0 => {}
            PathSeg::Line(line) => bez.line_to(line.p1),
            PathSeg::Quad(quad) => bez.quad_to(quad.p1, quad.p2),
            // It ends in the very figures in which it began.
            PathSeg::Cubic(cubic) if closing => {
                bez.curve_to(cubic.p1, cubic.p2, start_of(first));
            }
            PathSeg::Cubic(cubic) => bez.curve_to(cubic.p1, cubic.p2, cubic.p3),
        }
    }
    if path.is_closed() {
        bez.close_path();
    }
    bez
}

fn start_of(seg: &PathSeg) -> Point {
    match seg {
        PathSeg::Line(line) => line.p0,
        PathSeg::Quad(quad) => quad.p0,
        PathSeg::Cubic(cubic) => cubic.p0,
    }
}
