//! From letters that mend a thing to an offer in the text: what a pattern or a phrase says knows no places of it.

use crate::check::program::Program;
use crate::report::{Cure, Diagnostic, FileId, Put, SourceMap, Span};

/// The message with its cures offered where they can be put: in the draft's own text, where the names are its own.
pub(super) fn offered(mut told: Diagnostic, program: &Program, sources: &SourceMap) -> Diagnostic {
    for cure in std::mem::take(&mut told.cures) {
        let place = Place { program, sources };
        if let Some((at, text)) = place.of(&cure) {
            told = told.offer(at, text);
        }
    }
    told
}

struct Place<'a> {
    program: &'a Program,
    sources: &'a SourceMap,
}

impl Place<'_> {
    /// What is replaced, and by which letters.
    fn of(&self, cure: &Cure<Span>) -> Option<(Span, String)> {
        let at = cure.place;
        let words = cure.words.in_unit(self.program.unit).into_owned();
        if at.file != FileId(0) || self.is_copied(at) {
            return None;
        }
        match cure.put {
            Put::Over => Some((at, words)),
            Put::Before => Some((before(at), words)),
            Put::After => Some((at.after(), words)),
            Put::Inside => self.inside(self.sentence(at)?, &words),
            Put::From => {
                let seam = self.program.seams.iter().find(|seam| seam.head == at)?;
                let lead = if seam.starts.is_empty() { " from " } else { "" };
                Some((seam.starts, format!("{lead}{words}")))
            }
            Put::Half => {
                let piece = self.program.pieces.iter().find(|piece| piece.head == at)?;
                let offer = piece.half_shown(&words)?;
                Some((offer.place, offer.text))
            }
            Put::Led(word) => {
                let bytes = self.sources.bytes(at);
                let ahead = self.sources.text(at.file).get(..bytes.start)?;
                let start = ahead.trim_end().strip_suffix(word)?.len();
                Some((self.sources.span(at.file, start..bytes.end), words))
            }
            Put::Behind(word) => {
                let said = self.sources.slice(at);
                let (ahead, behind) = said.split_once(&format!(" {word} "))?;
                let depth = |letters: &str| {
                    letters.matches('(').count() as isize - letters.matches(')').count() as isize
                };
                let mut commas = behind.match_indices(',');
                if commas
                    .any(|(comma, _)| behind.get(..comma).is_some_and(|ahead| depth(ahead) == 0))
                {
                    return None;
                }
                let bytes = self.sources.bytes(at);
                let start = bytes.start + ahead.len() + word.len() + 2;
                Some((self.sources.span(at.file, start..bytes.end), words))
            }
        }
    }

    /// Whether several copies of an `each` have that place: their names are not what stands in it.
    fn is_copied(&self, at: Span) -> bool {
        let holds =
            |whole: &Span| whole.file == at.file && whole.start <= at.start && at.end <= whole.end;
        self.sentences()
            .map(|(_, whole)| whole)
            .filter(holds)
            .count()
            > 1
    }

    fn sentences(&self) -> impl Iterator<Item = (Span, Span)> {
        let pieces = self.program.pieces.iter();
        let seams = self.program.seams.iter();
        pieces
            .map(|piece| (piece.head, piece.span))
            .chain(seams.map(|seam| (seam.head, seam.span)))
    }

    /// The whole sentence of a piece or a seam.
    fn sentence(&self, head: Span) -> Option<Span> {
        self.sentences()
            .find(|(one, _)| *one == head)
            .map(|(_, whole)| whole)
    }

    /// On a line of its own before the brace that closes the block; where there is no block, in one.
    fn inside(&self, whole: Span, words: &str) -> Option<(Span, String)> {
        let bytes = self.sources.bytes(whole);
        let text = self.sources.text(whole.file);
        let Some(block) = text.get(bytes.clone())?.strip_suffix('}') else {
            return Some((whole.after(), format!(" {{ {words} }}")));
        };
        let brace = bytes.end - 1;
        let said = bytes.start + block.trim_end().len();
        let line = text.get(..bytes.start)?.rfind('\n').map_or(0, |at| at + 1);
        let lead: String = text
            .get(line..)?
            .chars()
            .take_while(|letter| *letter == ' ')
            .collect();
        let at = self.sources.span(whole.file, said..brace);
        Some((at, format!("\n{lead}  {words}\n{lead}")))
    }
}

fn before(at: Span) -> Span {
    Span {
        end: at.start,
        ..at
    }
}
