//! Lays pieces out on a sheet: boxes side by side in the order declared, so that a front lies by its back, each as high
//! up and then as far left as there is room (the bottom-left rule on a skyline, common practice), never overlapping. A
//! marker maker would turn and nest them; this only makes a drawing.

use kurbo::{Point, Size, Vec2};

/// Sheet widths tried, in millimetres.
const WIDTHS: [f64; 7] = [900.0, 1000.0, 1100.0, 1200.0, 1300.0, 1400.0, 1500.0];

/// Where each box stands and how much room all take.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Top left corners, y down, in the order given.
    pub places: Vec<Point>,
    /// Width and height in use.
    pub size: Size,
    /// Room between two boxes at the least.
    pub gap: f64,
}

/// Lays boxes out with `gap` between them on the sheet width that wastes least; a box wider than any sheet widens it.
pub fn lay(boxes: &[Size], gap: f64) -> Layout {
    let widest = boxes.iter().map(|b| b.width).fold(0.0, f64::max);
    let widths = WIDTHS
        .into_iter()
        .filter(|width| *width >= widest)
        .chain([widest.max(WIDTHS[0])]);
    let mut best: Option<(f64, Layout)> = None;
    for width in widths {
        let layout = on_width(boxes, gap, width);
        let cost = layout.size.width.max(WIDTHS[0]) * layout.size.height;
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, layout));
        }
    }
    best.map_or(
        Layout {
            places: Vec::new(),
            size: Size::ZERO,
            gap,
        },
        |(_, layout)| layout,
    )
}

/// Lays boxes out on a sheet of one width; a box that is wider lies beyond its right side.
pub fn lay_within(boxes: &[Size], gap: f64, width: f64) -> Layout {
    on_width(boxes, gap, width)
}

/// Where a box may stand on a sheet that is cut into tiles.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Joints {
    /// From the corner of the first tile to that of the layout.
    pub(crate) corner: Vec2,
    /// What a tile adds to the whole.
    pub(crate) tile: Size,
}

/// A box that lies whole on its tile stands at least this far off its joints.
const OFF_JOINT: f64 = 1.0;

impl Joints {
    /// The next place from `at` on where something of a length lies on one tile, if it fits one at all.
    fn next(at: f64, length: f64, corner: f64, pitch: f64) -> f64 {
        if length > pitch - 2.0 * OFF_JOINT {
            return at;
        }
        let on_sheet = at + corner;
        let end = ((on_sheet / pitch).floor() + 1.0) * pitch;
        if on_sheet + length + OFF_JOINT <= end {
            at
        } else {
            end + OFF_JOINT - corner
        }
    }

    fn next_x(&self, at: f64, size: Size) -> f64 {
        Self::next(at, size.width, self.corner.x, self.tile.width)
    }

    fn next_y(&self, at: f64, size: Size) -> f64 {
        Self::next(at, size.height, self.corner.y, self.tile.height)
    }

    /// Whether a box that would fit one tile lies on several.
    pub(crate) fn cuts(&self, at: Point, size: Size) -> bool {
        let fits = size.width <= self.tile.width - 2.0 * OFF_JOINT
            && size.height <= self.tile.height - 2.0 * OFF_JOINT;
        let crosses = |from: f64, length: f64, pitch: f64| {
            (from / pitch).floor() < ((from + length) / pitch).ceil() - 1.0
        };
        let at = at + self.corner;
        fits && (crosses(at.x, size.width, self.tile.width)
            || crosses(at.y, size.height, self.tile.height))
    }
}

/// Lays boxes out in an order on a sheet of one width, so that each that fits a tile lies on one.
pub(crate) fn lay_whole(
    boxes: &[Size],
    order: &[usize],
    gap: f64,
    width: f64,
    joints: Joints,
) -> Layout {
    in_order(boxes, order.iter().copied(), gap, width, Some(joints))
}

/// A step of the skyline: from `x` to the next step everything above `y` is taken.
#[derive(Clone, Copy)]
struct Step {
    x: f64,
    y: f64,
}

fn on_width(boxes: &[Size], gap: f64, width: f64) -> Layout {
    in_order(boxes, 0..boxes.len(), gap, width, None)
}

fn in_order(
    boxes: &[Size],
    order: impl Iterator<Item = usize>,
    gap: f64,
    width: f64,
    joints: Option<Joints>,
) -> Layout {
    let mut skyline = vec![Step { x: 0.0, y: 0.0 }];
    let mut places = vec![Point::ZERO; boxes.len()];
    let mut size = Size::ZERO;
    for index in order {
        let (Some(b), Some(place)) = (boxes.get(index), places.get_mut(index)) else {
            continue;
        };
        let at = lowest(&skyline, *b, gap, width, joints);
        raise(&mut skyline, at.x, b.width + gap, at.y + b.height + gap);
        size.width = size.width.max(at.x + b.width);
        size.height = size.height.max(at.y + b.height);
        *place = at;
    }
    Layout { places, size, gap }
}

/// The place nearest to the top, then to the left, where a box fits, and on one tile if it can.
fn lowest(skyline: &[Step], b: Size, gap: f64, width: f64, joints: Option<Joints>) -> Point {
    let mut best = Point::new(0.0, f64::INFINITY);
    for step in skyline {
        let x = joints.map_or(step.x, |joints| joints.next_x(step.x, b));
        if step.x > 0.0 && x + b.width > width {
            continue;
        }
        // The gap on its right counts too: a taller neighbour may stand there already.
        let y = level(skyline, x, b.width + gap);
        let y = joints.map_or(y, |joints| joints.next_y(y, b));
        if y < best.y {
            best = Point::new(x, y);
        }
    }
    best
}

/// The lowest skyline over a stretch.
fn level(skyline: &[Step], x: f64, width: f64) -> f64 {
    let next = skyline
        .iter()
        .skip(1)
        .map(|step| step.x)
        .chain([f64::INFINITY]);
    let over = skyline
        .iter()
        .zip(next)
        .filter(|(step, end)| *end > x && step.x < x + width);
    over.map(|(step, _)| step.y).fold(0.0, f64::max)
}

fn raise(skyline: &mut Vec<Step>, x: f64, width: f64, y: f64) {
    let end = x + width;
    let after = skyline
        .iter()
        .rev()
        .find(|step| step.x <= end)
        .map_or(0.0, |step| step.y);
    skyline.retain(|step| step.x < x || step.x > end);
    skyline.push(Step { x, y });
    skyline.push(Step { x: end, y: after });
    skyline.sort_by(|a, b| a.x.total_cmp(&b.x));
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Rect;
    use proptest::prelude::*;

    fn rects(boxes: &[Size], layout: &Layout) -> Vec<Rect> {
        layout
            .places
            .iter()
            .zip(boxes)
            .map(|(at, size)| Rect::from_origin_size(*at, *size))
            .collect()
    }

    #[test]
    fn two_pieces_that_fit_lie_side_by_side() {
        let boxes = [Size::new(300.0, 740.0), Size::new(350.0, 740.0)];
        let layout = lay(&boxes, 30.0);
        assert_eq!(
            layout.places,
            [Point::new(0.0, 0.0), Point::new(330.0, 0.0)]
        );
    }

    proptest! {
        #[test]
        fn boxes_never_overlap_and_keep_their_distance(
            sizes in prop::collection::vec((1.0f64..1800.0, 1.0f64..900.0), 0..24)
        ) {
            let boxes: Vec<Size> = sizes.iter().map(|(w, h)| Size::new(*w, *h)).collect();
            let layout = lay(&boxes, 20.0);
            prop_assert_eq!(layout.places.len(), boxes.len());
            let rects = rects(&boxes, &layout);
            for (n, a) in rects.iter().enumerate() {
                prop_assert!(a.x0 >= 0.0 && a.y0 >= 0.0 && a.x1 <= layout.size.width + 1e-9);
                for b in rects.iter().skip(n + 1) {
                    prop_assert!(!a.inflate(9.99, 9.99).overlaps(b.inflate(9.99, 9.99)), "{a:?} {b:?}");
                }
            }
        }
    }
}
