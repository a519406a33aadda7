//! Shapes out of bytes, and what must hold of the geometry whatever it is asked: answers are finite, or there is a fault
//! in words.

use kurbo::{Affine, CubicBez, Point};
use oaktag_geometry::LARGEST;
use oaktag_geometry::allowance::{Corner, cut_outline};
use oaktag_geometry::meet::meetings;
use oaktag_geometry::outline::Outline;
use oaktag_geometry::parallel::parallel_of;
use oaktag_geometry::path::Path;
use oaktag_geometry::self_meet::self_meetings;
use oaktag_geometry::swing::swing;

/// Lines, curves and outlines of any shape and size: answers are finite, or there is a fault in words.
pub fn geometry(data: &[u8]) {
    let mut numbers = Numbers(data);
    let paths: Vec<Path> = (0..3).filter_map(|_| numbers.path()).collect();
    for path in &paths {
        for crossing in self_meetings(path.segs(), path.is_closed()).0 {
            assert!(crossing.point.is_finite(), "{path:?}");
        }
        // As far away as a yoke is deep, mostly; as far as a table is wide costs a second.
        if let Ok(moved) = parallel_of(path, numbers.number() * 0.1).0 {
            finite(&moved);
        }
        if let Ok(swung) = swing(numbers.number(), numbers.place(), path) {
            assert!(swung.iter().all(|s| s.point.is_finite()), "{path:?}");
        }
        let place = numbers.place();
        let nearest = path.nearest(place);
        assert!(
            nearest.distance.is_finite() && nearest.point.is_finite(),
            "{path:?}"
        );
    }
    if let [first, second, ..] = paths.as_slice() {
        for meeting in &meetings(first, second).crossings {
            assert!(meeting.point.is_finite(), "{first:?} {second:?}");
        }
    }
    if let Some(edges) = numbers.ring()
        && let Ok(outline) = Outline::new(&edges)
    {
        assert!(outline.area().is_finite());
        let width = numbers.number().abs() % 60.0;
        let count = edges.len();
        if let Ok(cut) = cut_outline(&outline, &vec![width; count], &vec![Corner::Mitred; count]) {
            assert!(cut.segments().all(|seg| seg.is_finite()), "{edges:?}");
        }
    }
}

fn finite(path: &Path) {
    assert!(path.segs().iter().all(|seg| seg.is_finite()), "{path:?}");
}

/// Numbers out of bytes: two bytes each for a place on the table, now and then eight for anything a number can be.
struct Numbers<'d>(&'d [u8]);

impl Numbers<'_> {
    fn byte(&mut self) -> u8 {
        let (first, rest) = self.0.split_first().unwrap_or((&0, &[]));
        self.0 = rest;
        *first
    }

    fn number(&mut self) -> f64 {
        if self.byte() == 255 {
            let bytes: [u8; 8] = std::array::from_fn(|_| self.byte());
            return f64::from_le_bytes(bytes);
        }
        let (high, low) = (self.byte(), self.byte());
        f64::from(i16::from_be_bytes([high, low])) / 32.0
    }

    fn point(&mut self) -> Point {
        Point::new(self.number(), self.number())
    }

    /// A point on the paper; the language has no other, and these functions are not asked for any.
    fn place(&mut self) -> Point {
        let place = Some(self.point());
        place
            .filter(|p| p.to_vec2().hypot() < LARGEST)
            .unwrap_or_default()
    }

    fn path(&mut self) -> Option<Path> {
        let (a, b) = (self.point(), self.point());
        match self.byte() % 4 {
            0 => Path::line(a, b).ok(),
            1 => Path::endless(a, b - a).ok(),
            2 => Path::cubic(CubicBez::new(a, b, self.point(), self.point())).ok(),
            _ => {
                let first = Path::cubic(CubicBez::new(a, b, self.point(), self.point())).ok()?;
                let second =
                    first.transformed(Affine::translate(first.end().ok()? - first.start().ok()?));
                Path::joined(&[first, second]).ok()
            }
        }
    }

    /// Three to eight edges that follow one another round.
    fn ring(&mut self) -> Option<Vec<Path>> {
        let count = 3 + usize::from(self.byte() % 6);
        let corners: Vec<Point> = (0..count).map(|_| self.point()).collect();
        let next = corners.iter().cycle().skip(1);
        corners
            .iter()
            .zip(next)
            .map(|(a, b)| match self.byte() % 3 {
                0 => Path::cubic(CubicBez::new(*a, self.point(), self.point(), *b)).ok(),
                _ => Path::line(*a, *b).ok(),
            })
            .collect()
    }
}
