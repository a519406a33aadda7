//! The sentences of pieces and seams, for the notes to their tokens.

use super::notes::Reader;
use super::places::Place;
use crate::sewing::{PieceSays, Place as SeamPlace, SeamSays};
use crate::syntax::tree::{
    AsWritten, NotchPlace, PieceSentence, PieceSentenceKind, Seam, SeamSentenceKind,
};

impl Reader<'_> {
    pub(super) fn piece_sentences(&mut self, sentences: &[PieceSentence]) {
        for sentence in sentences {
            let outer = std::mem::take(&mut self.parts);
            match &sentence.kind {
                PieceSentenceKind::Says(says) => self.piece_says(says),
                PieceSentenceKind::If(branches, otherwise) => {
                    for (condition, sentences) in branches {
                        self.part(condition, Place::Condition, 1);
                        self.piece_sentences(sentences);
                    }
                    self.piece_sentences(otherwise);
                }
                PieceSentenceKind::Broken => {}
            }
            self.own_words(sentence.span);
            self.parts = outer;
        }
    }

    fn piece_says(&mut self, says: &PieceSays<AsWritten>) {
        match says {
            PieceSays::Cut { count, .. } => self.part(count, Place::First, 2),
            PieceSays::Grain { along, .. } => self.part(along, Place::Operand, 2),
            PieceSays::Allow { width, .. } => self.part(width, Place::First, 2),
            PieceSays::Interline { count, inside, .. } => {
                self.part(count, Place::First, 2);
                self.part(inside, Place::Argument, 2);
            }
            PieceSays::Notch { at, .. } => self.notch(at),
            PieceSays::Dart {
                drill,
                sewn,
                other_apex,
                pressed,
                mouth,
                apex,
                ..
            } => {
                self.part(&mouth.0, Place::First, 2);
                self.part(&mouth.1, Place::Argument, 2);
                self.part(apex, Place::Argument, 2);
                let more = [other_apex, pressed, drill, sewn].into_iter().flatten();
                more.for_each(|part| self.part(part, Place::Argument, 2));
            }
            PieceSays::Mark { what, button, .. } => {
                for (n, marked) in what.iter().enumerate() {
                    let place = if n == 0 {
                        Place::First
                    } else {
                        Place::Argument
                    };
                    self.part(marked, place, 3);
                }
                self.own_settings(button);
            }
            PieceSays::Outline { .. }
            | PieceSays::Corner { .. }
            | PieceSays::Finish { .. }
            | PieceSays::Fold { .. } => {}
        }
    }

    pub(super) fn seam(&mut self, seam: &Seam) {
        let ends = [&seam.first, &seam.second].into_iter();
        let ends = ends.flat_map(|side| &side.until);
        for point in ends.chain(&seam.from).chain(&seam.toward) {
            self.part(point, Place::Argument, 3);
        }
        for sentence in &seam.sentences {
            let outer = std::mem::take(&mut self.parts);
            if let SeamSentenceKind::Says(says) = &sentence.kind {
                self.seam_says(says);
            }
            self.own_words(sentence.span);
            self.parts = outer;
        }
    }

    fn seam_says(&mut self, says: &SeamSays<AsWritten>) {
        match says {
            SeamSays::Ease { held, between, .. } => {
                self.part(&held.low, Place::First, 2);
                if let Some(high) = &held.high {
                    self.part(high, Place::Argument, 2);
                }
                if let Some((one, other)) = between {
                    self.seam_place(one);
                    self.seam_place(other);
                }
            }
            SeamSays::Notch { at, .. } => self.notch(at),
            SeamSays::Meets { one, other } => {
                self.part(one, Place::Meeting, 2);
                self.part(other, Place::Argument, 2);
            }
            SeamSays::Open { between, .. } => {
                self.seam_place(&between.0);
                self.seam_place(&between.1);
            }
            SeamSays::Corner { at, .. } => self.part(at, Place::Argument, 2),
            SeamSays::Allow { width, .. } => self.part(width, Place::First, 2),
            SeamSays::Sewn { sewn } => {
                let widths = sewn.widths.iter();
                widths.for_each(|width| self.part(width, Place::First, 2));
            }
            SeamSays::Tolerance { width } => self.part(width, Place::First, 2),
        }
    }

    fn seam_place(&mut self, place: &SeamPlace<AsWritten>) {
        match place {
            SeamPlace::At(point) => self.part(point, Place::Argument, 2),
            SeamPlace::Measured { far, from } => {
                self.part(far, Place::Argument, 2);
                self.part(from, Place::Argument, 2);
            }
        }
    }

    fn notch(&mut self, at: &NotchPlace) {
        match at {
            NotchPlace::Measured { distance, from } => {
                self.part(distance, Place::Argument, 2);
                self.part(from, Place::Argument, 2);
            }
            NotchPlace::Points(points) => {
                let points = points.iter();
                points.for_each(|point| self.part(point, Place::Notched, 3));
            }
            NotchPlace::Joints => {}
        }
    }
}
