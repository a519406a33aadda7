//! The wearer's left and right: of what is cut in mirrored pairs, and of what is marked on one of the two alone. A pair is one
//! drawing until the two differ; a machine, which knows no words, is then given each by itself.

use super::cut_list::Laid;
use super::shown::{Shown, is_layered};
use super::spec::{MarkSpec, Value};
use super::{Piece, WearerSide};
use std::borrow::Cow;

impl MarkSpec {
    /// What it is for, and the side that alone has it.
    pub fn words(&self) -> Cow<'_, str> {
        match (self.side, self.text.is_empty()) {
            (None, _) => Cow::Borrowed(&self.text),
            (Some(side), true) => Cow::Owned(format!("wearer's {side} alone")),
            (Some(side), false) => Cow::Owned(format!("{}, wearer's {side} alone", self.text)),
        }
    }

    /// Whether a side of the wearer has it.
    pub(crate) fn is_on(&self, side: WearerSide) -> bool {
        self.side.is_none_or(|own| own == side)
    }

    /// Whether a hole is made there: it is a point, and its words begin with `drill`.
    pub fn is_drill(&self) -> bool {
        let mut words = self.text.split(|c: char| !c.is_alphanumeric());
        let first = words.find(|word| !word.is_empty()).unwrap_or_default();
        let says_it = ["drill", "drills"]
            .iter()
            .any(|word| first.eq_ignore_ascii_case(word));
        says_it && matches!(self.shape, Value::Point(_))
    }
}

impl Piece {
    /// Whether something is marked on one side of the wearer alone.
    pub fn has_one_sided(&self) -> bool {
        self.marks.iter().any(|mark| mark.side.is_some())
    }

    /// How many of a pair are the wearer's left and how many the right; none where it is no pair, or where nothing tells
    /// which half it shows. Layers that face each other are as many one way round as the other on either side.
    pub fn left_and_right(&self) -> Option<[u32; 2]> {
        let is_known = self.has_one_sided() || (self.shown.is_told && !is_layered(self));
        let is_pair = self.laid() == Laid::Paired;
        (is_pair && is_known).then(|| WearerSide::BOTH.map(|side| self.count_of(side)))
    }

    /// How many of a pair are one side's; of an odd count the side that is shown has one more.
    fn count_of(&self, side: WearerSide) -> u32 {
        if side == self.shown.half {
            self.cut.count.div_ceil(2)
        } else {
            self.cut.count / 2
        }
    }

    /// One side's piece of a pair, as it lies right side up, with what is marked on that side.
    pub fn of_side(&self, side: WearerSide) -> Piece {
        let mut piece = if side == self.shown.half {
            self.clone()
        } else {
            self.turned_over()
        };
        piece.cut.count = self.count_of(side);
        piece.name = side.of(&self.name);
        piece.label = format!("{}, wearer's {side}", self.label);
        piece.shown = Shown {
            half: side,
            is_told: false,
        };
        piece.marks.retain(|mark| mark.is_on(side));
        for mark in &mut piece.marks {
            mark.side = None;
        }
        piece
    }

    /// As a machine cuts it: a piece a side where the two of a pair differ, the whole of one on the fold whose halves do.
    pub fn as_cut(&self) -> Vec<Cow<'_, Piece>> {
        if !self.has_one_sided() {
            return vec![Cow::Borrowed(self)];
        }
        if self.laid() == Laid::Paired {
            let both = WearerSide::BOTH.map(|side| {
                let mut piece = self.of_side(side);
                piece.cut.alike = true;
                Cow::Owned(piece)
            });
            return both.into();
        }
        if !self.on_fold() {
            return vec![Cow::Borrowed(self)];
        }
        vec![Cow::Owned(self.unfolded().unwrap_or_else(|| {
            // Mirrored by the machine, what one side has would be on both: it is words there, and no hole.
            let mut half = self.clone();
            for mark in half.marks.iter_mut().filter(|mark| mark.side.is_some()) {
                mark.text = format!("NOT ON BOTH SIDES: {}", mark.words());
                mark.side = None;
            }
            half
        }))]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pattern::spec::Tag;
    use kurbo::Point;

    #[test]
    fn only_words_that_begin_with_drill_make_a_hole() {
        let mark = |text: &str| MarkSpec {
            tag: Tag(0),
            name: "p".into(),
            shape: Value::Point(Point::ZERO),
            text: text.into(),
            side: None,
            of_list: false,
            button: None,
        };
        for text in ["drill", "Drill for the strap", "drills, 3 mm"] {
            assert!(mark(text).is_drill(), "{text}");
        }
        for text in ["", "bust point", "do not drill", "drilling", "cotton drill"] {
            assert!(!mark(text).is_drill(), "{text}");
        }
        let line = MarkSpec {
            shape: Value::Answer(true),
            ..mark("drill")
        };
        assert!(!line.is_drill());
    }
}
