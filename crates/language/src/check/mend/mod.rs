//! What to write in place of a sentence that is wrong. What people guess, and what a slip of the pen makes of a word, is looked
//! for in the sentence's own letters, and each candidate is read and checked where it would stand: only what works is
//! offered, and then one message stands for the one cause.

mod candidates;
mod slips;

use super::checker::Checker;
use super::panel::drawn_on;
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, FileId, Span};
use crate::syntax::guess::{self, Placed};
use crate::syntax::lexer;
use crate::syntax::messages::Messages;
use crate::syntax::parse_text;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{self, KindWord, Sentence, SentenceKind};
use candidates::Candidate;
use std::cell::OnceCell;
use std::ops::Range;

/// Sentences that are tried in one check; a draft that needs more is past helping by them.
pub(super) const MOST_TRIED: usize = 400;
/// A longer sentence is not looked through.
const LONGEST: usize = 2_000;
/// A sentence longer than this is not shown whole.
const LONGEST_SHOWN: usize = 160;
/// So many ways of writing one thing are offered.
const MOST_OFFERED: usize = 2;
/// The file of sentences that stand in none.
const NOWHERE: FileId = FileId(u32::MAX);

/// Trees of sentences that were tried, kept as long as the check.
#[derive(Default)]
pub(super) struct Tried {
    first: OnceCell<Box<(tree::File, Tried)>>,
}

impl Tried {
    fn keep(&self, tree: tree::File) -> &tree::File {
        let mut at = self;
        while let Some(one) = at.first.get() {
            at = &one.1;
        }
        let one = at.first.get_or_init(|| Box::new((tree, Tried::default())));
        &one.0
    }
}

/// Where a sentence stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Frame {
    /// In a file or a block.
    Sheet,
    /// In a piece.
    Piece,
    /// In a seam.
    Seam,
}

impl Frame {
    /// A whole text that holds this sentence.
    fn around(self, sentence: &str) -> String {
        match self {
            Frame::Sheet => sentence.to_owned(),
            Frame::Piece => format!("piece p {{\n{sentence}\n}}"),
            Frame::Seam => format!("seam s joins a to b {{\n{sentence}\n}}"),
        }
    }
}

/// A sentence whose letters are looked through.
struct Letters<'t> {
    text: &'t str,
    tokens: Vec<Placed>,
    /// Its blocks, where it has any: from brace to brace, in bytes.
    blocks: Vec<Range<usize>>,
    frame: Frame,
}

impl<'t> Letters<'t> {
    fn of(text: &'t str, frame: Frame) -> Self {
        let lexed = lexer::lex(text, NOWHERE, &mut Messages::default());
        let tokens = lexed.tokens.into_iter();
        let tokens: Vec<Placed> = tokens
            .filter(|(tok, _)| *tok != Tok::Newline)
            .map(|(tok, span)| (tok, span.range()))
            .collect();
        let mut blocks = Vec::new();
        let mut at = 0;
        while let Some((tok, place)) = tokens.get(at) {
            at += 1;
            if *tok == Tok::OpenBrace {
                let end = guess::closed(&tokens, at - 1).unwrap_or(tokens.len());
                let last = tokens.get(end - 1).map_or(place.end, |(_, last)| last.end);
                blocks.push(place.start..last);
                at = end;
            }
        }
        Self {
            text,
            tokens,
            blocks,
            frame,
        }
    }

    fn is_in_block(&self, place: &Range<usize>) -> bool {
        let mut blocks = self.blocks.iter();
        blocks.any(|block| block.start < place.start && place.start < block.end)
    }

    /// The whole with other letters in a place; of a block, the braces.
    fn with(&self, place: &Range<usize>, letters: &str) -> String {
        let mut edits = vec![(place.clone(), letters)];
        edits.extend(self.blocks.iter().map(|block| (block.clone(), "{ }")));
        edits.sort_by_key(|(place, _)| std::cmp::Reverse(place.start));
        let mut text = self.text.to_owned();
        for (place, letters) in edits {
            if text.get(place.clone()).is_some() {
                text.replace_range(place, letters);
            }
        }
        text
    }
}

/// How a sentence that was read is checked where it would stand.
type Works<'w, 'a> = &'w mut dyn FnMut(&mut Checker<'a>, &'a tree::File) -> bool;

impl<'a> Checker<'a> {
    /// After a sentence of a file or a block; `told` is how many messages there were before it.
    pub(super) fn mend_sentence(&mut self, sentence: &'a Sentence, told: usize) {
        self.mend(
            sentence.span,
            told,
            Frame::Sheet,
            &mut |c, tree| match tree.sentences.as_slice() {
                [one] => c.sentence_works(one),
                [] => false,
                _ => true,
            },
        );
    }

    /// Looks what is wrong with a sentence through, and makes it one message with an offer where it can.
    pub(super) fn mend(&mut self, span: Span, told: usize, frame: Frame, works: Works<'_, 'a>) {
        if self.diagnostics.len() == told && self.project.diagnostics.is_empty() {
            return;
        }
        let sources = &self.project.sources;
        if sources.is_library(span.file) || self.is_flooded() || self.tries == 0 {
            return;
        }
        let bytes = sources.bytes(span);
        let (from, text) = (bytes.start, sources.slice(span));
        if text.len() > LONGEST && !text.contains('{') {
            return;
        }
        let within = |told: &Diagnostic| {
            let place = sources.bytes(told.place);
            let inside = told.place.file == span.file
                && bytes.start <= place.start
                && place.end <= bytes.end
                && told.is_error();
            inside.then(|| place.start - from..place.end - from)
        };
        let read = self
            .project
            .diagnostics
            .iter()
            .filter(|one| within(one).is_some());
        let own = self.diagnostics.get(told..).unwrap_or_default();
        if read.clone().next().is_none() && !own.iter().any(|one| within(one).is_some()) {
            return;
        }
        let letters = Letters::of(text, frame);
        let own = own.iter();
        let all: Vec<Diagnostic> = read.chain(own).cloned().collect();
        let mut wrong: Vec<(Range<usize>, Diagnostic, bool)> = Vec::new();
        let count = self.project.diagnostics.len();
        let is_read = |one: &Diagnostic| {
            let mut read = self.project.diagnostics.iter().take(count);
            read.any(|other| other.place == one.place && other.code == one.code)
        };
        for one in all {
            if let Some(place) = within(&one)
                && !letters.is_in_block(&place)
            {
                let read = is_read(&one);
                wrong.push((place, one, read));
            }
        }
        wrong.sort_by_key(|(place, ..)| (place.start, place.end));
        if wrong.iter().any(|(_, _, read)| *read) {
            // What cannot be read says all there is to say.
            self.forget(told, &wrong);
            wrong.retain(|(_, _, read)| *read);
        }
        if wrong.is_empty() || !wrong.iter().all(|(_, one, _)| is_of_form(one.code)) {
            return;
        }
        // What is offered quotes the sentence.
        self.looked_at.borrow_mut().push(span);
        let better = self.better(&letters, span, from, &wrong, works);
        let better = better.or_else(|| self.without_brackets(&letters, &wrong, works));
        let Some(told_now) = better else {
            return;
        };
        self.forget(told, &wrong);
        for (_, one, read) in &wrong {
            if *read {
                self.answered.push((one.place, one.code));
            }
        }
        self.report(told_now);
    }

    /// Takes the check's own messages back that are among these.
    fn forget(&mut self, told: usize, wrong: &[(Range<usize>, Diagnostic, bool)]) {
        let mut at = 0;
        self.diagnostics.retain(|one| {
            at += 1;
            at <= told
                || !wrong.iter().any(|(_, other, read)| {
                    !read && other.place == one.place && other.code == one.code
                })
        });
    }

    /// Whether what is offered already works.
    fn is_offered(
        &mut self,
        letters: &Letters<'_>,
        wrong: &[(Range<usize>, Diagnostic, bool)],
        works: Works<'_, 'a>,
    ) -> bool {
        let [(place, one, _)] = wrong else {
            // Each of several slips has its own cure.
            return wrong.iter().all(|(_, one, _)| {
                one.offers.iter().any(|offer| offer.place == one.place)
                    && one.code != Code::PhraseNeedsBrackets
            });
        };
        one.offers.iter().any(|offer| {
            let elsewhere = offer.place != one.place;
            elsewhere || self.holds(&letters.with(place, &offer.text), letters.frame, works)
        })
    }

    /// A word that begins no phrase, or not one that can be said so: brackets alone would not mend it.
    fn without_brackets(
        &mut self,
        letters: &Letters<'_>,
        wrong: &[(Range<usize>, Diagnostic, bool)],
        works: Works<'_, 'a>,
    ) -> Option<Diagnostic> {
        let [(place, one, _)] = wrong else {
            return None;
        };
        if one.code != Code::PhraseNeedsBrackets || self.is_offered(letters, wrong, works) {
            return None;
        }
        let mut tokens = letters.tokens.iter();
        let (tok, word) = tokens.find(|(_, token)| token.start == place.start)?;
        let word = letters
            .text
            .get(word.clone())
            .filter(|_| *tok == Tok::Name)?;
        let mut forms = self.table.forms().iter();
        let help = if let Some(form) = forms.find(|form| form.head.as_deref() == Some(word)) {
            format!("It is written like this:  ({})", form.signature())
        } else if self.sees(word).is_some() {
            format!("After the name `{word}` comes a linking word, a sign or a comma.")
        } else {
            format!(
                "No phrase begins with `{word}`: `oaktag phrases {word}` looks for what is like it."
            )
        };
        let mut told = one.clone();
        told.offers.clear();
        Some(told.help(help))
    }

    /// One message in place of these.
    fn better(
        &mut self,
        letters: &Letters<'_>,
        span: Span,
        from: usize,
        wrong: &[(Range<usize>, Diagnostic, bool)],
        works: Works<'_, 'a>,
    ) -> Option<Diagnostic> {
        let first = wrong.first()?.1.code;
        let place = |range: &Range<usize>| {
            let bytes = from + range.start..from + range.end;
            self.project.sources.span(span.file, bytes)
        };
        let by_words = matches!(first, Code::UnknownPhrase | Code::UnknownOption);
        if !by_words && self.is_offered(letters, wrong, works) {
            return None;
        }
        for candidate in self.guesses(letters) {
            let here = place(&candidate.place);
            let mut written = Vec::new();
            for answer in candidate.answers.iter() {
                if written.len() < MOST_OFFERED
                    && self.holds(
                        &letters.with(&candidate.place, answer),
                        letters.frame,
                        works,
                    )
                {
                    written.push(answer.clone());
                }
            }
            if !written.is_empty() {
                let mut told = guessed(letters, first, here, &candidate, &written);
                if let Some(last) = last_line(letters, &candidate) {
                    told.place = place(&last);
                }
                return Some(told);
            }
        }
        if by_words && self.is_offered(letters, wrong, works) {
            return None;
        }
        let slip = self.slip(letters, wrong, works)?;
        let here = place(&slip.place);
        let known = wrong.iter().find(|(_, one, _)| {
            one.place == here && matches!(one.code, Code::UnknownName | Code::UnknownPhrase)
        });
        Some(match known {
            Some((_, one, _)) if slip.is_name => {
                let mut one = one.clone();
                one.offers.clear();
                one.step = None;
                one.meant(&slip.meant)
            }
            _ => {
                let message = format!(
                    "`{}` is neither a word of the language nor a name.",
                    slip.found
                );
                Diagnostic::error(first, here, message)
                    .at(format!("did you mean `{}`?", slip.meant))
                    .write(&slip.meant)
            }
        })
    }

    /// Whether a sentence can be read, and works where it would stand. Nothing of it is left behind.
    fn holds(&mut self, sentence: &str, frame: Frame, works: Works<'_, 'a>) -> bool {
        let Some(left) = self.tries.checked_sub(1) else {
            return false;
        };
        self.tries = left;
        let parsed = parse_text(&frame.around(sentence), NOWHERE);
        if !parsed.diagnostics.is_empty() {
            return false;
        }
        let tree = self.tried.keep(parsed.tree);
        let told = self.diagnostics.len();
        let kept = (self.lacking.len(), self.unsaid.len(), self.has_refused);
        let reads = std::mem::take(&mut self.here.reads);
        let (does, fine) = self.unbroken(|c| works(c, tree));
        let fine = fine && !self.diagnostics.iter().skip(told).any(Diagnostic::is_error);
        self.diagnostics.truncate(told);
        self.here.reads = reads;
        self.lacking.truncate(kept.0);
        self.unsaid.truncate(kept.1);
        self.has_refused = kept.2;
        does && fine
    }

    /// Whether the value of a sentence is what the sentence wants; of a sentence without one, nothing more is asked.
    fn sentence_works(&mut self, sentence: &'a Sentence) -> bool {
        match &sentence.kind {
            SentenceKind::Draw(draw) => {
                let value = self.expression(&draw.value);
                let many = draw.names.len() > 1;
                match (draw.kind, &value.kind) {
                    (KindWord::List, kind) => matches!(kind, Kind::List(_)),
                    (KindWord::Panel, kind) => *kind == Kind::Panel,
                    (word, kind) => {
                        let wanted = word.kind().unwrap_or(Kind::Unknown);
                        fits(kind, &wanted, many)
                    }
                }
            }
            SentenceKind::Redraw(redraw) => {
                let value = self.expression(&redraw.value);
                let many = redraw.names.len() > 1;
                redraw.names.iter().all(|name| {
                    let old = self.sees(&name.text).map(|binding| &binding.bound);
                    match old {
                        Some(super::scope::Bound::Value { kind, .. }) => {
                            let wanted = if *kind == Kind::Line {
                                &Kind::Curve
                            } else {
                                kind
                            };
                            fits(&value.kind, wanted, many)
                        }
                        _ => false,
                    }
                })
            }
            SentenceKind::Panel(panel) => match drawn_on(panel) {
                // Where it was not there it is open now, so that it is told once.
                Some(on) => self.sheet_named(on).is_some_and(|sheet| !sheet.is_open),
                None => true,
            },
            SentenceKind::Require(claim) | SentenceKind::Check(claim) => {
                self.condition(&claim.condition);
                true
            }
            SentenceKind::Note(text) | SentenceKind::Why(text) | SentenceKind::Caution(text) => {
                self.text(text);
                true
            }
            SentenceKind::Measure(measure) => {
                self.expression(&measure.default);
                true
            }
            SentenceKind::Give(values) => {
                for value in values {
                    self.expression(value);
                }
                true
            }
            _ => true,
        }
    }
}

/// Whether a message is of how a sentence is said; another is not answered by saying it otherwise.
fn is_of_form(code: Code) -> bool {
    matches!(
        code,
        Code::SentenceBroken
            | Code::SentenceOutOfPlace
            | Code::NameIsReserved
            | Code::PhraseNeedsBrackets
            | Code::UnknownPhrase
            | Code::UnknownName
            | Code::UnknownOption
            | Code::UnknownEdge
            | Code::WordsDoNotFit
            | Code::WrongKind
            | Code::KindsDoNotMix
            | Code::LineIsEndless
            | Code::TurnWithoutSense
            | Code::UnitMissing
            | Code::UnitApart
            | Code::UnknownUnit
            | Code::FigureForm
            | Code::StrayCharacter
            | Code::TextHoleBroken
    )
}

fn fits(kind: &Kind, wanted: &Kind, many: bool) -> bool {
    match kind {
        Kind::List(item) if many => item.fits(wanted),
        kind => kind.fits(wanted),
    }
}

/// The message for a guessed form.
fn guessed(
    letters: &Letters<'_>,
    code: Code,
    place: Span,
    candidate: &Candidate,
    written: &[String],
) -> Diagnostic {
    let said = letters.text.get(candidate.place.clone()).unwrap_or("");
    let said = one_line(said);
    let message = match candidate.why {
        Some(why) => why.to_owned(),
        None => format!("`{said}` is said in other words."),
    };
    let whole = |answer: &String| {
        let block = !letters.blocks.is_empty();
        let whole = one_line(&letters.with(&candidate.place, answer));
        let shown = if block || whole.len() > LONGEST_SHOWN {
            one_line(answer)
        } else {
            whole
        };
        format!("`{shown}`")
    };
    let sentences: Vec<String> = written.iter().map(whole).collect();
    let told = Diagnostic::error(code, place, message)
        .at("said otherwise")
        .help(format!("Write {}.", crate::voice::either(&sentences)));
    let told = written
        .iter()
        .fold(told, |told, answer| told.offer(place, answer.as_str()));
    if candidate.note.is_empty() {
        told
    } else {
        told.note(candidate.note)
    }
}

/// Of what stands on several lines the last: what was left off is missing there.
fn last_line(letters: &Letters<'_>, candidate: &Candidate) -> Option<Range<usize>> {
    let said = letters.text.get(candidate.place.clone())?;
    let line = said.rsplit_once('\n')?.1.trim_start();
    Some(candidate.place.end - line.len()..candidate.place.end)
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
