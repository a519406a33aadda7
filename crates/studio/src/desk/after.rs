//! The draft up to a step: what the drawing looks like when that is done.

use crate::session::Session;
use oaktag_language::syntax::tree::{Block, Sentence, SentenceKind};

/// The text as far as the end of a step of its own, every panel closed that the step stands in; none where there is no such
/// step.
pub(super) fn text_after(session: &Session, step: usize) -> Option<String> {
    let own = session.own_file()?;
    let mut steps = session.program().steps.iter();
    let info = steps.find(|info| info.number == step && info.span.file == own)?;
    let ends = |sentence: &&Sentence| {
        sentence.span.start <= info.span.start && info.span.end <= sentence.span.end
    };
    let mut sentences = session.own_sentences();
    let mut open = 0;
    let end = loop {
        let holds = sentences.iter().find(ends)?;
        let inner: Option<&Block> = match &holds.kind {
            SentenceKind::Panel(panel) => Some(&panel.body),
            SentenceKind::Step(step) if holds.span != info.span => Some(&step.body),
            // A block that is carried out as a whole is not cut.
            _ => None,
        };
        let inside = inner.filter(|block| block.sentences.iter().any(|one| ends(&one)));
        match inside {
            Some(block) => {
                open += 1;
                sentences = &block.sentences;
            }
            None => break session.sources().bytes(holds.span).end,
        }
    };
    let mut text = session.text().get(..end)?.to_owned();
    text.push('\n');
    text.extend(std::iter::repeat_n("}\n", open));
    Some(text)
}
