//! Where in a lesson each kind of sentence is told. A kind that the language gains has to be named here before it builds.

use oaktag_language::sewing::{PieceSays, SeamSays};
use oaktag_language::syntax::tree::{PieceSentenceKind, SeamSentenceKind, SentenceKind};

/// Where a sentence is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// At the head: title, unit, what is brought in.
    AtHead,
    /// In the tables before the first step.
    AmongMeasures,
    /// Among the checks; where what it requires does not hold, there is no lesson.
    AmongChecks,
    /// As something to do.
    AsDeed,
    /// As a heading above what is done in it.
    AsHeading,
    /// In the author's own words.
    InAuthorsWords,
    /// By what is done in it, or what it is made of.
    ByItsParts,
    /// With the finished pieces.
    WithPieces,
    /// With the seams, where they are walked and sewn.
    WithSeams,
    /// Not at all: it could not be read, and that is told before any lesson.
    Nowhere,
}

/// Where a sentence is told.
pub fn of(kind: &SentenceKind) -> Told {
    use SentenceKind as K;
    match kind {
        K::Edition(_) | K::Draft(_) | K::Unit(_) | K::Import(_) | K::Use(_) => Told::AtHead,
        K::Measure(_) => Told::AmongMeasures,
        K::Require(_) | K::Check(_) => Told::AmongChecks,
        K::Draw(_) | K::Redraw(_) | K::Carry(_) | K::Try(_) => Told::AsDeed,
        K::Panel(_) | K::Step(_) => Told::AsHeading,
        K::Note(_) | K::Why(_) | K::Caution(_) | K::Slip(..) | K::Terms(_) => Told::InAuthorsWords,
        K::If(_) | K::Each(_) | K::Operation(_) | K::Give(_) => Told::ByItsParts,
        K::Piece(_) | K::Take(_) | K::Cloth(_) | K::ClothAt(_) => Told::WithPieces,
        K::Seam(_) | K::Order(_) => Told::WithSeams,
        K::Broken(_) => Told::Nowhere,
    }
}

/// Where a sentence of a piece is told.
pub fn of_piece(kind: &PieceSentenceKind) -> Told {
    use PieceSays as S;
    use PieceSentenceKind as K;
    match kind {
        K::Says(
            S::Outline { .. }
            | S::Cut { .. }
            | S::Grain { .. }
            | S::Allow { .. }
            | S::Corner { .. }
            | S::Finish { .. }
            | S::Fold { .. }
            | S::Notch { .. }
            | S::Dart { .. }
            | S::Mark { .. }
            | S::Interline { .. },
        ) => Told::WithPieces,
        K::If(..) => Told::ByItsParts,
        K::Broken => Told::Nowhere,
    }
}

/// Where a sentence of a seam is told.
pub fn of_seam(kind: &SeamSentenceKind) -> Told {
    use SeamSays as S;
    use SeamSentenceKind as K;
    match kind {
        K::Says(
            S::Ease { .. }
            | S::Notch { .. }
            | S::Meets { .. }
            | S::Open { .. }
            | S::Corner { .. }
            | S::Sewn { .. }
            | S::Tolerance { .. },
        ) => Told::WithSeams,
        K::Says(S::Allow { .. }) => Told::WithPieces,
        K::Broken => Told::Nowhere,
    }
}
