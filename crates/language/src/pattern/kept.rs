//! What was worked out of outlines for one pattern, kept for the next: geometry alone, and only where all that goes into it
//! is the same to the last bit.

use oaktag_geometry::allowance::{AllowanceFault, Corner, CutOutline, Width, cut_outline};
use oaktag_geometry::outline::{Outline, OutlineFault};

/// What is kept of the pattern before, by the places of its pieces; one generation.
#[derive(Debug, Default)]
pub struct Kept {
    crossings: Shelf<Option<OutlineFault>>,
    cuts: Shelf<Result<CutOutline, AllowanceFault>>,
}

/// For each piece what went in, as bits, and what came out.
#[derive(Debug)]
struct Shelf<T>(Vec<(Vec<u64>, Option<T>)>);

impl<T> Default for Shelf<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T: Clone> Shelf<T> {
    fn get(&mut self, place: usize, from: Vec<u64>, make: impl FnOnce() -> T) -> T {
        if self.0.len() <= place {
            self.0.resize_with(place + 1, Default::default);
        }
        let Some(kept) = self.0.get_mut(place) else {
            return make();
        };
        match &kept.1 {
            Some(made) if kept.0 == from => made.clone(),
            _ => {
                let made = make();
                *kept = (from, Some(made.clone()));
                made
            }
        }
    }
}

impl Kept {
    /// Forgets what was kept beyond so many pieces.
    pub(crate) fn only(&mut self, pieces: usize) {
        self.crossings.0.truncate(pieces);
        self.cuts.0.truncate(pieces);
    }
}

/// Where the outline of the piece at a place crosses itself.
pub(crate) fn crossing(
    kept: Option<&mut Kept>,
    place: usize,
    outline: &Outline,
) -> Option<OutlineFault> {
    match kept {
        None => outline.crossing(),
        Some(kept) => {
            let from = outline.bits();
            kept.crossings.get(place, from, || outline.crossing())
        }
    }
}

/// The cutting line of the piece at a place.
pub(crate) fn cut(
    kept: Option<&mut Kept>,
    place: usize,
    outline: &Outline,
    widths: &[Width],
    corners: &[Corner],
) -> Result<CutOutline, AllowanceFault> {
    let Some(kept) = kept else {
        return cut_outline(outline, widths, corners);
    };
    let mut from = outline.bits();
    let ends = widths.iter().flat_map(|width| [width.start, width.end]);
    from.extend(ends.map(f64::to_bits));
    from.extend(corners.iter().flat_map(bits));
    kept.cuts
        .get(place, from, || cut_outline(outline, widths, corners))
}

fn bits(corner: &Corner) -> [u64; 3] {
    let (kind, edge, at) = match corner {
        Corner::Mitred => (0, 0, 0.0),
        Corner::Squared { first } => (1, *first, 0.0),
        Corner::TurnedBack { hem } => (2, *hem, 0.0),
        Corner::Stepped { edge, at } => (3, *edge, *at),
    };
    [kind, edge as u64, at.to_bits()]
}

#[cfg(test)]
mod tests {
    use super::Shelf;

    /// How often it was made says whether it was taken over.
    #[test]
    fn the_same_bits_are_taken_over_and_one_bit_changed_is_not() {
        let mut shelf = Shelf::default();
        let mut made = 0;
        let mut get = |place, from: &[f64]| {
            let bits = from.iter().map(|figure| figure.to_bits()).collect();
            shelf.get(place, bits, || {
                made += 1;
                made
            })
        };
        let beside = f64::from_bits(0.3_f64.to_bits() ^ 1);
        assert_eq!(get(0, &[0.0, 0.3]), 1);
        assert_eq!(get(0, &[0.0, 0.3]), 1);
        assert_eq!(get(0, &[0.0, beside]), 2);
        assert_eq!(get(0, &[0.0, beside]), 2);
        // One generation: what stood before is not known any more.
        assert_eq!(get(0, &[0.0, 0.3]), 3);
        // Equal as figures, and one bit apart.
        assert_eq!(get(0, &[-0.0, 0.3]), 4);
        // More of it that begins the same, and another piece.
        assert_eq!(get(0, &[-0.0, 0.3, 1.0]), 5);
        assert_eq!(get(2, &[-0.0, 0.3, 1.0]), 6);
        assert_eq!(get(0, &[-0.0, 0.3, 1.0]), 5);
    }
}
