//! What a draft consists of, as a table of contents: panels with their steps, and in them what is drawn; pieces, seams, measures,
//! acts.

use super::Editor;
use crate::session::places::{Place, Units};
use oaktag_language::report::{SourceMap, Span};
use oaktag_language::syntax;
use oaktag_language::syntax::tree::{
    Block, MeasureOf, Sentence, SentenceKind, Taken, Text, TextPart, Word,
};

/// A part of a draft.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// What it is called.
    pub name: String,
    /// What it is, in the word that begins its sentence: `panel`, `step`, `point`, `choose`.
    pub what: &'static str,
    /// Its sentence.
    pub whole: Place,
    /// Its name in that.
    pub word: Place,
    /// What stands in it.
    pub inside: Vec<Part>,
}

impl Editor<'_> {
    /// The parts of the draft's own text, in order.
    pub fn outline(&self) -> Vec<Part> {
        let gathering = Gathering(&|span| self.place(span));
        gathering.parts(self.session.own_sentences())
    }
}

/// The parts of a text that is no draft at hand: it is read, and not checked.
pub fn outline_of(text: &str) -> Vec<Part> {
    let mut sources = SourceMap::new();
    let file = sources.add("", text);
    let units = Units::of(sources.text(file));
    let tree = syntax::parse(&sources, file).tree;
    Gathering(&|span| Some(units.place(span.range()))).parts(&tree.sentences)
}

/// Where a span stands in the text.
struct Gathering<'p>(&'p dyn Fn(Span) -> Option<Place>);

impl Gathering<'_> {
    fn parts(&self, sentences: &[Sentence]) -> Vec<Part> {
        let mut found = Vec::new();
        for sentence in sentences {
            self.sentence(sentence, &mut found);
        }
        found
    }

    fn sentence(&self, sentence: &Sentence, found: &mut Vec<Part>) {
        let inside = |block: &Block| self.parts(&block.sentences);
        let mut add = |word: &Word, what, inside| {
            found.extend(self.part(&word.text, what, sentence.span, word.span, inside));
        };
        match &sentence.kind {
            SentenceKind::Import(import) => add(&import.name, "import", Vec::new()),
            SentenceKind::Use(module) => add(module, "use", Vec::new()),
            SentenceKind::Measure(measure) => {
                let what = match measure.of {
                    MeasureOf::Body => "body",
                    MeasureOf::Choice => "choose",
                };
                add(&measure.name, what, Vec::new());
            }
            SentenceKind::Draw(draw) => {
                for name in &draw.names {
                    add(name, draw.kind.word(), Vec::new());
                }
            }
            SentenceKind::Redraw(redraw) => {
                for name in &redraw.names {
                    add(name, "redraw", Vec::new());
                }
            }
            SentenceKind::Panel(panel) => add(&panel.name, "panel", inside(&panel.body)),
            SentenceKind::Step(step) => {
                let (name, inside) = (letters(&step.name), inside(&step.body));
                found.extend(self.part(&name, "step", sentence.span, step.name.span, inside));
            }
            SentenceKind::Try(one) => add(&one.name, "try", inside(&one.body)),
            SentenceKind::Each(each) => found.extend(inside(&each.body)),
            SentenceKind::If(one) => {
                let branches = one.branches.iter().map(|(_, block)| block);
                for block in branches.chain(&one.otherwise) {
                    found.extend(inside(block));
                }
            }
            SentenceKind::Operation(act) => add(&act.head, "operation", inside(&act.body)),
            SentenceKind::Piece(piece) => add(&piece.name, "piece", Vec::new()),
            SentenceKind::Seam(seam) => add(&seam.name, "seam", Vec::new()),
            SentenceKind::Take(take) => {
                let words = take.of.words.iter().map(|word| &*word.text);
                let name = words.collect::<Vec<&str>>().join(".");
                let what = match take.what {
                    Taken::Pieces => "pieces",
                    Taken::Seams => "seams",
                };
                found.extend(self.part(&name, what, sentence.span, take.of.span, Vec::new()));
            }
            SentenceKind::Cloth(cloth) => add(&cloth.name, "cloth", Vec::new()),
            SentenceKind::Broken(lost) => {
                let blocks = lost.blocks.iter().flat_map(inside).collect();
                match lost.names.first() {
                    Some(name) => add(name, lost.word, blocks),
                    None => found.extend(blocks),
                }
            }
            SentenceKind::Edition(_)
            | SentenceKind::Draft(_)
            | SentenceKind::Unit(_)
            | SentenceKind::Require(_)
            | SentenceKind::Check(_)
            | SentenceKind::ClothAt(_)
            | SentenceKind::Note(_)
            | SentenceKind::Why(_)
            | SentenceKind::Caution(_)
            | SentenceKind::Slip(_)
            | SentenceKind::Terms(_)
            | SentenceKind::Carry(_)
            | SentenceKind::Give(_)
            | SentenceKind::Order(_) => {}
        }
    }

    fn part(
        &self,
        name: &str,
        what: &'static str,
        whole: Span,
        word: Span,
        inside: Vec<Part>,
    ) -> Option<Part> {
        Some(Part {
            name: name.to_owned(),
            what,
            whole: (self.0)(whole)?,
            word: (self.0)(word)?,
            inside,
        })
    }
}

/// The letters of a text, `…` where a figure stands in it.
fn letters(text: &Text) -> String {
    let part = |part: &TextPart| match part {
        TextPart::Letters(letters) => letters.to_string(),
        TextPart::Hole(_) => "…".to_owned(),
    };
    text.parts.iter().map(part).collect()
}
